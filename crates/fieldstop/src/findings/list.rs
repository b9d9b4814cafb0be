//! Sentences about the wish list: which focal lengths serve it, and what nothing serves.

use super::{Finding, Sentence, list_of, plural, say};
use crate::choice::{Choice, Wanted};
use crate::focal_range::{FocalRange, Setting};
use crate::kit::Kit;
use crate::range::LADDER_MM;

/// How many of the list, as a figure.
fn of_list(sentence: Sentence, wanted: &[Wanted]) -> Sentence {
    sentence.and(" of ").number("wish_list/targets", wanted.len() as f64, 0)
}

/// Whose camera and aperture a sentence about focal lengths means.
fn behind(words: &str, setting: &Setting, rig: &str) -> Sentence {
    say(words)
        .number("setting/aperture_mm", setting.aperture_mm, 0)
        .and(" mm aperture of ")
        .word("setting/rig", rig)
}

/// Whether guiding has a part in how wide stars are.
fn is_guided(setting: &Setting) -> bool {
    setting.guiding_rms_arcsec > 0.0
}

pub(super) fn best_focal_lengths(
    kit: &Kit,
    chosen: usize,
    wanted: &[Wanted],
    choice: &Choice,
) -> Vec<Finding> {
    let (Some(setting), Some(rig)) = (&choice.setting, kit.rigs.get(chosen)) else {
        return Vec::new();
    };
    if wanted.is_empty() {
        return Vec::new();
    }
    let with_rig = behind("With the camera and ", setting, &rig.name);
    let Some(best) = choice.best else {
        let nothing = with_rig
            .and(" no focal length from ")
            .number("ladder/shortest_mm", LADDER_MM.least, 0)
            .and(" to ")
            .number("ladder/longest_mm", LADDER_MM.most, 0)
            .and(" mm takes a target of the list whole and shows ")
            .number("limits/detail", kit.limits.detail, 0)
            .and(" resolution elements across it");
        return vec![nothing.end()];
    };
    let served = choice.coverage.at(best.focal_length_mm);
    let single = with_rig
        .and(", ")
        .number("best/focal_length_mm", best.focal_length_mm, 0)
        .and(" mm serves most of the wish list: ")
        .number("best/served", f64::from(served.count), 0);
    let single = of_list(single, wanted)
        .and(plural(u32::try_from(wanted.len()).unwrap_or(u32::MAX), " target", " targets"))
        .and(plural(served.count, " is whole there and shows", " are whole there and show"))
        .and(" at least ")
        .number("limits/detail", kit.limits.detail, 0)
        .and(" resolution elements. Anything from ")
        .number("best/from_mm", best.from_mm, 0)
        .and(" mm up to that does as well, with less detail")
        .because("best/to_mm", best.to_mm);
    let mut found = vec![single.end()];
    if let Some(pair) = choice.best_pair {
        let gained = pair.served.count.saturating_sub(served.count);
        let two = say("Two focal lengths together, ")
            .number("best_pair/short/focal_length_mm", pair.short.focal_length_mm, 0)
            .and(" and ")
            .number("best_pair/long/focal_length_mm", pair.long.focal_length_mm, 0)
            .and(" mm, serve ")
            .number("best_pair/served", f64::from(pair.served.count), 0);
        let two = of_list(two, wanted);
        found.push(if gained > 0 {
            two.and(", ")
                .number("best_pair/served - best/served", f64::from(gained), 0)
                .and(" more than the best single one")
                .end()
        } else {
            two.end()
        });
    }
    found
}

