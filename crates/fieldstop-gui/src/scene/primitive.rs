//! The display list: what stands where on a page, with no pixel decided.
//!
//! A scene is measured in points, x right, y down, from its top left corner. Builders fill it,
//! painters turn it into marks and decide nothing.

use super::picture::Picture;
use crate::font::{self, Weight};

/// A place on the page: x right, y down, in points.
pub type Point = [f64; 2];

/// An sRGB colour with its opacity, not premultiplied.
#[derive(Clone, Copy, Debug, Eq, Hash, PartialEq)]
pub struct Ink(pub [u8; 4]);

impl Ink {
    /// Opaque.
    pub const fn rgb(red: u8, green: u8, blue: u8) -> Self {
        Self([red, green, blue, 255])
    }

    /// The same colour, with another opacity: 0 is nothing, 1 opaque.
    pub fn with_opacity(self, opacity: f64) -> Self {
        let [red, green, blue, _] = self.0;
        // OK because the value lies between 0 and 255; a NaN casts to 0.
        Self([red, green, blue, (opacity.clamp(0.0, 1.0) * 255.0).round() as u8])
    }

    /// A colour between this one (0) and another (1), opacity included.
    pub fn mixed(self, other: Self, share: f64) -> Self {
        let share = share.clamp(0.0, 1.0);
        let mut mixed = self.0;
        for (channel, towards) in mixed.iter_mut().zip(other.0) {
            let value = f64::from(*channel) * (1.0 - share) + f64::from(towards) * share;
            // OK because the value lies between two bytes.
            *channel = value.round() as u8;
        }
        Self(mixed)
    }
}

/// Lengths of marks and gaps in turn, in points; empty for an unbroken line.
pub type DashPattern = &'static [f64];

/// How a line is drawn. Ends are cut square, corners are mitred.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stroke {
    /// Colour.
    pub ink: Ink,
    /// Width.
    pub width_pt: f64,
    /// Marks and gaps.
    pub dash: DashPattern,
    /// How far into the pattern the line begins.
    pub dash_offset_pt: f64,
}

impl Stroke {
    /// An unbroken line.
    pub const fn solid(ink: Ink, width_pt: f64) -> Self {
        Self { ink, width_pt, dash: &[], dash_offset_pt: 0.0 }
    }

    /// A broken line.
    pub const fn dashed(ink: Ink, width_pt: f64, dash: DashPattern) -> Self {
        Self { ink, width_pt, dash, dash_offset_pt: 0.0 }
    }
}

/// A filled disc.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Disc {
    /// From the left.
    pub x: f32,
    /// From the top.
    pub y: f32,
    /// Radius in points.
    pub radius: f32,
    /// Colour.
    pub ink: Ink,
}

/// Which part of a line of text stands at its place.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum Anchor {
    /// Its left end.
    Start,
    /// Its middle.
    Middle,
    /// Its right end.
    End,
}

/// A line of text, placed by its baseline.
#[derive(Clone, Debug, PartialEq)]
pub struct TextMark {
    /// On the baseline, at the anchor.
    pub at: Point,
    /// What of the text stands at `at`.
    pub anchor: Anchor,
    /// One line.
    pub text: String,
    /// Side of the em square.
    pub size_pt: f64,
    /// Regular or heavy.
    pub weight: Weight,
    /// Colour.
    pub ink: Ink,
    /// Colour of a rim that lifts the text off what lies behind, if there is one.
    pub halo: Option<Ink>,
}

impl TextMark {
    /// Width of the rim of a text, in points.
    pub const HALO_PT: f64 = 1.0;

    /// Length of the line in points.
    pub fn width_pt(&self) -> f64 {
        f64::from(font::text_width(&self.text, self.size_pt as f32, self.weight))
    }

    /// Where its left end stands.
    pub fn left(&self) -> f64 {
        match self.anchor {
            Anchor::Start => self.at[0],
            Anchor::Middle => self.at[0] - self.width_pt() / 2.0,
            Anchor::End => self.at[0] - self.width_pt(),
        }
    }

    /// The box of its letters, from the capitals' tops to the descenders.
    pub fn bounds(&self) -> Bounds {
        let left = self.left();
        Bounds {
            left,
            top: self.at[1] - self.size_pt * f64::from(font::CAPITAL_HEIGHT) - 0.06 * self.size_pt,
            right: left + self.width_pt(),
            bottom: self.at[1] + self.size_pt * f64::from(font::DESCENT),
        }
    }
}

/// An upright box on the page.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bounds {
    /// Least x.
    pub left: f64,
    /// Least y.
    pub top: f64,
    /// Greatest x.
    pub right: f64,
    /// Greatest y.
    pub bottom: f64,
}

