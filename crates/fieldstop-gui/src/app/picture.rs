//! The person's own picture: what becomes of what was chosen, read and asked for.

use std::path::{Path, PathBuf};

use fieldstop::kit::{Background, Kit};

use super::App;
use crate::own_picture::stretch::Look;
use crate::own_picture::{PictureError, path};
use crate::panel::file_window::{FileWanted, FileWindow};
use crate::panel::picture_window::{self, PictureAnswer};
use crate::panel::status_line::Notice;
use crate::scene::view::SkyView;
use crate::state::{PictureNews, ViewChoice};

impl App {
    /// Keeps the picture up to date with the kit, and tells what happened to it.
    pub(super) fn update_picture(&mut self, ctx: &egui::Context) {
        let folder = self.document.path().and_then(Path::parent);
        match self.picture.update(self.document.kit.background.as_ref(), folder, ctx) {
            None => {}
            Some(PictureNews::Opened(path, look)) => self.put_picture(&path, look),
            Some(PictureNews::Refused(path, why)) => self.refuse_picture(&path, why),
            Some(PictureNews::Missing(why)) => {
                self.notice = Notice::failed(format!(
                    "The picture under the frames is not shown: {why}. The drawn sky stands in its \
                     place."
                ));
            }
        }
    }

    /// Puts a picture that was read into the kit, as one step.
    fn put_picture(&mut self, file: &Path, look: Look) {
        let folder = self.document.path().and_then(Path::parent);
        let path = match path::for_kit(file, folder) {
            Ok(path) => path,
            Err(error) => return self.refuse_picture(file, error.to_string()),
        };
        self.document.end_step();
        let Look { dark_level, stretch } = look;
        self.document.kit.background =
            Some(Background { path, opacity: 1.0, dark_level, stretch, rows_from_top: false });
        self.document.end_step();
        self.dialogs.picture = true;
        let name = file.file_name().unwrap_or(file.as_os_str()).to_string_lossy();
        self.notice = Notice::done(format!("{name} stands under the frames"));
    }

    fn refuse_picture(&mut self, path: &Path, why: String) {
        let words = match self.document.kit.background {
            Some(_) => format!("{why}. The picture under the frames is the one before."),
            None => format!("{why}."),
        };
        self.dialogs.file = Some(FileWindow::again(FileWanted::OwnPicture, path, words));
    }

    /// Reads a picture on a worker; the window goes on meanwhile.
    pub(super) fn open_picture(&mut self, path: PathBuf, ctx: &egui::Context) {
        self.dialogs.picture = true;
        self.show_view(ViewChoice::Frame);
        self.picture.choose(path, ctx);
    }

    pub(super) fn remove_picture(&mut self) {
        if self.document.kit.background.take().is_some() {
            self.notice = Notice::done("The drawn sky is back; undo brings the picture back");
        }
    }

    pub(super) fn show_picture(&mut self, ctx: &egui::Context) {
        if !self.dialogs.picture {
            return;
        }
        let takes_keys = std::mem::take(&mut self.dialogs.picture_takes_keys);
        let open = &mut self.dialogs.picture;
        let background = &mut self.document.kit.background;
        match picture_window::window(ctx, open, takes_keys, background, &self.picture) {
            PictureAnswer::None => {}
            PictureAnswer::Choose => {
                let here = match &self.document.kit.background {
                    Some(background) => {
                        let folder = self.document.path().and_then(Path::parent);
                        path::resolved(&background.path, folder)
                    }
                    None => self.proposed_path(FileWanted::OwnPicture, ""),
                };
                self.dialogs.file = Some(FileWindow::new(FileWanted::OwnPicture, &here));
            }
            PictureAnswer::Remove => self.queue.push(crate::action::Action::RemovePicture),
            PictureAnswer::LookThere => self.look_at_picture(),
            PictureAnswer::TryAgain => self.picture.try_again(),
            PictureAnswer::Stop => self.picture.stop(),
        }
    }

    /// Turns the view to the picture, wide enough for all of it.
    fn look_at_picture(&mut self) {
        let Some(placed) = self.picture.placed() else { return };
        let map = &placed.map;
        let centre = map.centre().unwrap_or(map.reference);
        let (right, top) = (f64::from(map.width_px) + 0.5, f64::from(map.height_px) + 0.5);
        let corners = [[0.5, 0.5], [right, 0.5], [0.5, top], [right, top]];
        let reach = corners
            .into_iter()
            .filter_map(|corner| Some(map.sky(corner)?.separation(centre)))
            .fold(SkyView::SPAN_MIN, fieldstop::Angle::max);
        self.workspace.centre_deg = (centre.ra().deg(), centre.dec().deg());
        self.workspace.span_deg = (reach * 2.6).min(SkyView::SPAN_MAX).deg();
    }
}

/// The kit as it is saved in a folder: its picture is named from there.
///
/// # Errors
/// If the picture's path is no Unicode text.
pub(super) fn saved_from(
    kit: &Kit,
    old: Option<&Path>,
    new: Option<&Path>,
) -> Result<Kit, PictureError> {
    let mut kit = kit.clone();
    if let Some(background) = &mut kit.background {
        background.path = path::for_kit(&path::resolved(&background.path, old), new)?;
    }
    Ok(kit)
}
