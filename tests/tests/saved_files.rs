//! Pictures, sheets, tables and lists that the window saves: on a full disk, where no file can be,
//! under odd names, stopped half way. What was there before stays whole, nothing half written is left,
//! and it is said what could not be written and why.
//!
//! The window runs without a screen, in a child process where the disk is to be full.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test fails by panicking"
)]

mod on_screen;

use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};
use std::{env, fs, thread};

use egui::accesskit::Role;
use egui::{Key, Modifiers, ViewportCommand, ViewportId};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use on_screen::{Window, open, press, settle, shown};

const OLD: &str = "what was there";
const BOTH: Modifiers = Modifiers::COMMAND.plus(Modifiers::SHIFT);

/// A way to ask for a file in the window, up to the question where it is to go.
type Ask = fn(&mut Window);

/// A name of each kind of file, and how it is asked for.
const KINDS: [(&str, Ask); 8] = [
    ("sketch.png", |window| picture(window, "PNG")),
    ("sketch.svg", |window| picture(window, "SVG")),
    ("sheet.pdf", |window| sheet(window, "PDF")),
    ("sheet.html", |window| sheet(window, "HTML")),
    ("table.csv", table),
    ("panels.csv", panels),
    ("wishes.csv", wishes),
    ("wishes.vot", wishes),
];

fn click(window: &mut Window, label: &str) {
    until(window, label, |window| enabled(window, label));
    // A window's own controls stand behind those of the view.
    window.get_all_by_label(label).last().unwrap().click_accesskit();
    settle(window);
}

fn enabled(window: &Window, label: &str) -> bool {
    let last = window.query_all_by_label(label).last();
    last.is_some_and(|control| !control.accesskit_node().is_disabled())
}

/// Lets frames pass until something is so.
fn until(window: &mut Window, what: &str, is_so: impl Fn(&Window) -> bool) {
    let start = Instant::now();
    while !is_so(window) {
        assert!(start.elapsed() < Duration::from_secs(120), "{what}: {:?}", shown(window));
        thread::sleep(Duration::from_millis(5));
        window.run_steps(1);
    }
}

fn picture(window: &mut Window, form: &str) {
    press(window, Modifiers::COMMAND, Key::E);
    click(window, form);
    click(window, "Save as…");
}

fn sheet(window: &mut Window, form: &str) {
    press(window, BOTH, Key::E);
    click(window, form);
    click(window, "Save as…");
}

fn table(window: &mut Window) {
    if window.query_by_label("Save the table as CSV").is_none() {
        press(window, Modifiers::COMMAND, Key::T);
    }
    click(window, "Targets by rig");
    click(window, "Save the table as CSV");
}

fn panels(window: &mut Window) {
    // One that does not hold the target whole.
    window.get_by_role_and_label(Role::Button, "Long refractor").click_accesskit();
    settle(window);
    press(window, Modifiers::COMMAND, Key::M);
    click(window, "Save as CSV…");
}

fn wishes(window: &mut Window) {
    click(window, "More for the wish list");
    click(window, "Wish list to a file…");
}

/// Names the file, and says yes to replacing it.
fn save(window: &mut Window, path: &Path) {
    let field = window.get_by_role_and_label(Role::TextInput, "Path of the file");
    field.focus();
    field.set_text_value_accesskit(&path.to_string_lossy());
    settle(window);
    click(window, "Save");
    if !told(window, "is there already").is_empty() {
        click(window, "Save");
    }
}

/// Every sentence shown that holds these words.
fn told(window: &Window, words: &str) -> String {
    let texts = shown(window).into_iter().filter(|text| text.contains(words));
    texts.collect::<Vec<_>>().join("\n")
}

/// A folder of one test with an old file of every kind.
fn folder(name: &str) -> PathBuf {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("saved_files").join(name);
    drop(fs::remove_dir_all(&folder));
    fs::create_dir_all(&folder).unwrap();
    for (name, _) in KINDS {
        fs::write(folder.join(name), OLD).unwrap();
    }
    folder
}

/// Nothing has changed in the folder, and nothing has been added.
fn is_as_before(folder: &Path) {
    for (name, _) in KINDS {
        assert_eq!(fs::read_to_string(folder.join(name)).unwrap(), OLD, "{name}");
    }
    let entries = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().file_name());
    let names: Vec<_> = entries.collect();
    assert_eq!(names.len(), KINDS.len(), "{names:?}");
}

const CHILD_FOLDER: &str = "FIELDSTOP_SAVED_FILES";

/// A disk that takes nothing more: the shell's limit on the size of files, which ends a write as a full
/// disk does. (That a file that ends half way leaves nothing is asked of the command line, which
/// writes with the same code.)
#[cfg(target_os = "linux")]
#[test]
fn on_a_full_disk_every_old_file_stays_whole() {
    let folder = folder("full");
    let output = std::process::Command::new("sh")
        .args([
            "-c",
            "trap '' XFSZ; ulimit -f 0; exec \"$0\" --exact child_saves_every_kind --ignored --nocapture",
        ])
        .arg(env::current_exe().unwrap())
        .env(CHILD_FOLDER, &folder)
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{said}");
    for (name, _) in KINDS {
        let told = format!("{} could not be written: ", folder.join(name).display());
        assert!(said.contains(&told), "{name}: {said}");
    }
    is_as_before(&folder);
}

