//! What the sky holds: deep-sky objects and how they are found, constellations, stars.

pub mod catalogue;
pub mod constellation;
pub mod designation;
pub mod kind;
pub mod pack_deep_sky;
pub mod packed_deep_sky;
pub mod row;
pub mod search;
pub mod wish;
//! What the sky holds: stars.

pub mod pack_stars;
pub mod star_list;
