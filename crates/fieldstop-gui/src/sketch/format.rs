//! Which kind of file a page becomes, by the end of the file's name.

use std::path::{Path, PathBuf};

use thiserror::Error;

/// A kind of picture file.
#[derive(Clone, Copy, Debug, Default, Eq, PartialEq)]
pub enum Format {
    /// Pixels.
    #[default]
    Png,
    /// Lines and letters.
    Svg,
}

/// A file name that does not tell what the file is to be.
#[derive(Debug, Error, PartialEq)]
#[error("{} ends in {found:?}; expected a name that ends in .png or .svg", path.display())]
pub struct FormatError {
    /// The file wanted.
    pub path: PathBuf,
    /// What its name ends in.
    pub found: String,
}

impl Format {
    /// What the end of a file's name asks for.
    ///
    /// # Errors
    /// If that is neither of the two.
    pub fn of(path: &Path) -> Result<Self, FormatError> {
        let found = path.extension().map(|end| end.to_string_lossy().into_owned());
        match found.as_deref().map(str::to_ascii_lowercase).as_deref() {
            Some("png") => Ok(Self::Png),
            Some("svg") => Ok(Self::Svg),
            _ => Err(FormatError { path: path.to_owned(), found: found.unwrap_or_default() }),
        }
    }

    /// What the names of such files end in.
    pub const fn extension(self) -> &'static str {
        match self {
            Self::Png => "png",
            Self::Svg => "svg",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_end_of_the_name_decides() {
        assert_eq!(Format::of(Path::new("a/b.PNG")), Ok(Format::Png));
        assert_eq!(Format::of(Path::new("M 31.svg")), Ok(Format::Svg));
        let told = |name: &str| Format::of(Path::new(name)).map_err(|error| error.to_string());
        assert_eq!(
            told("x.jpeg"),
            Err("x.jpeg ends in \"jpeg\"; expected a name that ends in .png or .svg".to_owned())
        );
        assert!(told("x").is_err() && told(".png").is_err());
    }
}
