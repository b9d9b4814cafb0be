//! What the page shows, as a display list: who stands where, in which colour, without a pixel.

pub mod palette;
pub mod primitive;
pub mod style;
pub mod view;

pub use palette::Palette;
pub use primitive::Scene;
pub use view::SkyView;
