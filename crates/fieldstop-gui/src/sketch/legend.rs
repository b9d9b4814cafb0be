//! Which rig is which line, with its figures: a table below the sky, or blocks beside or below it.

use super::header::{shortened, text, width};
use super::rigs::SketchedRig;
use crate::font::Weight;
use crate::scene::Palette;
use crate::scene::primitive::{Anchor, Bounds, Ink, Point, Scene, Stroke};
use crate::scene::style::rig_style;

const SIZE_PT: f64 = 10.5;
const HEAD_PT: f64 = 9.0;
const ROW_PT: f64 = 17.0;
/// Rows stand this close where not all would fit otherwise.
const LEAST_ROW_PT: f64 = 14.0;
/// Between two columns of a table, and between sky and legend.
const GAP_PT: f64 = 18.0;
/// Columns farther apart than this no longer read as rows.
const WIDEST_GAP_PT: f64 = 40.0;
/// A sample of a rig's line, and the space behind it.
const SAMPLE_PT: f64 = 46.0;
const SAMPLE_GAP_PT: f64 = 12.0;
const BLOCK_WIDTH_PT: f64 = 236.0;
const BLOCK_PT: f64 = 50.0;
/// The sky keeps at least this share of the height, and of the width.
const LEAST_SKY: f64 = 0.4;
/// Of use are this many times the sky's shorter side.
const LONGEST_SKY: f64 = 1.6;
const LONGEST_NAME_PT: f64 = 220.0;
/// A name cut shorter than this says too little for a table.
const SHORTEST_NAME_PT: f64 = 96.0;

/// How the legend is laid out, and for how many rigs.
pub(super) struct Legend {
    form: Form,
    /// Rigs that are listed.
    listed: usize,
    /// Rigs for which there is no room, which is said.
    unlisted: usize,
}

enum Form {
    /// A row a rig, below the sky; with the width of each column, and from row to row.
    Table(Vec<f64>, f64),
    /// A line a rig below the sky; with the width of the names, and how many figures give way.
    Lines(f64, usize),
    /// A block a rig below the sky, so many in a row.
    Below(usize),
    /// A block a rig beside the sky.
    Beside,
}

impl Legend {
    /// The layout with room for every rig that leaves the sky the largest area; if there is none,
    /// the one with room for the most. A table compares best, so it may cost the sky something.
    pub(super) fn best(rigs: &[SketchedRig], inner: f64, height: f64) -> Self {
        // OK because the quotients are small positive numbers.
        let count = |space: f64, one: f64| (space / one).floor().max(0.0) as usize;
        let below = height * (1.0 - LEAST_SKY) - GAP_PT;
        let across = count(inner + GAP_PT, BLOCK_WIDTH_PT + GAP_PT).clamp(1, rigs.len().max(1));
        let mut layouts = vec![(Form::Below(across), count(below, BLOCK_PT) * across)];
        if BLOCK_WIDTH_PT + GAP_PT < inner * (1.0 - LEAST_SKY) {
            layouts.push((Form::Beside, count(height, BLOCK_PT)));
        }
        if let Some((name, left_out)) = line_name(rigs, inner) {
            layouts.push((Form::Lines(name, left_out), count(below, LEAST_ROW_PT)));
        }
        if let Some(columns) = columns(rigs, inner) {
            let rows = rigs.len().max(1) as f64;
            let row = ((below - ROW_PT) / rows).clamp(LEAST_ROW_PT, ROW_PT);
            layouts.push((Form::Table(columns, row), count(below - ROW_PT, row)));
        }
        layouts
            .into_iter()
            .map(|(form, room)| {
                let listed = room.min(rigs.len());
                Self { form, listed, unlisted: rigs.len() - listed }
            })
            .max_by(|one, other| {
                let area = |legend: &Self| {
                    let (width, height) = legend.sky_size(inner, height);
                    let worth = if matches!(legend.form, Form::Table(..)) { 1.15 } else { 1.0 };
                    // Frames gain nothing from a sky much wider than high, or the other way.
                    width.min(LONGEST_SKY * height) * height.min(LONGEST_SKY * width) * worth
                };
                one.listed.cmp(&other.listed).then(area(one).total_cmp(&area(other)))
            })
            .map(Self::with_room_for_the_rest)
            .unwrap_or(Self { form: Form::Beside, listed: 0, unlisted: 0 })
    }

