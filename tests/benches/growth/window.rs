//! A frame of the window, from input to triangles without a GPU, as its lists grow.

use std::path::PathBuf;
use std::time::{Duration, Instant};

use egui::{Vec2, ViewportId};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;
use fieldstop_gui::app::App;
use fieldstop_gui::files::kit_file;
use fieldstop_gui::files::wish_import::MOST_WISHES;
use fieldstop_gui::sky::Sky;

use crate::choosing::kit_of_wishes;
use crate::law::{A_SCREEN, Job, Law, decades};

/// What a frame of a view is called in the table.
pub(crate) const FRAME: &str = "targets on the wish list, one frame of the";

/// What is worked out beside the window is waited for so long.
const PATIENCE: Duration = Duration::from_secs(300);

pub(crate) fn laws() -> Vec<Law> {
    let law = |view: &str, clicks: &'static [&'static str]| {
        let name = format!("{FRAME} {view}");
        Law::new(&name, A_SCREEN, decades(1, MOST_WISHES as u32), move |count| frame(clicks, count))
    };
    vec![
        law("Frame view", &["Frame"]),
        law("Year view, by nights", &["Year"]),
        law("Choose view, by focal length", &["Choose"]),
        law("Choose view, by rig", &["Choose", "Targets by rig"]),
    ]
}

/// A frame of what is shown once these were clicked.
fn frame(clicks: &[&str], wishes: u32) -> Job {
    let sky = Sky::embedded().unwrap();
    let name = format!("growth_{}.ron", std::process::id());
    let path = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(name);
    kit_file::write(&path, &kit_of_wishes(&sky, wishes)).unwrap();
    let kit = path.clone();
    let mut window = Harness::builder()
        .with_size(Vec2::new(1280.0, 800.0))
        .with_max_steps(20)
        .build_eframe(|cc| App::new(cc, Some(kit)).expect("the embedded sky opens"));
    window.run_steps(6);
    for label in clicks {
        window.get_by_label(label).click();
        window.run_steps(6);
    }
    assert_eq!(window.state().document().kit.wish_list.len(), wishes as usize);
    let begun = Instant::now();
    while window.output().viewport_output[&ViewportId::ROOT].repaint_delay < Duration::from_secs(1)
        || window.ctx.has_requested_repaint()
    {
        assert!(
            begun.elapsed() < PATIENCE,
            "{clicks:?} with {wishes} targets does not come to rest"
        );
        window.step();
        std::thread::sleep(Duration::from_millis(2));
    }
    std::fs::remove_file(&path).unwrap();
    Box::new(move || {
        window.step();
        let shapes = window.output().shapes.clone();
        std::hint::black_box(window.ctx.tessellate(shapes, 1.0));
    })
}
