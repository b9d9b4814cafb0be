//! Scenes as the pages of a PDF: shapes as paths, words as words, in the bundled font.
//!
//! No clock is read and nothing is random, so the same pages are the same bytes on any day.

use krilla::Document;
use krilla::color::rgb;
use krilla::destination::XyzDestination;
use krilla::error::KrillaError;
use krilla::geom::{Path, PathBuilder, Point as PdfPoint, Rect, Size, Transform};
use krilla::image::Image;
use krilla::metadata::Metadata;
use krilla::num::NormalizedF32;
use krilla::outline::{Outline, OutlineNode};
use krilla::page::PageSettings;
use krilla::paint::{Fill, FillRule, LineCap, LineJoin, Stroke as PdfStroke};
use krilla::surface::Surface;
use krilla::tagging::{Artifact, ArtifactType, ContentTag, Node, Tag, TagGroup, TagKind, TagTree};
use krilla::text::{Font, TextDirection};
use std::num::NonZeroU16;
use thiserror::Error;

use super::dash::marks;
use super::picture;
use crate::font::{HEAVY_TTF, REGULAR_TTF, Weight};
use crate::scene::picture::Picture;
use crate::scene::primitive::{Bounds, Disc, Ink, Point, Primitive, Scene, Stroke, TextMark};

/// Why there is no PDF.
#[derive(Debug, Error)]
pub enum PdfError {
    /// The bundled font was not taken.
    #[error("the bundled font cannot be put into a PDF")]
    Font,
    /// A page without a size.
    #[error("a page of {width_pt} x {height_pt} points cannot be put into a PDF")]
    PageSize {
        /// As composed.
        width_pt: f64,
        /// As composed.
        height_pt: f64,
    },
    /// The library refused.
    #[error("the PDF cannot be written: {0}")]
    Library(KrillaError),
}

/// What a stretch of a page is to somebody who does not see it.
#[derive(Clone, Debug, PartialEq)]
pub enum Role {
    /// A heading of a level, 1 for the title; it is also a bookmark.
    Heading(u8, String),
    /// Running text, or a row of a table.
    Paragraph,
    /// A picture, and what it shows in words.
    Picture(String),
    /// Lines and repeated words that say nothing new.
    Ornament,
}

/// Marks that belong together, in reading order.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// How many of the page's marks, after those of the parts before.
    pub marks: usize,
    /// Where it begins, from the page's top.
    pub top_pt: f64,
    /// What they are.
    pub role: Role,
}

/// A page: its marks, and what they are. Marks that no part claims are ornament.
#[derive(Clone, Debug, PartialEq)]
pub struct PdfPage {
    /// What is drawn.
    pub scene: Scene,
    /// What that is.
    pub parts: Vec<Part>,
}

/// What the file says of itself.
#[derive(Clone, Debug, PartialEq)]
pub struct PdfInfo {
    /// Title of the document.
    pub title: String,
    /// In a sentence.
    pub description: String,
    /// The program that made it.
    pub software: String,
    /// Language tag of its words.
    pub language: &'static str,
}

/// Writes pages as a PDF file.
///
/// # Errors
/// [`PdfError`].
pub fn encode(pages: &[PdfPage], info: &PdfInfo) -> Result<Vec<u8>, PdfError> {
    let fonts = Fonts::new()?;
    let mut document = Document::new();
    let (mut tags, mut outline) = (TagTree::new(), Outline::new());
    tags.lang = Some(info.language.to_owned());
    for (place, page) in pages.iter().enumerate() {
        let Scene { width_pt, height_pt, .. } = page.scene;
        let settings = PageSettings::from_wh(width_pt as f32, height_pt as f32)
            .ok_or(PdfError::PageSize { width_pt, height_pt })?;
        let mut sheet = document.start_page_with(settings);
        let mut surface = sheet.surface();
        paint_page(page, place, &mut surface, &fonts, &mut tags, &mut outline);
        surface.finish();
        sheet.finish();
    }
    document.set_tag_tree(tags);
    document.set_outline(outline);
    document.set_metadata(
        Metadata::new()
            .title(info.title.clone())
            .description(info.description.clone())
            .creator(info.software.clone())
            .language(info.language.to_owned()),
    );
    document.finish().map_err(PdfError::Library)
}

