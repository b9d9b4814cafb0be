//! The plots that explain a figure, as curves with names: what is drawn, not how.

use fieldstop::demands::{Conditions, Figure};
use fieldstop::exposure::{Rates, hours_per_arcsec2};
use fieldstop::kit::Kit;
use fieldstop::light::{LineFilter, Passband};
use fieldstop::psf::{Blur, Component};
use fieldstop::tracking::{
    altazimuth_rotation_rad_per_s, corner_trail_s, polar_rotation_rad_per_s, untracked_s,
};
use fieldstop::{Angle, ResolvedRig};

use super::demands::RigDemands;
use super::here::is_equatorial;
use crate::demand_words::{arcsec, duration_s, hours, plain};
use crate::words;

/// How an axis runs.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum Scale {
    /// Evenly.
    Even,
    /// By powers of ten; the points hold the logarithm.
    Decades,
}

/// Whose colour and dash a curve has.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum Look {
    /// The result: strong and solid.
    Main,
    /// One of its parts, by number.
    Part(u8),
    /// A rig, by its mark.
    Rig(u8),
    /// A bound to compare with.
    Bound,
}

/// One curve, or one point, with its name.
#[derive(Clone, Debug, PartialEq)]
pub struct Curve {
    /// What it is.
    pub name: String,
    /// How it looks.
    pub look: Look,
    /// Left to right; one alone is drawn as a dot.
    pub points: Vec<[f64; 2]>,
}

/// A plot.
#[derive(Clone, Debug, PartialEq)]
pub struct Chart {
    /// What it shows.
    pub title: String,
    /// Below it, with the unit.
    pub x_label: &'static str,
    /// Beside it, with the unit.
    pub y_label: &'static str,
    /// How x runs.
    pub x_scale: Scale,
    /// How y runs.
    pub y_scale: Scale,
    /// What is drawn.
    pub curves: Vec<Curve>,
    /// The same in a sentence, for those who cannot see it.
    pub told: String,
}

const POINTS: usize = 48;

/// The plots of a figure; none where a plot explains no better than the number.
pub(super) fn charts(
    figure: Figure,
    kit: &Kit,
    rigs: &[RigDemands],
    chosen: usize,
    conditions: &Conditions,
) -> Vec<Chart> {
    let (Some(rig), Some(own)) = (kit.resolve(chosen), rigs.get(chosen)) else {
        return Vec::new();
    };
    match figure {
        Figure::DeliveredFwhm
        | Figure::PixelsPerFwhm
        | Figure::Sampling
        | Figure::GuidingLoss
        | Figure::GuideRmsNeeded => vec![profile_chart(own), contrast_chart(own)],
        Figure::FocalLength | Figure::Rayleigh | Figure::Dawes | Figure::Detail => {
            vec![length_chart(own, rigs, conditions)]
        }
        Figure::Untracked => vec![untracked_chart(rigs)],
        Figure::Unguided | Figure::UnguidedHalfFwhm | Figure::PolarRotation => {
            vec![unguided_chart(&rig, own)]
        }
        Figure::AltazimuthRotation if own.demands.altazimuth_rotation_s.is_ok() => {
            vec![turning_chart(kit, &rig, own)]
        }
        Figure::HoursPerPixel | Figure::HoursPerArcsec2 | Figure::TargetRate => {
            snr_chart(figure, kit, rigs).into_iter().collect()
        }
        _ => Vec::new(),
    }
}

/// Even steps from one number to another, both included.
fn steps(from: f64, to: f64, count: usize) -> impl Iterator<Item = f64> {
    let last = count.saturating_sub(1).max(1) as f64;
    (0..count).map(move |step| from + (to - from) * step as f64 / last)
}

const PARTS: [(Component, &str, u8); 4] = [
    (Component::Atmosphere, "seeing", 0),
    (Component::Telescope, "telescope", 1),
    (Component::Guiding, "guiding", 2),
    (Component::Pixel, "pixel", 3),
];

