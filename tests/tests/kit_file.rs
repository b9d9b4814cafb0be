//! A kit goes to disk and comes back the same, and a save that fails leaves the old file.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::fs;
use std::path::{Path, PathBuf};

use fieldstop::choice::Criterion;
use fieldstop::kit::{
    Aim, Background, Camera, ChecklistItem, Corrector, DrawnOutline, FORMAT, Filter, Kit, Limits,
    MOST_OBSTRUCTED, Mount, MountKind, Ota, OtaClass, Rig, Site, Thresholds, Weight, Wish,
};
use fieldstop::range::{self, Range};
use fieldstop_gui::files::demo_kit;
use fieldstop_gui::files::kit_file::{SaveError, parse, read, to_text, write};
use fieldstop_gui::files::replace_file::WriteError;
use fieldstop_gui::sky::Catalogue;
use fieldstop_gui::starting_points::{add_rig_of_class, new_kit};
use proptest::prelude::*;
use proptest::sample::select;

const EXAMPLE: &str = include_str!("../kits/example-kit.ron");

fn example() -> Kit {
    parse(EXAMPLE.as_bytes(), "example-kit.ron", &|_| true).unwrap()
}

/// An empty folder for the files of one test.
fn scratch(test: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(test);
    if folder.exists() {
        fs::remove_dir_all(&folder).unwrap();
    }
    fs::create_dir_all(&folder).unwrap();
    folder
}

fn entries(folder: &Path) -> Vec<String> {
    let names = fs::read_dir(folder).unwrap();
    let mut names: Vec<String> =
        names.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
    names.sort();
    names
}

#[test]
fn the_example_is_read_as_it_is_written() {
    let kit = example();
    // Some of the numbers, copied by hand from the file.
    assert_eq!(kit.name, "Larkmoor evening class");
    assert_eq!((kit.site.latitude_deg, kit.site.longitude_deg), (54.31, -2.26));
    assert_eq!(kit.site.horizon, [(90.0, 18.0), (140.0, 34.0), (180.0, 8.0)]);
    assert_eq!(kit.otas.len(), 5);
    assert_eq!(kit.rigs[4].corrector.as_deref(), Some("reducer 0.63x"));
    assert_eq!(kit.mounts[1].price, None);
    assert_eq!(kit.wish_list.len(), 12);
    assert!(matches!(
        &kit.wish_list[11],
        Wish::Custom { major_arcmin: Some(150.0), pa_deg: Some(20.0), .. }
    ));
}

#[test]
fn the_demo_kit_opens_with_targets_that_the_catalogue_holds() {
    let catalogue = Catalogue::embedded().unwrap();
    let demo = demo_kit(&|name| catalogue.named(name).is_some()).unwrap();
    assert_eq!(demo.wish_list[0].name(), "M 31");
    assert!(demo.rigs.len() >= 5 && (18..=25).contains(&demo.wish_list.len()));
    // Several classes, and targets in every season: right ascensions in each quarter of the sky.
    let classes: std::collections::HashSet<_> =
        demo.otas.iter().map(|ota| format!("{:?}", ota.class)).collect();
    assert_eq!(classes.len(), 5, "{classes:?}");
    let mut quarters = [0; 4];
    for wish in &demo.wish_list {
        let ra_deg = catalogue.named(wish.name()).unwrap().ra_deg;
        let quarter = [90.0, 180.0, 270.0].iter().filter(|end| ra_deg >= **end).count();
        quarters[quarter] += 1;
    }
    assert!(quarters.iter().all(|targets| *targets >= 2), "{quarters:?}");
}

#[test]
fn a_new_rig_of_any_class_makes_a_kit_that_can_be_saved() {
    let path = scratch("new-kit").join("kit.ron");
    let mut kit = new_kit("Mine");
    write(&path, &kit).unwrap();
    for class in OtaClass::ALL {
        add_rig_of_class(&mut kit, class);
        write(&path, &kit).unwrap();
    }
    assert_eq!(read(&path, &|_| true).unwrap(), kit);
}

#[test]
fn the_example_comes_back_from_disk_the_same() {
    let folder = scratch("round-trip");
    let path = folder.join("kit.ron");
    write(&path, &example()).unwrap();
    assert_eq!(read(&path, &|_| true).unwrap(), example());
    // Saved again untouched, not a byte changes.
    let first = fs::read(&path).unwrap();
    write(&path, &read(&path, &|_| true).unwrap()).unwrap();
    assert_eq!(fs::read(&path).unwrap(), first);
    assert_eq!(entries(&folder), ["kit.ron"], "no temporary file is left");
}

