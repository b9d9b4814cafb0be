//! `fieldstop demands` run whole: its keys, its figures, and its reasons where there is none.
//!
//! Figures are worked out again here from the kit's numbers, by the formulas of the design.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod common;

use std::fs;

use common::{DEMO, answer, fieldstop, scratch};
use serde_json::Value;

const KEYS: [&str; 25] = [
    "corner_coma_arcsec",
    "dawes_arcsec",
    "delivered_fwhm_arcsec",
    "depth_of_focus_um",
    "focal_length_mm",
    "focal_ratio",
    "guide_rms_needed_arcsec",
    "hours_to_snr_per_arcsec2",
    "hours_to_snr_per_pixel",
    "image_circle_ok",
    "mass_on_mount_kg",
    "name",
    "payload_used",
    "pixels_per_fwhm",
    "price",
    "rayleigh_arcsec",
    "sampling",
    "sky_e_per_s_px",
    "sub_exposure_s",
    "t_number",
    "target_e_per_s_px",
    "unguided_half_fwhm_s",
    "unguided_s",
    "untracked_s",
    "why",
];

fn rigs(arguments: &[&str]) -> Vec<Value> {
    let all: Value = serde_json::from_str(&answer(arguments)).unwrap();
    assert_eq!(all["format"], 1);
    all["rigs"].as_array().unwrap().clone()
}

fn number(rig: &Value, key: &str) -> f64 {
    rig[key].as_f64().unwrap_or_else(|| unreachable!("{key} of {rig}"))
}

fn named<'a>(rigs: &'a [Value], name: &str) -> &'a Value {
    rigs.iter().find(|rig| rig["name"] == name).unwrap()
}

/// The demo kit with one piece replaced, as a file.
fn changed_kit(name: &str, from: &str, to: &str) -> String {
    let text = fs::read_to_string(DEMO).unwrap();
    assert!(text.contains(from), "{from}");
    let path = scratch(name);
    fs::write(&path, text.replacen(from, to, 1)).unwrap();
    path.into_os_string().into_string().unwrap()
}

#[test]
fn every_rig_has_the_agreed_keys_and_a_reason_for_each_null() {
    for arguments in [
        vec!["demands", DEMO, "--json"],
        vec!["demands", DEMO, "--json", "--target", "M 31"],
        vec!["demands", DEMO, "--json", "--target", "NGC 104"],
    ] {
        let rigs = rigs(&arguments);
        assert_eq!(rigs.len(), 6);
        for rig in &rigs {
            let mut keys: Vec<&str> = rig.as_object().unwrap().keys().map(String::as_str).collect();
            keys.sort_unstable();
            assert_eq!(keys, KEYS);
            for key in KEYS {
                let reason = rig["why"][key].as_str();
                assert_eq!(
                    rig[key].is_null(),
                    reason.is_some_and(|text| !text.is_empty()),
                    "{key}"
                );
            }
        }
    }
}

