//! `fieldstop sheet` run whole: its numbers are those of the other subcommands' JSON, on paper and
//! in HTML; its HTML is well-formed and needs nothing from outside; refusals leave the old file.
//!
//! Cells are read back here as numbers with units, by code that shares nothing with the program's
//! own, and compared with the unrounded JSON within half a unit of their last digit.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test fails by panicking")]

mod common;

use std::fs;
use std::path::Path;

use common::{DEMO, answer, folder, json, refusal};
use fieldstop_gui::scene::primitive::TextMark;
use fieldstop_gui::sheet::{Sheet, SheetOptions};
use fieldstop_gui::sky::Sky;
use roxmltree::{Document, Node};
use serde_json::Value;

fn text_of(path: &Path) -> &str {
    path.to_str().unwrap()
}

fn html(kit: &str, name: &str) -> String {
    let path = folder(&format!("sheet {name}")).join("sheet.html");
    answer(&["sheet", kit, "--out", text_of(&path)]);
    fs::read_to_string(path).unwrap()
}

/// An element's words, as a reader takes them.
fn words(node: Node<'_, '_>) -> String {
    let text: String =
        node.descendants().filter_map(|node| node.text().filter(|_| node.is_text())).collect();
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// A table's rows: the row's head, then its cells.
fn table(page: &Document<'_>, id: &str) -> Vec<Vec<String>> {
    let table = page.descendants().find(|node| node.attribute("id") == Some(id)).unwrap();
    assert_eq!(table.tag_name().name(), "table");
    let is_cell = |node: &Node<'_, '_>| ["th", "td"].contains(&node.tag_name().name());
    let rows = table.descendants().filter(|node| node.tag_name().name() == "tr");
    rows.map(|row| row.children().filter(is_cell).map(words).collect()).collect()
}

/// A document without the declaration that XML parsers do not want.
fn parsed(html: &str) -> Document<'_> {
    let body = html.strip_prefix("<!DOCTYPE html>\n").unwrap();
    Document::parse(body).unwrap_or_else(|why| panic!("{why}"))
}

/// A cell's number, half a unit of its last digit, and the word behind it.
fn number(cell: &str) -> (f64, f64, String) {
    let cell = cell.trim_start_matches("± ");
    let end = cell
        .find(|letter: char| !letter.is_ascii_digit() && !['.', ','].contains(&letter))
        .unwrap_or(cell.len());
    let (digits, unit) = cell.split_at(end);
    let digits = digits.replace(',', "");
    let decimals = digits.split('.').nth(1).map_or(0, str::len);
    let half = 0.5 * 10_f64.powi(-(decimals as i32));
    let unit = unit.split_whitespace().next().unwrap_or_default().to_owned();
    (digits.parse().unwrap_or_else(|_| panic!("{cell:?} has no number")), half, unit)
}

/// What one of a unit is in the JSON's.
fn factor(unit: &str) -> f64 {
    match unit {
        "%" => 0.01,
        "min" => 60.0,
        _ => 1.0,
    }
}

/// Rows of the demands and their keys in the JSON.
const KEYS: [(&str, &str); 10] = [
    ("Delivered FWHM", "delivered_fwhm_arcsec"),
    ("Pixels per FWHM", "pixels_per_fwhm"),
    ("Exposure without tracking", "untracked_s"),
    ("Unguided, one pixel", "unguided_s"),
    ("Guiding RMS needed", "guide_rms_needed_arcsec"),
    ("Mass on the mount", "mass_on_mount_kg"),
    ("Payload used", "payload_used"),
    ("Depth of focus, either side", "depth_of_focus_um"),
    ("Sub-exposure", "sub_exposure_s"),
    ("Price", "price"),
];

