//! How a target sits in a frame: the fill, the rotation that makes it least, and the verdict.
//!
//! Let `a` and `b` be the outline's semi-axes on its tangent plane and `d` the angle between its
//! major axis and the sensor's width. The ellipse reaches `sqrt(a² cos² d + b² sin² d)` along the
//! width and `sqrt(a² sin² d + b² cos² d)` along the height. The larger of the two, each over the
//! sensor's half side, is the **fill**: 1 touches the edge.
//!
//! Written with `u = a² cos² d + b² sin² d`, the square of the reach along the width, the square of
//! the reach along the height is `a² + b² - u`. One grows with `u` and the other falls, both in a
//! straight line, so the fill is least where they cross, or at the end of `u`'s range that is
//! nearest to the crossing. No search is needed.

use crate::{Angle, Field, Outline, mosaic};

/// What rounding may add to a fill: a target that was given the very size of the frame touches
/// its edge, though its fill comes out as 1.0000000000000002.
pub(crate) const ROUNDING: f64 = 1e-12;

/// Rotations closer to half a turn than this are the same line as no rotation at all, radians.
const SAME_ROTATION: f64 = 1e-12;

/// Size of a target's outline relative to a frame centred on it: 1 touches the edge.
///
/// # Units
/// - `rotation`: position angle of the frame's up direction
/// - returns: above 0; infinite for an outline of 180 degrees and more
///
/// # Source
/// Half extents of a turned ellipse: `max(sqrt(a² cos² d + b² sin² d) / tan(w/2),
/// sqrt(a² sin² d + b² cos² d) / tan(h/2))`, plane geometry.
///
/// # Example
/// A target half as long as the frame is wide, lying along the width.
/// ```
/// # use fieldstop::{Angle, Field, Outline, fit::fill};
/// let axis = |tangent: f64| Angle::from_rad(2.0 * tangent.atan());
/// let field = Field { half_width: 0.03, half_height: 0.02 };
/// let outline = Outline {
///     major: axis(0.015),
///     minor: Some(axis(0.001)),
///     position_angle: Some(Angle::from_deg(90.0)),
/// };
/// assert!((fill(&outline, &field, Angle::ZERO) - 0.5).abs() < 1e-12);
/// // Turned upright, it is three quarters of the height.
/// assert!((fill(&outline, &field, Angle::RIGHT) - 0.75).abs() < 1e-12);
/// ```
pub fn fill(outline: &Outline, field: &Field, rotation: Angle) -> f64 {
    let (along_width, along_height) = reach(outline, rotation);
    (along_width / field.half_width).max(along_height / field.half_height)
}

/// How far the ellipse reaches from its middle along the width and the height of a frame.
fn reach(outline: &Outline, rotation: Angle) -> (f64, f64) {
    let (a, b) = outline.semi_axes();
    // The width lies a quarter turn from the up direction; which way does not matter to a line.
    let (sin, cos) = (outline.axis_pa() - rotation - Angle::RIGHT).sin_cos();
    ((a * cos).hypot(b * sin), (a * sin).hypot(b * cos))
}

/// The rotation at which the fill is least: in [0, 180) degrees, the smallest among equals.
///
/// A circle fits the same at every rotation, so its best is 0. A long target mostly has two, as
/// mirror images about its axis.
///
/// # Example
/// A thin target runs along the width of an oblong frame: at position angle 100 degrees the frame
/// is turned by 10.
/// ```
/// # use fieldstop::{Angle, Field, Outline, fit::best_rotation};
/// let outline = Outline {
///     major: Angle::from_deg(2.0),
///     minor: Some(Angle::from_deg(1.0)),
///     position_angle: Some(Angle::from_deg(100.0)),
/// };
/// let field = Field { half_width: 0.03, half_height: 0.01 };
/// assert!((best_rotation(&outline, &field).deg() - 10.0).abs() < 1e-9);
/// ```
pub fn best_rotation(outline: &Outline, field: &Field) -> Angle {
    let (a, b) = outline.semi_axes();
    let (a2, b2) = (a * a, b * b);
    let (w2, h2) = (field.half_width * field.half_width, field.half_height * field.half_height);
    let crossing = (a2 + b2) * (w2 / (w2 + h2));
    if a2 == b2 || !crossing.is_finite() {
        return Angle::ZERO;
    }
    let u = snapped(crossing, a2, b2);
    // From u = a² cos² d + b² sin² d: sin² d and cos² d are in the ratio |a² - u| to |u - b²|.
    let d = Angle::from_rad((a2 - u).abs().sqrt().atan2((u - b2).abs().sqrt()));
    let along_width = outline.axis_pa() - Angle::RIGHT;
    least_rotation(along_width - d).min(least_rotation(along_width + d))
}

