//! The choice itself: wish list against rigs, in one value.
//!
//! [`choice`] takes a kit, the targets that its wish list means with the hours they have in the
//! year, and the rig whose camera and aperture the ladder stands for. It gives every target's
//! useful [focal range](crate::focal_range), the [coverage](crate::focal_coverage) over focal
//! length, how every rig does on the list, which rigs are [beaten](crate::pareto), and the
//! [findings](crate::findings) in words.

use serde::{Deserialize, Serialize};

use crate::demands::{Conditions, DemandTarget, Demands, demands, hours_of};
use crate::detail::resolution_elements;
use crate::findings::{Finding, findings};
use crate::focal_coverage::{BestFocalLength, BestPair, FocalCoverage, Interest, Served};
use crate::focal_range::{FocalRange, Ranges, Setting};
use crate::kit::{Kit, Limits};
use crate::pareto::{Better, beaten_by};
use crate::recommendation::{Recommendation, recommendation};
use crate::rule::{self, Rule};
use crate::serving::serving_most;
use crate::shape::{Shape, fit_shape};
use crate::{Angle, Fit, ResolvedRig, Verdict};

/// A wanted target, as far as the choice needs to know it.
#[derive(Clone, Debug, PartialEq)]
pub struct Wanted {
    /// As the wish list has it.
    pub name: String,
    /// Its size and shape; none where nothing is drawn and the catalogue gives no size.
    pub outline: Option<Shape>,
    /// For exposure and detail.
    pub demand: DemandTarget,
    /// Dark hours above its limit in the whole year from this site.
    pub hours_in_year: f64,
    /// How much the person wants it, 1 to 5; [`Kit::stars`] has it.
    pub stars: u32,
}

impl Wanted {
    /// What serving it is worth: hours in the year times stars.
    pub fn weight(&self) -> f64 {
        self.hours_in_year * f64::from(self.stars)
    }
}

/// A count that rigs are compared on.
#[derive(Clone, Copy, Debug, Deserialize, Eq, Hash, PartialEq, Serialize)]
pub enum Criterion {
    /// Targets of the list that are whole.
    Whole,
    /// Delivered FWHM, which decides the detail on every target alike.
    Detail,
    /// Hours to the wanted signal-to-noise ratio in a square arcsecond, summed over the list; a
    /// target that spills counts once for each panel of its mosaic.
    Hours,
    /// The guiding error that would just do, over the mount's own.
    GuidingMargin,
    /// What the mount could still carry of the share that imaging may use.
    PayloadMargin,
    /// All that has to be carried.
    Mass,
    /// All that has to be paid.
    Price,
}

impl Criterion {
    /// All of them, in the order of the table.
    pub const ALL: [Self; 7] = [
        Self::Whole,
        Self::Detail,
        Self::Hours,
        Self::GuidingMargin,
        Self::PayloadMargin,
        Self::Mass,
        Self::Price,
    ];

    /// Its key among figures.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Whole => "whole",
            Self::Detail => "delivered_fwhm_arcsec",
            Self::Hours => "hours_to_snr",
            Self::GuidingMargin => "guiding_margin",
            Self::PayloadMargin => "payload_margin_kg",
            Self::Mass => "carry_kg",
            Self::Price => "price",
        }
    }

    /// In plain words.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Whole => "targets whole",
            Self::Detail => "delivered FWHM",
            Self::Hours => "hours for the list",
            Self::GuidingMargin => "guiding margin",
            Self::PayloadMargin => "payload margin",
            Self::Mass => "mass to carry",
            Self::Price => "price",
        }
    }

    /// Its unit; empty for a plain number or an amount of the kit's currency.
    pub const fn unit(self) -> &'static str {
        match self {
            Self::Whole | Self::Price => "",
            Self::Detail => "arcsec",
            Self::Hours => "h",
            Self::GuidingMargin => "x",
            Self::PayloadMargin | Self::Mass => "kg",
        }
    }

    /// Where it comes from.
    pub const fn rule(self) -> &'static Rule {
        match self {
            Self::Whole => &rule::FOCAL_RANGE,
            Self::Detail => &rule::DELIVERED_FWHM,
            Self::Hours => &rule::HOURS_PER_ARCSEC2,
            Self::GuidingMargin => &rule::GUIDE_RMS_NEEDED,
            Self::PayloadMargin => &rule::PAYLOAD,
            Self::Mass => &rule::CARRY,
            Self::Price => &rule::PRICE,
        }
    }

    /// Which end is the good one.
    pub const fn better(self) -> Better {
        match self {
            Self::Whole | Self::GuidingMargin | Self::PayloadMargin => Better::More,
            Self::Detail | Self::Hours | Self::Mass | Self::Price => Better::Less,
        }
    }
}

