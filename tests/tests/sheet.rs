//! The comparison sheet: its words never collide nor leave the paper, whatever the kit; its numbers
//! are those of the other subcommands' JSON; the same kit is the same bytes.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test fails by panicking")]

mod apart;

use apart::names_on_the_sky_stay_apart;
use fieldstop::kit::{DrawnOutline, Kit, Wish};
use fieldstop_gui::paint::pdf::{PdfPage, Role};
use fieldstop_gui::scene::primitive::{Bounds, Primitive, TextMark};
use fieldstop_gui::sheet::{
    MOST_PAGES, Paper, Sheet, SheetError, SheetFormat, SheetOptions, sheet,
};
use fieldstop_gui::sky::Sky;

const DEMO: &str = include_str!("../../assets/demo-kit.ron");

fn demo() -> Kit {
    ron::from_str(DEMO).unwrap()
}

fn made<'a>(kit: &Kit, sky: &'a Sky, options: &SheetOptions) -> Sheet<'a> {
    Sheet::new(kit, sky, options, &mut |_| true).unwrap()
}

/// The demo kit with so many rigs and targets, some with names of inconvenient length.
fn kit_with(rigs: usize, targets: usize) -> Kit {
    let mut kit = demo();
    kit.rigs.truncate(rigs);
    while kit.rigs.len() < rigs {
        let place = kit.duplicate_rig(kit.rigs.len() % 5).unwrap();
        kit.rigs[place].name = if place.is_multiple_of(2) {
            format!("A rig with a name far longer than anyone would think of, number {place}")
        } else {
            format!("Unpronounceablylongcompoundnamewithoutanyspace{place}")
        };
    }
    kit.wish_list.truncate(targets);
    while kit.wish_list.len() < targets {
        let place = kit.wish_list.len();
        kit.wish_list.push(Wish::Custom {
            name: format!("Some faint cloud between two stars that I once saw, number {place}"),
            ra_deg: 9.0 * place as f64 % 360.0,
            dec_deg: 60.0 - 2.0 * place as f64,
            major_arcmin: (!place.is_multiple_of(4)).then_some(5.0 * place as f64),
            minor_arcmin: None,
            pa_deg: None,
            surface_brightness_mag_arcsec2: None,
        });
    }
    kit
}

/// Words must not overlap, and must stand inside the page. Those on the sky are tested with the
/// sketch; here they stand in a scene cut off at its edges, so only what can be seen counts.
fn collisions(page: &PdfPage, what: &str) {
    let texts: Vec<TextMark> = page.scene.texts();
    names_on_the_sky_stay_apart(&texts, what);
    // No printer of home or office leaves more than 6 mm (17 points) free. Common practice.
    let paper = page.scene.bounds().expanded(-17.0);
    for item in &page.scene.items {
        let corners = match item {
            Primitive::Line { points, .. } | Primitive::Polygon { points, .. } => points.clone(),
            Primitive::Inset { origin, scene } => {
                vec![*origin, [origin[0] + scene.width_pt, origin[1] + scene.height_pt]]
            }
            Primitive::Picture(picture) => {
                picture.vertices.iter().map(|vertex| vertex.at).collect()
            }
            Primitive::Discs(_) | Primitive::Text(_) => Vec::new(),
        };
        assert!(corners.iter().all(|corner| paper.contains(*corner)), "{what}: {item:?}");
    }
    for (place, text) in texts.iter().enumerate() {
        let bounds: Bounds = text.bounds();
        assert!(paper.encloses(&bounds), "{what}: {:?} leaves the page, {bounds:?}", text.text);
        for other in &texts[..place] {
            let theirs = other.bounds();
            assert!(
                !bounds.overlaps(&theirs),
                "{what}: {:?} {bounds:?} lies over {:?} {theirs:?}",
                text.text,
                other.text
            );
        }
    }
}

#[test]
fn words_never_overlap_nor_leave_the_paper() {
    let sky = Sky::embedded().unwrap();
    for rigs in [1, 2, 4, 8, 9, 12] {
        for targets in [1, 7, 22, 40] {
            let kit = kit_with(rigs, targets);
            for paper in Paper::ALL {
                let options = SheetOptions { paper, ..SheetOptions::default() };
                let pages = made(&kit, &sky, &options).pages();
                let what = format!("{rigs} rigs, {targets} targets, {}", paper.label());
                assert!((1..=MOST_PAGES).contains(&pages.len()), "{what}: {} pages", pages.len());
                for (place, page) in pages.iter().enumerate() {
                    assert_eq!((page.scene.width_pt, page.scene.height_pt), paper.size_pt());
                    collisions(page, &format!("{what}, page {}", place + 1));
                }
            }
        }
    }
}

