//! What a random user does: one deed a frame, chosen by chance from what is on the screen.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use egui::accesskit::{Action as Ask, ActionData, ActionRequest, Role};
use egui::{Event, Key, Modifiers, PointerButton, Pos2, Rect, Vec2, pos2, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use fieldstop_gui::action::Action;
use fieldstop_gui::app::App;

use crate::chance::Chance;

pub(crate) type Window = Harness<'static, App>;

/// What somebody types: numbers good and bad, names, and what no field expects.
const WORDS: [&str; 34] = [
    "0",
    "-1",
    "1",
    "2.5",
    "12,5",
    "350",
    "1e999",
    "-0",
    "nan",
    "infinity",
    "1/0",
    "0.0000001",
    "99999999999999999999999999999999",
    "60000",
    "１２",
    "12° 30′",
    "-91",
    "23h59m60s",
    "",
    " ",
    "ngc7000",
    "M 31",
    "NGC 2403",
    "Europe/Berlin",
    "Nowhere/Land",
    "é漢字🔭",
    "\u{202e}abc",
    "a\u{0}b",
    "\u{fffd}\u{200b}",
    "two\nlines\tand a tab",
    "=1+1",
    "'",
    "Halpha, OIII; 3 nm",
    "a name that is much longer than any field in this program is wide, and then longer still",
];

const KEYS: [Key; 24] = [
    Key::Tab,
    Key::Tab,
    Key::Enter,
    Key::Escape,
    Key::Space,
    Key::ArrowUp,
    Key::ArrowDown,
    Key::ArrowLeft,
    Key::ArrowRight,
    Key::Backspace,
    Key::Delete,
    Key::Home,
    Key::End,
    Key::PageUp,
    Key::PageDown,
    Key::Plus,
    Key::Minus,
    Key::A,
    Key::F,
    Key::R,
    Key::C,
    Key::V,
    Key::F1,
    Key::F10,
];

/// What the file window's field is called.
const PATH_FIELD: &str = "Path of the file";

/// One frame's worth of doing.
#[derive(Clone, Debug)]
pub(crate) enum Deed {
    Click(Pos2, PointerButton),
    Press(Pos2),
    Move(Pos2),
    Release(Pos2),
    PointerGone,
    /// What assistive technology asks of a control; its name is only for the log.
    Ask(ActionRequest, String),
    Key(Modifiers, Key),
    Text(String),
    Paste(String),
    Scroll(Pos2, Vec2, Modifiers),
    Zoom(Pos2, f32),
    Resize(Vec2),
    PixelsPerPoint(f32),
    Focus(bool),
    Drop(PathBuf),
    Wait,
}

/// A file that is dropped on the window.
#[derive(Debug)]
struct Dropped(PathBuf);

impl egui::DroppedFile for Dropped {
    fn path(&self) -> &Path {
        &self.0
    }

    fn bytes(&self) -> Result<Vec<u8>, String> {
        std::fs::read(&self.0).map_err(|error| error.to_string())
    }
}

/// A control on the screen.
struct Control {
    role: Role,
    name: String,
    value: String,
    rect: Rect,
    request: ActionRequest,
}

impl Control {
    /// The system's file dialog would wait for a person, and leaving would end the trial.
    fn is_left_out(&self) -> bool {
        self.name.starts_with("Browse") || self.name.starts_with("Quit")
    }

    fn ask(&self, action: Ask, data: Option<ActionData>) -> Deed {
        let request = ActionRequest { action, data, ..self.request.clone() };
        Deed::Ask(request, format!("{:?} “{}”", self.role, self.name))
    }
}

fn controls(window: &Window) -> Vec<Control> {
    let points = f64::from(window.ctx.pixels_per_point());
    let nodes = window.query_all_by(|_| true);
    let controls = nodes.filter_map(|node| {
        let node = node.accesskit_node();
        let pixels = node.bounding_box()?;
        let [x0, y0, x1, y1] =
            [pixels.x0, pixels.y0, pixels.x1, pixels.y1].map(|side| (side / points) as f32);
        let (target_node, target_tree) = node.locate();
        Some(Control {
            role: node.role(),
            name: node.label().unwrap_or_default(),
            value: node.value().unwrap_or_default(),
            rect: Rect::from_min_max(pos2(x0, y0), pos2(x1, y1)),
            request: ActionRequest { action: Ask::Click, target_tree, target_node, data: None },
        })
    });
    controls.collect()
}

/// Chooses what to do next; most deeds are one frame, a drag is several.
pub(crate) fn choose(chance: &mut Chance, window: &Window, folder: &Path) -> Vec<Deed> {
    let controls = controls(window);
    let path_field = controls.iter().find(|c| c.name == PATH_FIELD && c.role == Role::TextInput);
    if let Some(field) = path_field {
        return vec![with_file_window(chance, &controls, field, folder)];
    }
    let screen = window.ctx.content_rect();
    match chance.below(100) {
        0..20 => vec![on_a_control(chance, &controls, screen)],
        20..50 => vec![by_name(chance, &controls)],
        50..58 => vec![Deed::Click(place(chance, &controls, screen), button(chance))],
        58..68 => drag(chance, &controls, screen),
        68..76 => vec![shortcut(chance)],
        76..84 => vec![Deed::Key(modifiers(chance), *chance.of(&KEYS))],
        84..88 => vec![Deed::Text(words(chance))],
        88..90 => vec![Deed::Paste(words(chance))],
        90..94 => vec![scroll(chance, screen)],
        94..97 => vec![of_the_window(chance)],
        97 => vec![Deed::Drop(file(chance, folder))],
        98 => vec![Deed::Focus(chance.one_in(2))],
        _ => vec![Deed::Wait],
    }
}

/// With the file window open only paths within the trial's own folder are given.
fn with_file_window(
    chance: &mut Chance,
    controls: &[Control],
    field: &Control,
    folder: &Path,
) -> Deed {
    let given = Path::new(field.value.trim());
    if !given.starts_with(folder) || chance.one_in(4) {
        let path = file(chance, folder).to_string_lossy().into_owned();
        return field.ask(Ask::SetValue, Some(ActionData::Value(path.into())));
    }
    let answers: Vec<_> = controls
        .iter()
        .filter(|c| c.role == Role::Button && ["Open", "Save", "Cancel"].contains(&&*c.name))
        .collect();
    match chance.below(10) {
        0 => Deed::Key(Modifiers::NONE, Key::Escape),
        1 => of_the_window(chance),
        2 => Deed::Wait,
        _ if answers.is_empty() => Deed::Wait,
        // The window's own answers stand last.
        _ => answers[answers.len() - 1 - chance.below(answers.len().min(2))].ask(Ask::Click, None),
    }
}

/// A path within the folder: what is there, what may be written, and where nothing can be.
pub(crate) fn file(chance: &mut Chance, folder: &Path) -> PathBuf {
    const NAMES: [&str; 18] = [
        "kit.ron",
        "kit.ron",
        "damaged.ron",
        "list.csv",
        "picture.fits",
        "picture.png",
        "no coordinates.png",
        "saved.ron",
        "saved.ron",
        "odd 名 é.ron",
        "out.png",
        "out.svg",
        "out.csv",
        "out.xml",
        "out.pdf",
        "out.html",
        "no ending",
        "missing folder/out.ron",
    ];
    folder.join(chance.of(&NAMES))
}

/// One of the controls; what was shown last, such as a menu or a window, is preferred.
fn pick<'a>(chance: &mut Chance, controls: &'a [Control]) -> Option<&'a Control> {
    let back = (chance.share().powi(2) * controls.len() as f64) as usize;
    controls.get(controls.len().checked_sub(back + 1)?).filter(|control| !control.is_left_out())
}

