//! `fieldstop header`, and a kit's own picture in `fieldstop sketch`, as a script runs them.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod common;

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Output;

use common::{DEMO, fieldstop, folder};
use fitsio_pure::header::{Card, parse_header_blocks};
use fitsio_pure::value::Value;

const PICTURES: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../../tests/reference/pictures");

fn header(rig: &str, more: &[&str], out: &Path) -> Output {
    let out = out.to_str().unwrap();
    let mut arguments = vec!["header", DEMO, "--rig", rig, "--target", "M 31", "--out", out];
    arguments.extend(more);
    fieldstop(&arguments)
}

fn cards(path: &Path) -> Vec<Card> {
    let bytes = fs::read(path).unwrap();
    assert_eq!(bytes.len() % 2880, 0);
    assert!(bytes.iter().all(|byte| (b' '..=b'~').contains(byte)));
    parse_header_blocks(&bytes).unwrap()
}

fn number(cards: &[Card], keyword: &str) -> f64 {
    let card = cards.iter().find(|card| card.keyword_str() == keyword).unwrap();
    match card.value {
        Some(Value::Float(number)) => number,
        Some(Value::Integer(number)) => number as f64,
        _ => f64::NAN,
    }
}

#[test]
fn a_frame_and_each_panel_have_a_header() {
    let folder = folder("header panels");
    let out = folder.join("m31.hdr");
    let done = header("Long refractor", &[], &out);
    assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
    let alone = cards(&out);
    assert_eq!(number(&alone, "NAXIS"), 2.0);
    assert_eq!(number(&alone, "LONPOLE"), 180.0);
    // M 31 as the catalogue has it, to the second of arc that `fieldstop find` shows.
    assert!((number(&alone, "CRVAL1") - 10.6848).abs() < 1e-3);
    assert!((number(&alone, "CRVAL2") - 41.2691).abs() < 1e-3);

    let listed = ["mosaic", DEMO, "--rig", "Long refractor", "--target", "M 31", "--json"];
    let listed = fieldstop(&listed).stdout;
    let listed: serde_json::Value = serde_json::from_slice(&listed).unwrap();
    let panels = listed["panels"].as_array().unwrap();
    assert!(panels.len() > 1);
    for (index, panel) in panels.iter().enumerate() {
        let number_of = (index + 1).to_string();
        assert!(header("Long refractor", &["--panel", &number_of], &out).status.success());
        let found = cards(&out);
        for (keyword, field) in [("CRVAL1", "ra_deg"), ("CRVAL2", "dec_deg")] {
            let wanted = panel[field].as_f64().unwrap();
            assert!((number(&found, keyword) - wanted).abs() < 1e-12, "{keyword} of {number_of}");
        }
        // The picture's up direction in the matrix is the panel's rotation.
        let up = number(&found, "CD1_2").atan2(number(&found, "CD2_2")).to_degrees();
        let wanted = panel["rotation_deg"].as_f64().unwrap();
        assert!((up - wanted).rem_euclid(360.0).min((wanted - up).rem_euclid(360.0)) < 1e-9);
    }
    let beyond = (panels.len() + 1).to_string();
    for wrong in ["0", &beyond] {
        let refused = header("Long refractor", &["--panel", wrong], &out);
        let why = String::from_utf8_lossy(&refused.stderr).into_owned();
        assert!(!refused.status.success() && why.contains("expected a number from 1 to"), "{why}");
    }
}

#[test]
fn nothing_is_written_where_it_would_do_harm() {
    let folder = folder("header harm");
    let kit = folder.join("kit.ron");
    fs::copy(DEMO, &kit).unwrap();
    let path = kit.to_str().unwrap();
    let over = ["header", path, "--rig", "Compound", "--target", "M 31", "--out", path];
    let refused = fieldstop(&over);
    assert!(String::from_utf8_lossy(&refused.stderr).contains("is the kit itself"));
    assert_eq!(fs::read(&kit).unwrap(), fs::read(DEMO).unwrap());
    let nowhere = header("Compound", &[], &folder.join("none/x.hdr"));
    assert!(String::from_utf8_lossy(&nowhere.stderr).contains("there is no folder"));
    let other = folder.join("x.txt");
    let refused = header("Compound", &[], &other);
    let said = String::from_utf8_lossy(&refused.stderr).into_owned();
    assert!(!refused.status.success() && !other.exists());
    assert!(said.contains("expected a name that ends in .hdr, .wcs, .fits or .fit"), "{said}");
    let unknown = header("Nobody's", &[], &folder.join("x.hdr"));
    assert!(String::from_utf8_lossy(&unknown.stderr).contains("no rig is called"));
    assert!(!folder.join("x.hdr").exists());
}

/// A kit beside a picture that it names.
fn kit_with(folder: &Path, picture: &str) -> PathBuf {
    let kit = fs::read_to_string(DEMO).unwrap();
    let kit = kit.trim_end().trim_end_matches(')').trim_end().trim_end_matches(',').to_owned();
    let path = folder.join("kit.ron");
    fs::write(&path, format!("{kit},\n    background: Some(Background(path: {picture:?})),\n)\n"))
        .unwrap();
    path
}

#[test]
fn a_sketch_has_the_kits_picture_or_says_why_not() {
    let folder = folder("header sketch");
    fs::copy(Path::new(PICTURES).join("avm.jpg"), folder.join("own.jpg")).unwrap();
    let out = folder.join("x.png");
    let sketch = |kit: &Path| {
        let (kit, out) = (kit.to_str().unwrap(), out.to_str().unwrap());
        let size = ["--width", "600", "--height", "400"];
        let mut arguments = vec!["sketch", kit, "--target", "M 31", "--out", out];
        arguments.extend(size);
        let done = fieldstop(&arguments);
        assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
        assert!(!String::from_utf8_lossy(&done.stdout).contains("left out"));
        String::from_utf8_lossy(&done.stderr).into_owned()
    };
    let told = sketch(&kit_with(&folder, "own.jpg"));
    assert!(!told.contains("left out"), "{told}");
    let with = fs::read(&out).unwrap();
    let told = sketch(&kit_with(&folder, "gone.jpg"));
    assert!(
        told.contains(
            "frames, gone.jpg, is left out: the picture cannot be read: there is no such file"
        ),
        "{told}"
    );
    let without = fs::read(&out).unwrap();
    let names_it = |png: &[u8]| png.windows(19).any(|bytes| bytes == b"own picture own.jpg");
    assert!(names_it(&with) && !names_it(&without));
}