#[test]
fn names_of_absurd_length_are_cut() {
    let sky = Sky::embedded().unwrap();
    let mut kit = kit_with(12, 30);
    let long = |words: &str, count: usize| format!("{words} ").repeat(count).trim().to_owned();
    kit.name = long("The Society of Amateurs", 80);
    kit.site.name = long("A hill", 90);
    kit.limits.currency = "doubloons of the realm".to_owned();
    for (place, rig) in kit.rigs.iter_mut().enumerate() {
        rig.name = format!("{} {place}", long("A telescope, old and heavy,", 14));
    }
    for mount in &mut kit.mounts {
        let name = format!("{} {}", long("Mount of", 40), mount.name);
        let own = kit.rigs.iter_mut().filter(|rig| rig.mount == mount.name);
        own.for_each(|rig| rig.mount.clone_from(&name));
        mount.name = name;
    }
    let target = long("Some cloud", 50);
    kit.wish_list[0] = Wish::Custom {
        name: target.clone(),
        ra_deg: 10.0,
        dec_deg: 40.0,
        major_arcmin: Some(60.0),
        minor_arcmin: None,
        pa_deg: None,
        surface_brightness_mag_arcsec2: None,
    };
    let options = SheetOptions { target: Some(target), ..SheetOptions::default() };
    let pages = made(&kit, &sky, &options).pages();
    assert!(pages.len() <= MOST_PAGES, "{} pages", pages.len());
    for (place, page) in pages.iter().enumerate() {
        collisions(page, &format!("long names, page {}", place + 1));
    }
}

/// What is far beyond all that a kit file may hold must not break the sheet either.
#[test]
fn absurd_parts_do_not_break_it() {
    let sky = Sky::embedded().unwrap();
    for number in [1e-300, 1e-9, 1e9, 1e300] {
        let mut kit = demo();
        kit.otas[0].focal_length_mm = number;
        kit.otas[1].aperture_mm = number.max(1e-6);
        kit.otas[1].mass_kg = number;
        kit.cameras[0].pixel_um = number;
        kit.mounts[1].payload_kg = number;
        kit.limits.budget = Some(number);
        kit.site.seeing_fwhm_arcsec = number;
        let sheet = made(&kit, &sky, &SheetOptions::default());
        let pages = sheet.pages();
        assert!(pages.len() <= MOST_PAGES, "{number}: {} pages", pages.len());
        for (place, page) in pages.iter().enumerate() {
            collisions(page, &format!("{number}, page {}", place + 1));
        }
        for format in SheetFormat::ALL {
            assert!(sheet.file(format).unwrap().len() > 20_000, "{number}");
        }
    }
}

#[test]
fn what_is_left_out_is_counted() {
    let sky = Sky::embedded().unwrap();
    let (kit, options) = (kit_with(12, 40), SheetOptions::default());
    let sheet = made(&kit, &sky, &options);
    let pages = sheet.pages();
    let texts: Vec<String> =
        pages.iter().flat_map(|page| page.scene.texts()).map(|text| text.text).collect();
    let begins = |name: &str| texts.iter().filter(|text| text.starts_with(name)).count();
    // Each target that stays stands in both lists; the rest is counted under both.
    let names = ["M 33", "NGC 891", "M 45", "M 42"];
    for name in names {
        assert_eq!(begins(&format!("{name}  ")), 2, "{name}");
    }
    let more: Vec<usize> = texts
        .iter()
        .filter(|text| {
            text.starts_with("and ") && text.ends_with("in the HTML form of this sheet.")
        })
        .filter_map(|text| text.split(' ').nth(1)?.parse().ok())
        .collect();
    // Calendar, matrix and reasons.
    assert_eq!(more.len(), 3, "{texts:?}");
    let listed = kit.wish_list.iter().filter(|wish| {
        let name = wish.name();
        texts.iter().any(|text| text == name || text.starts_with(&format!("{name}  ")))
    });
    // The framed target stands in a heading too.
    assert_eq!(listed.count(), 40 - more[0]);
    assert_eq!(more[0], more[1]);
    let html = sheet.html();
    for wish in &kit.wish_list {
        assert!(html.matches(wish.name()).count() >= 3, "{} in every table", wish.name());
    }
    for finding in &sheet.facts().choice.findings {
        let text = finding.text.replace('\'', "&#39;");
        assert!(html.contains(&text), "{text}");
    }
}

