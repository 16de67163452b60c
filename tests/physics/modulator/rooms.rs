//! How accumulator and damper of a unit trade with what passes, and units that lack one.

use super::{PLAIN, after_it, conserves, opening_at, part, trading, trapped_old_ml};
use crate::common::cars::{edited, read, run};
use farwheel::circuit::reach;

/// A room D of which e of what passes mixes: each cycle e v comes in, mixes, and e v leaves, so that the old fraction
/// falls by D/(D + e v). Hand-derived; 41 cycles of 0.05 mL.
#[test]
fn what_does_not_mix_leaves_the_accumulator_as_it_came() {
    for share in [0.0, 0.03, 0.3, 1.0_f64] {
        let record = run(&trading("0.05 mL", ("1 mL", share), ("0.05 mL", 1.0)));
        conserves(&record);
        let accumulator = part(&record, "unit accumulator");
        let exact = (1.0 + share * 0.05).powf(-41.0);
        // 1.1 mL of old fluid in a litre, and what the flush has left of the passage's own.
        let spring = 1.1e-3 + part(&record, "unit to line").old_fraction;
        let old = accumulator.old_fraction;
        assert!((exact - 1e-9..exact + spring).contains(&old), "{share}: {old} for {exact}");
        assert!((accumulator.volume_ml - 1.0).abs() < 1e-9);
    }
}

/// A room D past which all but a share e of a stream V of new fluid goes is washed by e V: e^(−e V/D) is left. The pump's
/// 0.05 mL of old fluid go before.
#[test]
fn the_damper_is_washed_by_what_goes_through_it() {
    for share in [0.0, 0.03, 0.3, 1.0_f64] {
        let record = run(&trading("0.05 mL", ("0 mL", 0.5), ("1.5 mL", share)));
        conserves(&record);
        let exact = (-share * 41.0 * 0.05 / 1.5).exp();
        let before = share * 0.05 / 1.5;
        let spring = 1.6e-3 + part(&record, "unit to line").old_fraction;
        let old = part(&record, "unit damper").old_fraction;
        assert!(
            (exact - 1e-9..exact + before + spring).contains(&old),
            "{share}: {old} for {exact}"
        );
    }
}

/// A damper that is a dead end keeps its 1.5 mL a circuit however long the unit is worked: of 2.1 mL trapped 71 %.
#[test]
fn a_blind_damper_keeps_what_it_holds() {
    let work = "{ work_modulator = \"unit\", time = \"60 s\", bleeders = [\"RF\", \"LF\"] }";
    let blind = edited(&after_it(work), "esc = true", "esc = true, damper_exchange = \"0 %\"");
    let record = run(&blind);
    let kept = trapped_old_ml(&record);
    assert!((3.0..3.1).contains(&kept), "{kept}");
    assert!((kept / 4.2 - 1.5 / 2.1).abs() < 0.02);
}

#[test]
fn a_unit_may_lack_damper_and_accumulator_room() {
    let none = "esc = true, damper = \"0 mL\", accumulator = \"0 mL\"";
    let circuit = read(&edited(PLAIN, "esc = true", none)).circuit().clone();
    let trapped: Vec<(String, f64)> = reach::unreached(&circuit);
    let names: Vec<&str> = trapped.iter().map(|(name, _)| name.as_str()).collect();
    assert_eq!(names, ["secondary pump", "primary pump"]);
    let fill = "{ work_modulator = \"unit\", time = \"9 s\", pump = false }";
    let work = "{ work_modulator = \"unit\", time = \"20 s\" }";
    for (steps, held_ml) in
        [(work.to_owned(), 0.0), (fill.to_owned(), 3.0), (format!("{fill}, {work}"), 0.0)]
    {
        let text = edited(&opening_at(&after_it(&steps), "0 bar"), "esc = true", none);
        let record = run(&text);
        conserves(&record);
        assert!(record.left.parts.iter().all(|p| !p.part.ends_with("damper")), "{steps}");
        let accumulator = part(&record, "primary accumulator");
        assert!((accumulator.volume_ml - held_ml).abs() < 1e-9, "{steps}: {accumulator:?}");
        let then = record.if_modulator_works.as_ref().expect("a unit");
        assert!((then.trapped_ml - 2.0 * (0.2 + held_ml)).abs() < 1e-9, "{steps}: {then:?}");
        assert!(then.trapped_boiling_c < 300.0 && record.left.old_fraction.is_finite());
    }
}

/// What an accumulator has taken up and does not mix is a place of its own: the fluid at rest behind it stays as wet.
#[test]
fn what_lies_apart_boils_by_itself() {
    let fill = "{ work_modulator = \"unit\", time = \"9 s\", pump = false }";
    let of = |share: &str| {
        let key = format!("esc = true, accumulator_exchange = \"{share}\"");
        let record = run(&edited(&opening_at(&after_it(fill), "0 bar"), "esc = true", &key));
        conserves(&record);
        let p = part(&record, "secondary accumulator").clone();
        (p.volume_ml, p.old_fraction, p.boiling_c, p.lowest_boiling_c)
    };
    let (mixed, half, apart) = (of("100 %"), of("50 %"), of("0 %"));
    // The same fluid in either case: 0.4 mL of old and 3 mL of what was taken up.
    for other in [half, apart] {
        assert!((mixed.0 - other.0).abs() < 1e-9 && (mixed.1 - other.1).abs() < 1e-9, "{other:?}");
    }
    assert!(mixed.3 > half.3 + 1.0 && half.3 > apart.3 + 1.0, "{mixed:?} {half:?} {apart:?}");
    assert!((mixed.2 - mixed.3).abs() < 1e-9 && apart.2 > apart.3 + 5.0, "{mixed:?} {apart:?}");
}
