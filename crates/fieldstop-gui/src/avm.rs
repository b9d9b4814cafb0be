//! Where on the sky a PNG, JPEG or TIFF lies: Astronomy Visualization Metadata, in its XMP packet.
//!
//! Pixels are counted as in FITS: the middle of the one at the bottom left is (1, 1), y grows up.
//! The rotation is the one of FITS's CROTA2, so it is negative where the picture's up direction
//! lies east of north.
//!
//! # Source
//! Astronomy Visualization Metadata standard 1.2 (Hurt, Christensen, Gauthier; Virtual Astronomy
//! Multimedia Project); XMP by ISO 16684-1.

use fieldstop::world_coordinates::WorldCoordinates;
use fieldstop::{Angle, Direction};
use roxmltree::{Document, Node, ParsingOptions};

use crate::own_picture::{check_place, check_sizes, turned_matrix};
use crate::words::shortened;

const AVM: &str = "http://www.communicatingastronomy.org/avm/1.0/";
const RDF: &str = "http://www.w3.org/1999/02/22-rdf-syntax-ns#";
/// More is no metadata.
const LARGEST: usize = 2_000_000;
const MOST_NODES: u32 = 50_000;

/// What is said of a picture beside its place.
#[derive(Clone, Copy, Debug)]
pub struct Words<'a> {
    /// Its title.
    pub title: &'a str,
    /// What it shows, and what of it is not real.
    pub description: &'a str,
    /// Which program made it.
    pub creator: &'a str,
    /// Whose data it is made from.
    pub credit: &'a str,
    /// Under which terms.
    pub rights: &'a str,
    /// Which part of the picture the coordinates hold for.
    pub spatial_notes: &'a str,
}

/// The XMP packet of a drawn chart with these world coordinates.
///
/// The map must be without distortion, and its pixels square and as the sky is seen.
pub fn packet(map: &WorldCoordinates, words: &Words<'_>) -> String {
    let scale = map.scale().deg();
    let rotation = -map.rotation().wrapped_signed().deg();
    let pair = |name: &str, [one, other]: [f64; 2]| {
        let item = |number: f64| format!("<rdf:li>{number}</rdf:li>");
        format!("   <avm:{name}><rdf:Seq>{}{}</rdf:Seq></avm:{name}>\n", item(one), item(other))
    };
    let alone = |name: &str, value: &str| format!("   <{name}>{}</{name}>\n", escaped(value));
    let lang = |name: &str, value: &str| {
        let text = escaped(value);
        format!(
            "   <{name}><rdf:Alt><rdf:li xml:lang=\"x-default\">{text}</rdf:li></rdf:Alt></{name}>\n"
        )
    };
    let creator = escaped(words.creator);
    let properties = [
        alone("avm:MetadataVersion", "1.2"),
        alone("avm:Type", "Chart"),
        lang("dc:title", words.title),
        lang("dc:description", words.description),
        format!("   <dc:creator><rdf:Seq><rdf:li>{creator}</rdf:li></rdf:Seq></dc:creator>\n"),
        alone("photoshop:Source", words.creator),
        alone("photoshop:Credit", words.credit),
        lang("xmpRights:UsageTerms", words.rights),
        alone("avm:Spatial.CoordinateFrame", "ICRS"),
        alone("avm:Spatial.Equinox", "2000.0"),
        pair("Spatial.ReferenceValue", [map.reference.ra().deg(), map.reference.dec().deg()]),
        pair("Spatial.ReferenceDimension", [map.width_px, map.height_px].map(f64::from)),
        pair("Spatial.ReferencePixel", map.reference_px),
        pair("Spatial.Scale", [-scale, scale]),
        alone("avm:Spatial.Rotation", &(rotation + 0.0).to_string()),
        alone("avm:Spatial.CoordsystemProjection", "TAN"),
        alone("avm:Spatial.Quality", "Full"),
        lang("avm:Spatial.Notes", words.spatial_notes),
    ]
    .concat();
    format!(
        "<?xpacket begin=\"\u{feff}\" id=\"W5M0MpCehiHzreSzNTczkc9d\"?>\n\
         <x:xmpmeta xmlns:x=\"adobe:ns:meta/\">\n \
         <rdf:RDF xmlns:rdf=\"{RDF}\">\n  \
         <rdf:Description rdf:about=\"\"\n    \
         xmlns:avm=\"{AVM}\"\n    \
         xmlns:dc=\"http://purl.org/dc/elements/1.1/\"\n    \
         xmlns:photoshop=\"http://ns.adobe.com/photoshop/1.0/\"\n    \
         xmlns:xmpRights=\"http://ns.adobe.com/xap/1.0/rights/\">\n\
         {properties}  </rdf:Description>\n </rdf:RDF>\n</x:xmpmeta>\n<?xpacket end=\"w\"?>"
    )
}

