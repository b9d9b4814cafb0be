//! A small kit for tests: two rigs that share a camera and a mount.

use super::{
    Camera, Corrector, FORMAT, Kit, Limits, Mount, MountKind, Ota, OtaClass, Rig, Site, Thresholds,
};

pub(crate) fn ota(name: &str, aperture_mm: f64, focal_length_mm: f64) -> Ota {
    Ota {
        name: name.to_owned(),
        class: OtaClass::Compound,
        aperture_mm,
        focal_length_mm,
        obstruction_mm: 0.0,
        transmission: 0.9,
        image_circle_mm: None,
        length_mm: None,
        mass_kg: 5.0,
        price: None,
        owned: false,
    }
}

pub(crate) fn rig(name: &str, ota: &str, corrector: Option<&str>) -> Rig {
    Rig {
        name: name.to_owned(),
        ota: ota.to_owned(),
        corrector: corrector.map(str::to_owned),
        camera: "APS-C".to_owned(),
        mount: "Mount".to_owned(),
        extra_mass_kg: 0.0,
        filter: None,
        adapters_mm: None,
        shown: true,
        mark: None,
    }
}

fn camera() -> Camera {
    Camera {
        name: "APS-C".to_owned(),
        width_px: 6000,
        height_px: 4000,
        pixel_um: 3.9,
        read_noise_e: 1.6,
        dark_e_per_s: 0.003,
        quantum_efficiency: 0.75,
        passband_nm: 300.0,
        wavelength_nm: None,
        colour: false,
        flange_mm: None,
        full_well_e: 50_000.0,
        bit_depth: 16,
        mass_kg: 0.6,
        price: None,
        owned: true,
    }
}

fn mount() -> Mount {
    Mount {
        name: "Mount".to_owned(),
        kind: MountKind::Equatorial,
        payload_kg: 9.0,
        periodic_error_arcsec: 40.0,
        period_s: 480.0,
        guided_rms_arcsec: Some(1.0),
        polar_error_arcmin: 4.0,
        mass_kg: 7.5,
        price: None,
        owned: true,
    }
}

fn reducer() -> Corrector {
    Corrector {
        name: "Reducer".to_owned(),
        factor: 0.7,
        image_circle_mm: None,
        back_focus_mm: None,
        mass_kg: 0.4,
        price: None,
        owned: false,
    }
}

/// "Long" and "Reduced" share one OTA, one camera and one mount; "Reduced" has a reducer of 0.7.
pub(crate) fn kit() -> Kit {
    Kit {
        format: FORMAT,
        name: "Sample".to_owned(),
        site: Site {
            name: "Field".to_owned(),
            latitude_deg: 50.0,
            longitude_deg: 0.0,
            elevation_m: 100.0,
            time_zone: "UTC".to_owned(),
            sky_brightness_mag_arcsec2: 20.0,
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
        otas: vec![ota("200 mm f/10", 200.0, 2000.0)],
        correctors: vec![reducer()],
        cameras: vec![camera()],
        mounts: vec![mount()],
        rigs: vec![
            rig("Long", "200 mm f/10", None),
            rig("Reduced", "200 mm f/10", Some("Reducer")),
        ],
        wish_list: Vec::new(),
        aims: Vec::new(),
        weights: Vec::new(),
        outlines: Vec::new(),
        compared_on: Vec::new(),
        background: None,
    }
}
