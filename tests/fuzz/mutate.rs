//! A hostile file made from a sound one.

use crate::random::Random;

/// Sound files above this size (two header blocks of FITS and a few pixels) are the base of one case in
/// so many only: a small file has all that its kind of file is made of, and many of them are read in
/// the time of one large one.
const SMALL: usize = 2 * 2880 + 40;
const ONE_LARGE_IN: usize = 512;

/// Longest case, bytes, beyond its base.
const LONGER: usize = 4000;

/// The sound files that cases are made of.
pub(crate) struct Corpus<'a> {
    small: Vec<&'a [u8]>,
    large: Vec<&'a [u8]>,
}

impl<'a> Corpus<'a> {
    pub(crate) fn of(files: &'a [Vec<u8>]) -> Self {
        let (small, large) = files.iter().map(Vec::as_slice).partition(|file| file.len() <= SMALL);
        Self { small, large }
    }

    fn pick(&self, random: &mut Random) -> &'a [u8] {
        let large =
            !self.large.is_empty() && (self.small.is_empty() || random.chance(ONE_LARGE_IN));
        let files: &[&[u8]] = if large { &self.large } else { &self.small };
        let file: &&[u8] = random.pick(files);
        file
    }
}

/// Numbers that readers trip over.
const NUMBERS: &[&str] = &[
    "0",
    "-0",
    "1",
    "-1",
    "NaN",
    "inf",
    "-inf",
    "1e308",
    "1e999",
    "-1e-320",
    "255",
    "256",
    "65535",
    "65536",
    "2147483647",
    "2147483648",
    "4294967295",
    "4294967296",
    "9223372036854775807",
    "18446744073709551615",
    "18446744073709551616",
    "0.0000000000000000000000001",
    "99999999999999999999999999999999",
    "1/0",
    "0x10",
];

/// One to eight changes of a sound file; `words` are what its kind of file is made of.
pub(crate) fn mutated(random: &mut Random, corpus: &Corpus<'_>, words: &[&str]) -> Vec<u8> {
    let base = corpus.pick(random);
    let mut bytes = base.to_vec();
    for _ in 0..=random.below(8) {
        change(random, &mut bytes, corpus, words);
    }
    bytes.truncate(base.len() + LONGER);
    bytes
}

fn change(random: &mut Random, bytes: &mut Vec<u8>, corpus: &Corpus<'_>, words: &[&str]) {
    let at = random.below(bytes.len() + 1);
    let end = (at + 1 + random.below(16)).min(bytes.len());
    match random.below(11) {
        0 => {
            if let Some(byte) = bytes.get_mut(at) {
                *byte ^= 1 << random.below(8);
            }
        }
        1 => {
            if let Some(byte) = bytes.get_mut(at) {
                *byte = random.next() as u8;
            }
        }
        2 => drop(bytes.drain(at..end)),
        3 => drop(bytes.splice(at..at, random.pick(words).bytes())),
        4 => drop(bytes.splice(at..end, random.pick(words).bytes())),
        5 => {
            let piece = bytes[at..end].to_vec();
            let again = random.below(20);
            for _ in 0..again {
                bytes.splice(at..at, piece.iter().copied());
            }
        }
        6 => bytes.truncate(at),
        7 => {
            // A piece of another file.
            let other = corpus.pick(random);
            let from = random.below(other.len() + 1);
            let to = (from + random.below(64)).min(other.len());
            bytes.splice(at..end, other[from..to].iter().copied());
        }
        8 | 9 => {
            // A number in place of a number.
            let digits = |byte: &u8| byte.is_ascii_digit() || b".-+eE".contains(byte);
            let Some(start) = (at..bytes.len()).find(|&place| digits(&bytes[place])) else {
                return;
            };
            let stop = (start..bytes.len()).find(|&place| !digits(&bytes[place]));
            let number = *random.pick(NUMBERS);
            bytes.splice(start..stop.unwrap_or(bytes.len()), number.bytes());
        }
        _ => bytes.insert(at, random.next() as u8),
    }
}
