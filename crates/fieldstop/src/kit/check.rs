//! What no single field can show: names that clash, names that lead nowhere, sizes that disagree.

use std::collections::HashSet;
use std::fmt;
use std::ops::RangeInclusive;

use thiserror::Error;

use super::{FORMAT, Kit, Wish};
use crate::range::{CLEAR_FRACTION, LATITUDE, SKYLINE_ALTITUDE, WHOLE_CIRCLE};
use crate::shape::{LEAST_CORNERS, MOST_CORNERS, ShapeFault};

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
    /// A central obstruction that lets next to no light through.
    #[error(
        "ota {ota:?}: obstruction_mm is {obstruction_mm}; expected at most {MOST_OBSTRUCTED} of its aperture_mm of {aperture_mm}"
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
    /// Clear nights for some months only.
    #[error("clear_fraction has {found} numbers; expected twelve, one a month from January")]
    ClearMonths {
        /// How many there are.
        found: usize,
    },
    /// More clear nights than nights, or fewer than none.
    #[error("clear_fraction of month {month} is {found}; expected a number from 0 to 1")]
    ClearShare {
        /// Counted from 1, January.
        month: usize,
        /// As found.
        found: f64,
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
    /// A target that was given its stars twice.
    #[error("weights has two entries for {target:?}; expected every target once")]
    WeighedTwice {
        /// The target.
        target: String,
    },
    /// A target that was drawn twice.
    #[error("outlines has two entries for {target:?}; expected every target once")]
    DrawnTwice {
        /// The target.
        target: String,
    },
    /// A shape that is none, or leaves the sky.
    #[error(
        "the outline of {target:?} has {corners} corner{}; expected 3 to 200, each with a right ascension from 0 to 360 degrees and a declination from -90 to 90",
        if *corners == 1 { "" } else { "s" }
    )]
    NoShape {
        /// The target.
        target: String,
        /// As found.
        corners: usize,
    },
    /// Corners on the sky that make no shape.
    #[error("the outline of {target:?}: {fault}")]
    UnsoundShape {
        /// The target.
        target: String,
        /// What is wrong with it.
        fault: ShapeFault,
    },
    /// A picture under the frames without a file.
    #[error("background has an empty path; expected the picture's file, or no background at all")]
    NoPicture,
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

/// The largest share of the aperture that the obstruction may take: of a thinner ring no picture can
/// be computed, and nobody builds one.
pub const MOST_OBSTRUCTED: f64 = 0.999;

