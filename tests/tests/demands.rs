//! Whole rigs: how their figures scale, what the trade knows, and that nothing breaks them.
//!
//! The scaling rules follow from etendue: light on a pixel goes with the square of aperture over
//! focal length. Trade facts are "common practice, no source".

#![allow(clippy::expect_used, clippy::panic, reason = "a test fails by panicking")]

use fieldstop::Angle;
use fieldstop::demands::{
    Conditions, DemandTarget, Demands, Figure, Grade, Remedy, Value, demands, detail_of,
    sensitivity,
};
use fieldstop::kit::{Filter, Kit, MountKind, OtaClass};
use fieldstop::why::{Part, Why};
use proptest::prelude::*;

fn kit() -> Kit {
    ron::from_str(include_str!("../kits/example-kit.ron")).expect("the example kit")
}

/// A galaxy of the usual surface brightness, overhead at the example kit's site.
const GALAXY: DemandTarget = DemandTarget {
    declination: Angle::from_deg(47.0),
    major: Some(Angle::from_arcmin(11.0)),
    surface_brightness_mag_arcsec2: Some(22.5),
    line_share: Ok(None),
};

fn figures(kit: &Kit, rig: usize, target: Option<&DemandTarget>) -> Demands {
    let resolved = kit.resolve(rig).expect("a rig");
    demands(&resolved, &kit.site, &kit.limits, target, &Conditions::at_zenith(&kit.site))
}

/// The kit's first rig as a bare tube of an aperture and focal length, with a sky-limited camera.
fn bare(aperture_mm: f64, focal_length_mm: f64, pixel_um: f64) -> Kit {
    let mut kit = kit();
    let ota = &mut kit.otas[0];
    (ota.aperture_mm, ota.focal_length_mm) = (aperture_mm, focal_length_mm);
    kit.rigs[0].corrector = None;
    kit.cameras[0].pixel_um = pixel_um;
    kit.cameras[0].dark_e_per_s = 0.0;
    kit
}

fn hours(kit: &Kit) -> f64 {
    figures(kit, 0, Some(&GALAXY)).hours_to_snr_per_pixel.expect("a bright enough target")
}

proptest! {
    #[test]
    fn exposure_scales_with_focal_ratio_alone(
        aperture in 30.0..400.0_f64, ratio in 2.0..12.0_f64, pixel in 2.0..10.0_f64,
    ) {
        let one = hours(&bare(aperture, aperture * ratio, pixel));
        let same_ratio = hours(&bare(2.0 * aperture, 2.0 * aperture * ratio, pixel));
        prop_assert!((same_ratio / one - 1.0).abs() < 1e-9);
        let twice_ratio = hours(&bare(aperture, 2.0 * aperture * ratio, pixel));
        prop_assert!((twice_ratio / one - 4.0).abs() < 1e-9);
        let twice_aperture = hours(&bare(2.0 * aperture, aperture * ratio, pixel));
        prop_assert!((twice_aperture / one - 0.25).abs() < 1e-9);
    }

    /// The same piece of sky: only the aperture counts, not the focal length.
    #[test]
    fn hours_for_a_piece_of_sky_scale_with_aperture_alone(
        aperture in 30.0..400.0_f64, ratio in 2.0..12.0_f64, pixel in 2.0..10.0_f64,
    ) {
        let hours = |kit: &Kit| figures(kit, 0, Some(&GALAXY)).hours_to_snr_per_arcsec2.expect("hours");
        let one = hours(&bare(aperture, aperture * ratio, pixel));
        prop_assert!((hours(&bare(aperture, 3.0 * aperture * ratio, pixel)) / one - 1.0).abs() < 1e-9);
        prop_assert!((hours(&bare(2.0 * aperture, aperture * ratio, pixel)) / one - 0.25).abs() < 1e-9);
    }
}

