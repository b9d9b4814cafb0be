//! Where each value of a kit's text stands, so that a message can name its line.
//!
//! A walk over the brackets, without meaning: it gives each value the path that the reader of the
//! kit would give it, such as `otas[0].aperture_mm`. It stops at the first thing it does not know;
//! what came before keeps its place, and what comes after has none, which is better than a wrong one.

use std::collections::HashMap;
use std::ops::Range;

/// No part of a kit lies deeper.
const DEEPEST: usize = 16;

/// No kit made by hand has more values; a file made to fill the memory ends the walk here.
const MOST: usize = 100_000;

/// The places of a text's values, by path.
pub(super) struct Places<'t> {
    text: &'t str,
    spans: HashMap<String, Range<usize>>,
}

impl<'t> Places<'t> {
    /// Walks a kit's text, which need not be whole.
    pub(super) fn of(text: &'t str) -> Self {
        let mut walk = Walk { text, at: 0, spans: HashMap::new() };
        // What the walk found until it stopped is all that is wanted of it.
        let _whole = walk.attributes().and_then(|()| walk.value("", 0));
        Self { text, spans: walk.spans }
    }

    /// Byte at which a value starts.
    pub(super) fn start(&self, path: &str) -> Option<usize> {
        self.spans.get(path).map(|span| span.start)
    }

    /// The value that starts at a byte.
    pub(super) fn path_at(&self, byte: usize) -> Option<&str> {
        let mut paths = self.spans.iter().filter(|(_, span)| span.start == byte);
        paths.next().map(|(path, _)| path.as_str())
    }

    /// A value that is a text.
    pub(super) fn string(&self, path: &str) -> Option<String> {
        let span = self.spans.get(path)?.clone();
        ron::from_str(self.text.get(span)?).ok()
    }
}

struct Walk<'t> {
    text: &'t str,
    at: usize,
    spans: HashMap<String, Range<usize>>,
}

