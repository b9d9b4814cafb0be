//! Sentences that recommend a rig, and those that a friend would add.

use super::rigs::key;
use super::{Finding, Sentence, list_of, plural, say};
use crate::Verdict;
use crate::choice::{Choice, Criterion, RigChoice};
use crate::demands::{Figure, Grade, Value};
use crate::kit::Kit;
use crate::limits_kept::{Broken, broken_limits, over_with_checklist};
use crate::serving::{Because, ServingMost, serving_most};

/// A target whose fill is over the limit by less than this factor is said to miss narrowly: sizes
/// of nebulae are no better known. Common practice, no source.
const NEAR_MISS: f64 = 1.2;

/// Where half of the targets fill less than this, they look lost in the picture. Common practice,
/// no source.
const LOST_IN_THE_FRAME: f64 = 0.35;

/// What may speak against a rig; one figure of each kind, as sampling says what pixels per FWHM do.
const AGAINST: [Figure; 15] = [
    Figure::Sampling,
    Figure::Untracked,
    Figure::Unguided,
    Figure::GuidingLoss,
    Figure::PolarRotation,
    Figure::AltazimuthRotation,
    Figure::PayloadUsed,
    Figure::Carry,
    Figure::HeaviestPiece,
    Figure::LitShare,
    Figure::CornerComa,
    Figure::DepthOfFocus,
    Figure::HoursPerArcsec2,
    Figure::Saturation,
    Figure::Price,
];

/// The recommendation in sentences, of a pool of rigs that may be recommended.
pub(crate) fn recommended(
    kit: &Kit,
    choice: &Choice,
    pool: &[&RigChoice],
    most: &ServingMost<'_>,
    within_limits: bool,
) -> Vec<Finding> {
    let best = most.first;
    let mut found = vec![headline(kit, choice, best, within_limits.then_some(pool.len()))];
    found.extend(as_good(kit, most));
    found.extend(held_back(kit, choice, best));
    found.extend(near_misses(kit, choice, best));
    found.extend(lost_in_the_frame(best));
    found.extend(hours(choice, best, pool, within_limits));
    for grade in [Grade::Bad, Grade::Doubtful] {
        found.extend(graded(kit, choice, best, grade));
    }
    found.extend(checklist(kit, best));
    found.extend(next_best(kit, choice, pool, most));
    found
}

fn headline(kit: &Kit, choice: &Choice, best: &RigChoice, within: Option<usize>) -> Finding {
    let all = choice.rigs.len();
    if best.whole == 0 {
        let nothing = say("None of the ")
            .number("rigs", all as f64, 0)
            .and(" candidates takes a target of the list whole: nothing speaks for ")
            .word("recommendation/rig", &best.name)
            .and(" but that it stands first")
            .because(key(best, "whole"), 0.0);
        return nothing.end();
    }
    let count = |sentence: Sentence, rigs: usize| sentence.number("rigs", rigs as f64, 0);
    let named = |sentence: Sentence| sentence.word("recommendation/rig", &best.name);
    let sentence = match within {
        Some(_) if all == 1 => named(say("")).and(" is the only candidate"),
        Some(1) => {
            let sentence = named(say("")).and(" is the only one of the ");
            count(sentence, all).and(" candidates that keeps within the limits")
        }
        Some(within) if within == all => {
            named(count(say("All "), all).and(" candidates keep within the limits; "))
                .and(" does best")
        }
        Some(within) => {
            let sentence = say("Of the ").number("rigs/within_limits", within as f64, 0);
            let sentence = count(sentence.and(" candidates (out of "), all);
            named(sentence.and(") within the limits, ")).and(" does best")
        }
        None if all == 1 => {
            broken(named(say("")).and(" is the only candidate, but it "), kit, best)
        }
        None => {
            let sentence =
                count(say("None of the "), all).and(" candidates keeps within the limits; ");
            broken(named(sentence).and(" does best, but it "), kit, best)
        }
    };
    let list = choice.ranges.len();
    sentence
        .and(": it takes ")
        .number(key(best, "whole"), f64::from(best.whole), 0)
        .and(" of ")
        .number("wish_list/targets", list as f64, 0)
        .and(plural(u32::try_from(list).unwrap_or(u32::MAX), " target", " targets"))
        .and(" whole, ")
        .number(key(best, "served"), f64::from(best.served.count), 0)
        .and(" of them with at least ")
        .number("limits/detail", kit.limits.detail, 0)
        .and(" resolution elements across")
        .end()
}

