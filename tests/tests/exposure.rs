//! Electrons, signal and noise, hours: the CCD equation against its reference table.
//!
//! Source: `reference/ccd_snr.csv` (40 rows: plain arithmetic of Merline & Howell 1995 and of AB
//! magnitudes, Oke & Gunn 1983), versions in `reference/MANIFEST.csv`.

use fieldstop::exposure::Rates;
use fieldstop::light::{Passband, clear_area_m2, flux_ratio, zero_point_e_per_s};
use fieldstop::pixel_scale;
use fieldstop_tests::{Judge, reference_rows};
use proptest::prelude::*;
use serde::Deserialize;

#[derive(Deserialize)]
struct Row {
    id: u32,
    aperture_mm: f64,
    obstruction_ratio: f64,
    focal_mm: f64,
    pixel_um: f64,
    wavelength_nm: f64,
    bandwidth_nm: f64,
    qe: f64,
    throughput: f64,
    object_mag_ab_per_arcsec2: f64,
    sky_mag_ab_per_arcsec2: f64,
    dark_e_per_s_px: f64,
    read_noise_e: f64,
    gain_e_per_adu: f64,
    sub_s: f64,
    subs: f64,
    background_px: f64,
    scale_arcsec_per_px: f64,
    object_e_per_s_px: f64,
    sky_e_per_s_px: f64,
    snr_sub: f64,
    snr_stack: f64,
    snr_sub_merline_howell: f64,
    subs_for_snr10: f64,
    sub_for_5pct_read_noise_s: f64,
}

impl Row {
    fn scale_arcsec(&self) -> f64 {
        pixel_scale(self.pixel_um, self.focal_mm).arcsec()
    }

    fn rates(&self) -> Rates {
        let band = Passband {
            centre_nm: self.wavelength_nm,
            width_nm: self.bandwidth_nm,
            efficiency: self.qe,
            pixel_share: 1.0,
        };
        let obstruction_mm = self.aperture_mm * self.obstruction_ratio;
        let area_m2 = clear_area_m2(self.aperture_mm, obstruction_mm);
        let pixel =
            zero_point_e_per_s(area_m2, self.throughput, band) * self.scale_arcsec().powi(2);
        Rates {
            target_e_per_s: pixel * flux_ratio(self.object_mag_ab_per_arcsec2),
            sky_e_per_s: pixel * flux_ratio(self.sky_mag_ab_per_arcsec2),
            dark_e_per_s: self.dark_e_per_s_px,
            read_noise_e: self.read_noise_e,
        }
    }
}

/// 1e-6 of the value: named by the table's README.
#[test]
fn rates_ratios_and_times_agree() {
    let mut judge = Judge::new("CCD equation", 1e-6, "of its value").against("ccd_snr.csv");
    for row in reference_rows::<Row>("ccd_snr.csv") {
        let rates = row.rates();
        let undark = Rates { dark_e_per_s: 0.0, ..rates };
        let measured =
            rates.snr_measured_background(row.sub_s, row.background_px, row.gain_e_per_adu);
        let subs_for_ten = rates.hours_to_snr(10.0, row.sub_s) * 3600.0 / row.sub_s;
        let pairs = [
            ("scale", row.scale_arcsec_per_px, row.scale_arcsec()),
            ("target", row.object_e_per_s_px, rates.target_e_per_s),
            ("sky", row.sky_e_per_s_px, rates.sky_e_per_s),
            ("one sub", row.snr_sub, rates.snr(row.sub_s, 1.0)),
            ("stack", row.snr_stack, rates.snr(row.sub_s, row.subs)),
            ("measured background", row.snr_sub_merline_howell, measured),
            ("subs for 10", row.subs_for_snr10, subs_for_ten),
            ("sub-exposure", row.sub_for_5pct_read_noise_s, undark.shortest_sub_s(0.05)),
        ];
        for (what, wanted, found) in pairs {
            judge.row(format_args!("{} {what}", row.id), found / wanted - 1.0);
        }
    }
    judge.verdict(320);
}

proptest! {
    /// The definition itself: at the shortest sub-exposure, read noise adds just that share.
    #[test]
    fn read_noise_adds_the_accepted_share(
        sky_e_per_s in 0.001..100.0_f64, dark_e_per_s in 0.0..1.0_f64,
        read_noise_e in 0.1..20.0_f64, extra in 0.01..0.5_f64,
    ) {
        let rates = Rates { target_e_per_s: 0.0, sky_e_per_s, dark_e_per_s, read_noise_e };
        let background = (sky_e_per_s + dark_e_per_s) * rates.shortest_sub_s(extra);
        let noise = (background + read_noise_e.powi(2)).sqrt();
        prop_assert!((noise / background.sqrt() - 1.0 - extra).abs() < 1e-9);
    }

    /// Four times the hours for twice the ratio, however long the sub-exposures.
    #[test]
    fn twice_the_ratio_takes_four_times_the_hours(
        target_e_per_s in 1e-4..10.0_f64, sub_s in 1.0..1000.0_f64, snr in 1.0..100.0_f64,
    ) {
        let rates = Rates { target_e_per_s, sky_e_per_s: 0.5, dark_e_per_s: 0.01, read_noise_e: 2.0 };
        let hours = rates.hours_to_snr(snr, sub_s);
        prop_assert!((rates.hours_to_snr(2.0 * snr, sub_s) / hours - 4.0).abs() < 1e-9);
        prop_assert!((rates.snr(sub_s, hours * 3600.0 / sub_s) / snr - 1.0).abs() < 1e-9);
    }
}
