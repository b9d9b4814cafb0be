//! The program run whole, without a window: what it prints, what it refuses, what it returns.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod common;

use std::fs;
use std::io::Read;
use std::path::Path;
use std::process::{Command, Stdio};

use common::{DEMO, EXAMPLE, answer, json, refusal, scratch};
use serde_json::Value;

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| unreachable!("{value} is not a number"))
}

fn keys(value: &Value) -> Vec<&str> {
    let mut keys: Vec<&str> = value.as_object().unwrap().keys().map(String::as_str).collect();
    keys.sort_unstable();
    keys
}

/// The example with one piece replaced, as a file.
fn changed_kit(name: &str, from: &str, to: &str) -> String {
    let text = fs::read_to_string(EXAMPLE).unwrap();
    assert!(text.contains(from), "{from}");
    let path = scratch(name);
    fs::write(&path, text.replacen(from, to, 1)).unwrap();
    path.into_os_string().into_string().unwrap()
}

#[test]
fn figures_have_the_agreed_keys_for_every_rig_and_wish() {
    for (kit, rigs, wishes) in [(EXAMPLE, 5, 12), (DEMO, 6, 22)] {
        let figures = json(&["figures", kit, "--json"]);
        assert_eq!(keys(&figures), ["fits", "format", "rigs"]);
        assert_eq!(figures["format"], 1);
        assert_eq!(figures["rigs"].as_array().unwrap().len(), rigs);
        assert_eq!(figures["fits"].as_array().unwrap().len(), rigs * wishes);
        assert_eq!(
            keys(&figures["rigs"][0]),
            [
                "field_area_deg2",
                "field_diagonal_deg",
                "field_height_deg",
                "field_width_deg",
                "focal_length_mm",
                "focal_ratio",
                "name",
                "pixel_scale_arcsec",
                "sensor_height_mm",
                "sensor_width_mm"
            ]
        );
        assert_eq!(
            keys(&figures["fits"][0]),
            [
                "best_rotation_deg",
                "fill",
                "panels_across",
                "panels_down",
                "rig",
                "target",
                "verdict"
            ]
        );
    }
}

/// Geometric optics worked out here from the numbers in the file: 6000 x 4000 pixels of 3.9 µm
/// behind 350 mm, 570 mm (600 x 0.95) and 1134 mm (1800 x 0.63).
#[test]
fn figures_are_exact_angles_and_not_rounded() {
    let figures = json(&["figures", EXAMPLE, "--json"]);
    for (place, focal_length, aperture) in [(0, 350.0, 60.0), (2, 570.0, 150.0), (4, 1134.0, 180.0)]
    {
        let rig = &figures["rigs"][place];
        let (w, h) = (23.4_f64 / 2.0 / focal_length, 15.6_f64 / 2.0 / focal_length);
        let (width, height) = (2.0 * w.atan(), 2.0 * h.atan());
        // Solid angle of a spherical rectangle whose sides are the full angles `width`, `height`.
        let area = 4.0 * ((width / 2.0).sin() * (height / 2.0).sin()).asin();
        let wanted = [
            ("focal_length_mm", focal_length),
            ("focal_ratio", focal_length / aperture),
            ("sensor_width_mm", 23.4),
            ("sensor_height_mm", 15.6),
            ("field_width_deg", width.to_degrees()),
            ("field_height_deg", height.to_degrees()),
            ("field_diagonal_deg", 2.0 * w.hypot(h).atan().to_degrees()),
            ("field_area_deg2", area * (180.0 / std::f64::consts::PI).powi(2)),
            ("pixel_scale_arcsec", (3.9e-3 / focal_length).to_degrees() * 3600.0),
        ];
        for (key, wanted) in wanted {
            let got = number(&rig[key]);
            assert!(
                (got / wanted - 1.0).abs() < 1e-12,
                "{key} of rig {place}: {got}, not {wanted}"
            );
        }
    }
}

/// The custom target of the example, 150' x 90' at position angle 20, worked out here by trying
/// every hundredth of a degree with the formula for the fill.
#[test]
fn the_fill_is_the_least_over_rotations() {
    let figures = json(&["figures", EXAMPLE, "--json"]);
    let fits = figures["fits"].as_array().unwrap();
    let fit = fits.iter().find(|f| f["rig"] == "Long refractor" && f["target"] == "Practice field");
    let fit = fit.unwrap();
    let half = |arcmin: f64| (arcmin / 120.0).to_radians().tan();
    let (a, b, w, h) = (half(150.0), half(90.0), 23.4 / 1240.0, 15.6 / 1240.0);
    let fill = |rotation_deg: f64| {
        // The width points at position angle rotation + 90.
        let (sin, cos) = (rotation_deg + 90.0 - 20.0).to_radians().sin_cos();
        ((a * cos).hypot(b * sin) / w).max((a * sin).hypot(b * cos) / h)
    };
    let least = (0..18_000).map(|n| fill(f64::from(n) / 100.0)).fold(f64::INFINITY, f64::min);
    let got = number(&fit["fill"]);
    // A hundredth of a degree from the best rotation the fill is at most 2e-4 larger.
    assert!(got <= least + 1e-12 && got > least - 3e-4, "{got}, not {least}");
    let rotation = number(&fit["best_rotation_deg"]);
    assert!((0.0..180.0).contains(&rotation) && (fill(rotation) - got).abs() < 1e-9, "{rotation}");
    assert_eq!(fit["verdict"], "spills");
    let panels = number(&fit["panels_across"]) * number(&fit["panels_down"]);
    assert!(panels >= 2.0, "{panels}");
}

#[test]
fn a_target_without_a_size_has_no_fill() {
    let kit = changed_kit("no-size.ron", "major_arcmin: Some(150.0)", "major_arcmin: None");
    let text = fs::read_to_string(&kit).unwrap();
    fs::write(&kit, text.replace("minor_arcmin: Some(90.0)", "minor_arcmin: None")).unwrap();
    let figures = json(&["figures", &kit, "--json"]);
    let fits = figures["fits"].as_array().unwrap();
    let fit = fits.iter().find(|fit| fit["target"] == "Practice field").unwrap();
    assert_eq!(fit["verdict"], "size unknown");
    for key in ["fill", "best_rotation_deg", "panels_across", "panels_down"] {
        assert_eq!(fit[key], Value::Null, "{key}");
    }
    let frame = ["frame", &kit, "--rig", "Compound", "--target", "Practice field", "--json"];
    assert_eq!(json(&frame)["rotation_deg"], 0.0);
}