impl Bounds {
    /// From its top left corner and its size.
    pub const fn at(left: f64, top: f64, width: f64, height: f64) -> Self {
        Self { left, top, right: left + width, bottom: top + height }
    }

    /// The least one about points; `None` about none.
    pub fn about(points: &[Point]) -> Option<Self> {
        let [x, y] = *points.first()?;
        let start = Self { left: x, top: y, right: x, bottom: y };
        Some(points.iter().fold(start, |bounds, [x, y]| Self {
            left: bounds.left.min(*x),
            top: bounds.top.min(*y),
            right: bounds.right.max(*x),
            bottom: bounds.bottom.max(*y),
        }))
    }

    /// Width.
    pub fn width(&self) -> f64 {
        self.right - self.left
    }

    /// Height.
    pub fn height(&self) -> f64 {
        self.bottom - self.top
    }

    /// Whether the two share any area.
    pub fn overlaps(&self, other: &Self) -> bool {
        self.left < other.right
            && other.left < self.right
            && self.top < other.bottom
            && other.top < self.bottom
    }

    /// Whether the other lies inside, edges included.
    pub fn encloses(&self, other: &Self) -> bool {
        self.left <= other.left
            && other.right <= self.right
            && self.top <= other.top
            && other.bottom <= self.bottom
    }

    /// Whether a point lies inside, edges included.
    pub fn contains(&self, [x, y]: Point) -> bool {
        (self.left..=self.right).contains(&x) && (self.top..=self.bottom).contains(&y)
    }

    /// Larger by a margin on every side.
    pub fn expanded(&self, margin: f64) -> Self {
        Self {
            left: self.left - margin,
            top: self.top - margin,
            right: self.right + margin,
            bottom: self.bottom + margin,
        }
    }

    /// Its corners, clockwise from the top left.
    pub fn corners(&self) -> [Point; 4] {
        [
            [self.left, self.top],
            [self.right, self.top],
            [self.right, self.bottom],
            [self.left, self.bottom],
        ]
    }
}

/// A mark of the display list.
#[derive(Clone, Debug, PartialEq)]
pub enum Primitive {
    /// A line through points.
    Line {
        /// At least two.
        points: Vec<Point>,
        /// Whether the last is joined to the first.
        closed: bool,
        /// How.
        stroke: Stroke,
    },
    /// A filled area.
    Polygon {
        /// Its corners in order; it must be convex.
        points: Vec<Point>,
        /// Colour.
        fill: Ink,
    },
    /// Many filled discs at once, drawn in order.
    Discs(Vec<Disc>),
    /// A line of text.
    Text(TextMark),
    /// Pixels, put where they belong by a mesh.
    Picture(Picture),
    /// Another scene, cut off at its own edges.
    Inset {
        /// Where its top left corner stands.
        origin: Point,
        /// What it shows.
        scene: Scene,
    },
}

/// A page and what is on it, in drawing order.
#[derive(Clone, Debug, PartialEq)]
pub struct Scene {
    /// Width.
    pub width_pt: f64,
    /// Height.
    pub height_pt: f64,
    /// Colour behind everything.
    pub background: Ink,
    /// From the back to the front.
    pub items: Vec<Primitive>,
}

impl Scene {
    /// An empty page.
    pub const fn new(width_pt: f64, height_pt: f64, background: Ink) -> Self {
        Self { width_pt, height_pt, background, items: Vec::new() }
    }

    /// The whole page.
    pub const fn bounds(&self) -> Bounds {
        Bounds::at(0.0, 0.0, self.width_pt, self.height_pt)
    }

    /// Adds an open line.
    pub fn line(&mut self, points: Vec<Point>, stroke: Stroke) {
        self.items.push(Primitive::Line { points, closed: false, stroke });
    }

    /// Adds a closed line.
    pub fn outline(&mut self, points: Vec<Point>, stroke: Stroke) {
        self.items.push(Primitive::Line { points, closed: true, stroke });
    }

    /// Adds a filled convex area.
    pub fn polygon(&mut self, points: Vec<Point>, fill: Ink) {
        self.items.push(Primitive::Polygon { points, fill });
    }

    /// Every line of text on the page, those of insets at their place on it.
    pub fn texts(&self) -> Vec<TextMark> {
        let mut texts = Vec::new();
        for item in &self.items {
            match item {
                Primitive::Text(text) => texts.push(text.clone()),
                Primitive::Inset { origin, scene } => {
                    texts.extend(scene.texts().into_iter().map(|mut text| {
                        text.at = [text.at[0] + origin[0], text.at[1] + origin[1]];
                        text
                    }));
                }
                Primitive::Line { .. }
                | Primitive::Polygon { .. }
                | Primitive::Discs(_)
                | Primitive::Picture(_) => {}
            }
        }
        texts
    }
}