/// One target with its useful focal lengths.
#[derive(Clone, Debug, PartialEq)]
pub struct TargetRange {
    /// As the wish list has it.
    pub target: String,
    /// Its full major axis; none where the size is unknown.
    pub major: Option<Angle>,
    /// None where the size is unknown, or there is no rig.
    pub range: Option<FocalRange>,
    /// Dark hours above its limit in the year.
    pub hours_in_year: f64,
    /// How much the person wants it, 1 to 5.
    pub stars: u32,
}

/// One rig on one target.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cell {
    /// Fill, best rotation, verdict, panels of the plain grid.
    pub fit: Fit,
    /// Resolution elements across it; none where the size is unknown.
    pub detail: Option<f64>,
    /// Whole or tight, with less than the wanted detail.
    pub small: bool,
    /// Whole, with at least the wanted detail.
    pub served: bool,
    /// Hours to the wanted signal-to-noise ratio in a square arcsecond, of one panel; none where an
    /// input is missing.
    pub hours: Option<f64>,
}

/// One rig on the whole list.
#[derive(Clone, Debug, PartialEq)]
pub struct RigChoice {
    /// The rig's name.
    pub name: String,
    /// Its place in the kit's shortlist.
    pub rig: usize,
    /// One a target, in the list's order.
    pub cells: Vec<Cell>,
    /// Targets that are whole.
    pub whole: u32,
    /// Targets that are tight.
    pub tight: u32,
    /// Targets that spill.
    pub spills: u32,
    /// Targets of unknown size.
    pub size_unknown: u32,
    /// Whole or tight with less than the wanted detail.
    pub small: u32,
    /// Whole with detail enough.
    pub served: Served,
    /// What it demands at the zenith, without a target.
    pub demands: Demands,
    /// One a [criterion](Criterion::ALL); none where an input is missing.
    pub counts: Vec<Option<f64>>,
    /// Places, in [`Choice::rigs`], of the rigs that beat it on the chosen criteria.
    pub dominated_by: Vec<usize>,
}

impl RigChoice {
    /// The rig's value on a criterion; `None` where an input is missing.
    pub fn count(&self, criterion: Criterion) -> Option<f64> {
        let place = Criterion::ALL.iter().position(|&other| other == criterion)?;
        self.counts.get(place).copied().flatten()
    }
}

/// Everything the Choose view shows.
#[derive(Clone, Debug, PartialEq)]
pub struct Choice {
    /// The camera, air and guiding of the chosen rig; none without a rig.
    pub setting: Option<Setting>,
    /// One a target.
    pub ranges: Vec<TargetRange>,
    /// Targets served over focal length with the chosen rig's camera and aperture.
    pub coverage: FocalCoverage,
    /// The focal length that serves most.
    pub best: Option<BestFocalLength>,
    /// The two that together serve most; none where one alone serves as much.
    pub best_pair: Option<BestPair>,
    /// One a rig of the shortlist.
    pub rigs: Vec<RigChoice>,
    /// The rig, a place in [`Self::rigs`], that serves most by weight, of equals the one that
    /// [`serving_most`] takes; none if none serves any.
    pub best_rig: Option<usize>,
    /// The two rigs that together serve most, with what they serve; none where one does alone.
    pub best_rigs: Option<(usize, usize, Served)>,
    /// The rig that the figures speak for; none without rigs or wishes.
    pub recommendation: Option<Recommendation>,
    /// In plain sentences.
    pub findings: Vec<Finding>,
}

