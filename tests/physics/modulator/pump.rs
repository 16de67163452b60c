//! What the pump of a unit that is worked does to the flow at open bleeders, and what its accumulators need to open.

use super::{PLAIN, after_it, conserves, opening_at, then, trapped_old_ml};
use crate::common::cars::{
    GRAVITY, edited, edited_all, quick, read, run, scenario_text, undivided,
};
use farwheel::flow::{Contents, Element, Law, Network, Solver};
use farwheel::job::check;
use farwheel::job::record::{Record, WarningKind};
use std::f64::consts::PI;

const HEAD: &str = "gravity = { kind = \"gravity\" }";
const VESSEL: &str =
    "vessel = { kind = \"pressure bleeder\", loaded = \"1.5 L\", gauge = \"1 bar\" }";
const RR: &str = "steps = [{ work_modulator = \"unit\", time = \"60 s\", bleeders = \"RR\" }]";

/// The saloon with this supply and procedure.
fn saloon(supply: &str, procedure: &str) -> String {
    let vehicle = &PLAIN[..PLAIN.find("[supplies]").expect("it has supplies")];
    format!("{vehicle}[supplies]\n{supply}\n[procedure]\n{procedure}\n")
}

fn sharing(share: &str) -> String {
    let key = format!("esc = true, suction_share = \"{share}\"");
    edited(&saloon(HEAD, RR), "esc = true", &key)
}

fn drained_ml(text: &str) -> f64 {
    let record = run(text);
    conserves(&record);
    record.totals.drained_ml
}

fn told(record: &Record, kind: WarningKind) -> usize {
    record.warnings.iter().filter(|w| w.kind == kind).count()
}

/// By hand: 0.5 mL in 0.25 s are 2 mL/s; the share of it that comes from the master cylinder leaves at the bleeder, in a
/// minute 60 mL of it by halves. Against p it is less by p/200 bar, and no more than 3 bar stand against 2 mL/s.
#[test]
fn by_gravity_the_pump_sets_the_flow() {
    for (share, by_hand) in [("25 %", 30.0), ("50 %", 60.0), ("100 %", 120.0)] {
        let ml = drained_ml(&sharing(share));
        assert!((0.985 * by_hand..by_hand).contains(&ml), "{share}: {ml} mL for {by_hand}");
    }
    // Some 8 mL come by themselves; a pump that draws nothing, or can't, adds nothing.
    let plain = drained_ml(&saloon(HEAD, "open = \"RR\"\nuntil = \"60 s\""));
    assert!((7.0..9.0).contains(&plain), "{plain}");
    let without_esc = edited(&saloon(HEAD, RR), "esc = true", "esc = false");
    // As docs/modulator.md says (figures of this program: regression values).
    assert_eq!(format!("{:.1} {plain:.1}", drained_ml(&sharing("50 %"))), "59.8 7.9");
    let off = edited(&saloon(HEAD, RR), "bleeders = \"RR\"", "bleeders = \"RR\", pump = false");
    for text in [sharing("0 %"), without_esc, off] {
        let ml = drained_ml(&text);
        assert!((ml / plain - 1.0).abs() < 0.02, "{ml} for {plain}");
    }
}

/// Where the supply alone sends more than the pump draws, that comes: the way through the pump lies beside the valve's
/// and makes it a little wider.
#[test]
fn a_supply_that_sends_more_is_not_held_back() {
    let plain = drained_ml(&saloon(VESSEL, "open = \"LF\"\nuntil = \"10 s\""));
    assert!(plain > 12.0, "{plain} mL: more than the pump's 10");
    let work = "steps = [{ work_modulator = \"unit\", time = \"10 s\", bleeders = \"LF\" }]";
    let worked = drained_ml(&saloon(VESSEL, work));
    assert!((1.0..1.1).contains(&(worked / plain)), "{worked} for {plain}");
}