/// Brightness of a star from its middle outward, all together and by each part alone.
fn profile_chart(own: &RigDemands) -> Chart {
    let (blur, width) = (&own.demands.blur, own.demands.delivered_fwhm_arcsec);
    let radii: Vec<f64> = steps(0.0, 1.6 * width, POINTS).collect();
    let curve = |name: &str, look: Look, values: Vec<f64>| Curve {
        name: name.to_owned(),
        look,
        points: radii.iter().zip(values).map(|(&radius, value)| [radius, value]).collect(),
    };
    let mut curves: Vec<Curve> = PARTS
        .iter()
        .filter_map(|&(component, name, part)| {
            let values = blur.component_profile(component, &radii)?;
            Some(curve(name, Look::Part(part), values))
        })
        .collect();
    curves.push(curve("together", Look::Main, blur.profile(&radii)));
    let half = Curve {
        name: "half".to_owned(),
        look: Look::Bound,
        points: vec![[0.0, 0.5], [1.6 * width, 0.5]],
    };
    curves.push(half);
    Chart {
        title: format!("A star's brightness, {}", own.name),
        x_label: "distance from its middle, arcsec",
        y_label: "brightness",
        x_scale: Scale::Even,
        y_scale: Scale::Even,
        curves,
        told: format!(
            "A star in {} is {} wide at half its brightness; the widest part alone is {}.",
            own.name,
            arcsec(width),
            widest_part(blur)
        ),
    }
}

/// Contrast left at each fineness, all together and by each part alone.
fn contrast_chart(own: &RigDemands) -> Chart {
    let blur = &own.demands.blur;
    let end = (2.5 / own.demands.delivered_fwhm_arcsec).min(blur.cut_off_per_arcsec());
    let transfers: Vec<_> = steps(0.0, end, POINTS).map(|f| (f, blur.transfer(f))).collect();
    let curve = |name: &str, look: Look, value: &dyn Fn(&fieldstop::psf::Transfer) -> f64| Curve {
        name: name.to_owned(),
        look,
        points: transfers.iter().map(|(f, transfer)| [*f, value(transfer)]).collect(),
    };
    let mut curves = Vec::new();
    if blur.seeing_fwhm_arcsec > 0.0 {
        curves.push(curve("seeing", Look::Part(0), &|t| t.atmosphere));
    }
    curves.push(curve("telescope", Look::Part(1), &|t| t.telescope));
    if blur.guiding_rms_arcsec > 0.0 {
        curves.push(curve("guiding", Look::Part(2), &|t| t.guiding));
    }
    curves.push(curve("pixel", Look::Part(3), &|t| t.pixel));
    curves.push(curve("together", Look::Main, &|t| t.product()));
    Chart {
        title: format!("Contrast that is left (OTF), {}", own.name),
        x_label: "fineness, cycles an arcsecond",
        y_label: "contrast",
        x_scale: Scale::Even,
        y_scale: Scale::Even,
        curves,
        told: format!("{}: what takes most of the contrast is {}.", own.name, widest_part(blur)),
    }
}

/// The part that blurs most alone, by the contrast it leaves where the whole leaves a tenth.
fn widest_part(blur: &Blur) -> &'static str {
    let fineness = 0.6 / blur.fwhm_arcsec();
    let transfer = blur.transfer(fineness);
    [
        (transfer.atmosphere, "the seeing"),
        (transfer.telescope, "the telescope's diffraction"),
        (transfer.guiding, "the guiding"),
        (transfer.pixel, "the pixel"),
    ]
    .into_iter()
    .min_by(|a, b| a.0.total_cmp(&b.0))
    .map_or("", |(_, name)| name)
}

/// Delivered FWHM against focal length for the chosen rig, with the floor that the seeing sets.
fn length_chart(own: &RigDemands, rigs: &[RigDemands], conditions: &Conditions) -> Chart {
    let demands = &own.demands;
    let (shortest, longest) = (100.0f64, 4000.0f64.max(demands.focal_length_mm * 1.2));
    let scale = demands.pixel_scale_arcsec * demands.focal_length_mm;
    let (from, to) = (shortest.log10(), longest.log10());
    let width = |log_mm: f64| {
        Blur { pixel_arcsec: scale / 10f64.powf(log_mm), ..demands.blur }.fwhm_arcsec()
    };
    let points = steps(from, to, POINTS / 2).map(|log_mm| [log_mm, width(log_mm)]).collect();
    let floor = demands.blur.seeing_fwhm_arcsec;
    let mut curves = vec![
        Curve {
            name: format!("seeing alone, {}", arcsec(floor)),
            look: Look::Bound,
            points: vec![[from, floor], [to, floor]],
        },
        Curve { name: format!("{} with another focal length", own.name), look: Look::Main, points },
    ];
    curves.extend(rigs.iter().map(|rig| Curve {
        name: rig.name.clone(),
        look: Look::Rig(rig.mark),
        points: vec![[rig.demands.focal_length_mm.log10(), rig.demands.delivered_fwhm_arcsec]],
    }));
    Chart {
        title: "Star width against focal length".to_owned(),
        x_label: "focal length, mm",
        y_label: "delivered FWHM, arcsec",
        x_scale: Scale::Decades,
        y_scale: Scale::Even,
        curves,
        told: format!(
            "At airmass {} the seeing alone leaves {}; longer focal lengths come near it and no nearer. {}",
            words::three_digits(conditions.airmass),
            arcsec(floor),
            list(rigs, |rig| arcsec(rig.demands.delivered_fwhm_arcsec))
        ),
    }
}

