//! A block: marks that stay together on a page, measured from its own top left corner.

use super::text::{Type, mark};
use crate::paint::pdf::Role;
use crate::scene::primitive::{Anchor, Bounds, Ink, Point, Primitive, Stroke, TextMark};
use crate::scene::{Palette, Scene};

/// Marks that are not parted by the end of a page.
#[derive(Clone, Debug)]
pub(super) struct Block {
    /// Drawn from the block's top left corner.
    pub(super) items: Vec<Primitive>,
    /// How much of the page it takes.
    pub(super) height_pt: f64,
    /// Left free above it, unless it begins a page.
    pub(super) gap_pt: f64,
    /// What it is.
    pub(super) role: Role,
    /// Whether it stays with the block that follows.
    pub(super) with_next: bool,
    /// What stands above it where it begins a page: the head of its table.
    pub(super) head: Option<Box<Self>>,
}

impl Block {
    /// Nothing yet.
    pub(super) fn new(role: Role) -> Self {
        Self { items: Vec::new(), height_pt: 0.0, gap_pt: 0.0, role, with_next: false, head: None }
    }

    /// Space above it.
    pub(super) fn after(mut self, gap_pt: f64) -> Self {
        self.gap_pt = gap_pt;
        self
    }

    /// Not parted from what follows.
    pub(super) fn kept_with_next(mut self) -> Self {
        self.with_next = true;
        self
    }

    /// The head of a table above its first row on a page.
    pub(super) fn under(mut self, head: &Self) -> Self {
        self.head = Some(Box::new(head.clone()));
        self
    }

    /// Adds a line of text by its baseline.
    pub(super) fn text(&mut self, at: Point, anchor: Anchor, text: &str, kind: Type, ink: Ink) {
        if !text.is_empty() {
            self.items.push(mark(at, anchor, text, kind, ink));
        }
    }

    /// Adds lines under each other, the first baseline given; gives the baseline after the last.
    pub(super) fn lines(
        &mut self,
        [x, mut baseline]: Point,
        lines: &[String],
        kind: Type,
        ink: Ink,
    ) -> f64 {
        for line in lines {
            self.text([x, baseline], Anchor::Start, line, kind, ink);
            baseline += kind.line_pt();
        }
        baseline
    }

    /// Adds an open line.
    pub(super) fn line(&mut self, points: Vec<Point>, stroke: Stroke) {
        self.items.push(Primitive::Line { points, closed: false, stroke });
    }

    /// Adds a level rule.
    pub(super) fn rule(&mut self, left: f64, right: f64, y: f64, stroke: Stroke) {
        self.line(vec![[left, y], [right, y]], stroke);
    }

    /// Adds a filled box.
    pub(super) fn filled(&mut self, bounds: Bounds, fill: Ink) {
        self.items.push(Primitive::Polygon { points: bounds.corners().to_vec(), fill });
    }

    /// Adds the outline of a box.
    pub(super) fn outlined(&mut self, bounds: Bounds, stroke: Stroke) {
        let points = bounds.corners().to_vec();
        self.items.push(Primitive::Line { points, closed: true, stroke });
    }

    /// Adds another scene.
    pub(super) fn inset(&mut self, origin: Point, scene: Scene) {
        self.items.push(Primitive::Inset { origin, scene });
    }

    /// Its marks with its top left corner at a place of the page.
    pub(super) fn placed(self, at: Point) -> impl Iterator<Item = Primitive> {
        self.items.into_iter().map(move |item| moved(item, at))
    }
}

/// A heading with a rule under the page's width.
pub(super) fn heading(words: &str, width: f64, palette: &Palette) -> Block {
    let kind = super::text::HEADING;
    let mut block = Block::new(Role::Heading(2, words.to_owned())).after(11.0).kept_with_next();
    let line = super::text::shortened(words, kind, width);
    block.text([0.0, 10.0], Anchor::Start, &line, kind, palette.text);
    block.rule(0.0, width, 14.5, Stroke::solid(palette.rule, 0.7));
    block.height_pt = 18.0;
    block
}

/// No paragraph is longer: only names of absurd length lead there.
const MOST_LINES: usize = 9;

/// A paragraph as wide as the page.
pub(super) fn paragraph(words: &str, width: f64, kind: Type, ink: Ink) -> Block {
    paragraph_to(words, width, kind, ink, MOST_LINES)
}

/// A paragraph of at most so many lines.
pub(super) fn paragraph_to(words: &str, width: f64, kind: Type, ink: Ink, rows: usize) -> Block {
    let lines = super::text::wrapped_to(words, kind, width, rows);
    let mut block = Block::new(Role::Paragraph).after(2.0);
    block.lines([0.0, kind.size_pt], &lines, kind, ink);
    block.height_pt = kind.line_pt() * lines.len() as f64;
    block
}

/// A mark moved by an offset.
fn moved(item: Primitive, [dx, dy]: Point) -> Primitive {
    let shift = |[x, y]: Point| [x + dx, y + dy];
    match item {
        Primitive::Line { points, closed, stroke } => {
            let points = points.into_iter().map(shift).collect();
            Primitive::Line { points, closed, stroke }
        }
        Primitive::Polygon { points, fill } => {
            Primitive::Polygon { points: points.into_iter().map(shift).collect(), fill }
        }
        Primitive::Discs(mut discs) => {
            for disc in &mut discs {
                disc.x += dx as f32;
                disc.y += dy as f32;
            }
            Primitive::Discs(discs)
        }
        Primitive::Text(text) => Primitive::Text(TextMark { at: shift(text.at), ..text }),
        Primitive::Picture(mut picture) => {
            picture.vertices.iter_mut().for_each(|vertex| vertex.at = shift(vertex.at));
            Primitive::Picture(picture)
        }
        Primitive::Inset { origin, scene } => Primitive::Inset { origin: shift(origin), scene },
    }
}

/// A scene at another size, letters and lines with it. Marks of broken lines stay as long as they
/// are, or they would blur.
pub(super) fn scaled(scene: Scene, factor: f64) -> Scene {
    let at = |[x, y]: Point| [x * factor, y * factor];
    let items = scene.items.into_iter().map(|item| match item {
        Primitive::Line { points, closed, stroke } => {
            let stroke = Stroke { width_pt: stroke.width_pt * factor, ..stroke };
            Primitive::Line { points: points.into_iter().map(at).collect(), closed, stroke }
        }
        Primitive::Polygon { points, fill } => {
            Primitive::Polygon { points: points.into_iter().map(at).collect(), fill }
        }
        Primitive::Discs(mut discs) => {
            for disc in &mut discs {
                disc.x *= factor as f32;
                disc.y *= factor as f32;
                disc.radius *= factor as f32;
            }
            Primitive::Discs(discs)
        }
        Primitive::Text(text) => {
            Primitive::Text(TextMark { at: at(text.at), size_pt: text.size_pt * factor, ..text })
        }
        Primitive::Picture(mut picture) => {
            picture.vertices.iter_mut().for_each(|vertex| vertex.at = at(vertex.at));
            Primitive::Picture(picture)
        }
        Primitive::Inset { origin, scene } => {
            Primitive::Inset { origin: at(origin), scene: scaled(scene, factor) }
        }
    });
    Scene {
        width_pt: scene.width_pt * factor,
        height_pt: scene.height_pt * factor,
        background: scene.background,
        items: items.collect(),
    }
}
