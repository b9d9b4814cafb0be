//! The exported picture: its geometry is found again in its pixels, its words never collide, its
//! file says what it must.
//!
//! Where a frame's corners are to be is computed here from right ascension and declination with
//! the TAN formulas of Calabretta & Greisen 2002, A&A 395, 1077 (section 5.1.3), apart from the
//! program's own projection.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test fails by panicking")]

use fieldstop::kit::Kit;
use fieldstop::{Angle, Direction, Field, Frame, Icrs};
use fieldstop_gui::paint::png::render;
use fieldstop_gui::scene::palette::Palette;
use fieldstop_gui::scene::primitive::{Bounds, TextMark};
use fieldstop_gui::scene::{DrawnFrame, Layers, SkyInput, SkyView, sky_scene, stars};
use fieldstop_gui::sketch::{Format, PageSize, SketchError, SketchOptions, page, sketch};
use fieldstop_gui::sky::Sky;

fn kit() -> Kit {
    ron::from_str(include_str!("../../assets/demo-kit.ron")).unwrap()
}

fn options(target: &str, width_px: u32, height_px: u32) -> SketchOptions {
    SketchOptions::new(target, PageSize::Pixels { width: width_px, height: height_px })
}

/// A picture's pixels, three bytes each.
struct Pixels {
    width: u32,
    height: u32,
    rgb: Vec<u8>,
}

impl Pixels {
    fn at(&self, x: u32, y: u32) -> [f64; 3] {
        let start = ((y * self.width + x) * 3) as usize;
        [0, 1, 2].map(|channel| f64::from(self.rgb[start + channel]))
    }
}

fn decoded(file: &[u8]) -> (Pixels, png::Info<'static>) {
    let mut reader = png::Decoder::new(std::io::Cursor::new(file)).read_info().unwrap();
    let mut rgb = vec![0; reader.output_buffer_size().unwrap()];
    reader.next_frame(&mut rgb).unwrap();
    reader.finish().unwrap();
    let info = reader.info().clone();
    assert_eq!((info.color_type, info.bit_depth), (png::ColorType::Rgb, png::BitDepth::Eight));
    (Pixels { width: info.width, height: info.height, rgb }, info)
}

/// Where a place falls on a gnomonic page with north up and east left: x right, y down.
fn tan_page(
    place: Direction<Icrs>,
    centre: Direction<Icrs>,
    scale: f64,
    middle: [f64; 2],
) -> [f64; 2] {
    let (d, d0, da) = (place.dec().rad(), centre.dec().rad(), (place.ra() - centre.ra()).rad());
    let depth = d.sin() * d0.sin() + d.cos() * d0.cos() * da.cos();
    let xi = d.cos() * da.sin() / depth;
    let eta = (d.sin() * d0.cos() - d.cos() * d0.sin() * da.cos()) / depth;
    [middle[0] - scale * xi, middle[1] - scale * eta]
}

/// The line through the pixels that a marker finds near an expected segment: a point and a
/// direction, by weighted total least squares.
fn line_near(
    pixels: &Pixels,
    [from, to]: [[f64; 2]; 2],
    reach: f64,
    marker: &dyn Fn([f64; 3]) -> f64,
) -> ([f64; 2], [f64; 2]) {
    let (dx, dy) = (to[0] - from[0], to[1] - from[1]);
    let length = dx.hypot(dy);
    let (mut sum, mut mean) = (0.0, [0.0; 2]);
    let mut found = Vec::new();
    let range = |axis: usize, most: u32| {
        let (least, greatest) = (from[axis].min(to[axis]), from[axis].max(to[axis]));
        (least - reach).max(0.0) as u32..((greatest + reach).max(0.0) as u32 + 1).min(most)
    };
    for y in range(1, pixels.height) {
        for x in range(0, pixels.width) {
            let (px, py) = (f64::from(x) + 0.5, f64::from(y) + 0.5);
            let along = ((px - from[0]) * dx + (py - from[1]) * dy) / length / length;
            let across = ((px - from[0]) * dy - (py - from[1]) * dx) / length;
            // Away from the corners, where two lines meet and the handle and the words stand.
            if !(0.08..0.92).contains(&along) || across.abs() > reach {
                continue;
            }
            let weight = marker(pixels.at(x, y));
            if weight > 0.0 {
                sum += weight;
                mean = [mean[0] + weight * px, mean[1] + weight * py];
                found.push((px, py, weight));
            }
        }
    }
    assert!(sum > 0.5 * length, "an edge of {length} pixels is not to be seen: {sum}");
    let mean = mean.map(|v| v / sum);
    let (mut xx, mut xy, mut yy) = (0.0, 0.0, 0.0);
    for (px, py, weight) in found {
        let (x, y) = (px - mean[0], py - mean[1]);
        (xx, xy, yy) = (xx + weight * x * x, xy + weight * x * y, yy + weight * y * y);
    }
    let angle = 0.5 * f64::atan2(2.0 * xy, xx - yy);
    (mean, [angle.cos(), angle.sin()])
}

