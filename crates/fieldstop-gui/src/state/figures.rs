//! Everything derived from the kit for the chosen target: recomputed when the kit changes.

use std::borrow::Cow;

use fieldstop::fit::{Fit, fit};
use fieldstop::kit::Kit;
use fieldstop::{Angle, Direction, Field, Frame, Icrs, Verdict, mosaic};

use crate::framing::frame_on;
use crate::sky::catalogue::{Catalogue, Target};
use crate::sky::wish::target_named;

/// A mosaic of more panels than this is told by its number, not panel by panel.
pub const MOST_PANELS: u32 = 400;

/// What one rig delivers, whatever it points at.
#[derive(Clone, Debug)]
pub struct RigFigures {
    /// Of the whole train.
    pub focal_length_mm: f64,
    /// Of the whole train.
    pub focal_ratio: f64,
    /// What the sensor spans.
    pub field: Field,
    /// At the axis.
    pub pixel_scale: Angle,
}

/// One target of the wish list, with its fit in every rig, in the shortlist's order.
pub struct WishFigures {
    /// The target, or none if no catalogue knows it.
    pub target: Option<Target>,
    /// One a rig.
    pub fits: Vec<Fit>,
}

/// The chosen target, with its fit and frame in every rig.
pub struct TargetFigures {
    /// The target.
    pub target: Target,
    /// One a rig.
    pub fits: Vec<Fit>,
    /// One a rig.
    pub frames: Vec<Frame>,
    /// Panels of the mosaic, one list a rig; empty where one picture does.
    pub panels: Vec<Vec<Frame>>,
}

/// What was derived, and from what.
#[derive(Default)]
pub struct Figures {
    kit: Option<Kit>,
    chosen: Option<String>,
    /// One a rig.
    pub rigs: Vec<RigFigures>,
    /// One a wish.
    pub wishes: Vec<WishFigures>,
    /// For the chosen target.
    pub target: Option<TargetFigures>,
}

impl Figures {
    /// Brings the figures up to date; does nothing while kit and chosen target are the same.
    pub fn update(&mut self, kit: &Kit, chosen: Option<&str>, catalogue: &Catalogue) {
        if self.kit.as_ref() == Some(kit) && self.chosen.as_deref() == chosen {
            return;
        }
        self.rigs = (0..kit.rigs.len()).filter_map(|rig| rig_figures(kit, rig)).collect();
        self.wishes = kit
            .wish_list
            .iter()
            .map(|wish| {
                let target = target_named(kit, wish.name(), catalogue).map(Cow::into_owned);
                let fits = self.fits(kit, target.as_ref());
                WishFigures { target, fits }
            })
            .collect();
        self.target = chosen
            .and_then(|name| find_target(kit, name, catalogue))
            .map(|target| self.target_figures(kit, target));
        self.kit = Some(kit.clone());
        self.chosen = chosen.map(str::to_owned);
    }

    fn fits(&self, kit: &Kit, target: Option<&Target>) -> Vec<Fit> {
        let outline = target.and_then(|target| target.outline.as_ref());
        self.rigs
            .iter()
            .map(|rig| fit(outline, &rig.field, kit.limits.whole_fill, kit.limits.overlap))
            .collect()
    }

    fn target_figures(&self, kit: &Kit, target: Target) -> TargetFigures {
        let fits = self.fits(kit, Some(&target));
        let frames = (0..self.rigs.len()).filter_map(|rig| frame_on(kit, rig, &target)).collect();
        let panels = self
            .rigs
            .iter()
            .zip(&fits)
            .map(|(rig, fit)| match fit.panels {
                Some((across, down))
                    if fit.verdict == Verdict::Spills
                        && across.saturating_mul(down) <= MOST_PANELS =>
                {
                    panels_of(kit, &target, target.place, rig)
                }
                _ => Vec::new(),
            })
            .collect();
        TargetFigures { target, fits, frames, panels }
    }
}

fn rig_figures(kit: &Kit, rig: usize) -> Option<RigFigures> {
    let rig = kit.resolve(rig)?;
    Some(RigFigures {
        focal_length_mm: rig.focal_length_mm(),
        focal_ratio: rig.focal_ratio(),
        field: rig.field(),
        pixel_scale: rig.pixel_scale(),
    })
}

fn panels_of(kit: &Kit, target: &Target, centre: Direction<Icrs>, rig: &RigFigures) -> Vec<Frame> {
    match mosaic::panels(centre, target.outline.as_ref(), &rig.field, kit.limits.overlap) {
        Ok(panels) if panels.len() > 1 => panels,
        _ => Vec::new(),
    }
}

/// A target by the name it has in the wish list, or else in the catalogue.
pub fn find_target(kit: &Kit, name: &str, catalogue: &Catalogue) -> Option<Target> {
    target_named(kit, name, catalogue).map(Cow::into_owned)
}
