//! Finding targets by what a person types, best first, within a keystroke.
//!
//! Every name is spelled in one way once, at the start, into one long text; a search then runs
//! over plain bytes. The ranks, best first:
//!
//! 1. the name it goes by is exactly what was typed, else any of its names is;
//! 2. the name it goes by, its Messier, Caldwell, NGC or IC number begins so;
//! 3. one of its common names begins so;
//! 4. every word typed begins a word of its common names;
//! 5. what was typed is its constellation, by name or abbreviation;
//! 6. any other designation begins so;
//! 7. every word typed begins a word of its common names, kind or constellation;
//! 8. a common name holds what was typed somewhere inside.
//!
//! Within a rank the big and bright come first.

use std::borrow::Cow;
use std::collections::HashMap;

use super::catalogue::{Catalogue, Target};
use super::constellation::full_name;
use super::designation::{append_key, key, without_accent};

/// Every name of every target in its one spelling.
pub(super) struct Index {
    /// All keys, one after the other.
    text: String,
    names: Vec<Name>,
    /// Fingerprints of the keys with their place in `names`, sorted.
    by_fingerprint: Vec<(u64, u32)>,
    words: Vec<Words>,
    groups: Vec<Group>,
    /// The place of each target when sorted with the most prominent first.
    order: Vec<u32>,
}

struct Name {
    start: u32,
    end: u32,
    target: u32,
    /// Of a text that only begins the name.
    rank: Rank,
    /// Whether it is the name that the target goes by.
    own: bool,
}

/// A target's words, lower case, each with a space before it.
struct Words {
    common: String,
    /// Place in the list of groups.
    group: usize,
}

/// The words that all targets of one kind in one constellation share.
struct Group {
    kind_and_constellation: String,
    constellation: String,
    abbreviation: String,
}

#[derive(Clone, Copy, Debug, Eq, Ord, PartialEq, PartialOrd)]
enum Rank {
    OwnName,
    Exact,
    Designation,
    NameBegins,
    CommonName,
    Constellation,
    OtherDesignation,
    Words,
    Inside,
}

impl Catalogue {
    /// All targets with their places when sorted with the most prominent first.
    pub(super) fn by_prominence(&self) -> impl Iterator<Item = (u32, &Target)> {
        self.index.order.iter().copied().zip(self.targets())
    }

    /// The targets that fit what was typed, best first, at most `limit` of them.
    ///
    /// One that was found by another of its designations goes by that one, unless it leads to
    /// something else (NGC 2244 is a cluster, and a name of the nebula round it). Nothing fits an
    /// empty text.
    pub fn search(&self, text: &str, limit: usize) -> Vec<Cow<'_, Target>> {
        // A designation is meant once there is a number.
        let is_designation = has_number(text);
        let found = self.index.search(text).into_iter().take(limit);
        found
            .filter_map(|(at, name)| {
                let target = self.targets().get(at)?;
                let used = name.filter(|_| is_designation).and_then(|name| {
                    let wanted = self.index.key(self.index.names.get(name as usize)?);
                    let leads_here = self.index.exact(wanted) == Some(at);
                    let mut others = target.other_names.iter().filter(|_| leads_here);
                    others.find(|other| key(other) == wanted)
                });
                Some(used.map_or(Cow::Borrowed(target), |used| target.called(used)))
            })
            .collect()
    }
}

impl Index {
    pub(super) fn new(targets: &[Target]) -> Self {
        let (words, groups) = words(targets);
        // A key is never longer than its name, or hardly.
        let names = || targets.iter().flat_map(Target::names);
        let mut index = Self {
            text: String::with_capacity(names().map(str::len).sum()),
            names: Vec::with_capacity(names().count()),
            by_fingerprint: Vec::new(),
            words,
            groups,
            order: prominence_order(targets),
        };
        for (target, number) in targets.iter().zip(0u32..) {
            index.push(&target.name, number, own_name_rank(&target.name), true);
            for name in &target.other_names {
                index.push(name, number, other_name_rank(name), false);
            }
            for name in &target.common_names {
                index.push(name, number, Rank::NameBegins, false);
            }
        }
        let fingerprints = index.names.iter().map(|name| fingerprint(index.key(name)));
        index.by_fingerprint = fingerprints.zip(0u32..).collect();
        index.by_fingerprint.sort_unstable();
        index
    }

