//! A kit, and wish lists of any length for it.

use fieldstop::choice::Wanted;
use fieldstop::demands::DemandTarget;
use fieldstop::focal_coverage::{BestFocalLength, BestPair, FocalCoverage, Interest};
use fieldstop::focal_range::{Ranges, Setting};
use fieldstop::kit::Kit;
use fieldstop::panel_search::{PanelPlan, fewest_panels};
use fieldstop::{Angle, Direction, Field, Outline};

pub(crate) const FIELD: Field = Field { half_width: 0.015, half_height: 0.01 };

pub(crate) fn kit() -> Kit {
    ron::from_str(include_str!("../../kits/example-kit.ron")).expect("a kit")
}

/// Ellipses of sizes from 0.3 arcminutes to 5 degrees, as a catalogue has them: many small.
pub(crate) fn outlines(count: u32) -> Vec<Outline> {
    (0..count)
        .map(|k| {
            let share = f64::from(k.wrapping_mul(2_654_435_761) % 10_007) / 10_007.0;
            let major = 0.3 * 1000f64.powf(share * share);
            Outline {
                major: Angle::from_arcmin(major),
                minor: Some(Angle::from_arcmin(major * (0.3 + 0.7 * share))),
                position_angle: Some(Angle::from_deg(180.0 * share)),
            }
        })
        .collect()
}

/// The best focal length and the best two for so many outlines.
pub(crate) fn best_lengths(
    setting: Setting,
    outlines: &[Outline],
) -> (Option<BestFocalLength>, Option<BestPair>) {
    let coverage = FocalCoverage::new(&interests(setting, outlines));
    (coverage.best(), coverage.best_pair())
}

/// What so many outlines need of a focal length.
pub(crate) fn interests(setting: Setting, outlines: &[Outline]) -> Vec<Interest> {
    let ranges = Ranges::new(setting);
    outlines
        .iter()
        .map(|outline| Interest { range: ranges.of(outline, 0.9, 40.0), weight: 900.0 })
        .collect()
}

/// A list of targets whose hours in the year are known.
pub(crate) fn wanted(count: u32) -> Vec<Wanted> {
    outlines(count)
        .into_iter()
        .enumerate()
        .map(|(number, outline)| Wanted {
            name: format!("target {number}"),
            outline: Some(outline.into()),
            demand: DemandTarget {
                declination: Angle::from_deg(40.0),
                major: Some(outline.major),
                surface_brightness_mag_arcsec2: Some(22.0),
                line_share: Ok(None),
            },
            hours_in_year: 900.0,
            stars: 1,
        })
        .collect()
}

/// An ellipse as large as `side` by `side` panels at an overlap of 0.15 hold.
pub(crate) fn ellipse_of_panels(side: f64) -> Outline {
    let reach = 1.0 + (side - 1.0) * 0.85;
    let axis = |half: f64| Angle::from_rad(2.0 * (0.999 * half * reach).atan());
    Outline {
        major: axis(FIELD.half_width),
        minor: Some(axis(FIELD.half_height)),
        position_angle: Some(Angle::from_deg(120.0)),
    }
}

pub(crate) fn panels_of(outline: &Outline) -> PanelPlan {
    let centre = Direction::from_ra_dec(Angle::from_deg(10.0), Angle::from_deg(60.0));
    let plan = fewest_panels(centre, Some(outline), &FIELD, 0.15).expect("a mosaic");
    assert!(plan.proved && plan.panels.len() <= plan.plain, "{}", plan.panels.len());
    plan
}
