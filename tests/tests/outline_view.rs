//! Outlines drawn on the sky, used as a person would: by pointer, by keys, in the table of corners;
//! and the number of panels, which every place must give alike.
//!
//! Where a corner stands on the page is worked out here with the TAN formulas of Calabretta &
//! Greisen 2002, A&A 395, 1077 (section 5.1.3), apart from the program's own projection.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test fails by panicking"
)]

mod on_screen;

use egui::accesskit::Role;
use egui::{Key, Modifiers, Pos2, Vec2};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use fieldstop::kit::Wish;
use fieldstop_gui::files::kit_file;
use fieldstop_gui::panel_count::fewest;
use fieldstop_gui::scene::primitive::{Primitive, Scene};
use fieldstop_gui::sketch::{PageSize, SketchOptions, page};
use fieldstop_gui::sky::Sky;
use fieldstop_gui::sky::wish::target_named;
use fieldstop_gui::state::drawn_corners;
use on_screen::{Window, kit, open, press, settle, shown, wait_until};

type Corner = (f64, f64);

/// The demo kit's M 31, whose outline is being drawn.
fn drawing() -> Window {
    let mut window = open(None);
    press(&mut window, Modifiers::COMMAND, Key::D);
    window
}

fn click(window: &mut Window, label: &str) {
    window.get_by_label(label).click();
    settle(window);
}

/// The corners that the kit has.
fn corners(window: &Window) -> Vec<Corner> {
    kit(window).drawn_outline("M 31").map(|drawn| drawn.corners_deg.clone()).unwrap_or_default()
}

/// The corners that M 31 is begun with.
fn begun() -> Vec<Corner> {
    let sky = Sky::embedded().unwrap();
    let target = sky.catalogue.named("M 31").unwrap();
    drawn_corners::of_ellipse(target.place, &target.outline.unwrap())
}

fn told(window: &Window) -> String {
    window.get_by_role(Role::Canvas).accesskit_node().label().expect("the sky describes itself")
}

fn says(window: &Window, text: &str) -> bool {
    shown(window).iter().any(|label| label.contains(text))
}

/// Where a place stands in the window.
fn at(window: &Window, (ra_deg, dec_deg): Corner) -> Pos2 {
    let workspace = window.state().workspace();
    let rect = window.get_by_role(Role::Canvas).rect();
    let (ra0, dec0) = workspace.centre_deg;
    let (d, d0) = (dec_deg.to_radians(), dec0.to_radians());
    let da = (ra_deg - ra0).to_radians();
    let depth = d.sin() * d0.sin() + d.cos() * d0.cos() * da.cos();
    let xi = d.cos() * da.sin() / depth;
    let eta = (d.sin() * d0.cos() - d.cos() * d0.sin() * da.cos()) / depth;
    let scale = f64::from(rect.width()) / 2.0 / (workspace.span_deg / 2.0).to_radians().tan();
    rect.center() + Vec2::new((-xi * scale) as f32, (-eta * scale) as f32)
}

fn drag(window: &mut Window, from: Pos2, to: Pos2) {
    window.hover_at(from);
    window.run_steps(1);
    window.drag_at(from);
    window.run_steps(1);
    for step in 1..=6 {
        window.hover_at(from + (to - from) * (step as f32 / 6.0));
        window.run_steps(1);
    }
    window.drop_at(to);
    window.run_steps(2);
}

fn click_at(window: &mut Window, place: Pos2) {
    window.hover_at(place);
    window.run_steps(1);
    window.drag_at(place);
    window.run_steps(1);
    window.drop_at(place);
    settle(window);
}

fn type_into(window: &mut Window, field: &str, text: &str) {
    window.get_by_label(field).focus();
    settle(window);
    window.get_by_label(field).set_text_value_accesskit(text);
    settle(window);
    press(window, Modifiers::NONE, Key::Tab);
}

fn separation_deg(a: Corner, b: Corner) -> f64 {
    let across = (a.0 - b.0) * a.1.to_radians().cos();
    across.hypot(a.1 - b.1)
}

