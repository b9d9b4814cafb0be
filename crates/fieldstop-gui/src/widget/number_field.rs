//! A number with a unit, typed: a draft until it parses and lies in range.

use egui::{Align, Align2, Id, Key, RichText, TextEdit, Ui, Vec2};
use fieldstop::range::Range;

use super::name_field::refusal_ui;
use super::{named, select_all};

/// A labelled field for a number.
#[derive(Clone, Copy)]
pub struct NumberField<'a> {
    label: &'a str,
    unit: &'a str,
    range: Range,
    tip: &'a str,
    whole: bool,
    compact: bool,
    salt: &'a str,
    steady: bool,
}

/// What is being typed, and why the last text was not taken.
#[derive(Clone, Default)]
struct Draft {
    text: String,
    refusal: Option<String>,
    refused_at_s: f64,
}

/// Width of what is typed in a compact field.
const COMPACT_PT: f32 = 48.0;

/// How long a refusal stays once the field has been left.
const REFUSAL_S: f64 = 12.0;

impl<'a> NumberField<'a> {
    /// A field with its label, its unit, and the range it accepts.
    pub fn new(label: &'a str, unit: &'a str, range: Range) -> Self {
        Self { label, unit, range, tip: "", whole: false, compact: false, salt: "", steady: false }
    }

    /// A sentence for someone who meets the word for the first time.
    #[must_use]
    pub fn tip(mut self, tip: &'a str) -> Self {
        self.tip = tip;
        self
    }

    /// Whole numbers only.
    #[must_use]
    pub fn whole(mut self) -> Self {
        self.whole = true;
        self
    }

    /// As narrow as it can be, for a line with other controls.
    #[must_use]
    pub fn compact(mut self) -> Self {
        self.compact = true;
        self
    }

    /// Keeps the room for what is wrong with a text, so that nothing below moves when it is said.
    #[must_use]
    pub fn steady(mut self) -> Self {
        self.steady = true;
        self
    }

    /// Tells fields of the same label in one place apart, such as those of two parts.
    #[must_use]
    pub fn of(mut self, salt: &'a str) -> Self {
        self.salt = salt;
        self
    }

    /// Shows a number that must be there; gives the new one once it has been accepted.
    pub fn show(self, ui: &mut Ui, value: f64) -> Option<f64> {
        self.show_text(ui, &plain(value), |text| self.parse(text))
    }

    /// Shows a number that must also pass a check of what is around it, which says why not.
    pub fn show_checked(
        self,
        ui: &mut Ui,
        value: f64,
        check: impl Fn(f64) -> Result<(), String>,
    ) -> Option<f64> {
        self.show_text(ui, &plain(value), |text| {
            let number = self.parse(text)?;
            check(number).map(|()| number)
        })
    }

    /// Shows a number that may be unknown: an empty field is none.
    pub fn show_optional(self, ui: &mut Ui, value: Option<f64>) -> Option<Option<f64>> {
        let shown = value.map_or_else(String::new, plain);
        self.show_text(ui, &shown, |text| {
            if text.trim().is_empty() { Ok(None) } else { self.parse(text).map(Some) }
        })
    }

    fn show_text<T>(
        self,
        ui: &mut Ui,
        shown: &str,
        parse: impl Fn(&str) -> Result<T, String>,
    ) -> Option<T> {
        let id = ui.make_persistent_id(("number", self.salt, self.label));
        let mut draft: Draft = ui.data_mut(|data| data.get_temp(id)).unwrap_or_default();
        let mut taken = None;
        let line = |ui: &mut Ui| {
            ui.label(self.label).on_hover_text(self.tip_text());
            if self.compact {
                taken = self.edit(ui, id, shown, &mut draft, &parse);
                ui.weak(self.unit);
                return;
            }
            ui.with_layout(egui::Layout::right_to_left(Align::Center), |ui| {
                ui.add_sized(
                    [46.0, ui.spacing().interact_size.y],
                    egui::Label::new(RichText::new(self.unit).weak()).halign(Align::LEFT),
                );
                taken = self.edit(ui, id, shown, &mut draft, &parse);
            });
        };
        if self.compact {
            // Its width is told first: a line that wraps then takes it to the next row as a whole.
            let size = Vec2::new(self.compact_width(ui), ui.spacing().interact_size.y);
            ui.allocate_ui_with_layout(size, egui::Layout::left_to_right(Align::Center), line);
        } else {
            ui.horizontal(line);
        }
        refusal_ui(ui, draft.refusal.as_deref(), self.steady);
        ui.data_mut(|data| data.insert_temp(id, draft));
        taken
    }

    /// What label, field and unit take side by side.
    fn compact_width(self, ui: &Ui) -> f32 {
        let font = egui::TextStyle::Body.resolve(ui.style());
        let text = |text: &str| {
            let ink = ui.visuals().text_color();
            ui.painter().layout_no_wrap(text.to_owned(), font.clone(), ink).size().x
        };
        // A field's margins, on either side of what is typed.
        let field = COMPACT_PT + 8.0;
        text(self.label) + text(self.unit) + field + 2.0 * ui.spacing().item_spacing.x + 2.0
    }