/// Text as XML takes it; control characters, which it does not, become blanks.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for letter in text.chars() {
        match letter {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            _ if letter.is_control() || matches!(letter, '\u{fffe}' | '\u{ffff}') => out.push(' '),
            _ => out.push(letter),
        }
    }
    out
}

/// The world coordinates in an XMP packet for a picture of this size; none if it says nothing of
/// the sky.
///
/// # Errors
/// What is wrong, and what was expected.
pub fn coordinates(
    packet: &[u8],
    (width_px, height_px): (u32, u32),
) -> Result<Option<WorldCoordinates>, String> {
    let text = str::from_utf8(packet).map_err(|_| "they are no Unicode text".to_owned())?;
    if text.len() > LARGEST {
        return Err("they are longer than any metadata".to_owned());
    }
    let options =
        ParsingOptions { allow_dtd: false, nodes_limit: MOST_NODES, ..Default::default() };
    let text = text.trim_matches(|c: char| c.is_whitespace() || matches!(c, '\0' | '\u{feff}'));
    let document = Document::parse_with_options(text, options).map_err(|error| {
        format!("they are no sound XML: {}", shortened(&error.to_string(), 200))
    })?;
    let spatial = Spatial(&document);
    let Some(reference_deg) = spatial.numbers::<2>("ReferenceValue")? else { return Ok(None) };
    spatial.check_words()?;
    let [ra_deg, dec_deg] = reference_deg;
    check_place([ra_deg, dec_deg])?;
    let size = [width_px, height_px].map(f64::from);
    let stated = spatial.numbers::<2>("ReferenceDimension")?.unwrap_or(size);
    let grown = [size[0] / stated[0], size[1] / stated[1]];
    // Rounding to whole pixels may cost one on either side.
    let uneven = (stated[0] * grown[1] - size[0]).abs();
    let allowed = 2.0 + size[0] / stated[1].max(1.0);
    // A NaN is no shape either, and a side below zero would turn the picture round.
    let turned = stated.iter().any(|side| *side <= 0.0);
    if turned || uneven.is_nan() || uneven > allowed {
        return Err(format!(
            "they are for a picture of {} x {} pixels; expected {width_px} x {height_px}, or the \
             same shape",
            stated[0], stated[1]
        ));
    }
    let Some(pixel) = spatial.numbers::<2>("ReferencePixel")? else {
        return Err("Spatial.ReferencePixel is missing".to_owned());
    };
    let [east, north] = spatial.matrix()?;
    // The left edge of the picture, at 0.5, is the same place at every size.
    let on_picture = |axis: usize| (pixel[axis] - 0.5) * grown[axis] + 0.5;
    let map = WorldCoordinates {
        width_px,
        height_px,
        reference_px: [on_picture(0), on_picture(1)],
        reference: Direction::from_ra_dec(Angle::from_deg(ra_deg), Angle::from_deg(dec_deg)),
        cd_deg: [east, north].map(|[x, y]| [x / grown[0], y / grown[1]]),
        distortion: None,
    };
    if !map.is_sound() {
        return Err("the scale is zero or no number".to_owned());
    }
    check_sizes(&map)?;
    Ok(Some(map))
}

