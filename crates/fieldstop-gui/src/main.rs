//! Starts the program: the window, or the work that the command line asks for.

#![forbid(unsafe_code)]

use std::process::ExitCode;

fn main() -> ExitCode {
    fieldstop_gui::cli::run(|kit| Ok(fieldstop_gui::app::run(kit)?))
}
