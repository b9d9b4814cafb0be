//! From a file of targets to wishes: which are taken, which are there already, which cannot be.

use std::collections::HashSet;
use std::fs::{self, File};
use std::io::Read;
use std::path::Path;

use fieldstop::kit::{Kit, Wish};
use fieldstop::{Angle, Direction};
use serde::Serialize;

use super::replace_file::not_a_file;
use super::wish_row::{At, LARGEST, LONGEST_NAME, ReadList, ReadRow, WishFileError};
use super::{wish_csv, wish_votable};
use crate::sky::catalogue::{Catalogue, Target};
use crate::words::shortened;

/// Targets of a wish list that a file may fill it up to. A kit may hold more, written by hand; but
/// nobody chooses by a longer list, and everything would wait for its figures.
pub const MOST_WISHES: usize = 1_000;

/// A place farther than this from the catalogue's, and from the target's outline, is remarked upon.
const ELSEWHERE: Angle = Angle::from_deg(0.25);

/// A target to be put on the wish list.
#[derive(Clone, Debug, PartialEq)]
pub struct Taken {
    /// Where it stands in the file.
    pub at: At,
    /// What the file calls it.
    pub name: String,
    /// What goes on the list.
    pub wish: Wish,
    /// What a person should look at.
    pub remark: Option<String>,
}

/// A row that is not taken, and why.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Left {
    /// Where it stands in the file.
    #[serde(flatten)]
    pub at: At,
    /// What the file calls it.
    pub name: String,
    /// Why it is not taken.
    pub why: String,
}

/// What becomes of a file's rows.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Sorted {
    /// To be added, in the file's order.
    pub taken: Vec<Taken>,
    /// On the list already, or twice in the file.
    pub present: Vec<Left>,
    /// Neither known to the catalogue nor with a place that can be read.
    pub unresolved: Vec<Left>,
    /// How the file was taken.
    pub remarks: Vec<String>,
}

impl Sorted {
    /// Puts what is taken on a kit's wish list.
    pub fn add_to(&self, kit: &mut Kit) {
        kit.wish_list.extend(self.taken.iter().map(|taken| taken.wish.clone()));
    }
}

/// Reads a file of targets: a VOTable if it begins like XML, else CSV.
///
/// # Errors
/// [`WishFileError`], when nothing of it can be taken.
pub fn read(path: &Path) -> Result<ReadList, WishFileError> {
    // Asked before opening, since opening a pipe waits for somebody to write into it.
    let metadata = fs::metadata(path).map_err(WishFileError::Unreadable)?;
    if let Some(found) = not_a_file(&metadata) {
        return Err(WishFileError::NotAFile(found));
    }
    let mut bytes = Vec::new();
    let file = File::open(path).map_err(WishFileError::Unreadable)?;
    // One byte more than allowed, so that a file that grows meanwhile is caught as well.
    file.take(LARGEST + 1).read_to_end(&mut bytes).map_err(WishFileError::Unreadable)?;
    parse(&bytes)
}

/// Reads the bytes of such a file.
///
/// # Errors
/// [`WishFileError`], when nothing of it can be taken.
pub fn parse(bytes: &[u8]) -> Result<ReadList, WishFileError> {
    if bytes.len() as u64 > LARGEST {
        return Err(WishFileError::TooLarge);
    }
    let begins = bytes.strip_prefix("\u{feff}".as_bytes()).unwrap_or(bytes).trim_ascii_start();
    if begins.starts_with(b"<") { wish_votable::read(bytes) } else { wish_csv::read(bytes) }
}

