//! A window at rest takes no processor time: nothing asks for another frame without a cause.
//!
//! Each view and each window is opened and given time for what is worked out beside it. What is
//! announced for later, as the end of a notice, is waited for. Then, for a second, no frame may be
//! asked for. The cursor's blinking in a text field, which the toolkit does, is turned off.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test fails by panicking"
)]

mod on_screen;

use std::time::Duration;

use egui::accesskit::Role;
use egui::{Key, Modifiers, ViewportId};
use egui_kittest::kittest::Queryable as _;
use on_screen::{Window, open, press};

/// Frames within which everything is worked out and shown, with a moment between them.
const MOST_FRAMES: usize = 1500;
const MOMENT: Duration = Duration::from_millis(50);
/// Moments without a wish for a frame: a second.
const REST: usize = 20;

/// When the window wants its next frame after the last one.
fn delay(window: &Window) -> Duration {
    window.output().viewport_output[&ViewportId::ROOT].repaint_delay
}

/// Draws frames as they are asked for, until a second goes by in which none is.
fn comes_to_rest(window: &mut Window, what: &str) {
    let mut quiet = 0;
    for _ in 0..MOST_FRAMES {
        let wanted = delay(window);
        if wanted == Duration::MAX && !window.ctx.has_requested_repaint() {
            quiet += 1;
            if quiet == REST {
                return;
            }
            std::thread::sleep(MOMENT);
            continue;
        }
        quiet = 0;
        if wanted < Duration::from_secs(3600) {
            // The clock of the window goes as far as it would have waited.
            let now = window.ctx.input(|input| input.time);
            window.input_mut().time = Some(now + wanted.as_secs_f64() + 0.02);
        }
        window.step();
        std::thread::sleep(MOMENT / 10);
    }
    panic!("{what} asks for one frame after another: {:#?}", window.ctx.repaint_causes());
}

fn click(window: &mut Window, label: &str) {
    window.get_by_role_and_label(Role::Button, label).click();
    window.run_steps(4);
}

#[test]
fn every_view_comes_to_rest() {
    let mut window = open(None);
    for view in ["Frame", "Year", "Demands", "Choose"] {
        click(&mut window, view);
        comes_to_rest(&mut window, view);
    }
}

#[test]
fn every_step_of_the_first_start_comes_to_rest() {
    let mut window = open(None);
    click(&mut window, "Start with my own");
    for step in ["1  Site", "2  Camera", "3  Wish list", "4  Limits", "5  Candidates"] {
        click(&mut window, step);
        comes_to_rest(&mut window, step);
    }
}

#[test]
fn every_window_comes_to_rest() {
    const BOTH: Modifiers = Modifiers::COMMAND.plus(Modifiers::SHIFT);
    let windows = [
        ("Keys, sources and cautions", Modifiers::NONE, Key::F1, Role::Button, "Close window"),
        ("Export a table", Modifiers::COMMAND, Key::T, Role::Button, "Copy"),
        ("Panels", Modifiers::COMMAND, Key::M, Role::Button, "Close window"),
        ("Own picture", Modifiers::COMMAND, Key::P, Role::Button, "Close window"),
        ("Export picture", Modifiers::COMMAND, Key::E, Role::Button, "Copy picture"),
        ("Comparison sheet", BOTH, Key::E, Role::Button, "Next page"),
        ("Open kit", Modifiers::COMMAND, Key::O, Role::TextInput, "Path of the file"),
        ("Save kit as", BOTH, Key::S, Role::TextInput, "Path of the file"),
        ("Wish list from a file", Modifiers::COMMAND, Key::I, Role::TextInput, "Path of the file"),
    ];
    for (what, modifiers, key, role, shown) in windows {
        let mut window = open(None);
        press(&mut window, modifiers, key);
        comes_to_rest(&mut window, what);
        let there = window.query_all_by_role_and_label(role, shown).next().is_some();
        assert!(there, "{what} is not open");
    }
    for (what, shown) in [("Site and limits…", "Latitude"), ("A target of my own…", "Name")] {
        let mut window = open(None);
        click(&mut window, what);
        comes_to_rest(&mut window, what);
        let there = window.query_all_by_label(shown).next().is_some();
        assert!(there, "{what} is not open");
    }
}

#[test]
fn a_change_comes_to_rest_and_is_a_step_of_the_history() {
    let mut window = open(None);
    window.get_by_role(Role::Canvas).focus();
    window.run_steps(2);
    press(&mut window, Modifiers::NONE, Key::ArrowUp);
    comes_to_rest(&mut window, "a turned frame");
    assert!(window.state().document().can_undo());
    // What would lose it is asked about.
    press(&mut window, Modifiers::COMMAND, Key::N);
    comes_to_rest(&mut window, "the question about unsaved changes");
    assert!(window.query_by_label("Stay here").is_some());
}
