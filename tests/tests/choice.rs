//! Useful focal lengths against the reference tables, and what every photographer of the sky knows
//! of short and long telescopes, on the real catalogue.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::sync::LazyLock;

use fieldstop::choice::{Choice, Criterion, Wanted, choice};
use fieldstop::demands::{Conditions, demands};
use fieldstop::focal_range::{FASTEST_RATIO, Setting};
use fieldstop::kit::Kit;
use fieldstop::{Angle, Outline, Sensor};
use fieldstop_gui::sky::catalogue::Catalogue;
use fieldstop_gui::state::demand_target::demand_target;
use fieldstop_tests::{Judge, reference_rows};
use serde::Deserialize;

static CATALOGUE: LazyLock<Catalogue> = LazyLock::new(|| Catalogue::embedded().unwrap());

fn kit() -> Kit {
    let kit: Kit = ron::from_str(include_str!("../kits/example-kit.ron")).unwrap();
    kit.check().unwrap();
    kit
}

/// A list of catalogue names, each with a thousand hours.
fn wanted(names: &[&str]) -> Vec<Wanted> {
    let want = |name: &&str| {
        let target = CATALOGUE.named(name).unwrap();
        Wanted {
            name: (*name).to_owned(),
            outline: target.shape(),
            demand: demand_target(target),
            hours_in_year: 1000.0,
            stars: 1,
        }
    };
    names.iter().map(want).collect()
}

fn choose(kit: &Kit, names: &[&str]) -> Choice {
    choice(kit, 0, &wanted(names), &Criterion::ALL, &Conditions::at_zenith(&kit.site))
}

fn best_rig(choice: &Choice) -> &str {
    &choice.rigs[choice.best_rig.unwrap()].name
}

#[derive(Deserialize)]
struct CoverRow {
    id: u32,
    sensor_w_mm: f64,
    sensor_h_mm: f64,
    focal_mm: f64,
    target_major_arcmin: f64,
    target_minor_arcmin: f64,
    target_pa_deg: f64,
    offset_xi_arcmin: f64,
    offset_eta_arcmin: f64,
    required_margin_fraction: f64,
    best_margin_fraction: f64,
}

/// Source: `reference/ellipse_cover.csv`, best rotation by a grid of 0.05 degrees; versions in
/// `reference/MANIFEST.csv`. A target that fills `1 - margin` at one focal length fills the share
/// wanted at another in proportion. 0.001 is the table's tolerance for the margin.
#[test]
fn the_longest_focal_length_is_that_of_the_table() {
    let mut judge = Judge::new("longest whole focal length", 0.001, "of the table's")
        .against("ellipse_cover.csv");
    for row in reference_rows::<CoverRow>("ellipse_cover.csv") {
        if row.offset_xi_arcmin != 0.0 || row.offset_eta_arcmin != 0.0 {
            continue;
        }
        let outline = Outline {
            major: Angle::from_arcmin(row.target_major_arcmin),
            minor: Some(Angle::from_arcmin(row.target_minor_arcmin)),
            position_angle: Some(Angle::from_deg(row.target_pa_deg)),
        };
        let setting = Setting {
            sensor: Sensor { width_mm: row.sensor_w_mm, height_mm: row.sensor_h_mm },
            pixel_um: 4.0,
            aperture_mm: 100.0,
            obstruction_ratio: 0.0,
            wavelength_nm: 550.0,
            seeing_fwhm_arcsec: 2.0,
            guiding_rms_arcsec: 0.0,
        };
        let whole_fill = 1.0 - row.required_margin_fraction;
        let wanted = row.focal_mm * whole_fill / (1.0 - row.best_margin_fraction);
        let found = setting.longest_whole_mm(&outline, whole_fill);
        judge.row(row.id, found / wanted - 1.0);
    }
    judge.verdict(40);
}

#[derive(Deserialize)]
struct WidthRow {
    aperture_mm: f64,
    obstruction_ratio: f64,
    seeing_fwhm_arcsec: f64,
    guiding_rms_per_axis_arcsec: f64,
    pixel_arcsec: f64,
    fwhm_area_arcsec: f64,
}

