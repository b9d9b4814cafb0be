//! What the reader of RON says, in words for somebody who edits a kit by hand.

/// What stands where the reader stopped, and what belongs there.
pub(super) fn found_and_expected(
    error: &ron::Error,
    text: &str,
    at: usize,
    path: Option<&str>,
) -> (String, String) {
    let rest = text.get(at..).unwrap_or("");
    let number = || format!("`{}`", word(text.get(word_start(text, at)..).unwrap_or("")));
    let in_wish_list = path.is_some_and(|path| path.starts_with("wish_list"));
    match error {
        // The reader stops inside a number that it takes for a whole one: behind `6000` of `6000.5`.
        ron::Error::ExpectedComma if rest.starts_with('.') => {
            (number(), "a whole number".to_owned())
        }
        ron::Error::IntegerOutOfBounds if number().starts_with("`-") => {
            (number(), "a whole number that is not negative".to_owned())
        }
        ron::Error::IntegerOutOfBounds => (number(), expected_words(error)),
        ron::Error::InvalidValueForType { found, .. } => (found.clone(), expected_words(error)),
        ron::Error::InvalidEscape(_) => {
            ("a backslash that starts nothing".to_owned(), expected_words(error))
        }
        ron::Error::NoSuchExtension(name) => (format!("`{name}`"), expected_words(error)),
        ron::Error::ExpectedIdentifier if in_wish_list => {
            (token(rest), "Named(\"...\") or Custom(...)".to_owned())
        }
        _ => (token(rest), expected_words(error)),
    }
}

/// The longest piece of a file that a message repeats, characters.
const LONGEST: usize = 40;

/// A text in quotation marks, cut off where it is too long for a message.
pub(super) fn quoted(text: &str) -> String {
    let shown: String = text.chars().take_while(|c| *c != '\n').take(LONGEST).collect();
    let cut = if shown.len() < text.len() { "..." } else { "" };
    format!("{:?}", shown + cut)
}

/// The next thing in a text, to show a person what stands there.
fn token(rest: &str) -> String {
    let rest = rest.trim_start();
    let Some(first) = rest.chars().next() else {
        return "the end of the file".to_owned();
    };
    if first == '"' {
        let inner: String = rest.chars().skip(1).take_while(|c| !"\"\n".contains(*c)).collect();
        return quoted(&inner);
    }
    if ends_word(first) {
        return format!("`{}`", first.escape_debug());
    }
    format!("`{}`", word(rest).escape_debug())
}

/// The name or number that a text starts with, as far as a message repeats it.
fn word(text: &str) -> &str {
    let end = text.char_indices().enumerate().find(|(n, (_, c))| *n == LONGEST || ends_word(*c));
    end.map_or(text, |(_, (byte, _))| text.get(..byte).unwrap_or(text))
}

/// Where the name or number starts that a byte lies in or behind.
pub(super) fn word_start(text: &str, at: usize) -> usize {
    let before = text.get(..at).unwrap_or("");
    let inside = before.chars().rev().take_while(|c| !ends_word(*c));
    before.len() - inside.map(char::len_utf8).sum::<usize>()
}

fn ends_word(c: char) -> bool {
    c.is_whitespace() || ",:()[]{}\"".contains(c)
}

/// What the reader of RON wanted, in words for somebody who edits a kit by hand.
fn expected_words(error: &ron::Error) -> String {
    use ron::Error::{
        Eof, ExceededRecursionLimit, ExpectedArray, ExpectedArrayEnd, ExpectedBoolean,
        ExpectedComma, ExpectedDifferentLength, ExpectedFloat, ExpectedIdentifier, ExpectedInteger,
        ExpectedMapColon, ExpectedNamedStructLike, ExpectedOption, ExpectedOptionEnd,
        ExpectedString, ExpectedStringEnd, ExpectedStructLike, ExpectedStructLikeEnd,
        IntegerOutOfBounds, InvalidEscape, InvalidValueForType, NoSuchExtension,
        TrailingCharacters, UnclosedBlockComment,
    };
    let words = match error {
        Eof => "the rest of the kit",
        ExceededRecursionLimit => "brackets that are nested less deeply",
        ExpectedArray => "a list in square brackets",
        ExpectedArrayEnd => "] at the end of the list",
        ExpectedBoolean => "true or false",
        ExpectedComma => "a comma before it",
        ExpectedDifferentLength { .. } => "two numbers in parentheses",
        ExpectedFloat => "a number",
        ExpectedIdentifier => "a word without quotation marks",
        ExpectedInteger => "a whole number",
        ExpectedMapColon => "a colon after the field's name",
        ExpectedNamedStructLike(name) if !name.is_empty() => return format!("{name}(...)"),
        ExpectedOption => "Some(...) or None",
        ExpectedString => "text in quotation marks",
        ExpectedStringEnd => "a quotation mark at the end of the text",
        ExpectedOptionEnd | ExpectedStructLikeEnd => "a closing parenthesis",
        ExpectedStructLike | ExpectedNamedStructLike(_) => "an opening parenthesis",
        InvalidEscape(_) => {
            "\\\\ for a backslash, \\\" for a quotation mark, or \\n for a new line"
        }
        NoSuchExtension(_) => "no extension of RON, or one that it has",
        IntegerOutOfBounds => "a smaller whole number",
        InvalidValueForType { .. } => "a plain number",
        TrailingCharacters => "nothing after the kit's last parenthesis",
        UnclosedBlockComment => "*/ at the end of the comment",
        other => return format!("RON ({other})"),
    };
    words.to_owned()
}
