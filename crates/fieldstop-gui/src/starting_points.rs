//! Starting points: parts that are typical of their class, to be changed into the ones considered.
//!
//! No maker's product is meant. Every figure here is common practice, no source: what instruments of
//! the class usually have, rounded, and what they cost about, in whichever of the larger currencies.

use fieldstop::kit::{
    Camera, Corrector, FORMAT, Kit, Limits, Mount, MountKind, Ota, OtaClass, PartList, Rig, Site,
    Thresholds, free_name,
};

/// One entry of a list to choose from.
#[derive(Clone, Debug, PartialEq)]
pub struct StartingPoint<T> {
    /// What a person reads in the list.
    pub label: &'static str,
    /// The part, ready to be put into a kit.
    pub part: T,
}

/// A class's name in the trade.
pub const fn class_label(class: OtaClass) -> &'static str {
    match class {
        OtaClass::ShortRefractor => "Short refractor",
        OtaClass::LongRefractor => "Long refractor",
        OtaClass::Newtonian => "Newtonian",
        OtaClass::Compound => "Compound (mirror and lens)",
        OtaClass::CameraLens => "Camera lens",
    }
}

/// An OTA's figures in the order of the tables below: aperture, focal length, obstruction,
/// transmission, image circle, length (mm); mass (kg); price.
type OtaRow = (&'static str, OtaClass, [f64; 8]);

/// Typical OTAs. Common practice, no source.
const OTAS: [OtaRow; 14] = [
    (
        "60 mm f/6 doublet",
        OtaClass::ShortRefractor,
        [60.0, 360.0, 0.0, 0.95, 32.0, 280.0, 1.8, 490.0],
    ),
    (
        "70 mm f/6 doublet",
        OtaClass::ShortRefractor,
        [70.0, 420.0, 0.0, 0.95, 36.0, 330.0, 2.4, 650.0],
    ),
    (
        "80 mm f/6 triplet",
        OtaClass::ShortRefractor,
        [80.0, 480.0, 0.0, 0.94, 40.0, 400.0, 3.4, 990.0],
    ),
    (
        "102 mm f/7 doublet",
        OtaClass::LongRefractor,
        [102.0, 714.0, 0.0, 0.95, 40.0, 600.0, 5.0, 1150.0],
    ),
    (
        "115 mm f/7 triplet",
        OtaClass::LongRefractor,
        [115.0, 805.0, 0.0, 0.94, 44.0, 660.0, 6.6, 1900.0],
    ),
    (
        "130 mm f/7 triplet",
        OtaClass::LongRefractor,
        [130.0, 910.0, 0.0, 0.94, 46.0, 780.0, 9.2, 2900.0],
    ),
    (
        "130 mm f/5 Newtonian",
        OtaClass::Newtonian,
        [130.0, 650.0, 47.0, 0.85, 24.0, 580.0, 4.2, 260.0],
    ),
    (
        "150 mm f/4 Newtonian",
        OtaClass::Newtonian,
        [150.0, 600.0, 63.0, 0.85, 28.0, 560.0, 5.1, 480.0],
    ),
    (
        "200 mm f/4 Newtonian",
        OtaClass::Newtonian,
        [200.0, 800.0, 70.0, 0.85, 30.0, 740.0, 8.9, 620.0],
    ),
    (
        "127 mm f/12 compound",
        OtaClass::Compound,
        [127.0, 1500.0, 39.0, 0.86, 22.0, 350.0, 3.4, 480.0],
    ),
    (
        "150 mm f/10 compound",
        OtaClass::Compound,
        [150.0, 1500.0, 56.0, 0.84, 28.0, 330.0, 4.5, 850.0],
    ),
    (
        "200 mm f/10 compound",
        OtaClass::Compound,
        [203.0, 2030.0, 69.0, 0.84, 38.0, 430.0, 5.7, 1450.0],
    ),
    ("135 mm f/2.5 lens", OtaClass::CameraLens, [54.0, 135.0, 0.0, 0.92, 43.3, 115.0, 0.7, 420.0]),
    ("200 mm f/2.8 lens", OtaClass::CameraLens, [71.0, 200.0, 0.0, 0.9, 43.3, 180.0, 1.3, 700.0]),
];

/// A corrector's factor, image circle, back focus (mm), mass (kg) and price.
type CorrectorRow = (&'static str, f64, [Option<f64>; 2], [f64; 2]);

/// Typical correctors. Common practice, no source.
const CORRECTORS: [CorrectorRow; 7] = [
    ("flattener 1.0x", 1.0, [Some(42.0), Some(55.0)], [0.3, 170.0]),
    ("reducer 0.8x", 0.8, [Some(38.0), Some(55.0)], [0.4, 260.0]),
    ("coma corrector 0.95x", 0.95, [Some(30.0), Some(55.0)], [0.4, 160.0]),
    ("coma corrector 1.0x", 1.0, [Some(36.0), Some(55.0)], [0.5, 280.0]),
    ("reducer 0.7x", 0.7, [Some(30.0), Some(105.0)], [0.6, 320.0]),
    ("reducer 0.63x", 0.63, [Some(24.0), Some(105.0)], [0.4, 140.0]),
    ("Barlow 2x", 2.0, [None, None], [0.2, 80.0]),
];

/// A camera's pixels across and down, bits; then pixel (µm), read noise (e), dark current (e/s),
/// quantum efficiency, full well (e), mass (kg) and price.
type CameraRow = (&'static str, [u32; 3], [f64; 7]);

/// Typical cameras by sensor format. Common practice, no source; the formats' sides are those of
/// the trade: 36 x 24, 23.5 x 15.6, 17.3 x 13, 13.2 x 8.8, 7.2 x 5.4 and 5.6 x 3.2 mm.
const CAMERAS: [CameraRow; 6] = [
    ("full frame", [6000, 4000, 14], [6.0, 2.0, 0.004, 0.6, 70_000.0, 0.8, 1900.0]),
    ("APS-C", [6000, 4000, 14], [3.92, 1.7, 0.004, 0.7, 48_000.0, 0.6, 850.0]),
    ("Four Thirds", [4640, 3488, 12], [3.73, 1.5, 0.006, 0.6, 20_000.0, 0.5, 1100.0]),
    ("1-inch", [5472, 3648, 12], [2.4, 1.6, 0.004, 0.75, 15_000.0, 0.45, 800.0]),
    ("1/1.8-inch", [3072, 2304, 12], [2.35, 1.0, 0.01, 0.75, 10_000.0, 0.15, 300.0]),
    ("1/2.8-inch", [1920, 1080, 12], [2.9, 0.9, 0.01, 0.75, 12_000.0, 0.12, 190.0]),
];

/// A mount's payload (kg), periodic error (arcsec) and its period (s), polar error (arcmin), mass
/// (kg), price; then what it guides to (arcsec).
type MountRow = (&'static str, MountKind, [f64; 6], Option<f64>);

/// Typical mounts. Common practice, no source.
const MOUNTS: [MountRow; 6] = [
    ("camera tripod", MountKind::Fixed, [8.0, 0.0, 0.0, 0.0, 2.2, 120.0], None),
    ("star tracker", MountKind::Equatorial, [3.0, 100.0, 600.0, 6.0, 2.8, 380.0], None),
    ("light equatorial", MountKind::Equatorial, [9.0, 40.0, 480.0, 4.0, 7.5, 600.0], Some(1.1)),
    ("medium equatorial", MountKind::Equatorial, [20.0, 24.0, 480.0, 3.0, 15.5, 1300.0], Some(0.8)),
    ("heavy equatorial", MountKind::Equatorial, [35.0, 12.0, 380.0, 2.0, 27.0, 2900.0], Some(0.6)),
    ("computerised altazimuth", MountKind::Altazimuth, [6.0, 60.0, 300.0, 0.0, 5.5, 420.0], None),
];

/// OTAs to start from, by class.
pub fn otas() -> Vec<StartingPoint<Ota>> {
    let part = |&(label, class, figures): &OtaRow| {
        let [aperture, focal_length, obstruction, transmission, circle, length, mass, price] =
            figures;
        let part = Ota {
            name: label.to_owned(),
            class,
            aperture_mm: aperture,
            focal_length_mm: focal_length,
            obstruction_mm: obstruction,
            transmission,
            image_circle_mm: Some(circle),
            length_mm: Some(length),
            mass_kg: mass,
            price: Some(price),
            owned: false,
        };
        StartingPoint { label, part }
    };
    OTAS.iter().map(part).collect()
}

/// Correctors to start from.
pub fn correctors() -> Vec<StartingPoint<Corrector>> {
    let part =
        |&(label, factor, [image_circle_mm, back_focus_mm], [mass_kg, price]): &CorrectorRow| {
            let part = Corrector {
                name: label.to_owned(),
                factor,
                image_circle_mm,
                back_focus_mm,
                mass_kg,
                price: Some(price),
                owned: false,
            };
            StartingPoint { label, part }
        };
    CORRECTORS.iter().map(part).collect()
}

/// Cameras to start from, by sensor format, the largest first.
pub fn cameras() -> Vec<StartingPoint<Camera>> {
    let part = |&(label, [width_px, height_px, bit_depth], figures): &CameraRow| {
        let [pixel_um, read_noise, dark, quantum_efficiency, full_well, mass_kg, price] = figures;
        let part = Camera {
            name: label.to_owned(),
            width_px,
            height_px,
            pixel_um,
            read_noise_e: read_noise,
            dark_e_per_s: dark,
            quantum_efficiency,
            passband_nm: 300.0,
            wavelength_nm: None,
            colour: false,
            flange_mm: None,
            full_well_e: full_well,
            bit_depth,
            mass_kg,
            price: Some(price),
            owned: false,
        };
        StartingPoint { label, part }
    };
    CAMERAS.iter().map(part).collect()
}

/// Mounts to start from.
pub fn mounts() -> Vec<StartingPoint<Mount>> {
    let part = |&(label, kind, figures, guided_rms_arcsec): &MountRow| {
        let [payload_kg, periodic_error, period_s, polar_error, mass_kg, price] = figures;
        let part = Mount {
            name: label.to_owned(),
            kind,
            payload_kg,
            periodic_error_arcsec: periodic_error,
            period_s,
            guided_rms_arcsec,
            polar_error_arcmin: polar_error,
            mass_kg,
            price: Some(price),
            owned: false,
        };
        StartingPoint { label, part }
    };
    MOUNTS.iter().map(part).collect()
}

/// The parts that a rig of a class usually starts with: OTA, corrector, mount.
const fn usual_parts(class: OtaClass) -> (&'static str, Option<&'static str>, &'static str) {
    match class {
        OtaClass::ShortRefractor => {
            ("60 mm f/6 doublet", Some("flattener 1.0x"), "light equatorial")
        }
        OtaClass::LongRefractor => {
            ("102 mm f/7 doublet", Some("flattener 1.0x"), "medium equatorial")
        }
        OtaClass::Newtonian => {
            ("150 mm f/4 Newtonian", Some("coma corrector 0.95x"), "medium equatorial")
        }
        OtaClass::Compound => ("200 mm f/10 compound", None, "medium equatorial"),
        OtaClass::CameraLens => ("135 mm f/2.5 lens", None, "star tracker"),
    }
}

/// Puts a whole new rig of a class at the end of a kit's shortlist and returns its place.
///
/// The rig gets an OTA and a corrector of its own, so that changing them changes no other rig. It
/// takes the camera of the kit's last rig, as people compare telescopes with the camera they have,
/// and an APS-C one if there is no rig yet. A mount that the kit already has is shared.
pub fn add_rig_of_class(kit: &mut Kit, class: OtaClass) -> usize {
    let (ota, corrector, mount) = usual_parts(class);
    let ota = otas().into_iter().find(|point| point.label == ota).map(|point| {
        let mut part = point.part;
        part.name = free_name(&part.name, &kit.names(PartList::Otas));
        part
    });
    let corrector = corrector.and_then(|label| {
        let mut part = correctors().into_iter().find(|point| point.label == label)?.part;
        part.name = free_name(&part.name, &kit.names(PartList::Correctors));
        Some(part)
    });
    let rig = Rig {
        name: class_label(class).to_owned(),
        ota: ota.as_ref().map(|part| part.name.clone()).unwrap_or_default(),
        corrector: corrector.as_ref().map(|part| part.name.clone()),
        camera: camera_for_new_rig(kit),
        mount: mount_for_new_rig(kit, mount),
        extra_mass_kg: 0.7,
        filter: None,
        adapters_mm: None,
        shown: true,
        mark: None,
    };
    kit.otas.extend(ota);
    kit.correctors.extend(corrector);
    kit.add_rig(rig)
}

/// The name of the camera that a new rig starts with, which is in the kit afterwards.
fn camera_for_new_rig(kit: &mut Kit) -> String {
    if let Some(rig) = kit.rigs.last() {
        return rig.camera.clone();
    }
    if let Some(camera) = kit.cameras.first() {
        return camera.name.clone();
    }
    let camera = cameras().into_iter().find(|point| point.label == "APS-C");
    let name = camera.as_ref().map(|point| point.part.name.clone()).unwrap_or_default();
    kit.cameras.extend(camera.map(|point| point.part));
    name
}

/// The label of the mount that a rig of a class usually starts with.
pub const fn usual_mount(class: OtaClass) -> &'static str {
    usual_parts(class).2
}

/// The name of the mount that a new rig starts with, which is in the kit afterwards.
fn mount_for_new_rig(kit: &mut Kit, label: &str) -> String {
    if kit.mount(label).is_none() {
        let mount = mounts().into_iter().find(|point| point.label == label);
        kit.mounts.extend(mount.map(|point| point.part));
    }
    label.to_owned()
}

/// A kit with nothing on its lists, at a middling site.
///
/// The site is on the Greenwich meridian at 50 degrees north under a rural sky (Bortle class 4,
/// about 21 mag/arcsec²); what counts as good enough is common practice, no source.
pub fn new_kit(name: &str) -> Kit {
    Kit {
        format: FORMAT,
        name: name.to_owned(),
        site: Site {
            name: "My site".to_owned(),
            latitude_deg: 50.0,
            longitude_deg: 0.0,
            elevation_m: 100.0,
            time_zone: "UTC".to_owned(),
            sky_brightness_mag_arcsec2: 21.0,
            seeing_fwhm_arcsec: 2.5,
            extinction_mag_airmass: 0.2,
            lowest_altitude_deg: 25.0,
            horizon: Vec::new(),
            clear_fraction: Vec::new(),
        },
        limits: Limits {
            budget: None,
            currency: "EUR".to_owned(),
            carry_kg: None,
            payload_share: 0.5,
            whole_fill: 0.9,
            overlap: 0.15,
            detail: 40.0,
            snr: 20.0,
            thresholds: Thresholds::default(),
            checklist: None,
        },
        otas: Vec::new(),
        correctors: Vec::new(),
        cameras: Vec::new(),
        mounts: Vec::new(),
        rigs: Vec::new(),
        wish_list: Vec::new(),
        aims: Vec::new(),
        weights: Vec::new(),
        outlines: Vec::new(),
        compared_on: Vec::new(),
        background: None,
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test fails by panicking")]
    use super::*;

    #[test]
    fn a_new_kit_takes_a_rig_of_every_class_twice() {
        let mut kit = new_kit("Mine");
        for class in OtaClass::ALL.into_iter().chain(OtaClass::ALL) {
            let place = add_rig_of_class(&mut kit, class);
            assert_eq!(kit.resolve(place).unwrap().ota.class, class);
        }
        kit.check().unwrap();
        assert_eq!(kit.rigs.len(), 10);
        assert_eq!(kit.otas.len(), 10, "each rig has an OTA of its own");
        assert_eq!(kit.cameras.len(), 1, "all have the same camera");
    }

    /// Sides of the sensor formats, from memory (camera makers' published sizes, rounded); makers
    /// differ by some tenths of a millimetre.
    #[test]
    fn cameras_have_the_sides_of_their_formats() {
        let formats =
            [(36.0, 24.0), (23.5, 15.6), (17.3, 13.0), (13.2, 8.8), (7.2, 5.4), (5.6, 3.2)];
        for (point, (width, height)) in cameras().into_iter().zip(formats) {
            let camera = point.part;
            let sides = [camera.width_px, camera.height_px]
                .map(|px| f64::from(px) * camera.pixel_um / 1000.0);
            assert!((sides[0] - width).abs() < 0.3, "{}: {sides:?}", camera.name);
            assert!((sides[1] - height).abs() < 0.3, "{}: {sides:?}", camera.name);
        }
    }

    /// The focal ratio that an OTA's name says, where it says one.
    #[test]
    fn names_say_the_focal_ratio_they_have() {
        let mut said = 0;
        for point in otas() {
            let ota = point.part;
            let ratio = ota.name.split_once("f/").and_then(|(_, rest)| rest.split(' ').next());
            let ratio: f64 = ratio.unwrap().parse().unwrap();
            assert!((ota.focal_length_mm / ota.aperture_mm - ratio).abs() < 0.25, "{}", ota.name);
            said += 1;
        }
        assert_eq!(said, OTAS.len());
    }
}
