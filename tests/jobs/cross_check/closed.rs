//! Jobs for which there is a closed form, in millilitres and in seconds.
//!
//! All by gravity, so that the push stays the same, and with everything but what is looked at small and
//! already new. Old and new are the same liquid unless said otherwise: then the flow is steady, and follows from
//! a Q + b Q² = ρ g h, with Hagen–Poiseuille (128 ρ ν L/π D⁴), Sampson (24 ρ ν/D³) and Hasimoto (slits) in a, and velocity
//! heads (K ρ/2 A², K = 1.5 of a tube's ends, (1 + 2/π)² of a hole) in b.

use super::cars::{GRAVITY, old_ml, read, scenario_text, undivided};
use super::reference::liquid::{Liquid, Mixture};
use super::reference::quadrature::Quadrature;
use farwheel::job::flush;
use farwheel::job::options::Options;
use farwheel::job::record::Record;
use std::f64::consts::PI;

/// One figure beside its closed form.
#[derive(Debug, Clone)]
pub struct Row {
    /// What is flushed.
    pub case: &'static str,
    /// Which figure.
    pub what: String,
    /// Unit of it.
    pub unit: &'static str,
    /// By Farwheel.
    pub ours: f64,
    /// By the closed form.
    pub exact: f64,
    /// How far off it may be: the promise on millilitres (0.5 % or 0.5 mL), a part in a hundred on seconds
    /// where viscosity changes, what rounding leaves where steps do not count.
    pub bound: f64,
}

/// Density of both fluids, kg/m³.
const DENSITY: f64 = 1000.0;
/// Height of the reservoir over the bleeder, m.
const HEAD_M: f64 = 1.0;
/// Small tubes: bore and length, m. They hold 0.0008 mL.
const STUB: (f64, f64) = (1e-3, 1e-3);
/// Bore of the compensating port, m.
const PORT_M: f64 = 1e-3;
/// Thickness of its wall, m.
const WALL_M: f64 = 1.5e-3;
/// The bleeder as it is by default: seat gap, cross hole, axial hole and its length, m.
const SCREW: (f64, f64, f64, f64) = (0.35e-3, 1.5e-3, 2e-3, 22e-3);
/// Bore and length of the clear hose, m.
const CLEAR_HOSE: (f64, f64) = (1e-3, 5e-3);

/// Viscosities at −40 and 100 °C, mm²/s.
type Sheet = (f64, f64);
/// That of new fluid.
const NEW: Sheet = (1000.0, 2.0);

/// Viscosity (m²/s) at 20 °C of old with new.
fn nu_m2_s(old: Sheet, share: f64) -> f64 {
    let liquid = |(nu_cold_mm2_s, nu_hot_mm2_s): Sheet| Liquid {
        nu_cold_mm2_s,
        nu_hot_mm2_s,
        density_20_kg_m3: DENSITY,
        expansion_per_k: 0.0,
    };
    Mixture::new(&liquid(old), &liquid(NEW), 20.0).at(share).1
}

/// A car: reservoir, one chamber of the master cylinder (which cannot be new), parts.
fn run(chamber_ml: f64, old: Sheet, parts: &str, open: &str, until: &str) -> Record {
    let fluid = |(cold, hot): Sheet| {
        format!(
            "grade = \"DOT 4\"\ndensity = \"1000 kg/m³\"\nviscosity_minus_40 = \"{cold} mm²/s\"\nviscosity_100 = \"{hot} mm²/s\""
        )
    };
    let (old, new) = (fluid(old), fluid(NEW));
    let rest = format!(
        r#"height = "1.5 m"
old_fraction = 0
[vehicle]
temperature = "20 °C"
[old_fluid]
{old}
[new_fluid]
{new}
[like]
stub = {{ kind = "line", length = "1 mm", bore = "1 mm", old_fraction = 0 }}
[parts]
{parts}
[clear_hose]
bore = "1 mm"
length = "5 mm"
watched = "1 mm"
threshold = "5 %"
hold = "0 mL"
[procedure]
open = {open}
until = {until}"#
    );
    let above = undivided("chamber", chamber_ml, [900, 100, 900, 1000]);
    let above = above.replace("[reservoir]", "compensating_port = \"1 mm\"\n[reservoir]");
    flush(&read(&scenario_text(&[&above, &rest, GRAVITY])), &Options::default()).expect("it runs")
}

/// Resistances of tubes and holes in a row, Δp = a Q + b Q² in Pa, for a viscosity in m²/s of each.
#[derive(Debug, Clone, Copy, Default)]
struct InARow {
    a: f64,
    b: f64,
}

impl InARow {
    fn hole(self, bore_m: f64, nu: f64) -> Self {
        let area = PI / 4.0 * bore_m * bore_m;
        let k = (1.0 + 2.0 / PI) * (1.0 + 2.0 / PI);
        self.and(24.0 * DENSITY * nu / bore_m.powi(3), k, area)
    }

