//! What a figure says of one rig, in a sentence with its numbers.

use fieldstop::cost::PricedPart;
use fieldstop::demands::{Demands, Figure};
use fieldstop::kit::{Kit, Mount, MountKind};
use fieldstop::tracking::{periodic_peak_arcsec_per_s, polar_drift_arcsec_per_s};
use fieldstop::{Angle, ResolvedRig};

use super::demands::RigDemands;
use crate::demand_words::{arcsec, digits, duration_s, percent, plain};
use crate::words;
use crate::words::{money, whole};

/// What a figure says of the chosen rig; `None` where the number says it all.
pub(super) fn here(
    figure: Figure,
    kit: &Kit,
    rigs: &[RigDemands],
    chosen: usize,
) -> Option<String> {
    let rig = kit.resolve(chosen)?;
    let own = rigs.get(chosen)?;
    let demands = &own.demands;
    let text = match figure {
        Figure::FocalLength => focal_length(&rig),
        Figure::DeliveredFwhm | Figure::Detail => return two_longest(rigs),
        Figure::PixelsPerFwhm | Figure::Sampling => format!(
            "A star {} wide on pixels of {} is {}.",
            arcsec(demands.delivered_fwhm_arcsec),
            arcsec(demands.pixel_scale_arcsec),
            demands.sampling.label()
        ),
        Figure::Unguided | Figure::UnguidedHalfFwhm => unguided(rig.mount, demands)?,
        Figure::GuidingLoss | Figure::GuideRmsNeeded => guiding(demands),
        Figure::MassOnMount | Figure::PayloadUsed => payload(&rig, demands, kit),
        Figure::HeaviestPiece => format!(
            "The heaviest piece is the {}. A single piece above {} kg deserves a second person.",
            demands.load.heaviest.label(),
            plain(kit.limits.thresholds.lift_kg)
        ),
        Figure::Carry => carry(demands, kit)?,
        Figure::ImageCircleOk | Figure::LitShare => {
            let coverage = demands.coverage.ok()?;
            format!(
                "The sensor's diagonal is {:.1} mm, the image circle {:.1} mm.",
                coverage.sensor_diagonal_mm, coverage.image_circle_mm
            )
        }
        Figure::Spacer => {
            let way = demands.back_focus.ok()?;
            format!(
                "The corrector wants {:.1} mm to the sensor, filter included; camera and adapters take {:.1} mm.",
                way.wanted_mm, way.found_mm
            )
        }
        Figure::CornerComa | Figure::DepthOfFocus => demands.upkeep.to_owned(),
        Figure::HoursBroad | Figure::HoursNarrow => {
            "Glowing gas gains from a line filter, most of all under Moon or city; galaxies and dust lose.".to_owned()
        }
        Figure::Saturation => format!(
            "For a star of magnitude {}.",
            plain(kit.limits.thresholds.well_star_mag)
        ),
        Figure::Price | Figure::ChecklistPrice => price(own, kit)?,
        _ => return None,
    };
    Some(format!("{}: {text}", own.name))
}

fn focal_length(rig: &ResolvedRig<'_>) -> String {
    let native = words::focal_length(rig.ota.focal_length_mm);
    match rig.corrector {
        Some(corrector) => {
            format!("{native} times {} of the {}.", corrector.factor, corrector.name)
        }
        None => format!("{native}, without a corrector."),
    }
}

/// Whether the longest rig shows more than the one before it.
fn two_longest(rigs: &[RigDemands]) -> Option<String> {
    let mut by_length: Vec<&RigDemands> = rigs.iter().collect();
    by_length.sort_by(|a, b| b.demands.focal_length_mm.total_cmp(&a.demands.focal_length_mm));
    let [long, shorter, ..] = by_length.as_slice() else { return None };
    let length = long.demands.focal_length_mm / shorter.demands.focal_length_mm - 1.0;
    let gain = shorter.demands.delivered_fwhm_arcsec / long.demands.delivered_fwhm_arcsec - 1.0;
    let verdict = if gain > 0.1 {
        format!("shows {} more detail", percent(gain))
    } else if gain > -0.1 {
        "shows practically the same detail".to_owned()
    } else {
        format!("shows {} less detail", percent(-gain))
    };
    Some(format!(
        "{} is {} longer than {} and {verdict}: stars come out {} wide against {}.",
        long.name,
        percent(length),
        shorter.name,
        arcsec(long.demands.delivered_fwhm_arcsec),
        arcsec(shorter.demands.delivered_fwhm_arcsec)
    ))
}