fn on_a_control(chance: &mut Chance, controls: &[Control], screen: Rect) -> Deed {
    let Some(control) = pick(chance, controls) else { return Deed::Wait };
    let at = control.rect.center();
    let at = if at.any_nan() || touches_left_out(controls, at) { screen.left_top() } else { at };
    Deed::Click(at, button(chance))
}

fn touches_left_out(controls: &[Control], at: Pos2) -> bool {
    controls.iter().any(|control| control.is_left_out() && control.rect.expand(6.0).contains(at))
}

fn by_name(chance: &mut Chance, controls: &[Control]) -> Deed {
    let Some(control) = pick(chance, controls) else { return Deed::Wait };
    let settable = matches!(
        control.role,
        Role::TextInput | Role::MultilineTextInput | Role::Slider | Role::SpinButton
    );
    match (settable, chance.below(12)) {
        (true, 0..5) if chance.one_in(2) => {
            control.ask(Ask::SetValue, Some(ActionData::NumericValue(number(chance))))
        }
        (true, 0..5) => control.ask(Ask::SetValue, Some(ActionData::Value(words(chance).into()))),
        (true, 5) => control.ask(Ask::Increment, None),
        (true, 6) => control.ask(Ask::Decrement, None),
        (_, 7) => control.ask(Ask::ScrollIntoView, None),
        (true, _) | (false, 8) => control.ask(Ask::Focus, None),
        _ => control.ask(Ask::Click, None),
    }
}