fn assert_demands(rows: &[(String, Vec<String>)], rigs: &[Value], what: &str) {
    for (label, key) in KEYS {
        let found = rows.iter().find(|(head, _)| head == label);
        let (_, cells) = found.unwrap_or_else(|| panic!("{what}: no row {label:?}"));
        assert_eq!(cells.len(), rigs.len(), "{what}: {label}, {cells:?}");
        for (cell, rig) in cells.iter().zip(rigs) {
            let (shown, half, unit) = number(cell);
            let (shown, half) = (shown * factor(&unit), half * factor(&unit));
            let wanted = rig[key].as_f64().unwrap();
            assert!(
                (shown - wanted).abs() <= half * 1.000_001,
                "{what}: {label} of {} is {cell:?}, the JSON says {wanted}",
                rig["name"]
            );
        }
    }
}

fn demand_rigs() -> Vec<Value> {
    let answer = json(&["demands", DEMO, "--target", "M 31", "--json"]);
    answer["rigs"].as_array().unwrap().clone()
}

#[test]
fn demands_in_html_are_those_of_the_json() {
    let html = html(DEMO, "demands");
    let page = parsed(&html);
    let rows = table(&page, "demands");
    let rigs = demand_rigs();
    let heads: Vec<String> = rigs
        .iter()
        .enumerate()
        .map(|(k, r)| format!("{} {}", k + 1, r["name"].as_str().unwrap()))
        .collect();
    assert_eq!(rows[0][1..], heads);
    let rows: Vec<(String, Vec<String>)> =
        rows.into_iter().map(|row| (row[0].clone(), row[1..].to_vec())).collect();
    assert_demands(&rows, &rigs, "HTML");
    let sampling = &rows.iter().find(|(head, _)| head == "Sampling").unwrap().1;
    for (cell, rig) in sampling.iter().zip(&rigs) {
        assert_eq!(cell.split(' ').next(), rig["sampling"].as_str());
    }
}

/// The rows of a page: marks on the same baseline, from left to right.
fn page_rows(texts: &[TextMark], label: &str) -> Vec<Vec<String>> {
    let heads = texts.iter().filter(|text| text.text == label && text.left() < 60.0);
    heads
        .map(|head| {
            let on_line =
                |text: &&TextMark| (text.at[1] - head.at[1]).abs() < 1e-6 && text.left() > 100.0;
            let mut row: Vec<&TextMark> = texts.iter().filter(on_line).collect();
            row.sort_by(|a, b| a.left().total_cmp(&b.left()));
            row.into_iter().map(|text| text.text.clone()).collect()
        })
        .collect()
}

#[test]
fn demands_on_paper_are_those_of_the_json() {
    let kit = ron::from_str(&fs::read_to_string(DEMO).unwrap()).unwrap();
    let sky = Sky::embedded().unwrap();
    let sheet = Sheet::new(&kit, &sky, &SheetOptions::default(), &mut |_| true).unwrap();
    let texts: Vec<Vec<TextMark>> = sheet.pages().iter().map(|page| page.scene.texts()).collect();
    let graded = |text: &String| ["○", "▲", "■"].iter().any(|sign| text.starts_with(sign));
    let rows: Vec<(String, Vec<String>)> = KEYS
        .iter()
        .map(|(label, _)| {
            let rows: Vec<_> = texts.iter().flat_map(|page| page_rows(page, label)).collect();
            assert_eq!(rows.len(), 1, "{label}");
            let cells = rows.into_iter().flatten().filter(|text| !graded(text)).collect();
            ((*label).to_owned(), cells)
        })
        .collect();
    assert_demands(&rows, &demand_rigs(), "paper");
}

/// Usable hours of every month, summed here from the nights of `fieldstop year`. Its hours are
/// worked out night by night in double precision, the sheet's in single: they may differ by some
/// seconds a night.
fn months(target: &str) -> Vec<f64> {
    let year = json(&["year", DEMO, "--target", target, "--year", "2026", "--json"]);
    let mut months = vec![0.0; 12];
    for night in year["nights"].as_array().unwrap() {
        let month: usize = night["evening"].as_str().unwrap()[5..7].parse().unwrap();
        months[month - 1] += night["target_hours"].as_f64().unwrap();
    }
    months
}

