//! A picture of one's own under the frames: its stars land where their catalogue places are drawn,
//! and whatever is wrong with a file is said in words.
//!
//! Sources: `reference/pictures/`, files written by astropy 8.0.2 (wcslib), Pillow and pyavm, with
//! the places of their stars by astropy.wcs; the script that made them stands beside them.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test fails by panicking")]

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use egui::accesskit::Role;
use egui::{Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use fieldstop::kit::{Background, Kit};
use fieldstop::world_coordinates::{Parity, WorldCoordinates};
use fieldstop::{Angle, Direction, Icrs};
use fieldstop_gui::app::App;
use fieldstop_gui::files::{demo_kit, kit_file};
use fieldstop_gui::own_picture::stretch::Look;
use fieldstop_gui::own_picture::{OwnPicture, PictureError, of_kit, open};
use fieldstop_gui::paint::png::render;
use fieldstop_gui::scene::palette::Palette;
use fieldstop_gui::scene::picture::RowOrder;
use fieldstop_gui::scene::{Layers, PlacedPicture, Scene, SkyInput, SkyView, sky_scene, stars};
use fieldstop_gui::sketch::{Format, PageSize, SketchOptions, page, sketch};
use fieldstop_gui::sky::Sky;
use fieldstop_tests::{Judge, reference_rows};
use proptest::prelude::*;
use serde::Deserialize;

fn pictures() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("reference/pictures")
}

fn read(path: &Path) -> Result<OwnPicture, PictureError> {
    open(path, RowOrder::FromBottom, &mut |_| true)
        .inspect_err(|error| println!("{}: {error}", path.display()))
}

/// A folder of its own for a test, emptied first.
fn folder(name: &str) -> PathBuf {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("own_picture").join(name);
    drop(fs::remove_dir_all(&folder));
    fs::create_dir_all(&folder).unwrap();
    folder
}

#[derive(Clone, Deserialize)]
struct Star {
    file: String,
    ra_deg: f64,
    dec_deg: f64,
    fits_x_px: f64,
    fits_y_px: f64,
}

impl Star {
    fn place(&self) -> Direction<Icrs> {
        Direction::from_ra_dec(Angle::from_deg(self.ra_deg), Angle::from_deg(self.dec_deg))
    }
}

fn star_files() -> BTreeMap<String, Vec<Star>> {
    let mut files: BTreeMap<String, Vec<Star>> = BTreeMap::new();
    for star in reference_rows::<Star>("pictures/stars.csv") {
        files.entry(star.file.clone()).or_default().push(star);
    }
    assert_eq!(files.len(), 11);
    files
}

/// Nothing but the picture.
const BARE: Layers = Layers::nothing();

fn scene_of(sky: &Sky, view: SkyView, picture: &PlacedPicture, layers: Layers) -> Scene {
    sky_scene(&SkyInput {
        view,
        palette: &Palette::dark(),
        catalogue: &sky.catalogue,
        star_list: &sky.stars,
        stars: &stars::fetch(&view, &sky.stars),
        chosen: None,
        wishes: &[],
        frames: &[],
        picture: Some(picture),
        layers,
    })
}

fn placed(picture: &OwnPicture, opacity: f64) -> PlacedPicture {
    let look = Look { dark_level: 0.0, stretch: 0.0 };
    picture.placed(Arc::new(picture.raster(look)), opacity)
}

/// Where the light round a point of a painted page has its middle, in pixels, above the sky there.
fn middle_of_light(pixels: &dyn Fn(i64, i64) -> f64, at: [f64; 2], reach: i64) -> [f64; 2] {
    let (x, y) = (at[0].floor() as i64, at[1].floor() as i64);
    let near = |r: i64| (-r..=r).flat_map(move |dy| (-r..=r).map(move |dx| (x + dx, y + dy)));
    let rim = near(reach).map(|(x, y)| pixels(x, y)).fold(f64::INFINITY, f64::min);
    let (mut sum, mut sum_x, mut sum_y) = (0.0, 0.0, 0.0);
    for (x, y) in near(reach) {
        // The wings are cut unevenly by the square, so only the bright core counts.
        let light = (pixels(x, y) - rim - 40.0).max(0.0);
        sum += light;
        sum_x += light * (x as f64 + 0.5);
        sum_y += light * (y as f64 + 0.5);
    }
    [sum_x / sum, sum_y / sum]
}

/// Every kind of file and of header, three views each: centred, aside, turned by being far off.
#[test]
fn a_star_of_the_picture_lands_where_its_place_is_drawn() {
    let sky = Sky::embedded().unwrap();
    let mut judge = Judge::new("star's pixel on the page", 0.5, "px");
    for (file, stars) in star_files() {
        let picture = read(&pictures().join(&file)).unwrap();
        let placed = placed(&picture, 1.0);
        let centre = picture.map.centre().unwrap();
        for (offset_deg, span_deg, px_per_pt) in
            [(0.0, 1.6, 1.0), (0.5, 2.4, 2.0), (6.0, 16.0, 4.0)]
        {
            let aside = centre.offset(Angle::from_deg(40.0), Angle::from_deg(offset_deg));
            let view = SkyView::new(aside, Angle::from_deg(span_deg), 900.0, 900.0);
            let scene = scene_of(&sky, view, &placed, BARE);
            let painted = render(&scene, px_per_pt).unwrap();
            let (width, height) = (i64::from(painted.width()), i64::from(painted.height()));
            let pixels = |x: i64, y: i64| {
                let (x, y) = (x.clamp(0, width - 1), y.clamp(0, height - 1));
                f64::from(painted.data()[((y * width + x) * 4) as usize])
            };
            // Five of the picture's pixels, as the page has them.
            let reach = 5.0 * picture.map.scale().rad() * view.pt_per_tangent() * px_per_pt;
            for star in &stars {
                let [x, y] = view.point(star.place()).unwrap();
                let wanted = [x * px_per_pt, y * px_per_pt];
                let found = middle_of_light(&pixels, wanted, reach.ceil() as i64);
                let miss = (found[0] - wanted[0]).hypot(found[1] - wanted[1]);
                judge.row(format_args!("{file} at span {span_deg}, {}", star.fits_x_px), miss);
            }
        }
    }
    judge.verdict(11 * 3 * 5);
}

