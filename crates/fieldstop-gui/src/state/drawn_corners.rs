//! The corners of an outline while it is drawn: every change gives new corners, or says why not.

use std::f64::consts::TAU;

use fieldstop::kit::DrawnOutline;
use fieldstop::shape::{LEAST_CORNERS, MOST_CORNERS};
use fieldstop::{Angle, Direction, Icrs, Outline, TangentPlane, TangentPoint};

/// Right ascension and declination in degrees, as the kit has them.
pub type Corner = (f64, f64);

/// Corners that a catalogue's ellipse is begun with.
const BEGUN_WITH: u32 = 12;

/// A catalogue's ellipse as corners about it, so that the sides touch it and those across the axes
/// touch their ends: what held the ellipse whole holds this, and no less. None for half the sky.
pub fn of_ellipse(place: Direction<Icrs>, outline: &Outline) -> Vec<Corner> {
    let (a, b) = outline.semi_axes();
    if !(a.is_finite() && b.is_finite()) {
        return Vec::new();
    }
    let (sin_pa, cos_pa) = outline.axis_pa().sin_cos();
    let plane = TangentPlane::new(place);
    let half_step = TAU / f64::from(2 * BEGUN_WITH);
    let (a, b) = (a / half_step.cos(), b / half_step.cos());
    (0..BEGUN_WITH)
        .map(|k| {
            let (sin, cos) = (half_step * f64::from(2 * k + 1)).sin_cos();
            let (along, across) = (a * cos, b * sin);
            corner(plane.direction(TangentPoint {
                xi: along * sin_pa + across * cos_pa,
                eta: along * cos_pa - across * sin_pa,
            }))
        })
        .collect()
}

/// A place as a corner.
pub fn corner(place: Direction<Icrs>) -> Corner {
    (tidy(place.ra()) % 360.0, tidy(place.dec()))
}

/// Degrees to a hundredth of an arcsecond, so that a kit file stays readable.
pub fn tidy(angle: Angle) -> f64 {
    (angle.deg() * 1e6).round() / 1e6
}

/// A corner as a place.
pub fn place((ra_deg, dec_deg): Corner) -> Direction<Icrs> {
    Direction::from_ra_dec(Angle::from_deg(ra_deg), Angle::from_deg(dec_deg))
}

/// Whether these corners make an outline, or are on the way to one.
fn checked(corners: Vec<Corner>) -> Result<Vec<Corner>, String> {
    if corners.len() < LEAST_CORNERS {
        return Ok(corners);
    }
    let drawn = DrawnOutline { target: String::new(), corners_deg: corners };
    match drawn.shape() {
        Ok(_) => Ok(drawn.corners_deg),
        Err(fault) => Err(format!("Not done: {fault}.")),
    }
}

/// The corners with one of them elsewhere.
///
/// # Errors
/// A sentence that says why that would be no outline.
pub fn moved(corners: &[Corner], index: usize, to: Corner) -> Result<Vec<Corner>, String> {
    let mut corners = corners.to_vec();
    if let Some(corner) = corners.get_mut(index) {
        *corner = to;
    }
    checked(corners)
}

/// The corners with another one after one of them.
///
/// # Errors
/// A sentence that says why that would be no outline.
pub fn inserted(corners: &[Corner], after: usize, at: Corner) -> Result<Vec<Corner>, String> {
    if corners.len() >= MOST_CORNERS {
        return Err(format!("Not done: an outline has at most {MOST_CORNERS} corners."));
    }
    let mut corners = corners.to_vec();
    corners.insert((after + 1).min(corners.len()), at);
    checked(corners)
}

/// The corners with another one, into the first of some sides that takes it; gives its index too.
///
/// # Errors
/// A sentence that says why the first side does not take it.
pub fn added(
    corners: &[Corner],
    sides: &[usize],
    at: Corner,
) -> Result<(usize, Vec<Corner>), String> {
    let mut refusal = None;
    for &side in sides {
        match inserted(corners, side, at) {
            Ok(corners) => return Ok((side + 1, corners)),
            Err(why) => refusal = refusal.or(Some(why)),
        }
    }
    match refusal {
        Some(why) => Err(why),
        None => inserted(corners, corners.len(), at).map(|all| (corners.len(), all)),
    }
}

/// The corners without one of them.
///
/// # Errors
/// A sentence that says why that would be no outline.
pub fn removed(corners: &[Corner], index: usize) -> Result<Vec<Corner>, String> {
    if corners.len() == LEAST_CORNERS {
        return Err(format!(
            "Not done: an outline has at least {LEAST_CORNERS} corners. “Remove the drawn outline” \
             takes it away as a whole."
        ));
    }
    let mut corners = corners.to_vec();
    if index < corners.len() {
        corners.remove(index);
    }
    checked(corners)
}

