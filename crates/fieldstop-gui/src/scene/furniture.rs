//! What stands along the page's lower edge: scale bar, compass, constellation, the note on stars.

use fieldstop::Angle;

use super::SkyInput;
use super::labels::LabelBoard;
use super::palette::Palette;
use super::picture::PlacedPicture;
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
/// Pages smaller than this have no room for words at their edge, for the arrows, for the bar.
const LEAST_FOR_WORDS: (f64, f64) = (240.0, 140.0);
pub(crate) const LEAST_FOR_COMPASS: (f64, f64) = (150.0, 100.0);
pub(crate) const LEAST_FOR_BAR: (f64, f64) = (80.0, 40.0);
/// Length of an arrow, where the page is not small.
const ARM_PT: f64 = 26.0;
/// Length of an arrow on a small page, as a share of its shorter side.
const ARM_SHARE: f64 = 0.14;

/// In a sky of this size the note keeps its place, whatever moves under it; in a smaller one, which
/// is a page's, it stands where it crosses the fewest lines.
const LEAST_STEADY: (f64, f64) = (420.0, 320.0);

/// Whether a sky is large enough for something.
pub(crate) const fn fits((width, height): (f64, f64), least: (f64, f64)) -> bool {
    width >= least.0 && height >= least.1
}

/// What the layers ask for. The note on synthetic stars stands wherever there are any,
/// unless the page says so beside the sky.
pub(super) fn draw(input: &SkyInput<'_>, scene: &mut Scene, board: &mut LabelBoard) {
    let SkyInput { view, layers, palette, picture, .. } = input;
    let has = |least: (f64, f64)| fits((view.width_pt, view.height_pt), least);
    let left_to = if layers.scale_bar && has(LEAST_FOR_BAR) {
        scale_bar(view, palette, scene, board)
    } else {
        MARGIN_PT - 14.0
    };
    let right_from = if layers.compass && has(LEAST_FOR_COMPASS) {
        compass(view, palette, scene, board)
    } else {
        view.width_pt - MARGIN_PT + 14.0
    };
    if layers.text && !layers.captioned && has(LEAST_FOR_WORDS) {
        let name = constellation::name_at(view.centre);
        let baseline = view.height_pt - MARGIN_PT - 26.0;
        let mark = text([MARGIN_PT, baseline], Anchor::Start, name, palette.text_quiet, palette);
        put(TextMark { size_pt: 12.0, weight: Weight::Heavy, ..mark }, scene, board);
    }
    let words = sky_words(view, layers.stars, *picture);
    if !words.is_empty() && !layers.noted && has(LEAST_FOR_WORDS) {
        note(&words, left_to, right_from, view, palette, scene, board);
    }
}

/// What of the sky is not from a list: a picture of the person's own, synthetic stars.
fn sky_words(view: &SkyView, stars: bool, picture: Option<&PlacedPicture>) -> String {
    let shown = picture.filter(|picture| picture.opacity > 0.0);
    let is_synthetic = stars && shows_synthetic(view);
    match shown {
        None if is_synthetic => SYNTHETIC_NOTE.to_owned(),
        None => String::new(),
        Some(picture) if is_synthetic && picture.opacity < 1.0 => {
            format!("Own picture {}; {}", short(&picture.name), lower(SYNTHETIC_NOTE))
        }
        Some(picture) if is_synthetic && !picture.fills(view) => {
            format!("Own picture {}; around it, {}", short(&picture.name), lower(SYNTHETIC_NOTE))
        }
        Some(picture) => format!("Own picture {}", short(&picture.name)),
    }
}

/// A file's name, cut where it is long.
fn short(name: &str) -> String {
    const MOST: usize = 32;
    if name.chars().count() <= MOST {
        return name.to_owned();
    }
    name.chars().take(MOST - 1).chain(['…']).collect()
}

fn lower(sentence: &str) -> String {
    let mut letters = sentence.chars();
    letters.next().map_or_else(String::new, |first| first.to_lowercase().chain(letters).collect())
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

/// Where north and east are, as arrows from one corner; returns where they begin.
fn compass(view: &SkyView, palette: &Palette, scene: &mut Scene, board: &mut LabelBoard) -> f64 {
    let arm_pt = ARM_PT.min(ARM_SHARE * view.width_pt.min(view.height_pt));
    // Towards north and east on the page; an upright view has its corner in the page's corner.
    let (sin, cos) = view.up.sin_cos();
    let arrows = [[sin, -cos], [-cos, -sin]];
    // From the foot to the far side of a letter, in each direction of the page.
    let reach = |axis: usize, sign: f64| {
        let arm = |arrow: [f64; 2]| (arrow[axis] * sign).max(0.0) * (arm_pt + 17.0);
        arrows.into_iter().map(arm).fold(0.0, f64::max)
    };
    let foot =
        [view.width_pt - MARGIN_PT - reach(0, 1.0), view.height_pt - MARGIN_PT - reach(1, 1.0)];
    let ends = arrows.map(|[dx, dy]| [foot[0] + arm_pt * dx, foot[1] + arm_pt * dy]);
    for (ink, width) in [(palette.halo, 3.4), (palette.text_quiet, 1.4)] {
        scene.line(vec![ends[0], foot, ends[1]], Stroke::solid(ink, width));
    }
    let mut from = foot[0];
    for (([x, y], [dx, dy]), letter) in ends.into_iter().zip(arrows).zip(["N", "E"]) {
        let head = vec![
            [x + 4.0 * dx, y + 4.0 * dy],
            [x + 3.0 * dy - dx, y - 3.0 * dx - dy],
            [x - 3.0 * dy - dx, y + 3.0 * dx - dy],
        ];
        scene.polygon(head, palette.text_quiet);
        // The middle of a letter stands a little above its baseline.
        let at = [x + 11.0 * dx, y + 11.0 * dy + 4.0];
        let mark = text(at, Anchor::Middle, letter, palette.text_quiet, palette);
        from = from.min(mark.left());
        put(mark, scene, board);
    }
    board.reserve(super::primitive::Bounds {
        left: foot[0] - reach(0, -1.0),
        top: foot[1] - reach(1, -1.0),
        right: foot[0] + reach(0, 1.0) + 4.0,
        bottom: foot[1] + reach(1, 1.0) + 4.0,
    });
    from
}

/// In the middle of what bar and compass leave free, if it fits there; above them if not. In a small
/// sky at the top, where fewer lines are under it.
fn note(
    words: &str,
    left: f64,
    right: f64,
    view: &SkyView,
    palette: &Palette,
    scene: &mut Scene,
    board: &mut LabelBoard,
) {
    let (width, height) = (view.width_pt, view.height_pt);
    let at = [right - 14.0, height - MARGIN_PT + 4.0];
    let mark = text(at, Anchor::End, words, palette.text_quiet, palette);
    let between = TextMark { size_pt: 9.5, ..mark };
    let is_between = between.left() > left + 14.0;
    let moved = |at: Point, anchor: Anchor| TextMark { at, anchor, ..between.clone() };
    let above = moved([MARGIN_PT, height - MARGIN_PT - 44.0], Anchor::Start);
    let mut places = vec![if is_between { between.clone() } else { above }];
    if !fits((width, height), LEAST_STEADY) {
        places.push(moved([MARGIN_PT, MARGIN_PT + 6.0], Anchor::Start));
        places.push(moved([width - MARGIN_PT, MARGIN_PT + 6.0], Anchor::End));
    }
    // Of equals the first.
    let best = places.into_iter().min_by_key(|mark| board.crossed(&mark.bounds()));
    if let Some(mark) = best {
        put(mark, scene, board);
    }
}