/// wcslib's pixel against ours, without a picture painted. 1e-4 px: what the inverse of a
/// distortion is found to, and far less than anybody sees.
#[test]
fn pixels_of_every_header_agree_with_wcslib() {
    let mut judge = Judge::new("pixel by the file's header", 1e-4, "px");
    for (file, stars) in star_files() {
        let picture = read(&pictures().join(&file)).unwrap();
        for star in stars {
            let [x, y] = picture.map.pixel(star.place()).unwrap();
            judge.row(&file, (x - star.fits_x_px).hypot(y - star.fits_y_px));
        }
    }
    judge.verdict(55);
}

#[test]
fn what_was_understood_is_told() {
    let facts = |file: &str| {
        let picture = read(&pictures().join(file)).unwrap();
        (picture.form.clone(), picture.map.parity(), picture.map.rotation().deg().round())
    };
    let header = "its FITS header: TAN";
    for (file, form, parity, rotation) in [
        ("unsigned16.fits", format!("{header}, CD matrix"), Parity::AsSeen, 33.0),
        ("colours32f.fits", format!("{header}, PC matrix and CDELT"), Parity::Mirrored, 250.0),
        ("extension8.fits", format!("{header}, CDELT and CROTA2"), Parity::AsSeen, 285.0),
        (
            "sip64f.fits",
            format!("{header} with SIP distortion, PC matrix and CDELT"),
            Parity::AsSeen,
            140.0,
        ),
        ("swapped32.fits", format!("{header}, PC matrix and CDELT"), Parity::AsSeen, 12.0),
        (
            "native_pole.fits",
            format!("{header}, CDELT"),
            // By the places that astropy.wcs has beside the reference pixel: up 227, right 317.
            Parity::Mirrored,
            227.0,
        ),
        ("avm.png", "its metadata (AVM): TAN".to_owned(), Parity::AsSeen, 200.0),
        ("avm_mirrored.png", "its metadata (AVM): TAN".to_owned(), Parity::Mirrored, 20.0),
        ("avm16.tif", "its metadata (AVM): TAN".to_owned(), Parity::AsSeen, 60.0),
        (
            "beside.jpg",
            "beside.hdr beside it: TAN, PC matrix and CDELT".to_owned(),
            Parity::AsSeen,
            100.0,
        ),
    ] {
        assert_eq!(facts(file), (form, parity, rotation), "{file}");
    }
}

#[test]
fn blank_pixels_let_the_sky_through() {
    let sky = Sky::embedded().unwrap();
    for (file, y_px) in [("colours32f.fits", 3.0), ("extension8.fits", 87.0)] {
        let picture = read(&pictures().join(file)).unwrap();
        let placed = placed(&picture, 1.0);
        let blank = picture.map.sky([60.0, y_px]).unwrap();
        let inside = picture.map.sky([60.0, 45.0]).unwrap();
        assert!(!placed.covers(blank) && placed.covers(inside), "{file}");
        let view = SkyView::new(blank, Angle::from_deg(0.3), 300.0, 300.0);
        let painted = render(&scene_of(&sky, view, &placed, BARE), 1.0).unwrap();
        let pixel = painted.pixel(150, 150).unwrap();
        let ground = Palette::dark().sky.0;
        assert_eq!([pixel.red(), pixel.green(), pixel.blue()], ground[..3], "{file}");
    }
}

#[test]
fn the_picture_takes_the_place_of_the_stars_it_covers() {
    let sky = Sky::embedded().unwrap();
    let picture = read(&pictures().join("avm.jpg")).unwrap();
    let centre = picture.map.centre().unwrap();
    let view = SkyView::new(centre, Angle::from_deg(3.0), 900.0, 900.0);
    let discs = |opacity: f64| {
        let layers = Layers { stars: true, ..BARE };
        let scene = scene_of(&sky, view, &placed(&picture, opacity), layers);
        let discs = scene.items.iter().find_map(|item| match item {
            fieldstop_gui::scene::primitive::Primitive::Discs(discs) => Some(discs.clone()),
            _ => None,
        });
        discs.unwrap()
    };
    let placed = placed(&picture, 1.0);
    let inside = |disc: &fieldstop_gui::scene::primitive::Disc| {
        placed.covers(view.sky([f64::from(disc.x), f64::from(disc.y)]))
    };
    assert!(discs(0.0).iter().filter(|disc| inside(disc)).count() > 50);
    // A disc's own coordinates are rounded, so one at the very edge may be told on the other side.
    assert!(discs(1.0).iter().filter(|disc| inside(disc)).count() <= 1);
    assert!(discs(1.0).iter().any(|disc| !inside(disc)));
    // Between the two a star is there as far as the picture lets it through.
    let light = |opacity: f64| {
        let discs = discs(opacity);
        let covered = discs.iter().filter(|disc| inside(disc));
        covered.map(|disc| f64::from(disc.ink.0[3])).sum::<f64>()
    };
    let whole = light(0.0);
    for opacity in [0.02, 0.3, 0.7] {
        let share = light(opacity) / whole;
        println!("at an opacity of {opacity} the stars keep {share:.3} of their light");
        // Opacities are rounded to 1/255, and what is not to be seen is left out.
        assert!((share - (1.0 - opacity)).abs() < 0.03, "{opacity}: {share}");
    }
}

#[test]
fn the_sky_says_whose_picture_it_is() {
    let sky = Sky::embedded().unwrap();
    let picture = read(&pictures().join("avm.jpg")).unwrap();
    let centre = picture.map.centre().unwrap();
    let words = |span_deg: f64, opacity: f64| {
        let view = SkyView::new(centre, Angle::from_deg(span_deg), 900.0, 600.0);
        let scene = scene_of(&sky, view, &placed(&picture, opacity), Layers::default());
        let texts = scene.texts().into_iter().map(|text| text.text);
        texts.filter(|text| text.contains("synthetic") || text.contains("Own")).collect::<Vec<_>>()
    };
    let synthetic = "tars fainter than V 9.5 are synthetic";
    assert_eq!(words(3.0, 1.0), [format!("Own picture avm.jpg; around it, s{synthetic}")]);
    assert_eq!(words(0.2, 1.0), ["Own picture avm.jpg"]);
    assert_eq!(words(0.2, 0.5), [format!("Own picture avm.jpg; s{synthetic}")]);
    assert_eq!(words(3.0, 0.0), [format!("S{synthetic}")]);
}