/// Common practice, no source.
#[test]
fn a_fast_newtonian_needs_a_coma_corrector_on_aps_c() {
    let mut kit = bare(205.0, 800.0, 3.9);
    kit.otas[0].class = OtaClass::Newtonian;
    let found = figures(&kit, 0, None);
    assert!((found.focal_ratio - 3.9).abs() < 0.01);
    assert!(found.corner_coma_arcsec.expect("coma") > 2.0 * found.delivered_fwhm_arcsec);
    let graded = found.grade(Figure::CornerComa, &kit.limits).expect("a grade");
    assert_eq!(graded.grade, Grade::Bad);
    assert_eq!(graded.remedies.first(), Some(&Remedy::ComaCorrector));
    // With one, or in another class, there is none to speak of.
    assert_eq!(figures(&self::kit(), 2, None).corner_coma_arcsec, Err(Why::Corrected));
    assert_eq!(figures(&self::kit(), 3, None).corner_coma_arcsec, Err(Why::NotAParaboloid));
}

/// Common practice, no source.
#[test]
fn a_short_refractor_on_a_light_mount_is_guided_easily() {
    let kit = kit();
    let found = figures(&kit, 0, None);
    assert!((found.focal_length_mm - 350.0).abs() < 1e-9);
    // A light mount is guided to about an arcsecond; the kit's seeing is 2.6.
    assert!(found.guide_rms_needed_arcsec > 0.9, "{}", found.guide_rms_needed_arcsec);
    assert!(found.guiding_loss < 0.12, "{}", found.guiding_loss);
    let grade = |figure| found.grade(figure, &kit.limits).expect("a grade").grade;
    assert_eq!(grade(Figure::GuideRmsNeeded), Grade::Good);
    assert_eq!(grade(Figure::PayloadUsed), Grade::Good);
}

/// Common practice, no source.
#[test]
fn two_metres_at_f_10_is_over_sampled_and_needs_sub_arcsecond_guiding() {
    for seeing in [2.0, 2.5, 3.0] {
        let mut kit = bare(200.0, 2000.0, 3.76);
        kit.site.seeing_fwhm_arcsec = seeing;
        let found = figures(&kit, 0, None);
        assert_eq!(found.sampling.word(), "over", "in {seeing} arcsec");
        assert!(found.guide_rms_needed_arcsec < 1.0, "in {seeing} arcsec");
        assert!(found.binning.is_some_and(|binning| binning.factor >= 2), "in {seeing} arcsec");
    }
}

/// Arithmetic on the example kit's own numbers, by hand.
#[test]
fn figures_of_the_example_kit_are_those_worked_out_by_hand() {
    let kit = kit();
    let short = figures(&kit, 0, Some(&GALAXY));
    // 1.9 + 0.3 + 0.6 + 0.7 kg on a mount rated 9 kg; the mount itself weighs 7.5 kg.
    assert!((short.load.on_mount_kg - 3.5).abs() < 1e-12);
    assert!((short.load.payload_used - 3.5 / 9.0).abs() < 1e-12);
    assert!((short.load.carry_kg - 11.0).abs() < 1e-12);
    assert_eq!((short.load.heaviest, short.load.heaviest_kg), (Part::Mount, 7.5));
    // 520 + 160; camera and mount are owned.
    assert_eq!(short.price, Ok(680.0));
    // 2.2984 arcsec a pixel; 4 arcmin x 0.2625 / 60 = 0.0175, pi x 40 / 480 = 0.2618 arcsec/s.
    assert!((short.unguided_s.expect("time") - 2.2984 / (0.017_501 + 0.261_799)).abs() < 1e-3);
    let untracked = 2.2984 / (15.041_07 * 47f64.to_radians().cos());
    assert!((short.untracked_s.expect("time") - untracked).abs() < 1e-5);
    // 3631 Jy / h x 300 / 550 x pi/4 (0.06 m)^2 x 0.95 x 0.75 x 2.2984^2 x 10^(-0.4 x 20.6); then
    // 1.6^2 over that with 0.003 of dark current, times 0.1025.
    assert!((short.rates.sky_e_per_s - 1.8304).abs() < 1e-3);
    assert!((short.sub_exposure_s - 13.62).abs() < 0.01);
    // 22.5 mag, dimmed by 0.18 at the zenith, is 2.08 mag fainter than the sky.
    let target = short.target_e_per_s_px.expect("a rate");
    assert!((target / short.rates.sky_e_per_s - 10f64.powf(-0.4 * 2.08)).abs() < 1e-9);
    // 350 / 60 over the root of 0.95.
    assert!((short.t_number - 5.9849).abs() < 1e-4);
    // A diagonal of 28.12 mm: in a circle of 30, not in 28, not in 24.
    let whole = |rig| figures(&kit, rig, None).coverage.map(|coverage| coverage.is_whole());
    assert_eq!([0, 2, 3, 4].map(whole), [Ok(true), Ok(false), Ok(true), Ok(false)]);
    // Without a target, for a star that passes the zenith of 54.31 degrees north.
    let untracked = 2.2984 / (15.041_07 * 54.31f64.to_radians().cos());
    assert!((figures(&kit, 0, None).untracked_s.expect("time") - untracked).abs() < 1e-5);
}

