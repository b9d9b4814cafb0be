//! Where a kit's picture is: its path as the kit has it, from the folder of the kit file.

use std::path::{Component, Path, PathBuf, absolute};

use super::PictureError;

/// The file behind a kit's path.
pub fn resolved(path: &str, kit_folder: Option<&Path>) -> PathBuf {
    // A relative path without a kit file is one from where the program was started.
    kit_folder.map_or_else(|| PathBuf::from(path), |folder| folder.join(path))
}

/// How a kit in that folder calls a file: from its folder, if the file lies in or below it.
///
/// # Errors
/// If the path is no Unicode text.
pub fn for_kit(file: &Path, kit_folder: Option<&Path>) -> Result<String, PictureError> {
    let file = &whole(file);
    let folder = kit_folder.map(whole);
    // A path that leads out of the folder again, by two dots, does not lie below it.
    let is_below =
        |path: &&Path| path.components().all(|part| matches!(part, Component::Normal(_)));
    let below = folder.and_then(|folder| file.strip_prefix(folder).ok()).filter(is_below);
    let Some(below) = below else {
        return file.to_str().map(str::to_owned).ok_or(PictureError::Path);
    };
    // With the same separator on every system, so that a kit can be carried to another.
    let names: Option<Vec<&str>> =
        below.components().map(|part| part.as_os_str().to_str()).collect();
    names.map(|names| names.join("/")).ok_or(PictureError::Path)
}

/// A path from the root of the file system; the folder of `kit.ron` is an empty path.
pub fn whole(path: &Path) -> PathBuf {
    let named = if path.as_os_str().is_empty() { Path::new(".") } else { path };
    absolute(named).unwrap_or_else(|_| path.to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_below_the_kit_moves_with_it() {
        let folder = Path::new("/kits/club");
        let file = Path::new("/kits/club/pictures/veil.fits");
        assert_eq!(for_kit(file, Some(folder)).ok().as_deref(), Some("pictures/veil.fits"));
        assert_eq!(resolved("pictures/veil.fits", Some(folder)), file);
    }

    #[test]
    fn a_path_that_leads_out_of_the_folder_is_kept_whole() {
        let file = Path::new("/kits/club/../veil.fits");
        let name = for_kit(file, Some(Path::new("/kits/club")));
        assert_eq!(name.ok().as_deref(), Some("/kits/club/../veil.fits"));
    }

    #[test]
    fn a_file_elsewhere_keeps_its_whole_path() {
        let file = Path::new("/archive/veil.fits");
        for folder in [Some(Path::new("/kits/club")), Some(Path::new("")), None] {
            let name = for_kit(file, folder).unwrap_or_default();
            assert_eq!(resolved(&name, folder), file);
        }
    }
}
