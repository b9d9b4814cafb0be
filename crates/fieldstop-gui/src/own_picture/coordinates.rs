//! World coordinates out of the cards of a FITS header.

use fieldstop::world_coordinates::{Distortion, Term, WorldCoordinates};
use fieldstop::{Angle, Direction};
use fitsio_pure::header::Card;
use fitsio_pure::value::Value;

/// Keywords and their values.
pub(super) struct Cards<'a>(pub &'a [Card]);

impl Cards<'_> {
    fn value(&self, keyword: &str) -> Option<&Value> {
        self.0.iter().find(|card| card.keyword_str() == keyword)?.value.as_ref()
    }

    /// A number, whole or not.
    pub(super) fn number(&self, keyword: &str) -> Option<f64> {
        match self.value(keyword)? {
            // OK because a header's whole numbers that are used as reals are small.
            Value::Integer(whole) => Some(*whole as f64),
            Value::Float(real) => Some(*real),
            _ => None,
        }
    }

    /// A whole number.
    pub(super) fn whole(&self, keyword: &str) -> Option<i64> {
        match self.value(keyword)? {
            Value::Integer(whole) => Some(*whole),
            _ => None,
        }
    }

    /// What a keyword says, for a message.
    pub(super) fn found(&self, keyword: &str) -> String {
        let Some(card) = self.0.iter().find(|card| card.keyword_str() == keyword) else {
            return format!("{keyword} is missing");
        };
        match &card.value {
            Some(Value::Integer(whole)) => format!("{keyword} is {whole}"),
            Some(Value::Float(real)) => format!("{keyword} is {real}"),
            Some(Value::String(text)) => format!("{keyword} is the text {text:?}"),
            Some(Value::Logical(is_so)) => {
                format!("{keyword} is {}", if *is_so { "T" } else { "F" })
            }
            _ => format!("{keyword} has no value"),
        }
    }

    /// Text without the blanks behind it.
    pub(super) fn text(&self, keyword: &str) -> Option<&str> {
        match self.value(keyword)? {
            Value::String(text) => Some(text.trim_end()),
            _ => None,
        }
    }

    /// Whether a keyword says yes.
    pub(super) fn is_so(&self, keyword: &str) -> bool {
        self.value(keyword) == Some(&Value::Logical(true))
    }

    /// Whether anything places the picture on the sky or elsewhere.
    pub(super) fn has_coordinates(&self) -> bool {
        self.text("CTYPE1").is_some_and(|axis| !axis.is_empty()) && self.text("CTYPE2").is_some()
    }
}

/// Places a picture of this size on the sky, with the form in words.
///
/// # Errors
/// What is wrong, and what was expected.
pub(super) fn coordinates(
    cards: &Cards<'_>,
    size_px: (u32, u32),
) -> Result<(WorldCoordinates, String), String> {
    let axes = [cards.text("CTYPE1"), cards.text("CTYPE2")].map(Option::unwrap_or_default);
    // The axes may come in either order.
    let (east, north) = match axes.map(|axis| axis.get(..5).unwrap_or(axis)) {
        ["RA---", "DEC--"] => (0, 1),
        ["DEC--", "RA---"] => (1, 0),
        [one, other] => {
            return Err(format!(
                "its axes are {one:?} and {other:?}; expected right ascension and declination"
            ));
        }
    };
    let is_distorted = match axes.map(|axis| axis.get(5..).unwrap_or_default()) {
        ["TAN", "TAN"] => false,
        ["TAN-SIP", "TAN-SIP"] => true,
        [one, _] => return Err(format!("its projection is {one:?}; expected TAN or TAN-SIP")),
    };
    check_frame(cards)?;
    let reference_deg = ["CRVAL1", "CRVAL2"].map(|keyword| cards.number(keyword));
    let [Some(first), Some(second)] = reference_deg else {
        return Err("it lacks CRVAL1 or CRVAL2, the place of the reference pixel".to_owned());
    };
    let [ra_deg, dec_deg] = if east == 0 { [first, second] } else { [second, first] };
    check_place([ra_deg, dec_deg])?;
    let (rows, form) = matrix(cards)?;
    let [row_east, row_north] = if east < north { rows } else { [rows[1], rows[0]] };
    let pole = native_pole_deg(cards, east + 1)?;
    // Calabretta & Greisen 2002, section 2.4: the default is 0 where the centre is the pole.
    let pole = pole.unwrap_or(if dec_deg >= 90.0 { 0.0 } else { 180.0 });
    let map = WorldCoordinates {
        width_px: size_px.0,
        height_px: size_px.1,
        reference_px: ["CRPIX1", "CRPIX2"].map(|keyword| cards.number(keyword).unwrap_or(0.0)),
        reference: Direction::from_ra_dec(Angle::from_deg(ra_deg), Angle::from_deg(dec_deg)),
        cd_deg: [row_east, row_north],
        distortion: if is_distorted { Some(distortion(cards)?) } else { None },
    }
    .with_native_pole(Angle::from_deg(pole));
    if !map.is_sound() {
        return Err("its scale is zero, or turns the picture into a line".to_owned());
    }
    check_sizes(&map)?;
    let bent = if is_distorted { "TAN with SIP distortion" } else { "TAN" };
    Ok((map, format!("{bent}, {form}")))
}