    /// Where some rigs are not listed, one row fewer, in whose place that is said.
    fn with_room_for_the_rest(mut self) -> Self {
        if self.listed == 0 {
            self.unlisted = 0;
        }
        if self.unlisted > 0 {
            let row = match &self.form {
                Form::Table(..) | Form::Lines(..) | Form::Beside => 1,
                Form::Below(across) => *across,
            };
            let kept = self.listed.saturating_sub(row);
            self.unlisted += self.listed - kept;
            self.listed = kept;
        }
        self
    }

    /// What is left of the page for the sky.
    pub(super) fn sky_size(&self, inner: f64, height: f64) -> (f64, f64) {
        if self.listed == 0 && self.unlisted == 0 {
            return (inner, height);
        }
        let rest = usize::from(self.unlisted > 0);
        match &self.form {
            Form::Table(_, row) => {
                let rows = (self.listed + rest) as f64;
                (inner, height - GAP_PT - ROW_PT - row * rows)
            }
            Form::Below(across) => {
                let rows = self.listed.div_ceil(*across) as f64;
                (inner, height - GAP_PT - BLOCK_PT * rows - ROW_PT * rest as f64)
            }
            Form::Lines(..) => {
                (inner, height - GAP_PT - LEAST_ROW_PT * (self.listed + rest) as f64)
            }
            Form::Beside => (inner - BLOCK_WIDTH_PT - GAP_PT, height),
        }
    }

    /// Draws the legend beside or below a sky.
    pub(super) fn draw(
        &self,
        rigs: &[SketchedRig],
        sky: &Bounds,
        palette: &Palette,
        scene: &mut Scene,
    ) {
        let listed = rigs.iter().take(self.listed).enumerate();
        let rest_at = match &self.form {
            Form::Table(columns, row) => {
                let rigs = rigs.get(..self.listed).unwrap_or(rigs);
                if !rigs.is_empty() {
                    table(rigs, columns, *row, sky, palette, scene);
                }
                [sky.left, sky.bottom + GAP_PT + 11.0 + ROW_PT + row * self.listed as f64]
            }
            Form::Lines(name, left_out) => {
                let first = sky.bottom + GAP_PT + 8.0;
                for (place, rig) in listed {
                    let baseline = first + LEAST_ROW_PT * place as f64;
                    line(rig, (*name, *left_out), [sky.left, baseline], palette, scene);
                }
                [sky.left, first + LEAST_ROW_PT * self.listed as f64]
            }
            Form::Below(across) => {
                for (place, rig) in listed {
                    let (row, column) = (place / across, place % across);
                    let left = sky.left + column as f64 * (BLOCK_WIDTH_PT + GAP_PT);
                    let top = sky.bottom + GAP_PT + row as f64 * BLOCK_PT;
                    block(rig, [left, top], palette, scene);
                }
                let rows = self.listed.div_ceil(*across) as f64;
                [sky.left, sky.bottom + GAP_PT + rows * BLOCK_PT + 10.0]
            }
            Form::Beside => {
                for (place, rig) in listed {
                    let top = sky.top + place as f64 * BLOCK_PT;
                    block(rig, [sky.right + GAP_PT, top], palette, scene);
                }
                [sky.right + GAP_PT, sky.top + self.listed as f64 * BLOCK_PT + 10.0]
            }
        };
        if self.unlisted > 0 {
            let are = if self.unlisted == 1 { "rig is" } else { "rigs are" };
            let more = if self.listed > 0 { "more " } else { "" };
            let words = format!("{} {more}{are} drawn; no room to list them", self.unlisted);
            let style = (HEAD_PT, Weight::Regular, palette.text_quiet);
            text(scene, rest_at, Anchor::Start, &words, style);
        }
    }
}