/// The middle of the side after a corner.
pub fn middle_of_side(corners: &[Corner], side: usize) -> Option<Corner> {
    let (from, to) = (*corners.get(side)?, *corners.get(side + 1).or(corners.first())?);
    let (from, to) = (place(from), place(to));
    Some(corner(from.offset(from.position_angle(to), from.separation(to) / 2.0)))
}

#[cfg(test)]
mod tests {
    use fieldstop::shape::{DrawnShape, Shape};
    use fieldstop::{Field, fit};

    use super::*;

    const SQUARE: [Corner; 4] = [(10.0, 0.0), (11.0, 0.0), (11.0, 1.0), (10.0, 1.0)];

    /// What held the ellipse whole must hold the shape that it is begun with, and no less would.
    #[test]
    fn an_ellipse_is_begun_with_sides_that_touch_it() {
        let outline = Outline {
            major: Angle::from_deg(3.0),
            minor: Some(Angle::from_deg(1.0)),
            position_angle: Some(Angle::from_deg(35.0)),
        };
        let middle = place((10.0, 41.0));
        let corners = checked(of_ellipse(middle, &outline)).unwrap();
        let places: Vec<_> = corners.iter().map(|&corner| place(corner)).collect();
        assert_eq!(places.len(), 12);
        let plane = TangentPlane::new(middle);
        let point = |place: &Direction<Icrs>| plane.project(*place).unwrap();
        for (from, to) in places.iter().zip(places.iter().cycle().skip(1)) {
            // The middle of a side is where it touches; stretched to a circle, all are one off.
            let (from, to) = (point(from), point(to));
            let (xi, eta) = (f64::midpoint(from.xi, to.xi), f64::midpoint(from.eta, to.eta));
            let (sin, cos) = outline.axis_pa().sin_cos();
            let (along, across) = (xi * sin + eta * cos, xi * cos - eta * sin);
            let (a, b) = outline.semi_axes();
            assert!(((along / a).hypot(across / b) - 1.0).abs() < 1e-5);
        }
        let shape = DrawnShape::new(&places).unwrap();
        let field = Field { half_width: 0.015, half_height: 0.01 };
        for deg in [0.0, 35.0, 90.0, 125.0] {
            let turned = Angle::from_deg(deg);
            let of_ellipse = fit::fill(&outline, &field, turned);
            let of_shape = Shape::Drawn(shape.clone().into()).fill(&field, turned);
            assert!(of_shape > of_ellipse * (1.0 - 1e-5), "{deg}: {of_shape} {of_ellipse}");
        }
    }

    #[test]
    fn a_change_that_crosses_sides_is_refused_in_a_sentence() {
        let why = moved(&SQUARE, 0, (11.5, 0.5)).unwrap_err();
        assert_eq!(
            why,
            "Not done: the side after corner 2 and the side after corner 4 would cross or touch; \
             expected sides that meet only at their corners."
        );
        assert_eq!(moved(&SQUARE, 0, (9.5, 0.0)).unwrap()[0], (9.5, 0.0));
        let why = removed(&SQUARE[..3], 1).unwrap_err();
        assert!(why.contains("at least 3 corners"), "{why}");
        let many: Vec<Corner> = (0..200)
            .map(|k| Angle::TURN * (f64::from(k) / 200.0))
            .map(|turn| corner(place((50.0, 0.0)).offset(turn, Angle::from_deg(2.0))))
            .collect();
        assert!(inserted(&many, 3, (50.0, 0.0)).unwrap_err().contains("at most 200"));
    }

    #[test]
    fn a_corner_goes_into_the_first_side_that_takes_it() {
        // Beyond the right side; through the left one the new sides would cross the square.
        let (index, corners) = added(&SQUARE, &[3, 1], (12.0, 0.5)).unwrap();
        assert_eq!((index, corners[2]), (2, (12.0, 0.5)));
        let (index, corners) = added(&SQUARE[..1], &[], (12.0, 0.5)).unwrap();
        assert_eq!((index, corners.len()), (1, 2));
        assert!(added(&SQUARE, &[3], (12.0, 0.5)).is_err());
    }

    #[test]
    fn the_last_side_runs_back_to_the_first_corner() {
        assert_eq!(middle_of_side(&SQUARE, 3), Some((10.0, 0.5)));
        assert_eq!(middle_of_side(&SQUARE, 4), None);
    }
}