/// The words of a page that stand on a line, from left to right.
fn row(texts: &[TextMark], baseline: f64) -> Vec<String> {
    let mut row: Vec<&TextMark> =
        texts.iter().filter(|text| (text.at[1] - baseline).abs() < 1e-6).collect();
    row.sort_by(|a, b| a.left().total_cmp(&b.left()));
    row.into_iter().map(|text| text.text.clone()).collect()
}

/// On paper and in the HTML, a row a rig, whatever else has to give way.
#[test]
fn it_is_told_what_each_rig_is_made_of() {
    let sky = Sky::embedded().unwrap();
    for (rigs, targets) in [(1, 1), (6, 22), (7, 22), (12, 40)] {
        let kit = kit_with(rigs, targets);
        let sheet = made(&kit, &sky, &SheetOptions::default());
        let texts = |page: &PdfPage| page.scene.texts();
        let is_head = |text: &TextMark| text.text == "What each rig is made of";
        let page = sheet.pages().iter().map(texts).find(|texts| texts.iter().any(is_head)).unwrap();
        let head = page.iter().find(|text| is_head(text)).unwrap().at[1];
        let below: Vec<Vec<String>> = page
            .iter()
            .filter(|text| text.at[1] > head && text.text.parse::<usize>().is_ok())
            .map(|number| row(&page, number.at[1]))
            .take(rigs)
            .collect();
        assert_eq!(below.len(), rigs);
        let html = sheet.html();
        for (place, (rig, row)) in kit.rigs.iter().zip(below).enumerate() {
            let corrector = rig.corrector.clone().unwrap_or_else(|| "–".to_owned());
            let parts = [rig.ota.clone(), corrector, rig.camera.clone(), rig.mount.clone()];
            assert_eq!(row[0], format!("{}", place + 1), "{row:?}");
            assert!(rig.name.starts_with(row[1].trim_end_matches('…')), "{row:?}");
            assert_eq!(row[2..], parts);
            let cells: String = parts.iter().map(|part| format!("<td>{part}</td>")).collect();
            let told = format!("<th scope=\"row\">{} {}</th>{cells}</tr>", place + 1, rig.name);
            assert!(html.contains(&told), "{told}");
        }
    }
}

/// Every target in every rig: with its fills and their key, or without both.
#[test]
fn the_key_is_that_of_what_is_printed() {
    let sky = Sky::embedded().unwrap();
    for (rigs, has_fills) in [(2, true), (6, true), (8, true), (12, false)] {
        let sheet = made(&kit_with(rigs, 22), &sky, &SheetOptions::default());
        let pages: Vec<Vec<TextMark>> =
            sheet.pages().iter().map(|page| page.scene.texts()).collect();
        let lines: Vec<&str> = pages.iter().flatten().map(|text| text.text.as_str()).collect();
        let has_key = lines.join(" ").contains("The number is the fill");
        let is_measured = |line: &&&str| {
            let number = line.strip_prefix("whole ").or(line.strip_prefix("spills "));
            number.is_some_and(|number| number.parse::<f64>().is_ok())
        };
        let measured = lines.iter().filter(is_measured).count();
        assert_eq!((has_key, measured > 15 * rigs), (has_fills, has_fills), "{rigs}: {measured}");
        assert!(has_fills || measured == 0, "{rigs}: {measured}");
        // A cell keeps clear of the next one's sign.
        for texts in &pages {
            for sign in texts.iter().filter(|text| ["●", "▲", "■"].contains(&text.text.as_str()))
            {
                let before = texts.iter().filter(|text| {
                    (text.at[1] - sign.at[1]).abs() < 1e-6 && text.left() < sign.left()
                });
                for text in before {
                    let gap = sign.left() - text.bounds().right;
                    assert!(gap > 4.0, "{rigs}: {gap} behind {:?}", text.text);
                }
            }
        }
    }
}