const HEADINGS: [&str; 6] =
    ["Focal length", "Focal ratio", "Field of view", "Pixel scale", "Fill", "Target is"];

/// A rig's figures in the order of the headings.
fn figures(rig: &SketchedRig) -> [&str; 6] {
    [&rig.focal_length, &rig.focal_ratio, &rig.field, &rig.pixel_scale, &rig.fill, &rig.verdict]
}

/// Widths of the table's columns: sample and name, then one for each heading. Names are cut
/// where the table would be too wide; `None` if they would be cut to stumps.
fn columns(rigs: &[SketchedRig], inner: f64) -> Option<Vec<f64>> {
    let figure_columns: Vec<f64> = (0..HEADINGS.len())
        .map(|column| {
            let widest = rigs
                .iter()
                .filter_map(|rig| figures(rig).get(column).map(|words| words.to_owned()))
                .map(|words| width(words, SIZE_PT, Weight::Regular))
                .fold(0.0, f64::max);
            let heading = HEADINGS.get(column).copied().unwrap_or_default();
            widest.max(width(heading, HEAD_PT, Weight::Regular))
        })
        .collect();
    let name = rigs
        .iter()
        .map(|rig| width(&rig.drawn.name, SIZE_PT, Weight::Heavy))
        .fold(0.0, f64::max)
        .min(LONGEST_NAME_PT);
    let others = figure_columns.iter().map(|width| width + GAP_PT).sum::<f64>();
    let room = inner - others - SAMPLE_PT - SAMPLE_GAP_PT;
    if room < name.min(SHORTEST_NAME_PT) {
        return None;
    }
    let first = SAMPLE_PT + SAMPLE_GAP_PT + name.min(room);
    Some(std::iter::once(first).chain(figure_columns).collect())
}

fn table(
    rigs: &[SketchedRig],
    columns: &[f64],
    row_pt: f64,
    sky: &Bounds,
    palette: &Palette,
    scene: &mut Scene,
) {
    let head = (HEAD_PT, Weight::Regular, palette.text_quiet);
    let figure = (SIZE_PT, Weight::Regular, palette.text);
    let (left, top) = (sky.left, sky.bottom + GAP_PT);
    let name = columns.first().copied().unwrap_or(0.0);
    let free = sky.width() - columns.iter().sum::<f64>();
    let gap = (free / (columns.len() - 1) as f64).clamp(GAP_PT, WIDEST_GAP_PT);
    let mut pen = left + name + gap;
    let last = HEADINGS.len() - 1;
    for (column, heading) in HEADINGS.iter().enumerate() {
        let width = columns.get(column + 1).copied().unwrap_or(0.0);
        // Numbers stand under each other by their last digit, words by their first letter.
        let (x, anchor) =
            if column == last { (pen, Anchor::Start) } else { (pen + width, Anchor::End) };
        text(scene, [x, top + 9.0], anchor, heading, head);
        for (row, rig) in rigs.iter().enumerate() {
            let baseline = top + 11.0 + ROW_PT + row_pt * row as f64;
            let words = figures(rig).get(column).copied().unwrap_or_default();
            text(scene, [x, baseline], anchor, words, figure);
        }
        pen += width + gap;
    }
    for (row, rig) in rigs.iter().enumerate() {
        let baseline = top + 11.0 + ROW_PT + row_pt * row as f64;
        named_sample(rig, [left, baseline], name, palette, scene);
    }
}

/// Most figures of a line that give way where there is no room for all.
const MOST_LEFT_OUT: usize = 3;

/// A rig's figures in one line. So many are left out: first the focal ratio, then the pixel scale,
/// then the field, which the frame shows; how the target fits is what a legend is read for.
fn line_figures(rig: &SketchedRig, left_out: usize) -> String {
    let figures = [
        (&rig.focal_length, MOST_LEFT_OUT),
        (&rig.focal_ratio, 0),
        (&rig.field, 2),
        (&rig.pixel_scale, 1),
        (&rig.fit, MOST_LEFT_OUT),
    ];
    let kept = figures.into_iter().filter(|(_, gives_way)| *gives_way >= left_out);
    kept.map(|(words, _)| words.as_str()).collect::<Vec<_>>().join("  ")
}

