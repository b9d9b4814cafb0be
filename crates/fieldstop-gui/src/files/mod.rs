//! Kits on disk: reading them whole or not at all, and replacing them whole or not at all.

pub mod kit_file;
mod locate;
pub mod replace_file;

pub use kit_file::{KitFileError, demo_kit};
