//! What the window knows, apart from how it is shown: the document, the workspace, the figures.

pub mod document;
pub mod figures;
pub mod night_figures;
pub mod worked;
pub mod workspace;
pub mod year;

pub use document::{Document, Origin};
pub use figures::Figures;
pub use night_figures::NightFigures;
pub use workspace::{Layers, ThemeChoice, ViewChoice, Workspace};
pub use year::YearFigures;
