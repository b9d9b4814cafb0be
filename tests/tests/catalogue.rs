//! The catalogue as a person meets it: by name, by search, by place, and through a wish.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test fails by panicking"
)]

use std::sync::LazyLock;

use fieldstop::kit::{DrawnOutline, Wish};
use fieldstop::{Angle, Direction, Icrs};
use fieldstop_gui::framing::frame_on;
use fieldstop_gui::sky::catalogue::{Catalogue, Target};
use fieldstop_gui::sky::designation::key;
use fieldstop_gui::sky::kind::Kind;
use fieldstop_gui::sky::wish::{WishNames, target_named, target_of};
use proptest::prelude::*;

static CATALOGUE: LazyLock<Catalogue> = LazyLock::new(|| Catalogue::embedded().unwrap());

fn named(name: &str) -> &'static Target {
    CATALOGUE.named(name).unwrap_or_else(|| panic!("{name} is not found"))
}

/// What the catalogue calls the best answer.
fn first(text: &str) -> String {
    let found = CATALOGUE.search(text, 1);
    found.first().map_or("nothing", |target| target.catalogue_name()).to_owned()
}

#[derive(serde::Deserialize)]
struct Messier {
    number: u32,
    kind: String,
    major_arcmin: f64,
    v_mag: f64,
}

/// Source: the list of Messier objects that handbooks share, `tests/reference/messier.csv`, typed
/// from memory apart from the catalogue. Handbooks differ by tens of per cent in size, and by more
/// than a magnitude for loose clusters (M 23 is 5.5 or 6.9): sizes within a factor of 1.5,
/// magnitudes within 1.1, within 1.5 for clusters.
#[test]
fn every_messier_object_has_about_the_size_and_brightness_of_the_handbooks() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/reference/messier.csv");
    let rows: Vec<Messier> =
        csv::Reader::from_path(path).unwrap().deserialize().map(Result::unwrap).collect();
    assert_eq!(rows.len(), 110);
    let mut misses = Vec::new();
    for row in rows {
        let target = named(&format!("M {}", row.number));
        let major = target.major_arcmin.unwrap_or(f64::NAN);
        let ratio = major / row.major_arcmin;
        let tolerance = if row.kind == "OCl" { 1.5 } else { 1.1 };
        let fainter = target.magnitude.unwrap_or(f64::NAN) - row.v_mag;
        if !(1.0 / 1.5..=1.5).contains(&ratio) || fainter.is_nan() || fainter.abs() > tolerance {
            misses.push(format!("M {}: {ratio:.2} of the size, {fainter:+.2} mag", row.number));
        }
        let fits = match row.kind.as_str() {
            "G" => target.kind == Kind::Galaxy,
            "GCl" => target.kind == Kind::GlobularCluster,
            "OCl" => target.kind == Kind::OpenCluster,
            "PN" => target.kind == Kind::PlanetaryNebula,
            "SNR" => target.kind == Kind::SupernovaRemnant,
            "**" => target.kind == Kind::DoubleStar,
            "*Ass" => target.kind == Kind::Association,
            "Ast" => target.kind == Kind::Other,
            _ => matches!(
                target.kind,
                Kind::Nebula | Kind::HiiRegion | Kind::ClusterWithNebula | Kind::ReflectionNebula
            ),
        };
        assert!(fits, "M {} is a {}", row.number, target.kind.label());
    }
    assert!(misses.is_empty(), "{misses:#?}");
}

/// Source: the Caldwell list of 1995, from memory, at either end and in the middle.
#[test]
fn every_caldwell_object_is_found() {
    for number in 1..=109 {
        named(&format!("C {number}"));
    }
    for (number, name) in [
        (1, "NGC 188"),
        (14, "C 14"),
        (20, "NGC 7000"),
        (33, "NGC 6992"),
        (34, "NGC 6960"),
        (49, "Sh2-275"),
        (65, "NGC 253"),
        (80, "NGC 5139"),
        (99, "Coalsack"),
        (103, "NGC 2070"),
        (109, "NGC 3195"),
    ] {
        assert_eq!(named(&format!("Caldwell {number}")).name, name);
    }
}

