//! Starts the program: the window, or the work that the command line asks for.

#![forbid(unsafe_code)]

use std::process::ExitCode;

fn main() -> ExitCode {
    fieldstop_gui::cli::run(|_kit| {
        Err("this build has no window; `fieldstop --help` lists what it can do without one".into())
    })
}
