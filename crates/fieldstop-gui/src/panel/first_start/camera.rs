//! Step 2: the camera, picked from sensors drawn to one scale.

use egui::{Align2, Pos2, Rect, Role, Sense, Stroke, StrokeKind, Ui, Vec2, WidgetInfo};
use fieldstop::kit::Camera;
use fieldstop::{Field, Sensor, pixel_scale, range};

use super::{FIELDS_PT, FirstStartInput};
use crate::one_camera;
use crate::starting_points;
use crate::widget::NumberField;
use crate::words;
use crate::words::money;

/// Points a millimetre: the largest sensor fills its card.
const PT_PER_MM: f32 = 4.0;
const CARD_PT: Vec2 = Vec2::new(166.0, 168.0);

/// The focal length of a usual first telescope, at which a camera's view is told.
const EXAMPLE_MM: f64 = 360.0;

pub(super) fn ui(ui: &mut Ui, input: &mut FirstStartInput<'_>) {
    ui.label(
        "Sensors by the trade's formats, all drawn to one scale. Pick the nearest; every figure of it can be changed later.",
    );
    ui.add_space(6.0);
    let currency = input.kit.limits.currency.clone();
    let chosen = one_camera::camera_of(input.kit).map(|camera| camera.name.clone());
    ui.horizontal_wrapped(|ui| {
        for point in starting_points::cameras() {
            let is_chosen = chosen.as_deref() == Some(point.label);
            if card(ui, &point.part, is_chosen, &currency) {
                one_camera::choose_camera(input.kit, point.label);
            }
        }
    });
    ui.add_space(8.0);
    let Some(name) = chosen else {
        ui.label("None picked yet. Without one the candidates begin with an APS-C camera.");
        return;
    };
    let Some(camera) = input.kit.cameras.iter_mut().find(|camera| camera.name == name) else {
        return;
    };
    ui.strong(&name);
    ui.scope(|ui| {
        ui.set_max_width(FIELDS_PT);
        ui.checkbox(&mut camera.owned, "I already own it").on_hover_text(
            "What you own costs nothing more, so it is left out of the price of every candidate",
        );
        let price = NumberField::new("Price", &currency, range::MONEY)
            .tip("What a camera of this format usually costs, to be changed to the one you have in mind. Empty if unknown");
        if !camera.owned
            && let Some(new) = price.show_optional(ui, camera.price)
        {
            camera.price = new;
        }
    });
    ui.label(view_words(camera));
}

/// What the camera sees at a usual focal length.
fn view_words(camera: &Camera) -> String {
    let field = Field::new(sensor(camera), EXAMPLE_MM);
    format!(
        "On a short telescope of {} it sees {} of sky, {} for every pixel.",
        words::focal_length(EXAMPLE_MM),
        words::field(field.width(), field.height()),
        words::span(pixel_scale(camera.pixel_um, EXAMPLE_MM)),
    )
}

fn sensor(camera: &Camera) -> Sensor {
    let side_mm = |px: u32| f64::from(px) * camera.pixel_um / 1000.0;
    Sensor { width_mm: side_mm(camera.width_px), height_mm: side_mm(camera.height_px) }
}

/// A card to pick; true when it was.
fn card(ui: &mut Ui, camera: &Camera, chosen: bool, currency: &str) -> bool {
    let (rect, response) = ui.allocate_exact_size(CARD_PT, Sense::click());
    let sensor = sensor(camera);
    let sides = format!("{:.1} × {:.1} mm", sensor.width_mm, sensor.height_mm);
    let price =
        camera.price.map_or_else(String::new, |price| format!(", {}", money(price, currency)));
    let told = format!("{}, {sides}{price}", camera.name);
    response.widget_info(|| WidgetInfo::selected(Role::RadioButton, true, chosen, &told));
    let visuals = ui.style().interact_selectable(&response, chosen);
    let painter = ui.painter_at(rect);
    painter.rect(
        rect.shrink(1.0),
        4.0,
        visuals.weak_bg_fill,
        visuals.bg_stroke,
        StrokeKind::Inside,
    );
    let middle = Pos2::new(rect.center().x, rect.top() + 8.0 + 50.0);
    // OK because a sensor's sides are some tens of millimetres.
    let size = PT_PER_MM * Vec2::new(sensor.width_mm as f32, sensor.height_mm as f32);
    let ink = visuals.text_color();
    painter.rect_stroke(
        Rect::from_center_size(middle, size),
        0.0,
        Stroke::new(1.5, ink),
        StrokeKind::Middle,
    );
    let body = egui::TextStyle::Body.resolve(ui.style());
    let small = egui::TextStyle::Small.resolve(ui.style());
    let line = |y: f32| Pos2::new(rect.center().x, rect.top() + y);
    painter.text(line(111.0), Align2::CENTER_TOP, &camera.name, body, ink);
    let pixel = format!("pixels of {:.1} µm{price}", camera.pixel_um);
    for (y, text) in [(130.0, &sides), (145.0, &pixel)] {
        painter.text(line(y), Align2::CENTER_TOP, text, small.clone(), ink);
    }
    response.clicked()
}
