//! Work outlives the program: a kill at any moment, a full disk, a second window on the same kit.
//!
//! The program's own window runs without a screen, in a child process where it is to be killed.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test fails by panicking"
)]

use std::io::{BufRead, BufReader, Read, Write};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};
use std::{env, fs, thread};

use egui::accesskit::Role;
use egui::{Key, Modifiers, Vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;
use fieldstop::kit::Kit;
use fieldstop_gui::app::App;
use fieldstop_gui::files::kit_file;
use fieldstop_gui::files::recovery::{self, Slot, Unsaved};

type Window = Harness<'static, App>;

/// A folder for one test, empty at its start and gone after it.
struct Folder(PathBuf);

impl Folder {
    fn new(name: &str) -> Self {
        let path = env::temp_dir().join(format!("fieldstop-lost-{}-{name}", std::process::id()));
        drop(fs::remove_dir_all(&path));
        fs::create_dir_all(path.join("own")).unwrap();
        Self(path)
    }

    fn kit(&self) -> PathBuf {
        self.0.join("club.ron")
    }

    /// What the program keeps for itself.
    fn own(&self) -> PathBuf {
        self.0.join("own")
    }

    /// Names of everything in the folder of the kit.
    fn names(&self) -> Vec<String> {
        let entries = fs::read_dir(&self.0).unwrap();
        let mut names: Vec<String> =
            entries.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
        names.sort();
        names
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        drop(fs::remove_dir_all(&self.0));
    }
}

fn window_on(kit: Option<&Path>, own: &Path) -> Window {
    let (kit, own) = (kit.map(Path::to_owned), own.to_owned());
    let mut window = Harness::builder()
        .with_size(Vec2::new(1280.0, 800.0))
        .with_max_steps(20)
        .build_eframe(move |cc| App::new(cc, kit).unwrap().keeping_work_in(&own));
    window.run_steps(4);
    window
}

fn read(path: &Path) -> Kit {
    kit_file::read(path, &|_| true).unwrap_or_else(|error| panic!("the kit is not whole: {error}"))
}

/// Writes the demo kit with the first rig's telescope its own, and opens a window on it.
fn begin(folder: &Folder) -> Window {
    let mut window = window_on(None, &folder.own());
    change(&mut window, 500.0);
    kit_file::write(&folder.kit(), &window.state().document().kit).unwrap();
    drop(window);
    fs::remove_dir_all(folder.own()).unwrap();
    window_on(Some(&folder.kit()), &folder.own())
}

const OFFER: &str = "Unsaved work from last time";
const CHANGED: &str = "The file has changed meanwhile";

/// Moves the first rig's focal length, as a person does with its slider; answers what it is then.
fn change(window: &mut Window, focal_length_mm: f64) -> f64 {
    let name = format!("Focal length of {}", window.state().document().kit.rigs[0].name);
    window.get_by_role_and_label(Role::Slider, &name).set_value_accesskit(focal_length_mm);
    window.run_steps(2);
    focal_length_of(&window.state().document().kit)
}

fn focal_length_of(kit: &Kit) -> f64 {
    kit.resolve(0).expect("the rig is there").focal_length_mm()
}

fn click(window: &mut Window, label: &str) {
    window.get_by_label(label).click();
    window.run_steps(4);
}

fn save(window: &mut Window) {
    window.key_press_modifiers(Modifiers::COMMAND, Key::S);
    window.run_steps(2);
}

/// Lets frames pass until the work is on disk.
fn keep(window: &mut Window) {
    let until = Instant::now() + Duration::from_secs(20);
    while window.state().has_work_to_keep() {
        assert!(Instant::now() < until, "the work was never kept");
        window.run_steps(1);
    }
}

#[test]
fn unsaved_work_is_offered_at_the_next_start_and_comes_back_as_a_change() {
    let folder = Folder::new("offered");
    let mut window = begin(&folder);
    let saved = read(&folder.kit());
    let changed_mm = change(&mut window, 777.0);
    keep(&mut window);
    // As when it is killed: nothing of the window's own farewell runs.
    drop(window);

    let mut window = window_on(None, &folder.own());
    assert!(window.query_by_label(OFFER).is_some());
    // A second window does not offer what the first is asking about.
    assert!(window_on(None, &folder.own()).query_by_label(OFFER).is_none());
    click(&mut window, "Go on with it");
    assert_eq!(focal_length_of(&window.state().document().kit), changed_mm);
    assert_eq!(window.state().document().path(), Some(folder.kit().as_path()));
    assert!(window.state().document().is_changed());
    assert_eq!(read(&folder.kit()), saved, "going on with it does not save it");

    // It is still kept until it is saved, and undone like any change.
    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    window.run_steps(4);
    assert_eq!(window.state().document().kit, saved);
    window.key_press_modifiers(Modifiers::COMMAND | Modifiers::SHIFT, Key::Z);
    window.run_steps(4);
    keep(&mut window);
    save(&mut window);
    assert_eq!(focal_length_of(&read(&folder.kit())), changed_mm);
    window.run_steps(4);
    drop(window);
    assert!(window_on(None, &folder.own()).query_by_label(OFFER).is_none());
}

#[test]
fn work_that_is_thrown_away_is_not_offered_again_and_a_postponed_one_is() {
    let folder = Folder::new("thrown");
    let mut window = begin(&folder);
    change(&mut window, 640.0);
    keep(&mut window);
    drop(window);
    let mut window = window_on(None, &folder.own());
    assert!(window.query_by_label_contains("They were kept on 2").is_some(), "it says since when");
    // Neither a click beside it nor a key of the window is an answer.
    let beside = egui::Pos2::new(30.0, 400.0);
    window.drag_at(beside);
    window.drop_at(beside);
    window.run_steps(4);
    for key in [Key::T, Key::P, Key::E] {
        window.key_press_modifiers(Modifiers::COMMAND, key);
        window.run_steps(4);
    }
    assert!(window.query_by_label(OFFER).is_some());
    for other in ["Export a table", "Own picture", "Export picture"] {
        assert!(window.query_by_label(other).is_none(), "{other}");
    }
    click(&mut window, "Decide later");
    assert!(window.query_by_label(OFFER).is_none());
    drop(window);
    let mut window = window_on(None, &folder.own());
    click(&mut window, "Throw it away");
    drop(window);
    assert!(window_on(None, &folder.own()).query_by_label(OFFER).is_none());
}

#[test]
fn the_second_window_to_save_is_told() {
    let folder = Folder::new("two");
    let mut first = begin(&folder);
    let mut second = window_on(Some(&folder.kit()), &folder.own());
    let first_mm = change(&mut first, 600.0);
    let second_mm = change(&mut second, 700.0);
    save(&mut first);
    assert!(first.query_by_label(CHANGED).is_none());
    assert_eq!(focal_length_of(&read(&folder.kit())), first_mm);

    save(&mut second);
    assert!(second.query_by_label(CHANGED).is_some());
    assert_eq!(focal_length_of(&read(&folder.kit())), first_mm, "nothing is written unasked");
    click(&mut second, "Stay here");
    assert!(second.state().document().is_changed());

    save(&mut second);
    click(&mut second, "Save as…");
    assert!(second.query_by_label("Save kit as").is_some());
    click(&mut second, "Cancel");

    save(&mut second);
    click(&mut second, "Replace it");
    assert_eq!(focal_length_of(&read(&folder.kit())), second_mm);
    assert!(!second.state().document().is_changed());
    // What it wrote itself is not news to it; to the first window it is.
    change(&mut second, 710.0);
    save(&mut second);
    assert!(second.query_by_label(CHANGED).is_none());
    change(&mut first, 610.0);
    save(&mut first);
    assert!(first.query_by_label(CHANGED).is_some());
}

#[test]
fn a_file_that_is_gone_is_written_again_without_a_question() {
    let folder = Folder::new("gone");
    let mut window = begin(&folder);
    let wanted_mm = change(&mut window, 650.0);
    fs::remove_file(folder.kit()).unwrap();
    save(&mut window);
    assert_eq!(focal_length_of(&read(&folder.kit())), wanted_mm);
}

#[test]
fn a_folder_that_takes_no_files_is_told_and_the_window_works_on() {
    let folder = Folder::new("refused");
    let file = folder.0.join("a-file");
    fs::write(&file, "").unwrap();
    let window = window_on(None, &file.join("own"));
    let told = window.query_by_label_contains("Unsaved work cannot be kept");
    assert!(told.is_some());
    assert!(!window.state().has_work_to_keep());
}

/// What the child says, a line each: what it is about to do, and what is done.
#[derive(Default)]
struct Told {
    saving: Option<f64>,
    saved: Option<f64>,
    changing: Option<f64>,
    changed: Option<f64>,
    kept: Option<f64>,
}

impl Told {
    fn of(lines: &str) -> Self {
        let mut told = Self::default();
        // A line without its end was cut off by the kill; it says something that was about to be.
        for line in lines.lines() {
            let Some((word, number)) = line.rsplit_once(' ') else { continue };
            let Ok(number) = number.parse() else { continue };
            match word {
                "saving" => told.saving = Some(number),
                // Once saved, nothing is unsaved.
                "saved" => {
                    told.saved = Some(number);
                    (told.changing, told.changed, told.kept) = (None, None, None);
                }
                "changing" => told.changing = Some(number),
                "changed" => told.changed = Some(number),
                "kept" => told.kept = Some(number),
                _ => {}
            }
        }
        told
    }
}

const CHILD_FOLDER: &str = "FIELDSTOP_LOST_FOLDER";

/// Not a check of its own: the process that is killed. It works on a kit, saves it and has its work
/// kept, without end, as fast as it can.
#[test]
#[ignore = "runs until it is killed; the other tests start it"]
fn child_works_until_it_is_killed() {
    let Ok(folder) = env::var(CHILD_FOLDER).map(PathBuf::from) else { return };
    let (kit, own) = (folder.join("club.ron"), folder.join("own"));
    let mut window = window_on(Some(&kit), &own);
    if window.query_by_label(OFFER).is_some() {
        click(&mut window, "Throw it away");
    }
    say("ready", 0.0);
    for round in 0_u32.. {
        let length_mm = f64::from(400 + round * 37 % 500);
        // Work that comes back to what the file holds is unsaved no longer, as soon as a frame passes.
        say("changing", length_mm);
        assert_eq!(change(&mut window, length_mm), length_mm);
        say("changed", length_mm);
        if round % 2 == 0 {
            keep(&mut window);
            say("kept", length_mm);
        } else {
            say("saving", length_mm);
            save(&mut window);
            assert!(!window.state().document().is_changed());
            say("saved", length_mm);
        }
    }
}

/// Not a check of its own: the process that is killed while it does nothing but write, as saving
/// and keeping work do.
#[test]
#[ignore = "runs until it is killed; the other tests start it"]
fn child_writes_until_it_is_killed() {
    let Ok(folder) = env::var(CHILD_FOLDER).map(PathBuf::from) else { return };
    let (path, own) = (folder.join("club.ron"), folder.join("own"));
    let mut kit = read(&path);
    let ota = kit.otas.iter().position(|ota| ota.name == kit.rigs[0].ota).unwrap();
    // What the last child left is thrown away.
    for left in recovery::left_behind(&own, &|_| true).work {
        left.slot.clear().unwrap();
    }
    let slot = Slot::take(&own).unwrap();
    say("ready", 0.0);
    for round in 0_u32.. {
        let length_mm = f64::from(400 + round * 37 % 500);
        kit.otas[ota].focal_length_mm = length_mm;
        let unsaved = Unsaved { kit: kit.clone(), path: Some(path.clone()), on_disk: None };
        say("changed", length_mm);
        recovery::keep(slot.file(), &unsaved).unwrap();
        say("kept", length_mm);
        kit.otas[ota].focal_length_mm += 0.5;
        say("saving", length_mm + 0.5);
        kit_file::write(&path, &kit).unwrap();
        say("saved", length_mm + 0.5);
    }
}

fn say(word: &str, number: f64) {
    let mut output = std::io::stderr().lock();
    writeln!(output, "{word} {number}").unwrap();
}

fn start_child(folder: &Folder, name: &str) -> Child {
    Command::new(env::current_exe().unwrap())
        .args(["--exact", name, "--ignored", "--nocapture"])
        .env(CHILD_FOLDER, &folder.0)
        .stdout(Stdio::null())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap()
}

/// Kills the child at a moment after it began to work, and answers all that it said.
fn killed(folder: &Folder, name: &str, after: Duration) -> String {
    let mut child = start_child(folder, name);
    let mut output = BufReader::new(child.stderr.take().unwrap());
    let mut said = String::new();
    while !said.ends_with("ready 0\n") {
        assert!(output.read_line(&mut said).unwrap() > 0, "the child ended: {said}");
    }
    let reader = thread::spawn(move || {
        let mut rest = String::new();
        output.read_to_string(&mut rest).unwrap();
        rest
    });
    thread::sleep(after);
    child.kill().unwrap();
    child.wait().unwrap();
    reader.join().unwrap()
}

/// The next of a row of numbers that look random: xorshift64, of G. Marsaglia.
fn next(state: &mut u64) -> u64 {
    *state ^= *state << 13;
    *state ^= *state >> 7;
    *state ^= *state << 17;
    *state
}

fn number_from_environment(name: &str, otherwise: u64) -> u64 {
    env::var(name).map_or(otherwise, |text| text.parse().expect("a number"))
}

/// What many kills came to.
#[derive(Default)]
struct Count {
    while_saving: u64,
    given_back: u64,
    strays: usize,
}

/// Kills a child again and again, and looks every time at the kit and at what would be offered;
/// `offered` answers the work that the next start offers.
fn kill_often(
    name: &str,
    (kills, longest): (u64, Duration),
    offered: impl Fn(&Folder) -> Option<Kit>,
) -> Count {
    let seed = number_from_environment("SEED", 1);
    let folder = Folder::new(name);
    let base = begin(&folder).state().document().kit.clone();
    let mut random = seed.max(1).wrapping_mul(0x9e37_79b9_7f4a_7c15);
    let mut old = focal_length_of(&base);
    let mut count = Count::default();
    for kill in 0..kills {
        let after = longest.mul_f64((next(&mut random) % 1_000_000) as f64 / 1e6);
        let told = Told::of(&killed(&folder, name, after));
        let place = format!("seed {seed}, kill {kill}, {after:?} after it began");

        let on_disk = read(&folder.kit());
        let on_disk_mm = focal_length_of(&on_disk);
        old = told.saved.unwrap_or(old);
        let about = told.saving.filter(|&saving| saving != old);
        assert!(
            on_disk_mm == old || Some(on_disk_mm) == about,
            "{place}: {on_disk_mm} mm is neither {old} mm nor {about:?}"
        );
        assert_eq!(whole(&on_disk, &base), base, "{place}: something else has changed");
        count.while_saving += u64::from(about.is_some());
        old = on_disk_mm;

        // What was kept and is in no file is offered. What the child was about to do it may have done:
        // saved, or come back to what the file held, and then nothing is unsaved.
        let in_file =
            [told.saving, told.changing, told.changed, told.kept].contains(&Some(on_disk_mm));
        let Some(kept) = told.kept.filter(|_| !in_file) else { continue };
        let Some(back) = offered(&folder) else {
            panic!("{place}: {kept} mm was kept, and is not offered")
        };
        let back_mm = focal_length_of(&back);
        assert!(
            back_mm == kept || [told.changing, told.changed].contains(&Some(back_mm)),
            "{place}: {back_mm} mm is offered instead of {kept} mm"
        );
        assert_eq!(whole(&back, &base), base, "{place}");
        count.given_back += 1;
    }
    count.strays =
        folder.names().iter().filter(|name| !["club.ron", "own"].contains(&name.as_str())).count();
    println!(
        "{name}: {kills} kills, seed {seed}: {} while it saved, {} times work was given back, \
         {} stray files",
        count.while_saving, count.given_back, count.strays
    );
    count
}

/// `KILLS` makes it longer, `SEED` another one.
#[test]
fn a_kill_within_the_writing_leaves_the_old_kit_or_the_new_one_and_the_work() {
    let kills = number_from_environment("KILLS", 40);
    let offered = |folder: &Folder| {
        let mut work = recovery::left_behind(&folder.own(), &|_| true).work;
        work.pop().map(|left| left.unsaved.kit)
    };
    let longest = Duration::from_millis(40);
    let count = kill_often("child_writes_until_it_is_killed", (kills, longest), offered);
    assert!(count.while_saving > 0, "no kill met a save");
    assert!(count.given_back > 0, "no kill met unsaved work");
}

/// `WINDOW_KILLS` makes it longer: a window takes a second to come up.
#[test]
fn a_killed_window_leaves_a_whole_kit_and_the_next_one_offers_its_work() {
    let kills = number_from_environment("WINDOW_KILLS", 4);
    let offered = |folder: &Folder| {
        let mut window = window_on(None, &folder.own());
        window.query_by_label(OFFER)?;
        click(&mut window, "Go on with it");
        Some(window.state().document().kit.clone())
    };
    let longest = Duration::from_secs(3);
    kill_often("child_works_until_it_is_killed", (kills, longest), offered);
}

/// A disk that takes only so much: the shell's limit on the size of files, which ends a write as a
/// full disk does, half way through.
#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_is_told_and_the_old_file_stays_whole() {
    let folder = Folder::new("full");
    let old = begin(&folder).state().document().kit.clone();
    let before = fs::read(folder.kit()).unwrap();
    assert!(before.len() > 2 * 1024, "the kit must be larger than the limit");
    let output = Command::new("sh")
        .args([
            "-c",
            "trap '' XFSZ; ulimit -f 2; exec \"$0\" --exact child_saves_once --ignored --nocapture",
        ])
        .arg(env::current_exe().unwrap())
        .env(CHILD_FOLDER, &folder.0)
        .output()
        .unwrap();
    let told = String::from_utf8_lossy(&output.stderr);
    assert!(told.contains("club.ron could not be written:"), "{told}");
    assert_eq!(fs::read(folder.kit()).unwrap(), before);
    assert_eq!(read(&folder.kit()), old);
    assert_eq!(folder.names(), ["club.ron", "own"], "something half written was left");
}

