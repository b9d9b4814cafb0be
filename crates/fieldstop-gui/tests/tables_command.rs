//! `fieldstop export` and `fieldstop wishes` run whole: the numbers of every table are those of the
//! other subcommands' JSON, to the last digit; lists go in and come out; refusals say what is wrong.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod common;

use std::collections::HashMap;
use std::fs;

use common::{DEMO, EXAMPLE, answer, json, refusal, scratch};
use serde_json::Value;

const TARGET: &str = "M 31";

/// A row of a table by its headings.
type Row = HashMap<String, String>;

fn table(arguments: &[&str]) -> Vec<Row> {
    let text = answer(&[&["export"], arguments, &["--out", "-"]].concat());
    assert!(text.ends_with("\r\n") && !text.starts_with('\u{feff}'));
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let rows: Vec<Row> = reader.deserialize().collect::<Result<_, _>>().unwrap();
    assert!(!rows.is_empty(), "{arguments:?}");
    rows
}

/// The very same number, or nothing in both; a word likewise.
fn same(row: &Row, column: &str, wanted: &Value) {
    let found = row.get(column).unwrap_or_else(|| unreachable!("no column {column}"));
    match wanted {
        Value::Null => assert_eq!(found, "", "{column}"),
        Value::Number(number) => {
            assert_eq!(found.parse::<f64>().ok(), number.as_f64(), "{column}");
        }
        Value::String(text) => assert_eq!(found, text, "{column}"),
        Value::Bool(flag) => assert_eq!(found, &flag.to_string(), "{column}"),
        other => unreachable!("{other}"),
    }
}

fn array(value: &Value) -> &[Value] {
    value.as_array().unwrap()
}

#[test]
fn shortlist_and_fits_are_those_of_figures() {
    for kit in [EXAMPLE, DEMO] {
        let figures = json(&["figures", kit, "--json"]);
        let rows = table(&[kit, "--table", "rigs"]);
        assert_eq!(rows.len(), array(&figures["rigs"]).len());
        for (row, wanted) in rows.iter().zip(array(&figures["rigs"])) {
            for (key, value) in wanted.as_object().unwrap() {
                same(row, if key == "name" { "rig" } else { key }, value);
            }
        }
        let rows = table(&[kit, "--table", "fits"]);
        assert_eq!(rows.len(), array(&figures["fits"]).len());
        for wanted in array(&figures["fits"]) {
            let of = |row: &&Row| row["rig"] == wanted["rig"] && row["target"] == wanted["target"];
            let row = rows.iter().find(of).unwrap();
            for (key, value) in wanted.as_object().unwrap() {
                same(row, key, value);
            }
        }
    }
}

#[test]
fn demands_are_those_of_demands() {
    for (kit, target) in [(EXAMPLE, Some(TARGET)), (DEMO, None)] {
        let named: Vec<&str> = target.iter().flat_map(|name| ["--target", name]).collect();
        let demands = json(&[&["demands", kit, "--json"], named.as_slice()].concat());
        let rows = table(&[&[kit, "--table", "demands"], named.as_slice()].concat());
        assert_eq!(rows.len(), array(&demands["rigs"]).len());
        for (row, wanted) in rows.iter().zip(array(&demands["rigs"])) {
            for (key, value) in wanted.as_object().unwrap().iter().filter(|(key, _)| *key != "why")
            {
                same(row, if key == "name" { "rig" } else { key }, value);
            }
            assert_eq!(row["target"], target.unwrap_or_default());
        }
        // What is unknown says why, with the words of the JSON.
        let marks = table(&[&[kit, "--table", "grades"], named.as_slice()].concat());
        for wanted in array(&demands["rigs"]) {
            for (figure, why) in wanted["why"].as_object().unwrap() {
                let of = |row: &&Row| row["rig"] == wanted["name"] && row["figure"] == *figure;
                same(marks.iter().find(of).unwrap(), "why_unknown", why);
            }
        }
    }
}