#[test]
fn verdicts_are_the_four_words() {
    let figures = json(&["figures", DEMO, "--json"]);
    let fits = figures["fits"].as_array().unwrap();
    for fit in fits {
        let (fill, verdict) = (number(&fit["fill"]), fit["verdict"].as_str().unwrap());
        let wanted = match fill {
            fill if fill <= 0.9 => "whole",
            fill if fill <= 1.0 => "tight",
            _ => "spills",
        };
        assert_eq!(verdict, wanted, "{fit}");
    }
    // The demo opens on M 31, which has to show the point at once.
    let on_m31 =
        |rig: &str| fits.iter().find(|f| f["rig"] == rig && f["target"] == "M 31").unwrap();
    assert_eq!(on_m31("Short refractor")["verdict"], "whole");
    assert_eq!(on_m31("Long refractor")["verdict"], "spills");
    assert!(number(&on_m31("Compound")["fill"]) > 3.0, "only its heart");
}

/// One point of the tangent plane on the sky, by the spherical triangle: R = atan(hypot(x, y)) away
/// from the centre at native longitude (Calabretta & Greisen 2002, A&A 395, 1077, eq. 15 and 54).
fn on_sky(ra0: f64, dec0: f64, east: f64, north: f64) -> (f64, f64) {
    let (sin0, cos0) = dec0.to_radians().sin_cos();
    let ra = ra0.to_radians() + east.atan2(cos0 - north * sin0);
    let dec = ((sin0 + north * cos0) / (1.0 + east * east + north * north).sqrt()).asin();
    (ra.to_degrees(), dec.to_degrees())
}

#[test]
fn corners_come_from_top_left_round_by_the_right() {
    let (w, h) = (23.4 / 1240.0, 15.6 / 1240.0);
    for rotation in [0.0, 30.0, -75.0] {
        let (ra, dec) = (311.2, 30.5);
        let rotation_text = rotation.to_string();
        let frame = json(&[
            "frame",
            EXAMPLE,
            "--rig",
            "Long refractor",
            "--target",
            "Practice field",
            "--rotation",
            &rotation_text,
            "--json",
        ]);
        assert_eq!(keys(&frame), ["centre", "corners", "format", "rig", "rotation_deg", "target"]);
        assert_eq!(frame["rotation_deg"], rotation);
        assert_eq!(
            (number(&frame["centre"]["ra_deg"]), number(&frame["centre"]["dec_deg"])),
            (ra, dec)
        );
        let (sin, cos) = f64::to_radians(rotation).sin_cos();
        // Right and up in the picture; unturned, right is west.
        let corners = [(-1.0, 1.0), (1.0, 1.0), (1.0, -1.0), (-1.0, -1.0)];
        for (corner, (right, up)) in frame["corners"].as_array().unwrap().iter().zip(corners) {
            let (x, y) = (right * w, up * h);
            let (wanted_ra, wanted_dec) = on_sky(ra, dec, -x * cos + y * sin, x * sin + y * cos);
            assert!((number(&corner["ra_deg"]) - wanted_ra).abs() < 1e-9, "{corner} at {rotation}");
            assert!(
                (number(&corner["dec_deg"]) - wanted_dec).abs() < 1e-9,
                "{corner} at {rotation}"
            );
        }
    }
}

#[test]
fn names_come_from_the_wish_list_first_and_are_repeated_as_given() {
    let kit = changed_kit("own-m42.ron", "\"Practice field\"", "\"m 13\"");
    let centre = |name: &str| {
        let frame = json(&["frame", &kit, "--rig", "Compound", "--target", name, "--json"]);
        assert_eq!(frame["target"], name);
        (number(&frame["centre"]["ra_deg"]), number(&frame["centre"]["dec_deg"]))
    };
    // The wish list has a place of its own under exactly this name.
    assert_eq!(centre("m 13"), (311.2, 30.5));
    // In another spelling it is the cluster in Hercules: 16h 41m 41s, +36 27.6 (from memory).
    let (ra, dec) = centre("M13");
    assert!((ra - 250.42).abs() < 0.05 && (dec - 36.46).abs() < 0.05, "{ra} {dec}");
    for name in ["NGC 6205", "ngc6205", "NGC06205"] {
        assert_eq!(centre(name), (ra, dec), "{name}");
    }
    // Andromeda by its common name: 00h 42.7m, +41 16 (from memory).
    let (ra, dec) = centre("Andromeda Galaxy");
    assert!((ra - 10.68).abs() < 0.05 && (dec - 41.27).abs() < 0.05, "{ra} {dec}");
}

#[test]
fn a_target_that_fits_is_one_panel_and_overlap_costs_panels() {
    let panels = |target: &str, overlap: &[&str]| {
        let mut arguments =
            vec!["mosaic", EXAMPLE, "--rig", "Long refractor", "--target", target, "--json"];
        arguments.extend(overlap);
        let mosaic = json(&arguments);
        assert_eq!(keys(&mosaic), ["covered", "format", "panels"]);
        assert_eq!(mosaic["covered"], 1.0, "{target} {overlap:?}");
        let panels = mosaic["panels"].as_array().unwrap().clone();
        assert_eq!(keys(&panels[0]), ["dec_deg", "ra_deg", "rotation_deg"]);
        panels.len()
    };
    assert_eq!(panels("M 57", &[]), 1);
    let own = panels("IC 1805", &[]);
    assert_eq!(own, panels("IC 1805", &["--overlap", "15"]), "the kit's own overlap is 0.15");
    assert!(panels("IC 1805", &["--overlap", "80"]) > own);
}

