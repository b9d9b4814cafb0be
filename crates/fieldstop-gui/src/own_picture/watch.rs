//! A reader that tells how far a library has come with a file, and ends the file for it once nobody
//! waits for the picture any more.
//!
//! The libraries that unpack pictures ask nobody whether to go on. An early end of the file is what
//! each of them stops at.

use std::io::{BufRead, Read, Result, Seek, SeekFrom};

use super::Go;

/// Bytes between two questions whether to go on.
const PIECE: usize = 1 << 14;

/// Who is told, and what was answered.
pub(super) struct Watch<'a> {
    go: &'a mut Go<'a>,
    /// Bytes of the whole file.
    length: u64,
    /// Bytes that were taken, and how many of them were told. A file may be read from its end, or
    /// parts of it twice, so a place in it tells nothing.
    taken: u64,
    told: u64,
    stopped: bool,
}

impl<'a> Watch<'a> {
    pub(super) fn new(length: u64, go: &'a mut Go<'a>) -> Self {
        Self { go, length, taken: 0, told: 0, stopped: false }
    }

    /// Whether the reading was ended before the file did.
    pub(super) fn is_stopped(&self) -> bool {
        self.stopped
    }

    /// Tells how much was taken, if that is enough more than the last time.
    fn tell(&mut self) {
        if !self.stopped && self.taken >= self.told + PIECE as u64 {
            self.told = self.taken;
            self.stopped = !(self.go)((self.taken as f32 / self.length.max(1) as f32).min(1.0));
        }
    }
}

/// A file, watched while it is read.
pub(super) struct Watched<'w, 'a, R> {
    file: R,
    watch: &'w mut Watch<'a>,
}

impl<'w, 'a, R> Watched<'w, 'a, R> {
    /// A file under a watch.
    pub(super) fn new(file: R, watch: &'w mut Watch<'a>) -> Self {
        Self { file, watch }
    }
}

impl<R: Read> Read for Watched<'_, '_, R> {
    fn read(&mut self, bytes: &mut [u8]) -> Result<usize> {
        self.watch.tell();
        if self.watch.stopped {
            return Ok(0);
        }
        // No more at once, so that a large strip does not come without a question.
        let most = bytes.len().min(PIECE);
        let read = self.file.read(bytes.get_mut(..most).unwrap_or_default())?;
        self.watch.taken += read as u64;
        Ok(read)
    }
}

impl<R: BufRead> BufRead for Watched<'_, '_, R> {
    fn fill_buf(&mut self) -> Result<&[u8]> {
        self.watch.tell();
        if self.watch.stopped {
            return Ok(&[]);
        }
        self.file.fill_buf()
    }

    fn consume(&mut self, amount: usize) {
        if !self.watch.stopped {
            self.watch.taken += amount as u64;
            self.file.consume(amount);
        }
    }
}

impl<R: Seek> Seek for Watched<'_, '_, R> {
    fn seek(&mut self, to: SeekFrom) -> Result<u64> {
        self.file.seek(to)
    }
}

#[cfg(test)]
mod tests {
    use std::io::Cursor;

    use super::*;

    #[test]
    fn shares_grow_wherever_is_read() {
        let mut shares = Vec::new();
        let mut go = |share| {
            shares.push(share);
            true
        };
        let mut watch = Watch::new(10 * PIECE as u64, &mut go);
        let mut file = Watched::new(Cursor::new(vec![1u8; 10 * PIECE]), &mut watch);
        let mut all = Vec::new();
        file.seek(SeekFrom::Start(5 * PIECE as u64)).ok();
        file.read_exact(&mut vec![0; 2 * PIECE]).ok();
        file.seek(SeekFrom::Start(0)).ok();
        file.read_to_end(&mut all).ok();
        assert_eq!(all.len(), 10 * PIECE);
        assert!(shares.is_sorted() && shares.len() >= 8, "{shares:?}");
        assert!(shares.first().is_some_and(|first| (0.1..0.2).contains(first)), "{shares:?}");
        assert_eq!(shares.last(), Some(&1.0));
    }

    #[test]
    fn a_stopped_file_ends_and_stays_at_its_end() {
        let mut go = |share: f32| share < 0.35;
        let mut watch = Watch::new(10 * PIECE as u64, &mut go);
        let mut file = Watched::new(Cursor::new(vec![1u8; 10 * PIECE]), &mut watch);
        let mut read = Vec::new();
        file.read_to_end(&mut read).ok();
        let pieces = read.len() as f32 / PIECE as f32;
        assert!((3.5..=5.5).contains(&pieces), "{pieces}");
        assert_eq!(file.fill_buf().ok(), Some(&[][..]));
        assert!(watch.is_stopped());
    }
}
