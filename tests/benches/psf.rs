//! What moving a slider over the Demands table costs: one star, its guiding, and a whole table.
//!
//! At the end, in the same run, the same star by an array library's FFT (`psf_peer.py`, if python3
//! has numpy and scipy), on the smallest grid that is as near to the reference table as ours is.

#![allow(clippy::expect_used, reason = "a bench without its kit measures nothing")]

#[path = "common/median.rs"]
mod median;
#[path = "common/peer.rs"]
mod peer;

use std::hint::black_box;

use criterion::Criterion;
use fieldstop::Angle;
use fieldstop::demands::{Conditions, DemandTarget, demands, detail_of};
use fieldstop::kit::Kit;
use fieldstop::psf::Blur;
use median::median_seconds;

const BLUR: Blur = Blur {
    aperture_mm: 150.0,
    obstruction_ratio: 0.4,
    wavelength_nm: 550.0,
    seeing_fwhm_arcsec: 2.6,
    guiding_rms_arcsec: 1.0,
    pixel_arcsec: 1.4,
};

fn one_star(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("one star");
    // Measured on a right answer: the width of the same blur, to three digits.
    assert!((2.5..4.5).contains(&BLUR.fwhm_arcsec()));
    for (name, pixel_arcsec) in [("pixel 0.5 x blur", 1.4), ("2 x", 6.0), ("5 x", 15.0)] {
        let blur = Blur { pixel_arcsec, ..BLUR };
        group.bench_function(format!("delivered FWHM, {name}"), |bencher| {
            bencher.iter(|| black_box(blur).fwhm_arcsec());
        });
    }
    group.bench_function("guiding RMS for a loss of 10 %", |bencher| {
        bencher.iter(|| black_box(BLUR).guiding_rms_for_loss(0.1));
    });
    let radii: Vec<f64> = (0..200).map(|step| f64::from(step) * 0.04).collect();
    group.bench_function("profile of 200 points for a plot", |bencher| {
        bencher.iter(|| black_box(BLUR).profile(&radii));
    });
    group.finish();
}

/// Eight rigs made of the kit's first five, each with another focal length.
fn eight_rigs() -> Kit {
    let mut kit: Kit = ron::from_str(include_str!("../kits/example-kit.ron")).expect("a kit");
    for number in 0..3 {
        let mut ota = kit.otas[number].clone();
        let mut rig = kit.rigs[number].clone();
        ota.name = format!("{} longer", ota.name);
        ota.focal_length_mm *= 1.3;
        rig.name = format!("{} longer", rig.name);
        rig.ota.clone_from(&ota.name);
        kit.otas.push(ota);
        kit.rigs.push(rig);
    }
    kit
}

fn whole_table(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("8 rigs x 30 targets");
    let kit = eight_rigs();
    let rigs: Vec<_> = (0..8).filter_map(|rig| kit.resolve(rig)).collect();
    assert_eq!(rigs.len(), 8);
    let targets: Vec<_> = (0..30)
        .map(|number| {
            let target = DemandTarget {
                declination: Angle::from_deg(f64::from(number) * 2.0),
                major: Some(Angle::from_arcmin(5.0 + f64::from(number))),
                surface_brightness_mag_arcsec2: Some(22.0 + 0.1 * f64::from(number)),
                line_share: Ok(None),
            };
            let mut conditions = Conditions::at_zenith(&kit.site);
            conditions.airmass = 1.0 + 0.04 * f64::from(number);
            (target, conditions)
        })
        .collect();
    group.bench_function("all figures", |bencher| {
        bencher.iter(|| {
            for rig in &rigs {
                for (target, conditions) in &targets {
                    black_box(demands(rig, &kit.site, &kit.limits, Some(target), conditions));
                }
            }
        });
    });
    group.bench_function("detail alone", |bencher| {
        bencher.iter(|| {
            for rig in &rigs {
                for (target, conditions) in &targets {
                    let _ = black_box(detail_of(rig, Some(target), conditions));
                }
            }
        });
    });
    group.finish();
}

/// Median seconds of one star.
fn seconds() -> f64 {
    const STARS: u32 = 100;
    let hundred = median_seconds(51, || {
        for _ in 0..STARS {
            black_box(black_box(BLUR).fwhm_arcsec());
        }
    });
    hundred / f64::from(STARS)
}

fn print_beside_the_peer() {
    let per_axis = BLUR.guiding_rms_arcsec / 2f64.sqrt();
    let [aperture, obstruction] = [BLUR.aperture_mm, BLUR.obstruction_ratio];
    let blur = [aperture, obstruction, BLUR.seeing_fwhm_arcsec, per_axis, BLUR.pixel_arcsec];
    let words = blur.map(|number| number.to_string()).into_iter();
    let arguments: Vec<String> = words.chain(["256".to_owned(), "51".to_owned()]).collect();
    peer::beside("psf_peer.py", "numpy and scipy", &arguments, |peer| {
        let (theirs, ours) = (peer::number(peer, "seconds"), seconds());
        let apart = peer::number(peer, "fwhm_arcsec") / BLUR.fwhm_arcsec() - 1.0;
        println!(
            "one star: {:.1} µs; numpy FFT of 256 x 256 {:.0} µs, {:.0} times ours; widths {:.4} % apart",
            ours * 1e6,
            theirs * 1e6,
            theirs / ours,
            apart.abs() * 100.0,
        );
        assert!(apart.abs() < 1e-4, "the two do not agree");
    });
}

fn main() {
    let mut criterion = Criterion::default().configure_from_args();
    one_star(&mut criterion);
    whole_table(&mut criterion);
    criterion.final_summary();
    print_beside_the_peer();
}
