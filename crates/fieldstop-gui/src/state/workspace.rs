//! What is kept between runs and is not part of any kit: where the person looks, and how.

use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};

use super::export_choice::ExportChoice;

/// What the middle of the window shows.
#[derive(Clone, Copy, Debug, Default, Deserialize, Eq, PartialEq, Serialize)]
pub enum ViewChoice {
    /// What fits.
    #[default]
    Frame,
    /// When.
    Year,
    /// At what cost.
    Demands,
    /// Which one.
    Choose,
}

impl ViewChoice {
    /// Every view, in the order of the questions they answer.
    pub const ALL: [Self; 4] = [Self::Frame, Self::Year, Self::Demands, Self::Choose];

    /// What its button says.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Frame => "Frame",
            Self::Year => "Year",
            Self::Demands => "Demands",
            Self::Choose => "Choose",
        }
    }

    /// With the command key, shows it.
    pub const fn key(self) -> egui::Key {
        match self {
            Self::Frame => egui::Key::Num1,
            Self::Year => egui::Key::Num2,
            Self::Demands => egui::Key::Num3,
            Self::Choose => egui::Key::Num4,
        }
    }

    /// The question it answers.
    pub const fn question(self) -> &'static str {
        match self {
            Self::Frame => "What fits: every candidate's frame on the sky",
            Self::Year => "When: which targets are up in the dark, and for how long",
            Self::Demands => {
                "At what cost: what each candidate asks of seeing, mount, back and purse"
            }
            Self::Choose => "Which one: what each serves, what beats it, and why",
        }
    }

    /// What the status line says while the pointer rests on nothing.
    pub const fn pointer_hint(self) -> &'static str {
        match self {
            Self::Frame => "Rest the pointer on the sky to read its place.",
            Self::Demands => "Click a row to read what it means, its formula and its source.",
            Self::Choose => {
                "Served: whole, with at least the detail you want. Every sentence opens to its figures."
            }
            Self::Year => {
                "Hours count while the Sun is 18° below the horizon and the target above your limit."
            }
        }
    }
}

/// The window's colours.
#[derive(Clone, Copy, Debug, Default, Deserialize, Eq, PartialEq, Serialize)]
pub enum ThemeChoice {
    /// For a dim room.
    #[default]
    Dark,
    /// For a bright room.
    Light,
    /// For use beside a telescope: one dim red hue, so that eyes stay adapted to the dark.
    Red,
}

/// What is drawn on the sky beside frames and the chosen target.
#[derive(Clone, Copy, Debug, Deserialize, Eq, PartialEq, Serialize)]
#[serde(default)]
pub struct Layers {
    /// Lines of right ascension and declination.
    pub grid: bool,
    /// Outlines of catalogue objects that are neither chosen nor wished for.
    pub catalogue: bool,
    /// Mosaic panels of the chosen rig where the target spills.
    pub panels: bool,
}

impl Default for Layers {
    fn default() -> Self {
        Self { grid: true, catalogue: true, panels: true }
    }
}

/// How many recent kits are remembered.
const RECENT: usize = 8;

/// What is kept between runs.
#[derive(Clone, Debug, Deserialize, PartialEq, Serialize)]
#[serde(default)]
pub struct Workspace {
    /// What the middle shows.
    pub view: ViewChoice,
    /// Colours.
    pub theme: ThemeChoice,
    /// What is drawn.
    pub layers: Layers,
    /// Whether frames are aimed and turned together.
    pub together: bool,
    /// Whether a change of a shared part is for every rig that has it.
    pub change_for_all: bool,
    /// Kits opened lately, the last first.
    pub recent: Vec<PathBuf>,
    /// The kit that was open when the window was last left; none for one without a file.
    pub last: Option<PathBuf>,
    /// The chosen target, by name.
    pub target: Option<String>,
    /// The chosen rig, by its place in the shortlist.
    pub rig: usize,
    /// Middle of the view, ICRS.
    pub centre_deg: (f64, f64),
    /// Width of the view.
    pub span_deg: f64,
    /// How pictures are exported.
    pub export: ExportChoice,
}

impl Default for Workspace {
    fn default() -> Self {
        Self {
            view: ViewChoice::default(),
            theme: ThemeChoice::default(),
            layers: Layers::default(),
            together: true,
            change_for_all: false,
            recent: Vec::new(),
            last: None,
            target: None,
            rig: 0,
            centre_deg: (10.68, 41.27),
            span_deg: 6.0,
            export: ExportChoice::default(),
        }
    }
}

impl Workspace {
    /// Notes a kit as the one opened last.
    pub fn remember(&mut self, path: &Path) {
        self.recent.retain(|known| known != path);
        self.recent.insert(0, path.to_owned());
        self.recent.truncate(RECENT);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_kit_opened_again_moves_to_the_front() {
        let mut workspace = Workspace::default();
        for name in ["a", "b", "a"] {
            workspace.remember(Path::new(name));
        }
        assert_eq!(workspace.recent, [PathBuf::from("a"), PathBuf::from("b")]);
        for number in 0..20 {
            workspace.remember(Path::new(&number.to_string()));
        }
        assert_eq!(workspace.recent.len(), RECENT);
    }
}
