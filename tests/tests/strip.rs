//! The strip: panels side by side, at one scale or of one size.
//!
//! Where a frame's corners fall in a picture is computed here with the TAN formulas of Calabretta &
//! Greisen 2002, A&A 395, 1077, turned by the position angle, apart from the program's projection.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test fails by panicking")]

mod apart;

use apart::names_on_the_sky_stay_apart;
use fieldstop::kit::Kit;
use fieldstop_gui::paint::{png, svg};
use fieldstop_gui::scene::primitive::{Bounds, TextMark};
use fieldstop_gui::sketch::{Format, PageGround, PageSize, PageStyle};
use fieldstop_gui::sky::Sky;
use fieldstop_gui::strip::{Over, Panel, Same, StripOptions, StripPage, page, strip};
use jiff::civil::date;
use resvg::tiny_skia::{Pixmap, Transform};
use resvg::usvg;

const LANDSCAPE: PageSize = PageSize::Paper { width_mm: 180.0, height_mm: 120.0, dpi: 200.0 };
const A4: PageSize = PageSize::Paper { width_mm: 210.0, height_mm: 297.0, dpi: 150.0 };
const POSTER: PageSize = PageSize::Paper { width_mm: 594.0, height_mm: 420.0, dpi: 100.0 };
const SCREEN: PageSize = PageSize::Pixels { width: 1920, height: 1080 };

/// The demo kit with so many rigs, every second with a name of inconvenient length.
fn kit_with(rigs: usize) -> Kit {
    let mut kit: Kit = ron::from_str(include_str!("../../assets/demo-kit.ron")).unwrap();
    kit.rigs.truncate(rigs);
    while kit.rigs.len() < rigs {
        let place = kit.duplicate_rig(kit.rigs.len() % 3).unwrap();
        if place.is_multiple_of(2) {
            kit.rigs[place].name =
                format!("A rig with a name longer than its panel, number {place}");
        }
    }
    kit.rigs.iter_mut().for_each(|rig| rig.shown = true);
    kit
}

fn over_rigs(target: &str, same: Same, size: PageSize) -> StripOptions {
    let over = Over::Rigs { target: target.to_owned() };
    StripOptions { over, same, style: PageStyle::new(size) }
}

fn over_targets(rig: &str, targets: &[&str], same: Same, size: PageSize) -> StripOptions {
    let targets = targets.iter().map(|&name| name.to_owned()).collect();
    let over = Over::Targets { rig: rig.to_owned(), targets };
    StripOptions { over, same, style: PageStyle::new(size) }
}

/// Words inside the page and apart from each other, pictures apart, and no word of the page on a
/// picture.
fn check_layout(page: &StripPage, what: &str) {
    let bounds = page.scene.bounds();
    let texts = page.scene.texts();
    names_on_the_sky_stay_apart(&texts, what);
    for (place, text) in texts.iter().enumerate() {
        let here = text.bounds();
        assert!(bounds.encloses(&here), "{what}: {:?} leaves the page", text.text);
        for other in &texts[..place] {
            let lies = here.overlaps(&other.bounds());
            assert!(!lies, "{what}: {:?} lies over {:?}", text.text, other.text);
        }
    }
    let of_the_page: Vec<&TextMark> = texts.iter().filter(|text| text.halo.is_none()).collect();
    for (place, panel) in page.panels.iter().enumerate() {
        assert!(bounds.encloses(&panel.bounds), "{what}: {} leaves the page", panel.name);
        let apart = |other: &Panel| !other.bounds.overlaps(&panel.bounds);
        assert!(page.panels[..place].iter().all(apart), "{what}: {} overlaps", panel.name);
        for text in &of_the_page {
            assert!(!panel.bounds.overlaps(&text.bounds()), "{what}: {:?} on a panel", text.text);
        }
    }
}

#[test]
fn one_to_twelve_panels_never_overlap_nor_leave_the_page() {
    let sky = Sky::embedded().unwrap();
    for rigs in 1..=12 {
        let kit = kit_with(rigs);
        for size in [LANDSCAPE, A4, POSTER, SCREEN] {
            for same in [Same::Scale, Same::Size] {
                let mut options = over_rigs("M 31", same, size);
                options.style.ground =
                    if rigs % 2 == 0 { PageGround::Light } else { PageGround::Dark };
                options.style.night = (rigs % 3 == 0).then(|| date(2026, 9, 12));
                let page = page(&kit, &sky, &options).unwrap();
                assert_eq!(page.panels.len(), rigs);
                check_layout(&page, &format!("{rigs} rigs, {same:?}, {}", size.words()));
            }
        }
    }
}

