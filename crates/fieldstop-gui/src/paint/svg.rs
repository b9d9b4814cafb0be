//! A scene as an SVG document, which any drawing program reads and any size suits.
//!
//! Letters are outlines of the bundled font, each stored once and placed where it stands, so the
//! picture looks the same where that font is missing; a text alternative stands beside each line
//! of them. Thousands of small discs share a path for each look, which keeps the file small.

use std::borrow::Cow;
use std::collections::{BTreeSet, HashMap};
use std::fmt::Write;

use ab_glyph::{Font, OutlineCurve};
use base64::Engine;
use base64::engine::general_purpose::STANDARD as BASE64;

use super::picture::{self, Upright};
use crate::font::{self, Weight};
use crate::scene::picture::Picture;
use crate::scene::primitive::{Bounds, Disc, Ink, Point, Primitive, Scene, Stroke, TextMark};

/// How large a document asks to be shown.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub enum SvgSize {
    /// As large as its scene, in typographic points.
    #[default]
    Points,
    /// Across and down.
    Millimetres([f64; 2]),
    /// Across and down.
    Pixels([f64; 2]),
}

/// What a document says of itself.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SvgInfo {
    /// What the picture is called.
    pub title: String,
    /// What it shows, its sources included.
    pub description: String,
    /// Put before every name in the document, so that several may stand in one page of HTML.
    /// Letters and digits, beginning with a letter.
    pub id_prefix: String,
    /// How large it asks to be shown.
    pub size: SvgSize,
    /// Its metadata as XML, an XMP packet; nothing for none.
    pub metadata: String,
}

/// A scene as a document without a title.
pub fn render(scene: &Scene) -> String {
    render_with(scene, &SvgInfo::default())
}

/// A scene as a document.
pub fn render_with(scene: &Scene, info: &SvgInfo) -> String {
    let prefix: String = info.id_prefix.chars().filter(char::is_ascii_alphanumeric).collect();
    let mut document = Document { prefix, ..Document::default() };
    let (unit, shown) = match info.size {
        SvgSize::Points => ("pt", [scene.width_pt, scene.height_pt]),
        SvgSize::Millimetres(size) => ("mm", size),
        SvgSize::Pixels(size) => ("px", size),
    };
    let [shown_width, shown_height] = shown.map(Number);
    let [width, height] = [scene.width_pt, scene.height_pt].map(Number);
    document.ground(scene);
    document.items(scene);

    let mut out = String::with_capacity(document.body.len() + 40_000);
    let prefix = &document.prefix;
    let metadata = match info.metadata.as_str() {
        "" => String::new(),
        packet => format!("<metadata>{packet}</metadata>\n"),
    };
    let _ = write!(
        out,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" xmlns:xlink=\"http://www.w3.org/1999/xlink\" \
         width=\"{shown_width}{unit}\" height=\"{shown_height}{unit}\" viewBox=\"0 0 {width} {height}\" \
         role=\"graphics-document document\" aria-labelledby=\"{prefix}title {prefix}desc\">\n\
         <title id=\"{prefix}title\">{}</title>\n<desc id=\"{prefix}desc\">{}</desc>\n\
         {metadata}<defs>\n",
        escaped(&info.title),
        escaped(&info.description),
    );
    document.write_glyphs(&mut out);
    out.push_str("</defs>\n");
    out.push_str(&document.body);
    out.push_str("</svg>\n");
    out
}

/// A length with at most two decimals, a two-hundredth of a point being far below a pixel.
#[derive(Clone, Copy)]
struct Number(f64);

impl std::fmt::Display for Number {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        // OK because a float is cast to the nearest value that fits.
        let hundredths = (self.0 * 100.0).round() as i64;
        let sign = if hundredths < 0 { "-" } else { "" };
        let (whole, rest) = (hundredths.unsigned_abs() / 100, hundredths.unsigned_abs() % 100);
        match (rest, rest % 10) {
            (0, _) => write!(f, "{sign}{whole}"),
            (_, 0) => write!(f, "{sign}{whole}.{}", rest / 10),
            _ => write!(f, "{sign}{whole}.{rest:02}"),
        }
    }
}

