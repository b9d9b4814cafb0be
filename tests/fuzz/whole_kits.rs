//! Whole kits, worked out to the end: no figure is NaN or an infinity.

use fieldstop::choice::{Choice, Criterion, Wanted, choice};
use fieldstop::coverage::{back_focus, image_circle_mm, lit_share};
use fieldstop::demands::{Conditions, DemandTarget, Demands, Figure, Value, demands, hours_of};
use fieldstop::fit::Fit;
use fieldstop::kit::{Kit, Wish};
use fieldstop::load::{load, tube_moment_kg_m2};
use fieldstop::shape::{Shape, fit_shape};
use fieldstop::why::Why;
use fieldstop::{Angle, Outline, ResolvedRig, cost, range};
use fieldstop_gui::files::kit_file;
use fieldstop_gui::nights::SeasonQuestion;
use fieldstop_gui::sky::catalogue::Catalogue;
use fieldstop_gui::state::demand_target::Standing;
use fieldstop_gui::tables::{Cell, TableName, TableQuestion, work_out};
use fieldstop_tests::kit_text::numbers_of;

use crate::kits::any_kit;
use crate::random::Random;
use crate::sound::{check, is_finite, is_fit, is_known, is_sound};

/// How much of a kit is worked out: parts of it take ten to a hundred thousand times as long.
#[derive(Clone, Copy, Debug, Eq, Ord, PartialEq, PartialOrd)]
enum Share {
    /// Frames, fits, masses, prices, rates and hours.
    Plain,
    /// And the table of demands, with what blurs a star.
    Demands,
    /// And the whole choice, and the kit through its file.
    Choice,
    /// And every table that the program exports.
    Tables,
}

impl Share {
    const ONE_DEMANDS_IN: usize = 16;
    const ONE_CHOICE_IN: usize = 2048;
    const ONE_TABLES_IN: u64 = 400_000;

    fn of(number: u64, random: &mut Random) -> Self {
        match () {
            // The first case is one, so that the short form has it.
            () if number.is_multiple_of(Self::ONE_TABLES_IN) => Self::Tables,
            () if random.chance(Self::ONE_CHOICE_IN) => Self::Choice,
            () if random.chance(Self::ONE_DEMANDS_IN) => Self::Demands,
            () => Self::Plain,
        }
    }
}

/// Whole kits with any numbers that a kit may hold: no figure is NaN or an infinity.
#[test]
fn choices() {
    let make = |number: u64, random: &mut Random| {
        let share = Share::of(number, random);
        (any_kit(random), random.angle(-90.0, 90.0), share)
    };
    check("choice", 2000, &make, &|(kit, declination, share)| {
        assert_eq!(kit.check(), Ok(()));
        let target = target_of(kit, *declination);
        let conditions = conditions(kit, *declination);
        for place in 0..kit.rigs.len() {
            let rig = kit.resolve(place).expect("a rig of a checked kit");
            are_plain_figures_sound(kit, &rig, &target, &conditions);
            if *share >= Share::Demands {
                let asked =
                    demands(&rig, &kit.site, &kit.limits, Some(&target.demand), &conditions);
                are_demands_sound(&asked);
            }
        }
        if *share >= Share::Choice {
            is_kept_by_its_file(kit);
            let chosen =
                choice(kit, 0, std::slice::from_ref(&target), &Criterion::ALL, &conditions);
            is_choice_sound(&chosen);
        }
        if *share >= Share::Tables {
            are_tables_sound(kit);
        }
    });
}

/// The wish of such a kit.
fn target_of(kit: &Kit, declination: Angle) -> Wanted {
    let Some(Wish::Custom {
        name,
        major_arcmin: Some(major),
        minor_arcmin,
        pa_deg,
        surface_brightness_mag_arcsec2,
        ..
    }) = kit.wish_list.first()
    else {
        panic!("a wish of known size");
    };
    let outline = Outline {
        major: Angle::from_arcmin(*major),
        minor: minor_arcmin.map(Angle::from_arcmin),
        position_angle: pa_deg.map(Angle::from_deg),
    };
    Wanted {
        name: name.clone(),
        outline: Some(Shape::Ellipse(outline)),
        demand: DemandTarget {
            declination,
            major: Some(outline.major),
            surface_brightness_mag_arcsec2: *surface_brightness_mag_arcsec2,
            line_share: if kit.cameras[0].colour { Ok(Some(0.3)) } else { Ok(None) },
        },
        hours_in_year: kit.site.lowest_altitude_deg * 30.0,
        stars: 3,
    }
}

/// As the window has them: at the target's highest, where it rises.
fn conditions(kit: &Kit, declination: Angle) -> Conditions {
    let standing = Standing::of(declination, &kit.site);
    Conditions {
        airmass: standing.airmass(),
        altitude_azimuth: standing.altitude_azimuth(),
        dark_hours: Some(6.0),
        ..Conditions::at_zenith(&kit.site)
    }
}

