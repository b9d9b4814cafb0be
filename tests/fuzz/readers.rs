//! Every reader, given hostile bytes.

use std::fs;
use std::path::{Path, PathBuf};

use crate::drive::{Target, drive};
use crate::judges;
use crate::mutate::{Corpus, mutated};

/// Sound files, and every case that once broke something.
fn corpus(name: &str, more: &[&str]) -> Vec<Vec<u8>> {
    let tests = Path::new(env!("CARGO_MANIFEST_DIR"));
    let folder = tests.join("fuzz/corpus").join(name);
    let mut files: Vec<PathBuf> = fs::read_dir(folder)
        .map_or(Vec::new(), |all| all.map(|file| file.unwrap().path()).collect());
    files.sort();
    files.extend(more.iter().map(|file| tests.join(file)));
    assert!(!files.is_empty(), "no corpus for {name}");
    files.iter().map(|file| fs::read(file).unwrap()).collect()
}

fn fuzz(name: &'static str, more: &[&str], words: &[&str], short: u64, judge: fn(&[u8])) {
    let kept = corpus(name, more);
    let corpus = Corpus::of(&kept);
    drive(&Target {
        name,
        short,
        first: &kept,
        make: &|_, random| mutated(random, &corpus, words),
        judge: &|case: &Vec<u8>| judge(case),
    });
}

#[test]
fn kit() {
    let words = [
        "(",
        ")",
        "[",
        "]",
        "Some(",
        "None",
        "Kit(",
        "otas: [",
        "rigs: [",
        "\"",
        ",",
        "//",
        "/*",
        "*/",
        "#![enable(",
        "r#\"",
        "\\u{",
        "((((((((((((((((",
        "[[[[[[[[[[[[[[[[",
        "aims: [",
        "outlines: [",
        "target: ",
        "\u{feff}",
        "corners_deg: [",
    ];
    fuzz("kit", &["kits/example-kit.ron"], &words, 400, judges::kit);
}

#[test]
fn wish_list_csv() {
    let words = [
        "name",
        "ra",
        "dec",
        ",",
        ";",
        "\t",
        "\"",
        "\n",
        "\r",
        "M 31",
        "+41 16",
        "major_arcmin",
        "=",
        "NGC",
        "°",
        "h",
    ];
    let more = [
        "reference/wish_lists/astropy_decimal_comma.csv",
        "reference/wish_lists/astropy_sexagesimal.tsv",
    ];
    fuzz("wish_csv", &more, &words, 3000, judges::wish_csv);
}

#[test]
fn wish_list_votable() {
    let words = [
        "<TABLE>",
        "</TABLE>",
        "<FIELD",
        "datatype=\"double\"",
        "arraysize=\"*\"",
        "arraysize=\"4294967295\"",
        "<STREAM",
        "<BINARY>",
        "<BINARY2>",
        "<TR>",
        "<TD>",
        "encoding=\"base64\"",
        "&#0;",
        "<!DOCTYPE",
        "<![CDATA[",
        "AAAA",
        "////",
        "=",
    ];
    let more = [
        "reference/wish_lists/astropy_binary.xml",
        "reference/wish_lists/astropy_binary2.xml",
        "reference/wish_lists/astropy_tabledata.xml",
    ];
    fuzz("wish_votable", &more, &words, 1000, judges::wish_votable);
}

#[test]
fn pictures() {
    let words = [
        "SIMPLE  =                    T",
        "BITPIX  =                  -64",
        "NAXIS1  =           4294967296",
        "END",
        "XTENSION",
        "CRVAL1  =",
        "CTYPE1  = 'RA---TAN-SIP'",
        "A_ORDER =                    9",
        "IHDR",
        "IDAT",
        "IEND",
        "\u{0}\u{0}\u{0}\u{0}",
    ];
    let more = [
        "reference/pictures/avm.jpg",
        "reference/pictures/avm.png",
        "reference/pictures/avm16.tif",
        "reference/pictures/colours32f.fits",
        "reference/pictures/extension8.fits",
        "reference/pictures/sip64f.fits",
        "reference/pictures/swapped32.fits",
        "reference/pictures/unsigned16.fits",
    ];
    fuzz("pictures", &more, &words, 300, judges::picture);
}

#[test]
fn picture_metadata() {
    let words = [
        "<rdf:Description",
        "<rdf:Seq>",
        "<rdf:li>",
        "avm:Spatial.ReferenceValue",
        "avm:Spatial.Scale",
        "TAN",
        "ICRS",
        "&amp;",
        "<!DOCTYPE a [",
        "<![CDATA[",
        "NaN",
    ];
    fuzz("xmp", &[], &words, 3000, judges::xmp);
}

#[test]
fn coordinates() {
    let words = [
        "h", "m", "s", "°", "'", "\"", "′", "″", "d", ":", " ", "+", "-", "−", ".", ",", "60",
        "24", "90", "1e9", "NaN",
    ];
    fuzz("coordinates", &[], &words, 20_000, judges::coordinates);
}

#[test]
fn search_text() {
    let words = [
        "M", "NGC", "IC", " ", "0", "31", "Sh2-", "ß", "İ", "ﬁ", "\u{301}", "nebula", "\u{0}", "🔭",
    ];
    fuzz("search", &[], &words, 1000, judges::search);
}

#[test]
fn command_line() {
    let words = [
        "--",
        "-",
        "=",
        "--target",
        "--out",
        "sketch",
        "season",
        "night",
        "--help",
        "--json",
        "\n",
        "12",
        "NaN",
        "2026-02-30",
        "x",
    ];
    fuzz("command_line", &[], &words, 3000, judges::command_line);
}
