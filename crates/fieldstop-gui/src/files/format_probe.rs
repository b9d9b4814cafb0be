//! Finds out whether a kit that cannot be read is one of a later version.

use std::fmt;

use fieldstop::kit::FORMAT;
use serde::de::{DeserializeSeed, IgnoredAny, MapAccess, Visitor};

use super::locate::Places;

/// The format of a kit of a later version, and where it says so, whatever else the kit holds.
pub(super) fn newer_format(text: &str) -> Option<(u64, Option<usize>)> {
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
