//! What the page shows, as a display list: who stands where, in which colour, without a pixel.
//!
//! [`sky_scene`] builds the sky with its frames. It takes plain values and gives plain values; the
//! window and every exported picture are painted from the same one.

mod clutter;
pub mod frames;
pub mod furniture;
mod grid;
pub mod handles;
pub mod labels;
mod name_places;
pub mod palette;
pub mod picture;
pub mod primitive;
mod quiet_ground;
pub mod raster;
pub mod stars;
pub mod style;
pub mod targets;
pub mod view;

use fieldstop::{Frame, Star};

pub use name_places::NamePlaces;
use palette::Ground;
pub use palette::Palette;
pub use picture::PlacedPicture;
pub use primitive::Scene;
use primitive::{Bounds, Primitive};
pub use view::SkyView;

use crate::sky::catalogue::{Catalogue, Target};
use crate::sky::star_list::StarList;
use labels::LabelBoard;

/// What is drawn, apart from the frames.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Layers {
    /// Stars.
    pub stars: bool,
    /// The equatorial grid.
    pub grid: bool,
    /// Targets that are neither chosen nor on the wish list.
    pub catalogue: bool,
    /// Every word on the sky.
    pub text: bool,
    /// The scale bar with its length.
    pub scale_bar: bool,
    /// The arrows to north and east.
    pub compass: bool,
    /// Whether the page around the sky says what it is of, so that the sky itself need not.
    pub captioned: bool,
    /// Whether the page around the sky says what on it is from no list.
    pub noted: bool,
}

impl Layers {
    /// Nothing.
    pub const fn nothing() -> Self {
        Self {
            stars: false,
            grid: false,
            catalogue: false,
            text: false,
            scale_bar: false,
            compass: false,
            captioned: false,
            noted: false,
        }
    }
}

impl Default for Layers {
    fn default() -> Self {
        Self {
            stars: true,
            grid: true,
            catalogue: true,
            text: true,
            scale_bar: true,
            compass: true,
            captioned: false,
            noted: false,
        }
    }
}

/// A rig's frame on the sky, with what is written beside it.
#[derive(Clone, Debug, PartialEq)]
pub struct DrawnFrame {
    /// The rig's name.
    pub name: String,
    /// Where it looks.
    pub frame: Frame,
    /// The rig's line style.
    pub mark: u8,
    /// Numbers that stand at its corner.
    pub lines: Vec<String>,
    /// The panels of its mosaic, if it is shown as one.
    pub panels: Vec<Frame>,
    /// Radius of the image circle in half widths of the frame, where it leaves corners dark.
    pub lit_radius: Option<f64>,
    /// Under the pointer, here or in the shortlist.
    pub lifted: bool,
    /// The chosen rig's.
    pub chosen: bool,
}

/// Everything that the picture of the sky depends on.
#[derive(Clone, Copy)]
pub struct SkyInput<'a> {
    /// What part of the sky.
    pub view: SkyView,
    /// In which colours.
    pub palette: &'a Palette,
    /// The targets that may be shown.
    pub catalogue: &'a Catalogue,
    /// For the names of bright stars.
    pub star_list: &'a StarList,
    /// The stars in view, as [`stars::fetch`] gave them.
    pub stars: &'a [Star],
    /// The target that the frames are aimed at.
    pub chosen: Option<&'a Target>,
    /// The wish list's targets, which are always shown.
    pub wishes: &'a [&'a Target],
    /// The frames, in the order of the shortlist.
    pub frames: &'a [DrawnFrame],
    /// A picture of the person's own under everything else.
    pub picture: Option<&'a PlacedPicture>,
    /// What else is drawn.
    pub layers: Layers,
}

/// The sky with its stars, targets and frames.
pub fn sky_scene(input: &SkyInput<'_>) -> Scene {
    next_sky_scene(input, &mut NamePlaces::default())
}

/// The same, where another was shown before it: names stay where they stood if they can.
pub fn next_sky_scene(input: &SkyInput<'_>, places: &mut NamePlaces) -> Scene {
    let SkyInput { view, palette, layers, .. } = input;
    let mut scene = Scene::new(view.width_pt, view.height_pt, palette.sky);
    let mut board = LabelBoard::new(view.bounds());
    let projection = view.projection();
    if let Some(picture) = input.picture {
        picture::draw(picture, palette, &projection, &mut scene);
    }
    if layers.grid {
        grid::draw(view, &projection, palette, &mut scene, &mut board);
    }
    if layers.stars {
        stars::draw(input, &projection, &mut scene);
    }
    targets::draw(input, &projection, &mut scene, &mut board);
    frames::draw(input, &projection, &mut scene, &mut board);
    if layers.text {
        stars::name(input.star_list, view, &projection, palette, &mut board);
    }
    furniture::draw(input, &mut scene, &mut board);
    if layers.text {
        board.write(palette, &projection, places, &mut scene);
    }
    quiet_ground::lay(input, &projection, &mut scene);
    if palette.ground == Ground::Paper {
        clear_letters(&mut scene);
    }
    scene
}

/// Takes away the small stars behind words: black ones beside black letters read as full stops.
fn clear_letters(scene: &mut Scene) {
    /// Brighter ones lead the eye and stay.
    const SMALL_PT: f32 = 2.2;
    let words: Vec<Bounds> = scene.texts().iter().map(|text| text.bounds().expanded(3.0)).collect();
    for item in &mut scene.items {
        if let Primitive::Discs(discs) = item {
            discs.retain(|disc| {
                let at = [f64::from(disc.x), f64::from(disc.y)];
                disc.radius > SMALL_PT || !words.iter().any(|bounds| bounds.contains(at))
            });
        }
    }
}
