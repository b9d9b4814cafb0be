//! What the heading of a column means, however it is written.
//!
//! Capitals, spaces and marks do not count. A unit may stand in brackets or at the end, and so may
//! the frame: `RA`, `ra_deg`, `RA (h:m:s)`, `RAJ2000`, `Major axis [arcmin]`, `Pos. angle`.

/// What a column has.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub(super) enum Field {
    Name,
    Ra,
    Dec,
    Size,
    Minor,
    PositionAngle,
    SurfaceBrightness,
    ListedAs,
}

/// What its numbers count.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub(super) enum AngleUnit {
    Hours,
    Degrees,
    /// Hours for right ascension and degrees for all else, in three numbers.
    Sexagesimal,
    Arcminutes,
    Arcseconds,
    Radians,
}

/// A heading understood.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub(super) struct Heading {
    pub(super) field: Field,
    pub(super) unit: Option<AngleUnit>,
    /// Among columns of one field the least is taken.
    rank: u8,
}

impl Heading {
    /// Known by its UCD: before all that is known by name, the main one before others.
    pub(super) fn by_ucd(self, is_main: bool) -> Self {
        Self { rank: if is_main { 0 } else { 1 }, ..self }
    }
}

/// A column found, and the unit that its heading names.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub(super) struct Column {
    pub(super) index: usize,
    pub(super) unit: Option<AngleUnit>,
    rank: u8,
}

/// Which columns have what.
#[derive(Clone, Debug, Default, Eq, PartialEq)]
pub(super) struct Columns {
    pub(super) name: Option<Column>,
    pub(super) ra: Option<Column>,
    pub(super) dec: Option<Column>,
    pub(super) size: Option<Column>,
    pub(super) minor: Option<Column>,
    pub(super) position_angle: Option<Column>,
    pub(super) surface_brightness: Option<Column>,
    pub(super) listed_as: Option<Column>,
}

impl Columns {
    /// Takes a column for a field, unless a better one is known.
    pub(super) fn offer(&mut self, index: usize, heading: Heading) {
        let place = match heading.field {
            Field::Name => &mut self.name,
            Field::Ra => &mut self.ra,
            Field::Dec => &mut self.dec,
            Field::Size => &mut self.size,
            Field::Minor => &mut self.minor,
            Field::PositionAngle => &mut self.position_angle,
            Field::SurfaceBrightness => &mut self.surface_brightness,
            Field::ListedAs => &mut self.listed_as,
        };
        if place.is_none_or(|known| heading.rank < known.rank) {
            *place = Some(Column { index, unit: heading.unit, rank: heading.rank });
        }
    }

    /// How many fields are known.
    pub(super) fn count(&self) -> usize {
        let all = [
            self.name,
            self.ra,
            self.dec,
            self.size,
            self.minor,
            self.position_angle,
            self.surface_brightness,
            self.listed_as,
        ];
        all.iter().flatten().count()
    }
}

/// Words that make a field, without spaces and marks, and their rank.
const WORDS: [(Field, u8, &[&str]); 10] = [
    (Field::Name, 0, &["name", "target", "targetname", "object", "objectname", "designation"]),
    (Field::Name, 1, &["mainid", "id", "identifier"]),
    (Field::Ra, 0, &["ra", "rightascension", "rightasc", "alpha", "α"]),
    (Field::Dec, 0, &["dec", "de", "decl", "declination", "delta", "δ"]),
    (
        Field::Size,
        0,
        &[
            "size",
            "major",
            "majoraxis",
            "majaxis",
            "majax",
            "majordiameter",
            "diameter",
            "diam",
            "angularsize",
            "angsize",
            "galdimmajaxis",
        ],
    ),
    (
        Field::Minor,
        0,
        &["minor", "minoraxis", "minaxis", "minax", "minordiameter", "galdimminaxis"],
    ),
    (Field::PositionAngle, 0, &["pa", "positionangle", "posangle", "posang", "galdimangle"]),
    (Field::SurfaceBrightness, 0, &["surfacebrightness", "surfbr"]),
    (Field::ListedAs, 0, &["listedas"]),
    (Field::Name, 2, &["commonname"]),
];

/// Units as they stand in brackets, after a space, or glued to the end.
const UNITS: [(AngleUnit, &[&str]); 6] = [
    (AngleUnit::Hours, &["hours", "hour", "hrs"]),
    (AngleUnit::Degrees, &["degrees", "degree", "deg"]),
    (AngleUnit::Sexagesimal, &["sexagesimal", "hms", "dms", "hhmmss", "ddmmss"]),
    (AngleUnit::Arcminutes, &["arcminutes", "arcminute", "arcmins", "arcmin", "amin"]),
    (AngleUnit::Arcseconds, &["arcseconds", "arcsecond", "arcsecs", "arcsec", "asec"]),
    (AngleUnit::Radians, &["radians", "radian", "rad"]),
];