#[test]
fn a_saved_kit_has_the_names_of_the_example() {
    let text = to_text(&example()).unwrap();
    for piece in [
        "// A Fieldstop kit",
        "\nKit(\n    format: 1,\n    name: \"Larkmoor evening class\",\n    site: Site(",
        "latitude_deg: 54.31,",
        "budget: Some(2200.0),",
        "class: ShortRefractor,",
        "corrector: None,",
        "(140.0, 34.0),",
        "Named(\"M 31\"),",
        "Custom(\n",
    ] {
        assert!(text.contains(piece), "{piece:?} is not in\n{text}");
    }
    // What was never touched is not mentioned.
    assert!(!text.contains("aims") && !text.contains("shown") && !text.contains("mark"));
}

#[test]
fn a_save_to_no_folder_says_so() {
    let path = scratch("no-folder").join("missing").join("kit.ron");
    let error = write(&path, &example()).unwrap_err();
    assert!(matches!(error, SaveError::Write(WriteError::NoFolder { .. })), "{error}");
    assert!(error.to_string().contains("there is no folder"), "{error}");
}

#[test]
fn a_folder_is_not_overwritten() {
    let folder = scratch("folder");
    let error = write(&folder, &example()).unwrap_err();
    assert!(
        error.to_string().ends_with("is a folder; expected the name of an ordinary file"),
        "{error}"
    );
}

#[test]
fn a_read_only_file_keeps_what_it_holds() {
    let path = scratch("read-only").join("kit.ron");
    fs::write(&path, "old").unwrap();
    let mut permissions = fs::metadata(&path).unwrap().permissions();
    permissions.set_readonly(true);
    fs::set_permissions(&path, permissions).unwrap();
    let error = write(&path, &example()).unwrap_err();
    assert!(matches!(error, SaveError::Write(WriteError::ReadOnly { .. })), "{error}");
    assert_eq!(fs::read_to_string(&path).unwrap(), "old");
}

#[test]
fn a_kit_that_would_not_open_again_is_not_saved() {
    let path = scratch("broken").join("kit.ron");
    fs::write(&path, "old").unwrap();
    let mut kit = example();
    kit.otas[0].aperture_mm = f64::NAN;
    let error = write(&path, &kit).unwrap_err();
    assert!(matches!(error, SaveError::Unreadable(_)), "{error}");
    assert_eq!(fs::read_to_string(&path).unwrap(), "old");
}

#[cfg(unix)]
mod unix {
    use super::*;
    use std::os::unix::fs::{PermissionsExt, symlink};

    #[test]
    fn a_link_is_followed_and_stays_a_link() {
        let folder = scratch("link");
        let (real, link) = (folder.join("real.ron"), folder.join("link.ron"));
        fs::write(&real, "old").unwrap();
        symlink("real.ron", &link).unwrap();
        write(&link, &example()).unwrap();
        assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
        assert_eq!(read(&real, &|_| true).unwrap(), example());
    }

    #[test]
    fn permissions_stay() {
        let path = scratch("permissions").join("kit.ron");
        fs::write(&path, "old").unwrap();
        fs::set_permissions(&path, fs::Permissions::from_mode(0o640)).unwrap();
        write(&path, &example()).unwrap();
        assert_eq!(fs::metadata(&path).unwrap().permissions().mode() & 0o777, 0o640);
    }

    #[test]
    fn a_device_is_neither_read_nor_replaced() {
        let device = Path::new("/dev/null");
        assert!(read(device, &|_| true).unwrap_err().to_string().contains("found a device"));
        let error = write(device, &example()).unwrap_err();
        assert!(matches!(error, SaveError::Write(WriteError::NotAFile { .. })), "{error}");
        assert!(!fs::metadata(device).unwrap().is_file());
    }
}

/// Texts with everything that RON has to escape.
fn text() -> impl Strategy<Value = String> {
    prop_oneof![
        "[ -~]{1,12}",
        "\\PC{1,8}",
        select(vec!["\"\\", "a\nb", "r#\"", "\u{301}", "// no comment", "*/", "日本", "\u{202e}x"])
            .prop_map(str::to_owned),
    ]
    .prop_filter("a name must show", |text| !text.trim().is_empty())
}

