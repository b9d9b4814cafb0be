//! Everything a person can ask for besides changing a field of the kit: one list, with the label,
//! the shortcut and the tip of each, for menus and keys alike.

use std::path::PathBuf;

use egui::{Key, KeyboardShortcut, Modifiers};
use fieldstop::kit::{DrawnOutline, Kit, OtaClass, Wish};

use crate::state::{ThemeChoice, ViewChoice};

/// Something a person asks for; queued while the window is drawn, done between frames.
#[derive(Clone, Debug, PartialEq)]
pub enum Action {
    /// Begin an empty kit.
    NewKit,
    /// Begin a kit in five steps.
    StartSteps,
    /// Go through the steps with the open kit, from where they were left.
    ResumeSteps,
    /// Leave the steps; what was given so far is the kit.
    LeaveSteps,
    /// End the steps at the last one.
    FinishSteps,
    /// Open the demo kit.
    OpenDemo,
    /// Ask which kit to open.
    AskOpen,
    /// Open a kit.
    Open(PathBuf),
    /// Save the kit where it is, or ask where.
    Save,
    /// Ask where to save the kit.
    AskSaveAs,
    /// Save the kit there.
    SaveAs(PathBuf),
    /// Show the window for exporting a sketch.
    AskSketch,
    /// Show the window for exporting a table.
    AskTable,
    /// Show the table of mosaic panels.
    ShowPanels,
    /// Show or hide the person's own picture and its settings.
    ShowPicture,
    /// Put a picture under the frames.
    OpenPicture(PathBuf),
    /// Take the picture under the frames away.
    RemovePicture,
    /// Show or hide site and limits.
    ShowSite,
    /// Show the window for a comparison sheet.
    AskSheet,
    /// Show keys, sources, licences and cautions.
    ShowAbout,
    /// Take the last change back.
    Undo,
    /// Take a change again.
    Redo,
    /// Show a view in the middle.
    ShowView(ViewChoice),
    /// Work out the year again after it was stopped.
    WorkOutYear,
    /// Change the window's colours.
    SetTheme(ThemeChoice),
    /// Put the cursor into the search field.
    FindTarget,
    /// Look at a target.
    ChooseTarget(String),
    /// Put a target on the wish list.
    AddWish(Wish),
    /// Ask for a target of the person's own.
    AskOwnTarget,
    /// Ask what is to change of one, by its place in the wish list.
    EditOwnTarget(usize),
    /// Ask which file of targets to read.
    AskReadWishes,
    /// Read a file of targets, and show what it would add.
    ReadWishes(PathBuf),
    /// Ask where to write the wish list.
    AskSaveWishes,
    /// Take a target off the wish list, by its place.
    RemoveWish(usize),
    /// Move a target within the wish list.
    MoveWish(usize, usize),
    /// Make a rig the chosen one.
    ChooseRig(usize),
    /// Add a rig of a class with typical parts.
    AddRig(OtaClass),
    /// Copy a rig.
    DuplicateRig(usize),
    /// Take a rig off the shortlist.
    RemoveRig(usize),
    /// Move a rig within the shortlist.
    MoveRig(usize, usize),
    /// Make a kit that was tried out the open one.
    KeepTried(Box<Kit>),
    /// Turn the chosen frame to where the target fits best, and centre it.
    BestFraming,
    /// Draw the chosen target's outline on the sky, or end that.
    DrawOutline,
    /// Give a target the outline that was drawn.
    PutOutline(DrawnOutline),
    /// Take the drawn outline of the chosen target away.
    RemoveOutline,
    /// Look closer.
    ZoomIn,
    /// Look wider.
    ZoomOut,
    /// Show target and all frames.
    ZoomToFrames,
    /// Leave.
    Quit,
}

impl Action {
    /// Whether it makes a change of its own, which is then a step of the history.
    pub fn changes_kit(&self) -> bool {
        matches!(
            self,
            Self::Undo
                | Self::Redo
                | Self::AddWish(_)
                | Self::RemoveWish(_)
                | Self::MoveWish(..)
                | Self::AddRig(_)
                | Self::DuplicateRig(_)
                | Self::RemoveRig(_)
                | Self::MoveRig(..)
                | Self::KeepTried(_)
                | Self::BestFraming
                | Self::DrawOutline
                | Self::PutOutline(_)
                | Self::RemoveOutline
                | Self::RemovePicture
        )
    }

