//! Composes a strip: title, panels with their words, attribution.

use std::borrow::Cow;

use fieldstop::kit::Kit;
use fieldstop::{Angle, Frame};

use super::caption::Caption;
use super::grid::Grid;
use super::{MOST_PANELS, Over, Same, StripError, StripOptions};
use crate::scene::furniture;
use crate::scene::primitive::{Bounds, Primitive, Scene, Stroke};
use crate::scene::style::rig_style;
use crate::scene::{DrawnFrame, Layers, Palette, SkyInput, SkyView, sky_scene, stars};
use crate::sketch::header::{Footer, Header, Title};
use crate::sketch::night::ChosenNight;
use crate::sketch::rigs::{self, SketchedRig};
use crate::sketch::size::Layout;
use crate::sketch::{MARGIN_PT, PageSize, PageStyle, Part, edge, span, target};
use crate::sky::{Sky, Target, wish};

/// A composed strip, in points.
#[derive(Clone, Debug, PartialEq)]
pub struct StripPage {
    /// Whose kit, and what is compared.
    pub title: String,
    /// Everything on it.
    pub scene: Scene,
    /// Pixels to a point.
    pub px_per_pt: f64,
    /// As asked for.
    pub size: PageSize,
    /// The panels in their order.
    pub panels: Vec<Panel>,
}

/// A picture on the page.
#[derive(Clone, Debug, PartialEq)]
pub struct Panel {
    /// The rig's name, or the target's.
    pub name: String,
    /// Where the picture stands.
    pub bounds: Bounds,
    /// What it shows.
    pub view: SkyView,
    /// The rig's frame.
    pub frame: Frame,
}

/// What a panel is made of, before it has a place.
struct Subject<'a> {
    target: Cow<'a, Target>,
    rig: SketchedRig,
    caption: Caption,
    name: String,
}

/// How much smaller letters become before a page is said to be too small.
const CLOSER: [f64; 3] = [1.0, 1.15, 1.3];
/// Smaller panels have no room for names on the sky.
const LEAST_WITH_NAMES: (f64, f64) = (240.0, 160.0);

/// Composes a strip.
///
/// # Errors
/// As [`strip`](super::strip), apart from painting.
pub fn page(kit: &Kit, sky: &Sky, options: &StripOptions) -> Result<StripPage, StripError> {
    let style = &options.style;
    style.size.check()?;
    let night = style.night.map(|evening| ChosenNight::new(kit, evening)).transpose()?;
    let subjects = subjects(kit, sky, &options.over, night.as_ref())?;
    let composed = CLOSER.into_iter().find_map(|closer| {
        let layout = style.size.layout().closer(closer);
        compose(kit, sky, options, &subjects, night.as_ref(), layout)
    });
    let no_room = || StripError::NoRoom { size: style.size.words(), panels: subjects.len() };
    composed.ok_or_else(no_room)
}