#[test]
#[ignore = "the test of a full disk starts it"]
fn child_saves_once() {
    let Ok(folder) = env::var(CHILD_FOLDER).map(PathBuf::from) else { return };
    let path = folder.join("club.ron");
    let mut kit = read(&path);
    kit.name = "Another".to_owned();
    let error = kit_file::write(&path, &kit).expect_err("the disk is full");
    eprintln!("{error}");
}

/// A device that is always full, and a folder that is none.
#[cfg(target_os = "linux")]
#[test]
fn what_cannot_be_written_to_is_refused_in_words() {
    let folder = Folder::new("refuses");
    let kit = begin(&folder).state().document().kit.clone();
    let device = kit_file::write(Path::new("/dev/full"), &kit).unwrap_err().to_string();
    assert!(device.contains("/dev/full is a device, pipe or socket"), "{device}");
    let inside = folder.kit().join("club.ron");
    let no_folder = kit_file::write(&inside, &kit).unwrap_err().to_string();
    assert!(no_folder.contains("club.ron"), "{no_folder}");
    // The system itself lets nobody make a file there, whoever asks.
    let read_only = kit_file::write(Path::new("/proc/club.ron"), &kit).unwrap_err().to_string();
    assert!(read_only.contains("/proc/club.ron could not be written:"), "{read_only}");
}

/// A kit with the length that the child changes as it was at first.
fn whole(kit: &Kit, base: &Kit) -> Kit {
    let mut kit = kit.clone();
    for (ota, first) in kit.otas.iter_mut().zip(&base.otas) {
        if ota.name == base.rigs[0].ota {
            ota.focal_length_mm = first.focal_length_mm;
        }
    }
    kit
}
