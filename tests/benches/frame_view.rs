//! What a person waits for in the Frame view: one frame of the window with eight rigs over a
//! crowded field, from input to triangles, without a GPU.
//!
//! `cargo bench -p fieldstop-tests --bench frame_view` prints the median and the 99th percentile
//! of 600 frames for a resting view and for one that is panned at every frame, how many took longer
//! than the 6.9 ms of a display's 144 Hz, and how many stars were in view; then criterion's own figures for the parts.

#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a bench fails by panicking")]

use std::time::{Duration, Instant};

use criterion::Criterion;
use egui::accesskit::Role;
use egui::{Event, Key, Modifiers, Vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;
use fieldstop::kit::Kit;
use fieldstop::stars::{LISTED_LIMIT, SYNTHETIC_LIMIT, synthetic_stars};
use fieldstop::{Angle, Direction, Star};
use fieldstop_gui::app::App;
use fieldstop_gui::files;
use fieldstop_gui::framing::frame_on;
use fieldstop_gui::paint::screen;
use fieldstop_gui::scene::view::SkyView;
use fieldstop_gui::scene::{self, DrawnFrame, Layers, SkyInput};
use fieldstop_gui::sky::{Sky, Target};
use fieldstop_gui::theme;

const FRAMES: usize = 600;

/// Between two pictures of a display of 144 Hz.
const PICTURE: Duration = Duration::from_micros(6_944);

/// The demo kit with eight rigs, in a file of its own.
fn crowded_kit(sky: &Sky) -> std::path::PathBuf {
    let mut kit = files::demo_kit(&|name| sky.catalogue.named(name).is_some()).unwrap();
    while kit.rigs.len() < 8 {
        let last = kit.rigs.len() - 1;
        kit.duplicate_rig(last).unwrap();
    }
    let path = std::env::temp_dir().join(format!("fieldstop-bench-{}.ron", std::process::id()));
    files::kit_file::write(&path, &kit).unwrap();
    path
}

fn window(path: &std::path::Path) -> Harness<'static, App> {
    let path = path.to_owned();
    let mut window = Harness::builder()
        .with_size(Vec2::new(1200.0, 800.0))
        .build_eframe(|cc| App::new(cc, Some(path)).expect("the embedded sky opens"));
    window.run_steps(4);
    // Where the Milky Way is thick.
    window.get_by_label("NGC 7000  North America Nebula").click();
    window.run_steps(10);
    window.get_by_role(Role::Canvas).focus();
    window.run_steps(10);
    window
}

/// Durations of single frames, input to triangles.
fn frames(window: &mut Harness<'static, App>, panning: bool) -> Vec<Duration> {
    let mut moved = 0;
    let times = (0..FRAMES)
        .map(|index| {
            if panning {
                let key = if index % 40 < 20 { Key::ArrowRight } else { Key::ArrowLeft };
                // Not by the harness's own press of a key, which takes four frames.
                window.input_mut().events.push(Event::ModifiersChanged(Modifiers::COMMAND));
                window.input_mut().events.push(Event::Key {
                    key,
                    physical_key: None,
                    pressed: true,
                    repeat: false,
                    modifiers: Modifiers::COMMAND,
                });
            }
            let before = window.state().workspace().centre_deg;
            let start = Instant::now();
            window.step();
            let shapes = window.output().shapes.clone();
            std::hint::black_box(window.ctx.tessellate(shapes, 1.0));
            let elapsed = start.elapsed();
            moved += usize::from(window.state().workspace().centre_deg != before);
            elapsed
        })
        .collect();
    assert_eq!(moved, if panning { FRAMES } else { 0 }, "frames in which the view moved");
    times
}

fn report(name: &str, mut times: Vec<Duration>) {
    times.sort();
    let at = |share: f64| times[((times.len() - 1) as f64 * share) as usize];
    println!(
        "{name}: median {:.2} ms, 99th percentile {:.2} ms over {} frames, {} of them over 6.9 ms",
        at(0.5).as_secs_f64() * 1e3,
        at(0.99).as_secs_f64() * 1e3,
        times.len(),
        times.iter().filter(|time| **time > PICTURE).count(),
    );
}