/// Against a line of resistance R, 128 ρ ν L/(π d⁴) (Hagen–Poiseuille, any handbook of fluid mechanics), a pump that
/// draws Q₀ and stalls at p₀ = 200 bar delivers Q₀/(1 + R Q₀/p₀), from Δp = R Q = p₀ (1 − Q/Q₀). By hand: 50 mm²/s, 10 m
/// of 1.5 mm and some 1080 kg/m³ are 43 bar at 1 mL/s, and 0.82 mL/s come. The other parts cost less than 1 % of that.
#[test]
fn a_long_thin_line_slows_the_pump_as_its_motor_says() {
    let fluid = "grade = \"DOT 4\"\nwater = \"0 %\"\nviscosity_minus_40 = \"50 mm²/s\"\nviscosity_100 = \"1.5 mm²/s\"";
    let text = |bore: &str| {
        scenario_text(&[
            &format!(
                "[vehicle]\ntemperature = \"-40 °C\"\n[old_fluid]\n{fluid}\n[new_fluid]\n{fluid}"
            ),
            &undivided("only", 5.0, [500, 60, 500, 600]),
            &format!(
                r#"[parts]
pipe = {{ kind = "line", from = "only", length = "0.1 m" }}
unit = {{ kind = "hydraulic modulator", from = "pipe", esc = true }}
line = {{ kind = "line", from = "unit", length = "10 m", bore = "{bore}", bends = 0 }}
wheel = {{ kind = "caliper", from = "line", new_pads = "5 mL" }}
[procedure]
steps = [{{ work_modulator = "unit", time = "60 s", bleeders = "wheel" }}]"#
            ),
            GRAVITY,
        ])
    };
    for (bore, metres) in [("1.5 mm", 1.5e-3_f64), ("1.2 mm", 1.2e-3)] {
        let text = text(bore);
        let density = check(&read(&text), &quick()).expect("a report").fluids[0].density_kg_per_m3;
        let resistance = 128.0 * density * 50e-6 * 10.0 / (PI * metres.powi(4));
        let by_hand = 60.0 / (1.0 + resistance * 1e-6 / 200e5);
        let ml = drained_ml(&text);
        assert!((ml / by_hand - 1.0).abs() < 0.01, "{bore}: {ml} mL for {by_hand}");
    }
}

/// By hand: a pump of 1 mL/s and 200 bar against Δp = K Q² with K = 4·10¹⁹ Pa·s²/m⁶ delivers half of it, since
/// K (0.5·10⁻⁶)² = 100 bar = 200 bar (1 − 0.5).
#[test]
fn a_pump_and_what_stands_against_it_meet() {
    let element = |from, to, law, name: &str| Element { from, to, law, name: name.into() };
    let pump = Law::Pump { delivery_m3_s: 1e-6, stall_pa: 200e5 };
    let mut solver = Solver::new(Network {
        nodes: ["before", "between", "behind"].map(String::from).to_vec(),
        elements: vec![
            element(0, 1, pump, "pump"),
            element(1, 2, Law::Quadratic { k_pa_s2_per_m6: 4e19 }, "hole"),
        ],
    })
    .expect("it can be solved");
    let fluid = Contents { density_kg_m3: 1060.0, nu_m2_s: 15e-6 };
    let solution = solver.solve(&[Some(0.0), None, Some(0.0)], &[fluid; 2]).expect("it settles");
    assert!((solution.flows_m3_s[0] / 0.5e-6 - 1.0).abs() < 1e-8, "{solution:?}");
    assert!((solution.pressures_pa[1] / 100e5 - 1.0).abs() < 1e-8, "{solution:?}");
    let none = Law::Pump { delivery_m3_s: 0.0, stall_pa: 200e5 };
    assert!(none.check().is_err() && pump.reynolds(1e-6, fluid).is_none());
}

const SHUT: &str = "{ work_modulator = \"unit\", time = \"20 s\" }";

/// Without stability control nothing enters an accumulator whose spring is stronger than the supply.
#[test]
fn accumulators_stay_shut_below_their_spring() {
    const KIND: WarningKind = WarningKind::AccumulatorStaysShut;
    let no_esc = edited(&after_it(SHUT), "esc = true", "esc = false");
    let open = ", bleeders = [\"RF\", \"LF\"] }";
    let shut =
        [no_esc.clone(), edited(&no_esc, "time = \"20 s\" }", &format!("time = \"20 s\"{open}"))];
    for text in &shut {
        let record = run(text);
        conserves(&record);
        assert!((trapped_old_ml(&record) - 4.2).abs() < 1e-12);
        assert_eq!(record.steps.last().expect("the unit").moved_ml, 0.0);
        assert_eq!(told(&record, KIND), 1);
        let report = check(&read(text), &quick()).expect("it can be checked");
        let warning = report.warnings.iter().find(|w| w.kind == KIND).expect("a warning");
        assert!(warning.text.contains("200 kPa") && warning.text.contains("`accumulator_opens`"));
    }
    for text in shut {
        let weaker = edited(&text, "esc = false", "esc = false, accumulator_opens = \"50 kPa\"");
        let record = run(&weaker);
        assert!(trapped_old_ml(&record) < 3.0 && told(&record, KIND) == 0);
    }
    // The gauge was pumped to enough and has fallen below.
    let between = edited(&no_esc, "esc = false", "esc = false, accumulator_opens = \"95 kPa\"");
    assert_eq!(told(&run(&between), KIND), 1);
    // A foot on the pedal presses harder than any spring.
    let foot = "foot = { kind = \"pedal\", pressure = \"30 bar\" }";
    let trod = saloon(
        foot,
        "steps = [{ open = \"RR\", until = \"30 mL\" }, { work_modulator = \"unit\" }]",
    );
    let record = run(&edited(&trod, "esc = true", "esc = false"));
    assert!(told(&record, KIND) == 0 && trapped_old_ml(&record) < 4.2);
}

