//! Whatever the Tab key reaches is in sight: on every page, and in the windows with long lists, on a
//! screen that is too small for them.

#![allow(clippy::expect_used, reason = "a test fails by panicking")]

mod on_screen;

use std::collections::HashSet;

use egui::accesskit::Role;
use egui::{Key, Modifiers, Pos2, Rect, Vec2};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use on_screen::{Window, click, open_in, press, wait_for};

const SMALL: Vec2 = Vec2::new(1024.0, 600.0);

/// A window of that size in which scrolling takes no time.
fn small_window() -> Window {
    let window = open_in(SMALL, None);
    window
        .ctx
        .all_styles_mut(|style| style.scroll_animation = egui::style::ScrollAnimation::none());
    window
}

/// Goes on by the Tab key from where the focus is, or from the first, and looks at all that it reaches.
fn walk(window: &mut Window, place: &str, steps: usize) {
    let screen = Rect::from_min_size(Pos2::ZERO, SMALL);
    let mut reached = HashSet::new();
    for step in 0..steps {
        window.key_press(Key::Tab);
        window.run_steps(4);
        let Some(id) = window.ctx.memory(|memory| memory.focused()) else { continue };
        let response = window.ctx.read_response(id).expect("it was laid out");
        let centre = response.rect.center();
        let label = window
            .query_all_by(|node| node.is_focused())
            .next()
            .and_then(|node| node.accesskit_node().label());
        // The second tells what of it is not cut off by what it lies in.
        assert!(
            screen.contains(centre) && response.interact_rect.contains(centre),
            "{place}, {step}: {label:?} at {}, seen {}",
            response.rect,
            response.interact_rect
        );
        reached.insert(id);
    }
    // A window of questions goes round after some twenty.
    assert!(reached.len() >= steps.min(20), "{place}: {} in {steps}", reached.len());
}

#[test]
fn on_every_page_of_the_year_and_of_the_choice() {
    let mut window = small_window();
    let of_year = [("Night by night", 45), ("In season", 45), ("Moon and planets", 45)];
    let of_choice = [
        // Long enough for the end of several rows, where Tab goes down and back to the left.
        ("Targets by rig", 110),
        ("Compare", 45),
        ("Reasons", 45),
        ("Face to face", 45),
        ("What if", 45),
    ];
    for (view, known_by, pages) in [
        ("Year", Some("is best in"), &of_year[..]),
        ("Demands", None, &[]),
        ("Choose", Some("alone serves most"), &of_choice),
    ] {
        click(&mut window, view);
        if let Some(text) = known_by {
            wait_for(&mut window, text);
        }
        window.get_by_role_and_label(Role::Button, view).focus();
        walk(&mut window, view, 45);
        for (page, steps) in pages {
            click(&mut window, page);
            window.run_steps(20);
            window.get_by_role_and_label(Role::Button, page).focus();
            walk(&mut window, page, *steps);
        }
    }
}

#[test]
fn in_windows_with_long_lists() {
    for (key, title) in [(Key::E, "Export a picture"), (Key::T, "Export a table")] {
        let mut window = small_window();
        press(&mut window, Modifiers::COMMAND, key);
        window.run_steps(20);
        assert!(window.query_all_by_label_contains(title).next().is_some(), "{title}");
        walk(&mut window, title, 60);
    }
    let mut window = small_window();
    click(&mut window, "Site and limits…");
    window.get_by_role_and_label(Role::TextInput, "Kit").focus();
    window.run_steps(4);
    walk(&mut window, "Site and limits", 40);
}

#[test]
fn in_the_steps_of_a_new_kit() {
    let mut window = small_window();
    click(&mut window, "Start with my own");
    walk(&mut window, "the site", 30);
    click(&mut window, "3  Wish list");
    click(&mut window, "September to November");
    wait_for(&mut window, "Andromeda Galaxy");
    walk(&mut window, "the wish list", 45);
}
