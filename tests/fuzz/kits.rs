//! Whole kits with any numbers that a kit may hold: every field is given one of its range.

use fieldstop::choice::Criterion;
use fieldstop::kit::{
    Camera, ChecklistItem, Corrector, FORMAT, Filter, Kit, Limits, MOST_OBSTRUCTED, Mount,
    MountKind, Ota, OtaClass, Rig, Site, Thresholds, Wish,
};
use fieldstop::range::{self, Range};

use crate::random::Random;

/// Usual numbers with some strange ones among them, or strange ones throughout.
struct Numbers<'r> {
    random: &'r mut Random,
    /// One number in so many is any of its range.
    one_in: usize,
}

impl Numbers<'_> {
    fn of(&mut self, usual: f64, range: Range) -> f64 {
        if self.random.chance(self.one_in) { self.random.of(range) } else { usual }
    }

    fn whole(&mut self, usual: u32, range: Range) -> u32 {
        // OK because these ranges have whole ends within those of the type.
        self.of(f64::from(usual), range).floor() as u32
    }

    fn perhaps(&mut self, usual: f64, range: Range) -> Option<f64> {
        let number = self.of(usual, range);
        (!self.random.chance(4)).then_some(number)
    }

    fn yes(&mut self) -> bool {
        self.random.chance(2)
    }
}

/// A kit of one to three rigs that passes its check.
pub(crate) fn any_kit(random: &mut Random) -> Kit {
    let one_in = *random.pick(&[1, 2, 4, 16]);
    let rigs = if random.chance(8) { 3 } else { 1 };
    let mut numbers = Numbers { random, one_in };
    let names: Vec<String> = (0..rigs).map(|place| format!("Part {place}")).collect();
    let mut each = |made: &mut dyn FnMut(&mut Numbers<'_>, String)| {
        for name in &names {
            made(&mut numbers, name.clone());
        }
    };
    let (mut otas, mut correctors, mut cameras) = (Vec::new(), Vec::new(), Vec::new());
    let (mut mounts, mut shortlist) = (Vec::new(), Vec::new());
    each(&mut |numbers, name| otas.push(ota(numbers, name)));
    each(&mut |numbers, name| correctors.push(corrector(numbers, name)));
    each(&mut |numbers, name| cameras.push(camera(numbers, name)));
    each(&mut |numbers, name| mounts.push(mount(numbers, name)));
    each(&mut |numbers, name| shortlist.push(rig(numbers, name)));
    let criteria = Criterion::ALL.into_iter().filter(|_| numbers.yes()).collect();
    Kit {
        format: FORMAT,
        name: "Any".to_owned(),
        site: site(&mut numbers),
        limits: limits(&mut numbers),
        otas,
        correctors,
        cameras,
        mounts,
        rigs: shortlist,
        wish_list: vec![wish(&mut numbers)],
        aims: Vec::new(),
        weights: Vec::new(),
        outlines: Vec::new(),
        compared_on: criteria,
        background: None,
    }
}

fn site(numbers: &mut Numbers<'_>) -> Site {
    Site {
        name: "Place".to_owned(),
        latitude_deg: numbers.of(54.0, range::LATITUDE),
        longitude_deg: numbers.of(-1.0, range::LONGITUDE),
        elevation_m: numbers.of(200.0, range::ELEVATION_M),
        time_zone: "Europe/London".to_owned(),
        sky_brightness_mag_arcsec2: numbers.of(20.5, range::SURFACE_BRIGHTNESS),
        seeing_fwhm_arcsec: numbers.of(2.5, range::SEEING_ARCSEC),
        extinction_mag_airmass: numbers.of(0.2, range::EXTINCTION_MAG),
        lowest_altitude_deg: numbers.of(25.0, range::LOWEST_ALTITUDE),
        horizon: vec![(
            numbers.of(90.0, range::WHOLE_CIRCLE),
            numbers.of(5.0, range::SKYLINE_ALTITUDE),
        )],
        clear_fraction: (0..12).map(|_| numbers.of(0.4, range::CLEAR_FRACTION)).collect(),
    }
}

fn limits(numbers: &mut Numbers<'_>) -> Limits {
    let checklist = ChecklistItem {
        name: "Dew heater".to_owned(),
        price: numbers.perhaps(60.0, range::MONEY),
        owned: numbers.yes(),
    };
    Limits {
        budget: numbers.perhaps(2500.0, range::MONEY),
        currency: "EUR".to_owned(),
        carry_kg: numbers.perhaps(25.0, range::MASS_KG),
        payload_share: numbers.of(0.5, range::SHARE),
        whole_fill: numbers.of(0.9, range::SHARE),
        overlap: numbers.of(0.15, range::OVERLAP),
        detail: numbers.of(40.0, range::DETAIL),
        snr: numbers.of(20.0, range::SNR),
        thresholds: Thresholds {
            under_sampled: numbers.of(2.0, range::PIXELS_PER_FWHM),
            over_sampled: numbers.of(3.0, range::PIXELS_PER_FWHM),
            read_noise: numbers.of(0.05, range::SHARE),
            guiding_loss: numbers.of(0.1, range::SHARE),
            well_star_mag: numbers.of(10.0, range::MAGNITUDE),
            lift_kg: numbers.of(16.0, range::LOAD_KG),
        },
        checklist: Some(vec![checklist]),
    }
}