#[test]
fn what_is_missing_is_said() {
    let mut kit = kit();
    let without = figures(&kit, 0, None);
    assert_eq!(without.target_e_per_s_px, Err(Why::NoTarget));
    assert_eq!(without.hours_to_snr_per_pixel, Err(Why::NoTarget));
    assert_eq!(without.subs_a_night, Err(Why::NoDarkHours));
    let dim = DemandTarget { surface_brightness_mag_arcsec2: None, major: None, ..GALAXY };
    assert_eq!(figures(&kit, 0, Some(&dim)).target_e_per_s_px, Err(Why::NoSurfaceBrightness));
    assert_eq!(figures(&kit, 0, Some(&dim)).detail, Err(Why::NoTargetSize));
    kit.otas[0].price = None;
    assert_eq!(figures(&kit, 0, None).price, Err(Why::NoPrice(Part::Ota)));
    kit.otas[0].owned = true;
    assert_eq!(figures(&kit, 0, None).price, Ok(160.0));
    // A mount without periodic error has period 0; aligned perfectly it does not drift at all.
    let mount = &mut kit.mounts[0];
    (mount.periodic_error_arcsec, mount.period_s) = (0.0, 0.0);
    let aligned = figures(&kit, 0, None).unguided_s.expect("polar drift is left");
    assert!((aligned - 2.2984 / 0.017_501).abs() < 0.1);
    kit.mounts[0].polar_error_arcmin = 0.0;
    assert_eq!(figures(&kit, 0, None).unguided_s, Err(Why::NoDrift));
    kit.mounts[0].kind = MountKind::Fixed;
    assert_eq!(figures(&kit, 0, None).unguided_s, Err(Why::DoesNotTrack));
    kit.otas[0].image_circle_mm = None;
    kit.correctors[0].image_circle_mm = None;
    assert_eq!(figures(&kit, 0, None).coverage, Err(Why::NoImageCircle));
}

/// Refraction: glass of index 1.5 moves the focus back by a third of its thickness.
#[test]
fn the_back_focus_budget_counts_a_third_of_the_filter() {
    let mut kit = kit();
    kit.cameras[0].flange_mm = Some(17.5);
    kit.rigs[0].adapters_mm = Some(35.0);
    kit.rigs[0].filter = Some(narrow(7.0));
    let budget = figures(&kit, 0, None).back_focus.expect("a budget");
    // The flattener asks for 55 mm, the 3 mm filter makes it 56; 17.5 + 35 are there.
    assert!((budget.spacer_mm() - 3.5).abs() < 1e-12);
}

fn narrow(width_nm: f64) -> Filter {
    Filter {
        name: "line".to_owned(),
        centre_nm: 656.3,
        width_nm,
        transmission: 0.9,
        thickness_mm: Some(3.0),
        price: Some(100.0),
        owned: false,
    }
}

