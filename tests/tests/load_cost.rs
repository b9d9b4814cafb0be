//! Mass, money and the checklist, worked out by hand on the example kit.
//!
//! No outside source: arithmetic on the kit's own numbers.

#![allow(clippy::expect_used, reason = "a test fails by panicking")]

use fieldstop::cost::{bill, checklist, checklist_price, price};
use fieldstop::demands::{Conditions, Demands, Figure, Grade, Remedy, demands};
use fieldstop::kit::{ChecklistItem, Kit, MountKind};
use fieldstop::load::tube_moment_kg_m2;
use fieldstop::why::{Part, Why};

fn kit() -> Kit {
    ron::from_str(include_str!("../kits/example-kit.ron")).expect("the example kit")
}

fn figures(kit: &Kit, rig: usize) -> Demands {
    let resolved = kit.resolve(rig).expect("a rig");
    demands(&resolved, &kit.site, &kit.limits, None, &Conditions::at_zenith(&kit.site))
}

fn grade(kit: &Kit, rig: usize, figure: Figure) -> Grade {
    figures(kit, rig).grade(figure, &kit.limits).expect("a grade").grade
}

/// 3.5, 7.0, 6.8, 7.7 and 8.1 kg on a mount that may carry 4.5 of its 9 kg.
#[test]
fn the_light_mount_carries_the_short_refractor_and_no_other() {
    let kit = kit();
    let wanted = [3.5, 7.0, 6.8, 7.7, 8.1];
    for (rig, mass) in wanted.into_iter().enumerate() {
        assert!((figures(&kit, rig).load.on_mount_kg - mass).abs() < 1e-9, "rig {rig}");
        let expected = if rig == 0 { Grade::Good } else { Grade::Bad };
        assert_eq!(grade(&kit, rig, Figure::PayloadUsed), expected, "rig {rig}");
    }
    let graded = figures(&kit, 4).grade(Figure::PayloadUsed, &kit.limits).expect("a grade");
    assert_eq!(graded.remedies, [Remedy::LighterRig, Remedy::BetterMount]);
}

#[test]
fn a_heavy_piece_is_remarked_on_and_a_heavy_load_refused() {
    let mut kit = kit();
    assert_eq!(grade(&kit, 0, Figure::HeaviestPiece), Grade::Good);
    assert_eq!(grade(&kit, 0, Figure::Carry), Grade::Good);
    kit.mounts[0].mass_kg = 17.0;
    assert_eq!(grade(&kit, 0, Figure::HeaviestPiece), Grade::Doubtful);
    // 17 + 3.5 kg against a limit of 18.
    assert_eq!(grade(&kit, 0, Figure::Carry), Grade::Bad);
    kit.limits.carry_kg = None;
    assert!(figures(&kit, 0).grade(Figure::Carry, &kit.limits).is_none());
}

/// 1.9 kg x (0.26 m)^2 / 12.
#[test]
fn the_tube_has_the_moment_of_a_rod() {
    let mut kit = kit();
    let moment = |kit: &Kit| tube_moment_kg_m2(&kit.resolve(0).expect("a rig"));
    assert!((moment(&kit).expect("a length") - 0.010_703).abs() < 1e-6);
    kit.otas[0].length_mm = None;
    assert_eq!(moment(&kit), Err(Why::NoLength));
}

#[test]
fn the_bill_lists_every_part_and_charges_what_is_not_owned() {
    let kit = kit();
    let rig = kit.resolve(0).expect("a rig");
    let parts: Vec<Part> = bill(&rig).iter().map(|line| line.part).collect();
    assert_eq!(parts, [Part::Ota, Part::Corrector, Part::Camera, Part::Mount]);
    let listed: f64 = bill(&rig).iter().filter_map(|line| line.price).sum();
    assert!((listed - 2140.0).abs() < 1e-9);
    assert_eq!(price(&rig), Ok(680.0));
}

/// The rig alone is within 700, not with what it still lacks.
#[test]
fn a_budget_holds_only_with_the_checklist() {
    let mut kit = kit();
    assert_eq!(grade(&kit, 0, Figure::Price), Grade::Good);
    kit.limits.budget = Some(700.0);
    assert_eq!(grade(&kit, 0, Figure::Price), Grade::Doubtful);
    kit.limits.budget = Some(600.0);
    assert_eq!(grade(&kit, 0, Figure::Price), Grade::Bad);
    kit.limits.budget = None;
    assert!(figures(&kit, 0).grade(Figure::Price, &kit.limits).is_none());
}

#[test]
fn the_checklist_is_the_kits_own_if_it_has_one() {
    let mut limits = kit().limits;
    let usual = checklist(&limits);
    assert!(usual.iter().all(|item| item.price.is_some_and(|price| price > 0.0)));
    limits.currency = "a currency that no guess was made in".to_owned();
    assert_eq!(checklist_price(&checklist(&limits)), Err(Why::NoChecklistPrice));
    let item = |name: &str, price, owned| ChecklistItem { name: name.to_owned(), price, owned };
    limits.checklist =
        Some(vec![item("battery", Some(90.0), false), item("dew heaters", None, true)]);
    assert_eq!(checklist_price(&checklist(&limits)), Ok(90.0));
}

#[test]
fn a_tripod_is_judged_by_what_it_does_untracked() {
    let mut kit = kit();
    assert!(figures(&kit, 0).grade(Figure::Untracked, &kit.limits).is_none());
    kit.mounts[0].kind = MountKind::Fixed;
    kit.mounts[0].guided_rms_arcsec = None;
    // 0.26 s against a sub-exposure of tens of seconds.
    assert_eq!(grade(&kit, 0, Figure::Untracked), Grade::Bad);
    assert!(figures(&kit, 0).grade(Figure::Unguided, &kit.limits).is_none());
}
