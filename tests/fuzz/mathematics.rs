//! The mathematics, given anything within the documented ranges: no panic, and a number wherever a
//! number is promised.

use std::cell::RefCell;
use std::sync::Arc;

use fieldstop::exposure::Rates;
use fieldstop::fit::{best_rotation, fill, fit};
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

use crate::random::Random;
use crate::sound::{check, is_finite, is_fit, is_frame, is_number, is_sound};

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

#[test]
fn frames_and_fits() {
    let make = |_: u64, random: &mut Random| {
        let frame = Frame {
            centre: place(random),
            rotation: random.angle(-360.0, 360.0),
            field: field(random),
        };
        (frame, outline(random), random.within(0.05, 1.0), random.within(0.0, 0.9), place(random))
    };
    check("frame", 20_000, &make, &|(frame, outline, whole_fill, overlap, elsewhere)| {
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
        is_fit(&fit(Some(outline), &frame.field, *whole_fill, *overlap));
    });
}

#[test]
fn shapes() {
    let make = |_: u64, random: &mut Random| {
        (
            shape(random),
            field(random),
            random.angle(-360.0, 360.0),
            random.within(0.05, 1.0),
            random.within(0.0, 0.9),
        )
    };
    check("shape", 2000, &make, &|(shape, field, rotation, whole_fill, overlap)| {
        is_number("fill", shape.fill(field, *rotation));
        is_number("least fill", shape.least_fill(field));
        is_finite("best rotation", shape.best_rotation(field).rad());
        is_fit(&fit_shape(Some(shape), field, *whole_fill, *overlap));
    });
}

/// The fewest panels are searched for in one case of so many: that takes a thousand times as long as
/// the plain grid, which every case has.
const ONE_SEARCH_IN: usize = 400;

#[test]
fn mosaics() {
    let make = |_: u64, random: &mut Random| {
        let field = field(random);
        // Some panels, not millions: what is larger is refused at once.
        let grown = field.width().min(field.height()).arcmin() * random.powers(0.1, 6.0);
        let outline = Outline {
            major: Angle::from_arcmin(grown),
            minor: Some(Angle::from_arcmin(grown * random.powers(0.01, 1.0))),
            position_angle: Some(random.angle(0.0, 180.0)),
        };
        let shape =
            if random.chance(ONE_SEARCH_IN) { shape(random) } else { Shape::Ellipse(outline) };
        (place(random), shape, field, random.within(0.0, 0.9), random.chance(ONE_SEARCH_IN))
    };
    check("mosaic", 2000, &make, &|(place, shape, field, overlap, searched)| {
        let outline = if let Shape::Ellipse(outline) = shape { Some(outline) } else { None };
        if let Ok(panels) = panels(*place, outline, field, *overlap) {
            assert!(!panels.is_empty());
            panels.iter().for_each(is_frame);
        }
        if !searched {
            return;
        }
        if let Ok(plan) = fewest_panels_for(*place, Some(shape), field, *overlap) {
            assert!(!plan.panels.is_empty());
            plan.panels.iter().for_each(is_frame);
            is_sound("plan", &plan);
        }
    });
}

/// All figures of a star are worked out in one case of so many; its width in every one.
const ONE_STAR_IN: usize = 32;

#[test]
fn stars_through_a_telescope() {
    let make = |_: u64, random: &mut Random| {
        let blur = Blur {
            aperture_mm: random.powers(10.0, 2000.0),
            obstruction_ratio: random.within(0.0, 0.9),
            wavelength_nm: random.of(range::WAVELENGTH_NM),
            seeing_fwhm_arcsec: random.within(0.0, 20.0),
            guiding_rms_arcsec: random.within(0.0, 20.0),
            pixel_arcsec: random.within(0.0, 60.0),
        };
        (blur, random.chance(ONE_STAR_IN))
    };
    check("psf", 300, &make, &|(blur, wholly)| {
        let width = blur.fwhm_arcsec();
        assert!(width > 0.0 && width.is_finite(), "a width of {width}");
        if *wholly {
            is_sound("delivered", &blur.delivered(0.1));
            let share = blur.central_pixel_share();
            assert!((0.0..=1.0).contains(&share), "a share of {share}");
        }
    });
}

#[test]
fn exposures_and_trails() {
    let make = |_: u64, random: &mut Random| {
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
    check("exposure", 20_000, &make, &|(rates, sub_s, angle, declination, size)| {
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

/// Targets that share a night: the Sun's and the Moon's ways are dear, a target's is not.
const A_NIGHT: u64 = 256;

/// A night anywhere on Earth in two centuries, the same for the same seed.
fn night(seed: u64) -> Night {
    let random = &mut Random::new(seed);
    let observer = Observer {
        latitude: random.angle(range::LATITUDE.least, range::LATITUDE.most),
        longitude: random.angle(range::LONGITUDE.least, range::LONGITUDE.most),
        elevation_m: random.of(range::ELEVATION_M),
    };
    let noon = Instant::from_utc(
        1900 + random.below(200) as i32,
        1 + random.below(12) as i32,
        1 + random.below(28) as i32,
        random.below(24) as i32,
        0,
        0.0,
    )
    .expect("a date that exists");
    Night::new(observer, noon, noon.after_hours(24.0))
}

thread_local! {
    /// The night of the case before, by its seed.
    static LAST_NIGHT: RefCell<Option<(u64, Night)>> = const { RefCell::new(None) };
}

#[test]
fn nights() {
    let make = |number: u64, random: &mut Random| {
        // Neighbours in number have neighbouring seeds, so that a group has one night.
        let own = random.first();
        let skyline: Vec<(f64, f64)> = (0..random.below(6))
            .map(|_| (random.within(0.0, 360.0), random.within(-90.0, 90.0)))
            .collect();
        let night_seed = own.wrapping_sub(number).wrapping_add(number / A_NIGHT) ^ (1 << 63);
        (night_seed, random.within(0.0, 89.0), skyline, place(random))
    };
    check("night", 3000, &make, &|(night_seed, lowest_deg, skyline, place)| {
        LAST_NIGHT.with_borrow_mut(|last| {
            if last.as_ref().is_none_or(|(seed, _)| seed != night_seed) {
                *last = Some((*night_seed, night(*night_seed)));
            }
            let (_, night) = last.as_ref().expect("just put there");
            is_target_night(night, *lowest_deg, skyline, *place);
        });
    });
}

fn is_target_night(night: &Night, lowest_deg: f64, skyline: &[(f64, f64)], place: Direction<Icrs>) {
    let horizon = Horizon::new(lowest_deg, skyline);
    let found = target_night(night, &horizon, place);
    for spans in [&found.up, &found.dark, &found.moonless] {
        for span in spans.iter() {
            assert!((0.0..=24.0 + 1e-9).contains(&span.hours()), "{span:?}");
        }
    }
    if let Some(highest) = found.highest {
        for angle in [highest.altitude, highest.azimuth, highest.moon_distance] {
            is_finite("angle", angle.rad());
        }
        assert!(highest.airmass.is_none_or(|airmass| airmass.is_finite()));
    }
    let hours = found.dark.hours();
    assert!((0.0..=24.0 + 1e-9).contains(&hours), "{hours} hours");
    assert!(found.moonless.hours() <= hours + 1e-9);
    let season = Season::new([night], horizon);
    for usable in season.hours(place) {
        assert!((0.0..=24.1).contains(&usable.dark), "{usable:?}");
        assert!((0.0..=24.1).contains(&usable.moonless), "{usable:?}");
    }
}
