//! What stands in the fields of a row, as numbers.
//!
//! Right ascension: a unit written in the field decides, then the unit of the heading; without
//! either, two or three numbers are hours, minutes and seconds, and a lone number is degrees.
//! Declination and position angle are degrees, sizes arcminutes, unless field or heading say
//! otherwise. A comma between figures is a decimal comma.

use fieldstop::range::{LATITUDE, POSITION_ANGLE, SIZE_ARCMIN, SURFACE_BRIGHTNESS, WHOLE_CIRCLE};
use fieldstop::sexagesimal::{RaUnit, parse_dec, parse_ra_in};

use super::wish_heading::{AngleUnit, Column, Columns};
use super::wish_row::{At, LONGEST_FIELD, LONGEST_NAME, ReadRow};
use crate::words::shortened;

/// Reads the fields of a row.
pub(super) fn row(columns: &Columns, at: At, fields: &dyn Fn(usize) -> String) -> ReadRow {
    let text = |column: Option<Column>| column.map(|c| fields(c.index)).unwrap_or_default();
    let mut read = ReadRow {
        at,
        name: name(&text(columns.name)),
        own: text(columns.listed_as).trim().eq_ignore_ascii_case("own"),
        place_deg: None,
        major_arcmin: None,
        minor_arcmin: None,
        pa_deg: None,
        surface_brightness_mag_arcsec2: None,
        fault: None,
    };
    match numbers(columns, &text) {
        Ok(numbers) => {
            read.place_deg = numbers.place_deg;
            read.major_arcmin = numbers.major_arcmin;
            read.minor_arcmin = numbers.minor_arcmin;
            read.pa_deg = numbers.pa_deg;
            read.surface_brightness_mag_arcsec2 = numbers.surface_brightness;
        }
        Err(fault) => read.fault = Some(fault),
    }
    read
}

/// A name on one line, without spaces around it.
fn name(text: &str) -> String {
    let plain: String = text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
    // One more than allowed, so that a name that is too long is seen to be.
    plain.trim().chars().take(LONGEST_NAME + 1).collect()
}

struct Numbers {
    place_deg: Option<(f64, f64)>,
    major_arcmin: Option<f64>,
    minor_arcmin: Option<f64>,
    pa_deg: Option<f64>,
    surface_brightness: Option<f64>,
}

fn numbers(columns: &Columns, text: &dyn Fn(Option<Column>) -> String) -> Result<Numbers, String> {
    let told = |what: &str,
                column: Option<Column>|
     -> Result<Option<(String, Option<AngleUnit>)>, String> {
        let text = plain(&text(column));
        if text.chars().count() > LONGEST_FIELD {
            return Err(format!(
                "{what} has more than {LONGEST_FIELD} characters; a quotation mark may not be closed"
            ));
        }
        Ok((!is_unknown(&text)).then(|| (text, column.and_then(|column| column.unit))))
    };
    let place_deg = match (
        told("right ascension", columns.ra)?.map(|(text, unit)| ra_deg(&text, unit)).transpose()?,
        told("declination", columns.dec)?.map(|(text, unit)| dec_deg(&text, unit)).transpose()?,
    ) {
        (Some(ra_deg), Some(dec_deg)) => Some((ra_deg, dec_deg)),
        (None, None) => None,
        (Some(_), None) => return Err("it has a right ascension but no declination".to_owned()),
        (None, Some(_)) => return Err("it has a declination but no right ascension".to_owned()),
    };
    let (major, beside) = match told("size", columns.size)? {
        Some((text, unit)) => size_arcmin(&text, unit)?,
        None => (None, None),
    };
    let minor = match told("minor axis", columns.minor)? {
        Some((text, unit)) => size_arcmin(&text, unit)?.0,
        None => beside,
    };
    if let Some(minor) = minor
        && major.is_none_or(|major| major < minor)
    {
        return Err(format!(
            "minor axis: found {minor}′; expected at most the major axis, which is {}",
            major.map_or_else(|| "unknown".to_owned(), |major| format!("{major}′"))
        ));
    }
    Ok(Numbers {
        place_deg,
        major_arcmin: major,
        minor_arcmin: minor,
        pa_deg: told("position angle", columns.position_angle)?
            .map(|(text, unit)| angle_deg(&text, unit))
            .transpose()?,
        surface_brightness: told("surface brightness", columns.surface_brightness)?
            .map(|(text, _)| brightness(&text))
            .transpose()?,
    })
}