/// The dim red theme is for eyes that are used to the dark: one hue, and no bright pixel.
#[test]
fn beside_a_telescope_the_picture_has_one_dim_hue() {
    let sky = Sky::embedded().unwrap();
    for file in ["avm.jpg", "colours32f.fits", "unsigned16.fits"] {
        let picture = read(&pictures().join(file)).unwrap();
        let view = SkyView::new(picture.map.centre().unwrap(), Angle::from_deg(1.6), 600.0, 600.0);
        let placed = placed(&picture, 1.0);
        let palette = Palette::red();
        let input = SkyInput {
            view,
            palette: &palette,
            catalogue: &sky.catalogue,
            star_list: &sky.stars,
            stars: &[],
            chosen: None,
            wishes: &[],
            frames: &[],
            picture: Some(&placed),
            layers: BARE,
        };
        let painted = render(&sky_scene(&input), 1.0).unwrap();
        let mut brightest = 0;
        for pixel in painted.pixels() {
            assert_eq!([pixel.green(), pixel.blue()], [0, 0], "{file}");
            brightest = brightest.max(pixel.red());
        }
        // To be seen, and dimmer than the words over it.
        println!("{file}: at most {brightest} of 255");
        assert!((50..palette.text_quiet.0[0]).contains(&brightest), "{file}: {brightest}");
    }
}

/// A picture of M 31's middle, in a folder of its own.
fn picture_of_m31(sky: &Sky, folder_name: &str) -> OwnPicture {
    let m31 = sky.catalogue.named("M 31").unwrap();
    let path = folder(folder_name).join("m31.fits");
    fs::write(&path, fits_on(m31.place, 240, [60.0, 130.0])).unwrap();
    read(&path).unwrap()
}

/// M 31, chosen, on a picture.
fn m31_on(
    sky: &Sky,
    picture: &PlacedPicture,
    palette: &Palette,
    span_deg: f64,
    layers: Layers,
) -> Scene {
    let m31 = sky.catalogue.named("M 31").unwrap();
    sky_scene(&SkyInput {
        view: SkyView::new(m31.place, Angle::from_deg(span_deg), 900.0, 600.0),
        palette,
        catalogue: &sky.catalogue,
        star_list: &sky.stars,
        stars: &[],
        chosen: Some(m31),
        wishes: &[],
        frames: &[],
        picture: Some(picture),
        layers,
    })
}

/// Dark on dark, or pale on pale, an outline would be lost on a photograph.
#[test]
fn a_targets_outline_is_kept_clear_of_the_picture() {
    use fieldstop_gui::scene::primitive::{Primitive, Stroke};
    let sky = Sky::embedded().unwrap();
    let picture = picture_of_m31(&sky, "outline");
    for palette in [Palette::dark(), Palette::light(), Palette::paper(), Palette::red()] {
        for opacity in [0.0, 0.5, 1.0] {
            let placed = placed(&picture, opacity);
            let scene = m31_on(&sky, &placed, &palette, 6.0, BARE);
            let strokes: Vec<Stroke> = scene
                .items
                .iter()
                .filter_map(|item| match item {
                    Primitive::Line { stroke, .. } => Some(*stroke),
                    _ => None,
                })
                .collect();
            let line = strokes.iter().position(|stroke| stroke.ink == palette.chosen).unwrap();
            let under = line.checked_sub(1).and_then(|under| strokes.get(under));
            let is_cased = under.is_some_and(|under| {
                under.ink == palette.halo && under.width_pt > strokes[line].width_pt + 1.0
            });
            assert_eq!(is_cased, opacity > 0.0, "{:?} at {opacity}", palette.ground);
        }
    }
}

/// A rim alone is lost where letters stand half on bright and half on dark.
#[test]
fn words_on_the_picture_have_a_quiet_ground_and_words_beside_it_have_none() {
    use fieldstop_gui::scene::primitive::{Bounds, Primitive};
    let sky = Sky::embedded().unwrap();
    let picture = picture_of_m31(&sky, "ground");
    for palette in [Palette::dark(), Palette::light(), Palette::paper(), Palette::red()] {
        for opacity in [0.0, 0.5, 1.0] {
            let placed = placed(&picture, opacity);
            let scene =
                m31_on(&sky, &placed, &palette, 12.0, Layers { grid: false, ..Layers::default() });
            // The ground comes just before its words and encloses them.
            let has_ground = |name: &str| {
                let items = &scene.items;
                let place = items
                    .iter()
                    .position(|item| matches!(item, Primitive::Text(text) if text.text == name));
                let Primitive::Text(text) = &items[place.unwrap()] else { unreachable!() };
                match &items[place.unwrap() - 1] {
                    Primitive::Polygon { points, .. } => {
                        Bounds::about(points).is_some_and(|ground| ground.encloses(&text.bounds()))
                    }
                    _ => false,
                }
            };
            let what = format!("{:?} at {opacity}", palette.ground);
            assert_eq!(has_ground("M 31"), opacity > 0.0, "{what}");
            // Of the constellation, in the page's corner.
            assert!(!has_ground("Andromeda"), "{what}");
        }
    }
}

fn demo() -> (Kit, Sky) {
    let sky = Sky::embedded().unwrap();
    let kit = demo_kit(&|name| sky.catalogue.named(name).is_some()).unwrap();
    (kit, sky)
}

/// A FITS picture on M 31 by our own writer: one star on an even sky.
fn fits_on(place: Direction<Icrs>, side_px: u32, star_px: [f64; 2]) -> Vec<u8> {
    let map = WorldCoordinates::turned(
        (side_px, side_px),
        ([f64::from(side_px) / 2.0; 2], place),
        [Angle::from_arcsec(60.0); 2],
        Angle::from_deg(25.0),
    );
    let header = fieldstop::fits_header::fits_header(&map, "M 31", &[]);
    let mut bytes = header.into_bytes();
    for y in 1..=side_px {
        for x in 1..=side_px {
            let off = (f64::from(x) - star_px[0]).hypot(f64::from(y) - star_px[1]);
            let value = 1000.0 + 20_000.0 * (-off * off / (2.0 * 2.0 * 2.0)).exp();
            bytes.extend((value as i16).to_be_bytes());
        }
    }
    bytes.resize(bytes.len().next_multiple_of(2880), 0);
    bytes
}

