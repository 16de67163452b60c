//! What a pocket keeps and gives off, in every kind of chamber.

use super::{CAR, Car};
use crate::common::cars::{HATCHBACK, close, edited, part, read, run};
use farwheel::keys::table::keys_in;
use farwheel::keys::{Key, keys_of};
use farwheel::parts;
use farwheel::parts::mixing::Mixing;
use farwheel::scenario::tables;

/// ∫ F dV of a chamber with a pocket is V_a + V_d for any exchange above 0, whatever it is: the pocket delays, it
/// does not keep (mean residence time V/Q of a closed vessel without dead volume, Levenspiel, *Chemical Reaction
/// Engineering*). So all that lay in the chamber has come out in the end.
#[test]
fn the_pocket_of_a_master_cylinder_gives_its_fluid_off() {
    for (exchange, until) in [("2 %", "6 L"), ("10 %", "2 L"), ("80 %", "1.5 L")] {
        let master = format!("pocket = \"35 %\"\npocket_exchange = \"{exchange}\"");
        let wheel = "new_pads = \"1 mL\", old_fraction = 0";
        let car = Car { master_ml: 40.0, master: &master, wheel, until, ..CAR };
        let record = run(&car.text());
        let origins = &record.openings[0].origins_ml;
        let out = origins.iter().find(|o| o.0 == "master cylinder").expect("an origin").1;
        close(out, 40.0, 0.01, exchange);
        assert!(part(&record, "one").old_fraction < 1e-3, "{:?}", part(&record, "one"));
    }
    // Left to itself it trades by time.
    let rests = |time: &str| {
        let text = HATCHBACK
            .replace("[master_cylinder]", &format!("[master_cylinder]\npocket = \"30 %\"\n{time}"))
            .replace("until = \"clean\"", "until = \"clean\"\nafter = [{ wait = \"1 h\" }]");
        part(&run(&text), "secondary").pocket_boiling_c.expect("a pocket")
    };
    assert!(rests("pocket_time = \"10 min\"") > rests("") + 2.0);
}

/// A third of the master cylinder in a pocket costs a flush by eye a few millilitres (584 without).
#[test]
fn a_pocket_in_the_master_cylinder_is_flushed() {
    let text = edited(HATCHBACK, "[master_cylinder]", "[master_cylinder]\npocket = \"30 %\"");
    let record = run(&text);
    let plain = run(HATCHBACK);
    let more = record.totals.drained_ml - plain.totals.drained_ml;
    assert!((0.0..15.0).contains(&more), "{more} mL more");
    for chamber in ["primary", "secondary"] {
        let (with, without) = (part(&record, chamber), part(&plain, chamber));
        assert!(with.old_fraction > without.old_fraction, "{with:?}");
        assert!(with.old_fraction < 0.06, "{with:?}");
    }
}

/// Whatever has one of a pocket's keys has all, as they are written once; the wheel cylinder's `pocket` alone is
/// told otherwise.
#[test]
fn a_pocket_has_all_its_keys_wherever_there_is_one() {
    let of_parts = parts::Kind::all().iter().map(|k| (k.spec().name, keys_in(&mut *k.clone())));
    let of_tables = tables::TABLES.iter().map(|t| (t.name, (t.keys)()));
    let of_a_pocket = keys_of::<Mixing>();
    let mut with_pocket = Vec::new();
    for (name, keys) in of_parts.chain(of_tables) {
        let find = |name: &str| -> Option<Key> { keys.iter().copied().find(|k| k.name == name) };
        if !keys.iter().any(|k| k.name.starts_with("pocket")) {
            continue;
        }
        with_pocket.push(name);
        for key in &of_a_pocket {
            match key.name {
                "pocket" => assert_eq!(find("pocket").map(|k| k.form), Some(key.form), "{name}"),
                other => assert_eq!(find(other), Some(*key), "{name}"),
            }
        }
    }
    assert_eq!(of_a_pocket.len(), 4);
    with_pocket.sort_unstable();
    assert_eq!(
        with_pocket,
        [
            "caliper",
            "chamber",
            "clutch master cylinder",
            "clutch slave cylinder",
            "master_cylinder",
            "reservoir",
            "two-bleeder caliper",
            "wheel cylinder"
        ]
    );
}

/// And the chamber that is built from it holds what was written.
#[test]
fn every_chamber_has_the_pocket_that_its_table_states() {
    let pocket = "pocket = \"40 %\", pocket_exchange = \"20 %\", pocket_time = \"60 s\"";
    let more = format!(
        r#"
l1 = {{ kind = "line", from = "one", length = "1 m" }}
clutch = {{ kind = "clutch master cylinder", from = "l1", volume = "5 mL", {pocket} }}
l3 = {{ kind = "line", from = "clutch", length = "1 m" }}
tee = {{ kind = "tee", from = "l3" }}
l4 = {{ kind = "line", from = "tee", length = "1 m" }}
l5 = {{ kind = "line", from = "tee", length = "1 m" }}
l6 = {{ kind = "line", from = "tee", length = "1 m" }}
slave = {{ kind = "clutch slave cylinder", from = "l4", volume = "5 mL", {pocket} }}
drum = {{ kind = "wheel cylinder", from = "l5", volume = "5 mL", {pocket} }}
twin = {{ kind = "two-bleeder caliper", from = "l6", bleeders = ["in", "out"], new_pads = "9 mL", {pocket} }}
"#
    );
    let (master, wheel) = (pocket.replace(", ", "\n"), format!("{}, {pocket}", CAR.wheel));
    let car = Car { master_ml: 5.0, master: &master, wheel: &wheel, more: &more, ..CAR };
    let circuit = read(&car.text()).circuit().clone();
    let chambers: Vec<_> =
        circuit.nodes.iter().filter_map(|n| Some((&n.name, n.chamber?))).collect();
    assert_eq!(chambers.len(), 7, "{chambers:?}");
    for (name, c) in chambers {
        assert_eq!(
            (c.pocket_share, c.pocket_exchange, c.pocket_time_s),
            (0.4, 0.2, 60.0),
            "{name}"
        );
    }
}
