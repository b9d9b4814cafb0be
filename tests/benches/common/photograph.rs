//! A photograph of a piece of the sky, of any size, as a FITS file.

use std::fs::File;
use std::io::{BufWriter, Write};
use std::path::Path;

use fieldstop::fits_header::fits_header;
use fieldstop::world_coordinates::WorldCoordinates;
use fieldstop::{Angle, Direction};

/// Four degrees around the Andromeda galaxy, turned.
pub(crate) fn map(side: u32) -> WorldCoordinates {
    WorldCoordinates::turned(
        (side, side),
        (
            [f64::from(side) / 2.0; 2],
            Direction::from_ra_dec(Angle::from_deg(10.68), Angle::from_deg(41.27)),
        ),
        [Angle::from_deg(4.0) / f64::from(side); 2],
        Angle::from_deg(20.0),
    )
}

/// A value that looks like noise on a slope.
pub(crate) fn value(x: u32, y: u32) -> u32 {
    (x.wrapping_mul(2_654_435_761) ^ y.wrapping_mul(40_503)) % 900 + x / 40 + 600
}

/// Writes it with 16 bits a pixel.
pub(crate) fn fits(path: &Path, side: u32) -> std::io::Result<()> {
    let mut out = BufWriter::new(File::create(path)?);
    out.write_all(fits_header(&map(side), "bench", &[]).as_bytes())?;
    let mut row = Vec::with_capacity(side as usize * 2);
    for y in 0..side {
        row.clear();
        row.extend((0..side).flat_map(|x| (value(x, y) as i16).to_be_bytes()));
        out.write_all(&row)?;
    }
    out.flush()
}