#[test]
fn it_begins_with_the_catalogues_ellipse_and_the_kit_changes_with_the_first_edit_only() {
    let mut window = open(None);
    let before = kit(&window).clone();
    press(&mut window, Modifiers::COMMAND, Key::D);
    let begun = begun();
    assert_eq!(begun.len(), 12);
    // M 31 has its major axis of 3 degrees at position angle 35, from memory.
    let longest = begun[0].1 - begun[6].1;
    assert!((2.0..3.2).contains(&longest), "{begun:?}");
    assert!(says(&window, "Outline of M 31") && told(&window).contains("12 corners"));
    assert!(says(&window, "stays in use until a corner is changed"));
    assert_eq!(*kit(&window), before, "nothing moves that was not touched");
    // Looked at, gone through and left again, by each way out.
    for leave in [Key::Escape, Key::Enter] {
        press(&mut window, Modifiers::NONE, Key::CloseBracket);
        press(&mut window, Modifiers::NONE, leave);
        assert!(!says(&window, "Outline of M 31") && *kit(&window) == before, "{leave:?}");
        press(&mut window, Modifiers::COMMAND, Key::D);
    }
    press(&mut window, Modifiers::NONE, Key::ArrowUp);
    assert_eq!(corners(&window)[1..], begun[1..]);
    assert!(corners(&window)[0].1 > begun[0].1);
    assert!(!says(&window, "stays in use until"));
    press(&mut window, Modifiers::COMMAND, Key::Z);
    assert_eq!(*kit(&window), before);
    assert!(!says(&window, "Outline of M 31"), "with the outline the drawing ends");
}

#[test]
fn a_dragged_corner_stands_where_it_was_dropped_and_every_drag_is_a_step() {
    let mut window = drawing();
    let before = begun();
    let fill = |window: &Window| {
        let shown = shown(window);
        shown.into_iter().find(|text| text.starts_with("M 31: fill")).unwrap()
    };
    let fill_before = fill(&window);
    let wanted = (before[2].0 + 0.7, before[2].1);
    let (from, to) = (at(&window, before[2]), at(&window, wanted));
    drag(&mut window, from, to);
    let once = corners(&window);
    assert!(separation_deg(once[2], wanted) < 0.02, "{:?} {wanted:?}", once[2]);
    // At once again, much sooner than the pause that otherwise parts two steps.
    let again = (wanted.0 + 0.3, wanted.1);
    let (from, to) = (at(&window, once[2]), at(&window, again));
    drag(&mut window, from, to);
    let twice = corners(&window);
    assert!(separation_deg(twice[2], again) < 0.02, "{:?} {again:?}", twice[2]);
    settle(&mut window);
    assert_ne!(fill(&window), fill_before);
    press(&mut window, Modifiers::COMMAND, Key::Z);
    assert_eq!(corners(&window), once);
    press(&mut window, Modifiers::COMMAND, Key::Z);
    assert!(corners(&window).is_empty());
    assert_eq!(fill(&window), fill_before);
}

#[test]
fn a_corner_that_would_cross_sides_stays_and_a_sentence_says_why() {
    let mut window = drawing();
    let before = begun();
    // From one end of the major axis across the other.
    let beyond = (2.0 * before[6].0 - before[0].0, 2.0 * before[6].1 - before[0].1);
    let halfway = (f64::midpoint(before[6].0, beyond.0), f64::midpoint(before[6].1, beyond.1));
    let (from, to) = (at(&window, before[0]), at(&window, halfway));
    drag(&mut window, from, to);
    settle(&mut window);
    assert!(says(&window, "Not done: the side after corner"), "{:?}", shown(&window));
    assert_eq!(kit(&window).check(), Ok(()));
    // The drag begins with places where it may be.
    let after = corners(&window);
    assert_eq!(after[1..], before[1..]);
    assert!(separation_deg(after[0], halfway) > 0.1, "it is not where it may not be");
}

