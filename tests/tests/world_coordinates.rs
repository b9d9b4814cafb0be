//! World coordinates that are written, read back by a library that shares nothing with ours.
//!
//! Sources: `reference/tan_projection.csv`, made by wcslib (in astropy 8.0.2; versions in
//! `reference/MANIFEST.csv`); the crate `wcs` 0.4, an implementation of Calabretta & Greisen 2002,
//! A&A 395, 1077, of its own. The tolerance of 0.1 pixel is what a planner needs; what is found is
//! far less.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test fails by panicking")]

use fieldstop::fits_header::fits_header;
use fieldstop::kit::Kit;
use fieldstop::world_coordinates::WorldCoordinates;
use fieldstop::{Angle, Direction, Field, Frame, Icrs};
use fieldstop_gui::avm;
use fieldstop_gui::files::demo_kit;
use fieldstop_gui::sketch::{Format, PageSize, SketchOptions, page, sketch};
use fieldstop_gui::sky::Sky;
use fieldstop_tests::{Judge, reference_rows};
use fitsio_pure::header::{Card, parse_header_blocks};
use fitsio_pure::value::Value;
use serde::Deserialize;
use wcs::{ImgXY, LonLat, WCS, WCSParams};

fn place(ra_deg: f64, dec_deg: f64) -> Direction<Icrs> {
    Direction::from_ra_dec(Angle::from_deg(ra_deg), Angle::from_deg(dec_deg))
}

#[derive(Deserialize)]
struct Row {
    id: u32,
    kind: String,
    ra0_deg: f64,
    dec0_deg: f64,
    pa_deg: f64,
    scale_arcsec_per_px: f64,
    w_px: u32,
    h_px: u32,
    ra_deg: f64,
    dec_deg: f64,
    fits_x_px: Option<f64>,
    fits_y_px: Option<f64>,
}

/// Tolerances as the table's README names them: 0.01 px, or 1e-9 of the value 85 degrees off.
#[test]
fn pixels_agree_with_wcslib() {
    let mut near = Judge::new("pixel as FITS counts them", 0.01, "px");
    let mut far = Judge::new("pixel 85 degrees off, relative", 1e-9, "of its value");
    for row in reference_rows::<Row>("tan_projection.csv") {
        let half = |pixels: u32| {
            Angle::from_arcsec(row.scale_arcsec_per_px).rad() * f64::from(pixels) / 2.0
        };
        let frame = Frame {
            centre: place(row.ra0_deg, row.dec0_deg),
            rotation: Angle::from_deg(row.pa_deg),
            field: Field { half_width: half(row.w_px), half_height: half(row.h_px) },
        };
        let map = WorldCoordinates::of_frame(&frame, row.w_px, row.h_px);
        let found = map.pixel(place(row.ra_deg, row.dec_deg));
        match (row.fits_x_px, row.fits_y_px, found) {
            (Some(x), Some(y), Some([found_x, found_y])) => {
                let miss = (found_x - x).hypot(found_y - y);
                if row.kind == "off85" {
                    far.row(row.id, miss / x.hypot(y));
                } else {
                    near.row(row.id, miss);
                }
            }
            (None, None, None) => near.row(row.id, 0.0),
            _ => near.row(row.id, f64::NAN),
        }
    }
    near.verdict(180);
    far.verdict(10);
}

/// The cards of a header as the independent library wants them.
fn params(cards: &[Card]) -> WCSParams {
    let mut fields = serde_json::Map::new();
    for card in cards {
        let value = match &card.value {
            Some(Value::Integer(whole)) => (*whole).into(),
            Some(Value::Float(real)) => (*real).into(),
            Some(Value::String(text)) => text.trim_end().into(),
            _ => continue,
        };
        fields.insert(card.keyword_str().to_owned(), value);
    }
    serde_json::from_value(fields.into()).unwrap()
}

/// Pixels of the frames below.
const PIXELS: (u32, u32) = (6248, 4176);
/// A field whose pixels are square.
const SQUARE: Field =
    Field { half_width: 0.034, half_height: 0.034 * PIXELS.1 as f64 / PIXELS.0 as f64 };

/// Frames at several declinations, poles and 0 h among them, turned by several angles, their
/// pixels square or not.
fn frames() -> impl Iterator<Item = Frame> {
    let declinations = [-90.0, -89.5, -41.7, 0.0, 23.4, 60.0, 85.0, 89.5, 90.0];
    let rotations = [0.0, 17.3, 90.0, 180.0, 268.9];
    let half_heights = [SQUARE.half_height, 0.9 * SQUARE.half_height];
    declinations.into_iter().flat_map(move |dec_deg| {
        let shapes = rotations.into_iter().flat_map(move |turn| half_heights.map(|h| (turn, h)));
        shapes.map(move |(rotation_deg, half_height)| Frame {
            centre: place(if dec_deg == 0.0 { 0.0 } else { 211.3 }, dec_deg),
            rotation: Angle::from_deg(rotation_deg),
            field: Field { half_height, ..SQUARE },
        })
    })
}