    /// Laminar friction alone.
    fn friction(self, (bore_m, length_m): (f64, f64), nu: f64) -> Self {
        self.and(128.0 * DENSITY * nu * length_m / (PI * bore_m.powi(4)), 0.0, 1.0)
    }

    /// An open bleeder with its clear hose. Its gap is a slit all round the axial hole: creeping, of half the width c, it
    /// passes π c² Δp/(8 μ) per length of it (Hasimoto 1958).
    fn bleeder(self, nu: f64) -> Self {
        let (gap, cross, hole, length) = SCREW;
        let (half, round) = (0.5 * gap, PI * hole);
        let k = (1.0 + 2.0 / PI) * (1.0 + 2.0 / PI);
        self.and(8.0 * DENSITY * nu / (PI * half * half * round), k, gap * round)
            .hole(cross, nu)
            .hole(hole, nu)
            .friction((hole, length), nu)
            .friction(CLEAR_HOSE, nu)
    }

    fn tube(self, (bore_m, length_m): (f64, f64), nu: f64) -> Self {
        let area = PI / 4.0 * bore_m * bore_m;
        self.and(128.0 * DENSITY * nu * length_m / (PI * bore_m.powi(4)), 1.5, area)
    }

    fn and(self, a: f64, k: f64, area: f64) -> Self {
        Self { a: self.a + a, b: self.b + 0.5 * k * DENSITY / (area * area) }
    }

    /// Flow that the head drives, mL/s.
    fn flow_ml_s(self) -> f64 {
        let push_pa = DENSITY * 9.80665 * HEAD_M;
        1e6 * 2.0 * push_pa / (self.a + (self.a * self.a + 4.0 * self.b * push_pa).sqrt())
    }
}

/// Share by which a steady flow may be off: a shut valve at the cup leaks a nanolitre a second at 1 bar.
const LEAK: f64 = 1e-7;

/// All rows.
pub fn rows() -> Vec<Row> {
    let mut rows = single_chamber();
    rows.extend(single_line());
    rows.extend(thick_line());
    rows.extend(two_chambers());
    rows
}

fn row(
    case: &'static str,
    what: &str,
    unit: &'static str,
    ours: f64,
    exact: f64,
    bound: f64,
) -> Row {
    Row { case, what: what.to_owned(), unit, ours, exact, bound }
}

fn promise(ml: f64) -> f64 {
    (5e-3 * ml).max(0.5)
}

/// Flow through the port, tubes and a bleeder, all with new fluid, mL/s.
fn steady_ml_s(tubes: &[(f64, f64)]) -> f64 {
    let nu = nu_m2_s(NEW, 0.0);
    let port = InARow::default().hole(PORT_M, nu).friction((PORT_M, WALL_M), nu);
    tubes.iter().fold(port, |way, tube| way.tube(*tube, nu)).bleeder(nu).flow_ml_s()
}

/// What leaves the second of two mixed chambers, the second all old, the first so at first by a share.
fn behind_two(v: f64, (v1, v2): (f64, f64), share: f64) -> f64 {
    let (first, second) = ((-v / v1).exp(), (-v / v2).exp());
    second + share * v1 / (v1 - v2) * (first - second)
}

/// Where a falling function comes to 0.05, by bisection.
fn clean_at(leaving: impl Fn(f64) -> f64) -> f64 {
    let (mut dirty, mut clean) = (0.0, 1000.0);
    while clean - dirty > 1e-9 {
        let mid = 0.5 * (dirty + clean);
        if leaving(mid) > 0.05 { dirty = mid } else { clean = mid }
    }
    clean
}

/// The least that the chamber of the master cylinder may hold, mL.
const LEAST_ML: f64 = 0.05;