/// With stability control the pump builds the pressure itself, out of what it draws; off, it does not.
#[test]
fn the_pump_of_stability_control_opens_them() {
    const KIND: WarningKind = WarningKind::AccumulatorStaysShut;
    let stronger = |steps: &str| opening_at(&after_it(steps), "20 bar");
    let pumped = run(&stronger(SHUT));
    assert!(trapped_old_ml(&pumped) < 3.0 && told(&pumped, KIND) == 0);
    let off = edited(SHUT, " }", ", pump = false }");
    let draws_nothing =
        edited(&stronger(SHUT), "esc = true", "esc = true, suction_share = \"0 %\"");
    for text in [stronger(&off), draws_nothing] {
        let record = run(&text);
        assert!((trapped_old_ml(&record) - 4.2).abs() < 1e-12 && told(&record, KIND) == 1);
    }
}

/// A circuit whose bleeders stay shut is stirred by all that its pump delivers.
#[test]
fn the_circuit_that_drains_nothing_is_stirred_as_if_all_were_shut() {
    let left = |steps: &str| {
        let record = then(steps);
        super::part(&record, "secondary damper").old_fraction
    };
    let shut = left("{ work_modulator = \"unit\", time = \"1 s\" }");
    let open = left("{ work_modulator = \"unit\", time = \"1 s\", bleeders = \"RF\" }");
    assert!(shut < 0.8 && (open - shut).abs() < 0.1 * (1.0 - shut), "{open} for {shut}");
}

/// 8 mL/s through holes of 0.7 mm cost over 600 kPa (ρ Q²/(2 C² A²), as `laws::orifice` has it by hand), which no
/// atmosphere gives; 1 mL/s some 10 kPa.
#[test]
fn a_pump_that_fluid_cannot_follow_is_told() {
    const KIND: WarningKind = WarningKind::PumpStarved;
    let all = "esc = true, suction_share = \"100 %\", cycle_volume = \"2 mL\"";
    assert_eq!(told(&run(&edited(&saloon(HEAD, RR), "esc = true", all)), KIND), 1);
    assert_eq!(told(&run(&saloon(HEAD, RR)), KIND), 0);
}

#[test]
fn keys_of_stability_control_without_it_are_told() {
    const KIND: WarningKind = WarningKind::KeyWithoutEffect;
    let of = |more: &str| {
        let record = run(&edited(PLAIN, "esc = true", more));
        let texts = record.warnings.iter().filter(|w| w.kind == KIND).map(|w| w.text.clone());
        texts.collect::<Vec<String>>()
    };
    assert!(of("esc = false").is_empty());
    assert!(of("isolation_orifice = \"1 mm\", suction_share = \"40 %\", esc = true").is_empty());
    let both = of("isolation_orifice = \"1 mm\", suction_share = \"40 %\"");
    assert_eq!(both.len(), 2, "{both:?}");
    assert!(
        both[0].contains("`isolation_orifice` of unit") && both[0].contains("(line "),
        "{both:?}"
    );
    let neither = "damper = \"0 mL\", damper_exchange = \"1 %\", accumulator = \"0 mL\", accumulator_exchange = \"1 %\"";
    assert_eq!(of(&format!("esc = true, {neither}")).len(), 2);
    assert!(both[1].contains("`suction_share`") && both[1].contains("`esc = true`"));
}

/// A bleeder that is open while the unit works is an open bleeder.
#[test]
fn a_procedure_may_open_bleeders_by_the_unit_alone() {
    let work = |more: &str| format!("[{{ work_modulator = \"unit\"{more} }}]");
    for list in ["steps", "before", "after"] {
        let text = saloon(VESSEL, &format!("{list} = {}", work(", bleeders = \"RR\"")));
        assert!(drained_ml(&text) > 5.0, "{list}");
        let shut = saloon(VESSEL, &format!("{list} = {}", work("")));
        let mistakes = farwheel::read(&shut, "car.toml").expect_err("nothing is opened");
        assert!(mistakes.to_string().contains("opens no bleeder"), "{mistakes}");
    }
    let misspelt = edited_all(
        &saloon(VESSEL, &format!("after = {}", work(", bleeders = \"RR\""))),
        &[("after", "until = \"clean\"\nafter")],
    );
    assert!(farwheel::read(&misspelt, "car.toml").is_err(), "`until` of what?");
}