#[test]
fn figures_follow_their_formulas_at_the_zenith() {
    let rigs = rigs(&["demands", DEMO, "--json"]);
    let rig = named(&rigs, "Compound");
    let arcsec = 180.0 / std::f64::consts::PI * 3600.0;
    let (aperture_mm, pixel_um, latitude_deg): (f64, f64, f64) = (203.0, 3.9, 44.12);
    let pixel = pixel_um * 1e-3 / 2030.0 * arcsec;
    let close = |key: &str, wanted: f64, tolerance: f64| {
        let found = number(rig, key);
        assert!((found / wanted - 1.0).abs() < tolerance, "{key}: {found}, wanted {wanted}");
    };
    close("focal_length_mm", 2030.0, 1e-12);
    close("focal_ratio", 10.0, 1e-12);
    close("rayleigh_arcsec", 1.21967 * 550e-6 / aperture_mm * arcsec, 1e-4);
    close("dawes_arcsec", 116.0 / aperture_mm, 1e-12);
    close("depth_of_focus_um", 2.0 * 0.55 * 100.0, 1e-9);
    close("untracked_s", pixel / (15.041 * latitude_deg.to_radians().cos()), 1e-4);
    let rate = 3.0 * 60.0 * 7.2921e-5 + std::f64::consts::PI * 24.0 / 480.0;
    close("unguided_s", pixel / rate, 1e-4);
    close("unguided_half_fwhm_s", number(rig, "delivered_fwhm_arcsec") / 2.0 / rate, 1e-4);
    close("mass_on_mount_kg", 5.7 + 0.6 + 0.8, 1e-12);
    close("payload_used", 7.1 / 20.0, 1e-12);
    // The camera is owned.
    close("price", 1450.0 + 1300.0, 1e-12);
    assert_eq!(rig["sampling"], "over");
    assert_eq!(rig["image_circle_ok"], true);
    let obstruction = 69.0f64 / 203.0;
    close("t_number", 10.0 / (0.84 * (1.0 - obstruction * obstruction)).sqrt(), 1e-9);
}

#[test]
fn a_target_is_looked_at_where_it_is_highest() {
    let zenith = rigs(&["demands", DEMO, "--json"]);
    // M 8 is low from 44 degrees north: 22 degrees up, airmass 2.7.
    let low = rigs(&["demands", DEMO, "--json", "--target", "M 8"]);
    for (zenith, low) in zenith.iter().zip(&low) {
        assert!(
            number(low, "delivered_fwhm_arcsec") > number(zenith, "delivered_fwhm_arcsec"),
            "seeing grows with airmass"
        );
        assert!(number(low, "hours_to_snr_per_pixel") > 0.0);
        assert!(zenith["hours_to_snr_per_pixel"].is_null());
        // Declination -24.4 degrees against the latitude's 44.12.
        let ratio = number(low, "untracked_s") / number(zenith, "untracked_s");
        let wanted = 44.12f64.to_radians().cos() / 24.38f64.to_radians().cos();
        assert!((ratio - wanted).abs() < 1e-3, "{ratio}");
    }
}

#[test]
fn a_target_that_never_rises_has_no_figures_of_its_own() {
    let rigs = rigs(&["demands", DEMO, "--json", "--target", "NGC 104"]);
    for rig in &rigs {
        assert!(rig["delivered_fwhm_arcsec"].is_null() && rig["sub_exposure_s"].is_null());
        assert!(rig["why"]["delivered_fwhm_arcsec"].as_str().unwrap().contains("never rises"));
        assert!(number(rig, "payload_used") > 0.0, "what has nothing to do with it stays");
    }
}

#[test]
fn a_mount_without_any_error_has_no_unguided_limit() {
    let kit = changed_kit(
        "perfect-mount.ron",
        "periodic_error_arcsec: 24.0,\n            period_s: 480.0, guided_rms_arcsec: Some(0.8), polar_error_arcmin: 3.0,",
        "periodic_error_arcsec: 0.0,\n            period_s: 0.0, guided_rms_arcsec: Some(0.8), polar_error_arcmin: 0.0,",
    );
    let rigs = rigs(&["demands", &kit, "--json"]);
    let rig = named(&rigs, "Compound");
    assert!(rig["unguided_s"].is_null());
    assert!(rig["why"]["unguided_s"].as_str().unwrap().contains("neither"));
}

#[test]
fn people_read_a_table_with_words_for_the_marks() {
    let text = answer(&["demands", DEMO, "--target", "M 31"]);
    for part in ["M 31 at its highest", "Delivered FWHM", "Compound, reduced", "over, bad", "EUR"] {
        assert!(text.contains(part), "{part}\n{text}");
    }
    let refused = fieldstop(&["demands", DEMO, "--target", "no such thing"]);
    assert!(!refused.status.success() && refused.stdout.is_empty());
}
