//! Every file that the command line writes: on a full disk, where no file can be, under odd names. What
//! was there stays whole, nothing half written is left, and the message says what and why.

#![cfg(target_os = "linux")]
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod common;

use std::ffi::{OsStr, OsString};
use std::fs;
use std::os::unix::ffi::OsStrExt as _;
use std::path::Path;
use std::process::{Command, Output};

use common::{DEMO, folder};

const OLD: &str = "what was there";

/// A file of each kind: its ending, and how it is asked for; `--out` and the path follow.
const KINDS: [(&str, &[&str]); 7] = [
    ("png", &["sketch", DEMO, "--target", "M 31", "--width", "400", "--height", "300"]),
    ("svg", &["sketch", DEMO, "--target", "M 31"]),
    ("strip.svg", &["strip", DEMO, "--target", "M 31"]),
    ("pdf", &["sheet", DEMO]),
    ("html", &["sheet", DEMO]),
    ("csv", &["export", DEMO, "--table", "fits"]),
    ("hdr", &["header", DEMO, "--rig", "Compound", "--target", "M 31"]),
];

/// Runs the program with files limited to so many blocks of 512 bytes, as a full disk limits them.
fn run(blocks: Option<u32>, arguments: &[&str], out: &OsStr) -> Output {
    let limit =
        blocks.map_or(String::new(), |blocks| format!("trap '' XFSZ; ulimit -f {blocks}; "));
    Command::new("sh")
        .arg("-c")
        .arg(format!("{limit}exec \"$0\" \"$@\""))
        .arg(env!("CARGO_BIN_EXE_fieldstop"))
        .args(arguments)
        .arg("--out")
        .arg(out)
        .env_remove("DISPLAY")
        .env_remove("WAYLAND_DISPLAY")
        .output()
        .unwrap()
}

fn refusal(blocks: Option<u32>, arguments: &[&str], out: &Path) -> String {
    let output = run(blocks, arguments, out.as_os_str());
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(!output.status.success() && output.stdout.is_empty(), "{arguments:?}: {said}");
    assert!(!said.contains("panicked"), "{said}");
    said
}

fn names(folder: &Path) -> Vec<OsString> {
    let mut names: Vec<_> =
        fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().file_name()).collect();
    names.sort();
    names
}

#[test]
fn a_full_disk_is_told_and_the_old_file_stays_whole() {
    let folder = folder("full disk");
    for (ending, arguments) in KINDS {
        let path = folder.join(format!("old.{ending}"));
        fs::write(&path, OLD).unwrap();
        let before = names(&folder);
        for blocks in [0, 2] {
            let said = refusal(Some(blocks), arguments, &path);
            let what = format!("{} could not be written: ", path.display());
            assert!(said.contains(&what), "{ending}, {blocks} blocks: {said}");
        }
        assert_eq!(fs::read_to_string(&path).unwrap(), OLD, "{ending}");
        // A new one is not begun either.
        refusal(Some(2), arguments, &folder.join(format!("new.{ending}")));
        assert_eq!(names(&folder), before, "{ending}");
    }
}

#[test]
fn what_is_no_file_is_told_and_nothing_is_left() {
    let folder = folder("no file");
    fs::write(folder.join("file"), OLD).unwrap();
    for (ending, arguments) in KINDS {
        let inside = folder.join(format!("folder.{ending}"));
        fs::create_dir(&inside).unwrap();
        let before = names(&folder);
        for (path, words) in [
            (inside.clone(), "is a folder; expected the name of an ordinary file"),
            (folder.join("nowhere").join(format!("a.{ending}")), "expected a folder that exists"),
            (folder.join("file").join(format!("a.{ending}")), "could not be written"),
            (folder.join(format!("{}.{ending}", "n".repeat(300))), "could not be written"),
            (Path::new("/proc").join(format!("a.{ending}")), "could not be written"),
        ] {
            let said = refusal(None, arguments, &path);
            assert!(said.contains(words), "{}: {said}", path.display());
            assert!(said.contains(&path.display().to_string()), "{said}");
        }
        assert_eq!(names(&folder), before, "{ending}");
        fs::remove_dir(&inside).unwrap();
    }
    assert_eq!(fs::read_to_string(folder.join("file")).unwrap(), OLD);
}

#[test]
fn a_file_under_any_name_is_written() {
    let folder = folder("odd names");
    for (ending, arguments) in KINDS {
        for odd in [
            "a b & <c> 'd' \"e\" %20 #1; $(f)".as_bytes(),
            "星雲 ümlaut\nline".as_bytes(),
            b".hidden..dots",
            b"no text \xff\xfe",
        ] {
            let mut name = OsStr::from_bytes(odd).to_owned();
            name.push(format!(".{ending}"));
            let path = folder.join(&name);
            let output = run(None, arguments, path.as_os_str());
            let said = String::from_utf8_lossy(&output.stderr);
            assert!(output.status.success() && said.is_empty(), "{name:?}: {said}");
            assert_eq!(names(&folder), [name.clone()]);
            assert!(fs::metadata(&path).unwrap().len() > 100, "{name:?}");
            fs::remove_file(&path).unwrap();
        }
    }
}
