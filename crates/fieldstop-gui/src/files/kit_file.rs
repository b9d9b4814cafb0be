//! The kit file: RON that says what a person said, read whole or refused with one clear message.
//!
//! A kit that comes out of here is valid: every number is in its range, every name leads somewhere,
//! the time zone exists and the catalogue knows every target that is wanted by name.

use std::fs::{self, File};
use std::io::Read;
use std::path::Path;

use fieldstop::kit::{Kit, KitFault, PartList, Wish};
use jiff::tz::TimeZoneDatabase;
use ron::ser::PrettyConfig;
use thiserror::Error;

use super::field_path::FieldPath;
use super::fingerprint::Fingerprint;
use super::format_probe::newer_format;
use super::kit_error::{Fault, KitFileError, TextPlace};
use super::locate::Places;
use super::replace_file::{self, WriteError, not_a_file};
use super::ron_words::{found_and_expected, word_start};

/// The largest file that is read, bytes (16 MB): thousands of times any kit made by hand.
pub const LARGEST: u64 = 16_000_000;

/// First lines of every kit file written.
const HEADER: &str = "\
// A Fieldstop kit, format 1.
// Lengths in millimetres, masses in kilograms, angles in degrees unless the name says otherwise.
";

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
    open(path, knows_target).map(|(kit, _)| kit)
}

/// Reads a kit file, and marks what it held.
///
/// # Errors
/// As [`read`].
pub fn open(
    path: &Path,
    knows_target: KnowsTarget<'_>,
) -> Result<(Kit, Fingerprint), KitFileError> {
    let file = path.display().to_string();
    match bytes_of(path) {
        Ok(bytes) => Ok((parse(&bytes, &file, knows_target)?, Fingerprint::of(&bytes))),
        Err(fault) => {
            Err(KitFileError { file, place: None, field: String::new(), fault: Box::new(fault) })
        }
    }
}

/// The mark of what a kit file holds now; none if it cannot be read.
pub fn fingerprint(path: &Path) -> Option<Fingerprint> {
    bytes_of(path).ok().map(|bytes| Fingerprint::of(&bytes))
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
    let refused = |fault: Box<Fault>, byte: Option<usize>, field, text: &str| KitFileError {
        file: file.to_owned(),
        place: byte.map(|byte| TextPlace::at_byte(text, byte)),
        field,
        fault,
    };
    if bytes.len() as u64 > LARGEST {
        return Err(refused(Box::new(Fault::TooLarge), None, String::new(), ""));
    }
    let text = match str::from_utf8(bytes) {
        Ok(text) => text,
        Err(error) => {
            let good = bytes.get(..error.valid_up_to()).unwrap_or_default();
            let good = String::from_utf8_lossy(good);
            return Err(refused(
                Box::new(Fault::NotUtf8(error)),
                Some(good.len()),
                String::new(),
                &good,
            ));
        }
    };
    let found = kit_of(text).and_then(|kit| {
        check(&kit, knows_target).map_err(|(fault, path)| Refusal::of(fault, path))?;
        Ok(kit)
    });
    found.map_err(|refusal| {
        if let Some((found, byte)) = newer_format(text) {
            return refused(Box::new(Fault::Newer { found }), byte, String::new(), text);
        }
        let places = Places::of(text);
        let byte = refusal.path.as_ref().and_then(|path| places.start(path)).or(refusal.byte);
        // The reader does not say which field it was in when it stopped behind a value.
        let at_byte = byte.and_then(|byte| places.path_at(byte)).map(FieldPath::from_text);
        let field = at_byte.filter(|_| !refusal.names_itself).or(refusal.field);
        let field = field.map_or_else(String::new, |field| field.words(&places));
        refused(refusal.fault, byte, field, text)
    })
}

/// A fault, with what is known of its place.
struct Refusal {
    fault: Box<Fault>,
    /// The value that it is about.
    path: Option<String>,
    /// Where the reader stood; used if the value's place is not known.
    byte: Option<usize>,
    /// The field, as far as the reader knows.
    field: Option<FieldPath>,
    /// A fault between several parts says in its own words which they are.
    names_itself: bool,
}

impl Refusal {
    fn of(fault: Box<Fault>, path: Option<String>) -> Self {
        let names_itself = matches!(*fault, Fault::Kit(_));
        let field = path.as_deref().filter(|_| !names_itself).map(FieldPath::from_text);
        Self { fault, path, byte: None, field, names_itself }
    }
}

/// Reads the kit's fields, each in its range.
fn kit_of(text: &str) -> Result<Kit, Refusal> {
    let mut reader =
        ron::Deserializer::from_str(text).map_err(|error| refusal(error, None, text))?;
    match serde_path_to_error::deserialize(&mut reader) {
        Ok(kit) => match reader.end() {
            Ok(()) => Ok(kit),
            Err(error) => Err(refusal(reader.span_error(error), None, text)),
        },
        Err(error) => {
            let path = FieldPath::from_serde(error.path());
            let error = reader.span_error(error.into_inner());
            Err(refusal(error, Some(path), text))
        }
    }
}