/// Source: `reference/psf_fwhm.csv`, direct Fourier sum; versions in `reference/MANIFEST.csv`.
/// The focal length that gives the table's pixel also gives its width, and is found again from the
/// width. 2 % is the table's tolerance for a width.
#[test]
fn the_shortest_focal_length_delivers_the_table_s_width() {
    let mut width = Judge::new("delivered width", 0.02, "of the table's").against("psf_fwhm.csv");
    let mut found_again =
        Judge::new("focal length found again", 1e-3, "of itself").against("psf_fwhm.csv");
    for row in reference_rows::<WidthRow>("psf_fwhm.csv") {
        let focal_length_mm = 2000.0;
        let setting = Setting {
            sensor: Sensor { width_mm: 24.0, height_mm: 16.0 },
            pixel_um: Angle::from_arcsec(row.pixel_arcsec).rad() * focal_length_mm * 1000.0,
            aperture_mm: row.aperture_mm,
            obstruction_ratio: row.obstruction_ratio,
            wavelength_nm: 550.0,
            seeing_fwhm_arcsec: row.seeing_fwhm_arcsec,
            guiding_rms_arcsec: row.guiding_rms_per_axis_arcsec * 2f64.sqrt(),
        };
        if row.aperture_mm > focal_length_mm / FASTEST_RATIO {
            continue;
        }
        let delivered = setting.delivered_fwhm_arcsec(focal_length_mm);
        width.row(focal_length_mm, delivered / row.fwhm_area_arcsec - 1.0);
        // Where the pixel hardly widens the star, a hair of width is much of focal length.
        if delivered > 1.05 * setting.least_fwhm_arcsec() {
            let again = setting.shortest_for_fwhm_mm(delivered).unwrap();
            found_again.row(focal_length_mm, again / focal_length_mm - 1.0);
        }
    }
    width.verdict(60);
    found_again.verdict(10);
}

/// Common practice, no source: large nebulae and M 31 ask for a short refractor.
#[test]
fn a_short_refractor_serves_the_large_ones() {
    let choice = choose(&kit(), &["M 31", "NGC 7000", "IC 1805", "NGC 2237", "IC 1396", "M 45"]);
    assert_eq!(best_rig(&choice), "Short refractor");
    let served: Vec<u32> = choice.rigs.iter().map(|rig| rig.served.count).collect();
    // The kit's first is the short refractor, its fourth the compound OTA.
    assert!(served[0] >= 4 && served[1..].iter().all(|&other| other < served[0]), "{served:?}");
    assert_eq!(served[3], 0);
    let best = choice.best.unwrap();
    assert!(best.to_mm < 500.0, "{best:?}");
}

/// Common practice, no source: small galaxies and planetary nebulae ask for a long telescope, where
/// air and mount allow it. Without better air than at sea level even that shows too little.
#[test]
fn a_long_telescope_serves_the_small_ones() {
    let names = ["M 57", "NGC 6781", "M 76", "NGC 7662", "NGC 7332"];
    let mut kit = kit();
    kit.limits.detail = 45.0;
    kit.site.seeing_fwhm_arcsec = 1.2;
    kit.mounts[0].guided_rms_arcsec = Some(0.35);
    let compound = kit.rigs.iter().position(|rig| rig.name == "Compound").unwrap();
    let conditions = Conditions::at_zenith(&kit.site);
    let chosen = choice(&kit, compound, &wanted(&names), &Criterion::ALL, &conditions);
    let served: Vec<u32> = chosen.rigs.iter().map(|rig| rig.served.count).collect();
    assert!(served[..3].iter().all(|&shorter| shorter < served[compound]), "{served:?}");
    assert!(best_rig(&chosen).starts_with("Compound"), "{}", best_rig(&chosen));
    let best = chosen.best.unwrap();
    assert!(best.from_mm > 500.0, "{best:?}");
    // In poor air nothing does.
    kit.site.seeing_fwhm_arcsec = 5.0;
    let ring = |choice: &Choice| choice.ranges[0].range.unwrap().shortest_mm;
    assert!(ring(&chosen).is_some() && ring(&choose(&kit, &names)).is_none());
}

/// Common practice, no source: planets want a Barlow. At the pixels of deep-sky cameras every rig
/// of the kit does, and says so.
#[test]
fn planets_want_a_barlow() {
    let kit = kit();
    for place in 0..kit.rigs.len() {
        let rig = kit.resolve(place).unwrap();
        let demands =
            demands(&rig, &kit.site, &kit.limits, None, &Conditions::at_zenith(&kit.site));
        let factor = demands.barlow_factor.unwrap();
        assert!((1.2..5.0).contains(&factor), "{}: {factor}", rig.rig.name);
    }
    let choice = choose(&kit, &["M 31"]);
    let said = |finding: &fieldstop::findings::Finding| {
        finding.text.starts_with("For planets") && finding.text.contains("a Barlow of")
    };
    assert!(choice.findings.iter().any(said));
}