/// A field's text with plain signs: no odd spaces, a minus that is one, a point for a decimal comma.
fn plain(text: &str) -> String {
    let text =
        text.trim().replace(['\u{a0}', '\u{2009}', '\u{202f}'], " ").replace(['−', '–'], "-");
    // With a point beside it, a comma is no decimal comma, and what it is stays open.
    if text.contains('.') { text } else { text.replace(',', ".") }
}

/// What people and programs write for nothing.
fn is_unknown(text: &str) -> bool {
    ["", "-", "--", "---", "?", "n/a", "na", "nan", "null", "none", "unknown"]
        .contains(&text.to_lowercase().as_str())
}

/// A plain number, finite, without a unit.
fn number(text: &str) -> Option<f64> {
    let figures = |c: char| c.is_ascii_digit() || "+-.eE".contains(c);
    text.chars().all(figures).then(|| text.parse().ok()).flatten().filter(|n: &f64| n.is_finite())
}

fn refused(what: &str, text: &str, expected: &str) -> String {
    format!("{what}: found “{}”; expected {expected}", shortened(text, 40))
}

fn ra_deg(text: &str, unit: Option<AngleUnit>) -> Result<f64, String> {
    // A lone number in degrees is kept to the last digit.
    if let Some(number) = number(text) {
        let deg = match unit {
            Some(AngleUnit::Hours | AngleUnit::Sexagesimal) => 15.0 * number,
            other => in_degrees(number, other),
        };
        return match WHOLE_CIRCLE.contains(deg) {
            true => Ok(deg),
            false => Err(refused("right ascension", text, "0 to 24 hours or 0 to 360 degrees")),
        };
    }
    let heading = match unit {
        Some(AngleUnit::Hours | AngleUnit::Sexagesimal) => Some(RaUnit::Hours),
        Some(AngleUnit::Degrees) => Some(RaUnit::Degrees),
        _ => None,
    };
    let ra = parse_ra_in(text, heading)
        .map_err(|error| format!("right ascension: {}", shortened(&error.to_string(), 200)))?;
    Ok(ra.deg())
}

fn dec_deg(text: &str, unit: Option<AngleUnit>) -> Result<f64, String> {
    if let Some(number) = number(text) {
        let deg = in_degrees(number, unit);
        return match LATITUDE.contains(deg) {
            true => Ok(deg),
            false => Err(refused("declination", text, LATITUDE.expected)),
        };
    }
    let dec = parse_dec(text)
        .map_err(|error| format!("declination: {}", shortened(&error.to_string(), 200)))?;
    Ok(dec.deg())
}

/// A number of a unit, degrees if none is named.
fn in_degrees(number: f64, unit: Option<AngleUnit>) -> f64 {
    match unit {
        Some(AngleUnit::Radians) => number.to_degrees(),
        Some(AngleUnit::Arcminutes) => number / 60.0,
        Some(AngleUnit::Arcseconds) => number / 3600.0,
        Some(AngleUnit::Hours) => 15.0 * number,
        Some(AngleUnit::Degrees | AngleUnit::Sexagesimal) | None => number,
    }
}

const SIZE: &str = "a size such as 12, 12 x 8, 1.5° or 30″, in arcminutes unless it says otherwise";