/// The whole choice for a kit.
///
/// # Units
/// - `chosen`: the rig whose camera, aperture and guiding the ladder and the curve stand for; a
///   place in the shortlist
/// - `criteria`: what rigs are compared on, usually [`Criterion::ALL`]
/// - `conditions`: usually [`Conditions::at_zenith`]
pub fn choice(
    kit: &Kit,
    chosen: usize,
    wanted: &[Wanted],
    criteria: &[Criterion],
    conditions: &Conditions,
) -> Choice {
    let limits = &kit.limits;
    let setting = kit.resolve(chosen).map(|rig| Setting::of(&rig, conditions));
    let ladder = setting.map(Ranges::new);
    let ranges: Vec<TargetRange> = wanted
        .iter()
        .map(|wanted| TargetRange {
            target: wanted.name.clone(),
            major: wanted.outline.as_ref().map(Shape::major),
            range: ladder
                .as_ref()
                .zip(wanted.outline.as_ref())
                .map(|(ladder, outline)| ladder.exactly(outline, limits.whole_fill, limits.detail)),
            hours_in_year: wanted.hours_in_year,
            stars: wanted.stars,
        })
        .collect();
    let interests: Vec<Interest> = ranges
        .iter()
        .zip(wanted)
        .filter_map(|(range, wanted)| {
            Some(Interest { range: range.range?, weight: wanted.weight() })
        })
        .collect();
    let coverage = FocalCoverage::new(&interests);
    let rigs = rig_choices(kit, wanted, criteria, conditions);
    let (best_rig, best_rigs) = (best_rig(&rigs), best_rigs(&rigs, wanted));
    let mut choice = Choice {
        setting,
        ranges,
        best: coverage.best(),
        best_pair: coverage.best_pair(),
        coverage,
        rigs,
        best_rig,
        best_rigs,
        recommendation: None,
        findings: Vec::new(),
    };
    choice.recommendation = recommendation(kit, &choice);
    choice.findings = findings(kit, chosen, wanted, criteria, &choice);
    choice
}

fn rig_choices(
    kit: &Kit,
    wanted: &[Wanted],
    criteria: &[Criterion],
    conditions: &Conditions,
) -> Vec<RigChoice> {
    let mut rigs: Vec<RigChoice> =
        (0..kit.rigs.len()).filter_map(|rig| rig_choice(kit, rig, wanted, conditions)).collect();
    let rows: Vec<Vec<Option<f64>>> = rigs
        .iter()
        .map(|rig| criteria.iter().map(|&criterion| rig.count(criterion)).collect())
        .collect();
    let better: Vec<Better> = criteria.iter().map(|criterion| criterion.better()).collect();
    for (rig, dominated_by) in rigs.iter_mut().zip(beaten_by(&rows, &better)) {
        rig.dominated_by = dominated_by;
    }
    rigs
}

fn rig_choice(
    kit: &Kit,
    rig: usize,
    wanted: &[Wanted],
    conditions: &Conditions,
) -> Option<RigChoice> {
    let limits = &kit.limits;
    let resolved = kit.resolve(rig)?;
    let demands = demands(&resolved, &kit.site, limits, None, conditions);
    let field = resolved.field();
    let cells: Vec<Cell> = wanted
        .iter()
        .map(|wanted| {
            let fit = fit_shape(wanted.outline.as_ref(), &field, limits.whole_fill, limits.overlap);
            let hours = hours_of(&resolved, &kit.site, limits, &wanted.demand, conditions).ok();
            Cell { hours, ..Cell::of(fit, wanted, demands.delivered_fwhm_arcsec, limits) }
        })
        .collect();
    let of = |verdict| tally(&cells, |cell| cell.fit.verdict == verdict);
    let hours = hours_for_list(wanted, &cells);
    let mut choice = RigChoice {
        name: resolved.rig.name.clone(),
        rig,
        whole: of(Verdict::Whole),
        tight: of(Verdict::Tight),
        spills: of(Verdict::Spills),
        size_unknown: of(Verdict::SizeUnknown),
        small: tally(&cells, |cell| cell.small),
        served: served_by(wanted, |place| cells.get(place).is_some_and(|cell| cell.served)),
        cells,
        demands,
        counts: Vec::new(),
        dominated_by: Vec::new(),
    };
    choice.counts = Criterion::ALL
        .iter()
        // Absurd parts lead to an infinity or to no number at all, which compare with nothing.
        .map(|&criterion| {
            choice.value(criterion, &resolved, limits, hours).filter(|v| v.is_finite())
        })
        .collect();
    Some(choice)
}