#[test]
fn clicks_add_and_insert_corners_and_delete_takes_them_away() {
    let mut window = drawing();
    let before = begun();
    // On the free sky beside the middle of the side after corner 3.
    let (a, b) = (before[2], before[3]);
    let outside = (f64::midpoint(a.0, b.0) + 0.5, f64::midpoint(a.1, b.1));
    let place = at(&window, outside);
    click_at(&mut window, place);
    let added = corners(&window);
    assert_eq!(added.len(), 13);
    assert!(separation_deg(added[3], outside) < 0.02, "{added:?}");
    assert!(told(&window).contains("corner 4 chosen"), "{}", told(&window));
    // Upon the side after corner 8.
    let (a, b) = (added[7], added[8]);
    let middle = (f64::midpoint(a.0, b.0), f64::midpoint(a.1, b.1));
    let place = at(&window, middle);
    click_at(&mut window, place);
    let inserted = corners(&window);
    assert_eq!(inserted.len(), 14);
    assert!(separation_deg(inserted[8], middle) < 0.05, "{inserted:?}");
    press(&mut window, Modifiers::NONE, Key::Delete);
    assert_eq!(corners(&window), added);
    while corners(&window).len() > 3 {
        let left = corners(&window).len();
        press(&mut window, Modifiers::NONE, Key::Backspace);
        assert_eq!(corners(&window).len(), left - 1);
    }
    press(&mut window, Modifiers::NONE, Key::Backspace);
    assert_eq!(corners(&window).len(), 3);
    assert!(says(&window, "an outline has at least 3 corners"));
}

#[test]
fn keys_choose_and_move_corners_and_end_the_drawing() {
    let mut window = drawing();
    let before = begun();
    press(&mut window, Modifiers::NONE, Key::CloseBracket);
    press(&mut window, Modifiers::NONE, Key::CloseBracket);
    press(&mut window, Modifiers::NONE, Key::OpenBracket);
    assert!(told(&window).contains("corner 2 chosen"), "{}", told(&window));
    press(&mut window, Modifiers::NONE, Key::ArrowUp);
    let coarse = separation_deg(corners(&window)[1], before[1]);
    let span = window.state().workspace().span_deg;
    assert!((coarse / (span / 100.0) - 1.0).abs() < 0.05, "{coarse} of {span}");
    let moved = corners(&window);
    press(&mut window, Modifiers::SHIFT, Key::ArrowUp);
    let fine = separation_deg(corners(&window)[1], moved[1]);
    assert!((fine / coarse - 0.1).abs() < 0.01, "{fine} {coarse}");
    press(&mut window, Modifiers::NONE, Key::Insert);
    assert_eq!(corners(&window).len(), 13);
    press(&mut window, Modifiers::NONE, Key::Enter);
    assert!(!says(&window, "Outline of M 31") && corners(&window).len() == 13);
    // Drawn again, it begins with what is there; Escape leaves it so.
    press(&mut window, Modifiers::COMMAND, Key::D);
    assert_eq!(corners(&window).len(), 13);
    press(&mut window, Modifiers::NONE, Key::Escape);
    assert!(!says(&window, "Outline of M 31") && corners(&window).len() == 13);
    // Now arrows turn the frame again.
    let aims = kit(&window).aims.len();
    press(&mut window, Modifiers::NONE, Key::ArrowUp);
    assert!(kit(&window).aims.len() > aims);
}

#[test]
fn the_table_does_all_of_it_and_has_a_name_for_every_control() {
    let mut window = drawing();
    click(&mut window, "Corners in numbers");
    let unnamed: Vec<String> =
        window.unnamed_widgets().iter().map(|widget| format!("{widget:?}")).collect();
    assert!(unnamed.is_empty(), "{unnamed:#?}");
    let before = begun();
    type_into(&mut window, "Declination of corner 1", "+42 40");
    assert_eq!(corners(&window)[0].0, before[0].0);
    assert!((corners(&window)[0].1 - (42.0 + 40.0 / 60.0)).abs() < 1e-6);
    type_into(&mut window, "Right ascension of corner 1", "0 47 30");
    assert!((corners(&window)[0].0 - 11.875).abs() < 1e-6);
    let sound = corners(&window);
    type_into(&mut window, "Right ascension of corner 1", "25 00");
    assert_eq!(corners(&window), sound);
    assert!(says(&window, "25 00"), "{:?}", shown(&window));
    click(&mut window, "Add a corner after corner 1");
    assert_eq!(corners(&window).len(), 13);
    click(&mut window, "Remove corner 2");
    assert_eq!(corners(&window), sound);
    click(&mut window, "Corner 5");
    assert!(told(&window).contains("corner 5 chosen"));
    click(&mut window, "Remove the drawn outline");
    assert!(corners(&window).is_empty() && !says(&window, "Outline of M 31"));
    press(&mut window, Modifiers::COMMAND, Key::Z);
    assert_eq!(corners(&window), sound);
}