/// A strip on a page of this layout; `None` where there is no room.
fn compose(
    kit: &Kit,
    sky: &Sky,
    options: &StripOptions,
    subjects: &[Subject<'_>],
    night: Option<&ChosenNight>,
    layout: Layout,
) -> Option<StripPage> {
    let Layout { width_pt, height_pt, px_per_pt } = layout;
    let style = &options.style;
    let palette = style.ground.palette();
    let mut scene = Scene::new(width_pt, height_pt, palette.page);
    let inner = width_pt - 2.0 * MARGIN_PT;
    let header = header(kit, options, subjects, night, inner);
    let aspects: Vec<f64> = match options.same {
        Same::Scale => Vec::new(),
        Same::Size => subjects.iter().map(|subject| aspect(&subject.rig.drawn.frame)).collect(),
    };
    let words = subjects.iter().fold((0.0f64, 0.0f64), |(width, height), subject| {
        (width.max(subject.caption.wanted_width()), height.max(subject.caption.height_pt()))
    });
    let laid_out = |no_room: &[Part]| {
        let footer = Footer::new(style, None, no_room, inner);
        let (top, bottom) = (header.height_pt(), height_pt - footer.height_pt());
        let area = Bounds { left: MARGIN_PT, top, right: MARGIN_PT + inner, bottom };
        let grid = Grid::best(subjects.len(), &area, words, &aspects)?;
        let panels = placed(subjects, &grid, options.same, &aspects);
        Some((footer, bottom, grid, panels))
    };
    let mut no_room = Vec::new();
    let mut laid = laid_out(&no_room)?;
    // The line that says what has no room may take the room of something else.
    for _ in Part::ALL {
        let found = without_room(style, &laid.3);
        if found.iter().all(|part| no_room.contains(part)) {
            break;
        }
        laid = laid_out(&found)?;
        no_room = found;
    }
    let (footer, foot, grid, panels) = laid;
    header.draw(inner, &palette, &mut scene);
    footer.draw(foot, &palette, &mut scene);
    for (subject, panel) in subjects.iter().zip(&panels) {
        draw(kit, sky, subject, panel, options, &palette, &mut scene);
        let corner = [panel.bounds.left, panel.bounds.bottom];
        subject.caption.draw(corner, grid.picture.0, &palette, &mut scene);
    }
    let title = format!("{}: {}", kit.name, subject_of(&options.over));
    Some(StripPage { title, scene, px_per_pt, size: style.size, panels })
}

/// What was asked for and is missing from a panel for want of room.
fn without_room(style: &PageStyle, panels: &[Panel]) -> Vec<Part> {
    let lacking = |panel: &Panel| {
        let size = (panel.view.width_pt, panel.view.height_pt);
        style.without_room(size, furniture::fits(size, LEAST_WITH_NAMES))
    };
    let lacking: Vec<Part> = panels.iter().flat_map(lacking).collect();
    Part::ALL.into_iter().filter(|part| lacking.contains(part)).collect()
}

/// What the whole strip is about.
fn subject_of(over: &Over) -> &str {
    match over {
        Over::Rigs { target } => target,
        Over::Targets { rig, .. } => rig,
    }
}

fn aspect(frame: &Frame) -> f64 {
    frame.field.half_width / frame.field.half_height
}

/// What the panels show, checked for number.
fn subjects<'a>(
    kit: &Kit,
    sky: &'a Sky,
    over: &Over,
    night: Option<&ChosenNight>,
) -> Result<Vec<Subject<'a>>, StripError> {
    match over {
        Over::Rigs { target: name } => {
            let on = target(kit, sky, name)?;
            let shown = rigs::wanted(kit, &[])?;
            let remedy = "show or hide rigs in the shortlist";
            counted(shown.len(), "shown rigs", remedy)?;
            let rigs = shown.into_iter().filter_map(|place| rigs::rig(kit, place, &on, false));
            Ok(rigs
                .map(|rig| {
                    let name = rig.drawn.name.clone();
                    let caption = Caption::new(name.clone(), Some(rig.drawn.mark), &rig, None);
                    Subject { target: on.clone(), rig, caption, name }
                })
                .collect())
        }
        Over::Targets { rig, targets } => {
            let place = rigs::wanted(kit, std::slice::from_ref(rig))?.first().copied();
            let on = targets_of(kit, sky, targets)?;
            counted(on.len(), "targets", "name them with commas between, or edit the wish list")?;
            let subject = |on: Cow<'a, Target>| {
                let rig = rigs::rig(kit, place?, &on, false)?;
                let hours = night.map(|night| night.short_hours(&on));
                let caption = Caption::new(on.title(), None, &rig, hours);
                Some(Subject { name: on.name.clone(), target: on, rig, caption })
            };
            Ok(on.into_iter().filter_map(subject).collect())
        }
    }
}

fn counted(found: usize, what: &'static str, remedy: &'static str) -> Result<(), StripError> {
    if (1..=MOST_PANELS).contains(&found) {
        Ok(())
    } else {
        Err(StripError::Count { found, what, remedy })
    }
}

/// The targets named, or the first of the wish list.
fn targets_of<'a>(
    kit: &Kit,
    sky: &'a Sky,
    names: &[String],
) -> Result<Vec<Cow<'a, Target>>, StripError> {
    if names.is_empty() {
        return Ok(wish::wished_targets(kit, &sky.catalogue).take(MOST_PANELS).collect());
    }
    names.iter().map(|name| Ok(target(kit, sky, name.trim())?)).collect()
}