impl Cell {
    fn of(fit: Fit, wanted: &Wanted, delivered_fwhm_arcsec: f64, limits: &Limits) -> Self {
        let detail = wanted
            .outline
            .as_ref()
            .map(|shape| resolution_elements(shape.major(), delivered_fwhm_arcsec));
        let enough = detail.is_some_and(|detail| detail >= limits.detail);
        let held = matches!(fit.verdict, Verdict::Whole | Verdict::Tight);
        Self {
            fit,
            detail,
            small: held && !enough,
            served: fit.verdict == Verdict::Whole && enough,
            hours: None,
        }
    }
}

impl RigChoice {
    fn value(
        &self,
        criterion: Criterion,
        rig: &ResolvedRig<'_>,
        limits: &Limits,
        hours: Option<f64>,
    ) -> Option<f64> {
        let demands = &self.demands;
        match criterion {
            Criterion::Whole => Some(f64::from(self.whole)),
            Criterion::Detail => Some(demands.delivered_fwhm_arcsec),
            Criterion::Hours => hours,
            Criterion::GuidingMargin => {
                let own = demands.guided_rms_arcsec.filter(|&rms| rms > 0.0)?;
                Some(demands.guide_rms_needed_arcsec / own)
            }
            Criterion::PayloadMargin => {
                Some(limits.payload_share * rig.mount.payload_kg - demands.load.on_mount_kg)
            }
            Criterion::Mass => Some(demands.load.carry_kg),
            Criterion::Price => demands.price.ok(),
        }
    }
}

fn tally(cells: &[Cell], counts: impl Fn(&Cell) -> bool) -> u32 {
    u32::try_from(cells.iter().filter(|cell| counts(cell)).count()).unwrap_or(u32::MAX)
}

fn served_by(wanted: &[Wanted], counts: impl Fn(usize) -> bool) -> Served {
    let served = wanted.iter().enumerate().filter(|&(place, _)| counts(place));
    served.fold(Served::default(), |sum, (_, wanted)| Served {
        count: sum.count + 1,
        weighted: sum.weighted + wanted.weight(),
    })
}

/// Hours to the wanted signal-to-noise ratio in a square arcsecond, over every target of known
/// surface brightness and all its panels; `None` where there is no such target, or one is out of
/// reach.
fn hours_for_list(wanted: &[Wanted], cells: &[Cell]) -> Option<f64> {
    let mut sum = None;
    for (wanted, cell) in wanted.iter().zip(cells) {
        if wanted.demand.surface_brightness_mag_arcsec2.is_none() {
            continue;
        }
        let each = cell.hours?;
        let (across, down) = match (cell.fit.panels, cell.fit.verdict) {
            (Some(panels), _) => panels,
            // More panels than can be counted.
            (None, Verdict::Spills) => return None,
            (None, _) => (1, 1),
        };
        sum = Some(sum.unwrap_or(0.0) + each * f64::from(across) * f64::from(down));
    }
    sum.filter(|hours: &f64| hours.is_finite())
}

fn best_rig(rigs: &[RigChoice]) -> Option<usize> {
    let best = serving_most(rigs)?.first;
    let place = rigs.iter().position(|rig| rig.rig == best.rig)?;
    (best.served.count > 0).then_some(place)
}