/// The whole way: a kit that names a picture, to the pixels of the sketch's file.
#[test]
fn a_sketch_shows_the_kits_picture_and_says_so() {
    let (mut kit, sky) = demo();
    let folder = folder("sketch");
    let m31 = sky.catalogue.named("M 31").unwrap().place;
    fs::write(folder.join("m31.fits"), fits_on(m31, 240, [60.0, 130.0])).unwrap();
    let path = "m31.fits".to_owned();
    kit.background = Some(Background {
        path,
        opacity: 1.0,
        dark_level: 0.0,
        stretch: 0.0,
        rows_from_top: false,
    });
    let picture = of_kit(&kit, Some(&folder), &mut |_| true).unwrap().unwrap();
    let place = picture.map.sky([60.0, 130.0]).unwrap();
    for (width_px, height_px) in [(1200, 800), (1800, 1200)] {
        let size = PageSize::Pixels { width: width_px, height: height_px };
        let options = SketchOptions {
            rigs: vec!["Compound".to_owned()],
            span: Some(Angle::from_deg(6.0)),
            picture: Some(picture.clone()),
            ..SketchOptions::new("M 31", size)
        };
        let page = page(&kit, &sky, &options).unwrap();
        let file = sketch(&kit, &sky, &options, Format::Png, &mut |_| true).unwrap();
        let mut reader = png::Decoder::new(std::io::Cursor::new(&file)).read_info().unwrap();
        let mut rgb = vec![0; reader.output_buffer_size().unwrap()];
        reader.next_frame(&mut rgb).unwrap();
        let pixels = |x: i64, y: i64| f64::from(rgb[((y * i64::from(width_px) + x) * 3) as usize]);
        let [x, y] = page.view.point(place).unwrap();
        let wanted = [x + page.sky_origin[0], y + page.sky_origin[1]].map(|v| v * page.px_per_pt);
        let found = middle_of_light(&pixels, wanted, 24);
        let miss = (found[0] - wanted[0]).hypot(found[1] - wanted[1]);
        assert!(miss < 0.5, "{miss} px");
        println!("a star on the sketch of {width_px} px: {miss:.3} px off");
        let words: Vec<String> = page.scene.texts().into_iter().map(|text| text.text).collect();
        let words = words.join(" ");
        assert!(words.contains("own picture m31.fits"), "{words}");
        assert!(words.contains("rights are not known"), "{words}");
        let told = reader.info().utf8_text.iter().map(|text| text.get_text().unwrap());
        assert!(told.collect::<String>().contains("own picture m31.fits"));
    }
}

/// A sharp edge of the mesh would show as a jump: neighbouring views of one picture agree.
#[test]
fn a_reduced_picture_keeps_its_place() {
    let folder = folder("reduced");
    let centre = Direction::from_ra_dec(Angle::from_deg(30.0), Angle::from_deg(50.0));
    // More than is kept, and no multiple of the factor.
    let side_px = 2303;
    let star_px = [2000.0, 300.0];
    let path = folder.join("large.fits");
    fs::write(&path, fits_on(centre, side_px, star_px)).unwrap();
    let picture = read(&path).unwrap();
    assert_eq!(picture.kept_px(), (1152, 1152));
    let sky = Sky::embedded().unwrap();
    let place = picture.map.sky(star_px).unwrap();
    let view = SkyView::new(place, Angle::from_deg(2.0), 400.0, 400.0);
    let painted = render(&scene_of(&sky, view, &placed(&picture, 1.0), BARE), 2.0).unwrap();
    let pixels = |x: i64, y: i64| f64::from(painted.data()[((y * 800 + x) * 4) as usize]);
    let found = middle_of_light(&pixels, [400.0, 400.0], 40);
    let miss = (found[0] - 400.0).hypot(found[1] - 400.0);
    assert!(miss < 0.5, "{miss} px");
}

#[test]
fn a_stopped_reading_stops() {
    let folder = folder("stopped");
    let path = folder.join("large.fits");
    let centre = Direction::from_ra_dec(Angle::from_deg(30.0), Angle::from_deg(50.0));
    fs::write(&path, fits_on(centre, 2303, [9.0, 9.0])).unwrap();
    let files = ["avm.png", "avm_interlaced.png", "avm.jpg"].map(|name| pictures().join(name));
    for file in files.into_iter().chain([path]) {
        let stopped = open(&file, RowOrder::FromBottom, &mut |_| false).map(|_| ());
        assert!(matches!(stopped, Err(PictureError::Stopped)), "{stopped:?}");
    }
}

/// A header of these cards, padded, with some bytes behind it.
fn fits_of(cards: &[&str], data: usize) -> Vec<u8> {
    let mut bytes: Vec<u8> = Vec::new();
    for card in cards.iter().chain(&["END"]) {
        bytes.extend(format!("{card:<80}").bytes());
    }
    bytes.resize(bytes.len().next_multiple_of(2880), b' ');
    bytes.resize(bytes.len() + data, 1);
    bytes
}