/// The Spatial properties of a packet.
struct Spatial<'a, 'input>(&'a Document<'input>);

impl Spatial<'_, '_> {
    /// The texts of a property, which may be an attribute, an element, or a list in one.
    fn texts(&self, name: &str) -> Option<Vec<String>> {
        let name = format!("Spatial.{name}");
        let is_it = |node: &Node<'_, '_>| node.has_tag_name((AVM, name.as_str()));
        if let Some(element) = self.0.descendants().find(is_it) {
            let items = element.descendants().filter(|node| node.has_tag_name((RDF, "li")));
            let items: Vec<String> =
                items.map(|item| item.text().unwrap_or_default().trim().to_owned()).collect();
            let alone = || vec![element.text().unwrap_or_default().trim().to_owned()];
            return Some(if items.is_empty() { alone() } else { items });
        }
        let attribute =
            self.0.descendants().find_map(|node| node.attribute((AVM, name.as_str())))?;
        Some(vec![attribute.trim().to_owned()])
    }

    /// So many finite numbers, which a list may also hold in one text.
    fn numbers<const N: usize>(&self, name: &str) -> Result<Option<[f64; N]>, String> {
        let Some(texts) = self.texts(name) else { return Ok(None) };
        let joined = texts.join(" ");
        if joined.trim().is_empty() {
            return Ok(None);
        }
        let words = joined.split(|c: char| c.is_whitespace() || matches!(c, ',' | ';'));
        let numbers: Vec<f64> = words
            .filter(|word| !word.is_empty())
            .filter_map(|word| word.parse().ok().filter(|number: &f64| number.is_finite()))
            .collect();
        let numbers = <[f64; N]>::try_from(numbers).map_err(|_| {
            let found = shortened(&joined, 60);
            format!("Spatial.{name} is {found:?}; expected numbers, {N} of them")
        })?;
        Ok(Some(numbers))
    }

    fn text(&self, name: &str) -> Option<String> {
        self.texts(name)?.into_iter().find(|text| !text.is_empty())
    }

    /// Only the projection and the frames that are known.
    fn check_words(&self) -> Result<(), String> {
        let known = [
            ("CoordsystemProjection", &["TAN"][..], "TAN"),
            ("CoordinateFrame", &["ICRS", "FK5"], "ICRS, or FK5 of 2000"),
            ("Equinox", &["2000", "2000.0", "J2000", "J2000.0"], "2000"),
        ];
        for (name, known, expected) in known {
            if let Some(found) = self.text(name).filter(|found| !known.contains(&found.as_str())) {
                let found = shortened(&found, 60);
                return Err(format!("Spatial.{name} is {found:?}; expected {expected}"));
            }
        }
        Ok(())
    }