fn ota(numbers: &mut Numbers<'_>, name: String) -> Ota {
    let aperture_mm = numbers.of(100.0, range::APERTURE_MM);
    let most = MOST_OBSTRUCTED * aperture_mm;
    Ota {
        name,
        class: *numbers.random.pick(&OtaClass::ALL),
        aperture_mm,
        focal_length_mm: numbers.of(600.0, range::FOCAL_LENGTH_MM),
        obstruction_mm: numbers.of(0.0, Range { most, ..range::OBSTRUCTION_MM }),
        transmission: numbers.of(0.9, range::THROUGHPUT),
        image_circle_mm: numbers.perhaps(40.0, range::IMAGE_CIRCLE_MM),
        length_mm: numbers.perhaps(500.0, range::TUBE_MM),
        mass_kg: numbers.of(4.0, range::MASS_KG),
        price: numbers.perhaps(900.0, range::MONEY),
        owned: numbers.yes(),
    }
}

fn corrector(numbers: &mut Numbers<'_>, name: String) -> Corrector {
    Corrector {
        name,
        factor: numbers.of(0.8, range::FACTOR),
        image_circle_mm: numbers.perhaps(40.0, range::IMAGE_CIRCLE_MM),
        back_focus_mm: numbers.perhaps(55.0, range::BACK_FOCUS_MM),
        mass_kg: numbers.of(0.3, range::MASS_KG),
        price: numbers.perhaps(200.0, range::MONEY),
        owned: numbers.yes(),
    }
}

fn camera(numbers: &mut Numbers<'_>, name: String) -> Camera {
    Camera {
        name,
        width_px: numbers.whole(6000, range::PIXELS),
        height_px: numbers.whole(4000, range::PIXELS),
        pixel_um: numbers.of(3.8, range::PIXEL_UM),
        read_noise_e: numbers.of(1.5, range::READ_NOISE_E),
        dark_e_per_s: numbers.of(0.005, range::DARK_E_PER_S),
        quantum_efficiency: numbers.of(0.7, range::THROUGHPUT),
        passband_nm: numbers.of(300.0, range::PASSBAND_NM),
        wavelength_nm: numbers.perhaps(550.0, range::WAVELENGTH_NM),
        colour: numbers.yes(),
        flange_mm: numbers.perhaps(17.5, range::THICKNESS_MM),
        full_well_e: numbers.of(50_000.0, range::FULL_WELL_E),
        bit_depth: numbers.whole(14, range::BITS),
        mass_kg: numbers.of(0.6, range::MASS_KG),
        price: numbers.perhaps(850.0, range::MONEY),
        owned: numbers.yes(),
    }
}

fn mount(numbers: &mut Numbers<'_>, name: String) -> Mount {
    Mount {
        name,
        kind: *numbers.random.pick(&MountKind::ALL),
        payload_kg: numbers.of(10.0, range::LOAD_KG),
        periodic_error_arcsec: numbers.of(30.0, range::PERIODIC_ERROR_ARCSEC),
        period_s: numbers.of(480.0, range::PERIOD_S),
        guided_rms_arcsec: numbers.perhaps(0.8, range::GUIDED_RMS_ARCSEC),
        polar_error_arcmin: numbers.of(3.0, range::POLAR_ERROR_ARCMIN),
        mass_kg: numbers.of(8.0, range::MASS_KG),
        price: numbers.perhaps(700.0, range::MONEY),
        owned: numbers.yes(),
    }
}

fn rig(numbers: &mut Numbers<'_>, part: String) -> Rig {
    let filter = Filter {
        name: "Line".to_owned(),
        centre_nm: numbers.of(656.3, range::WAVELENGTH_NM),
        width_nm: numbers.of(7.0, range::PASSBAND_NM),
        transmission: numbers.of(0.9, range::THROUGHPUT),
        thickness_mm: numbers.perhaps(2.0, range::THICKNESS_MM),
        price: numbers.perhaps(150.0, range::MONEY),
        owned: numbers.yes(),
    };
    Rig {
        name: part.clone(),
        ota: part.clone(),
        corrector: numbers.yes().then(|| part.clone()),
        camera: part.clone(),
        mount: part,
        extra_mass_kg: numbers.of(0.7, range::MASS_KG),
        filter: numbers.yes().then_some(filter),
        adapters_mm: numbers.perhaps(20.0, range::THICKNESS_MM),
        shown: true,
        mark: None,
    }
}

fn wish(numbers: &mut Numbers<'_>) -> Wish {
    let major = numbers.of(60.0, range::SIZE_ARCMIN);
    let minor = numbers.of(40.0_f64.min(major), Range { most: major, ..range::SIZE_ARCMIN });
    Wish::Custom {
        name: "Target".to_owned(),
        ra_deg: numbers.of(10.0, range::WHOLE_CIRCLE),
        dec_deg: numbers.of(40.0, range::LATITUDE),
        major_arcmin: Some(major),
        minor_arcmin: numbers.yes().then_some(minor),
        pa_deg: numbers.perhaps(30.0, range::POSITION_ANGLE),
        surface_brightness_mag_arcsec2: numbers.perhaps(22.0, range::SURFACE_BRIGHTNESS),
    }
}