#[test]
fn every_fault_is_told_in_its_own_words() {
    let folder = folder("faults");
    let write = |name: &str, bytes: &[u8]| {
        let path = folder.join(name);
        fs::write(&path, bytes).unwrap();
        path
    };
    let why = |path: &Path| read(path).unwrap_err().to_string();
    let sized = |bitpix: &str, width: &str, height: &str| {
        let cards = ["SIMPLE  = T", bitpix, "NAXIS   = 2", width, height];
        fits_of(&cards, 5000)
    };
    let square = ("NAXIS1  = 50", "NAXIS2  = 50");
    let whole = sized("BITPIX  = 16", square.0, square.1);
    let on_sky = |changes: &[&str]| {
        let mut cards = vec!["SIMPLE  = T", "BITPIX  = 16", "NAXIS   = 2", square.0, square.1];
        cards.extend(changes);
        for usual in [
            "CTYPE1  = 'RA---TAN'",
            "CTYPE2  = 'DEC--TAN'",
            "CRVAL1  = 10.0",
            "CRVAL2  = 41.0",
            "CDELT1  = -0.01",
            "CDELT2  = 0.01",
        ] {
            let keyword = usual.get(..8).unwrap();
            if !changes.iter().any(|change| change.starts_with(keyword)) {
                cards.push(usual);
            }
        }
        fits_of(&cards, 5000)
    };
    assert!(read(&write("sound.fits", &on_sky(&[]))).is_ok());
    let png = fs::read(pictures().join("avm.png")).unwrap();
    let jpeg = fs::read(pictures().join("avm.jpg")).unwrap();
    let mut bomb = png.clone();
    bomb[16..24].copy_from_slice(&[0, 0, 0xff, 0xff, 0, 0, 0xff, 0xff]);
    for (name, bytes, words) in [
        ("empty.fits", &b""[..], "it is empty"),
        ("text.fits", b"not a picture at all", "of a kind that is not known"),
        ("packed.fits.gz", b"\x1f\x8b\x08\0", "packed with gzip"),
        ("head.fits", &whole[..1000], "ends too early"),
        ("nowhere.fits", &whole, "nothing says where on the sky"),
        (
            "short.fits",
            &on_sky(&[])[..6000],
            "50 x 50 pixels of 16 bits each needs a file of 7880 bytes, and this one holds 6000",
        ),
        (
            "huge.fits",
            &sized("BITPIX  = 16", "NAXIS1  = 3000000000", "NAXIS2  = 3000000000"),
            "announces 3000000000 x 3000000000 pixels; expected at least 2 each way",
        ),
        (
            "over.fits",
            &sized("BITPIX  = 64", "NAXIS1  = 9000000000000000000", "NAXIS2  = 9"),
            "NAXIS1 is 9000000000000000000 and NAXIS2 is 9, with more numbers than can be counted",
        ),
        (
            "negative.fits",
            &sized("BITPIX  = 16", "NAXIS1  = -5", "NAXIS2  = 9"),
            "NAXIS1 is -5; expected a whole number from 0 up",
        ),
        (
            "unnamed.fits",
            &sized("BITPIX  = 16", square.0, "COMMENT"),
            "NAXIS2 is missing; expected a whole number",
        ),
        (
            "words.fits",
            &sized("BITPIX  = 16", "NAXIS1  = 'wide'", square.1),
            "NAXIS1 is the text \"wide\"; expected a whole number",
        ),
        (
            "bits.fits",
            &sized("BITPIX  = 12", square.0, square.1),
            "BITPIX is 12; expected 8, 16, 32, 64, -32 or -64",
        ),
        // A whole number of 16 bits has no floating form.
        ("half.fits", &sized("BITPIX  = -16", square.0, square.1), "BITPIX is -16; expected 8,"),
        ("thin.fits", &sized("BITPIX  = 16", "NAXIS1  = 1", "NAXIS2  = 50"), "at least 2 each way"),
        (
            "four.fits",
            &fits_of(
                &[
                    "SIMPLE  = T",
                    "BITPIX  = 8",
                    "NAXIS   = 3",
                    "NAXIS1  = 9",
                    "NAXIS2  = 9",
                    "NAXIS3  = 4",
                ],
                324,
            ),
            "another number of layers",
        ),
        ("none.fits", &fits_of(&["SIMPLE  = T", "BITPIX  = 8", "NAXIS   = 0"], 0), "no picture"),
        (
            "galactic.fits",
            &on_sky(&["CTYPE1  = 'GLON-TAN'"]),
            "expected right ascension and declination",
        ),
        (
            "sine.fits",
            &on_sky(&["CTYPE1  = 'RA---SIN'", "CTYPE2  = 'DEC--SIN'"]),
            "expected TAN or TAN-SIP",
        ),
        ("old.fits", &on_sky(&["EQUINOX = 1950.0"]), "expected ICRS"),
        ("flat.fits", &on_sky(&["CDELT1  = 0.0"]), "scale is zero"),
        (
            "beyond.fits",
            &on_sky(&["CRVAL2  = 91.0"]),
            "declination of 91 degrees; expected -90 to 90",
        ),
        (
            "round.fits",
            &on_sky(&["CRVAL1  = 1E300"]),
            "right ascension of 1E300 degrees; expected -360 to 360",
        ),
        (
            "coarse.fits",
            &on_sky(&["CDELT1  = 1E10"]),
            "scale across is 1E10 degrees a pixel; expected 0.000001 to 10",
        ),
        (
            "fine.fits",
            &on_sky(&["CDELT2  = 1E-7"]),
            "scale up is 1E-7 degrees a pixel; expected 0.000001 to 10",
        ),
        ("aside.fits", &on_sky(&["CRPIX2  = -1E9"]), "reference pixel is at -1E9; expected"),
        ("bent.fits", &on_sky(&["PV1_5   = 0.3"]), "distorted in a way that is not known"),
        (
            "high.fits",
            &on_sky(&["CTYPE1  = 'RA---TAN-SIP'", "CTYPE2  = 'DEC--TAN-SIP'", "A_ORDER = 99"]),
            "A_ORDER is 99",
        ),
        ("radians.fits", &on_sky(&["CUNIT1  = 'rad'"]), "expected degrees"),
        ("bomb.png", &bomb, "CRC"),
        ("cut.png", &png[..png.len() - 400], "ends too early"),
        ("cut.jpg", &jpeg[..60], "ends too early"),
    ] {
        let found = why(&write(name, bytes));
        assert!(found.contains(words), "{name}: {found}");
    }
    assert!(why(&folder.join("gone.fits")).contains("there is no such file"));
    assert!(why(&folder).contains("a folder"));
}

/// An interlaced picture comes in seven passes over all its rows; ImageMagick made it of the other.
#[test]
fn an_interlaced_picture_is_the_same_as_one_that_is_not() {
    let [plain, interlaced] =
        ["avm.png", "avm_interlaced.png"].map(|name| read(&pictures().join(name)).unwrap());
    let look = Look { dark_level: 0.0, stretch: 0.0 };
    assert!(plain.raster(look) == interlaced.raster(look));
    assert_eq!(plain.map, interlaced.map);
}

/// What is missing of a cut file would be grey, or black, without a word. A picture within the
/// metadata, as cameras put there, has an end of its own.
#[test]
fn a_picture_that_is_cut_off_is_refused_wherever_it_ends() {
    let path = folder("cut").join("a");
    let opened = |bytes: &[u8]| {
        fs::write(&path, bytes).unwrap();
        read(&path).map_err(|error| error.to_string())
    };
    for name in
        ["avm.jpg", "beside.jpg", "progressive.jpg", "avm.png", "avm_interlaced.png", "avm16.tif"]
    {
        let whole = fs::read(pictures().join(name)).unwrap();
        let mut with_thumbnail = whole.clone();
        if name.ends_with("jpg") {
            // ITU-T T.81, B.2.4.6: application data, its length with itself.
            let thumbnail = [0xff, 0xeb, 0, 8, 0xff, 0xd8, 7, 7, 0xff, 0xd9];
            with_thumbnail.splice(2..2, thumbnail);
        }
        for whole in [&whole, &with_thumbnail] {
            let early = |outcome: &Result<_, String>| {
                outcome.as_ref().is_err_and(|why: &String| why.contains("ends too early"))
            };
            assert!(!early(&opened(whole)), "{name}");
            for share in [0.3, 0.5, 0.8, 0.95] {
                let cut = (whole.len() as f64 * share) as usize;
                let outcome = opened(&whole[..cut]);
                assert!(early(&outcome), "{name} at {share}: {outcome:?}");
            }
        }
    }
}

