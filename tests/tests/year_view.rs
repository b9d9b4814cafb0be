//! The Year view, used through its accessibility tree without a screen, as a person would use it.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test fails by panicking"
)]

mod on_screen;

use egui::accesskit::Role;
use egui::{Key, Modifiers, Vec2};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use on_screen::{
    Window, activate, kit, open_in, press, says, settle, shown, text_with, type_into, wait_for,
};

/// The Year view of the demo kit, once the year has been worked out.
fn year_view() -> Window {
    year_view_in(Vec2::new(1280.0, 800.0))
}

/// The same in a window of another size.
fn year_view_in(size: Vec2) -> Window {
    let mut window = open_in(size, None);
    activate(&mut window, "Year");
    type_into(&mut window, "Year", "2026");
    wait_for(&mut window, "is best in");
    window
}

/// What a node says: a control has a label, a text is a value.
fn text_of(node: &egui_kittest::Node<'_>) -> Option<String> {
    let node = node.accesskit_node();
    node.label().or_else(|| node.value())
}

fn set_latitude(window: &mut Window, latitude: &str) {
    activate(window, "Site and limits…");
    type_into(window, "Latitude", latitude);
    activate(window, "Site and limits…");
}

#[test]
fn every_page_has_nothing_but_named_controls() {
    let mut window = year_view();
    for page in ["Calendar", "Night by night", "In season", "Moon and planets"] {
        activate(&mut window, page);
        settle(&mut window);
        let unnamed: Vec<String> =
            window.unnamed_widgets().iter().map(|widget| format!("{widget:?}")).collect();
        assert!(unnamed.is_empty(), "{page}: {unnamed:#?}");
    }
}

/// The narrowest window there is leaves the view 456 points between its neighbours.
#[test]
fn in_a_narrow_window_no_control_of_any_page_is_cut_off() {
    const CONTROLS: [Role; 6] =
        [Role::Button, Role::TextInput, Role::CheckBox, Role::ComboBox, Role::Figure, Role::Image];
    let size = Vec2::new(1024.0, 700.0);
    let mut window = year_view_in(size);
    let fields: [(&str, &[&str]); 4] = [
        ("Calendar", &["Year", "hours"]),
        ("Night by night", &["Year", "Evening of", "Tonight", "One week on"]),
        ("In season", &["Year", "Month", "At least", "To magnitude", "Also without a magnitude"]),
        ("Moon and planets", &["Year", "Evening of", "Tonight", "One week on"]),
    ];
    for (page, fields) in fields {
        activate(&mut window, page);
        if page == "In season" {
            wait_for(&mut window, "objects are up in the dark");
        }
        let neighbour = window.get_by_role_and_label(Role::TextInput, "Find a target").rect();
        // The line of the menus goes over all the window.
        let menus = window.get_by_role_and_label(Role::Button, "Site and limits…").rect();
        let nodes = window.query_all_by(|_| true);
        let is_control = |role| CONTROLS.contains(&role);
        let controls: Vec<_> = nodes.filter(|n| is_control(n.accesskit_node().role())).collect();
        for node in &controls {
            let (rect, name) = (node.rect(), text_of(node));
            assert!(rect.left() >= 0.0 && rect.right() <= size.x, "{page}: {name:?} at {rect}");
            let straddles = rect.top() > menus.bottom()
                && rect.left() < neighbour.left() - 20.0
                && rect.right() > neighbour.left();
            assert!(!straddles, "{page}: {name:?} at {rect} lies under the wish list");
        }
        for field in fields {
            let found = controls.iter().filter(|node| text_of(node).as_deref() == Some(*field));
            let rects: Vec<egui::Rect> = found.map(|node| node.rect()).collect();
            let seen = rects.iter().any(|rect| rect.right() < neighbour.left());
            assert!(seen, "{page}: {field} at {rects:?}");
        }
        // The marks on the wish list say it as well.
        let said = window.query_all_by_label_contains("is best in").map(|node| node.rect());
        let mut said = said.filter(|rect| rect.left() < neighbour.left());
        let answer = said.next().unwrap_or_else(|| panic!("{page} says when it is best"));
        assert!(answer.right() < neighbour.left(), "{page}: the answer at {answer}");
    }
}

