//! A target of the person's own, that no catalogue holds: asked for, checked, put on the wish list.

use egui::{RichText, TextEdit, Ui};
use fieldstop::kit::Wish;
use fieldstop::range::{self, Range};
use fieldstop::sexagesimal::{dec_text, parse_dec, parse_ra, ra_text};
use fieldstop::{Angle, Direction, Icrs};

use crate::widget::{named, unique_name};

/// The fields as typed, and what is wrong with one of them.
pub struct OwnTarget {
    /// The wish that is being changed, by its place; none for a new one.
    place: Option<usize>,
    fields: Fields,
    refusal: Option<(Field, String)>,
    /// Frames in which the cursor is still to be put into the first field.
    fresh: u8,
}

#[derive(Default)]
struct Fields {
    name: String,
    ra: String,
    dec: String,
    major: String,
    minor: String,
    pa: String,
    brightness: String,
}

/// Which field a refusal is about.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
enum Field {
    Name,
    Ra,
    Dec,
    Major,
    Minor,
    Pa,
    Brightness,
}

/// What came of asking.
pub enum OwnTargetAnswer {
    /// Still asking.
    Asking,
    /// A target for the wish list, in place of the one there if there is a place.
    Done(Option<usize>, Wish),
    /// Nothing was wanted after all.
    Cancelled,
}

impl OwnTarget {
    /// Asks for a new target, proposed where the view looks.
    pub fn new(at: Direction<Icrs>) -> Self {
        let fields =
            Fields { ra: ra_text(at.ra(), 0), dec: dec_text(at.dec(), 0), ..Fields::default() };
        Self { place: None, fields, refusal: None, fresh: 3 }
    }

    /// Asks what is to change of a target of the person's own; `None` for a catalogue's.
    pub fn edit(place: usize, wish: &Wish) -> Option<Self> {
        let Wish::Custom {
            name,
            ra_deg,
            dec_deg,
            major_arcmin,
            minor_arcmin,
            pa_deg,
            surface_brightness_mag_arcsec2,
        } = wish
        else {
            return None;
        };
        let text = |number: &Option<f64>| number.map_or_else(String::new, |n| n.to_string());
        let fields = Fields {
            name: name.clone(),
            ra: ra_deg.to_string(),
            dec: dec_deg.to_string(),
            major: text(major_arcmin),
            minor: text(minor_arcmin),
            pa: text(pa_deg),
            brightness: text(surface_brightness_mag_arcsec2),
        };
        Some(Self { place: Some(place), fields, refusal: None, fresh: 3 })
    }

    /// The wish that is being changed, by its place.
    pub fn place(&self) -> Option<usize> {
        self.place
    }

    /// Shows the window; `taken` are the other names of the wish list.
    pub fn show(&mut self, ctx: &egui::Context, taken: &[&str]) -> OwnTargetAnswer {
        let mut answer = OwnTargetAnswer::Asking;
        let modal = egui::Modal::new(egui::Id::unique("own target")).show(ctx, |ui| {
            ui.set_width(380.0);
            ui.strong("A target of my own");
            ui.label("For what no catalogue holds. Only name and place are needed.");
            self.fields_ui(ui);
            ui.horizontal(|ui| {
                if ui.button("Put on wish list").clicked() {
                    match self.fields.wish(taken) {
                        Ok(wish) => answer = OwnTargetAnswer::Done(self.place, wish),
                        Err(refusal) => self.refusal = Some(refusal),
                    }
                }
                if ui.button("Cancel").clicked() {
                    answer = OwnTargetAnswer::Cancelled;
                }
            });
        });
        if modal.should_close() && matches!(answer, OwnTargetAnswer::Asking) {
            answer = OwnTargetAnswer::Cancelled;
        }
        answer
    }