#[test]
fn the_calendar_is_the_sum_of_the_nights() {
    const TOLERANCE_HOURS: f64 = 0.05;
    let html = html(DEMO, "calendar");
    let page = parsed(&html);
    let rows = table(&page, "calendar");
    let kit = ron::from_str(&fs::read_to_string(DEMO).unwrap()).unwrap();
    let sky = Sky::embedded().unwrap();
    let sheet = Sheet::new(&kit, &sky, &SheetOptions::default(), &mut |_| true).unwrap();
    let texts: Vec<TextMark> = sheet.pages().iter().flat_map(|page| page.scene.texts()).collect();
    for (target, label) in [
        ("M 31", "M 31  Andromeda Galaxy"),
        ("M 8", "M 8  Lagoon Nebula"),
        ("NGC 7293", "NGC 7293  Helix Nebula"),
    ] {
        let row = rows.iter().find(|row| row[0].starts_with(&format!("{target} "))).unwrap();
        let wanted = months(target);
        let all: f64 = wanted.iter().sum();
        let paper = page_rows(&texts, label).into_iter().find(|row| row.len() >= 13).unwrap();
        for cells in [&row[1..], &paper[..13]] {
            for (cell, wanted) in cells.iter().zip(wanted.iter().chain([&all])) {
                let (shown, half) = match cell.as_str() {
                    "–" => (0.0, 0.5),
                    cell => (number(cell).0, number(cell).1),
                };
                let tolerance = half + TOLERANCE_HOURS + wanted * 1e-3;
                assert!((shown - wanted).abs() <= tolerance, "{target}: {cell} for {wanted}");
            }
        }
    }
}

#[test]
fn choice_and_verdicts_are_those_of_the_json() {
    let html = html(DEMO, "choice");
    let page = parsed(&html);
    let choice = json(&["choose", DEMO, "--json"]);

    let said = |id: &str, tag: &str| -> Vec<String> {
        let part = page.descendants().find(|node| node.attribute("id") == Some(id)).unwrap();
        part.descendants().filter(|node| node.tag_name().name() == tag).map(words).collect()
    };
    let mut sentences = said("answer", "p");
    sentences.extend(said("reasons", "li"));
    for finding in choice["findings"].as_array().unwrap() {
        let text = finding["text"].as_str().unwrap().to_owned();
        assert!(sentences.contains(&text), "{text}");
    }

    let ranges = table(&page, "ranges");
    let wanted = choice["ranges"].as_array().unwrap();
    assert_eq!(ranges.len(), wanted.len() + 1);
    for (row, range) in ranges[1..].iter().zip(wanted) {
        assert!(row[0].starts_with(range["target"].as_str().unwrap()));
        for (cell, key) in row[1..].iter().zip(["shortest_mm", "longest_mm"]) {
            match range[key].as_f64() {
                // Rounded into the range: it is whole there, and shows its detail.
                Some(mm) => {
                    let outward = number(cell).0 - mm;
                    let inward = if key == "longest_mm" { -outward } else { outward };
                    assert!((0.0..1.0).contains(&inward), "{row:?}: {mm}");
                }
                None => assert_eq!(cell, "–"),
            }
        }
    }

    let matrix = table(&page, "matrix");
    for (column, rig) in choice["rigs"].as_array().unwrap().iter().enumerate() {
        assert_eq!(
            matrix[0][column + 1],
            format!("{} {}", column + 1, rig["name"].as_str().unwrap())
        );
        let cells: Vec<&String> =
            matrix[1..matrix.len() - 1].iter().map(|row| &row[column + 1]).collect();
        for word in ["whole", "tight", "spills", "small"] {
            let count = cells.iter().filter(|cell| cell.contains(word)).count() as u64;
            assert_eq!(Some(count), rig[word].as_u64(), "{word} of {}", rig["name"]);
        }
    }
}

