//! The kit file: RON that says what a person said, read whole or refused with one clear message.
//!
//! A kit that comes out of here is valid: every number is in its range, every name leads somewhere,
//! the time zone exists and the catalogue knows every target that is wanted by name.

use std::fmt;
use std::fs::{self, File};
use std::io::{self, Read};
use std::path::Path;
use std::str::Utf8Error;

use fieldstop::kit::{FORMAT, Kit, KitFault, PartList, Wish};
use jiff::tz::TimeZoneDatabase;
use ron::ser::PrettyConfig;
use serde::de::{DeserializeSeed, IgnoredAny, MapAccess, Visitor};
use serde_path_to_error::Segment;
use thiserror::Error;

use super::locate::Places;
use super::replace_file::{self, WriteError, io_words, not_a_file};

/// The largest file that is read, bytes (16 MB): thousands of times any kit made by hand.
pub const LARGEST: u64 = 16_000_000;

/// First lines of every kit file written.
const HEADER: &str = "\
// A Fieldstop kit, format 1.
// Lengths in millimetres, masses in kilograms, angles in degrees unless the name says otherwise.
";

/// Why a kit file was refused: which file, where in it, and the fact.
#[derive(Debug)]
pub struct KitFileError {
    /// The file, as it was named.
    pub file: String,
    /// Line and column, where the fault has one.
    pub place: Option<TextPlace>,
    /// Path of the field in words, such as `otas, entry 1 "60 mm doublet", aperture_mm`; may be empty.
    pub field: String,
    /// What was found and what was expected.
    pub fault: Fault,
}

/// A place in a text, as editors count: from 1, columns in characters.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub struct TextPlace {
    /// From 1.
    pub line: usize,
    /// From 1.
    pub column: usize,
}

impl TextPlace {
    fn at_byte(text: &str, byte: usize) -> Self {
        let before = text.get(..byte).unwrap_or(text);
        let line_start = before.rfind('\n').map_or(0, |newline| newline + 1);
        let column = before.get(line_start..).unwrap_or("").chars().count() + 1;
        Self { line: before.matches('\n').count() + 1, column }
    }
}

/// The fact that makes a kit file unusable.
#[derive(Debug, Error)]
pub enum Fault {
    /// It could not be opened or read.
    #[error("it cannot be read: {}", io_words(.0))]
    Unreadable(#[source] io::Error),
    /// A folder, a device, a pipe.
    #[error("found {0}; expected a kit file")]
    NotAFile(&'static str),
    /// Larger than [`LARGEST`].
    #[error("the file is larger than 16 MB; expected a kit file, which has some kilobytes")]
    TooLarge,
    /// Not text.
    #[error("found bytes that are not UTF-8; expected a text file")]
    NotUtf8(#[source] Utf8Error),
    /// Written by a later version of the program.
    #[error(
        "format is {found}; expected {FORMAT}: the kit was written by a later version of Fieldstop"
    )]
    Newer {
        /// The file's format.
        found: u64,
    },
    /// Not RON, or another kind of value than belongs there.
    #[error("found {found}; expected {expected}")]
    Syntax {
        /// The text at that place.
        found: String,
        /// What belongs there.
        expected: String,
        /// As the reader of RON put it.
        source: ron::Error,
    },
    /// A number outside its range; the words come from the range itself.
    #[error("{0}")]
    OutOfRange(String),
    /// A name that no field or class has.
    #[error("found {found}; expected {}", one_of(expected))]
    UnknownName {
        /// The name found.
        found: String,
        /// The names that belong there.
        expected: &'static [&'static str],
    },
    /// A field that has to be there.
    #[error("the field {field} is missing; expected every field that is not optional")]
    Missing {
        /// Its name.
        field: &'static str,
    },
    /// A field given twice.
    #[error("the field {field} is given twice; expected it once")]
    Twice {
        /// Its name.
        field: &'static str,
    },
    /// Parts that do not go together.
    #[error(transparent)]
    Kit(#[from] KitFault),
    /// No such time zone.
    #[error("found {name:?}; expected the IANA name of a time zone, such as \"Europe/London\"")]
    TimeZone {
        /// As found.
        name: String,
    },
    /// A wanted target that the catalogue does not know.
    #[error(
        "found {name:?}, which the catalogue does not hold; expected a designation such as \"M 31\", or Custom(...) with a place of your own"
    )]
    Target {
        /// As found.
        name: String,
    },
}