    fn fields_ui(&mut self, ui: &mut Ui) {
        let fields = &mut self.fields;
        for (field, label, hint, text) in [
            (Field::Name, "Name", "", &mut fields.name),
            (Field::Ra, "Right ascension", "20 44 48 or 311.2", &mut fields.ra),
            (Field::Dec, "Declination", "+30 30 or 30.5", &mut fields.dec),
            (Field::Major, "Length, arcmin", "unknown", &mut fields.major),
            (Field::Minor, "Width, arcmin", "as long", &mut fields.minor),
            (Field::Pa, "Position angle, °", "0", &mut fields.pa),
            (
                Field::Brightness,
                "Surface brightness, mag/arcsec²",
                "unknown",
                &mut fields.brightness,
            ),
        ] {
            ui.horizontal(|ui| {
                ui.label(label);
                ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                    let edit = TextEdit::singleline(text).hint_text(hint).desired_width(150.0);
                    let response = named(ui.add(edit), label);
                    if field == Field::Name && self.fresh > 0 {
                        self.fresh -= 1;
                        response.request_focus();
                    }
                });
            });
            if let Some((about, why)) = &self.refusal
                && *about == field
            {
                ui.label(RichText::new(why).color(ui.visuals().warn_fg_color));
            }
        }
    }
}

impl Fields {
    fn wish(&self, taken: &[&str]) -> Result<Wish, (Field, String)> {
        let name = self.name.trim();
        unique_name(name, taken).map_err(|why| (Field::Name, format!("“{name}” {why}")))?;
        let ra = parse_ra(&self.ra).map_err(|error| (Field::Ra, error.to_string()))?;
        let dec = parse_dec(&self.dec).map_err(|error| (Field::Dec, error.to_string()))?;
        let major = optional(&self.major, range::SIZE_ARCMIN).map_err(|why| (Field::Major, why))?;
        let minor = optional(&self.minor, range::SIZE_ARCMIN).map_err(|why| (Field::Minor, why))?;
        if minor.is_some_and(|minor| major.is_none_or(|major| major < minor)) {
            let why = "The width is more than the length; expected at most the length.".to_owned();
            return Err((Field::Minor, why));
        }
        let pa = optional(&self.pa, range::POSITION_ANGLE).map_err(|why| (Field::Pa, why))?;
        let brightness = optional(&self.brightness, range::SURFACE_BRIGHTNESS)
            .map_err(|why| (Field::Brightness, why))?;
        Ok(Wish::Custom {
            name: name.to_owned(),
            ra_deg: tidy(ra),
            dec_deg: tidy(dec),
            major_arcmin: major,
            minor_arcmin: minor,
            pa_deg: pa,
            surface_brightness_mag_arcsec2: brightness,
        })
    }
}

/// Degrees to a hundredth of an arcsecond, so that the kit file stays readable.
fn tidy(angle: Angle) -> f64 {
    (angle.deg() * 1e6).round() / 1e6
}

fn optional(text: &str, range: Range) -> Result<Option<f64>, String> {
    let text = text.trim();
    if text.is_empty() {
        return Ok(None);
    }
    match text.replace(',', ".").replace('−', "-").parse::<f64>() {
        Ok(number) if range.contains(number) => Ok(Some(number)),
        _ => Err(format!("“{text}” cannot be used; expected {}, or nothing.", range.expected)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn fields() -> Fields {
        Fields {
            name: "Practice field".to_owned(),
            ra: "20 44 48".to_owned(),
            dec: "+30 30".to_owned(),
            major: "150".to_owned(),
            minor: "90".to_owned(),
            ..Fields::default()
        }
    }

    #[test]
    fn a_typed_target_becomes_a_wish() {
        let wish = fields().wish(&["M 31"]).unwrap();
        let Wish::Custom { name, ra_deg, dec_deg, major_arcmin, pa_deg, .. } = wish else {
            panic!("a target of one's own");
        };
        assert_eq!((name.as_str(), ra_deg, dec_deg), ("Practice field", 311.2, 30.5));
        assert_eq!((major_arcmin, pa_deg), (Some(150.0), None));
    }

    #[test]
    fn every_bad_field_is_named() {
        type Spoil = fn(&mut Fields);
        let cases: [(Field, Spoil); 6] = [
            (Field::Name, |f| f.name = "M 31".to_owned()),
            (Field::Ra, |f| f.ra = "25 00".to_owned()),
            (Field::Dec, |f| f.dec = "ninety".to_owned()),
            (Field::Major, |f| f.major = "-3".to_owned()),
            (Field::Minor, |f| f.minor = "200".to_owned()),
            (Field::Pa, |f| f.pa = "NaN".to_owned()),
        ];
        for (field, spoil) in cases {
            let mut spoilt = fields();
            spoil(&mut spoilt);
            let (about, why) = spoilt.wish(&["M 31"]).unwrap_err();
            assert_eq!(about, field, "{why}");
            assert!(!why.is_empty());
        }
    }
}
