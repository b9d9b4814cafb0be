//! Every reader, given hostile bytes: it reads or refuses, in words.

use std::ffi::OsString;
use std::path::{Path, PathBuf};
use std::sync::LazyLock;
use std::{env, fs};

use fieldstop::sexagesimal::{dec_text, parse_dec, parse_ra, ra_text};
use fieldstop_gui::files::{kit_file, wish_csv, wish_import, wish_votable};
use fieldstop_gui::own_picture;
use fieldstop_gui::scene::picture::RowOrder;
use fieldstop_gui::sky::catalogue::Catalogue;
use fieldstop_gui::{avm, cli};

use crate::drive::{Target, drive};
use crate::mutate::mutated;

static CATALOGUE: LazyLock<Catalogue> = LazyLock::new(|| Catalogue::embedded().unwrap());

fn tests_folder() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// Sound files, and every case that once broke something.
fn corpus(name: &str, more: &[&str]) -> Vec<Vec<u8>> {
    let folder = tests_folder().join("fuzz/corpus").join(name);
    let mut files: Vec<PathBuf> = fs::read_dir(folder)
        .map_or(Vec::new(), |all| all.map(|file| file.unwrap().path()).collect());
    files.sort();
    files.extend(more.iter().map(|file| tests_folder().join(file)));
    assert!(!files.is_empty(), "no corpus for {name}");
    files.iter().map(|file| fs::read(file).unwrap()).collect()
}

fn fuzz(name: &'static str, more: &[&str], words: &[&str], short: u64, judge: fn(&[u8])) {
    let corpus = corpus(name, more);
    let mutate = |random: &mut crate::random::Random| mutated(random, &corpus, words);
    drive(&Target {
        name,
        short,
        first: &corpus,
        make: &mutate,
        judge: &|case: &Vec<u8>| judge(case),
    });
}

/// A message that a person can read.
fn is_told(error: &impl std::fmt::Display) {
    let words = error.to_string();
    assert!(!words.is_empty() && words.len() < 4000, "{} bytes of message", words.len());
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
    fuzz("kit", &["kits/example-kit.ron"], &words, 400, |bytes| {
        match kit_file::parse(bytes, "kit.ron", &|name| CATALOGUE.named(name).is_some()) {
            Ok(kit) => {
                assert!(kit.check().is_ok());
                // No number equals NaN, nor does NaN itself.
                assert!(kit == kit.clone(), "NaN passed the door");
            }
            Err(error) => is_told(&error),
        }
    });
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
    fuzz("wish_csv", &more, &words, 3000, |bytes| match wish_csv::read(bytes) {
        Ok(list) => {
            let kit = fieldstop_gui::starting_points::new_kit("Test");
            let sorted = wish_import::sort_out(&list, &kit, &CATALOGUE);
            let mut longer = kit;
            sorted.add_to(&mut longer);
            longer.check().expect("what is taken is sound");
        }
        Err(error) => is_told(&error),
    });
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
    fuzz("wish_votable", &more, &words, 1000, |bytes| match wish_votable::read(bytes) {
        Ok(list) => {
            let kit = fieldstop_gui::starting_points::new_kit("Test");
            let mut longer = kit.clone();
            wish_import::sort_out(&list, &kit, &CATALOGUE).add_to(&mut longer);
            longer.check().expect("what is taken is sound");
        }
        Err(error) => is_told(&error),
    });
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
    let folder = scratch("pictures");
    let path = folder.join("case");
    let corpus = corpus("pictures", &more);
    let make = |random: &mut crate::random::Random| mutated(random, &corpus, &words);
    let judge = |case: &Vec<u8>| {
        fs::write(&path, case).unwrap();
        match own_picture::open(&path, RowOrder::FromBottom, &mut |_| true) {
            Ok(picture) => {
                assert!(picture.map.is_sound());
                let centre = picture.map.centre().map(|centre| centre.xyz());
                assert!(centre.is_none_or(|xyz| xyz.iter().all(|part| part.is_finite())));
            }
            Err(error) => is_told(&error),
        }
    };
    drive(&Target { name: "pictures", short: 300, first: &corpus, make: &make, judge: &judge });
    fs::remove_dir_all(folder).unwrap();
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
    fuzz("xmp", &[], &words, 3000, |bytes| match avm::coordinates(bytes, (640, 480)) {
        Ok(Some(map)) => assert!(map.is_sound()),
        Ok(None) => {}
        Err(why) => is_told(&why),
    });
}

#[test]
fn coordinates() {
    let words = [
        "h", "m", "s", "°", "'", "\"", "′", "″", "d", ":", " ", "+", "-", "−", ".", ",", "60",
        "24", "90", "1e9", "NaN",
    ];
    fuzz("coordinates", &[], &words, 20_000, |bytes| {
        let text = String::from_utf8_lossy(bytes);
        match parse_ra(&text) {
            Ok(ra) => {
                assert!(ra.rad().is_finite());
                assert!(parse_ra(&ra_text(ra, 2)).is_ok(), "{} is not read back", ra_text(ra, 2));
            }
            Err(error) => is_told(&error),
        }
        match parse_dec(&text) {
            Ok(dec) => {
                assert!(dec.deg().abs() <= 90.0);
                assert!(
                    parse_dec(&dec_text(dec, 1)).is_ok(),
                    "{} is not read back",
                    dec_text(dec, 1)
                );
            }
            Err(error) => is_told(&error),
        }
    });
}

#[test]
fn search_text() {
    let words = [
        "M", "NGC", "IC", " ", "0", "31", "Sh2-", "ß", "İ", "ﬁ", "\u{301}", "nebula", "\u{0}", "🔭",
    ];
    fuzz("search", &[], &words, 1000, |bytes| {
        let text = String::from_utf8_lossy(bytes);
        assert!(CATALOGUE.search(&text, 12).len() <= 12);
        if let Some(target) = CATALOGUE.named(&text) {
            assert!(!target.name.is_empty());
        }
    });
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
    fuzz("command_line", &[], &words, 3000, |bytes| {
        // An argument a line, as the arguments of a process: any bytes but zero.
        let line = bytes
            .split(|&byte| byte == b'\n')
            .map(|word| OsString::from(String::from_utf8_lossy(word).into_owned()));
        let arguments = std::iter::once(OsString::from("fieldstop")).chain(line);
        if let Some(why) = cli::fault(arguments) {
            assert!(!why.is_empty());
        }
    });
}

/// A folder of this process, in memory where the system has such a place.
fn scratch(name: &str) -> PathBuf {
    let memory = Path::new("/dev/shm");
    let base = if memory.is_dir() { memory.to_owned() } else { env::temp_dir() };
    let folder = base.join(format!("fieldstop-fuzz-{}-{name}", std::process::id()));
    fs::create_dir_all(&folder).unwrap();
    folder
}
