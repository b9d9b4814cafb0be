//! Numbers that are none end at the door, whoever sends them.

use egui::accesskit::ActionData;
use egui::{Context, Event, Plugin, RawInput};

/// Takes away what assistive technology asks for with NaN or an infinity, before a slider takes it
/// for a number.
pub struct FiniteNumbers;

impl Plugin for FiniteNumbers {
    fn debug_name(&self) -> &'static str {
        "finite numbers"
    }

    fn input_hook(&mut self, _: &Context, input: &mut RawInput) {
        input.events.retain(|event| {
            let Event::AccessKitActionRequest(request) = event else { return true };
            !matches!(request.data, Some(ActionData::NumericValue(number)) if !number.is_finite())
        });
    }
}

/// A number typed into a slider's own field, with a decimal point or comma; `None` if it is none.
pub fn finite_number(text: &str) -> Option<f64> {
    let plain: String = text.chars().filter(|character| !character.is_whitespace()).collect();
    let number: f64 = plain.replace('−', "-").replace(',', ".").parse().ok()?;
    number.is_finite().then_some(number)
}