fn number(chance: &mut Chance) -> f64 {
    const SPECIAL: [f64; 9] = [
        0.0,
        -0.0,
        -1.0,
        f64::NAN,
        f64::INFINITY,
        f64::NEG_INFINITY,
        f64::MAX,
        f64::MIN_POSITIVE,
        1e-9,
    ];
    if chance.one_in(4) {
        return *chance.of(&SPECIAL);
    }
    let size = 10_f64.powf(chance.between(-3.0, 5.0));
    if chance.one_in(5) { -size } else { size }
}

fn words(chance: &mut Chance) -> String {
    if chance.one_in(40) { "x".repeat(3000) } else { (*chance.of(&WORDS)).to_owned() }
}

fn button(chance: &mut Chance) -> PointerButton {
    match chance.below(12) {
        0 => PointerButton::Secondary,
        1 => PointerButton::Middle,
        _ => PointerButton::Primary,
    }
}

fn modifiers(chance: &mut Chance) -> Modifiers {
    const SETS: [Modifiers; 8] = [
        Modifiers::NONE,
        Modifiers::NONE,
        Modifiers::NONE,
        Modifiers::NONE,
        Modifiers::SHIFT,
        Modifiers::SHIFT,
        Modifiers::ALT,
        Modifiers::COMMAND,
    ];
    *chance.of(&SETS)
}

/// Somewhere on the window, or a little outside it.
fn place(chance: &mut Chance, controls: &[Control], screen: Rect) -> Pos2 {
    let at = pos2(
        chance.between(-4.0, f64::from(screen.right()) + 4.0) as f32,
        chance.between(-4.0, f64::from(screen.bottom()) + 4.0) as f32,
    );
    if touches_left_out(controls, at) { screen.left_top() } else { at }
}

/// A drag from a control or from anywhere, long or short, perhaps with a key in its midst.
fn drag(chance: &mut Chance, controls: &[Control], screen: Rect) -> Vec<Deed> {
    let from = match pick(chance, controls) {
        Some(control) if chance.one_in(2) && !control.rect.center().any_nan() => {
            control.rect.center()
        }
        _ => place(chance, controls, screen),
    };
    let mut deeds = vec![Deed::Move(from), Deed::Press(from)];
    let mut at = from;
    for _ in 0..=chance.below(5) {
        let reach = 10_f64.powf(chance.between(0.0, 2.7));
        let turn = chance.between(0.0, std::f64::consts::TAU);
        at += vec2((reach * turn.cos()) as f32, (reach * turn.sin()) as f32);
        deeds.push(Deed::Move(at));
    }
    if chance.one_in(6) {
        deeds.push(shortcut(chance));
        deeds.push(Deed::Move(from));
    }
    // Let go on the left-out controls of a window that has come up meanwhile, it is no click.
    deeds.push(if chance.one_in(8) { Deed::PointerGone } else { Deed::Release(at) });
    deeds.push(Deed::Release(screen.left_top()));
    deeds
}