    /// Degrees a pixel: by scale and rotation, or by the matrix of older versions.
    fn matrix(&self) -> Result<[[f64; 2]; 2], String> {
        if let Some(scale) = self.numbers::<2>("Scale")? {
            let [rotation] = self.numbers("Rotation")?.unwrap_or([0.0]);
            return Ok(turned_matrix(scale, Angle::from_deg(rotation)));
        }
        match self.numbers("CDMatrix")? {
            Some([a, b, c, d]) => Ok([[a, b], [c, d]]),
            None => Err("Spatial.Scale is missing".to_owned()),
        }
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test fails by panicking")]
    use super::*;

    fn map() -> WorldCoordinates {
        let place = Direction::from_ra_dec(Angle::from_deg(10.684_7), Angle::from_deg(41.269));
        WorldCoordinates::turned(
            (1200, 800),
            ([480.25, 431.5], place),
            [Angle::from_arcsec(7.3); 2],
            Angle::from_deg(31.0),
        )
    }

    fn written() -> String {
        let words = Words {
            title: "Ours & <theirs>: \"M 31\"\u{1}",
            description: "d",
            creator: "c",
            credit: "c",
            rights: "r",
            spatial_notes: "n",
        };
        packet(&map(), &words)
    }

    fn miss_px(found: &WorldCoordinates, grown: f64) -> f64 {
        let corners = [[0.5, 0.5], [1200.5, 0.5], [600.0, 400.0], [0.5, 800.5]];
        let miss = corners.map(|corner| {
            let place = map().sky(corner).unwrap();
            let [x, y] = found.pixel(place).unwrap();
            let wanted = corner.map(|edge| (edge - 0.5) * grown + 0.5);
            (x - wanted[0]).hypot(y - wanted[1])
        });
        miss.into_iter().fold(0.0, f64::max)
    }

    #[test]
    fn what_is_written_is_read_back_at_every_size() {
        for (size, grown) in [((1200, 800), 1.0), ((600, 400), 0.5), ((3600, 2400), 3.0)] {
            let found = coordinates(written().as_bytes(), size).unwrap().unwrap();
            assert!(miss_px(&found, grown) < 1e-6);
        }
        assert!(coordinates(written().as_bytes(), (1200, 700)).unwrap_err().contains("1200 x 800"));
    }

    #[test]
    fn properties_may_be_attributes() {
        let text = format!(
            "<r:RDF xmlns:r=\"{RDF}\"><r:Description xmlns:a=\"{AVM}\" \
             a:Spatial.ReferenceValue=\"10.6847, 41.269\" a:Spatial.ReferencePixel=\"480.25 431.5\" \
             a:Spatial.Scale=\"-0.00202777777777777778;0.00202777777777777778\" \
             a:Spatial.Rotation=\"-31\"/></r:RDF>"
        );
        let found = coordinates(text.as_bytes(), (1200, 800)).unwrap().unwrap();
        assert!(miss_px(&found, 1.0) < 1e-6);
    }

    #[test]
    fn what_cannot_be_used_is_refused_with_what_was_expected() {
        let changed = |from: &str, to: &str| {
            let text = written();
            assert!(text.contains(from), "{from}");
            coordinates(text.replacen(from, to, 1).as_bytes(), (1200, 800)).unwrap_err()
        };
        assert!(changed(">TAN<", ">AIT<").contains("expected TAN"));
        assert!(changed(">ICRS<", ">GAL<").contains("expected ICRS"));
        assert!(changed("<rdf:li>41.269</rdf:li>", "<rdf:li>north</rdf:li>").contains("2 of them"));
        assert!(
            changed("<x:xmpmeta", "<!DOCTYPE a [<!ENTITY b \"c\">]><x:xmpmeta").contains("XML")
        );
        assert!(changed("</rdf:RDF>", "").contains("XML"));
        let both = (written().replacen("<rdf:li>1200<", "<rdf:li>-1200<", 1)).replacen(
            "<rdf:li>800<",
            "<rdf:li>-800<",
            1,
        );
        for (packet, sides) in [
            (written().replacen("<rdf:li>1200<", "<rdf:li>-1200<", 1), "-1200 x 800"),
            (written().replacen("<rdf:li>800<", "<rdf:li>0<", 1), "1200 x 0"),
            (both, "-1200 x -800"),
        ] {
            let why = coordinates(packet.as_bytes(), (1200, 800)).unwrap_err();
            assert!(why.contains(&format!("{sides} pixels; expected 1200 x 800")), "{why}");
        }
    }

    #[test]
    fn a_packet_without_the_sky_is_none() {
        let text = "<x:xmpmeta xmlns:x=\"adobe:ns:meta/\"/>";
        assert_eq!(coordinates(text.as_bytes(), (10, 10)), Ok(None));
    }
}
