//! What the supply and the reservoir have to do with it: too little, too much pressure, air, hands.

use super::{GRAVITY, bench, run, vessel};
use crate::common::cars::{near, quick, warning};
use farwheel::job::options::Options;
use farwheel::job::record::{ClosedBy, Does, WarningKind};
use farwheel::job::{check, flush};

/// A number in a warning: what stands before ` mL` after these words.
fn ml_after(text: &str, words: &str) -> f64 {
    let from = text.find(words).unwrap_or_else(|| panic!("no \"{words}\" in: {text}"));
    let number = text[from + words.len()..].split(" mL").next().expect("a number");
    number.trim().parse().unwrap_or_else(|_| panic!("no number after \"{words}\" in: {text}"))
}

/// Air would enter: the job ends there, says how much is missing, and loading what it says is enough.
#[test]
fn a_supply_that_runs_dry_says_how_much_to_load() {
    for loaded in [200, 300, 400] {
        let mut b =
            bench("before = [{ re_pump = \"15 psi\" }]\nopen = [\"R\", \"F\"]\nuntil = \"clean\"");
        let enough = b.run();
        let book = enough.totals.fluid.expect("a book");
        let needed = book.loaded_ml - 50.0 - book.left_ml;
        assert!(needed > 405.0, "the loads tried are too small: {needed}");
        b.supply = vessel(&format!("{loaded} mL"));
        let record = b.run();
        let last = record.openings.last().expect("an opening");
        assert_eq!(last.closed_by, ClosedBy::Supply);
        let dry = warning(&record, WarningKind::SupplyRanDry);
        assert!(dry.stops_the_job() && record.stopped());
        let takes = ml_after(&dry.text, "the whole job takes");
        let fluid = record.totals.fluid.expect("a book");
        // The heel.
        near(fluid.left_ml, 50.0, 1e-6);
        b.supply = vessel(&format!("{} mL", ml_after(&dry.text, "load at least")));
        let again = b.run();
        assert!(!again.stopped(), "{}: {:?}", dry.text, again.warnings);
        assert_eq!(again.openings.len(), 2);
        // What it said is what a job with enough takes, to the air cushion's part in it.
        near(takes, again.totals.fluid.expect("a book").least_load_ml.expect("it lasts"), 2.0);
        assert!(again.openings.iter().all(|o| o.closed_by == ClosedBy::Clean));
        // Nor is it told to load far too much: to the next 50 mL and 50 mL in hand.
        assert!(again.totals.fluid.expect("a book").left_ml < 50.0 + 110.0, "{}", dry.text);
    }
}

/// Counted in seconds, more loaded is less air, a gauge that falls further and less drained: what is told is
/// the load that just lasts, whatever was tried before.
#[test]
fn the_load_told_lasts_where_seconds_are_counted_too() {
    let takes = |ml: f64| {
        let mut b = bench("open = [\"R\", \"F\"]\nuntil = \"6 min\"");
        b.supply = vessel(&format!("{ml} mL"));
        b.run()
    };
    let first = takes(400.0);
    let text = &warning(&first, WarningKind::SupplyRanDry).text;
    let told = ml_after(text, "the whole job takes");
    near(
        ml_after(&warning(&takes(700.0), WarningKind::SupplyRanDry).text, "the whole job takes"),
        told,
        1.5,
    );
    assert!(takes(told - 20.0).stopped(), "{text}");
    let enough = takes(told + 5.0);
    assert!(!enough.stopped(), "{text}: {:?}", enough.warnings);
    near(enough.totals.fluid.expect("a book").least_load_ml.expect("it lasts"), told, 6.0);
}

/// More than the vessel holds beside its air cushion cannot be loaded.
#[test]
fn loading_beyond_the_vessel_is_refused() {
    let b = bench("before = [{ load = \"1.2 L\" }]\nopen = [\"R\"]\nuntil = \"20 mL\"");
    let refused = flush(&b.scenario(), &quick()).expect_err("4.2 L in a shell of 4.5 L");
    assert!(refused.to_string().contains("room for 1050 mL"), "{refused}");
}

#[test]
fn a_gauge_above_the_limit_stops_the_job() {
    let mut b = bench("open = [\"F\"]\nuntil = \"20 mL\"");
    b.vehicle = "gauge_limit = \"14 psi\"";
    let record = b.run();
    assert!(warning(&record, WarningKind::PressureOverLimit).stops_the_job() && record.stopped());
    b.vehicle = "gauge_limit = \"15 psi\"";
    assert!(!b.run().stopped(), "at the limit is not above it");
    // Pumped above it later on.
    b.procedure =
        "before = [{ re_pump = \"1.2 bar\" }]\nopen = [\"F\"]\nuntil = \"20 mL\"".to_owned();
    assert!(warning(&b.run(), WarningKind::PressureOverLimit).stops_the_job());
}

