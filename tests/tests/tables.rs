//! Every table of the program: whole for every kit, true to its own headings, stopped when told to.
//! That its numbers are those of the other subcommands is checked where those are run.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test fails by panicking")]

use std::sync::LazyLock;

use fieldstop::kit::Kit;
use fieldstop::sexagesimal::{parse_dec, parse_ra};
use fieldstop_gui::files::kit_file;
use fieldstop_gui::nights::{SeasonQuestion, date};
use fieldstop_gui::sky::Catalogue;
use fieldstop_gui::starting_points::new_kit;
use fieldstop_gui::tables::{Cell, Table, TableError, TableName, TableQuestion, work_out};
use fieldstop_tests::{Judge, reference_rows};
use serde::Deserialize;

static CATALOGUE: LazyLock<Catalogue> = LazyLock::new(|| Catalogue::embedded().unwrap());

fn kit(name: &str) -> Kit {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("..").join(name);
    kit_file::read(&path, &|name| CATALOGUE.named(name).is_some()).unwrap()
}

fn question(table: TableName, kit: &Kit) -> TableQuestion {
    TableQuestion {
        target: Some("M 31".to_owned()),
        rig: kit.rigs.first().map(|rig| rig.name.clone()),
        season: Some(SeasonQuestion::of_month(9)),
        evening: date::parse("2026-10-10").ok(),
        ..TableQuestion::new(table, kit.clone())
    }
}

fn table(name: TableName, kit: &Kit) -> Table {
    work_out(&question(name, kit), &CATALOGUE, &mut |_| true)
        .unwrap_or_else(|error| panic!("{}: {error}", name.key()))
}

#[test]
fn every_table_is_whole_and_reads_back_from_its_file() {
    for kit in [kit("assets/demo-kit.ron"), kit("tests/kits/example-kit.ron")] {
        for &name in TableName::ALL {
            let table = table(name, &kit);
            assert!(!table.rows.is_empty(), "{}", name.key());
            let text = table.to_csv().unwrap();
            let mut reader = csv::Reader::from_reader(text.as_bytes());
            let headings: Vec<&str> = table.columns.iter().map(|column| column.name).collect();
            assert_eq!(reader.headers().unwrap().iter().collect::<Vec<_>>(), headings);
            let mut rows = 0;
            // The reader refuses rows of another length.
            for (record, row) in reader.records().map(Result::unwrap).zip(&table.rows) {
                assert_eq!((record.len(), row.len()), (headings.len(), headings.len()));
                for (text, cell) in record.iter().zip(row) {
                    match cell {
                        Cell::Number(number) => assert_eq!(text.parse(), Ok(*number)),
                        Cell::Empty => assert_eq!(text, ""),
                        _ => assert!(!text.contains("NaN") && !text.contains("inf "), "{text}"),
                    }
                }
                rows += 1;
            }
            assert_eq!(rows, table.rows.len(), "{}", name.key());
        }
    }
}

#[test]
fn angles_in_degrees_and_sexagesimal_are_the_same() {
    let kit = kit("assets/demo-kit.ron");
    let mut ra = Judge::new("right ascension as text", 0.005 * 15.0 + 1e-6, "arcsec");
    let mut dec = Judge::new("declination as text", 0.05 + 1e-6, "arcsec");
    for name in [TableName::Frames, TableName::Panels, TableName::Wishes, TableName::Season] {
        let table = table(name, &kit);
        let place =
            |heading: &str| table.columns.iter().position(|column| column.name == heading).unwrap();
        let (ra_deg, dec_deg) = (place("ra_deg"), place("dec_deg"));
        let (ra_hms, dec_dms) = (place("ra_hms"), place("dec_dms"));
        for (index, row) in table.rows.iter().enumerate() {
            let [Cell::Number(ra_deg), Cell::Number(dec_deg), Cell::Text(hms), Cell::Text(dms)] =
                [&row[ra_deg], &row[dec_deg], &row[ra_hms], &row[dec_dms]]
            else {
                panic!("{row:?}");
            };
            // A right ascension that rounds to 24 hours is written as 0 hours.
            let off = (parse_ra(hms).unwrap().deg() - ra_deg + 180.0).rem_euclid(360.0) - 180.0;
            ra.row(format_args!("{} {index}", name.key()), off * 3600.0);
            let off = parse_dec(dms).unwrap().deg() - dec_deg;
            dec.row(format_args!("{} {index}", name.key()), off * 3600.0);
        }
    }
    ra.verdict(100);
    dec.verdict(100);
}