fn best_rigs(rigs: &[RigChoice], wanted: &[Wanted]) -> Option<(usize, usize, Served)> {
    let alone = rigs.get(best_rig(rigs)?)?.served;
    let either = |a: &RigChoice, b: &RigChoice| {
        let serves =
            |rig: &RigChoice, place: usize| rig.cells.get(place).is_some_and(|cell| cell.served);
        served_by(wanted, |place| serves(a, place) || serves(b, place))
    };
    let mut best: Option<(usize, usize, Served)> = None;
    for (first, a) in rigs.iter().enumerate() {
        for (second, b) in rigs.iter().enumerate().skip(first + 1) {
            let served = either(a, b);
            if best.is_none_or(|(.., most)| served.by_weight(&most).is_gt()) {
                best = Some((first, second, served));
            }
        }
    }
    best.filter(|(.., served)| served.count > alone.count)
}

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::panic, reason = "a test fails by panicking")]
mod tests {
    use super::*;
    use crate::Outline;
    use crate::findings::{FigureValue, face_to_face};
    use crate::kit::sample;

    /// "Long" (2000 mm), "Reduced" (1400 mm) and "Short" (60 mm f/6) with one camera and mount.
    fn kit() -> Kit {
        let mut kit = sample::kit();
        kit.otas.push(sample::ota("60 mm f/6", 60.0, 360.0));
        kit.otas[1].mass_kg = 2.0;
        kit.rigs.push(sample::rig("Short", "60 mm f/6", None));
        for (ota, price) in kit.otas.iter_mut().zip([1300.0, 500.0]) {
            ota.price = Some(price);
        }
        kit.correctors[0].price = Some(150.0);
        kit
    }

    fn wanted(name: &str, major_arcmin: f64, minor_arcmin: f64, hours: f64) -> Wanted {
        let major = Angle::from_arcmin(major_arcmin);
        Wanted {
            name: name.to_owned(),
            outline: Some(Shape::Ellipse(Outline {
                major,
                minor: Some(Angle::from_arcmin(minor_arcmin)),
                position_angle: None,
            })),
            demand: DemandTarget {
                declination: Angle::from_deg(40.0),
                major: Some(major),
                surface_brightness_mag_arcsec2: Some(22.0),
                line_share: Ok(None),
            },
            hours_in_year: hours,
            stars: 1,
        }
    }

    /// A large nebula, M 31, M 51 and M 57, sizes from memory; and one without a size.
    fn list() -> Vec<Wanted> {
        let mut list = vec![
            wanted("Nebula", 120.0, 100.0, 900.0),
            wanted("M 31", 190.0, 60.0, 1000.0),
            wanted("M 51", 11.0, 7.0, 1200.0),
            wanted("M 57", 1.4, 1.0, 800.0),
        ];
        list.push(Wanted { outline: None, ..wanted("Cloud", 1.0, 1.0, 0.0) });
        list
    }

    fn all(kit: &Kit, list: &[Wanted]) -> Choice {
        choice(kit, 0, list, &Criterion::ALL, &Conditions::at_zenith(&kit.site))
    }

    #[test]
    fn every_target_is_counted_once_under_its_verdict() {
        let (kit, list) = (kit(), list());
        let choice = all(&kit, &list);
        for rig in &choice.rigs {
            let sum = rig.whole + rig.tight + rig.spills + rig.size_unknown;
            assert_eq!(sum as usize, list.len(), "{}", rig.name);
            for (cell, wanted) in rig.cells.iter().zip(&list) {
                // Forty resolution elements are the kit's wish.
                let enough = cell.detail.is_some_and(|detail| detail >= 40.0);
                assert_eq!(cell.served, cell.fit.verdict == Verdict::Whole && enough);
                let held = matches!(cell.fit.verdict, Verdict::Whole | Verdict::Tight);
                assert_eq!(cell.small, held && !enough, "{} {}", rig.name, wanted.name);
            }
        }
        // A ring of 1.4 arcmin is whole in every rig, and small in every one under 2.5 arcsec.
        assert!(choice.rigs.iter().all(|rig| rig.cells[3].small));
        assert_eq!(choice.rigs[2].size_unknown, 1);
    }

