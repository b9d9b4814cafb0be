//! The views in the middle of the window.

pub mod frame;
pub mod year;
