//! Which one: coverage curves, panels, outlines, rigs and targets.

use std::hint::black_box;
use std::rc::Rc;

use fieldstop::choice::{Criterion, choice};
use fieldstop::demands::Conditions;
use fieldstop::focal_range::Setting;
use fieldstop::kit::{Kit, Wish};
use fieldstop::mosaic;
use fieldstop::panel_search::{MOST_SEARCHED, fewest_panels_for};
use fieldstop::shape::{DrawnShape, MOST_CORNERS, Shape};
use fieldstop::{Angle, Direction, Icrs, TangentPlane, TangentPoint};
use fieldstop_gui::files::wish_import::MOST_WISHES;
use fieldstop_gui::sky::Sky;
use fieldstop_gui::state::Figures;

use crate::law::{Job, LINEAR, Law, PAIRS, SORTED, decades};
use crate::wanted::{FIELD, best_lengths, ellipse_of_panels, kit, outlines, panels_of, wanted};

pub(crate) fn laws(sky: &Rc<Sky>) -> Vec<Law> {
    let most_wishes = MOST_WISHES as u32;
    let most_corners = MOST_CORNERS as u32;
    let squares = |sides: &[u32]| sides.iter().map(|side| side * side).collect();
    let sky = Rc::clone(sky);
    vec![
        Law::new(
            "objects of a coverage curve, with the best length and the best two",
            SORTED,
            decades(130, 130_000),
            coverage,
        ),
        Law::new(
            "panels of a plain grid",
            LINEAR,
            squares(&[2, 4, 7, 10, 20, 40, 70, 100, 200, 300]),
            plain_panels,
        ),
        Law::new(
            "panels of a search for fewer, to its limit",
            LINEAR,
            squares(&[2, 3, 4, 6, 8, 11, 14, MOST_SEARCHED.isqrt()]),
            searched_panels,
        ),
        Law::new(
            "corners of a drawn outline, checked, at its best rotation, to their limit",
            PAIRS,
            vec![4, 8, 15, 30, 50, 100, most_corners],
            corners,
        ),
        Law::new(
            "corners of a drawn outline, covered by the fewest panels",
            LINEAR,
            vec![4, 8, 15, 30, 50, 100, most_corners],
            covered_corners,
        ),
        Law::new(
            "targets for five rigs, the whole choice",
            SORTED,
            decades(1, most_wishes),
            choice_by_targets,
        ),
        Law::new(
            "rigs for ten targets, the whole choice",
            PAIRS,
            decades(2, 1_000),
            choice_by_rigs,
        ),
        Law::new(
            "targets of a kit, the window's figures for five rigs",
            LINEAR,
            decades(1, most_wishes),
            move |count| figures(&sky, count),
        ),
    ]
}

fn coverage(count: u32) -> Job {
    let kit = kit();
    let rig = kit.resolve(1).expect("a rig");
    let setting = Setting::of(&rig, &Conditions::at_zenith(&kit.site));
    let outlines = outlines(count);
    let (best, pair) = best_lengths(setting, &outlines);
    assert!(best.is_some() && pair.is_some_and(|pair| pair.served.count > 0));
    Box::new(move || {
        black_box(best_lengths(setting, &outlines));
    })
}

fn centre() -> Direction<Icrs> {
    Direction::from_ra_dec(Angle::from_deg(10.0), Angle::from_deg(60.0))
}

fn side(panels: u32) -> u32 {
    panels.isqrt()
}

fn plain_panels(count: u32) -> Job {
    let grid = move || mosaic::grid(centre(), Angle::ZERO, &FIELD, side(count), side(count), 0.15);
    assert_eq!(grid().len(), count as usize);
    Box::new(move || {
        black_box(grid());
    })
}

fn searched_panels(count: u32) -> Job {
    let outline = ellipse_of_panels(f64::from(side(count)));
    assert_eq!(panels_of(&outline).plain, count as usize);
    Box::new(move || {
        black_box(panels_of(black_box(&outline)));
    })
}

/// A bay and a cape by turns, so that no side crosses another and the hull has few corners.
fn drawn(corners: u32) -> Vec<Direction<Icrs>> {
    let plane = TangentPlane::new(centre());
    (0..corners)
        .map(|k| {
            let turn = std::f64::consts::TAU * f64::from(k) / f64::from(corners);
            let radius = 0.035 * (1.0 + 0.2 * (5.0 * turn).cos());
            let (eta, xi) = turn.sin_cos();
            plane.direction(TangentPoint { xi: radius * xi, eta: 0.6 * radius * eta })
        })
        .collect()
}

fn corners(count: u32) -> Job {
    let places = drawn(count);
    let fill = move || {
        let shape = Shape::Drawn(DrawnShape::new(black_box(&places)).unwrap().into());
        shape.fill(&FIELD, shape.best_rotation(&FIELD))
    };
    assert!(fill() > 1.0);
    Box::new(move || {
        black_box(fill());
    })
}

fn covered_corners(count: u32) -> Job {
    let shape = Shape::Drawn(DrawnShape::new(&drawn(count)).unwrap().into());
    let panels =
        move || fewest_panels_for(centre(), Some(black_box(&shape)), &FIELD, 0.15).unwrap();
    assert!(panels().proved && panels().panels.len() > 1);
    Box::new(move || {
        black_box(panels());
    })
}

fn whole_choice(kit: Kit, targets: u32) -> Job {
    let (wanted, conditions) = (wanted(targets), Conditions::at_zenith(&kit.site));
    let all = move || choice(&kit, 0, black_box(&wanted), &Criterion::ALL, &conditions);
    let answer = all();
    assert!(answer.recommendation.is_some() && answer.ranges.len() == targets as usize);
    Box::new(move || {
        black_box(all());
    })
}

fn choice_by_targets(count: u32) -> Job {
    whole_choice(kit(), count)
}

/// So many rigs, each with a focal length of its own.
fn choice_by_rigs(count: u32) -> Job {
    let mut kit = kit();
    let (otas, rigs) = (kit.otas.clone(), kit.rigs.clone());
    kit.rigs.clear();
    for (number, rig) in (0..count).zip(rigs.iter().cycle()) {
        let mut ota = otas.iter().find(|ota| ota.name == rig.ota).unwrap().clone();
        let mut rig = rig.clone();
        ota.name = format!("{} {number}", ota.name);
        ota.focal_length_mm *= 1.0 + f64::from(number) / f64::from(count);
        rig.name = format!("{} {number}", rig.name);
        rig.ota.clone_from(&ota.name);
        kit.otas.push(ota);
        kit.rigs.push(rig);
    }
    whole_choice(kit, 10)
}

/// A kit with so many targets of the catalogue that have a size.
pub(crate) fn kit_of_wishes(sky: &Sky, count: u32) -> Kit {
    let mut kit = kit();
    let sized = sky.catalogue.targets().iter().filter(|target| target.outline.is_some());
    kit.wish_list =
        sized.take(count as usize).map(|target| Wish::Named(target.name.clone())).collect();
    kit.weights.clear();
    kit.aims.clear();
    kit.outlines.clear();
    assert_eq!(kit.wish_list.len(), count as usize);
    kit
}

fn figures(sky: &Rc<Sky>, count: u32) -> Job {
    let (sky, kit) = (Rc::clone(sky), kit_of_wishes(sky, count));
    let chosen = kit.wish_list[0].name().to_owned();
    let made = move || {
        let mut figures = Figures::default();
        figures.update(&kit, Some(&chosen), &sky.catalogue);
        figures
    };
    assert!(made().wishes.iter().all(|wish| wish.fits.len() == 5));
    Box::new(move || {
        black_box(made());
    })
}