fn shortcut(chance: &mut Chance) -> Deed {
    let all: Vec<_> = Action::with_shortcuts()
        .filter(|action| *action != Action::Quit)
        .filter_map(|action| action.shortcut())
        .collect();
    // Undo is pressed more often than anything else.
    let keys = if chance.one_in(4) { Action::Undo.shortcut() } else { None };
    let keys = keys.unwrap_or_else(|| *chance.of(&all));
    Deed::Key(keys.modifiers, keys.logical_key)
}

fn scroll(chance: &mut Chance, screen: Rect) -> Deed {
    let at = place(chance, &[], screen);
    if chance.one_in(3) {
        return Deed::Zoom(at, chance.between(0.2, 5.0) as f32);
    }
    let delta = vec2(chance.between(-60.0, 60.0) as f32, chance.between(-900.0, 900.0) as f32);
    Deed::Scroll(at, delta, modifiers(chance))
}

/// Another size or another scale.
fn of_the_window(chance: &mut Chance) -> Deed {
    if chance.one_in(2) {
        return Deed::PixelsPerPoint(*chance.of(&[0.75, 1.0, 1.0, 1.25, 1.5, 2.0, 3.0]));
    }
    let size = vec2(chance.between(1024.0, 2560.0) as f32, chance.between(680.0, 1440.0) as f32);
    Deed::Resize(*chance.of(&[size, size, vec2(1024.0, 680.0), vec2(2560.0, 1440.0)]))
}

impl Deed {
    /// What it is, for the log.
    pub(crate) fn told(&self) -> String {
        match self {
            Self::Ask(ActionRequest { action, data, .. }, control) => {
                let data = data.as_ref().map(|data| format!(" {data:?}")).unwrap_or_default();
                format!("{action:?} {control}{data}")
            }
            other => format!("{other:?}"),
        }
    }

    /// Does it, in one frame.
    pub(crate) fn act(&self, window: &mut Window) {
        let input = window.input_mut();
        let events = &mut input.events;
        match self.clone() {
            Self::Click(at, button) => {
                events.push(Event::PointerMoved(at));
                events.extend([true, false].map(|pressed| pointer(at, button, pressed)));
            }
            Self::Press(at) => events.push(pointer(at, PointerButton::Primary, true)),
            Self::Move(at) => events.push(Event::PointerMoved(at)),
            Self::Release(at) => events.push(pointer(at, PointerButton::Primary, false)),
            Self::PointerGone => events.push(Event::PointerGone),
            Self::Ask(request, _) => events.push(Event::AccessKitActionRequest(request)),
            Self::Key(modifiers, key) => {
                events.push(Event::ModifiersChanged(modifiers));
                events.extend([true, false].map(|pressed| Event::Key {
                    key,
                    physical_key: None,
                    pressed,
                    repeat: false,
                    modifiers,
                }));
                events.push(Event::ModifiersChanged(Modifiers::NONE));
            }
            Self::Text(text) => events.push(Event::Text(text)),
            Self::Paste(text) => events.push(Event::Paste(text)),
            Self::Scroll(at, delta, modifiers) => {
                events.push(Event::PointerMoved(at));
                events.push(Event::MouseWheel {
                    unit: egui::MouseWheelUnit::Point,
                    delta,
                    phase: egui::TouchPhase::Move,
                    source: egui::MouseWheelSource::Wheel,
                    modifiers,
                });
            }
            Self::Zoom(at, factor) => {
                events.push(Event::PointerMoved(at));
                events.push(Event::Zoom(factor));
            }
            Self::Resize(size) => drop(window.set_size(size)),
            Self::PixelsPerPoint(points) => drop(window.set_pixels_per_point(points)),
            Self::Focus(focused) => events.push(Event::WindowFocused(focused)),
            Self::Drop(path) => input.dropped_files.push(Arc::new(Dropped(path))),
            // The workers get a moment.
            Self::Wait => std::thread::sleep(std::time::Duration::from_millis(20)),
        }
        window.step();
    }
}

fn pointer(pos: Pos2, button: PointerButton, pressed: bool) -> Event {
    Event::PointerButton { pos, button, pressed, modifiers: Modifiers::NONE }
}