fn meeting(one: ([f64; 2], [f64; 2]), other: ([f64; 2], [f64; 2])) -> [f64; 2] {
    let ((p, u), (q, v)) = (one, other);
    let share = ((q[0] - p[0]) * v[1] - (q[1] - p[1]) * v[0]) / (u[0] * v[1] - u[1] * v[0]);
    [p[0] + share * u[0], p[1] + share * u[1]]
}

/// The corners as the pixels show them, and how far the worst is from where it should be.
fn worst_miss(
    pixels: &Pixels,
    wanted: [[f64; 2]; 4],
    reach: f64,
    marker: &dyn Fn([f64; 3]) -> f64,
) -> f64 {
    let edges: Vec<_> = (0..4)
        .map(|k| line_near(pixels, [wanted[k], wanted[(k + 1) % 4]], reach, marker))
        .collect();
    (0..4)
        .map(|k| {
            let found = meeting(edges[(k + 3) % 4], edges[k]);
            (found[0] - wanted[k][0]).hypot(found[1] - wanted[k][1])
        })
        .fold(0.0, f64::max)
}

/// How much of a pixel is the first rig's orange (230, 159, 0): red far above blue.
fn orange([red, _, blue]: [f64; 3]) -> f64 {
    ((red - blue - 90.0) / 140.0).clamp(0.0, 1.0)
}

#[test]
fn the_corners_of_a_frame_are_where_they_should_be_in_an_exported_sketch() {
    let (kit, sky) = (kit(), Sky::embedded().unwrap());
    let first = kit.rigs.iter().position(|rig| rig.shown).unwrap();
    assert_eq!(kit.mark_of(first), 0, "the test looks for the first rig's orange");
    for target in ["M 31", "NGC 7000"] {
        for (width, height) in [(640, 480), (1300, 1000), (2400, 1600)] {
            let mut options = options(target, width, height);
            options.rigs = vec![kit.rigs[first].name.clone()];
            let page = page(&kit, &sky, &options).unwrap();
            let (pixels, _) =
                decoded(&sketch(&kit, &sky, &options, Format::Png, &mut |_| true).unwrap());
            let k = page.px_per_pt;
            let middle = [
                (page.sky_origin[0] + page.view.width_pt / 2.0) * k,
                (page.sky_origin[1] + page.view.height_pt / 2.0) * k,
            ];
            let scale = page.view.width_pt / 2.0 / (page.view.span / 2.0).tan() * k;
            let corners = page.frames[0].frame.corners();
            let wanted = corners.map(|at| tan_page(at, page.view.centre, scale, middle));
            let miss = worst_miss(&pixels, wanted, 2.5 * k, &orange);
            println!("{target} at {width} x {height}: {miss:.3} px");
            assert!(miss < 0.5, "{target} at {width} x {height}: {miss} pixels");
        }
    }
}

/// On a plain sky, also where right ascension wraps and at a pole, for turned frames off the middle.
#[test]
fn corners_are_exact_at_0h_and_at_the_pole() {
    let sky = Sky::embedded().unwrap();
    let field = Field { half_width: 0.02, half_height: 0.013 };
    for (ra, dec) in [(0.2, 0.0), (359.9, -45.0), (40.0, 89.7), (10.0, -90.0)] {
        let centre = Direction::from_ra_dec(Angle::from_deg(ra), Angle::from_deg(dec));
        let aimed = centre.offset(Angle::from_deg(70.0), Angle::from_deg(0.8));
        for (turn, px_per_pt) in [(0.0, 1.0), (33.0, 2.0), (200.0, 2.5)] {
            let frame = Frame { centre: aimed, rotation: Angle::from_deg(turn), field };
            let drawn = DrawnFrame {
                name: String::new(),
                frame,
                mark: 0,
                lines: Vec::new(),
                panels: Vec::new(),
                lit_radius: None,
                lifted: false,
                chosen: false,
            };
            let view = SkyView::new(centre, Angle::from_deg(6.0), 900.0, 700.0);
            let scene = sky_scene(&SkyInput {
                view,
                palette: &Palette::dark(),
                catalogue: &sky.catalogue,
                star_list: &sky.stars,
                stars: &[],
                chosen: None,
                wishes: &[],
                frames: std::slice::from_ref(&drawn),
                picture: None,
                layers: Layers::nothing(),
            });
            let pixmap = render(&scene, px_per_pt).unwrap();
            let rgb = pixmap.data().chunks(4).flat_map(|p| p[..3].to_vec()).collect();
            let pixels = Pixels { width: pixmap.width(), height: pixmap.height(), rgb };
            let scale = 450.0 / Angle::from_deg(3.0).tan() * px_per_pt;
            let middle = [450.0 * px_per_pt, 350.0 * px_per_pt];
            let wanted = frame.corners().map(|at| tan_page(at, centre, scale, middle));
            let miss = worst_miss(&pixels, wanted, 2.5 * px_per_pt, &orange);
            assert!(miss < 0.5, "{ra} {dec} turned by {turn}, {px_per_pt} px/pt: {miss} pixels");
        }
    }
}

