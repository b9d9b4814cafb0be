//! What the window knows, apart from how it is shown: the document, the workspace, the figures.

pub mod catalogue_coverage;
pub mod charts;
pub mod choice;
pub mod demand_target;
pub mod demands;
pub mod document;
pub mod drawn_corners;
pub mod export_choice;
pub mod figures;
pub mod first_start;
mod here;
pub mod mending;
pub mod mosaic_hours;
pub mod night_figures;
pub mod panel_plans;
pub mod picture;
pub mod swap;
pub mod wanted;
pub mod what_if;
pub mod worked;
pub mod workspace;
pub mod year;

pub use catalogue_coverage::{CatalogueCoverage, CatalogueQuestion, Curve, KindGroup};
pub use choice::{ChoiceAnswer, ChoiceFigures, ChoiceInput};
pub use demands::{DemandFigures, DemandInput};
pub use document::{Document, Origin};
pub use export_choice::{ExportChoice, ExportWhat};
pub use figures::{Figures, WishFigures};
pub use first_start::FirstFigures;
pub use night_figures::NightFigures;
pub use panel_plans::{PanelAnswer, PanelPlans};
pub use picture::{PictureFigures, PictureNews};
pub use swap::{Swap, SwapPart, SwapWith};
pub use what_if::{MoonChoice, WhatIf};
pub use workspace::{Layers, ThemeChoice, ViewChoice, Workspace};
pub use year::YearFigures;
