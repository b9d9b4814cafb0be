//! The way from the kit to one of its fields.

use serde_path_to_error::Segment;

use super::locate::Places;
use super::ron_words::quoted;

/// The way from the kit to a field: names, and places in lists counted from 0.
pub(super) struct FieldPath(Vec<Step>);

enum Step {
    Field(String),
    Entry(usize),
}

impl FieldPath {
    pub(super) fn from_serde(path: &serde_path_to_error::Path) -> Self {
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

    pub(super) fn from_text(path: &str) -> Self {
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
    pub(super) fn text(&self) -> String {
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
    pub(super) fn words(&self, places: &Places<'_>) -> String {
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
                    let name = name.map_or_else(String::new, |name| format!(" {}", quoted(&name)));
                    words.push(format!("entry {}{name}", index + 1));
                }
            }
        }
        words.join(", ")
    }
}
