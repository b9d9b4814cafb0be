//! The words below a panel: whose it is, what it spans, how the target fits.

use crate::font::Weight;
use crate::scene::Palette;
use crate::scene::primitive::{Anchor, Ink, Point, Scene, Stroke};
use crate::scene::style::rig_style;
use crate::sketch::header::{shortened, text, width};
use crate::sketch::rigs::SketchedRig;

const NAME_PT: f64 = 10.5;
const FACTS_PT: f64 = 9.0;
const FIRST_PT: f64 = 14.0;
const LINE_PT: f64 = 12.5;
const SAMPLE_PT: f64 = 30.0;
const SAMPLE_GAP_PT: f64 = 7.0;

/// Name and lines of a panel.
pub(super) struct Caption {
    name: String,
    /// Whose line stands before the name, where panels are of different rigs.
    mark: Option<u8>,
    lines: Vec<String>,
}

impl Caption {
    pub(super) fn new(
        name: String,
        mark: Option<u8>,
        rig: &SketchedRig,
        hours: Option<String>,
    ) -> Self {
        let mut lines = vec![format!("{}  {}", rig.field, rig.pixel_scale), rig.fit.clone()];
        lines.extend(hours);
        Self { name, mark, lines }
    }

    pub(super) fn height_pt(&self) -> f64 {
        FIRST_PT + LINE_PT * self.lines.len() as f64 + 3.0
    }

    /// The width at which field, pixel scale and fit stand whole.
    pub(super) fn wanted_width(&self) -> f64 {
        let facts = self.lines.iter().take(2);
        facts.map(|line| width(line, FACTS_PT, Weight::Regular)).fold(0.0, f64::max)
    }

    /// Draws it from its top left corner, no wider than `most`.
    pub(super) fn draw(&self, [left, top]: Point, most: f64, palette: &Palette, scene: &mut Scene) {
        let baseline = top + FIRST_PT;
        let mut pen = left;
        if let Some(mark) = self.mark {
            let y = baseline - 3.6;
            let ends = vec![[left, y], [left + SAMPLE_PT, y]];
            let dash = rig_style(mark).dash;
            if let Ink([.., 255]) = palette.rig_casing(mark) {
                scene.line(ends.clone(), Stroke::dashed(palette.rig_casing(mark), 3.8, dash));
            }
            scene.line(ends, Stroke::dashed(palette.rig(mark), 2.2, dash));
            pen += SAMPLE_PT + SAMPLE_GAP_PT;
        }
        let name = shortened(&self.name, NAME_PT, Weight::Heavy, left + most - pen);
        let style = (NAME_PT, Weight::Heavy, palette.text);
        text(scene, [pen, baseline], Anchor::Start, &name, style);
        for (row, line) in self.lines.iter().enumerate() {
            let line = shortened(line, FACTS_PT, Weight::Regular, most);
            let at = [left, baseline + LINE_PT * (row as f64 + 1.0)];
            let style = (FACTS_PT, Weight::Regular, palette.text_quiet);
            text(scene, at, Anchor::Start, &line, style);
        }
    }
}
