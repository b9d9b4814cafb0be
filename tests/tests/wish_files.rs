//! Lists of targets read and written: what astropy wrote, what spreadsheets write, round trips, and
//! files made to do harm.
//!
//! The files of `reference/wish_lists/` were written by astropy (version in `VERSIONS.txt`) with the
//! script beside them, which also has the numbers that are checked here.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test fails by panicking")]

use std::path::Path;
use std::sync::LazyLock;

use fieldstop::kit::{DrawnOutline, Kit, Wish};
use fieldstop_gui::files::wish_import::{self, MOST_WISHES, Sorted, parse, sort_out};
use fieldstop_gui::files::wish_row::{At, MOST_ROWS, ReadRow, WishFileError};
use fieldstop_gui::files::{demo_kit, wish_csv, wish_votable};
use fieldstop_gui::sky::Catalogue;
use proptest::prelude::*;

static CATALOGUE: LazyLock<Catalogue> = LazyLock::new(|| Catalogue::embedded().unwrap());

fn empty_kit() -> Kit {
    let mut kit = demo_kit(&|name| CATALOGUE.named(name).is_some()).unwrap();
    kit.wish_list.clear();
    kit.aims.clear();
    kit
}

fn fixture(name: &str) -> Vec<u8> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("reference/wish_lists");
    std::fs::read(folder.join(name)).unwrap()
}

fn rows(text: impl AsRef<[u8]>) -> Vec<ReadRow> {
    parse(text.as_ref()).unwrap_or_else(|error| panic!("{error}")).rows
}

fn sorted(text: impl AsRef<[u8]>, kit: &Kit) -> Sorted {
    sort_out(&parse(text.as_ref()).unwrap_or_else(|error| panic!("{error}")), kit, &CATALOGUE)
}

fn close(found: Option<f64>, wanted: Option<f64>) -> bool {
    match (found, wanted) {
        (Some(found), Some(wanted)) => (found - wanted).abs() < 1e-9,
        (found, wanted) => found == wanted,
    }
}

