//! The mathematics, given anything within the documented ranges: no panic, and a number wherever a
//! number is promised.

use std::sync::Arc;

use fieldstop::choice::{Criterion, Wanted, choice};
use fieldstop::demands::{Conditions, demands};
use fieldstop::exposure::Rates;
use fieldstop::fit::{best_rotation, fill, fit};
use fieldstop::kit::Kit;
use fieldstop::mosaic::panels;
use fieldstop::panel_search::fewest_panels_for;
use fieldstop::psf::Blur;
use fieldstop::season::{Season, target_night};
use fieldstop::shape::{DrawnShape, Shape, fit_shape};
use fieldstop::tracking::{
    altazimuth_rotation_rad_per_s, corner_trail_s, periodic_peak_arcsec_per_s,
    polar_rotation_rad_per_s, trail_s, untracked_s,
};
use fieldstop::{
    Angle, Direction, Field, Frame, Horizon, Icrs, Instant, Night, Observer, Outline, Sensor, range,
};
use fieldstop_gui::files::kit_file;
use fieldstop_gui::sky::catalogue::Catalogue;
use fieldstop_gui::state::demand_target::demand_target;

use crate::drive::{Target, drive};
use crate::random::Random;

fn check<Case: std::fmt::Debug>(
    name: &'static str,
    short: u64,
    make: impl Fn(&mut Random) -> Case,
    judge: impl Fn(&Case),
) {
    drive(&Target { name, short, first: &[], make: &make, judge: &judge });
}

fn place(random: &mut Random) -> Direction<Icrs> {
    Direction::from_ra_dec(random.angle(0.0, 360.0), random.angle(-90.0, 90.0))
}

/// Sensors of 1 to 100 mm behind 20 to 20,000 mm.
fn field(random: &mut Random) -> Field {
    let sensor =
        Sensor { width_mm: random.powers(1.0, 100.0), height_mm: random.powers(1.0, 100.0) };
    Field::new(sensor, random.powers(20.0, 20_000.0))
}

/// Ellipses of a hundredth of an arcsecond to beyond half the sky.
fn outline(random: &mut Random) -> Outline {
    let major = Angle::from_arcmin(random.powers(1e-4, 12_000.0));
    Outline {
        major,
        minor: (!random.chance(4)).then(|| major * random.powers(1e-4, 1.0)),
        position_angle: (!random.chance(4)).then(|| random.angle(-360.0, 360.0)),
    }
}

fn shape(random: &mut Random) -> Shape {
    if random.chance(2) {
        return Shape::Ellipse(outline(random));
    }
    let (middle, reach_deg) = (place(random), random.powers(1e-4, 30.0));
    let corners: Vec<Direction<Icrs>> = (0..3 + random.below(10))
        .map(|_| {
            let (dx, dy) =
                (random.within(-reach_deg, reach_deg), random.within(-reach_deg, reach_deg));
            Direction::from_ra_dec(
                middle.ra() + Angle::from_deg(dx),
                middle.dec() + Angle::from_deg(dy),
            )
        })
        .collect();
    DrawnShape::new(&corners)
        .map_or_else(|_| Shape::Ellipse(outline(random)), |drawn| Shape::Drawn(Arc::new(drawn)))
}

fn is_number(what: &str, number: f64) {
    assert!(!number.is_nan(), "{what} is no number");
}

fn is_finite(what: &str, number: f64) {
    assert!(number.is_finite(), "{what} is {number}");
}

/// No NaN in anything that is printed with all its parts.
fn has_no_nan(what: &str, value: &impl std::fmt::Debug) {
    let words = format!("{value:?}");
    assert!(!words.contains("NaN"), "{what}: {words}");
}

#[test]
fn frames_and_fits() {
    let make = |random: &mut Random| {
        let frame = Frame {
            centre: place(random),
            rotation: random.angle(-360.0, 360.0),
            field: field(random),
        };
        (frame, outline(random), random.within(0.05, 1.0), random.within(0.0, 0.9), place(random))
    };
    check("frame", 20_000, make, |(frame, outline, whole_fill, overlap, elsewhere)| {
        for angle in [frame.field.width(), frame.field.height(), frame.field.diagonal()] {
            assert!(angle.deg() > 0.0 && angle.deg() < 180.0, "{angle:?}");
        }
        assert!(frame.field.area_deg2() > 0.0);
        for corner in frame.corners() {
            assert!(corner.xyz().iter().all(|part| part.is_finite()));
            let (x, y) = frame.picture_point(corner).expect("a corner is before the camera");
            assert!(
                (x.abs() - 1.0).abs() < 1e-6 && (y.abs() - 1.0).abs() < 1e-6,
                "a corner at {x}, {y}"
            );
        }
        if let Some((x, y)) = frame.picture_point(*elsewhere) {
            is_number("x", x);
            is_number("y", y);
        }
        is_number("fill", fill(outline, &frame.field, frame.rotation));
        is_finite("rotation", best_rotation(outline, &frame.field).rad());
        has_no_nan("fit", &fit(Some(outline), &frame.field, *whole_fill, *overlap));
    });
}