#[test]
fn fills_are_those_of_the_json() {
    let html = html(DEMO, "fills");
    let page = parsed(&html);
    let matrix = table(&page, "matrix");
    let fits = json(&["figures", DEMO, "--json"])["fits"].as_array().unwrap().clone();
    let mut checked = 0;
    for row in &matrix[1..matrix.len() - 1] {
        for (cell, head) in row[1..].iter().zip(&matrix[0][1..]) {
            let is_this = |fit: &&Value| {
                let (rig, target) = (fit["rig"].as_str().unwrap(), fit["target"].as_str().unwrap());
                head[2..] == *rig && (row[0] == target || row[0].starts_with(&format!("{target} ")))
            };
            let fit = fits.iter().find(is_this).unwrap_or_else(|| panic!("{head}: {row:?}"));
            checked += 1;
            assert!(cell.contains(fit["verdict"].as_str().unwrap()), "{cell}: {fit}");
            let fill = fit["fill"].as_f64().unwrap();
            if cell.ends_with("under 0.01") {
                assert!(fill > 0.0 && fill < 0.005, "{cell}: {fill}");
                continue;
            }
            let (shown, half, _) = number(cell.rsplit(' ').next().unwrap());
            assert!((shown - fill).abs() <= half * 1.000_001, "{cell}: {fill}");
        }
    }
    assert_eq!(checked, fits.len());
}

/// HTML Living Standard: what a page loads stands in `src`, `href`, `srcset`, `data`, `action` and
/// in `url()` of a style; scripts in `script` and in attributes that begin with `on`.
#[test]
fn the_html_needs_nothing_and_runs_nothing() {
    let html = html(DEMO, "alone");
    let page = parsed(&html);
    for node in page.descendants().filter(Node::is_element) {
        let name = node.tag_name().name();
        assert!(!["script", "link", "iframe", "object", "embed", "img", "base"].contains(&name));
        for attribute in node.attributes() {
            let (name, value) = (attribute.name(), attribute.value());
            assert!(!name.starts_with("on"), "{name}");
            if ["src", "href", "srcset", "data", "action", "clip-path"].contains(&name) {
                assert!(value.starts_with('#') || value.starts_with("url(#"), "{name}={value}");
            }
        }
        if name == "style" {
            let style = words(node);
            assert!(!style.contains("url(") && !style.contains("@import"));
            assert!(style.contains("@media print"));
        }
    }
    let root = page.root_element();
    assert_eq!(root.attribute("lang"), Some("en-GB"));
    let tags =
        |name: &str| page.descendants().filter(|node| node.tag_name().name() == name).count();
    assert_eq!((tags("h1"), tags("title") - tags("svg")), (1, 1));
    assert!(tags("h2") >= 8 && tags("table") == 6 && tags("svg") == 2);
    for head in page.descendants().filter(|node| node.tag_name().name() == "th") {
        assert!(["col", "row", "rowgroup"].contains(&head.attribute("scope").unwrap()));
    }
    for picture in page.descendants().filter(|node| node.tag_name().name() == "svg") {
        let about = picture.children().find(|node| node.tag_name().name() == "desc").unwrap();
        assert!(words(about).len() > 60, "a picture without words");
    }
    let mut ids: Vec<&str> = page.descendants().filter_map(|node| node.attribute("id")).collect();
    let count = ids.len();
    ids.sort_unstable();
    ids.dedup();
    assert_eq!(ids.len(), count, "every id once");
}

#[test]
fn odd_names_are_words_and_not_markup() {
    let kit = fs::read_to_string(DEMO)
        .unwrap()
        .replace("Brumelle beginners' circle", "<b>& \\\"friends\\\"</b>")
        .replace("name: \"Long refractor\"", "name: \"</td><script>x & y\"");
    let path = folder("sheet odd kit").join("odd.ron");
    fs::write(&path, kit).unwrap();
    let html = html(text_of(&path), "odd");
    let page = parsed(&html);
    let title = page.descendants().find(|node| node.tag_name().name() == "h1").unwrap();
    assert_eq!(words(title), "<b>& \"friends\"</b>");
    assert_eq!(table(&page, "demands")[0][2], "2 </td><script>x & y");
    assert!(page.descendants().all(|node| node.tag_name().name() != "script"));
}

#[test]
fn the_same_command_gives_the_same_bytes() {
    let folder = folder("sheet same");
    for suffix in ["pdf", "html"] {
        let [one, other] = ["one", "other"].map(|name| folder.join(format!("{name}.{suffix}")));
        for path in [&one, &other] {
            answer(&["sheet", DEMO, "--out", text_of(path), "--target", "M 42", "--year", "2027"]);
        }
        let one = fs::read(one).unwrap();
        assert!(one == fs::read(other).unwrap(), "{suffix} differs from run to run");
        assert!(one.len() > 50_000);
    }
}

