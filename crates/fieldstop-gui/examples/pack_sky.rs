//! Makes the compact files that the program embeds from the tables in `assets/`.
//!
//!     cargo run -p fieldstop-gui --example pack_sky

use std::error::Error;
use std::fs;
use std::io::Read;
use std::path::{Path, PathBuf};

use fieldstop_gui::sky::pack_stars::{pack_stars, read_stars};
use fieldstop_gui::sky::{pack_deep_sky, packed_deep_sky};

fn main() -> Result<(), Box<dyn Error>> {
    pack_deep_sky()?;
    pack_bright_stars()?;
    Ok(())
}

fn pack_deep_sky() -> Result<(), Box<dyn Error>> {
    let rows = pack_deep_sky::rows(pack_deep_sky::Sources {
        deep_sky: &unzipped("deep_sky/deep_sky.csv.gz")?,
        large_nebulae: &fs::read_to_string(asset("deep_sky/large_nebulae.csv"))?,
        overlay: &fs::read_to_string(asset("deep_sky/deep_sky_overlay.csv"))?,
    })?;
    let bytes = packed_deep_sky::pack(&rows)?;
    println!("packed/deep_sky.bin: {} rows, {} bytes", rows.len(), bytes.len());
    fs::write(asset("packed/deep_sky.bin"), bytes)?;
    Ok(())
}

fn pack_bright_stars() -> Result<(), Box<dyn Error>> {
    let sources = fs::read(asset("stars/bright_stars.csv.gz"))?;
    let names = fs::read(asset("stars/star_names.csv"))?;
    let stars = read_stars(&sources, &names)?;
    let bytes = pack_stars(&stars)?;
    println!("packed/stars.bin: {} stars, {} bytes", stars.len(), bytes.len());
    fs::write(asset("packed/stars.bin"), bytes)?;
    Ok(())
}

fn asset(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../assets").join(name)
}

fn unzipped(name: &str) -> Result<String, Box<dyn Error>> {
    let mut text = String::new();
    flate2::read::GzDecoder::new(fs::File::open(asset(name))?).read_to_string(&mut text)?;
    Ok(text)
}