/// Longest exposure on a tripod against declination, every rig.
fn untracked_chart(rigs: &[RigDemands]) -> Chart {
    let curves = rigs
        .iter()
        .map(|rig| {
            let pixel = Angle::from_arcsec(rig.demands.pixel_scale_arcsec);
            let points = steps(0.0, 85.0, POINTS)
                .map(|dec| [dec, untracked_s(pixel, Angle::from_deg(dec)).log10()])
                .collect();
            Curve { name: rig.name.clone(), look: Look::Rig(rig.mark), points }
        })
        .collect();
    Chart {
        title: "Without tracking, one pixel".to_owned(),
        x_label: "declination, degrees north or south",
        y_label: "exposure, s",
        x_scale: Scale::Even,
        y_scale: Scale::Decades,
        curves,
        told: format!(
            "Towards the celestial poles exposures can be longer. On the equator: {}",
            list(rigs, |rig| {
                let pixel = Angle::from_arcsec(rig.demands.pixel_scale_arcsec);
                duration_s(untracked_s(pixel, Angle::ZERO))
            })
        ),
    }
}

/// Unguided exposure limits against declination for the chosen rig.
fn unguided_chart(rig: &ResolvedRig<'_>, own: &RigDemands) -> Chart {
    let demands = &own.demands;
    let bound = |name: &str, seconds: f64, look: Look| Curve {
        name: format!("{name}, {}", duration_s(seconds)),
        look,
        points: vec![[0.0, seconds.log10()], [85.0, seconds.log10()]],
    };
    let mut curves = vec![bound("needed under this sky", demands.sub_exposure_s, Look::Bound)];
    if let Ok(seconds) = demands.unguided_s {
        curves.push(bound("unguided, one pixel", seconds, Look::Main));
    }
    if let Ok(seconds) = demands.unguided_half_fwhm_s {
        curves.push(bound("unguided, half the FWHM", seconds, Look::Part(0)));
    }
    let polar_error = Angle::from_arcmin(rig.mount.polar_error_arcmin);
    if is_equatorial(rig.mount) && rig.mount.polar_error_arcmin > 0.0 {
        let diagonal_px = f64::from(rig.camera.width_px).hypot(f64::from(rig.camera.height_px));
        let limit = |dec: f64| {
            let rate = polar_rotation_rad_per_s(polar_error, Angle::from_deg(dec));
            corner_trail_s(rate, diagonal_px)
        };
        curves.push(Curve {
            name: "field rotation in the corner, guided or not".to_owned(),
            look: Look::Part(1),
            points: steps(0.0, 85.0, POINTS).map(|dec| [dec, limit(dec).log10()]).collect(),
        });
    }
    let untracked = Angle::from_arcsec(demands.pixel_scale_arcsec);
    curves.push(Curve {
        name: "without tracking".to_owned(),
        look: Look::Part(2),
        points: steps(0.0, 85.0, POINTS)
            .map(|dec| [dec, untracked_s(untracked, Angle::from_deg(dec)).log10()])
            .collect(),
    });
    let told: Vec<&str> = curves.iter().map(|curve| curve.name.as_str()).collect();
    Chart {
        title: format!("Exposure limits, {}", own.name),
        x_label: "declination, degrees north or south",
        y_label: "exposure, s",
        x_scale: Scale::Even,
        y_scale: Scale::Decades,
        told: format!("{}: {}.", own.name, told.join("; ")),
        curves,
    }
}

