//! Light on a rig's pixel, and the hours that follow from it.

use super::{Conditions, DemandTarget};
use crate::ResolvedRig;
use crate::exposure::{Rates, hours_per_arcsec2, saturation_s};
use crate::kit::{Limits, Site};
use crate::light::{
    LineFilter, NARROW_NM, Passband, USUAL_NARROW, flux_ratio, pixel_area_arcsec2,
    rig_zero_point_e_per_s,
};
use crate::why::{Known, Why};

/// The rig's own filter if it is a narrow one, or the usual narrow one.
pub(super) fn narrow_filter(own: Option<LineFilter>) -> LineFilter {
    own.filter(|filter| filter.width_nm < NARROW_NM).unwrap_or(USUAL_NARROW)
}

/// What a pixel gathers through one filter, or none.
pub(super) struct Exposure {
    band: Passband,
    pixel_arcsec2: f64,
    pub(super) rates: Rates,
    pub(super) target_e_per_s: Known<f64>,
}

impl Exposure {
    pub(super) fn of(
        rig: &ResolvedRig<'_>,
        site: &Site,
        target: Option<&DemandTarget>,
        conditions: &Conditions,
        filter: Option<LineFilter>,
    ) -> Self {
        let band = Passband::of(rig.camera, filter);
        let pixel_arcsec2 = pixel_area_arcsec2(rig);
        let zero = rig_zero_point_e_per_s(rig.ota, band) * pixel_arcsec2;
        let dimmed = site.extinction_mag_airmass * conditions.airmass;
        let target_e_per_s = target.ok_or(Why::NoTarget).and_then(|target| {
            let brightness = target.surface_brightness_mag_arcsec2;
            let flux = flux_ratio(brightness.ok_or(Why::NoSurfaceBrightness)? + dimmed);
            // A line lies wholly within a narrow filter, however narrow that is.
            let Some(filter) = filter.filter(|_| band.is_narrow()) else { return Ok(flux * zero) };
            let Some(share) = target.line_share? else { return Ok(flux * zero) };
            let whole = rig_zero_point_e_per_s(rig.ota, Passband::whole(rig.camera));
            Ok(flux * share * filter.transmission * whole * pixel_arcsec2)
        });
        let rates = Rates {
            target_e_per_s: target_e_per_s.unwrap_or(0.0),
            sky_e_per_s: zero * flux_ratio(conditions.sky_brightness_mag_arcsec2),
            dark_e_per_s: rig.camera.dark_e_per_s,
            read_noise_e: rig.camera.read_noise_e,
        };
        Self { band, pixel_arcsec2, rates, target_e_per_s }
    }

    pub(super) fn hours_per_pixel(&self, limits: &Limits) -> Known<f64> {
        self.target_e_per_s?;
        let sub_s = self.rates.shortest_sub_s(limits.thresholds.read_noise);
        Ok(self.rates.hours_to_snr(limits.snr, sub_s))
    }

    pub(super) fn hours_per_arcsec2(&self, limits: &Limits) -> Known<f64> {
        let hours = self.hours_per_pixel(limits)?;
        Ok(hours_per_arcsec2(hours, self.pixel_arcsec2, self.band.pixel_share))
    }

    pub(super) fn saturation_s(
        &self,
        rig: &ResolvedRig<'_>,
        site: &Site,
        limits: &Limits,
        conditions: &Conditions,
        central_pixel_share: f64,
    ) -> f64 {
        let dimmed = site.extinction_mag_airmass * conditions.airmass;
        let star = rig_zero_point_e_per_s(rig.ota, self.band)
            * flux_ratio(limits.thresholds.well_star_mag + dimmed);
        let background = self.rates.sky_e_per_s + self.rates.dark_e_per_s;
        saturation_s(rig.camera.full_well_e, star, central_pixel_share, background)
    }
}
