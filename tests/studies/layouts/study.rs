//! The study: its orders are those one would write, it conserves, and it says what it cannot tell.

use super::{all_splits, read, text_of};
use farwheel::job::flush;
use farwheel::job::options::Options;
use farwheel::scenario::procedure::Action;
use farwheel::study::layouts::{Layouts, compare};
use farwheel::study::order::{OrderError, Rules, reordered};
use farwheel::study::progress::Nobody;
use farwheel::study::ranking;
use std::sync::LazyLock;

const ESTATE: &str = include_str!("../../../scenarios/estate-front-rear-split.toml");

pub(crate) static ANSWER: LazyLock<Layouts> =
    LazyLock::new(|| compare(&all_splits(), &as_the_verb(), &Nobody).unwrap());

/// As `layouts` runs them.
fn as_the_verb() -> Options {
    Options { origins: false, ..Options::default() }
}

fn with_opening(text: &str, open: &str) -> String {
    let (head, rest) = text.split_once("open = [").unwrap();
    let tail = rest.split_once(']').unwrap().1;
    format!("{head}open = {open}{tail}")
}

/// What far and near first give is what `flush` gives of the scenario written in that order.
#[test]
fn far_first_and_near_first_are_the_scenario_written_so() {
    let far = r#"["RR", "LR", "RF primary", "RF secondary", "LF primary", "LF secondary"]"#;
    let near = r#"["LF primary", "LF secondary", "RF primary", "RF secondary", "LR", "RR"]"#;
    let layout = &ANSWER.layouts[3];
    assert_eq!(layout.file, "ll.toml");
    for (open, run) in [(far, &layout.far_first), (near, &layout.near_first)] {
        let alone = flush(&read(&with_opening(text_of("LL"), open)), &Options::default()).unwrap();
        for (a, b) in [
            (run.totals.drained_ml, alone.totals.drained_ml),
            (run.totals.bay_seconds, alone.totals.bay_seconds),
            (run.left.old_ml, alone.left.old_ml),
            (run.left.lowest_boiling_c, alone.left.lowest_boiling_c),
        ] {
            assert!((a - b).abs() < 1e-9, "{open}: {a} and {b}");
        }
    }
}

