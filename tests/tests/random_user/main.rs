//! A random user: clicks, drags, keys, words, sizes and scales by chance, over all of the window.
//!
//! After every frame nothing has panicked, on any thread, and the kit is one that can be computed
//! with. Every few frames no text on the screen is a figure that is none, nothing is drawn nowhere,
//! and what would be saved is read back as it is. At the end of each trial undo leads back to the kit
//! that was opened or begun, and redo to the end. The history keeps a hundred steps: a trial with
//! so many changes that it may have lost its first is only asked that redo leads back.
//!
//! `SEED`, `STEPS` (of each shard) and `SHARDS` come from the environment. A trial is told by its
//! seed; workers have their own pace, so a repeat is as good as the same and not always the same.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test fails by panicking"
)]

mod chance;
mod deed;

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};
use std::sync::Mutex;

use egui::epaint::Shape;
use egui::{Key, Modifiers, Vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use fieldstop::kit::Kit;
use fieldstop_gui::app::App;
use fieldstop_gui::clipboard::PictureClipboard;
use fieldstop_gui::files::{demo_kit, kit_file};
use fieldstop_gui::nights::site_clock::system_zone;
use fieldstop_gui::sky::catalogue::Catalogue;
use fieldstop_gui::starting_points::new_kit;

use chance::Chance;
use deed::{Deed, Window};

/// Frames of one trial.
const TRIAL_STEPS: usize = 300;
/// Steps that the history is sure to keep; a change can end the step before it and one of its own.
const SURE_CHANGES: usize = 49;

/// What panicked, wherever it was.
static PANICS: Mutex<Vec<String>> = Mutex::new(Vec::new());

struct Trial<'a> {
    seed: u64,
    chance: Chance,
    window: Window,
    catalogue: &'a Catalogue,
    folder: PathBuf,
    /// The kit that was opened or begun, to which undo leads.
    begun: Kit,
    before: Kit,
    /// Frames that changed the kit since then.
    changes: usize,
    steps: usize,
    log: Vec<String>,
}

impl<'a> Trial<'a> {
    fn new(seed: u64, catalogue: &'a Catalogue) -> Self {
        let mut chance = Chance::new(seed);
        let folder = folder_of_run().join(seed.to_string());
        fill(&folder);
        let kit = chance.one_in(3).then(|| folder.join("kit.ron"));
        let mut window = Harness::builder()
            .with_size(Vec2::new(1280.0, 800.0))
            .with_max_steps(20)
            // What is typed need not be in the font.
            .allow_missing_glyphs()
            .build_eframe(|cc| {
                let app = App::new(cc, kit).expect("the embedded sky opens");
                // The clipboard of whoever runs this is theirs.
                app.copying_pictures_to(PictureClipboard::new(|_| Ok(())))
            });
        window.run_steps(4);
        let begun = window.state().document().kit.clone();
        Self {
            seed,
            chance,
            window,
            catalogue,
            folder,
            before: begun.clone(),
            begun,
            changes: 0,
            steps: 0,
            log: Vec::new(),
        }
    }

    fn kit(&self) -> &Kit {
        &self.window.state().document().kit
    }

    fn run(&mut self, steps: usize) -> Result<(), String> {
        while self.steps < steps {
            for deed in deed::choose(&mut self.chance, &self.window, &self.folder) {
                self.act(&deed)?;
            }
        }
        self.undo_and_redo()
    }

    /// One deed, and whether all still stands.
    fn act(&mut self, deed: &Deed) -> Result<(), String> {
        self.steps += 1;
        self.log.push(deed.told());
        let window = &mut self.window;
        let done = catch_unwind(AssertUnwindSafe(|| deed.act(window)));
        let panics = PANICS.lock().unwrap_or_else(|held| held.into_inner()).clone();
        if done.is_err() || !panics.is_empty() {
            return Err(panics.join("\n"));
        }
        self.kit().check().map_err(|fault| format!("the kit is not sound: {fault}"))?;
        self.note_changes()?;
        if self.steps.is_multiple_of(8) {
            self.check_figures()?;
        }
        if self.steps.is_multiple_of(50) {
            self.check_file()?;
        }
        Ok(())
    }

    /// Where there is nothing to undo, the kit is one that was opened or begun.
    fn note_changes(&mut self) -> Result<(), String> {
        let document = self.window.state().document();
        if document.kit != self.before {
            self.changes += 1;
            self.before = document.kit.clone();
        }
        if document.can_undo() {
            return Ok(());
        }
        let kit = document.kit.clone();
        let known = |name: &str| self.catalogue.named(name).is_some();
        let opened = || document.path().and_then(|path| kit_file::read(path, &known).ok());
        let expected = kit == self.begun
            || self.changes > SURE_CHANGES
            || new_kits().contains(&kit)
            || demo_kit(&known).is_ok_and(|demo| demo == kit)
            || opened().is_some_and(|opened| opened == kit);
        if !expected {
            return Err(format!("nothing to undo, yet {}", difference(&self.begun, &kit)));
        }
        self.begun = kit;
        self.changes = 0;
        Ok(())
    }