/// Units too short to be glued to a word.
const SHORT_UNITS: [(AngleUnit, &[&str]); 4] = [
    (AngleUnit::Hours, &["h", "hr"]),
    (AngleUnit::Degrees, &["d", "°", "º"]),
    (AngleUnit::Arcminutes, &["'", "′", "’"]),
    (AngleUnit::Arcseconds, &["\"", "″", "”", "''"]),
];

/// Frames and epochs that mean ICRS, to the thousandth of an arcminute that matters here.
const FRAMES: [&str; 6] = ["icrs", "j2000", "2000", "fk5", "eqj2000", "epj2000"];
/// Units of brightness, which need no turning.
const BRIGHTNESS_UNITS: [&str; 3] = ["magarcsec2", "magarcsec", "mag"];

/// Whether a heading is of an older equinox, whose places would be wrong by half a degree.
pub(super) fn is_older_equinox(text: &str) -> bool {
    let word = squeezed(text);
    let coordinate = word.starts_with("ra") || word.starts_with("de");
    coordinate && ["1950", "1900", "1875", "fk4"].iter().any(|old| word.contains(old))
}

/// Whether a heading is of the minutes or seconds of a coordinate that is spread over columns.
pub(super) fn is_part(text: &str) -> bool {
    ["ram", "ras", "ramin", "rasec", "dem", "des", "decm", "decs", "decmin", "decsec"]
        .contains(&squeezed(text).as_str())
}

/// What a heading means; `None` for one that a list of targets has no use for.
pub(super) fn heading(text: &str) -> Option<Heading> {
    if is_older_equinox(text) {
        return None;
    }
    let (text, bracket) = without_bracket(text);
    let mut unit = bracket.as_deref().and_then(unit_of);
    // A short unit after a space or an underscore, or a mark for one.
    let mut words: Vec<&str> =
        text.split(|c: char| c.is_whitespace() || c == '_').filter(|w| !w.is_empty()).collect();
    if words.len() > 1
        && let Some(last) = words.last().and_then(|word| unit_of(word))
    {
        unit = unit.or(Some(last));
        words.pop();
    }
    let mut word = squeezed(&words.concat());
    for _ in 0..4 {
        if let Some((field, rank)) = field_of(&word) {
            // Degrees come through without a turn, so they are the column to take.
            let plain = u8::from(!matches!(unit, Some(AngleUnit::Degrees) | None));
            return Some(Heading { field, unit, rank: 2 + 2 * rank + plain });
        }
        let (shorter, found) = without_ending(&word)?;
        unit = unit.or(found);
        word = shorter;
    }
    None
}

fn field_of(word: &str) -> Option<(Field, u8)> {
    WORDS.iter().find(|(.., words)| words.contains(&word)).map(|&(field, rank, _)| (field, rank))
}

/// A word without a unit or a frame glued to its end.
fn without_ending(word: &str) -> Option<(String, Option<AngleUnit>)> {
    for frame in FRAMES.iter().chain(&BRIGHTNESS_UNITS) {
        if let Some(shorter) = word.strip_suffix(frame) {
            return Some((shorter.to_owned(), None));
        }
    }
    UNITS.iter().find_map(|(unit, endings)| {
        let shorter = endings.iter().find_map(|ending| word.strip_suffix(ending))?;
        Some((shorter.to_owned(), Some(*unit)))
    })
}

/// A heading without what stands in brackets, and that.
fn without_bracket(text: &str) -> (String, Option<String>) {
    let open = text.find(['(', '[', '{']);
    let close = text.rfind([')', ']', '}']);
    match open.zip(close).filter(|(open, close)| open < close) {
        Some((open, close)) => {
            let inner = text.get(open + 1..close).unwrap_or_default();
            let before = text.get(..open).unwrap_or_default();
            let after = text.get(close + 1..).unwrap_or_default();
            (format!("{before} {after}"), Some(inner.to_owned()))
        }
        None => (text.to_owned(), None),
    }
}