    /// Common practice, no source: a short refractor serves large nebulae and M 31, a long OTA
    /// small galaxies.
    #[test]
    fn short_serves_the_large_and_long_the_small() {
        let (mut kit, list) = (kit(), list());
        let large = all(&kit, &list[..2]);
        assert_eq!(large.rigs[large.best_rig.unwrap()].name, "Short");
        assert!(large.best.unwrap().to_mm < 700.0, "{:?}", large.best);
        // Small ones ask for steady air as well: 2.2 arcmin in forty elements are 3.3 arcsec each.
        kit.site.seeing_fwhm_arcsec = 2.0;
        kit.mounts[0].guided_rms_arcsec = Some(0.6);
        let small = all(&kit, &[wanted("Edge", 2.4, 0.5, 700.0), wanted("Ring", 2.2, 2.2, 800.0)]);
        assert!(small.best.unwrap().from_mm > 250.0, "{:?}", small.best);
        assert_eq!(small.rigs[small.best_rig.unwrap()].served.count, 2);
        assert!(small.rigs[2].served.count < 2);
        assert_ne!(small.rigs[small.best_rig.unwrap()].name, "Short");
    }

    #[test]
    fn stars_and_hours_decide_between_equals() {
        let mut kit = kit();
        kit.site.seeing_fwhm_arcsec = 1.5;
        kit.mounts[0].guided_rms_arcsec = Some(0.5);
        let mut list = vec![wanted("Wide", 300.0, 180.0, 100.0), wanted("Ring", 1.6, 1.6, 90.0)];
        let wide = all(&kit, &list).best.unwrap();
        list[1].stars = 5;
        let ring = all(&kit, &list).best.unwrap();
        assert!(wide.to_mm < ring.from_mm, "{wide:?} {ring:?}");
        let pair = all(&kit, &list).best_pair.unwrap();
        assert_eq!((pair.served.count, pair.served.weighted), (2, 100.0 + 5.0 * 90.0));
        assert_eq!((pair.short.from_mm, pair.long.from_mm), (wide.from_mm, ring.from_mm));
    }

    #[test]
    fn a_rig_that_is_worse_in_everything_is_beaten() {
        let mut kit = kit();
        // The same tube at the same length, only dearer and heavier.
        kit.otas.push(sample::ota("heavy", 60.0, 360.0));
        kit.otas[2].price = Some(650.0);
        kit.rigs.push(sample::rig("Heavy", "heavy", None));
        let choice = all(&kit, &list());
        assert_eq!(choice.rigs[3].dominated_by, [2]);
        assert!(choice.rigs[..3].iter().all(|rig| rig.dominated_by.is_empty()));
        let said = choice
            .findings
            .iter()
            .any(|finding| finding.text.starts_with("Heavy is beaten by Short on every count"));
        assert!(said, "{:#?}", choice.findings);
        // Unknown is not worse.
        kit.otas[2].price = None;
        assert!(all(&kit, &list()).rigs[3].dominated_by.is_empty());
    }

    /// Another rig's stars may be finer than those of the rig that the ladder stands for.
    #[test]
    fn what_no_focal_length_shows_is_said_of_one_rig_beside_the_best() {
        let (mut kit, list) = (kit(), list());
        kit.site.seeing_fwhm_arcsec = 3.0;
        let choice = choice(&kit, 2, &list, &Criterion::ALL, &Conditions::at_zenith(&kit.site));
        let said = choice.findings.iter().find(|finding| finding.text.contains("at any focal"));
        let said = said.unwrap();
        assert!(said.text.contains(" 60 mm aperture of Short under 3.0 arcsec"), "{}", said.text);
        let ring = choice.rigs.iter().map(|rig| rig.cells[3].detail.unwrap());
        let best = ring.fold(0.0, f64::max);
        let key = |rig: &str| format!("rigs/{rig}/targets/M 57/detail");
        let told =
            said.figures.iter().find(|(found, _)| [key("Long"), key("Reduced")].contains(found));
        assert_eq!(told.unwrap().1, FigureValue::Number(best), "{}", said.text);
        assert!(said.text.contains("M 57 (") && said.text.contains(" at most; "), "{}", said.text);
    }