/// Nothing pushes: said as such, and not as a bound that was met.
#[test]
fn a_reservoir_no_higher_than_the_bleeder_gives_no_flow() {
    let mut b = bench("open = [\"R\"]\nuntil = \"clean\"");
    b.supply = GRAVITY.to_owned();
    b.reservoir = "height = \"0.2 m\"";
    let record = b.run();
    let o = &record.openings[0];
    assert_eq!((o.closed_by, o.drained_ml), (ClosedBy::NoFlow, 0.0));
    assert!(warning(&record, WarningKind::NoFlow).stops_the_job() && record.stopped());
    let checked = check(&b.scenario(), &Options::default()).expect("it reads");
    assert!(checked.warnings.iter().any(|w| w.kind == WarningKind::NoFlow && w.stops_the_job()));
}

/// Head alone: it drains, slowly, and is topped up from MIN to MAX by hand.
#[test]
fn gravity_drains_with_top_ups() {
    let mut b = bench("open = [\"R\", \"F\"]\nuntil = \"clean\"");
    let pushed = b.run();
    b.supply = GRAVITY.to_owned();
    let record = b.run();
    assert!(!record.stopped(), "{:?}", record.warnings);
    assert!(record.openings.iter().all(|o| o.closed_by == ClosedBy::Clean));
    let top_ups: Vec<f64> =
        record.steps.iter().filter(|s| s.does == Does::TopUp).map(|s| s.moved_ml).collect();
    assert!(!top_ups.is_empty());
    for poured in &top_ups {
        near(*poured, 80.0, 1e-6);
    }
    near(top_ups.iter().sum(), record.totals.new_fluid_ml, 1e-6);
    assert!(record.totals.fluid.is_none());
    // 0.55 m of head are 6 kPa against 103 kPa.
    assert!(record.openings[0].mean_flow_ml_per_s < 0.2 * pushed.openings[0].mean_flow_ml_per_s);
    let lowest = record.supply_curve.iter().map(|s| s.reservoir_ml).fold(f64::INFINITY, f64::min);
    near(lowest, 120.0, 1e-6);
}

/// Nobody tops it up: air would enter at an outlet, and the job says so.
#[test]
fn gravity_without_top_ups_runs_dry() {
    let mut b = bench("open = [\"R\", \"F\"]\nuntil = \"clean\"");
    b.supply = format!("{GRAVITY}\ntopped_up = false");
    let record = b.run();
    let last = record.openings.last().expect("an opening");
    assert_eq!(last.closed_by, ClosedBy::Supply);
    assert!(warning(&record, WarningKind::SupplyRanDry).stops_the_job() && record.stopped());
    // The common space and the compartment in use; the other's 35 mL stay behind the wall.
    near(record.totals.drained_ml, 145.0, 1e-6);
    assert_eq!(record.openings.len(), 1, "nothing is opened on air");
}

/// By gravity whoever tops up takes his time, each time; no fluid is counted to run meanwhile.
#[test]
fn topping_up_by_hand_takes_time() {
    let mut b = bench("per_top_up = \"40 s\"\nopen = [\"R\"]\nuntil = \"250 mL\"");
    b.supply = GRAVITY.to_owned();
    let record = b.run();
    let times = record.steps.iter().filter(|s| s.does == Does::TopUp).count() as f64;
    assert!(times >= 2.0);
    let o = &record.openings[0];
    near(o.closed_s - o.opened_s, o.flow_seconds + 40.0 * times, 1e-6);
}

/// Syringed to the last drop, an open reservoir is topped up before anything flows, as the supply says.
#[test]
fn an_empty_reservoir_is_topped_up_before_anything_flows() {
    for supply in [GRAVITY, "kind = \"vacuum\"\nvacuum = \"60 kPa\"", "kind = \"pedal\""] {
        let mut b = bench(
            "setup = \"0 s\"\nper_syringe = \"7 s\"\nper_top_up = \"11 s\"\nsteps = [{ syringe = \"0 mL\" }, { open = \"R\", until = \"25 mL\" }]",
        );
        b.supply = supply.to_owned();
        let record = b.run();
        assert!(!record.stopped(), "{supply}: {:?}", record.warnings);
        let o = &record.openings[0];
        assert_eq!(o.closed_by, ClosedBy::Volume);
        near(o.drained_ml, 25.0, 1e-9);
        let steps: Vec<_> = record.steps.iter().map(|s| (s.does, s.moved_ml, s.at_s)).collect();
        let [(Does::Syringe, out, at), (Does::TopUp, poured, then)] = steps[..] else {
            panic!("{steps:?}")
        };
        near(out, -180.0, 1e-9);
        near(poured, 200.0, 1e-9);
        near(at, 7.0, 1e-9);
        near(then, 18.0, 1e-9);
        assert!(!warning(&record, WarningKind::OutletsDrawnBare).stops_the_job());
        // Never topped up, it runs dry there, and what is wanted is a topping up, not another mark.
        b.supply += "\ntopped_up = false";
        let dry = b.run();
        let told = warning(&dry, WarningKind::SupplyRanDry);
        assert!(told.stops_the_job() && told.text.contains("top it up before that"), "{told:?}");
        assert!(!told.text.contains("refill_below"), "{told:?}");
    }
}

