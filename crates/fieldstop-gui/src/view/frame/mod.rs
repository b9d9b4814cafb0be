//! The Frame view: the sky around the chosen target, with every candidate's frame upon it.

mod outline_edit;
mod outline_window;
mod pointer;
mod toolbar;

use outline_edit::OutlineEdit;
pub(crate) use toolbar::facts;

use egui::{Role, Sense, Ui, WidgetInfo};
use fieldstop::coverage::{image_circle_mm, lit_share};
use fieldstop::kit::Kit;
use fieldstop::shape::Shape;
use fieldstop::stars::Star;
use fieldstop::{Angle, Direction, Icrs, ResolvedRig};

use crate::action::{Action, Queue};
use crate::demand_words;
use crate::framing::lit_radius;
use crate::paint::screen;
use crate::scene::palette::Palette;
use crate::scene::primitive::Point;
use crate::scene::view::SkyView;
use crate::scene::{self, DrawnFrame, NamePlaces, PlacedPicture, SkyInput, handles};
use crate::sky::Sky;
use crate::sky::catalogue::Target;
use crate::state::{Figures, Workspace};
use crate::words;

/// What the Frame view is given to show and to change.
pub struct FrameInput<'a> {
    /// Frames are aimed in it.
    pub kit: &'a mut Kit,
    /// Where it looks, and at what.
    pub workspace: &'a mut Workspace,
    /// For the kit as it stood at the start of this frame.
    pub figures: &'a Figures,
    /// Objects and stars.
    pub sky: &'a Sky,
    /// A picture of the person's own.
    pub picture: Option<&'a PlacedPicture>,
    /// The theme's colours of the sky.
    pub palette: &'a Palette,
    /// What is asked for.
    pub queue: &'a mut Queue,
    /// The rig that the pointer is on, here or in a panel.
    pub lifted: &'a mut Option<usize>,
}

/// What the Frame view remembers between frames and nobody saves.
#[derive(Default)]
pub struct FrameView {
    drag: pointer::Drag,
    outline: Option<OutlineEdit>,
    stars: StarCache,
    names: NamePlaces,
    /// The place under the pointer.
    pub pointed: Option<Direction<Icrs>>,
}

/// Stars of the last view, since a resting view asks for the same ones again.
#[derive(Default)]
struct StarCache {
    view: Option<SkyView>,
    stars: Vec<Star>,
}

impl StarCache {
    fn of(&mut self, view: SkyView, sky: &Sky) -> &[Star] {
        if self.view != Some(view) {
            self.stars = scene::stars::fetch(&view, &sky.stars);
            self.view = Some(view);
        }
        &self.stars
    }
}

impl FrameView {
    /// Begins to draw the outline of a target, which the kit may know under another name; ends it
    /// if that is being done.
    pub fn draw_outline(&mut self, kit: &Kit, name: &str, target: &Target) {
        self.outline = match self.outline.take() {
            Some(edit) if edit.is_of(target) => None,
            _ => Some(OutlineEdit::begin(kit, name, target)),
        };
    }

    /// Whether an outline is being drawn.
    pub fn draws_outline(&self) -> bool {
        self.outline.is_some()
    }

    /// Shows the view over all the room there is.
    pub fn ui(&mut self, ui: &mut Ui, input: &mut FrameInput<'_>) {
        toolbar::ui(ui, input, self.outline.is_some());
        let size = ui.available_size();
        let (rect, response) = ui.allocate_exact_size(size, Sense::click_and_drag());
        let description = match &self.outline {
            Some(edit) => edit.describe(input.kit),
            None => describe(input),
        };
        response.widget_info(|| WidgetInfo::labeled(Role::Canvas, true, &description));
        let view = view_of(input.workspace, size);
        self.pointed = response.hover_pos().map(|at| view.sky(point_of(at, rect)));
        let target = input.figures.target.as_ref().map(|chosen| &chosen.target);
        self.outline = self.outline.take().filter(|edit| edit.goes_on(input.kit, target));
        let view = match &mut self.outline {
            Some(edit) => edit.follow(ui, &response, view, input),
            None => self.drag.follow(ui, &response, view, input),
        };
        remember_view(input.workspace, &view);

        let frames = drawn_frames(input, *input.lifted);
        let wishes: Vec<&Target> =
            input.figures.wishes.iter().filter_map(|wish| wish.target.as_ref()).collect();
        let sky = SkyInput {
            view,
            palette: input.palette,
            catalogue: &input.sky.catalogue,
            star_list: &input.sky.stars,
            stars: self.stars.of(view, input.sky),
            chosen: input.figures.target.as_ref().map(|chosen| &chosen.target),
            wishes: &wishes,
            frames: &frames,
            picture: input.picture,
            layers: scene::Layers {
                grid: input.workspace.layers.grid,
                catalogue: input.workspace.layers.catalogue,
                ..scene::Layers::default()
            },
        };
        let mut scene = scene::next_sky_scene(&sky, &mut self.names);
        if let Some(edit) = &self.outline {
            let corners = edit.places(input.kit);
            let projection = view.projection();
            handles::draw(&corners, edit.selected(), &projection, input.palette, &mut scene);
        }
        screen::paint(&scene, &ui.painter_at(rect), rect.min);
        if let Some(edit) = &mut self.outline {
            let at = rect.left_bottom() + egui::vec2(10.0, -10.0);
            outline_window::window(ui, edit, &view, at, input.kit, input.queue);
        }
        if response.has_focus() {
            let stroke = ui.visuals().selection.stroke;
            ui.painter().rect_stroke(rect.shrink(1.0), 0.0, stroke, egui::StrokeKind::Inside);
        }
        if input.figures.target.is_none() {
            invite(ui, rect, input.queue);
        }
    }
}