    fn edit<T>(
        self,
        ui: &mut Ui,
        id: Id,
        shown: &str,
        draft: &mut Draft,
        parse: &impl Fn(&str) -> Result<T, String>,
    ) -> Option<T> {
        if !ui.memory(|memory| memory.has_focus(id)) {
            shown.clone_into(&mut draft.text);
            if ui.input(|input| input.time) - draft.refused_at_s >= REFUSAL_S {
                draft.refusal = None;
            }
        }
        let response = ui.add(
            TextEdit::singleline(&mut draft.text)
                .id(id)
                .desired_width(if self.compact { COMPACT_PT } else { 72.0 })
                .align(Align2::RIGHT_CENTER),
        );
        let response = named(response, self.label);
        let response = response.on_hover_text(self.tip_text());
        if response.gained_focus() {
            select_all(ui.ctx(), id, &draft.text);
            draft.refusal = None;
        }
        if response.changed() {
            draft.refusal = parse(&draft.text).err();
        }
        if !response.lost_focus() || draft.text == shown {
            return None;
        }
        if ui.input(|input| input.key_pressed(Key::Escape)) {
            draft.refusal = None;
            return None;
        }
        match parse(&draft.text) {
            Ok(value) => {
                draft.refusal = None;
                Some(value)
            }
            Err(refusal) => {
                let kept = if shown.is_empty() { "nothing" } else { shown };
                draft.refusal = Some(format!("{refusal} Still {kept}."));
                draft.refused_at_s = ui.input(|input| input.time);
                ui.ctx().request_repaint_after(std::time::Duration::from_secs_f64(REFUSAL_S));
                None
            }
        }
    }

    fn tip_text(self) -> String {
        let expected = format!("Expected: {}.", self.range.expected);
        if self.tip.is_empty() { expected } else { format!("{}\n{expected}", self.tip) }
    }

    /// Reads a number as people write it: decimal point or comma, with or without the unit.
    fn parse(self, text: &str) -> Result<f64, String> {
        let bare = text.trim().trim_end_matches(self.unit).trim().replace('−', "-");
        let refuse =
            |why: &str| Err(format!("“{}” {why}; expected {}.", text.trim(), self.range.expected));
        if let Some((before, after)) = bare.split_once(',')
            && after.len() == 3
            && !matches!(before, "0" | "-0")
            && !bare.contains('.')
        {
            return Err(format!(
                "“{bare}” can be read two ways; write {before}{after} or {before}.{after}."
            ));
        }
        let Ok(number) = bare.replace(',', ".").parse::<f64>() else {
            return refuse("is not a number");
        };
        if !self.range.contains(number) {
            return refuse("is out of range");
        }
        if self.whole && number.fract() != 0.0 {
            return refuse("is not whole");
        }
        Ok(number)
    }
}

/// A number as it would be typed: no digits beyond those that make it up.
fn plain(number: f64) -> String {
    // Slider and ladder leave long fractions behind; a person types three decimals at the most.
    if number.abs() >= 1e7 {
        return format!("{number:e}");
    }
    let rounded = (number * 1000.0).round() / 1000.0;
    if rounded == 0.0 && number != 0.0 { format!("{number}") } else { format!("{rounded}") }
}

#[cfg(test)]
mod tests {
    use fieldstop::range::{APERTURE_MM, FACTOR, FOCAL_LENGTH_MM, LATITUDE, PIXELS};

    use super::*;

    #[test]
    fn numbers_are_read_as_people_write_them() {
        let field = NumberField::new("Focal length", "mm", FOCAL_LENGTH_MM);
        for (text, number) in [("350", 350.0), (" 62.5 mm", 62.5), ("62,5", 62.5)] {
            assert_eq!(field.parse(text), Ok(number), "{text}");
        }
        let factor = NumberField::new("Factor", "×", FACTOR);
        assert_eq!(factor.parse("0,125"), Ok(0.125));
        let latitude = NumberField::new("Latitude", "°", LATITUDE);
        assert_eq!(latitude.parse("−12.5°"), Ok(-12.5));
    }

    #[test]
    fn a_refusal_says_what_was_found_and_expected() {
        let field = NumberField::new("Aperture", "mm", APERTURE_MM);
        for text in ["-60", "0", "", "sixty", "NaN", "inf", "1e300"] {
            let refusal = field.parse(text).unwrap_err();
            assert!(
                refusal.contains(text)
                    && refusal.contains("expected a number from 1 to 100,000 mm"),
                "{refusal}"
            );
        }
        assert!(field.parse("1,200").unwrap_err().contains("two ways"));
        assert!(NumberField::new("Width", "px", PIXELS).whole().parse("10.5").is_err());
    }
}
