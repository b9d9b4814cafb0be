//! What the sky holds: stars.

pub mod pack_stars;
pub mod star_list;
