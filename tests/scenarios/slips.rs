//! What a scenario leaves out or says by mistake: the default that fits, or a warning of `check` and `flush` alike.

use crate::common::cars::{HATCHBACK, quick, read};
use farwheel::Scenario;
use farwheel::job::options::Options;
use farwheel::job::record::{Record, Warning, WarningKind};
use farwheel::job::{check, flush};
use farwheel::keys::table::keys_in;
use farwheel::keys::{Form, LeftOut};
use farwheel::scenario::model::Tables;
use farwheel::scenario::quantity_text;
use farwheel::{parts, supply};

/// The compact hatchback, each edit's first text replaced by its second wherever it stands.
fn car(edits: &[(&str, &str)]) -> Scenario {
    let mut text = HATCHBACK.to_owned();
    for (find, replace) in edits {
        assert!(text.contains(find), "`{find}` must stand in the car");
        text = text.replace(find, replace);
    }
    read(&text)
}

/// What the warnings of a kind say, by `check` and by `flush`, whose figures of flow need not be the same.
fn both(scenario: &Scenario, kind: WarningKind) -> ([Option<String>; 2], Record) {
    let of =
        |warnings: &[Warning]| warnings.iter().find(|w| w.kind == kind).map(|w| w.text.clone());
    let before = of(&check(scenario, &quick()).expect("it can be looked over").warnings);
    let record = flush(scenario, &quick()).expect("it can be simulated");
    ([before, of(&record.warnings)], record)
}

/// The warning of this kind, if there is one.
fn told(scenario: &Scenario, kind: WarningKind) -> Option<String> {
    let ([before, after], _) = both(scenario, kind);
    assert_eq!(before, after, "told by check and by flush alike");
    before
}

/// The same, whose figures may differ, in a job that is not stopped.
fn told_only(scenario: &Scenario, kind: WarningKind) -> [Option<String>; 2] {
    let (told, record) = both(scenario, kind);
    assert!(!record.stopped(), "told, not stopped: {:?}", record.warnings);
    told
}

/// Brake tube of 3/16 in measures that outside (common practice, no source).
#[test]
fn an_outside_diameter_given_as_bore_is_told() {
    const KIND: WarningKind = WarningKind::BoreOrOutside;
    assert_eq!(told(&car(&[]), KIND), None);
    let tube = [("bore = \"3.33 mm ± 0.05 mm\"", "bore = \"3/16 in\"")];
    let text = told(&car(&tube), KIND).expect("a bore of 3/16 in");
    assert!(
        text.starts_with("line RR, line LR, line RF, line LF: ") && text.contains("(line "),
        "{text}"
    );
}

/// From rear line to caliper what no car has, though each is within what is read at all (common practice, no source).
#[test]
fn what_no_vehicle_has_is_called_unusual() {
    const KIND: WarningKind = WarningKind::Unusual;
    assert_eq!(told(&car(&[]), KIND), None);
    for (find, replace, value) in [
        (
            "length = \"5 m ± 5 %\"",
            "length = \"4.5 mm\"",
            "line RR: length 4.5 mm is unusual; 100 mm to 15 m is usual",
        ),
        ("length = \"5 m ± 5 %\"", "length = \"45 m\"", "line RR: length 45 m is unusual"),
        (
            "worn_pads = \"49 mL ± 3 mL\"",
            "worn_pads = \"800 mL\"",
            "RF, LF: worn_pads 800 mL is unusual; 1 mL to 200 mL is usual",
        ),
        (
            "temperature = \"20 °C ± 5 °C\"",
            "temperature = \"68 °C\"",
            "[vehicle]: temperature 68 °C is unusual",
        ),
        (
            "\"1 L\", gauge = \"15 psi\", re_pump_below = \"10 psi\"",
            "\"1 L\", gauge = \"15 kPa\"",
            "gauge 15 kPa (2.2 psi) is unusual; 34 kPa (5.0 psi) to",
        ),
        ("until = \"clean\"", "until = \"4 mL\"", "steps 2, 3, 4, 5: volume 4 mL is unusual"),
    ] {
        let text = told(&car(&[(find, replace)]), KIND).expect(replace);
        assert!(text.contains(value) && text.contains("(line "), "{text}");
    }
}