#[test]
fn a_rig_over_one_to_twelve_targets_is_laid_out_as_well() {
    let (kit, sky) = (kit_with(2), Sky::embedded().unwrap());
    let all = [
        "M 1", "M 31", "NGC 7000", "M 42", "M 57", "M 51", "M 101", "M 45", "B 33", "NGC 891",
        "M 33", "M 81",
    ];
    for count in 1..=12 {
        for (size, same) in [(LANDSCAPE, Same::Size), (A4, Same::Scale), (SCREEN, Same::Size)] {
            let mut options = over_targets(&kit.rigs[0].name, &all[..count], same, size);
            // M 1 is near the Sun then, so that there is a caution.
            options.style.night = Some(date(2026, 6, 14));
            let page = page(&kit, &sky, &options).unwrap();
            let names: Vec<&str> = page.panels.iter().map(|panel| panel.name.as_str()).collect();
            assert_eq!(names, all[..count]);
            let what = format!("{count} targets, {same:?}, {}", size.words());
            check_layout(&page, &what);
            let words: Vec<String> = page.scene.texts().into_iter().map(|t| t.text).collect();
            assert!(words.join(" ").contains("at or near the Sun"), "{what}");
        }
    }
}

#[test]
fn at_the_same_scale_an_angle_is_equally_long_everywhere() {
    let (kit, sky) = (kit_with(6), Sky::embedded().unwrap());
    let page = page(&kit, &sky, &over_rigs("M 31", Same::Scale, A4)).unwrap();
    let scale = page.panels[0].view.pt_per_tangent();
    for panel in &page.panels {
        assert!((panel.view.pt_per_tangent() / scale - 1.0).abs() < 1e-12, "{}", panel.name);
        for corner in panel.frame.corners() {
            let at = panel.view.point(corner).unwrap();
            assert!(panel.view.bounds().contains(at), "{} is cut off", panel.name);
        }
    }
}

#[test]
fn at_the_same_size_every_frame_fills_its_panel_the_right_way_up() {
    let (kit, sky) = (kit_with(6), Sky::embedded().unwrap());
    for target in ["M 31", "NGC 7000"] {
        let page = page(&kit, &sky, &over_rigs(target, Same::Size, LANDSCAPE)).unwrap();
        let width = page.panels[0].bounds.width();
        for Panel { name, bounds, view, frame } in &page.panels {
            assert!((bounds.width() - width).abs() < 1e-9, "{name}");
            let wanted = Bounds::at(0.0, 0.0, bounds.width(), bounds.height()).corners();
            for (corner, wanted) in frame.corners().into_iter().zip(wanted) {
                let (d, d0) = (corner.dec().rad(), frame.centre.dec().rad());
                let da = (corner.ra() - frame.centre.ra()).rad();
                let depth = d.sin() * d0.sin() + d.cos() * d0.cos() * da.cos();
                let east = d.cos() * da.sin() / depth;
                let north = (d.sin() * d0.cos() - d.cos() * d0.sin() * da.cos()) / depth;
                let (sin, cos) = frame.rotation.sin_cos();
                let scale = bounds.width() / 2.0 / frame.field.half_width;
                let found = [
                    bounds.width() / 2.0 - scale * (east * cos - north * sin),
                    bounds.height() / 2.0 - scale * (east * sin + north * cos),
                ];
                let drawn = view.point(corner).unwrap();
                for axis in 0..2 {
                    assert!((found[axis] - wanted[axis]).abs() < 1e-6, "{name}: {found:?}");
                    assert!((drawn[axis] - wanted[axis]).abs() < 1e-6, "{name}: {drawn:?}");
                }
            }
        }
    }
}