/// Counts stay at their places: the estate's first bleeder gets 240 mL, whichever it is.
#[test]
fn counted_millilitres_stay_at_their_places() {
    let answer = compare(&[read(ESTATE)], &Options::default(), &Nobody).unwrap();
    let near = &answer.layouts[0].near_first;
    assert_eq!(near.order, ["LF", "RF", "LR", "RR"]);
    let written = with_opening(ESTATE, r#"["LF", "RF", "LR", "RR"]"#);
    let alone = flush(&read(&written), &Options::default()).unwrap();
    let drained: Vec<f64> = alone.openings.iter().map(|o| o.drained_ml.round()).collect();
    assert_eq!(drained, [240.0, 180.0, 120.0, 80.0]);
    assert!((near.left.old_ml - alone.left.old_ml).abs() < 1e-9);
    // The same millilitres either way, so only what stays behind can differ.
    assert!(!answer.layouts[0].fluid.told_apart(), "{:?}", answer.layouts[0].fluid);
    assert!(answer.layouts[0].old_left.told_apart(), "{:?}", answer.layouts[0].old_left);
}

/// Rules by eye go with their bleeder, other steps keep their places, bleeders opened together stay
/// together, and a second round is put in order by itself.
#[test]
fn steps_are_put_in_order_as_documented() {
    let steps = r#"steps = [
        { syringe = "60 mL" },
        { open = "RR", until = "clean below 5 %" },
        { wait = "60 s" },
        { open = ["LR", "RF"], until = "clean" },
        { open = "LF", until = "clean, at most 400 mL" },
        { top_up = "max" },
        { open = "RR", until = "clean" },
        { open = "LF", until = "clean" },
    ]"#;
    let head = text_of("X").split_once("[procedure]").unwrap().0;
    let scenario = read(&format!("{head}[procedure]\n{steps}\n"));
    let rules = Rules::of(&scenario.procedure);
    assert_eq!(rules, Rules::WithBleeder);
    let shown = |s: &farwheel::Scenario| -> Vec<String> {
        let each = s.procedure.steps.iter().map(|step| match &step.action {
            Action::Open { bleeders, until } => {
                let threshold = until.threshold.map_or(0.0, |t| t.value);
                format!("{} {threshold} {}", bleeders.join("+"), until.at_most.is_some())
            }
            other => format!("{other:?}").split(' ').next().unwrap().to_owned(),
        });
        each.collect()
    };
    let near = reordered(&scenario, &["LF", "RF", "LR", "RR"], rules).unwrap();
    assert_eq!(
        shown(&near),
        [
            "Syringe",
            "LF 0 true",
            "Wait",
            "LR+RF 0 false",
            "RR 0.05 false",
            "TopUp",
            "LF 0 false",
            "RR 0 false",
        ]
    );
    // By place the rules stay where they stood.
    let by_place = reordered(&scenario, &["LF", "RF", "LR", "RR"], Rules::ByPlace).unwrap();
    assert_eq!(shown(&by_place)[1], "LF 0.05 false");
    assert_eq!(shown(&by_place)[4], "RR 0 true");
    // An order must be one of the bleeders that are opened.
    let refused = |order: &[&str]| reordered(&scenario, order, rules).unwrap_err();
    assert_eq!(refused(&["RR", "LR", "RF"]), OrderError::LeftOut("LF".into()));
    let opens = ["RR", "LR", "RF", "LF"].map(String::from).to_vec();
    let unknown = OrderError::NotOpened { name: "XX".into(), opens };
    assert_eq!(refused(&["RR", "LR", "RF", "LF", "XX"]), unknown);
    assert_eq!(refused(&["RR", "RR", "LR", "RF", "LF"]), OrderError::Twice("RR".into()));
}

#[test]
fn far_is_the_largest_path_and_ties_go_by_the_file() {
    let scenario = read(text_of("HH"));
    let _circuit = scenario.circuit().clone();
    let far = ranking::far_first(&scenario);
    assert!(far.is_sorted_by(|a, b| a.path_ml >= b.path_ml - 1e-6), "{far:?}");
    // Both circuits of a wheel have the same lines and chambers: a tie.
    let names = |list: &[ranking::Ranked]| -> Vec<String> {
        list.iter().map(|r| r.bleeder.clone()).collect()
    };
    assert_eq!(names(&far)[..3], ["RR primary", "RR secondary", "LR primary"]);
    let near = ranking::near_first(&scenario);
    assert_eq!(names(&near)[..3], ["LF primary", "LF secondary", "RF primary"]);
    // Chamber, line, hose and half a rear caliper worn to 40 %, from the figures in the file.
    let tube =
        |bore_mm: f64, length_m: f64| 0.25 * std::f64::consts::PI * bore_mm * bore_mm * length_m;
    let by_hand = 12.0 + tube(3.33, 5.0) + tube(3.2, 0.4) + 2.5 + 0.4 * (9.5 - 2.5);
    assert!((far[0].path_ml - by_hand).abs() < 1e-9, "{} and {by_hand}", far[0].path_ml);
}

