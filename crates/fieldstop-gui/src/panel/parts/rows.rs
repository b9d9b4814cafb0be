//! The numbers of each kind of part: label, unit, range and explanation, in the order shown.

use fieldstop::kit::{Camera, Corrector, MOST_OBSTRUCTED, Mount, Ota};
use fieldstop::range::{self, Range};

/// One number of a part.
pub(super) struct Row<P> {
    pub(super) label: &'static str,
    /// None is the kit's currency.
    pub(super) unit: Option<&'static str>,
    /// May depend on the part's other numbers.
    pub(super) range: fn(&P) -> Range,
    pub(super) tip: &'static str,
    pub(super) value: Value<P>,
}

/// Where the number is.
#[derive(Clone, Copy)]
pub(super) enum Value<P> {
    Number(fn(&mut P) -> &mut f64),
    /// An empty field is "unknown".
    Optional(fn(&mut P) -> &mut Option<f64>),
    Whole(fn(&mut P) -> &mut u32),
}

/// A number that was accepted, and where it goes.
pub(super) enum Change<P> {
    Number(fn(&mut P) -> &mut f64, f64),
    Optional(fn(&mut P) -> &mut Option<f64>, Option<f64>),
    Whole(fn(&mut P) -> &mut u32, u32),
}

impl<P> Change<P> {
    pub(super) fn apply(self, part: &mut P) {
        match self {
            Self::Number(reach, new) => *reach(part) = new,
            Self::Optional(reach, new) => *reach(part) = new,
            Self::Whole(reach, new) => *reach(part) = new,
        }
    }
}

use Value::{Number, Optional, Whole};

const fn row<P>(
    label: &'static str,
    unit: &'static str,
    range: fn(&P) -> Range,
    tip: &'static str,
    value: Value<P>,
) -> Row<P> {
    Row { label, unit: Some(unit), range, tip, value }
}

const fn price<P>(reach: fn(&mut P) -> &mut Option<f64>) -> Row<P> {
    let tip = "New or used, as you would pay; empty if unknown";
    Row { label: "Price", unit: None, range: |_| range::MONEY, tip, value: Optional(reach) }
}

/// The largest share of the aperture that the obstruction may take; a little less than a kit allows,
/// as a quotient and its product may differ in the last digit.
const OBSTRUCTED: f64 = MOST_OBSTRUCTED - 1e-6;

fn aperture(ota: &Ota) -> Range {
    Range {
        least: (ota.obstruction_mm / OBSTRUCTED).max(range::APERTURE_MM.least),
        expected: "a number from 1 to 100,000 mm, larger than the central obstruction",
        ..range::APERTURE_MM
    }
}

fn obstruction(ota: &Ota) -> Range {
    Range {
        least: 0.0,
        most: ota.aperture_mm * OBSTRUCTED,
        expected: "0 for none, or at most 0.999 of the aperture",
    }
}

pub(super) const OTA: &[Row<Ota>] = &[
    row(
        "Aperture",
        "mm",
        aperture,
        "Diameter of the lens or mirror that light enters through",
        Number(|ota| &mut ota.aperture_mm),
    ),
    row(
        "Focal length",
        "mm",
        |_| range::FOCAL_LENGTH_MM,
        "Native, as the maker states it, before any corrector",
        Number(|ota| &mut ota.focal_length_mm),
    ),
    row(
        "Central obstruction",
        "mm",
        obstruction,
        "Diameter of the secondary mirror's shadow",
        Number(|ota| &mut ota.obstruction_mm),
    ),
    row(
        "Transmission",
        "",
        |_| range::THROUGHPUT,
        "Share of the light that gets through glass and mirrors, usually 0.8 to 0.95",
        Number(|ota| &mut ota.transmission),
    ),
    row(
        "Image circle",
        "mm",
        |_| range::IMAGE_CIRCLE_MM,
        "Diameter that is well lit and sharp; empty if unknown",
        Optional(|ota| &mut ota.image_circle_mm),
    ),
    row(
        "Tube length",
        "mm",
        |_| range::TUBE_MM,
        "A long tube is harder to hold still; empty if unknown",
        Optional(|ota| &mut ota.length_mm),
    ),
    row("Mass", "kg", |_| range::MASS_KG, "With rings and rail", Number(|ota| &mut ota.mass_kg)),
    price(|ota| &mut ota.price),
];