impl fmt::Display for KitFileError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.file)?;
        if let Some(TextPlace { line, column }) = self.place {
            write!(f, ", line {line}, column {column}")?;
        }
        if !self.field.is_empty() {
            write!(f, ", {}", self.field)?;
        }
        write!(f, ": {}", self.fault)
    }
}

impl std::error::Error for KitFileError {
    fn source(&self) -> Option<&(dyn std::error::Error + 'static)> {
        Some(&self.fault)
    }
}

fn one_of(names: &[&str]) -> String {
    match names {
        [] => "no name here".to_owned(),
        [only] => (*only).to_owned(),
        [first @ .., last] => format!("{} or {last}", first.join(", ")),
    }
}

/// Whether the catalogue has an object under a name.
pub type KnowsTarget<'a> = &'a dyn Fn(&str) -> bool;

/// The demo kit: an invented club at an invented site.
///
/// # Errors
/// None while the tests pass: the kit is part of the program, and read like any other.
pub fn demo_kit(knows_target: KnowsTarget<'_>) -> Result<Kit, KitFileError> {
    parse(include_bytes!("../../../../assets/demo-kit.ron"), "demo-kit.ron", knows_target)
}

/// Reads a kit file.
///
/// # Errors
/// [`KitFileError`]; nothing of a faulty file is kept.
pub fn read(path: &Path, knows_target: KnowsTarget<'_>) -> Result<Kit, KitFileError> {
    let file = path.display().to_string();
    match bytes_of(path) {
        Ok(bytes) => parse(&bytes, &file, knows_target),
        Err(fault) => Err(KitFileError { file, place: None, field: String::new(), fault }),
    }
}

fn bytes_of(path: &Path) -> Result<Vec<u8>, Fault> {
    // Asked before opening, since opening a pipe waits for somebody to write into it.
    let metadata = fs::metadata(path).map_err(Fault::Unreadable)?;
    if let Some(found) = not_a_file(&metadata) {
        return Err(Fault::NotAFile(found));
    }
    let mut bytes = Vec::new();
    let file = File::open(path).map_err(Fault::Unreadable)?;
    // One byte more than allowed, so that a file that grows meanwhile is caught as well.
    file.take(LARGEST + 1).read_to_end(&mut bytes).map_err(Fault::Unreadable)?;
    Ok(bytes)
}

/// Reads a kit from the bytes of a file.
///
/// # Errors
/// [`KitFileError`], which calls the file `file`.
pub fn parse(bytes: &[u8], file: &str, knows_target: KnowsTarget<'_>) -> Result<Kit, KitFileError> {
    let bytes = bytes.strip_prefix("\u{feff}".as_bytes()).unwrap_or(bytes);
    let refused = |fault, byte: Option<usize>, field, text: &str| KitFileError {
        file: file.to_owned(),
        place: byte.map(|byte| TextPlace::at_byte(text, byte)),
        field,
        fault,
    };
    if bytes.len() as u64 > LARGEST {
        return Err(refused(Fault::TooLarge, None, String::new(), ""));
    }
    let text = match str::from_utf8(bytes) {
        Ok(text) => text,
        Err(error) => {
            let good = bytes.get(..error.valid_up_to()).unwrap_or_default();
            let good = String::from_utf8_lossy(good);
            return Err(refused(Fault::NotUtf8(error), Some(good.len()), String::new(), &good));
        }
    };
    let found = kit_of(text).and_then(|kit| {
        check(&kit, knows_target).map_err(|(fault, path)| Refusal::of(fault, path))?;
        Ok(kit)
    });
    found.map_err(|refusal| {
        if let Some((found, byte)) = newer_format(text) {
            return refused(Fault::Newer { found }, byte, String::new(), text);
        }
        let places = Places::of(text);
        let byte = refusal.path.as_ref().and_then(|path| places.start(path)).or(refusal.byte);
        let field = refusal.field.map_or_else(String::new, |field| field.words(&places));
        refused(refusal.fault, byte, field, text)
    })
}

/// A fault, with what is known of its place.
struct Refusal {
    fault: Fault,
    /// The value that it is about.
    path: Option<String>,
    /// Where the reader stood; used if the value's place is not known.
    byte: Option<usize>,
    /// The field to name, where the fault does not name it itself.
    field: Option<FieldPath>,
}

impl Refusal {
    fn of(fault: Fault, path: Option<String>) -> Self {
        // A fault between several parts says in its own words which they are.
        let names_itself = matches!(fault, Fault::Kit(_));
        let field = path.as_deref().filter(|_| !names_itself).map(FieldPath::from_text);
        Self { fault, path, byte: None, field }
    }
}

