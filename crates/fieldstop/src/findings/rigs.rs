//! Sentences about rigs: which serves most, who is beaten by whom, what each asks for.

use super::{Finding, Sentence, list_of, plural, say};
use crate::choice::{Choice, Criterion, RigChoice, Wanted};
use crate::demands::{Figure, Grade};
use crate::kit::Kit;
use crate::limits_kept::{over_budget, over_carry, over_payload};
use crate::pareto::{Better, gaps, nearest_turn};
use crate::psf::Blur;
use crate::serving::{SAME_WIDTH, serving_most};
use crate::why::Why;
use crate::wording;
use crate::{Fit, Verdict};

pub(super) fn key(rig: &RigChoice, figure: &str) -> String {
    format!("rigs/{}/{figure}", rig.name)
}

/// The rig, and the two rigs, that serve most.
pub(super) fn best_rigs(wanted: &[Wanted], choice: &Choice) -> Vec<Finding> {
    let Some(best) = choice.best_rig.and_then(|place| choice.rigs.get(place)) else {
        return Vec::new();
    };
    let list = wanted.len() as f64;
    let mut most = vec![best];
    most.extend(serving_most(&choice.rigs).into_iter().flat_map(|most| most.level));
    let count = u32::try_from(most.len()).unwrap_or(u32::MAX);
    let alone = list_of(say("Of the shortlist "), &most, |sentence, rig| {
        sentence
            .word(key(rig, "name"), &rig.name)
            .because(key(rig, "served"), f64::from(rig.served.count))
    });
    let alone = alone
        .and(plural(count, " serves most: ", " serve most: "))
        .number("best_rig/served", f64::from(best.served.count), 0)
        .and(" of ")
        .number("wish_list/targets", list, 0)
        .and(plural(u32::try_from(wanted.len()).unwrap_or(u32::MAX), " target", " targets"))
        .and(plural(count, "", " each"));
    let weight: f64 = wanted.iter().map(Wanted::weight).sum();
    let alone = if weight > 0.0 {
        alone
            .and(". Counted by hours in the dark and by how much you want each, that is ")
            .per_cent("best_rig/weighted / wish_list/weighted", best.served.weighted / weight)
            .and(" of the list")
    } else {
        alone
    };
    let mut found = vec![alone.end()];
    let pair = choice
        .best_rigs
        .and_then(|(a, b, served)| Some((choice.rigs.get(a)?, choice.rigs.get(b)?, served)));
    if let Some((a, b, served)) = pair {
        let two = say("Together ")
            .word("best_rigs/first", &a.name)
            .and(" and ")
            .word("best_rigs/second", &b.name)
            .and(" serve ")
            .number("best_rigs/served", f64::from(served.count), 0)
            .and(" of ")
            .number("wish_list/targets", list, 0);
        found.push(two.end());
    }
    found
}

/// Every other rig against the one that serves most, or that takes most whole.
pub(super) fn against_the_best(kit: &Kit, choice: &Choice) -> Vec<Finding> {
    let most_whole = || {
        let rigs = choice.rigs.iter().enumerate().rev();
        rigs.max_by_key(|(_, rig)| rig.whole).map(|(place, _)| place)
    };
    let Some(base) = choice.best_rig.or_else(most_whole) else {
        return Vec::new();
    };
    let Some(best) = choice.rigs.get(base) else {
        return Vec::new();
    };
    let others = choice.rigs.iter().enumerate().filter(|&(place, _)| place != base);
    let mut found: Vec<Finding> =
        others.map(|(_, other)| whole_and_width(kit, other, best)).collect();
    // Whether the last step in focal length is worth it is the question asked most.
    let mut by_length: Vec<&RigChoice> = choice.rigs.iter().collect();
    by_length.sort_by(|a, b| b.demands.focal_length_mm.total_cmp(&a.demands.focal_length_mm));
    if let [longest, second, _, ..] = by_length.as_slice()
        && ![longest.rig, second.rig].contains(&best.rig)
    {
        found.push(whole_and_width(kit, longest, second));
    }
    found
}

/// What a rig cannot hold, the largest first, and the hours that its panels take.
pub(super) fn spilled(choice: &Choice) -> Vec<Finding> {
    choice.rigs.iter().filter_map(|rig| spilled_by(choice, rig)).collect()
}

/// Targets named in a sentence about what spills.
const NAMED: usize = 4;

/// Whether panels are so many that fewer may do than a plain grid has.
const fn is_grid(across: u32, down: u32) -> bool {
    across.saturating_mul(down) > 2
}

