//! A line in pieces, and a branch that nobody opens.

use super::cases;
use super::compare::difference;
use super::job::{each_bleeder, options, read, run, run_text};
use crate::common;
use crate::common::cars::{DOT_4, GRAVITY, scenario_text, undivided};
use crate::common::random::{Car, car};
use farwheel::Scenario;
use farwheel::job::options::Options;
use farwheel::job::record::PartLeft;
use farwheel::keys::quantity::Quantity;
use farwheel::parts::Kind;
use farwheel::scenario::model::Part;
use proptest::prelude::*;

/// Every line and hose as two, the first of which has this share of the length.
fn in_pieces(s: &Scenario, share: f64) -> Scenario {
    let mut parts = Vec::new();
    for part in &s.parts {
        if part.kind.run().is_none() {
            parts.push(part.clone());
            continue;
        }
        let before = format!("{} before", part.name);
        let piece = |name: &str, share: f64| -> Part {
            let mut piece = part.clone();
            name.clone_into(&mut piece.name);
            let length = match &mut piece.kind {
                Kind::Line(line) => &mut line.length,
                Kind::Hose(hose) => &mut hose.length,
                other => panic!("{other:?}"),
            };
            *length = Quantity::known(share * length.value);
            piece
        };
        // What starts from the line starts from the second piece, which keeps its name, as a channel of a modulator
        // keeps that of the first.
        let mut first = piece(&before, share);
        let mut second = piece(&part.name, 1.0 - share);
        first.to = None;
        second.from = vec![before];
        parts.extend([first, second]);
    }
    s.changed(|out| out.parts = parts).expect("a circuit")
}

/// Without what the pieces of a line can't share: bends, and channels that are known by the name of a line.
fn straight(mut car: Car) -> Car {
    car.unit = None;
    car.crossover = None;
    // Lines, and a kind added later may be one, have bends and joints of their own.
    car.extras.clear();
    for branch in car.chambers.iter_mut().flatten() {
        branch.bends = 0;
    }
    car
}

fn same_in_pieces(car: &Car, share: f64) -> Result<(), TestCaseError> {
    let text = each_bleeder(car, "clean, at most 300 mL")?;
    let s = read(&text)?;
    let estimated = Options { estimate_error: true, ..options() };
    let run = |s: &Scenario| common::run(s, &text, &estimated);
    let (one, two) = (run(&s)?, run(&in_pieces(&s, share))?);
    let error = |of: fn(&farwheel::job::record::Numerics) -> Option<f64>| {
        [&one, &two].into_iter().filter_map(|r| of(&r.numerics)).sum::<f64>() + 0.01
    };
    let (a, b) = (one.totals.drained_ml, two.totals.drained_ml);
    let allowed = error(|n| n.drained_error_ml);
    prop_assert!(
        (a - b).abs() <= allowed,
        "drained {a} mL whole, {b} mL in pieces of {share} (± {allowed}), in\n{text}"
    );
    let (a, b) = (one.left.old_ml, two.left.old_ml);
    let allowed = error(|n| n.old_left_error_ml);
    prop_assert!(
        (a - b).abs() <= allowed,
        "{a} mL left whole, {b} mL in pieces of {share} (± {allowed}), in\n{text}"
    );
    Ok(())
}

fn with_a_dead_branch(text: &str) -> String {
    let dead = "\"dead line\" = { kind = \"line\", from = \"chamber 0\", length = \"1.5 m\", bends = 3 }\n\
                dead = { kind = \"caliper\", from = \"dead line\", new_pads = \"20 mL\" }\n";
    text.replacen("[supplies.vessel]", &format!("{dead}[supplies.vessel]"), 1)
}

fn same_with_a_dead_branch(car: &Car) -> Result<(), TestCaseError> {
    let text = car.toml();
    let with = with_a_dead_branch(&text);
    prop_assert!(with != text);
    let found = difference(&run_text(&text)?, &run_text(&with)?, str::to_owned, 1e-9);
    prop_assert!(found.is_none(), "{} with a dead branch on\n{text}", found.unwrap_or_default());
    Ok(())
}

proptest! {
    #![proptest_config(cases(80))]

    #[test]
    fn a_line_in_pieces_is_one_line(car in car(), share in 0.1..0.9_f64) {
        same_in_pieces(&straight(car), share)?;
    }

    #[test]
    fn a_branch_that_nobody_opens_has_no_say(car in car()) {
        same_with_a_dead_branch(&car)?;
    }
}

#[test]
fn pieces_hold_what_the_whole_holds() {
    let parts = r#"[parts]
line = { kind = "line", from = "lever", length = "2 m" }
wheel = { kind = "caliper", from = "line", new_pads = "8 mL" }
[procedure]
open = ["wheel"]
until = "10 mL""#;
    let above = undivided("lever", 5.0, [50, 30, 60, 80]);
    let text = scenario_text(&[DOT_4, &above, parts, GRAVITY]);
    let s = read(&text).expect("it reads");
    let of = |s: &Scenario| run(s, &text).expect("it runs").left.parts;
    let (one, two) = (of(&s), of(&in_pieces(&s, 0.3)));
    let held = |parts: &[PartLeft]| parts.iter().map(|p| p.volume_ml).sum::<f64>();
    assert_eq!(one.len() + 1, two.len());
    assert!((held(&one) - held(&two)).abs() < 1e-9);
}