    /// No figure that is none, neither told nor drawn.
    fn check_figures(&self) -> Result<(), String> {
        let is_none = |text: &str| {
            text.split(|c: char| !c.is_alphanumeric()).any(|word| word == "NaN" || word == "inf")
        };
        for node in self.window.query_all_by(|_| true) {
            let node = node.accesskit_node();
            for text in [node.label(), node.value()].into_iter().flatten() {
                if is_none(&text) {
                    return Err(format!("{:?} tells “{text}”", node.role()));
                }
            }
            if node.numeric_value().is_some_and(|value| !value.is_finite()) {
                return Err(format!("{:?} “{:?}” has no value", node.role(), node.label()));
            }
        }
        let shapes = &self.window.output().shapes;
        let mut fault = None;
        for shape in shapes {
            visit(&shape.shape, &mut |shape| match shape {
                Shape::Text(text) if is_none(text.galley.text()) => {
                    fault = Some(format!("“{}” is drawn", text.galley.text()));
                }
                // Empty text takes no place, and may have none.
                Shape::Text(text) if text.pos.any_nan() && !text.galley.text().is_empty() => {
                    let words = text.galley.text();
                    fault = Some(format!("{words:?} is drawn at {:?}", text.pos));
                }
                Shape::Text(_) => {}
                shape if shape.visual_bounding_rect().any_nan() => {
                    let told: String = format!("{shape:?}").chars().take(300).collect();
                    fault = Some(format!("drawn nowhere: {told}"));
                }
                _ => {}
            });
        }
        fault.map_or(Ok(()), Err)
    }

    /// What would be saved is read back as it is.
    fn check_file(&self) -> Result<(), String> {
        let path = self.folder.join("check.ron");
        let known = |name: &str| self.catalogue.named(name).is_some();
        kit_file::write(&path, self.kit()).map_err(|error| format!("not written: {error}"))?;
        let read = kit_file::read(&path, &known).map_err(|error| format!("not read: {error}"))?;
        if read == *self.kit() { Ok(()) } else { Err(difference(self.kit(), &read)) }
    }

    /// Back to where the history begins, and to the end again.
    fn undo_and_redo(&mut self) -> Result<(), String> {
        self.act(&Deed::PointerGone)?;
        // A question that is open keeps every other key from the window. A field in it, and what asked
        // before it, each take a key of their own.
        for _ in 0..8 {
            self.act(&Deed::Key(Modifiers::NONE, Key::Escape))?;
        }
        // Leaves the steps, which are a single step of the history once they are over.
        self.act(&Deed::Key(Modifiers::COMMAND, Key::Num1))?;
        for _ in 0..6 {
            self.act(&Deed::Wait)?;
        }
        let end = self.kit().clone();
        let sure = self.changes <= SURE_CHANGES;
        let begun = self.begun.clone();
        // What the user has undone and not made again stays ahead of the end.
        let ahead = self.window.state().document().can_redo();
        let mut undone = 0;
        while self.window.state().document().can_undo() {
            let before = self.kit().clone();
            self.act(&Deed::Key(Modifiers::COMMAND, Key::Z))?;
            undone += 1;
            if *self.kit() == before {
                return Err(format!("undo {undone} changed nothing"));
            }
            if undone > 200 {
                return Err("undo does not end".to_owned());
            }
        }
        if sure && *self.kit() != begun {
            return Err(format!("undo ends elsewhere: {}", difference(&begun, self.kit())));
        }
        for step in 0..undone {
            if !self.window.state().document().can_redo() {
                return Err(format!("{undone} steps were undone, only {step} can be redone"));
            }
            self.act(&Deed::Key(Modifiers::COMMAND | Modifiers::SHIFT, Key::Z))?;
        }
        if *self.kit() != end {
            return Err(format!("redo ends elsewhere: {}", difference(&end, self.kit())));
        }
        if self.window.state().document().can_redo() != ahead {
            return Err(format!("{undone} steps were undone, and there are more to redo"));
        }
        Ok(())
    }
}

/// The kits that a person can begin with nothing.
fn new_kits() -> [Kit; 2] {
    let mut zoned = new_kit("My kit");
    if let Some(zone) = system_zone() {
        zoned.site.time_zone = zone;
    }
    [new_kit("My kit"), zoned]
}

