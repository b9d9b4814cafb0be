//! Moon and planets as targets in one night: how large, how lit, how high.

use fieldstop::night::SunDepth;
use fieldstop::place::Epoch;
use fieldstop::season::target_night;
use fieldstop::spans::{Span, Spans};
use fieldstop::sun_moon::{Phase, SunCaution, body_horizontal};
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
    /// When it stands above the site's limit after sunset and before sunrise.
    pub up: Spans,
    /// Its highest altitude then, with that moment; without refraction.
    pub highest: Option<(Instant, Angle)>,
    /// The warning that goes with it.
    pub caution: Option<SunCaution>,
}

impl BodyNight {
    /// Every body in a night.
    pub fn all(night: &Night, horizon: &Horizon) -> Vec<Self> {
        let epoch = Epoch::at(night.middle());
        Body::ALL.into_iter().map(|body| Self::of(body, night, horizon, &epoch)).collect()
    }

    fn of(body: Body, night: &Night, horizon: &Horizon, epoch: &Epoch) -> Self {
        let place = body.place(epoch);
        let sun_down = night.below(SunDepth::Set).spans(night.window());
        let up = match body {
            Body::Sun => Spans::default(),
            Body::Moon => moon_up(night, horizon).and(&sun_down),
            // A planet moves by a degree in a night at most, which is four minutes of time.
            _ => target_night(night, horizon, place.among_stars).up.and(&sun_down),
        };
        let phase = body.phase(epoch);
        // The Sun has set wherever these hours count, so nearness is all that is left to warn of.
        let caution = SunCaution::at(-Angle::RIGHT, phase.elongation);
        Self {
            body,
            diameter: body.diameter(place.distance_km),
            phase,
            highest: highest(body, night, &up),
            up,
            caution,
        }
    }
}

/// When the Moon stands above the site's limit, to five minutes.
fn moon_up(night: &Night, horizon: &Horizon) -> Spans {
    Spans::new(
        steps(night.window())
            .filter(|&(start, middle)| {
                start < night.window().end && horizon.clears(night.moon(middle))
            })
            .map(|(start, _)| Span { start, end: start.after_s(STEP_S).min(night.window().end) }),
    )
}

const STEP_S: f64 = 300.0;

/// Starts and middles of a span's steps.
fn steps(span: Span) -> impl Iterator<Item = (Instant, Instant)> {
    // OK because a span of a night is a few hundred steps long.
    let count = (span.hours() * 3600.0 / STEP_S).ceil() as u32;
    (0..count).map(move |step| {
        let start = span.start.after_s(f64::from(step) * STEP_S);
        (start, start.after_s(STEP_S / 2.0))
    })
}

/// Where a body is highest in some stretches, to a quarter of an hour.
fn highest(body: Body, night: &Night, up: &Spans) -> Option<(Instant, Angle)> {
    const QUARTER_H: f64 = 0.25;
    let moments = up.iter().flat_map(|span| {
        let count = (span.hours() / QUARTER_H).floor() as u32;
        (0..=count)
            .map(move |step| span.start.after_hours(f64::from(step) * QUARTER_H))
            .chain([span.end])
    });
    let altitude = |instant: Instant| match body {
        Body::Moon => night.moon(instant).altitude,
        _ => body_horizontal(body, &Epoch::at(instant), night.observer()).0.altitude,
    };
    moments
        .map(|instant| (instant, altitude(instant)))
        .max_by(|a, b| a.1.rad().total_cmp(&b.1.rad()))
}
