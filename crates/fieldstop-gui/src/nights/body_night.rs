//! Moon and planets as targets in one night: how large, how lit, how high.

use fieldstop::body_path::BodyPath;
use fieldstop::night::SunDepth;
use fieldstop::place::Epoch;
use fieldstop::season::{TargetNight, body_night};
use fieldstop::spans::Spans;
use fieldstop::sun_moon::{Phase, SunCaution};
use fieldstop::{Angle, Body, Horizon, Instant, Night};

/// A body of the solar system in one night.
#[derive(Clone, Debug)]
pub struct BodyNight {
    /// Which.
    pub body: Body,
    /// From edge to edge, in the middle of the night.
    pub diameter: Angle,
    /// In the middle of the night.
    pub phase: Phase,
    /// Its way through the night.
    pub path: BodyPath,
    /// Its hours, counted as for any target.
    pub hours: TargetNight,
    /// When it stands above the site's limit after sunset and before sunrise.
    pub up: Spans,
    /// Its highest altitude then, without refraction.
    pub highest: Option<Angle>,
    /// The warning that goes with it.
    pub caution: Option<SunCaution>,
}

impl BodyNight {
    /// Every body in a night.
    pub fn all(night: &Night, horizon: &Horizon) -> Vec<Self> {
        let epoch = Epoch::at(night.middle());
        Body::ALL.into_iter().map(|body| Self::at(body, night, horizon, &epoch)).collect()
    }

    /// One body in a night.
    pub fn of(body: Body, night: &Night, horizon: &Horizon) -> Self {
        Self::at(body, night, horizon, &Epoch::at(night.middle()))
    }

    fn at(body: Body, night: &Night, horizon: &Horizon, epoch: &Epoch) -> Self {
        let path = BodyPath::new(night, body);
        let hours = body_night(night, horizon, &path);
        let up = hours.up.and(&night.below(SunDepth::Set).spans(night.window()));
        let phase = body.phase(epoch);
        Self {
            body,
            diameter: body.diameter(body.place(epoch).distance_km),
            phase,
            highest: highest(night, &path, &up),
            path,
            hours,
            up,
            // The Sun has set wherever these hours count, so nearness is all there is to warn of.
            caution: SunCaution::at(-Angle::RIGHT, phase.elongation),
        }
    }
}

/// The highest altitude in some stretches, by looks ten minutes apart and at their ends.
fn highest(night: &Night, path: &BodyPath, up: &Spans) -> Option<Angle> {
    let moments = up.iter().flat_map(|span| {
        // OK because a night has few of them.
        let count = (span.hours() * 6.0) as u32;
        (0..=count).map(move |step| span.start.after_s(600.0 * f64::from(step))).chain([span.end])
    });
    let altitude = |instant: Instant| path.at(night, instant).altitude;
    moments.map(altitude).reduce(Angle::max)
}