#[test]
fn the_choice_is_that_of_choose() {
    let choice = json(&["choose", EXAMPLE, "--json"]);
    for (name, key) in [("ranges", "ranges"), ("coverage", "coverage"), ("comparison", "rigs")] {
        let rows = table(&[EXAMPLE, "--table", name]);
        assert_eq!(rows.len(), array(&choice[key]).len(), "{name}");
        for (row, wanted) in rows.iter().zip(array(&choice[key])) {
            for (field, value) in wanted.as_object().unwrap() {
                match field.as_str() {
                    "dominated_by" => {
                        let by: Vec<&str> = array(value).iter().filter_map(Value::as_str).collect();
                        assert_eq!(row[field], by.join("; "));
                    }
                    "name" => same(row, "rig", value),
                    "hours_in_year" => same(row, "usable_hours_in_year", value),
                    "weighted" => same(row, "served_weighted_hours", value),
                    field => same(row, field, value),
                }
            }
        }
    }
    let findings = table(&[EXAMPLE, "--table", "findings"]);
    for (index, wanted) in array(&choice["findings"]).iter().enumerate() {
        let number = (index + 1).to_string();
        let rows: Vec<&Row> = findings.iter().filter(|row| row["finding"] == number).collect();
        for row in &rows {
            same(row, "text", &wanted["text"]);
            let figure = &wanted["figures"][row["figure"].as_str()];
            same(row, if figure.is_number() { "number" } else { "word" }, figure);
        }
        let keys: std::collections::HashSet<&str> =
            rows.iter().map(|row| row["figure"].as_str()).collect();
        assert_eq!(keys.len(), wanted["figures"].as_object().unwrap().len());
    }
}

#[test]
fn nights_are_those_of_year_night_and_season() {
    let year = json(&["year", EXAMPLE, "--target", TARGET, "--year", "2027", "--json"]);
    let rows = table(&[EXAMPLE, "--table", "nights", "--target", TARGET, "--year", "2027"]);
    assert_eq!((rows.len(), array(&year["nights"]).len()), (365, 365));
    for (row, wanted) in rows.iter().zip(array(&year["nights"])) {
        for (key, value) in wanted.as_object().unwrap() {
            let column = match key.as_str() {
                "target_hours" => "usable_hours",
                "target_moonless_hours" => "moonless_hours",
                key => key,
            };
            same(row, column, value);
        }
    }
    let night = json(&["night", EXAMPLE, "--target", TARGET, "--date", "2026-10-10", "--json"]);
    let rows = table(&[EXAMPLE, "--table", "night", "--date", "2026-10-10"]);
    let row = rows.iter().find(|row| row["target"] == TARGET).unwrap();
    for (column, value) in [
        ("evening", &night["evening"]),
        ("dark_hours", &night["dark_hours"]),
        ("usable_hours", &night["target_hours"]),
        ("moonless_hours", &night["target_moonless_hours"]),
        ("worth_hours", &night["target_worth_hours"]),
        ("usable_start_utc", &night["usable"][0]["start_utc"]),
        ("highest_utc", &night["highest"]["utc"]),
        ("highest_altitude_deg", &night["highest"]["altitude_deg"]),
        ("refracted_altitude_deg", &night["highest"]["refracted_altitude_deg"]),
        ("azimuth_deg", &night["highest"]["azimuth_deg"]),
        ("airmass", &night["highest"]["airmass"]),
        ("moon_distance_deg", &night["highest"]["moon_distance_deg"]),
    ] {
        same(row, column, value);
    }
    let bodies = table(&[EXAMPLE, "--table", "bodies", "--date", "2026-10-10"]);
    for body in array(&night["bodies"]) {
        for rig in array(&body["pixels"]) {
            let of = |row: &&Row| row["body"] == body["name"] && row["rig"] == rig["rig"];
            let row = bodies.iter().find(of).unwrap();
            same(row, "diameter_px", &rig["diameter_px"]);
            for key in ["diameter_arcsec", "lit_fraction", "elongation_deg", "caution"] {
                same(row, key, &body[key]);
            }
        }
    }
}