/// A narrow filter keeps a nebula's line and cuts the sky; of a galaxy it cuts both alike.
#[test]
fn a_line_filter_helps_a_nebula_and_not_a_galaxy() {
    let nebula = DemandTarget { line_share: Ok(Some(0.5)), ..GALAXY };
    let kit = kit();
    let of = |target| {
        let found = figures(&kit, 0, Some(target));
        (found.hours_broad.expect("hours"), found.hours_narrow.expect("hours"))
    };
    let (broad, line) = of(&nebula);
    assert!(line < broad / 2.0, "{line} h in the line, {broad} h in all colours");
    // Which of the two a nebula of unstated sort is, nobody knows: broad hours, none in a line.
    let unstated = DemandTarget { line_share: Err(Why::NoLineShare), ..GALAXY };
    let found = figures(&kit, 0, Some(&unstated));
    assert_eq!(found.hours_narrow, Err(Why::NoLineShare));
    assert_eq!(found.hours_broad, figures(&kit, 0, Some(&GALAXY)).hours_broad);
    let (broad, line) = of(&GALAXY);
    assert!(line > 10.0 * broad, "{line} h in the line, {broad} h in all colours");
    // The price of a rig counts its filter.
    let mut with_filter = kit.clone();
    with_filter.rigs[0].filter = Some(narrow(7.0));
    assert_eq!(figures(&with_filter, 0, None).price, Ok(780.0));
}

/// A pixel under a colour filter sees a third of a broad band, and of a red line all or nothing.
#[test]
fn a_colour_camera_pays_for_its_mosaic() {
    let mono = kit();
    let mut colour = kit();
    colour.cameras[0].colour = true;
    let nebula = DemandTarget { line_share: Ok(Some(0.5)), ..GALAXY };
    let [mono, colour] = [mono, colour].map(|kit| figures(&kit, 0, Some(&nebula)));
    assert!((mono.rates.sky_e_per_s / colour.rates.sky_e_per_s - 3.0).abs() < 1e-9);
    // A quarter of the pixels see the line as well as mono ones, but the dark current and read
    // noise are the same: four times the hours.
    let ratio = colour.hours_narrow.expect("hours") / mono.hours_narrow.expect("hours");
    assert!((ratio - 4.0).abs() < 1e-9);
}

#[test]
fn doubt_about_the_sky_spans_the_figure_itself() {
    let kit = kit();
    let rig = kit.resolve(1).expect("a rig");
    let conditions = Conditions::at_zenith(&kit.site);
    let middle = demands(&rig, &kit.site, &kit.limits, Some(&GALAXY), &conditions);
    let doubt = sensitivity(&rig, &kit.site, &kit.limits, Some(&GALAXY), &conditions);
    for figure in [Figure::DeliveredFwhm, Figure::HoursPerPixel, Figure::SubExposure] {
        let (least, most) = doubt.range(figure).expect("a range");
        let Ok(Value::Number(number)) = middle.value(figure) else { panic!("{figure:?}") };
        assert!(least < number && number < most, "{figure:?}: {least} {number} {most}");
    }
    assert_eq!(doubt.range(Figure::FocalLength), None);
    assert_eq!(doubt.range(Figure::Sampling), None);
}

#[test]
fn lists_and_tables_agree_about_detail() {
    let kit = kit();
    let rig = kit.resolve(0).expect("a rig");
    let conditions = Conditions { airmass: 1.6, ..Conditions::at_zenith(&kit.site) };
    let table = demands(&rig, &kit.site, &kit.limits, Some(&GALAXY), &conditions);
    let listed = detail_of(&rig, Some(&GALAXY), &conditions).expect("a size");
    // Two routes through the same transform, at points of their own.
    assert!((listed / table.detail.expect("a size") - 1.0).abs() < 1e-5);
}

/// Keys of the command line's output, as its description lists them.
#[test]
fn every_promised_key_has_a_figure() {
    let promised = "focal_length_mm, focal_ratio, t_number, rayleigh_arcsec, dawes_arcsec, \
        delivered_fwhm_arcsec, pixels_per_fwhm, sampling, untracked_s, unguided_s, \
        unguided_half_fwhm_s, guide_rms_needed_arcsec, mass_on_mount_kg, payload_used, \
        image_circle_ok, corner_coma_arcsec, depth_of_focus_um, sky_e_per_s_px, \
        target_e_per_s_px, sub_exposure_s, hours_to_snr_per_pixel, hours_to_snr_per_arcsec2, price";
    for key in promised.split(", ") {
        let known = Figure::ALL.iter().filter(|figure| figure.key() == key.trim()).count();
        assert_eq!(known, 1, "{key}");
    }
}

