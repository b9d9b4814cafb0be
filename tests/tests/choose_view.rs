//! The Choose view, used through its accessibility tree without a screen, as a newcomer would.
//!
//! What it says is worked out again here from the demo kit's numbers: by plane geometry, by counting
//! and by the definition of "beaten". What its figures rest on is checked elsewhere, in the core.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test fails by panicking"
)]

mod on_screen;

use egui::accesskit::Role;
use egui::{Key, Modifiers, Pos2, Vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use fieldstop::choice::{Choice, Criterion, Wanted, choice};
use fieldstop::demands::Conditions;
use fieldstop::findings::FigureValue;
use fieldstop::kit::Kit;
use fieldstop_gui::app::App;
use fieldstop_gui::files::kit_file;
use fieldstop_gui::sky::catalogue::Catalogue;
use fieldstop_gui::sky::wish::target_of;
use fieldstop_gui::state::ViewChoice;
use fieldstop_gui::state::demand_target::demand_target;
use on_screen::{
    Window, activate, kit, open, press, says, settle, shown, text_with, wait_for, wait_until,
};

/// The view of the demo kit, once the year and the choice have been worked out.
fn choose_view() -> Window {
    choose_view_of(None)
}

/// The same of a kit in a file.
fn choose_view_of(kit: Option<std::path::PathBuf>) -> Window {
    let mut window = open(kit);
    activate(&mut window, "Choose");
    wait_for(&mut window, "alone serves most");
    window
}

/// Opens a list and takes an entry of it, which stands last, over everything else.
fn pick(window: &mut Window, list: &str, entry: &str) {
    window.get_by_role_and_label(Role::ComboBox, list).click_accesskit();
    settle(window);
    let entries = window.query_all_by_role_and_label(Role::Button, entry);
    entries.last().unwrap_or_else(|| panic!("no {entry} in {list}")).click_accesskit();
    settle(window);
    // A list closes at a click of the mouse or at this key.
    press(window, Modifiers::NONE, Key::Escape);
}

/// The demo kit's choice, worked out here; the hours are those that the window shows.
fn choice_of(window: &Window, chosen: usize) -> (Choice, Vec<Wanted>) {
    let kit = kit(window);
    let catalogue = Catalogue::embedded().unwrap();
    let said = shown(window);
    let hours = |name: &str| -> f64 {
        let beginning = format!("{name}: ");
        let mut rows = said.iter().filter(|label| label.starts_with(&beginning));
        let row = rows.find(|label| label.ends_with("usable hours a year")).unwrap();
        let words: Vec<&str> = row.split_whitespace().collect();
        words[words.len() - 5].parse().unwrap()
    };
    let wanted: Vec<Wanted> = kit
        .wish_list
        .iter()
        .map(|wish| {
            let target = target_of(wish, &catalogue).unwrap();
            Wanted {
                name: wish.name().to_owned(),
                outline: target.shape(),
                demand: demand_target(&target),
                hours_in_year: hours(wish.name()),
                stars: kit.stars(wish.name()),
            }
        })
        .collect();
    let conditions = Conditions::at_zenith(&kit.site);
    (choice(kit, chosen, &wanted, &Criterion::ALL, &conditions), wanted)
}

#[test]
fn every_page_has_nothing_but_named_controls() {
    let mut window = choose_view();
    let pages =
        ["Focal lengths", "Targets by rig", "Compare", "Reasons", "Face to face", "What if"];
    for page in pages {
        activate(&mut window, page);
        let unnamed: Vec<String> =
            window.unnamed_widgets().iter().map(|widget| format!("{widget:?}")).collect();
        assert!(unnamed.is_empty(), "{page}: {unnamed:#?}");
    }
}

/// Targets served at one of some focal lengths: how many, and worth how much.
fn served(choice: &Choice, wanted: &[Wanted], lengths_mm: &[f64]) -> (u32, f64) {
    let ranges = choice.ranges.iter().zip(wanted);
    ranges
        .filter(|(range, _)| {
            range.range.is_some_and(|range| lengths_mm.iter().any(|&mm| range.contains(mm)))
        })
        .fold((0, 0.0), |(count, worth), (_, wanted)| (count + 1, worth + wanted.weight()))
}

/// Trial 11: which single focal length serves most of my wish list, which two together?
#[test]
fn the_best_one_and_the_best_two_focal_lengths_are_said() {
    let mut window = choose_view();
    let mut alone = 0;
    for rig in 0..kit(&window).rigs.len() {
        let name = kit(&window).rigs[rig].name.clone();
        activate(&mut window, &name);
        wait_for(&mut window, &format!("aperture of {name};"));
        alone += u32::from(!said_of_best(&window, rig));
    }
    assert!(alone > 0, "one length serves all that the demo's air lets any serve");
}

/// The same for somebody who wants so much detail that one length does not do.
#[test]
fn the_best_two_are_said_where_one_does_not_do() {
    let folder = std::env::temp_dir().join(format!("fieldstop-two-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    let path = folder.join("two.ron");
    let catalogue = Catalogue::embedded().unwrap();
    let mut kit = fieldstop_gui::files::demo_kit(&|name| catalogue.named(name).is_some()).unwrap();
    kit.limits.detail = 165.0;
    kit_file::write(&path, &kit).unwrap();
    let window = choose_view_of(Some(path));
    assert!(said_of_best(&window, 0), "two lengths are said");
    std::fs::remove_dir_all(folder).unwrap();
}

/// Checks what is said of the best focal lengths; whether two were named.
///
/// Brute force: no length of a fine ladder serves more, and no two of a coarser one.
fn said_of_best(window: &Window, rig: usize) -> bool {
    let ladder = |steps: u32| -> Vec<f64> {
        (0..=steps).map(|k| 20.0 * 200f64.powf(f64::from(k) / f64::from(steps))).collect()
    };
    let (choice, wanted) = choice_of(window, rig);
    // Hours are read from the window, rounded to whole ones.
    let room = wanted.len() as f64;
    let said = text_with(window, "alone serves most");
    let numbers: Vec<u32> = said
        .split(|c: char| !c.is_ascii_digit())
        .filter_map(|number| number.parse().ok())
        .collect();
    assert_eq!(numbers[2] as usize, wanted.len(), "{said}");
    let (alone, worth) = served(&choice, &wanted, &[f64::from(numbers[0])]);
    assert_eq!(alone, numbers[1], "{said}");
    let fine = ladder(2000);
    let most = fine.iter().map(|&mm| served(&choice, &wanted, &[mm]).1).fold(0.0, f64::max);
    assert!(worth >= most - room, "{said}: {worth} of {most}");
    let coarse = ladder(80);
    let of_two = coarse.iter().flat_map(|&a| coarse.iter().map(move |&b| [a, b]));
    let most_of_two = of_two.map(|two| served(&choice, &wanted, &two).1).fold(0.0, f64::max);
    if said.contains("A second one would add nothing") {
        assert!(most_of_two <= worth + room, "{said}: {most_of_two}");
        return false;
    }
    let two = [f64::from(numbers[3]), f64::from(numbers[4])];
    let (count, worth) = served(&choice, &wanted, &two);
    assert_eq!(count, numbers[5], "{said}");
    assert!(count > alone && two[0] < two[1], "{said}");
    assert!(worth >= most_of_two - room, "{said}: {most_of_two}");
    true
}

/// The same curve for the catalogue, counted here object by object.
#[test]
fn the_catalogue_takes_the_place_of_the_wish_list_in_the_curve() {
    let mut window = choose_view();
    let (choice, _) = choice_of(&window, 0);
    window.get_by_role_and_label(Role::CheckBox, "Curve of the catalogue").click_accesskit();
    settle(&mut window);
    pick(&mut window, "Kinds of object", "galaxies");
    wait_for(&mut window, " galaxies from 2′ to 240′, ");
    let said = text_with(&window, " galaxies from 2′ to 240′, ");
    let numbers: Vec<f64> = said
        .split(|c: char| !c.is_ascii_digit())
        .filter_map(|number| number.parse().ok())
        .collect();
    let catalogue = Catalogue::embedded().unwrap();
    let limits = &kit(&window).limits;
    let outlines: Vec<_> = catalogue
        .targets()
        .iter()
        .filter(|target| target.kind.label().contains("galax"))
        .filter_map(|target| target.outline)
        .filter(|outline| (2.0..=240.0).contains(&outline.major.arcmin()))
        .collect();
    assert_eq!(numbers[0], outlines.len() as f64, "{said}");
    let setting = choice.setting.unwrap();
    let (mm, width) = (numbers[3], setting.delivered_fwhm_arcsec(numbers[3]));
    let served = outlines.iter().filter(|outline| {
        setting.longest_whole_mm(outline, limits.whole_fill) >= mm
            && outline.major.arcsec() / width >= limits.detail
    });
    // The length is said in whole millimetres, and sizes in tenths of a minute lie close together.
    let served = served.count() as f64;
    assert!((served / numbers[4] - 1.0).abs() < 0.05, "{said}: {served}");
}

#[test]
fn a_rig_dragged_on_the_ladder_changes_the_kit_in_one_step() {
    let mut window = choose_view();
    let before = kit(&window).clone();
    let name = format!("{} on the focal ladder", before.rigs[0].name);
    let from = window.get_by_role_and_label(Role::Slider, &name).rect().center();
    window.drag_at(from);
    window.run_steps(1);
    for step in 1..=8 {
        window.hover_at(Pos2::new(from.x + 8.0 * step as f32, from.y));
        window.run_steps(1);
    }
    window.drop_at(Pos2::new(from.x + 64.0, from.y));
    settle(&mut window);
    let mm = |kit: &Kit| kit.resolve(0).unwrap().focal_length_mm();
    assert!(mm(kit(&window)) > mm(&before) * 1.2);
    press(&mut window, Modifiers::COMMAND, Key::Z);
    assert_eq!(*kit(&window), before);
}

#[test]
fn the_line_of_a_rig_is_dragged_like_its_handle() {
    let mut window = choose_view();
    let before = kit(&window).clone();
    let name = format!("{} on the focal ladder", before.rigs[0].name);
    let handle = window.get_by_role_and_label(Role::Slider, &name).rect().center();
    let from = Pos2::new(handle.x, handle.y - 130.0);
    window.drag_at(from);
    window.run_steps(1);
    for step in 1..=8 {
        window.hover_at(Pos2::new(from.x + 8.0 * step as f32, from.y));
        window.run_steps(1);
    }
    window.drop_at(Pos2::new(from.x + 64.0, from.y));
    settle(&mut window);
    let mm = |kit: &Kit| kit.resolve(0).unwrap().focal_length_mm();
    assert!(mm(kit(&window)) > mm(&before) * 1.2, "{} {}", mm(kit(&window)), mm(&before));
}

#[test]
fn every_cell_of_the_matrix_says_the_verdict_and_a_click_shows_the_frame() {
    let mut window = choose_view();
    let (choice, wanted) = choice_of(&window, 0);
    activate(&mut window, "Targets by rig");
    let mut last = String::new();
    for (place, wanted) in wanted.iter().enumerate() {
        for rig in &choice.rigs {
            let said = text_with(&window, &format!("{} in {}: ", wanted.name, rig.name));
            let cell = rig.cells[place];
            assert!(said.contains(cell.fit.verdict.word()), "{said}");
            assert_eq!(said.contains(", small"), cell.small, "{said}");
            assert_eq!(said.contains(", served"), cell.served, "{said}");
            last = said;
        }
    }
    activate(&mut window, &last);
    let told = window.get_by_role(Role::Canvas).accesskit_node().label().unwrap();
    assert!(told.contains(&wanted.last().unwrap().name), "{told}");
}

#[test]
fn stars_are_given_in_the_matrix_and_count_as_many_times() {
    let mut window = choose_view();
    let (choice, wanted) = choice_of(&window, 0);
    let best = &choice.rigs[choice.best_rig.unwrap()];
    // Something that the best rig does not serve: the more it is wanted, the less of the list is served.
    let place = best.cells.iter().position(|cell| !cell.served).unwrap();
    let (name, hours) = (wanted[place].name.clone(), wanted[place].hours_in_year);
    let all: f64 = wanted.iter().map(Wanted::weight).sum();
    activate(&mut window, "Targets by rig");
    let slider = format!("Stars of {name}");
    window.get_by_role_and_label(Role::Slider, &slider).set_value_accesskit(5.0);
    settle(&mut window);
    assert_eq!(kit(&window).stars(&name), 5);
    window.get_by_role_and_label(Role::Slider, &slider).focus();
    settle(&mut window);
    press(&mut window, Modifiers::NONE, Key::ArrowLeft);
    assert_eq!(kit(&window).stars(&name), 4, "keys give stars too");
    activate(&mut window, "Reasons");
    let worth = |window: &Window| -> f64 {
        let said = text_with(window, "by how much you want each, that is");
        said.split("that is ").nth(1).unwrap().split(' ').next().unwrap().parse().unwrap()
    };
    let per_cent = |stars: f64| 100.0 * best.served.weighted / (all + (stars - 1.0) * hours);
    assert!(per_cent(1.0) - per_cent(4.0) > 2.0, "the stars make no difference that can be read");
    let told = |window: &Window| (worth(window) - per_cent(4.0)).abs() <= 0.5;
    wait_until(&mut window, "another weight", told);
}

#[test]
fn the_season_leaves_out_what_is_not_up() {
    let mut window = choose_view();
    activate(&mut window, "Targets by rig");
    let has = |window: &Window, name: &str| {
        shown(window).iter().any(|label| *label == format!("Stars of {name}"))
    };
    assert!(has(&window, "M 42") && has(&window, "M 8"));
    pick(&mut window, "Season", "January");
    // From memory, any planisphere: Orion is a sight of winter, Sagittarius of summer.
    assert!(has(&window, "M 42") && !has(&window, "M 8"));
    pick(&mut window, "Season", "all year");
    assert!(has(&window, "M 8"));
}

#[test]
fn rows_are_sorted_as_asked() {
    let mut window = choose_view();
    let order = |window: &Window| -> Vec<String> {
        let said = shown(window);
        let rows = said.iter().filter(|label| label.ends_with("usable hours a year"));
        rows.filter_map(|row| row.split_once(": ")).map(|(name, _)| name.to_owned()).collect()
    };
    activate(&mut window, "wish list");
    let list: Vec<String> = kit(&window).wish_list.iter().map(|w| w.name().to_owned()).collect();
    assert_eq!(order(&window), list);
    activate(&mut window, "size");
    let catalogue = Catalogue::embedded().unwrap();
    let major = |name: &String| catalogue.named(name).and_then(|t| t.major_arcmin).unwrap_or(0.0);
    let sizes: Vec<f64> = order(&window).iter().map(major).collect();
    assert!(sizes.windows(2).all(|pair| pair[0] >= pair[1]), "{sizes:?}");
}

#[test]
fn the_comparison_says_who_is_beaten_and_what_would_have_to_change() {
    let mut window = choose_view();
    let (choice, _) = choice_of(&window, 0);
    activate(&mut window, "Compare");
    for rig in &choice.rigs {
        let head = text_with(&window, &format!("Column of {}: ", rig.name));
        assert_eq!(head.contains("not beaten"), rig.dominated_by.is_empty(), "{head}");
        for &by in &rig.dominated_by {
            assert!(head.contains(&choice.rigs[by].name), "{head}");
        }
        // Arithmetic: the chosen rig's kilograms less its own.
        let cell = text_with(&window, &format!("{}, mass to carry: ", rig.name));
        let by =
            rig.count(Criterion::Mass).unwrap() - choice.rigs[0].count(Criterion::Mass).unwrap();
        if by > 0.05 {
            assert!(cell.contains(&format!("needs −{by:.1} kg to draw level")), "{cell}");
        } else if by < -0.05 {
            assert!(
                cell.contains(&format!("ahead of {} by {:.1} kg", choice.rigs[0].name, -by)),
                "{cell}"
            );
        }
    }
}

#[test]
fn leaving_counts_out_changes_who_is_beaten() {
    let mut window = choose_view();
    activate(&mut window, "Compare");
    let all: Vec<Criterion> = Criterion::ALL.to_vec();
    for criterion in all.iter().filter(|&&criterion| criterion != Criterion::Mass) {
        let name = format!("Compare on {}", criterion.label());
        window.get_by_role_and_label(Role::CheckBox, &name).click_accesskit();
        settle(&mut window);
    }
    // Ticks are the kit's, so that what is handed on goes by them, and undo brings them back.
    assert_eq!(kit(&window).compared_on, [Criterion::Mass]);
    let last = window.get_by_role_and_label(Role::CheckBox, "Compare on mass to carry");
    assert!(last.accesskit_node().is_disabled(), "one count stays");
    // On mass alone every rig but the lightest is beaten.
    let (choice, _) = {
        activate(&mut window, "Focal lengths");
        let found = choice_of(&window, 0);
        activate(&mut window, "Compare");
        found
    };
    let mass = |rig: usize| choice.rigs[rig].count(Criterion::Mass).unwrap();
    let least = (0..choice.rigs.len()).map(mass).fold(f64::INFINITY, f64::min);
    for (place, rig) in choice.rigs.iter().enumerate() {
        let wanted = mass(place) > least + 1e-9;
        let head = format!("Column of {}: ", rig.name);
        wait_until(&mut window, &head, |window| {
            text_with(window, &head).contains("not beaten") != wanted
        });
    }
    for _ in 0..Criterion::ALL.len() - 1 {
        press(&mut window, Modifiers::COMMAND, Key::Z);
    }
    assert_eq!(kit(&window).criteria(), Criterion::ALL);
}

/// Trial 12: why not the compound OTA for a beginner who wants large nebulae?
#[test]
fn the_reasons_about_a_rig_are_sentences_with_their_figures() {
    let mut window = choose_view();
    let (choice, _) = choice_of(&window, 0);
    activate(&mut window, "Reasons");
    pick(&mut window, "Reasons about", "Compound");
    let finding = choice
        .findings
        .iter()
        .find(|finding| finding.text.starts_with("Compound takes"))
        .expect("a sentence against the best rig");
    assert!(finding.text.contains("fewer"), "{}", finding.text);
    assert!(says(&window, &finding.text), "{:#?}", shown(&window));
    activate(&mut window, &finding.text);
    for (_, value) in &finding.figures {
        if let FigureValue::Number(number) = value {
            let text =
                if number.fract() == 0.0 { format!("{number:.0}") } else { format!("{number:.4}") };
            assert!(says(&window, &text), "{text} of {}", finding.text);
        }
    }
}

#[test]
fn two_rigs_stand_face_to_face_at_one_scale_and_one_printed_size() {
    let mut window = choose_view();
    activate(&mut window, "Face to face");
    let pictures: Vec<(f64, f64)> = shown(&window)
        .iter()
        .filter(|label| label.contains("points wide, target"))
        .map(|label| {
            let numbers: Vec<f64> = label
                .split_once("frame ")
                .unwrap()
                .1
                .split_whitespace()
                .filter_map(|word| word.parse().ok())
                .collect();
            (numbers[0], numbers[1])
        })
        .collect();
    let [one, other, printed_one, printed_other] = pictures[..] else { panic!("{pictures:?}") };
    // At one scale the same target is as large in both; printed, both frames are as wide.
    assert_eq!(one.1, other.1);
    assert_eq!(printed_one.0, printed_other.0);
    assert!((one.0 - other.0).abs() > 10.0, "the demo's rigs see different fields");
    let (a, b) = (printed_one.1 / one.1 * one.0, printed_one.0);
    assert!((a / b - 1.0).abs() < 0.1, "a print is only scaled: {a} {b}");
    assert!(says(&window, "On mass to carry"), "the list of what differs");
}

#[test]
fn a_part_is_tried_then_dropped_then_kept_as_one_step() {
    let mut window = choose_view();
    let before = kit(&window).clone();
    activate(&mut window, "What if");
    assert_ne!(before.rigs[0].camera, "full frame");
    let pick_camera = |window: &mut Window| pick(window, "Try another camera", "full frame");
    pick_camera(&mut window);
    wait_for(&mut window, "Now");
    assert_eq!(*kit(&window), before, "nothing changes before it is kept");
    // 36 mm behind the same focal length.
    let mm = before.resolve(0).unwrap().focal_length_mm();
    let width_deg = 2.0 * (36.0 / (2.0 * mm)).atan().to_degrees();
    wait_for(&mut window, &format!("{width_deg:.2}° ×"));
    activate(&mut window, "Drop");
    assert_eq!(*kit(&window), before);
    assert!(!says(&window, "Keep"));

    pick_camera(&mut window);
    activate(&mut window, "Keep");
    assert_eq!(kit(&window).rigs[0].camera, "full frame");
    assert_eq!(kit(&window).rigs[1..], before.rigs[1..]);
    assert!(says(&window, "The change is in your kit"));
    press(&mut window, Modifiers::COMMAND, Key::Z);
    assert_eq!(*kit(&window), before, "one step");
    assert!(!says(&window, "The change is in your kit"), "it is no longer");
}

/// The sentence at the top is made of figures too, and leads to them.
#[test]
fn the_answer_opens_to_the_reasons_and_their_figures() {
    let mut window = choose_view();
    let answer = text_with(&window, "alone serves most");
    activate(&mut window, &answer);
    assert!(says(&window, "Reasons about"));
    assert!(says(&window, "best focal length (mm)"), "{:#?}", shown(&window));
}

/// What is to be had at Return from a list: the entry, and the list gone.
#[test]
fn return_takes_an_entry_and_closes_the_list() {
    let mut window = choose_view();
    window.get_by_role_and_label(Role::ComboBox, "Season").focus();
    settle(&mut window);
    press(&mut window, Modifiers::NONE, Key::Enter);
    let may =
        |window: &Window| window.query_all_by_role_and_label(Role::Button, "May").next().is_some();
    assert!(may(&window), "Return opens the list");
    window.query_all_by_role_and_label(Role::Button, "May").last().unwrap().focus();
    settle(&mut window);
    press(&mut window, Modifiers::NONE, Key::Enter);
    assert!(!may(&window), "Return closes the list");
    assert!(says(&window, "Counts and curve are of the whole list."), "May is taken");
}

#[test]
fn counts_left_out_are_said_where_they_tell() {
    let mut window = choose_view();
    activate(&mut window, "Compare");
    let price = "Compare on price";
    let name = shown(&window).into_iter().find(|label| label.starts_with(price)).unwrap();
    window.get_by_role_and_label(Role::CheckBox, &name).click_accesskit();
    settle(&mut window);
    wait_for(&mut window, "6 of 7 counts are ticked");
    wait_for(&mut window, "of the 6 compared");
}

#[test]
fn an_empty_kit_says_what_belongs_here() {
    let mut window = Harness::builder()
        .with_size(Vec2::new(1280.0, 800.0))
        .build_eframe(|cc| App::new(cc, None).expect("the embedded sky opens"));
    settle(&mut window);
    press(&mut window, Modifiers::COMMAND, Key::N);
    activate(&mut window, ViewChoice::Choose.label());
    assert!(says(&window, "Add a candidate to the shortlist"));
    assert!(says(&window, "Put something on the wish list"));
}
