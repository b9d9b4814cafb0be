//! How figures read: units, digits and signs that a person expects, the same everywhere.

use fieldstop::shape::DrawnShape;
use fieldstop::sun_moon::SunCaution;
use fieldstop::wording::MOST_READABLE;
pub use fieldstop::wording::{fill, money, three_digits, whole};
use fieldstop::{Angle, Fit, Verdict};

use crate::panel_count::PanelCount;

/// An angular size in the unit that suits it: `3.84°`, `40.3′`, `12.5″`.
pub fn span(angle: Angle) -> String {
    in_unit(angle, unit_for(angle))
}

/// Two sides of a field in one unit: `3.84° × 2.56°`.
pub fn field(width: Angle, height: Angle) -> String {
    let unit = unit_for(width.min(height));
    format!("{} × {}", in_unit(width, unit), in_unit(height, unit))
}

#[derive(Clone, Copy)]
enum Unit {
    Degree,
    Minute,
    Second,
}

fn unit_for(angle: Angle) -> Unit {
    if angle.deg() >= 1.0 {
        Unit::Degree
    } else if angle.arcmin() >= 1.0 {
        Unit::Minute
    } else {
        Unit::Second
    }
}

fn in_unit(angle: Angle, unit: Unit) -> String {
    match unit {
        Unit::Degree => format!("{}°", three_digits(angle.deg())),
        Unit::Minute => format!("{}′", three_digits(angle.arcmin())),
        Unit::Second => format!("{}″", three_digits(angle.arcsec())),
    }
}

/// A focal length: `350 mm`, and a decimal where it is short.
pub fn focal_length(mm: f64) -> String {
    if mm >= MOST_READABLE {
        return format!("{mm:.2e} mm");
    }
    let decimals = usize::from(mm < 100.0 && (mm - mm.round()).abs() >= 0.05);
    format!("{mm:.decimals$} mm")
}

/// A focal length without its unit, as it is typed: `350`, `13.4`.
pub fn plain_length(mm: f64) -> String {
    if mm >= MOST_READABLE { format!("{mm:.2e}") } else { ((mm * 10.0).round() / 10.0).to_string() }
}

/// How far a target is whole: rounded down, as it no longer is at the next millimetre.
pub fn whole_to(mm: f64) -> String {
    focal_length(mm.floor())
}

/// From where a target shows its detail: rounded up, as it does not at the millimetre before.
pub fn detail_from(mm: f64) -> String {
    focal_length(mm.ceil())
}

/// A verdict with the panels where they are known: `whole`, `spills, 2 panels`.
pub fn verdict(verdict: Verdict, panels: PanelCount) -> String {
    match panels.words() {
        Some(panels) => format!("{}, {panels}", verdict.word()),
        None => verdict.word().to_owned(),
    }
}

/// How a target fits, in a few words: `fill 0.78, whole`.
pub fn fit(fit: &Fit, panels: PanelCount) -> String {
    match fit.fill {
        Some(fill) => format!("fill {}, {}", self::fill(fill), verdict(fit.verdict, panels)),
        None => fit.verdict.word().to_owned(),
    }
}

/// A focal ratio: `f/5.8`.
pub fn focal_ratio(ratio: f64) -> String {
    if ratio >= MOST_READABLE {
        return format!("f/{ratio:.2e}");
    }
    let decimals = usize::from(ratio < 99.95);
    format!("f/{ratio:.decimals$}")
}

/// A pixel scale: `2.30″/px`.
pub fn pixel_scale(scale: Angle) -> String {
    format!("{}″/px", three_digits(scale.arcsec()))
}

/// A position angle, to the tenth of a degree: `35.0°`.
pub fn rotation(angle: Angle) -> String {
    let tenths = (angle.wrapped().deg() * 10.0).round() / 10.0;
    // OK because 359.96 rounds to a whole turn, which reads as none.
    // Adding nothing turns a zero's sign, which nobody means, to plus.
    format!("{:.1}°", if tenths >= 360.0 { 0.0 } else { tenths + 0.0 })
}

