//! The painters: one scene in, marks out. They decide nothing.

mod dash;
pub mod pdf;
pub mod picture;
pub mod png;
pub mod screen;
pub mod svg;