/// Both weights of the bundled font, each embedded as far as it is used.
struct Fonts {
    regular: Font,
    heavy: Font,
}

impl Fonts {
    fn new() -> Result<Self, PdfError> {
        let font = |ttf: &'static [u8]| Font::new(ttf.into(), 0).ok_or(PdfError::Font);
        Ok(Self { regular: font(REGULAR_TTF)?, heavy: font(HEAVY_TTF)? })
    }

    fn of(&self, weight: Weight) -> Font {
        match weight {
            Weight::Regular => self.regular.clone(),
            Weight::Heavy => self.heavy.clone(),
        }
    }
}

fn paint_page(
    page: &PdfPage,
    place: usize,
    surface: &mut Surface<'_>,
    fonts: &Fonts,
    tags: &mut TagTree,
    outline: &mut Outline,
) {
    let ground = ContentTag::Artifact(Artifact::with_kind(ArtifactType::Layout));
    surface.start_tagged(ground);
    area(surface, &page.scene.bounds().corners(), page.scene.background);
    surface.end_tagged();
    let mut rest = page.scene.items.as_slice();
    for part in &page.parts {
        let (own, after) = rest.split_at(part.marks.min(rest.len()));
        rest = after;
        paint_part(own, page.scene.bounds(), &part.role, surface, fonts, tags);
        if let Role::Heading(_, words) = &part.role {
            let at = XyzDestination::new(place, PdfPoint::from_xy(0.0, part.top_pt as f32));
            outline.push_child(OutlineNode::new(words.clone(), at));
        }
    }
    paint_part(rest, page.scene.bounds(), &Role::Ornament, surface, fonts, tags);
}

fn paint_part(
    items: &[Primitive],
    page: Bounds,
    role: &Role,
    surface: &mut Surface<'_>,
    fonts: &Fonts,
    tags: &mut TagTree,
) {
    if items.is_empty() {
        return;
    }
    let tag: Option<TagKind> = match role {
        Role::Heading(level, words) => {
            let level = NonZeroU16::new(u16::from(*level)).unwrap_or(NonZeroU16::MIN);
            Some(Tag::Hn(level, Some(words.clone())).into())
        }
        Role::Paragraph => Some(Tag::P.into()),
        Role::Picture(words) => Some(Tag::Figure(Some(words.clone())).into()),
        Role::Ornament => None,
    };
    let Some(tag) = tag else {
        let ornament = ContentTag::Artifact(Artifact::with_kind(ArtifactType::Layout));
        surface.start_tagged(ornament);
        paint(items, page, surface, fonts);
        surface.end_tagged();
        return;
    };
    let content = surface.start_tagged(ContentTag::Other);
    paint(items, page, surface, fonts);
    surface.end_tagged();
    tags.push(TagGroup::with_children(tag, vec![Node::Leaf(content)]));
}

/// Farther from the page than this nothing is put: the library wants numbers it can multiply.
const FARTHEST_PT: f64 = 1e6;

/// Whether every length is a number that a page can hold.
fn is_on_paper(points: &[Point]) -> bool {
    // A NaN is in no range.
    points.iter().flatten().all(|length| (-FARTHEST_PT..=FARTHEST_PT).contains(length))
}

fn paint(items: &[Primitive], page: Bounds, surface: &mut Surface<'_>, fonts: &Fonts) {
    for item in items {
        match item {
            Primitive::Line { points, closed, stroke } => line(surface, points, *closed, stroke),
            Primitive::Polygon { points, fill } => area(surface, points, *fill),
            Primitive::Discs(discs) => discs.iter().for_each(|disc| round(surface, disc)),
            Primitive::Text(mark) => text(surface, mark, fonts),
            Primitive::Picture(picture) => photograph(surface, picture, page),
            Primitive::Inset { origin, scene } => inset(surface, *origin, scene, fonts),
        }
    }
}