/// Two equal wheels on two equal circuits: which of them goes first cannot matter.
#[test]
fn on_a_symmetric_car_the_order_does_not_matter() {
    let head = text_of("X").split_once("[parts]").unwrap().0;
    let car = read(&format!(
        "{head}[parts]
\"line L\" = {{ like = \"tube\", from = \"primary\", length = \"2 m\" }}
\"line R\" = {{ like = \"tube\", from = \"secondary\", length = \"2 m\" }}
\"hose L\" = {{ kind = \"hose\", from = \"line L\" }}
\"hose R\" = {{ kind = \"hose\", from = \"line R\" }}
L = {{ like = \"front\", from = \"hose L\" }}
R = {{ like = \"front\", from = \"hose R\" }}
[supplies]
gravity = {{ kind = \"gravity\" }}
[procedure]
open = [\"L\", \"R\"]
until = \"clean\"
"
    ));
    let rules = Rules::of(&car.procedure);
    let run = |order: [&str; 2]| {
        flush(&reordered(&car, &order, rules).unwrap(), &Options::default()).unwrap()
    };
    let (one, other) = (run(["L", "R"]), run(["R", "L"]));
    assert_eq!(other.openings[0].bleeder, "R");
    assert!((one.totals.drained_ml - other.totals.drained_ml).abs() < 1e-6);
    assert!((one.left.old_ml - other.left.old_ml).abs() < 1e-6);
    let layout = &compare(&[car], &Options::default(), &Nobody).unwrap().layouts[0];
    assert!(!layout.fluid.told_apart() && !layout.old_left.told_apart(), "{layout:?}");
}

/// Volume, old fluid and water to a billionth of what is in the system, and the promised accuracy, in
/// both orders of every split.
#[test]
fn every_split_conserves_and_keeps_the_promised_accuracy() {
    for layout in &ANSWER.layouts {
        for run in [&layout.far_first, &layout.near_first] {
            let b = &run.balance;
            for error in [b.volume_error_ml, b.old_error_ml, b.water_error_g] {
                assert!(error.abs() < 1e-9 * layout.capacity_ml, "{}: {b:?}", layout.file);
            }
            let n = &run.numerics;
            let promised = f64::max(0.5, 0.005 * run.totals.drained_ml);
            assert!(n.clean_at_error_ml.unwrap() <= promised, "{}: {n:?}", layout.file);
            assert!(!run.stopped(), "{}: {:?}", layout.file, run.warnings);
        }
    }
}

/// The stated error of the drained sum holds against a computation four times as fine.
#[test]
fn the_error_of_the_drained_sum_is_what_it_says() {
    let scenario = read(text_of("HI"));
    let stated = &ANSWER.layouts[2].far_first;
    let fine = Options {
        steps_per_path: 4.0 * Options::default().steps_per_path,
        lanes: Some(256),
        estimate_error: false,
        origins: false,
        ..Options::default()
    };
    let fine = flush(&scenario, &fine).unwrap();
    let off = (stated.totals.drained_ml - fine.totals.drained_ml).abs();
    let error = stated.numerics.drained_error_ml.unwrap();
    assert!(off <= error, "{off} mL off, ± {error} stated");
}

/// What the layouts are compared by is the new fluid of their jobs, what a syringe takes included.
#[test]
fn layouts_are_compared_by_the_new_fluid_they_take() {
    let head = text_of("X").split_once("[procedure]").unwrap().0;
    let rest = text_of("X").split_once("[procedure]").unwrap().1;
    let first = format!("\nbefore = [{{ syringe = \"90 mL\" }}, {{ top_up = \"180 mL\" }}]{rest}");
    let syringed = read(&format!("{head}[procedure]{first}"));
    let answer = compare(&[read(text_of("X")), syringed], &Options::default(), &Nobody).unwrap();
    let [plain, syringed] = &answer.layouts[..] else { panic!("two") };
    let (a, b) = (&plain.far_first.totals, &syringed.far_first.totals);
    assert!(b.removed_ml > 70.0 && b.drained_ml < a.drained_ml - 100.0, "{a:?} {b:?}");
    let between = answer.between.as_ref().expect("two ran");
    assert_eq!((between.fluid.least, between.fluid.most), (1, 0));
    assert!((between.fluid.difference.ml - (a.new_fluid_ml - b.new_fluid_ml)).abs() < 1e-9);
    for l in &answer.layouts {
        let (far, near) = (&l.far_first.totals, &l.near_first.totals);
        assert!((l.fluid.ml - (near.new_fluid_ml - far.new_fluid_ml)).abs() < 1e-9);
    }
}