#[test]
fn the_same_command_gives_the_same_bytes() {
    let (kit, sky) = (kit(), Sky::embedded().unwrap());
    let options = options("M 51", 640, 480);
    let one = sketch(&kit, &sky, &options, Format::Png, &mut |_| true).unwrap();
    let other =
        sketch(&kit, &Sky::embedded().unwrap(), &options, Format::Png, &mut |_| true).unwrap();
    assert_eq!(one, other);
}

/// PNG (third edition): pHYs is in pixels a metre; iTXt holds UTF-8; the keywords are registered.
#[test]
fn the_file_says_what_it_is() {
    let (kit, sky) = (kit(), Sky::embedded().unwrap());
    let (pixels, info) = decoded(
        &sketch(&kit, &sky, &options("M 31", 2400, 1600), Format::Png, &mut |_| true).unwrap(),
    );
    assert_eq!((pixels.width, pixels.height), (2400, 1600));
    let dims = info.pixel_dims.unwrap();
    assert_eq!(dims.unit, png::Unit::Meter);
    // 144 pixels an inch of 25.4 mm.
    assert_eq!((dims.xppu, dims.yppu), (5669, 5669));
    let text = |keyword: &str| {
        let chunk = info.utf8_text.iter().find(|chunk| chunk.keyword == keyword);
        chunk.unwrap_or_else(|| panic!("no {keyword}")).get_text().unwrap()
    };
    assert_eq!(text("Title"), format!("{}: M 31", kit.name));
    assert!(text("Software").starts_with("Fieldstop "));
    for source in ["OpenNGC", "CC BY-SA 4.0", "ESA/Gaia/DPAC", "CC BY-SA 3.0 IGO", "Hipparcos"] {
        assert!(text("Copyright").contains(source), "{source}");
    }
    assert!(text("Comment").contains("fainter than V 9.5 are synthetic"));
}

/// The demo kit with so many rigs, some with names of inconvenient length.
fn kit_with(rigs: usize) -> Kit {
    let mut kit = kit();
    kit.rigs.truncate(rigs);
    while kit.rigs.len() < rigs {
        let place = kit.duplicate_rig(kit.rigs.len() % 3).unwrap();
        if place.is_multiple_of(2) {
            kit.rigs[place].name = format!(
                "A rig with a name far longer than anyone would think of, number {}",
                kit.rigs.len()
            );
        }
    }
    kit
}