/// TAN by the standard has parameters on the axis of right ascension only; a polynomial is another
/// use of the same keywords. (Calabretta & Greisen 2002, section 2.5; that PVi_3 goes before LONPOLE
/// is in `native_pole.fits`, by astropy.wcs.)
#[test]
fn parameters_of_the_axes_are_understood_or_refused() {
    let folder = folder("parameters");
    let of = |changes: &[&str]| {
        let mut cards = vec![
            "SIMPLE  = T",
            "BITPIX  = 16",
            "NAXIS   = 2",
            "NAXIS1  = 50",
            "NAXIS2  = 50",
            "CTYPE1  = 'RA---TAN'",
            "CTYPE2  = 'DEC--TAN'",
            "CRVAL1  = 10.0",
            "CRVAL2  = 41.0",
            "CDELT1  = -0.01",
            "CDELT2  = 0.01",
        ];
        cards.extend(changes);
        let path = folder.join("a.fits");
        fs::write(&path, fits_of(&cards, 5000)).unwrap();
        let picture = read(&path).map_err(|error| error.to_string())?;
        Ok::<f64, String>(picture.map.rotation().wrapped_signed().deg())
    };
    for (cards, rotation_deg) in [
        (&[][..], 0.0),
        (&["PV1_0   = 0.0", "PV1_1   = 0.0", "PV1_2   = 90.0", "PV1_4   = 41.0"], 0.0),
        (&["PV1_3   = 150.0"], -30.0),
        (&["LONPOLE = 170.0", "PV1_3   = 150"], -30.0),
        // A polynomial that changes nothing.
        (&["PV1_0   = 0.0", "PV1_1   = 1.0", "PV1_2   = 0.0", "PV1_10  = 0.0"], 0.0),
        (&["PV1_1   = 1.0", "PV2_0   = 0.0", "PV2_1   = 1.0"], 0.0),
        // Of a second set of coordinates, or of another axis.
        (&["PV1_5A  = 0.3", "PV3_1   = 0.3"], 0.0),
    ] {
        let found = of(cards).unwrap();
        assert!((found - rotation_deg).abs() < 1e-9, "{cards:?}: {found}");
    }
    for (cards, words) in [
        (&["PV1_0   = 0.1"][..], "PV1_0 of 0.1"),
        (&["PV1_1   = 1.0"], "PV1_1 of 1"),
        (&["PV1_2   = 45.0"], "PV1_2 of 45"),
        (&["PV2_1   = 1.01"], "PV2_1 of 1.01"),
        (&["PV2_3   = 150.0"], "PV2_3 of 150"),
        (&["PV1_1   = 1.0", "PV1_39  = 1E-9"], "PV1_39 of 0.000000001"),
        (&["PV1_1   = 1.0", "PV1_3   = 0.2", "PV2_1   = 1.0"], "PV1_3 of 0.2"),
        (&["PV1_1   = 1.02", "PV1_7   = 0.0"], "PV1_1 of 1.02"),
        (&["PV1_3   = 'north'"], "PV1_3 is no number"),
        (&["CPDIS2  = 'Lookup'"], "CPDIS2"),
    ] {
        let why = of(cards).unwrap_err();
        assert!(why.contains(words), "{cards:?}: {why}");
    }
}

/// What follows the picture may be anything; what stands before it need not be one.
#[test]
fn a_part_that_is_no_use_does_no_harm_to_one_that_is() {
    let folder = folder("parts");
    let header = fs::read_to_string(pictures().join("beside.hdr")).unwrap();
    fs::write(folder.join("a.hdr"), header).unwrap();
    let size = ["NAXIS1  = 120", "NAXIS2  = 90"];
    let padded = |mut bytes: Vec<u8>| {
        bytes.resize(bytes.len().next_multiple_of(2880), 0);
        bytes
    };
    let primary = |cards: &[&str], data: usize| {
        padded(fits_of(&[&["SIMPLE  = T", "BITPIX  = 8"], cards].concat(), data))
    };
    let extension = |cards: &[&str], data: usize| {
        padded(fits_of(&[&["XTENSION= 'IMAGE'"], cards].concat(), data))
    };
    let plain = primary(&["NAXIS   = 2", size[0], size[1]], 120 * 90);
    let path = folder.join("a.fits");
    let opened = |parts: &[&[u8]]| {
        fs::write(&path, parts.concat()).unwrap();
        read(&path).map(|picture| picture.form).map_err(|error| error.to_string())
    };
    let beside = opened(&[&plain]);
    assert!(beside.as_ref().is_ok_and(|form| form.starts_with("a.hdr beside it")), "{beside:?}");
    let four = ["BITPIX  = 8", "NAXIS   = 3", "NAXIS1  = 9", "NAXIS2  = 9", "NAXIS3  = 4"];
    for malformed in [
        extension(&["BITPIX  = 8"], 0),
        extension(&["BITPIX  = 8", "NAXIS   = 'two'"], 0),
        extension(&["BITPIX  = 12", "NAXIS   = 2", size[0], size[1]], 50_000),
        extension(&["BITPIX  = 8", "NAXIS   = 2", "NAXIS1  = -4", "NAXIS2  = 9"], 36),
        extension(&["BITPIX  = 8", "NAXIS   = 2", "NAXIS1  = 9"], 36),
        extension(
            &["BITPIX  = 64", "NAXIS   = 2", "NAXIS1  = 9000000000000000000", "NAXIS2  = 9"],
            36,
        ),
        extension(&["BITPIX  = 8", "NAXIS   = 2", "NAXIS1  = 1", "NAXIS2  = 9"], 9),
        extension(&four, 324),
        b"no header at all, only letters".repeat(200),
    ] {
        assert_eq!(opened(&[&plain, &malformed]), beside);
    }
    // A picture behind one that cannot be shown, which says nothing of itself.
    let sky = [
        "BITPIX  = 8",
        "NAXIS   = 2",
        size[0],
        size[1],
        "CTYPE1  = 'RA---TAN'",
        "CTYPE2  = 'DEC--TAN'",
        "CRVAL1  = 10.0",
        "CRVAL2  = 41.0",
        "CDELT1  = -0.01",
        "CDELT2  = 0.01",
    ];
    let sky = extension(&sky, 120 * 90);
    let layers = primary(&four[1..], 324);
    assert!(opened(&[&layers, &sky]).unwrap().starts_with("its FITS header"));
    assert!(opened(&[&plain, &extension(&four, 324), &sky]).unwrap().starts_with("its FITS"));
    // Alone it is told what it lacks.
    let why = opened(&[&layers, &extension(&four, 324)]).unwrap_err();
    assert!(why.contains("another number of layers"), "{why}");
}

