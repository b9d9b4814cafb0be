//! The window, used through its accessibility tree without a screen, as a person would use it.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test fails by panicking"
)]

mod on_screen;

use std::collections::HashSet;
use std::path::PathBuf;
use std::time::{Duration, Instant};

use egui::accesskit::Role;
use egui::{Event, Key, Modifiers, Pos2, Rect, Vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use fieldstop::kit::Wish;
use fieldstop_gui::app::App;
use fieldstop_gui::files::kit_file;
use fieldstop_gui::widget::ClosingClick;
use on_screen::{Window, kit, open, open_in, press, settle, shown};

fn focal_length_mm(window: &Window, rig: usize) -> f64 {
    kit(window).resolve(rig).expect("the rig is there").focal_length_mm()
}

fn click(window: &mut Window, label: &str) {
    window.get_by_label(label).click();
    settle(window);
}

/// Types a path into the file window and accepts it.
fn answer_with_path(window: &mut Window, path: &std::path::Path) {
    let field = window.get_by_label("Path of the file");
    field.focus();
    field.set_text_value_accesskit("");
    settle(window);
    window.get_by_label("Path of the file").set_text_value_accesskit(&path.to_string_lossy());
    settle(window);
}

fn first_rig_slider(window: &Window) -> String {
    format!("Focal length of {}", kit(window).rigs[0].name)
}

#[test]
fn it_opens_on_the_demo_kit_with_a_verdict_for_every_rig() {
    let window = open(None);
    for rig in &kit(&window).rigs {
        window.get_by_role_and_label(Role::Slider, &format!("Focal length of {}", rig.name));
        window.get_by_role_and_label(Role::Slider, &format!("{} on the focal ladder", rig.name));
    }
    let sky = window.get_by_role(Role::Canvas);
    let told = sky.accesskit_node().label().expect("the sky describes itself");
    for verdict in ["whole", "spills"] {
        assert!(told.contains(verdict), "the demo shows {verdict} at once: {told}");
    }
}

#[test]
fn every_control_has_a_name() {
    let window = open(None);
    let unnamed: Vec<String> =
        window.unnamed_widgets().iter().map(|widget| format!("{widget:?}")).collect();
    assert!(unnamed.is_empty(), "{unnamed:#?}");
}

#[test]
fn a_dragged_focal_length_changes_the_figures_and_is_undone() {
    let mut window = open(None);
    let before = kit(&window).clone();
    let slider = first_rig_slider(&window);
    let ratio_before = kit(&window).resolve(0).unwrap().focal_ratio();
    window.get_by_role_and_label(Role::Slider, &slider).set_value_accesskit(900.0);
    settle(&mut window);
    assert!((focal_length_mm(&window, 0) - 900.0).abs() < 1.0);
    assert!(kit(&window).resolve(0).unwrap().focal_ratio() > ratio_before);
    assert!(window.query_by_label("not saved").is_some());

    press(&mut window, Modifiers::COMMAND, Key::Z);
    assert_eq!(*kit(&window), before);
    assert!(window.query_by_label("not saved").is_none());
    press(&mut window, Modifiers::COMMAND | Modifiers::SHIFT, Key::Z);
    assert!((focal_length_mm(&window, 0) - 900.0).abs() < 1.0);
}

#[test]
fn the_ladder_and_the_slider_move_the_same_length() {
    let mut window = open(None);
    let name = format!("{} on the focal ladder", kit(&window).rigs[0].name);
    let handle = window.get_by_role_and_label(Role::Slider, &name);
    let from = handle.rect().center();
    let before = focal_length_mm(&window, 0);
    window.drag_at(from);
    window.run_steps(1);
    for step in 1..=8 {
        window.hover_at(Pos2::new(from.x + 12.0 * step as f32, from.y));
        window.run_steps(1);
    }
    window.drop_at(Pos2::new(from.x + 96.0, from.y));
    settle(&mut window);
    let after = focal_length_mm(&window, 0);
    assert!(after > before * 1.2, "from {before} mm to {after} mm");
    press(&mut window, Modifiers::COMMAND, Key::Z);
    assert!((focal_length_mm(&window, 0) - before).abs() < 1e-9, "a drag is one step");
}

#[test]
fn arrow_keys_move_a_handle_of_the_ladder() {
    let mut window = open(None);
    let name = format!("{} on the focal ladder", kit(&window).rigs[0].name);
    let before = focal_length_mm(&window, 0);
    window.get_by_role_and_label(Role::Slider, &name).focus();
    settle(&mut window);
    press(&mut window, Modifiers::NONE, Key::ArrowRight);
    assert!((focal_length_mm(&window, 0) / before - 1.01).abs() < 1e-9);
}

#[test]
fn a_shared_part_is_copied_for_the_rig_being_edited() {
    let mut window = open(None);
    let kit_before = kit(&window).clone();
    let shared = (0..kit_before.rigs.len()).find(|&rig| {
        kit_before.rigs.iter().filter(|other| other.ota == kit_before.rigs[rig].ota).count() > 1
    });
    let rig = shared.expect("two rigs of the demo kit share an OTA");
    let slider = format!("Focal length of {}", kit_before.rigs[rig].name);
    window.get_by_role_and_label(Role::Slider, &slider).set_value_accesskit(1234.0);
    settle(&mut window);
    for other in 0..kit_before.rigs.len() {
        let was = kit_before.resolve(other).unwrap().focal_length_mm();
        let wanted = if other == rig { 1234.0 } else { was };
        assert!((focal_length_mm(&window, other) - wanted).abs() < 1e-6, "rig {other}");
    }
    press(&mut window, Modifiers::COMMAND, Key::Z);
    assert_eq!(*kit(&window), kit_before, "copy and change are one step");
}

#[test]
fn keys_turn_and_move_the_frame_on_the_sky() {
    let mut window = open(None);
    window.get_by_role(Role::Canvas).focus();
    settle(&mut window);
    press(&mut window, Modifiers::NONE, Key::ArrowUp);
    let turned = kit(&window).aims.clone();
    assert!(turned.iter().all(|aim| aim.rotation_deg.is_some()) && !turned.is_empty());
    press(&mut window, Modifiers::SHIFT, Key::ArrowRight);
    assert!(kit(&window).aims.iter().all(|aim| aim.centre_deg.is_some()));
    press(&mut window, Modifiers::COMMAND, Key::B);
    assert!(kit(&window).aims.is_empty(), "the best framing forgets every aim");
}

#[test]
fn a_target_is_found_shown_and_added() {
    let mut window = open(None);
    press(&mut window, Modifiers::COMMAND, Key::F);
    window.get_by_label("Find a target").set_text_value_accesskit("ngc2403");
    settle(&mut window);
    click(&mut window, "Add NGC 2403 to the wish list");
    assert!(kit(&window).wish_list.iter().any(|wish| wish.name() == "NGC 2403"));
    let told = window.get_by_role(Role::Canvas).accesskit_node().label().unwrap();
    assert!(told.contains("NGC 2403"), "{told}");
}

#[test]
fn a_kit_is_saved_reopened_and_unchanged() {
    let folder = temporary_folder("saved");
    let path = folder.join("evening class.ron");
    let mut window = open(None);
    let slider = first_rig_slider(&window);
    window.get_by_role_and_label(Role::Slider, &slider).set_value_accesskit(480.0);
    settle(&mut window);
    press(&mut window, Modifiers::COMMAND, Key::S);
    answer_with_path(&mut window, &path);
    click(&mut window, "Save");
    assert!(window.query_by_label("not saved").is_none());
    let saved = kit(&window).clone();
    drop(window);

    let mut again = Harness::builder()
        .with_size(Vec2::new(1280.0, 800.0))
        .build_eframe(|cc| App::new(cc, Some(path.clone())).expect("the embedded sky opens"));
    again.run_steps(4);
    assert_eq!(again.state().document().kit, saved);
    std::fs::remove_dir_all(folder).unwrap();
}

#[test]
fn unsaved_changes_are_asked_about_before_they_are_lost() {
    let mut window = open(None);
    let slider = first_rig_slider(&window);
    window.get_by_role_and_label(Role::Slider, &slider).set_value_accesskit(777.0);
    settle(&mut window);
    press(&mut window, Modifiers::COMMAND, Key::N);
    assert!((focal_length_mm(&window, 0) - 777.0).abs() < 1.0, "nothing happens before the answer");
    click(&mut window, "Stay here");
    assert!((focal_length_mm(&window, 0) - 777.0).abs() < 1.0);
    press(&mut window, Modifiers::COMMAND, Key::N);
    click(&mut window, "Do not save");
    assert!(kit(&window).rigs.is_empty(), "the new kit is empty");
}

#[test]
fn a_damaged_kit_leaves_the_open_one_unchanged() {
    let folder = temporary_folder("damaged");
    let path = folder.join("bad.ron");
    std::fs::write(&path, "Kit(format: 1, name: \"broken\"").unwrap();
    let mut window = open(None);
    let before = kit(&window).clone();
    press(&mut window, Modifiers::COMMAND, Key::O);
    answer_with_path(&mut window, &path);
    click(&mut window, "Open");
    assert_eq!(*kit(&window), before);
    assert!(
        window.query_all_by_label_contains("Your open kit is unchanged").next().is_some(),
        "the message says what was kept"
    );
    std::fs::remove_dir_all(folder).unwrap();
}

#[test]
fn a_sketch_is_exported_from_the_window() {
    let folder = temporary_folder("sketch");
    let path = folder.join("sketch.png");
    let mut window = open(None);
    press(&mut window, Modifiers::COMMAND, Key::E);
    window.get_by_role_and_label(Role::TextInput, "Width").set_text_value_accesskit("600");
    click(&mut window, "Save as…");
    answer_with_path(&mut window, &path);
    click(&mut window, "Save");
    for _ in 0..600 {
        if path.exists() {
            break;
        }
        std::thread::sleep(std::time::Duration::from_millis(100));
        window.run_steps(1);
    }
    let picture = image::open(&path).expect("a readable picture");
    assert!(picture.width() >= 16 && picture.height() >= 16);
    std::fs::remove_dir_all(folder).unwrap();
}

#[test]
fn a_comparison_sheet_is_looked_at_and_saved_from_the_window() {
    let folder = temporary_folder("sheet");
    let mut window = open(None);
    press(&mut window, Modifiers::COMMAND | Modifiers::SHIFT, Key::E);
    // Composed on a worker: the window goes on meanwhile.
    for _ in 0..400 {
        window.run_steps(1);
        if window.query_by_label("Page 1 of 3").is_some() {
            break;
        }
        std::thread::sleep(std::time::Duration::from_millis(25));
    }
    window.get_by_role_and_label(Role::Image, "Comparison sheet, page 1 of 3");
    click(&mut window, "Next page");
    window.get_by_role_and_label(Role::Image, "Comparison sheet, page 2 of 3");
    let unnamed: Vec<String> =
        window.unnamed_widgets().iter().map(|widget| format!("{widget:?}")).collect();
    assert!(unnamed.is_empty(), "{unnamed:#?}");
    let before = kit(&window).clone();
    for (form, name, begins) in [("PDF", "sheet.pdf", "%PDF"), ("HTML", "sheet.html", "<!DOCTYPE")]
    {
        let path = folder.join(name);
        if window.query_by_label("HTML").is_none() {
            press(&mut window, Modifiers::COMMAND | Modifiers::SHIFT, Key::E);
        }
        click(&mut window, form);
        click(&mut window, "Save as…");
        answer_with_path(&mut window, &path);
        click(&mut window, "Save");
        for _ in 0..400 {
            window.run_steps(1);
            if path.exists() {
                break;
            }
            std::thread::sleep(std::time::Duration::from_millis(25));
        }
        let file = std::fs::read(&path).expect("the sheet is written");
        assert!(file.starts_with(begins.as_bytes()), "{form}");
    }
    assert_eq!(*kit(&window), before, "a sheet changes nothing");
    std::fs::remove_dir_all(folder).unwrap();
}

#[test]
fn a_bad_number_is_explained_and_the_old_one_stands() {
    let mut window = open(None);
    let name = kit(&window).rigs[0].name.clone();
    click(&mut window, &format!("Parts of {name}"));
    let before = kit(&window).clone();
    let field = window
        .get_all_by_label("Aperture")
        .find(|node| node.accesskit_node().role() == Role::TextInput);
    let field = field.expect("a field for the aperture");
    field.focus();
    field.set_text_value_accesskit("-60");
    settle(&mut window);
    press(&mut window, Modifiers::NONE, Key::Enter);
    assert_eq!(*kit(&window), before);
    let told = window.query_all_by_label_contains("“-60”").next().is_some();
    assert!(told, "the refusal names what was typed");
}

fn temporary_folder(name: &str) -> std::path::PathBuf {
    let folder = std::env::temp_dir().join(format!("fieldstop-{name}-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    folder
}

/// A click of the mouse at a place, as a hand does it.
fn click_at<State>(window: &mut Harness<'_, State>, at: Pos2) {
    window.hover_at(at);
    window.run_steps(1);
    window.drag_at(at);
    window.run_steps(1);
    window.drop_at(at);
    window.run_steps(6);
}

fn click_on<State>(window: &mut Harness<'_, State>, role: Role, label: &str) {
    let at = window.get_by_role_and_label(role, label).rect().center();
    click_at(window, at);
}

/// Why there is a plugin: egui alone passes the click on. Should it once not, the plugin can go.
#[test]
fn only_with_the_plugin_a_click_beside_a_list_does_no_more_than_close_it() {
    let clicks_beneath = |with_plugin: bool| {
        let mut window = Harness::builder().with_size(Vec2::new(300.0, 300.0)).build_ui_state(
            |ui, clicks: &mut u32| {
                ui.menu_button("List", |ui| ui.label("entry"));
                ui.add_space(200.0);
                *clicks += u32::from(ui.button("Beneath").clicked());
            },
            0,
        );
        if with_plugin {
            window.ctx.add_plugin(ClosingClick::default());
        }
        click_on(&mut window, Role::Button, "List");
        assert!(egui::Popup::is_any_open(&window.ctx));
        click_on(&mut window, Role::Button, "Beneath");
        assert!(!egui::Popup::is_any_open(&window.ctx));
        *window.state()
    };
    assert_eq!((clicks_beneath(false), clicks_beneath(true)), (1, 0));
}

#[test]
fn the_click_that_closes_a_list_does_nothing_to_what_lies_beneath() {
    let mut window = open(None);
    let is_open = |window: &Window| egui::Popup::is_any_open(&window.ctx);
    let target = |window: &Window| window.state().workspace().target.clone();
    let before = target(&window);
    let row = window
        .query_all_by_role(Role::Button)
        .find(|node| node.accesskit_node().label().is_some_and(|label| label.starts_with("M 33  ")))
        .map(|node| node.rect().center())
        .expect("the galaxy is on the demo kit's wish list");
    // A menu over the panels.
    click_on(&mut window, Role::Button, "Layers");
    assert!(is_open(&window));
    click_at(&mut window, row);
    assert!(!is_open(&window));
    assert_eq!(target(&window), before);
    click_at(&mut window, row);
    assert_eq!(target(&window).as_deref(), Some("M 33"));
    // What is in the menu is still for the mouse.
    let grid = window.state().workspace().layers.grid;
    click_on(&mut window, Role::Button, "Layers");
    click_on(&mut window, Role::CheckBox, "Grid of right ascension and declination");
    assert_ne!(window.state().workspace().layers.grid, grid);
    press(&mut window, Modifiers::NONE, Key::Escape);

    // A list over a dialog, which floats as well.
    press(&mut window, Modifiers::COMMAND, Key::E);
    let ground = |window: &Window| window.state().workspace().export.ground;
    let dark = ground(&window);
    click_on(&mut window, Role::ComboBox, "What to export");
    assert!(is_open(&window));
    click_on(&mut window, Role::RadioButton, "White paper");
    assert!(!is_open(&window));
    assert_eq!(ground(&window), dark);
    click_on(&mut window, Role::RadioButton, "White paper");
    assert_ne!(ground(&window), dark);
}

#[test]
fn three_sliders_moved_in_quick_succession_are_three_steps() {
    let mut window = open(None);
    let names: Vec<String> = kit(&window).rigs.iter().take(3).map(|rig| rig.name.clone()).collect();
    let mut steps = vec![kit(&window).clone()];
    // Not a moment passes between them.
    let now = window.ctx.input(|input| input.time);
    window.input_mut().time = Some(now);
    for name in &names {
        let slider = format!("Focal length of {name}");
        let place = window.get_by_role_and_label(Role::Slider, &slider).rect();
        let from = place.lerp_inside(Vec2::new(0.3, 0.5));
        window.drag_at(from);
        window.run_steps(1);
        for step in 1..=5 {
            window.hover_at(from + Vec2::new(3.0 * step as f32, 0.0));
            window.run_steps(1);
        }
        window.drop_at(from + Vec2::new(15.0, 0.0));
        window.run_steps(1);
        assert_ne!(kit(&window), steps.last().unwrap(), "{slider}");
        steps.push(kit(&window).clone());
    }
    window.input_mut().time = None;
    settle(&mut window);
    steps.pop();
    for before in steps.iter().rev() {
        press(&mut window, Modifiers::COMMAND, Key::Z);
        assert!(kit(&window) == before, "one step back is one slider back");
    }
    assert!(!window.state().document().can_undo());
}

#[test]
fn while_a_question_is_open_no_shortcut_acts() {
    const BOTH: Modifiers = Modifiers::COMMAND.plus(Modifiers::SHIFT);
    let mut window = open(None);
    let slider = first_rig_slider(&window);
    window.get_by_role_and_label(Role::Slider, &slider).set_value_accesskit(777.0);
    settle(&mut window);
    press(&mut window, Modifiers::COMMAND, Key::N);
    assert!(window.query_by_label("Stay here").is_some());
    let (kit_before, view) = (kit(&window).clone(), window.state().workspace().view);
    // Panels are still being looked for; what is found meanwhile is no shortcut's doing.
    let until = Instant::now() + Duration::from_secs(60);
    let searching = |text: &String| text.contains("at most") && text.contains("panels");
    while shown(&window).iter().any(searching) {
        assert!(Instant::now() < until, "the panels were never found");
        settle(&mut window);
    }
    let before = shown(&window);
    let shortcuts = [
        (Modifiers::COMMAND, Key::T),
        (Modifiers::COMMAND, Key::P),
        (Modifiers::COMMAND, Key::M),
        (Modifiers::COMMAND, Key::E),
        (BOTH, Key::E),
        (Modifiers::COMMAND, Key::O),
        (Modifiers::COMMAND, Key::I),
        (BOTH, Key::S),
        (Modifiers::COMMAND, Key::Z),
        (Modifiers::COMMAND, Key::Num2),
        (Modifiers::NONE, Key::F1),
    ];
    for (modifiers, key) in shortcuts {
        press(&mut window, modifiers, key);
        let new: Vec<String> =
            shown(&window).into_iter().filter(|text| !before.contains(text)).collect();
        assert!(new.is_empty(), "{modifiers:?} {key:?} brought {new:#?}");
        assert!(window.query_by_label("Stay here").is_some(), "{modifiers:?} {key:?}");
    }
    assert_eq!(*kit(&window), kit_before);
    assert_eq!(window.state().workspace().view, view);
    press(&mut window, Modifiers::NONE, Key::Escape);
    assert!(window.query_by_label("Stay here").is_none());
    press(&mut window, Modifiers::COMMAND, Key::Z);
    assert_ne!(*kit(&window), kit_before, "shortcuts act again");
}

#[test]
fn what_is_typed_straight_after_the_keys_of_find_lands_in_its_field() {
    let target = |window: &Window| window.state().workspace().target.clone();
    let keys = Event::Key {
        key: Key::F,
        physical_key: None,
        pressed: true,
        repeat: false,
        modifiers: Modifiers::COMMAND,
    };
    // In the next frame, and in the same one, as where a frame takes long.
    for in_the_next in [true, false] {
        let mut window = open(None);
        assert_ne!(target(&window).as_deref(), Some("M 33"));
        window.input_mut().events.push(keys.clone());
        if in_the_next {
            window.run_steps(1);
        }
        window.input_mut().events.push(Event::Text("M 33".to_owned()));
        window.run_steps(1);
        window.key_press(Key::Enter);
        settle(&mut window);
        assert_eq!(target(&window).as_deref(), Some("M 33"), "in the next frame: {in_the_next}");
    }
}

#[test]
fn a_target_of_ones_own_is_found_by_a_part_of_its_name() {
    let mut window = open(None);
    let custom = |name: &str| Wish::Custom {
        name: name.to_owned(),
        ra_deg: 30.0,
        dec_deg: 20.0,
        major_arcmin: Some(30.0),
        minor_arcmin: None,
        pa_deg: None,
        surface_brightness_mag_arcsec2: None,
    };
    let path = std::env::temp_dir().join(format!("fieldstop-found-{}.ron", std::process::id()));
    let mut own = kit(&window).clone();
    own.wish_list.push(custom("Quiet corner of the Ram"));
    kit_file::write(&path, &own).unwrap();
    window = open(Some(path.clone()));
    window.key_press_modifiers(Modifiers::COMMAND, Key::F);
    window.event(Event::Text("corner of".to_owned()));
    window.run_steps(2);
    assert!(window.query_by_label_contains("Nothing is called").is_none());
    // What is told of it ends with the constellation that it lies in: Aries, as its name says.
    let told: Vec<String> =
        on_screen::shown(&window).into_iter().filter(|t| t.contains("custom")).collect();
    assert!(told.iter().any(|told| told.ends_with("30.0′  ·  Ari")), "{told:?}");
    window.key_press(Key::Enter);
    settle(&mut window);
    assert_eq!(window.state().workspace().target.as_deref(), Some("Quiet corner of the Ram"));

    // A slip of the keyboard finds nothing, and is met with what is spelt nearly so.
    find(&mut window, "Whirlpol", Key::Enter);
    assert_eq!(window.state().workspace().target.as_deref(), Some("M 51"));
    std::fs::remove_file(path).unwrap();
}

/// Round the whole window and some way on, in a small one, where every list is longer than its room.
#[test]
fn whatever_the_tab_key_reaches_is_in_sight() {
    let mut window = open_in(Vec2::new(1024.0, 700.0), None);
    let screen = Rect::from_min_size(Pos2::ZERO, Vec2::new(1024.0, 700.0));
    let mut reached = HashSet::new();
    for step in 0..160 {
        window.key_press(Key::Tab);
        // Scrolling takes its time.
        window.run_steps(8);
        let Some(id) = window.ctx.memory(|memory| memory.focused()) else { continue };
        // What of it is not cut off by what it lies in.
        let seen =
            window.ctx.read_response(id).map(|response| (response.rect, response.interact_rect));
        let is_seen = |(whole, seen): (Rect, Rect)| {
            screen.contains(whole.center()) && seen.contains(whole.center())
        };
        assert!(seen.is_some_and(is_seen), "{step}: {seen:?}");
        reached.insert(id);
    }
    assert!(reached.len() > 80, "{}", reached.len());
}

/// The window on the demo kit with three hundred targets more: Field 0 to Field 299.
fn with_a_long_list(name: &str) -> (Window, PathBuf) {
    let mut own = kit(&open(None)).clone();
    let custom = |number: usize| Wish::Custom {
        name: format!("Field {number}"),
        ra_deg: number as f64 % 360.0,
        dec_deg: 20.0,
        major_arcmin: Some(30.0),
        minor_arcmin: None,
        pa_deg: None,
        surface_brightness_mag_arcsec2: None,
    };
    own.wish_list.extend((0..300).map(custom));
    let path = std::env::temp_dir().join(format!("fieldstop-{name}-{}.ron", std::process::id()));
    kit_file::write(&path, &own).unwrap();
    (open(Some(path.clone())), path)
}

/// The label of what has the keyboard.
fn has_keyboard(window: &Window) -> Option<String> {
    window.query_all_by(|node| node.is_focused()).next()?.accesskit_node().label()
}

/// Far down the list and with the list scrolled away from the row, as by a wheel.
#[test]
fn the_keyboard_goes_on_where_it_was_in_a_long_wish_list() {
    let (mut window, path) = with_a_long_list("long");
    let rows = |window: &Window| window.query_all_by_label_contains("More for Field").count();
    assert!(rows(&window) < 100, "rows that nobody sees are laid out");
    let focused = |window: &Window| {
        let id = window.ctx.memory(|memory| memory.focused())?;
        let node = window.query_all_by(|node| node.is_focused()).next()?;
        let response = window.ctx.read_response(id)?;
        Some((
            node.accesskit_node().label()?,
            response.interact_rect.contains(response.rect.center()),
        ))
    };
    let last_of_demo = kit(&window).wish_list[21].name().to_owned();
    window.get_by_label(&format!("More for {last_of_demo}")).focus();
    window.run_steps(8);
    for step in 0..45 {
        press(&mut window, Modifiers::NONE, Key::ArrowDown);
        window.run_steps(6);
        let (label, is_seen) = focused(&window).unwrap();
        assert!(is_seen, "{step}: {label} is out of sight");
    }
    let (label, _) = focused(&window).unwrap();
    let number: usize = label.rsplit(' ').next().unwrap().parse().unwrap();
    assert!(number >= 40, "{label}");
    // The wheel takes the list far away; the next step is from where the keyboard was.
    window.hover_at(Pos2::new(1140.0, 400.0));
    for _ in 0..40 {
        window.event(Event::MouseWheel {
            unit: egui::MouseWheelUnit::Point,
            delta: Vec2::new(0.0, 2000.0),
            modifiers: Modifiers::NONE,
            phase: egui::TouchPhase::Move,
            source: egui::MouseWheelSource::Wheel,
        });
        window.run_steps(2);
    }
    settle(&mut window);
    assert!(
        focused(&window).is_some_and(|(same, is_seen)| same == label && !is_seen),
        "it was moved"
    );
    press(&mut window, Modifiers::NONE, Key::ArrowDown);
    window.run_steps(8);
    let (next, is_seen) = focused(&window).unwrap();
    assert_eq!((next, is_seen), (format!("More for Field {}", number + 1), true));
    std::fs::remove_file(path).unwrap();
}

/// Types into the search field, which the keys go to.
fn find(window: &mut Window, text: &str, then: Key) {
    window.key_press_modifiers(Modifiers::COMMAND, Key::F);
    window.event(Event::Text(text.to_owned()));
    settle(window);
    press(window, Modifiers::NONE, then);
    // Scrolling takes its time.
    window.run_steps(40);
}

#[test]
fn the_tab_key_goes_on_from_the_row_that_something_was_done_to() {
    let (mut window, path) = with_a_long_list("rows");
    find(&mut window, "Field 150", Key::Enter);
    assert_eq!(window.state().workspace().target.as_deref(), Some("Field 150"));
    assert_eq!(has_keyboard(&window), None, "the arrow keys are for the sky");
    press(&mut window, Modifiers::NONE, Key::Tab);
    let name = has_keyboard(&window).unwrap();
    assert!(name.starts_with("Field 150"), "{name}");

    // Its menu takes it off the list.
    press(&mut window, Modifiers::NONE, Key::Tab);
    assert_eq!(has_keyboard(&window).unwrap(), "More for Field 150");
    press(&mut window, Modifiers::NONE, Key::Enter);
    let remove = window.get_by_label("Remove from wish list");
    remove.focus();
    settle(&mut window);
    press(&mut window, Modifiers::NONE, Key::Enter);
    let has = |window: &Window, name: &str| kit(window).wish_list.iter().any(|w| w.name() == name);
    assert!(!has(&window, "Field 150"));
    press(&mut window, Modifiers::NONE, Key::Tab);
    let name = has_keyboard(&window).unwrap();
    assert!(name.starts_with("Field 151"), "{name}");
    press(&mut window, Modifiers::NONE, Key::Escape);
    press(&mut window, Modifiers::COMMAND, Key::Z);
    assert!(has(&window, "Field 150"));
    press(&mut window, Modifiers::NONE, Key::Tab);
    let name = has_keyboard(&window).unwrap();
    assert!(name.starts_with("Field 150"), "{name}");

    // A question takes the Tab key before any row does.
    press(&mut window, Modifiers::NONE, Key::Escape);
    find(&mut window, "Field 17", Key::Enter);
    press(&mut window, Modifiers::COMMAND, Key::I);
    press(&mut window, Modifiers::NONE, Key::Tab);
    let name = has_keyboard(&window).unwrap();
    assert!(!name.starts_with("Field"), "{name}");
    std::fs::remove_file(path).unwrap();
}

#[test]
fn a_menu_that_the_keyboard_leaves_is_closed() {
    let mut window = open(None);
    window.get_by_label("More for M 42").focus();
    settle(&mut window);
    press(&mut window, Modifiers::NONE, Key::Enter);
    assert!(window.query_by_label("Remove from wish list").is_some());
    for _ in 0..6 {
        press(&mut window, Modifiers::NONE, Key::Tab);
        let is_open = window.query_by_label("Remove from wish list").is_some();
        let within = ["Move up", "Move down", "Remove from wish list", "More for M 42"];
        let name = has_keyboard(&window).unwrap();
        assert_eq!(is_open, within.contains(&name.as_str()), "{name}");
    }
}

#[test]
fn a_menu_closed_by_a_key_gives_the_keyboard_back() {
    let mut window = open(None);
    for then in [Key::Escape, Key::Enter] {
        window.get_by_label("More for M 42").focus();
        settle(&mut window);
        press(&mut window, Modifiers::NONE, Key::Enter);
        window.get_by_label("Move down").focus();
        settle(&mut window);
        press(&mut window, Modifiers::NONE, then);
        assert!(window.query_by_label("Move down").is_none(), "it is closed");
        assert_eq!(has_keyboard(&window).as_deref(), Some("More for M 42"), "after {then:?}");
    }
    let wishes: Vec<&str> = kit(&window).wish_list.iter().map(|wish| wish.name()).collect();
    assert_eq!(
        wishes.iter().position(|name| *name == "M 42"),
        Some(6),
        "one step down: {wishes:?}"
    );
}

/// The lists of "What if" are the last controls of the window, so that Tab leads past everything.
#[test]
fn a_list_at_the_windows_end_is_closed_too() {
    let mut window = open(None);
    on_screen::click(&mut window, "Choose");
    on_screen::wait_for(&mut window, "alone serves most");
    on_screen::click(&mut window, "What if");
    let lists: Vec<String> = window
        .query_all_by_role(Role::ComboBox)
        .filter_map(|node| node.accesskit_node().label())
        .collect();
    let last = lists.last().unwrap().clone();
    window.get_by_role_and_label(Role::ComboBox, &last).focus();
    settle(&mut window);
    press(&mut window, Modifiers::NONE, Key::Enter);
    assert!(egui::Popup::is_any_open(&window.ctx), "{last}");
    for _ in 0..40 {
        press(&mut window, Modifiers::NONE, Key::Tab);
        if !egui::Popup::is_any_open(&window.ctx) {
            return;
        }
    }
    assert!(
        !egui::Popup::is_any_open(&window.ctx),
        "{last} stays open: {:?}",
        has_keyboard(&window)
    );
}

#[test]
fn the_title_tells_kit_and_state() {
    let mut window = open(None);
    let title = |window: &Window| {
        let commands = &window.output().viewport_output[&egui::ViewportId::ROOT].commands;
        commands.iter().rev().find_map(|command| match command {
            egui::ViewportCommand::Title(title) => Some(title.clone()),
            _ => None,
        })
    };
    let name = kit(&window).name.clone();
    let slider = first_rig_slider(&window);
    window.get_by_role_and_label(Role::Slider, &slider).set_value_accesskit(777.0);
    let told: Vec<String> = (0..8)
        .filter_map(|_| {
            window.run_steps(1);
            title(&window)
        })
        .collect();
    assert_eq!(told, [format!("{name} (not saved) – Fieldstop")]);
}

#[test]
fn a_search_that_is_given_up_leaves_the_list_where_it_was() {
    let (mut window, path) = with_a_long_list("given-up");
    find(&mut window, "Field 155", Key::Enter);
    let row = |window: &Window| window.get_by_label("More for Field 155").rect();
    let before = row(&window);
    window.key_press_modifiers(Modifiers::COMMAND, Key::F);
    settle(&mut window);
    assert_eq!(row(&window), before);
    window.event(Event::Text("fi".to_owned()));
    settle(&mut window);
    press(&mut window, Modifiers::NONE, Key::Escape);
    assert_eq!(row(&window), before);
    std::fs::remove_file(path).unwrap();
}

#[test]
fn a_target_that_is_found_is_scrolled_to_in_the_wish_list() {
    let mut window = open_in(Vec2::new(1024.0, 700.0), None);
    let name = kit(&window).wish_list.last().unwrap().name().to_owned();
    let more = format!("More for {name}");
    let row = |window: &Window| window.get_by_role_and_label(Role::Button, &more).rect();
    assert!(row(&window).top() > 700.0, "it is out of sight at first: {}", row(&window));
    window.key_press_modifiers(Modifiers::COMMAND, Key::F);
    window.event(Event::Text(name.clone()));
    window.key_press(Key::Enter);
    settle(&mut window);
    settle(&mut window);
    assert_eq!(window.state().workspace().target.as_deref(), Some(name.as_str()));
    assert!(row(&window).bottom() < 700.0, "{}", row(&window));
}

#[test]
fn in_a_narrow_window_the_kits_name_gives_way_to_not_saved() {
    let mut window = open_in(Vec2::new(1024.0, 700.0), None);
    let slider = first_rig_slider(&window);
    window.get_by_role_and_label(Role::Slider, &slider).set_value_accesskit(777.0);
    settle(&mut window);
    let told = window.get_by_label("not saved").rect();
    let next = window.get_by_role_and_label(Role::Button, "Site and limits…").rect();
    let choose = window.get_by_role_and_label(Role::Button, "Choose").rect();
    assert!(choose.right() < told.left() && told.right() <= next.left(), "{choose} {told} {next}");
}