/// Words of the trade that stand on the page of demands, where the section of words has no room.
#[test]
fn words_of_the_demands_are_explained_beside_them() {
    let sky = Sky::embedded().unwrap();
    for rigs in [6, 8] {
        let kit = if rigs == 6 { demo() } else { kit_with(rigs, 22) };
        let pages = made(&kit, &sky, &SheetOptions::default()).pages();
        let joined = |page: &PdfPage| {
            let texts = page.scene.texts().into_iter().map(|text| text.text);
            texts.collect::<Vec<_>>().join(" ")
        };
        let page = pages.iter().map(joined).find(|page| page.contains("Delivered FWHM")).unwrap();
        for told in [
            "FWHM: full width at half maximum: how wide a star is",
            "RMS: root mean square",
            "Resolution element: a patch as wide as a star comes out",
            "Depth of focus: how far the focus may be off",
        ] {
            assert!(page.contains(told), "{rigs}: {told}");
        }
    }
}

#[test]
fn targets_with_more_stars_stay_longest() {
    let sky = Sky::embedded().unwrap();
    let mut kit = kit_with(12, 40);
    kit.set_stars("NGC 7000", 5);
    let pages = made(&kit, &sky, &SheetOptions::default()).pages();
    let texts = pages.iter().flat_map(|page| page.scene.texts());
    assert_eq!(texts.filter(|text| text.text.starts_with("NGC 7000  ")).count(), 2);
}

#[test]
fn a_page_is_told_to_those_who_do_not_see_it() {
    let sky = Sky::embedded().unwrap();
    let pages = made(&demo(), &sky, &SheetOptions::default()).pages();
    assert_eq!(pages.len(), 3);
    let mut headings = Vec::new();
    let mut pictures = Vec::new();
    for page in &pages {
        let marks: usize = page.parts.iter().map(|part| part.marks).sum();
        assert_eq!(marks, page.scene.items.len(), "every mark belongs to a part");
        for part in &page.parts {
            match &part.role {
                Role::Heading(_, words) => headings.push(words.clone()),
                Role::Picture(words) => pictures.push(words.clone()),
                Role::Paragraph | Role::Ornament => {}
            }
        }
    }
    assert_eq!(
        headings,
        [
            "Brumelle beginners' circle: comparison sheet",
            "What each rig sees of M 31, Andromeda Galaxy",
            "Reckoned with",
            "What each rig demands",
            "When the wish list is up, and which focal lengths suit it",
            "Every target in every rig",
            "Reasons, with their figures",
            "Mind",
            "Sources",
        ]
    );
    assert_eq!(pictures.len(), 1);
    for words in ["Short refractor whole", "Compound spills, 15 panels", "Camera lens whole"] {
        assert!(pictures[0].contains(words), "{}", pictures[0]);
    }
}

/// Everything that the design asks to be said on every sheet.
#[test]
fn a_sheet_says_what_it_must() {
    let sky = Sky::embedded().unwrap();
    let sheet = made(&demo(), &sky, &SheetOptions::default());
    let paper: String = sheet
        .pages()
        .iter()
        .flat_map(|page| page.scene.texts())
        .map(|text| text.text + " ")
        .collect();
    let html = sheet.html();
    let about = [
        "Nights of 2026",
        concat!("Fieldstop ", env!("CARGO_PKG_VERSION")),
        "Brumelle plateau",
        "Never point any optics at or near the Sun",
        "local manual-handling guidance",
        "Mains electricity, batteries and dew",
        "Planning figures are estimates",
        "Stars fainter than V 9.5 are synthetic",
        "OpenNGC",
        "ESA/Gaia/DPAC",
        "CC BY-SA 3.0 IGO",
        "CC BY-SA 4.0",
        "2.40″ at the zenith, give or take 30 %",
        "2,500 EUR",
        "common practice",
    ];
    for words in about {
        assert!(paper.contains(words), "paper: {words}");
        assert!(html.contains(words), "HTML: {words}");
    }
}

/// The name that the person uses leads, an outline drawn by hand is told, and words are explained.
#[test]
fn a_sheet_is_in_the_persons_words_and_explains_the_trades() {
    let sky = Sky::embedded().unwrap();
    let mut kit = demo();
    kit.wish_list = vec![Wish::Named("IC 1805".to_owned()), Wish::Named("M 31".to_owned())];
    kit.set_outline(DrawnOutline {
        target: "IC 1805".to_owned(),
        corners_deg: vec![(37.0, 61.0), (39.5, 61.0), (38.0, 62.5)],
    });
    let sheet = made(&kit, &sky, &SheetOptions::default());
    let texts = sheet.pages().into_iter().flat_map(|page| page.scene.texts());
    let paper: String = texts.map(|text| text.text + " ").collect();
    let html = sheet.html();
    for (words, place) in [(&paper, "paper"), (&html, "HTML")] {
        for said in [
            "What each rig sees of IC 1805, Heart Nebula, Sh2-190",
            "outline drawn by hand, ",
            "drawn by hand: IC 1805;",
            "one picture of several that are joined to a mosaic",
            "how wide a star is at half its brightness",
        ] {
            assert!(words.contains(said), "{place}: {said}");
        }
        // No mount of this kit is told in these words.
        assert!(!words.contains("the distance that a corrector wants"), "{place}");
    }
    assert!(!html.contains(">Sh2-190"), "the catalogue's name leads nowhere");
}

