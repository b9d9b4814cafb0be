//! The views in the middle of the window.

pub mod choose;
pub mod demands;
pub mod frame;
pub mod year;
