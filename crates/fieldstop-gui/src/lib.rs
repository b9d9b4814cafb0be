//! The Fieldstop window, and the same work from the command line.

#![forbid(unsafe_code)]

pub mod cli;
pub mod files;
pub mod font;
pub mod paint;
pub mod scene;
pub mod sketch;
pub mod sky;
pub mod starting_points;
pub mod words;
