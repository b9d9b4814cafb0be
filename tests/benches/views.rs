//! What a person waits for in every view: one frame of the window from input to triangles, without
//! a GPU, at rest and while a sketch, a sheet, a table or a list is made and saved, a sketch copied, the
//! kit saved, and (in the view of frames) a picture of one's own read, painted and laid under them.
//!
//! A copied sketch is packed as the system's clipboard packs it. What a graphics card's driver takes
//! to fetch the picture is not among the times.
//!
//! `cargo bench -p fieldstop-tests --bench views` prints median, 99th percentile and the longest of
//! at least 300 frames, and how many were over 50 ms and over the 6.9 ms of a display's 144 Hz. Times are by the clock, so they hold
//! what the worker takes away from the window on a machine with few processors. A frame is asked for as
//! soon as the last one is done, which a display's 144 Hz would not do.

#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a bench fails by panicking")]

use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use egui::accesskit::{Action as Ask, ActionData, ActionRequest, Role};
use egui::{Event, Key, Modifiers, Vec2, ViewportId};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use fieldstop::fits_header::fits_header;
use fieldstop::world_coordinates::WorldCoordinates;
use fieldstop::{Angle, Direction};
use fieldstop_gui::app::App;
use fieldstop_gui::clipboard::PictureClipboard;
use fieldstop_gui::files;
use fieldstop_gui::page_order::Pixels;
use fieldstop_gui::sky::Sky;
use image::codecs::png::PngEncoder;
use image::{ExtendedColorType, ImageEncoder as _};

const FRAMES: usize = 300;
/// No frame may take longer, at rest or while something is exported.
const BUDGET: Duration = Duration::from_millis(50);
/// Between two pictures of a display of 144 Hz.
const PICTURE: Duration = Duration::from_micros(6_944);
/// A worker that takes longer than this has failed.
const PATIENCE: Duration = Duration::from_secs(120);
/// Every view, and the last of the steps that begin a kit.
const VIEWS: [&str; 5] = ["Frame", "Year", "Demands", "Choose", "5  Candidates"];
const BOTH: Modifiers = Modifiers::COMMAND.plus(Modifiers::SHIFT);

/// The window with the durations of its frames.
struct Timed {
    window: Harness<'static, App>,
    times: Vec<Duration>,
}

/// The demo kit with eight rigs, in a file of its own.
fn crowded_kit(folder: &Path) -> PathBuf {
    let sky = Sky::embedded().unwrap();
    let mut kit = files::demo_kit(&|name| sky.catalogue.named(name).is_some()).unwrap();
    while kit.rigs.len() < 8 {
        let last = kit.rigs.len() - 1;
        kit.duplicate_rig(last).unwrap();
    }
    let path = folder.join("kit.ron");
    files::kit_file::write(&path, &kit).unwrap();
    path
}

/// Packs a picture as the system's clipboard does, with the same library.
fn packed(pixels: Pixels) -> Result<(), String> {
    let mut png = Vec::new();
    let [width, height] = pixels.size;
    PngEncoder::new(&mut png)
        .write_image(&pixels.rgba, width, height, ExtendedColorType::Rgba8)
        .map_err(|error| error.to_string())
}

/// A FITS picture of 4 megapixels.
fn picture() -> Vec<u8> {
    const SIDE: u32 = 2000;
    let map = WorldCoordinates::turned(
        (SIDE, SIDE),
        (
            [f64::from(SIDE) / 2.0; 2],
            Direction::from_ra_dec(Angle::from_deg(10.68), Angle::from_deg(41.27)),
        ),
        [Angle::from_deg(2.0) / f64::from(SIDE); 2],
        Angle::from_deg(20.0),
    );
    let mut bytes = fits_header(&map, "bench", &[]).into_bytes();
    let value = |place: u32| (place.wrapping_mul(2_654_435_761) >> 20) as i16;
    bytes.extend((0..SIDE * SIDE).flat_map(|place| value(place).to_be_bytes()));
    bytes.resize(bytes.len().next_multiple_of(2880), 0);
    bytes
}

impl Timed {
    /// The window on a kit, showing a view, with everything worked out.
    fn on(kit: &Path, view: &str) -> Self {
        let kit = kit.to_owned();
        let window = Harness::builder()
            .with_size(Vec2::new(1280.0, 800.0))
            .with_max_steps(20)
            .build_eframe(|cc| {
                let app = App::new(cc, Some(kit)).expect("the embedded sky opens");
                app.copying_pictures_to(PictureClipboard::new(packed))
            });
        let mut timed = Self { window, times: Vec::new() };
        if view.starts_with('5') {
            timed.click("Kit");
            timed.click("Go on step by step");
        }
        timed.click(view);
        timed.wait_until(|timed| {
            timed.window.output().viewport_output[&ViewportId::ROOT].repaint_delay
                > Duration::from_secs(1)
                && !timed.window.ctx.has_requested_repaint()
        });
        timed
    }

    /// One frame, input to triangles.
    fn frame(&mut self) {
        let start = Instant::now();
        self.window.step();
        let shapes = self.window.output().shapes.clone();
        std::hint::black_box(self.window.ctx.tessellate(shapes, 1.0));
        self.times.push(start.elapsed());
    }

    /// Lets frames pass until something is so; all of them are timed.
    fn wait_until(&mut self, so: impl Fn(&Self) -> bool) {
        let start = Instant::now();
        while !so(self) {
            assert!(start.elapsed() < PATIENCE, "a worker does not end");
            self.frame();
            std::thread::sleep(Duration::from_millis(2));
        }
    }