/// Turns what the reader of RON says into a fact about a kit.
fn refusal(error: ron::error::SpannedError, field: Option<FieldPath>, text: &str) -> Refusal {
    let start = byte_of(text, error.span.start);
    let end = byte_of(text, error.span.end);
    let path = field.as_ref().map(FieldPath::text);
    let (fault, path, byte) = match error.code {
        ron::Error::Message(words) => (Fault::OutOfRange(words), path, start),
        ron::Error::MissingStructField { field, .. } => (Fault::Missing { field }, path, end),
        ron::Error::DuplicateStructField { field, .. } => (Fault::Twice { field }, None, start),
        ron::Error::NoSuchStructField { expected, found, .. }
        | ron::Error::NoSuchEnumVariant { expected, found, .. } => {
            (Fault::UnknownName { found: format!("`{found}`"), expected }, None, start)
        }
        ron::Error::ExpectedDifferentStructName { expected, found } => {
            let (found, expected_words) = (format!("`{found}`"), format!("{expected}(...)"));
            let source = ron::Error::ExpectedStructName(expected.to_owned());
            (Fault::Syntax { found, expected: expected_words, source }, None, start)
        }
        source => {
            let at = end.unwrap_or(text.len());
            let (found, expected) = found_and_expected(&source, text, at, path.as_deref());
            let in_number = match source {
                ron::Error::IntegerOutOfBounds => true,
                ron::Error::ExpectedComma => text.get(at..).is_some_and(|t| t.starts_with('.')),
                _ => false,
            };
            let byte = match source {
                _ if in_number => Some(word_start(text, at)),
                ron::Error::NoSuchExtension(_) => start,
                _ => end,
            };
            // A text with a bad escape is known by its path.
            let path = path.filter(|_| matches!(source, ron::Error::InvalidEscape(_)));
            (Fault::Syntax { found, expected, source }, path, byte)
        }
    };
    Refusal { fault: Box::new(fault), path, byte, field, names_itself: false }
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

/// Whether there is a time zone of that IANA name.
pub fn is_known_zone(name: &str) -> bool {
    // jiff has a zone for "unknown", which no place is in.
    TimeZoneDatabase::bundled().get(name).is_ok_and(|zone| !zone.is_unknown())
}

/// Checks what spans several fields, or needs the world's time zones or the catalogue; with a
/// fault comes the path of the value that it is about.
fn check(kit: &Kit, knows_target: KnowsTarget<'_>) -> Result<(), (Box<Fault>, Option<String>)> {
    kit.check().map_err(|fault| {
        let path = path_of(kit, &fault);
        (Box::new(Fault::Kit(fault)), path)
    })?;
    let zone = &kit.site.time_zone;
    if !is_known_zone(zone) {
        let fault = Fault::TimeZone { name: zone.clone() };
        return Err((Box::new(fault), Some("site.time_zone".to_owned())));
    }
    for (index, wish) in kit.wish_list.iter().enumerate() {
        if let Wish::Named(name) = wish
            && !knows_target(name)
        {
            let fault = Fault::Target { name: name.clone() };
            return Err((Box::new(fault), Some(format!("wish_list[{index}]"))));
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
        KitFault::ClearMonths { .. } => Some("site.clear_fraction".to_owned()),
        KitFault::ClearShare { month, .. } => Some(format!("site.clear_fraction[{}]", month - 1)),
        KitFault::Horizon { place, .. } => Some(format!("site.horizon[{}]", place - 1)),
        KitFault::WeighedTwice { target } => {
            let places = kit.weights.iter().enumerate().filter(|(_, w)| w.target == *target);
            places.map(|(index, _)| format!("weights[{index}].target")).nth(1)
        }
        KitFault::DrawnTwice { target } => {
            let places = kit.outlines.iter().enumerate().filter(|(_, o)| o.target == *target);
            places.map(|(index, _)| format!("outlines[{index}].target")).nth(1)
        }
        KitFault::NoShape { target, .. } | KitFault::UnsoundShape { target, .. } => {
            let index = kit.outlines.iter().position(|outline| outline.target == *target)?;
            Some(format!("outlines[{index}].corners_deg"))
        }
        KitFault::AimWithoutRig { place, .. } => Some(format!("aims[{}].rig", place - 1)),
        KitFault::NoPicture => Some("background.path".to_owned()),
        KitFault::AimOffSky { place, .. } => Some(format!("aims[{}].centre_deg", place - 1)),
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
/// Answers the mark of what the file holds then.
///
/// # Errors
/// [`SaveError`], with the old file untouched.
pub fn write(path: &Path, kit: &Kit) -> Result<Fingerprint, SaveError> {
    let text = text_that_opens(path, kit)?;
    replace_file::replace(path, text.as_bytes())?;
    Ok(Fingerprint::of(text.as_bytes()))
}

/// A kit as the text of a file that was read back and gave the same kit.
///
/// # Errors
/// [`SaveError`] if it would not.
pub(super) fn text_that_opens(path: &Path, kit: &Kit) -> Result<String, SaveError> {
    let text = to_text(kit)?;
    let file = path.display().to_string();
    // Its targets were found in the catalogue when they came into the kit.
    match parse(text.as_bytes(), &file, &|_| true) {
        Ok(same) if same == *kit => Ok(text),
        Ok(_) => Err(SaveError::Changed),
        Err(error) => Err(SaveError::Unreadable(Box::new(error))),
    }
}