fn header(
    kit: &Kit,
    options: &StripOptions,
    subjects: &[Subject<'_>],
    night: Option<&ChosenNight>,
    inner: f64,
) -> Header {
    let first = subjects.first();
    let title =
        first.filter(|_| options.style.draws(Part::Title)).map(|first| match options.over {
            Over::Rigs { .. } => Title::of(kit, &first.target),
            Over::Targets { .. } => Title {
                name: first.rig.drawn.name.clone(),
                beside: String::new(),
                whose: kit.name.clone(),
                facts: [&first.rig.focal_length, &first.rig.focal_ratio, &first.rig.field]
                    .map(String::as_str)
                    .join("  ·  "),
                place: kit.site.name.clone(),
            },
        });
    let mut lines = vec![match options.same {
        Same::Scale => "Every panel shows the same width of sky.".to_owned(),
        Same::Size => {
            "Every panel is what the picture would show, cut off at its edges; the camera's up is \
             up."
            .to_owned()
        }
    }];
    if let Over::Targets { targets, .. } = &options.over
        && targets.is_empty()
        && kit.wish_list.len() > subjects.len()
    {
        let (shown, all) = (subjects.len(), kit.wish_list.len());
        lines.push(format!("The first {shown} of the wish list's {all} targets."));
    }
    lines.extend(night.map(ChosenNight::words));
    if let (Some(night), Over::Rigs { .. }, Some(first)) = (night, &options.over, first) {
        lines.push(format!("{}: {}", first.target.name, night.hours(&first.target)));
    }
    if let Over::Targets { .. } = options.over {
        let drawn = subjects.iter().filter(|subject| subject.target.drawn.is_some());
        let names: Vec<&str> = drawn.map(|subject| subject.name.as_str()).collect();
        if !names.is_empty() {
            lines.push(format!("Outline drawn by hand: {}.", names.join(", ")));
        }
    }
    let targets: Vec<&Target> = match options.over {
        Over::Rigs { .. } => first.iter().map(|first| first.target.as_ref()).collect(),
        Over::Targets { .. } => subjects.iter().map(|subject| subject.target.as_ref()).collect(),
    };
    let caution = night.and_then(|night| night.caution(&targets));
    Header::new(title, &lines, caution.as_deref(), inner)
}

/// A place for every picture.
fn placed(subjects: &[Subject<'_>], grid: &Grid, same: Same, aspects: &[f64]) -> Vec<Panel> {
    let (width, height) = grid.picture;
    let widest = subjects
        .iter()
        .map(|subject| {
            span(&subject.target, std::slice::from_ref(&subject.rig.drawn), width / height)
        })
        .fold(Angle::ZERO, Angle::max);
    let common = grid.common_width(aspects);
    let panel = |(place, subject): (usize, &Subject<'_>)| {
        let at = grid.place(place);
        let frame = subject.rig.drawn.frame;
        let view = match same {
            Same::Scale => SkyView::new(subject.target.middle(), widest, width, height),
            Same::Size => SkyView::filled_by(&frame, common),
        };
        let bounds = Bounds::at(at.left, at.top, view.width_pt, view.height_pt);
        Panel { name: subject.name.clone(), bounds, view, frame }
    };
    subjects.iter().enumerate().map(panel).collect()
}

/// A panel's picture, and its edge.
fn draw(
    kit: &Kit,
    sky: &Sky,
    subject: &Subject<'_>,
    panel: &Panel,
    options: &StripOptions,
    palette: &Palette,
    scene: &mut Scene,
) {
    let inset = picture(kit, sky, subject, panel, &options.style, palette);
    let Bounds { left, top, .. } = panel.bounds;
    scene.items.push(Primitive::Inset { origin: [left, top], scene: inset });
    match options.same {
        Same::Scale => edge(&panel.bounds, options.style.ground, palette, scene),
        // The frame is the picture's edge.
        Same::Size => {
            let mark = subject.rig.drawn.mark;
            let corners = panel.bounds.corners().to_vec();
            let dash = rig_style(mark).dash;
            scene.outline(corners.clone(), Stroke::solid(palette.page, 2.6));
            scene.outline(corners, Stroke::dashed(palette.rig(mark), 1.6, dash));
        }
    }
}

fn picture(
    kit: &Kit,
    sky: &Sky,
    subject: &Subject<'_>,
    panel: &Panel,
    style: &PageStyle,
    palette: &Palette,
) -> Scene {
    let view = panel.view;
    let names = furniture::fits((view.width_pt, view.height_pt), LEAST_WITH_NAMES);
    let layers = style.layers(true);
    // A grid needs its numbers; header, caption and footer say the rest.
    let (text, grid) = (layers.text && names, layers.grid && names);
    let layers = Layers { text, grid, captioned: true, noted: true, ..layers };
    let stars = if layers.stars { stars::fetch(&view, &sky.stars) } else { Vec::new() };
    let wishes: Vec<_> = wish::wished_targets(kit, &sky.catalogue).collect();
    let wishes: Vec<_> = wishes.iter().map(AsRef::as_ref).collect();
    // The words below the panel name it.
    let frame = DrawnFrame { name: String::new(), ..subject.rig.drawn.clone() };
    sky_scene(&SkyInput {
        view,
        palette,
        catalogue: &sky.catalogue,
        star_list: &sky.stars,
        stars: &stars,
        chosen: Some(&subject.target),
        wishes: &wishes,
        frames: &[frame],
        picture: None,
        layers,
    })
}