/// Only a right ascension and a declination that are one, degrees.
pub(crate) fn check_place([ra_deg, dec_deg]: [f64; 2]) -> Result<(), String> {
    // A NaN is in no range.
    for (name, found, most) in [("right ascension", ra_deg, 360.0), ("declination", dec_deg, 90.0)]
    {
        if !(-most..=most).contains(&found) {
            return Err(format!(
                "its reference place has a {name} of {} degrees; expected -{most} to {most}",
                short(found)
            ));
        }
    }
    Ok(())
}

/// Only a scale and a reference pixel that a picture of the sky can have: from far finer than any
/// telescope sees to the whole sky in a few pixels, and what was cut out of a very large picture.
pub(crate) fn check_sizes(map: &WorldCoordinates) -> Result<(), String> {
    const DEG_PER_PX: [f64; 2] = [1e-6, 10.0];
    const FARTHEST_PX: f64 = 10_000_000.0;
    let [[a, b], [c, d]] = map.cd_deg;
    for (side, found) in [("across", a.hypot(c)), ("up", b.hypot(d))] {
        if !(DEG_PER_PX[0]..=DEG_PER_PX[1]).contains(&found) {
            return Err(format!(
                "its scale {side} is {} degrees a pixel; expected 0.000001 to 10",
                short(found)
            ));
        }
    }
    match map.reference_px.into_iter().find(|px| !(-FARTHEST_PX..=FARTHEST_PX).contains(px)) {
        Some(found) => Err(format!(
            "its reference pixel is at {}; expected -10,000,000 to 10,000,000",
            short(found)
        )),
        None => Ok(()),
    }
}

/// A number that may be of any size, in few digits.
fn short(number: f64) -> String {
    if number == 0.0 || (1e-4..1e7).contains(&number.abs()) {
        format!("{number}")
    } else {
        format!("{number:E}")
    }
}

/// Only places that are ICRS, or the same within a small part of an arcsecond.
fn check_frame(cards: &Cards<'_>) -> Result<(), String> {
    let equinox = cards.number("EQUINOX").or_else(|| cards.number("EPOCH"));
    let system = cards.text("RADESYS").or_else(|| cards.text("RADECSYS"));
    let is_current = match system.unwrap_or(if equinox.is_some() { "FK5" } else { "ICRS" }) {
        "ICRS" => true,
        "FK5" => equinox.is_none_or(|year| (year - 2000.0).abs() < 1e-3),
        _ => false,
    };
    if !is_current {
        let (system, year) = (system.unwrap_or("unnamed"), equinox.unwrap_or(2000.0));
        return Err(format!(
            "its places are in the system {system} of {year}; expected ICRS, or FK5 of 2000"
        ));
    }
    for unit in ["CUNIT1", "CUNIT2"].into_iter().filter_map(|keyword| cards.text(keyword)) {
        if !matches!(unit.trim(), "" | "deg" | "degree" | "degrees") {
            return Err(format!("its unit is {unit:?}; expected degrees"));
        }
    }
    let tables = ["CPDIS1", "CPDIS2", "D2IMDIS1", "D2IMDIS2"];
    match tables.into_iter().find(|keyword| cards.value(keyword).is_some()) {
        Some(keyword) => Err(distorted(keyword)),
        None => Ok(()),
    }
}

fn distorted(by: &str) -> String {
    format!("{by} says that it is distorted in a way that is not known here; expected none, or SIP")
}

