//! Whether a file still holds what was read from it or written to it.

use serde::{Deserialize, Serialize};

/// A short mark of a file's contents: two files of one mark hold, in practice, the same.
///
/// The 64-bit FNV-1a hash, which is the same on every machine and for every version of the program,
/// so that it can be kept on disk. It guards against forgetting, not against forgery.
#[derive(Clone, Copy, Debug, Deserialize, Eq, PartialEq, Serialize)]
pub struct Fingerprint(u64);

impl Fingerprint {
    /// The mark of some contents.
    pub fn of(contents: &[u8]) -> Self {
        const OFFSET: u64 = 0xcbf2_9ce4_8422_2325;
        const PRIME: u64 = 0x0000_0100_0000_01b3;
        Self(
            contents
                .iter()
                .fold(OFFSET, |hash, &byte| (hash ^ u64::from(byte)).wrapping_mul(PRIME)),
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Test vectors of the Internet draft "The FNV Non-Cryptographic Hash Algorithm"
    /// (draft-eastlake-fnv), from memory.
    #[test]
    fn it_is_the_published_hash() {
        for (text, hash) in [
            ("", 0xcbf2_9ce4_8422_2325_u64),
            ("a", 0xaf63_dc4c_8601_ec8c),
            ("foobar", 0x8594_4171_f739_67e8),
        ] {
            assert_eq!(Fingerprint::of(text.as_bytes()), Fingerprint(hash), "{text}");
        }
    }
}