/// What no rig, no focal length or no night serves.
pub(super) fn out_of_reach(
    kit: &Kit,
    chosen: usize,
    wanted: &[Wanted],
    choice: &Choice,
) -> Vec<Finding> {
    [
        too_large(wanted, choice),
        too_small(kit, chosen, choice),
        no_range(kit, chosen, choice),
        never_up(kit, choice),
        no_size(choice),
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// Targets that are whole in no rig.
fn too_large(wanted: &[Wanted], choice: &Choice) -> Option<Finding> {
    if choice.rigs.is_empty() {
        return None;
    }
    let least_fill = |place: usize| {
        let fills = choice.rigs.iter().filter_map(|rig| {
            let cell = rig.cells.get(place)?;
            Some((rig.name.as_str(), cell.fit.fill?, cell.fit.verdict))
        });
        fills.min_by(|(_, a, _), (_, b, _)| a.total_cmp(b))
    };
    let spilled: Vec<(&str, &str, f64)> = wanted
        .iter()
        .enumerate()
        .filter_map(|(place, wanted)| {
            let (rig, fill, verdict) = least_fill(place)?;
            (verdict != crate::Verdict::Whole).then_some((wanted.name.as_str(), rig, fill))
        })
        .collect();
    if spilled.is_empty() {
        return None;
    }
    let sentence = say("No rig of the shortlist takes ");
    let sentence = list_of(sentence, &spilled, |sentence, (target, rig, fill)| {
        sentence
            .and(target)
            .and(" (fill ")
            .fill(format!("rigs/{rig}/targets/{target}/fill"), *fill)
            .and(" in ")
            .and(rig)
            .and(")")
    });
    Some(sentence.and(" whole").end())
}

/// Targets whose detail air, guiding and aperture forbid at every focal length, with what the best
/// rig of the shortlist makes of them: its aperture and guiding may be better.
fn too_small(kit: &Kit, chosen: usize, choice: &Choice) -> Option<Finding> {
    let (setting, rig) = (choice.setting.as_ref()?, kit.rigs.get(chosen)?);
    let least = setting.least_fwhm_arcsec();
    let ranges = choice.ranges.iter().enumerate();
    let without: Vec<(usize, &str, f64)> = ranges
        .filter(|(_, range)| range.range.is_some_and(|range| range.shortest_mm.is_none()))
        .filter_map(|(place, range)| {
            Some((place, range.target.as_str(), range.major?.arcsec() / least))
        })
        .collect();
    if without.is_empty() {
        return None;
    }
    let with = if is_guided(setting) { "With the guiding and " } else { "With the " };
    let sentence = behind(with, setting, &rig.name)
        .and(" under ")
        .number("site/seeing_fwhm_arcsec", kit.site.seeing_fwhm_arcsec, 1)
        .and(" arcsec seeing, stars are at least ")
        .number("setting/least_fwhm_arcsec", least, 1)
        .and(" arcsec wide at any focal length, so none shows ")
        .number("limits/detail", kit.limits.detail, 0)
        .and(" resolution elements across ");
    let sentence = list_of(sentence, &without, |sentence, &(place, target, most)| {
        let sentence =
            sentence.and(target).and(" (").number(format!("ranges/{target}/most_detail"), most, 0);
        match sharpest(choice, place) {
            Some((rig, detail)) if detail > most => sentence
                .and(" at most; ")
                .number(format!("rigs/{rig}/targets/{target}/detail"), detail, 0)
                .and(" in ")
                .and(rig)
                .and(")"),
            _ => sentence.and(" at most)"),
        }
    });
    Some(sentence.end())
}

/// The rig of the shortlist that shows most detail across a target, and how much.
fn sharpest(choice: &Choice, target: usize) -> Option<(&str, f64)> {
    let details = choice
        .rigs
        .iter()
        .filter_map(|rig| Some((rig.name.as_str(), rig.cells.get(target)?.detail?)));
    details.max_by(|(_, a), (_, b)| a.total_cmp(b))
}

/// Targets that are no longer whole where their detail begins.
fn no_range(kit: &Kit, chosen: usize, choice: &Choice) -> Option<Finding> {
    let (setting, rig) = (choice.setting.as_ref()?, kit.rigs.get(chosen)?);
    let apart = |range: FocalRange| range.shortest_mm.filter(|&short| short > range.longest_mm);
    let apart: Vec<(&str, f64, f64)> = choice
        .ranges
        .iter()
        .filter_map(|range| {
            let found = range.range?;
            Some((range.target.as_str(), apart(found)?, found.longest_mm))
        })
        .collect();
    if apart.is_empty() {
        return None;
    }
    let guided = is_guided(setting);
    let with = if guided { "With the camera, guiding and " } else { "With the camera and " };
    let sentence = behind(with, setting, &rig.name)
        .and(" no focal length both holds and shows ")
        .number("limits/detail", kit.limits.detail, 0)
        .and(" resolution elements across ");
    let sentence = list_of(sentence, &apart, |sentence, (target, shortest, longest)| {
        sentence
            .and(target)
            .and(" (whole to ")
            .told(
                format!("ranges/{target}/longest_mm"),
                *longest,
                // The next millimetre is too long already, the one before still too short.
                &format!("{:.0}", longest.floor()),
            )
            .and(" mm, detail from ")
            .told(
                format!("ranges/{target}/shortest_mm"),
                *shortest,
                &format!("{:.0}", shortest.ceil()),
            )
            .and(" mm)")
    });
    Some(sentence.end())
}

/// Targets that the site never sees in the dark.
fn never_up(kit: &Kit, choice: &Choice) -> Option<Finding> {
    let never: Vec<&str> = choice
        .ranges
        .iter()
        .filter(|range| range.hours_in_year <= 0.0)
        .map(|range| range.target.as_str())
        .collect();
    if never.is_empty() {
        return None;
    }
    let sentence = say("From ").word("site/name", &kit.site.name).and(" ");
    let sentence = list_of(sentence, &never, |sentence, target| {
        sentence.and(target).because(format!("ranges/{target}/hours_in_year"), 0.0)
    });
    let stands = if never.len() == 1 { " never stands" } else { " never stand" };
    Some(
        sentence
            .and(stands)
            .and(" above the lowest useful altitude of ")
            .number("site/lowest_altitude_deg", kit.site.lowest_altitude_deg, 0)
            .and("° and the skyline while it is dark")
            .end(),
    )
}

/// Targets that the figures cannot speak of.
fn no_size(choice: &Choice) -> Option<Finding> {
    let unknown: Vec<&str> = choice
        .ranges
        .iter()
        .filter(|range| range.major.is_none())
        .map(|range| range.target.as_str())
        .collect();
    if unknown.is_empty() {
        return None;
    }
    let count = u32::try_from(unknown.len()).unwrap_or(u32::MAX);
    let sentence = list_of(say(""), &unknown, |sentence, target| sentence.and(target));
    Some(
        sentence
            .and(plural(count, " has", " have"))
            .and(" no known size, so ")
            .and(plural(count, "it is", "they are"))
            .and(" left out of every count")
            .because("wish_list/size_unknown", f64::from(count))
            .end(),
    )
}
