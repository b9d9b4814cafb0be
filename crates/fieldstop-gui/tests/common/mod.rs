//! The program run whole, with no display to draw on, as a script runs it.

#![allow(dead_code, reason = "every file of tests uses some of it")]
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use serde_json::Value;

pub(crate) const EXAMPLE: &str =
    concat!(env!("CARGO_MANIFEST_DIR"), "/../../tests/kits/example-kit.ron");
pub(crate) const DEMO: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../../assets/demo-kit.ron");

/// Runs the program.
pub(crate) fn fieldstop(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_fieldstop"))
        .args(arguments)
        .env_remove("DISPLAY")
        .env_remove("WAYLAND_DISPLAY")
        .env_remove("WAYLAND_SOCKET")
        .output()
        .unwrap()
}

/// What it prints when it does its work, without a word of complaint.
pub(crate) fn answer(arguments: &[&str]) -> String {
    let output = fieldstop(arguments);
    let complaint = String::from_utf8(output.stderr).unwrap();
    assert!(output.status.success(), "{arguments:?}: {complaint}");
    assert_eq!(complaint, "", "{arguments:?}");
    String::from_utf8(output.stdout).unwrap()
}

/// The same as JSON.
pub(crate) fn json(arguments: &[&str]) -> Value {
    serde_json::from_str(&answer(arguments)).unwrap()
}

/// What it says when it refuses: nothing on the standard output, words on the standard error.
pub(crate) fn refusal(arguments: &[&str]) -> String {
    let output = fieldstop(arguments);
    assert!(!output.status.success(), "{arguments:?} succeeded");
    assert_eq!(output.stdout, b"", "{arguments:?}");
    let complaint = String::from_utf8(output.stderr).unwrap();
    assert!(!complaint.contains("panicked"), "{arguments:?}: {complaint}");
    assert!(!complaint.trim().is_empty(), "{arguments:?} failed without a word");
    complaint
}

/// A file of one test, in the build's own folder.
pub(crate) fn scratch(name: &str) -> PathBuf {
    Path::new(env!("CARGO_TARGET_TMPDIR")).join(name)
}

/// A folder of one test, there, empty.
pub(crate) fn folder(name: &str) -> PathBuf {
    let folder = scratch(name);
    let _gone = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    folder
}