/// Numbers of a range, small ones as well as large ones, with all their digits, and both its ends.
fn within(range: Range) -> impl Strategy<Value = f64> {
    let Range { least, most, .. } = range;
    let of_any_size = (0.0..=1.0f64).prop_map(move |share| least + (most - least) * share.powi(6));
    prop_oneof![
        3 => of_any_size.prop_map(move |number| number.clamp(least, most)),
        1 => Just(least),
        1 => Just(most),
        1 => Just(54.31f64.clamp(least, most)),
    ]
}

fn whole(range: Range) -> impl Strategy<Value = u32> {
    // OK because these ranges have whole ends within those of the type.
    range.least as u32..=range.most as u32
}

fn some(of: impl Strategy<Value = f64>) -> impl Strategy<Value = Option<f64>> {
    prop::option::of(of)
}

fn site() -> impl Strategy<Value = Site> {
    let zone = select(vec!["Europe/London", "UTC", "America/Argentina/Ushuaia", "Asia/Kathmandu"]);
    let horizon = prop::collection::btree_map(0..36_u32, within(range::SKYLINE_ALTITUDE), 0..5);
    let clear =
        prop_oneof![Just(Vec::new()), prop::collection::vec(within(range::CLEAR_FRACTION), 12)];
    (
        text(),
        (within(range::LATITUDE), within(range::LONGITUDE), within(range::ELEVATION_M)),
        zone,
        (
            within(range::SURFACE_BRIGHTNESS),
            within(range::SEEING_ARCSEC),
            within(range::EXTINCTION_MAG),
        ),
        within(range::LOWEST_ALTITUDE),
        (horizon, clear),
    )
        .prop_map(
            |(name, place, zone, (sky, seeing, extinction), lowest, (horizon, clear))| Site {
                name,
                latitude_deg: place.0,
                longitude_deg: place.1,
                elevation_m: place.2,
                time_zone: zone.to_owned(),
                sky_brightness_mag_arcsec2: sky,
                seeing_fwhm_arcsec: seeing,
                extinction_mag_airmass: extinction,
                lowest_altitude_deg: lowest,
                horizon: horizon.into_iter().map(|(a, h)| (f64::from(a) * 10.0, h)).collect(),
                clear_fraction: clear,
            },
        )
}

fn thresholds() -> impl Strategy<Value = Thresholds> {
    (
        within(range::PIXELS_PER_FWHM),
        within(range::PIXELS_PER_FWHM),
        within(range::SHARE),
        within(range::SHARE),
        within(range::MAGNITUDE),
        within(range::LOAD_KG),
    )
        .prop_map(|(under, over, read_noise, guiding_loss, well_star_mag, lift_kg)| {
            Thresholds {
                under_sampled: under,
                over_sampled: over,
                read_noise,
                guiding_loss,
                well_star_mag,
                lift_kg,
            }
        })
}

fn limits() -> impl Strategy<Value = Limits> {
    (
        (some(within(range::MONEY)), text(), some(within(range::MASS_KG))),
        (within(range::SHARE), within(range::SHARE), within(range::OVERLAP)),
        (within(range::DETAIL), within(range::SNR)),
        thresholds(),
    )
        .prop_map(|((budget, currency, carry_kg), shares, (detail, snr), thresholds)| Limits {
            budget,
            currency,
            carry_kg,
            payload_share: shares.0,
            whole_fill: shares.1,
            overlap: shares.2,
            detail,
            snr,
            thresholds,
            checklist: budget.map(|price| vec![item(price)]),
        })
}

fn item(price: f64) -> ChecklistItem {
    ChecklistItem { name: "dew heaters".to_owned(), price: Some(price), owned: false }
}

fn filter() -> impl Strategy<Value = Filter> {
    (
        within(range::WAVELENGTH_NM),
        within(range::PASSBAND_NM),
        within(range::THROUGHPUT),
        some(within(range::THICKNESS_MM)),
        some(within(range::MONEY)),
    )
        .prop_map(|(centre_nm, width_nm, transmission, thickness_mm, price)| Filter {
            name: "line".to_owned(),
            centre_nm,
            width_nm,
            transmission,
            thickness_mm,
            price,
            owned: true,
        })
}

