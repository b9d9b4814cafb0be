//! A hostile file made from a sound one.

use crate::random::Random;

/// Longest case, bytes; only sound files of the corpus may be longer.
const LONGEST: usize = 1 << 16;

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
pub(crate) fn mutated(random: &mut Random, corpus: &[Vec<u8>], words: &[&str]) -> Vec<u8> {
    let mut bytes = random.pick(corpus).clone();
    for _ in 0..=random.below(8) {
        change(random, &mut bytes, corpus, words);
    }
    bytes.truncate(LONGEST.max(corpus.iter().map(Vec::len).max().unwrap_or(0) + 64));
    bytes
}

fn change(random: &mut Random, bytes: &mut Vec<u8>, corpus: &[Vec<u8>], words: &[&str]) {
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
            let other = random.pick(corpus);
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
