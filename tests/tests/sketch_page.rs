//! The exported page: one scene for PNG and SVG, on dark and on white, at any size.
//!
//! The SVG is turned into pixels by `resvg`, a renderer of its own, and compared with the PNG.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test fails by panicking"
)]

mod apart;

use std::collections::BTreeSet;
use std::path::Path;
use std::sync::{Arc, Mutex};
use std::time::{Duration, Instant};

use apart::names_on_the_sky_stay_apart;
use egui::accesskit::Role;
use egui::{Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use fieldstop::kit::Kit;
use fieldstop::{Angle, Direction, Icrs};
use fieldstop_gui::app::App;
use fieldstop_gui::clipboard::PictureClipboard;
use fieldstop_gui::page_order::Pixels;
use fieldstop_gui::paint::{png, svg};
use fieldstop_gui::scene::palette::Palette;
use fieldstop_gui::scene::primitive::{Bounds, Scene, TextMark};
use fieldstop_gui::scene::{Layers, SkyInput, SkyView, sky_scene, stars};
use fieldstop_gui::sketch::{
    Format, Page, PageGround, PageSize, Part, SketchOptions, page, sketch,
};
use fieldstop_gui::sky::Sky;
use jiff::civil::date;
use resvg::tiny_skia::{Pixmap, Transform};
use resvg::usvg;

fn kit() -> Kit {
    ron::from_str(include_str!("../../assets/demo-kit.ron")).unwrap()
}

/// The document in pixels, four bytes each, as an independent renderer sees it.
fn rasterised(document: &str, px_across: f64, width: u32, height: u32) -> Pixmap {
    let tree = usvg::Tree::from_str(document, &usvg::Options::default()).unwrap();
    let mut pixmap = Pixmap::new(width, height).unwrap();
    let scale = px_across as f32 / tree.size().width();
    resvg::render(&tree, Transform::from_scale(scale, scale), &mut pixmap.as_mut());
    pixmap
}

/// Mean absolute difference of two pictures' channels, and the share of pixels that differ by
/// more than a third of the range.
fn difference(one: &[u8], other: &[u8]) -> (f64, f64) {
    assert_eq!(one.len(), other.len());
    let mut sum = 0.0;
    let mut far = 0;
    for (one, other) in one.chunks(4).zip(other.chunks(4)) {
        let worst = (0..3).map(|k| one[k].abs_diff(other[k])).max().unwrap();
        sum += f64::from(worst);
        far += usize::from(worst > 85);
    }
    let pixels = one.len() as f64 / 4.0;
    (sum / pixels, far as f64 / pixels)
}

/// Both painters' pictures of a scene agree. Not to the last bit: resvg knows another way to
/// soften an edge, and a star thinner than a pixel is drawn by its area in one and by its light
/// in the other. Measured: mean below 0.6 of 255, and 3 pixels in 10,000.
fn compare(scene: &Scene, px_per_pt: f64, what: &str) {
    let bitmap = png::render(scene, px_per_pt).unwrap();
    // Not rounded to whole pixels as the picture is.
    let px_across = scene.width_pt * px_per_pt;
    let drawn = rasterised(&svg::render(scene), px_across, bitmap.width(), bitmap.height());
    if let Ok(folder) = std::env::var("FIELDSTOP_PICTURES") {
        drawn.save_png(format!("{folder}/{what}-svg.png")).unwrap();
        bitmap.save_png(format!("{folder}/{what}-png.png")).unwrap();
    }
    let (mean, far) = difference(bitmap.data(), drawn.data());
    println!("{what}: mean {mean:.3} of 255, {:.1} of 10,000 pixels far off", far * 1e4);
    assert!(mean < 1.5, "{what}: {mean}");
    assert!(far < 1e-3, "{what}: {far}");
}

#[test]
fn the_sky_looks_alike_as_png_and_svg_on_every_ground() {
    let sky = Sky::embedded().unwrap();
    let kit = kit();
    let target = sky.catalogue.named("NGC 7000").unwrap();
    let frames: Vec<_> = (0..kit.rigs.len())
        .filter_map(|place| {
            let rig = kit.resolve(place)?;
            Some(fieldstop_gui::scene::DrawnFrame {
                name: rig.rig.name.clone(),
                frame: fieldstop_gui::framing::aimed(target, None, rig.field()),
                mark: kit.mark_of(place),
                lines: vec!["3.8° × 2.6°".to_owned()],
                panels: Vec::new(),
                lit_radius: Some(0.9),
                lifted: place == 1,
                chosen: place == 0,
            })
        })
        .collect();
    let view = SkyView::new(target.place, Angle::from_deg(8.0), 900.0, 600.0);
    let stars = stars::fetch(&view, &sky.stars);
    for (palette, what) in [(Palette::dark(), "sky-dark"), (Palette::paper(), "sky-paper")] {
        let scene = sky_scene(&SkyInput {
            view,
            palette: &palette,
            catalogue: &sky.catalogue,
            star_list: &sky.stars,
            stars: &stars,
            chosen: Some(target),
            wishes: &[],
            frames: &frames,
            picture: None,
            layers: Layers::default(),
        });
        compare(&scene, 1.5, what);
    }
}

const LANDSCAPE: PageSize = PageSize::Paper { width_mm: 180.0, height_mm: 120.0, dpi: 300.0 };
const A4: PageSize = PageSize::Paper { width_mm: 210.0, height_mm: 297.0, dpi: 150.0 };
const SMALL: PageSize = PageSize::Paper { width_mm: 120.0, height_mm: 90.0, dpi: 200.0 };
const POSTER: PageSize = PageSize::Paper { width_mm: 594.0, height_mm: 420.0, dpi: 100.0 };
const SCREEN: PageSize = PageSize::Pixels { width: 1600, height: 1000 };

/// The demo kit with so many rigs, every second with a name of inconvenient length.
fn kit_with(rigs: usize) -> Kit {
    let mut kit = kit();
    kit.rigs.truncate(rigs);
    while kit.rigs.len() < rigs {
        let place = kit.duplicate_rig(kit.rigs.len() % 3).unwrap();
        if place.is_multiple_of(2) {
            kit.rigs[place].name =
                format!("A rig whose name <is> longer & odder than \"anyone's\", number {place}");
        }
    }
    kit
}

fn options(target: &str, size: PageSize, ground: PageGround) -> SketchOptions {
    let mut options = SketchOptions::new(target, size);
    options.style.ground = ground;
    options
}

fn collisions(texts: &[TextMark], page: &Bounds, what: &str) {
    names_on_the_sky_stay_apart(texts, what);
    for (place, text) in texts.iter().enumerate() {
        let bounds = text.bounds();
        assert!(page.encloses(&bounds), "{what}: {:?} leaves the page, {bounds:?}", text.text);
        for other in &texts[..place] {
            assert!(
                !bounds.overlaps(&other.bounds()),
                "{what}: {:?} lies over {:?}",
                text.text,
                other.text
            );
        }
    }
}

fn words(page: &Page) -> String {
    page.scene.texts().iter().map(|text| text.text.as_str()).collect::<Vec<_>>().join(" ")
}

#[test]
fn a_page_looks_alike_as_png_and_svg() {
    let (kit, sky) = (kit(), Sky::embedded().unwrap());
    for (target, size, paper) in [
        ("M 31", LANDSCAPE, PageGround::Light),
        ("NGC 7000", SMALL, PageGround::Dark),
        ("M 57", SCREEN, PageGround::Light),
    ] {
        let page = page(&kit, &sky, &options(target, size, paper)).unwrap();
        compare(&page.scene, page.px_per_pt.min(2.0), &format!("{target} {paper:?}"));
    }
}

/// XML 1.0, SVG 2: read by an independent parser. ISO 216 gives the size of A4.
#[test]
fn an_svg_says_what_it_is_and_how_large() {
    let sky = Sky::embedded().unwrap();
    let mut kit = kit_with(8);
    kit.name = "Tom & \"Jerry\" <b>\u{1}".to_owned();
    let options = options("M 31", A4, PageGround::Light);
    let file = sketch(&kit, &sky, &options, Format::Svg, &mut |_| true).unwrap();
    let text = String::from_utf8(file).unwrap();
    let tree = roxmltree::Document::parse(&text).unwrap();
    let root = tree.root_element();
    assert_eq!((root.attribute("width"), root.attribute("height")), (Some("210mm"), Some("297mm")));
    let child = |name: &str| {
        let found = root.children().find(|node| node.tag_name().name() == name).unwrap();
        found.text().unwrap().to_owned()
    };
    assert_eq!(child("title"), "Tom & \"Jerry\" <b> : M 31");
    for said in ["OpenNGC", "ESA/Gaia/DPAC", "synthetic", "Fieldstop "] {
        assert!(child("desc").contains(said), "{said}");
    }
    // Every line of letters has its text beside it, and every name that is used exists.
    let labels: Vec<_> = tree.descendants().filter_map(|n| n.attribute("aria-label")).collect();
    assert_eq!(labels.len(), page(&kit, &sky, &options).unwrap().scene.texts().len());
    assert!(labels.contains(&"Andromeda Galaxy"));
    let ids: BTreeSet<_> = tree.descendants().filter_map(|node| node.attribute("id")).collect();
    let xlink = ("http://www.w3.org/1999/xlink", "href");
    let used = tree.descendants().filter_map(|node| node.attribute(xlink));
    let mut uses = 0;
    for name in used {
        uses += 1;
        assert!(ids.contains(name.trim_start_matches('#')), "{name}");
    }
    assert!(uses > 300, "{uses}");
    assert!(!text.contains("<text") && !text.contains("NaN"));
}

#[test]
fn words_never_overlap_nor_leave_the_page_on_paper() {
    let sky = Sky::embedded().unwrap();
    for rigs in [1, 2, 3, 5, 7, 9, 12] {
        let kit = kit_with(rigs);
        for (place, size) in [LANDSCAPE, A4, SMALL, POSTER, SCREEN].into_iter().enumerate() {
            // M 1 stands close to the Sun that night, so that there is a caution too.
            for (target, night) in [("M 1", Some(date(2026, 6, 14))), ("M 31", None)] {
                let paper = if place % 2 == 0 { PageGround::Light } else { PageGround::Dark };
                let mut options = options(target, size, paper);
                options.style.night = night;
                let page = page(&kit, &sky, &options).unwrap();
                let what = format!("{target}, {rigs} rigs, {}", size.words());
                collisions(&page.scene.texts(), &page.scene.bounds(), &what);
                let sky_box = Bounds::at(
                    page.sky_origin[0],
                    page.sky_origin[1],
                    page.view.width_pt,
                    page.view.height_pt,
                );
                let (sky_area, area) = (
                    sky_box.width() * sky_box.height(),
                    page.scene.width_pt * page.scene.height_pt,
                );
                assert!(page.scene.bounds().encloses(&sky_box), "{what}");
                assert!(sky_area > 0.12 * area, "{what}: the sky has {:.2}", sky_area / area);
            }
        }
    }
}

#[test]
fn whatever_is_left_out_nothing_collides() {
    let (kit, sky) = (kit_with(7), Sky::embedded().unwrap());
    // Every part alone, every part alone left out, and a scatter of others.
    let alone = (0..9).map(|bit| 1 << bit);
    let scatter = (0..512u32).step_by(37);
    for mask in alone.clone().chain(alone.map(|bit| 511 - bit)).chain(scatter) {
        let parts = Part::ALL.into_iter().enumerate();
        let without: BTreeSet<Part> =
            parts.filter(|(bit, _)| mask >> bit & 1 == 1).map(|(_, part)| part).collect();
        for size in [LANDSCAPE, SMALL, SCREEN] {
            let mut options = options("NGC 7000", size, PageGround::Light);
            options.style.without = without.clone();
            options.style.night = (mask % 2 == 0).then(|| date(2026, 8, 14));
            let page = page(&kit, &sky, &options).unwrap();
            let what = format!("without {without:?}, {}", size.words());
            collisions(&page.scene.texts(), &page.scene.bounds(), &what);
        }
    }
}

#[test]
fn rigs_without_room_are_counted() {
    let sky = Sky::embedded().unwrap();
    let kit = kit_with(12);
    let page = page(&kit, &sky, &options("M 31", SMALL, PageGround::Light)).unwrap();
    let texts = page.scene.texts();
    let told = texts.iter().find(|text| text.text.contains("no room to list them")).unwrap();
    let unlisted: usize = told.text.split(' ').next().unwrap().parse().unwrap();
    let listed = kit
        .rigs
        .iter()
        .filter(|rig| {
            let begins: String = rig.name.chars().take(8).collect();
            texts.iter().any(|text| text.halo.is_none() && text.text.starts_with(&begins))
        })
        .count();
    assert!(unlisted > 0 && listed > 0 && listed + unlisted >= 12, "{listed} and {unlisted}");
}

/// What the licences ask for cannot be turned off while such data are drawn.
#[test]
fn sources_and_the_note_on_stars_stay_as_long_as_they_are_drawn() {
    let (kit, sky) = (kit(), Sky::embedded().unwrap());
    let without = |parts: &[Part]| {
        let mut options = options("NGC 7000", LANDSCAPE, PageGround::Light);
        options.style.without = parts.iter().copied().collect();
        words(&page(&kit, &sky, &options).unwrap())
    };
    let stars_only: Vec<Part> = Part::ALL.into_iter().filter(|part| *part != Part::Stars).collect();
    let bare = without(&stars_only);
    for said in ["synthetic", "ESA/Gaia/DPAC", "OpenNGC", "CC BY-SA 4.0"] {
        assert!(bare.contains(said), "{said}: {bare}");
    }
    for gone in ["Fieldstop", "North America", "Short refractor", "Cygnus", "N E"] {
        assert!(!bare.contains(gone), "{gone}: {bare}");
    }
    let nothing = without(&Part::ALL);
    assert!(!nothing.contains("synthetic") && !nothing.contains("Gaia"), "{nothing}");
    assert!(nothing.contains("OpenNGC"), "{nothing}");
    let whole = without(&[]);
    for said in ["Fieldstop", "Cygnus", "Short refractor", "2.00° × 1.67°"] {
        assert!(whole.contains(said), "{said}: {whole}");
    }
}

/// The hours themselves are checked against skyfield elsewhere; here, that they are printed.
#[test]
fn a_chosen_night_is_printed_and_nothing_depends_on_the_clock() {
    let (kit, sky) = (kit(), Sky::embedded().unwrap());
    let mut wanted = options("M 31", LANDSCAPE, PageGround::Dark);
    wanted.style.night = Some(date(2026, 9, 12));
    let said = words(&page(&kit, &sky, &wanted).unwrap());
    for part in ["Night of 12 September 2026 (Europe/Paris time)", "dark ", "Moon ", "usable "] {
        assert!(said.contains(part), "{part}: {said}");
    }
    assert!(!said.contains("Caution"));
    for format in [Format::Png, Format::Svg] {
        let draw = || sketch(&kit, &sky, &wanted, format, &mut |_| true).unwrap();
        assert_eq!(draw(), draw());
    }
    let near_sun = SketchOptions { target: "M 1".to_owned(), ..wanted.clone() };
    let mut near_sun = near_sun;
    near_sun.style.night = Some(date(2026, 6, 14));
    let said = words(&page(&kit, &sky, &near_sun).unwrap());
    assert!(said.contains("Never point any optics at or near the Sun"), "{said}");
    near_sun.style.night = Some(date(1200, 6, 14));
    let told = page(&kit, &sky, &near_sun).unwrap_err().to_string();
    assert!(told.contains("1200") && told.contains("1950 to 2100"), "{told}");
    let stamp = PageSize::Paper { width_mm: 100.0, height_mm: 70.0, dpi: 100.0 };
    wanted.style.size = stamp;
    let told = page(&kit, &sky, &wanted).unwrap_err().to_string();
    assert!(told.contains("no room for the words of a night"), "{told}");
    wanted.style.size = PageSize::Paper { width_mm: 112.0, height_mm: 85.0, dpi: 100.0 };
    assert!(page(&kit, &sky, &wanted).is_ok());
}

/// On a page for paper, at three resolutions: the middle of the frame line's pixels along rows and
/// columns, against corners computed here from right ascension and declination with the TAN
/// formulas of Calabretta & Greisen 2002, A&A 395, 1077.
#[test]
fn frame_lines_are_where_they_should_be_on_paper() {
    let (kit, sky) = (kit(), Sky::embedded().unwrap());
    let first = kit.rigs.iter().position(|rig| rig.shown).unwrap();
    let mut worst = 0.0f64;
    for dpi in [96.0, 200.0, 350.0] {
        let size = PageSize::Paper { width_mm: 180.0, height_mm: 120.0, dpi };
        let mut wanted = options("NGC 7000", size, PageGround::Light);
        wanted.rigs = vec![kit.rigs[first].name.clone()];
        let page = page(&kit, &sky, &wanted).unwrap();
        let bitmap = png::render(&page.scene, page.px_per_pt).unwrap();
        assert_eq!((bitmap.width(), bitmap.height()), size.pixels());
        let corners = page.frames[0].frame.corners().map(|place| on_page(place, &page));
        // The frame stands upright: its edges run along rows and columns.
        let (xs, ys) = (corners.map(|c| c[0]), corners.map(|c| c[1]));
        let least = |v: [f64; 4]| v.into_iter().fold(f64::INFINITY, f64::min);
        let most = |v: [f64; 4]| v.into_iter().fold(0.0, f64::max);
        for (wanted, across) in
            [(least(xs), true), (most(xs), true), (least(ys), false), (most(ys), false)]
        {
            let found = line_middle(&bitmap, wanted, across, [xs, ys], page.px_per_pt);
            let miss = (found - wanted).abs();
            worst = worst.max(miss);
            assert!(miss < 0.5, "{dpi} dpi: {found}, expected {wanted}");
        }
    }
    println!("worst frame line: {worst:.3} px");
}

/// Where a place falls in the picture, in pixels.
fn on_page(place: Direction<Icrs>, page: &Page) -> [f64; 2] {
    let centre = page.view.centre;
    let (d, d0, da) = (place.dec().rad(), centre.dec().rad(), (place.ra() - centre.ra()).rad());
    let depth = d.sin() * d0.sin() + d.cos() * d0.cos() * da.cos();
    let xi = d.cos() * da.sin() / depth;
    let eta = (d.sin() * d0.cos() - d.cos() * d0.sin() * da.cos()) / depth;
    let scale = page.view.width_pt / 2.0 / (page.view.span / 2.0).tan();
    [
        (page.sky_origin[0] + page.view.width_pt / 2.0 - scale * xi) * page.px_per_pt,
        (page.sky_origin[1] + page.view.height_pt / 2.0 - scale * eta) * page.px_per_pt,
    ]
}

/// The mean place of the darkened orange's pixels near an upright edge.
fn line_middle(
    bitmap: &Pixmap,
    wanted: f64,
    across: bool,
    [xs, ys]: [[f64; 4]; 2],
    px_per_pt: f64,
) -> f64 {
    let along = if across { ys } else { xs };
    let from = along.into_iter().fold(f64::INFINITY, f64::min);
    let to = along.into_iter().fold(0.0, f64::max);
    let (mut sum, mut weighed) = (0.0, 0.0);
    let reach = (3.0 * px_per_pt).ceil();
    for step in 1..60 {
        // Away from the corners, and from the turning handle in the middle.
        let at = from + (to - from) * (0.1 + 0.3 * f64::from(step) / 60.0);
        let mut place = (wanted - reach).floor();
        while place <= wanted + reach {
            let (x, y) = if across { (place, at) } else { (at, place) };
            let pixel = bitmap.pixel(x as u32, y as u32).unwrap();
            let weight = (f64::from(pixel.red()) - f64::from(pixel.blue()) - 60.0).max(0.0);
            sum += weight;
            weighed += weight * (place.floor() + 0.5);
            place += 1.0;
        }
    }
    assert!(sum > 0.0, "no line near {wanted}");
    weighed / sum
}

type Window = Harness<'static, App>;

/// What is told where copying was stopped.
const NOT_COPIED: &str = "Stopped; nothing was copied.";

/// Pictures that were copied, and the thread that packed each.
type Copied = Arc<Mutex<Vec<(Pixels, std::thread::ThreadId)>>>;

fn export_window_copying(copied: &Copied) -> Window {
    let copied = copied.clone();
    export_window_with(PictureClipboard::new(move |pixels| {
        copied.lock().unwrap().push((pixels, std::thread::current().id()));
        Ok(())
    }))
}

fn export_window() -> Window {
    export_window_with(PictureClipboard::new(|_| Ok(())))
}

fn export_window_with(clipboard: PictureClipboard) -> Window {
    let mut window = Harness::builder()
        .with_size(egui::vec2(1280.0, 800.0))
        .with_max_steps(20)
        .build_eframe(|cc| {
            let app = App::new(cc, None).expect("the embedded sky opens");
            app.copying_pictures_to(clipboard)
        });
    window.run_steps(4);
    window.key_press_modifiers(Modifiers::COMMAND, Key::E);
    window.run_steps(4);
    window
}

fn click(window: &mut Window, label: &str) {
    window.get_by_label(label).click_accesskit();
    window.run_steps(4);
}

fn save_at(window: &mut Window, path: &Path) {
    let field = window.get_by_label("Path of the file");
    field.focus();
    field.set_text_value_accesskit("");
    window.run_steps(4);
    let field = window.get_by_label("Path of the file");
    field.set_text_value_accesskit(&path.to_string_lossy());
    window.run_steps(4);
    click(window, "Save");
}

/// Goes on, frame by frame, until something is there.
fn wait(window: &mut Window, what: &str, mut there: impl FnMut(&Window) -> bool) {
    for _ in 0..600 {
        window.run_steps(1);
        if there(window) {
            return;
        }
        std::thread::sleep(Duration::from_millis(50));
    }
    panic!("{what} did not come");
}

fn folder(name: &str) -> std::path::PathBuf {
    let folder = std::env::temp_dir().join(format!("fieldstop-{name}-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    folder
}

#[test]
fn the_export_window_previews_and_saves_what_was_chosen() {
    let folder = folder("export");
    let path = folder.join("odd <name> & ümlaut.svg");
    let mut window = export_window();
    wait(&mut window, "the preview", |w| w.query_by_label("Preview of the picture").is_some());
    click(&mut window, "What to export");
    click(&mut window, "A panel a rig, same scale");
    click(&mut window, "White paper");
    click(&mut window, "on paper");
    click(&mut window, "Grid");
    click(&mut window, "Print a night");
    click(&mut window, "SVG");
    let choice = &window.state().workspace().export;
    assert!(choice.svg && choice.on_paper && choice.with_night);
    assert!(choice.without.contains(&Part::Grid) && choice.ground == PageGround::Light);
    assert!(choice.style().night.is_some());
    click(&mut window, "Save as…");
    save_at(&mut window, &path);
    wait(&mut window, "the file", |_| path.exists());
    let text = std::fs::read_to_string(&path).unwrap();
    let tree = roxmltree::Document::parse(&text).unwrap();
    assert_eq!(tree.root_element().attribute("width"), Some("180mm"));
    assert!(text.contains("Night of ") && text.contains("Every panel shows the same width of sky"));
    std::fs::remove_dir_all(folder).unwrap();
}

/// A page has room for twelve panels, the demo's wish list is longer.
#[test]
fn the_targets_of_a_page_are_picked_from_the_wish_list() {
    let folder = folder("picked");
    let path = folder.join("wishes.svg");
    let mut window = export_window();
    click(&mut window, "What to export");
    click(&mut window, "A panel a wish, same scale");
    let kit = &window.state().document().kit;
    let wishes: Vec<String> = kit.wish_list.iter().map(|wish| wish.name().to_owned()).collect();
    // Beyond the twelve, and near enough to be laid out before the list is scrolled.
    let (first, later) = (&wishes[0], &wishes[14]);
    let tick = |window: &mut Window, name: &str| {
        let other = format!("{name}  ");
        let wanted = window.query_all_by_role(Role::CheckBox).find(|node| {
            let label = node.accesskit_node().label().unwrap_or_default();
            label == name || label.starts_with(&other)
        });
        wanted.expect("a box of that name").click_accesskit();
        window.run_steps(4);
    };
    let told = |window: &Window, count: usize| {
        window.query_by_label(&format!("{count} ticked of at most 12")).is_some()
    };
    assert!(
        window.query_by_label_contains(&format!("The first 12 of {},", wishes.len())).is_some()
    );
    for name in &wishes[..12] {
        tick(&mut window, name);
    }
    assert!(told(&window, 12));
    tick(&mut window, later);
    assert!(told(&window, 12), "there is no room");
    for name in wishes[..1].iter().chain(&wishes[2..12]) {
        tick(&mut window, name);
    }
    tick(&mut window, later);
    assert!(told(&window, 2));
    click(&mut window, "SVG");
    click(&mut window, "Save as…");
    save_at(&mut window, &path);
    wait(&mut window, "the file", |_| path.exists());
    let text = std::fs::read_to_string(&path).unwrap();
    let tree = roxmltree::Document::parse(&text).unwrap();
    let says = |name: &str| {
        let mut labels = tree.descendants().filter_map(|node| node.attribute("aria-label"));
        labels.any(|label| label == name || label.starts_with(&format!("{name} ")))
    };
    let said = [&wishes[1], later, first, &wishes[2]].map(|name| says(name));
    assert_eq!(said, [true, true, false, false], "{text}");
    // The next time they are still picked.
    window.key_press_modifiers(Modifiers::COMMAND, Key::E);
    window.run_steps(6);
    assert!(told(&window, 2));
    std::fs::remove_dir_all(folder).unwrap();
}

#[test]
fn a_name_or_folder_that_will_not_do_is_explained_and_the_old_file_kept() {
    let folder = folder("refused");
    let mut window = export_window();
    click(&mut window, "Save as…");
    save_at(&mut window, &folder.join("picture.jpeg"));
    let told =
        |window: &Window, words: &str| window.query_all_by_label_contains(words).next().is_some();
    assert!(told(&window, "expected a name that ends in .png or .svg"));
    save_at(&mut window, &folder.join("nowhere").join("picture.png"));
    wait(&mut window, "the refusal", |w| told(w, "expected a folder that exists"));
    let old = folder.join("old.png");
    std::fs::write(&old, "what was there").unwrap();
    let mut read_only = std::fs::metadata(&old).unwrap().permissions();
    read_only.set_readonly(true);
    std::fs::set_permissions(&old, read_only).unwrap();
    save_at(&mut window, &old);
    click(&mut window, "Save");
    wait(&mut window, "the refusal", |w| told(w, "is read-only"));
    assert_eq!(std::fs::read_to_string(&old).unwrap(), "what was there");
    assert_eq!(std::fs::read_dir(&folder).unwrap().count(), 1, "nothing half-written is left");
    std::fs::remove_dir_all(folder).unwrap();
}

#[test]
fn a_picture_is_copied_whole() {
    let copied = Arc::new(Mutex::new(Vec::new()));
    let mut window = export_window_copying(&copied);
    click(&mut window, "Copy picture");
    wait(&mut window, "the words", |w| w.query_by_label("Copied 2400 x 1600 pixels").is_some());
    let copied = copied.lock().unwrap();
    let [(pixels, thread)] = &copied[..] else { panic!("{} pictures", copied.len()) };
    assert_eq!((pixels.size, pixels.rgba.len()), ([2400, 1600], 2400 * 1600 * 4));
    assert!(pixels.rgba.chunks_exact(4).all(|pixel| pixel[3] == 255));
    assert!(pixels.rgba.chunks_exact(4).any(|pixel| pixel != &pixels.rgba[..4]));
    assert_ne!(*thread, std::thread::current().id(), "packed on the window's thread");
}

#[test]
fn copying_is_stopped_by_its_button_and_by_leaving_the_window() {
    let copied = Arc::new(Mutex::new(Vec::new()));
    let mut window = export_window_copying(&copied);
    click(&mut window, "Copy picture");
    click(&mut window, "Stop copying");
    wait(&mut window, "the words", |w| w.query_by_label(NOT_COPIED).is_some());
    assert!(copied.lock().unwrap().is_empty());

    click(&mut window, "Copy picture");
    let start = Instant::now();
    wait(&mut window, "the picture", |_| !copied.lock().unwrap().is_empty());
    let took = start.elapsed();
    wait(&mut window, "the words", |w| w.query_by_label_contains("Copied 2400").is_some());
    click(&mut window, "Copy picture");
    click(&mut window, "Cancel");
    assert!(window.query_by_label("Copy picture").is_none());
    std::thread::sleep(took * 2);
    assert_eq!(copied.lock().unwrap().len(), 1, "the clipboard changed behind the person's back");
}

/// A system without a clipboard for pictures says so, and the window goes on.
#[test]
fn a_clipboard_that_refuses_is_told_of() {
    let refuses = PictureClipboard::new(|_| Err("There is no clipboard here".to_owned()));
    let mut window = export_window_with(refuses);
    click(&mut window, "Copy picture");
    wait(&mut window, "the words", |w| w.query_by_label("There is no clipboard here").is_some());
    assert!(window.query_by_label("Copy picture").is_some());
}

#[test]
fn every_control_of_the_export_window_has_a_name() {
    let mut window = export_window();
    for more in ["on paper", "Print a night"] {
        click(&mut window, more);
    }
    let unnamed = window.unnamed_widgets();
    assert!(unnamed.is_empty(), "{unnamed:?}");
}