/// Corners of a drawn outline: fewer are no shape, and more are not drawn by hand.
const CORNERS: RangeInclusive<usize> = LEAST_CORNERS..=MOST_CORNERS;

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
            if ota.obstruction_mm > MOST_OBSTRUCTED * ota.aperture_mm {
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
        self.check_clear_nights()?;
        self.check_weights()?;
        self.check_outlines()?;
        if self.background.as_ref().is_some_and(|picture| picture.path.trim().is_empty()) {
            return Err(KitFault::NoPicture);
        }
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
            if !in_order || !SKYLINE_ALTITUDE.contains(altitude_deg) {
                return Err(KitFault::Horizon { place: index + 1, azimuth_deg, altitude_deg });
            }
            before = azimuth_deg;
        }
        Ok(())
    }

    fn check_clear_nights(&self) -> Result<(), KitFault> {
        let shares = &self.site.clear_fraction;
        if !matches!(shares.len(), 0 | 12) {
            return Err(KitFault::ClearMonths { found: shares.len() });
        }
        let unsound = shares.iter().position(|&share| !CLEAR_FRACTION.contains(share));
        match unsound.and_then(|index| Some((index, *shares.get(index)?))) {
            Some((index, found)) => Err(KitFault::ClearShare { month: index + 1, found }),
            None => Ok(()),
        }
    }

    fn check_weights(&self) -> Result<(), KitFault> {
        let mut seen = HashSet::new();
        for weight in &self.weights {
            if !seen.insert(weight.target.as_str()) {
                return Err(KitFault::WeighedTwice { target: weight.target.clone() });
            }
        }
        Ok(())
    }

    fn check_outlines(&self) -> Result<(), KitFault> {
        let mut seen = HashSet::new();
        for outline in &self.outlines {
            let target = || outline.target.clone();
            if !seen.insert(outline.target.as_str()) {
                return Err(KitFault::DrawnTwice { target: target() });
            }
            let corners = &outline.corners_deg;
            let on_sky = corners.iter().all(|&(ra_deg, dec_deg)| {
                WHOLE_CIRCLE.contains(ra_deg) && LATITUDE.contains(dec_deg)
            });
            if !on_sky || !CORNERS.contains(&corners.len()) {
                return Err(KitFault::NoShape { target: target(), corners: corners.len() });
            }
            outline.shape().map_err(|fault| KitFault::UnsoundShape { target: target(), fault })?;
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

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test fails by panicking")]
mod tests {
    use super::*;
    use crate::kit::{Background, DrawnOutline, Weight, sample};

    type Change = fn(&mut Kit);

    fn fault(change: impl FnOnce(&mut Kit)) -> KitFault {
        let mut kit = sample::kit();
        change(&mut kit);
        kit.check().unwrap_err()
    }

    fn custom(name: &str, major_arcmin: Option<f64>, minor_arcmin: Option<f64>) -> Wish {
        Wish::Custom {
            name: name.to_owned(),
            ra_deg: 10.0,
            dec_deg: 20.0,
            major_arcmin,
            minor_arcmin,
            pa_deg: None,
            surface_brightness_mag_arcsec2: None,
        }
    }

    #[test]
    fn a_sound_kit_passes() {
        let mut kit = sample::kit();
        kit.site.horizon = vec![(0.0, 10.0), (90.0, 18.0), (360.0, -2.0)];
        kit.wish_list = vec![
            Wish::Named("M 31".to_owned()),
            custom("Field", Some(10.0), Some(10.0)),
            custom("Place", None, None),
        ];
        kit.otas[0].obstruction_mm = 199.0;
        assert_eq!(kit.check(), Ok(()));
    }

    #[test]
    fn a_target_is_weighed_and_drawn_once_and_on_the_sky() {
        let weight = || Weight { target: "M 31".to_owned(), stars: 2 };
        let twice = fault(|kit| kit.weights = vec![weight(), weight()]);
        assert_eq!(twice, KitFault::WeighedTwice { target: "M 31".to_owned() });
        let drawn =
            |corners_deg: Vec<(f64, f64)>| DrawnOutline { target: "M 31".to_owned(), corners_deg };
        let sound = vec![(10.0, 40.0), (11.0, 40.0), (10.5, 41.0)];
        let mut kit = sample::kit();
        kit.weights = vec![weight()];
        kit.outlines = vec![drawn(sound.clone())];
        assert_eq!(kit.check(), Ok(()));
        let twice = fault(|kit| kit.outlines = vec![drawn(sound.clone()), drawn(sound.clone())]);
        assert_eq!(twice, KitFault::DrawnTwice { target: "M 31".to_owned() });
        for wrong in [sound[..2].to_vec(), vec![(10.0, 40.0), (11.0, 40.0), (10.5, f64::NAN)]] {
            let corners = wrong.len();
            let none = fault(|kit| kit.outlines = vec![drawn(wrong)]);
            assert_eq!(none, KitFault::NoShape { target: "M 31".to_owned(), corners });
        }
        let crossed = vec![(10.0, 40.0), (11.0, 41.0), (11.0, 40.0), (10.0, 41.0)];
        let message = fault(|kit| kit.outlines = vec![drawn(crossed)]).to_string();
        assert!(
            message.starts_with("the outline of \"M 31\": the side after corner 1"),
            "{message}"
        );
    }

    #[test]
    fn a_picture_under_the_frames_has_a_file() {
        let picture = |path: &str| {
            let path = path.to_owned();
            Some(Background {
                path,
                opacity: 1.0,
                dark_level: 0.0,
                stretch: 0.0,
                rows_from_top: false,
            })
        };
        assert_eq!(fault(|kit| kit.background = picture(" ")), KitFault::NoPicture);
        let mut kit = sample::kit();
        kit.background = picture("veil.fits");
        assert_eq!(kit.check(), Ok(()));
    }

    #[test]
    fn another_format_is_refused() {
        for found in [0, FORMAT + 1] {
            assert_eq!(fault(|kit| kit.format = found), KitFault::Format { found });
        }
    }

    #[test]
    fn a_name_twice_in_a_list_is_refused() {
        let message = fault(|kit| kit.cameras.push(kit.cameras[0].clone())).to_string();
        assert_eq!(message, r#"cameras has two entries named "APS-C"; expected every name once"#);
        // A custom target and a catalogue one share the wish list's names.
        let twice = |kit: &mut Kit| {
            kit.wish_list = vec![Wish::Named("M 31".to_owned()), custom("M 31", None, None)];
        };
        assert_eq!(
            fault(twice),
            KitFault::Duplicate { list: PartList::WishList, name: "M 31".to_owned() }
        );
    }

    #[test]
    fn the_same_name_in_two_lists_is_no_clash() {
        let mut kit = sample::kit();
        kit.mounts[0].name = "APS-C".to_owned();
        kit.rigs.iter_mut().for_each(|rig| rig.mount = "APS-C".to_owned());
        assert_eq!(kit.check(), Ok(()));
    }

    #[test]
    fn an_entry_without_a_name_is_refused_in_every_list() {
        let unnamed: [(PartList, Change); 6] = [
            (PartList::Otas, |kit| kit.otas[0].name.clear()),
            (PartList::Correctors, |kit| kit.correctors[0].name = "  ".to_owned()),
            (PartList::Cameras, |kit| kit.cameras[0].name.clear()),
            (PartList::Mounts, |kit| kit.mounts[0].name = "\t".to_owned()),
            (PartList::Rigs, |kit| kit.rigs[1].name.clear()),
            (PartList::WishList, |kit| kit.wish_list.push(Wish::Named(String::new()))),
        ];
        for (list, clear) in unnamed {
            assert_eq!(fault(clear), KitFault::Unnamed { list });
        }
    }

    #[test]
    fn a_name_that_leads_nowhere_is_refused_for_every_part() {
        let dangling: [(PartList, Change); 4] = [
            (PartList::Otas, |kit| kit.rigs[1].ota = "gone".to_owned()),
            (PartList::Correctors, |kit| kit.rigs[1].corrector = Some("gone".to_owned())),
            (PartList::Cameras, |kit| kit.rigs[1].camera = "gone".to_owned()),
            (PartList::Mounts, |kit| kit.rigs[1].mount = "gone".to_owned()),
        ];
        for (list, break_it) in dangling {
            let (rig, name) = ("Reduced".to_owned(), "gone".to_owned());
            assert_eq!(fault(break_it), KitFault::Dangling { rig, list, name });
        }
    }

    #[test]
    fn an_obstruction_as_large_as_the_aperture_is_refused() {
        let message = fault(|kit| kit.otas[0].obstruction_mm = 200.0).to_string();
        assert_eq!(
            message,
            r#"ota "200 mm f/10": obstruction_mm is 200; expected at most 0.999 of its aperture_mm of 200"#
        );
    }

    #[test]
    fn a_target_wider_than_long_is_refused() {
        for major in [None, Some(4.0)] {
            let fault = fault(|kit| kit.wish_list = vec![custom("Odd", major, Some(5.0))]);
            assert_eq!(fault, KitFault::Axes { target: "Odd".to_owned(), minor_arcmin: 5.0 });
        }
    }

    #[test]
    fn clear_nights_are_told_for_every_month_or_for_none() {
        assert_eq!(
            fault(|kit| kit.site.clear_fraction = vec![0.5; 11]),
            KitFault::ClearMonths { found: 11 }
        );
        for bad in [-0.1, 1.1, f64::INFINITY] {
            let change = |kit: &mut Kit| {
                kit.site.clear_fraction = vec![0.5; 12];
                kit.site.clear_fraction[2] = bad;
            };
            assert_eq!(fault(change), KitFault::ClearShare { month: 3, found: bad });
        }
        let mut kit = sample::kit();
        kit.site.clear_fraction = vec![0.0; 12];
        assert_eq!(kit.check(), Ok(()));
    }

    #[test]
    fn a_horizon_that_goes_back_or_leaves_the_circle_is_refused() {
        for (points, place) in [
            (vec![(90.0, 10.0), (90.0, 12.0)], 2),
            (vec![(90.0, 10.0), (45.0, 12.0)], 2),
            (vec![(-1.0, 10.0)], 1),
            (vec![(10.0, 10.0), (361.0, 10.0)], 2),
            (vec![(10.0, 91.0)], 1),
            (vec![(f64::NAN, 10.0)], 1),
            (vec![(10.0, f64::NAN)], 1),
            (vec![(10.0, 1.0), (f64::INFINITY, 10.0)], 2),
        ] {
            let fault = fault(|kit| kit.site.horizon.clone_from(&points));
            assert!(
                matches!(fault, KitFault::Horizon { place: found, .. } if found == place),
                "{points:?}: {fault}"
            );
        }
    }
}