fn unguided(mount: &Mount, demands: &Demands) -> Option<String> {
    let (pixel, half) = (demands.unguided_s.ok()?, demands.unguided_half_fwhm_s.ok()?);
    let swing = periodic_peak_arcsec_per_s(mount.periodic_error_arcsec, mount.period_s);
    let drift = polar_drift_arcsec_per_s(Angle::from_arcmin(mount.polar_error_arcmin));
    let limit = if swing >= drift { "periodic error" } else { "polar misalignment" };
    Some(format!(
        "{} to a trail of one pixel, {} to half a star's width. The limit is the {limit}: periodic error \
         swings by up to {} a second, polar misalignment drifts by up to {}. Under this sky an exposure \
         should last {} or more.",
        duration_s(pixel),
        duration_s(half),
        arcsec(swing),
        arcsec(drift),
        duration_s(demands.sub_exposure_s)
    ))
}

fn guiding(demands: &Demands) -> String {
    match demands.guided_rms_arcsec {
        Some(rms) => format!(
            "Its mount guides to {}, which widens stars by {}; {} or better would not be seen.",
            arcsec(rms),
            percent(demands.guiding_loss),
            arcsec(demands.guide_rms_needed_arcsec)
        ),
        None => format!(
            "Its mount is not guided. Guiding it to {} would not be seen.",
            arcsec(demands.guide_rms_needed_arcsec)
        ),
    }
}

fn payload(rig: &ResolvedRig<'_>, demands: &Demands, kit: &Kit) -> String {
    let share = kit.limits.payload_share;
    let usable_kg = rig.mount.payload_kg * share;
    let over_kg = demands.load.on_mount_kg - usable_kg;
    let verdict = if over_kg > 0.0 {
        format!("{} kg too much", digits(over_kg))
    } else {
        format!("{} kg to spare", digits(-over_kg))
    };
    format!(
        "{} kg on a mount rated for {} kg, of which imaging may use {}, {} kg: {verdict}. \
         A maker's own limit comes first.",
        digits(demands.load.on_mount_kg),
        plain(rig.mount.payload_kg),
        percent(share),
        digits(usable_kg)
    )
}

fn carry(demands: &Demands, kit: &Kit) -> Option<String> {
    let limit_kg = kit.limits.carry_kg?;
    let over_kg = demands.load.carry_kg - limit_kg;
    Some(if over_kg > 0.0 {
        format!("{} kg more than the {} kg you can carry.", digits(over_kg), plain(limit_kg))
    } else {
        format!("{} kg less than the {} kg you can carry.", digits(-over_kg), plain(limit_kg))
    })
}

fn price(own: &RigDemands, kit: &Kit) -> Option<String> {
    let price = own.demands.price.ok()?;
    let currency = &kit.limits.currency;
    let owned =
        own.bill.iter().filter(|part| part.owned).filter_map(|part: &PricedPart| part.price);
    let owned: f64 = owned.sum();
    let lacking = own.demands.checklist_price.ok();
    let mut text = format!("{} still to pay", money(price, currency));
    if owned > 0.0 {
        text += &format!(" beside {} already owned", money(owned, currency));
    }
    if let Some(lacking) = lacking {
        text +=
            &format!("; with what a first rig still lacks, {}", money(price + lacking, currency));
    }
    if let Some(budget) = kit.limits.budget {
        text += &format!(", against a budget of {}", whole(budget));
    }
    Some(text + ".")
}

/// Whether a mount turns about the pole.
pub(super) fn is_equatorial(mount: &Mount) -> bool {
    mount.kind == MountKind::Equatorial
}
