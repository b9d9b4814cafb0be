//! What must hold of a reader, whatever bytes it is given: it reads or refuses, in words. Each judge
//! panics where it does not. Blind mutation (this folder) and coverage-guided fuzzing (`../guided`)
//! share them.

use std::cell::RefCell;
use std::ffi::OsString;
use std::path::{Path, PathBuf};
use std::sync::LazyLock;
use std::sync::atomic::{AtomicU64, Ordering};
use std::{env, fs};

use fieldstop::kit::Kit;
use fieldstop::sexagesimal::{dec_text, parse_dec, parse_ra, ra_text};
use fieldstop_gui::files::wish_row::{ReadList, WishFileError};
use fieldstop_gui::files::{kit_file, wish_csv, wish_import, wish_votable};
use fieldstop_gui::own_picture;
use fieldstop_gui::scene::picture::RowOrder;
use fieldstop_gui::sky::catalogue::{Catalogue, Target};
use fieldstop_gui::sky::row::Row;
use fieldstop_gui::sky::spelling::spelt_like;
use fieldstop_gui::{avm, cli, starting_points};

static CATALOGUE: LazyLock<Catalogue> = LazyLock::new(|| Catalogue::embedded().unwrap());
static NEW_KIT: LazyLock<Kit> = LazyLock::new(|| starting_points::new_kit("Test"));

/// A part of it, in which a search takes a hundredth of the time.
static FEW: LazyLock<Catalogue> = LazyLock::new(|| {
    let step = CATALOGUE.targets().len() / 200;
    Catalogue::new(CATALOGUE.targets().iter().step_by(step).map(row).collect())
});

fn row(target: &Target) -> Row {
    let target = target.clone();
    Row {
        name: target.name,
        kind: target.kind,
        ra_deg: target.ra_deg,
        dec_deg: target.dec_deg,
        major_arcmin: target.major_arcmin,
        minor_arcmin: target.minor_arcmin,
        pa_deg: target.pa_deg,
        size_uncertain: target.size_uncertain,
        magnitude: target.magnitude,
        magnitude_assumed: target.magnitude_assumed,
        surface_brightness_mag_arcsec2: target.surface_brightness_mag_arcsec2,
        constellation: target.constellation,
        common_names: target.common_names,
        other_names: target.other_names,
        note: target.note,
    }
}

/// A message that a person can read.
fn is_told(error: &impl std::fmt::Display) {
    let words = error.to_string();
    assert!(!words.is_empty() && words.len() < 4000, "{} bytes of message", words.len());
}

/// A kit file.
pub(crate) fn kit(bytes: &[u8]) {
    match kit_file::parse(bytes, "kit.ron", &|name| CATALOGUE.named(name).is_some()) {
        Ok(kit) => {
            assert!(kit.check().is_ok());
            // No number equals NaN, nor does NaN itself.
            assert!(kit == kit.clone(), "NaN passed the door");
        }
        Err(error) => is_told(&error),
    }
}

/// What was read of a list is taken into a kit, which a file can then hold.
fn list(read: Result<ReadList, WishFileError>) {
    match read {
        Ok(list) => {
            let mut longer = NEW_KIT.clone();
            wish_import::sort_out(&list, &NEW_KIT, &CATALOGUE).add_to(&mut longer);
            longer.check().expect("what is taken is sound");
            // Dear; by the names' lengths, so that the same list is always judged in the same way.
            let letters: usize = longer.wish_list.iter().map(|wish| wish.name().len()).sum();
            if letters % 8 != 1 {
                return;
            }
            let text = kit_file::to_text(&longer).expect("a kit is written");
            let again = kit_file::parse(text.as_bytes(), "kit.ron", &|name| {
                CATALOGUE.named(name).is_some()
            });
            assert_eq!(again.expect("what is taken is sound"), longer);
        }
        Err(error) => is_told(&error),
    }
}

/// A list of targets as CSV.
pub(crate) fn wish_csv(bytes: &[u8]) {
    list(wish_csv::read(bytes));
}

/// A list of targets as a VOTable.
pub(crate) fn wish_votable(bytes: &[u8]) {
    list(wish_votable::read(bytes));
}

/// A picture of one's own, in a file.
pub(crate) fn picture(bytes: &[u8]) {
    SCRATCH.with_borrow(|scratch| {
        fs::write(&scratch.0, bytes).unwrap();
        match own_picture::open(&scratch.0, RowOrder::FromBottom, &mut |_| true) {
            Ok(picture) => {
                assert!(picture.map.is_sound());
                let centre = picture.map.centre().map(|centre| centre.xyz());
                assert!(centre.is_none_or(|xyz| xyz.iter().all(|part| part.is_finite())));
            }
            Err(error) => is_told(&error),
        }
    });
}

/// A file of one thread, in memory where the system has such a place.
struct Scratch(PathBuf);

thread_local! {
    static SCRATCH: RefCell<Scratch> = RefCell::new(Scratch::new());
}

impl Scratch {
    fn new() -> Self {
        static NEXT: AtomicU64 = AtomicU64::new(0);
        let memory = Path::new("/dev/shm");
        let folder = if memory.is_dir() { memory.to_owned() } else { env::temp_dir() };
        let number = NEXT.fetch_add(1, Ordering::Relaxed);
        Self(folder.join(format!("fieldstop-fuzz-{}-{number}", std::process::id())))
    }
}

impl Drop for Scratch {
    fn drop(&mut self) {
        drop(fs::remove_file(&self.0));
    }
}

/// The metadata of a picture of 640 by 480 pixels.
pub(crate) fn xmp(bytes: &[u8]) {
    match avm::coordinates(bytes, (640, 480)) {
        Ok(Some(map)) => assert!(map.is_sound()),
        Ok(None) => {}
        Err(why) => is_told(&why),
    }
}

/// A right ascension or a declination, as typed.
pub(crate) fn coordinates(bytes: &[u8]) {
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
            assert!(parse_dec(&dec_text(dec, 1)).is_ok(), "{} is not read back", dec_text(dec, 1));
        }
        Err(error) => is_told(&error),
    }
}

/// What is looked for in the catalogue.
pub(crate) fn search(bytes: &[u8]) {
    let text = String::from_utf8_lossy(bytes);
    assert!(FEW.search(&text, 12).len() <= 12);
    assert!(spelt_like(&text, None, &FEW, 4).len() <= 4);
    // By the sum of the bytes, so that the same text is always searched for in the same way.
    let sum = bytes.iter().fold(0, |sum: u8, byte| sum.wrapping_mul(31).wrapping_add(*byte));
    if sum.is_multiple_of(64) {
        assert!(CATALOGUE.search(&text, 12).len() <= 12);
    }
    if let Some(target) = CATALOGUE.named(&text) {
        assert!(!target.name.is_empty());
    }
}

/// A command line: an argument a line, as the arguments of a process: any bytes but zero.
pub(crate) fn command_line(bytes: &[u8]) {
    let line = bytes
        .split(|&byte| byte == b'\n')
        .map(|word| OsString::from(String::from_utf8_lossy(word).into_owned()));
    let arguments = std::iter::once(OsString::from("fieldstop")).chain(line);
    if let Some(why) = cli::fault(arguments) {
        assert!(!why.is_empty());
    }
}