/// The way from the kit to a field: names, and places in lists counted from 0.
struct FieldPath(Vec<Step>);

enum Step {
    Field(String),
    Entry(usize),
}

impl FieldPath {
    fn from_serde(path: &serde_path_to_error::Path) -> Self {
        Self(
            path.iter()
                .filter_map(|segment| match segment {
                    Segment::Seq { index } => Some(Step::Entry(*index)),
                    Segment::Map { key } => Some(Step::Field(key.clone())),
                    // `Custom` and `Named` are words in front of a value, not fields.
                    Segment::Enum { .. } | Segment::Unknown => None,
                })
                .collect(),
        )
    }

    fn from_text(path: &str) -> Self {
        let steps = path.split(['.', '[']).filter(|step| !step.is_empty());
        Self(
            steps
                .map(|step| match step.strip_suffix(']').and_then(|index| index.parse().ok()) {
                    Some(index) => Step::Entry(index),
                    None => Step::Field(step.to_owned()),
                })
                .collect(),
        )
    }

    /// As [`Places`] calls it.
    fn text(&self) -> String {
        let mut text = String::new();
        for step in &self.0 {
            match step {
                Step::Entry(index) => text += &format!("[{index}]"),
                Step::Field(name) if text.is_empty() => text += name,
                Step::Field(name) => text += &format!(".{name}"),
            }
        }
        text
    }

    /// For a person: entries counted from 1, with their names where they have one.
    fn words(&self, places: &Places<'_>) -> String {
        let mut words = Vec::new();
        let mut so_far = Self(Vec::new());
        for step in &self.0 {
            match step {
                Step::Field(name) => {
                    words.push(name.clone());
                    so_far.0.push(Step::Field(name.clone()));
                }
                Step::Entry(index) => {
                    so_far.0.push(Step::Entry(*index));
                    let name = places.string(&format!("{}.name", so_far.text()));
                    let name = name.map_or_else(String::new, |name| format!(" {name:?}"));
                    words.push(format!("entry {}{name}", index + 1));
                }
            }
        }
        words.join(", ")
    }
}

/// Reads the kit's fields, each in its range.
fn kit_of(text: &str) -> Result<Kit, Refusal> {
    let mut reader =
        ron::Deserializer::from_str(text).map_err(|error| refusal(error, None, text, ""))?;
    match serde_path_to_error::deserialize(&mut reader) {
        Ok(kit) => match reader.end() {
            Ok(()) => Ok(kit),
            Err(error) => Err(refusal(reader.span_error(error), None, text, reader.remainder())),
        },
        Err(error) => {
            let path = FieldPath::from_serde(error.path());
            let error = reader.span_error(error.into_inner());
            Err(refusal(error, Some(path), text, reader.remainder()))
        }
    }
}

/// Turns what the reader of RON says into a fact about a kit.
fn refusal(
    error: ron::error::SpannedError,
    field: Option<FieldPath>,
    text: &str,
    remainder: &str,
) -> Refusal {
    let start = byte_of(text, error.span.start);
    let end = byte_of(text, error.span.end);
    let path = field.as_ref().map(FieldPath::text);
    let (fault, path, byte) = match error.code {
        ron::Error::Message(words) => (Fault::OutOfRange(words), path, start),
        ron::Error::MissingStructField { field, .. } => (Fault::Missing { field }, path, end),
        ron::Error::DuplicateStructField { field, .. } => (Fault::Twice { field }, None, start),
        ron::Error::NoSuchStructField { expected, found, .. }
        | ron::Error::NoSuchEnumVariant { expected, found, .. } => {
            (Fault::UnknownName { found, expected }, None, start)
        }
        ron::Error::ExpectedDifferentStructName { expected, found } => {
            let (found, expected_words) = (found, format!("{expected}(...)"));
            let source = ron::Error::ExpectedStructName(expected.to_owned());
            (Fault::Syntax { found, expected: expected_words, source }, None, start)
        }
        source => {
            let expected = expected_words(&source);
            let found = match &source {
                ron::Error::InvalidValueForType { found, .. } => found.clone(),
                ron::Error::IntegerOutOfBounds => value_at(text, path.as_deref()),
                _ => token(remainder),
            };
            // A number is known by its path; other faults stand where the reader stopped.
            let path = path.filter(|_| matches!(source, ron::Error::IntegerOutOfBounds));
            (Fault::Syntax { found, expected, source }, path, end)
        }
    };
    Refusal { fault, path, byte, field }
}

