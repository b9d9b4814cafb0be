//! All that one rig asks of seeing, mount, back, purse and patience, in one value.
//!
//! [`demands`] takes a rig, a site, the kit's limits, the conditions of the moment and perhaps a
//! target, and gives every figure of the Demands view. A figure that cannot be given says
//! [why](crate::why::Why). [`Figure`] lists the figures by name, each with its
//! [rule](crate::rule::Rule) and its [grade](grade::Grade).

mod exposure;
mod figure;
mod grade;
mod sensitivity;
mod trails;

pub use figure::{Figure, Value};
pub use grade::{Grade, Graded, Remedy};
pub use sensitivity::{Sensitivity, sensitivity};

use exposure::{Exposure, narrow_filter};
use trails::Trails;

use crate::aberration::{depth_of_focus_um, paraboloid_coma, upkeep};
use crate::coverage::{
    BackFocus, Coverage, back_focus, corner_off_axis, image_circle_mm, lit_share,
};
use crate::detail::resolution_elements;
use crate::diffraction::{dawes, rayleigh};
use crate::exposure::{Rates, gigabytes, subs_a_night};
use crate::kit::{Limits, OtaClass, Site};
use crate::light::{LineFilter, Passband, clear_area_m2, t_number};
use crate::load::{Load, load, tube_moment_kg_m2};
use crate::psf::{Blur, seeing_fwhm_arcsec};
use crate::sampling::{Binning, Sampling, barlow_factor, binning, planetary_focal_ratio};
use crate::tracking::untracked_s;
use crate::why::{Known, Why};
use crate::{Angle, ResolvedRig, cost};

/// What the sky and the guiding do at the moment that is looked at.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Conditions {
    /// Of the place in the sky, 1 at the zenith.
    pub airmass: f64,
    /// Long exposure, at the zenith, 550 nm; 0 for perfect air.
    pub seeing_fwhm_arcsec: f64,
    /// Where the target is, moonlight included.
    pub sky_brightness_mag_arcsec2: f64,
    /// In place of every guided mount's own RMS, total of both axes; the mount's own if left out.
    pub guided_rms_arcsec: Option<f64>,
    /// Altitude and azimuth of the place in the sky, for the turning of an alt-az mount's field.
    pub altitude_azimuth: Option<(Angle, Angle)>,
    /// Dark hours of the night, for what it yields.
    pub dark_hours: Option<f64>,
}

impl Conditions {
    /// The site as the kit states it, at the zenith, without the Moon.
    pub fn at_zenith(site: &Site) -> Self {
        Self {
            airmass: 1.0,
            seeing_fwhm_arcsec: site.seeing_fwhm_arcsec,
            sky_brightness_mag_arcsec2: site.sky_brightness_mag_arcsec2,
            guided_rms_arcsec: None,
            altitude_azimuth: None,
            dark_hours: None,
        }
    }
}

/// What the figures need to know of a target.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DemandTarget {
    /// Its declination.
    pub declination: Angle,
    /// Its full major axis.
    pub major: Option<Angle>,
    /// Mean, in V, above the atmosphere.
    pub surface_brightness_mag_arcsec2: Option<f64>,
    /// Share of its light in a camera's whole passband that a narrow filter's line holds, for a
    /// nebula that shines in lines; none for one that shines in all colours, as galaxies do. Unknown where a
    /// nebula's sort is: a narrow filter then has no hours.
    pub line_share: Known<Option<f64>>,
}