/// The limits that a rig breaks, in words that follow its name.
fn broken(mut sentence: Sentence, kit: &Kit, rig: &RigChoice) -> Sentence {
    let limits = &kit.limits;
    for (place, broken) in broken_limits(rig, limits).into_iter().enumerate() {
        sentence = sentence.and(if place == 0 { "" } else { " and " });
        sentence = match broken {
            Broken::Budget(over) => sentence
                .and("costs ")
                .money(format!("{} - limits/budget", key(rig, "price")), over, &limits.currency)
                .and(" more than the budget"),
            Broken::Carry(over) => sentence
                .and("is ")
                .number(format!("{} - limits/carry_kg", key(rig, "carry_kg")), over, 1)
                .and(" kg more than can be carried"),
            Broken::Payload(share) => sentence
                .and("takes ")
                .per_cent(key(rig, "payload_used"), share)
                .and(" of its mount's payload, of which imaging may use ")
                .per_cent("limits/payload_share", limits.payload_share),
        };
    }
    sentence
}

/// The others that serve as much, and why the best was taken of them.
fn as_good(kit: &Kit, most: &ServingMost<'_>) -> Option<Finding> {
    let best = most.first;
    if most.level.is_empty() || best.served.count == 0 {
        return None;
    }
    let rigs: Vec<&RigChoice> = most.level.clone();
    let sentence = list_of(say(""), &rigs, |sentence, rig| {
        let sentence = sentence
            .word(key(rig, "name"), &rig.name)
            .because(key(rig, "served"), f64::from(rig.served.count))
            .and(" (stars of ")
            .number(key(rig, "delivered_fwhm_arcsec"), rig.demands.delivered_fwhm_arcsec, 1)
            .and(" arcsec");
        dearer(sentence, kit, rig, best).and(")")
    });
    let count = u32::try_from(rigs.len()).unwrap_or(u32::MAX);
    let sentence = sentence
        .and(plural(count, " serves as many; ", " serve as many; "))
        .word("recommendation/rig", &best.name)
        .and(match most.because {
            Because::MostDetail => " shows the most detail, its stars being ",
            Because::LeastPrice => {
                " costs least of those that show the most detail, its stars being "
            }
            Because::FirstOfEquals => " merely stands first, its stars being ",
        })
        .number(key(best, "delivered_fwhm_arcsec"), best.demands.delivered_fwhm_arcsec, 1)
        .and(" arcsec wide");
    Some(sentence.end())
}

/// ", for 240 EUR less": what a rig costs beside another, where both have a price.
fn dearer(sentence: Sentence, kit: &Kit, rig: &RigChoice, than: &RigChoice) -> Sentence {
    let (Ok(price), Ok(other)) = (rig.demands.price, than.demands.price) else { return sentence };
    if price == other {
        return sentence.and(", for the same price");
    }
    let (more, less) = if price > other { (rig, than) } else { (than, rig) };
    let difference = format!("{} - {}", key(more, "price"), key(less, "price"));
    sentence
        .and(", for ")
        .money(difference, (price - other).abs(), &kit.limits.currency)
        .and(if price > other { " more" } else { " less" })
}

/// The rig that would serve more, were it not for a limit, and which limit.
fn held_back(kit: &Kit, choice: &Choice, best: &RigChoice) -> Option<Finding> {
    let most = serving_most(&choice.rigs)?.first;
    let breaks = !broken_limits(most, &kit.limits).is_empty();
    (most.served.weighted > best.served.weighted && breaks).then(|| {
        let sentence = say("")
            .word(key(most, "name"), &most.name)
            .and(" would serve more, by hours in the dark and by how much you want each, ")
            .number(key(most, "served"), f64::from(most.served.count), 0)
            .and(" of ")
            .number("wish_list/targets", choice.ranges.len() as f64, 0)
            .and(", but ");
        broken(sentence, kit, most).end()
    })
}

