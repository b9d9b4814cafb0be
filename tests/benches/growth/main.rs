//! How the time grows with what there is more of, and how near it comes to what the machine can do.
//!
//! ```text
//! cargo bench -p fieldstop-tests --bench growth [-- PART-OF-A-NAME]
//! ```
//! prints a Markdown table: for each thing that grows, the median time at the fewest and at the
//! most, and the exponent that least squares give to n on logarithms of both, over the whole range
//! and over its last tenfold. At least five runs a size, each as many times the job as take 0.1 ms,
//! after one that does not count; what a size needs is made before. Then the copy bandwidth of this machine's
//! memory in the same run, with the share of it that the projection reaches, and the time of
//! a frame beside a display of 144 Hz. It fails if anything grows faster than expected by more than
//! 0.2 of the exponent.
//!
//! `cargo test -p fieldstop-tests --bench growth` times nothing: it does each job once at its least
//! size, looks whether the answers are right and whether the fit finds exponents that are known.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a bench fails by panicking"
)]

mod choosing;
mod law;
mod machine;
mod nights;
mod reading;
mod sky;
mod window;

#[path = "../common/drawn_stars.rs"]
mod drawn_stars;
#[path = "../common/photograph.rs"]
mod photograph;
#[path = "../common/star_field.rs"]
mod star_field;
#[path = "../common/tangent_field.rs"]
mod tangent_field;
#[path = "../common/wanted.rs"]
mod wanted;
#[path = "../common/year.rs"]
mod year;

use std::process::ExitCode;
use std::rc::Rc;

use fieldstop_gui::sky::Sky;

use law::{Law, Measured};

fn laws() -> Vec<Law> {
    let sky = Rc::new(Sky::embedded().unwrap());
    let mut laws = sky::laws(&sky);
    laws.extend(nights::laws());
    laws.extend(choosing::laws(&sky));
    laws.extend(reading::laws(&sky));
    laws.extend(window::laws());
    laws
}

fn main() -> ExitCode {
    law::assert_the_fit();
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let part = arguments.iter().find(|argument| !argument.starts_with('-')).cloned();
    let part = part.unwrap_or_default();
    let laws = laws().into_iter().filter(|law| law.what.contains(&part));
    // `cargo test --benches` runs everything once, without measuring.
    if !arguments.iter().any(|argument| argument == "--bench") {
        let done = laws.map(|law| (law.prepare)(law.sizes[0])()).count();
        println!("{done} answers are right at their least sizes; nothing was timed");
        return ExitCode::SUCCESS;
    }
    println!(
        "| n of what | n from, to | time at the fewest | at the most | exponent | of the last tenfold | expected |"
    );
    println!("| --- | --- | --- | --- | --- | --- | --- |");
    let measured: Vec<Measured> = laws
        .map(|law| {
            let measured = law.measured();
            println!("{}", measured.row());
            measured
        })
        .collect();
    machine::report(&measured);
    let faster: Vec<_> = measured.iter().filter(|law| !law.grows_as_expected()).collect();
    for law in &faster {
        eprintln!("grows faster than expected: {} {:?}", law.row(), law.points);
    }
    if faster.is_empty() { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}