/// The unit that a text names, if it names one.
pub(super) fn unit_of(text: &str) -> Option<AngleUnit> {
    let text = text.trim().trim_matches('"').trim().to_lowercase();
    let short = |text: &str| {
        SHORT_UNITS.iter().find(|(_, names)| names.contains(&text)).map(|&(unit, _)| unit)
    };
    // The quotation mark that was trimmed may have been the unit itself.
    if text.is_empty() {
        return Some(AngleUnit::Arcseconds);
    }
    let word = squeezed(&text);
    let long = || UNITS.iter().find(|(_, names)| names.contains(&word.as_str()));
    let sexagesimal = || {
        // However many letters each part has: hh:mm:ss.s.
        let mut letters: Vec<char> = text.chars().filter(|c| !" :,.".contains(*c)).collect();
        letters.dedup();
        matches!(letters.as_slice(), ['h' | 'd', 'm', 's'])
    };
    short(&text)
        .or_else(|| long().map(|&(unit, _)| unit))
        .or_else(|| sexagesimal().then_some(AngleUnit::Sexagesimal))
}

/// Letters and figures alone, small.
fn squeezed(text: &str) -> String {
    text.chars().filter(|c| c.is_alphanumeric()).flat_map(char::to_lowercase).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn headings_are_known_however_they_are_written() {
        use AngleUnit as U;
        for (text, field, unit) in [
            ("Name", Field::Name, None),
            (" TARGET ", Field::Name, None),
            ("Object name", Field::Name, None),
            ("main_id", Field::Name, None),
            ("RA", Field::Ra, None),
            ("ra_deg", Field::Ra, Some(U::Degrees)),
            ("RA (deg)", Field::Ra, Some(U::Degrees)),
            ("RA [°]", Field::Ra, Some(U::Degrees)),
            ("ra_h", Field::Ra, Some(U::Hours)),
            ("RA (hours)", Field::Ra, Some(U::Hours)),
            ("ra_hms", Field::Ra, Some(U::Sexagesimal)),
            ("RA (h:m:s)", Field::Ra, Some(U::Sexagesimal)),
            ("RA (hh:mm:ss.s)", Field::Ra, Some(U::Sexagesimal)),
            ("_RAJ2000", Field::Ra, None),
            ("RA_ICRS (deg)", Field::Ra, Some(U::Degrees)),
            ("RAdeg", Field::Ra, Some(U::Degrees)),
            ("Right ascension", Field::Ra, None),
            ("Dec", Field::Dec, None),
            ("DEJ2000", Field::Dec, None),
            ("Decl.", Field::Dec, None),
            ("dec_dms", Field::Dec, Some(U::Sexagesimal)),
            ("Declination (d:m:s)", Field::Dec, Some(U::Sexagesimal)),
            ("Size (arcmin)", Field::Size, Some(U::Arcminutes)),
            ("size ′", Field::Size, Some(U::Arcminutes)),
            ("Size (')", Field::Size, Some(U::Arcminutes)),
            ("Size (\")", Field::Size, Some(U::Arcseconds)),
            ("size_arcsec", Field::Size, Some(U::Arcseconds)),
            ("Major axis", Field::Size, None),
            ("MajAx[deg]", Field::Size, Some(U::Degrees)),
            ("minor_arcmin", Field::Minor, Some(U::Arcminutes)),
            ("PA", Field::PositionAngle, None),
            ("Pos. angle (deg)", Field::PositionAngle, Some(U::Degrees)),
            ("position_angle_deg", Field::PositionAngle, Some(U::Degrees)),
            ("surface_brightness_mag_arcsec2", Field::SurfaceBrightness, None),
            ("listed_as", Field::ListedAs, None),
        ] {
            let found = heading(text).map(|heading| (heading.field, heading.unit));
            assert_eq!(found, Some((field, unit)), "{text}");
        }
    }

    #[test]
    fn other_headings_are_left_alone() {
        for text in [
            "",
            "magnitude",
            "ra_error",
            "RAB1950",
            "notes",
            "(",
            ")(",
            "remarks (deg)",
            "deg",
            "h",
        ] {
            assert_eq!(heading(text), None, "{text}");
        }
        assert!(is_older_equinox("RA (B1950)") && !is_older_equinox("RA (J2000)"));
        assert!(is_part("RAm") && is_part("De_s") && !is_part("RA"));
    }

    #[test]
    fn degrees_are_taken_before_sexagesimal() {
        let mut columns = Columns::default();
        for (index, text) in ["ra_hms", "name", "ra_deg", "id"].into_iter().enumerate() {
            if let Some(heading) = heading(text) {
                columns.offer(index, heading);
            }
        }
        assert_eq!(columns.ra.map(|column| column.index), Some(2));
        assert_eq!(columns.name.map(|column| column.index), Some(1));
        assert_eq!(columns.count(), 2);
    }
}