/// A colour as the attribute `kind`, its opacity beside it where it is not whole.
struct Colour(&'static str, Ink);

impl std::fmt::Display for Colour {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let Self(kind, Ink([red, green, blue, alpha])) = self;
        write!(f, " {kind}=\"#{red:02x}{green:02x}{blue:02x}\"")?;
        if *alpha < 255 {
            write!(f, " {kind}-opacity=\"{:.3}\"", f64::from(*alpha) / 255.0)?;
        }
        Ok(())
    }
}

/// A text as it may stand in an element or an attribute. Signs that XML forbids become spaces.
pub(crate) fn escaped(text: &str) -> Cow<'_, str> {
    let forbidden =
        |sign: char| (sign < ' ' && sign != '\n') || matches!(sign, '\u{fffe}' | '\u{ffff}');
    if !text.contains(|sign| matches!(sign, '&' | '<' | '>' | '"' | '\'') || forbidden(sign)) {
        return Cow::Borrowed(text);
    }
    let mut safe = String::with_capacity(text.len() + 16);
    for sign in text.chars() {
        match sign {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            '\'' => safe.push_str("&#39;"),
            sign if forbidden(sign) => safe.push(' '),
            sign => safe.push(sign),
        }
    }
    Cow::Owned(safe)
}

/// Discs of one batch smaller than this, and more than so many, share a path for each look.
const SMALL_DISC_PT: f32 = 2.2;
const MANY_DISCS: usize = 64;

/// Pixels of a photograph to a point: enough for print, at most so many in all.
const PICTURE_PX_PER_PT: f64 = 2.5;
const PICTURE_MOST_PX: u64 = 24_000_000;

/// Pixels as a PNG that keeps what is see-through; `None` if there are none.
fn see_through_png(picture: &Upright) -> Option<Vec<u8>> {
    let mut out = Vec::new();
    let mut encoder = png::Encoder::new(&mut out, picture.width_px, picture.height_px);
    encoder.set_color(png::ColorType::Rgba);
    encoder.set_depth(png::BitDepth::Eight);
    encoder.set_compression(png::Compression::Fast);
    let mut writer = encoder.write_header().ok()?;
    writer.write_image_data(&picture.rgba).ok()?;
    writer.finish().ok()?;
    Some(out)
}

/// A look of a small disc: colour to 16 steps a channel, opacity to 1/50, radius to 1/50 point.
type Look = ([u8; 3], u8, u16);

#[derive(Default)]
struct Document {
    prefix: String,
    body: String,
    glyphs: BTreeSet<(bool, u16)>,
    /// Names given to clips and to letters that are used again as their own rim.
    names: u32,
}

impl Document {
    /// A name that nothing else in the document has.
    fn name(&mut self, kind: char) -> String {
        self.names += 1;
        format!("{}{kind}{}", self.prefix, self.names)
    }

    fn ground(&mut self, scene: &Scene) {
        let ground =
            Ink([scene.background.0[0], scene.background.0[1], scene.background.0[2], 255]);
        let [width, height] = [scene.width_pt, scene.height_pt].map(Number);
        let _ =
            writeln!(self.body, "<path d=\"M0 0H{width}V{height}H0z\"{}/>", Colour("fill", ground));
    }

    fn items(&mut self, scene: &Scene) {
        for item in &scene.items {
            match item {
                Primitive::Line { points, closed, stroke } => self.line(points, *closed, stroke),
                Primitive::Polygon { points, fill } => {
                    if let Some(path) = path(points, true) {
                        let fill = Colour("fill", *fill);
                        let _ = writeln!(self.body, "<path d=\"{path}\"{fill}/>");
                    }
                }
                Primitive::Discs(discs) => self.discs(discs),
                Primitive::Text(mark) => self.text(mark),
                Primitive::Picture(picture) => self.picture(picture, scene),
                Primitive::Inset { origin, scene } => self.inset(*origin, scene),
            }
        }
    }

