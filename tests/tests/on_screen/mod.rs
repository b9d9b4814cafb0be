//! The window used without a screen, through its accessibility tree: what every test of it begins
//! with.

#![allow(dead_code, reason = "every file of tests uses some of it")]
#![allow(clippy::panic, reason = "a test fails by panicking")]

use std::path::PathBuf;
use std::time::{Duration, Instant};

use egui::accesskit::Role;
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

/// Whether a text is shown somewhere.
pub(crate) fn says(window: &Window, text: &str) -> bool {
    window.query_all_by_label_contains(text).next().is_some()
}

/// The whole of the first text that contains another.
pub(crate) fn text_with(window: &Window, text: &str) -> String {
    let all = shown(window);
    let found = all.iter().find(|label| label.contains(text)).cloned();
    found.unwrap_or_else(|| panic!("no “{text}” among {all:#?}"))
}

/// Lets the workers finish: until a text is shown.
pub(crate) fn wait_for(window: &mut Window, text: &str) {
    wait_until(window, text, |window| says(window, text));
}

/// The same for anything that can be seen.
pub(crate) fn wait_until(window: &mut Window, what: &str, so: impl Fn(&Window) -> bool) {
    // Many times what any of it takes, also beside other tests.
    let end = Instant::now() + Duration::from_secs(180);
    while Instant::now() < end {
        window.run_steps(2);
        if so(window) {
            return settle(window);
        }
        std::thread::sleep(Duration::from_millis(20));
    }
    panic!("“{what}” does not come: {:#?}", shown(window));
}

/// Clicks a button with the pointer.
pub(crate) fn click(window: &mut Window, label: &str) {
    window.get_by_role_and_label(Role::Button, label).click();
    settle(window);
}

/// Sets off a button by assistive technology, which reaches what is scrolled out of sight as well.
pub(crate) fn activate(window: &mut Window, label: &str) {
    window.get_by_role_and_label(Role::Button, label).click_accesskit();
    settle(window);
}

/// Writes into a field, and ends it by the Enter key.
pub(crate) fn type_into(window: &mut Window, label: &str, text: &str) {
    let field = window.get_by_role_and_label(Role::TextInput, label);
    field.focus();
    field.set_text_value_accesskit(text);
    settle(window);
    press(window, Modifiers::NONE, Key::Enter);
}
