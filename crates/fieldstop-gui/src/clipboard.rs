//! Where a picture is put so that other programs can paste it.
//!
//! The window library packs a copied picture as PNG on the window's own thread, which takes a
//! picture of 8 megapixels some tenths of a second. The system's clipboard may be filled from any
//! thread, so a worker does it here.

use std::borrow::Cow;
use std::sync::{Arc, Mutex, PoisonError};

use arboard::{Clipboard, ImageData};

use crate::page_order::Pixels;

/// Takes a picture, or says in words why not.
type Put = dyn Fn(Pixels) -> Result<(), String> + Send + Sync;

/// A way to the clipboard, to be handed to a worker.
#[derive(Clone)]
pub struct PictureClipboard(Arc<Put>);

impl PictureClipboard {
    /// The system's own.
    pub fn of_system() -> Self {
        // Kept open: on some systems what was put there is gone once nobody holds it.
        let open: Mutex<Option<Clipboard>> = Mutex::default();
        Self::new(move |pixels| {
            let mut open = open.lock().unwrap_or_else(PoisonError::into_inner);
            put(&mut open, pixels).map_err(|error| {
                format!("The clipboard did not take the picture; save it instead. ({error})")
            })
        })
    }

    /// Another place, which a worker puts pictures into.
    pub fn new(put: impl Fn(Pixels) -> Result<(), String> + Send + Sync + 'static) -> Self {
        Self(Arc::new(put))
    }

    /// Packs a picture and puts it there. Takes a while, so it is not for the window's thread.
    ///
    /// # Errors
    /// In words.
    pub fn put(&self, pixels: Pixels) -> Result<(), String> {
        (self.0)(pixels)
    }
}

fn put(open: &mut Option<Clipboard>, pixels: Pixels) -> Result<(), arboard::Error> {
    let clipboard = match open {
        Some(clipboard) => clipboard,
        None => open.insert(Clipboard::new()?),
    };
    // OK because a u32 fits into a usize where there is a window.
    let [width, height] = pixels.size.map(|side| side as usize);
    clipboard.set_image(ImageData { width, height, bytes: Cow::Owned(pixels.rgba) })
}
