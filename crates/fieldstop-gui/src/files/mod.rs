//! Kits on disk: reading them whole or not at all, and replacing them whole or not at all. And lists
//! of targets for the wish list, read and written as CSV and as VOTables.

mod field_path;
pub mod fingerprint;
mod format_probe;
pub mod kit_error;
pub mod kit_file;
mod locate;
pub mod recovery;
pub mod replace_file;
mod ron_words;
pub mod suffix;
mod wish_cells;
pub mod wish_csv;
pub mod wish_export;
mod wish_heading;
pub mod wish_import;
pub mod wish_row;
pub mod wish_votable;

pub use kit_error::KitFileError;
pub use kit_file::demo_kit;
