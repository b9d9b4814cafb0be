//! The judges of `tests/fuzz`, for targets that are led by what their cases reach.

#![forbid(unsafe_code)]

#[path = "../../fuzz/judges.rs"]
mod judges;

macro_rules! judges {
    ($($name:ident)*) => {$(
        /// Panics if the reader of that name neither reads nor refuses in words.
        pub fn $name(bytes: &[u8]) {
            judges::$name(bytes);
        }
    )*};
}

judges! { command_line coordinates kit picture search wish_csv wish_votable xmp }