#[test]
fn a_month_is_that_of_season_and_the_year_adds_up() {
    let rig = json(&["figures", EXAMPLE, "--json"])["rigs"][0]["name"].as_str().unwrap().to_owned();
    let asked = ["--month", "10", "--rig", &rig, "--year", "2026"];
    let season = json(&[&["season", EXAMPLE, "--json"], asked.as_slice()].concat());
    let rows = table(&[&[EXAMPLE, "--table", "season"], asked.as_slice()].concat());
    let year = table(&[EXAMPLE, "--table", "year", "--year", "2026"]);
    assert_eq!(rows.len(), array(&season["targets"]).len());
    let mut checked = 0;
    for (row, wanted) in rows.iter().zip(array(&season["targets"])) {
        for (key, value) in wanted.as_object().unwrap() {
            let column = match key.as_str() {
                "name" => "object",
                "hours" => "usable_hours",
                "hours_a_night" => "usable_hours_a_night",
                key => key,
            };
            same(row, column, value);
        }
        // The same object on the wish list has the same hours in the table of the year, but for the
        // motion of its place in the year, which is reckoned from other nights: a minute a month.
        let of = |month: &&Row| month["target"] == row["object"] && month["month"] == "10";
        if let Some(month) = year.iter().find(of) {
            for (column, key) in [("usable_hours", "hours"), ("moonless_hours", "moonless_hours")] {
                let found = month[column].parse::<f64>().unwrap();
                assert!((found - wanted[key].as_f64().unwrap()).abs() < 0.05, "{key}");
            }
            checked += 1;
        }
    }
    assert!(checked >= 3, "{checked} targets are in both");
}

#[test]
fn frames_and_panels_are_those_of_frame_and_mosaic() {
    let rigs = json(&["figures", EXAMPLE, "--json"]);
    let corners = table(&[EXAMPLE, "--table", "frames", "--target", TARGET]);
    for rig in array(&rigs["rigs"]) {
        let name = rig["name"].as_str().unwrap();
        let asked = ["--rig", name, "--target", TARGET];
        let frame = json(&[&["frame", EXAMPLE, "--json"], asked.as_slice()].concat());
        let rows: Vec<&Row> = corners.iter().filter(|row| row["rig"] == name).collect();
        let places = array(&frame["corners"]).iter().chain([&frame["centre"]]);
        assert_eq!(rows.len(), 5);
        for (row, place) in rows.iter().zip(places) {
            same(row, "ra_deg", &place["ra_deg"]);
            same(row, "dec_deg", &place["dec_deg"]);
            same(row, "rotation_deg", &frame["rotation_deg"]);
        }
        let mosaic = json(&[&["mosaic", EXAMPLE, "--json"], asked.as_slice()].concat());
        let rows = table(&[&[EXAMPLE, "--table", "panels"], asked.as_slice()].concat());
        assert_eq!(rows.len(), array(&mosaic["panels"]).len(), "{name}");
        for (row, panel) in rows.iter().zip(array(&mosaic["panels"])) {
            for key in ["ra_deg", "dec_deg", "rotation_deg"] {
                same(row, key, &panel[key]);
            }
        }
    }
}

#[test]
fn a_table_goes_into_a_file_whole_or_not_at_all() {
    let out = scratch("rigs.csv");
    let path = out.to_str().unwrap();
    let told = answer(&["export", EXAMPLE, "--table", "rigs", "--out", path]);
    assert!(told.contains("5 rows of 14 columns"), "{told}");
    let written = fs::read_to_string(&out).unwrap();
    assert_eq!(written, answer(&["export", EXAMPLE, "--table", "rigs", "--out", "-"]));

    let nowhere = scratch("no such folder").join("x.csv");
    for (arguments, words) in [
        (
            vec!["export", EXAMPLE, "--table", "rigs", "--out", nowhere.to_str().unwrap()],
            "no folder",
        ),
        (vec!["export", EXAMPLE, "--table", "rigs", "--out", EXAMPLE], "is the kit itself"),
        (vec!["export", EXAMPLE, "--table", "prices", "--out", path], "checklist"),
        (vec!["export", EXAMPLE, "--table", "panels", "--out", path], "--target NAME"),
        (
            vec!["export", EXAMPLE, "--table", "panels", "--target", TARGET, "--out", path],
            "--rig NAME",
        ),
        (vec!["export", EXAMPLE, "--table", "night", "--out", path], "--date YYYY-MM-DD"),
        (
            vec!["export", EXAMPLE, "--table", "fits", "--target", "Nowhere", "--out", path],
            "Nowhere",
        ),
        (vec!["export", EXAMPLE, "--table", "rigs"], "--out"),
        (vec!["export", EXAMPLE, "--out", path], "--table"),
    ] {
        let said = refusal(&arguments);
        assert!(said.contains(words), "{arguments:?}: {said}");
    }
    assert_eq!(fs::read_to_string(&out).unwrap(), written, "the old file is kept");
}