#[test]
fn a_target_without_a_size_begins_empty_and_gets_a_verdict() {
    let path = std::env::temp_dir().join(format!("fieldstop-sizeless-{}.ron", std::process::id()));
    let mut own = kit(&open(None)).clone();
    own.wish_list = vec![Wish::Custom {
        name: "Haze".to_owned(),
        ra_deg: 60.0,
        dec_deg: 50.0,
        major_arcmin: None,
        minor_arcmin: None,
        pa_deg: None,
        surface_brightness_mag_arcsec2: None,
    }];
    kit_file::write(&path, &own).unwrap();
    let mut window = open(Some(path.clone()));
    std::fs::remove_file(&path).unwrap();
    assert!(says(&window, "Haze: size unknown"));
    press(&mut window, Modifiers::COMMAND, Key::D);
    assert!(says(&window, "No corner yet"));
    let middle = at(&window, (60.0, 50.0));
    let triangle = [Vec2::new(-90.0, -30.0), Vec2::new(90.0, -40.0), Vec2::new(10.0, 60.0)];
    for offset in &triangle[..2] {
        click_at(&mut window, middle + *offset);
    }
    press(&mut window, Modifiers::NONE, Key::Enter);
    assert!(says(&window, "this one has 2"));
    assert!(kit(&window).outlines.is_empty());
    click_at(&mut window, middle + triangle[2]);
    assert_eq!(kit(&window).outlines[0].target, "Haze");
    assert_eq!(kit(&window).outlines[0].corners_deg.len(), 3);
    assert!(says(&window, "Haze: fill") && !says(&window, "Haze: size unknown"));
    press(&mut window, Modifiers::NONE, Key::Enter);
    assert!(!says(&window, "Outline of Haze"));
}

/// Every text on the page of a sketch that has some words in it.
fn texts_with(words: &str, scene: &Scene) -> Vec<String> {
    let mut found = Vec::new();
    for item in &scene.items {
        match item {
            Primitive::Text(mark) if mark.text.contains(words) => found.push(mark.text.clone()),
            Primitive::Inset { scene, .. } => found.extend(texts_with(words, scene)),
            _ => {}
        }
    }
    found
}

#[test]
fn window_sketch_and_search_give_one_number_of_panels() {
    let mut window = drawing();
    // A notch, so that ellipse and drawn outline differ.
    let first = begun()[0];
    let wanted = (first.0 - 0.3, first.1 - 0.9);
    let (from, to) = (at(&window, first), at(&window, wanted));
    drag(&mut window, from, to);
    press(&mut window, Modifiers::NONE, Key::Enter);
    let sky = Sky::embedded().unwrap();
    let own = kit(&window).clone();
    let target = target_named(&own, "M 31", &sky.catalogue).unwrap();
    assert!(target.drawn.is_some());
    let rig = own.rigs.iter().position(|rig| rig.name == "Compound").unwrap();
    let field = own.resolve(rig).unwrap().field();
    let plan = fewest(&target, &field, own.limits.overlap).unwrap();
    assert!(plan.proved && plan.panels.len() > 2 && plan.panels.len() < plan.plain);
    let number = format!("{} panels", plan.panels.len());

    click(&mut window, "Compound");
    wait_until(&mut window, &number, |window| {
        let shown = shown(window);
        // The shortlist's card, the wish list's row and the sky.
        shown.iter().filter(|text| text.ends_with(&number)).count() >= 2
            && !shown.iter().any(|text| text.contains("at most"))
    });
    assert!(told(&window).contains(&format!("spills, {number}")), "{}", told(&window));
    press(&mut window, Modifiers::COMMAND, Key::M);
    assert!(says(&window, &format!("{number} of Compound cover M 31.")), "{:?}", shown(&window));
    assert!(says(&window, "100.00 % of the outline, and geometry proves"));
    wait_until(&mut window, "the season", |window| says(window, "of its season"));

    let size = PageSize::Pixels { width: 1600, height: 1200 };
    let options =
        SketchOptions { rigs: vec!["Compound".to_owned()], ..SketchOptions::new("M 31", size) };
    let page = page(&own, &sky, &options).unwrap();
    assert_eq!(page.frames[0].panels, plan.panels);
    let words = texts_with("panels", &page.scene);
    assert!(!words.is_empty() && words.iter().all(|text| text.contains(&number)), "{words:?}");
    assert_eq!(texts_with("outline drawn by hand", &page.scene).len(), 1);
}