fn rows<'a>(value: &'a Value, list: &str) -> &'a [Value] {
    value[list].as_array().unwrap()
}

#[test]
fn choose_agrees_with_figures_and_with_itself() {
    let chosen = json(&["choose", EXAMPLE, "--json"]);
    assert_eq!(
        keys(&chosen),
        ["coverage", "findings", "format", "ranges", "recommendation", "rigs"]
    );
    let figures = json(&["figures", EXAMPLE, "--json"]);
    let first = &figures["rigs"][0];
    let fits = |rig: &Value| {
        rows(&figures, "fits").iter().filter(|fit| fit["rig"] == *rig).cloned().collect::<Vec<_>>()
    };
    for (range, fit) in rows(&chosen, "ranges").iter().zip(fits(&first["name"])) {
        assert_eq!(keys(range), ["hours_in_year", "longest_mm", "shortest_mm", "target"]);
        assert_eq!(range["target"], fit["target"]);
        // The kit calls 0.9 whole, and the fill is in proportion to the focal length.
        let longest = 0.9 * number(&first["focal_length_mm"]) / number(&fit["fill"]);
        assert!((number(&range["longest_mm"]) / longest - 1.0).abs() < 1e-9, "{range}");
        // No year has more than 4380 hours of night.
        assert!((1.0..4380.0).contains(&number(&range["hours_in_year"])), "{range}");
    }
    for step in rows(&chosen, "coverage") {
        let f = number(&step["focal_length_mm"]);
        let served: Vec<f64> = rows(&chosen, "ranges")
            .iter()
            .filter(|range| range["shortest_mm"].as_f64().is_some_and(|shortest| shortest <= f))
            .filter(|range| f <= number(&range["longest_mm"]))
            .map(|range| number(&range["hours_in_year"]))
            .collect();
        assert_eq!(number(&step["served"]), served.len() as f64, "{step}");
        assert!((number(&step["weighted"]) - served.iter().sum::<f64>()).abs() < 1e-6, "{step}");
    }
    let (shortest, longest) = (&chosen["coverage"][0], rows(&chosen, "coverage").last().unwrap());
    assert_eq!(
        (number(&shortest["focal_length_mm"]), number(&longest["focal_length_mm"])),
        (20.0, 4000.0)
    );
    let advice = &chosen["recommendation"];
    assert_eq!(keys(advice), ["findings", "rig", "within_limits"]);
    assert!(rows(&chosen, "rigs").iter().any(|rig| rig["name"] == advice["rig"]), "{advice}");
    for rig in rows(&chosen, "rigs") {
        assert_eq!(keys(rig), ["dominated_by", "name", "small", "spills", "tight", "whole"]);
        for verdict in ["whole", "tight", "spills"] {
            let counted = fits(&rig["name"]).iter().filter(|fit| fit["verdict"] == verdict).count();
            assert_eq!(number(&rig[verdict]), counted as f64, "{rig}");
        }
    }
}

/// A figure of the JSON by the key that a finding gives it.
fn figure_by_key(chosen: &Value, demands: &Value, key: &str) -> Option<f64> {
    let mut parts = key.trim().split('/');
    match (parts.next()?, parts.next()?, parts.next(), parts.next()) {
        ("rigs", name, Some(figure), None) => [chosen, demands]
            .into_iter()
            .filter_map(|answer| rows(answer, "rigs").iter().find(|rig| rig["name"] == name))
            .find_map(|rig| rig[figure].as_f64()),
        ("ranges", target, Some(figure), None) => {
            let ranges = rows(chosen, "ranges");
            ranges.iter().find(|range| range["target"] == target)?[figure].as_f64()
        }
        _ => None,
    }
}

#[test]
fn findings_can_be_traced_to_the_figures_and_told_again_from_them() {
    for kit in [EXAMPLE, DEMO] {
        let chosen = json(&["choose", kit, "--json"]);
        let demands = json(&["demands", kit, "--json"]);
        let (mut traced, mut told) = (0, 0);
        for finding in rows(&chosen, "findings") {
            assert_eq!(keys(finding), ["figures", "text"]);
            let (text, figures) =
                (finding["text"].as_str().unwrap(), finding["figures"].as_object().unwrap());
            for (key, value) in figures {
                let wanted = match key.split_once(" - ") {
                    Some((a, b)) => figure_by_key(&chosen, &demands, a)
                        .zip(figure_by_key(&chosen, &demands, b))
                        .map(|(a, b)| a - b),
                    None => figure_by_key(&chosen, &demands, key),
                };
                if let Some(wanted) = wanted {
                    traced += 1;
                    assert!(
                        (number(value) - wanted).abs() < 1e-9,
                        "{key}: {value}, {wanted}\n{text}"
                    );
                }
            }
            // "B takes 5 fewer targets whole than A (7 against 12)", told again from the table.
            let rigs = rows(&chosen, "rigs");
            let Some(b) = rigs
                .iter()
                .find(|rig| text.starts_with(&format!("{} takes ", rig["name"].as_str().unwrap())))
            else {
                continue;
            };
            let whole = |rig: &Value| rig["whole"].as_i64().unwrap();
            let again = rigs.iter().any(|a| {
                let (few, name) = (whole(b) - whole(a), a["name"].as_str().unwrap());
                let words = match few {
                    0 => format!("as many targets whole as {name} ({})", whole(b)),
                    _ => format!(
                        "{} {} {} whole than {name} ({} against {})",
                        few.abs(),
                        if few > 0 { "more" } else { "fewer" },
                        if few.abs() == 1 { "target" } else { "targets" },
                        whole(b),
                        whole(a)
                    ),
                };
                text.starts_with(&format!("{} takes {words};", b["name"].as_str().unwrap()))
            });
            assert!(again, "{text}");
            told += 1;
        }
        assert!(traced >= 30 && told >= 4, "{traced} traced, {told} told again");
    }
}