/// Pixels of a photograph to a point: enough for print, at most so many in all.
const PICTURE_PX_PER_PT: f64 = 2.5;
const PICTURE_MOST_PX: u64 = 24_000_000;

/// Its pixels as they lie on the page.
fn photograph(surface: &mut Surface<'_>, picture: &Picture, page: Bounds) {
    let Some(upright) = picture::upright(picture, page, PICTURE_PX_PER_PT, PICTURE_MOST_PX) else {
        return;
    };
    let Bounds { left, top, .. } = upright.bounds;
    let size = Size::from_wh(upright.bounds.width() as f32, upright.bounds.height() as f32);
    let image = Image::from_rgba8(upright.rgba, upright.width_px, upright.height_px);
    surface.push_transform(&Transform::from_translate(left as f32, top as f32));
    if let Some(size) = size {
        surface.draw_image(image, size);
    }
    surface.pop();
}

/// Another scene, moved to its place and cut off at its edges.
fn inset(surface: &mut Surface<'_>, [x, y]: Point, scene: &Scene, fonts: &Fonts) {
    if !is_on_paper(&[[x, y], [scene.width_pt, scene.height_pt]]) {
        return;
    }
    let edge = Rect::from_xywh(0.0, 0.0, scene.width_pt as f32, scene.height_pt as f32);
    let Some(edge) = edge.and_then(|edge| {
        let mut path = PathBuilder::new();
        path.push_rect(edge);
        path.finish()
    }) else {
        return;
    };
    surface.push_transform(&Transform::from_translate(x as f32, y as f32));
    surface.push_clip_path(&edge, &FillRule::NonZero);
    area(surface, &scene.bounds().corners(), scene.background);
    paint(&scene.items, scene.bounds(), surface, fonts);
    surface.pop();
    surface.pop();
}

fn line(surface: &mut Surface<'_>, points: &[Point], closed: bool, stroke: &Stroke) {
    if !is_on_paper(points) || !is_on_paper(&[[stroke.width_pt, 0.0]]) {
        return;
    }
    // Cut into marks here, so that a broken line is broken alike in every painter.
    let broken = !stroke.dash.is_empty();
    let path = if broken {
        let mut path = PathBuilder::new();
        for mark in marks(points, closed, stroke.dash, stroke.dash_offset_pt) {
            trace(&mut path, &mark);
        }
        path.finish()
    } else {
        polyline(points, closed)
    };
    surface.set_fill(None);
    surface.set_stroke(Some(pen(stroke.ink, stroke.width_pt)));
    if let Some(path) = path {
        surface.draw_path(&path);
    }
    surface.set_stroke(None);
}

fn area(surface: &mut Surface<'_>, points: &[Point], ink: Ink) {
    if !is_on_paper(points) {
        return;
    }
    surface.set_stroke(None);
    surface.set_fill(Some(fill(ink)));
    if let Some(path) = polyline(points, true) {
        surface.draw_path(&path);
    }
}

fn round(surface: &mut Surface<'_>, disc: &Disc) {
    /// How far a quarter's handles reach, as a share of the radius.
    const REACH: f32 = 0.552_284_8;
    let Disc { x, y, radius: r, ink } = *disc;
    if !is_on_paper(&[[f64::from(x), f64::from(y)], [f64::from(r), 0.0]]) {
        return;
    }
    let k = r * REACH;
    let mut path = PathBuilder::new();
    path.move_to(x + r, y);
    path.cubic_to(x + r, y + k, x + k, y + r, x, y + r);
    path.cubic_to(x - k, y + r, x - r, y + k, x - r, y);
    path.cubic_to(x - r, y - k, x - k, y - r, x, y - r);
    path.cubic_to(x + k, y - r, x + r, y - k, x + r, y);
    path.close();
    surface.set_stroke(None);
    surface.set_fill(Some(fill(ink)));
    if let Some(path) = path.finish() {
        surface.draw_path(&path);
    }
}