/// What spills by a hair: (target, fill).
fn nearly_whole<'a>(kit: &Kit, choice: &'a Choice, rig: &RigChoice) -> Vec<(&'a str, f64)> {
    let cells = choice.ranges.iter().zip(&rig.cells);
    cells
        .filter(|(_, cell)| cell.fit.verdict != Verdict::Whole)
        .filter_map(|(range, cell)| Some((range.target.as_str(), cell.fit.fill?)))
        .filter(|&(_, fill)| fill < kit.limits.whole_fill * NEAR_MISS)
        .collect()
}

fn misses(sentence: Sentence, rig: &RigChoice, missed: &[(&str, f64)]) -> Sentence {
    list_of(sentence, missed, |sentence, (target, fill)| {
        sentence
            .word(format!("{}/targets/{target}", key(rig, "name")), target)
            .and(" (fill ")
            .fill(key(rig, &format!("targets/{target}/fill")), *fill)
            .and(")")
    })
}

fn near_misses(kit: &Kit, choice: &Choice, rig: &RigChoice) -> Option<Finding> {
    let missed = nearly_whole(kit, choice, rig);
    if missed.is_empty() {
        return None;
    }
    let sentence = say("").word(key(rig, "name"), &rig.name).and(" narrowly fails to take ");
    let sentence = misses(sentence, rig, &missed);
    let sentence = sentence
        .and(" whole, which is a fill of ")
        .number("limits/whole_fill", kit.limits.whole_fill, 2)
        .and(" or less; sizes on the sky are no better known than that");
    Some(sentence.end())
}

/// That the targets it serves stand small in its frame.
fn lost_in_the_frame(rig: &RigChoice) -> Option<Finding> {
    /// Of fewer, half is not much of a share.
    const ENOUGH: usize = 3;
    let served = rig.cells.iter().filter(|cell| cell.served);
    let mut fills: Vec<f64> = served.filter_map(|cell| cell.fit.fill).collect();
    fills.sort_by(f64::total_cmp);
    let median = *fills.get(fills.len() / 2)?;
    (fills.len() >= ENOUGH && median < LOST_IN_THE_FRAME).then(|| {
        say("In the frame of ")
            .word(key(rig, "name"), &rig.name)
            .and(" half of the targets it serves fill ")
            .fill(key(rig, "median_fill"), median)
            .and(" or less: a longer focal length would show them larger")
            .end()
    })
}

/// The hours that the list takes with it, beside the rig of the pool with the fewest.
fn hours(
    choice: &Choice,
    best: &RigChoice,
    pool: &[&RigChoice],
    within_limits: bool,
) -> Option<Finding> {
    let of = |rig: &RigChoice| rig.count(Criterion::Hours);
    let own = of(best)?;
    let figure = |rig: &RigChoice| key(rig, Criterion::Hours.key());
    let sentence = say("To the wanted signal-to-noise ratio the list takes up to ")
        .number(figure(best), own, 0)
        .and(" h with ")
        .word(key(best, "name"), &best.name);
    let rigs = pool.iter().filter_map(|rig| Some((*rig, of(rig)?)));
    let (least, fewest) = rigs.min_by(|(_, a), (_, b)| a.total_cmp(b))?;
    // A rig out of the person's reach is no measure of one within.
    let only_some = within_limits && pool.len() < choice.rigs.len();
    let sentence = if least.rig == best.rig {
        sentence.and(if only_some {
            ", the least of the rigs within your limits whose hours are known"
        } else {
            ", the least of the rigs whose hours are known"
        })
    } else {
        sentence
            .and(if only_some { "; the least within your limits is " } else { "; the least is " })
            .number(figure(least), fewest, 0)
            .and(" h with ")
            .word(key(least, "name"), &least.name)
    };
    Some(sentence.and(", panels included").end())
}