/// Decides about every row.
pub fn sort_out(list: &ReadList, kit: &Kit, catalogue: &Catalogue) -> Sorted {
    let mut sorted = Sorted { remarks: list.remarks.clone(), ..Sorted::default() };
    let mut known = Known::of(kit, catalogue);
    for row in &list.rows {
        let left = |why: String| Left { at: row.at, name: shortened(&row.name, LONGEST_NAME), why };
        match wish(row, catalogue) {
            Err(why) => sorted.unresolved.push(left(why)),
            Ok((wish, remark)) => {
                let names = names_of(&wish, catalogue);
                if let Some(why) = known.has(&names) {
                    sorted.present.push(left(why.to_owned()));
                } else if kit.wish_list.len() + sorted.taken.len() >= MOST_WISHES {
                    let why =
                        format!("the wish list is full: a file fills it to {MOST_WISHES} targets");
                    sorted.unresolved.push(left(why));
                } else {
                    known.new.extend(names);
                    sorted.taken.push(Taken { at: row.at, name: row.name.clone(), wish, remark });
                }
            }
        }
    }
    sorted
}

/// The names that are taken.
struct Known {
    old: HashSet<String>,
    new: HashSet<String>,
}

impl Known {
    fn of(kit: &Kit, catalogue: &Catalogue) -> Self {
        let mut old = HashSet::new();
        for wish in &kit.wish_list {
            old.extend(names_of(wish, catalogue));
        }
        Self { old, new: HashSet::new() }
    }

    fn has(&self, names: &[String]) -> Option<&'static str> {
        if names.iter().any(|name| self.old.contains(name)) {
            Some("it is on the wish list already")
        } else if names.iter().any(|name| self.new.contains(name)) {
            Some("the file has it twice")
        } else {
            None
        }
    }
}

/// What a wish goes by, and what the catalogue calls its object.
fn names_of(wish: &Wish, catalogue: &Catalogue) -> Vec<String> {
    let object = match wish {
        Wish::Named(name) => catalogue.named(name).map(|target| target.catalogue_name().to_owned()),
        Wish::Custom { .. } => None,
    };
    [wish.name().to_owned()].into_iter().chain(object.filter(|name| name != wish.name())).collect()
}

/// The wish that a row means: the catalogue's object of that name, or else a place of one's own.
fn wish(row: &ReadRow, catalogue: &Catalogue) -> Result<(Wish, Option<String>), String> {
    if row.name.is_empty() {
        return Err("it has no name".to_owned());
    }
    if row.name.chars().count() > LONGEST_NAME {
        return Err(format!(
            "its name has more than {LONGEST_NAME} characters; a quotation mark may not be closed"
        ));
    }
    if let Some(target) = catalogue.named(&row.name).filter(|_| !row.own) {
        // A designation stays the one that the person uses, in the catalogue's spelling; what people
        // call it becomes its designation, beside which it is shown.
        let used =
            target.spelled(&row.name).filter(|used| target.other_names.iter().any(|n| n == used));
        let name = used.unwrap_or(&target.name).to_owned();
        return Ok((Wish::Named(name), remark(row, target)));
    }
    if let Some(fault) = &row.fault {
        return Err(fault.clone());
    }
    let Some((ra_deg, dec_deg)) = row.place_deg else {
        return Err(
            "the catalogue does not have it, and the file does not say where it is".to_owned()
        );
    };
    let wish = Wish::Custom {
        name: row.name.clone(),
        ra_deg,
        dec_deg,
        major_arcmin: row.major_arcmin,
        minor_arcmin: row.minor_arcmin,
        pa_deg: row.pa_deg,
        surface_brightness_mag_arcsec2: row.surface_brightness_mag_arcsec2,
    };
    Ok((wish, None))
}

/// What is odd about a row that the catalogue answers for.
fn remark(row: &ReadRow, target: &Target) -> Option<String> {
    let (ra_deg, dec_deg) = row.place_deg?;
    let place = Direction::from_ra_dec(Angle::from_deg(ra_deg), Angle::from_deg(dec_deg));
    let away = place.separation(target.place);
    let half = target.outline.map_or(Angle::ZERO, |outline| outline.major / 2.0);
    (away > half.max(ELSEWHERE)).then(|| {
        format!(
            "the file puts it {:.1}° from where the catalogue has {}; the catalogue's place is taken",
            away.deg(),
            target.name
        )
    })
}
