//! What no single field can show: names that clash, names that lead nowhere, sizes that disagree.

use std::collections::HashSet;
use std::fmt;

use thiserror::Error;

use super::{FORMAT, Kit, Wish};
use crate::range::{LATITUDE, WHOLE_CIRCLE};

/// A named list of a kit.
#[derive(Clone, Copy, Debug, Eq, Hash, PartialEq)]
pub enum PartList {
    /// `otas`
    Otas,
    /// `correctors`
    Correctors,
    /// `cameras`
    Cameras,
    /// `mounts`
    Mounts,
    /// `rigs`
    Rigs,
    /// `wish_list`
    WishList,
}

impl PartList {
    /// Its field name in the kit file.
    pub const fn field(self) -> &'static str {
        match self {
            Self::Otas => "otas",
            Self::Correctors => "correctors",
            Self::Cameras => "cameras",
            Self::Mounts => "mounts",
            Self::Rigs => "rigs",
            Self::WishList => "wish_list",
        }
    }
}

impl fmt::Display for PartList {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.field())
    }
}

/// Why a kit cannot be used, though each of its numbers alone is in range.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum KitFault {
    /// Written by a later version, or by something else.
    #[error("format is {found}; expected {FORMAT}")]
    Format {
        /// The file's format.
        found: u32,
    },
    /// Two entries of one list have the same name.
    #[error("{list} has two entries named {name:?}; expected every name once")]
    Duplicate {
        /// Where.
        list: PartList,
        /// The name that occurs twice.
        name: String,
    },
    /// An entry without a name.
    #[error("{list} has an entry without a name; expected a name")]
    Unnamed {
        /// Where.
        list: PartList,
    },
    /// A rig names a part that the kit does not hold.
    #[error(
        "rig {rig:?} uses {name:?}, which is not in {list}; expected the name of an entry there"
    )]
    Dangling {
        /// The rig.
        rig: String,
        /// Where the part was looked for.
        list: PartList,
        /// The name that leads nowhere.
        name: String,
    },
    /// A central obstruction as large as the aperture lets no light through.
    #[error(
        "ota {ota:?}: obstruction_mm is {obstruction_mm}; expected less than its aperture_mm of {aperture_mm}"
    )]
    Obstruction {
        /// The OTA.
        ota: String,
        /// As found.
        obstruction_mm: f64,
        /// As found.
        aperture_mm: f64,
    },
    /// A target wider than it is long.
    #[error(
        "target {target:?}: minor_arcmin is {minor_arcmin}; expected a major_arcmin at least as large"
    )]
    Axes {
        /// The target.
        target: String,
        /// As found.
        minor_arcmin: f64,
    },
    /// A horizon that goes back, or leaves the circle.
    #[error(
        "horizon point {place} is ({azimuth_deg}, {altitude_deg}); expected azimuths from 0 to 360 degrees, each above the one before, and altitudes from -90 to 90"
    )]
    Horizon {
        /// Counted from 1.
        place: usize,
        /// As found.
        azimuth_deg: f64,
        /// As found.
        altitude_deg: f64,
    },
    /// A frame that was put on a target by a rig that the kit does not hold.
    #[error(
        "aim {place} is of rig {rig:?}, which is not in rigs; expected the name of an entry there"
    )]
    AimWithoutRig {
        /// Counted from 1.
        place: usize,
        /// The name that leads nowhere.
        rig: String,
    },
    /// A frame that was put off the sky.
    #[error(
        "aim {place} has its centre at ({ra_deg}, {dec_deg}); expected a right ascension from 0 to 360 degrees and a declination from -90 to 90"
    )]
    AimOffSky {
        /// Counted from 1.
        place: usize,
        /// As found.
        ra_deg: f64,
        /// As found.
        dec_deg: f64,
    },
}