/// The crossing, or the end of the range between a² and b² that is nearest to it.
///
/// A target of the frame's own shape has its crossing at an end, but for rounding, and there a
/// hair's breadth of `u` is the square of one in the angle: taken as it is, the frame would lean.
fn snapped(crossing: f64, a2: f64, b2: f64) -> f64 {
    let (least, most) = (a2.min(b2), a2.max(b2));
    let hair = ROUNDING / 4.0 * (least + most);
    if crossing > most - hair {
        most
    } else if crossing < least + hair {
        least
    } else {
        crossing
    }
}

/// The same rotation of a rectangle in [0, 180) degrees, where a hair's breadth below is 0.
pub(crate) fn least_rotation(rotation: Angle) -> Angle {
    let rotation = rotation.wrapped_axis();
    let below = Angle::HALF_TURN - rotation;
    if rotation.rad() < SAME_ROTATION || below.rad() < SAME_ROTATION {
        Angle::ZERO
    } else {
        rotation
    }
}

/// In a word, how a target fits a frame.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum Verdict {
    /// All of it, with room to spare.
    Whole,
    /// All of it, but close to the edge.
    Tight,
    /// More than the frame holds.
    Spills,
    /// The catalogue gives no size.
    SizeUnknown,
}

impl Verdict {
    /// The word shown to a person.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Whole => "whole",
            Self::Tight => "tight",
            Self::Spills => "spills",
            Self::SizeUnknown => "size unknown",
        }
    }

    /// The verdict on a fill: whole up to `whole_fill`, tight up to 1, spilling above.
    ///
    /// # Example
    /// ```
    /// # use fieldstop::fit::Verdict;
    /// assert_eq!(Verdict::of(0.9, 0.9), Verdict::Whole);
    /// assert_eq!(Verdict::of(1.0, 0.9), Verdict::Tight);
    /// assert_eq!(Verdict::of(1.01, 0.9), Verdict::Spills);
    /// ```
    pub fn of(fill: f64, whole_fill: f64) -> Self {
        if fill <= whole_fill + ROUNDING {
            Self::Whole
        } else if fill <= 1.0 + ROUNDING {
            Self::Tight
        } else {
            Self::Spills
        }
    }
}

/// How a target fits a frame.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fit {
    /// At the best rotation; none where the size is unknown.
    pub fill: Option<f64>,
    /// Where the fill is least; 0 where the size is unknown.
    pub best_rotation: Angle,
    /// In a word.
    pub verdict: Verdict,
    /// Panels across and down that cover it, (1, 1) for a target that is whole or tight; none
    /// where the size is unknown, or is 180 degrees and more.
    pub panels: Option<(u32, u32)>,
}