/// A view of the Milky Way in Cygnus, with about as many stars as are ever drawn.
fn crowded_view() -> SkyView {
    let deneb = Direction::from_ra_dec(Angle::from_deg(310.4), Angle::from_deg(45.3));
    SkyView::new(deneb, Angle::from_deg(6.0), 724.0, 546.0)
}

/// Twenty thousand stars within the crowded view, which is more than the program ever draws.
fn many_stars(view: &SkyView) -> Vec<Star> {
    let mut stars = Vec::new();
    synthetic_stars(view.centre, view.radius(), LISTED_LIMIT, SYNTHETIC_LIMIT, &mut stars);
    stars.retain(|star| view.point(star.place).is_some_and(|point| view.bounds().contains(point)));
    stars.truncate(20_000);
    assert_eq!(stars.len(), 20_000);
    stars
}

/// The crowded kit's frames on a target, as the window draws them.
fn drawn_frames(kit: &Kit, target: &Target) -> Vec<DrawnFrame> {
    (0..kit.rigs.len())
        .map(|rig| DrawnFrame {
            name: kit.rigs[rig].name.clone(),
            frame: frame_on(kit, rig, target).unwrap(),
            mark: kit.mark_of(rig),
            lines: vec!["3.72° × 2.48°".to_owned(), "f/6.0  2.23″/px".to_owned()],
            panels: Vec::new(),
            lit_radius: None,
            lifted: rig == 1,
            chosen: rig == 0,
        })
        .collect()
}

/// Scene, shapes and triangles of one view, without the panels beside it.
fn whole_view(criterion: &mut Criterion, sky: &Sky, kit: &Kit) {
    let view = crowded_view();
    let palette = theme::palette(fieldstop_gui::state::ThemeChoice::Dark);
    let stars = many_stars(&view);
    let target = sky.catalogue.named("NGC 7000").unwrap();
    let frames = drawn_frames(kit, target);
    let ctx = egui::Context::default();
    ctx.set_fonts(fieldstop_gui::font::egui_fonts());
    criterion.bench_function("frame view/20,000 stars and 8 rigs to triangles", |bench| {
        bench.iter(|| {
            let scene = scene::sky_scene(&SkyInput {
                view,
                palette: &palette,
                catalogue: &sky.catalogue,
                star_list: &sky.stars,
                stars: &stars,
                chosen: Some(target),
                wishes: &[],
                frames: &frames,
                picture: None,
                layers: Layers::default(),
            });
            let mut output = ctx.run_ui(egui::RawInput::default(), |ui| {
                screen::paint(&scene, ui.painter(), egui::Pos2::ZERO);
            });
            let shapes = std::mem::take(&mut output.shapes);
            output.drop_without_applying_deltas();
            ctx.tessellate(shapes, 1.0)
        });
    });
}

fn parts(criterion: &mut Criterion, sky: &Sky) {
    let view = crowded_view();
    let palette = theme::palette(fieldstop_gui::state::ThemeChoice::Dark);
    let stars = scene::stars::fetch(&view, &sky.stars);
    println!("stars in the crowded view: {}", stars.len());
    let mut group = criterion.benchmark_group("frame view");
    group.bench_function("fetch stars", |bench| {
        bench.iter(|| scene::stars::fetch(&view, &sky.stars));
    });
    group.bench_function("scene", |bench| {
        bench.iter(|| {
            scene::sky_scene(&SkyInput {
                view,
                palette: &palette,
                catalogue: &sky.catalogue,
                star_list: &sky.stars,
                stars: &stars,
                chosen: sky.catalogue.named("NGC 7000"),
                wishes: &[],
                frames: &[],
                picture: None,
                layers: Layers::default(),
            })
        });
    });
    group.finish();
}

fn main() {
    let sky = Sky::embedded().unwrap();
    let path = crowded_kit(&sky);
    let mut window = window(&path);
    report("resting view", frames(&mut window, false));
    report("panned view", frames(&mut window, true));
    let kit = files::kit_file::read(&path, &|_| true).unwrap();
    std::fs::remove_file(&path).unwrap();
    let mut criterion = Criterion::default().configure_from_args();
    parts(&mut criterion, &sky);
    whole_view(&mut criterion, &sky, &kit);
    criterion.final_summary();
}