    fn line(&mut self, points: &[Point], closed: bool, stroke: &Stroke) {
        let Some(path) = path(points, closed) else {
            return;
        };
        let _ = write!(
            self.body,
            "<path d=\"{path}\" fill=\"none\"{} stroke-width=\"{}\"",
            Colour("stroke", stroke.ink),
            Number(stroke.width_pt)
        );
        let period: f64 = stroke.dash.iter().sum();
        // As in the other painters: a hopeless pattern is no pattern.
        if period > 0.0 && period.is_finite() && stroke.dash_offset_pt.is_finite() {
            let lengths: Vec<String> =
                stroke.dash.iter().map(|length| Number(*length).to_string()).collect();
            let _ = write!(self.body, " stroke-dasharray=\"{}\"", lengths.join(" "));
            let offset = stroke.dash_offset_pt.rem_euclid(period);
            if offset > 0.0 {
                let _ = write!(self.body, " stroke-dashoffset=\"{}\"", Number(offset));
            }
        }
        self.body.push_str("/>\n");
    }

    fn discs(&mut self, discs: &[Disc]) {
        let mut small: Vec<Disc> = Vec::new();
        let is_small = |disc: &Disc| disc.radius < SMALL_DISC_PT && discs.len() > MANY_DISCS;
        for disc in discs.iter().filter(|disc| disc.x.is_finite() && disc.y.is_finite()) {
            if is_small(disc) {
                small.push(*disc);
                continue;
            }
            self.small_discs(&mut small);
            let [x, y, radius] = [disc.x, disc.y, disc.radius].map(|v| Number(f64::from(v)));
            let fill = Colour("fill", disc.ink);
            let _ = writeln!(self.body, "<circle cx=\"{x}\" cy=\"{y}\" r=\"{radius}\"{fill}/>");
        }
        self.small_discs(&mut small);
    }

    /// Discs as the round ends of lines that are all ends. Those of one look are one path, in the
    /// order in which each look comes first.
    fn small_discs(&mut self, discs: &mut Vec<Disc>) {
        let mut order: Vec<(Look, String)> = Vec::new();
        let mut places: HashMap<Look, usize> = HashMap::new();
        for disc in discs.drain(..) {
            let look = look(&disc);
            let place = *places.entry(look).or_insert_with(|| {
                order.push((look, String::new()));
                order.len() - 1
            });
            if let Some((_, path)) = order.get_mut(place) {
                // A line of no length at all is left out by some programs.
                let [x, y] = [disc.x, disc.y].map(|v| Number(f64::from(v)));
                let _ = write!(path, "M{x} {y}h.01");
            }
        }
        if order.is_empty() {
            return;
        }
        self.body.push_str("<g fill=\"none\" stroke-linecap=\"round\">\n");
        for (([red, green, blue], opacity, radius), path) in order {
            let _ = write!(self.body, "<path d=\"{path}\" stroke=\"#{red:x}{green:x}{blue:x}\"");
            if opacity < 50 {
                let _ =
                    write!(self.body, " stroke-opacity=\"{}\"", Number(f64::from(opacity) / 50.0));
            }
            let _ = writeln!(self.body, " stroke-width=\"{}\"/>", Number(f64::from(radius) / 25.0));
        }
        self.body.push_str("</g>\n");
    }

