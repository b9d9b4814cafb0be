//! What stands where on the page: title above, sky, legend below or beside it, attribution.

use std::borrow::Cow;

use fieldstop::kit::Kit;
use fieldstop::shape::Shape;
use fieldstop::{Angle, Frame, TangentPlane, TangentPoint};

use super::header::{Footer, Header, LINE_PT, Title, shortened};
use super::legend::Legend;
use super::night::ChosenNight;
use super::options::{PageGround, PageStyle, Part};
use super::rigs::rigs;
use super::size::{Layout, PageSize};
use super::{SketchError, SketchOptions, check};
use crate::font::Weight;
use crate::scene::primitive::{Bounds, Primitive, Scene, Stroke};
use crate::scene::{DrawnFrame, Layers, Palette, SkyInput, SkyView, sky_scene, stars};
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
    /// As asked for.
    pub size: PageSize,
    /// The part of the sky that is shown.
    pub view: SkyView,
    /// Where the sky's top left corner stands, in points.
    pub sky_origin: [f64; 2],
    /// The frames that are drawn.
    pub frames: Vec<DrawnFrame>,
    /// Name of the file of the person's own picture under them.
    pub picture_name: Option<String>,
}

/// Free space along the page's edges.
pub(crate) const MARGIN_PT: f64 = 20.0;
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
    let rigs = rigs(kit, &target, &options.rigs)?;
    let style = &options.style;
    let picture_name = options.picture.as_ref().map(|picture| picture.name.clone());
    let Layout { width_pt: width, height_pt: height, px_per_pt } = style.size.layout();
    let palette = style.ground.palette();
    let mut scene = Scene::new(width, height, palette.page);

    let inner = width - 2.0 * MARGIN_PT;
    let header = header(kit, &target, style, inner)?;
    let with_footer = width >= LEAST_WITH_TITLE.0 && height >= LEAST_WITH_TITLE.1;
    let place = if with_footer {
        let top = header.height_pt();
        let listed = if style.draws(Part::Legend) { rigs.as_slice() } else { &[] };
        let laid_out = |no_room: &[Part]| {
            let footer = Footer::new(style, picture_name.as_deref(), no_room, inner);
            let foot = height - footer.height_pt();
            let legend = Legend::best(listed, inner, foot - top);
            let size = legend.sky_size(inner, foot - top);
            (footer, foot, legend, size)
        };
        let mut laid = laid_out(&[]);
        // The line that says it takes a little more of the sky.
        let no_room = style.without_room(laid.3, true);
        if !no_room.is_empty() {
            laid = laid_out(&no_room);
        }
        let (footer, foot, legend, (sky_width, sky_height)) = laid;
        let place = Bounds::at(MARGIN_PT, top, sky_width, sky_height);
        header.draw(inner, &palette, &mut scene);
        legend.draw(listed, &place, &palette, &mut scene);
        footer.draw(foot, &palette, &mut scene);
        place
    } else if style.night.is_some() {
        return Err(SketchError::NoRoomForNight { size: style.size.words() });
    } else {
        scene.bounds()
    };
    let words = width >= LEAST_WITH_WORDS.0 && height >= LEAST_WITH_WORDS.1;
    let layers = Layers { noted: with_footer, ..style.layers(words) };
    let frames: Vec<DrawnFrame> = rigs.into_iter().map(|rig| rig.drawn).collect();
    let by_height = place.width() / place.height();
    let span = options.span.unwrap_or_else(|| span(&target, &frames, by_height));
    let view = SkyView::new(target.middle(), span, place.width(), place.height());
    let inset = sky_of(kit, sky, &target, &frames, view, options, layers);
    scene.items.push(Primitive::Inset { origin: [place.left, place.top], scene: inset });
    edge(&place, style.ground, &palette, &mut scene);
    let title = format!("{}: {}", kit.name, target.name);
    let sky_origin = [place.left, place.top];
    Ok(Page { title, scene, px_per_pt, size: style.size, view, sky_origin, frames, picture_name })
}

/// Title, and the chosen night in words.
fn header(
    kit: &Kit,
    target: &Target,
    style: &PageStyle,
    inner: f64,
) -> Result<Header, SketchError> {
    let title = style.draws(Part::Title).then(|| Title::of(kit, target));
    let Some(evening) = style.night else {
        return Ok(Header::new(title, &[], None, inner));
    };
    let night = ChosenNight::new(kit, evening)?;
    let name = shortened(&target.name, LINE_PT, Weight::Heavy, inner / 2.0);
    let lines = [night.words(), format!("{name}: {}", night.hours(target))];
    Ok(Header::new(title, &lines, night.caution(&[target]).as_deref(), inner))
}

/// On white paper nothing else parts the sky from what surrounds it.
pub(crate) fn edge(place: &Bounds, ground: PageGround, palette: &Palette, scene: &mut Scene) {
    if ground == PageGround::Light {
        scene.outline(place.corners().to_vec(), Stroke::solid(palette.rule, 0.8));
    }
}

/// The wish of that name, else the catalogue's target.
pub(crate) fn target<'a>(
    kit: &Kit,
    sky: &'a Sky,
    name: &str,
) -> Result<Cow<'a, Target>, SketchError> {
    wish::target_named(kit, name, &sky.catalogue)
        .ok_or_else(|| SketchError::Target { found: name.to_owned() })
}

fn sky_of(
    kit: &Kit,
    sky: &Sky,
    target: &Target,
    frames: &[DrawnFrame],
    view: SkyView,
    options: &SketchOptions,
    layers: Layers,
) -> Scene {
    let style = &options.style;
    let stars = if layers.stars { stars::fetch(&view, &sky.stars) } else { Vec::new() };
    let wishes: Vec<_> = wish::wished_targets(kit, &sky.catalogue).collect();
    let wishes: Vec<_> = wishes.iter().map(AsRef::as_ref).collect();
    sky_scene(&SkyInput {
        view,
        palette: &style.ground.palette(),
        catalogue: &sky.catalogue,
        star_list: &sky.stars,
        stars: &stars,
        chosen: Some(target),
        wishes: &wishes,
        frames,
        picture: options.picture.as_ref(),
        layers,
    })
}

/// Wide enough for the target and every frame, with a little room round them.
pub(crate) fn span(target: &Target, frames: &[DrawnFrame], width_by_height: f64) -> Angle {
    /// Where there is neither a frame nor a size.
    const ALONE: Angle = Angle::from_deg(2.0);
    let plane = TangentPlane::new(target.middle());
    let frames = frames.iter().flat_map(|drawn| std::iter::once(&drawn.frame).chain(&drawn.panels));
    let outline = match target.shape() {
        Some(Shape::Ellipse(outline)) => outline.on_sky(target.place, 1e-4),
        Some(Shape::Drawn(drawn)) => drawn.places().to_vec(),
        None => Vec::new(),
    };
    let half = frames
        .flat_map(Frame::corners)
        .chain(outline)
        .filter_map(|place| plane.project(place))
        .map(|TangentPoint { xi, eta }| xi.abs().max(eta.abs() * width_by_height))
        .fold(0.0, f64::max);
    if half > 0.0 { Angle::from_rad((half * ROOM).atan()) * 2.0 } else { ALONE }
}