#[test]
fn the_calendar_has_a_row_a_wish_and_a_click_shows_its_frames() {
    let mut window = year_view();
    for wish in &kit(&window).wish_list {
        let row = format!("Show {} in the Frame view", wish.name());
        assert!(says(&window, &row), "{row}");
    }
    let row = text_with(&window, "Show M 51 in the Frame view");
    window.get_by_label(&row).click();
    settle(&mut window);
    let sky = window.get_by_role(Role::Canvas).accesskit_node().label().unwrap();
    assert!(sky.starts_with("Sky around M 51"), "{sky}");
}

/// A trial: from 38 degrees north, when is the Whirlpool galaxy best, and how long in the dark?
///
/// By hand: at declination 47.05 it stands above 20 degrees while
/// `cos H > (sin 20 - sin 38 sin 47.05) / (cos 38 cos 47.05) = -0.202`, 101.6 degrees either side of
/// the meridian: 13.5 hours, longer than any night. In March it crosses the meridian about two
/// hours after midnight and is up from dusk to dawn, which is then nine hours.
#[test]
fn the_whirlpool_from_38_degrees_north() {
    let mut window = year_view();
    set_latitude(&mut window, "38");
    wait_for(&mut window, "at 38.00° north");
    window.get_by_role_and_label(Role::Button, "M 51  Whirlpool Galaxy").click();
    settle(&mut window);
    wait_for(&mut window, "M 51 is best in");
    let answer = text_with(&window, "M 51 is best in");
    let in_spring = ["February", "March"].iter().any(|month| answer.contains(month));
    let about_nine = ["8 h 5", "9 h"].iter().any(|hours| answer.contains(hours));
    assert!(in_spring && about_nine, "{answer}");
}

/// A trial: is there anything to photograph in June at 58 degrees north, and why?
///
/// By hand: at the solstice the Sun sinks to 90 - 58 - 23.4 = 8.6 degrees below the horizon.
#[test]
fn no_astronomical_night_at_58_degrees_north_in_june() {
    let mut window = year_view();
    assert!(!says(&window, "No astronomical night"), "the demo's site has dark all year");
    set_latitude(&mut window, "58");
    wait_for(&mut window, "No astronomical night from");
    let answer = text_with(&window, "No astronomical night from");
    for words in ["June", "sinks 8.6° below the horizon", "takes 18°", "Moon, planets"] {
        assert!(answer.contains(words), "“{words}” in {answer}");
    }
}

#[test]
fn a_target_that_never_rises_high_enough_says_so() {
    let mut window = year_view();
    // M 8 lies at declination -24.4: from 70 degrees north it reaches 90 - 70 - 24.4 = -4.4.
    window.get_by_role_and_label(Role::Button, "M 8  Lagoon Nebula").click();
    settle(&mut window);
    set_latitude(&mut window, "70");
    wait_for(&mut window, "M 8 never rises from here: at best it stands 4.4° below");
    set_latitude(&mut window, "50");
    wait_for(&mut window, "M 8 never rises high enough from here: at best it reaches 15.6°");
}

#[test]
fn a_date_that_does_not_exist_is_explained_and_the_last_one_stands() {
    let mut window = year_view();
    activate(&mut window, "Night by night");
    type_into(&mut window, "Evening of", "2026-03-14");
    assert!(says(&window, "Night of 2026-03-14"), "{:#?}", shown(&window));
    type_into(&mut window, "Evening of", "2026-02-30");
    let refusal = "February 2026 has 28 days. Still 2026-03-14.";
    assert!(says(&window, refusal), "{:#?}", shown(&window));
    assert!(says(&window, "Night of 2026-03-14"));
    type_into(&mut window, "Evening of", "2026-02-28");
    assert!(says(&window, "Night of 2026-02-28") && !says(&window, "has 28 days"));
}

#[test]
fn keys_and_buttons_step_from_night_to_night() {
    let mut window = year_view();
    activate(&mut window, "Night by night");
    type_into(&mut window, "Evening of", "2026-03-14");
    activate(&mut window, "One night on");
    assert!(says(&window, "Night of 2026-03-15"));
    let plot = text_with(&window, "Night of 2026-03-15");
    window.get_by_label(&plot).focus();
    settle(&mut window);
    press(&mut window, Modifiers::NONE, Key::ArrowRight);
    assert!(says(&window, "Night of 2026-03-16"));
    press(&mut window, Modifiers::SHIFT, Key::ArrowLeft);
    assert!(says(&window, "Night of 2026-03-09"));
}