fn collisions(texts: &[TextMark], page: &Bounds, what: &str) {
    for (place, text) in texts.iter().enumerate() {
        let bounds = text.bounds();
        assert!(page.encloses(&bounds), "{what}: {:?} leaves the page, {bounds:?}", text.text);
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
fn words_never_overlap_nor_leave_the_page() {
    let sky = Sky::embedded().unwrap();
    let sizes = [
        (16, 16),
        (16, 2000),
        (2000, 16),
        (241, 161),
        (420, 320),
        (500, 330),
        (500, 1400),
        (640, 480),
        (800, 600),
        (1024, 1024),
        (1280, 800),
        (1920, 1080),
        (2400, 1600),
        (3000, 700),
        (900, 2400),
        (20_000, 400),
    ];
    for rigs in [0, 1, 2, 5, 8, 12] {
        let kit = kit_with(rigs);
        for (place, (width, height)) in sizes.into_iter().enumerate() {
            // Two of the four at every size, and each at half the sizes.
            for target in [["M 31", "M 57"], ["NGC 7000", "M 45"]][(place + rigs) % 2] {
                let page = page(&kit, &sky, &options(target, width, height)).unwrap();
                let what = format!("{target}, {rigs} rigs, {width} x {height}");
                collisions(&page.scene.texts(), &page.scene.bounds(), &what);
            }
        }
    }
}

#[test]
fn the_legend_names_every_rig_where_there_is_room() {
    let sky = Sky::embedded().unwrap();
    for rigs in 1..=12 {
        let kit = kit_with(rigs);
        for (width, height) in [(1280, 800), (2400, 1600), (1024, 1024), (900, 1600)] {
            let page = page(&kit, &sky, &options("M 31", width, height)).unwrap();
            let texts = page.scene.texts();
            for rig in &kit.rigs {
                let begins: String = rig.name.chars().take(12).collect();
                assert!(
                    texts.iter().any(|text| text.text.starts_with(&begins) && text.halo.is_none()),
                    "{} of {rigs} at {width} x {height}",
                    rig.name
                );
            }
        }
    }
}

#[test]
fn every_size_that_is_promised_can_be_drawn() {
    let (kit, sky) = (kit(), Sky::embedded().unwrap());
    for (width, height) in [(16, 16), (16, 3000), (20_000, 16), (17, 16), (333, 222)] {
        let (pixels, _) = decoded(
            &sketch(&kit, &sky, &options("M 42", width, height), Format::Png, &mut |_| true)
                .unwrap(),
        );
        assert_eq!((pixels.width, pixels.height), (width, height));
    }
}

#[test]
fn what_cannot_be_drawn_is_refused_in_words() {
    let (kit, sky) = (kit(), Sky::embedded().unwrap());
    let told = |options: &SketchOptions| {
        sketch(&kit, &sky, options, Format::Png, &mut |_| panic!("nothing is begun"))
            .unwrap_err()
            .to_string()
    };
    assert_eq!(told(&options("M 31", 15, 800)), "width is 15 pixels; expected 16 to 20000");
    assert_eq!(told(&options("M 31", 800, 20_001)), "height is 20001 pixels; expected 16 to 20000");
    assert_eq!(
        told(&options("M 31", 20_000, 10_001)),
        "20000 x 10001 is 200.0 megapixels; expected at most 200"
    );
    assert!(told(&options("M 999", 800, 600)).contains("no target \"M 999\""));
    let unknown = SketchOptions { rigs: vec!["Nobody's".to_owned()], ..options("M 31", 800, 600) };
    assert!(told(&unknown).starts_with("the kit has no rig \"Nobody's\"; expected one of: "));
    for span in [0.0, 91.0, -3.0, f64::NAN] {
        let span = Some(Angle::from_deg(span));
        let wrong = SketchOptions { span, ..options("M 31", 800, 600) };
        assert!(matches!(
            sketch(&kit, &sky, &wrong, Format::Png, &mut |_| true),
            Err(SketchError::Span { .. })
        ));
    }
}

#[test]
fn whoever_waits_can_stop_it() {
    let (kit, sky) = (kit(), Sky::embedded().unwrap());
    let stopped = sketch(&kit, &sky, &options("M 31", 640, 480), Format::Png, &mut |_| false);
    assert_eq!(stopped.unwrap_err().to_string(), "stopped before the picture was done");
}

/// The dim red theme: one hue and no bright pixel, whatever is drawn over what.
#[test]
fn the_red_theme_leaves_no_other_colour_on_the_page() {
    let sky = Sky::embedded().unwrap();
    let target = sky.catalogue.named("M 31").unwrap();
    let view = SkyView::new(target.place, Angle::from_deg(4.0), 700.0, 500.0);
    let frames: Vec<DrawnFrame> = (0..9u8)
        .map(|mark| DrawnFrame {
            name: format!("rig {mark}"),
            frame: Frame {
                centre: target.place,
                rotation: Angle::from_deg(f64::from(mark) * 7.0),
                field: Field { half_width: 0.006 + 0.002 * f64::from(mark), half_height: 0.01 },
            },
            mark,
            lines: vec!["f/5.8".to_owned()],
            panels: Vec::new(),
            lit_radius: None,
            lifted: mark == 3,
            chosen: mark == 4,
        })
        .collect();
    let scene = sky_scene(&SkyInput {
        view,
        palette: &Palette::red(),
        catalogue: &sky.catalogue,
        star_list: &sky.stars,
        stars: &stars::fetch(&view, &sky.stars),
        chosen: Some(target),
        wishes: &[target],
        frames: &frames,
        picture: None,
        layers: Layers::default(),
    });
    let pixmap = render(&scene, 1.0).unwrap();
    for pixel in pixmap.data().chunks(4) {
        assert!(pixel[0] <= 152 && pixel[1] == 0 && pixel[2] == 0, "{pixel:?}");
    }
}