#[test]
fn a_name_is_found_in_any_usual_spelling() {
    for (spellings, wanted) in [
        (
            &["M31", "m 31", "M 31", "ngc0224", "NGC 224", "Messier 31", "andromeda galaxy"][..],
            "M 31",
        ),
        (&["sh 2-190", "Sh2-190", "SH2-190", "IC 1805", "ic1805", "Heart Nebula"], "Sh2-190"),
        (&["C 20", "c20", "NGC7000", "North America nebula"], "NGC 7000"),
        (&["sh2-155", "Sh 2-155", "C 9", "Cave Nebula"], "Sh2-155"),
        (&["NGC 2244", "NGC 2239", "C 50"], "NGC 2244"),
        (&["IC 2118", "NGC 1909", "witch head nebula", "the Witch Head Nebula"], "IC 2118"),
        (&["NGC 6523", "M8", "Sh2-25"], "M 8"),
        (&["B33", "Barnard 33", "horsehead nebula"], "B 33"),
        (&["Veil Nebula", "Cygnus Loop", "Sh2-103"], "Cygnus Loop"),
        (&["Mel 22", "Melotte 22", "M45", "pleiades"], "M 45"),
        (&["PGC 2557", "pgc2557"], "M 31"),
        (&["M 102", "NGC 5866"], "NGC 5866"),
        (&["Abell 21", "Medusa Nebula"], "Sh2-274"),
    ] {
        for spelling in spellings {
            assert_eq!(named(spelling).name, wanted, "{spelling}");
        }
    }
}

#[test]
fn a_name_is_never_guessed() {
    for name in [
        "",
        " ",
        "M",
        "M 0",
        "M 111",
        "M 310",
        "NGC",
        "NGC 22400",
        "Andromeda Galax",
        "Heart",
        "Veil",
        "andromeda galaxies",
        "C 110",
        "Sh2-",
        "-",
        "\u{0}",
        "31",
        "\u{1F30C}",
    ] {
        assert!(CATALOGUE.named(name).is_none(), "{name:?}");
    }
}

#[test]
fn every_target_is_found_by_the_name_it_goes_by() {
    for target in CATALOGUE.targets() {
        assert_eq!(CATALOGUE.named(&target.name).map(|t| &t.name), Some(&target.name));
    }
}

#[test]
fn the_best_find_comes_first() {
    for (text, wanted) in [
        ("m31", "M 31"),
        ("M 3", "M 3"),
        ("ngc 224", "M 31"),
        ("ngc0224", "M 31"),
        ("sh 2-190", "Sh2-190"),
        ("C 20", "NGC 7000"),
        ("NGC 6960", "NGC 6960"),
        ("NGC 700", "NGC 700"),
        ("veil", "Cygnus Loop"),
        ("north amer", "NGC 7000"),
        ("andromeda", "M 31"),
        ("heart and soul", "Heart and Soul"),
        ("soul neb", "Sh2-199"),
        ("orion neb", "M 42"),
        ("whirl", "M 51"),
        ("bodes", "M 81"),
        ("rosette", "Sh2-275"),
        ("flame", "NGC 2024"),
        ("heart", "Sh2-190"),
        ("horsehead", "B 33"),
        ("markarian", "Markarian's Chain"),
        ("chain", "Markarian's Chain"),
        ("loop cygnus", "Cygnus Loop"),
        ("globular hercules", "M 13"),
        ("mirach's ghost", "nothing"),
        ("qqqq", "nothing"),
        ("", "nothing"),
        ("   ", "nothing"),
        ("'", "nothing"),
    ] {
        assert_eq!(first(text), wanted, "{text:?}");
    }
}