#[test]
fn stars_and_drawn_outlines_are_read_from_the_kit() {
    let kit = |more: &str| {
        changed_kit("wanted.ron", "    wish_list: [", &format!("    {more}\n    wish_list: ["))
    };
    let path = kit("weights: [Weight(target: \"M 31\", stars: 5)],");
    let weighted = json(&["choose", &path, "--json"]);
    let plain = json(&["choose", EXAMPLE, "--json"]);
    let hours = number(&plain["ranges"][0]["hours_in_year"]);
    for (one, five) in rows(&plain, "coverage").iter().zip(rows(&weighted, "coverage")) {
        let f = number(&one["focal_length_mm"]);
        let served = f <= number(&plain["ranges"][0]["longest_mm"]);
        let more = number(&five["weighted"]) - number(&one["weighted"]);
        assert!((more - if served { 4.0 * hours } else { 0.0 }).abs() < 1e-6, "{one} {five}");
    }
    for stars in ["0", "6", "2.5"] {
        let path = kit(&format!("weights: [Weight(target: \"M 31\", stars: {stars})],"));
        assert!(refusal(&["choose", &path]).contains("stars"), "{stars}");
    }
    // A thin triangle over a part of M 31 takes fewer panels than the whole ellipse.
    let path = kit(
        "outlines: [DrawnOutline(target: \"M 31\", corners_deg: [(10.2, 40.8), (11.2, 41.7), (10.6, 41.4)])],",
    );
    let mosaic =
        |kit: &str| json(&["mosaic", kit, "--rig", "Compound", "--target", "M 31", "--json"]);
    let (part, all) = (mosaic(&path), mosaic(EXAMPLE));
    assert_eq!(part["covered"], 1.0);
    assert!(rows(&part, "panels").len() < rows(&all, "panels").len());
    let path = kit(
        "outlines: [DrawnOutline(target: \"M 31\", corners_deg: [(10.2, 40.8), (11.2, 41.7)])],",
    );
    assert!(refusal(&["choose", &path]).contains("2 corners"));
}

#[test]
fn a_drawn_outline_counts_in_figures_frame_and_mosaic_alike() {
    // A thin triangle over a part of M 31.
    let path = changed_kit(
        "drawn.ron",
        "    wish_list: [",
        "    outlines: [DrawnOutline(target: \"M 31\", corners_deg: [(10.2, 40.8), (11.2, 41.7), (10.6, 41.4)])],\n    wish_list: [",
    );
    let fill = |kit: &str| {
        let figures = json(&["figures", kit, "--json"]);
        let fits = rows(&figures, "fits").to_vec();
        let fit = fits.iter().find(|f| f["rig"] == "Compound" && f["target"] == "M 31").unwrap();
        number(&fit["fill"])
    };
    // From memory, M 31 is about 3 by 1 degrees; the triangle is 1.2 by 0.2.
    assert!(fill(&path) < 0.6 * fill(EXAMPLE), "{} {}", fill(&path), fill(EXAMPLE));
    let rig = ["--rig", "Compound", "--target", "M 31", "--json"];
    let ask = |what: &str, kit: &str| json(&[&[what, kit][..], &rig[..]].concat());
    let panels = rows(&ask("mosaic", &path), "panels").len();
    let table = answer(&["figures", &path]);
    let part = table.split("\nCompound\n").nth(1).unwrap();
    let row = part.lines().find(|line| line.trim_start().starts_with("M 31")).unwrap();
    assert_eq!(row.split_whitespace().last(), Some(panels.to_string().as_str()), "{row}");
    // The frame stands on what was drawn.
    let centre = |kit: &str| number(&ask("frame", kit)["centre"]["dec_deg"]);
    assert!((centre(&path) - 41.25).abs() < 0.15 && (centre(EXAMPLE) - 41.27).abs() < 0.01);
    assert!((centre(&path) - centre(EXAMPLE)).abs() > 1e-4);
    let crossed = changed_kit(
        "crossed.ron",
        "    wish_list: [",
        "    outlines: [DrawnOutline(target: \"M 31\", corners_deg: [(10.0, 40.0), (11.0, 41.0), (11.0, 40.0), (10.0, 41.0)])],\n    wish_list: [",
    );
    let complaint = refusal(&["figures", &crossed]);
    assert!(complaint.contains("the side after corner 1"), "{complaint}");
}

#[test]
fn find_gives_the_best_first_with_the_agreed_keys() {
    let found = json(&["find", "m31", "--json"]);
    assert_eq!(found["format"], 1);
    let first = &found["targets"][0];
    assert_eq!(
        keys(first),
        [
            "catalogue_name",
            "common_names",
            "dec_deg",
            "kind",
            "magnitude",
            "major_arcmin",
            "minor_arcmin",
            "name",
            "pa_deg",
            "ra_deg"
        ]
    );
    assert_eq!(first["kind"], "galaxy");
    assert_eq!(first["common_names"][0], "Andromeda Galaxy");
    for format in [&[][..], &["--json"]] {
        let complaint = refusal(&[&["find", "no such thing"], format].concat());
        assert!(complaint.contains("nothing in the catalogue is called \"no such thing\""));
    }
    // The designation that was looked for leads; the others follow.
    let heart = &json(&["find", "ic1805", "--json"])["targets"][0];
    assert_eq!((&heart["name"], &heart["catalogue_name"]), (&"IC 1805".into(), &"Sh2-190".into()));
    let told = answer(&["find", "IC 1805"]);
    let row = told.lines().find(|line| line.starts_with("IC 1805")).unwrap();
    assert!(row.ends_with("Sh2-190, Heart Nebula"), "{row}");
}

#[cfg(target_os = "linux")]
#[test]
fn without_a_display_the_window_says_what_it_needs() {
    let complaint = refusal(&[]);
    assert!(complaint.starts_with("fieldstop: the window cannot be opened"), "{complaint}");
    assert!(complaint.contains("expected an X11 or Wayland display"), "{complaint}");
    assert!(!complaint.contains(".rs:"), "no place in a source: {complaint}");
}

