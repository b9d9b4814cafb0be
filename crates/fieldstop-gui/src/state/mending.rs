//! "Why is this bad?": what stands in the way of each rig, and what would mend it, in numbers.

use fieldstop::ResolvedRig;
use fieldstop::demands::{Demands, Figure, Grade, Remedy};
use fieldstop::exposure::{Rates, hours_per_arcsec2};
use fieldstop::kit::{Kit, Limits};
use fieldstop::light::Passband;
use fieldstop::psf::Blur;
use fieldstop::tracking::{periodic_peak_arcsec_per_s, polar_drift_arcsec_per_s, trail_s};
use fieldstop::why::Part;
use fieldstop::{Angle, light::LineFilter};

use super::demands::RigDemands;
use crate::demand_words::{arcsec, digits, duration_s, hours, percent, plain};
use crate::words;
use crate::words::money;

/// A rig in which a figure is doubtful or bad.
#[derive(Clone, Debug, PartialEq)]
pub struct Trouble {
    /// The rig's place in the shortlist.
    pub rig: usize,
    /// How bad.
    pub grade: Grade,
    /// What is wanted and what is there.
    pub why: String,
    /// What would mend it, the simplest first.
    pub remedies: Vec<String>,
}

/// Every rig in which a figure is not good, with what would mend it.
pub(super) fn troubles(figure: Figure, kit: &Kit, rigs: &[RigDemands]) -> Vec<Trouble> {
    rigs.iter()
        .enumerate()
        .filter_map(|(place, own)| {
            let graded = own.grade(figure).filter(|graded| graded.grade != Grade::Good)?;
            let case = Case { figure, own, rig: kit.resolve(place)?, limits: &kit.limits };
            Some(Trouble {
                rig: place,
                grade: graded.grade,
                why: case.why(),
                remedies: graded.remedies.iter().filter_map(|&r| case.remedy(r)).collect(),
            })
        })
        .collect()
}

/// One figure of one rig that is not good.
struct Case<'a> {
    figure: Figure,
    own: &'a RigDemands,
    rig: ResolvedRig<'a>,
    limits: &'a Limits,
}

