//! What the window knows, apart from how it is shown: the document, the workspace, the figures.

pub mod document;
pub mod figures;
pub mod workspace;

pub use document::{Document, Origin};
pub use figures::Figures;
pub use workspace::{Layers, ThemeChoice, ViewChoice, Workspace};