/// The size of a target from its axes in arcminutes.
pub fn target_size(
    major_arcmin: Option<f64>,
    minor_arcmin: Option<f64>,
    uncertain: bool,
) -> String {
    let about = if uncertain { "about " } else { "" };
    match (major_arcmin, minor_arcmin) {
        (None, _) => "size unknown".to_owned(),
        (Some(major), None) => format!("{about}{}", span(Angle::from_arcmin(major))),
        (Some(major), Some(minor)) => {
            format!("{about}{}", field(Angle::from_arcmin(major), Angle::from_arcmin(minor)))
        }
    }
}

/// Said where figures are for a shape that the person drew: how far it reaches.
pub fn drawn_outline(drawn: &DrawnShape) -> String {
    format!("outline drawn by hand, {} across", span(drawn.major()))
}

/// A number of things: `1 target`, `2 targets`; for words that take an s.
pub fn counted(count: usize, thing: &str) -> String {
    format!("{count} {thing}{}", if count == 1 { "" } else { "s" })
}

/// The warning that goes with a moment or a target near the Sun.
pub const fn sun_caution(caution: SunCaution) -> &'static str {
    match caution {
        SunCaution::NearSun => {
            "within 20° of the Sun. Never point any optics at or near the Sun without a certified \
             full-aperture solar filter."
        }
        SunCaution::SunIsUp => {
            "the Sun is up then. Never point any optics at or near the Sun without a certified \
             full-aperture solar filter."
        }
    }
}

/// A text of at most that many characters, so that a message stays one.
pub(crate) fn shortened(text: &str, most: usize) -> String {
    let mut letters = text.chars();
    let mut short: String = letters.by_ref().take(most).collect();
    if letters.next().is_some() {
        short.push('…');
    }
    short
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_field_reads_in_one_unit() {
        assert_eq!(field(Angle::from_deg(3.843), Angle::from_deg(2.561)), "3.84° × 2.56°");
        assert_eq!(field(Angle::from_deg(1.12), Angle::from_deg(0.745)), "67.2′ × 44.7′");
    }

    #[test]
    fn digits_do_not_promise_too_much() {
        assert_eq!(three_digits(99.97), "100");
        assert_eq!(three_digits(9.997), "10.0");
        assert_eq!(three_digits(2.3), "2.30");
        assert_eq!(focal_length(620.0), "620 mm");
        assert_eq!(focal_length(1e300), "1.00e300 mm");
        assert_eq!(focal_length(13.4), "13.4 mm");
    }

    #[test]
    fn the_ends_of_a_range_are_still_in_it() {
        assert_eq!((whole_to(482.63), detail_from(482.13)), ("482 mm".into(), "483 mm".into()));
    }

    #[test]
    fn a_verdict_has_its_panels_behind_a_comma() {
        assert_eq!(verdict(Verdict::Whole, PanelCount::Exactly(1)), "whole");
        assert_eq!(verdict(Verdict::Spills, PanelCount::Exactly(2)), "spills, 2 panels");
    }

    #[test]
    fn a_rotation_never_reads_as_a_whole_turn() {
        assert_eq!(rotation(Angle::from_deg(359.97)), "0.0°");
        assert_eq!(rotation(Angle::from_deg(-0.0)), "0.0°");
        assert_eq!(rotation(Angle::from_deg(-35.0)), "325.0°");
    }

    #[test]
    fn one_thing_has_no_s() {
        let words = [0, 1, 2].map(|count| counted(count, "target"));
        assert_eq!(words, ["0 targets", "1 target", "2 targets"]);
    }

    #[test]
    fn an_unknown_size_is_said() {
        assert_eq!(target_size(None, None, false), "size unknown");
        assert_eq!(target_size(Some(60.0), None, true), "about 1.00°");
    }
}
