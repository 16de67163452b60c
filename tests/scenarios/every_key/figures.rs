//! The figures that keys move, each with how far off the computation may be.

use super::ran::Ran;
use farwheel::job::record::Does;

/// A figure and its error in the same unit.
#[derive(Clone, Copy)]
pub struct Figure {
    pub name: &'static str,
    pub of: fn(&Ran) -> f64,
    pub error: fn(&Ran) -> f64,
}

/// What arithmetic alone decides: rounding.
fn rounding(of: fn(&Ran) -> f64, ran: &Ran) -> f64 {
    1e-9 * of(ran).abs().max(1e-3)
}

/// Seconds rest on the flow law's solution and on what lies in the lines: a thousandth, five times what a
/// second solution finds at most.
fn of_time(of: fn(&Ran) -> f64, ran: &Ran) -> f64 {
    1e-3 * of(ran).abs()
}

fn old_left_error_ml(ran: &Ran) -> f64 {
    ran.estimated().numerics.old_left_error_ml.expect("estimated")
}

/// The whole error of the old fluid left, as a share of a part of 1 mL; none that is looked at is smaller.
fn of_a_part(ran: &Ran) -> f64 {
    old_left_error_ml(ran).max(1e-6)
}

macro_rules! figures {
    ($($id:ident = $name:literal, $of:expr, $error:expr;)*) => {
        $(pub const $id: Figure = Figure { name: $name, of: $of, error: $error };)*
    };
}

macro_rules! exact {
    ($($id:ident = $name:literal, $of:expr;)*) => {
        figures! { $($id = $name, $of, |r| rounding($of, r);)* }
    };
}

fn book(ran: &Ran) -> farwheel::job::record::FluidBook {
    ran.record().totals.fluid.expect("a loaded supply")
}

exact! {
    CAPACITY = "volume of the whole, mL", |r| r.check().capacity_ml;
    PATH_M = "length of the longest path, m", |r| r.check().paths[0].length_m;
    LEAK_DROP = "drop of the gauge at the leak test, kPa",
        |r| r.check().leak_test.map_or(f64::NAN, |t| t.gauge_before_kpa - t.gauge_after_kpa);
    GAUGE_START = "gauge when the first bleeder is opened, kPa", |r| r.opening().gauge_start_kpa;
    BAY = "time in the bay, s", |r| r.record().totals.bay_seconds;
    REMOVED = "taken by syringe, mL", |r| r.record().totals.removed_ml;
    NEW_FLUID = "new fluid, mL", |r| r.record().totals.new_fluid_ml;
    COUNTED = "drained where millilitres are counted, mL", |r| r.record().totals.drained_ml;
    REPUMPS = "re-pumps", |r| f64::from(r.record().totals.repumps);
    STROKES = "strokes", |r| r.record().totals.strokes.map_or(f64::NAN, f64::from);
    LOADED = "loaded, mL", |r| book(r).loaded_ml;
    IN_FEED_HOSE = "filled the feed hose, mL", |r| book(r).feed_hose_ml;
    LEAST_LOAD = "the least to load, mL", |r| book(r).least_load_ml.unwrap_or(f64::NAN);
    FIRST_POUR = "poured first, mL",
        |r| r.record().steps.iter().find(|s| s.does == Does::TopUp).map_or(0.0, |s| s.moved_ml);
    MOVED = "moved by the modulator, mL",
        |r| r.record().steps.iter().find(|s| s.does == Does::WorkModulator).map_or(0.0, |s| s.moved_ml);
    OPENINGS = "openings", |r| r.record().openings.len() as f64;
    SEEN_FIRST = "seen before the first draw", |r| r.opening().curve[0].seen_old_fraction;
}

