//! Hostile input for every reader, and random input for the mathematics. The README beside this says
//! how it works and how to run it for longer.

#![forbid(unsafe_code)]
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test fails by panicking"
)]

mod drive;
mod judges;
mod kits;
mod mathematics;
mod mutate;
mod random;
mod readers;
mod sound;
mod whole_kits;
