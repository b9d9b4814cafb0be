//! The Fieldstop window, and the same work from the command line.

#![forbid(unsafe_code)]

pub mod action;
pub mod app;
pub mod avm;
pub mod cli;
pub mod clipboard;
pub mod demand_words;
pub mod files;
pub mod font;
pub mod framing;
pub mod glossary;
pub mod nights;
pub mod notices;
pub mod one_camera;
pub mod own_picture;
pub mod page_order;
pub mod paint;
pub mod panel;
pub mod panel_count;
pub mod scene;
pub mod sheet;
pub mod sketch;
pub mod sky;
pub mod sources;
pub mod starting_points;
pub mod state;
pub mod strip;
pub mod tables;
pub mod theme;
pub mod view;
pub mod widget;
pub mod words;
pub mod worker;