    /// Numbers of a text, without those in names, and without the commas between thousands.
    fn numbers_in(text: &str, names: &[String]) -> Vec<String> {
        let mut text = text.to_owned();
        for name in names {
            text = text.replace(name.as_str(), " ");
        }
        let parts: Vec<&str> = text.split(',').collect();
        let is_digit = |character: Option<char>| character.is_some_and(|c| c.is_ascii_digit());
        let mut plain = parts[0].to_owned();
        for pair in parts.windows(2) {
            let joined = is_digit(pair[0].chars().last()) && is_digit(pair[1].chars().next());
            plain.push_str(if joined { "" } else { "," });
            plain.push_str(pair[1]);
        }
        plain
            .split(|c: char| !c.is_ascii_digit() && c != '.' && c != '-')
            .map(|word| word.trim_matches(['.', '-']).to_owned())
            .filter(|word| !word.is_empty())
            .collect()
    }

    #[test]
    fn every_number_in_a_sentence_is_one_of_its_figures() {
        let mut kit = kit();
        kit.limits.budget = Some(400.0);
        kit.limits.carry_kg = Some(10.0);
        kit.site.seeing_fwhm_arcsec = 3.0;
        let list = list();
        let choice = all(&kit, &list);
        let mut names: Vec<String> = list.iter().map(|wanted| wanted.name.clone()).collect();
        names.extend(kit.rigs.iter().map(|rig| rig.name.clone()));
        let mut sentences = choice.findings.clone();
        sentences.extend(choice.recommendation.clone().unwrap().findings);
        for (a, b) in [(0, 1), (1, 2), (2, 0)] {
            sentences.extend(face_to_face(&choice, &Criterion::ALL, a, b));
        }
        assert!(sentences.len() > 20, "{}", sentences.len());
        for finding in &sentences {
            assert!(finding.text.ends_with('.') && !finding.figures.is_empty(), "{finding:?}");
            for number in numbers_in(&finding.text, &names) {
                let decimals = number.split_once('.').map_or(0, |(_, decimals)| decimals.len());
                let named = finding.figures.iter().any(|(_, value)| match value {
                    FigureValue::Number(value) => [1.0, 100.0]
                        .iter()
                        .any(|scale| format!("{:.decimals$}", (value * scale).abs()) == number),
                    FigureValue::Word(_) => false,
                });
                assert!(named, "{number} in {finding:#?}");
            }
        }
    }

    /// The keys lead to the figures, also where one is the difference of two.
    #[test]
    fn every_figure_of_a_rig_is_what_its_key_says() {
        let kit = kit();
        let choice = all(&kit, &list());
        let value = |key: &str| -> Option<f64> {
            let (name, figure) = key.trim().strip_prefix("rigs/")?.split_once('/')?;
            let rig = choice.rigs.iter().find(|rig| rig.name == name)?;
            if figure == "served" {
                return Some(f64::from(rig.served.count));
            }
            let criterion = Criterion::ALL.into_iter().find(|c| c.key() == figure)?;
            rig.count(criterion)
        };
        let mut found = 0;
        let mut sentences = choice.findings.clone();
        sentences.extend(choice.recommendation.clone().unwrap().findings);
        sentences.extend(face_to_face(&choice, &Criterion::ALL, 0, 2));
        for (key, said) in sentences.iter().flat_map(|finding| &finding.figures) {
            let FigureValue::Number(said) = said else { continue };
            let (sign, sum) = match key.strip_prefix("-(") {
                Some(negative) => (-1.0, negative.trim_end_matches(')')),
                None => (1.0, key.as_str()),
            };
            let wanted = match sum.split_once(" - ") {
                Some((a, b)) => value(a).zip(value(b)).map(|(a, b)| sign * (a - b)),
                None => value(sum),
            };
            if let Some(wanted) = wanted {
                found += 1;
                assert!((wanted - said).abs() < 1e-9, "{key}: {said}, {wanted}");
            }
        }
        assert!(found > 15, "{found}");
    }

    #[test]
    fn a_kit_without_rigs_or_wishes_has_no_choice_but_no_fault() {
        let mut kit = kit();
        let nothing = all(&kit, &[]);
        assert_eq!((nothing.best, nothing.best_rig), (None, None));
        kit.rigs.clear();
        let no_rigs = all(&kit, &list());
        assert!(no_rigs.setting.is_none() && no_rigs.ranges.iter().all(|r| r.range.is_none()));
        assert!(no_rigs.rigs.is_empty());
    }
}