    /// What menus and buttons say.
    pub fn label(&self) -> &'static str {
        match self {
            Self::NewKit => "New kit",
            Self::StartSteps => "New kit step by step…",
            Self::ResumeSteps => "Go on step by step",
            Self::LeaveSteps => "Leave the steps",
            Self::FinishSteps => "Open this kit",
            Self::OpenDemo => "Open the demo kit",
            Self::AskOpen => "Open kit…",
            Self::Open(_) => "Open",
            Self::Save => "Save kit",
            Self::AskSaveAs => "Save kit as…",
            Self::SaveAs(_) => "Save",
            Self::AskSketch => "Export picture…",
            Self::AskTable => "Export a table…",
            Self::ShowPanels => "Panels…",
            Self::ShowPicture => "Own picture…",
            Self::OpenPicture(_) => "Open",
            Self::RemovePicture => "Remove",
            Self::ShowSite => "Site and limits…",
            Self::AskSheet => "Comparison sheet…",
            Self::ShowAbout => "Keys, sources and cautions…",
            Self::Undo => "Undo",
            Self::Redo => "Redo",
            Self::ShowView(view) => view.label(),
            Self::WorkOutYear => "Work it out",
            Self::SetTheme(ThemeChoice::Dark) => "Dark",
            Self::SetTheme(ThemeChoice::Light) => "Light",
            Self::SetTheme(ThemeChoice::Red) => "Dim red",
            Self::FindTarget => "Find a target",
            Self::ChooseTarget(_) => "Show",
            Self::AddWish(_) => "Add to wish list",
            Self::AskOwnTarget => "A target of my own…",
            Self::EditOwnTarget(_) => "Change…",
            Self::AskReadWishes => "Wish list from a file…",
            Self::ReadWishes(_) => "Read targets",
            Self::AskSaveWishes => "Wish list to a file…",
            Self::RemoveWish(_) => "Remove from wish list",
            Self::MoveWish(..) | Self::MoveRig(..) => "Move",
            Self::ChooseRig(_) => "Choose",
            Self::AddRig(class) => crate::starting_points::class_label(*class),
            Self::DuplicateRig(_) => "Duplicate",
            Self::RemoveRig(_) => "Remove from shortlist",
            Self::KeepTried(_) => "Keep",
            Self::BestFraming => "Best rotation",
            Self::DrawOutline => "Draw the outline",
            Self::PutOutline(_) => "Keep the outline",
            Self::RemoveOutline => "Remove the drawn outline",
            Self::ZoomIn => "Zoom in",
            Self::ZoomOut => "Zoom out",
            Self::ZoomToFrames => "All frames",
            Self::Quit => "Quit",
        }
    }

    /// What resting on it explains.
    pub fn tip(&self) -> &'static str {
        match self {
            Self::AskOwnTarget => "For a place that no catalogue holds",
            Self::AskSheet => {
                "Puts the whole comparison on one to three pages, to print or to send"
            }
            Self::StartSteps => "Five short steps: site, camera, wish list, limits, candidates",
            Self::ResumeSteps => "The same five steps, with what this kit has so far",
            Self::LeaveSteps => "Nothing is lost: what you gave so far is your kit",
            Self::FinishSteps => "Shows it in the window, to be compared, changed and saved",
            Self::BestFraming => {
                "Puts the chosen frame on the middle of the target, turned so that the target fills it least"
            }
            Self::DrawOutline => {
                "Gives the target the shape that you draw on the sky; fill, rotation and panels then go by it"
            }
            Self::RemoveOutline => "Goes back to the catalogue's ellipse",
            Self::ZoomToFrames => "Shows the target and every frame at once",
            Self::KeepTried(_) => "Makes the change in your kit; undo takes it back in one step",
            Self::Undo => "Takes the last change of the kit back",
            Self::Redo => "Makes the change again that was taken back",
            Self::AskTable => "Every table of the program as CSV, with units in the headings",
            Self::AskReadWishes => {
                "Targets from a CSV file or a VOTable; you see them before they are added"
            }
            Self::AskSaveWishes => "The wish list with places and sizes, as CSV or as a VOTable",
            Self::AskSketch => {
                "Saves or copies this framing, or rigs side by side, as a picture with figures"
            }
            Self::ShowPanels => {
                "The panels the chosen rig needs for this target, with their centres"
            }
            Self::ShowPicture => {
                "A photograph of your own under the frames, where it lies on the sky"
            }
            Self::ShowView(view) => view.question(),
            Self::SetTheme(ThemeChoice::Red) => {
                "One dim red hue, for eyes that are used to the dark"
            }
            _ => "",
        }
    }

    /// The keys that ask for it from anywhere in the window.
    pub fn shortcut(&self) -> Option<KeyboardShortcut> {
        const SHIFT_COMMAND: Modifiers = Modifiers::COMMAND.plus(Modifiers::SHIFT);
        let (modifiers, key) = match self {
            Self::NewKit => (Modifiers::COMMAND, Key::N),
            Self::AskOpen => (Modifiers::COMMAND, Key::O),
            Self::Save => (Modifiers::COMMAND, Key::S),
            Self::AskSaveAs => (SHIFT_COMMAND, Key::S),
            Self::AskSheet => (SHIFT_COMMAND, Key::E),
            Self::AskSketch => (Modifiers::COMMAND, Key::E),
            Self::AskTable => (Modifiers::COMMAND, Key::T),
            Self::AskReadWishes => (Modifiers::COMMAND, Key::I),
            Self::ShowPanels => (Modifiers::COMMAND, Key::M),
            Self::ShowPicture => (Modifiers::COMMAND, Key::P),
            Self::Undo => (Modifiers::COMMAND, Key::Z),
            Self::Redo => (SHIFT_COMMAND, Key::Z),
            Self::FindTarget => (Modifiers::COMMAND, Key::F),
            Self::BestFraming => (Modifiers::COMMAND, Key::B),
            Self::DrawOutline => (Modifiers::COMMAND, Key::D),
            Self::ZoomIn => (Modifiers::ALT, Key::ArrowUp),
            Self::ZoomOut => (Modifiers::ALT, Key::ArrowDown),
            Self::ZoomToFrames => (Modifiers::ALT, Key::Home),
            Self::ShowAbout => (Modifiers::NONE, Key::F1),
            Self::Quit => (Modifiers::COMMAND, Key::Q),
            Self::ShowView(view) => (Modifiers::COMMAND, view.key()),
            _ => return None,
        };
        Some(KeyboardShortcut::new(modifiers, key))
    }

    /// The actions that keys can ask for; longer combinations first, so that none hides another.
    pub fn with_shortcuts() -> impl Iterator<Item = Self> {
        let fixed = [
            Self::AskSaveAs,
            Self::AskSheet,
            Self::Redo,
            Self::NewKit,
            Self::AskOpen,
            Self::Save,
            Self::AskSketch,
            Self::AskTable,
            Self::AskReadWishes,
            Self::ShowPanels,
            Self::ShowPicture,
            Self::Undo,
            Self::FindTarget,
            Self::BestFraming,
            Self::DrawOutline,
            Self::ZoomIn,
            Self::ZoomOut,
            Self::ZoomToFrames,
            Self::ShowAbout,
            Self::Quit,
        ];
        fixed.into_iter().chain(ViewChoice::ALL.map(Self::ShowView))
    }
}