fn are_plain_figures_sound(
    kit: &Kit,
    rig: &ResolvedRig<'_>,
    target: &Wanted,
    conditions: &Conditions,
) {
    let field = rig.field();
    for (what, number) in [
        ("focal length", rig.focal_length_mm()),
        ("focal ratio", rig.focal_ratio()),
        ("width", field.width().rad()),
        ("height", field.height().rad()),
        ("diagonal", field.diagonal().rad()),
        ("area", field.area_deg2()),
        ("pixel scale", rig.pixel_scale().arcsec()),
        ("sensor", rig.sensor().diagonal_mm()),
    ] {
        assert!(number > 0.0 && number.is_finite(), "{what} is {number}");
    }
    let carried = load(rig);
    for mass in [carried.on_mount_kg, carried.payload_used, carried.heaviest_kg, carried.carry_kg] {
        is_finite("mass", mass);
    }
    is_known("moment", tube_moment_kg_m2(rig));
    is_known("price", cost::price(rig));
    is_known("checklist", cost::checklist_price(&cost::checklist(&kit.limits)));
    is_known("image circle", image_circle_mm(rig));
    is_known("lit", image_circle_mm(rig).map(|circle| lit_share(rig.sensor(), circle)));
    is_known("spacer", back_focus(rig).map(|focus| focus.spacer_mm()));
    let hours = hours_of(rig, &kit.site, &kit.limits, &target.demand, conditions);
    is_known("hours", hours);
    let limits = &kit.limits;
    is_sound_fit(&fit_shape(target.outline.as_ref(), &field, limits.whole_fill, limits.overlap));
}

/// No target of a kit reaches 180 degrees, at which the fill is infinite.
fn is_sound_fit(fit: &Fit) {
    is_fit(fit);
    assert!(fit.fill.is_some_and(f64::is_finite), "{fit:?}");
}

fn are_demands_sound(found: &Demands) {
    for figure in Figure::ALL {
        match found.value(*figure) {
            Ok(Value::Number(number)) => assert!(number.is_finite(), "{figure:?} is {number}"),
            // What is no number is called so.
            Err(why) => assert_ne!(why, Why::OutOfReach, "{figure:?}"),
            Ok(_) => {}
        }
    }
    assert!(found.delivered_fwhm_arcsec > 0.0);
    is_sound("demands", found);
}

fn is_choice_sound(found: &Choice) {
    for rig in &found.rigs {
        for cell in &rig.cells {
            is_sound_fit(&cell.fit);
            assert!(cell.detail.is_none_or(f64::is_finite), "{cell:?}");
        }
        assert!(rig.counts.iter().flatten().all(|count| count.is_finite()), "{:?}", rig.counts);
        are_demands_sound(&rig.demands);
    }
    is_sound("ranges", &found.ranges);
    is_sound("coverage", &found.coverage);
    is_sound("best", &(found.best, found.best_pair, found.best_rigs));
    is_sound("recommendation", &found.recommendation);
    is_sound("findings", &found.findings);
}

/// What is written is read again, every number in its range.
fn is_kept_by_its_file(kit: &Kit) {
    let text = kit_file::to_text(kit).expect("a kit is written");
    let again = kit_file::parse(text.as_bytes(), "kit.ron", &|_| true).expect("and read");
    assert_eq!(again, *kit);
}

/// Every cell of every table.
fn are_tables_sound(kit: &Kit) {
    let catalogue = Catalogue::embedded().expect("the catalogue");
    for table in TableName::ALL {
        let question = TableQuestion {
            target: Some("Target".to_owned()),
            rig: Some(kit.rigs[0].name.clone()),
            season: Some(SeasonQuestion::of_month(2)),
            evening: jiff::civil::Date::new(2026, 3, 20).ok(),
            ..TableQuestion::new(*table, kit.clone())
        };
        // More panels than can be counted are refused.
        let Ok(found) = work_out(&question, &catalogue, &mut |_| true) else { continue };
        for cell in found.rows.iter().flatten() {
            match cell {
                Cell::Number(number) => assert!(number.is_finite(), "{table:?}: {number}"),
                // The numbers of a sentence.
                Cell::Text(text) => {
                    let is_none = |word: &str| matches!(word, "NaN" | "inf" | "-inf");
                    assert!(!text.split(' ').any(is_none), "{table:?}: {text}");
                }
                Cell::Empty | Cell::Whole(_) | Cell::Flag(_) => {}
            }
        }
    }
}

/// Numbers that are none, and infinities, are refused wherever a range stands at a field.
#[test]
fn doors() {
    const KIT: &str = include_str!("corpus/kit/every_field.ron");
    let fields = numbers_of(KIT);
    assert!(fields.len() > 60, "{}", fields.len());
    let make = |_: u64, random: &mut Random| {
        (random.any_number(), random.pick(&fields).clone(), random.chance(ONE_READ_IN))
    };
    check("doors", 3000, &make, &|(number, place, read)| {
        let number = *number;
        for (name, range) in range::ALL {
            let lets_in = range.contains(number);
            assert!(!lets_in || number.is_finite(), "{name}: {number} was let in");
            assert_eq!(lets_in, number >= range.least && number <= range.most, "{name}: {number}");
        }
        if !read {
            return;
        }
        let text = format!("{}{number:?}{}", &KIT[..place.start], &KIT[place.end..]);
        if let Ok(kit) = kit_file::parse(text.as_bytes(), "kit.ron", &|_| true) {
            assert!(number.is_finite() && number.abs() <= range::MONEY.most, "{number} was let in");
            let written = kit_file::to_text(&kit).expect("a kit is written");
            assert!(!written.contains("NaN") && !written.contains("inf"), "{written}");
        }
    });
}

/// A whole kit is read in one case of so many; the ranges are asked in every one.
const ONE_READ_IN: usize = 4;