/// The view that the workspace remembers, in a rectangle of this size.
pub(crate) fn view_of(workspace: &Workspace, size: egui::Vec2) -> SkyView {
    let (ra_deg, dec_deg) = workspace.centre_deg;
    SkyView::new(
        Direction::from_ra_dec(Angle::from_deg(ra_deg), Angle::from_deg(dec_deg)),
        Angle::from_deg(workspace.span_deg),
        f64::from(size.x),
        f64::from(size.y),
    )
}

fn remember_view(workspace: &mut Workspace, view: &SkyView) {
    workspace.centre_deg = (view.centre.ra().deg(), view.centre.dec().deg());
    workspace.span_deg = view.span.deg();
}

fn point_of(at: egui::Pos2, rect: egui::Rect) -> Point {
    [f64::from(at.x - rect.min.x), f64::from(at.y - rect.min.y)]
}

/// The shown rigs' frames.
fn drawn_frames(input: &FrameInput<'_>, lifted: Option<usize>) -> Vec<DrawnFrame> {
    let Some(chosen) = &input.figures.target else { return Vec::new() };
    let mut drawn = Vec::new();
    for (rig, entry) in input.kit.rigs.iter().enumerate().filter(|(_, entry)| entry.shown) {
        let (Some(figures), Some(fit), Some(frame)) =
            (input.figures.rigs.get(rig), chosen.fits.get(rig), chosen.frames.get(rig))
        else {
            continue;
        };
        let resolved = input.kit.resolve(rig);
        let is_chosen = rig == input.workspace.rig;
        let is_lifted = lifted == Some(rig);
        let mut lines = Vec::new();
        if is_chosen || is_lifted {
            lines.push(words::field(figures.field.width(), figures.field.height()));
            lines.push(format!(
                "{}  {}",
                words::focal_ratio(figures.focal_ratio),
                words::pixel_scale(figures.pixel_scale)
            ));
            lines.push(words::fit(fit, input.figures.panel_count(input.kit, rig)));
            if is_cut(fit, &chosen.target, frame) {
                lines.push("cut off as aimed".to_owned());
            }
            if let Some(lit) = resolved.as_ref().and_then(lit_words) {
                lines.push(lit);
            }
        }
        let panels = (is_chosen && input.workspace.layers.panels)
            .then(|| input.figures.panel_answer(input.kit, rig))
            .flatten();
        drawn.push(DrawnFrame {
            name: entry.name.clone(),
            frame: *frame,
            mark: input.kit.mark_of(rig),
            lines,
            panels: panels.map(|answer| answer.plan.panels.clone()).unwrap_or_default(),
            lit_radius: resolved.as_ref().and_then(lit_radius),
            lifted: is_lifted,
            chosen: is_chosen,
        });
    }
    drawn
}

/// What of the sensor an image circle that is too small leaves lit.
fn lit_words(rig: &ResolvedRig<'_>) -> Option<String> {
    lit_radius(rig)?;
    let share = lit_share(rig.sensor(), image_circle_mm(rig).ok()?);
    Some(format!("corners cut off, {} lit", demand_words::percent(share)))
}

/// Whether a target that could be whole reaches over the frame as it was aimed.
fn is_cut(fit: &fieldstop::Fit, target: &Target, frame: &fieldstop::Frame) -> bool {
    const TOLERANCE: Angle = Angle::from_arcsec(10.0);
    // Touching the edge is not being cut: the outline's own tolerance would decide there.
    const TOUCHING: f64 = 1.001;
    let inside = |place: &Direction<Icrs>| {
        frame.picture_point(*place).is_some_and(|(x, y)| x.abs().max(y.abs()) <= TOUCHING)
    };
    fit.fill.is_some_and(|fill| fill <= 1.0)
        && target.shape().is_some_and(|shape| match shape {
            Shape::Ellipse(outline) => {
                !outline.on_sky(target.place, TOLERANCE.rad()).iter().all(inside)
            }
            Shape::Drawn(drawn) => !drawn.places().iter().all(inside),
        })
}

/// The view in one sentence, for those who cannot see it.
fn describe(input: &FrameInput<'_>) -> String {
    let Some(chosen) = &input.figures.target else {
        return "Sky, no target chosen".to_owned();
    };
    let fits: Vec<String> = input
        .kit
        .rigs
        .iter()
        .zip(&chosen.fits)
        .enumerate()
        .map(|(place, (rig, fit))| {
            let panels = input.figures.panel_count(input.kit, place);
            format!("{}: {}", rig.name, words::fit(fit, panels))
        })
        .collect();
    let picture = input.picture.map(|picture| format!(". Under them: {}", picture.name));
    let picture = picture.unwrap_or_default();
    format!("Sky around {}. {}{picture}", chosen.target.name, fits.join("; "))
}

/// What an empty view says, and the first step out of it.
fn invite(ui: &mut Ui, rect: egui::Rect, queue: &mut Queue) {
    let middle = egui::Rect::from_center_size(rect.center(), egui::vec2(320.0, 80.0));
    ui.scope_builder(egui::UiBuilder::new().max_rect(middle), |ui| {
        ui.vertical_centered(|ui| {
            ui.label("The frames of your rigs stand here, around a target.");
            queue.button(ui, Action::FindTarget, true);
        });
    });
}
