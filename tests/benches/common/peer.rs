//! A general-purpose library of Python at the same job, in the same run.

#![allow(clippy::panic, reason = "a bench fails by panicking")]

use std::path::Path;
use std::process::Command;

use serde_json::Value;

/// Not where `cargo test --benches` runs everything once, without measuring.
pub(crate) fn is_measured() -> bool {
    std::env::args().any(|argument| argument == "--bench")
}

/// Runs a script of this folder and tells what it printed, or what it needs; nothing where nothing
/// is measured.
pub(crate) fn beside(script: &str, needs: &str, arguments: &[String], tell: impl FnOnce(&Value)) {
    if !is_measured() {
        return;
    }
    match answer(script, arguments) {
        Ok(peer) => tell(&peer),
        Err(reason) => println!("{script}: not run (python3 with {needs} is needed): {reason}"),
    }
}

/// A number that a peer printed.
pub(crate) fn number(peer: &Value, key: &str) -> f64 {
    peer[key].as_f64().unwrap_or_else(|| panic!("{key} is missing in {peer}"))
}

/// What a script prints, as JSON, or why it did not.
fn answer(script: &str, arguments: &[String]) -> Result<Value, String> {
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("benches").join(script);
    let output = Command::new("python3")
        .arg(script)
        .args(arguments)
        .output()
        .map_err(|error| error.to_string())?;
    if !output.status.success() {
        return Err(String::from_utf8_lossy(&output.stderr).into_owned());
    }
    serde_json::from_slice(&output.stdout).map_err(|error| error.to_string())
}