impl Walk<'_> {
    fn rest(&self) -> &str {
        self.text.get(self.at..).unwrap_or("")
    }

    fn next_is(&self, wanted: char) -> bool {
        self.rest().starts_with(wanted)
    }

    /// Steps over one character if it is the wanted one.
    fn take(&mut self, wanted: char) -> Option<()> {
        self.next_is(wanted).then(|| self.at += wanted.len_utf8())
    }

    /// Steps over everything up to and including a mark.
    fn take_past(&mut self, mark: &str) -> Option<()> {
        self.at += self.rest().find(mark)? + mark.len();
        Some(())
    }

    /// Steps over white space and comments.
    fn space(&mut self) -> Option<()> {
        loop {
            let rest = self.rest();
            let blank = rest.len() - rest.trim_start().len();
            self.at += blank;
            if self.rest().starts_with("//") {
                let line = self.rest().find('\n').unwrap_or(self.rest().len());
                self.at += line;
            } else if self.rest().starts_with("/*") {
                self.block_comment()?;
            } else {
                return Some(());
            }
        }
    }

    /// Lines such as `#![enable(implicit_some)]` at the head of a file.
    fn attributes(&mut self) -> Option<()> {
        self.space()?;
        while self.rest().starts_with("#![") {
            self.take_past("]")?;
            self.space()?;
        }
        Some(())
    }

    /// Block comments nest.
    fn block_comment(&mut self) -> Option<()> {
        let mut depth = 0_usize;
        loop {
            self.at += self.rest().find(['/', '*'])?;
            if self.rest().starts_with("/*") {
                depth += 1;
                self.at += 2;
            } else if self.rest().starts_with("*/") {
                // OK because the first thing found is the comment's own opening.
                depth -= 1;
                self.at += 2;
            } else {
                self.at += 1;
            }
            if depth == 0 {
                return Some(());
            }
        }
    }

    /// Walks one value and writes down its place; of a wrapped one, the place of the inner value.
    fn value(&mut self, path: &str, depth: usize) -> Option<()> {
        if depth > DEEPEST || self.spans.len() > MOST {
            return None;
        }
        self.space()?;
        let start = self.at;
        let _earlier = self.spans.insert(path.to_owned(), start..start);
        match self.rest().chars().next()? {
            '"' => self.string()?,
            'r' if self.raw_string_hashes().is_some() => self.raw_string()?,
            '[' => self.items('[', ']', Some(path), path, depth)?,
            '(' => self.parenthesis(false, path, depth)?,
            _ => {
                self.word()?;
                self.space()?;
                if self.next_is('(') {
                    return self.parenthesis(true, path, depth);
                }
                // Space behind a word is not part of it.
                let word = self.text.get(start..self.at)?.split_whitespace().next()?;
                let _earlier = self.spans.insert(path.to_owned(), start..start + word.len());
                return Some(());
            }
        }
        let _earlier = self.spans.insert(path.to_owned(), start..self.at);
        Some(())
    }

    /// A number or a name.
    fn word(&mut self) -> Option<()> {
        let end = |c: char| c.is_whitespace() || ",:()[]{}\"'/".contains(c);
        let length = self.rest().find(end).unwrap_or(self.rest().len());
        self.at += length;
        (length > 0).then_some(())
    }

    fn string(&mut self) -> Option<()> {
        self.take('"')?;
        loop {
            self.at += self.rest().find(['"', '\\'])?;
            if self.take('"').is_some() {
                return Some(());
            }
            self.take('\\')?;
            self.at += self.rest().chars().next()?.len_utf8();
        }
    }

    fn raw_string_hashes(&self) -> Option<usize> {
        let behind = self.rest().strip_prefix('r')?;
        let opened = behind.trim_start_matches('#');
        opened.starts_with('"').then_some(behind.len() - opened.len())
    }

    fn raw_string(&mut self) -> Option<()> {
        let hashes = self.raw_string_hashes()?;
        self.at += 1 + hashes + 1;
        self.take_past(&format!("\"{}", "#".repeat(hashes)))
    }

    /// Fields with names, or values in a row. Behind a word (`Some`, `Named`) the only value is the
    /// word's own and keeps its path.
    fn parenthesis(&mut self, behind_word: bool, path: &str, depth: usize) -> Option<()> {
        let before = self.at;
        self.take('(')?;
        self.space()?;
        let word = self.word();
        self.space()?;
        let named = word.is_some() && self.next_is(':');
        self.at = before;
        if named {
            self.fields(path, depth)
        } else {
            self.items('(', ')', (!behind_word).then_some(path), path, depth)
        }
    }

    fn fields(&mut self, path: &str, depth: usize) -> Option<()> {
        self.take('(')?;
        loop {
            self.space()?;
            if self.take(')').is_some() {
                return Some(());
            }
            let start = self.at;
            self.word()?;
            let name = self.text.get(start..self.at)?;
            let dot = if path.is_empty() { "" } else { "." };
            let inner = format!("{path}{dot}{name}");
            self.space()?;
            self.take(':')?;
            self.value(&inner, depth + 1)?;
            self.space()?;
            if self.take(',').is_none() && !self.next_is(')') {
                return None;
            }
        }
    }

    fn items(
        &mut self,
        open: char,
        close: char,
        numbered: Option<&str>,
        path: &str,
        depth: usize,
    ) -> Option<()> {
        self.take(open)?;
        for index in 0.. {
            self.space()?;
            if self.take(close).is_some() {
                break;
            }
            let inner = numbered.map_or_else(|| path.to_owned(), |list| format!("{list}[{index}]"));
            self.value(&inner, depth + 1)?;
            self.space()?;
            if self.take(',').is_none() && !self.next_is(close) {
                return None;
            }
        }
        Some(())
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test fails by panicking")]
    use super::Places;

    const TEXT: &str = "#![enable(implicit_some)]\n// a kit\nKit(\n  a: 1, /* b: /* 2 */ */ b: Some(2.5),\n  \
        list: [X(name: \"one \\\" [\"), Named(r#\"two \"\"#), (name: c, n: (3, 4))],\n  end: Last)";

    fn at(path: &str) -> &'static str {
        &TEXT[Places::of(TEXT).start(path).unwrap()..]
    }

    #[test]
    fn every_value_has_its_place() {
        assert!(at("a").starts_with("1,"));
        assert!(at("b").starts_with("2.5)"));
        assert!(at("list[0].name").starts_with("\"one"));
        assert!(at("list[1]").starts_with("r#\"two"));
        assert!(at("list[2].n[1]").starts_with("4)"));
        assert!(at("end").starts_with("Last)"));
    }

    #[test]
    fn texts_are_read_with_their_escapes() {
        assert_eq!(Places::of(TEXT).string("list[0].name").unwrap(), "one \" [");
        assert_eq!(Places::of(TEXT).string("list[1]").unwrap(), "two \"");
        assert_eq!(Places::of(TEXT).string("a"), None);
    }

    #[test]
    fn a_broken_text_keeps_the_places_before_the_break() {
        let places = Places::of("Kit(a: 1, b: [(name: \"x\", c 2), (name: \"y\")]");
        assert_eq!(places.string("b[0].name").unwrap(), "x");
        assert_eq!(places.start("b[1].name"), None);
    }
}
