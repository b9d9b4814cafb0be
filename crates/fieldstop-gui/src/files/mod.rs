//! Kits on disk: reading them whole or not at all, and replacing them whole or not at all.

mod field_path;
mod format_probe;
pub mod kit_error;
pub mod kit_file;
mod locate;
pub mod replace_file;
mod ron_words;

pub use kit_error::KitFileError;
pub use kit_file::demo_kit;
