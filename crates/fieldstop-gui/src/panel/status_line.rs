//! The lowest line: what the pointer is on, what the program last did, and what it is doing.

use egui::{Align, Layout, RichText, Ui};
use fieldstop::kit::Kit;
use fieldstop::sexagesimal::{dec_text, ra_text};
use fieldstop::{Angle, Direction, Icrs};

use crate::sky::catalogue::{Catalogue, Target};
use crate::sky::wish::WishNames;
use crate::words;

/// What the program last did, in a sentence.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Notice {
    /// The sentence.
    pub text: String,
    /// Whether something could not be done.
    pub failed: bool,
}

impl Notice {
    /// Something was done.
    pub fn done(text: impl Into<String>) -> Self {
        Self { text: text.into(), failed: false }
    }

    /// Something could not be done.
    pub fn failed(text: impl Into<String>) -> Self {
        Self { text: text.into(), failed: true }
    }
}

/// What the pointer is on.
#[derive(Clone, Copy)]
pub struct Pointed<'a> {
    /// Its place on the sky, if it is there.
    pub place: Option<Direction<Icrs>>,
    /// An object this near to it is the one that is meant.
    pub reach: Angle,
    /// What is said while it is on nothing.
    pub hint: &'a str,
}

/// Shows the line; true if a job shown on it is to be stopped.
pub fn ui(
    ui: &mut Ui,
    pointed: Pointed<'_>,
    target: Option<&Target>,
    (kit, catalogue): (&Kit, &Catalogue),
    notice: &Notice,
    job: Option<(&str, f32)>,
) -> bool {
    let mut stop = false;
    ui.horizontal(|ui| {
        if let Some(place) = pointed.place {
            ui.label(place_words(place, target));
            if let Some(object) = crate::sky::nearest(catalogue, place, pointed.reach) {
                ui.strong(WishNames::of(kit, catalogue).led(object).title());
            }
        } else {
            ui.weak(pointed.hint);
        }
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            if let Some((label, share)) = job {
                stop = ui.button("Stop").clicked();
                ui.add(egui::ProgressBar::new(share).desired_width(120.0).text(label));
            } else if !notice.text.is_empty() {
                let mut text = RichText::new(&notice.text);
                if notice.failed {
                    text = text.color(ui.visuals().warn_fg_color);
                }
                ui.add(egui::Label::new(text).truncate()).on_hover_text(&notice.text);
            }
        });
    });
    stop
}

fn place_words(place: Direction<Icrs>, target: Option<&Target>) -> String {
    let (ra, dec) = (place.ra(), place.dec());
    let mut text = format!(
        "{}  {}   ({:.3}°  {:+.3}°)",
        ra_text(ra, 0),
        dec_text(dec, 0),
        ra.deg(),
        dec.deg()
    );
    if let Some(target) = target {
        let distance = words::span(place.separation(target.place));
        text.push_str(&format!("   {distance} from {}", target.name));
    }
    text
}