#[test]
#[ignore = "the test of a full disk starts it"]
fn child_saves_every_kind() {
    let Ok(folder) = env::var(CHILD_FOLDER).map(PathBuf::from) else { return };
    let mut window = open(None);
    for (name, ask) in KINDS {
        ask(&mut window);
        save(&mut window, &folder.join(name));
        until(&mut window, name, |window| !told(window, "could not be written").is_empty());
        eprintln!("{}", told(&window, "could not be written"));
        // Asked again, with all that was chosen, and the window is usable.
        assert!(window.query_by_label("Path of the file").is_some(), "{name}");
        click(&mut window, "Cancel");
    }
}

#[test]
fn a_target_that_is_no_file_is_told_and_nothing_is_left() {
    let folder = folder("no_file");
    let mut window = open(None);
    let long = format!("{}.", "n".repeat(300));
    for (name, ask) in KINDS {
        let ending = name.rsplit('.').next().unwrap();
        let inside = folder.join(format!("folder.{ending}"));
        fs::create_dir_all(&inside).unwrap();
        let mut targets = vec![
            (inside.clone(), "is a folder; expected the name of an ordinary file"),
            (folder.join("nowhere").join(name), "expected a folder that exists"),
            (folder.join(name).join(name), "could not be written"),
            (folder.join(format!("{long}{ending}")), "could not be written"),
        ];
        // The system lets nobody make a file there, whoever asks.
        #[cfg(target_os = "linux")]
        targets.push((Path::new("/proc").join(name), "could not be written"));
        ask(&mut window);
        for (target, words) in targets {
            save(&mut window, &target);
            let place = target.display().to_string();
            until(&mut window, name, |window| {
                let told = told(window, words);
                // The field itself shows the path as well.
                told.contains(&place)
            });
        }
        click(&mut window, "Cancel");
        fs::remove_dir(&inside).unwrap();
    }
    is_as_before(&folder);
}

#[test]
fn a_file_under_any_name_is_written() {
    let folder = folder("names");
    let mut window = open(None);
    let odd = ["a b & <c> 'd' \"e\" %20 #1; $(f)", "-q", "Ωμέγα ümlaut", "two..dots", ".hidden"];
    for (number, (name, ask)) in KINDS.into_iter().enumerate() {
        let ending = name.rsplit('.').next().unwrap();
        // Two of them for each kind of file.
        for odd in [odd[number % 5], odd[(number + 2) % 5]] {
            let path = folder.join(format!("{odd}.{ending}"));
            drop(fs::remove_file(&path));
            ask(&mut window);
            save(&mut window, &path);
            until(&mut window, odd, |window| {
                !told(window, &format!("Saved {}", path.display())).is_empty()
            });
            assert!(fs::metadata(&path).unwrap().len() > 100, "{}", path.display());
            fs::remove_file(&path).unwrap();
        }
    }
    is_as_before(&folder);
}

#[test]
fn a_stopped_file_is_not_written() {
    let folder = folder("stopped");
    let path = folder.join("sketch.png");
    let mut window = open(None);
    picture(&mut window, "PNG");
    save(&mut window, &path);
    click(&mut window, "Stop");
    until(&mut window, "the notice", |window| !told(window, "was not written").is_empty());
    let words = format!("Stopped: {} was not written", path.display());
    assert_eq!(told(&window, "was not written").lines().next(), Some(words.as_str()));
    is_as_before(&folder);
}

/// Whether the window has asked to be closed.
fn closes(window: &Window) -> bool {
    let commands = &window.output().viewport_output[&ViewportId::ROOT].commands;
    commands.contains(&ViewportCommand::Close)
}

#[test]
fn a_window_that_is_left_writes_its_file_first() {
    let folder = folder("left");
    let path = folder.join("sketch.png");
    let mut window = open(None);
    picture(&mut window, "PNG");
    save(&mut window, &path);
    window.key_press_modifiers(Modifiers::COMMAND, Key::Q);
    window.run_steps(2);
    assert!(!closes(&window));
    assert!(!told(&window, "Closes once this is written").is_empty(), "{:?}", shown(&window));
    until(&mut window, "the end", closes);
    let written = fs::read(&path).unwrap();
    assert!(written.starts_with(b"\x89PNG") && written.ends_with(b"IEND\xae\x42\x60\x82"));

    // Who does not want to wait leaves without it.
    fs::write(&path, OLD).unwrap();
    let mut window = open(None);
    picture(&mut window, "PNG");
    save(&mut window, &path);
    for _ in 0..2 {
        assert!(!closes(&window));
        window.key_press_modifiers(Modifiers::COMMAND, Key::Q);
        window.run_steps(1);
    }
    until(&mut window, "the end", closes);
    // Not the program's end here, so the file is there sooner or later, whole.
    until(&mut window, "the file", |_| fs::read(&path).unwrap() != OLD.as_bytes());
    assert_eq!(fs::read(&path).unwrap(), written);
}