/// A caliper of 20 mL, mixed: what leaves is e^(−V/V₀) old, but for 0.05 mL of old fluid before it.
fn single_chamber() -> Vec<Row> {
    let case = "one chamber";
    let parts = r#"stub = { like = "stub", from = "chamber" }
caliper = { kind = "caliper", from = "stub", new_pads = "20 mL", height = "0.5 m" }"#;
    let record = run(LEAST_ML, NEW, parts, r#"["caliper"]"#, r#""70 mL""#);
    let opening = &record.openings[0];
    let leaving = |v: f64| behind_two(v, (LEAST_ML, 20.0), 1.0);
    let clean = clean_at(leaving);
    let seconds = 70.0 / steady_ml_s(&[STUB]);
    let ours = opening.clean_at_ml.expect("clean");
    let left = old_ml(&record, "caliper");
    vec![
        row(case, "clean (5 %), V₀ ln 20", "mL", ours, clean, promise(clean)),
        row(case, "old left after 70 mL, V₀ e^(−V/V₀)", "mL", left, 20.0 * leaving(70.0), 1e-3),
        row(case, "70 mL, V/Q", "s", opening.flow_seconds, seconds, LEAK * seconds),
    ]
}

/// The bore and length of the line looked at, m, and its volume, mL.
const LINE: (f64, f64) = (3.33e-3, 5.0);
fn line_ml() -> f64 {
    1e6 * PI / 4.0 * LINE.0 * LINE.0 * LINE.1
}

fn line_record(old: Sheet) -> Record {
    let parts = r#"line = { kind = "line", from = "chamber", length = "5 m", bore = "3.33 mm" }
caliper = { kind = "caliper", from = "line", new_pads = "0.05 mL", old_fraction = 0, height = "0.5 m" }"#;
    run(LEAST_ML, old, parts, r#"["caliper"]"#, r#""120 mL""#)
}

/// A line, laminar and not mixed: F(θ) = 1 − 1/(4θ²) of what leaves is new. (The 0.05 mL of chamber before
/// and behind it count as nothing.)
fn single_line() -> Vec<Row> {
    let case = "one line";
    let record = line_record(NEW);
    let opening = &record.openings[0];
    let volume = line_ml();
    let clean = volume / (2.0 * 0.05_f64.sqrt());
    let left = volume * volume / (4.0 * 120.0);
    let seconds = 120.0 / steady_ml_s(&[LINE]);
    let (ours, here) = (opening.clean_at_ml.expect("clean"), old_ml(&record, "line"));
    vec![
        row(case, "clean (5 %), V₀/(2 √0.05)", "mL", ours, clean, promise(clean)),
        row(case, "old left after 120 mL, V₀/(4θ)", "mL", here, left, promise(left)),
        row(case, "120 mL, V/Q", "s", opening.flow_seconds, seconds, LEAK * seconds),
    ]
}

/// The same line with old fluid several times as viscous: the flow follows what is still in it, 1 − θ of it
/// until θ = ½ and 1/(4θ) after, and the time is ∫ dV/Q.
fn thick_line() -> Vec<Row> {
    let old = (5000.0, 4.0);
    let record = line_record(old);
    let volume = line_ml();
    let slowness = |v: f64| {
        let theta = v / volume;
        let (inside, leaving) = match theta < 0.5 {
            true => (1.0 - theta, 1.0),
            false => (0.25 / theta, 0.25 / (theta * theta)),
        };
        let new = nu_m2_s(old, 0.0);
        let port = InARow::default().hole(PORT_M, new).friction((PORT_M, WALL_M), new);
        let line = port.tube(LINE, nu_m2_s(old, inside));
        1.0 / line.bleeder(nu_m2_s(old, leaving)).flow_ml_s()
    };
    let exact = Quadrature::new(1e-9).integrate(&slowness, 0.0, 120.0, &[0.5 * volume]);
    let seconds = record.openings[0].flow_seconds;
    let times = nu_m2_s(old, 1.0) / nu_m2_s(old, 0.0);
    let what = format!("120 mL with old fluid {times:.1} times as viscous, ∫ dV/Q");
    vec![row("one line", &what, "s", seconds, exact, 1e-2 * exact)]
}

/// A chamber of 12 mL, a tee, and a caliper of 20 mL behind each branch, one flushed after the other.
fn two_chambers() -> Vec<Row> {
    let case = "two chambers in a row, a tee between";
    let parts = r#"stub = { like = "stub", from = "chamber" }
tee = { kind = "tee", from = "stub" }
"to A" = { like = "stub", from = "tee" }
"to B" = { like = "stub", from = "tee" }
A = { kind = "caliper", from = "to A", new_pads = "20 mL", height = "0.5 m" }
B = { kind = "caliper", from = "to B", new_pads = "20 mL", height = "0.5 m" }"#;
    let record = run(12.0, NEW, parts, r#"["A", "B"]"#, r#"["100 mL", "90 mL"]"#);
    let volumes = (12.0, 20.0);
    let after_a = (-100.0_f64 / volumes.0).exp();
    let flow = steady_ml_s(&[STUB, STUB]);
    let mut rows = Vec::new();
    for (i, (name, ml, share)) in [("A", 100.0, 1.0), ("B", 90.0, after_a)].into_iter().enumerate()
    {
        let opening = &record.openings[i];
        let exact = clean_at(|v| behind_two(v, volumes, share));
        let ours = opening.clean_at_ml.expect("clean");
        rows.push(row(case, &format!("{name} clean (5 %)"), "mL", ours, exact, promise(exact)));
        let left = volumes.1 * behind_two(ml, volumes, share);
        let what = format!("old left in {name} after {ml} mL");
        rows.push(row(case, &what, "mL", old_ml(&record, name), left, 1e-2));
        let (what, exact) = (format!("{ml} mL at {name}, V/Q"), ml / flow);
        rows.push(row(case, &what, "s", opening.flow_seconds, exact, LEAK * exact));
    }
    rows
}