fn text(surface: &mut Surface<'_>, mark: &TextMark, fonts: &Fonts) {
    let [left, baseline] = [mark.left(), mark.at[1]];
    if !is_on_paper(&[[left, baseline], [mark.size_pt, 0.0]]) || mark.size_pt <= 0.0 {
        return;
    }
    let at = PdfPoint::from_xy(left as f32, baseline as f32);
    let (font, size) = (fonts.of(mark.weight), mark.size_pt as f32);
    if let Some(halo) = mark.halo {
        surface.set_fill(None);
        surface.set_stroke(Some(pen(halo, 2.0 * TextMark::HALO_PT)));
        // As outlines: the words shall be found once.
        surface.draw_text(at, font.clone(), size, &mark.text, true, TextDirection::LeftToRight);
    }
    surface.set_stroke(None);
    surface.set_fill(Some(fill(mark.ink)));
    surface.draw_text(at, font, size, &mark.text, false, TextDirection::LeftToRight);
}

fn polyline(points: &[Point], closed: bool) -> Option<Path> {
    let mut path = PathBuilder::new();
    trace(&mut path, points);
    if closed {
        path.close();
    }
    path.finish()
}

fn trace(path: &mut PathBuilder, points: &[Point]) {
    for (place, [x, y]) in points.iter().enumerate() {
        let (x, y) = (*x as f32, *y as f32);
        if place == 0 { path.move_to(x, y) } else { path.line_to(x, y) }
    }
}

fn opacity(ink: Ink) -> NormalizedF32 {
    let [.., alpha] = ink.0;
    NormalizedF32::new(f32::from(alpha) / 255.0).unwrap_or(NormalizedF32::ONE)
}

fn colour(ink: Ink) -> rgb::Color {
    let [red, green, blue, _] = ink.0;
    rgb::Color::new(red, green, blue)
}

fn fill(ink: Ink) -> Fill {
    Fill { paint: colour(ink).into(), opacity: opacity(ink), rule: FillRule::NonZero }
}

