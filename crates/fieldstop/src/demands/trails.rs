//! How stars trail on a rig's mount.

use super::{Conditions, finite};
use crate::kit::{MountKind, Site};
use crate::tracking::{
    altazimuth_rotation_rad_per_s, corner_trail_s, periodic_peak_arcsec_per_s,
    polar_drift_arcsec_per_s, polar_rotation_rad_per_s, trail_s,
};
use crate::why::{Known, Why};
use crate::{Angle, ResolvedRig};

/// The speeds that matter, and the times they leave for a one-pixel trail in the corner.
pub(super) struct Trails {
    tracks: bool,
    worst_arcsec_per_s: f64,
    pub(super) polar_rotation_s: Known<f64>,
    pub(super) altazimuth_rotation_s: Known<f64>,
}

impl Trails {
    pub(super) fn of(
        rig: &ResolvedRig<'_>,
        site: &Site,
        declination: Angle,
        conditions: &Conditions,
    ) -> Self {
        let mount = rig.mount;
        let polar_error = Angle::from_arcmin(mount.polar_error_arcmin);
        let diagonal_px = f64::from(rig.camera.width_px).hypot(f64::from(rig.camera.height_px));
        let corner_s =
            |rate_rad_per_s| finite(corner_trail_s(rate_rad_per_s, diagonal_px), Why::NoDrift);
        Self {
            tracks: mount.kind != MountKind::Fixed,
            worst_arcsec_per_s: polar_drift_arcsec_per_s(polar_error)
                + periodic_peak_arcsec_per_s(mount.periodic_error_arcsec, mount.period_s),
            polar_rotation_s: if mount.kind == MountKind::Equatorial {
                corner_s(polar_rotation_rad_per_s(polar_error, declination))
            } else {
                Err(Why::NotEquatorial)
            },
            altazimuth_rotation_s: if mount.kind == MountKind::Altazimuth {
                let latitude = Angle::from_deg(site.latitude_deg);
                conditions.altitude_azimuth.ok_or(Why::NoPlace).and_then(|(altitude, azimuth)| {
                    corner_s(altazimuth_rotation_rad_per_s(latitude, altitude, azimuth))
                })
            } else {
                Err(Why::NotAltazimuth)
            },
        }
    }

    pub(super) fn unguided(&self, trail_arcsec: f64) -> Known<f64> {
        if !self.tracks {
            return Err(Why::DoesNotTrack);
        }
        finite(trail_s(trail_arcsec, self.worst_arcsec_per_s), Why::NoDrift)
    }
}
