//! What a scenario leaves out or says by mistake: the default that fits, or a warning of `check` and `flush` alike.

use farwheel::job::options::Options;
use farwheel::job::record::Warning;
use farwheel::job::{check, flush, intake};
use farwheel::scenario::model::Scenario;

/// The compact hatchback, each edit's first text replaced by its second wherever it stands.
fn car(edits: &[(&str, &str)]) -> Scenario {
    let mut text = include_str!("../scenarios/compact-hatchback.toml").to_owned();
    for (find, replace) in edits {
        assert!(text.contains(find), "`{find}` must stand in the car");
        text = text.replace(find, replace);
    }
    intake::read_text(&text, "car.toml").unwrap_or_else(|m| panic!("{m}"))
}

/// The warning of this kind, if there is one.
fn told(scenario: &Scenario, kind: &str) -> Option<String> {
    let options = Options { estimate_error: false, ..Options::default() };
    let of =
        |warnings: &[Warning]| warnings.iter().find(|w| w.kind == kind).map(|w| w.text.clone());
    let before = of(&check(scenario, &options).expect("it can be looked over").warnings);
    let after = of(&flush(scenario, &options).expect("it can be simulated").warnings);
    assert_eq!(before, after, "told by check and by flush alike");
    before
}

/// Brake tube of 3/16 in measures that outside (common practice, no source).
#[test]
fn an_outside_diameter_given_as_bore_is_told() {
    const KIND: &str = "bore or outside diameter?";
    assert_eq!(told(&car(&[]), KIND), None);
    let tube = [("bore = \"3.33 mm ± 0.05 mm\"", "bore = \"3/16 in\"")];
    let text = told(&car(&tube), KIND).expect("a bore of 3/16 in");
    assert!(
        text.starts_with("line RR, line LR, line RF, line LF: ") && text.contains("(line "),
        "{text}"
    );
}

/// Wear of pads changes a caliper only by what it holds with worn ones.
#[test]
fn wear_that_changes_nothing_is_told() {
    const KIND: &str = "wear without effect";
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
    const KIND: &str = "split and parts differ";
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
        let scenario = intake::read_file(file.as_ref()).unwrap_or_else(|m| panic!("{m}"));
        assert_eq!(told(&scenario, KIND), None, "{split}");
    }
}

/// Silicone and mineral oil dissolve hundredths of a percent of water: no default of glycol fluid is theirs. Fresh DOT 5
/// boils at 260 °C at least, humidified at 180 °C (FMVSS No. 116, 49 CFR 571.116, S5.1.1 and S5.1.2).
#[test]
fn water_left_out_is_that_of_the_family() {
    let text = include_str!("../scenarios/motorcycle-front.toml");
    let old = text.lines().find(|l| l.starts_with("grade")).expect("a grade");
    for (grade, most) in [("DOT 5", 0.03), ("mineral oil", 0.01)] {
        let other = text.replace(old, &format!("grade = \"{grade}\"")).replace("DOT 4", grade);
        let scenario = intake::read_text(&other, "other.toml").unwrap_or_else(|m| panic!("{m}"));
        let report = check(&scenario, &Options::default()).expect("it can be looked over");
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