/// How a target fits a frame that is centred on it, at the best rotation.
///
/// # Units
/// - `outline`: none where the catalogue gives no size
/// - `whole_fill`: a target at or under this fill is whole, above 0, at most 1
/// - `overlap`: between mosaic panels, of a panel's side, 0 to 0.9
///
/// # Example
/// ```
/// # use fieldstop::{Angle, Field, Outline, fit::{Verdict, fit}};
/// let field = Field { half_width: 0.03, half_height: 0.02 };
/// let outline = Outline { major: Angle::from_deg(1.0), minor: None, position_angle: None };
/// let fit = fit(Some(&outline), &field, 0.9, 0.15);
/// assert_eq!(fit.verdict, Verdict::Whole);
/// assert_eq!(fit.panels, Some((1, 1)));
/// ```
pub fn fit(outline: Option<&Outline>, field: &Field, whole_fill: f64, overlap: f64) -> Fit {
    let Some(outline) = outline else {
        return Fit {
            fill: None,
            best_rotation: Angle::ZERO,
            verdict: Verdict::SizeUnknown,
            panels: None,
        };
    };
    let best_rotation = best_rotation(outline, field);
    let fill = fill(outline, field, best_rotation);
    Fit {
        fill: Some(fill),
        best_rotation,
        verdict: Verdict::of(fill, whole_fill),
        panels: mosaic::plan(outline, field, overlap).map(|plan| (plan.columns, plan.rows)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Sensor;

    const APS_C: Sensor = Sensor { width_mm: 23.5, height_mm: 15.7 };

    fn arcmin(major: f64, minor: f64, pa_deg: f64) -> Outline {
        Outline {
            major: Angle::from_arcmin(major),
            minor: Some(Angle::from_arcmin(minor)),
            position_angle: Some(Angle::from_deg(pa_deg)),
        }
    }

    #[test]
    fn the_frames_own_size_is_tight_and_not_spilling() {
        for focal_mm in [24.0, 350.0, 571.0, 1130.0, 1800.0, 3999.0] {
            let field = Field::new(APS_C, focal_mm);
            let same = Outline {
                major: field.width(),
                minor: Some(field.height()),
                position_angle: Some(Angle::from_deg(117.3)),
            };
            let fit = fit(Some(&same), &field, 0.9, 0.15);
            assert_eq!(fit.verdict, Verdict::Tight, "{focal_mm} {:?}", fit.fill);
            assert_eq!(fit.panels, Some((1, 1)));
            assert!((fit.best_rotation.deg() - 27.3).abs() < 1e-12, "{:?}", fit.best_rotation);
        }
    }

    #[test]
    fn a_fill_of_exactly_the_whole_share_is_whole() {
        let field = Field::new(APS_C, 500.0);
        let axis = |half: f64| Angle::from_rad(2.0 * (0.9 * half).atan());
        let outline = Outline { major: axis(field.half_height), minor: None, position_angle: None };
        let fit = fit(Some(&outline), &field, 0.9, 0.15);
        assert_eq!(fit.verdict, Verdict::Whole, "{:?}", fit.fill);
    }

    #[test]
    fn a_long_target_wider_than_the_sensor_is_laid_across_the_corners() {
        // Too long for the width, too thin to trouble the height: a lean of the frame helps.
        let field = Field::new(APS_C, 500.0);
        let outline = arcmin(180.0, 20.0, 90.0);
        let best = best_rotation(&outline, &field);
        assert!(best.deg() > 1.0 && best.deg() < 60.0, "{}", best.deg());
        assert!(fill(&outline, &field, best) < 0.95 * fill(&outline, &field, Angle::ZERO));
        // There it touches in both directions at once, and its mirror image does as well.
        let mirror = fill(&outline, &field, -best);
        assert!((fill(&outline, &field, best) - mirror).abs() < 1e-12);
    }

    #[test]
    fn a_portrait_sensor_is_turned_the_other_way() {
        let upright = Field { half_width: 0.01, half_height: 0.03 };
        assert!((best_rotation(&arcmin(60.0, 30.0, 20.0), &upright).deg() - 20.0).abs() < 1e-9);
    }

    #[test]
    fn a_circle_is_not_turned() {
        let field = Field::new(APS_C, 500.0);
        assert_eq!(best_rotation(&arcmin(60.0, 60.0, 77.0), &field), Angle::ZERO);
        let unknown_minor = Outline { minor: None, ..arcmin(60.0, 1.0, 77.0) };
        assert_eq!(best_rotation(&unknown_minor, &field), Angle::ZERO);
    }

    #[test]
    fn axes_the_wrong_way_round_are_the_same_ellipse() {
        let field = Field::new(APS_C, 500.0);
        let (right, wrong) = (arcmin(60.0, 30.0, 20.0), arcmin(30.0, 60.0, 110.0));
        let difference = best_rotation(&right, &field) - best_rotation(&wrong, &field);
        assert!(difference.abs().rad() < 1e-12);
    }

    #[test]
    fn an_unknown_size_has_no_fill_and_no_panels() {
        let fit = fit(None, &Field::new(APS_C, 500.0), 0.9, 0.15);
        assert_eq!((fit.fill, fit.panels), (None, None));
        assert_eq!((fit.verdict.word(), fit.best_rotation), ("size unknown", Angle::ZERO));
    }

    #[test]
    fn half_the_sky_spills_over_any_frame() {
        let sky = Outline { major: Angle::TURN, minor: None, position_angle: None };
        let fit = fit(Some(&sky), &Field::new(APS_C, 20.0), 0.9, 0.15);
        assert_eq!((fit.verdict.word(), fit.panels), ("spills", None));
        assert_eq!(fit.best_rotation, Angle::ZERO);
        let half = Outline { minor: Some(Angle::RIGHT), ..sky };
        assert!((0.0..180.0).contains(&best_rotation(&half, &Field::new(APS_C, 20.0)).deg()));
    }
}
