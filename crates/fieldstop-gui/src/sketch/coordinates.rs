//! Where on the sky the sketch's pixels lie, for its metadata.

use fieldstop::Angle;
use fieldstop::world_coordinates::WorldCoordinates;

use super::header::own_picture_note;
use super::page::Page;
use super::{PageStyle, software};
use crate::avm;
use crate::paint::png::size_px;
use crate::sources;

impl Page {
    /// The map between the sketch's pixels and the sky. It holds for the sky on the page; title
    /// and legend beside it have pixels too, and no place.
    pub fn world_coordinates(&self) -> WorldCoordinates {
        let (width_px, height_px) = size_px(&self.scene, self.px_per_pt);
        let px_per_tangent = self.view.pt_per_tangent() * self.px_per_pt;
        // The middle of the view, from the page's top left corner.
        let x = (self.sky_origin[0] + self.view.width_pt / 2.0) * self.px_per_pt;
        let y = (self.sky_origin[1] + self.view.height_pt / 2.0) * self.px_per_pt;
        let reference_px = [x + 0.5, f64::from(height_px) - y + 0.5];
        WorldCoordinates::turned(
            (width_px, height_px),
            (reference_px, self.view.centre),
            [Angle::from_rad(1.0 / px_per_tangent); 2],
            Angle::ZERO,
        )
    }
}

/// The sketch's place on the sky as Astronomy Visualization Metadata, with what of it is not real.
pub(super) fn avm_packet(page: &Page, style: &PageStyle) -> String {
    let map = page.world_coordinates();
    let picture = page.picture_name.as_deref().map(own_picture_note).unwrap_or_default();
    let edge = |points: f64| (points * page.px_per_pt).round();
    let [left, top] = page.sky_origin;
    let height = f64::from(map.height_px);
    let notes = format!(
        "The coordinates hold for the sky on the page: pixels {} to {} from the left, {} to {} from \
         the bottom.",
        edge(left) + 1.0,
        edge(left + page.view.width_pt),
        height - edge(top + page.view.height_pt) + 1.0,
        height - edge(top),
    );
    let description = format!(
        "A drawn chart with the frames of imaging telescopes, not a photograph. {} {picture}",
        style.synthetic_note()
    );
    let rights = format!("{} {picture}", style.credits_in_full());
    let words = avm::Words {
        title: &page.title,
        description: description.trim_end(),
        creator: &software(),
        credit: &sources::credits(style.sources()),
        rights: rights.trim_end(),
        spatial_notes: &notes,
    };
    avm::packet(&map, &words)
}