/// Where this run reads and writes, a folder for each trial.
fn folder_of_run() -> PathBuf {
    let name = format!("random_user_{}", std::process::id());
    PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(name)
}

/// What a trial may open.
fn fill(folder: &Path) {
    drop(std::fs::remove_dir_all(folder));
    std::fs::create_dir_all(folder).unwrap();
    let tests = Path::new(env!("CARGO_MANIFEST_DIR"));
    let copies = [
        ("kits/example-kit.ron", "kit.ron"),
        ("reference/pictures/sip64f.fits", "picture.fits"),
        ("reference/pictures/avm.png", "picture.png"),
    ];
    for (from, to) in copies {
        std::fs::copy(tests.join(from), folder.join(to)).unwrap();
    }
    std::fs::write(folder.join("damaged.ron"), "Kit(format: 1, name: \"broken\"").unwrap();
    std::fs::write(folder.join("list.csv"), "name;ra;dec\nM 33;;\nMine;01:02:03;+4,5\n?;x;y\n")
        .unwrap();
    image::GrayImage::new(40, 30).save(folder.join("no coordinates.png")).unwrap();
}

/// The first lines in which two kits differ.
fn difference(wanted: &Kit, found: &Kit) -> String {
    let (wanted, found) = (format!("{wanted:#?}"), format!("{found:#?}"));
    let mut lines: Vec<String> = wanted
        .lines()
        .zip(found.lines())
        .filter(|(wanted, found)| wanted != found)
        .take(8)
        .map(|(wanted, found)| format!("wanted {}, found {}", wanted.trim(), found.trim()))
        .collect();
    lines.push(format!("({} and {} lines)", wanted.lines().count(), found.lines().count()));
    lines.join("\n")
}

fn visit(shape: &Shape, see: &mut impl FnMut(&Shape)) {
    match shape {
        Shape::Vec(shapes) => shapes.iter().for_each(|shape| visit(shape, see)),
        shape => see(shape),
    }
}

fn asked(name: &str, usual: u64) -> u64 {
    match std::env::var(name) {
        Ok(text) => text.parse().unwrap_or_else(|_| panic!("{name} is {text}, not a number")),
        Err(_) => usual,
    }
}

/// Trials one after the other, until so many steps were made; the failure, if there is one.
fn shard(first: u64, stride: u64, steps: usize, catalogue: &Catalogue) -> (usize, Option<String>) {
    let mut made = 0;
    let mut seed = first;
    while made < steps {
        let wanted = TRIAL_STEPS.min(steps - made);
        let mut trial = Trial::new(seed, catalogue);
        let outcome = trial.run(wanted);
        made += trial.steps;
        if let Err(why) = outcome {
            let report = format!(
                "SEED={} STEPS={wanted} SHARDS=1 fails at step {}: {why}\nwhat was done:\n{}",
                trial.seed,
                trial.steps,
                trial.log.join("\n")
            );
            return (made, Some(report));
        }
        drop(std::fs::remove_dir_all(&trial.folder));
        println!("seed {seed}: {} steps", trial.steps);
        seed += stride;
    }
    (made, None)
}

#[test]
fn a_random_user_breaks_nothing() {
    let (seed, steps, shards) = (asked("SEED", 1), asked("STEPS", 150), asked("SHARDS", 2));
    let usual = std::panic::take_hook();
    std::panic::set_hook(Box::new(move |info| {
        let trace = std::backtrace::Backtrace::force_capture();
        let own = trace.to_string();
        let lines = own.lines().filter(|line| line.contains("fieldstop") || line.contains("./"));
        let lines: Vec<&str> = lines.take(24).collect();
        let mut panics = PANICS.lock().unwrap_or_else(|held| held.into_inner());
        panics.push(format!("{info}\n{}", lines.join("\n")));
    }));
    let catalogue = Catalogue::embedded().expect("the embedded catalogue opens");
    let outcomes: Vec<_> = std::thread::scope(|scope| {
        let shards: Vec<_> = (0..shards)
            .map(|place| {
                let catalogue = &catalogue;
                scope.spawn(move || shard(seed + place, shards, steps as usize, catalogue))
            })
            .collect();
        shards.into_iter().map(|shard| shard.join().expect("a shard ends")).collect()
    });
    std::panic::set_hook(usual);
    let made: usize = outcomes.iter().map(|(made, _)| made).sum();
    println!("{made} steps from seed {seed} on in {shards} shards");
    // Empty but for what a failure leaves to look at.
    drop(std::fs::remove_dir(folder_of_run()));
    let failures: Vec<String> = outcomes.into_iter().filter_map(|(_, failure)| failure).collect();
    assert!(failures.is_empty(), "{}", failures.join("\n\n"));
}