/// What holds when a key is left out is usual, so that nobody is told off for what he did not write.
#[test]
fn every_default_is_usual() {
    let mut tables = Tables::clone(&car(&[]));
    let parts: Vec<_> =
        parts::Kind::all().iter().flat_map(|kind| keys_in(&mut *kind.clone())).collect();
    let supplies: Vec<_> =
        supply::Kind::all().iter().flat_map(|kind| keys_in(&mut *kind.clone())).collect();
    let fixed: Vec<_> =
        tables.tables_mut().into_iter().flat_map(|(_, _, table)| keys_in(table)).collect();
    let mut count = 0;
    for key in parts.iter().chain(&supplies).chain(&fixed) {
        if let (Form::Quantity(bound), LeftOut::Text(text)) = (key.form, key.left_out) {
            let value =
                quantity_text::parse(text, bound).unwrap_or_else(|w| panic!("{}", w.what)).value;
            assert!(bound.is_usual(value), "{} = {text}", key.name);
            count += 1;
        }
    }
    assert!(count > 50, "{count} defaults");
}

/// With a small air space what is pumped to 15 psi sinks to next to nothing while the fluid leaves: isothermal air,
/// p V = const., from 1.0 L of vessel with 0.6 L loaded.
#[test]
fn a_gauge_that_falls_low_is_told() {
    const KIND: WarningKind = WarningKind::GaugeFallsLow;
    let run = |vessel: &str| {
        let own = "loaded = \"1 L\", gauge = \"15 psi\", re_pump_below = \"10 psi\"";
        let options = Options { estimate_error: false, ..Options::default() };
        let record = flush(&car(&[(own, vessel)]), &options).expect("it can be simulated");
        record.warnings.iter().find(|w| w.kind == KIND).map(|w| w.text.clone())
    };
    let small = "loaded = \"1 L\", gauge = \"15 psi\", shell = \"1.5 L\"";
    let text = run(small).expect("it falls low");
    assert!(text.contains("`re_pump_below`") && text.contains("(line "), "{text}");
    assert_eq!(run(&format!("{small}, re_pump_below = \"10 psi\"")), None);
    assert_eq!(run("loaded = \"1 L\", gauge = \"15 psi\", shell = \"12 L\""), None);
    // Whoever sets it low is told that this is unusual instead.
    assert_eq!(run("loaded = \"1 L\", gauge = \"3 psi\", shell = \"1.5 L\""), None);
}

/// New pads hold least: who does not say how far they are worn is told what that may change.
#[test]
fn wear_that_is_left_out_is_told_where_it_decides() {
    const KIND: WarningKind = WarningKind::WearNotStated;
    assert_eq!(told(&car(&[]), KIND), None);
    let left_out = ("pad_wear = \"40 % ± 15 %\"\n", "");
    let text = told(&car(&[left_out]), KIND).expect("it decides");
    // 49 − 8 at a front wheel; 2 × (49 − 8) + 2 × (19 − 5) in all.
    assert!(text.contains("holds 41 mL more and all brakes together 110 mL more"), "{text}");
    let fronts = (", worn_pads = \"49 mL ± 3 mL\"", "");
    let rears =
        (", worn_pads = \"19 mL ± 2 mL\"", ", worn_pads = \"19 mL ± 2 mL\", pad_wear = \"30 %\"");
    assert_eq!(told(&car(&[left_out, fronts, rears]), KIND), None, "nothing is left to decide");
}

