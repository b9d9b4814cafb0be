//! The stars: which ones a view shows, and how large and bright each is drawn.

use fieldstop::stars::{LISTED_LIMIT, SYNTHETIC_LIMIT, synthetic_stars};
use fieldstop::{Angle, Star};

use super::SkyInput;
use super::labels::{Candidate, Importance, Label, LabelBoard, LabelLine};
use super::palette::{Ground, Palette};
use super::primitive::{Disc, Primitive, Scene};
use super::view::{Projection, SkyView};
use crate::font::Weight;
use crate::sky::star_list::StarList;

/// Faintest magnitude drawn on a page of a million square points that shows one square degree.
const LIMIT_AT_ONE_DEG2: f64 = 15.3;

/// Magnitudes gained for each tenfold in points of the page to a square degree.
///
/// Star counts grow by 0.35 to 0.5 in the logarithm for each magnitude, so with 2.0 the number on
/// the page stays nearly the same from the widest view to the narrowest.
const LIMIT_PER_TENFOLD: f64 = 2.0;

/// The faintest V magnitude that a view shows. It grows smoothly as the view narrows.
pub fn magnitude_limit(view: &SkyView) -> f64 {
    let area_pt2 = view.width_pt * view.height_pt;
    let area_deg2 = view.span.deg() * view.span_down().deg();
    // A larger page has room for more stars, though not for as many as it has for points.
    let crowd = (area_pt2 / 1e6).clamp(0.01, 4.0).log10();
    let limit = LIMIT_AT_ONE_DEG2 + LIMIT_PER_TENFOLD * (crowd - area_deg2.log10());
    limit.clamp(3.0, SYNTHETIC_LIMIT)
}

/// The stars that a view shows, the faintest first, so that bright ones are drawn over them.
pub fn fetch(view: &SkyView, list: &StarList) -> Vec<Star> {
    let limit = magnitude_limit(view);
    let radius = view.radius();
    let mut stars = Vec::new();
    list.visit(view.centre, radius, limit.min(LISTED_LIMIT), &mut |star| stars.push(star));
    if limit > LISTED_LIMIT {
        synthetic_stars(view.centre, radius, LISTED_LIMIT, limit, &mut stars);
    }
    stars.sort_by(|one, other| other.v_mag.total_cmp(&one.v_mag));
    stars
}

/// Whether a view shows stars that no list holds.
pub fn shows_synthetic(view: &SkyView) -> bool {
    magnitude_limit(view) > LISTED_LIMIT
}

/// Radius and opacity of a star that is so many magnitudes brighter than the limit.
///
/// At the limit a star is not to be seen yet, so zooming lets stars grow and never pop up.
fn look(brighter_by: f32) -> (f32, f32) {
    let above = brighter_by.max(0.0);
    let radius = (0.5 + 0.17 * above + 0.022 * above * above).min(6.0);
    (radius, (above / 2.2).min(1.0).powf(0.8))
}

/// Draws the stars; those that a photograph covers as far as it lets the drawn sky through.
pub(super) fn draw(input: &SkyInput<'_>, projection: &Projection, scene: &mut Scene) {
    let SkyInput { view, palette, stars, picture, .. } = input;
    let limit = magnitude_limit(view) as f32;
    let page = view.bounds().expanded(8.0);
    let mut discs = Vec::with_capacity(stars.len());
    for star in *stars {
        let Some(point) = projection.point(star.place).filter(|point| page.contains(*point)) else {
            continue;
        };
        let (radius, opacity) = look(limit - star.v_mag);
        let through = picture
            .filter(|picture| picture.covers(star.place))
            .map_or(1.0, |picture| 1.0 - picture.opacity.min(1.0));
        if f64::from(opacity) * through < 0.02 {
            continue;
        }
        let ink = palette.star(star.b_v);
        let [x, y] = point.map(|v| v as f32);
        // A bright star shines a little on its surroundings, but does not on paper.
        if radius > 2.2 && palette.ground == Ground::Dark {
            for (wider, share) in [(3.4, 0.05), (2.2, 0.09)] {
                discs.push(Disc {
                    x,
                    y,
                    radius: radius * wider,
                    ink: ink.with_opacity(share * through),
                });
            }
        }
        discs.push(Disc { x, y, radius, ink: ink.with_opacity(f64::from(opacity) * through) });
    }
    scene.items.push(Primitive::Discs(discs));
}