impl Kit {
    /// Checks what spans several fields; a kit that passes can be computed with.
    ///
    /// # Errors
    /// The first [`KitFault`] found.
    pub fn check(&self) -> Result<(), KitFault> {
        if self.format != FORMAT {
            return Err(KitFault::Format { found: self.format });
        }
        self.check_names()?;
        self.check_parts_exist()?;
        for ota in &self.otas {
            if ota.obstruction_mm >= ota.aperture_mm {
                return Err(KitFault::Obstruction {
                    ota: ota.name.clone(),
                    obstruction_mm: ota.obstruction_mm,
                    aperture_mm: ota.aperture_mm,
                });
            }
        }
        for wish in &self.wish_list {
            if let Wish::Custom { name, major_arcmin, minor_arcmin: Some(minor), .. } = wish
                && major_arcmin.is_none_or(|major| major < *minor)
            {
                return Err(KitFault::Axes { target: name.clone(), minor_arcmin: *minor });
            }
        }
        self.check_horizon()?;
        self.check_aims()
    }

    /// The names of one list, in its order.
    pub fn names(&self, list: PartList) -> Vec<&str> {
        match list {
            PartList::Otas => self.otas.iter().map(|p| p.name.as_str()).collect(),
            PartList::Correctors => self.correctors.iter().map(|p| p.name.as_str()).collect(),
            PartList::Cameras => self.cameras.iter().map(|p| p.name.as_str()).collect(),
            PartList::Mounts => self.mounts.iter().map(|p| p.name.as_str()).collect(),
            PartList::Rigs => self.rigs.iter().map(|p| p.name.as_str()).collect(),
            PartList::WishList => self.wish_list.iter().map(Wish::name).collect(),
        }
    }

    fn check_names(&self) -> Result<(), KitFault> {
        use PartList::{Cameras, Correctors, Mounts, Otas, Rigs, WishList};
        for list in [Otas, Correctors, Cameras, Mounts, Rigs, WishList] {
            let mut seen = HashSet::new();
            for name in self.names(list) {
                if name.trim().is_empty() {
                    return Err(KitFault::Unnamed { list });
                }
                if !seen.insert(name) {
                    return Err(KitFault::Duplicate { list, name: name.to_owned() });
                }
            }
        }
        Ok(())
    }

    fn check_parts_exist(&self) -> Result<(), KitFault> {
        // Looked up in sets, as a file made to be slow may have many thousand of each.
        let set = |list| self.names(list).into_iter().collect::<HashSet<&str>>();
        let lists = [PartList::Otas, PartList::Correctors, PartList::Cameras, PartList::Mounts];
        let held = lists.map(|list| (list, set(list)));
        for rig in &self.rigs {
            let named = [
                Some(rig.ota.as_str()),
                rig.corrector.as_deref(),
                Some(rig.camera.as_str()),
                Some(rig.mount.as_str()),
            ];
            for (name, (list, names)) in named.into_iter().zip(&held) {
                if let Some(name) = name
                    && !names.contains(name)
                {
                    return Err(KitFault::Dangling {
                        rig: rig.name.clone(),
                        list: *list,
                        name: name.to_owned(),
                    });
                }
            }
        }
        Ok(())
    }

    fn check_horizon(&self) -> Result<(), KitFault> {
        let mut before = -1.0;
        for (index, &(azimuth_deg, altitude_deg)) in self.site.horizon.iter().enumerate() {
            let in_order = WHOLE_CIRCLE.contains(azimuth_deg) && azimuth_deg > before;
            if !in_order || !(-90.0..=90.0).contains(&altitude_deg) {
                return Err(KitFault::Horizon { place: index + 1, azimuth_deg, altitude_deg });
            }
            before = azimuth_deg;
        }
        Ok(())
    }

    fn check_aims(&self) -> Result<(), KitFault> {
        let rigs: HashSet<&str> = self.names(PartList::Rigs).into_iter().collect();
        for (index, aim) in self.aims.iter().enumerate() {
            let place = index + 1;
            if !rigs.contains(aim.rig.as_str()) {
                return Err(KitFault::AimWithoutRig { place, rig: aim.rig.clone() });
            }
            if let Some((ra_deg, dec_deg)) = aim.centre_deg
                && !(WHOLE_CIRCLE.contains(ra_deg) && LATITUDE.contains(dec_deg))
            {
                return Err(KitFault::AimOffSky { place, ra_deg, dec_deg });
            }
        }
        Ok(())
    }
}