/// Wear of pads changes a caliper only by what it holds with worn ones.
#[test]
fn wear_that_changes_nothing_is_told() {
    const KIND: WarningKind = WarningKind::WearWithoutEffect;
    let fronts = (", worn_pads = \"49 mL ± 3 mL\"", "");
    let rears = (", worn_pads = \"19 mL ± 2 mL\"", "");
    assert_eq!(told(&car(&[fronts]), KIND), None, "the rears still say it");
    let text = told(&car(&[fronts, rears]), KIND).expect("no worn pads");
    assert!(text.contains("`worn_pads`") && text.contains("[vehicle]"), "{text}");
    let new = ("pad_wear = \"40 % ± 15 %\"", "pad_wear = \"0 %\"");
    assert_eq!(told(&car(&[fronts, rears, new]), KIND), None, "new pads");
}

/// The letters and which wheels each circuit serves: DIN 74000, from memory.
#[test]
fn a_split_that_the_parts_are_not_joined_to_is_told() {
    const KIND: WarningKind = WarningKind::SplitAndPartsDiffer;
    assert_eq!(told(&car(&[]), KIND), None);
    let text = told(&car(&[("split = \"X\"", "split = \"II\"")]), KIND).expect("it is X");
    assert!(text.contains("LF RR, and RF LR: that is split X"), "{text}");
    // Two lines change places: each circuit then serves one axle.
    let swapped = [
        ("from = \"primary\", length = \"4 m", "from = \"secondary\", length = \"4 m"),
        ("from = \"secondary\", length = \"0.8 m", "from = \"primary\", length = \"0.8 m"),
    ];
    let text = told(&car(&swapped), KIND).expect("it is II now");
    assert!(text.contains("LF RF, and LR RR: that is split II"), "{text}");
    for split in ["ii", "x", "hi", "ll", "hh"] {
        let file = format!("scenarios/splits/{split}.toml");
        let scenario = farwheel::read_file(file.as_ref()).unwrap_or_else(|m| panic!("{m}"));
        assert_eq!(told(&scenario, KIND), None, "{split}");
    }
}

/// Silicone and mineral oil dissolve hundredths of a percent of water: no default of glycol fluid is theirs. Fresh DOT 5
/// boils at 260 °C at least, humidified at 180 °C (FMVSS No. 116, 49 CFR 571.116, S5.1.1 and S5.1.2).
#[test]
fn water_left_out_is_that_of_the_family() {
    let text = include_str!("../../scenarios/motorcycle-front.toml");
    let old = text.lines().find(|l| l.starts_with("grade")).expect("a grade");
    for (grade, most) in [("DOT 5", 0.03), ("mineral oil", 0.01)] {
        let other = text.replace(old, &format!("grade = \"{grade}\"")).replace("DOT 4", grade);
        let report = check(&read(&other), &Options::default()).expect("it can be looked over");
        for fluid in &report.fluids {
            assert_eq!(fluid.grade, grade);
            assert!(fluid.water_percent < most, "{fluid:?}");
        }
        let boils: Vec<f64> = report.fluids.iter().map(|f| f.boiling_c).collect();
        // There is no wet test for mineral oil, and its dry point here is typical.
        let least = if grade == "DOT 5" { [180.0, 260.0] } else { [150.0, 249.9] };
        assert!(boils[0] > least[0] && boils[1] > least[1], "old and new {grade}: {boils:?}");
        let water = report.defaults.iter().filter(|d| d.key.starts_with("water"));
        let told: Vec<&str> = water.map(|d| d.value.as_str()).collect();
        assert!(told.len() == 2 && told[0].starts_with("0.00") && told[1] == "0 %", "{told:?}");
    }
}