/// Name, place, axes and position angle, as the script has them.
type Known = (&'static str, Option<(f64, f64)>, Option<f64>, Option<f64>, Option<f64>);
const KNOWN: [Known; 6] = [
    ("M 31", Some((10.684792, 41.269056)), Some(190.0), Some(62.0), Some(35.0)),
    ("NGC 7000", Some((314.82125, 44.5289)), Some(120.0), Some(30.0), None),
    ("Rim patch", Some((83.822083, -5.391111)), Some(65.5), Some(60.0), Some(120.0)),
    ("Дымка", Some((201.365063, -43.019113)), Some(25.7), None, None),
    ("M 57", Some((283.396250, 33.029167)), Some(1.4), Some(1.0), None),
    ("No Such Thing", None, None, None, None),
];

#[test]
fn votables_of_astropy_are_read_in_all_three_forms() {
    for (file, first) in [
        ("astropy_tabledata.xml", At::Line(17)),
        ("astropy_binary.xml", At::Row(1)),
        ("astropy_binary2.xml", At::Row(1)),
    ] {
        let found = rows(fixture(file));
        assert_eq!(found.len(), KNOWN.len(), "{file}");
        assert_eq!(found[0].at, first, "{file}");
        for (row, (name, place, major, minor, pa)) in found.iter().zip(KNOWN) {
            assert_eq!(row.name, name, "{file}");
            assert_eq!(row.fault, None, "{file}");
            assert!(close(row.place_deg.map(|p| p.0), place.map(|p| p.0)), "{file} {row:?}");
            assert!(close(row.place_deg.map(|p| p.1), place.map(|p| p.1)), "{file} {row:?}");
            assert!(close(row.major_arcmin, major), "{file} {row:?}");
            assert!(close(row.minor_arcmin, minor), "{file} {row:?}");
            assert!(close(row.pa_deg, pa), "{file} {row:?}");
        }
        let kit = empty_kit();
        let sorted = sorted(fixture(file), &kit);
        let wishes: Vec<(bool, &str)> = sorted
            .taken
            .iter()
            .map(|taken| (matches!(taken.wish, Wish::Named(_)), taken.wish.name()))
            .collect();
        let own = [(false, "Rim patch"), (false, "Дымка")];
        assert_eq!(
            wishes,
            [&[(true, "M 31"), (true, "NGC 7000")], &own[..], &[(true, "M 57")]].concat()
        );
        assert_eq!(sorted.unresolved.len(), 1);
        assert_eq!(sorted.unresolved[0].name, "No Such Thing");
    }
}

#[test]
fn decimal_commas_and_sexagesimal_text_of_astropy_are_read() {
    for (row, (name, place, major, ..)) in
        rows(fixture("astropy_decimal_comma.csv")).iter().zip(KNOWN)
    {
        // Bit by bit: a number in degrees is not turned over.
        assert_eq!((row.name.as_str(), row.place_deg, row.major_arcmin), (name, place, major));
    }
    let known = KNOWN.iter().filter(|known| known.1.is_some());
    let found = rows(fixture("astropy_sexagesimal.tsv"));
    assert_eq!(found.len(), 5);
    for (row, (name, place, ..)) in found.iter().zip(known) {
        let ((ra, dec), (ra_known, dec_known)) = (row.place_deg.unwrap(), place.unwrap());
        assert_eq!(row.name, *name);
        // The text has a ten-thousandth of a second of time, 15 such of arc; a thousandth of arc.
        assert!((ra - ra_known).abs() < 0.00005 * 15.0 / 3600.0 + 1e-12, "{name}");
        assert!((dec - dec_known).abs() < 0.0005 / 3600.0 + 1e-12, "{name}");
    }
}

#[test]
fn headings_delimiters_and_line_ends_of_every_sort_are_taken() {
    // 5h 35m 17.3s is 83.8220833 degrees.
    for text in [
        "name,ra,dec\nA,83.82208333333333,-5.5\n",
        "\u{feff}Target;RA (deg);Dec (deg)\r\nA;83,82208333333333;-5,5\r\n",
        "OBJECT\tRight Ascension\tDeclination\rA\t05 35 17.3\t−05 30 00\r",
        "\n\n\"Designation\",\"RA (J2000)\",\"DE (J2000)\"\n\"A\",\"5h35m17,3s\",\"-5°30′00″\"",
        "ra_hours;dec;id\n5.588138888888889;-5:30;A",
        "notes,Dec_deg,ra_h,Name\n\"a, \"\"b\"\"\",-5.5,5.588138888888889,A\n",
    ] {
        let rows = rows(text);
        let (ra, dec) = rows[0].place_deg.unwrap_or_else(|| panic!("{text}: {rows:?}"));
        assert_eq!((rows.len(), rows[0].name.as_str()), (1, "A"), "{text}");
        assert!(
            (ra - 83.822_083_333).abs() < 1e-7 && (dec + 5.5).abs() < 1e-9,
            "{text}: {ra} {dec}"
        );
    }
}

#[test]
fn latin_1_is_read_with_a_remark_and_other_bytes_are_refused() {
    let list = parse(b"name;ra;dec\nGr\xfcner Nebel;10\xb0;20\xb0\n").unwrap();
    assert_eq!(list.rows[0].name, "Grüner Nebel");
    assert_eq!(list.rows[0].place_deg, Some((10.0, 20.0)));
    assert!(list.remarks[0].contains("Line 2 is not UTF-8"), "{:?}", list.remarks);

    for (bytes, words) in [
        (&b"\xff\xfen\0a\0m\0e\0"[..], "UTF-16"),
        (b"name\nA\n\x00B\n", "line 3"),
        (b"name\n\x93A\x94\n", "line 2"),
        (b"", "empty"),
        (b" \n\t\n", "empty"),
        (b"one,two,three\nA,1,2\n", "\u{201c}one\u{201d}"),
        (b"<html><body/></html>", "VOTABLE"),
        (b"<VOTABLE><RESOURCE><TABLE></TABLE></RESOURCE></VOTABLE>", "no heading"),
        (b"<VOTABLE", "cannot be read as a VOTable"),
        (b"<!DOCTYPE x [<!ENTITY a \"b\">]><VOTABLE>&a;</VOTABLE>", "DTD"),
    ] {
        let said = parse(bytes).unwrap_err().to_string();
        assert!(said.contains(words), "{said}");
    }
}

#[test]
fn rows_that_make_no_sense_are_listed_and_the_rest_is_kept() {
    let text = "name,ra,dec,size,pa\n\
        M31,,,,\n\
        Veil Nebula,400,,,\n\
        Own,10,20,5 x 9,\n\
        Own two,10,,,\n\
        ,10,20,,\n\
        Own three,10,95,,\n\
        Own four,10,20,12,400\n\
        Own five,\"1,234.5\",20,,\n\
        Own six,10,20,0,\n\
        andromeda galaxy,,,,\n\
        Own six,11,21,,\n";
    let sorted = sorted(text, &empty_kit());
    let taken: Vec<&str> = sorted.taken.iter().map(|taken| taken.wish.name()).collect();
    assert_eq!(taken[0], "M 31");
    assert!(matches!(&sorted.taken[1].wish, Wish::Named(name) if CATALOGUE.named(name).is_some()));
    assert_eq!(taken[2..], ["Own six"], "a name that the catalogue knows is enough");
    let left: Vec<(At, &str)> = sorted.unresolved.iter().map(|l| (l.at, l.why.as_str())).collect();
    for (at, words) in [
        (4, "minor axis"),
        (5, "no declination"),
        (6, "no name"),
        (7, "declination"),
        (8, "position angle"),
        (9, "right ascension"),
    ] {
        assert!(
            left.iter().any(|(line, why)| *line == At::Line(at) && why.contains(words)),
            "line {at}: {left:?}"
        );
    }
    let twice: Vec<At> = sorted.present.iter().map(|left| left.at).collect();
    assert_eq!((left.len(), twice), (6, vec![At::Line(11), At::Line(12)]));
}

#[test]
fn what_is_doubtful_is_said() {
    let remarks = |text: &str| parse(text.as_bytes()).unwrap().remarks.join(" ");
    assert!(remarks("name,ra,dec\nA,1,2\nB,12,3\nC,23.5,4\n").contains("ra_hours"));
    assert_eq!(remarks("name,ra,dec\nA,1,2\nB,12,3\nC,300,4\n"), "");
    assert!(remarks("name,RA (B1950),Dec (B1950)\nA,1,2\n").contains("J2000"));
    assert!(remarks("name,RAh,RAm,RAs\nA,1,2,3\n").contains("several columns"));
    let sorted = sorted("name,ra,dec\nM 31,83,-5\n", &empty_kit());
    assert!(sorted.taken[0].remark.as_ref().unwrap().contains("M 31"));
}

#[test]
fn a_list_is_read_up_to_its_limits() {
    let many: String =
        (0..MOST_ROWS + 5).map(|n| format!("T{n},{},0\n", n as f64 / 100.0)).collect();
    let list = parse(format!("name,ra,dec\n{many}").as_bytes()).unwrap();
    assert_eq!(list.rows.len(), MOST_ROWS);
    assert!(list.remarks[0].contains("first 20000 rows"));
    let sorted = sort_out(&list, &empty_kit(), &CATALOGUE);
    assert_eq!(sorted.taken.len(), MOST_WISHES);
    assert_eq!(sorted.unresolved.len(), MOST_ROWS - MOST_WISHES);

    let large = vec![b'a'; 16_000_001];
    assert!(matches!(parse(&large), Err(WishFileError::TooLarge)));
    let wide = format!("name{}\n", ",x".repeat(600));
    assert!(matches!(parse(wide.as_bytes()), Err(WishFileError::TooWide { line: 1 })));
    let commas = format!("name,ra\nA,{}\n", ",".repeat(1_000_000));
    assert!(matches!(parse(commas.as_bytes()), Err(WishFileError::TooWide { line: 2 })));
    let deep = "<VOTABLE>".to_owned() + &"<RESOURCE>".repeat(100_000);
    assert!(parse(deep.as_bytes()).unwrap_err().to_string().contains("deep"));
    let long = sorted_names(&format!("name,ra,dec\n{},1,2\n", "x".repeat(300)));
    assert!(long.unresolved[0].why.contains("200 characters"));
}

fn sorted_names(text: &str) -> Sorted {
    sorted(text, &empty_kit())
}

/// A VOTable whose packed data are these bytes in base64, with a column of names of that size.
fn packed(kind: &str, array_size: &str, base64: &str) -> String {
    format!(
        "<VOTABLE version=\"1.4\"><RESOURCE><TABLE><FIELD name=\"name\" datatype=\"char\" \
         arraysize=\"{array_size}\"/><DATA><{kind}><STREAM encoding=\"base64\">{base64}</STREAM>\
         </{kind}></DATA></TABLE></RESOURCE></VOTABLE>"
    )
}

/// The library panics on some of these, and takes all memory for others; each is stopped before.
#[test]
fn packed_tables_made_to_do_harm_are_refused() {
    let one = "AAAAAU0="; // A length of 1, then M.
    assert_eq!(rows(packed("BINARY", "*", one))[0].name, "M");
    for (size, base64, words) in [
        ("4000000000", one, "arraysize"),
        ("65536x65536", one, "arraysize"),
        ("0", one, "arraysize"),
        ("5000", one, "arraysize"),
        ("0*", one, "arraysize"),
        ("-1", one, "arraysize"),
        ("x", one, "arraysize"),
        ("2x*", one, "arraysize"),
        ("*", "AAAA?U0=", "base64"),
        ("*", "AAAAAU0", "base64"),
        ("*", "AA=AAU0=", "base64"),
    ] {
        let said = parse(packed("BINARY", size, base64).as_bytes()).unwrap_err().to_string();
        assert!(said.contains(words), "{size} {base64}: {said}");
    }
    // Lengths that the data do not have: 2^31 - 1, and -1.
    for base64 in ["f////00=", "/////00="] {
        let said = parse(packed("BINARY", "*", base64).as_bytes()).unwrap_err().to_string();
        assert!(said.contains("row 1 of its packed data"), "{base64}: {said}");
    }
    let elsewhere = packed("BINARY", "*", one).replace("encoding=", "href=\"file:///x\" encoding=");
    assert!(parse(elsewhere.as_bytes()).unwrap_err().to_string().contains("another file"));
    let prefixed = packed("BINARY2", "*", "AAAAAAFN")
        .replace('<', "<v:")
        .replace("<v:/", "</v:")
        .replacen("VOTABLE ", "VOTABLE xmlns:v=\"http://www.ivoa.net/xml/VOTable/v1.3\" ", 1);
    assert_eq!(rows(prefixed)[0].name, "M");
}

#[test]
fn votable_columns_are_found_by_ucd_name_and_unit() {
    let table = |fields: &str, cells: &[&str]| {
        let cells: String = cells.iter().map(|cell| format!("<TD>{cell}</TD>")).collect();
        format!(
            "<?xml version='1.0'?><VOTABLE><RESOURCE><COOSYS ID='old' system='eq_FK4'/><TABLE>{fields}\
             <DATA><TABLEDATA><TR>{cells}</TR></TABLEDATA></DATA></TABLE></RESOURCE></VOTABLE>"
        )
    };
    let name = "<FIELD name='n' ucd='meta.id;meta.main' datatype='char' arraysize='*'/>";
    let place = "<FIELD name='x' ucd='pos.eq.ra' unit='&quot;h:m:s&quot;' datatype='char' arraysize='*'/>\
                 <FIELD name='y' ucd='pos.eq.dec' unit='&quot;d:m:s&quot;' datatype='char' arraysize='*'/>";
    let text = table(
        &format!("{name}{place}"),
        &["A &lt;b&gt; <![CDATA[& c]]>", "05 35 17.3", "-05 30 00"],
    );
    let row = &rows(text)[0];
    assert_eq!(row.name, "A <b> & c");
    assert!((row.place_deg.unwrap().0 - 83.822_083_333).abs() < 1e-7);

    // UCD1+ list 1.5: phys.angSize.smajAxis is a semi-major axis; a name that says otherwise wins.
    let semi = "<FIELD name='a' ucd='phys.angSize.smajAxis' unit='arcsec' datatype='double'/>";
    let list = parse(table(&format!("{name}{semi}"), &["A", "30"]).as_bytes()).unwrap();
    assert_eq!(list.rows[0].major_arcmin, Some(1.0));
    assert!(list.remarks[0].contains("doubled"));
    let full = semi.replace("'a'", "'galdim_majaxis'");
    assert_eq!(rows(table(&format!("{name}{full}"), &["A", "30"]))[0].major_arcmin, Some(0.5));

    let old = "<FIELD name='RA' ref='old' datatype='double'/><FIELD name='Dec' datatype='double'/>";
    let list = parse(table(&format!("{name}{old}"), &["A", "1", "2"]).as_bytes()).unwrap();
    assert!(list.rows[0].place_deg.is_none() && list.remarks.join(" ").contains("J2000"));
    let odd = "<FIELD name='size' unit='pc' datatype='double'/>";
    let list = parse(table(&format!("{name}{odd}"), &["A", "1"]).as_bytes()).unwrap();
    assert!(list.rows[0].major_arcmin.is_none() && list.remarks[0].contains("pc"));
    let null = "<FIELD name='size' datatype='int'><VALUES null='-99'/></FIELD>";
    let row = &rows(table(&format!("{name}{null}"), &["A", "-99"]))[0];
    assert_eq!((row.major_arcmin, row.fault.as_deref()), (None, None));
}

/// A shape that was drawn cannot stand in the file, and the axes beside it are not those of it.
#[test]
fn a_drawn_outline_is_told_and_the_list_still_reads_back_the_same() {
    let mut kit = empty_kit();
    let own = |name: &str, major_arcmin| Wish::Custom {
        name: name.to_owned(),
        ra_deg: 10.0,
        dec_deg: 40.0,
        major_arcmin,
        minor_arcmin: None,
        pa_deg: None,
        surface_brightness_mag_arcsec2: None,
    };
    let named = ["M 31", "IC 1805"].map(|name| Wish::Named(name.to_owned()));
    kit.wish_list = named.into_iter().chain([own("Wisp", Some(30.0)), own("Haze", None)]).collect();
    for target in ["M 31", "Wisp"] {
        let corners_deg = vec![(9.0, 40.0), (11.0, 40.0), (10.0, 42.0)];
        kit.set_outline(DrawnOutline { target: target.to_owned(), corners_deg });
    }
    let csv = wish_csv::write(&kit, &CATALOGUE).unwrap();
    let ends: Vec<&str> = csv.lines().map(|line| line.rsplit(',').next().unwrap()).collect();
    assert_eq!(ends, ["outline", "drawn", "catalogue", "drawn", ""]);
    let before = wish_csv::write(&Kit { outlines: Vec::new(), ..kit.clone() }, &CATALOGUE).unwrap();
    let sizes = |text: &str| -> Vec<String> {
        text.lines().map(|line| line.rsplit_once(',').unwrap().0.to_owned()).collect()
    };
    assert_eq!(sizes(&csv), sizes(&before), "the axes stay those of the ellipse");
    let votable = wish_votable::write(&kit, &CATALOGUE).unwrap();
    assert!(votable.contains("name=\"outline\"") && votable.matches(">drawn<").count() == 2);
    for text in [csv, votable] {
        let sorted = sorted(&text, &empty_kit());
        assert!(sorted.unresolved.is_empty() && sorted.remarks.is_empty(), "{:?}", sorted.remarks);
        let mut again = empty_kit();
        sorted.add_to(&mut again);
        assert_eq!(again.wish_list, kit.wish_list);
    }
}

/// A designation stays the one that was used, in the catalogue's spelling; IC 1805 is Sh2-190.
#[test]
fn a_designation_read_from_a_file_keeps_leading() {
    let sorted = sorted("name\nic1805\nM31\nandromeda galaxy\nNGC 6888\n", &empty_kit());
    let names: Vec<&str> = sorted.taken.iter().map(|taken| taken.wish.name()).collect();
    assert_eq!(names, ["IC 1805", "M 31", "NGC 6888"]);
}

fn wish() -> impl Strategy<Value = Wish> {
    let name = "[^\\pC\\s'=+@-][^\\pC\n\r]{0,30}[^\\pC\\s]|=[A-Z]{1,5}\\(|'=x|-5 lens";
    let size = proptest::option::of(1e-3..5_000.0_f64);
    (
        name,
        0.0..=360.0_f64,
        -90.0..=90.0_f64,
        size,
        proptest::option::of(0.0..=1.0_f64),
        proptest::option::of(-360.0..=360.0_f64),
        proptest::option::of(0.0..35.0_f64),
    )
        .prop_map(|(name, ra_deg, dec_deg, major, ratio, pa_deg, brightness)| Wish::Custom {
            name: name.trim().to_owned(),
            ra_deg,
            dec_deg,
            major_arcmin: major,
            minor_arcmin: major.zip(ratio).map(|(major, ratio)| major * ratio.max(1e-3)),
            pa_deg,
            surface_brightness_mag_arcsec2: brightness,
        })
}

fn wishes() -> impl Strategy<Value = Vec<Wish>> {
    let named =
        proptest::sample::subsequence(vec!["M 31", "IC 1805", "NGC 7000", "Sh2-101"], 0..=4);
    (named, proptest::collection::vec(wish(), 0..8)).prop_map(|(named, own)| {
        let mut seen = std::collections::HashSet::new();
        let named = named.into_iter().map(|name| Wish::Named(name.to_owned()));
        named.chain(own).filter(|wish| seen.insert(wish.name().to_owned())).collect()
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(192))]

    #[test]
    fn what_was_written_reads_back_to_the_last_bit(list in wishes()) {
        let kit = Kit { wish_list: list, ..empty_kit() };
        let csv = wish_csv::write(&kit, &CATALOGUE).unwrap();
        let votable = wish_votable::write(&kit, &CATALOGUE).unwrap();
        for text in [csv, votable] {
            let sorted = sorted(&text, &empty_kit());
            prop_assert!(sorted.unresolved.is_empty(), "{:?}", sorted.unresolved);
            prop_assert!(sorted.remarks.is_empty(), "{:?}", sorted.remarks);
            let mut again = empty_kit();
            sorted.add_to(&mut again);
            prop_assert_eq!(&again.wish_list, &kit.wish_list, "{}", text);
            prop_assert!(again.check().is_ok());
        }
    }

    #[test]
    fn no_bytes_do_harm(bytes in proptest::collection::vec(any::<u8>(), 0..400)) {
        harmless(&bytes);
        harmless(&[b"name,ra,dec\n", bytes.as_slice()].concat());
        harmless(&[b"<VOTABLE>", bytes.as_slice()].concat());
    }

    #[test]
    fn no_rows_of_odd_text_do_harm(text in "[-+0-9.,;:'\"°′″hmsdxeE \t\nNaif×−]{0,200}") {
        harmless(format!("name,ra,dec,size,pa\n{text}").as_bytes());
        harmless(format!("name;ra_h;dec;size (deg);pa\n{text}").as_bytes());
    }

    #[test]
    fn files_with_pieces_changed_do_no_harm(
        file in 0..5_usize,
        changes in proptest::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 1..6),
        cut in proptest::option::of(any::<prop::sample::Index>()),
    ) {
        let mut bytes = fixture([
            "astropy_tabledata.xml",
            "astropy_binary.xml",
            "astropy_binary2.xml",
            "astropy_decimal_comma.csv",
            "astropy_sexagesimal.tsv",
        ][file]);
        for (at, byte) in changes {
            let at = at.index(bytes.len());
            bytes[at] = byte;
        }
        if let Some(cut) = cut {
            bytes.truncate(cut.index(bytes.len()));
        }
        harmless(&bytes);
    }

    /// Packed data of any bytes under fields of any kind, which only the library looks into.
    #[test]
    fn packed_bytes_of_any_sort_do_no_harm(
        kinds in proptest::collection::vec((0..12_usize, 0..6_usize), 1..5),
        packed in proptest::collection::vec(any::<u8>(), 0..120),
        binary2 in any::<bool>(),
    ) {
        const TYPES: [&str; 12] = [
            "boolean", "bit", "unsignedByte", "short", "int", "long", "char", "unicodeChar",
            "float", "double", "floatComplex", "doubleComplex",
        ];
        const SIZES: [&str; 6] = ["", " arraysize=\"1\"", " arraysize=\"3\"", " arraysize=\"*\"", " arraysize=\"7*\"", " arraysize=\"2x3*\""];
        let fields: String = kinds.iter().enumerate().map(|(index, &(kind, size))| {
            let name = ["name", "ra", "dec", "size"][index.min(3)];
            format!("<FIELD name=\"{name}\" datatype=\"{}\"{}/>", TYPES[kind], SIZES[size])
        }).collect();
        let element = if binary2 { "BINARY2" } else { "BINARY" };
        let text = format!(
            "<VOTABLE version=\"1.4\"><RESOURCE><TABLE>{fields}<DATA><{element}><STREAM encoding=\"base64\">{}\
             </STREAM></{element}></DATA></TABLE></RESOURCE></VOTABLE>",
            base64(&packed)
        );
        harmless(text.as_bytes());
    }
}

/// Reads them, takes what can be taken, and looks whether the kit is still one that opens.
fn harmless(bytes: &[u8]) {
    let Ok(list) = wish_import::parse(bytes) else { return };
    let mut kit = empty_kit();
    let sorted = sort_out(&list, &kit, &CATALOGUE);
    assert_eq!(
        sorted.taken.len() + sorted.present.len() + sorted.unresolved.len(),
        list.rows.len(),
        "every row is told of"
    );
    sorted.add_to(&mut kit);
    assert_eq!(kit.check(), Ok(()));
}

/// RFC 4648, section 4.
fn base64(bytes: &[u8]) -> String {
    const LETTERS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let mut text = String::new();
    for group in bytes.chunks(3) {
        let number = (0..3).fold(0_usize, |n, k| n << 8 | usize::from(*group.get(k).unwrap_or(&0)));
        for k in 0..4 {
            let letter = char::from(LETTERS[number >> (18 - 6 * k) & 63]);
            text.push(if k <= group.len() { letter } else { '=' });
        }
    }
    text
}