pub(super) const CORRECTOR: &[Row<Corrector>] = &[
    row(
        "Factor",
        "×",
        |_| range::FACTOR,
        "What the focal length is multiplied by: below 1 for a reducer, 1 for a flattener, above 1 for a Barlow",
        Number(|corrector| &mut corrector.factor),
    ),
    row(
        "Image circle",
        "mm",
        |_| range::IMAGE_CIRCLE_MM,
        "Diameter that is well lit and sharp behind it; empty if unknown",
        Optional(|corrector| &mut corrector.image_circle_mm),
    ),
    row(
        "Back focus",
        "mm",
        |_| range::BACK_FOCUS_MM,
        "Distance it wants from its rear shoulder to the sensor; empty if unknown",
        Optional(|corrector| &mut corrector.back_focus_mm),
    ),
    row(
        "Mass",
        "kg",
        |_| range::MASS_KG,
        "Of the corrector alone",
        Number(|corrector| &mut corrector.mass_kg),
    ),
    price(|corrector| &mut corrector.price),
];

pub(super) const CAMERA: &[Row<Camera>] = &[
    row(
        "Width",
        "px",
        |_| range::PIXELS,
        "Pixels along the width",
        Whole(|camera| &mut camera.width_px),
    ),
    row(
        "Height",
        "px",
        |_| range::PIXELS,
        "Pixels along the height",
        Whole(|camera| &mut camera.height_px),
    ),
    row(
        "Pixel",
        "µm",
        |_| range::PIXEL_UM,
        "Side of one square pixel",
        Number(|camera| &mut camera.pixel_um),
    ),
    row(
        "Read noise",
        "e−",
        |_| range::READ_NOISE_E,
        "Noise that each exposure adds, in electrons",
        Number(|camera| &mut camera.read_noise_e),
    ),
    row(
        "Dark current",
        "e−/s",
        |_| range::DARK_E_PER_S,
        "Electrons that warmth adds to a pixel each second",
        Number(|camera| &mut camera.dark_e_per_s),
    ),
    row(
        "Quantum efficiency",
        "",
        |_| range::THROUGHPUT,
        "Share of the light that is turned into signal",
        Number(|camera| &mut camera.quantum_efficiency),
    ),
    row(
        "Passband",
        "nm",
        |_| range::PASSBAND_NM,
        "Width of the colours it sees, filter included",
        Number(|camera| &mut camera.passband_nm),
    ),
    row(
        "Middle of it",
        "nm",
        |_| range::WAVELENGTH_NM,
        "Middle of the passband; 550 nm if left empty",
        Optional(|camera| &mut camera.wavelength_nm),
    ),
    row(
        "Full well",
        "e−",
        |_| range::FULL_WELL_E,
        "Electrons that a pixel holds before it is white",
        Number(|camera| &mut camera.full_well_e),
    ),
    row(
        "Converter",
        "bit",
        |_| range::BITS,
        "Depth of the digital values",
        Whole(|camera| &mut camera.bit_depth),
    ),
    row(
        "Front to sensor",
        "mm",
        |_| range::THICKNESS_MM,
        "From its front face to the sensor: its part of the back focus; empty if unknown",
        Optional(|camera| &mut camera.flange_mm),
    ),
    row(
        "Mass",
        "kg",
        |_| range::MASS_KG,
        "Of the camera alone",
        Number(|camera| &mut camera.mass_kg),
    ),
    price(|camera| &mut camera.price),
];

pub(super) const MOUNT: &[Row<Mount>] = &[
    row(
        "Rated payload",
        "kg",
        |_| range::LOAD_KG,
        "As its maker rates it; imaging usually gets about half. A maker's limit comes first",
        Number(|mount| &mut mount.payload_kg),
    ),
    row(
        "Periodic error",
        "arcsec",
        |_| range::PERIODIC_ERROR_ARCSEC,
        "Peak to peak, unguided; 0 if it has none",
        Number(|mount| &mut mount.periodic_error_arcsec),
    ),
    row(
        "Its period",
        "s",
        |_| range::PERIOD_S,
        "Seconds until the periodic error comes again; 0 if it has none",
        Number(|mount| &mut mount.period_s),
    ),
    row(
        "Guided RMS",
        "arcsec",
        |_| range::GUIDED_RMS_ARCSEC,
        "Total of both axes while guiding; empty if it cannot be guided",
        Optional(|mount| &mut mount.guided_rms_arcsec),
    ),
    row(
        "Polar alignment",
        "arcmin",
        |_| range::POLAR_ERROR_ARCMIN,
        "How far its axis is off the celestial pole",
        Number(|mount| &mut mount.polar_error_arcmin),
    ),
    row("Mass", "kg", |_| range::MASS_KG, "With its tripod", Number(|mount| &mut mount.mass_kg)),
    price(|mount| &mut mount.price),
];
