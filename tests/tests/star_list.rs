//! The packed list of real stars against the data that it was made from.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test fails by panicking"
)]

use std::collections::HashMap;
use std::fs;
use std::path::Path;
use std::sync::LazyLock;
use std::time::{Duration, Instant};

use fieldstop::{Angle, Direction, Icrs, Star};
use fieldstop_gui::sky::pack_stars::{PackStarsError, StarRow, pack_stars, read_stars};
use fieldstop_gui::sky::star_list::{DEFAULT_B_V, StarList, StarListError};
use proptest::prelude::*;

fn asset(path: &str) -> Vec<u8> {
    fs::read(Path::new(env!("CARGO_MANIFEST_DIR")).join("../assets").join(path)).unwrap()
}

static SOURCE: LazyLock<Vec<StarRow>> = LazyLock::new(|| {
    read_stars(&asset("stars/bright_stars.csv.gz"), &asset("stars/star_names.csv")).unwrap()
});

fn place(ra_deg: f64, dec_deg: f64) -> Direction<Icrs> {
    Direction::from_ra_dec(Angle::from_deg(ra_deg), Angle::from_deg(dec_deg))
}

/// The whole list, by a look at the whole sky.
static ALL: LazyLock<Vec<Star>> = LazyLock::new(|| look(place(0.0, 90.0), 180.0, 99.0));

fn look(centre: Direction<Icrs>, radius_deg: f64, faintest: f64) -> Vec<Star> {
    let mut stars = Vec::new();
    let list = StarList::embedded().unwrap();
    list.visit(centre, Angle::from_deg(radius_deg), faintest, &mut |star| stars.push(star));
    stars
}

#[test]
fn packing_the_source_gives_the_embedded_bytes() {
    assert!(
        pack_stars(&SOURCE).unwrap() == asset("packed/stars.bin"),
        "run the example that packs the sky"
    );
}

/// Every row comes back once: place within 0.01 arcsec, V and B - V within half a thousandth.
#[test]
fn the_packed_list_holds_every_row_of_its_source() {
    let thousandths = |mag: f64| (mag * 1000.0).round() as i32;
    let mut packed: HashMap<(i32, i32), Vec<Star>> = HashMap::new();
    for &star in ALL.iter() {
        let key = (thousandths(f64::from(star.v_mag)), thousandths(f64::from(star.b_v)));
        packed.entry(key).or_default().push(star);
    }
    let rows = &*SOURCE;
    assert_eq!(rows.len(), 216_309);
    assert_eq!(StarList::embedded().unwrap().len(), rows.len());
    let mut worst_arcsec = 0.0_f64;
    for row in rows {
        let expected = place(row.ra_deg, row.dec_deg);
        let key = (thousandths(row.v_mag), thousandths(row.b_v.unwrap_or(DEFAULT_B_V)));
        let candidates = packed.get_mut(&key).unwrap();
        let off = |star: &Star| star.place.separation(expected).arcsec();
        let nearest = (0..candidates.len())
            .min_by(|&a, &b| off(&candidates[a]).total_cmp(&off(&candidates[b])));
        let star = candidates.swap_remove(nearest.unwrap());
        worst_arcsec = worst_arcsec.max(off(&star));
    }
    println!("worst place: {worst_arcsec:.6} arcsec");
    assert!(worst_arcsec < 0.01);
}

/// Well-known V and places (J2000), from memory: within 0.15 mag, and a minute of arc for 16 years of motion.
#[test]
fn well_known_stars_are_where_everybody_knows_them() {
    let list = StarList::embedded().unwrap();
    let named: HashMap<_, _> = list.names().map(|star| (star.name(), star.star)).collect();
    for (name, ra_hours, dec_deg, v_mag) in [
        ("Sirius", 6.0 + 45.0 / 60.0 + 8.9 / 3600.0, -(16.0 + 42.0 / 60.0 + 58.0 / 3600.0), -1.46),
        ("Vega", 18.0 + 36.0 / 60.0 + 56.3 / 3600.0, 38.0 + 47.0 / 60.0 + 1.0 / 3600.0, 0.03),
        ("Polaris", 2.0 + 31.0 / 60.0 + 49.1 / 3600.0, 89.0 + 15.0 / 60.0 + 51.0 / 3600.0, 1.98),
        ("Deneb", 20.0 + 41.0 / 60.0 + 25.9 / 3600.0, 45.0 + 16.0 / 60.0 + 49.0 / 3600.0, 1.25),
        ("Alpheratz", 8.0 / 60.0 + 23.3 / 3600.0, 29.0 + 5.0 / 60.0 + 26.0 / 3600.0, 2.06),
        ("Markab", 23.0 + 4.0 / 60.0 + 45.7 / 3600.0, 15.0 + 12.0 / 60.0 + 19.0 / 3600.0, 2.49),
        ("Acrux", 12.0 + 26.0 / 60.0 + 35.9 / 3600.0, -(63.0 + 5.0 / 60.0 + 57.0 / 3600.0), 0.76),
        (
            "Achernar",
            1.0 + 37.0 / 60.0 + 42.8 / 3600.0,
            -(57.0 + 14.0 / 60.0 + 12.0 / 3600.0),
            0.46,
        ),
    ] {
        let star = named.get(name).unwrap_or_else(|| panic!("{name} is missing"));
        assert!(star.place.separation(place(15.0 * ra_hours, dec_deg)).arcmin() < 1.0, "{name}");
        assert!((f64::from(star.v_mag) - v_mag).abs() < 0.15, "{name}");
    }
}