fn ota() -> impl Strategy<Value = Ota> {
    use OtaClass::{CameraLens, Compound, LongRefractor, Newtonian, ShortRefractor};
    let class = select(vec![ShortRefractor, LongRefractor, Newtonian, Compound, CameraLens]);
    (
        class,
        (within(range::APERTURE_MM), within(range::FOCAL_LENGTH_MM), 0.0..=MOST_OBSTRUCTED),
        within(range::THROUGHPUT),
        (some(within(range::IMAGE_CIRCLE_MM)), some(within(range::TUBE_MM))),
        (within(range::MASS_KG), some(within(range::MONEY)), any::<bool>()),
    )
        .prop_map(|(class, (aperture, focal, obstructed), transmission, sizes, bought)| Ota {
            name: String::new(),
            class,
            aperture_mm: aperture,
            focal_length_mm: focal,
            obstruction_mm: aperture * obstructed,
            transmission,
            image_circle_mm: sizes.0,
            length_mm: sizes.1,
            mass_kg: bought.0,
            price: bought.1,
            owned: bought.2,
        })
}

fn corrector() -> impl Strategy<Value = Corrector> {
    (
        within(range::FACTOR),
        some(within(range::IMAGE_CIRCLE_MM)),
        some(within(range::BACK_FOCUS_MM)),
        within(range::MASS_KG),
        some(within(range::MONEY)),
        any::<bool>(),
    )
        .prop_map(|(factor, image_circle_mm, back_focus_mm, mass_kg, price, owned)| {
            Corrector {
                name: String::new(),
                factor,
                image_circle_mm,
                back_focus_mm,
                mass_kg,
                price,
                owned,
            }
        })
}

fn camera() -> impl Strategy<Value = Camera> {
    (
        (whole(range::PIXELS), whole(range::PIXELS), within(range::PIXEL_UM), whole(range::BITS)),
        (
            within(range::READ_NOISE_E),
            within(range::DARK_E_PER_S),
            within(range::THROUGHPUT),
            within(range::FULL_WELL_E),
        ),
        (within(range::PASSBAND_NM), some(within(range::WAVELENGTH_NM)), any::<bool>()),
        (some(within(range::THICKNESS_MM)), within(range::MASS_KG), some(within(range::MONEY))),
    )
        .prop_map(|(pixels, signal, light, body)| Camera {
            name: String::new(),
            width_px: pixels.0,
            height_px: pixels.1,
            pixel_um: pixels.2,
            read_noise_e: signal.0,
            dark_e_per_s: signal.1,
            quantum_efficiency: signal.2,
            passband_nm: light.0,
            wavelength_nm: light.1,
            colour: light.2,
            flange_mm: body.0,
            full_well_e: signal.3,
            bit_depth: pixels.3,
            mass_kg: body.1,
            price: body.2,
            owned: true,
        })
}

fn mount() -> impl Strategy<Value = Mount> {
    let kind = select(vec![MountKind::Equatorial, MountKind::Altazimuth, MountKind::Fixed]);
    (
        kind,
        within(range::LOAD_KG),
        (within(range::PERIODIC_ERROR_ARCSEC), within(range::PERIOD_S)),
        some(within(range::GUIDED_RMS_ARCSEC)),
        within(range::POLAR_ERROR_ARCMIN),
        (within(range::MASS_KG), some(within(range::MONEY))),
    )
        .prop_map(|(kind, payload_kg, error, guided_rms_arcsec, polar_error_arcmin, body)| {
            Mount {
                name: String::new(),
                kind,
                payload_kg,
                periodic_error_arcsec: error.0,
                period_s: error.1,
                guided_rms_arcsec,
                polar_error_arcmin,
                mass_kg: body.0,
                price: body.1,
                owned: false,
            }
        })
}

fn wish() -> impl Strategy<Value = Wish> {
    let place = (within(range::WHOLE_CIRCLE), within(range::LATITUDE));
    let major = some(within(range::SIZE_ARCMIN));
    let shape = (
        some(0.5..=1.0),
        some(within(range::POSITION_ANGLE)),
        some(within(range::SURFACE_BRIGHTNESS)),
    );
    prop_oneof![
        Just(Wish::Named(String::new())),
        (place, major, shape).prop_map(|((ra_deg, dec_deg), major, (minor, pa, bright))| {
            let least = range::SIZE_ARCMIN.least;
            Wish::Custom {
                name: String::new(),
                ra_deg,
                dec_deg,
                major_arcmin: major,
                minor_arcmin: major.zip(minor).map(|(major, share)| (major * share).max(least)),
                pa_deg: pa,
                surface_brightness_mag_arcsec2: bright,
            }
        }),
    ]
}