#[test]
fn tables_for_people_have_units() {
    let figures = answer(&["figures", EXAMPLE]);
    for piece in ["Larkmoor evening class", "350 mm", "f/5.8", "3.83 x 2.55°", "2.30″/px", "spills"]
    {
        assert!(figures.contains(piece), "{piece} is not in\n{figures}");
    }
    assert!(answer(&["find", "veil"]).contains("right ascension"));
    let frame = answer(&["frame", EXAMPLE, "--rig", "Compound", "--target", "M 51"]);
    assert!(frame.contains("bottom right"), "{frame}");
    let mosaic = answer(&["mosaic", EXAMPLE, "--rig", "Compound", "--target", "NGC 7000"]);
    assert!(mosaic.contains("15 % overlap"), "{mosaic}");
}

/// What a PNG file says of itself.
struct PngFacts {
    size: (u32, u32),
    pixels_a_metre: Option<u32>,
    texts: Vec<(String, String)>,
}

/// Reads a PNG file whole, by the `png` crate.
fn png_facts(path: &Path) -> PngFacts {
    let file = std::io::BufReader::new(fs::File::open(path).unwrap());
    let mut reader = png::Decoder::new(file).read_info().unwrap();
    let mut pixels = vec![0; reader.output_buffer_size().unwrap()];
    reader.next_frame(&mut pixels).unwrap();
    let distinct: std::collections::HashSet<&[u8]> = pixels.chunks(4).collect();
    assert!(distinct.len() > 100, "the picture is all but uniform");
    reader.finish().unwrap();
    let info = reader.info();
    let texts = info.utf8_text.iter().map(|t| (t.keyword.clone(), t.get_text().unwrap()));
    let latin = info.uncompressed_latin1_text.iter().map(|t| (t.keyword.clone(), t.text.clone()));
    PngFacts {
        size: (info.width, info.height),
        pixels_a_metre: info.pixel_dims.map(|dims| dims.xppu),
        texts: texts.chain(latin).collect(),
    }
}

#[test]
fn a_sketch_is_a_png_that_says_what_it_is_and_comes_out_the_same_again() {
    let (one, other) = (scratch("one.png"), scratch("other.png"));
    for path in [&one, &other] {
        let said = answer(&[
            "sketch",
            EXAMPLE,
            "--target",
            "NGC 7000",
            "--out",
            path.to_str().unwrap(),
            "--width",
            "600",
            "--height",
            "400",
            "--rig",
            "Short refractor",
            "--rig",
            "Compound",
            "--span",
            "6",
        ]);
        assert!(said.contains("600 x 400 pixels"), "{said}");
    }
    assert_eq!(fs::read(&one).unwrap(), fs::read(&other).unwrap());
    let PngFacts { size, pixels_a_metre, texts } = png_facts(&one);
    assert_eq!(size, (600, 400));
    assert!(pixels_a_metre.unwrap() > 0);
    let text = |keyword: &str| {
        let found = texts.iter().find(|(name, _)| name == keyword);
        found.map(|(_, text)| text.as_str()).unwrap_or_default().to_owned()
    };
    assert!(text("Title").contains("NGC 7000"), "{texts:?}");
    assert!(text("Software").contains("Fieldstop"), "{texts:?}");
    let all: String = texts.iter().map(|(_, text)| text.as_str()).collect();
    for piece in ["OpenNGC", "CC BY-SA 4.0", "ESA", "Gaia", "synthetic"] {
        assert!(all.contains(piece), "{piece} is not in {texts:?}");
    }
    // What is not drawn is not credited, neither in the texts nor in the XMP among them.
    let bare = scratch("bare.png");
    let path = bare.to_str().unwrap();
    answer(&[
        "sketch",
        EXAMPLE,
        "--target",
        "M 31",
        "--width",
        "600",
        "--height",
        "400",
        "--without",
        "stars,names",
        "--out",
        path,
    ]);
    let said: String = png_facts(&bare).texts.iter().map(|(_, text)| text.as_str()).collect();
    assert!(said.contains("OpenNGC"), "{said}");
    for piece in ["Gaia", "Hipparcos", "synthetic"] {
        assert!(!said.contains(piece), "{piece} is in {said}");
    }
}

#[test]
fn a_sketch_that_cannot_be_made_leaves_no_file() {
    let out = scratch("refused.png");
    let path = out.to_str().unwrap();
    let sketch = |more: &[&str]| {
        let mut arguments = vec!["sketch", EXAMPLE, "--out", path];
        arguments.extend(more);
        let complaint = refusal(&arguments);
        assert!(!out.exists(), "{more:?} left a file");
        complaint
    };
    let m31 = ["--target", "M 31"];
    assert!(sketch(&["--target", "M 31x"]).contains("no target is called"));
    assert!(sketch(&[m31[0], m31[1], "--rig", "None"]).contains("no rig is called"));
    assert!(sketch(&[m31[0], m31[1], "--width", "15"]).contains("whole pixels from 16 to 20000"));
    assert!(
        sketch(&[m31[0], m31[1], "--height", "20001"]).contains("whole pixels from 16 to 20000")
    );
    assert!(sketch(&[m31[0], m31[1], "--span", "0.08"]).contains("5 arcminutes"));
    assert!(sketch(&[m31[0], m31[1], "--span", "91"]).contains("5 arcminutes"));
    let large = sketch(&[m31[0], m31[1], "--width", "20000", "--height", "10001"]);
    assert!(large.contains("megapixels"), "{large}");
    let paper = |more: &[&str]| sketch(&[&m31[..], more].concat());
    for size in ["0x0", "60000x60000", "180", "180xNaN"] {
        assert!(paper(&["--mm", size]).contains("180x120"), "{size}");
    }
    assert!(paper(&["--mm", "180x120", "--dpi", "9600"]).contains("30 to 1200"));
    assert!(paper(&["--mm", "2000x2000", "--dpi", "1200"]).contains("94488 pixels"));
    assert!(paper(&["--night", "2026-02-30"]).contains("February 2026 has 28 days"));
    assert!(paper(&["--without", "sources"]).contains("possible values"));
}