fn spilled_by(choice: &Choice, rig: &RigChoice) -> Option<Finding> {
    let cells = choice.ranges.iter().zip(&rig.cells);
    let mut spilled: Vec<(&str, f64, &Fit)> = cells
        .filter(|(_, cell)| cell.fit.verdict == Verdict::Spills)
        .filter_map(|(range, cell)| Some((range.target.as_str(), cell.fit.fill?, &cell.fit)))
        .collect();
    spilled.sort_by(|(_, a, _), (_, b, _)| b.total_cmp(a));
    let unnamed = spilled.len().saturating_sub(NAMED);
    spilled.truncate(NAMED);
    let (&(target, _, fit), rest) = spilled.split_first()?;
    let sentence = say(&rig.name)
        .and(" is too long for ")
        .number(key(rig, "spills"), f64::from(rig.spills), 0)
        .and(plural(rig.spills, " target: ", " targets: "));
    let sentence = sentence.and(target);
    let sentence = match fit.panels {
        // Two panels are the fewest that there are; more than two may be more than it takes.
        Some((across, down)) => sentence
            .and(if is_grid(across, down) { " would take up to " } else { " would take " })
            .number(
                key(rig, &format!("targets/{target}/panels_across * panels_down")),
                f64::from(across) * f64::from(down),
                0,
            )
            .and(if is_grid(across, down) { " panels, those of a plain grid" } else { " panels" }),
        None => sentence.and(" would take more panels than can be counted"),
    };
    let sentence = if rest.is_empty() {
        sentence
    } else {
        let names = list_of(sentence.and("; "), rest, |sentence, (target, fill, _)| {
            let key = key(rig, &format!("targets/{target}/fill"));
            sentence.and(target).because(key, *fill)
        });
        let count = u32::try_from(rest.len() + unnamed).unwrap_or(u32::MAX);
        let names = if unnamed == 0 {
            names
        } else {
            let others = format!("{} - {}", key(rig, "spills"), rest.len() + 1);
            names.and(" and ").number(others, unnamed as f64, 0).and(" more")
        };
        names.and(plural(count, " spills too", " spill too"))
    };
    let sentence = match rig.count(Criterion::Hours) {
        Some(hours) => sentence
            .and(". With such panels the list takes up to ")
            .number(key(rig, Criterion::Hours.key()), hours, 0)
            .and(" h"),
        None => sentence,
    };
    Some(sentence.end())
}

/// "B takes 5 fewer targets whole than A; its extra focal length resolves no more, because …"
fn whole_and_width(kit: &Kit, b: &RigChoice, a: &RigChoice) -> Finding {
    let sentence = say(&b.name).and(" takes ");
    let (few, many) = (b.whole.min(a.whole), b.whole.max(a.whole));
    let sentence = if few == many {
        sentence
            .and("as many targets whole as ")
            .and(&a.name)
            .and(" (")
            .number(key(b, "whole"), f64::from(b.whole), 0)
            .because(key(a, "whole"), f64::from(a.whole))
            .and(")")
    } else {
        let (more, less) = if b.whole > a.whole { (b, a) } else { (a, b) };
        let difference = format!("{} - {}", key(more, "whole"), key(less, "whole"));
        sentence
            .number(difference, f64::from(many - few), 0)
            .and(if b.whole > a.whole { " more " } else { " fewer " })
            .and(plural(many - few, "target", "targets"))
            .and(" whole than ")
            .and(&a.name)
            .and(" (")
            .number(key(b, "whole"), f64::from(b.whole), 0)
            .and(" against ")
            .number(key(a, "whole"), f64::from(a.whole), 0)
            .and(")")
    };
    width_clause(sentence, kit, b, a).end()
}

