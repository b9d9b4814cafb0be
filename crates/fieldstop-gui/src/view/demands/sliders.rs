//! The lines over the table: what the figures are for, and what can be tried out.

use egui::{Color32, ComboBox, RichText, Slider, SliderClamping, TextStyle, Ui};

use super::DemandsInput;
use crate::state::demand_target::Standing;
use crate::state::{MoonChoice, WhatIf};
use crate::widget::{finite_number, named};
use crate::words;

/// Shows the lines and changes what is tried out.
pub(super) fn ui(ui: &mut Ui, what_if: &mut WhatIf, input: &mut DemandsInput<'_>) {
    ui.horizontal_wrapped(|ui| {
        ui.strong(heading(input));
        ui.weak(place_words(input));
    });
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().slider_width = SLIDER_WIDTH;
        seeing(ui, what_if, input);
        guiding(ui, what_if, input);
        sky(ui, what_if, input);
        moon(ui, what_if);
        dark_hours(ui, what_if);
        let reset = egui::Button::new("Reset to the site's");
        if ui
            .add_enabled(what_if.is_changed(), reset)
            .on_hover_text("Takes back what is tried out here; the kit was not changed")
            .clicked()
        {
            *what_if = WhatIf::default();
        }
    });
}

fn heading(input: &DemandsInput<'_>) -> String {
    match input.target {
        Some(target) => target.title(),
        None => "No target chosen".to_owned(),
    }
}

fn place_words(input: &DemandsInput<'_>) -> String {
    match input.figures.standing() {
        Standing::Zenith => "figures for the zenith; hours and detail need a target".to_owned(),
        Standing::Highest { altitude, airmass, .. } => format!(
            "figures for its highest, {:.0}° up, airmass {}",
            altitude.deg(),
            words::three_digits(airmass)
        ),
        Standing::NeverRises => {
            "never rises at this site; figures for the zenith, without a target".to_owned()
        }
    }
}

const SLIDER_WIDTH: f32 = 84.0;
/// Of the number beside a slider, with the gaps.
const VALUE_WIDTH: f32 = 72.0;

/// A label and its control stay together: where they do not fit, the next line begins.
fn start_line_unless_fits(ui: &mut Ui, label: &str, control_width: f32) {
    let font = TextStyle::Body.resolve(ui.style());
    let label = ui.painter().layout_no_wrap(label.to_owned(), font, Color32::PLACEHOLDER);
    if ui.available_size_before_wrap().x < label.size().x + control_width {
        ui.end_row();
    }
}

/// How one slider looks.
struct Tried<'a> {
    label: &'static str,
    /// The kit's own value.
    own: f64,
    least: f64,
    most: f64,
    decimals: usize,
    suffix: &'static str,
    tip: &'a str,
}

/// A slider that tries a value out, the kit's own until it is moved.
fn what_if_slider(ui: &mut Ui, shown: &Tried<'_>, tried: &mut Option<f64>) {
    start_line_unless_fits(ui, shown.label, SLIDER_WIDTH + VALUE_WIDTH);
    ui.horizontal(|ui| {
        let mut value = tried.unwrap_or(shown.own);
        let text = RichText::new(shown.label);
        ui.label(if tried.is_some() { text.strong() } else { text }).on_hover_text(shown.tip);
        let slider = Slider::new(&mut value, shown.least..=shown.most)
            .clamping(SliderClamping::Edits)
            .custom_parser(finite_number)
            .fixed_decimals(shown.decimals)
            .suffix(shown.suffix);
        let response = named(ui.add(slider).on_hover_text(shown.tip), shown.label);
        if response.changed() {
            *tried = Some(value);
        }
    });
}

fn seeing(ui: &mut Ui, what_if: &mut WhatIf, input: &DemandsInput<'_>) {
    let own = input.kit.site.seeing_fwhm_arcsec;
    let tip = format!(
        "What if the seeing were another? Width of a star's image at the zenith; your site's is {own:.1}″"
    );
    let shown =
        Tried {
            label: "Seeing", own, least: 0.5, most: 6.0, decimals: 1, suffix: "″", tip: &tip
        };
    what_if_slider(ui, &shown, &mut what_if.seeing_fwhm_arcsec);
}

fn guiding(ui: &mut Ui, what_if: &mut WhatIf, input: &DemandsInput<'_>) {
    let rig = input.kit.resolve(input.workspace.rig);
    let shown = Tried {
        label: "Guiding RMS",
        own: rig.and_then(|rig| rig.mount.guided_rms_arcsec).unwrap_or(1.0),
        least: 0.0,
        most: 4.0,
        decimals: 2,
        suffix: "″",
        tip: "What if every guided mount followed this well? RMS, total of both axes. \
              Until it is moved, each mount has its own; shown is the chosen rig's",
    };
    what_if_slider(ui, &shown, &mut what_if.guided_rms_arcsec);
}

fn sky(ui: &mut Ui, what_if: &mut WhatIf, input: &DemandsInput<'_>) {
    let own = input.kit.site.sky_brightness_mag_arcsec2;
    let tip = format!(
        "What if the sky were darker or brighter? Magnitudes per square arcsecond without the Moon, more is \
         darker: 18 in a city, 21.8 far from any town; your site's is {own:.1}"
    );
    let shown = Tried {
        label: "Sky brightness",
        own,
        least: 16.0,
        most: 22.0,
        decimals: 1,
        suffix: "",
        tip: &tip,
    };
    what_if_slider(ui, &shown, &mut what_if.sky_brightness_mag_arcsec2);
}

fn moon(ui: &mut Ui, what_if: &mut WhatIf) {
    start_line_unless_fits(ui, "", SLIDER_WIDTH + 24.0);
    let combo = ComboBox::from_id_salt("moon")
        .width(84.0)
        .selected_text(what_if.moon.label())
        .show_ui(ui, |ui| {
            for moon in MoonChoice::ALL {
                ui.selectable_value(&mut what_if.moon, moon, moon.label());
            }
        });
    named(combo.response, "Moon")
        .on_hover_text("The Moon 45° up and 60° from the target, by Krisciunas & Schaefer 1991");
}

fn dark_hours(ui: &mut Ui, what_if: &mut WhatIf) {
    start_line_unless_fits(ui, "Dark hours", VALUE_WIDTH);
    ui.horizontal(|ui| {
        let tip =
            "Dark hours of one night, for what it yields; 6 are usual. The Year view knows yours";
        ui.label("Dark hours").on_hover_text(tip);
        let value = egui::DragValue::new(&mut what_if.dark_hours)
            .range(0.5..=24.0)
            .custom_parser(finite_number)
            .speed(0.05)
            .fixed_decimals(1)
            .suffix(" h");
        named(ui.add(value).on_hover_text(tip), "Dark hours");
    });
}
