//! The table of mosaic panels that the chosen rig needs for the chosen target.

use egui::RichText;
use fieldstop::Frame;
use fieldstop::sexagesimal::{dec_text, ra_text};

use crate::words;

/// What was asked for in the window.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum PanelsAnswer {
    /// Nothing yet.
    None,
    /// The table as text for another program.
    Copy,
    /// The table as a file.
    SaveCsv,
}

/// Shows the panels of a rig on a target.
pub fn window(
    ctx: &egui::Context,
    open: &mut bool,
    rig: &str,
    target: &str,
    panels: &[Frame],
    overlap: f64,
) -> PanelsAnswer {
    let mut answer = PanelsAnswer::None;
    egui::Window::new("Mosaic panels")
        .open(open)
        .default_pos([560.0, 330.0])
        .default_size([430.0, 330.0])
        .show(ctx, |ui| {
            if panels.is_empty() {
                ui.label(format!(
                "{target} needs no mosaic with {rig}: one picture holds it, or its size is unknown."
            ));
                return;
            }
            ui.label(format!("{} panels of {rig} cover {target}.", panels.len()));
            ui.weak(format!(
                "They overlap by {:.0} % and stand at the rotation that needs fewest, whatever the \
             frame's own. The overlap is set under Site and limits.",
                overlap * 100.0
            ));
            ui.horizontal(|ui| {
                if ui.button("Copy").on_hover_text("The table as CSV, to paste elsewhere").clicked()
                {
                    answer = PanelsAnswer::Copy;
                }
                if ui.button("Save as CSV…").clicked() {
                    answer = PanelsAnswer::SaveCsv;
                }
            });
            egui::ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
                egui::Grid::new("panels").num_columns(4).striped(true).spacing([18.0, 4.0]).show(
                    ui,
                    |ui| {
                        for heading in ["Panel", "Right ascension", "Declination", "Rotation"] {
                            ui.label(RichText::new(heading).weak());
                        }
                        ui.end_row();
                        for (index, panel) in panels.iter().enumerate() {
                            ui.label((index + 1).to_string());
                            ui.label(ra_text(panel.centre.ra(), 1));
                            ui.label(dec_text(panel.centre.dec(), 0));
                            ui.label(words::rotation(panel.rotation));
                            ui.end_row();
                        }
                    },
                );
            });
        });
    answer
}

/// The table as CSV: degrees at full precision beside what people read.
///
/// # Errors
/// When the writer refuses, which a buffer in memory does not.
pub fn csv_table(panels: &[Frame]) -> Result<String, csv::Error> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(["panel", "ra_deg", "dec_deg", "rotation_deg", "ra", "dec"])?;
    for (index, panel) in panels.iter().enumerate() {
        let (ra, dec) = (panel.centre.ra(), panel.centre.dec());
        writer.write_record([
            (index + 1).to_string(),
            ra.deg().to_string(),
            dec.deg().to_string(),
            panel.rotation.wrapped().deg().to_string(),
            ra_text(ra, 1),
            dec_text(dec, 0),
        ])?;
    }
    let bytes = writer.into_inner().map_err(|error| csv::Error::from(error.into_error()))?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}