/// What a picture is unpacked from tells how far it is and can be stopped at any point.
#[test]
fn every_kind_tells_its_progress_and_stops() {
    let folder = folder("progress");
    let side = 1200u32;
    let noise = |place: u32| (place.wrapping_mul(2_654_435_761) >> 21) as u8 | 1;
    let grey: Vec<u8> = (0..side * side).map(noise).collect();
    let picture = image::GrayImage::from_raw(side, side, grey).unwrap();
    let save = |name: &str| {
        let path = folder.join(name);
        picture.save(&path).unwrap();
        path
    };
    let progressive = folder.join("progressive.jpg");
    fs::copy(pictures().join("progressive.jpg"), &progressive).unwrap();
    let header = |size_px: (u32, u32)| {
        let place = Direction::from_ra_dec(Angle::from_deg(30.0), Angle::from_deg(50.0));
        let per_px = [Angle::from_arcsec(4.0); 2];
        let map = WorldCoordinates::turned(size_px, ([9.0; 2], place), per_px, Angle::ZERO);
        fieldstop::fits_header::fits_header(&map, "noise", &[])
    };
    let square = (side, side);
    let large = folder.join("large.fits");
    let centre = Direction::from_ra_dec(Angle::from_deg(30.0), Angle::from_deg(50.0));
    fs::write(&large, fits_on(centre, 2303, [9.0, 9.0])).unwrap();
    for (path, size_px, least) in [
        (save("baseline.jpg"), square, 20),
        (progressive, (240, 180), 3),
        (save("strips.tif"), square, 20),
        (save("rows.png"), square, 10),
        (large, (2303, 2303), 3),
    ] {
        fs::write(path.with_extension("hdr"), header(size_px)).unwrap();
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        let mut shares = Vec::new();
        let whole = open(&path, RowOrder::FromBottom, &mut |share| {
            shares.push(share);
            true
        });
        assert_eq!(whole.unwrap().map.width_px, size_px.0, "{name}");
        assert!(shares.is_sorted(), "{name}: {shares:?}");
        assert!(shares.iter().all(|share| (0.0..=1.0).contains(share)), "{name}: {shares:?}");
        // No gap that would look as if nothing went on.
        let mut all = shares.clone();
        all.extend([0.0, 1.0]);
        all.sort_by(f32::total_cmp);
        let gap = all.windows(2).map(|pair| pair[1] - pair[0]).fold(0.0, f32::max);
        println!("{name}: told {} times, the longest step {gap:.2}", shares.len());
        assert!(shares.len() >= least && gap < 0.5, "{name}: {shares:?}");
        for stop_at in [0.0, 0.05, 0.3, 0.5, 0.75, 0.85] {
            if !shares.iter().any(|share| *share >= stop_at) {
                continue;
            }
            let mut later = 0;
            let stopped = open(&path, RowOrder::FromBottom, &mut |share| {
                later += usize::from(share >= stop_at);
                share < stop_at
            });
            assert!(matches!(stopped, Err(PictureError::Stopped)), "{name} at {stop_at}");
            assert_eq!(later, 1, "{name} at {stop_at}: asked again after it was stopped");
        }
    }
}

#[test]
fn a_header_beside_a_picture_must_be_for_it() {
    let folder = folder("beside");
    let jpeg = fs::read(pictures().join("beside.jpg")).unwrap();
    let header = fs::read_to_string(pictures().join("beside.hdr")).unwrap();
    fs::write(folder.join("a.jpg"), &jpeg).unwrap();
    let with = |name: &str, header: &str| {
        for old in ["a.wcs", "a.hdr"] {
            drop(fs::remove_file(folder.join(old)));
        }
        fs::write(folder.join(name), header).unwrap();
        read(&folder.join("a.jpg")).map_err(|error| error.to_string())
    };
    assert!(with("a.wcs", &header).is_ok());
    // Counted from the top, the same header means the picture upside down.
    let path = folder.join("a.jpg");
    let top = open(&path, RowOrder::FromTop, &mut |_| true).unwrap();
    let bottom = read(&path).unwrap();
    assert!(top.is_beside_bitmap && top.map.parity() == Parity::Mirrored);
    let [one, same] = [top.map.sky([7.0, 1.0]), bottom.map.sky([7.0, 90.0])].map(Option::unwrap);
    assert!(one.separation(same).arcsec() < 1e-6);
    // Without line breaks, as FITS itself has it.
    let on_end: String = header.lines().map(|line| format!("{line:<80}")).collect();
    assert!(with("a.hdr", &on_end).is_ok());
    let refusal = |header: &str| with("a.hdr", header).unwrap_err();
    let other = header.replace("NAXIS1  =                  120", "NAXIS1  =                  121");
    assert!(refusal(&other).contains("NAXIS1 is 121; expected 120"), "{}", refusal(&other));
    assert!(refusal("no header").contains("no END"));
    // No standard names these, so they say nothing.
    let own = header.replace("NAXIS1  =", "IMAGEW  = 121 /").replace("NAXIS2  =", "IMAGEH  = 9 /");
    assert!(own.contains("IMAGEW") && with("a.hdr", &own).is_ok());
    assert!(refusal(&header.replace("CTYPE1", "CTYPEX")).contains("holds none"));
    fs::remove_file(folder.join("a.hdr")).unwrap();
    let none = read(&folder.join("a.jpg")).unwrap_err();
    assert!(matches!(none, PictureError::NoCoordinates));
}