/// One size, or two with an x between.
fn size_arcmin(text: &str, unit: Option<AngleUnit>) -> Result<(Option<f64>, Option<f64>), String> {
    let wrong = || refused("size", text, &format!("{SIZE}; {}", SIZE_ARCMIN.expected));
    let mut parts = text.split(['x', 'X', '×', '*']);
    let (first, second) = (parts.next().unwrap_or_default(), parts.next());
    if parts.next().is_some() {
        return Err(wrong());
    }
    let first = measure(first).ok_or_else(wrong)?;
    let second = second.map(|text| measure(text).ok_or_else(wrong)).transpose()?;
    // "12 x 8 arcmin": the unit at the end is that of both.
    let shared = second.and_then(|(_, unit)| unit);
    let arcmin = |(number, own): (f64, Option<AngleUnit>)| {
        let arcmin = match own.or(shared).or(unit) {
            None | Some(AngleUnit::Arcminutes | AngleUnit::Sexagesimal) => number,
            Some(AngleUnit::Arcseconds) => number / 60.0,
            other => in_degrees(number, other) * 60.0,
        };
        // Lists have 0 where they know no size.
        match arcmin {
            0.0 => Ok(None),
            arcmin if SIZE_ARCMIN.contains(arcmin) => Ok(Some(arcmin)),
            _ => Err(wrong()),
        }
    };
    Ok((arcmin(first)?, second.map(arcmin).transpose()?.flatten()))
}

/// A number with a unit behind it, if there is one.
fn measure(text: &str) -> Option<(f64, Option<AngleUnit>)> {
    let text = text.trim();
    let end = text.find(|c: char| !c.is_ascii_digit() && !"+-.".contains(c)).unwrap_or(text.len());
    if let Some(number) = number(text) {
        return Some((number, None));
    }
    let (figures, unit) = (text.get(..end)?, text.get(end..)?.trim());
    Some((number(figures)?, Some(super::wish_heading::unit_of(unit)?)))
}

fn angle_deg(text: &str, unit: Option<AngleUnit>) -> Result<f64, String> {
    let wrong = || refused("position angle", text, POSITION_ANGLE.expected);
    let (number, own) = measure(text).ok_or_else(wrong)?;
    let deg = in_degrees(number, own.or(unit));
    if POSITION_ANGLE.contains(deg) { Ok(deg) } else { Err(wrong()) }
}

fn brightness(text: &str) -> Result<f64, String> {
    number(text)
        .filter(|&number| SURFACE_BRIGHTNESS.contains(number))
        .ok_or_else(|| refused("surface brightness", text, SURFACE_BRIGHTNESS.expected))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn close(found: Result<f64, String>, wanted: f64) -> bool {
        found.is_ok_and(|found| (found - wanted).abs() < 1e-9)
    }

    /// 5h 35m 17.3s is 83.822083 degrees: 15 degrees an hour.
    #[test]
    fn right_ascension_is_judged_by_field_then_heading_then_form() {
        let deg = 83.822_083_333_333_33;
        for (text, unit) in [
            ("5h35m17.3s", None),
            ("05:35:17,3", None),
            ("5 35 17.3", Some(AngleUnit::Sexagesimal)),
            ("83.822083333333333", None),
            ("83,822083333333333", Some(AngleUnit::Degrees)),
            ("83 49 19.5", Some(AngleUnit::Degrees)),
            ("5.5881388888888889", Some(AngleUnit::Hours)),
            ("83.822083333333333°", Some(AngleUnit::Hours)),
            ("1.46297134004773", Some(AngleUnit::Radians)),
        ] {
            assert!(close(ra_deg(&plain(text), unit), deg), "{text} {unit:?}");
        }
        for text in ["361", "-1", "25h", "1,234.5", "abc", "12 60 00"] {
            assert!(ra_deg(&plain(text), None).is_err(), "{text}");
        }
    }

    #[test]
    fn sizes_are_arcminutes_unless_they_say_otherwise() {
        for (text, unit, major, minor) in [
            ("12", None, Some(12.0), None),
            ("190 x 62", None, Some(190.0), Some(62.0)),
            ("190′ × 62′", None, Some(190.0), Some(62.0)),
            ("3 x 2 deg", None, Some(180.0), Some(120.0)),
            ("1,5°", None, Some(90.0), None),
            ("30\"", None, Some(0.5), None),
            ("90", Some(AngleUnit::Arcseconds), Some(1.5), None),
            ("0", None, None, None),
        ] {
            assert_eq!(size_arcmin(&plain(text), unit), Ok((major, minor)), "{text}");
        }
        for text in ["-3", "12 x", "1 x 2 x 3", "large", "12 parsecs", "99999"] {
            assert!(size_arcmin(text, None).is_err(), "{text}");
        }
    }
}
