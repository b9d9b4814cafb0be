//! Kits that are wrong in every way a file can be: each gives one message that says where, what was
//! found and what was expected, and nothing hangs or panics.

#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a test fails by panicking")]

use fieldstop_gui::files::kit_error::{Fault, KitFileError};
use fieldstop_gui::files::kit_file::{parse, read, to_text};
use fieldstop_tests::kit_text::numbers_of;
use proptest::prelude::*;
use std::path::{Path, PathBuf};

const EXAMPLE: &str = include_str!("../kits/example-kit.ron");

/// Every target is known, so that only the file itself can be at fault.
fn refused(text: &str) -> KitFileError {
    parse(text.as_bytes(), "bad.ron", &|_| true).expect_err("the kit must be refused")
}

/// The example with one piece of text replaced, once.
fn changed(from: &str, to: &str) -> String {
    assert!(EXAMPLE.contains(from), "the example does not hold {from:?}");
    EXAMPLE.replacen(from, to, 1)
}

/// A change of the example: what is replaced by what, the text at which the message must point, and
/// the message behind the line and column.
type FaultCase = (&'static str, &'static str, &'static str, &'static str);

const FAULTS: &[FaultCase] = &[
    // Out of range.
    (
        "aperture_mm: 60.0",
        "aperture_mm: -60.0",
        "-60.0, focal",
        "otas, entry 1 \"60 mm doublet\", aperture_mm: found -60; expected a number from 1 to 100,000 mm",
    ),
    (
        "aperture_mm: 60.0",
        "aperture_mm: 0",
        "0, focal_len",
        "otas, entry 1 \"60 mm doublet\", aperture_mm: found 0; expected a number from 1 to 100,000 mm",
    ),
    (
        "aperture_mm: 60.0",
        "aperture_mm: NaN",
        "NaN, focal_l",
        "otas, entry 1 \"60 mm doublet\", aperture_mm: found NaN; expected a number from 1 to 100,000 mm",
    ),
    (
        "aperture_mm: 60.0",
        "aperture_mm: inf",
        "inf, focal_l",
        "otas, entry 1 \"60 mm doublet\", aperture_mm: found inf; expected a number from 1 to 100,000 mm",
    ),
    (
        "aperture_mm: 60.0",
        "aperture_mm: 1e999",
        "1e999, focal",
        "otas, entry 1 \"60 mm doublet\", aperture_mm: found inf; expected a number from 1 to 100,000 mm",
    ),
    (
        "image_circle_mm: Some(30.0)",
        "image_circle_mm: Some(-30.0)",
        "-30.0), leng",
        "otas, entry 1 \"60 mm doublet\", image_circle_mm: found -30; expected a number from 0.1 to 10,000 mm",
    ),
    (
        "pixel_um: 3.9",
        "pixel_um: 3e249",
        "3e249, read_",
        "cameras, entry 1 \"APS-C colour\", pixel_um: found 3e249; expected a number from 0.1 to 1,000 µm",
    ),
    (
        "pixel_um: 3.9",
        "pixel_um: 0.09",
        "0.09, read_n",
        "cameras, entry 1 \"APS-C colour\", pixel_um: found 0.09; expected a number from 0.1 to 1,000 µm",
    ),
    (
        "mass_kg: 1.9",
        "mass_kg: 10001",
        "10001, price",
        "otas, entry 1 \"60 mm doublet\", mass_kg: found 10001; expected a number from 0 to 10,000 kg",
    ),
    (
        "width_px: 6000",
        "width_px: 0",
        "0, height_px",
        "cameras, entry 1 \"APS-C colour\", width_px: found 0; expected a whole number from 1 to 1,000,000",
    ),
    (
        "latitude_deg: 54.31",
        "latitude_deg: 90.5",
        "90.5,",
        "site, latitude_deg: found 90.5; expected degrees from -90 to 90",
    ),
    (
        "dec_deg: 30.5",
        "dec_deg: -91.0",
        "-91.0, major",
        "wish_list, entry 12 \"Practice field\", dec_deg: found -91; expected degrees from -90 to 90",
    ),
    (
        "overlap: 0.15",
        "overlap: 1.0",
        "1.0,        ",
        "limits, overlap: found 1; expected a number from 0 to 0.9",
    ),
    // Wrong type.
    (
        "aperture_mm: 60.0",
        "aperture_mm: \"60\"",
        "\"60\", focal_",
        "otas, entry 1 \"60 mm doublet\", aperture_mm: found \"60\"; expected a number",
    ),
    (
        "width_px: 6000",
        "width_px: 6000.5",
        "6000.5, heig",
        "cameras, entry 1 \"APS-C colour\", width_px: found `6000.5`; expected a whole number",
    ),
    (
        "width_px: 6000",
        "width_px: -6000",
        "-6000, heigh",
        "cameras, entry 1 \"APS-C colour\", width_px: found `-6000`; expected a whole number that is not negative",
    ),
    (
        "width_px: 6000",
        "width_px: 99999999999",
        "99999999999,",
        "cameras, entry 1 \"APS-C colour\", width_px: found `99999999999`; expected a smaller whole number",
    ),
    (
        "image_circle_mm: Some(30.0)",
        "image_circle_mm: 30.0",
        "30.0, length",
        "otas, entry 1 \"60 mm doublet\", image_circle_mm: found `30.0`; expected Some(...) or None",
    ),
    (
        "owned: false",
        "owned: no",
        "no),",
        "otas, entry 1 \"60 mm doublet\", owned: found `no`; expected true or false",
    ),
    (
        "name: \"Larkmoor reservoir\"",
        "name: Larkmoor",
        "Larkmoor,",
        "site, name: found `Larkmoor`; expected text in quotation marks",
    ),
    (
        "class: ShortRefractor",
        "class: Refractor",
        "Refractor, a",
        "otas, entry 1 \"60 mm doublet\", class: found `Refractor`; expected ShortRefractor, LongRefractor, Newtonian, Compound or CameraLens",
    ),
    (
        "Named(\"M 33\")",
        "\"M 33\"",
        "\"M 33\", Name",
        "wish_list, entry 2: found \"M 33\"; expected Named(\"...\") or Custom(...)",
    ),
    (
        "Named(\"M 33\")",
        "Wanted(\"M 33\")",
        "Wanted(\"M 33",
        "wish_list, entry 2: found `Wanted`; expected Named or Custom",
    ),
    (
        "Named(\"M 33\")",
        "Named(33)",
        "33), Named(\"",
        "wish_list, entry 2: found `33`; expected text in quotation marks",
    ),
    (
        "(140.0, 34.0)",
        "(140.0, 34.0, 1.0)",
        "1.0), (180.0",
        "site, horizon, entry 2, entry 3: found `1.0`; expected a closing parenthesis",
    ),
    (
        "(140.0, 34.0)",
        "(140.0)",
        "), (180.0, 8",
        "site, horizon, entry 2: found `)`; expected two numbers in parentheses",
    ),
    ("otas: [", "otas: (", "(", "otas: found `(`; expected a list in square brackets"),
    (
        "Ota(name",
        "Tube(name",
        "Tube(name: \"",
        "otas, entry 1 \"60 mm doublet\": found `Tube`; expected Ota(...)",
    ),
    // Missing, unknown, twice.
    (
        "aperture_mm: 60.0, ",
        "",
        "Ota(name: \"6",
        "otas, entry 1 \"60 mm doublet\": the field aperture_mm is missing; expected every field that is not optional",
    ),
    (
        "    name: \"Larkmoor evening class\",\n",
        "",
        "Kit(",
        "the field name is missing; expected every field that is not optional",
    ),
    (
        "aperture_mm: 60.0",
        "apperture_mm: 60.0",
        "apperture_mm",
        "otas, entry 1 \"60 mm doublet\", apperture_mm: found `apperture_mm`; expected name, class, aperture_mm, focal_length_mm, obstruction_mm, transmission, image_circle_mm, length_mm, mass_kg, price or owned",
    ),
    (
        "aperture_mm: 60.0",
        "aperture_mm: 60.0, aperture_mm: 61.0",
        "aperture_mm:",
        "otas, entry 1 \"60 mm doublet\": the field aperture_mm is given twice; expected it once",
    ),
    // Syntax.
    (
        "aperture_mm: 60.0,",
        "aperture_mm: 60.0",
        "focal_length",
        "otas, entry 1 \"60 mm doublet\": found `focal_length_mm`; expected a comma before it",
    ),
    (
        "aperture_mm: 60.0,",
        "aperture_mm 60.0,",
        "60.0, focal_",
        "otas, entry 1 \"60 mm doublet\": found `60.0`; expected a colon after the field's name",
    ),
    (
        "\"60 mm doublet\", class",
        "\"60 mm doublet, class",
        "100 mm tripl",
        "otas, entry 1 \"60 mm doublet, class: ShortRefractor, ap...\": found `100`; expected a comma before it",
    ),
    (
        "\"60 mm doublet\", class",
        "\"60 mm \\q doublet\", class",
        "\"60 mm \\q do",
        "otas, entry 1, name: found a backslash that starts nothing; expected \\\\ for a backslash, \\\" for a quotation mark, or \\n for a new line",
    ),
    ("    ],\n)", "    ],\n", "", "found the end of the file; expected the rest of the kit"),
    (
        "    ],\n)",
        "    ],\n) more",
        "more",
        "found `more`; expected nothing after the kit's last parenthesis",
    ),
    (
        "// The kit file",
        "/* The kit file",
        "",
        "found the end of the file; expected */ at the end of the comment",
    ),
    (
        "// The kit file",
        "#![enable(nonsense)] //",
        "nonsense)] /",
        "found `nonsense`; expected no extension of RON, or one that it has",
    ),
    // Parts that do not go together.
    (
        "ota: \"60 mm doublet\"",
        "ota: \"61 mm doublet\"",
        "\"61 mm doubl",
        "rig \"Short refractor\" uses \"61 mm doublet\", which is not in otas; expected the name of an entry there",
    ),
    (
        "corrector: Some(\"flattener 1.0x\")",
        "corrector: Some(\"none\")",
        "\"none\"),",
        "rig \"Short refractor\" uses \"none\", which is not in correctors; expected the name of an entry there",
    ),
    (
        "name: \"100 mm triplet\"",
        "name: \"60 mm doublet\"",
        "\"60 mm doubl",
        "otas has two entries named \"60 mm doublet\"; expected every name once",
    ),
    (
        "Named(\"M 33\")",
        "Named(\"M 31\")",
        "\"M 31\"), Nam",
        "wish_list has two entries named \"M 31\"; expected every name once",
    ),
    (
        "name: \"100 mm triplet\"",
        "name: \" \"",
        "\" \", class: ",
        "otas has an entry without a name; expected a name",
    ),
    (
        "obstruction_mm: 63.0",
        "obstruction_mm: 150.0",
        "150.0, trans",
        "ota \"150 mm f/4\": obstruction_mm is 150; expected at most 0.999 of its aperture_mm of 150",
    ),
    (
        "minor_arcmin: Some(90.0)",
        "minor_arcmin: Some(190.0)",
        "190.0), pa_d",
        "target \"Practice field\": minor_arcmin is 190; expected a major_arcmin at least as large",
    ),
    (
        "(140.0, 34.0)",
        "(80.0, 34.0)",
        "(80.0, 34.0)",
        "horizon point 2 is (80, 34); expected azimuths from 0 to 360 degrees, each above the one before, and altitudes from -90 to 90",
    ),
    (
        "(140.0, 34.0)",
        "(140.0, NaN)",
        "(140.0, NaN)",
        "horizon point 2 is (140, NaN); expected azimuths from 0 to 360 degrees, each above the one before, and altitudes from -90 to 90",
    ),
    (
        "\"Europe/London\"",
        "\"Europe/Larkmoor\"",
        "\"Europe/Lark",
        "site, time_zone: found \"Europe/Larkmoor\"; expected the IANA name of a time zone, such as \"Europe/London\"",
    ),
    (
        "\"Europe/London\"",
        "\"../../etc/passwd\"",
        "\"../../etc/p",
        "site, time_zone: found \"../../etc/passwd\"; expected the IANA name of a time zone, such as \"Europe/London\"",
    ),
    (
        "    ],\n)",
        "    ],\n    aims: [Aim(rig: \"Nobody\", target: \"M 31\")],\n)",
        "\"Nobody\", ta",
        "aim 1 is of rig \"Nobody\", which is not in rigs; expected the name of an entry there",
    ),
    (
        "    ],\n)",
        "    ],\n    aims: [Aim(rig: \"Compound\", target: \"M 31\", centre_deg: Some((NaN, 91)))],\n)",
        "(NaN, 91)",
        "aim 1 has its centre at (NaN, 91); expected a right ascension from 0 to 360 degrees and a declination from -90 to 90",
    ),
    (
        "    ],\n)",
        "    ],\n    aims: [Aim(rig: \"Compound\", target: \"M 31\", rotation_deg: Some(inf))],\n)",
        "inf",
        "aims, entry 1, rotation_deg: found inf; expected degrees from -360 to 360",
    ),
    // A later version.
    (
        "format: 1",
        "format: 2",
        "2,",
        "format is 2; expected 1: the kit was written by a later version of Fieldstop",
    ),
    (
        "format: 1",
        "format: 2, novelty: [(a: 1)]",
        "2, novelty: ",
        "format is 2; expected 1: the kit was written by a later version of Fieldstop",
    ),
    ("format: 1", "format: 0", "0,", "format is 0; expected 1"),
];