#[test]
fn the_end_of_the_name_says_what_a_picture_is_to_be() {
    let out = scratch("picture.jpeg");
    let told = refusal(&["sketch", EXAMPLE, "--target", "M 31", "--out", out.to_str().unwrap()]);
    assert!(told.contains("expected a name that ends in .png or .svg"), "{told}");
    assert!(!out.exists());
    let out = scratch("picture \"odd\" <&>.svg");
    let path = out.to_str().unwrap();
    let page = ["--mm", "180x120", "--ground", "light", "--night", "2026-09-12", "--out", path];
    let sketch = ["sketch", EXAMPLE, "--target", "M 31"];
    assert!(answer(&[&sketch[..], &page].concat()).contains("180 x 120 mm"));
    let one = fs::read_to_string(&out).unwrap();
    assert!(one.starts_with("<svg ") && one.contains("width=\"180mm\""));
    assert!(one.contains("Night of 12 September 2026"));
    answer(&[&sketch[..], &page].concat());
    assert_eq!(fs::read_to_string(&out).unwrap(), one, "the same command, the same file");
    let strip =
        ["strip", EXAMPLE, "--rig", "Compound", "--targets", "M 57, M 51", "--same", "size"];
    answer(&[&strip[..], &page].concat());
    let strip = fs::read_to_string(&out).unwrap();
    assert!(strip.contains("aria-label=\"M 51  Whirlpool Galaxy\""), "{}", strip.len());
    fs::remove_file(&out).unwrap();
}

#[test]
fn a_strip_that_cannot_be_made_leaves_no_file() {
    let out = scratch("no-strip.png");
    let path = out.to_str().unwrap();
    for (arguments, words) in [
        (&["--target", "M 31x"][..], "no target is called"),
        (&["--rig", "None"], "no rig is called"),
        (&["--rig", "Compound", "--targets", "M 31,M 31x"], "\"M 31x\""),
        (&["--target", "M 31", "--rig", "Compound"], "cannot be used with"),
        (&["--target", "M 31", "--mm", "30x20"], "has no room for"),
        (&[], "--target"),
    ] {
        let told = refusal(&[&["strip", EXAMPLE, "--out", path][..], arguments].concat());
        assert!(told.contains(words), "{arguments:?}: {told}");
        assert!(!out.exists(), "{arguments:?} left a file");
    }
}

#[test]
fn a_sketch_goes_only_where_a_file_can_go() {
    let to = |path: &str| refusal(&["sketch", EXAMPLE, "--target", "M 31", "--out", path]);
    let folder = env!("CARGO_TARGET_TMPDIR");
    assert!(to(folder).contains("is a folder"));
    assert!(to(&format!("{folder}/no-such-folder/x.png")).contains("there is no folder"));
    let before = fs::read(EXAMPLE).unwrap();
    assert!(to(EXAMPLE).contains("is the kit itself"));
    assert_eq!(fs::read(EXAMPLE).unwrap(), before);
}

#[test]
fn what_cannot_be_done_is_refused_in_words() {
    let cases: [(&[&str], &[&str]); 16] = [
        (&["figures", "no-such-kit.ron"], &["no-such-kit.ron", "there is no such file"]),
        (&["figures", "."], &["a folder", "expected a kit file"]),
        (&["figures"], &["<KIT>"]),
        (&["find"], &["<TEXT>"]),
        (&["find", "  "], &["expected something to search for"]),
        (&["find", "Andromda"], &["nothing in the catalogue", "\"M 31\" (Andromeda Galaxy)"]),
        (
            &["frame", EXAMPLE, "--rig", "Short", "--target", "M 31"],
            &["no rig is called \"Short\"", "\"Short refractor\", \"Long refractor\""],
        ),
        (
            &["frame", EXAMPLE, "--rig", "Compound", "--target", "Andromeda"],
            &[
                "no target is called \"Andromeda\"",
                "wish list",
                "catalogue",
                "similar",
                "\"M 31\" (Andromeda Galaxy)",
            ],
        ),
        (
            &["frame", EXAMPLE, "--rig", "Compound", "--target", "M 31", "--rotation", "NaN"],
            &["NaN", "expected degrees from -360 to 360"],
        ),
        (
            &["mosaic", EXAMPLE, "--rig", "Compound", "--target", "M 31", "--overlap", "95"],
            &["95", "expected per cent from 0 to 90"],
        ),
        (
            &["mosaic", EXAMPLE, "--rig", "Compound", "--target", "M 31", "--overlap", "-1"],
            &["-1", "expected per cent from 0 to 90"],
        ),
        (
            &["sketch", EXAMPLE, "--target", "M 31", "--out", "x.png", "--width", "abc"],
            &["abc", "expected whole pixels from 16 to 20000"],
        ),
        (
            &["season", EXAMPLE, "--rig", "Compound", "--month", "13"],
            &["13", "expected a month from 1 to 12"],
        ),
        (&["wishes", EXAMPLE], &["--import", "--export"]),
        (&["mosaic", EXAMPLE, "--target", "M 31"], &["--rig"]),
        (&["figures", EXAMPLE, "--xml"], &["--xml"]),
    ];
    for (arguments, pieces) in cases {
        let complaint = refusal(arguments);
        for piece in pieces {
            assert!(complaint.contains(piece), "{arguments:?}: {piece:?} is not in {complaint}");
        }
    }
}

/// A misspelt command is no kit: it opens no window, and the status is that of wrong arguments.
#[test]
fn what_is_neither_command_nor_file_is_told() {
    for arguments in [&["skech"][..], &["skech", EXAMPLE], &["skech", EXAMPLE, "--target", "M 31"]]
    {
        let output = Command::new(env!("CARGO_BIN_EXE_fieldstop"))
            .args(arguments)
            .env_remove("DISPLAY")
            .env_remove("WAYLAND_DISPLAY")
            .output()
            .unwrap();
        let said = String::from_utf8_lossy(&output.stderr);
        assert!(said.contains("neither a command nor a file that is called skech"), "{said}");
        assert_eq!(output.status.code(), Some(2));
        assert!(output.stdout.is_empty());
    }
}