    fn push(&mut self, name: &str, target: u32, rank: Rank, own: bool) {
        let start = self.text.len();
        append_key(name, &mut self.text);
        // OK because the text of all names is a few megabytes; a name beyond four gigabytes of
        // them would only not be found.
        if let (Ok(start), Ok(end)) = (u32::try_from(start), u32::try_from(self.text.len())) {
            self.names.push(Name { start, end, target, rank, own });
        }
    }

    fn key(&self, name: &Name) -> &str {
        self.text.get(name.start as usize..name.end as usize).unwrap_or_default()
    }

    fn place_in_order(&self, target: u32) -> u32 {
        self.order.get(target as usize).copied().unwrap_or(u32::MAX)
    }

    /// The most prominent target of which one name has exactly this key.
    pub(super) fn exact(&self, key: &str) -> Option<usize> {
        if key.is_empty() {
            return None;
        }
        let wanted = fingerprint(key);
        let from = self.by_fingerprint.partition_point(|(print, _)| *print < wanted);
        self.by_fingerprint
            .get(from..)?
            .iter()
            .take_while(|(print, _)| *print == wanted)
            .filter_map(|(_, name)| self.names.get(*name as usize))
            .filter(|name| self.key(name) == key)
            .min_by_key(|name| (!name.own, name.rank, self.place_in_order(name.target)))
            .map(|name| name.target as usize)
    }

    /// Every target that fits, best first, with the name that fits best if one did.
    fn search(&self, text: &str) -> Vec<(usize, Option<u32>)> {
        let typed = Typed::new(text);
        if typed.words.is_empty() {
            return Vec::new();
        }
        let groups: Vec<GroupMatch> =
            self.groups.iter().map(|group| typed.matches_group(group)).collect();
        let mut ranks: Vec<Option<(Rank, Option<u32>)>> = self
            .words
            .iter()
            .map(|words| {
                Some((typed.rank_by_words(&words.common, groups.get(words.group)?)?, None))
            })
            .collect();
        if !typed.key.is_empty() {
            for (name, place) in self.names.iter().zip(0u32..) {
                let key = self.key(name);
                if key.starts_with(&typed.key)
                    && let Some(best) = ranks.get_mut(name.target as usize)
                {
                    let rank = match (key.len() == typed.key.len(), name.own) {
                        (true, true) => Rank::OwnName,
                        (true, false) => Rank::Exact,
                        (false, _) => name.rank,
                    };
                    // Of equals the first stays: the name that it goes by.
                    if best.is_none_or(|(known, _)| rank < known) {
                        *best = Some((rank, Some(place)));
                    }
                }
            }
        }
        let mut found: Vec<(Rank, u32, usize, Option<u32>)> = ranks
            .into_iter()
            .enumerate()
            .zip(&self.order)
            .filter_map(|((target, best), order)| {
                best.map(|(rank, name)| (rank, *order, target, name))
            })
            .collect();
        found.sort_unstable();
        found.into_iter().map(|(.., target, name)| (target, name)).collect()
    }
}

/// What a person typed, taken apart.
struct Typed {
    key: String,
    /// Lower case, each with a space before it.
    words: Vec<String>,
    plain: String,
}

impl Typed {
    fn new(text: &str) -> Self {
        let plain = plain(text);
        let words = plain.split_whitespace().map(|word| format!(" {word}")).collect();
        Self { key: key(text), words, plain: plain.trim().to_owned() }
    }

