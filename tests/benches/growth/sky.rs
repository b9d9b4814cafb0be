//! What is drawn: places on a plane, stars asked for, stars drawn, pixels of a sketch.

use std::cell::RefCell;
use std::hint::black_box;
use std::rc::Rc;

use fieldstop::kit::Kit;
use fieldstop::{Angle, Star};
use fieldstop_gui::paint::screen;
use fieldstop_gui::scene::primitive::Scene;
use fieldstop_gui::scene::{Layers, Palette, SkyInput, SkyView, sky_scene};
use fieldstop_gui::sketch::{Format, PageSize, SketchOptions, sketch};
use fieldstop_gui::sky::Sky;

use crate::drawn_stars::{discs, stars};
use crate::law::{CONSTANT, Job, LINEAR, Law, decades};
use crate::star_field::{magnitude_of_catalogue, query, radius_that_shows};
use crate::tangent_field::{assert_projected, no_points, places, plane};

/// Stars in view while the catalogue grows.
const IN_VIEW: usize = 5000;

/// What the projection of vectors is called in the table.
pub(crate) const PROJECTED: &str = "stored unit vectors projected";

pub(crate) fn laws(sky: &Rc<Sky>) -> Vec<Law> {
    let with = |job: fn(&Rc<Sky>, u32) -> Job| {
        let sky = Rc::clone(sky);
        move |count| job(&sky, count)
    };
    vec![
        Law::new(PROJECTED, LINEAR, decades(10_000, 10_000_000), projected),
        Law::new(
            "stars of the whole catalogue, 5,000 of them in view",
            CONSTANT,
            vec![10_000, 100_000, 1_000_000, 10_000_000, 100_000_000],
            with(of_catalogue),
        ),
        Law::new("stars in view, fetched at V 16", LINEAR, decades(20, 20_000), with(in_view)),
        Law::new("stars of a scene, built", LINEAR, decades(50, 50_000), with(built)),
        Law::new("stars of a scene, to triangles", LINEAR, decades(50, 50_000), with(triangles)),
        Law::new("pixels of a sketch as PNG", LINEAR, decades(60_000, 60_000_000), with(sketched)),
    ]
}

fn projected(count: u32) -> Job {
    let (places, mut points) = (places(count), no_points(count));
    plane().project_many(&places, &mut points);
    assert_projected(&places, &points);
    Box::new(move || plane().project_many(black_box(&places), black_box(&mut points)))
}

fn of_catalogue(sky: &Rc<Sky>, size: u32) -> Job {
    let faintest_mag = magnitude_of_catalogue(f64::from(size));
    let radius = radius_that_shows(&sky.stars, IN_VIEW, faintest_mag);
    asked(sky, radius, faintest_mag, IN_VIEW)
}

fn in_view(sky: &Rc<Sky>, count: u32) -> Job {
    let radius = radius_that_shows(&sky.stars, count as usize, 16.0);
    asked(sky, radius, 16.0, count as usize)
}

fn asked(sky: &Rc<Sky>, radius: Angle, faintest_mag: f64, count: usize) -> Job {
    let sky = Rc::clone(sky);
    let mut stars = Vec::new();
    query(&sky.stars, radius, faintest_mag, &mut stars);
    assert!(stars.len().abs_diff(count) <= count / 20, "{} of {count} in view", stars.len());
    Box::new(move || query(&sky.stars, black_box(radius), faintest_mag, &mut stars))
}

/// A view of the Milky Way in Cygnus, and so many stars of it.
fn crowd(count: u32) -> (SkyView, Vec<Star>) {
    let deneb = fieldstop::Direction::from_ra_dec(Angle::from_deg(310.4), Angle::from_deg(45.3));
    let view = SkyView::new(deneb, Angle::from_deg(6.0), 1200.0, 800.0);
    (view, stars(&view, count as usize))
}

fn scene(sky: &Sky, view: SkyView, stars: &[Star]) -> Scene {
    sky_scene(&SkyInput {
        view,
        palette: &Palette::dark(),
        catalogue: &sky.catalogue,
        star_list: &sky.stars,
        stars,
        chosen: None,
        wishes: &[],
        frames: &[],
        picture: None,
        layers: Layers { stars: true, ..Layers::nothing() },
    })
}

fn built(sky: &Rc<Sky>, count: u32) -> Job {
    let (sky, (view, stars)) = (Rc::clone(sky), crowd(count));
    assert!(discs(&scene(&sky, view, &stars)) >= count as usize);
    Box::new(move || {
        black_box(scene(&sky, view, &stars));
    })
}

fn triangles(sky: &Rc<Sky>, count: u32) -> Job {
    let (view, stars) = crowd(count);
    let scene = scene(sky, view, &stars);
    let ctx = egui::Context::default();
    let tessellated = move || {
        let mut output = ctx.run_ui(egui::RawInput::default(), |ui| {
            screen::paint(&scene, ui.painter(), egui::Pos2::ZERO);
        });
        let shapes = std::mem::take(&mut output.shapes);
        output.drop_without_applying_deltas();
        ctx.tessellate(shapes, 1.0)
    };
    Box::new(move || {
        black_box(tessellated());
    })
}

fn sketched(sky: &Rc<Sky>, pixels: u32) -> Job {
    let kit: Kit = ron::from_str(include_str!("../../../assets/demo-kit.ron")).unwrap();
    let width = (1.5 * f64::from(pixels)).sqrt().round() as u32;
    let size = PageSize::Pixels { width, height: width * 2 / 3 };
    let options = SketchOptions::new("NGC 7000", size);
    let sky = Rc::clone(sky);
    let bytes = RefCell::new(Vec::new());
    let draw = move || {
        bytes.replace(sketch(&kit, &sky, &options, Format::Png, &mut |_| true).unwrap());
        assert!(bytes.borrow().starts_with(b"\x89PNG"));
    };
    Box::new(draw)
}