#[test]
fn shapes() {
    let make = |random: &mut Random| {
        (
            shape(random),
            field(random),
            random.angle(-360.0, 360.0),
            random.within(0.05, 1.0),
            random.within(0.0, 0.9),
        )
    };
    check("shape", 2000, make, |(shape, field, rotation, whole_fill, overlap)| {
        is_number("fill", shape.fill(field, *rotation));
        is_number("least fill", shape.least_fill(field));
        is_finite("best rotation", shape.best_rotation(field).rad());
        has_no_nan("fit", &fit_shape(Some(shape), field, *whole_fill, *overlap));
    });
}

#[test]
fn mosaics() {
    let make = |random: &mut Random| {
        let field = field(random);
        // Some panels, not millions: what is larger is refused at once.
        let grown = field.width().min(field.height()).arcmin() * random.powers(0.1, 6.0);
        let outline = Outline {
            major: Angle::from_arcmin(grown),
            minor: Some(Angle::from_arcmin(grown * random.powers(0.01, 1.0))),
            position_angle: Some(random.angle(0.0, 180.0)),
        };
        let shape = if random.chance(3) { shape(random) } else { Shape::Ellipse(outline) };
        (place(random), shape, field, random.within(0.0, 0.9))
    };
    check("mosaic", 60, make, |(place, shape, field, overlap)| {
        let outline = if let Shape::Ellipse(outline) = shape { Some(outline) } else { None };
        if let Ok(panels) = panels(*place, outline, field, *overlap) {
            assert!(!panels.is_empty());
            has_no_nan("grid", &panels);
        }
        if let Ok(plan) = fewest_panels_for(*place, Some(shape), field, *overlap) {
            assert!(!plan.panels.is_empty());
            has_no_nan("plan", &plan);
        }
    });
}

#[test]
fn stars_through_a_telescope() {
    let make = |random: &mut Random| Blur {
        aperture_mm: random.powers(10.0, 2000.0),
        obstruction_ratio: random.within(0.0, 0.9),
        wavelength_nm: random.within(range::WAVELENGTH_NM.least, range::WAVELENGTH_NM.most),
        seeing_fwhm_arcsec: random.within(0.0, 20.0),
        guiding_rms_arcsec: random.within(0.0, 20.0),
        pixel_arcsec: random.within(0.0, 60.0),
    };
    check("psf", 30, make, |blur| {
        let width = blur.fwhm_arcsec();
        assert!(width > 0.0 && width.is_finite(), "a width of {width}");
        let delivered = blur.delivered(0.1);
        has_no_nan("delivered", &delivered);
        let share = blur.central_pixel_share();
        assert!((0.0..=1.0).contains(&share), "a share of {share}");
    });
}

#[test]
fn exposures_and_trails() {
    let make = |random: &mut Random| {
        let rates = Rates {
            target_e_per_s: random.powers(1e-9, 1e6),
            sky_e_per_s: random.within(0.0, 1e4),
            dark_e_per_s: random.within(0.0, 1e3),
            read_noise_e: random.within(0.0, 100.0),
        };
        let (sub_s, angle, declination) =
            (random.powers(1e-4, 1e5), random.angle(-90.0, 90.0), random.angle(-90.0, 90.0));
        (rates, sub_s, angle, declination, random.within(0.0, 1e4))
    };
    check("exposure", 20_000, make, |(rates, sub_s, angle, declination, size)| {
        is_number("ratio", rates.snr(*sub_s, 10.0));
        is_number("hours", rates.hours_to_snr(10.0, *sub_s));
        if rates.sky_e_per_s + rates.dark_e_per_s > 0.0 {
            is_number("shortest", rates.shortest_sub_s(0.05));
        }
        is_number("untracked", untracked_s(Angle::from_arcsec(*size), *declination));
        is_number("periodic", periodic_peak_arcsec_per_s(*size, *sub_s));
        let field = altazimuth_rotation_rad_per_s(*angle, *declination, *angle * 2.0);
        is_number("field", field);
        is_number("corner", corner_trail_s(field, 1.0 + size));
        is_number("polar", polar_rotation_rad_per_s(Angle::from_arcmin(*size), *declination));
        is_number("trail", trail_s(*size, *sub_s));
    });
}

#[test]
fn nights() {
    let make = |random: &mut Random| {
        let observer = Observer {
            latitude: random.angle(range::LATITUDE.least, range::LATITUDE.most),
            longitude: random.angle(range::LONGITUDE.least, range::LONGITUDE.most),
            elevation_m: random.within(range::ELEVATION_M.least, range::ELEVATION_M.most),
        };
        let noon = Instant::from_utc(
            1900 + random.below(200) as i32,
            1 + random.below(12) as i32,
            1 + random.below(28) as i32,
            random.below(24) as i32,
            0,
            0.0,
        );
        let skyline: Vec<(f64, f64)> = (0..random.below(6))
            .map(|_| (random.within(0.0, 360.0), random.within(-90.0, 90.0)))
            .collect();
        (
            observer,
            noon.expect("a date that exists"),
            random.within(0.0, 89.0),
            skyline,
            place(random),
        )
    };
    check("night", 60, make, |(observer, noon, lowest_deg, skyline, place)| {
        let night = Night::new(*observer, *noon, noon.after_hours(24.0));
        let horizon = Horizon::new(*lowest_deg, skyline);
        let found = target_night(&night, &horizon, *place);
        has_no_nan("target's night", &found);
        let hours = found.dark.hours();
        assert!((0.0..=24.0 + 1e-9).contains(&hours), "{hours} hours");
        assert!(found.moonless.hours() <= hours + 1e-9);
        let season = Season::new([&night], horizon);
        for usable in season.hours(*place) {
            has_no_nan("season", &usable);
        }
    });
}

