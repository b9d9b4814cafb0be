//! What stands along the page's lower edge: scale bar, compass, constellation, the note on stars.

use fieldstop::Angle;

use super::Layers;
use super::labels::LabelBoard;
use super::palette::Palette;
use super::primitive::{Anchor, Ink, Point, Primitive, Scene, Stroke, TextMark};
use super::stars::shows_synthetic;
use super::view::SkyView;
use crate::font::Weight;
use crate::sky::constellation;

/// Said wherever fainter stars are shown.
pub const SYNTHETIC_NOTE: &str = "Stars fainter than V 9.5 are synthetic";

/// Lengths of a scale bar, in seconds of arc.
const BAR_LENGTHS: [u32; 16] =
    [72_000, 36_000, 18_000, 7200, 3600, 1800, 1200, 600, 300, 120, 60, 30, 20, 10, 5, 2];
const MARGIN_PT: f64 = 14.0;
const SIZE_PT: f64 = 10.5;
/// Pages smaller than this have no room for furniture.
const LEAST_WIDTH_PT: f64 = 240.0;
const LEAST_HEIGHT_PT: f64 = 140.0;

/// What the layers ask for. The note on synthetic stars stands wherever there are any.
pub(super) fn draw(
    view: &SkyView,
    layers: Layers,
    palette: &Palette,
    scene: &mut Scene,
    board: &mut LabelBoard,
) {
    if view.width_pt < LEAST_WIDTH_PT || view.height_pt < LEAST_HEIGHT_PT {
        return;
    }
    let left_to =
        if layers.scale_bar { scale_bar(view, palette, scene, board) } else { MARGIN_PT - 14.0 };
    let right_from = if layers.compass {
        compass(view, palette, scene, board)
    } else {
        view.width_pt - MARGIN_PT + 14.0
    };
    if layers.text {
        let name = constellation::name_at(view.centre);
        let baseline = view.height_pt - MARGIN_PT - 26.0;
        let mark = text([MARGIN_PT, baseline], Anchor::Start, name, palette.text_quiet, palette);
        put(TextMark { size_pt: 12.0, weight: Weight::Heavy, ..mark }, scene, board);
    }
    if layers.stars && shows_synthetic(view) {
        note(left_to, right_from, view, palette, scene, board);
    }
}

fn text(at: Point, anchor: Anchor, text: &str, ink: Ink, palette: &Palette) -> TextMark {
    TextMark {
        at,
        anchor,
        text: text.to_owned(),
        size_pt: SIZE_PT,
        weight: Weight::Regular,
        ink,
        halo: Some(palette.halo),
    }
}

fn put(mark: TextMark, scene: &mut Scene, board: &mut LabelBoard) {
    board.reserve(mark.bounds().expanded(3.0));
    scene.items.push(Primitive::Text(mark));
}

/// A bar of a round length, with its length; returns where it ends.
fn scale_bar(view: &SkyView, palette: &Palette, scene: &mut Scene, board: &mut LabelBoard) -> f64 {
    let most = (view.width_pt / 5.0).min(200.0);
    let length = |arcsec: u32| view.points_across(Angle::from_arcsec(f64::from(arcsec)));
    let fitting = BAR_LENGTHS.into_iter().find(|arcsec| length(*arcsec) <= most);
    let arcsec = fitting.unwrap_or(BAR_LENGTHS[BAR_LENGTHS.len() - 1]);
    let (left, right) = (MARGIN_PT, MARGIN_PT + length(arcsec));
    let y = view.height_pt - MARGIN_PT;
    let ticks = vec![[left, y - 5.0], [left, y], [right, y], [right, y - 5.0]];
    scene.line(ticks.clone(), Stroke::solid(palette.halo, 3.4));
    scene.line(ticks, Stroke::solid(palette.text_quiet, 1.4));
    let words = match arcsec {
        3600.. => format!("{}°", arcsec / 3600),
        60.. => format!("{}′", arcsec / 60),
        _ => format!("{arcsec}″"),
    };
    let at = [(left + right) / 2.0, y - 5.0];
    let mark = text(at, Anchor::Middle, &words, palette.text_quiet, palette);
    board.reserve(super::primitive::Bounds { left, top: y - 8.0, right, bottom: y + 3.0 });
    put(mark, scene, board);
    right
}

/// North up, east left, as arrows from one corner; returns where they begin.
fn compass(view: &SkyView, palette: &Palette, scene: &mut Scene, board: &mut LabelBoard) -> f64 {
    const ARM: f64 = 26.0;
    let foot = [view.width_pt - MARGIN_PT, view.height_pt - MARGIN_PT];
    let (north, east) = ([foot[0], foot[1] - ARM], [foot[0] - ARM, foot[1]]);
    for (ink, width) in [(palette.halo, 3.4), (palette.text_quiet, 1.4)] {
        scene.line(vec![north, foot, east], Stroke::solid(ink, width));
    }
    for ([x, y], [dx, dy]) in [(north, [0.0, -1.0]), (east, [-1.0, 0.0])] {
        let head = vec![
            [x + 4.0 * dx, y + 4.0 * dy],
            [x + 3.0 * dy - dx, y - 3.0 * dx - dy],
            [x - 3.0 * dy - dx, y + 3.0 * dx - dy],
        ];
        scene.polygon(head, palette.text_quiet);
    }
    let up = text([north[0], north[1] - 7.0], Anchor::Middle, "N", palette.text_quiet, palette);
    let left = text([east[0] - 7.0, east[1] + 4.0], Anchor::End, "E", palette.text_quiet, palette);
    let from = left.bounds().left;
    board.reserve(super::primitive::Bounds {
        left: east[0] - 4.0,
        top: north[1] - 4.0,
        right: view.width_pt,
        bottom: view.height_pt,
    });
    put(up, scene, board);
    put(left, scene, board);
    from
}

/// In the middle of what bar and compass leave free, if it fits there; above them if not.
fn note(
    left: f64,
    right: f64,
    view: &SkyView,
    palette: &Palette,
    scene: &mut Scene,
    board: &mut LabelBoard,
) {
    let y = view.height_pt - MARGIN_PT + 4.0;
    let mark = text([right - 14.0, y], Anchor::End, SYNTHETIC_NOTE, palette.text_quiet, palette);
    let mark = TextMark { size_pt: 9.5, ..mark };
    if mark.left() > left + 14.0 {
        put(mark, scene, board);
        return;
    }
    let at = [MARGIN_PT, view.height_pt - MARGIN_PT - 44.0];
    put(TextMark { at, anchor: Anchor::Start, ..mark }, scene, board);
}