#[test]
fn a_bad_kit_is_refused_with_its_line() {
    let cases = [
        ("aperture_mm: 60.0", "aperture_mm: -60.0", "line 30, column 72"),
        ("\"Europe/London\"", "\"Europe/Larkmoor\"", "line 12, column 20"),
        ("ota: \"100 mm triplet\"", "ota: \"no triplet\"", "not in otas"),
        ("Named(\"M 81\")", "Named(\"M 8100\")", "which the catalogue does not hold"),
        ("format: 1", "format: 9, later: true", "written by a later version"),
    ];
    for (place, (from, to, piece)) in cases.into_iter().enumerate() {
        let kit = changed_kit(&format!("bad-{place}.ron"), from, to);
        let complaint = refusal(&["figures", &kit, "--json"]);
        assert!(complaint.contains(piece) && complaint.contains(&kit), "{to}: {complaint}");
        assert_eq!(complaint.lines().count(), 1, "one message: {complaint}");
    }
}

#[cfg(unix)]
#[test]
fn a_pipe_nobody_writes_to_does_not_hang() {
    let pipe = scratch("pipe.ron");
    let _earlier = fs::remove_file(&pipe);
    assert!(Command::new("mkfifo").arg(&pipe).status().unwrap().success());
    assert!(refusal(&["figures", pipe.to_str().unwrap()]).contains("expected a kit file"));
}