#[test]
fn named_stars_are_in_the_list_brightest_first() {
    let list = StarList::embedded().unwrap();
    let named: Vec<_> = list.names().collect();
    // 101 in the source, less one whose names belong to another star.
    assert_eq!(named.len(), 100);
    assert!(named.windows(2).all(|pair| pair[0].star.v_mag <= pair[1].star.v_mag));
    for named in &named {
        assert!(named.names().all(|name| !name.trim().is_empty()));
        let near = look(named.star.place, 0.001, 9.5);
        assert!(near.contains(&named.star), "{}", named.name());
    }
    let hadar = named.iter().find(|star| star.name() == "Hadar").unwrap();
    assert_eq!(hadar.names().collect::<Vec<_>>(), ["Hadar", "Agena"]);
}

fn bits(stars: &[Star]) -> Vec<[u64; 4]> {
    let mut all: Vec<_> = stars
        .iter()
        .map(|star| {
            let [x, y, z] = star.place.xyz().map(f64::to_bits);
            [x, y, z, u64::from(star.v_mag.to_bits()) << 32 | u64::from(star.b_v.to_bits())]
        })
        .collect();
    all.sort_unstable();
    all
}

/// A look through the cells finds what a walk through the whole list finds.
fn check_against_walk(centre: Direction<Icrs>, radius_deg: f64, faintest: f64) {
    let cos_radius = Angle::from_deg(radius_deg).cos();
    let walked: Vec<Star> = ALL
        .iter()
        .filter(|star| star.place.dot(centre) >= cos_radius && f64::from(star.v_mag) <= faintest)
        .copied()
        .collect();
    let found = look(centre, radius_deg, faintest);
    let same = bits(&found) == bits(&walked);
    assert!(same, "{radius_deg} {faintest}: {} found, {} walked to", found.len(), walked.len());
}

#[test]
fn poles_0h_and_wide_looks_miss_nothing() {
    for (ra, dec) in
        [(0.0, 90.0), (0.0, -90.0), (0.0, 0.0), (359.999, 41.8), (45.0, -41.8), (90.0, 0.0)]
    {
        for (radius, faintest) in [
            (0.0, 9.5),
            (0.05, 9.5),
            (1.0, 9.0),
            (10.0, 8.25),
            (60.0, 6.0),
            (95.0, 4.0),
            (179.9, 5.5),
        ] {
            check_against_walk(place(ra, dec), radius, faintest);
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn any_look_misses_nothing(
        ra in 0.0..360.0, sin_dec in -1.0..1.0f64, log_radius in -2.0..2.0f64, faintest in -2.0..9.6f64,
    ) {
            check_against_walk(place(ra, sin_dec.asin().to_degrees()), 10f64.powf(log_radius), faintest);
    }
}

#[test]
fn nonsense_shows_nothing() {
    for (radius, faintest) in [(f64::NAN, 9.5), (-1.0, 9.5), (10.0, f64::NAN), (10.0, -5.0)] {
        assert!(look(place(10.0, 10.0), radius, faintest).is_empty());
    }
}

/// Start-up pays nothing for the list: parts are found, none is unpacked. 10 ms is asked.
#[test]
fn opening_the_list_takes_no_time() {
    let start = Instant::now();
    assert!(!StarList::embedded().unwrap().is_empty());
    assert!(start.elapsed() < Duration::from_millis(10));
}

#[test]
fn a_damaged_list_is_refused() {
    let good = asset("packed/stars.bin");
    let opened = |bytes: &[u8]| StarList::from_bytes(bytes.to_vec().leak()).map(|list| list.len());
    assert_eq!(opened(&good), Ok(216_309));
    assert_eq!(opened(b""), Err(StarListError::Mark));
    assert_eq!(opened(b"STARS  0 and more"), Err(StarListError::Mark));
    for length in [8, 20, 44, 100, 1000, good.len() - 1] {
        assert_eq!(opened(&good[..length]), Err(StarListError::Length), "{length}");
    }
    let mut longer = good.clone();
    longer.push(0);
    assert_eq!(opened(&longer), Err(StarListError::Length));
}

/// An index that points nowhere shows fewer stars and does not end the program.
#[test]
fn a_wrong_index_does_no_harm() {
    let mut bytes = asset("packed/stars.bin");
    bytes[44..44 + 8].fill(0xff);
    let list = StarList::from_bytes(bytes.leak()).unwrap();
    let mut seen = 0;
    list.visit(place(0.0, 90.0), Angle::HALF_TURN, 9.5, &mut |_| seen += 1);
    assert!((200_000..216_309).contains(&seen), "{seen}");
}

#[test]
fn rows_that_cannot_be_packed_are_named() {
    let row = |v_mag, dec_deg| StarRow {
        ra_deg: 1.0,
        dec_deg,
        v_mag,
        b_v: None,
        hip: None,
        name: String::new(),
    };
    for bad in [row(9.6, 0.0), row(f64::NAN, 0.0), row(-40.0, 0.0), row(5.0, f64::NAN)] {
        assert!(matches!(pack_stars(&[bad]), Err(PackStarsError::DoesNotFit(_))));
    }
    assert!(matches!(read_stars(b"not gzip", b""), Err(PackStarsError::Gzip(_))));
    let stars = asset("stars/bright_stars.csv.gz");
    let wrong = b"hip,listed,names,why\n32349,Canopus,Sirius,\n";
    assert!(matches!(
        read_stars(&stars, wrong),
        Err(PackStarsError::NoSuchName { hip: 32_349, .. })
    ));
}
