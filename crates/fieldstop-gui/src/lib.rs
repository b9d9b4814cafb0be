//! The Fieldstop program: the window, and the same work from the command line.

#![forbid(unsafe_code)]

pub mod sky;