    fn text(&mut self, mark: &TextMark) {
        let [x, y] = [mark.left(), mark.at[1]];
        if !(x.is_finite() && y.is_finite() && mark.size_pt.is_finite()) {
            return;
        }
        let _ = write!(self.body, "<g role=\"img\" aria-label=\"{}\">", escaped(&mark.text));
        let mut named = String::new();
        if let Some(halo) = mark.halo {
            let name = self.name('t');
            let reach = TextMark::HALO_PT * std::f64::consts::FRAC_1_SQRT_2;
            let _ = write!(self.body, "<g{}>", Colour("fill", halo));
            for (dx, dy) in [(-reach, -reach), (reach, -reach), (-reach, reach), (reach, reach)] {
                let (dx, dy) = (Number(dx), Number(dy));
                let _ = write!(self.body, "<use xlink:href=\"#{name}\" x=\"{dx}\" y=\"{dy}\"/>");
            }
            self.body.push_str("</g>");
            named = format!(" id=\"{name}\"");
        }
        let outlines = font::outlines(mark.weight);
        let per_em = outlines.units_per_em().unwrap_or(1000.0);
        let scale = mark.size_pt / f64::from(per_em);
        let _ = write!(
            self.body,
            "<g{}><g{named} transform=\"translate({} {})scale({scale:.5})\">",
            Colour("fill", mark.ink),
            Number(x),
            Number(y),
        );
        let heavy = mark.weight == Weight::Heavy;
        let mut pen = 0.0;
        for character in mark.text.chars() {
            let glyph = outlines.glyph_id(character);
            if outlines.outline(glyph).is_some() {
                self.glyphs.insert((heavy, glyph.0));
                let (prefix, weight) = (&self.prefix, weight_letter(heavy));
                let _ = write!(self.body, "<use xlink:href=\"#{prefix}{weight}{}\"", glyph.0);
                if pen != 0.0 {
                    let _ = write!(self.body, " x=\"{}\"", Number(pen));
                }
                self.body.push_str("/>");
            }
            pen += f64::from(font::advance(character, per_em, mark.weight));
        }
        self.body.push_str("</g></g></g>\n");
    }

    /// A scene within the scene: its ground, then its items, cut off at its edges.
    /// Its pixels as they lie on the page, in a picture of their own.
    fn picture(&mut self, picture: &Picture, scene: &Scene) {
        let upright = picture::upright(picture, scene.bounds(), PICTURE_PX_PER_PT, PICTURE_MOST_PX);
        let Some((upright, png)) = upright.and_then(|upright| {
            let png = see_through_png(&upright)?;
            Some((upright, png))
        }) else {
            return;
        };
        let Bounds { left, top, .. } = upright.bounds;
        let [x, y, width, height] =
            [left, top, upright.bounds.width(), upright.bounds.height()].map(Number);
        let _ = writeln!(
            self.body,
            "<image x=\"{x}\" y=\"{y}\" width=\"{width}\" height=\"{height}\" \
             preserveAspectRatio=\"none\" xlink:href=\"data:image/png;base64,{}\"/>",
            BASE64.encode(png)
        );
    }

    fn inset(&mut self, origin: Point, scene: &Scene) {
        let clip = self.name('c');
        let [x, y, width, height] =
            [origin[0], origin[1], scene.width_pt, scene.height_pt].map(Number);
        let _ = writeln!(
            self.body,
            "<clipPath id=\"{clip}\"><path d=\"M0 0H{width}V{height}H0z\"/></clipPath>\n\
             <g transform=\"translate({x} {y})\" clip-path=\"url(#{clip})\">"
        );
        self.ground(scene);
        self.items(scene);
        self.body.push_str("</g>\n");
    }

    /// The outlines of every letter that was used.
    fn write_glyphs(&self, out: &mut String) {
        for (heavy, glyph) in &self.glyphs {
            let weight = if *heavy { Weight::Heavy } else { Weight::Regular };
            let Some(outline) = font::outlines(weight).outline(ab_glyph::GlyphId(*glyph)) else {
                continue;
            };
            let (prefix, letter) = (&self.prefix, weight_letter(*heavy));
            let path = glyph_path(&outline.curves);
            let _ = writeln!(out, "<path id=\"{prefix}{letter}{glyph}\" d=\"{path}\"/>");
        }
    }
}

/// What the names of a weight's letters begin with.
const fn weight_letter(heavy: bool) -> char {
    if heavy { 'h' } else { 'r' }
}