/// Files of every kind, with bytes changed, put in, taken out and cut off.
fn damaged() -> impl Strategy<Value = (usize, Vec<(usize, u8)>, Option<usize>)> {
    let changes = prop::collection::vec((0..6000usize, any::<u8>()), 0..12);
    (0..9usize, changes, prop::option::of(0..30_000usize))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn damaged_files_are_read_or_refused((kind, changes, cut) in damaged()) {
        let names = [
            "unsigned16.fits", "colours32f.fits", "extension8.fits", "sip64f.fits", "avm.png",
            "avm.jpg", "avm16.tif", "swapped32.fits", "avm_interlaced.png",
        ];
        let mut bytes = fs::read(pictures().join(names[kind])).unwrap();
        for (at, byte) in changes {
            let at = at % bytes.len();
            bytes[at] = byte;
        }
        if let Some(cut) = cut {
            bytes.truncate(cut.max(16));
        }
        let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR"));
        let path = folder.join(format!("damaged_{}_{kind}", std::process::id()));
        fs::write(&path, &bytes).unwrap();
        let found = read(&path);
        fs::remove_file(&path).unwrap();
        match found {
            Err(error) => prop_assert!(!error.to_string().is_empty()),
            Ok(picture) => {
                // What was accepted can be drawn from anywhere.
                let (width, height) = picture.kept_px();
                prop_assert!(width >= 1 && height >= 1 && width * height <= 4_000_000);
                let raster = picture.raster(picture.first_look());
                prop_assert_eq!(raster.size(), (width, height));
            }
        }
    }
}

/// The window on a kit in a folder, with its pictures beside it.
fn window(kit: &Path) -> Harness<'static, App> {
    let kit = kit.to_owned();
    let mut window = Harness::builder()
        .with_size(egui::Vec2::new(1280.0, 800.0))
        .with_max_steps(20)
        .build_eframe(|cc| App::new(cc, Some(kit)).unwrap());
    window.run_steps(6);
    window
}

fn kit_in(folder: &Path, picture: Option<&str>) -> PathBuf {
    let (mut kit, _) = demo();
    kit.background = picture.map(|path| Background {
        path: path.to_owned(),
        opacity: 1.0,
        dark_level: 0.0,
        stretch: 0.0,
        rows_from_top: false,
    });
    let path = folder.join("kit.ron");
    kit_file::write(&path, &kit).unwrap();
    path
}

/// Frames pass until something is so; the worker takes its time.
fn until(window: &mut Harness<'static, App>, is_so: impl Fn(&Harness<'static, App>) -> bool) {
    for _ in 0..400 {
        window.run_steps(1);
        if is_so(window) {
            return;
        }
        std::thread::sleep(std::time::Duration::from_millis(10));
    }
    panic!("it did not come about");
}

fn told_by_the_sky(window: &Harness<'static, App>) -> String {
    let sky = window.get_by_role(Role::Canvas);
    sky.accesskit_node().label().unwrap_or_default()
}

fn shows(window: &Harness<'static, App>, name: &str) -> bool {
    told_by_the_sky(window).contains(&format!("Under them: {name}"))
}

fn background(window: &Harness<'static, App>) -> Option<Background> {
    window.state().document().kit.background.clone()
}

fn choose(window: &mut Harness<'static, App>, button: &str, path: &Path) {
    window.get_by_label(button).click();
    window.run_steps(4);
    window.get_by_label("Path of the file").set_text_value_accesskit(&path.to_string_lossy());
    window.run_steps(4);
    window.get_by_role_and_label(Role::Button, "Open").click();
    window.run_steps(2);
}

#[test]
fn a_picture_is_chosen_changed_undone_and_removed_in_the_window() {
    let folder = folder("window");
    for name in ["avm.jpg", "unsigned16.fits"] {
        fs::copy(pictures().join(name), folder.join(name)).unwrap();
    }
    fs::write(folder.join("bad.png"), b"\x89PNG\r\n\x1a\nno more").unwrap();
    let mut window = window(&kit_in(&folder, None));
    window.key_press_modifiers(Modifiers::COMMAND, Key::P);
    window.run_steps(4);
    choose(&mut window, "Choose a picture…", &folder.join("unsigned16.fits"));
    until(&mut window, |window| shows(window, "unsigned16.fits"));
    let first = background(&window).unwrap();
    assert_eq!(first.path, "unsigned16.fits", "named from the kit's folder");
    for fact in ["120 × 90 pixels", "30.0″/px", "as the sky is seen"] {
        assert!(window.query_all_by_label_contains(fact).count() > 0, "{fact}");
    }
    let unnamed: Vec<String> =
        window.unnamed_widgets().iter().map(|widget| format!("{widget:?}")).collect();
    assert!(unnamed.is_empty(), "{unnamed:#?}");

    window.get_by_role_and_label(Role::Slider, "Opacity").set_value_accesskit(0.4);
    window.run_steps(30);
    assert!((background(&window).unwrap().opacity - 0.4).abs() < 1e-6);
    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    window.run_steps(4);
    assert_eq!(background(&window), Some(first.clone()));

    // What cannot be used is told, and the picture before stays.
    choose(&mut window, "Another picture…", &folder.join("bad.png"));
    until(&mut window, |window| {
        window.query_all_by_label_contains("The picture under the frames is the one before").count()
            > 0
    });
    assert_eq!(background(&window), Some(first.clone()));
    assert!(shows(&window, "unsigned16.fits"));
    window.get_by_label("Cancel").click();
    window.run_steps(4);

    window.get_by_label("Remove").click();
    window.run_steps(4);
    assert!(background(&window).is_none() && !shows(&window, "unsigned16.fits"));
    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    until(&mut window, |window| shows(window, "unsigned16.fits"));
    assert_eq!(background(&window), Some(first));
}

#[test]
fn a_kit_whose_picture_is_gone_opens_and_keeps_its_name() {
    let folder = folder("gone");
    let mut window = window(&kit_in(&folder, Some("gone.fits")));
    until(&mut window, |window| {
        window.query_all_by_label_contains("The picture under the frames is not shown").count() > 0
    });
    assert_eq!(background(&window).unwrap().path, "gone.fits");
    assert!(!window.state().document().is_changed());
    window.key_press_modifiers(Modifiers::COMMAND, Key::P);
    window.run_steps(4);
    assert!(window.query_all_by_label_contains("there is no such file").count() > 0);
    // Once it is back, it is shown.
    fs::copy(pictures().join("sip64f.fits"), folder.join("gone.fits")).unwrap();
    window.get_by_label("Try again").click();
    until(&mut window, |window| shows(window, "gone.fits"));
}
