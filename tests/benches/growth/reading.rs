//! What is read: pictures, lists of targets, kits.

use std::fmt::Write as _;
use std::hint::black_box;
use std::path::PathBuf;
use std::rc::Rc;

use fieldstop_gui::files::wish_row::MOST_ROWS;
use fieldstop_gui::files::{demo_kit, kit_file, wish_import};
use fieldstop_gui::own_picture::open;
use fieldstop_gui::scene::picture::RowOrder;
use fieldstop_gui::sky::Sky;

use crate::choosing::kit_of_wishes;
use crate::law::{Job, LINEAR, Law, decades};
use crate::photograph::fits;

pub(crate) fn laws(sky: &Rc<Sky>) -> Vec<Law> {
    let with = |job: fn(&Rc<Sky>, u32) -> Job| {
        let sky = Rc::clone(sky);
        move |count| job(&sky, count)
    };
    vec![
        Law::new(
            "pixels of a picture of one's own, FITS, read and reduced",
            LINEAR,
            decades(10_000, 100_000_000),
            picture,
        ),
        Law::new(
            "rows of a list of targets as CSV, read and sorted out, to their limit",
            LINEAR,
            decades(20, MOST_ROWS as u32),
            with(list),
        ),
        Law::new("targets of a kit file, read and checked", LINEAR, decades(10, 10_000), with(kit)),
    ]
}

/// A file that is gone when it is no longer wanted.
struct Scratch(PathBuf);

impl Drop for Scratch {
    fn drop(&mut self) {
        drop(std::fs::remove_file(&self.0));
    }
}

fn picture(pixels: u32) -> Job {
    let side = f64::from(pixels).sqrt().round() as u32;
    let name = format!("growth_{}_{side}.fits", std::process::id());
    let file = Scratch(PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(name));
    fits(&file.0, side).unwrap();
    Box::new(move || {
        let picture = open(&file.0, RowOrder::FromBottom, &mut |_| true).unwrap();
        assert_eq!(picture.map.width_px, side);
        black_box(picture);
    })
}

/// Every other row an object of the catalogue, the others places of one's own.
fn list(sky: &Rc<Sky>, rows: u32) -> Job {
    let sky = Rc::clone(sky);
    let kit = demo_kit(&|name| sky.catalogue.named(name).is_some()).unwrap();
    let mut text = "name,RA (deg),Dec (deg),size (arcmin)\n".to_owned();
    for (number, target) in (0..rows).zip(sky.catalogue.targets().iter().cycle()) {
        if number % 2 == 0 {
            let _ = writeln!(text, "{},,,", target.name);
        } else {
            let _ = writeln!(text, "place {number},{:.4},20.5,12", f64::from(number % 3600) / 10.0);
        }
    }
    let read = move || {
        let list = wish_import::parse(black_box(text.as_bytes())).unwrap();
        let sorted = wish_import::sort_out(&list, &kit, &sky.catalogue);
        sorted.taken.len() + sorted.present.len() + sorted.unresolved.len()
    };
    assert_eq!(read(), rows as usize);
    Box::new(move || {
        black_box(read());
    })
}

fn kit(sky: &Rc<Sky>, targets: u32) -> Job {
    let sky = Rc::clone(sky);
    let kit = kit_of_wishes(&sky, targets);
    let text = kit_file::to_text(&kit).unwrap();
    let read = move || {
        let knows = |name: &str| sky.catalogue.named(name).is_some();
        kit_file::parse(black_box(text.as_bytes()), "kit.ron", &knows).unwrap()
    };
    assert_eq!(read(), kit);
    Box::new(move || {
        black_box(read());
    })
}