#[test]
fn the_list_names_every_table_and_every_column_with_its_unit() {
    let list = answer(&["export", "--list"]);
    for line in ["rigs: ", "demands: ", "checklist: ", "panels: A panel"] {
        assert!(list.contains(line), "{line}");
    }
    for (column, unit) in
        [("field_width_deg", "deg"), ("delivered_fwhm_arcsec", "arcsec"), ("carry_kg", "kg")]
    {
        let line = list.lines().find(|line| line.trim_start().starts_with(column)).unwrap();
        assert_eq!(line.split_whitespace().nth(1), Some(unit), "{line}");
    }
}

#[test]
fn a_list_comes_in_and_goes_out() {
    let list = scratch("list.csv");
    fs::write(
        &list,
        "\u{feff}Object;RA (h:m:s);Dec;Size [arcmin];PA\r\nm31;;;;\r\nNGC 281;;;;\r\n\
         Corner cloud;20:10:12,5;-38 21 00;45 x 30;12,5\r\nNowhere Nebula;;;;\r\nOff;25:00:00;0;;\r\n",
    )
    .unwrap();
    let (list, kit) = (list.to_str().unwrap().to_owned(), scratch("longer.ron"));
    let kit = kit.to_str().unwrap();
    let report = json(&["wishes", EXAMPLE, "--import", &list, "--out", kit, "--json"]);
    let lines = |key: &str| -> Vec<(u64, String)> {
        let row = |row: &Value| (row["line"].as_u64().unwrap(), row["name"].to_string());
        array(&report[key]).iter().map(row).collect()
    };
    let named = |line: u64, name: &str| (line, format!("{name:?}"));
    assert_eq!(lines("taken"), [named(3, "NGC 281"), named(4, "Corner cloud")]);
    assert_eq!(lines("present"), [named(2, "m31")]);
    assert_eq!(lines("unresolved"), [named(5, "Nowhere Nebula"), named(6, "Off")]);
    assert!(report["unresolved"][1]["why"].as_str().unwrap().contains("25:00:00"));

    for name in ["out.csv", "out.xml"] {
        let out = scratch(name);
        let out = out.to_str().unwrap();
        assert!(answer(&["wishes", kit, "--export", out]).contains("14 targets"));
        // A kit with an empty list takes all of it back.
        let text = fs::read_to_string(kit).unwrap();
        let start = text.find("    wish_list: [").unwrap();
        let end = start + text[start..].find("\n    ],").unwrap();
        let empty = scratch("empty.ron");
        fs::write(&empty, text[..start].to_owned() + "    wish_list: [" + &text[end..]).unwrap();
        let again = scratch("again.ron");
        let again = again.to_str().unwrap();
        let told = answer(&["wishes", empty.to_str().unwrap(), "--import", out, "--out", again]);
        assert!(told.contains("14 targets added, 0 there already, 0 not understood"), "{told}");
        assert_eq!(fs::read_to_string(again).unwrap(), text, "{name}");
    }
    for (arguments, words) in [
        (vec!["wishes", kit], "--import"),
        (vec!["wishes", kit, "--import", &list], "--out"),
        (vec!["wishes", kit, "--import", &list, "--out", &list], "is the list itself"),
        (vec!["wishes", kit, "--import", EXAMPLE, "--out", "x.ron"], "no heading tells"),
        (vec!["wishes", kit, "--import", "nowhere.csv", "--out", "x.ron"], "no such file"),
        (vec!["wishes", kit, "--export", "list.txt"], ".csv"),
        (vec!["wishes", kit, "--import", &list, "--out", "x.txt"], "ends in .ron"),
        (vec!["export", kit, "--table", "rigs", "--out", "e.xls"], "ends in .csv, or - for"),
        (vec!["export", kit, "--table", "rigs", "--out", "e"], "has no ending"),
        (vec!["wishes", kit, "--export", kit], "is the kit itself"),
    ] {
        let said = refusal(&arguments);
        assert!(said.contains(words), "{arguments:?}: {said}");
    }
}