/// Every figure of one rig. Names are those of the command line's output, where it has them.
///
/// Of a kit whose numbers are in their [ranges](crate::range) no field is NaN or infinite.
#[derive(Clone, Debug, PartialEq)]
pub struct Demands {
    /// Effective, with corrector.
    pub focal_length_mm: f64,
    /// Effective.
    pub focal_ratio: f64,
    /// The focal ratio that counts for exposure.
    pub t_number: f64,
    /// Area that collects light.
    pub clear_area_m2: f64,
    /// At the centre of the field.
    pub pixel_scale_arcsec: f64,
    /// Middle of the passband that the figures are for.
    pub wavelength_nm: f64,
    /// Rayleigh's limit.
    pub rayleigh_arcsec: f64,
    /// Dawes' limit.
    pub dawes_arcsec: f64,
    /// What blurs a star here: for the plots of profile and contrast.
    pub blur: Blur,
    /// How wide a star comes out.
    pub delivered_fwhm_arcsec: f64,
    /// Of the delivered FWHM.
    pub pixels_per_fwhm: f64,
    /// The verdict on that.
    pub sampling: Sampling,
    /// Pixels that could be joined.
    pub binning: Option<Binning>,
    /// The focal ratio for planets.
    pub planetary_focal_ratio: f64,
    /// The Barlow that reaches it.
    pub barlow_factor: Known<f64>,
    /// Resolution elements across the target.
    pub detail: Known<f64>,
    /// Without any tracking, for a trail of one pixel.
    pub untracked_s: Known<f64>,
    /// Without guiding, for a trail of one pixel at the worst moment.
    pub unguided_s: Known<f64>,
    /// The same for a trail of half the delivered FWHM.
    pub unguided_half_fwhm_s: Known<f64>,
    /// The guiding that was reckoned with, total of both axes; none where there is no guiding.
    pub guided_rms_arcsec: Option<f64>,
    /// Share by which it widens the FWHM.
    pub guiding_loss: f64,
    /// The RMS, total of both axes, that costs the accepted share of the FWHM.
    pub guide_rms_needed_arcsec: f64,
    /// Time for a one-pixel trail in the sensor's corner from polar misalignment.
    pub polar_rotation_s: Known<f64>,
    /// The same from the turning of an alt-az mount's field.
    pub altazimuth_rotation_s: Known<f64>,
    /// Masses.
    pub load: Load,
    /// Moment of inertia of the tube.
    pub tube_moment_kg_m2: Known<f64>,
    /// Sensor against image circle.
    pub coverage: Known<Coverage>,
    /// Share of the sensor's area in the image circle.
    pub lit_share: Known<f64>,
    /// Distances behind the corrector.
    pub back_focus: Known<BackFocus>,
    /// Length of a star's flare in the corner.
    pub corner_coma_arcsec: Known<f64>,
    /// To either side of best focus.
    pub depth_of_focus_um: f64,
    /// What its class of telescope asks for.
    pub upkeep: &'static str,
    /// What a pixel gathers; its target is 0 where there is none.
    pub rates: Rates,
    /// From the target, electrons a second and pixel.
    pub target_e_per_s_px: Known<f64>,
    /// Shortest at which read noise is forgotten.
    pub sub_exposure_s: f64,
    /// To the wanted signal-to-noise ratio in a pixel.
    pub hours_to_snr_per_pixel: Known<f64>,
    /// To the wanted signal-to-noise ratio in a square arcsecond.
    pub hours_to_snr_per_arcsec2: Known<f64>,
    /// The latter in the camera's whole passband.
    pub hours_broad: Known<f64>,
    /// The latter behind the rig's narrow filter, or the usual one.
    pub hours_narrow: Known<f64>,
    /// Time until the kit's chosen star fills a pixel.
    pub saturation_s: f64,
    /// Sub-exposures of a night.
    pub subs_a_night: Known<f64>,
    /// Storage for them.
    pub gigabytes_a_night: Known<f64>,
    /// Of all parts that are not owned.
    pub price: Known<f64>,
    /// Of what the checklist still lacks.
    pub checklist_price: Known<f64>,
}