#[test]
fn a_pdf_says_what_it_is() {
    let path = folder("sheet pdf").join("sheet.PDF");
    let said = answer(&["sheet", DEMO, "--out", text_of(&path), "--paper", "letter"]);
    assert_eq!(said, format!("{}: PDF of 6 rigs and 22 targets\n", path.display()));
    let file = fs::read(&path).unwrap();
    // ISO 32000-1, 7.5.2 and 7.5.5: header and end of file; 7.7.3.3: the media box in points.
    assert!(file.starts_with(b"%PDF-1.7") && file.trim_ascii_end().ends_with(b"%%EOF"));
    let has = |words: &str| file.windows(words.len()).any(|part| part == words.as_bytes());
    assert!(has("/MediaBox[0 0 612 792]"));
    assert!(has("/Lang(en-GB)") && has("/StructTreeRoot") && has("/Outlines"));
    assert!(has("NotoSans-Regular") && has("/FontFile2") && has("/ToUnicode"));
    assert!(!has("/CreationDate") && !has("/ModDate"));
}

#[test]
fn what_cannot_be_done_is_refused_and_the_old_file_stays() {
    let folder = folder("sheet refused");
    let old = folder.join("old.pdf");
    fs::write(&old, "old").unwrap();
    let out = text_of(&old);
    let empty = folder.join("empty.ron");
    let text = fs::read_to_string(DEMO).unwrap();
    let without = |text: &str, list: &str| {
        let start = text.find(&format!("    {list}: [")).unwrap();
        let end = start + text[start..].find("\n    ],").unwrap();
        format!("{}{}", &text[..start], &text[end + "\n    ],".len()..])
    };
    fs::write(&empty, without(&without(&text, "rigs"), "wish_list")).unwrap();
    let no_rigs = folder.join("no rigs.ron");
    fs::write(&no_rigs, without(&text, "rigs")).unwrap();
    let no_wishes = folder.join("no wishes.ron");
    fs::write(&no_wishes, without(&text, "wish_list")).unwrap();
    let told = |arguments: &[&str], part: &str| {
        let complaint = refusal(arguments);
        assert!(complaint.contains(part), "{arguments:?}: {complaint}");
    };
    told(&["sheet", text_of(&empty), "--out", out], "neither rigs nor a wish list");
    told(&["sheet", text_of(&no_rigs), "--out", out], "shortlist is empty");
    told(&["sheet", text_of(&no_wishes), "--out", out], "wish list is empty");
    told(&["sheet", DEMO, "--out", out, "--target", "M 999"], "no target is called \"M 999\"");
    told(&["sheet", DEMO, "--out", out, "--year", "1815"], "1950 to 2100");
    told(&["sheet", DEMO, "--out", out, "--paper", "papyrus"], "papyrus");
    told(&["sheet", "nothing.ron", "--out", out], "nothing.ron");
    let nowhere = folder.join("no folder").join("x.pdf");
    told(&["sheet", DEMO, "--out", text_of(&nowhere)], "there is no folder");
    for name in ["sheet", "sheet.doc", "sheet.pdf.", ".pdf"] {
        let path = folder.join(name);
        told(
            &["sheet", DEMO, "--out", text_of(&path)],
            "expected a name that ends in .pdf or .html",
        );
        assert!(!path.exists());
    }
    let mut permissions = fs::metadata(&old).unwrap().permissions();
    permissions.set_readonly(true);
    fs::set_permissions(&old, permissions.clone()).unwrap();
    told(&["sheet", DEMO, "--out", out], "read-only");
    assert_eq!(fs::read_to_string(&old).unwrap(), "old");
    // A wish list is not needed where a target is named: the sheet says what is missing.
    let html = folder.join("x.html");
    answer(&["sheet", text_of(&no_wishes), "--out", text_of(&html), "--target", "M 42"]);
    assert!(fs::read_to_string(html).unwrap().contains("The wish list is empty"));
}
