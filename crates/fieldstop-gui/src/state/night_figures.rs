//! One night at the site for the chosen target: all that the night's plot and its words need.

use fieldstop::air::Air;
use fieldstop::kit::Kit;
use fieldstop::moonlight::DarkSky;
use fieldstop::place::OfDate;
use fieldstop::season::{TargetNight, target_night};
use fieldstop::{Angle, Body, Direction, Horizon, Icrs, Instant, Night};
use jiff::civil::Date;

use super::figures::Figures;
use crate::nights::{BodyNight, SiteClock};

/// Between two points of a curve.
const STEP_MINUTES: f64 = 5.0;

/// What the night depends on.
#[derive(Clone, Debug, PartialEq)]
struct Question {
    site: fieldstop::kit::Site,
    evening: Date,
    chosen: Option<Direction<Icrs>>,
    wishes: Vec<(String, Direction<Icrs>)>,
}

/// How a target stands through the night, at the hours since noon.
pub struct Curve {
    /// Whose it is.
    pub name: String,
    /// (Hours since noon, altitude with refraction in degrees).
    pub points: Vec<[f64; 2]>,
}

/// The chosen target in the night.
pub struct ChosenNight {
    /// Its apparent place.
    pub place: Direction<OfDate>,
    /// When it is up.
    pub hours: TargetNight,
    /// What its hours in the dark are worth, in hours without a Moon.
    pub worth_hours: f64,
    /// The limit where the target stands, at the hours since noon.
    pub limit: Vec<[f64; 2]>,
    /// Its own curve.
    pub curve: Vec<[f64; 2]>,
}

/// One night, worked out.
pub struct NightFigures {
    question: Question,
    /// The site's clock.
    pub clock: SiteClock,
    /// The date on which it begins.
    pub evening: Date,
    /// The night.
    pub night: Night,
    /// What hides the sky.
    pub horizon: Horizon,
    /// The air over the site.
    pub air: Air,
    /// The sky without the Moon.
    pub sky: DarkSky,
    /// The chosen target, if there is one.
    pub chosen: Option<ChosenNight>,
    /// The Moon's curve.
    pub moon: Vec<[f64; 2]>,
    /// The wish list's curves.
    pub wishes: Vec<Curve>,
    /// Sun, Moon and planets.
    pub bodies: Vec<BodyNight>,
    /// The planets' curves.
    pub planets: Vec<Curve>,
}

impl NightFigures {
    /// Brings a night up to date; does nothing while its question is the same.
    pub fn update(this: &mut Option<Self>, kit: &Kit, figures: &Figures, evening: Date) {
        let wishes = kit.wish_list.iter().zip(&figures.wishes);
        let question = Question {
            site: kit.site.clone(),
            evening,
            chosen: figures.target.as_ref().map(|chosen| chosen.target.place),
            wishes: wishes
                .filter_map(|(wish, row)| {
                    Some((wish.name().to_owned(), row.target.as_ref()?.place))
                })
                .collect(),
        };
        if this.as_ref().is_none_or(|known| known.question != question) {
            *this = Self::of(question);
        }
    }

    fn of(question: Question) -> Option<Self> {
        let clock = SiteClock::of(&question.site);
        let night = clock.night(question.evening)?;
        let horizon = Horizon::of(&question.site);
        let air = Air::standard(question.site.elevation_m);
        let sky = DarkSky::of(&question.site);
        let moments = moments(&night);
        let seen = |place: Direction<OfDate>| {
            curve(&night, &moments, |at| air.apparent_altitude(night.star(place, at).altitude))
        };
        let chosen = question.chosen.map(|target| {
            let place = night.apparent(target);
            let hours = target_night(&night, &horizon, target);
            ChosenNight {
                place,
                worth_hours: sky.worth_hours(&night, place, &hours.dark),
                limit: curve(&night, &moments, |at| horizon.limit(night.star(place, at).azimuth)),
                curve: seen(place),
                hours,
            }
        });
        let wishes = question.wishes.iter().map(|(name, place)| Curve {
            name: name.clone(),
            points: seen(night.apparent(*place)),
        });
        let wishes = wishes.collect();
        let moon = curve(&night, &moments, |at| air.apparent_altitude(night.moon(at).altitude));
        let bodies = BodyNight::all(&night, &horizon);
        let planets = bodies.iter().filter(|body| !matches!(body.body, Body::Sun | Body::Moon));
        let planets = planets.map(|body| Curve {
            name: body.body.name().to_owned(),
            points: curve(&night, &moments, |at| {
                air.apparent_altitude(body.path.at(&night, at).altitude)
            }),
        });
        let planets = planets.collect();
        let evening = question.evening;
        Some(Self {
            question,
            clock,
            evening,
            night,
            horizon,
            air,
            sky,
            chosen,
            moon,
            wishes,
            bodies,
            planets,
        })
    }

    /// Hours since noon.
    pub fn hours(&self, instant: Instant) -> f64 {
        instant.hours_since(self.night.window().start)
    }

    /// The instant some hours since noon.
    pub fn instant(&self, hours: f64) -> Instant {
        self.night.window().start.after_hours(hours)
    }
}

/// Every few minutes from noon to noon.
fn moments(night: &Night) -> Vec<Instant> {
    let window = night.window();
    // OK because a night is a day or two long.
    let steps = (window.hours() * 60.0 / STEP_MINUTES).ceil() as u32;
    (0..=steps).map(|step| window.start.after_s(f64::from(step) * STEP_MINUTES * 60.0)).collect()
}

fn curve(night: &Night, moments: &[Instant], altitude: impl Fn(Instant) -> Angle) -> Vec<[f64; 2]> {
    let start = night.window().start;
    moments.iter().map(|&at| [at.hours_since(start), altitude(at).deg()]).collect()
}