/// 72 psi is what the scenario may ask for at most; no shop pumps a reservoir to it (common practice, no source).
#[test]
fn a_pressure_beyond_what_shops_use_is_told_unless_a_limit_is_stated() {
    const KIND: WarningKind = WarningKind::HighPressure;
    let unlimited = ("gauge_limit = \"20 psi\"", "");
    let own = ("gauge = \"15 psi\"", "gauge = \"72 psi\"");
    let text = told(&car(&[unlimited, own]), KIND).expect("72 psi");
    assert!(text.contains("(72.0 psi)") && text.contains("`gauge_limit`"), "{text}");
    // By a step alone; by no more than some shops use; with a limit, which is another warning's.
    let step = ("re_pump = \"15 psi\"", "re_pump = \"31 psi\"");
    assert!(told(&car(&[unlimited, step]), KIND).expect("31 psi").contains("(31.0 psi)"));
    let most = ("gauge = \"15 psi\"", "gauge = \"30 psi\"");
    assert_eq!(told(&car(&[unlimited, most]), KIND), None);
    let limit = ("gauge_limit = \"20 psi\"", "gauge_limit = \"80 psi\"");
    assert_eq!(told(&car(&[limit, own]), KIND), None);
    // What is pumped a hair over the limit is told by both, though opening the feed valve takes a little off.
    let hair = ("gauge_limit = \"20 psi\"", "gauge_limit = \"14.9 psi\"");
    assert!(told(&car(&[hair]), WarningKind::PressureOverLimit).is_some());
}

/// Fluid of a sealed can holds 0.1 to 0.2 % (from memory); 3.7 % is the wet test of the standards.
#[test]
fn new_fluid_full_of_water_is_told() {
    const KIND: WarningKind = WarningKind::WetNewFluid;
    let water = |percent: &str| {
        let new = format!("[new_fluid]\nwater = \"{percent}\"");
        told(&car(&[("[new_fluid]", &new)]), KIND)
    };
    assert_eq!(told(&car(&[]), KIND), None);
    assert_eq!(water("0.4 %"), None);
    let text = water("8 %").expect("8 %");
    assert!(text.contains("8.0 % water") && text.contains("(line "), "{text}");
}

/// Limits as in FMVSS No. 116: DOT 3 205 and 140 °C, DOT 5.1 260 and 180 °C.
#[test]
fn a_lower_grade_than_before_is_told() {
    const KIND: WarningKind = WarningKind::LowerGrade;
    let grades = |old: &str, new: &str| {
        let old = format!("[old_fluid]\ngrade = \"{old}\"");
        let new = format!("[new_fluid]\ngrade = \"{new}\"");
        let edits =
            [("[old_fluid]\ngrade = \"DOT 3\"", &*old), ("[new_fluid]\ngrade = \"DOT 3\"", &*new)];
        told(&car(&edits), KIND)
    };
    let text = grades("DOT 5.1", "DOT 3").expect("lower");
    assert!(text.contains("260 °C dry, 180 °C wet") && text.contains("205 °C dry"), "{text}");
    // Drier alike, wet lower.
    assert!(grades("DOT 5.1", "ISO 4925 class 6").is_some());
    assert_eq!(grades("DOT 3", "DOT 5.1"), None);
    assert_eq!(grades("DOT 4", "ISO 4925 class 4"), None);
    let mineral =
        include_str!("../../scenarios/motorcycle-front.toml").replace("DOT 4", "mineral oil");
    assert_eq!(told(&read(&mineral), KIND), None, "no limits are known");
}

/// 2,300 is the usual end of laminar flow in a tube.
#[test]
fn lines_that_flow_beyond_laminar_are_named() {
    const KIND: WarningKind = WarningKind::BeyondLaminarFlow;
    assert_eq!(told_only(&car(&[]), KIND), [None, None]);
    let fast = [
        ("gauge_limit = \"20 psi\"", "gauge_limit = \"80 psi\""),
        ("\"15 psi\"", "\"72 psi\""),
        ("\"10 psi\"", "\"60 psi\""),
        ("\"20 °C ± 5 °C\"", "\"80 °C\""),
    ];
    let [before, after] = told_only(&car(&fast), KIND);
    let record = flush(&car(&fast), &quick()).expect("it can be simulated");
    let most = record.openings.iter().map(|o| o.reynolds).fold(0.0, f64::max);
    assert!(most > 2_300.0, "{most}");
    let after = after.expect("by flush");
    assert!(after.contains(&format!("to {most:.0} in hose LF while LF is open")), "{after}");
    let before = before.expect("by check");
    assert!(before.contains("in hose LF while LF is open"), "{before}");
    // Moved as plugs, lines need no laminar flow.
    let plugs: Vec<(&str, &str)> = [("kind = \"line\"", "kind = \"line\", profile = \"plug\"")]
        .into_iter()
        .chain([("kind = \"hose\"", "kind = \"hose\", profile = \"plug\"")])
        .chain(fast)
        .collect();
    assert_eq!(told_only(&car(&plugs), KIND), [None, None]);
}

