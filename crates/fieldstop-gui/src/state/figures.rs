//! Everything derived from the kit for the chosen target: recomputed when the kit changes.

use std::borrow::Cow;

use fieldstop::fit::Fit;
use fieldstop::kit::Kit;
use fieldstop::shape::fit_shape;
use fieldstop::{Angle, Field, Frame, Verdict};

use super::panel_plans::{PanelAnswer, PanelPlans};
use crate::framing::frame_on;
use crate::panel_count::{PanelCount, can_be_listed};
use crate::sky::catalogue::{Catalogue, Target};
use crate::sky::wish::target_named;

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
    /// The fewest panels, for any rig and target.
    pub panels: PanelPlans,
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

    /// How many panels a rig takes for the chosen target.
    pub fn panel_count(&self, kit: &Kit, rig: usize) -> PanelCount {
        let Some((chosen, rig, fit)) = self.chosen_in(rig) else { return PanelCount::Unknown };
        self.panels.count(&chosen.target, &rig.field, kit.limits.overlap, fit)
    }

    /// The panels that a rig takes for the chosen target where it spills, once they are known.
    pub fn panel_answer(&self, kit: &Kit, rig: usize) -> Option<&PanelAnswer> {
        let (chosen, rig, fit) = self.chosen_in(rig)?;
        let answer = can_be_listed(fit)
            .then(|| self.panels.answer(&chosen.target, &rig.field, kit.limits.overlap));
        answer.flatten().map(AsRef::as_ref)
    }

    /// Whether the chosen target spills over a rig's frame.
    pub fn spills(&self, rig: usize) -> bool {
        self.chosen_in(rig).is_some_and(|(_, _, fit)| fit.verdict == Verdict::Spills)
    }

    /// How many panels a rig takes for a wish.
    pub fn wish_panel_count(&self, kit: &Kit, wish: usize, rig: usize) -> PanelCount {
        let found = self
            .wishes
            .get(wish)
            .and_then(|row| Some((row.target.as_ref()?, self.rigs.get(rig)?, row.fits.get(rig)?)));
        found.map_or(PanelCount::Unknown, |(target, rig, fit)| {
            self.panels.count(target, &rig.field, kit.limits.overlap, fit)
        })
    }

    /// The target that a wish of this name means.
    pub fn wish_target(&self, kit: &Kit, name: &str) -> Option<&Target> {
        let place = kit.wish_list.iter().position(|wish| wish.name() == name)?;
        self.wishes.get(place)?.target.as_ref()
    }

    fn chosen_in(&self, rig: usize) -> Option<(&TargetFigures, &RigFigures, &Fit)> {
        let chosen = self.target.as_ref()?;
        Some((chosen, self.rigs.get(rig)?, chosen.fits.get(rig)?))
    }

    fn fits(&self, kit: &Kit, target: Option<&Target>) -> Vec<Fit> {
        let shape = target.and_then(Target::shape);
        self.rigs
            .iter()
            .map(|rig| {
                fit_shape(shape.as_ref(), &rig.field, kit.limits.whole_fill, kit.limits.overlap)
            })
            .collect()
    }

    fn target_figures(&self, kit: &Kit, target: Target) -> TargetFigures {
        let fits = self.fits(kit, Some(&target));
        let frames = (0..self.rigs.len()).filter_map(|rig| frame_on(kit, rig, &target)).collect();
        TargetFigures { target, fits, frames }
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

/// A target by the name it has in the wish list, or else in the catalogue.
pub fn find_target(kit: &Kit, name: &str, catalogue: &Catalogue) -> Option<Target> {
    target_named(kit, name, catalogue).map(Cow::into_owned)
}
