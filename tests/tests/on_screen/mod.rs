//! The window used without a screen, through its accessibility tree: what every test of it begins
//! with.

#![allow(dead_code, reason = "every file of tests uses some of it")]

use std::path::PathBuf;

use egui::{Key, Modifiers, Vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use fieldstop::kit::Kit;
use fieldstop_gui::app::App;

pub(crate) type Window = Harness<'static, App>;

/// The window of its usual size, on a kit in a file or on the demo kit.
pub(crate) fn open(kit: Option<PathBuf>) -> Window {
    open_in(Vec2::new(1280.0, 800.0), kit)
}

/// The same of another size.
pub(crate) fn open_in(size: Vec2, kit: Option<PathBuf>) -> Window {
    let mut window = Harness::builder()
        .with_size(size)
        .with_max_steps(20)
        .build_eframe(|cc| App::new(cc, kit).expect("the embedded sky opens"));
    settle(&mut window);
    window
}

/// Lets what was done come to rest.
pub(crate) fn settle(window: &mut Window) {
    window.run_steps(6);
}

pub(crate) fn kit(window: &Window) -> &Kit {
    &window.state().document().kit
}

pub(crate) fn press(window: &mut Window, modifiers: Modifiers, key: Key) {
    window.key_press_modifiers(modifiers, key);
    settle(window);
}

/// Every text of the window: a plain text has a value where a control has a label.
pub(crate) fn shown(window: &Window) -> Vec<String> {
    let nodes = window.query_all_by(|_| true);
    nodes
        .filter_map(|node| node.accesskit_node().label().or_else(|| node.accesskit_node().value()))
        .collect()
}