#[derive(Deserialize)]
struct Corners {
    sensor_w_mm: f64,
    sensor_h_mm: f64,
    focal_mm: f64,
    width_deg: f64,
    diagonal_deg: f64,
}

/// `reference/gnomonic_corners.csv`: exact geometry, made by the script beside it.
#[test]
fn fields_in_the_shortlist_are_those_of_exact_geometry() {
    let mut width = Judge::new("field width", 1e-9, "deg");
    let mut diagonal = Judge::new("field diagonal", 1e-9, "deg");
    for (index, row) in reference_rows::<Corners>("gnomonic_corners.csv").iter().enumerate() {
        let mut kit = kit("tests/kits/example-kit.ron");
        kit.rigs.truncate(1);
        kit.rigs[0].corrector = None;
        let (ota, camera) = (kit.rigs[0].ota.clone(), kit.rigs[0].camera.clone());
        for ota in kit.otas.iter_mut().filter(|part| part.name == ota) {
            ota.focal_length_mm = row.focal_mm;
        }
        for camera in kit.cameras.iter_mut().filter(|part| part.name == camera) {
            // Pixels of a micrometre, so that any side of the table is a whole number of them.
            camera.pixel_um = 1.0;
            camera.width_px = (row.sensor_w_mm * 1000.0).round() as u32;
            camera.height_px = (row.sensor_h_mm * 1000.0).round() as u32;
        }
        let table = table(TableName::Rigs, &kit);
        let number = |heading: &str| {
            let place = table.columns.iter().position(|column| column.name == heading).unwrap();
            match table.rows[0][place] {
                Cell::Number(number) => number,
                _ => panic!("{heading}"),
            }
        };
        width.values(index, row.width_deg, number("field_width_deg"));
        diagonal.values(index, row.diagonal_deg, number("field_diagonal_deg"));
    }
    width.verdict(40);
    diagonal.verdict(40);
}

#[test]
fn an_empty_kit_has_tables_without_rows_or_says_what_is_missing() {
    let kit = new_kit("Empty");
    for &name in TableName::ALL {
        match work_out(&question(name, &kit), &CATALOGUE, &mut |_| true) {
            Ok(table) => assert_eq!(table.columns, name.columns()),
            Err(error) => assert!(
                matches!(error, TableError::NoRig { .. }) && name.needs_rig(),
                "{}: {error}",
                name.key()
            ),
        }
        let bare = TableQuestion::new(name, kit.clone());
        let needs = name.needs_target() || name.needs_rig() || name.needs_evening();
        assert_eq!(work_out(&bare, &CATALOGUE, &mut |_| true).is_err(), needs, "{}", name.key());
    }
}

#[test]
fn a_table_stops_when_it_is_told_to() {
    let kit = kit("tests/kits/example-kit.ron");
    for &name in TableName::ALL {
        let mut told = 0;
        let stopped = work_out(&question(name, &kit), &CATALOGUE, &mut |share| {
            assert!((0.0..=1.0).contains(&share));
            told += 1;
            told < 3 && share < 1.0
        });
        assert!(matches!(stopped, Err(TableError::Stopped)), "{}", name.key());
        assert!(told <= 3);
    }
}

#[test]
fn a_name_that_is_a_formula_is_a_text_in_every_table() {
    let mut kit = kit("tests/kits/example-kit.ron");
    let old = kit.rigs[0].name.clone();
    assert!(kit.rename_rig(0, "=HYPERLINK(\"http://example.org\",\"x\")"));
    assert_ne!(kit.rigs[0].name, old);
    kit.site.name = "@site".to_owned();
    kit.limits.currency = "-1+2".to_owned();
    for &name in TableName::ALL {
        let text = table(name, &kit).to_csv().unwrap();
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        let columns = name.columns();
        for record in reader.records().map(Result::unwrap) {
            for (cell, column) in record.iter().zip(&columns) {
                let risky = cell.starts_with(['=', '@', '\t', '\r'])
                    || cell.starts_with(['+', '-']) && cell.parse::<f64>().is_err();
                // The sign of a declination is followed by figures and marks alone.
                assert!(
                    !risky || column.name == "dec_dms",
                    "{} {}: {cell}",
                    name.key(),
                    column.name
                );
            }
        }
    }
}