/// What the focal length of `b` gains or loses in width against that of `a`, and why.
fn width_clause(sentence: Sentence, kit: &Kit, b: &RigChoice, a: &RigChoice) -> Sentence {
    let (f_b, f_a) = (b.demands.focal_length_mm, a.demands.focal_length_mm);
    let (w_b, w_a) = (b.demands.delivered_fwhm_arcsec, a.demands.delivered_fwhm_arcsec);
    let sentence = sentence
        .because(key(b, "focal_length_mm"), f_b)
        .because(key(a, "focal_length_mm"), f_a)
        .and("; its ")
        .and(if f_b > f_a * (1.0 + SAME_WIDTH) {
            "extra focal length resolves "
        } else if f_b < f_a * (1.0 - SAME_WIDTH) {
            "shorter focal length resolves "
        } else {
            "like focal length resolves "
        });
    let seeing = kit.site.seeing_fwhm_arcsec;
    let (rest_b, rest_a) = (width_without_air(b), width_without_air(a));
    let sentence = if w_b < w_a * (1.0 - SAME_WIDTH) {
        sentence.and("more")
    } else if w_b > w_a * (1.0 + SAME_WIDTH) {
        sentence.and("less")
    } else if rest_b < seeing && rest_a < seeing {
        let limited = if f_b < f_a { "as much" } else { "no more" };
        sentence
            .and(limited)
            .and(", because ")
            .number("site/seeing_fwhm_arcsec", seeing, 1)
            .and(" arcsec seeing limits both")
            .because(key(b, "fwhm_without_seeing_arcsec"), rest_b)
            .because(key(a, "fwhm_without_seeing_arcsec"), rest_a)
    } else {
        sentence.and("about as much")
    };
    sentence
        .and(": ")
        .number(key(b, "delivered_fwhm_arcsec"), w_b, 1)
        .and(" against ")
        .number(key(a, "delivered_fwhm_arcsec"), w_a, 1)
        .and(" arcsec")
}

/// How wide a star would be in perfect air.
fn width_without_air(rig: &RigChoice) -> f64 {
    Blur { seeing_fwhm_arcsec: 0.0, ..rig.demands.blur }.fwhm_arcsec()
}

/// Rigs that another beats on every count, and what would turn it.
pub(super) fn beaten(criteria: &[Criterion], choice: &Choice) -> Vec<Finding> {
    let beaten = choice.rigs.iter().filter_map(|rig| {
        let by = rig.dominated_by.first().and_then(|&place| choice.rigs.get(place))?;
        Some(beaten_by(criteria, rig, by))
    });
    let mut found: Vec<Finding> = beaten.collect();
    if found.is_empty() && choice.rigs.len() > 1 {
        let sentence = say("No rig of the ")
            .number("rigs", choice.rigs.len() as f64, 0)
            .and(" is beaten on every count by another");
        found.push(of_counts(sentence, criteria).end());
    }
    found.extend(choice.rigs.iter().filter(|_| choice.rigs.len() > 1).filter_map(|rig| {
        let why = criteria.contains(&Criterion::Price).then_some(rig.demands.price)?.err()?;
        Some(
            say(&rig.name)
                .and(" has no price, because ")
                .word(key(rig, "price"), &why.to_string())
                .and("; so nothing with a price beats it, and it beats nothing with one")
                .end(),
        )
    }));
    found
}

/// Says of how many counts, where some are left out.
fn of_counts(sentence: Sentence, criteria: &[Criterion]) -> Sentence {
    if criteria.len() == Criterion::ALL.len() {
        return sentence;
    }
    sentence.and(" of the ").number("criteria", criteria.len() as f64, 0).and(" compared")
}

fn counts(rig: &RigChoice, criteria: &[Criterion]) -> Vec<Option<f64>> {
    criteria.iter().map(|&criterion| rig.count(criterion)).collect()
}

fn beaten_by(criteria: &[Criterion], rig: &RigChoice, by: &RigChoice) -> Finding {
    let better: Vec<Better> = criteria.iter().map(|criterion| criterion.better()).collect();
    let gaps = gaps(&counts(by, criteria), &counts(rig, criteria), &better);
    let mut sentence = say(&rig.name).and(" is beaten by ").and(&by.name).and(" on every count");
    sentence = of_counts(sentence, criteria).and(":");
    for (place, gap) in gaps.iter().enumerate() {
        let Some(&criterion) = criteria.get(gap.count) else { continue };
        sentence =
            sentence.and(if place == 0 { " " } else { ", " }).and(criterion.label()).and(" ");
        sentence = both(sentence, criterion, rig, by);
    }
    let turn = nearest_turn(&gaps).and_then(|gap| Some((gap, *criteria.get(gap.count)?)));
    if let Some((gap, criterion)) = turn.filter(|(gap, _)| gap.change != 0.0) {
        sentence = sentence.and(". It is beaten no longer once its ").and(criterion.label());
        sentence = change(sentence, criterion, gap.change, by, rig);
    }
    sentence.end()
}