/// Sh2-190 and IC 1805 are one nebula, M 31 and NGC 224 one galaxy, from memory.
#[test]
fn what_is_found_by_a_designation_goes_by_it() {
    for (text, wanted) in [
        ("ic1805", "IC 1805"),
        ("IC 180", "IC 180"),
        ("sh 2-190", "Sh2-190"),
        ("ngc 224", "NGC 224"),
        ("m31", "M 31"),
        // Not a designation that was typed: the catalogue's name stays.
        ("andromeda galaxy", "M 31"),
        ("heart", "Sh2-190"),
    ] {
        assert_eq!(CATALOGUE.search(text, 1)[0].name, wanted, "{text}");
    }
    // A name that leads to something else is not taken.
    for (text, limit) in [("ngc 2244", 5), ("ngc 1", 300), ("ic 4", 300), ("sh2-2", 300)] {
        for found in CATALOGUE.search(text, limit) {
            assert!(named(&found.name).is_same(&found), "{text}: {}", found.name);
        }
    }
    let heart = CATALOGUE.search("IC 1805", 1).remove(0).into_owned();
    assert_eq!(
        (heart.catalogue_name(), heart.title().as_str()),
        ("Sh2-190", "IC 1805  Heart Nebula, Sh2-190")
    );
    assert!(heart.is_same(named("Sh2-190")) && !heart.is_same(named("M 31")));
    let names = |target: &Target| {
        let mut names: Vec<String> = target.names().map(key).collect();
        names.sort();
        names
    };
    assert_eq!(names(&heart), names(named("Sh2-190")));
    let common = named("M 31").called("Andromeda Galaxy").into_owned();
    assert_eq!(common.title(), "Andromeda Galaxy  Andromeda Nebula, M 31");
}

#[test]
fn a_target_goes_by_the_name_that_the_person_uses() {
    let mut kit: fieldstop::kit::Kit =
        ron::from_str(include_str!("../../assets/demo-kit.ron")).unwrap();
    kit.wish_list = vec![Wish::Named("IC 1805".to_owned())];
    let name = |asked: &str| target_named(&kit, asked, &CATALOGUE).unwrap().name.clone();
    assert_eq!(name("IC 1805"), "IC 1805");
    // What is on the wish list goes by its name there, whatever it is asked for by.
    assert_eq!(name("sharpless 190"), "IC 1805");
    assert_eq!(name("Heart Nebula"), "IC 1805");
    assert_eq!(name("North America Nebula"), "North America Nebula");
    let names = WishNames::of(&kit, &CATALOGUE);
    assert_eq!(names.led(named("Sh2-190")).name, "IC 1805");
    assert_eq!(names.led(named("M 31")).name, "M 31");
    // What was drawn and aimed under one of its names holds under all.
    kit.set_outline(DrawnOutline {
        target: "Sh2-190".to_owned(),
        corners_deg: vec![(37.0, 61.0), (39.0, 61.0), (38.0, 62.0)],
    });
    assert!(target_named(&kit, "IC 1805", &CATALOGUE).unwrap().drawn.is_some());
    kit.aim_mut(&kit.rigs[0].name.clone(), "Sh2-190").rotation_deg = Some(12.5);
    let target = target_named(&kit, "IC 1805", &CATALOGUE).unwrap();
    let frame = frame_on(&kit, 0, &target).unwrap();
    assert!((frame.rotation.deg() - 12.5).abs() < 1e-9, "{:?}", frame.rotation);
}

#[test]
fn a_constellation_lists_its_own_targets() {
    for (text, abbreviation) in
        [("Lynx", "Lyn"), ("bootes", "Boo"), ("Boötes", "Boo"), ("ari", "Ari")]
    {
        let found = CATALOGUE.search(text, 10);
        assert_eq!(found.len(), 10, "{text}");
        assert!(found.iter().all(|target| target.constellation == abbreviation), "{text}");
    }
    // What bears the name itself comes before what only lies there.
    assert_eq!(first("leo tri"), "Leo Triplet");
}