/// At −40 °C, where the standards measure viscosity, glycol fluid is some hundred times as thick as at 20 °C.
#[test]
fn a_job_that_takes_hours_is_told() {
    const KIND: WarningKind = WarningKind::TakesHours;
    let by_gravity = HATCHBACK.replace("supply = \"pressure bleeder\"", "supply = \"gravity\"");
    assert_eq!(told_only(&read(&by_gravity), KIND), [None, None], "half an hour for the far wheel");
    for cold in [HATCHBACK, &by_gravity] {
        let cold = read(&cold.replace("\"20 °C ± 5 °C\"", "\"-40 °C\""));
        for told in told_only(&cold, KIND) {
            let told = told.expect("hours at one bleeder");
            assert!(told.starts_with("RR stays open ") && told.contains("-40 °C"), "{told}");
        }
    }
}

/// Advice follows what costs the pressure: in laminar flow 128 ν ρ L Q / (π d⁴) (Hagen and Poiseuille), so cold fluid and a
/// narrow bore, or else the push.
#[test]
fn what_makes_it_slow_is_named_by_what_costs_the_pressure() {
    const KIND: WarningKind = WarningKind::TakesHours;
    let text = HATCHBACK;
    let by_gravity = text.replace("supply = \"pressure bleeder\"", "supply = \"gravity\"");
    let told =
        |text: &str| told_only(&read(text), KIND).map(|told| told.expect("hours at one bleeder"));
    for cold in told(&by_gravity.replace("\"20 °C ± 5 °C\"", "\"-40 °C\"")) {
        assert!(cold.contains("times as thick as at 20 °C: warm the vehicle"), "{cold}");
    }
    for narrow in told(&by_gravity.replace("bore = \"3.33 mm ± 0.05 mm\"", "bore = \"0.9 mm\"")) {
        assert!(narrow.contains("lost in \"line RR\", whose bore is 0.90 mm"), "{narrow}");
        assert!(narrow.contains("(line "), "{narrow}");
    }
    let thin_hose = "[clear_hose]\nbore = \"0.8 mm\"\nlength = \"3 m\"\n";
    for narrow in told(&by_gravity.replace("[clear_hose]\n", thin_hose)) {
        assert!(narrow.contains("lost in the clear hose at RR, whose bore is 0.80 mm"), "{narrow}");
        assert!(narrow.contains("(line "), "{narrow}");
    }
    let slow = by_gravity.replace("[reservoir]\n", "[reservoir]\nheight = \"0.45 m\"\n");
    for weak in told(&slow) {
        assert!(weak.contains("the push is weak"), "{weak}");
    }
    let own =
        "grade = \"DOT 3\"\nviscosity_minus_40 = \"9000 mm²/s\"\nviscosity_100 = \"20 mm²/s\"";
    for thick in told(&by_gravity.replace("grade = \"DOT 3\"", own)) {
        assert!(thick.contains("as its grade usually is: look at its `viscosity_100`"), "{thick}");
    }
}

