//! Which kind of file a page becomes, by the end of the file's name.

use std::path::Path;

use crate::files::suffix::{SuffixError, suffix};

/// A kind of picture file.
#[derive(Clone, Copy, Debug, Default, Eq, PartialEq)]
pub enum Format {
    /// Pixels.
    #[default]
    Png,
    /// Lines and letters.
    Svg,
}

/// Ends of the names of such files.
const EXPECTED: &str = ".png or .svg";

impl Format {
    /// What the end of a file's name asks for.
    ///
    /// # Errors
    /// If that is neither of the two.
    pub fn of(path: &Path) -> Result<Self, SuffixError> {
        match suffix(path).as_str() {
            "png" => Ok(Self::Png),
            "svg" => Ok(Self::Svg),
            _ => Err(SuffixError::of(path, EXPECTED)),
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