fn value_at(text: &str, path: Option<&str>) -> String {
    let start = path.and_then(|path| Places::of(text).start(path));
    start.and_then(|start| text.get(start..)).map_or_else(|| "a number".to_owned(), token)
}

/// The next thing in a text, to show a person what stands there.
fn token(rest: &str) -> String {
    const LONGEST: usize = 24;
    let rest = rest.trim_start();
    let Some(first) = rest.chars().next() else {
        return "the end of the file".to_owned();
    };
    if first == '"' {
        let inner: String = rest.chars().skip(1).take_while(|c| !"\"\n".contains(*c)).collect();
        let shown: String = inner.chars().take(LONGEST).collect();
        let cut = if shown.len() < inner.len() { "..." } else { "" };
        return format!("{:?}", shown + cut);
    }
    let end = |c: char| c.is_whitespace() || ",:()[]{}\"".contains(c);
    if end(first) {
        return format!("`{}`", first.escape_debug());
    }
    let word: String = rest.chars().take_while(|c| !end(*c)).take(LONGEST).collect();
    format!("`{}`", word.escape_debug())
}

/// What the reader of RON wanted, in words for somebody who edits a kit by hand.
fn expected_words(error: &ron::Error) -> String {
    use ron::Error::{
        Eof, ExceededRecursionLimit, ExpectedArray, ExpectedArrayEnd, ExpectedBoolean,
        ExpectedComma, ExpectedDifferentLength, ExpectedFloat, ExpectedIdentifier, ExpectedInteger,
        ExpectedMapColon, ExpectedNamedStructLike, ExpectedOption, ExpectedOptionEnd,
        ExpectedString, ExpectedStringEnd, ExpectedStructLike, ExpectedStructLikeEnd,
        IntegerOutOfBounds, InvalidValueForType, TrailingCharacters, UnclosedBlockComment,
    };
    let words = match error {
        Eof => "more: the file stops in the middle of the kit",
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
        IntegerOutOfBounds => "a whole number from 0 to 4,294,967,295",
        InvalidValueForType { .. } => "a plain number",
        TrailingCharacters => "nothing after the kit's last parenthesis",
        UnclosedBlockComment => "*/ at the end of the comment",
        other => return format!("RON ({other})"),
    };
    words.to_owned()
}

fn byte_of(text: &str, position: ron::error::Position) -> Option<usize> {
    let mut line_start = 0;
    for _ in 1..position.line {
        line_start += text.get(line_start..)?.find('\n')? + 1;
    }
    let line = text.get(line_start..)?;
    let column = line.char_indices().nth(position.col.saturating_sub(1));
    Some(line_start + column.map_or(line.len(), |(byte, _)| byte))
}

/// The format of a kit of a later version, and where it says so, whatever else the kit holds.
fn newer_format(text: &str) -> Option<(u64, Option<usize>)> {
    let mut found = None;
    if let Ok(mut reader) = ron::Deserializer::from_str(text) {
        // A later version may have anything behind the format, so how that reads says nothing.
        let _rest = FormatProbe(&mut found).deserialize(&mut reader);
    }
    let found = found.filter(|format| *format > u64::from(FORMAT))?;
    Some((found, Places::of(text).start("format")))
}

/// Reads a kit's `format` and skips the rest.
struct FormatProbe<'f>(&'f mut Option<u64>);

impl<'de> DeserializeSeed<'de> for FormatProbe<'_> {
    type Value = ();

    fn deserialize<D: serde::Deserializer<'de>>(self, reader: D) -> Result<(), D::Error> {
        reader.deserialize_struct("Kit", &["format"], self)
    }
}

impl<'de> Visitor<'de> for FormatProbe<'_> {
    type Value = ();

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a kit")
    }

    fn visit_map<M: MapAccess<'de>>(self, mut fields: M) -> Result<(), M::Error> {
        while let Some(field) = fields.next_key::<FieldName>()? {
            if field.0 == "format" {
                *self.0 = Some(fields.next_value()?);
            } else {
                fields.next_value::<IgnoredAny>()?;
            }
        }
        Ok(())
    }
}

/// Any field's name.
struct FieldName(String);

impl<'de> serde::Deserialize<'de> for FieldName {
    fn deserialize<D: serde::Deserializer<'de>>(reader: D) -> Result<Self, D::Error> {
        struct AnyName;
        impl Visitor<'_> for AnyName {
            type Value = FieldName;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a field's name")
            }
            fn visit_str<E: serde::de::Error>(self, name: &str) -> Result<FieldName, E> {
                Ok(FieldName(name.to_owned()))
            }
        }
        reader.deserialize_identifier(AnyName)
    }
}