#[test]
fn results_are_no_more_than_asked_for_and_never_twice() {
    for text in ["m", "n", "galaxy", "ngc 1", "and"] {
        let found = CATALOGUE.search(text, 50);
        assert_eq!(found.len(), 50, "{text}");
        let mut names: Vec<_> = found.iter().map(|target| &target.name).collect();
        names.sort();
        names.dedup();
        assert_eq!(names.len(), 50, "{text}");
        assert_eq!(CATALOGUE.search(text, 3).len(), 3);
        assert!(CATALOGUE.search(text, 0).is_empty());
    }
}

#[test]
fn near_agrees_with_measuring_every_separation() {
    for (ra_deg, dec_deg, radius_deg) in [
        (10.7, 41.3, 2.0),
        (359.9, -0.1, 5.0),
        (0.0, 90.0, 3.0),
        (123.0, -90.0, 10.0),
        (187.0, 13.0, 0.05),
        (80.0, -69.0, 60.0),
        (200.0, 20.0, 180.0),
    ] {
        let centre =
            Direction::<Icrs>::from_ra_dec(Angle::from_deg(ra_deg), Angle::from_deg(dec_deg));
        let found: Vec<_> = CATALOGUE.near(centre, Angle::from_deg(radius_deg)).collect();
        let wanted = CATALOGUE
            .targets()
            .iter()
            .filter(|target| {
                let half_deg = target.major_arcmin.unwrap_or(0.0) / 120.0;
                centre.separation(target.place).deg() <= radius_deg + half_deg
            })
            .count();
        assert_eq!(found.len(), wanted, "{ra_deg} {dec_deg} {radius_deg}");
        assert!(found.is_sorted_by(|a, b| {
            a.major_arcmin.unwrap_or(0.0) >= b.major_arcmin.unwrap_or(0.0)
        }));
    }
    // A place inside the Veil, far from its middle, still sees all of it.
    let inside = Direction::from_ra_dec(Angle::from_deg(314.0), Angle::from_deg(31.5));
    assert!(CATALOGUE.near(inside, Angle::from_arcmin(1.0)).any(|t| t.name == "Cygnus Loop"));
}

#[test]
fn a_wish_becomes_a_target() {
    let wish = Wish::Named("ic1805".to_owned());
    let target = target_of(&wish, &CATALOGUE).unwrap();
    assert_eq!((target.name.as_str(), target.catalogue_name()), ("ic1805", "Sh2-190"));
    assert!(target_of(&Wish::Named("Nowhere".to_owned()), &CATALOGUE).is_none());

    let custom = Wish::Custom {
        name: "Practice field".to_owned(),
        ra_deg: 311.2,
        dec_deg: 30.5,
        major_arcmin: Some(150.0),
        minor_arcmin: None,
        pa_deg: Some(20.0),
        surface_brightness_mag_arcsec2: Some(23.5),
    };
    let target = target_of(&custom, &CATALOGUE).unwrap();
    assert_eq!((target.kind, target.ra_deg, target.dec_deg), (Kind::Custom, 311.2, 30.5));
    assert!((target.place.ra().deg() - 311.2).abs() < 1e-9);
    let outline = target.outline.unwrap();
    assert!((outline.major.arcmin() - 150.0).abs() < 1e-9);
    assert!(outline.minor.is_none());
    assert_eq!(target.constellation_name(), "Cygnus");
}