/// Under pressure nobody tops up: air that stands over the outlets is pressed in, unless a step fills the reservoir.
#[test]
fn outlets_drawn_bare_under_pressure_stop_the_job() {
    let open = "{ open = \"R\", until = \"25 mL\" }";
    for before in ["", "{ re_pump = \"15 psi\" }, "] {
        let record = run(&format!("steps = [{{ syringe = \"0 mL\" }}, {before}{open}]"));
        let told = warning(&record, WarningKind::AirReachesAnOutlet);
        assert!(told.stops_the_job() && told.text.contains("`top_up`"), "{told:?}");
        assert!(!warning(&record, WarningKind::OutletsDrawnBare).stops_the_job());
    }
    let filled =
        run(&format!("steps = [{{ syringe = \"0 mL\" }}, {{ top_up = \"max\" }}, {open}]"));
    assert!(!filled.stopped(), "{:?}", filled.warnings);
    warning(&filled, WarningKind::OutletsDrawnBare);
    let covered = run(&format!("steps = [{{ syringe = \"1 mL\" }}, {open}]"));
    assert!(
        !covered.warnings.iter().any(|w| w.kind.words().contains("outlet")),
        "{:?}",
        covered.warnings
    );
}

/// In the middle of a job under pressure the adapter comes off: the gauge at the reservoir is 0, and what is pressed in
/// at the next opening is what Boyle's law asks for, from the vessel's cushion and the air under the cap at one atmosphere.
#[test]
fn a_syringe_lets_the_air_under_the_cap_off_and_the_next_opening_presses_it_anew() {
    const ATM: f64 = 101.325;
    let first = "{ open = \"R\", until = \"50 mL\" }";
    let second = "{ open = \"F\", until = \"10 mL\" }";
    let hands = "setup = \"0 s\"\nper_bleeder = \"0 s\"\nfinish = \"0 s\"\nper_syringe = \"100 s\"\nper_top_up = \"20 s\"";
    let with = |between: &str| run(&format!("{hands}\nsteps = [{first}, {between}{second}]"));
    let record = with("{ syringe = \"100 mL\" }, { top_up = \"150 mL\" }, ");
    for s in &record.steps {
        assert_eq!(s.gauge_kpa, 0.0, "{}: the cap is off", s.does);
    }
    let [_, poured] = &record.steps[..] else { panic!("two steps: {:?}", record.steps) };
    near(poured.moved_ml, 50.0, 1e-9);
    let flow: f64 = record.openings.iter().map(|o| o.flow_seconds).sum();
    near(record.totals.bay_seconds, flow + 120.0, 1e-9);
    near(record.openings[1].opened_s, record.openings[0].closed_s + 120.0, 1e-9);
    // The vessel keeps its gauge until the valve is opened again; 3 L of fluid stood in its shell of 4.5 L.
    let kept = record.openings[0].gauge_end_kpa + ATM;
    let at_first = record.openings[1].gauge_start_kpa + ATM;
    let curve: Vec<_> =
        record.supply_curve.iter().filter(|p| p.at_s <= record.openings[1].opened_s).collect();
    let [.., off, on] = curve[..] else { panic!("a curve") };
    near(off.gauge_kpa + ATM, kept, 1e-9);
    near(off.reservoir_ml, 150.0, 1e-9);
    let (cushion, space) = (4500.0 - off.supply_ml.unwrap(), 270.0 - 150.0);
    let rise = on.reservoir_ml - off.reservoir_ml;
    near(at_first, kept * cushion / (cushion + rise), 1e-6);
    near(at_first, ATM * space / (space - rise), 1e-6);
    // It costs gauge: without the two steps the next opening begins where the last ended.
    let through = with("");
    near(through.openings[1].gauge_start_kpa, through.openings[0].gauge_end_kpa, 1e-6);
    assert!(record.openings[1].gauge_start_kpa < through.openings[1].gauge_start_kpa - 1.0);
    // Nothing to pour, nothing done.
    let idle = with("{ top_up = \"120 mL\" }, ");
    near(idle.openings[1].gauge_start_kpa, through.openings[1].gauge_start_kpa, 1e-9);
    near(idle.totals.bay_seconds, through.totals.bay_seconds, 1e-9);
    let idle_too = with("{ syringe = \"265 mL\" }, ");
    near(idle_too.steps[0].moved_ml, 0.0, 1e-9);
    near(idle_too.totals.bay_seconds, through.totals.bay_seconds, 1e-9);
    near(idle.steps[0].gauge_kpa, through.openings[0].gauge_end_kpa, 1e-6);
    // Pouring alone takes the adapter off, too, and is new fluid.
    let poured = with("{ top_up = \"265 mL\" }, ");
    let s = &poured.steps[0];
    assert!(s.moved_ml > 10.0 && s.gauge_kpa == 0.0, "{s:?}");
    let at_first = poured.openings[1].gauge_start_kpa + ATM;
    let on = poured.supply_curve.iter().rfind(|p| p.at_s <= poured.openings[1].opened_s);
    let rise = on.expect("a curve").reservoir_ml - 265.0;
    near(at_first, ATM * 5.0 / (5.0 - rise), 1e-6);
    let book = poured.totals.fluid.as_ref().expect("a vessel");
    near(book.bled_ml, poured.totals.drained_ml, 1e-6);
}