/// Checks what spans several fields, or needs the world's time zones or the catalogue; with a
/// fault comes the path of the value that it is about.
fn check(kit: &Kit, knows_target: KnowsTarget<'_>) -> Result<(), (Fault, Option<String>)> {
    kit.check().map_err(|fault| {
        let path = path_of(kit, &fault);
        (Fault::Kit(fault), path)
    })?;
    let zone = &kit.site.time_zone;
    // jiff has a zone for "unknown", which no place is in.
    if !TimeZoneDatabase::bundled().get(zone).is_ok_and(|zone| !zone.is_unknown()) {
        let fault = Fault::TimeZone { name: zone.clone() };
        return Err((fault, Some("site.time_zone".to_owned())));
    }
    for (index, wish) in kit.wish_list.iter().enumerate() {
        if let Wish::Named(name) = wish
            && !knows_target(name)
        {
            let fault = Fault::Target { name: name.clone() };
            return Err((fault, Some(format!("wish_list[{index}]"))));
        }
    }
    Ok(())
}

/// The value that a fault between several fields is about.
fn path_of(kit: &Kit, fault: &KitFault) -> Option<String> {
    let named = |list: PartList, wanted: &str, which: usize| {
        let names = kit.names(list).into_iter().enumerate();
        names.filter(|(_, name)| *name == wanted).map(|(index, _)| index).nth(which)
    };
    let name_of = |list: PartList, index: usize| match (list, kit.wish_list.get(index)) {
        (PartList::WishList, Some(Wish::Named(_))) => format!("wish_list[{index}]"),
        _ => format!("{list}[{index}].name"),
    };
    match fault {
        KitFault::Format { .. } => Some("format".to_owned()),
        KitFault::Duplicate { list, name } => {
            named(*list, name, 1).map(|index| name_of(*list, index))
        }
        KitFault::Unnamed { list } => {
            let index = kit.names(*list).iter().position(|name| name.trim().is_empty())?;
            Some(name_of(*list, index))
        }
        KitFault::Dangling { rig, list, .. } => {
            let field = match list {
                PartList::Otas => "ota",
                PartList::Correctors => "corrector",
                PartList::Cameras => "camera",
                PartList::Mounts => "mount",
                PartList::Rigs | PartList::WishList => return None,
            };
            named(PartList::Rigs, rig, 0).map(|index| format!("rigs[{index}].{field}"))
        }
        KitFault::Obstruction { ota, .. } => {
            named(PartList::Otas, ota, 0).map(|index| format!("otas[{index}].obstruction_mm"))
        }
        KitFault::Axes { target, .. } => named(PartList::WishList, target, 0)
            .map(|index| format!("wish_list[{index}].minor_arcmin")),
        KitFault::Horizon { place, .. } => Some(format!("site.horizon[{}]", place - 1)),
    }
}

/// A kit as the text of a file.
///
/// # Errors
/// None for a kit of this program; RON's own if it could not put the kit into words.
pub fn to_text(kit: &Kit) -> Result<String, ron::Error> {
    let layout = PrettyConfig::new().new_line("\n").struct_names(true);
    Ok(format!("{HEADER}{}\n", ron::ser::to_string_pretty(kit, layout)?))
}

/// Why a kit was not saved. The file holds what it held before.
#[derive(Debug, Error)]
pub enum SaveError {
    /// The file could not be replaced.
    #[error(transparent)]
    Write(#[from] WriteError),
    /// RON has no words for the kit.
    #[error("the kit cannot be written as RON: {0}")]
    Text(#[from] ron::Error),
    /// The text would not be read back as the same kit.
    #[error("the kit would not open again, so it was not saved: {0}")]
    Unreadable(Box<KitFileError>),
    /// The text would be read back as another kit.
    #[error("the kit would not open again as it is, so it was not saved")]
    Changed,
}

/// Saves a kit: the old file stays until the new one is whole on disk and has been read back.
///
/// # Errors
/// [`SaveError`], with the old file untouched.
pub fn write(path: &Path, kit: &Kit) -> Result<(), SaveError> {
    let text = to_text(kit)?;
    let file = path.display().to_string();
    // Its targets were found in the catalogue when they came into the kit.
    match parse(text.as_bytes(), &file, &|_| true) {
        Ok(same) if same == *kit => Ok(replace_file::replace(path, text.as_bytes())?),
        Ok(_) => Err(SaveError::Changed),
        Err(error) => Err(SaveError::Unreadable(Box::new(error))),
    }
}