/// Whole kits with any numbers: what the door lets in is computed with, to the end.
#[test]
fn choices() {
    const EXAMPLE: &str = include_str!("../kits/example-kit.ron");
    let catalogue = Catalogue::embedded().unwrap();
    let targets: Vec<_> = ["M 31", "M 57", "NGC 7000", "M 13", "IC 1396"]
        .iter()
        .map(|name| catalogue.named(name).unwrap())
        .collect();
    let make = |random: &mut Random| {
        let one_in = 1 + random.below(60);
        (with_other_numbers(random, EXAMPLE, one_in), outline(random))
    };
    check("choice", 15, make, |(text, outline)| {
        let Ok(kit) = kit_file::parse(text.as_bytes(), "kit.ron", &|_| true) else { return };
        let conditions = Conditions::at_zenith(&kit.site);
        let wanted: Vec<Wanted> = targets
            .iter()
            .enumerate()
            .map(|(place, target)| Wanted {
                name: target.name.clone(),
                outline: if place == 0 { Some(Shape::Ellipse(*outline)) } else { target.shape() },
                demand: demand_target(target),
                hours_in_year: 100.0 * place as f64,
                stars: 1 + place as u32,
            })
            .collect();
        has_no_nan("choice", &choice(&kit, 0, &wanted, &Criterion::ALL, &conditions));
        for rig in 0..kit.rigs.len() {
            let Some(rig) = kit.resolve(rig) else { continue };
            for target in &targets {
                has_no_nan(
                    "demands",
                    &demands(
                        &rig,
                        &kit.site,
                        &kit.limits,
                        Some(&demand_target(target)),
                        &conditions,
                    ),
                );
            }
        }
    });
}

/// A kit with some of its numbers replaced; one in so many.
fn with_other_numbers(random: &mut Random, kit: &str, one_in: usize) -> String {
    let mut out = String::new();
    for line in kit.lines() {
        for piece in line.split_inclusive([' ', '(', ',', ')', '[', ']']) {
            let bare = piece.trim_end_matches([' ', '(', ',', ')', '[', ']']);
            let behind = &piece[bare.len()..];
            match bare.parse::<f64>() {
                Ok(number) if random.chance(one_in) => {
                    let factor = random.powers(1e-3, 1e3);
                    let other = match random.below(4) {
                        0 if bare.contains('.') => random.any_number(),
                        _ => number * factor,
                    };
                    let other = if bare.contains('.') {
                        format!("{other:?}")
                    } else {
                        format!("{}", other as i64)
                    };
                    out.push_str(&other);
                }
                _ => out.push_str(bare),
            }
            out.push_str(behind);
        }
        out.push('\n');
    }
    out
}

/// Numbers that are none, and infinities, are refused wherever a range stands at a field.
#[test]
fn doors() {
    let make = |random: &mut Random| random.any_number();
    check("doors", 300, make, |&number| {
        let ranges = [
            range::SHARE,
            range::CLEAR_FRACTION,
            range::OVERLAP,
            range::LATITUDE,
            range::LONGITUDE,
            range::WHOLE_CIRCLE,
            range::POSITION_ANGLE,
            range::ELEVATION_M,
            range::SURFACE_BRIGHTNESS,
            range::LOWEST_ALTITUDE,
            range::SKYLINE_ALTITUDE,
            range::PIXELS,
            range::BITS,
            range::STARS,
            range::WAVELENGTH_NM,
            range::MAGNITUDE,
            range::OPACITY,
            range::DARK_LEVEL,
            range::STRETCH,
            range::LADDER_MM,
        ];
        for range in ranges {
            let lets_in = range.contains(number);
            assert!(!lets_in || number.is_finite(), "{}: {number} was let in", range.expected);
            assert_eq!(
                lets_in,
                number >= range.least && number <= range.most,
                "{}: {number}",
                range.expected
            );
        }
        let text = format!("{number:?}");
        let kit = include_str!("../kits/example-kit.ron").replacen(
            "aperture_mm: 60.0",
            &format!("aperture_mm: {text}"),
            1,
        );
        let read: Result<Kit, _> = kit_file::parse(kit.as_bytes(), "kit.ron", &|_| true);
        if let Ok(kit) = read {
            assert!(number.is_finite() && number > 0.0, "an aperture of {number} mm was let in");
            assert_eq!(kit.otas[0].aperture_mm, number);
        }
    });
}
