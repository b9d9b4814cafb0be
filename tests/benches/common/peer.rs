//! A general-purpose library of Python at the same job, in the same run.

use std::path::Path;
use std::process::Command;

use serde_json::Value;

/// What a script of this folder prints, as JSON, or why it did not.
pub(crate) fn answer(script: &str, arguments: &[String]) -> Result<Value, String> {
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