/// As for the sketch: resvg softens edges in its own way, and stars thinner than a pixel are drawn
/// by area in one and by light in the other.
#[test]
fn a_strip_looks_alike_as_png_and_svg() {
    let (kit, sky) = (kit_with(12), Sky::embedded().unwrap());
    for (same, ground) in [(Same::Scale, PageGround::Light), (Same::Size, PageGround::Dark)] {
        let mut options = over_rigs("M 31", same, A4);
        options.style.ground = ground;
        let page = page(&kit, &sky, &options).unwrap();
        let px_per_pt = 1.3;
        let bitmap = png::render(&page.scene, px_per_pt).unwrap();
        let document = svg::render(&page.scene);
        let tree = usvg::Tree::from_str(&document, &usvg::Options::default()).unwrap();
        let scale = (page.scene.width_pt * px_per_pt) as f32 / tree.size().width();
        let mut drawn = Pixmap::new(bitmap.width(), bitmap.height()).unwrap();
        resvg::render(&tree, Transform::from_scale(scale, scale), &mut drawn.as_mut());
        if let Ok(folder) = std::env::var("FIELDSTOP_PICTURES") {
            drawn.save_png(format!("{folder}/strip-{same:?}.png")).unwrap();
        }
        let pixels = bitmap.data().chunks(4).zip(drawn.data().chunks(4));
        let sum: u64 = pixels
            .map(|(one, other)| (0..3).map(|k| u64::from(one[k].abs_diff(other[k]))).max().unwrap())
            .sum();
        let mean = sum as f64 / f64::from(bitmap.width() * bitmap.height());
        println!("{same:?}: mean {mean:.3} of 255");
        assert!(mean < 1.5, "{same:?}: {mean}");
    }
}

#[test]
fn what_cannot_be_drawn_is_refused_in_words() {
    let (kit, sky) = (kit_with(3), Sky::embedded().unwrap());
    let told = |kit: &Kit, options: &StripOptions| {
        let nothing = &mut |_| panic!("nothing is begun");
        strip(kit, &sky, options, Format::Png, nothing).unwrap_err().to_string()
    };
    let m31 = |size| over_rigs("M 31", Same::Scale, size);
    assert!(told(&kit_with(13), &m31(A4)).contains("13 shown rigs"));
    assert!(told(&kit_with(0), &m31(A4)).contains("0 shown rigs"));
    let stamp = PageSize::Paper { width_mm: 40.0, height_mm: 30.0, dpi: 100.0 };
    assert!(told(&kit, &m31(stamp)).contains("no room for 3 panels"));
    assert!(told(&kit, &m31(PageSize::Pixels { width: 0, height: 0 })).contains("width is 0"));
    let huge = PageSize::Pixels { width: 60_000, height: 60_000 };
    assert!(told(&kit, &m31(huge)).contains("width is 60000 pixels; expected 16 to 20000"));
    assert!(told(&kit, &over_rigs("M 999", Same::Size, A4)).contains("no target \"M 999\""));
    let nobody = over_targets("Nobody's", &["M 31"], Same::Size, A4);
    assert!(told(&kit, &nobody).contains("no rig \"Nobody's\""));
    let many = ["M 31"; 13];
    let many = over_targets(&kit.rigs[0].name, &many, Same::Size, A4);
    assert!(told(&kit, &many).contains("13 targets"));
}

#[test]
fn a_long_wish_list_is_begun_and_that_is_said() {
    let (kit, sky) = (kit_with(2), Sky::embedded().unwrap());
    let all = kit.wish_list.len();
    assert!(all > 12, "the demo kit wishes for {all} targets");
    let options = over_targets(&kit.rigs[0].name, &[], Same::Size, A4);
    let page = page(&kit, &sky, &options).unwrap();
    assert_eq!(page.panels.len(), 12);
    let said = format!("The first 12 of the wish list's {all} targets.");
    assert!(page.scene.texts().iter().any(|text| text.text == said));
}

#[test]
fn the_same_command_gives_the_same_bytes_and_can_be_stopped() {
    let (kit, sky) = (kit_with(4), Sky::embedded().unwrap());
    let options = over_rigs("M 51", Same::Size, LANDSCAPE);
    for format in [Format::Png, Format::Svg] {
        let draw = || strip(&kit, &sky, &options, format, &mut |_| true).unwrap();
        assert_eq!(draw(), draw());
        let stopped = strip(&kit, &sky, &options, format, &mut |_| false).unwrap_err();
        assert_eq!(stopped.to_string(), "stopped before the picture was done");
    }
}