/// Lists with names that differ in every list.
fn named<T>(
    parts: impl Strategy<Value = T>,
    set: fn(&mut T, String),
) -> impl Strategy<Value = Vec<T>>
where
    T: std::fmt::Debug,
{
    prop::collection::vec((parts, text()), 1..4).prop_map(move |parts| {
        let name = |(index, (mut part, name)): (usize, (T, String))| {
            set(&mut part, format!("{name}{index}"));
            part
        };
        parts.into_iter().enumerate().map(name).collect()
    })
}

/// Corners at even angles round a place, each as far from it as given: a shape whose sides do not
/// cross.
fn around((ra_deg, dec_deg): (f64, f64), reaches_deg: &[f64]) -> Vec<(f64, f64)> {
    let step = std::f64::consts::TAU / reaches_deg.len() as f64;
    let corner = |(place, reach): (usize, &f64)| {
        let (sin, cos) = (step * place as f64).sin_cos();
        let east = reach * sin / dec_deg.to_radians().cos();
        ((ra_deg + east).rem_euclid(360.0), dec_deg + reach * cos)
    };
    reaches_deg.iter().enumerate().map(corner).collect()
}

prop_compose! {
    fn kit()(
        name in text(),
        site in site(),
        limits in limits(),
        otas in named(ota(), |part, name| part.name = name),
        correctors in named(corrector(), |part, name| part.name = name),
        cameras in named(camera(), |part, name| part.name = name),
        mounts in named(mount(), |part, name| part.name = name),
        wish_list in named(wish(), |wish, new| match wish {
            Wish::Named(name) | Wish::Custom { name, .. } => *name = new,
        }),
    )(
        rigs in named(
            (0..otas.len(), prop::option::of(0..correctors.len()), 0..cameras.len(), 0..mounts.len(),
                any::<bool>(), prop::option::of(any::<u8>()), prop::option::of(filter()),
                some(within(range::THICKNESS_MM)), within(range::MASS_KG))
                .prop_map({
                    let (otas, correctors) = (otas.clone(), correctors.clone());
                    let (cameras, mounts) = (cameras.clone(), mounts.clone());
                    move |(ota, corrector, camera, mount, shown, mark, filter, adapters, mass)| Rig {
                        name: String::new(),
                        ota: otas[ota].name.clone(),
                        corrector: corrector.map(|corrector| correctors[corrector].name.clone()),
                        camera: cameras[camera].name.clone(),
                        mount: mounts[mount].name.clone(),
                        extra_mass_kg: mass,
                        filter,
                        adapters_mm: adapters,
                        shown,
                        mark,
                    }
                }),
            |rig, name| rig.name = name,
        ),
        aim in prop::option::of((prop::option::of((0.0..=360.0, -90.0..=90.0)), some(-360.0..=360.0))),
        name in Just(name), site in Just(site), limits in Just(limits), otas in Just(otas),
        correctors in Just(correctors), cameras in Just(cameras), mounts in Just(mounts),
        wish_list in Just(wish_list),
        stars in prop::option::of(1u32..=5),
        middle in (0.0..360.0, -80.0..=80.0f64),
        reaches_deg in prop::collection::vec(0.1..=2.0f64, 3..8),
    ) -> Kit {
        let aims = aim.map(|(centre_deg, rotation_deg)| Aim {
            rig: rigs[0].name.clone(),
            target: wish_list[0].name().to_owned(),
            centre_deg,
            rotation_deg,
        });
        let target = wish_list[0].name().to_owned();
        let weights = stars.map(|stars| Weight { target: target.clone(), stars });
        let weights = weights.into_iter().collect();
        let background = stars.map(|number| Background {
            path: format!("pictures/{number}.fits"),
            opacity: middle.0 / 360.0,
            dark_level: f64::from(number) * 9.7,
            stretch: middle.0,
            rows_from_top: number % 2 == 0,
        });
        let compared_on = Criterion::ALL.into_iter().take(stars.unwrap_or(0) as usize).collect();
        let outlines = vec![DrawnOutline { target, corners_deg: around(middle, &reaches_deg) }];
        Kit {
            format: FORMAT, name, site, limits, otas, correctors, cameras, mounts, rigs, wish_list,
            aims: aims.into_iter().collect(), weights, outlines, compared_on, background,
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn every_valid_kit_comes_back_the_same(kit in kit()) {
        prop_assert_eq!(kit.check(), Ok(()));
        let text = to_text(&kit).unwrap();
        prop_assert_eq!(parse(text.as_bytes(), "kit.ron", &|_| true).map_err(|e| e.to_string()), Ok(kit));
    }
}