#[test]
fn a_reader_that_stops_early_is_no_panic() {
    let mut program = Command::new(env!("CARGO_BIN_EXE_fieldstop"))
        .args(["find", "NGC", "--json"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut first = [0; 10];
    let mut output = program.stdout.take().unwrap();
    output.read_exact(&mut first).unwrap();
    drop(output);
    let ended = program.wait_with_output().unwrap();
    let complaint = String::from_utf8(ended.stderr).unwrap();
    assert!(!ended.status.success(), "the answer was not delivered");
    assert!(complaint.starts_with("fieldstop: the answer could not be written"), "{complaint}");
}

/// Local noon to local noon: the example's site keeps the clocks of Europe/London.
#[test]
fn a_year_has_every_night_with_the_agreed_keys() {
    let year = json(&["year", EXAMPLE, "--target", "M 51", "--year", "2024", "--json"]);
    assert_eq!(keys(&year), ["format", "nights", "site", "target", "year"]);
    assert_eq!((&year["format"], &year["target"]), (&Value::from(1), &Value::from("M 51")));
    let nights = year["nights"].as_array().unwrap();
    assert_eq!(nights.len(), 366, "2024 is a leap year");
    for (index, night) in nights.iter().enumerate() {
        assert_eq!(
            keys(night),
            [
                "dark_end_utc",
                "dark_hours",
                "dark_start_utc",
                "evening",
                "highest_altitude_deg",
                "moon_lit_fraction",
                "note",
                "target_hours",
                "target_moonless_hours",
                "transit_utc"
            ]
        );
        let (dark, target) = (number(&night["dark_hours"]), number(&night["target_hours"]));
        let moonless = number(&night["target_moonless_hours"]);
        assert!(0.0 <= moonless && moonless <= target && target <= dark, "{index}: {night}");
        assert!((0.0..=1.0).contains(&number(&night["moon_lit_fraction"])));
        let is_dark = dark > 0.0;
        for key in ["dark_start_utc", "dark_end_utc", "highest_altitude_deg"] {
            assert_eq!(night[key].is_null(), !is_dark, "{key} of {night}");
        }
        if is_dark {
            let start = night["dark_start_utc"].as_str().unwrap();
            assert!(start.len() == 20 && start.ends_with('Z'), "{start}");
            assert!(night["note"].is_null(), "{night}");
        } else {
            assert!(night["note"].as_str().unwrap().starts_with("no astronomical night"));
        }
    }
    assert_eq!(nights[0]["evening"], "2024-01-01");
    assert_eq!(nights[59]["evening"], "2024-02-29");
}

/// The equation of the night: with the Sun on the equator it is below -18 degrees for
/// `cos H = -sin 18 / cos latitude`, and 54 degrees north has no astronomical night near the June
/// solstice, since `90 - 54 - 23.4 < 18`.
#[test]
fn known_nights_come_out_in_a_year() {
    let kit = changed_kit("at-54.ron", "latitude_deg: 54.31", "latitude_deg: 54.0");
    let year = json(&["year", &kit, "--target", "M 31", "--year", "2026", "--json"]);
    let night = |evening: &str| {
        let nights = year["nights"].as_array().unwrap();
        nights.iter().find(|night| night["evening"] == evening).unwrap().clone()
    };
    assert_eq!(night("2026-06-21")["note"], "no astronomical night");
    let equinox = number(&night("2026-03-20")["dark_hours"]);
    let half_day = (18.0_f64.to_radians().sin() / 54.0_f64.to_radians().cos()).asin().to_degrees();
    let by_hand = 2.0 * (90.0 - half_day) / 15.0;
    assert!((equinox - by_hand).abs() < 0.1, "{equinox} h, by hand {by_hand} h");
    // Full Moon of 3 March 2026, 11:38 UTC, with a total eclipse (published almanacs, from memory).
    assert!(number(&night("2026-03-02")["moon_lit_fraction"]) > 0.985);
    assert!(number(&night("2026-03-03")["moon_lit_fraction"]) > 0.985);
}

#[test]
fn a_night_has_the_same_figures_as_the_year() {
    let year = json(&["year", DEMO, "--target", "M 51", "--year", "2026", "--json"]);
    let night = json(&["night", DEMO, "--target", "M 51", "--date", "2026-03-14", "--json"]);
    let same = &year["nights"].as_array().unwrap()[72];
    for key in keys(same) {
        assert_eq!(night[key], same[key], "{key}");
    }
    let worth = number(&night["target_worth_hours"]);
    let (all, moonless) = (number(&night["target_hours"]), number(&night["target_moonless_hours"]));
    assert!(moonless - 1e-9 <= worth && worth <= all + 1e-9, "{worth}");
    let bodies = night["bodies"].as_array().unwrap();
    assert_eq!(bodies.len(), 9);
    let sun = bodies.iter().find(|body| body["name"] == "Sun").unwrap();
    assert!(sun["caution"].as_str().unwrap().contains("solar filter"));
    // The Sun's diameter goes from 31.5 to 32.5 arcminutes (handbooks, from memory).
    assert!((1886.0..1952.0).contains(&number(&sun["diameter_arcsec"])));
    let figures = json(&["figures", DEMO, "--json"]);
    for (place, pixels) in sun["pixels"].as_array().unwrap().iter().enumerate() {
        let scale = number(&figures["rigs"][place]["pixel_scale_arcsec"]);
        let across = number(&sun["diameter_arcsec"]) / scale;
        assert!((number(&pixels["diameter_px"]) / across - 1.0).abs() < 1e-9);
    }
}

/// A target beside the Sun comes with the warning: on 20 March the Sun stands at 0h, 0 degrees.
#[test]
fn a_target_near_the_sun_comes_with_the_warning() {
    let night =
        |date: &str| json(&["night", DEMO, "--target", "NGC 7814", "--date", date, "--json"]);
    assert!(night("2026-03-20")["caution"].as_str().unwrap().contains("solar filter"));
    assert!(night("2026-09-20")["caution"].is_null());
    let text = answer(&["night", DEMO, "--target", "NGC 7814", "--date", "2026-03-20"]);
    assert!(text.contains("certified full-aperture solar filter"), "{text}");
}

#[test]
fn a_season_is_ranked_and_says_what_it_ranks_by() {
    let season = json(&[
        "season",
        DEMO,
        "--month",
        "3",
        "--rig",
        "Short refractor",
        "--year",
        "2026",
        "--json",
    ]);
    assert_eq!(keys(&season), ["format", "month", "rig", "site", "targets", "year"]);
    let targets = season["targets"].as_array().unwrap();
    assert!(targets.len() > 20);
    assert!(targets.windows(2).all(|pair| number(&pair[0]["rank"]) >= number(&pair[1]["rank"])));
    for target in targets {
        assert!(number(&target["major_arcmin"]) >= 10.0 && number(&target["hours"]) > 0.0);
        assert!(target["magnitude"].as_f64().is_none_or(|magnitude| magnitude <= 10.0));
    }
    // The Moon may take all hours of an object, never more than all.
    assert!(targets.iter().all(|t| number(&t["moonless_hours"]) <= number(&t["hours"]) + 1e-9));
    let in_june = changed_kit("at-70.ron", "latitude_deg: 54.31", "latitude_deg: 70.0");
    let rig = json(&["figures", EXAMPLE, "--json"])["rigs"][0]["name"].as_str().unwrap().to_owned();
    let text = answer(&["season", &in_june, "--month", "6", "--rig", &rig, "--year", "2026"]);
    assert!(text.contains("No astronomical night"), "{text}");
}

#[test]
fn dates_years_and_months_that_do_not_exist_are_refused() {
    let night = |date: &str| refusal(&["night", DEMO, "--target", "M 51", "--date", date]);
    assert!(night("2026-02-29").contains("February 2026 has 28 days"));
    assert!(night("2026-13-01").contains("a month from 1 to 12"));
    assert!(night("1949-12-31").contains("1950 to 2100"));
    assert!(night("tomorrow").contains("year-month-day"));
    let year = |year: &str| refusal(&["year", DEMO, "--target", "M 51", "--year", year]);
    for bad in ["1949", "2101", "-2026", "next", "20260"] {
        assert!(year(bad).contains("1950 to 2100"), "{bad}");
    }
    for bad in ["0", "13", "-1", "May"] {
        let told = refusal(&["season", DEMO, "--month", bad, "--rig", "Short refractor"]);
        assert!(told.contains("--month"), "{told}");
    }
    assert!(refusal(&["year", DEMO, "--target", "M 1000", "--year", "2026"]).contains("M 1000"));
}

#[test]
fn the_ends_of_the_earth_and_of_the_years_are_answered() {
    for (latitude, year) in [("90.0", "1950"), ("-90.0", "2100"), ("0.0", "2100")] {
        let from = "latitude_deg: 54.31";
        let kit =
            changed_kit(&format!("at{latitude}.ron"), from, &format!("latitude_deg: {latitude}"));
        let answer = json(&["year", &kit, "--target", "M 42", "--year", year, "--json"]);
        let nights = answer["nights"].as_array().unwrap();
        assert_eq!(nights.len(), 365);
        let dark: Vec<f64> = nights.iter().map(|night| number(&night["dark_hours"])).collect();
        if latitude == "0.0" {
            // cos H = -sin 18 / cos dec of the Sun, by which it lies between 9.37 and 9.61 h.
            assert!(dark.iter().all(|hours| (9.36..9.62).contains(hours)), "{dark:?}");
        } else {
            let polar_days = nights
                .iter()
                .filter(|night| night["note"] == "no astronomical night: the Sun does not set");
            assert!((175..195).contains(&polar_days.count()));
            assert!(dark.iter().any(|&hours| hours > 23.9));
        }
    }
}

/// Jupiter stood opposite the Sun on 10 January 2026 (published almanacs, from memory): it crossed
/// the meridian at the Sun's midnight, 23:45 UTC at 5.58 degrees east with the Sun 8 minutes slow.
#[test]
fn planets_are_targets_too() {
    let night = json(&["night", DEMO, "--target", "jupiter", "--date", "2026-01-10", "--json"]);
    let transit = night["transit_utc"].as_str().unwrap();
    let minutes: f64 = transit[14..16].parse().unwrap();
    assert!(transit.starts_with("2026-01-10T23:") && (35.0..55.0).contains(&minutes), "{transit}");
    assert!(night["target_worth_hours"].is_null() && night["caution"].is_null());
    let year = json(&["year", DEMO, "--target", "Jupiter", "--year", "2026", "--json"]);
    assert_eq!(year["nights"][9]["target_hours"], night["target_hours"]);
    let text = answer(&["night", DEMO, "--target", "Sun", "--date", "2026-01-10"]);
    assert!(text.contains("Usable: at no time") && text.contains("Caution: within 20"), "{text}");
}
