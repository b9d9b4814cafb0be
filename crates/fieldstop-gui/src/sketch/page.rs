//! What stands where on the page: title above, sky, legend below or beside it, attribution.

use std::borrow::Cow;

use fieldstop::kit::Kit;
use fieldstop::{Angle, Frame, TangentPlane, TangentPoint};

use super::header::{self, Footer};
use super::legend::Legend;
use super::rigs::rigs;
use super::{SketchError, SketchOptions, check};
use crate::scene::primitive::{Bounds, Primitive, Scene};
use crate::scene::{
    DrawnFrame, Layers, Palette, PlacedPicture, SkyInput, SkyView, sky_scene, stars,
};
use crate::sky::{Sky, Target, wish};

/// A composed sketch, in points.
#[derive(Clone, Debug, PartialEq)]
pub struct Page {
    /// Whose kit, and which target.
    pub title: String,
    /// Everything on it.
    pub scene: Scene,
    /// Pixels to a point.
    pub px_per_pt: f64,
    /// The part of the sky that is shown.
    pub view: SkyView,
    /// Where the sky's top left corner stands, in points.
    pub sky_origin: [f64; 2],
    /// The frames that are drawn.
    pub frames: Vec<DrawnFrame>,
    /// Name of the file of the person's own picture under them.
    pub picture_name: Option<String>,
}

/// A page of this size has comfortable letters at one pixel to the point; a larger picture has
/// larger letters, not more room.
const COMFORTABLE_PT: (f64, f64) = (1200.0, 800.0);
/// Free space along the page's edges.
pub(super) const MARGIN_PT: f64 = 20.0;
/// Smaller pages show nothing but sky.
const LEAST_WITH_TITLE: (f64, f64) = (420.0, 320.0);
/// Smaller ones nothing but stars and lines.
const LEAST_WITH_WORDS: (f64, f64) = (240.0, 160.0);
/// Room round the largest frame and the target, where no span was asked for.
const ROOM: f64 = 1.16;

/// Composes a sketch.
///
/// # Errors
/// As [`sketch`](super::sketch), apart from painting.
pub fn page(kit: &Kit, sky: &Sky, options: &SketchOptions) -> Result<Page, SketchError> {
    check(options)?;
    let target = target(kit, sky, &options.target)?;
    let rigs = rigs(kit, &target, options)?;
    let picture = options.picture.as_ref();
    let picture_name = picture.map(|picture| picture.name.clone());
    let (width_px, height_px) = (f64::from(options.width_px), f64::from(options.height_px));
    let px_per_pt = (width_px / COMFORTABLE_PT.0).min(height_px / COMFORTABLE_PT.1).max(1.0);
    let (width, height) = (width_px / px_per_pt, height_px / px_per_pt);
    let palette = Palette::dark();
    let mut scene = Scene::new(width, height, palette.page);

    let inner = width - 2.0 * MARGIN_PT;
    let has_title = width >= LEAST_WITH_TITLE.0 && height >= LEAST_WITH_TITLE.1;
    let place = if has_title {
        let footer = Footer::new(inner, picture_name.as_deref());
        let foot = height - footer.height_pt();
        let legend = Legend::best(&rigs, inner, foot - header::HEIGHT_PT);
        let (sky_width, sky_height) = legend.sky_size(inner, foot - header::HEIGHT_PT);
        let place = Bounds::at(MARGIN_PT, header::HEIGHT_PT, sky_width, sky_height);
        header::draw(kit, &target, inner, &palette, &mut scene);
        legend.draw(&rigs, &place, &palette, &mut scene);
        footer.draw(foot, &palette, &mut scene);
        place
    } else {
        scene.bounds()
    };
    let text = width >= LEAST_WITH_WORDS.0 && height >= LEAST_WITH_WORDS.1;
    let frames: Vec<DrawnFrame> = rigs.into_iter().map(|rig| rig.drawn).collect();
    let by_height = place.width() / place.height();
    let span = options.span.unwrap_or_else(|| span(&target, &frames, by_height));
    let view = SkyView::new(target.place, span, place.width(), place.height());
    let inset = sky_of(kit, sky, &target, &frames, (view, &palette), text, picture);
    scene.items.push(Primitive::Inset { origin: [place.left, place.top], scene: inset });
    let title = format!("{}: {}", kit.name, target.name);
    let sky_origin = [place.left, place.top];
    Ok(Page { title, scene, px_per_pt, view, sky_origin, frames, picture_name })
}

/// The wish of that name, else the catalogue's target.
fn target<'a>(kit: &Kit, sky: &'a Sky, name: &str) -> Result<Cow<'a, Target>, SketchError> {
    kit.wish_list
        .iter()
        .find(|wish| wish.name() == name)
        .and_then(|wish| wish::target_of(wish, &sky.catalogue))
        .or_else(|| sky.catalogue.named(name).map(Cow::Borrowed))
        .ok_or_else(|| SketchError::Target { found: name.to_owned() })
}

fn sky_of(
    kit: &Kit,
    sky: &Sky,
    target: &Target,
    frames: &[DrawnFrame],
    (view, palette): (SkyView, &Palette),
    text: bool,
    picture: Option<&PlacedPicture>,
) -> Scene {
    let stars = stars::fetch(&view, &sky.stars);
    let wishes: Vec<_> =
        kit.wish_list.iter().filter_map(|wish| wish::target_of(wish, &sky.catalogue)).collect();
    let wishes: Vec<_> = wishes.iter().map(AsRef::as_ref).collect();
    sky_scene(&SkyInput {
        view,
        palette,
        catalogue: &sky.catalogue,
        star_list: &sky.stars,
        stars: &stars,
        chosen: Some(target),
        wishes: &wishes,
        frames,
        picture,
        layers: Layers { text, ..Layers::default() },
    })
}

/// Wide enough for the target and every frame, with a little room round them.
fn span(target: &Target, frames: &[DrawnFrame], width_by_height: f64) -> Angle {
    /// Where there is neither a frame nor a size.
    const ALONE: Angle = Angle::from_deg(2.0);
    let plane = TangentPlane::new(target.place);
    let frames = frames.iter().flat_map(|drawn| std::iter::once(&drawn.frame).chain(&drawn.panels));
    let outline = target.outline.iter().flat_map(|outline| outline.on_sky(target.place, 1e-4));
    let half = frames
        .flat_map(Frame::corners)
        .chain(outline)
        .filter_map(|place| plane.project(place))
        .map(|TangentPoint { xi, eta }| xi.abs().max(eta.abs() * width_by_height))
        .fold(0.0, f64::max);
    if half > 0.0 { Angle::from_rad((half * ROOM).atan()) * 2.0 } else { ALONE }
}