impl Case<'_> {
    fn demands(&self) -> &Demands {
        &self.own.demands
    }

    /// What is wanted and what is there.
    fn why(&self) -> String {
        let (d, limits) = (self.demands(), self.limits);
        let thresholds = &limits.thresholds;
        let wanted_s = duration_s(d.sub_exposure_s);
        match self.figure {
            Figure::Sampling | Figure::PixelsPerFwhm => format!(
                "{} pixels across a star; {} to {} are of use",
                digits(d.pixels_per_fwhm),
                plain(thresholds.under_sampled),
                plain(thresholds.over_sampled)
            ),
            Figure::Detail => format!("fewer than the {} elements wanted", plain(limits.detail)),
            Figure::Untracked
            | Figure::Unguided
            | Figure::PolarRotation
            | Figure::AltazimuthRotation => {
                format!("shorter than the {wanted_s} that a sub-exposure needs under this sky")
            }
            Figure::GuidingLoss | Figure::GuideRmsNeeded => format!(
                "the mount guides to {}; {} is needed",
                d.guided_rms_arcsec.map_or_else(|| "nothing".to_owned(), arcsec),
                arcsec(d.guide_rms_needed_arcsec)
            ),
            Figure::PayloadUsed | Figure::MassOnMount => format!(
                "{} of the rated payload is used; {} are for imaging",
                percent(d.load.payload_used),
                percent(limits.payload_share)
            ),
            Figure::Carry => "more than you can carry".to_owned(),
            Figure::HeaviestPiece => {
                format!("the {} weighs {} kg", d.load.heaviest.label(), digits(d.load.heaviest_kg))
            }
            Figure::ImageCircleOk | Figure::LitShare => {
                format!("{} of the sensor is lit and sharp", percent(d.lit_share.unwrap_or(1.0)))
            }
            Figure::CornerComa => {
                format!("longer than a star is wide, {}", arcsec(d.delivered_fwhm_arcsec))
            }
            Figure::DepthOfFocus => "finer than a hand on the focuser finds".to_owned(),
            Figure::HoursPerPixel | Figure::HoursPerArcsec2 => {
                "more than one night's exposure".to_owned()
            }
            Figure::Saturation => {
                format!("sooner than the {wanted_s} that a sub-exposure needs under this sky")
            }
            Figure::Price => "over the budget, or over it with the checklist".to_owned(),
            _ => String::new(),
        }
    }

    /// What a remedy would have to be, or would bring; `None` where it would bring nothing.
    fn remedy(&self, remedy: Remedy) -> Option<String> {
        match remedy {
            Remedy::Reducer => self.reducer(),
            Remedy::Barlow => self.barlow(),
            Remedy::LargerPixels => self.larger_pixels(),
            Remedy::SmallerPixels => self.smaller_pixels(),
            Remedy::ShorterExposures => self.shorter_exposures(),
            Remedy::BetterMount => self.better_mount(),
            Remedy::Guiding => self.guiding(),
            Remedy::PolarAlignment => self.polar_alignment(),
            Remedy::LighterRig => self.lighter_rig(),
            Remedy::SmallerSensor => self.smaller_sensor(),
            Remedy::ComaCorrector => Some(
                "A coma corrector for this focal ratio takes the coma away out to its own image circle."
                    .to_owned(),
            ),
            Remedy::FocusMotor => Some(format!(
                "A motor with steps of at most {} µm, and refocusing as the night cools.",
                digits(self.demands().depth_of_focus_um / 2.0)
            )),
            Remedy::FasterOptics | Remedy::DarkerSite | Remedy::NarrowFilter => {
                self.more_contrast(remedy)
            }
            Remedy::CheaperParts => self.cheaper_parts(),
            Remedy::HelpLifting => Some(format!(
                "Lift the {} with two people, or take it apart; follow local manual-handling guidance.",
                self.demands().load.heaviest.label()
            )),
        }
    }

    /// The blur with pixels of another width on the sky.
    fn blur_with_pixel(&self, pixel_arcsec: f64) -> Blur {
        Blur { pixel_arcsec, ..self.demands().blur }
    }

    /// The width of a pixel on the sky that puts so many across a star; `None` if none does.
    fn pixel_for(&self, pixels_per_fwhm: f64) -> Option<f64> {
        let mut pixel_arcsec = self.demands().pixel_scale_arcsec;
        // A larger pixel also widens the star a little; a few rounds settle that.
        for _ in 0..6 {
            pixel_arcsec = self.blur_with_pixel(pixel_arcsec).fwhm_arcsec() / pixels_per_fwhm;
        }
        let found = self.blur_with_pixel(pixel_arcsec).fwhm_arcsec() / pixel_arcsec;
        ((found / pixels_per_fwhm - 1.0).abs() < 0.02).then_some(pixel_arcsec)
    }

    fn reducer(&self) -> Option<String> {
        let d = self.demands();
        match self.figure {
            Figure::Sampling | Figure::PixelsPerFwhm => {
                let pixel = self.pixel_for(self.limits.thresholds.over_sampled)?;
                let factor = d.pixel_scale_arcsec / pixel;
                let usual =
                    if factor < STRONGEST_REDUCER { " Few reducers are as strong." } else { "" };
                Some(format!(
                    "A reducer of {}×, {}, brings {} pixels across a star.{usual}",
                    digits(factor),
                    words::focal_length(d.focal_length_mm * factor),
                    plain(self.limits.thresholds.over_sampled)
                ))
            }
            Figure::Unguided => {
                let longer = d.unguided_s.ok()? / USUAL_REDUCER;
                Some(format!("A {USUAL_REDUCER}× reducer makes it {}.", duration_s(longer)))
            }
            Figure::GuidingLoss | Figure::GuideRmsNeeded => {
                let reduced = self.blur_with_pixel(d.pixel_scale_arcsec / USUAL_REDUCER);
                let needed = reduced.guiding_rms_for_loss(self.limits.thresholds.guiding_loss);
                Some(format!("With a {USUAL_REDUCER}× reducer, {} would do.", arcsec(needed)))
            }
            Figure::HoursPerPixel => Some(format!(
                "A {USUAL_REDUCER}× reducer: {}.",
                hours(self.hours_with(1.0 / USUAL_REDUCER.powi(2), 1.0))
            )),
            _ => None,
        }
    }

    fn barlow(&self) -> Option<String> {
        let d = self.demands();
        match self.figure {
            Figure::Sampling | Figure::PixelsPerFwhm => {
                let pixel = self.pixel_for(self.limits.thresholds.under_sampled)?;
                let factor = d.pixel_scale_arcsec / pixel;
                Some(format!(
                    "A focal length of {}, {}× as long, puts {} pixels across a star.",
                    words::focal_length(d.focal_length_mm * factor),
                    digits(factor),
                    plain(self.limits.thresholds.under_sampled)
                ))
            }
            Figure::Detail => {
                let finest = self.blur_with_pixel(0.0).fwhm_arcsec();
                let gain = d.delivered_fwhm_arcsec / finest;
                let most = d.detail.ok()? * gain;
                Some(if most >= self.limits.detail {
                    format!("More focal length reaches up to {} elements.", digits(most))
                } else {
                    format!(
                        "No focal length is enough: even the finest pixels leave {} elements in this seeing. \
                         A target of this size stays small here.",
                        digits(most)
                    )
                })
            }
            _ => None,
        }
    }

    fn larger_pixels(&self) -> Option<String> {
        let d = self.demands();
        match self.figure {
            Figure::Sampling | Figure::PixelsPerFwhm => {
                let Some(joined) = d.binning else {
                    let pixel = self.pixel_for(self.limits.thresholds.over_sampled)?;
                    let pixel_um = self.rig.camera.pixel_um * pixel / d.pixel_scale_arcsec;
                    return Some(format!("A camera with pixels of {} µm.", digits(pixel_um)));
                };
                let pixel = d.pixel_scale_arcsec * f64::from(joined.factor);
                let across = self.blur_with_pixel(pixel).fwhm_arcsec() / pixel;
                Some(format!(
                    "Binning {0} × {0} leaves {1} pixels across a star, a picture of {2} × {3} px, and \
                     {4}× the read noise in each.",
                    joined.factor,
                    digits(across),
                    joined.width_px,
                    joined.height_px,
                    plain(joined.read_noise_factor)
                ))
            }
            Figure::HoursPerPixel => {
                // Four pixels' signal, and the noise of four.
                let joined = d.hours_to_snr_per_pixel.ok()? / 4.0;
                Some(format!("Binning 2 × 2: {}, at half the scale.", hours(joined)))
            }
            _ => None,
        }
    }

    fn smaller_pixels(&self) -> Option<String> {
        let d = self.demands();
        if self.figure == Figure::Detail {
            return None;
        }
        let pixel = self.pixel_for(self.limits.thresholds.under_sampled)?;
        let pixel_um = self.rig.camera.pixel_um * pixel / d.pixel_scale_arcsec;
        Some(format!("A camera with pixels of {} µm.", digits(pixel_um)))
    }

    fn shorter_exposures(&self) -> Option<String> {
        let d = self.demands();
        let longest_s = match self.figure {
            Figure::Untracked => d.untracked_s.ok()?,
            Figure::Unguided => d.unguided_s.ok()?,
            Figure::PolarRotation => d.polar_rotation_s.ok()?,
            Figure::AltazimuthRotation => d.altazimuth_rotation_s.ok()?,
            Figure::Saturation => d.saturation_s,
            _ => return None,
        };
        let rates = &d.rates;
        let background = rates.sky_e_per_s + rates.dark_e_per_s;
        let extra = (1.0 + rates.read_noise_e.powi(2) / (background * longest_s)).sqrt() - 1.0;
        let accepted = self.limits.thresholds.read_noise;
        let more = ((1.0 + extra) / (1.0 + accepted)).powi(2);
        Some(format!(
            "Exposures of {} and {} of the total time: read noise then adds {} instead of {}.",
            duration_s(longest_s),
            times(more),
            percent(extra),
            percent(accepted)
        ))
    }

    fn better_mount(&self) -> Option<String> {
        let d = self.demands();
        match self.figure {
            Figure::Untracked => Some("A mount that follows the sky.".to_owned()),
            Figure::Unguided => {
                let mount = self.rig.mount;
                let drift = polar_drift_arcsec_per_s(Angle::from_arcmin(mount.polar_error_arcmin));
                let left = d.pixel_scale_arcsec / d.sub_exposure_s - drift;
                (left > 0.0 && mount.period_s > 0.0).then(|| {
                    let peak = left * mount.period_s / std::f64::consts::PI;
                    format!(
                        "A mount with a periodic error of at most {} peak to peak, at the same period.",
                        arcsec(peak)
                    )
                })
            }
            Figure::GuidingLoss | Figure::GuideRmsNeeded => Some(format!(
                "A mount that guides to {} or better.",
                arcsec(d.guide_rms_needed_arcsec)
            )),
            Figure::AltazimuthRotation => {
                Some("An equatorial mount: its field does not turn.".to_owned())
            }
            Figure::PayloadUsed | Figure::MassOnMount => Some(format!(
                "A mount rated for {} kg or more.",
                digits(d.load.on_mount_kg / self.limits.payload_share)
            )),
            _ => None,
        }
    }

    fn guiding(&self) -> Option<String> {
        let d = self.demands();
        Some(format!(
            "Guiding to {} or better, total of both axes, lets exposures last the {} that are needed.",
            arcsec(d.guide_rms_needed_arcsec),
            duration_s(d.sub_exposure_s)
        ))
    }

    fn polar_alignment(&self) -> Option<String> {
        let (d, mount) = (self.demands(), self.rig.mount);
        if self.figure == Figure::PolarRotation {
            let wanted = mount.polar_error_arcmin * d.polar_rotation_s.ok()? / d.sub_exposure_s;
            return Some(format!("A polar axis within {}′ of the pole.", digits(wanted)));
        }
        let swing = periodic_peak_arcsec_per_s(mount.periodic_error_arcsec, mount.period_s);
        let best_s = trail_s(d.pixel_scale_arcsec, swing);
        let gain = best_s / d.unguided_s.ok()?;
        // A gain that nobody would notice is no remedy.
        (gain > 1.1).then(|| {
            if best_s.is_finite() {
                format!("A perfect polar axis makes it {}.", duration_s(best_s))
            } else {
                "A perfect polar axis: nothing else makes stars trail here.".to_owned()
            }
        })
    }

    fn lighter_rig(&self) -> Option<String> {
        let load = &self.demands().load;
        match self.figure {
            Figure::PayloadUsed | Figure::MassOnMount => {
                let usable_kg = self.rig.mount.payload_kg * self.limits.payload_share;
                let over_kg = load.on_mount_kg - usable_kg;
                Some(format!("{} kg less on the mount.", digits(over_kg)))
            }
            Figure::Carry => {
                let over_kg = load.carry_kg - self.limits.carry_kg?;
                Some(format!("{} kg less, or two walks.", digits(over_kg)))
            }
            Figure::HeaviestPiece => Some(format!(
                "{} kg less in that piece.",
                digits(load.heaviest_kg - self.limits.thresholds.lift_kg)
            )),
            Figure::GuidingLoss | Figure::GuideRmsNeeded => {
                (load.payload_used > self.limits.payload_share).then(|| {
                    format!(
                        "Less mass: {} of the rated payload is used, and a loaded mount guides worse.",
                        percent(load.payload_used)
                    )
                })
            }
            _ => None,
        }
    }

    fn smaller_sensor(&self) -> Option<String> {
        let d = self.demands();
        let diagonal_mm = self.rig.sensor().diagonal_mm();
        let wanted_mm = match self.figure {
            Figure::ImageCircleOk | Figure::LitShare => d.coverage.ok()?.image_circle_mm,
            // Coma grows with the distance from the middle.
            Figure::CornerComa => {
                diagonal_mm * d.delivered_fwhm_arcsec / d.corner_coma_arcsec.ok()?
            }
            _ => return None,
        };
        let share = wanted_mm / diagonal_mm;
        let kept = |pixels: u32| (f64::from(pixels) * share).floor();
        Some(format!(
            "A sensor with a diagonal of {wanted_mm:.1} mm, or cropping to {} × {} px.",
            kept(self.rig.camera.width_px),
            kept(self.rig.camera.height_px)
        ))
    }

    /// Hours per pixel if the light on a pixel, and the sky's alone, were so many times as much.
    fn hours_with(&self, light: f64, sky: f64) -> f64 {
        let rates = &self.demands().rates;
        let changed = Rates {
            target_e_per_s: rates.target_e_per_s * light,
            sky_e_per_s: rates.sky_e_per_s * light * sky,
            ..*rates
        };
        let sub_s = changed.shortest_sub_s(self.limits.thresholds.read_noise);
        changed.hours_to_snr(self.limits.snr, sub_s)
    }

    /// The same in the figure's own measure, a pixel or a square arcsecond.
    fn hours_of_figure(&self, light: f64, sky: f64) -> f64 {
        let per_pixel = self.hours_with(light, sky);
        if self.figure == Figure::HoursPerPixel {
            return per_pixel;
        }
        let filter = self.rig.rig.filter.as_ref().map(LineFilter::from);
        let share = Passband::of(self.rig.camera, filter).pixel_share;
        hours_per_arcsec2(per_pixel, self.demands().pixel_scale_arcsec.powi(2), share)
    }

    fn more_contrast(&self, remedy: Remedy) -> Option<String> {
        let d = self.demands();
        match remedy {
            Remedy::FasterOptics => Some(format!(
                "Twice the aperture's area at the same focal length: {}.",
                hours(self.hours_of_figure(2.0, 1.0))
            )),
            Remedy::DarkerSite => Some(format!(
                "A sky one magnitude darker: {}.",
                hours(self.hours_of_figure(1.0, 10f64.powf(-0.4)))
            )),
            Remedy::NarrowFilter => {
                let (narrow, now) = (d.hours_narrow.ok()?, d.hours_to_snr_per_arcsec2.ok()?);
                (narrow < now).then(|| {
                    format!(
                        "A line filter: {} per square arcsecond, {} of it now.",
                        hours(narrow),
                        percent(narrow / now)
                    )
                })
            }
            _ => None,
        }
    }

    fn cheaper_parts(&self) -> Option<String> {
        let d = self.demands();
        let (budget, price) = (self.limits.budget?, d.price.ok()?);
        let over = price + d.checklist_price.unwrap_or(0.0) - budget;
        let dearest = self
            .own
            .bill
            .iter()
            .filter(|part| !part.owned)
            .filter_map(|part| Some((part.part, part.price?)))
            .max_by(|a, b| a.1.total_cmp(&b.1));
        let currency = &self.limits.currency;
        let part = |(part, price): (Part, f64)| {
            format!(" The dearest part is the {}, {}.", part.label(), money(price, currency))
        };
        Some(format!(
            "{} less, checklist included.{}",
            money(over, currency),
            dearest.map_or_else(String::new, part)
        ))
    }
}

/// Common reducers shorten by about this factor.
const USUAL_REDUCER: f64 = 0.7;
/// Stronger reducers are rare and leave little image circle. Common practice.
const STRONGEST_REDUCER: f64 = 0.6;

/// How many times as much: `1.4 times`.
fn times(factor: f64) -> String {
    format!("{} times", digits(factor))
}