    /// Asks something of a control once it is there, in a frame that is timed.
    fn ask(&mut self, role: Role, label: &str, action: Ask, data: Option<ActionData>) {
        self.wait_until(|timed| {
            timed.window.query_all_by_role_and_label(role, label).next().is_some()
        });
        // A window's own controls stand after those of the view.
        let nodes = self.window.query_all_by_role_and_label(role, label);
        let node = nodes.last().unwrap();
        let (target_node, target_tree) = node.accesskit_node().locate();
        let request = ActionRequest { action, target_tree, target_node, data };
        self.window.input_mut().events.push(Event::AccessKitActionRequest(request));
        self.frame();
    }

    fn click(&mut self, label: &str) {
        self.ask(Role::Button, label, Ask::Click, None);
        self.frame();
    }

    fn write(&mut self, label: &str, text: &str) {
        self.ask(Role::TextInput, label, Ask::SetValue, Some(ActionData::Value(text.into())));
        self.frame();
    }

    fn press(&mut self, modifiers: Modifiers, key: Key) {
        let key = Event::Key { key, physical_key: None, pressed: true, repeat: false, modifiers };
        self.window.input_mut().events.extend([Event::ModifiersChanged(modifiers), key]);
        self.frame();
        self.window.input_mut().events.push(Event::ModifiersChanged(Modifiers::NONE));
        self.frame();
    }

    /// Answers the file window, and waits for the file.
    fn save(&mut self, path: &Path) {
        drop(std::fs::remove_file(path));
        for _ in 0..4 {
            self.frame();
        }
        self.write("Path of the file", &path.to_string_lossy());
        self.click("Save");
        let file = path.to_owned();
        self.wait_until(move |_| file.exists());
        self.frame();
    }

    fn sketch(&mut self, folder: &Path) {
        self.press(Modifiers::COMMAND, Key::E);
        self.click("Save as…");
        self.save(&folder.join("sketch.png"));
    }

    fn sheet(&mut self, folder: &Path) {
        self.press(BOTH, Key::E);
        self.wait_until(|timed| timed.window.query_by_label("Next page").is_some());
        self.click("Save as…");
        self.save(&folder.join("sheet.pdf"));
    }

    fn table(&mut self, folder: &Path) {
        self.press(Modifiers::COMMAND, Key::T);
        // The longest table, which is worked out anew each time.
        self.click("In season");
        self.wait_until(|timed| {
            let save = timed.window.query_by_label("Save the table as CSV");
            save.is_some_and(|save| !save.accesskit_node().is_disabled())
        });
        self.click("Save the table as CSV");
        self.save(&folder.join("table.csv"));
        self.click("Close window");
    }

    fn wishes(&mut self, folder: &Path) {
        self.click("More for the wish list");
        self.click("Wish list to a file…");
        self.save(&folder.join("wishes.vot"));
    }

    fn kit(&mut self, _: &Path) {
        self.press(Modifiers::COMMAND, Key::S);
    }

    /// Of the usual size, 4 megapixels; the bound is 8.
    fn copied(&mut self, _: &Path) {
        self.press(Modifiers::COMMAND, Key::E);
        self.click("Copy picture");
        self.wait_until(|timed| {
            timed.window.query_all_by_label_contains("Copied ").next().is_some()
        });
        self.click("Cancel");
    }

    /// As large as is kept.
    fn own_picture(&mut self, folder: &Path) {
        let path = folder.join("picture.fits");
        if !path.exists() {
            std::fs::write(&path, picture()).unwrap();
        }
        self.press(Modifiers::COMMAND, Key::P);
        self.click("Choose a picture…");
        for _ in 0..4 {
            self.frame();
        }
        self.write("Path of the file", &path.to_string_lossy());
        self.click("Open");
        self.wait_until(|timed| timed.window.query_by_label("Look there").is_some());
        self.click("Look there");
        for _ in 0..4 {
            self.frame();
        }
        self.click("Remove");
        self.press(Modifiers::COMMAND, Key::P);
    }

    fn report(&mut self, name: &str) {
        self.times.sort();
        let count = self.times.len();
        let ms = |place: usize| self.times[place].as_secs_f64() * 1e3;
        let over = |most| self.times.iter().filter(|time| **time > most).count();
        println!(
            "{name:<28} median {:6.2} ms, 99th percentile {:6.2} ms, longest {:6.2} ms; of \
             {count} frames {} over 50 ms, {} over 6.9 ms",
            ms(count / 2),
            ms((count - 1) * 99 / 100),
            ms(count - 1),
            over(BUDGET),
            over(PICTURE),
        );
        self.times.clear();
    }
}

/// A way to export, done over and over.
type Export = fn(&mut Timed, &Path);

fn main() {
    let folder = std::env::temp_dir().join(format!("fieldstop-views-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    let kit = crowded_kit(&folder);
    let exports: [(&str, Export); 7] = [
        ("sketch", Timed::sketch),
        ("sheet", Timed::sheet),
        ("table", Timed::table),
        ("wish list", Timed::wishes),
        ("saved kit", Timed::kit),
        ("copied sketch", Timed::copied),
        ("picture of one's own", Timed::own_picture),
    ];
    for view in VIEWS {
        let mut timed = Timed::on(&kit, view);
        timed.report(&format!("{view}, opened"));
        for _ in 0..FRAMES {
            timed.frame();
        }
        timed.report(&format!("{view}, at rest"));
        for (what, export) in exports {
            // The steps that begin a kit have neither list nor sky beside them.
            let is_there = match what {
                "wish list" => !view.starts_with('5'),
                "picture of one's own" => view == "Frame",
                _ => true,
            };
            if !is_there {
                continue;
            }
            while timed.times.len() < FRAMES {
                export(&mut timed, &folder);
            }
            timed.report(&format!("{view}, with a {what}"));
        }
    }
    std::fs::remove_dir_all(&folder).unwrap();
}
