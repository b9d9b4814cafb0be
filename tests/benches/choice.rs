//! What the Choose view waits for: the curves over the whole catalogue, the panels of a mosaic,
//! and the whole choice of a kit.

#![allow(missing_docs, reason = "criterion's macros make undocumented functions")]
#![allow(clippy::expect_used, reason = "a bench without its kit measures nothing")]

use std::hint::black_box;

use criterion::{BenchmarkId, Criterion as Bencher, criterion_group, criterion_main};
use fieldstop::choice::{Criterion, Wanted, choice};
use fieldstop::demands::{Conditions, DemandTarget};
use fieldstop::focal_coverage::{FocalCoverage, Interest};
use fieldstop::focal_range::{Ranges, Setting};
use fieldstop::kit::Kit;
use fieldstop::panel_search::fewest_panels;
use fieldstop::{Angle, Direction, Field, Outline};

fn kit() -> Kit {
    ron::from_str(include_str!("../kits/example-kit.ron")).expect("a kit")
}

/// Ellipses of sizes from 0.3 arcminutes to 5 degrees, as a catalogue has them: many small.
fn outlines(count: u32) -> Vec<Outline> {
    (0..count)
        .map(|k| {
            let share = f64::from(k.wrapping_mul(2_654_435_761) % 10_007) / 10_007.0;
            let major = 0.3 * 1000f64.powf(share * share);
            Outline {
                major: Angle::from_arcmin(major),
                minor: Some(Angle::from_arcmin(major * (0.3 + 0.7 * share))),
                position_angle: Some(Angle::from_deg(180.0 * share)),
            }
        })
        .collect()
}

fn coverage(bencher: &mut Bencher) {
    let kit = kit();
    let rig = kit.resolve(1).expect("a rig");
    let setting = Setting::of(&rig, &Conditions::at_zenith(&kit.site));
    let mut group = bencher.benchmark_group("coverage");
    group.sample_size(20);
    for count in [130, 1_300, 13_000] {
        let outlines = outlines(count);
        let curves = || {
            let ranges = Ranges::new(setting);
            let interests: Vec<Interest> = outlines
                .iter()
                .map(|outline| Interest { range: ranges.of(outline, 0.9, 40.0), weight: 900.0 })
                .collect();
            let coverage = FocalCoverage::new(&interests);
            (coverage.best(), coverage.best_pair())
        };
        // Measured on a right answer: two serve more than one.
        let (best, pair) = curves();
        assert!(best.is_some() && pair.is_some_and(|pair| pair.served.count > 0));
        group.bench_function(BenchmarkId::new("curve, best and best pair", count), |bencher| {
            bencher.iter(&curves);
        });
    }
    group.finish();
}

fn panels(bencher: &mut Bencher) {
    let centre = Direction::from_ra_dec(Angle::from_deg(10.0), Angle::from_deg(60.0));
    let field = Field { half_width: 0.015, half_height: 0.01 };
    let mut group = bencher.benchmark_group("fewest panels");
    group.sample_size(20);
    for side in [2.0, 4.0, 6.0] {
        // As large as that many by that many panels at the overlap hold.
        let reach = 1.0 + (side - 1.0) * 0.85;
        let axis = |half: f64| Angle::from_rad(2.0 * (0.999 * half * reach).atan());
        let outline = Outline {
            major: axis(field.half_width),
            minor: Some(axis(field.half_height)),
            position_angle: Some(Angle::from_deg(120.0)),
        };
        let search = || fewest_panels(centre, Some(black_box(&outline)), &field, 0.15);
        let plan = search().expect("a mosaic");
        assert!(plan.proved && plan.panels.len() <= plan.plain, "{}", plan.panels.len());
        let grid = format!("{side} x {side}, {} of {} panels", plan.panels.len(), plan.plain);
        group.bench_function(grid, |bencher| bencher.iter(search));
    }
    group.finish();
}

fn whole_choice(bencher: &mut Bencher) {
    let kit = kit();
    let wanted: Vec<Wanted> = outlines(30)
        .into_iter()
        .enumerate()
        .map(|(number, outline)| Wanted {
            name: format!("target {number}"),
            outline: Some(outline.into()),
            demand: DemandTarget {
                declination: Angle::from_deg(40.0),
                major: Some(outline.major),
                surface_brightness_mag_arcsec2: Some(22.0),
                line_share: Ok(None),
            },
            hours_in_year: 900.0,
            stars: 1,
        })
        .collect();
    let conditions = Conditions::at_zenith(&kit.site);
    let all = || choice(&kit, 0, black_box(&wanted), &Criterion::ALL, &conditions);
    assert!(all().findings.len() > 5);
    bencher.bench_function("5 rigs x 30 targets, with findings", |bencher| bencher.iter(all));
}

criterion_group!(benches, coverage, panels, whole_choice);
criterion_main!(benches);