/// All figures of a rig.
///
/// At the zenith with [`Conditions::at_zenith`]; elsewhere the caller says airmass, sky brightness
/// and place. Without a target, untracked exposures are for a star that passes the zenith.
pub fn demands(
    rig: &ResolvedRig<'_>,
    site: &Site,
    limits: &Limits,
    target: Option<&DemandTarget>,
    conditions: &Conditions,
) -> Demands {
    let filter = rig.rig.filter.as_ref().map(LineFilter::from);
    let band = Passband::of(rig.camera, filter);
    let blur = blur(rig, conditions, band);
    let star = blur.delivered(limits.thresholds.guiding_loss);
    let delivered = star.fwhm_arcsec;
    let pixel = rig.pixel_scale();
    let pixels_per_fwhm = delivered / pixel.arcsec();
    let declination = target.map_or(Angle::from_deg(site.latitude_deg), |t| t.declination);
    let trails = Trails::of(rig, site, declination, conditions);
    let thresholds = &limits.thresholds;
    let camera = rig.camera;
    let exposure = Exposure::of(rig, site, target, conditions, filter);
    let sub_exposure_s = exposure.rates.shortest_sub_s(thresholds.read_noise);
    let hours = exposure.hours_per_pixel(limits);
    let subs = conditions
        .dark_hours
        .ok_or(Why::NoDarkHours)
        .and_then(|hours| finite(subs_a_night(hours, sub_exposure_s), Why::NoReadNoise));
    let coverage = image_circle_mm(rig).map(|image_circle_mm| Coverage {
        sensor_diagonal_mm: rig.sensor().diagonal_mm(),
        image_circle_mm,
    });
    let planetary = planetary_focal_ratio(camera.pixel_um, band.centre_nm);
    let barlow = barlow_factor(rig.focal_ratio(), camera.pixel_um, band.centre_nm);
    Demands {
        focal_length_mm: rig.focal_length_mm(),
        focal_ratio: rig.focal_ratio(),
        t_number: t_number(rig.focal_ratio(), rig.ota.transmission, blur.obstruction_ratio),
        clear_area_m2: clear_area_m2(rig.ota.aperture_mm, rig.ota.obstruction_mm),
        pixel_scale_arcsec: pixel.arcsec(),
        wavelength_nm: band.centre_nm,
        rayleigh_arcsec: rayleigh(band.centre_nm, rig.ota.aperture_mm).arcsec(),
        dawes_arcsec: dawes(rig.ota.aperture_mm).arcsec(),
        blur,
        delivered_fwhm_arcsec: delivered,
        pixels_per_fwhm,
        sampling: Sampling::of(pixels_per_fwhm, thresholds),
        binning: binning(pixels_per_fwhm, thresholds, camera.width_px, camera.height_px),
        planetary_focal_ratio: planetary,
        barlow_factor: if barlow > 1.0 { Ok(barlow) } else { Err(Why::AlreadyReached) },
        detail: detail(target, delivered),
        untracked_s: finite(untracked_s(pixel, declination), Why::AtThePole),
        unguided_s: trails.unguided(pixel.arcsec()),
        unguided_half_fwhm_s: trails.unguided(delivered / 2.0),
        guided_rms_arcsec: guided_rms_arcsec(rig, conditions),
        guiding_loss: delivered / star.unguided_fwhm_arcsec - 1.0,
        guide_rms_needed_arcsec: star.guiding_rms_for_loss_arcsec,
        polar_rotation_s: trails.polar_rotation_s,
        altazimuth_rotation_s: trails.altazimuth_rotation_s,
        load: load(rig),
        tube_moment_kg_m2: tube_moment_kg_m2(rig),
        coverage,
        lit_share: coverage.map(|c| lit_share(rig.sensor(), c.image_circle_mm)),
        back_focus: back_focus(rig),
        corner_coma_arcsec: corner_coma_arcsec(rig),
        depth_of_focus_um: depth_of_focus_um(band.centre_nm, rig.focal_ratio()),
        upkeep: upkeep(rig.ota.class),
        rates: exposure.rates,
        target_e_per_s_px: exposure.target_e_per_s,
        sub_exposure_s,
        hours_to_snr_per_pixel: hours,
        hours_to_snr_per_arcsec2: exposure.hours_per_arcsec2(limits),
        hours_broad: Exposure::of(rig, site, target, conditions, None).hours_per_arcsec2(limits),
        hours_narrow: Exposure::of(rig, site, target, conditions, Some(narrow_filter(filter)))
            .hours_per_arcsec2(limits),
        saturation_s: exposure.saturation_s(
            rig,
            site,
            limits,
            conditions,
            star.central_pixel_share,
        ),
        subs_a_night: subs,
        gigabytes_a_night: subs.and_then(|n| {
            let size = gigabytes(n, camera.width_px, camera.height_px, camera.bit_depth);
            finite(size, Why::NoReadNoise)
        }),
        price: cost::price(rig),
        checklist_price: cost::checklist_price(&cost::checklist(limits)),
    }
}