/// Names of the bright stars in view.
pub(super) fn name(
    list: &StarList,
    view: &SkyView,
    projection: &Projection,
    palette: &Palette,
    board: &mut LabelBoard,
) {
    let limit = magnitude_limit(view);
    // In a wide view only the stars that lead the eye.
    let faintest = if view.span > Angle::from_deg(40.0) { 2.2 } else { limit - 3.0 };
    for named in list.names().filter(|named| f64::from(named.star.v_mag) < faintest) {
        let Some([x, y]) = projection.point(named.star.place) else {
            continue;
        };
        if !view.bounds().contains([x, y]) {
            continue;
        }
        let (radius, _) = look((limit - f64::from(named.star.v_mag)) as f32);
        let away = f64::from(radius) + 4.0;
        let beside = |dx: f64, dy: f64, share: [f64; 2], cost: f64| Candidate {
            at: [x + dx, y + dy],
            share,
            cost,
            leader: None,
        };
        let ink = palette.text_quiet;
        board.add(Label {
            lines: vec![LabelLine { text: named.name().to_owned(), weight: Weight::Regular, ink }],
            size_pt: 10.0,
            candidates: vec![
                beside(away, 0.0, [0.0, 0.5], 0.0),
                beside(-away, 0.0, [1.0, 0.5], 0.2),
                beside(0.0, away, [0.5, 0.0], 0.4),
                beside(0.0, -away, [0.5, 1.0], 0.6),
            ],
            importance: Importance::Star,
            leader_ink: ink,
        });
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test fails by panicking")]
    use super::*;
    use fieldstop::Direction;

    fn view(ra_deg: f64, dec_deg: f64, span_deg: f64) -> SkyView {
        let centre = Direction::from_ra_dec(Angle::from_deg(ra_deg), Angle::from_deg(dec_deg));
        SkyView::new(centre, Angle::from_deg(span_deg), 1200.0, 800.0)
    }

    #[test]
    fn the_limit_grows_as_the_view_narrows() {
        let mut before = 0.0;
        for step in 0..200 {
            let span = 90.0 * (5.0f64 / 60.0 / 90.0).powf(f64::from(step) / 199.0);
            let limit = magnitude_limit(&view(0.0, 0.0, span));
            assert!(limit >= before && limit <= SYNTHETIC_LIMIT);
            assert!(step == 0 || limit - before < 0.2, "a jump at {span} degrees");
            before = limit;
        }
        assert!((before - SYNTHETIC_LIMIT).abs() < 1e-9);
    }

    #[test]
    fn no_view_shows_more_stars_than_can_be_drawn_at_once() {
        let list = StarList::embedded().unwrap();
        // The densest parts of the Milky Way, and a pole of it.
        for (ra, dec) in
            [(271.0, -29.0), (285.0, 5.0), (306.0, 40.0), (160.0, -60.0), (193.0, 27.0)]
        {
            for span in [90.0, 40.0, 15.0, 6.0, 2.5, 1.0, 0.3] {
                let count = fetch(&view(ra, dec, span), &list).len();
                assert!((5..20_000).contains(&count), "{ra} {dec}, {span} degrees: {count}");
            }
        }
    }

    #[test]
    fn a_star_fades_in_and_brighter_is_never_smaller() {
        assert!(look(0.0).1 < 1e-6);
        let looks: Vec<_> = (0..180).map(|step| look(step as f32 * 0.1)).collect();
        for pair in looks.windows(2) {
            assert!(pair[1].0 >= pair[0].0 && pair[1].1 >= pair[0].1);
        }
    }
}