#[test]
fn a_drag_over_the_plot_goes_to_another_night() {
    let mut window = year_view();
    activate(&mut window, "Night by night");
    type_into(&mut window, "Evening of", "2026-03-14");
    let plot = text_with(&window, "Night of 2026-03-14");
    let from = window.get_by_label(&plot).rect().center();
    window.drag_at(from);
    window.run_steps(1);
    for step in 1..=10 {
        window.hover_at(from - Vec2::new(10.0 * step as f32, 0.0));
        window.run_steps(1);
    }
    window.drop_at(from - Vec2::new(100.0, 0.0));
    settle(&mut window);
    // 100 points to the left, 24 a night.
    assert!(!says(&window, "Night of 2026-03-14"));
    let moved = ["2026-03-17", "2026-03-18"].iter().any(|night| says(&window, night));
    assert!(moved, "{:#?}", shown(&window));
}

/// The Sun must be warned of wherever a moment by day is chosen.
#[test]
fn a_moment_by_day_comes_with_the_warning() {
    let mut window = year_view();
    activate(&mut window, "Night by night");
    type_into(&mut window, "Evening of", "2026-03-14");
    assert!(!says(&window, "certified full-aperture solar filter"));
    let plot = text_with(&window, "Night of 2026-03-14");
    window.get_by_label(&plot).focus();
    settle(&mut window);
    // From the middle of the night ten minutes a key, seven times that with Shift.
    for _ in 0..9 {
        press(&mut window, Modifiers::SHIFT, Key::ArrowUp);
    }
    assert!(says(&window, "certified full-aperture solar filter"), "{:#?}", shown(&window));
}

#[test]
fn the_sun_among_the_bodies_is_warned_of_and_discs_have_their_pixels() {
    let mut window = year_view();
    activate(&mut window, "Moon and planets");
    assert!(says(&window, "certified full-aperture solar filter"));
    let rig = kit(&window).rigs[0].name.clone();
    for body in ["Sun", "Moon", "Mars", "Jupiter", "Neptune"] {
        assert!(says(&window, &format!("{body} with {rig}: ")), "{body}");
    }
}

#[test]
fn an_object_in_season_joins_the_wish_list() {
    let mut window = year_view();
    activate(&mut window, "In season");
    wait_for(&mut window, "objects are up in the dark");
    let before = kit(&window).wish_list.len();
    let add = text_with(&window, "to the wish list");
    let name = add.trim_start_matches("Add ").trim_end_matches(" to the wish list").to_owned();
    window.get_by_label(&add).click();
    settle(&mut window);
    assert_eq!(kit(&window).wish_list.len(), before + 1);
    assert_eq!(kit(&window).wish_list[before].name(), name);
    press(&mut window, Modifiers::COMMAND, Key::Z);
    assert_eq!(kit(&window).wish_list.len(), before);
}

#[test]
fn the_skyline_is_edited_and_a_point_out_of_order_is_refused() {
    let mut window = year_view();
    let before = kit(&window).site.horizon.clone();
    activate(&mut window, "Site and limits…");
    let first = window.get_by_role_and_label(Role::TextInput, "Azimuth 2");
    first.focus();
    first.set_text_value_accesskit("10");
    settle(&mut window);
    press(&mut window, Modifiers::NONE, Key::Enter);
    assert_eq!(kit(&window).site.horizon, before);
    assert!(says(&window, "“10” is out of order"), "{:#?}", shown(&window));
    type_into(&mut window, "Azimuth 2", "110");
    assert_eq!(kit(&window).site.horizon[1].0, 110.0);
    activate(&mut window, "Add a point");
    assert_eq!(kit(&window).site.horizon.len(), before.len() + 1);
    assert!(kit(&window).check().is_ok());
    activate(&mut window, "Remove skyline point 1");
    assert_eq!(kit(&window).site.horizon.len(), before.len());
}

#[test]
fn clear_nights_turn_hours_into_expected_ones() {
    let mut window = year_view();
    assert!(!says(&window, "clear nights, expect"));
    activate(&mut window, "Site and limits…");
    activate(&mut window, "Add clear nights");
    assert_eq!(kit(&window).site.clear_fraction, vec![0.5; 12]);
    type_into(&mut window, "Jan", "1.2");
    assert_eq!(kit(&window).site.clear_fraction[0], 0.5);
    settle(&mut window);
    let answer = text_with(&window, "clear nights, expect");
    let hours = |before: &str| -> f64 {
        let start = answer.split(before).nth(1).unwrap();
        start.split_whitespace().next().unwrap().parse().unwrap()
    };
    let (all, expected) = (hours("then, "), hours("expect "));
    assert!((expected - all / 2.0).abs() <= 1.0, "{answer}");
}
