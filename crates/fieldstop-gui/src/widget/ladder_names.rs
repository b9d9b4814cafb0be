//! Where the names on the focal ladder stand: above their handles, in as many rows as keep them
//! apart; beside them, with a line to the handle, where that is not enough.

use egui::{Pos2, Rect, Vec2};

const ROWS: u16 = 3;
/// Names farther than this from their handle would be taken for another's.
const NEAR_PT: f32 = 30.0;
/// Least room between two names.
const APART_PT: f32 = 6.0;

/// Where names may stand.
#[derive(Clone, Copy, Debug)]
pub(super) struct NameRoom {
    /// The ladder.
    pub(super) rect: Rect,
    /// Height of its axis.
    pub(super) axis_y: f32,
    /// Height of a row of names.
    pub(super) row_pt: f32,
}

/// Where a name stands, and its line where it does not stand over its handle.
#[derive(Clone, Copy, Debug)]
pub(super) struct NamePlace {
    pub(super) spot: Rect,
    pub(super) leader: Option<[Pos2; 2]>,
}

/// Places names of given sizes by their handles' places on the axis; the first has the first choice.
/// A name without room near its handle, clear of the others and their lines, has no place.
pub(super) fn place_names(
    wanted: &[(f32, Vec2)],
    room: NameRoom,
    taken: Vec<Rect>,
) -> Vec<Option<NamePlace>> {
    let mut spots = taken;
    let mut leaders: Vec<[Pos2; 2]> = Vec::new();
    wanted
        .iter()
        .map(|&(x, size)| {
            let place = candidates(x, size, room).find(|place| {
                let apart = |other: &Rect| {
                    !other.expand2(Vec2::new(APART_PT, 0.0)).intersects(place.spot)
                        && place.leader.is_none_or(|leader| !crosses(leader, *other))
                };
                spots.iter().all(apart)
                    && leaders.iter().all(|leader| !crosses(*leader, place.spot))
            })?;
            spots.push(place.spot);
            leaders.extend(place.leader);
            Some(place)
        })
        .collect()
}

/// Places for a name, the best first: over its handle from below, then more and more beside it.
fn candidates(x: f32, size: Vec2, room: NameRoom) -> impl Iterator<Item = NamePlace> {
    const STEP_PT: f32 = 10.0;
    let half = size.x / 2.0;
    // OK because a name's width is some hundred points.
    let most = ((half + NEAR_PT) / STEP_PT) as u16;
    let asides = std::iter::once(0.0).chain(
        (1..=most).flat_map(|step| [1.0, -1.0].map(|side| side * f32::from(step) * STEP_PT)),
    );
    let leftmost = room.rect.left() + 2.0;
    let rightmost = (room.rect.right() - size.x - 2.0).max(leftmost);
    asides
        .flat_map(|aside| (0..ROWS).map(move |row| (aside, row)))
        .map(move |(aside, row)| {
            let bottom = room.axis_y - 23.0 - room.row_pt * f32::from(row);
            let left = (x + aside - half).clamp(leftmost, rightmost);
            let spot = Rect::from_min_size(Pos2::new(left, bottom - size.y), size);
            let beside = !spot.x_range().contains(x);
            let leader = beside.then(|| {
                let start = Pos2::new(x.clamp(spot.left(), spot.right()), spot.center().y);
                [start, Pos2::new(x, room.axis_y - 21.0)]
            });
            NamePlace { spot, leader }
        })
        .filter(move |place| place.spot.top() >= room.rect.top() - 1.0)
}

/// Whether a line goes through a rectangle: the share of it that lies between each pair of sides.
fn crosses([from, to]: [Pos2; 2], rect: Rect) -> bool {
    let sides =
        [(from.x, to.x, rect.left(), rect.right()), (from.y, to.y, rect.top(), rect.bottom())];
    let mut inside = (0.0_f32, 1.0_f32);
    for (from, to, least, most) in sides {
        let length = to - from;
        if length.abs() < 1e-6 {
            if from < least || from > most {
                return false;
            }
            continue;
        }
        let (a, b) = ((least - from) / length, (most - from) / length);
        inside = (inside.0.max(a.min(b)), inside.1.min(a.max(b)));
    }
    inside.0 <= inside.1
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Whether a line comes into a rectangle, by going along it in small steps.
    fn walks_through([from, to]: [Pos2; 2], rect: Rect) -> bool {
        (0..=400).any(|step| rect.contains(from.lerp(to, step as f32 / 400.0)))
    }

    /// Handles as crowded as they come, on ladders as narrow as they come: names of 60 to 200 points.
    fn ladders() -> Vec<(NameRoom, Vec<(f32, Vec2)>)> {
        let mut seed = 7_u32;
        let mut share = move || {
            seed = seed.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            (seed >> 8) as f32 / (1 << 24) as f32
        };
        (0..300)
            .map(|turn| {
                let width = [436.0, 700.0, 1000.0][turn % 3];
                let rect = Rect::from_min_size(Pos2::new(290.0, 500.0), Vec2::new(width, 98.0));
                let room = NameRoom { rect, axis_y: rect.bottom() - 22.0, row_pt: 14.0 };
                let crowd = [0.2, 1.0][turn % 2];
                let handles = (0..turn % 12 + 1).map(|_| {
                    let x = rect.left() + 28.0 + share() * crowd * (width - 56.0);
                    (x, Vec2::new(60.0 + 140.0 * share(), 13.0))
                });
                (room, handles.collect())
            })
            .collect()
    }

    #[test]
    fn no_name_and_no_line_lies_over_another_and_every_name_is_near_its_handle() {
        let (mut placed, mut left_out, mut led) = (0, 0, 0);
        for (room, wanted) in ladders() {
            let places = place_names(&wanted, room, Vec::new());
            assert!(places[0].is_some(), "the chosen rig has its name");
            let named: Vec<(f32, NamePlace)> = wanted
                .iter()
                .zip(&places)
                .filter_map(|(&(x, _), place)| Some((x, (*place)?)))
                .collect();
            placed += named.len();
            left_out += wanted.len() - named.len();
            for (index, (x, place)) in named.iter().enumerate() {
                assert!(room.rect.x_range().contains(place.spot.left()));
                assert!(room.rect.x_range().contains(place.spot.right()));
                let away = (place.spot.left() - x).max(x - place.spot.right());
                assert!(away <= NEAR_PT, "{away} points from its handle");
                assert_eq!(away > 0.0, place.leader.is_some());
                led += usize::from(place.leader.is_some());
                for (_, other) in named.iter().skip(index + 1) {
                    assert!(!place.spot.intersects(other.spot));
                }
                for (other, (_, of_other)) in named.iter().enumerate() {
                    let struck =
                        place.leader.is_some_and(|line| walks_through(line, of_other.spot));
                    assert!(other == index || !struck, "a line goes through a name");
                }
            }
        }
        assert!(placed > 500 && left_out > 50 && led > 10, "{placed} {left_out} {led}");
    }

    #[test]
    fn names_with_room_all_stand_over_their_handles() {
        let rect = Rect::from_min_size(Pos2::ZERO, Vec2::new(1000.0, 98.0));
        let room = NameRoom { rect, axis_y: 76.0, row_pt: 14.0 };
        let wanted = [100.0, 150.0, 200.0, 600.0].map(|x| (x, Vec2::new(120.0, 13.0)));
        for place in place_names(&wanted, room, Vec::new()) {
            assert!(place.is_some_and(|place| place.leader.is_none()));
        }
    }
}
