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
    window
        .get_by_role_and_label(Role::Slider, &name)
        .set_value_accesskit(focal_length_mm);
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
                "saved" => (told.saved, told.changed, told.kept) = (Some(number), None, None),
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
    let say = |word: &str, number: f64| {
        let mut output = std::io::stderr().lock();
        writeln!(output, "{word} {number}").unwrap();
    };
    let mut window = window_on(Some(&kit), &own);
    if window.query_by_label(OFFER).is_some() {
        click(&mut window, "Throw it away");
    }
    say("ready", 0.0);
    for round in 0_u32.. {
        let length_mm = change(&mut window, f64::from(400 + round * 37 % 500));
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

fn start_child(folder: &Folder) -> Child {
    Command::new(env::current_exe().unwrap())
        .args(["--exact", "child_works_until_it_is_killed", "--ignored", "--nocapture"])
        .env(CHILD_FOLDER, &folder.0)
        .stdout(Stdio::null())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap()
}

/// Kills the child at a moment after it began to work, and answers all that it said.
fn killed(folder: &Folder, after: Duration) -> String {
    let mut child = start_child(folder);
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

/// `KILLS` and `SEED` make it longer and another one.
#[test]
fn a_kill_at_any_moment_leaves_the_old_kit_or_the_new_one_and_the_work() {
    let kills = number_from_environment("KILLS", 30);
    let seed = number_from_environment("SEED", 1);
    println!("{kills} kills, seed {seed}");
    let folder = Folder::new("killed");
    let base = begin(&folder).state().document().kit.clone();
    let mut random = seed.max(1).wrapping_mul(0x9e37_79b9_7f4a_7c15);
    let mut last_saved = focal_length_of(&base);
    let (mut while_saving, mut offered) = (0, 0);
    for kill in 0..kills {
        let after = Duration::from_micros(next(&mut random) % 400_000);
        let told = Told::of(&killed(&folder, after));
        let place = format!("kill {kill}, {after:?} after it began");

        let on_disk = read(&folder.kit());
        let on_disk_mm = focal_length_of(&on_disk);
        let old = told.saved.unwrap_or(last_saved);
        let about = told.saving.filter(|&saving| saving != old);
        assert!(
            on_disk_mm == old || Some(on_disk_mm) == about,
            "{place}: {on_disk_mm} mm is neither {old} mm nor {about:?}"
        );
        assert_eq!(whole(&on_disk, &base), base, "{place}: something else has changed");
        while_saving += u64::from(about.is_some());
        last_saved = on_disk_mm;

        // What was kept and is in no file is offered.
        let window = window_on(None, &folder.own());
        let offer = window.query_by_label(OFFER).is_some();
        if let Some(kept) = told.kept.filter(|&kept| kept != on_disk_mm) {
            assert!(offer, "{place}: {kept} mm was kept, and is not offered");
            let mut window = window;
            click(&mut window, "Go on with it");
            let restored = &window.state().document().kit;
            let restored_mm = focal_length_of(restored);
            assert!(
                restored_mm == kept || Some(restored_mm) == told.changed,
                "{place}: {restored_mm} mm instead of {kept} mm"
            );
            assert_eq!(whole(restored, &base), base, "{place}");
            offered += 1;
        }
    }
    println!("{kills} kills: {while_saving} while it saved, {offered} times work was given back");
    assert!(offered > 0, "no kill met unsaved work");
    let strays: Vec<String> =
        folder.names().into_iter().filter(|name| !["club.ron", "own"].contains(&name.as_str())).collect();
    println!("left beside the kit: {strays:?}");
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