/// "7 against 12", each with its key.
fn both(sentence: Sentence, criterion: Criterion, b: &RigChoice, a: &RigChoice) -> Sentence {
    let sentence = match b.count(criterion) {
        Some(value) => figure(sentence, key(b, criterion.key()), value, criterion),
        None => sentence.and("unknown"),
    };
    let sentence = sentence.and(" against ");
    match a.count(criterion) {
        Some(value) => unit(figure(sentence, key(a, criterion.key()), value, criterion), criterion),
        None => sentence.and("unknown"),
    }
}

fn unit(sentence: Sentence, criterion: Criterion) -> Sentence {
    match criterion.unit() {
        "" => sentence,
        unit => sentence.and(" ").and(unit),
    }
}

/// " falls by more than 120 (from …)": what `b`'s value must change by to pass `a`'s.
fn change(
    sentence: Sentence,
    criterion: Criterion,
    by: f64,
    a: &RigChoice,
    b: &RigChoice,
) -> Sentence {
    let difference = format!("{} - {}", key(a, criterion.key()), key(b, criterion.key()));
    let sentence = sentence.and(if by < 0.0 { " falls" } else { " rises" }).and(" by more than ");
    let difference = if by < 0.0 { format!("-({difference})") } else { difference };
    unit(figure(sentence, difference, by.abs(), criterion), criterion)
}

/// A criterion's figure as it reads everywhere.
fn figure(sentence: Sentence, key: String, value: f64, criterion: Criterion) -> Sentence {
    match criterion {
        Criterion::Price => sentence.told(key, value, &wording::whole(value)),
        _ => sentence.number(key, value, decimals(criterion)),
    }
}

/// Decimals at which the differences that matter show.
fn decimals(criterion: Criterion) -> usize {
    match criterion {
        Criterion::Whole | Criterion::Price => 0,
        Criterion::Detail | Criterion::GuidingMargin => 2,
        Criterion::Hours | Criterion::PayloadMargin | Criterion::Mass => 1,
    }
}

/// Two rigs of a choice against each other, one sentence a criterion that both know: who leads, and
/// by how much the other would have to change for the order to turn.
///
/// # Units
/// - `a`, `b`: places in [`Choice::rigs`]
pub fn face_to_face(choice: &Choice, criteria: &[Criterion], a: usize, b: usize) -> Vec<Finding> {
    let (Some(a), Some(b)) = (choice.rigs.get(a), choice.rigs.get(b)) else {
        return Vec::new();
    };
    let better: Vec<Better> = criteria.iter().map(|criterion| criterion.better()).collect();
    gaps(&counts(a, criteria), &counts(b, criteria), &better)
        .into_iter()
        .filter_map(|gap| {
            let criterion = *criteria.get(gap.count)?;
            let (leader, other) = if gap.lead >= 0.0 { (a, b) } else { (b, a) };
            let sentence = say("On ").and(criterion.label()).and(" ");
            if gap.lead == 0.0 {
                let sentence = sentence.and(&a.name).and(" and ").and(&b.name).and(" are level: ");
                return Some(both(sentence, criterion, a, b).end());
            }
            let sentence = sentence.and(&leader.name).and(" leads ").and(&other.name).and(": ");
            let sentence = both(sentence, criterion, leader, other);
            let by = leader.count(criterion)? - other.count(criterion)?;
            let sentence = sentence.and("; the order turns once ").and(&other.name).and("'s");
            Some(change(sentence, criterion, by, leader, other).end())
        })
        .collect()
}

/// What the largest aperture of the shortlist wants for planets.
pub(super) fn planets(kit: &Kit, choice: &Choice) -> Option<Finding> {
    let aperture = |rig: &RigChoice| rig.demands.blur.aperture_mm;
    // Of equals the longest: nobody puts a Barlow behind a reducer.
    let length = |rig: &RigChoice| rig.demands.focal_length_mm;
    let rig =
        choice.rigs.iter().rev().max_by(|a, b| {
            aperture(a).total_cmp(&aperture(b)).then(length(a).total_cmp(&length(b)))
        })?;
    let camera = kit.resolve(rig.rig)?.camera;
    let demands = &rig.demands;
    let sentence = say("For planets, caught in moments of calm air, ")
        .word("planets/rig", &rig.name)
        .and(", with ")
        .number(key(rig, "aperture_mm"), aperture(rig), 0)
        .and(" mm the largest aperture, wants f/")
        .number(key(rig, "planetary_focal_ratio"), demands.planetary_focal_ratio, 1)
        .and(" behind pixels of ")
        .number(key(rig, "pixel_um"), camera.pixel_um, 1)
        .and(" µm: ");
    Some(match demands.barlow_factor {
        Ok(factor) => {
            sentence.and("a Barlow of ").number(key(rig, "barlow_factor"), factor, 1).and("x").end()
        }
        Err(_) => sentence
            .and("its f/")
            .number(key(rig, "focal_ratio"), demands.focal_ratio, 1)
            .and(" needs no Barlow")
            .end(),
    })
}

