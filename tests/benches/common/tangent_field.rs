//! Stored places on the sky, and the plane that they are projected on.

use fieldstop::{Angle, Direction, Icrs, TangentPlane, TangentPoint};

fn place(ra_deg: f64, dec_deg: f64) -> Direction<Icrs> {
    Direction::from_ra_dec(Angle::from_deg(ra_deg), Angle::from_deg(dec_deg))
}

pub(crate) fn plane() -> TangentPlane<Icrs> {
    TangentPlane::new(place(83.8, -5.4))
}

/// Places spread evenly over 10 by 10 degrees: the additive recurrence of the plastic number
/// (Roberts 2018), which needs no random numbers.
pub(crate) fn places(count: u32) -> Vec<Direction<Icrs>> {
    let (step_ra, step_dec) = (0.754_877_666_246_692_7, 0.569_840_290_998_053_3);
    let spread = |k: u32, step: f64| 10.0 * (f64::from(k) * step).fract() - 5.0;
    (0..count).map(|k| place(83.8 + spread(k, step_ra), -5.4 + spread(k, step_dec))).collect()
}

pub(crate) fn no_points(count: u32) -> Vec<TangentPoint> {
    vec![TangentPoint { xi: 0.0, eta: 0.0 }; count as usize]
}

/// What is measured is also right: every point is that of the plain projection.
pub(crate) fn assert_projected(places: &[Direction<Icrs>], points: &[TangentPoint]) {
    for (&place, point) in places.iter().zip(points) {
        let wanted = plane().project(place).expect("5 degrees off the centre");
        assert!((point.xi - wanted.xi).hypot(point.eta - wanted.eta) < 1e-16);
    }
}