/// The native longitude of the celestial pole, if the header says it, and a refusal if the axes'
/// parameters say what is not known here. The axis of right ascension has number `longitude`.
///
/// By the standard TAN has parameters only there: PVi_1 and PVi_2 are the native place of the
/// reference pixel, by default (0, 90), PVi_3 stands for LONPOLE and goes before it, PVi_4 for
/// LATPOLE, which TAN has no need of. There are headers of another meaning, a polynomial of 40 terms
/// on either axis; a parameter on the other axis or beyond the fourth gives them away.
///
/// # Source
/// Calabretta & Greisen 2002, section 2.5.
fn native_pole_deg(cards: &Cards<'_>, longitude: usize) -> Result<Option<f64>, String> {
    let mut parameters = Vec::new();
    for card in cards.0 {
        let keyword = card.keyword_str();
        let numbers = keyword.strip_prefix("PV").and_then(|numbers| numbers.split_once('_'));
        let Some((axis, number)) = numbers else { continue };
        // Keywords of other axes, or of a second set of coordinates, are none of ours.
        if let (Ok(axis @ (1 | 2)), Ok(number)) = (axis.parse::<usize>(), number.parse::<u32>()) {
            let value = cards.number(keyword).filter(|value| value.is_finite());
            let value = value.ok_or_else(|| format!("{keyword} is no number"))?;
            parameters.push((axis == longitude, number, value, keyword));
        }
    }
    let is_polynomial = parameters.iter().any(|(is_long, number, ..)| !is_long || *number > 4);
    let mut pole = cards.number("LONPOLE");
    for (_, number, value, keyword) in parameters {
        let idle = match number {
            // The linear term of a polynomial, and one that changes nothing.
            1 if is_polynomial => 1.0,
            _ if is_polynomial => 0.0,
            0 | 1 => 0.0,
            2 => 90.0,
            3 => {
                pole = Some(value);
                continue;
            }
            _ => continue,
        };
        if value != idle {
            return Err(distorted(&format!("{keyword} of {value}")));
        }
    }
    match pole {
        Some(pole) if !pole.is_finite() => Err("LONPOLE is no finite number".to_owned()),
        pole => Ok(pole),
    }
}

/// Rows of degrees a pixel for either axis, in each of the three ways of writing them.
fn matrix(cards: &Cards<'_>) -> Result<([[f64; 2]; 2], &'static str), String> {
    let read = |names: [&str; 4]| names.map(|name| cards.number(name));
    let cd = read(["CD1_1", "CD1_2", "CD2_1", "CD2_2"]);
    if cd.iter().any(Option::is_some) {
        let [a, b, c, d] = cd.map(Option::unwrap_or_default);
        return Ok(([[a, b], [c, d]], "CD matrix"));
    }
    let [Some(first), Some(second)] = ["CDELT1", "CDELT2"].map(|name| cards.number(name)) else {
        return Err("it lacks a scale; expected a CD matrix, or CDELT1 and CDELT2".to_owned());
    };
    let pc = read(["PC1_1", "PC1_2", "PC2_1", "PC2_2"]);
    if pc.iter().any(Option::is_some) {
        let [a, b, c, d] = pc;
        let [a, d] = [a, d].map(|entry| entry.unwrap_or(1.0));
        let [b, c] = [b, c].map(Option::unwrap_or_default);
        return Ok(([[first * a, first * b], [second * c, second * d]], "PC matrix and CDELT"));
    }
    let (turned, words) =
        cards.number("CROTA2").map_or((0.0, "CDELT"), |turned| (turned, "CDELT and CROTA2"));
    Ok((turned_matrix([first, second], Angle::from_deg(turned)), words))
}

/// Scales along the axes and the rotation of the second one, as a matrix.
///
/// # Source
/// Calabretta & Greisen 2002, equation 188.
pub(crate) fn turned_matrix([first, second]: [f64; 2], rotation: Angle) -> [[f64; 2]; 2] {
    let (sin, cos) = rotation.sin_cos();
    [[first * cos, -second * sin], [first * sin, second * cos]]
}

/// The polynomials of the SIP convention.
fn distortion(cards: &Cards<'_>) -> Result<Distortion, String> {
    let terms = |axis: &str| -> Result<Vec<Term>, String> {
        let order = cards.whole(&format!("{axis}_ORDER")).unwrap_or(0);
        if !(0..=9).contains(&order) {
            return Err(format!("{axis}_ORDER is {order}; expected 0 to 9"));
        }
        let mut terms = Vec::new();
        for (p, q) in (0..=9u8).flat_map(|p| (0..=9u8).map(move |q| (p, q))) {
            if i64::from(p + q) > order {
                continue;
            }
            match cards.number(&format!("{axis}_{p}_{q}")) {
                Some(factor) if !factor.is_finite() => {
                    return Err(format!("{axis}_{p}_{q} is no finite number"));
                }
                Some(factor) if factor != 0.0 => terms.push((p, q, factor)),
                _ => {}
            }
        }
        Ok(terms)
    };
    Ok(Distortion { along_x: terms("A")?, along_y: terms("B")? })
}