/// Width of sample and name where the figures stand behind them, and how many figures give way;
/// `None` if there is no room.
fn line_name(rigs: &[SketchedRig], inner: f64) -> Option<(f64, usize)> {
    let widest =
        |width_of: &dyn Fn(&SketchedRig) -> f64| rigs.iter().map(width_of).fold(0.0, f64::max);
    let name = widest(&|rig| width(&rig.drawn.name, SIZE_PT, Weight::Heavy)).min(LONGEST_NAME_PT);
    (0..=MOST_LEFT_OUT).find_map(|left_out| {
        let figures = widest(&|rig| width(&line_figures(rig, left_out), HEAD_PT, Weight::Regular));
        let room = inner - SAMPLE_PT - SAMPLE_GAP_PT - SAMPLE_GAP_PT - figures;
        let enough = room >= name.min(SHORTEST_NAME_PT);
        enough.then_some((SAMPLE_PT + SAMPLE_GAP_PT + name.min(room), left_out))
    })
}

/// Sample, name and figures in one line.
fn line(
    rig: &SketchedRig,
    (name, left_out): (f64, usize),
    [left, baseline]: Point,
    palette: &Palette,
    scene: &mut Scene,
) {
    named_sample(rig, [left, baseline], name, palette, scene);
    let at = [left + name + SAMPLE_GAP_PT, baseline];
    let style = (HEAD_PT, Weight::Regular, palette.text);
    text(scene, at, Anchor::Start, &line_figures(rig, left_out), style);
}

/// Sample and name, then the figures in two lines.
fn block(rig: &SketchedRig, [left, top]: Point, palette: &Palette, scene: &mut Scene) {
    named_sample(rig, [left, top + 10.0], BLOCK_WIDTH_PT, palette, scene);
    let x = left + SAMPLE_PT + SAMPLE_GAP_PT;
    let most = BLOCK_WIDTH_PT - SAMPLE_PT - SAMPLE_GAP_PT;
    let whole = format!("{}  {}", rig.field, rig.fit);
    // Where field and fit do not stand on one line, the pixel scale gives way to the field.
    let (first, second) = if width(&whole, HEAD_PT, Weight::Regular) <= most {
        (&rig.pixel_scale, whole)
    } else {
        (&rig.field, rig.fit.clone())
    };
    let optics = format!("{}  {}  {first}", rig.focal_length, rig.focal_ratio);
    for (line, (words, ink)) in
        [(optics, palette.text_quiet), (second, palette.text)].into_iter().enumerate()
    {
        let words = shortened(&words, HEAD_PT, Weight::Regular, most);
        let baseline = top + 10.0 + 13.0 * (line as f64 + 1.0);
        text(scene, [x, baseline], Anchor::Start, &words, (HEAD_PT, Weight::Regular, ink));
    }
}

/// A piece of the rig's line as it is on the sky, and its name.
fn named_sample(
    rig: &SketchedRig,
    [left, baseline]: Point,
    most: f64,
    palette: &Palette,
    scene: &mut Scene,
) {
    let y = baseline - 3.6;
    let ends = vec![[left, y], [left + SAMPLE_PT, y]];
    let mark = rig.drawn.mark;
    let dash = rig_style(mark).dash;
    if let Ink([.., 255]) = palette.rig_casing(mark) {
        scene.line(ends.clone(), Stroke::dashed(palette.rig_casing(mark), 3.8, dash));
    }
    scene.line(ends, Stroke::dashed(palette.rig(mark), 2.2, dash));
    let most = most - SAMPLE_PT - SAMPLE_GAP_PT;
    let name = shortened(&rig.drawn.name, SIZE_PT, Weight::Heavy, most);
    let at = [left + SAMPLE_PT + SAMPLE_GAP_PT, baseline];
    text(scene, at, Anchor::Start, &name, (SIZE_PT, Weight::Heavy, palette.text));
}
