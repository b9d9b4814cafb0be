//! Tables and lists of targets in the window, through its accessibility tree.

#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a test fails by panicking")]

mod on_screen;

use std::path::PathBuf;

use egui::accesskit::Role;
use egui::{Key, Modifiers};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use on_screen::{Window, kit, open, press, wait_for};

fn click(window: &mut Window, label: &str) {
    window.get_by_label(label).click();
    window.run_steps(6);
}

fn scratch(name: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(name)
}

/// Types a path into the file window and accepts it.
fn answer_with_path(window: &mut Window, path: &std::path::Path, button: &str) {
    let field = window.get_by_label("Path of the file");
    field.focus();
    field.set_text_value_accesskit(&path.to_string_lossy());
    window.run_steps(6);
    click(window, button);
}

#[test]
fn every_table_is_shown_and_saved() {
    let mut window = open(None);
    press(&mut window, Modifiers::COMMAND, Key::T);
    for (title, heading) in [
        ("Targets by rig", "best_rotation_deg"),
        ("Comparison", "dominated_by"),
        ("One night", "moon_distance_deg"),
        ("In season", "usable_hours_a_night"),
        ("Shortlist", "field_width_deg"),
    ] {
        // The list of tables, not the heading of a panel with that name.
        window.get_by_role_and_label(Role::Button, title).click();
        window.run_steps(6);
        wait_for(&mut window, "The file has every digit");
        assert!(window.query_by_label(heading).is_some(), "{title}: {heading}");
        let unnamed = window.unnamed_widgets().len();
        assert_eq!(unnamed, 0, "{title}: controls without a name");
    }
    let path = scratch("saved table.csv");
    drop(std::fs::remove_file(&path));
    click(&mut window, "Save the table as CSV");
    answer_with_path(&mut window, &path, "Save");
    wait_for(&mut window, "Saved ");
    let text = std::fs::read_to_string(&path).unwrap();
    let rigs = kit(&window).rigs.len();
    assert_eq!(text.lines().count(), rigs + 1);
    assert!(text.starts_with("rig,focal_length_mm,"));

    // What cannot be written is asked about again.
    click(&mut window, "Save the table as CSV");
    answer_with_path(&mut window, &scratch("nowhere").join("x.csv"), "Save");
    wait_for(&mut window, "there is no folder");
}

#[test]
fn a_list_is_shown_before_it_is_added_and_is_one_step() {
    let path = scratch("window list.csv");
    std::fs::write(
        &path,
        "name;ra;dec;size\nNGC 281;;;\nCorner cloud;20:10:12;-38:21;45\nM 31;;;\nNowhere Nebula;;;\n",
    )
    .unwrap();
    let mut window = open(None);
    let before = kit(&window).clone();
    press(&mut window, Modifiers::COMMAND, Key::I);
    answer_with_path(&mut window, &path, "Open");
    wait_for(&mut window, "Add 2 targets");
    for label in ["line 5", "Nowhere Nebula", "There already: 1", "a target of your own"] {
        assert!(window.query_by_label_contains(label).is_some(), "{label}");
    }
    assert_eq!(*kit(&window), before, "nothing is added before it is asked for");
    click(&mut window, "Add 2 targets");
    let names: Vec<&str> =
        kit(&window).wish_list[before.wish_list.len()..].iter().map(|wish| wish.name()).collect();
    assert_eq!(names, ["NGC 281", "Corner cloud"]);
    // One that goes with the list is chosen: the one before it is, once the list is taken back.
    window.get_by_role_and_label(Role::Button, "M 33  Triangulum Galaxy").click_accesskit();
    window.run_steps(6);
    window.get_by_role_and_label(Role::Button, "Corner cloud").click_accesskit();
    window.run_steps(6);
    assert_eq!(window.state().workspace().target.as_deref(), Some("Corner cloud"));
    press(&mut window, Modifiers::COMMAND, Key::Z);
    assert_eq!(*kit(&window), before, "one step takes them off together");
    assert_eq!(window.state().workspace().target.as_deref(), Some("M 33"));

    // Files are asked for where the last one was.
    press(&mut window, Modifiers::COMMAND, Key::I);
    let field = window.get_by_label("Path of the file");
    let proposed = field.accesskit_node().value().unwrap();
    assert_eq!(PathBuf::from(proposed), path.parent().unwrap());
}

#[test]
fn a_file_that_is_no_list_is_refused_with_words() {
    let path = scratch("no list.csv");
    std::fs::write(&path, "one,two\n1,2\n").unwrap();
    let mut window = open(None);
    let before = kit(&window).clone();
    press(&mut window, Modifiers::COMMAND, Key::I);
    answer_with_path(&mut window, &path, "Open");
    wait_for(&mut window, "no heading tells");
    click(&mut window, "Close");
    assert_eq!(*kit(&window), before);
}
