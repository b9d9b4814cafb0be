//! The tables by name.

use super::{
    Column, bodies, checklist, comparison, costs, coverage, demands, findings, fits, frames,
    grades, night, nights, panels, ranges, rigs, season, wishes, year,
};

/// One list: variant, name on the command line, title, and what its rows are.
macro_rules! tables {
    ($($variant:ident, $key:literal, $title:literal, $rows:literal, $module:ident;)*) => {
        /// A table.
        #[derive(Clone, Copy, Debug, Eq, Hash, PartialEq)]
        pub enum TableName {
            $(#[doc = $rows] $variant,)*
        }

        impl TableName {
            /// All of them.
            pub const ALL: &[Self] = &[$(Self::$variant,)*];

            /// Its name on the command line.
            pub const fn key(self) -> &'static str {
                match self { $(Self::$variant => $key,)* }
            }

            /// What the window calls it.
            pub const fn title(self) -> &'static str {
                match self { $(Self::$variant => $title,)* }
            }

            /// What a row of it is.
            pub const fn rows(self) -> &'static str {
                match self { $(Self::$variant => $rows,)* }
            }

            /// Its headings.
            pub fn columns(self) -> Vec<Column> {
                match self { $(Self::$variant => $module::columns(),)* }
            }
        }
    };
}

tables! {
    Rigs, "rigs", "Shortlist", "A rig with its focal length, field and pixel scale.", rigs;
    Fits, "fits", "Targets by rig", "A target of the wish list in a rig: fill, verdict, panels, detail.", fits;
    Frames, "frames", "Frame corners", "A corner or the centre of a rig's frame on the chosen target, at the best rotation.", frames;
    Panels, "panels", "Mosaic panels", "A panel of the mosaic that the chosen rig needs for the chosen target.", panels;
    Year, "year", "Year", "A month for a target of the wish list: its usable hours.", year;
    Nights, "nights", "Nights of the year", "A night of the year for the chosen target.", nights;
    Night, "night", "One night", "A target of the wish list in one night.", night;
    Season, "season", "In season", "An object of the catalogue in one month, for the chosen rig.", season;
    Bodies, "bodies", "Moon and planets", "A body of the solar system in a rig, on one evening.", bodies;
    Demands, "demands", "Demands", "A rig with all that it asks for.", demands;
    Grades, "grades", "Marks of the demands", "A figure of a rig: good, doubtful or bad, or why it is unknown.", grades;
    Comparison, "comparison", "Comparison", "A rig on the counts that decide, and who beats it.", comparison;
    Ranges, "ranges", "Useful focal lengths", "A target with the focal lengths that suit it.", ranges;
    Coverage, "coverage", "Coverage", "A focal length with what it serves of the wish list.", coverage;
    Findings, "findings", "Reasons", "A figure of a sentence, with the sentence.", findings;
    Wishes, "wishes", "Wish list", "A target of the wish list with its place and size.", wishes;
    Costs, "costs", "Costs", "A part of a rig with its price.", costs;
    Checklist, "checklist", "Checklist", "Something that a first rig needs beside its parts.", checklist;
}

impl TableName {
    /// The table of that name.
    pub fn of_key(key: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|table| table.key() == key)
    }

    /// Whether it is about one target.
    pub const fn needs_target(self) -> bool {
        matches!(self, Self::Frames | Self::Panels | Self::Nights)
    }

    /// Whether it is about one rig.
    pub const fn needs_rig(self) -> bool {
        matches!(self, Self::Panels | Self::Season)
    }

    /// Whether it is about one evening.
    pub const fn needs_evening(self) -> bool {
        matches!(self, Self::Night | Self::Bodies)
    }

    /// Whether it is about one month.
    pub const fn needs_month(self) -> bool {
        matches!(self, Self::Season)
    }

    /// Whether a year is worked out for it, which takes a moment.
    pub const fn needs_year(self) -> bool {
        matches!(
            self,
            Self::Year
                | Self::Nights
                | Self::Season
                | Self::Comparison
                | Self::Ranges
                | Self::Coverage
                | Self::Findings
        )
    }

    /// Whether its figures are for one rig's camera and aperture.
    pub const fn heeds_rig(self) -> bool {
        self.needs_rig() || matches!(self, Self::Ranges | Self::Coverage | Self::Findings)
    }

    /// Whether its figures are for a target where one is chosen, and in general where none is.
    pub const fn heeds_target(self) -> bool {
        self.needs_target() || matches!(self, Self::Demands | Self::Grades)
    }
}

#[cfg(test)]
mod tests {
    use std::collections::HashSet;

    use super::*;

    #[test]
    fn names_and_headings_are_unique_and_read_back() {
        let keys: HashSet<&str> = TableName::ALL.iter().map(|table| table.key()).collect();
        assert_eq!(keys.len(), TableName::ALL.len());
        for &table in TableName::ALL {
            assert_eq!(TableName::of_key(table.key()), Some(table));
            let columns = table.columns();
            let names: HashSet<&str> = columns.iter().map(|column| column.name).collect();
            assert_eq!(names.len(), columns.len(), "{}", table.key());
            assert!(columns.iter().all(|column| !column.what.is_empty()), "{}", table.key());
        }
    }

    /// Every heading of a number with a unit names it; amounts of money have theirs in a column.
    #[test]
    fn units_stand_in_the_headings() {
        let endings = [
            ("mm", "_mm"),
            ("deg", "_deg"),
            ("arcsec", "_arcsec"),
            ("arcmin", "_arcmin"),
            ("arcsec/px", "_arcsec"),
            ("deg2", "_deg2"),
            ("kg", "_kg"),
            ("s", "_s"),
            ("px", "_px"),
            ("cm2", "_cm2"),
            ("e/s/px", "_e_per_s_px"),
            ("um", "_um"),
            ("kg m2", "_kg_m2"),
            ("h m s", "_hms"),
            ("deg arcmin arcsec", "_dms"),
            ("UTC, ISO 8601", "_utc"),
            ("mag/arcsec2", "_mag_arcsec2"),
            ("mag", "magnitude"),
        ];
        for &table in TableName::ALL {
            for Column { name, unit, .. } in table.columns() {
                let told = match unit {
                    "" => true,
                    "h" => name.contains("hours"),
                    "px" if name == "pixels_per_fwhm" => true,
                    "GB" => name.contains("gigabytes"),
                    "date" => name == "evening",
                    "of the currency" => {
                        table.columns().iter().any(|column| column.name == "currency")
                    }
                    unit => endings.iter().any(|&(u, end)| u == unit && name.ends_with(end)),
                };
                assert!(told, "{} {name}: {unit}", table.key());
            }
        }
    }
}