/// The text from a line and column on, both counted from 1.
fn text_at(text: &str, line: usize, column: usize) -> String {
    let line = text.lines().nth(line - 1).unwrap_or("");
    line.chars().skip(column - 1).collect()
}

#[test]
fn each_fault_has_its_message_at_its_place() {
    let mut wrong = Vec::new();
    for (from, to, at, tail) in FAULTS {
        let text = changed(from, to);
        let error = refused(&text);
        let place = error.place.unwrap();
        let there = text_at(&text, place.line, place.column);
        let wanted =
            if tail.starts_with("found") || tail.starts_with("the field") || !has_field(tail) {
                format!("bad.ron, line {}, column {}: {tail}", place.line, place.column)
            } else {
                format!("bad.ron, line {}, column {}, {tail}", place.line, place.column)
            };
        if error.to_string() != wanted || !there.starts_with(at) {
            wrong.push(format!("{to:?}: points at {there:?}\n  gave   {error}\n  wanted {wanted}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Whether a message begins with the path of a field.
fn has_field(tail: &str) -> bool {
    ["site", "limits", "aims,", "otas,", "otas:", "cameras,", "wish_list,"]
        .iter()
        .any(|field| tail.starts_with(field))
}

#[test]
fn the_message_keeps_its_cause() {
    let error = refused(&changed("owned: false", "owned: no"));
    let fault = std::error::Error::source(&error).unwrap();
    assert_eq!(fault.source().unwrap().to_string(), ron::Error::ExpectedBoolean.to_string());
}

#[test]
fn a_wanted_target_that_the_catalogue_lacks_is_named() {
    let error = parse(EXAMPLE.as_bytes(), "bad.ron", &|name| name != "M 81").unwrap_err();
    let message = error.to_string();
    assert!(message.contains("wish_list, entry 6: found \"M 81\""), "{message}");
    let place = error.place.unwrap();
    assert!(text_at(EXAMPLE, place.line, place.column).starts_with("\"M 81\""), "{message}");
}

#[test]
fn a_later_version_is_told_before_anything_it_brought() {
    for novelty in [
        "format: 2, otas: Nested([[[1]]]), name: 3",
        "name: 'x', format: 7, site: Somewhere",
        "format: 3, otas: [",
        "format: 18446744073709551615",
    ] {
        let error = refused(&format!("Kit({novelty})"));
        assert!(matches!(*error.fault, Fault::Newer { .. }), "{novelty}: {error}");
    }
}

#[test]
fn bytes_that_are_not_text_are_placed() {
    let mut bytes = changed("Larkmoor evening", "L\u{e4}rkmoor evening").into_bytes();
    let start = bytes.windows(2).position(|pair| pair == "\u{e4}".as_bytes()).unwrap();
    // The same letter as Latin-1 has it.
    bytes.splice(start..start + 2, [0xe4]);
    let error = parse(&bytes, "bad.ron", &|_| true).unwrap_err();
    assert!(matches!(*error.fault, Fault::NotUtf8(_)));
    assert!(error.to_string().starts_with("bad.ron, line 6, column 13: found bytes"), "{error}");
}

#[test]
fn an_editor_s_byte_order_mark_and_line_ends_do_no_harm() {
    let text = format!("\u{feff}{}", EXAMPLE.replace('\n', "\r\n"));
    assert!(parse(text.as_bytes(), "good.ron", &|_| true).is_ok());
}

#[test]
fn whole_numbers_comments_and_raw_texts_are_ron_too() {
    let text = changed("aperture_mm: 60.0", "/* a /* nested */ comment */ aperture_mm: 60")
        .replace("\"M 33\"", "r#\"M 33\"#")
        .replace("obstruction_mm: 0.0", "obstruction_mm: -0.0");
    let kit = parse(text.as_bytes(), "good.ron", &|_| true).unwrap();
    assert_eq!(kit, parse(EXAMPLE.as_bytes(), "good.ron", &|_| true).unwrap());
}

/// Text that makes a careless reader recurse, loop or fill the memory. Each must be refused soon;
/// the time allowed is a hundred times what was measured.
#[test]
fn deep_and_endless_texts_are_refused_soon() {
    let most = 2_000_000;
    let started = std::time::Instant::now();
    for (from, unit) in [
        ("otas: [", "["),
        ("otas: [", "("),
        ("otas: [", "Ota("),
        ("otas: [", "{"),
        ("budget: Some(", "Some("),
        ("format: 1,", "/*"),
        ("horizon: [", "(1,"),
        ("name: \"Larkmoor reservoir\"", "name: \""),
        ("name: \"Larkmoor reservoir\"", "\\"),
        ("otas: [", "r##########"),
        ("format: 1", "format: 2, x: [(a: [("),
    ] {
        let text = changed(from, &format!("{from}{}", unit.repeat(most / unit.len())));
        let error = refused(&text);
        assert!(error.to_string().len() < 1000, "{error}");
    }
    let many = changed("Named(\"M 33\"),", &"Named(\"M 33\"),".repeat(most / 16));
    assert!(matches!(*refused(&many).fault, Fault::Kit(_)));
    let rig = |n| {
        format!("(name:\"{n}\",ota:\"{}\",camera:\"0\",mount:\"0\",extra_mass_kg:0),", 9999 - n)
    };
    let many = changed("rigs: [", &format!("rigs: [{}", (0..10_000).map(rig).collect::<String>()));
    assert!(matches!(*refused(&many).fault, Fault::Kit(_)));
    let closed = format!("{}{}", "/*".repeat(most / 4), "*/".repeat(most / 4));
    assert!(matches!(*refused(&closed).fault, Fault::Syntax { .. }));
    assert!(started.elapsed().as_secs() < 60, "took {:?}", started.elapsed());
}

#[test]
fn what_is_not_an_ordinary_file_is_refused_unopened() {
    let folder = read(Path::new("."), &|_| true).unwrap_err();
    assert_eq!(folder.to_string(), ".: found a folder; expected a kit file");
    let missing = read(Path::new("no-such-kit.ron"), &|_| true).unwrap_err();
    assert_eq!(missing.to_string(), "no-such-kit.ron: it cannot be read: there is no such file");
    if cfg!(unix) {
        let device = read(Path::new("/dev/zero"), &|_| true).unwrap_err();
        assert!(matches!(*device.fault, Fault::NotAFile(_)), "{device}");
    }
}

#[test]
fn a_file_over_16_mb_is_refused() {
    let path = scratch("too-large.ron");
    // A hole: the file takes no room on the disk.
    let file = std::fs::File::create(&path).unwrap();
    file.set_len(16_000_001).unwrap();
    let error = read(&path, &|_| true).unwrap_err();
    std::fs::remove_file(&path).unwrap();
    assert!(matches!(*error.fault, Fault::TooLarge), "{error}");
}

/// A path for a file of one test.
fn scratch(name: &str) -> PathBuf {
    Path::new(env!("CARGO_TARGET_TMPDIR")).join(name)
}

/// A kit with one entry in each list, so that every byte of it can be tried.
fn short_kit() -> String {
    let mut kit = parse(EXAMPLE.as_bytes(), "good.ron", &|_| true).unwrap();
    kit.otas.truncate(1);
    kit.correctors.truncate(1);
    kit.cameras.truncate(1);
    kit.mounts.truncate(1);
    kit.rigs.truncate(1);
    kit.wish_list.drain(1..11);
    to_text(&kit).unwrap().lines().map(|line| line.trim_start().to_owned() + "\n").collect()
}

/// Whatever number a file has, there are ends to what it may be.
#[test]
fn every_number_of_a_kit_has_a_least_and_a_greatest() {
    const KIT: &str = include_str!("../fuzz/corpus/kit/every_field.ron");
    let kit = parse(KIT.as_bytes(), "good.ron", &|_| true).unwrap();
    let written = to_text(&kit).unwrap();
    assert!(!written.contains("None") && !written.contains("[]"), "a field is missing: {written}");
    let numbers = numbers_of(KIT);
    assert!(numbers.len() > 90, "{}", numbers.len());
    for place in numbers {
        for number in ["1e300", "-1e300", "1000000000001", "-1000000000001", "NaN"] {
            let text = format!("{}{number}{}", &KIT[..place.start], &KIT[place.end..]);
            let field =
                &KIT[KIT[..place.start].rfind([' ', '(', '[']).map_or(0, |at| at)..place.end];
            let error = parse(text.as_bytes(), "bad.ron", &|_| true);
            assert!(error.is_err(), "{field}: {number} was let in");
        }
    }
}

#[test]
fn every_truncation_is_refused() {
    let short = short_kit();
    assert!(parse(short.as_bytes(), "good.ron", &|_| true).is_ok());
    for whole in [short.trim_end(), EXAMPLE.trim_end()] {
        let step = if whole.len() < 3000 { 1 } else { 13 };
        for end in (0..whole.len()).step_by(step) {
            let error = refused(&whole[..end]);
            assert!(error.place.is_some(), "cut at {end}: {error}");
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    /// Bytes changed, added and taken away: read or refused, never a panic, never an endless loop.
    #[test]
    fn mutated_kits_are_read_or_refused(
        edits in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>(), 0..4_u8), 1..6),
    ) {
        let mut bytes = EXAMPLE.as_bytes().to_vec();
        for (place, byte, edit) in edits {
            let at = place.index(bytes.len());
            match edit {
                0 => bytes[at] = byte,
                1 => bytes.insert(at, byte),
                2 => drop(bytes.remove(at)),
                _ => bytes[at] = b"()[]{}\",:/*\\-.0"[usize::from(byte) % 15],
            }
        }
        if let Err(error) = parse(&bytes, "bad.ron", &|_| true) {
            prop_assert!(error.to_string().starts_with("bad.ron"));
            prop_assert!(error.to_string().len() < 2000);
        }
    }

    /// Pieces of RON in any order.
    #[test]
    fn shuffled_pieces_of_ron_are_refused(
        pieces in prop::collection::vec(prop::sample::select(vec![
            "Kit(", "format: 1,", "format: 2,", "site: Site(", ")", "(", "[", "]", "{", "}", "\"",
            "name: \"x\",", "Some(", "None", ",", ":", "1", "-", "1e9", "NaN", "/*", "*/", "//", "\n",
            "r#\"", "\"#", "'", "#![enable(implicit_some)]", "\u{feff}", "\0", "otas: [", "Ota(",
        ]), 0..40),
    ) {
        let text = pieces.concat();
        prop_assert!(parse(text.as_bytes(), "bad.ron", &|_| true).is_err());
    }
}
