//! Where each figure comes from: its meaning, its formula in words, its source.

/// Whether a rule can be looked up, or is what people do.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum Standing {
    /// In a paper, a book or a standard.
    Published,
    /// What the trade does, without a source.
    CommonPractice,
}

impl Standing {
    /// As shown beside a figure.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Published => "published",
            Self::CommonPractice => "common practice",
        }
    }
}

/// The rule behind a figure.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub struct Rule {
    /// What the figure means and what to do about it, in a plain sentence or two.
    pub meaning: &'static str,
    /// How it is computed, in words.
    pub formula: &'static str,
    /// Who says so.
    pub source: &'static str,
    /// Whether that can be looked up.
    pub standing: Standing,
}

macro_rules! rules {
    ($($(#[$doc:meta])* $name:ident: $standing:ident, $source:literal, $formula:literal, $meaning:literal;)*) => {$(
        $(#[$doc])*
        pub const $name: Rule = Rule {
            meaning: $meaning,
            formula: $formula,
            source: $source,
            standing: Standing::$standing,
        };
    )*};
}

rules! {
    /// Effective focal length.
    FOCAL_LENGTH: Published, "geometric optics",
        "the OTA's focal length times the corrector's factor",
        "Longer shows less sky at a larger scale, and asks more of the mount.";
    /// Effective focal ratio.
    FOCAL_RATIO: Published, "geometric optics",
        "effective focal length over clear aperture",
        "A small number lights each pixel faster; it also has a shallower focus and harder corners.";
    /// Area that collects light.
    CLEAR_AREA: Published, "plane geometry",
        "a quarter of pi times (aperture squared less obstruction squared)",
        "What collects the light of a piece of sky; twice the area takes half the hours.";
    /// T-number.
    T_NUMBER: CommonPractice, "cinema practice",
        "focal ratio over the root of (transmission times the unobstructed share of the aperture)",
        "The focal ratio that counts for exposure, after what mirrors and obstruction take.";
    /// Rayleigh's limit.
    RAYLEIGH: Published, "Born & Wolf, Principles of Optics",
        "1.21967 times wavelength over aperture",
        "The finest detail the aperture could show in perfect air. Far below your seeing it does not matter.";
    /// Dawes' limit.
    DAWES: Published, "Dawes 1867, Memoirs of the RAS 35, 137",
        "116 arcseconds over the aperture in millimetres",
        "How close two equal stars were told apart by eye; a limit for double stars, not for photographs.";
    /// Delivered FWHM.
    DELIVERED_FWHM: Published, "O'Neill 1956; Fried 1966; Roddier 1981; linear systems",
        "diameter of the circle above half maximum in the transform of the product of the transfer functions of aperture, air (seeing times airmass to the 0.6), guiding and pixel",
        "How wide a star really comes out. Compare rigs by this, not by focal length.";
    /// Pixels per FWHM and the verdict on it.
    SAMPLING: CommonPractice, "sampling theorem (Nyquist) for 2; common practice for 3",
        "delivered FWHM over pixel scale, against the kit's two thresholds",
        "Too few pixels lose detail; too many only add read noise. Bin, reduce or choose another pixel size.";
    /// Planetary focal ratio.
    PLANETARY: Published, "Fourier optics: sampling of the cut-off of the transfer function",
        "twice the pixel size over the wavelength",
        "For planets, shot through moments of calm air: the focal ratio at which nothing is lost, and the Barlow for it.";
    /// Resolution elements across a target.
    DETAIL: CommonPractice, "common practice",
        "the target's major axis over the delivered FWHM",
        "How many star widths fit across the target: two rigs with the same number show the same detail.";
    /// Useful focal lengths of a target.
    FOCAL_RANGE: Published, "plane geometry; linear systems",
        "whole up to the kit's limit of fill over the fill at 1 mm, at the best rotation; detail from where the major axis over the delivered FWHM reaches the wanted elements, nothing faster than f/2",
        "Shorter shows too little of the target, longer cuts it off. Under poor air no focal length shows enough.";
    /// Targets served over focal length.
    FOCAL_COVERAGE: CommonPractice, "counting",
        "targets whose useful focal lengths hold this one, each weighted by its dark hours above its limit in the year times its stars",
        "Where the curve is highest, one telescope serves most of the list; two together can serve more.";
    /// Panels of a mosaic.
    PANELS: Published, "plane and spherical geometry",
        "rows of overlapping panels, each only as long as the target is there, over all rotations and offsets, proved by cutting the true panels out of the outline",
        "Every panel takes as many hours as a single picture.";
    /// One rig beaten by another.
    BEATEN: Published, "Pareto 1906, Manuale di economia politica",
        "at least as good on every criterion that both have and better on one; a criterion that only one of them has forbids the verdict",
        "Whatever you care for most, the other rig does it at least as well.";
    /// Untracked exposure.
    UNTRACKED: Published, "sidereal rate, IAU 2000",
        "pixel scale over (15.041 arcsec/s times the cosine of the declination)",
        "Exposing longer on a tripod smears stars over more than a pixel.";
    /// Unguided exposures.
    UNGUIDED: Published, "spherical geometry; slope of a sine",
        "pixel scale, or half the FWHM, over (polar misalignment times sidereal rate, plus pi times peak-to-peak periodic error over its period)",
        "At the worst moment. Longer exposures need guiding, a better mount, or many short ones.";
    /// What guiding costs.
    GUIDING_LOSS: Published, "O'Neill 1956; Fried 1966; linear systems",
        "delivered FWHM with the guiding error over the same without it",
        "What the mount's guiding takes from the sharpness.";
    /// The guiding that is needed.
    GUIDE_RMS_NEEDED: Published, "O'Neill 1956; Fried 1966; linear systems",
        "guiding RMS, total of both axes, that widens the delivered FWHM by the accepted share",
        "Guide better than this and nobody will see it. A mount that cannot needs a shorter focal length or larger pixels.";
    /// Field rotation from polar misalignment.
    POLAR_ROTATION: Published, "spherical geometry",
        "polar misalignment times sidereal rate over the cosine of the declination, times half the sensor's diagonal",
        "Guiding cannot cure it: align the polar axis better, or expose shorter.";
    /// Field rotation of an alt-az mount.
    ALTAZIMUTH_ROTATION: Published, "derivative of the parallactic angle",
        "15.041 arcsec/s times cos(latitude) cos(azimuth) over cos(altitude), times half the sensor's diagonal",
        "On an alt-az mount the picture turns about its middle; low in the east or west it turns slowest.";
    /// Mass on the mount.
    MASS_ON_MOUNT: Published, "arithmetic",
        "OTA, corrector, camera and extras",
        "Everything that rides on the mount, without counterweights.";
    /// Share of the rated payload.
    PAYLOAD: CommonPractice, "common practice: about half to 60 % of the rated payload",
        "mass on the mount over its rated payload, against the share the kit allows for imaging",
        "A mount loaded beyond this still carries, but guides badly. The maker's rated limit comes first.";
    /// The tube's moment.
    TUBE_MOMENT: Published, "mechanics, an even rod",
        "mass times length squared over 12",
        "A long tube is harder to hold still in wind than its mass says.";
    /// Total to carry and the heaviest piece.
    CARRY: CommonPractice, "common practice; local manual-handling guidance comes first",
        "all parts together, and the heaviest of them",
        "What leaves the car. Take heavy pieces apart or ask for help, and follow local manual-handling guidance.";
    /// Image circle.
    IMAGE_CIRCLE: Published, "geometric optics",
        "sensor diagonal against the smaller of the OTA's image circle times the corrector's factor and the corrector's own",
        "Beyond the circle corners are dark or soft: crop them, or choose a smaller sensor.";
    /// Back focus.
    BACK_FOCUS: Published, "refraction at glass of index 1.5",
        "corrector's distance plus a third of the filter's thickness, against camera and adapters",
        "A corrector at the wrong distance sharpens nothing. Spacers make up what is short.";
    /// Coma in the corner.
    CORNER_COMA: Published, "Schroeder, Astronomical Optics",
        "3 times the off-axis angle over (16 times the focal ratio squared)",
        "How long stars flare in the corner of an uncorrected Newtonian. Longer than the FWHM wants a coma corrector.";
    /// Depth of focus.
    DEPTH_OF_FOCUS: Published, "Born & Wolf, quarter wave",
        "plus or minus 2 times wavelength times focal ratio squared",
        "How exactly the focuser must stand. Under some 20 micrometres a motor and refocusing through the night help.";
    /// Upkeep of an OTA's class.
    UPKEEP: CommonPractice, "common practice",
        "by class of telescope",
        "What the telescope asks for before it is sharp.";
    /// Sky rate.
    SKY_RATE: Published, "AB magnitudes, Oke & Gunn 1983",
        "3631 Jy over Planck's constant times passband over wavelength, times clear area, transmission, efficiency and pixel area, at the sky's brightness",
        "The sky's own light on a pixel; its noise is what long exposures fight.";
    /// Target rate.
    TARGET_RATE: Published, "AB magnitudes, Oke & Gunn 1983",
        "as for the sky, at the target's surface brightness dimmed by extinction times airmass",
        "An estimate: a mean over the target. V magnitudes differ from AB by about 0.02.";
    /// Sub-exposure.
    SUB_EXPOSURE: Published, "CCD equation, Merline & Howell 1995",
        "read noise squared over ((sky plus dark rate) times ((1 + q) squared less 1))",
        "Shorter ones waste time on read noise; longer ones gain nothing more.";
    /// Hours per pixel.
    HOURS_PER_PIXEL: Published, "CCD equation, Merline & Howell 1995",
        "time at which the target's signal over its noise in one pixel reaches the wanted ratio",
        "How long until the picture looks smooth, pixel by pixel. Larger pixels get there sooner and show less.";
    /// Hours per square arcsecond.
    HOURS_PER_ARCSEC2: Published, "CCD equation, Merline & Howell 1995",
        "the same over all pixels of a square arcsecond",
        "How long until the same piece of sky is as clean: the fair comparison between rigs.";
    /// Full well.
    FULL_WELL: Published, "linear systems",
        "full well over (star's rate times the share of its light on the middle pixel, plus sky and dark)",
        "Brighter stars lose their colour in longer sub-exposures.";
    /// Subs and storage.
    STORAGE: Published, "arithmetic",
        "dark hours over sub-exposure, times pixels times whole bytes",
        "What one clear night leaves on the disk.";
    /// Cost.
    PRICE: Published, "arithmetic",
        "prices of all parts that are not owned",
        "Against the budget. A first rig also needs what the checklist names.";
    /// Checklist.
    CHECKLIST: CommonPractice, "common practice; prices are rough guesses",
        "prices of the listed items that are not there yet",
        "Guider, power, dew control, filter, adapters: what budgets forget.";
}
