//! Whose data the sky is: one list, from which every picture, sheet and window takes those of what
//! it shows.

/// Somebody's data, and what is to be said of them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Source {
    /// All that their licence asks for.
    pub whole: &'static str,
    /// The same for the foot of a picture.
    pub short: &'static str,
    /// Whose they are, and no more.
    pub credit: &'static str,
}

/// Targets, their outlines and names.
pub const DEEP_SKY: Source = Source {
    whole: "Deep-sky objects: OpenNGC database by Mattia Verga and contributors \
            (https://github.com/mattiaverga/OpenNGC), CC BY-SA 4.0 \
            (https://creativecommons.org/licenses/by-sa/4.0/); names reformatted, duplicates and \
            stars left out.",
    short: "Deep-sky objects: OpenNGC, Mattia Verga and contributors, CC BY-SA 4.0, adapted.",
    credit: "OpenNGC, Mattia Verga and contributors",
};

/// Stars to V 9.5, and the counts by which fainter ones are made.
pub const STARS: Source = Source {
    whole: "Stars: this work has made use of data from the European Space Agency (ESA) mission \
            Gaia (https://www.cosmos.esa.int/gaia), processed by the Gaia Data Processing and \
            Analysis Consortium (DPAC, https://www.cosmos.esa.int/web/gaia/dpac/consortium). \
            Funding for the DPAC has been provided by national institutions, in particular the \
            institutions participating in the Gaia Multilateral Agreement. Credit: ESA/Gaia/DPAC, \
            CC BY-SA 3.0 IGO (https://creativecommons.org/licenses/by-sa/3.0/igo/). Changed: V and \
            B - V derived, cut at V 9.5.",
    short: "Stars: ESA/Gaia/DPAC, CC BY-SA 3.0 IGO, adapted.",
    credit: "ESA/Gaia/DPAC",
};

/// The brightest stars, which Gaia lacks.
pub const BRIGHT_STARS: Source = Source {
    whole: "Bright stars: Hipparcos, the new reduction (van Leeuwen 2007, A&A 474, 653; ESA 1997, \
            SP-1200).",
    short: "Bright stars: Hipparcos, van Leeuwen 2007.",
    credit: "Hipparcos",
};

const ALL: &[Source] = &[DEEP_SKY, STARS, BRIGHT_STARS];

/// Those of a picture of the sky, with or without stars.
pub const fn of_sky(with_stars: bool) -> &'static [Source] {
    if with_stars { ALL } else { &[DEEP_SKY] }
}

/// All that is to be said of some of them.
pub fn in_full(sources: &[Source]) -> String {
    sources.iter().map(|source| source.whole).collect::<Vec<_>>().join(" ")
}

/// Whose data some of them are.
pub fn credits(sources: &[Source]) -> String {
    sources.iter().map(|source| source.credit).collect::<Vec<_>>().join("; ")
}