fn finite(value: f64, why: Why) -> Known<f64> {
    if value.is_finite() { Ok(value) } else { Err(why) }
}

/// The guiding RMS to reckon with, total of both axes; none on a mount that is not guided.
fn guided_rms_arcsec(rig: &ResolvedRig<'_>, conditions: &Conditions) -> Option<f64> {
    let own = rig.mount.guided_rms_arcsec?;
    Some(conditions.guided_rms_arcsec.unwrap_or(own))
}

/// What blurs a star in a rig. Without guiding, an exposure is taken to be short enough not to
/// trail.
fn blur(rig: &ResolvedRig<'_>, conditions: &Conditions, band: Passband) -> Blur {
    let zenith = conditions.seeing_fwhm_arcsec;
    Blur {
        aperture_mm: rig.ota.aperture_mm,
        obstruction_ratio: rig.ota.obstruction_mm / rig.ota.aperture_mm,
        wavelength_nm: band.centre_nm,
        seeing_fwhm_arcsec: seeing_fwhm_arcsec(zenith, conditions.airmass, band.centre_nm),
        guiding_rms_arcsec: guided_rms_arcsec(rig, conditions).unwrap_or(0.0),
        pixel_arcsec: rig.pixel_scale().arcsec(),
    }
}

/// Resolution elements across a target, for lists that need nothing else: one transform.
///
/// # Errors
/// [`Why::NoTarget`] or [`Why::NoTargetSize`].
pub fn detail_of(
    rig: &ResolvedRig<'_>,
    target: Option<&DemandTarget>,
    conditions: &Conditions,
) -> Known<f64> {
    let filter = rig.rig.filter.as_ref().map(LineFilter::from);
    let band = Passband::of(rig.camera, filter);
    detail(target, blur(rig, conditions, band).fwhm_arcsec())
}

/// Hours to the wanted signal-to-noise ratio in a square arcsecond, for lists that need nothing
/// else: no transform at all.
///
/// # Errors
/// [`Why::NoSurfaceBrightness`]; [`Why::NoLineShare`] through a narrow filter.
pub fn hours_of(
    rig: &ResolvedRig<'_>,
    site: &Site,
    limits: &Limits,
    target: &DemandTarget,
    conditions: &Conditions,
) -> Known<f64> {
    let filter = rig.rig.filter.as_ref().map(LineFilter::from);
    Exposure::of(rig, site, Some(target), conditions, filter).hours_per_arcsec2(limits)
}

fn detail(target: Option<&DemandTarget>, delivered_fwhm_arcsec: f64) -> Known<f64> {
    let major = target.ok_or(Why::NoTarget)?.major.ok_or(Why::NoTargetSize)?;
    Ok(resolution_elements(major, delivered_fwhm_arcsec))
}

fn corner_coma_arcsec(rig: &ResolvedRig<'_>) -> Known<f64> {
    match (rig.ota.class, rig.corrector) {
        (OtaClass::Newtonian, None) => {
            Ok(paraboloid_coma(corner_off_axis(rig), rig.focal_ratio()).arcsec())
        }
        (OtaClass::Newtonian, Some(_)) => Err(Why::Corrected),
        _ => Err(Why::NotAParaboloid),
    }
}
