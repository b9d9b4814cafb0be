//! What the person says of a target beside wanting it: how much, and what shape it has.

use serde::{Deserialize, Serialize};

use super::Kit;
use crate::range::stars;
use crate::shape::{DrawnShape, ShapeFault};
use crate::{Angle, Direction, Icrs};

/// How much the person wants a target.
#[derive(Clone, Debug, Deserialize, PartialEq, Serialize)]
#[serde(deny_unknown_fields)]
pub struct Weight {
    /// Name of a target, as the wish list has it. One that is not on the list does no harm.
    pub target: String,
    /// 1 to 5.
    #[serde(deserialize_with = "stars")]
    pub stars: u32,
}

/// A target's shape, drawn on the sky in place of the catalogue's ellipse.
#[derive(Clone, Debug, Deserialize, PartialEq, Serialize)]
#[serde(deny_unknown_fields)]
pub struct DrawnOutline {
    /// Name of a target, as the wish list or the catalogue has it.
    pub target: String,
    /// Corners (right ascension, declination) in degrees, ICRS, at least three, in order round the
    /// target; the edges between them are great circles.
    pub corners_deg: Vec<(f64, f64)>,
}

impl DrawnOutline {
    /// The corners as directions.
    pub fn corners(&self) -> Vec<Direction<Icrs>> {
        let place = |&(ra_deg, dec_deg): &(f64, f64)| {
            Direction::from_ra_dec(Angle::from_deg(ra_deg), Angle::from_deg(dec_deg))
        };
        self.corners_deg.iter().map(place).collect()
    }

    /// The shape that the corners make.
    ///
    /// # Errors
    /// [`ShapeFault`] for corners that make none; those of a [checked](Kit::check) kit do.
    pub fn shape(&self) -> Result<DrawnShape, ShapeFault> {
        DrawnShape::new(&self.corners())
    }
}

impl Kit {
    /// How much the person wants a target, 1 to 5 stars; 1 if nothing was said.
    pub fn stars(&self, target: &str) -> u32 {
        self.weights.iter().find(|weight| weight.target == target).map_or(1, |weight| weight.stars)
    }

    /// Says how much the person wants a target; clamped to 1 to 5. One star is the usual, and is
    /// not written down.
    pub fn set_stars(&mut self, target: &str, stars: u32) {
        self.weights.retain(|weight| weight.target != target);
        let stars = stars.clamp(1, 5);
        if stars > 1 {
            self.weights.push(Weight { target: target.to_owned(), stars });
        }
    }

    /// The shape that the person drew for a target.
    pub fn drawn_outline(&self, target: &str) -> Option<&DrawnOutline> {
        self.outlines.iter().find(|outline| outline.target == target)
    }

    /// Gives a target the shape that the person drew, in place of an earlier one.
    pub fn set_outline(&mut self, outline: DrawnOutline) {
        match self.outlines.iter_mut().find(|known| known.target == outline.target) {
            Some(known) => *known = outline,
            None => self.outlines.push(outline),
        }
    }

    /// Takes the drawn shape of a target away, which leaves the catalogue's.
    pub fn remove_outline(&mut self, target: &str) {
        self.outlines.retain(|outline| outline.target != target);
    }
}

#[cfg(test)]
mod tests {
    use super::DrawnOutline;
    use crate::kit::sample;

    #[test]
    fn an_outline_takes_the_place_of_the_one_before() {
        let mut kit = sample::kit();
        let outline = |target: &str, dec_deg: f64| DrawnOutline {
            target: target.to_owned(),
            corners_deg: vec![(10.0, 40.0), (11.0, 40.0), (10.5, dec_deg)],
        };
        kit.set_outline(outline("M 31", 41.0));
        kit.set_outline(outline("M 33", 41.0));
        kit.set_outline(outline("M 31", 42.0));
        assert_eq!(kit.outlines, [outline("M 31", 42.0), outline("M 33", 41.0)]);
        kit.remove_outline("M 31");
        kit.remove_outline("M 33");
        assert_eq!(kit, sample::kit());
    }

    #[test]
    fn one_star_is_the_usual_and_leaves_no_trace() {
        let mut kit = sample::kit();
        assert_eq!(kit.stars("M 31"), 1);
        kit.set_stars("M 31", 4);
        kit.set_stars("M 33", 9);
        kit.set_stars("M 31", 3);
        assert_eq!((kit.stars("M 31"), kit.stars("M 33")), (3, 5));
        kit.set_stars("M 31", 1);
        kit.set_stars("M 33", 0);
        assert_eq!(kit, sample::kit());
    }
}
