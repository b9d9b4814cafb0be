//! Every package that the program is built of may be given away with it: its licence, an SPDX
//! expression (ISO/IEC 5962, annex D), is one that `.deny.toml` allows.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test fails by panicking"
)]

use std::path::Path;
use std::process::Command;

use serde_json::Value;

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR")).parent().unwrap()
}

/// The strings of the list of licences, without its comments.
fn allowed() -> Vec<String> {
    let text = std::fs::read_to_string(root().join(".deny.toml")).unwrap();
    let (_, behind) = text.split_once("\nallow = [").expect("a list of licences");
    let (list, _) = behind.split_once(']').expect("its end");
    let names: Vec<String> = list.split('"').skip(1).step_by(2).map(str::to_owned).collect();
    assert!(names.len() > 5, "{names:?}");
    names
}

/// Whether an expression of AND, OR and parentheses is met; older packages have a slash for OR.
fn is_met(expression: &str, allowed: &dyn Fn(&str) -> bool) -> bool {
    let spaced = expression.replace('(', " ( ").replace(')', " ) ").replace('/', " OR ");
    let words: Vec<&str> = spaced.split_whitespace().collect();
    let mut rest = words.as_slice();
    let met = either(&mut rest, allowed);
    assert!(rest.is_empty(), "{expression}: what is {rest:?}?");
    met
}

fn either(words: &mut &[&str], allowed: &dyn Fn(&str) -> bool) -> bool {
    let mut met = both(words, allowed);
    while let [word, rest @ ..] = *words
        && *word == "OR"
    {
        *words = rest;
        met |= both(words, allowed);
    }
    met
}

fn both(words: &mut &[&str], allowed: &dyn Fn(&str) -> bool) -> bool {
    let mut met = one(words, allowed);
    while let [word, rest @ ..] = *words
        && *word == "AND"
    {
        *words = rest;
        met &= one(words, allowed);
    }
    met
}

fn one(words: &mut &[&str], allowed: &dyn Fn(&str) -> bool) -> bool {
    match *words {
        ["(", rest @ ..] => {
            *words = rest;
            let met = either(words, allowed);
            let [")", rest @ ..] = *words else { panic!("an expression without its end") };
            *words = rest;
            met
        }
        // An exception only adds to what is allowed.
        [name, "WITH", _, rest @ ..] | [name, rest @ ..] => {
            let met = allowed(name);
            *words = rest;
            met
        }
        [] => panic!("an expression without an end"),
    }
}

#[test]
fn expressions_mean_what_they_say() {
    let is_mit = |name: &str| name == "MIT";
    for (expression, met) in [
        ("MIT", true),
        ("Apache-2.0", false),
        ("MIT OR Apache-2.0", true),
        ("Apache-2.0/MIT", true),
        ("MIT AND Apache-2.0", false),
        ("Apache-2.0 OR MIT AND Zlib", false),
        ("(Apache-2.0 OR MIT) AND MIT", true),
        ("Apache-2.0 WITH LLVM-exception OR MIT", true),
        ("Apache-2.0 WITH LLVM-exception", false),
    ] {
        assert_eq!(is_met(expression, &is_mit), met, "{expression}");
    }
}

#[test]
fn every_package_may_be_given_away() {
    let host = Command::new("rustc").arg("-vV").output().unwrap().stdout;
    let host = String::from_utf8(host).unwrap();
    let host = host.lines().find_map(|line| line.strip_prefix("host: ")).unwrap();
    // What is built on this machine is there without a network.
    let answer = Command::new(env!("CARGO"))
        .current_dir(root())
        .args(["metadata", "--offline", "--locked", "--format-version", "1"])
        .args(["--filter-platform", host])
        .output()
        .unwrap();
    assert!(answer.status.success(), "{}", String::from_utf8_lossy(&answer.stderr));
    let answer: Value = serde_json::from_slice(&answer.stdout).unwrap();
    let packages = answer["packages"].as_array().unwrap();
    assert!(packages.len() > 200, "{} packages", packages.len());
    let allowed = allowed();
    let mut wrong = Vec::new();
    for package in packages {
        let (name, licence) = (&package["name"], &package["license"]);
        let met = licence.as_str().is_some_and(|expression| {
            is_met(expression, &|name| allowed.iter().any(|allowed| allowed == name))
        });
        if !met {
            wrong.push(format!("{name}: {licence}"));
        }
        // Only the workspace itself has no source.
        let source = package["source"].as_str();
        let is_known = source.is_none_or(|source| source.ends_with("rust-lang/crates.io-index"));
        if !is_known {
            wrong.push(format!("{name}: from {source:?}"));
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}
