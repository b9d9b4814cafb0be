//! The comparison sheet: a kit on one to three pages of paper, or as one page of HTML.
//!
//! For a friend who has not got the program: what was asked, which rig serves it and why, what each
//! would see of one target, what it demands, when the wish list is up. Composed as blocks of plain
//! marks first, then put on pages, so that what stands where can be tested without a printer. The
//! same kit and options are the same bytes on any day.

mod block;
mod calendar;
mod demands_table;
mod facts;
mod frames;
mod glossary;
mod header;
mod html;
mod ladder;
mod layout;
mod matrix;
mod notes;
mod parts;
mod reasons;
mod rig_key;
mod text;
mod wish_rows;

use std::path::Path;

use clap::ValueEnum;
use fieldstop::kit::Kit;
use thiserror::Error;

pub use facts::{Facts, Wished};

use crate::files::suffix::{SuffixError, suffix};
use crate::nights::date::YEARS;
use crate::paint::pdf::{self, PdfError, PdfInfo, PdfPage};
use crate::sky::Sky;

/// Most pages of paper.
pub const MOST_PAGES: usize = 3;
/// Rigs beyond this are told by their number on paper; the HTML has every one.
pub const MOST_RIGS: usize = 12;
/// Lists of more rigs than this are set closer, and they have two tables of demands.
const MANY_RIGS: usize = 8;

/// A size of paper.
#[derive(Clone, Copy, Debug, Default, Eq, PartialEq, ValueEnum)]
pub enum Paper {
    /// 210 x 297 mm, ISO 216
    #[default]
    A4,
    /// 8.5 x 11 inches, ANSI A
    Letter,
}

impl Paper {
    /// Every size.
    pub const ALL: [Self; 2] = [Self::A4, Self::Letter];

    /// What it is called.
    pub const fn label(self) -> &'static str {
        match self {
            Self::A4 => "A4",
            Self::Letter => "Letter",
        }
    }

    /// Width and height in points, upright.
    pub const fn size_pt(self) -> (f64, f64) {
        match self {
            Self::A4 => (210.0 / 25.4 * 72.0, 297.0 / 25.4 * 72.0),
            Self::Letter => (612.0, 792.0),
        }
    }
}

/// A form that a sheet is written in.
#[derive(Clone, Copy, Debug, Default, Eq, PartialEq)]
pub enum SheetFormat {
    /// Pages.
    #[default]
    Pdf,
    /// One page for a browser, with nothing beside it.
    Html,
}

impl SheetFormat {
    /// Every form.
    pub const ALL: [Self; 2] = [Self::Pdf, Self::Html];

    /// What it is called, which is its suffix too.
    pub const fn suffix(self) -> &'static str {
        match self {
            Self::Pdf => "pdf",
            Self::Html => "html",
        }
    }

    /// The form that a file's suffix stands for.
    ///
    /// # Errors
    /// If that is neither of the two.
    pub fn of(path: &Path) -> Result<Self, SuffixError> {
        match suffix(path).as_str() {
            "pdf" => Ok(Self::Pdf),
            "html" | "htm" => Ok(Self::Html),
            _ => Err(SuffixError::of(path, ".pdf or .html")),
        }
    }
}

/// What a sheet is to show.
#[derive(Clone, Debug, PartialEq)]
pub struct SheetOptions {
    /// The target to frame, by a name of the wish list or the catalogue; the first of the wish
    /// list if none.
    pub target: Option<String>,
    /// The year whose nights are counted.
    pub year: i16,
    /// The rig whose camera and aperture the ladder stands for, a place in the shortlist.
    pub chosen: usize,
    /// The paper that pages are for.
    pub paper: Paper,
}

/// The year that is counted where none is asked for: the same command says the same on any day.
pub const USUAL_YEAR: i16 = 2026;

impl Default for SheetOptions {
    fn default() -> Self {
        Self { target: None, year: USUAL_YEAR, chosen: 0, paper: Paper::default() }
    }
}

/// Why there is no sheet.
#[derive(Debug, Error)]
pub enum SheetError {
    /// A kit without anything to compare.
    #[error(
        "the kit has neither rigs nor a wish list; expected at least one rig in its shortlist and \
         one target in its wish list"
    )]
    Empty,
    /// Nothing to compare.
    #[error("the kit's shortlist is empty; expected at least one rig to put on the sheet")]
    NoRigs,
    /// Nothing to compare by.
    #[error(
        "the kit's wish list is empty and no target was named; expected at least one target to \
         put on the sheet"
    )]
    NoTargets,
    /// A target that neither the kit nor the catalogue knows.
    #[error(
        "no target {found:?} in the kit's wish list or the catalogue; expected a name or \
         designation such as M 31, NGC 7000 or Sh 2-190"
    )]
    Target {
        /// As asked for.
        found: String,
    },
    /// A year that cannot be worked out.
    #[error("the nights of {year} cannot be worked out; expected {}", YEARS.expected)]
    Year {
        /// As asked for.
        year: i16,
    },
    /// Whoever waited wants it no more.
    #[error("stopped before the sheet was done")]
    Stopped,
    /// The pages could not be written.
    #[error(transparent)]
    Pdf(#[from] PdfError),
}

/// A sheet: what it says, and the sky that it draws.
pub struct Sheet<'a> {
    facts: Facts,
    sky: &'a Sky,
    paper: Paper,
}

impl<'a> Sheet<'a> {
    /// Works out what a sheet says.
    ///
    /// `progress` is told the share done, 0 to 1, and answers whether to go on.
    ///
    /// # Errors
    /// [`SheetError`]: what the kit lacks, or that it was stopped.
    pub fn new(
        kit: &Kit,
        sky: &'a Sky,
        options: &SheetOptions,
        progress: &mut dyn FnMut(f32) -> bool,
    ) -> Result<Self, SheetError> {
        let facts = Facts::work_out(kit, sky, options, progress)?;
        Ok(Self { facts, sky, paper: options.paper })
    }

    /// What it says.
    pub fn facts(&self) -> &Facts {
        &self.facts
    }

    /// Its pages, with what their marks are.
    pub fn pages(&self) -> Vec<PdfPage> {
        layout::pages(&self.facts, self.sky, self.paper)
    }

    /// It as a file.
    ///
    /// # Errors
    /// [`SheetError::Pdf`].
    pub fn file(&self, format: SheetFormat) -> Result<Vec<u8>, SheetError> {
        match format {
            SheetFormat::Pdf => Ok(pdf::encode(&self.pages(), &self.info())?),
            SheetFormat::Html => Ok(self.html().into_bytes()),
        }
    }

    /// It as a page for a browser.
    pub fn html(&self) -> String {
        html::page(&self.facts, self.sky)
    }

    fn info(&self) -> PdfInfo {
        PdfInfo {
            title: header::title(&self.facts),
            description: header::description(&self.facts),
            software: header::software(),
            language: LANGUAGE,
        }
    }
}

/// What every sheet is written in.
const LANGUAGE: &str = "en-GB";

/// Works a sheet out and gives it as a file.
///
/// # Errors
/// [`SheetError`].
pub fn sheet(
    kit: &Kit,
    sky: &Sky,
    options: &SheetOptions,
    format: SheetFormat,
    progress: &mut dyn FnMut(f32) -> bool,
) -> Result<Vec<u8>, SheetError> {
    let sheet = Sheet::new(kit, sky, options, progress)?;
    if !progress(0.85) {
        return Err(SheetError::Stopped);
    }
    let file = sheet.file(format)?;
    if progress(1.0) { Ok(file) } else { Err(SheetError::Stopped) }
}
