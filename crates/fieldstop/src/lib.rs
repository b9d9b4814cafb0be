//! Optics and sky geometry for choosing an imaging telescope before paying for it.
//!
//! The picture in words: a *rig* (OTA, corrector, camera, mount) has a focal length and a sensor;
//! together they cut a [`Frame`] out of the sky. A target is an [`Outline`] of known size on that
//! same sky. How the one sits in the other is the *fill*; what spills over is covered by the
//! panels of a [`mosaic`]. Behind the frames stand the stars: the bright ones from a list that the
//! caller brings, the fainter ones [synthetic](stars). What the rig asks in return, of seeing, mount,
//! back, purse and patience, are its [`demands`], each figure with its [rule](rule::Rule).
//!
//! When it can be photographed is told by the [`Night`], from local noon to local noon at an
//! [`Observer`]'s place, with its twilights and its Moon; by the [`Horizon`] there; and, for a whole
//! year and a whole catalogue, by the [`Season`].
//!
//! Everything here is a pure function of its arguments: no files, no clock, no threads, no globals.
//!
//! # Conventions
//! - Angles are [`Angle`]; every other quantity is an `f64` with its unit in the name.
//! - Directions are unit vectors with their reference frame in the type, [`Direction<Icrs>`].
//! - Right ascension and longitude grow eastward, latitude and declination northward.
//! - A position angle runs from north through east. The *rotation* of a frame is the position
//!   angle of its up direction.
//! - An [`Instant`] is UTC. The Earth's turning is taken from it (UT1 = UTC), see [`time`].
//! - Altitudes are without refraction unless they are called apparent; hours are counted so.
//! - Azimuth runs from north through east; east longitude is positive.
//! - In a picture y points down. A frame that is not turned has north up and east left, as the
//!   sky is seen. Corners come in the order top-left, top-right, bottom-right, bottom-left.
//!
//! A function that differs says so in its first line.

#![forbid(unsafe_code)]

pub mod aberration;
pub mod air;
pub mod angle;
pub mod body_path;
pub mod choice;
pub mod cone;
pub mod cost;
pub mod cover_proof;
pub mod coverage;
pub mod covered;
mod crossing;
pub mod demands;
pub mod detail;
pub mod diffraction;
pub mod direction;
mod ephemeris;
pub mod equinox;
pub mod exposure;
pub mod findings;
pub mod fit;
pub mod fits_header;
pub mod focal_coverage;
pub mod focal_range;
pub mod frame;
pub mod galactic;
pub mod horizon;
mod hour_angle;
pub mod kit;
pub mod light;
pub mod limits_kept;
pub mod load;
pub mod moonlight;
pub mod mosaic;
pub mod mosaic_cost;
pub mod night;
pub mod outline;
pub mod panel_search;
pub mod pareto;
pub mod place;
pub mod psf;
mod quadrature;
pub mod range;
pub mod recommendation;
pub mod region;
pub mod rig;
pub mod rule;
pub mod sampling;
pub mod season;
pub mod serving;
pub mod sexagesimal;
pub mod shape;
pub mod spans;
pub mod stars;
pub mod sun_moon;
pub mod tangent;
pub mod time;
pub mod tracking;
pub mod why;
pub mod wording;
pub mod world_coordinates;

pub use angle::Angle;
pub use cone::Cone;
pub use direction::{Direction, Icrs};
pub use fit::{Fit, Verdict};
pub use frame::{Field, Frame, Sensor, field_of_view, pixel_scale};
pub use galactic::{Galactic, galactic_from_icrs};
pub use horizon::Horizon;
pub use night::Night;
pub use outline::Outline;
pub use place::Observer;
pub use rig::ResolvedRig;
pub use season::{Season, TargetNight};
pub use stars::Star;
pub use sun_moon::Body;
pub use tangent::{TangentPlane, TangentPoint};
pub use time::Instant;