fn look(disc: &Disc) -> Look {
    let [red, green, blue, alpha] = disc.ink.0;
    let steps = |channel: u8| (u16::from(channel) + 8) / 17;
    // OK because 255 has 15 steps, and floats are cast to the nearest value that fits.
    let colour = [red, green, blue].map(|channel| steps(channel) as u8);
    let opacity = (f32::from(alpha) / 255.0 * 50.0).round() as u8;
    (colour, opacity, (disc.radius * 50.0).round().max(1.0) as u16)
}

/// A line or an area; none if a place is not finite or there is no second one.
fn path(points: &[Point], closed: bool) -> Option<String> {
    if points.len() < 2 || points.iter().flatten().any(|v| !v.is_finite()) {
        return None;
    }
    let mut path = String::with_capacity(points.len() * 14);
    for (place, [x, y]) in points.iter().enumerate() {
        let (x, y) = (Number(*x), Number(*y));
        let step = if place == 0 { 'M' } else { 'L' };
        let _ = write!(path, "{step}{x} {y}");
    }
    if closed {
        path.push('z');
    }
    Some(path)
}

/// The contours of a letter in its font's units, y down.
fn glyph_path(curves: &[OutlineCurve]) -> String {
    let mut path = String::new();
    let mut pen = None;
    for curve in curves {
        let (from, to) = match curve {
            OutlineCurve::Line(from, to)
            | OutlineCurve::Quad(from, _, to)
            | OutlineCurve::Cubic(from, _, _, to) => (*from, *to),
        };
        if pen != Some(from) {
            let _ = write!(path, "M{}", Unit(from));
        }
        let _ = match curve {
            OutlineCurve::Line(..) => write!(path, "L{}", Unit(to)),
            OutlineCurve::Quad(_, one, _) => write!(path, "Q{} {}", Unit(*one), Unit(to)),
            OutlineCurve::Cubic(_, one, two, _) => {
                write!(path, "C{} {} {}", Unit(*one), Unit(*two), Unit(to))
            }
        };
        pen = Some(to);
    }
    path
}

/// A place in a font's units, turned y down.
struct Unit(ab_glyph::Point);

impl std::fmt::Display for Unit {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let [x, y] = [self.0.x, -self.0.y].map(|v| Number(f64::from(v)));
        write!(f, "{x} {y}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scene::primitive::Anchor;

    #[test]
    fn numbers_are_short() {
        let words = |v: f64| Number(v).to_string();
        assert_eq!(
            [0.0, -0.001, 1.5, -2.25, 10.004, 0.05, -0.5].map(words),
            ["0", "0", "1.5", "-2.25", "10", "0.05", "-0.5"]
        );
        assert_eq!(words(f64::NAN), "0");
    }

    #[test]
    fn odd_signs_are_written_as_xml_wants_them() {
        assert_eq!(escaped("a<b>&\"'\u{1}"), "a&lt;b&gt;&amp;&quot;&#39; ");
        assert!(matches!(escaped("NGC 7000 · 2°"), Cow::Borrowed(_)));
    }

    #[test]
    fn a_letter_is_stored_once_and_its_contours_begin_anew() {
        let mut scene = Scene::new(50.0, 20.0, Ink::rgb(0, 0, 0));
        scene.items.push(Primitive::Text(TextMark {
            at: [2.0, 15.0],
            anchor: Anchor::Start,
            text: "OOO".to_owned(),
            size_pt: 10.0,
            weight: Weight::Regular,
            ink: Ink::rgb(255, 255, 255),
            halo: None,
        }));
        let svg = render(&scene);
        let letters: Vec<&str> = svg.lines().filter(|line| line.contains("<path id=")).collect();
        assert_eq!(letters.len(), 1);
        // An O has an outer and an inner edge.
        assert_eq!(letters[0].matches('M').count(), 2);
        assert_eq!(svg.matches("<use").count(), 3);
    }

    #[test]
    fn a_line_to_nowhere_is_left_out() {
        assert_eq!(path(&[[0.0, 0.0], [f64::NAN, 1.0]], false), None);
        assert_eq!(path(&[[0.0, 0.0], [3.25, 1.0]], true).as_deref(), Some("M0 0L3.25 1z"));
    }
}