/// A kit whose first rig has these sizes, and the conditions to look at it under.
fn kit_of_sizes(sizes: &[f64], obstruction: f64, share: f64, still: bool) -> (Kit, Conditions) {
    let mut kit = kit();
    let ota = &mut kit.otas[0];
    (ota.aperture_mm, ota.focal_length_mm, ota.transmission) = (sizes[0], sizes[1], share);
    ota.obstruction_mm = ota.aperture_mm * obstruction;
    ota.class = OtaClass::Newtonian;
    kit.rigs[0].corrector = None;
    let camera = &mut kit.cameras[0];
    (camera.pixel_um, camera.passband_nm, camera.full_well_e) = (sizes[2], sizes[3], sizes[4]);
    (camera.read_noise_e, camera.quantum_efficiency) = (sizes[5], share);
    let mount = &mut kit.mounts[0];
    mount.guided_rms_arcsec = Some(if still { 0.0 } else { sizes[6] });
    (mount.payload_kg, mount.periodic_error_arcsec, mount.period_s) =
        (sizes[7], sizes[8], sizes[9]);
    mount.polar_error_arcmin = sizes[10];
    let conditions = Conditions {
        seeing_fwhm_arcsec: if still { 0.0 } else { sizes[11] },
        dark_hours: Some(6.0),
        ..Conditions::at_zenith(&kit.site)
    };
    (kit, conditions)
}

fn sizes(powers: std::ops::Range<f64>) -> impl Strategy<Value = Vec<f64>> {
    prop::collection::vec(powers.prop_map(|power| 10f64.powf(power)), 12)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    /// Over fifteen orders of magnitude a figure is a number or says what is missing.
    #[test]
    fn no_odd_kit_breaks_the_figures(
        sizes in sizes(-6.0..9.0), obstruction in 0.0..0.999_f64, share in 1e-6..=1.0_f64,
        brightness in 0.0..35.0_f64, latitude in -90.0..=90.0_f64, airmass in 1.0..38.0_f64,
        still in any::<bool>(),
    ) {
        let (mut kit, conditions) = kit_of_sizes(&sizes, obstruction, share, still);
        kit.site.latitude_deg = latitude;
        kit.site.sky_brightness_mag_arcsec2 = brightness;
        let conditions =
            Conditions { airmass, sky_brightness_mag_arcsec2: brightness, ..conditions };
        let rig = kit.resolve(0).expect("a rig");
        let found = demands(&rig, &kit.site, &kit.limits, Some(&GALAXY), &conditions);
        for figure in Figure::ALL {
            match found.value(*figure) {
                Ok(Value::Number(number)) => {
                    let least = if *figure == Figure::GuidingLoss { -1.0 } else { 0.0 };
                    prop_assert!(number >= least, "{figure:?}: {number}");
                }
                Err(why) => prop_assert_ne!(why, Why::OutOfReach, "{:?}", figure),
                Ok(_) => {}
            }
        }
        prop_assert!(found.delivered_fwhm_arcsec > 0.0);
    }

    /// Far beyond all that a file may hold, nothing panics and no infinity or NaN comes out.
    #[test]
    fn no_absurd_kit_gives_an_absurd_number(
        sizes in sizes(-307.0..308.0), obstruction in 0.0..0.999_f64, share in 1e-300..=1.0_f64,
        still in any::<bool>(),
    ) {
        let (kit, conditions) = kit_of_sizes(&sizes, obstruction, share, still);
        let rig = kit.resolve(0).expect("a rig");
        let found = demands(&rig, &kit.site, &kit.limits, Some(&GALAXY), &conditions);
        for figure in Figure::ALL {
            if let Ok(Value::Number(number)) = found.value(*figure) {
                prop_assert!(number.is_finite(), "{figure:?}: {number}");
            }
            if let Some(graded) = found.grade(*figure, &kit.limits) {
                prop_assert!(found.value(*figure).is_ok(), "{figure:?} is {:?}", graded.grade);
            }
        }
    }
}
