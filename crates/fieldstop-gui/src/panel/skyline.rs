//! The skyline of the site: points of azimuth and altitude, in order round the horizon.

use egui::{RichText, Ui};
use fieldstop::range::{SKYLINE_ALTITUDE, WHOLE_CIRCLE};

use crate::widget::{NumberField, named};

/// Shows the points, to be changed, added and removed.
pub fn ui(ui: &mut Ui, points: &mut Vec<(f64, f64)>) {
    ui.add_space(6.0);
    ui.strong("Skyline");
    ui.label(
        RichText::new(
            "Altitudes of trees and houses by azimuth, from north through east. Straight between \
             points, closed round through north.",
        )
        .weak()
        .small(),
    );
    let mut removed = None;
    for index in 0..points.len() {
        ui.horizontal_wrapped(|ui| {
            if point(ui, points, index) {
                removed = Some(index);
            }
        });
    }
    if let Some(index) = removed {
        points.remove(index);
    }
    if ui.button("Add a point").on_hover_text("In the widest gap of the skyline").clicked() {
        add(points);
    }
}

/// One point; true if it is to go.
fn point(ui: &mut Ui, points: &mut [(f64, f64)], index: usize) -> bool {
    let Some(&(azimuth, altitude)) = points.get(index) else { return false };
    let before = index.checked_sub(1).and_then(|before| points.get(before)).map(|point| point.0);
    let after = points.get(index + 1).map(|point| point.0);
    let number = index + 1;
    let label = format!("Azimuth {number}");
    let field = NumberField::new(&label, "°", WHOLE_CIRCLE).of("skyline").compact();
    let in_order = |azimuth: f64| check_order(azimuth, before, after);
    if let Some(new) = field.show_checked(ui, azimuth, in_order)
        && let Some(point) = points.get_mut(index)
    {
        point.0 = new;
    }
    let label = format!("Altitude {number}");
    let field = NumberField::new(&label, "°", SKYLINE_ALTITUDE).of("skyline").compact();
    if let Some(new) = field.show(ui, altitude)
        && let Some(point) = points.get_mut(index)
    {
        point.1 = new;
    }
    let remove = ui.button("×").on_hover_text("Remove this point");
    named(remove, format!("Remove skyline point {number}")).clicked()
}

/// Whether an azimuth lies between its neighbours'.
fn check_order(azimuth: f64, before: Option<f64>, after: Option<f64>) -> Result<(), String> {
    let above = before.is_none_or(|before| azimuth > before);
    let below = after.is_none_or(|after| azimuth < after);
    if above && below {
        return Ok(());
    }
    let expected = match (before, after) {
        (Some(before), Some(after)) => format!("between {before}° and {after}°"),
        (Some(before), None) => format!("above {before}°, up to 360°"),
        (None, Some(after)) => format!("from 0°, below {after}°"),
        (None, None) => "from 0° to 360°".to_owned(),
    };
    Err(format!(
        "“{azimuth}” is out of order; expected an azimuth {expected}, as its neighbours are."
    ))
}

/// Adds a point in the middle of the widest gap, as high as the skyline there.
fn add(points: &mut Vec<(f64, f64)>) {
    let (Some(&first), Some(&last)) = (points.first(), points.last()) else {
        points.push((180.0, 10.0));
        return;
    };
    // What lies before the first point and after the last, up to due north.
    let north = f64::midpoint(first.1, last.1);
    let ends: Vec<(f64, f64)> =
        [(0.0, north)].into_iter().chain(points.iter().copied()).chain([(360.0, north)]).collect();
    let widest = (0..=points.len())
        .max_by(|&a, &b| gap(&ends, a).total_cmp(&gap(&ends, b)))
        .and_then(|index| Some((index, *ends.get(index)?, *ends.get(index + 1)?)));
    if let Some((index, left, right)) = widest {
        let middle = (f64::midpoint(left.0, right.0), f64::midpoint(left.1, right.1));
        if middle.0 > left.0 && middle.0 < right.0 {
            points.insert(index, middle);
        }
    }
}

fn gap(ends: &[(f64, f64)], index: usize) -> f64 {
    match (ends.get(index), ends.get(index + 1)) {
        (Some(left), Some(right)) => right.0 - left.0,
        _ => 0.0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn added_points_keep_the_order() {
        let mut points = Vec::new();
        for _ in 0..40 {
            add(&mut points);
            let in_order = points.windows(2).all(|pair| pair[0].0 < pair[1].0);
            assert!(in_order && points.iter().all(|p| (0.0..=360.0).contains(&p.0)), "{points:?}");
        }
        assert_eq!(points.len(), 40);
    }

    #[test]
    fn an_azimuth_out_of_order_is_explained() {
        let refusal = check_order(90.0, Some(100.0), Some(140.0)).unwrap_err();
        assert!(refusal.contains("between 100° and 140°"), "{refusal}");
        assert!(check_order(100.0, Some(100.0), None).is_err());
        assert!(check_order(360.0, Some(100.0), None).is_ok());
        assert!(check_order(0.0, None, Some(10.0)).is_ok());
    }
}