fn pen(ink: Ink, width_pt: f64) -> PdfStroke {
    PdfStroke {
        paint: colour(ink).into(),
        opacity: opacity(ink),
        width: width_pt as f32,
        line_cap: LineCap::Butt,
        line_join: LineJoin::Miter,
        ..PdfStroke::default()
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test fails by panicking")]
    use std::io::Read;

    use super::*;
    use crate::scene::primitive::Anchor;

    const BLACK: Ink = Ink::rgb(0, 0, 0);
    const WHITE: Ink = Ink::rgb(255, 255, 255);

    fn info() -> PdfInfo {
        PdfInfo {
            title: "A title".to_owned(),
            description: String::new(),
            software: "A program".to_owned(),
            language: "en-GB",
        }
    }

    fn word(text: &str, halo: Option<Ink>) -> Primitive {
        Primitive::Text(TextMark {
            at: [20.0, 40.0],
            anchor: Anchor::Start,
            text: text.to_owned(),
            size_pt: 12.0,
            weight: Weight::Regular,
            ink: BLACK,
            halo,
        })
    }

    fn page(items: Vec<Primitive>, role: Role) -> PdfPage {
        let marks = items.len();
        let scene = Scene { width_pt: 200.0, height_pt: 100.0, background: WHITE, items };
        PdfPage { scene, parts: vec![Part { marks, top_pt: 0.0, role }] }
    }

    /// The operators of the page's content, those of embedded fonts left out.
    fn content(file: &[u8]) -> String {
        let mut content = String::new();
        let starts = |at: &usize| file[*at..].starts_with(b"stream\n");
        for at in (0..file.len()).filter(starts) {
            let mut inflated = Vec::new();
            let packed = &file[at + "stream\n".len()..];
            if flate2::read::ZlibDecoder::new(packed).read_to_end(&mut inflated).is_ok()
                && let Ok(words) = String::from_utf8(inflated)
            {
                content += &words;
            }
        }
        content
    }

    /// How often an operator stands in a content stream.
    fn count(content: &str, operator: &str) -> usize {
        let words = content.split(|sign: char| sign.is_ascii_whitespace() || "/)]>".contains(sign));
        words.filter(|word| *word == operator).count()
    }

    /// ISO 32000-1, table 109: `Tj` and `TJ` show text; a rim must not make words be found twice.
    #[test]
    fn a_word_with_a_rim_is_found_once() {
        let file = encode(&[page(vec![word("once", Some(WHITE))], Role::Paragraph)], &info());
        let content = content(&file.unwrap());
        assert_eq!(count(&content, "Tj") + count(&content, "TJ"), 1, "{content}");
        assert!(count(&content, "S") >= 1, "the rim is drawn as outlines");
    }

    /// ISO 32000-1, table 61: `W` clips. Table 320: `BDC` and `EMC` mark what is read aloud.
    #[test]
    fn an_inset_is_cut_off_and_marked_as_a_picture() {
        let mut inset = Scene::new(50.0, 20.0, WHITE);
        inset.line(vec![[-100.0, 10.0], [400.0, 10.0]], Stroke::solid(BLACK, 1.0));
        let items = vec![Primitive::Inset { origin: [10.0, 10.0], scene: inset }];
        let picture = Role::Picture("A line that runs across".to_owned());
        let file = encode(&[page(items, picture)], &info()).unwrap();
        let content = content(&file);
        assert_eq!(count(&content, "W"), 1, "{content}");
        let marked = count(&content, "BDC") + count(&content, "BMC");
        assert_eq!((marked, marked), (2, count(&content, "EMC")), "{content}");
        let alternative = b"(A line that runs across)";
        assert!(file.windows(alternative.len()).any(|part| part == alternative));
    }

    #[test]
    fn odd_marks_are_left_out_or_drawn_but_never_fatal() {
        let mut scene = Scene::new(0.0, 0.0, WHITE);
        scene.line(vec![[f64::NAN, 1.0], [2.0, f64::INFINITY]], Stroke::solid(BLACK, 1.0));
        scene.line(vec![[1.0, 1.0]], Stroke::dashed(BLACK, f64::NAN, &[0.0, 0.0]));
        scene.polygon(Vec::new(), BLACK);
        let disc = Disc { x: 1.0, y: 1.0, radius: f32::NAN, ink: BLACK };
        scene.items.push(Primitive::Discs(vec![disc]));
        let words = ["", " ", "\u{0}\n", "مرحبا", "望遠鏡 🔭", "a\u{301}\u{200b}"];
        scene.items.extend(words.map(|text| word(text, Some(WHITE))));
        for (at, size_pt) in [([f64::NAN, 0.0], 9.0), ([1e300, 1.0], 9.0), ([1.0, 1.0], 1e30)] {
            if let Primitive::Text(mark) = word("far", Some(WHITE)) {
                scene.items.push(Primitive::Text(TextMark { at, size_pt, ..mark }));
            }
        }
        scene.line(vec![[1e38, 1.0], [-1e38, 1.0]], Stroke::solid(BLACK, 1e38));
        for (origin, size) in [([f64::NAN, 0.0], 10.0), ([0.0, 0.0], 0.0), ([1e39, 0.0], 1e39)] {
            let inset = Scene { width_pt: size, height_pt: size, ..scene.clone() };
            scene.items.push(Primitive::Inset { origin, scene: inset });
        }
        let file = encode(&[page(scene.items, Role::Ornament)], &info()).unwrap();
        assert!(file.starts_with(b"%PDF"));
    }

    #[test]
    fn a_page_of_no_size_is_refused() {
        let mut nothing = page(Vec::new(), Role::Paragraph);
        nothing.scene.width_pt = 0.0;
        let told = encode(&[nothing], &info()).unwrap_err().to_string();
        assert!(told.contains("0 x 100 points"), "{told}");
    }
}