#[test]
fn a_written_header_leads_to_the_same_places_in_another_library() {
    let mut pixels = Judge::new("pixel by the header", 0.1, "px");
    let mut places = Judge::new("place by the header", 0.1, "px");
    let (width, height) = PIXELS;
    for (number, frame) in frames().enumerate() {
        let map = WorldCoordinates::of_frame(&frame, width, height);
        let header = fits_header(&map, "M 31", &["A remark.".to_owned()]);
        let cards = parse_header_blocks(header.as_bytes()).unwrap();
        let theirs = WCS::new(&params(&cards)).unwrap();
        for (x, y) in [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0), (0.0, 0.0), (0.3, -0.8)]
        {
            let place = frame.point(x, y);
            // Half sides with y down, to pixels whose first middle is 1 at the bottom.
            let wanted = [
                f64::from(width) * (x + 1.0) / 2.0 + 0.5,
                f64::from(height) * (1.0 - y) / 2.0 + 0.5,
            ];
            // The library turns the matrix of pixels that are not square round wrongly on its way
            // from the sky; from the pixels it leads right.
            let is_square = frame.field == SQUARE;
            let lonlat = LonLat::new(place.ra().rad(), place.dec().rad());
            let found = theirs.proj(&lonlat).unwrap();
            let miss = (found.x() - wanted[0]).hypot(found.y() - wanted[1]);
            if is_square {
                pixels.row(format_args!("frame {number} at {x}, {y}"), miss);
            }
            let back = theirs.unproj(&ImgXY::new(wanted[0], wanted[1])).unwrap();
            let back =
                Direction::from_ra_dec(Angle::from_rad(back.lon()), Angle::from_rad(back.lat()));
            places.row(
                format_args!("frame {number} at {x}, {y}"),
                back.separation(place).rad() / map.scale().rad(),
            );
        }
    }
    pixels.verdict(250);
    places.verdict(500);
}

fn demo() -> (Kit, Sky) {
    let sky = Sky::embedded().unwrap();
    let kit = demo_kit(&|name| sky.catalogue.named(name).is_some()).unwrap();
    (kit, sky)
}

fn options(width: u32, height: u32) -> SketchOptions {
    SketchOptions::new("M 31", PageSize::Pixels { width, height })
}

/// The XMP packet of a PNG, found by the library that reads it.
fn packet(png: &[u8]) -> String {
    let reader = png::Decoder::new(std::io::Cursor::new(png)).read_info().unwrap();
    let info = reader.info();
    let text = info.utf8_text.iter().find(|text| text.keyword == "XML:com.adobe.xmp").unwrap();
    text.get_text().unwrap()
}

/// The XMP packet of an SVG: what its `metadata` holds (XMP specification, part 3).
fn svg_packet(svg: &[u8]) -> String {
    let text = str::from_utf8(svg).unwrap();
    let document = roxmltree::Document::parse(text).unwrap();
    let is_it = |node: &roxmltree::Node<'_, '_>| {
        node.has_tag_name(("http://www.w3.org/2000/svg", "metadata"))
    };
    let metadata = document.root_element().children().find(is_it).unwrap();
    assert!(metadata.descendants().any(|node| node.has_tag_name(("adobe:ns:meta/", "xmpmeta"))));
    let text = &text[metadata.range()];
    text[text.find('>').unwrap() + 1..text.rfind('<').unwrap()].to_owned()
}

/// Frame corners found in the file's own metadata stand where the page draws them.
#[test]
fn a_sketch_carries_its_place_on_the_sky() {
    let (kit, sky) = demo();
    let mut judge = Judge::new("corner by the sketch's metadata", 0.1, "px");
    for (width, height) in [(1200, 800), (2401, 1603), (1000, 1400)] {
        let options = options(width, height);
        let page = page(&kit, &sky, &options).unwrap();
        let file = |format| sketch(&kit, &sky, &options, format, &mut |_| true).unwrap();
        let text = packet(&file(Format::Png));
        assert_eq!(svg_packet(&file(Format::Svg)), text);
        let map = avm::coordinates(text.as_bytes(), (width, height)).unwrap().unwrap();
        for drawn in &page.frames {
            for corner in drawn.frame.corners() {
                let [x, y] = page.view.point(corner).unwrap();
                let wanted = [
                    (page.sky_origin[0] + x) * page.px_per_pt + 0.5,
                    f64::from(height) - (page.sky_origin[1] + y) * page.px_per_pt + 0.5,
                ];
                let [found_x, found_y] = map.pixel(corner).unwrap();
                let miss = (found_x - wanted[0]).hypot(found_y - wanted[1]);
                judge.row(format_args!("{} at {width} x {height}", drawn.name), miss);
            }
        }
        for words in
            ["synthetic", "not a photograph", "OpenNGC", "The coordinates hold for the sky"]
        {
            assert!(text.contains(words), "{words}: {text}");
        }
    }
    judge.verdict(50);
}

#[test]
fn the_same_sketch_twice_is_the_same_file() {
    let (kit, sky) = demo();
    let make = || sketch(&kit, &sky, &options(400, 330), Format::Png, &mut |_| true).unwrap();
    assert_eq!(make(), make());
}