/// The actions asked for while a frame is drawn.
#[derive(Default)]
pub struct Queue(Vec<Action>);

impl Queue {
    /// Asks for an action.
    pub fn push(&mut self, action: Action) {
        self.0.push(action);
    }

    /// Hands out what was asked for, in order.
    pub fn take(&mut self) -> Vec<Action> {
        std::mem::take(&mut self.0)
    }

    /// Takes an action out, however often it was asked for; false if it was not.
    pub fn take_out(&mut self, action: &Action) -> bool {
        let before = self.0.len();
        self.0.retain(|asked| asked != action);
        self.0.len() < before
    }

    /// Asks for those actions whose keys were pressed.
    pub fn listen(&mut self, ctx: &egui::Context) {
        for action in Action::with_shortcuts() {
            let pressed = action
                .shortcut()
                .is_some_and(|keys| ctx.input_mut(|input| input.consume_shortcut(&keys)));
            if pressed {
                self.push(action);
            }
        }
    }

    /// A menu entry for an action, with its keys.
    pub fn menu_item(&mut self, ui: &mut egui::Ui, action: Action, enabled: bool) {
        let mut button = egui::Button::new(action.label());
        if let Some(keys) = action.shortcut() {
            button = button.shortcut_text(ui.ctx().format_shortcut(&keys));
        }
        let response = with_tip(ui.add_enabled(enabled, button), &action);
        if response.clicked() {
            self.push(action);
            ui.close();
        }
    }

    /// A button for an action.
    pub fn button(&mut self, ui: &mut egui::Ui, action: Action, enabled: bool) {
        let response = ui.add_enabled(enabled, egui::Button::new(action.label()));
        if with_tip(response, &action).clicked() {
            self.push(action);
        }
    }
}

/// A control that asks for an action, with its tip and keys.
pub fn with_tip(response: egui::Response, action: &Action) -> egui::Response {
    let keys = action.shortcut().map(|keys| response.ctx.format_shortcut(&keys));
    let tip = match (action.tip(), keys) {
        ("", None) => return response,
        ("", Some(keys)) => keys,
        (tip, None) => tip.to_owned(),
        (tip, Some(keys)) => format!("{tip} ({keys})"),
    };
    response.on_hover_text(tip)
}
