//! What the window knows, apart from how it is shown: the document, the workspace, the figures.

pub mod charts;
pub mod demand_target;
pub mod demands;
pub mod document;
pub mod figures;
mod here;
pub mod mending;
pub mod what_if;
pub mod workspace;

pub use demands::{DemandFigures, DemandInput};
pub use document::{Document, Origin};
pub use figures::Figures;
pub use what_if::{MoonChoice, WhatIf};
pub use workspace::{Layers, ThemeChoice, ViewChoice, Workspace};
