//! Packs the star list: `cargo run -p fieldstop-gui --example pack_stars`, from the repository.

use std::error::Error;
use std::fs;
use std::path::Path;

use fieldstop_gui::sky::pack_stars::{pack_stars, read_stars};

fn main() -> Result<(), Box<dyn Error>> {
    let assets = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../assets");
    let stars = fs::read(assets.join("stars/bright_stars.csv.gz"))?;
    let names = fs::read(assets.join("stars/star_names.csv"))?;
    let packed = pack_stars(&read_stars(&stars, &names)?)?;
    fs::write(assets.join("packed/stars.bin"), &packed)?;
    println!("stars.bin: {} bytes", packed.len());
    Ok(())
}