/// How long an alt-az mount can expose before the corner trails, by place in the sky.
fn turning_chart(kit: &Kit, rig: &ResolvedRig<'_>, own: &RigDemands) -> Chart {
    let latitude = Angle::from_deg(kit.site.latitude_deg);
    let diagonal_px = f64::from(rig.camera.width_px).hypot(f64::from(rig.camera.height_px));
    let limit_s = |azimuth_deg: f64, altitude_deg: f64| {
        let (altitude, azimuth) = (Angle::from_deg(altitude_deg), Angle::from_deg(azimuth_deg));
        corner_trail_s(altazimuth_rotation_rad_per_s(latitude, altitude, azimuth), diagonal_px)
    };
    let places = [
        ("due north or south", 180.0),
        ("half-way to east or west", 135.0),
        ("near east or west", 100.0),
    ];
    let mut curves: Vec<Curve> = (0u8..)
        .zip(places)
        .map(|(part, (name, azimuth_deg))| Curve {
            name: name.to_owned(),
            look: Look::Part(part),
            points: steps(5.0, 85.0, POINTS)
                .map(|altitude| [altitude, limit_s(azimuth_deg, altitude).log10()])
                .collect(),
        })
        .collect();
    let needed = own.demands.sub_exposure_s;
    curves.push(Curve {
        name: format!("needed under this sky, {}", duration_s(needed)),
        look: Look::Bound,
        points: vec![[5.0, needed.log10()], [85.0, needed.log10()]],
    });
    Chart {
        title: format!("Until the corner trails by a pixel, {}", own.name),
        x_label: "altitude, degrees",
        y_label: "exposure, s",
        x_scale: Scale::Even,
        y_scale: Scale::Decades,
        curves,
        told: format!(
            "Half-way up: {} due north or south, {} near east or west. Overhead the field turns without bound.",
            duration_s(limit_s(180.0, 45.0)),
            duration_s(limit_s(100.0, 45.0))
        ),
    }
}

/// Signal-to-noise ratio against hours of exposure, every rig; `None` without a target's light.
fn snr_chart(figure: Figure, kit: &Kit, rigs: &[RigDemands]) -> Option<Chart> {
    let per_pixel = figure != Figure::HoursPerArcsec2;
    let wanted = |rig: &RigDemands| {
        let demands = &rig.demands;
        if per_pixel { demands.hours_to_snr_per_pixel } else { demands.hours_to_snr_per_arcsec2 }
    };
    let longest =
        rigs.iter().filter_map(|rig| wanted(rig).ok()).fold(0.0, f64::max).clamp(0.05, 100.0);
    let mut curves = vec![Curve {
        name: format!("wanted, {}", plain(kit.limits.snr)),
        look: Look::Bound,
        points: vec![[0.0, kit.limits.snr], [longest, kit.limits.snr]],
    }];
    for (place, rig) in rigs.iter().enumerate() {
        if rig.demands.target_e_per_s_px.is_err() {
            continue;
        }
        let resolved = kit.resolve(place)?;
        // Independent pixels: the ratio in a square arcsecond is that in a pixel, times the root
        // of how many pixels there are.
        let times = if per_pixel { 1.0 } else { 1.0 / arcsec2_hours_share(&resolved, rig).sqrt() };
        let points = steps(0.0, longest, POINTS)
            .map(|hours| [hours, times * snr_after(&rig.demands.rates, rig, hours)])
            .collect();
        curves.push(Curve { name: rig.name.clone(), look: Look::Rig(rig.mark), points });
    }
    (curves.len() > 1).then(|| Chart {
        title: if per_pixel {
            "Signal to noise of a pixel".to_owned()
        } else {
            "Signal to noise of a square arcsecond".to_owned()
        },
        x_label: "exposure, hours in all",
        y_label: "signal to noise",
        x_scale: Scale::Even,
        y_scale: Scale::Even,
        curves,
        told: format!(
            "Twice the ratio takes four times the hours. To the wanted ratio: {}",
            list(rigs, |rig| wanted(rig).map_or_else(|why| why.to_string(), hours))
        ),
    })
}

/// Hours in a square arcsecond over hours in a pixel.
fn arcsec2_hours_share(rig: &ResolvedRig<'_>, own: &RigDemands) -> f64 {
    let filter = rig.rig.filter.as_ref().map(LineFilter::from);
    let share = Passband::of(rig.camera, filter).pixel_share;
    hours_per_arcsec2(1.0, own.demands.pixel_scale_arcsec.powi(2), share)
}

fn snr_after(rates: &Rates, own: &RigDemands, hours: f64) -> f64 {
    // A camera without read noise can expose as short as it likes.
    let sub_s = own.demands.sub_exposure_s.max(1.0);
    rates.snr(sub_s, hours * 3600.0 / sub_s)
}

fn list(rigs: &[RigDemands], value: impl Fn(&RigDemands) -> String) -> String {
    let each: Vec<String> = rigs.iter().map(|rig| format!("{} {}", rig.name, value(rig))).collect();
    each.join(", ") + "."
}