figures! {
    DRAINED = "drained, mL", |r| r.record().totals.drained_ml,
        |r| r.estimated().numerics.drained_error_ml.expect("estimated").max(1e-6);
    OLD_LEFT = "old fluid left, mL", |r| r.record().left.old_ml, |r| old_left_error_ml(r).max(1e-6);
    // Old fluid holds at most 10 % water.
    WATER_LEFT = "water left, %", |r| r.record().left.water_percent,
        |r| (10.0 * old_left_error_ml(r) / r.check().capacity_ml).max(1e-9);
    FLOW_S = "time with a bleeder open, s", |r| r.record().totals.flow_seconds,
        |r| of_time(|r| r.record().totals.flow_seconds, r);
    // A percent of water costs 40 K at most.
    FRONT_BOILING = "boiling point at the front, °C", |r| r.part("front").2, |r| 40.0 * of_a_part(r);
    GAUGE_END = "gauge when the last bleeder is closed, kPa",
        |r| r.record().openings.last().map_or(f64::NAN, |o| o.gauge_end_kpa),
        |r| of_time(|r| r.opening().gauge_end_kpa, r);
    TRAPPED_OLD = "old fraction trapped in the modulator",
        |r| r.record().if_modulator_works.as_ref().map_or(f64::NAN, |m| m.trapped_old_fraction),
        of_a_part;
    PASSAGE_OLD = "old fraction in the second channel's passage", |r| r.part("unit to second").0, of_a_part;
}

/// What is read instead of measured.
#[derive(Clone, Copy)]
pub struct Reading {
    pub name: &'static str,
    pub of: fn(&Ran) -> String,
}

macro_rules! readings {
    ($($id:ident = $name:literal, $of:expr;)*) => {
        $(pub const $id: Reading = Reading { name: $name, of: $of };)*
    };
}

readings! {
    REFUSAL = "the refusal", Ran::refusal;
    ALL_TEXT = "everything there is to read", Ran::all_text;
    TITLE = "title of the record", |r| r.record().scenario.title.clone();
    SUPPLY = "supply of the record", |r| r.record().supply.clone();
    BLEEDER = "bleeder opened first", |r| r.opening().bleeder.clone();
    WAY = "parts on the way to the first bleeder", |r| r.check().paths[0].parts.join(", ");
    WARNINGS = "warnings", |r| {
        let all = r.record().warnings.iter().chain(&r.check().warnings);
        all.map(|w| format!("{}: {}", w.kind, w.text)).collect::<Vec<_>>().join("\n")
    };
    OLD_FLUID = "old fluid at 20 °C", |r| fluid(r, 0);
    NEW_FLUID_IS = "new fluid at 20 °C", |r| fluid(r, 1);
    STIRRED = "accumulators that are no longer all old", |r| {
        let parts = r.record().left.parts.iter();
        parts
            .filter(|p| p.part.ends_with("accumulator") && p.old_fraction < 1.0)
            .map(|p| p.part.clone())
            .collect::<Vec<_>>()
            .join(", ")
    };
    VOLUMES = "volumes of the parts, mL", |r| {
        let parts = r.check().parts.iter();
        parts.map(|p| format!("{} {:.6}", p.part, p.volume_ml)).collect::<Vec<_>>().join(", ")
    };
    GUESSES = "what was guessed", |r| {
        let all = farwheel::describe::guesses(r.scenario()).expect("answers");
        all.into_iter().map(|g| g.key).collect::<Vec<_>>().join(", ")
    };
    WATER_OFF = "half-widths of the old fluid's water, %", |r| {
        let old = &r.scenario().old_fluid;
        let all = [Some(old.water), old.water_reservoir, old.water_wheel_brakes];
        format!("{:?}", all.map(|q| q.map(|q| format!("{:.6}", 100.0 * q.half_width()))))
    };
    DRAWN = "nine draws of the volume, mL", |r| {
        let found = super::spread::first_drawn(r.scenario());
        let at = |k: u8| 1e6 * found.value_at(f64::from(k) / 10.0);
        (1..10).map(|k| format!("{:.4}", at(k))).collect::<Vec<_>>().join(" ")
    };
}

fn fluid(ran: &Ran, which: usize) -> String {
    let f = &ran.check().fluids[which];
    format!(
        "{}: {:.2} °C, {:.3} mm²/s, {:.2} kg/m³",
        f.grade, f.boiling_c, f.viscosity_mm2_per_s, f.density_kg_per_m3
    )
}

exact! {
    DRAWN_LOW = "a twentieth of the draws is below, mL", |r| 1e6 * super::spread::first_drawn(r.scenario()).value_at(0.05);
    DRAWN_MIDDLE = "half of the draws are below, mL", |r| 1e6 * super::spread::first_drawn(r.scenario()).value_at(0.5);
    DRAWN_HIGH = "a twentieth of the draws is above, mL", |r| 1e6 * super::spread::first_drawn(r.scenario()).value_at(0.95);
}