/// Where a rig goes beyond what the mount, the back or the purse allow.
pub(super) fn what_each_asks(kit: &Kit, choice: &Choice) -> Vec<Finding> {
    choice
        .rigs
        .iter()
        .flat_map(|rig| {
            [
                payload(kit, rig),
                guiding(kit, rig),
                tripod(kit, rig),
                carry(kit, rig),
                budget(kit, rig),
            ]
        })
        .flatten()
        .collect()
}

fn mount_of(kit: &Kit, rig: &RigChoice) -> String {
    kit.rigs.get(rig.rig).map_or_else(String::new, |rig| rig.mount.clone())
}

fn payload(kit: &Kit, rig: &RigChoice) -> Option<Finding> {
    let used = over_payload(rig, &kit.limits)?;
    Some(
        say(&rig.name)
            .and(" puts ")
            .number(key(rig, "mass_on_mount_kg"), rig.demands.load.on_mount_kg, 1)
            .and(" kg on ")
            .word(key(rig, "mount"), &mount_of(kit, rig))
            .and(", ")
            .per_cent(key(rig, "payload_used"), used)
            .and(" of its rated payload, where imaging may use ")
            .per_cent("limits/payload_share", kit.limits.payload_share)
            .end(),
    )
}

fn guiding(kit: &Kit, rig: &RigChoice) -> Option<Finding> {
    let own = rig.demands.guided_rms_arcsec?;
    let needed = rig.demands.guide_rms_needed_arcsec;
    let loss = kit.limits.thresholds.guiding_loss;
    // The edge is soft, and where it lies is settled with the grades.
    let graded = rig.demands.grade(Figure::GuideRmsNeeded, &kit.limits)?;
    (graded.grade != Grade::Good).then(|| {
        say(&rig.name)
            .and(" needs guiding of ")
            .number(key(rig, "guide_rms_needed_arcsec"), needed, 2)
            .and(" arcsec RMS to widen its stars by no more than ")
            .per_cent("limits/thresholds/guiding_loss", loss)
            .and(", where a fifth more RMS still counts as good; ")
            .word(key(rig, "mount"), &mount_of(kit, rig))
            .and(" guides to ")
            .number(key(rig, "guided_rms_arcsec"), own, 2)
            .end()
    })
}

fn tripod(kit: &Kit, rig: &RigChoice) -> Option<Finding> {
    if rig.demands.unguided_s != Err(Why::DoesNotTrack) {
        return None;
    }
    let untracked_s = rig.demands.untracked_s.ok()?;
    Some(
        say(&rig.name)
            .and(" stands on ")
            .word(key(rig, "mount"), &mount_of(kit, rig))
            .and(", which does not track: after ")
            .number(key(rig, "untracked_s"), untracked_s, 1)
            .and(" s a star trails over a pixel")
            .end(),
    )
}

fn carry(kit: &Kit, rig: &RigChoice) -> Option<Finding> {
    let (limit, over) = (kit.limits.carry_kg?, over_carry(rig, &kit.limits)?);
    Some(
        say(&rig.name)
            .and(" is ")
            .number(key(rig, "carry_kg"), rig.demands.load.carry_kg, 1)
            .and(" kg to carry, ")
            .number(format!("{} - limits/carry_kg", key(rig, "carry_kg")), over, 1)
            .and(" kg above the limit of ")
            .number("limits/carry_kg", limit, 1)
            .and(" kg")
            .end(),
    )
}

/// The parts alone; what the checklist adds is told with the recommendation.
fn budget(kit: &Kit, rig: &RigChoice) -> Option<Finding> {
    let (budget, price) = (kit.limits.budget?, rig.demands.price.ok()?);
    let over = over_budget(rig, &kit.limits)?;
    let currency = &kit.limits.currency;
    Some(
        say(&rig.name)
            .and(" costs ")
            .money(key(rig, "price"), price, currency)
            .and(", ")
            .money(format!("{} - limits/budget", key(rig, "price")), over, currency)
            .and(" above the budget of ")
            .money("limits/budget", budget, currency)
            .end(),
    )
}