/// The target of the list that takes a rig longest, and the hours of one panel of it.
fn longest<'a>(choice: &'a Choice, rig: &RigChoice) -> Option<(&'a str, f64)> {
    let cells = choice.ranges.iter().zip(&rig.cells);
    let hours = cells.filter_map(|(range, cell)| Some((range.target.as_str(), cell.hours?)));
    hours.max_by(|(_, a), (_, b)| a.total_cmp(b))
}

/// What is bad, or doubtful, about a rig. Hours are a matter of the target, so the longest count.
fn graded(kit: &Kit, choice: &Choice, rig: &RigChoice, grade: Grade) -> Option<Finding> {
    let demands = &rig.demands;
    let longest = longest(choice, rig);
    let graded = |figure: &Figure| match figure {
        Figure::HoursPerArcsec2 => {
            longest.and_then(|(_, hours)| demands.hours_grade(Ok(hours))).map(|(grade, _)| grade)
        }
        _ => demands.grade(*figure, &kit.limits).map(|graded| graded.grade),
    };
    let figures: Vec<Figure> =
        AGAINST.into_iter().filter(|figure| graded(figure) == Some(grade)).collect();
    if figures.is_empty() {
        return None;
    }
    let sentence = say("Against ").word(key(rig, "name"), &rig.name).and(if grade == Grade::Bad {
        " speaks, as bad: "
    } else {
        " speaks, as doubtful: "
    });
    let sentence = list_of(sentence, &figures, |sentence, figure| {
        let sentence = sentence.and(figure.label());
        if let (Figure::HoursPerArcsec2, Some((target, hours))) = (figure, longest) {
            return sentence
                .and(" (up to ")
                .number(key(rig, &format!("targets/{target}/{}", figure.key())), hours, 1)
                .and(" h, for ")
                .and(target)
                .and(")");
        }
        let key = key(rig, figure.key());
        match demands.value(*figure) {
            Ok(Value::Number(value)) => sentence.because(key, value),
            Ok(Value::Word(word)) => sentence.and(" (").word(key, word).and(")"),
            Ok(Value::Flag(_)) | Err(_) => sentence,
        }
    });
    Some(sentence.end())
}

fn checklist(kit: &Kit, rig: &RigChoice) -> Option<Finding> {
    let over = over_with_checklist(rig, &kit.limits)?;
    let (price, checklist) = (rig.demands.price.ok()?, rig.demands.checklist_price.ok()?);
    let currency = &kit.limits.currency;
    Some(
        say("The parts of ")
            .word(key(rig, "name"), &rig.name)
            .and(" cost ")
            .money(key(rig, "price"), price, currency)
            .and("; with ")
            .money("limits/checklist_price", checklist, currency)
            .and(" for the checklist of what else is needed, that is ")
            .money(
                format!("{} + limits/checklist_price - limits/budget", key(rig, "price")),
                over,
                currency,
            )
            .and(" above the budget")
            .end(),
    )
}

/// The best of those that serve less, and what it has to offer.
fn next_best(
    kit: &Kit,
    choice: &Choice,
    pool: &[&RigChoice],
    most: &ServingMost<'_>,
) -> Option<Finding> {
    let ahead = |rig: &RigChoice| {
        rig.rig == most.first.rig || most.level.iter().any(|level| level.rig == rig.rig)
    };
    let next = serving_most(pool.iter().copied().filter(|rig| !ahead(rig)))?.first;
    if next.served.count == 0 {
        return None;
    }
    let sentence = say("Next comes ")
        .word(key(next, "name"), &next.name)
        .and(", which serves ")
        .number(key(next, "served"), f64::from(next.served.count), 0)
        .and(" of ")
        .number("wish_list/targets", choice.ranges.len() as f64, 0)
        .and(" with stars of ")
        .number(key(next, "delivered_fwhm_arcsec"), next.demands.delivered_fwhm_arcsec, 1)
        .and(" against ")
        .number(
            key(most.first, "delivered_fwhm_arcsec"),
            most.first.demands.delivered_fwhm_arcsec,
            1,
        )
        .and(" arcsec");
    let missed = nearly_whole(kit, choice, next);
    let sentence = if missed.is_empty() {
        sentence
    } else {
        misses(sentence.and("; it narrowly fails to take "), next, &missed).and(" whole")
    };
    Some(sentence.end())
}