/// Where nothing flows at all, likewise: no head is no question of bore or temperature.
#[test]
fn where_nothing_flows_the_push_is_at_fault_unless_it_is_the_part() {
    const KIND: WarningKind = WarningKind::NoFlow;
    let text = include_str!("../../scenarios/compact-hatchback.toml");
    let by_gravity = text.replace("supply = \"pressure bleeder\"", "supply = \"gravity\"");
    let low = by_gravity.replace("[reservoir]\n", "[reservoir]\nheight = \"0.3 m\"\n");
    let found = |text: &str| {
        let car = farwheel::read(text, "car.toml").unwrap_or_else(|m| panic!("{m}"));
        let report = check(&car, &Options::default()).expect("it can be looked over");
        let text = report.warnings.iter().find(|w| w.kind == KIND).map(|w| w.text.clone());
        text.expect("nothing flows")
    };
    assert!(found(&low).ends_with("raise the pressure or the reservoir"), "{}", found(&low));
    let high = by_gravity.replace("[clear_hose]\n", "[clear_hose]\nend_above = \"1 m\"\n");
    let told = found(&high);
    assert!(
        told.ends_with("lower the end of the clear hose, or raise the pressure or the reservoir"),
        "{told}"
    );
    let shut = found(
        &by_gravity
            .replace("bore = \"3.33 mm ± 0.05 mm\"", "bore = \"0.5 mm\"")
            .replace("\"20 °C ± 5 °C\"", "\"-20 °C\""),
    );
    assert!(shut.contains("whose bore is 0.50 mm"), "{shut}");
}

/// How long is foreseen: what is drained at the least by the flow at first, whose rate does not hang on the rule.
#[test]
fn the_hours_foreseen_are_those_of_what_is_drained_at_the_least() {
    let cold = HATCHBACK
        .replace("supply = \"pressure bleeder\"", "supply = \"gravity\"")
        .replace("\"20 °C ± 5 °C\"", "\"-40 °C\"");
    let head = cold.split("[procedure]").next().expect("what is before the procedure");
    let foreseen = |steps: &str| {
        let scenario =
            read(&format!("{head}[procedure]\nsupply = \"gravity\"\nsteps = [{steps}]\n"));
        let found = check(&scenario, &Options::default()).expect("it can be looked over");
        let w = found.warnings.iter().find(|w| w.kind.words() == "takes hours")?;
        let hours = w.text.split_once("at least ")?.1.split_once(" hours")?.0;
        let path = found.paths.iter().find(|p| p.bleeder == "RR").expect("a path");
        Some((hours.parse::<f64>().expect("hours"), path.path_ml))
    };
    let one = |until: &str| {
        foreseen(&format!("{{ open = \"RR\", until = \"{until}\" }}")).expect("hours")
    };
    let (of_a_litre, path_ml) = one("1 L");
    let hours = |ml: f64| of_a_litre * ml / 1e3;
    let near = |a: f64, b: f64| assert!((a - b).abs() <= 0.1 + 0.005 * b, "{a} h, not {b} h");
    near(one("2 L").0, hours(2e3));
    near(one("3 h").0, 3.0);
    near(one("clean, at least 1.5 L").0, hours(1.5e3));
    near(one("clean, at most 900 mL, at least 800 mL").0, hours(800.0));
    // By eye: what the path holds, behind the reservoir's level for the first, or what a syringe leaves of it.
    let (by_eye, _) = one("clean");
    let level = by_eye / hours(1.0) - path_ml;
    assert!((170.0..190.0).contains(&level), "the reservoir's level, {level} mL");
    near(one("clean, at least 1 mL").0, by_eye);
    near(one("clean, at most 100 mL").0, hours(100.0));
    near(one("clean, at most 9 L").0, by_eye);
    let eye = "{ open = \"RR\", until = \"clean\" }";
    let syringed = foreseen(&format!("{{ syringe = \"60 mL\" }}, {eye}")).expect("hours").0;
    near(syringed, hours(path_ml + 60.0));
    let full = foreseen(&format!("{{ syringe = \"60 mL\" }}, {{ syringe = \"90 mL\" }}, {eye}"));
    near(full.expect("hours").0, syringed);
    let later =
        foreseen(&format!("{{ open = \"LF\", until = \"1 mL\" }}, {eye}")).expect("hours").0;
    near(later, hours(path_ml));
    // Two at once share what the reservoir holds.
    let both = foreseen("{ open = [\"RR\", \"LR\"], until = \"clean\" }").expect("hours").0;
    let both_of_a_litre =
        foreseen("{ open = [\"RR\", \"LR\"], until = \"1 L\" }").expect("hours").0;
    near(both, both_of_a_litre * (path_ml + 90.0) / 1e3);
}