    fn matches_group(&self, group: &Group) -> GroupMatch {
        GroupMatch {
            is_constellation: self.plain == group.abbreviation || self.plain == group.constellation,
            words: self.words.iter().map(|w| group.kind_and_constellation.contains(w)).collect(),
        }
    }

    fn rank_by_words(&self, common: &str, group: &GroupMatch) -> Option<Rank> {
        let in_common = |word: &String| common.contains(word);
        if self.words.iter().all(in_common) {
            Some(Rank::CommonName)
        } else if group.is_constellation {
            Some(Rank::Constellation)
        } else if self.words.iter().zip(&group.words).all(|(word, group)| *group || in_common(word))
        {
            Some(Rank::Words)
        } else {
            common.contains(&self.plain).then_some(Rank::Inside)
        }
    }
}

/// How what was typed fits a group.
struct GroupMatch {
    is_constellation: bool,
    /// For each word typed, whether it begins a word of the group.
    words: Vec<bool>,
}

fn words(targets: &[Target]) -> (Vec<Words>, Vec<Group>) {
    let mut groups = Vec::new();
    let mut places = HashMap::new();
    let words = targets
        .iter()
        .map(|target| {
            let shared = (target.kind, target.constellation.as_str());
            let group = *places.entry(shared).or_insert_with(|| {
                groups.push(group(target));
                groups.len() - 1
            });
            let wordy = std::iter::once(&target.name).filter(|name| !has_number(name));
            let common = wordy.chain(&target.common_names).map(|name| plain(name)).collect();
            Words { common, group }
        })
        .collect();
    (words, groups)
}

fn group(target: &Target) -> Group {
    let constellation = plain(full_name(&target.constellation).unwrap_or_default());
    let abbreviation = plain(&target.constellation).trim().to_owned();
    Group {
        kind_and_constellation: format!(
            "{}{constellation} {abbreviation}",
            plain(target.kind.label())
        ),
        constellation: constellation.trim().to_owned(),
        abbreviation,
    }
}

/// Lower case, without apostrophes, each word with one space before it.
fn plain(text: &str) -> String {
    let kept =
        text.chars().filter(|c| !matches!(c, '\'' | '\u{2019}')).flat_map(char::to_lowercase);
    let spaced: String =
        kept.map(|c| if c.is_alphanumeric() { without_accent(c) } else { ' ' }).collect();
    spaced.split_whitespace().flat_map(|word| [" ", word]).collect()
}

/// A name without a number (`Coalsack`) is as good as a common name, no better.
fn own_name_rank(name: &str) -> Rank {
    if has_number(name) { Rank::Designation } else { Rank::NameBegins }
}

fn has_number(name: &str) -> bool {
    name.contains(|c: char| c.is_ascii_digit())
}

/// Messier, Caldwell, NGC, IC and Sharpless numbers are what people look for.
fn other_name_rank(name: &str) -> Rank {
    let usual = ["M ", "C ", "NGC ", "IC ", "Sh2-", "B ", "Mel "];
    if usual.iter().any(|letters| name.starts_with(letters)) {
        Rank::Designation
    } else {
        Rank::OtherDesignation
    }
}

fn prominence_order(targets: &[Target]) -> Vec<u32> {
    let mut sorted: Vec<(f64, usize)> =
        targets.iter().map(Target::prominence).zip(0usize..).collect();
    sorted.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
    let mut order = vec![u32::MAX; targets.len()];
    for ((_, target), place) in sorted.into_iter().zip(0u32..) {
        if let Some(slot) = order.get_mut(target) {
            *slot = place;
        }
    }
    order
}

/// FNV-1a, 64 bits: quick on short texts. Fowler, Noll & Vo 1991.
fn fingerprint(text: &str) -> u64 {
    text.bytes().fold(0xcbf2_9ce4_8422_2325, |print, byte| {
        (print ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3)
    })
}