#[test]
fn what_cannot_be_said_is_said_so() {
    let sky = Sky::embedded().unwrap();
    let words = |kit: &Kit, target: &str| -> String {
        let options = SheetOptions { target: Some(target.to_owned()), ..SheetOptions::default() };
        let sheet = made(kit, &sky, &options);
        for (place, page) in sheet.pages().iter().enumerate() {
            collisions(page, &format!("{target}, page {}", place + 1));
        }
        let texts = sheet.pages().into_iter().flat_map(|page| page.scene.texts());
        texts.map(|text| text.text + " ").collect()
    };
    let mut kit = demo();
    // The Small Magellanic Cloud, declination -73: from 44 degrees north never above the horizon.
    let never = words(&kit, "NGC 292");
    assert!(never.contains("NGC 292 never rises at this site"), "{never}");

    // 70 degrees north has no astronomical night in summer.
    kit.site.latitude_deg = 70.0;
    kit.site.clear_fraction = vec![0.3; 12];
    kit.site.clear_fraction[5] = 0.55;
    let north = words(&kit, "M 31");
    assert!(north.contains("No astronomical night from"), "{north}");
    assert!(north.contains("30 % in Jan to 55 % in Jun"), "{north}");

    kit.rigs.iter_mut().for_each(|rig| rig.shown = false);
    kit.wish_list.clear();
    let bare = words(&kit, "M 31");
    assert!(bare.contains("The wish list is empty"), "{bare}");
    assert!(bare.contains("No wish list: nothing to choose by yet"), "{bare}");
}

#[test]
fn what_a_kit_lacks_is_told() {
    let sky = Sky::embedded().unwrap();
    let told =
        |kit: &Kit, options: &SheetOptions| match Sheet::new(kit, &sky, options, &mut |_| true) {
            Ok(_) => panic!("there is a sheet"),
            Err(why) => why,
        };
    let (mut kit, options) = (demo(), SheetOptions::default());
    let nowhere = SheetOptions { target: Some("M 999".to_owned()), ..options.clone() };
    assert!(matches!(told(&kit, &nowhere), SheetError::Target { .. }));
    kit.wish_list.clear();
    assert!(matches!(told(&kit, &options), SheetError::NoTargets));
    kit.rigs.clear();
    assert!(matches!(told(&kit, &options), SheetError::Empty));
    kit.wish_list = demo().wish_list;
    assert!(matches!(told(&kit, &options), SheetError::NoRigs));
}

#[test]
fn whoever_waits_can_stop_it() {
    let sky = Sky::embedded().unwrap();
    let (kit, options) = (demo(), SheetOptions::default());
    let mut shares = Vec::new();
    let mut note = |share| {
        shares.push(share);
        true
    };
    let whole = sheet(&kit, &sky, &options, SheetFormat::Pdf, &mut note).unwrap();
    assert!(shares.is_sorted() && shares.len() > 300, "progress is told, {}", shares.len());
    assert!(whole.starts_with(b"%PDF"));
    for stop_at in [0, 100, 366, shares.len() - 1] {
        let mut asked = 0;
        let mut go_on = |_| {
            asked += 1;
            asked <= stop_at
        };
        let stopped = sheet(&kit, &sky, &options, SheetFormat::Pdf, &mut go_on);
        assert!(matches!(stopped, Err(SheetError::Stopped)), "after {stop_at}");
    }
}

/// Years and papers at the ends of what may be asked for.
#[test]
fn every_year_and_paper_that_is_promised_can_be_made() {
    let sky = Sky::embedded().unwrap();
    for (year, paper) in [(1950, Paper::A4), (2100, Paper::Letter)] {
        let options = SheetOptions { year, paper, ..SheetOptions::default() };
        let sheet = made(&kit_with(3, 5), &sky, &options);
        assert!(sheet.file(SheetFormat::Pdf).unwrap().len() > 20_000);
        assert!(sheet.html().contains(&format!("Nights of {year}")));
    }
}