/// Source: none outside the project; physical bounds that no photograph contradicts. From memory:
/// the heart of the Orion Nebula is about 17 mag/arcsec2, the faintest remnants about 26.
#[test]
fn nebulae_most_photographed_have_a_typical_surface_brightness() {
    for name in [
        "Heart Nebula",
        "Soul Nebula",
        "Rosette Nebula",
        "North America Nebula",
        "Pelican Nebula",
        "Veil Nebula",
        "Western Veil",
        "Eastern Veil",
        "Pickering's Triangle",
        "IC 1396",
        "Elephant's Trunk Nebula",
        "Horsehead Nebula",
        "Flame Nebula",
        "California Nebula",
        "M 8",
        "M 20",
        "M 16",
        "M 17",
        "M 42",
        "M 43",
        "M 78",
        "Running Man Nebula",
        "Crescent Nebula",
        "Bubble Nebula",
        "Pacman Nebula",
        "Cone Nebula",
        "Jellyfish Nebula",
        "Helix Nebula",
        "M 27",
        "M 57",
        "M 97",
        "M 76",
        "M 1",
        "Wizard Nebula",
        "Iris Nebula",
        "Cocoon Nebula",
        "Monkey Head Nebula",
        "Flaming Star Nebula",
        "Tadpole Nebula",
        "Seagull Nebula",
        "Thor's Helmet",
        "Tulip Nebula",
        "Lion Nebula",
        "Cave Nebula",
        "Witch Head Nebula",
        "Carina Nebula",
        "Tarantula Nebula",
        "Statue of Liberty Nebula",
        "Cat's Paw Nebula",
        "War and Peace Nebula",
        "Pencil Nebula",
        "Vela SNR",
        "Spaghetti Nebula",
        "Squid Nebula",
        "Flying Bat Nebula",
        "Gamma Cygni Nebula",
        "Medusa Nebula",
        "Saturn Nebula",
        "Eskimo Nebula",
        "Cat's Eye Nebula",
        "NGC 7822",
        "IC 63",
        "Northern Trifid",
        "Fish Head Nebula",
        "NGC 1333",
        "Dolphin Head Nebula",
        "Running Chicken Nebula",
        "Rho Ophiuchi Nebula",
        "NGC 6188",
        "Prawn Nebula",
        "Blue Horsehead",
        "Merope Nebula",
    ] {
        let target = named(name);
        let mean = target.surface_brightness_mag_arcsec2.unwrap_or_else(|| panic!("{name}: none"));
        assert!((14.0..=26.5).contains(&mean), "{name}: {mean}");
        assert!(target.major_arcmin.is_some(), "{name}: no size");
    }
    let mean = |name: &str| named(name).surface_brightness_mag_arcsec2.unwrap();
    assert!(mean("M 57") < mean("M 42") && mean("M 42") < mean("NGC 7000"));
    assert!(mean("NGC 7000") < mean("IC 1396") && mean("IC 1396") < mean("Spaghetti Nebula"));
}

#[test]
fn sizes_that_are_a_guess_say_so() {
    for (name, uncertain) in [
        ("M 31", false),
        ("M 7", false),
        ("NGC 7000", false),
        ("Heart Nebula", true),
        ("NGC 6755", true),
        ("IC 1831", true),
        ("HB 21", true),
    ] {
        assert_eq!(named(name).size_uncertain, uncertain, "{name}");
    }
}

/// Source: RC3 (de Vaucouleurs et al. 1991), from memory: V of NGC 253 is 7.2, where OpenNGC has
/// 11.11; M 15 has V 6.2 and a B of 3.00 that cannot be.
#[test]
fn impossible_colours_do_not_reach_the_magnitude() {
    assert!((named("NGC 253").magnitude.unwrap() - 7.2).abs() < 0.3);
    assert!((named("M 15").magnitude.unwrap() - 6.2).abs() < 0.3);
    let assumed = CATALOGUE.targets().iter().filter(|target| target.magnitude_assumed).count();
    assert!(assumed > 5000, "{assumed}");
}

proptest! {
    /// Whatever is typed, and in whatever script, gives an answer.
    #[test]
    fn any_text_can_be_looked_up(text in "\\PC{0,12}") {
        let found = CATALOGUE.search(&text, 5);
        prop_assert!(found.len() <= 5);
        if let Some(target) = CATALOGUE.named(&text) {
            prop_assert!(target.names().any(|name| key(name) == key(&text)));
        }
    }

    /// A name in its one spelling is a spelling of itself.
    #[test]
    fn spelling_a_name_twice_changes_nothing(text in "[ -~]{0,16}") {
        prop_assert_eq!(key(&key(&text)), key(&text));
    }
}
