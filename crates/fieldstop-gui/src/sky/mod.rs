//! What the sky holds: deep-sky objects and how they are found, constellations, stars.

pub mod catalogue;
pub mod constellation;
pub mod designation;
pub mod kind;
pub mod pack_deep_sky;
pub mod pack_stars;
pub mod packed_deep_sky;
pub mod row;
pub mod search;
pub mod star_list;
pub mod wish;
