//! Volumes against figures named for each class before the rules were fitted (common practice, no source); water
//! against arithmetic.

use crate::keys::Quantity;
use crate::measures::to_ml;
use crate::parts::Kind;
use crate::scenario::model::Tables;
use crate::scenario::read;

/// A circuit with these lines in `[vehicle]`, `[old_fluid]`, `[reservoir]`, `[master_cylinder]` and the caliper.
fn text([vehicle, old, reservoir, master, caliper]: [&str; 5]) -> String {
    format!(
        r#"
title = "bench"
[vehicle]
{vehicle}
[old_fluid]
grade = "DOT 4"
{old}
[new_fluid]
grade = "DOT 4"
[reservoir]
level = "40 mL"
min = "30 mL"
max = "60 mL"
{reservoir}
[master_cylinder]
{master}
[parts.hose]
kind = "hose"
from = "primary"
[parts.front]
kind = "caliper"
from = "hose"
{caliper}
[supplies.gravity]
kind = "gravity"
[procedure]
open = ["front"]
until = "clean"
"#
    )
}

const CAR: &str = "kind = \"hatchback\"";
const PADS: &str = "new_pads = \"8 mL\"";

fn of(lines: [&str; 5]) -> Tables {
    let text = text(lines);
    read(&text, "bench.toml").unwrap_or_else(|why| panic!("{why}"))
}

/// What is said of it, in one text.
fn refused(lines: [&str; 5]) -> String {
    let text = text(lines);
    read(&text, "bench.toml").expect_err(&text).to_string()
}

/// New and worn, mL.
fn caliper(keys: &str) -> (Quantity, Quantity) {
    let tables = of([CAR, "", "", "", keys]);
    let kind = &tables.parts.iter().find(|p| p.name == "front").expect("a caliper").kind;
    let Kind::Caliper(caliper) = kind else { panic!("{kind:?}") };
    (caliper.pads.new_pads, caliper.pads.worn_pads.expect("worn"))
}

/// Of so many pistons of this diameter.
fn of_pistons(number: usize, diameter: &str, fitted: &str) -> (Quantity, Quantity) {
    let pistons = vec![format!("\"{diameter}\""); number].join(", ");
    caliper(&format!("pistons = [{pistons}]\nfitted = \"{fitted}\""))
}

/// What was named for each class lies within the spread of what the rules give.
#[test]
fn a_caliper_holds_what_its_pistons_and_their_place_say() {
    for (number, diameter, fitted, new, worn) in [
        (1, "54 mm", "front", 8.0, 49.0),
        (1, "36 mm", "rear", 5.0, 19.0),
        (4, "32 mm", "motorcycle", 8.0, 21.0),
    ] {
        let (n, w) = of_pistons(number, diameter, fitted);
        for (found, named) in [(n, new), (w, worn)] {
            let (value, off) = (to_ml(found.value), to_ml(found.half_width()));
            assert!((value - named).abs() < off, "{diameter}: {value} ± {off} mL, not {named} mL");
        }
    }
}

/// The examples of the page are what the reader gives.
#[test]
fn the_page_of_these_keys_says_what_calipers_hold() {
    let page = include_str!("../../docs/described-keys.md");
    let rows: Vec<Vec<&str>> = page
        .lines()
        .map(|l| l.trim_matches('|').split('|').map(str::trim).collect::<Vec<_>>())
        .filter(|cells| cells.len() == 4 && cells[0].contains(" × "))
        .collect();
    assert!(rows.len() > 3, "{rows:?}");
    for row in rows {
        let (number, diameter) = row[0].split_once(" × ").expect("n × d");
        let (new, worn) = of_pistons(number.parse().expect("a number"), diameter, row[1]);
        let found = [new, worn].map(|q| format!("{:.0}", to_ml(q.value)));
        assert_eq!(found, [row[2], row[3]], "{row:?}");
    }
}

/// An area goes with the square of its diameter: 10 % of one are 20 % of the other.
#[test]
fn the_spread_of_a_piston_widens_that_of_the_volume() {
    let off = |spread: &str| {
        let (new, _) = caliper(&format!("pistons = \"54 mm{spread}\"\nfitted = \"front\""));
        new.half_width() / new.value
    };
    assert!((off(" ± 10 %") - off("").hypot(0.20)).abs() < 1e-6, "{}", off(" ± 10 %"));
}

#[test]
fn what_was_measured_goes_before_what_follows() {
    let tables = of([
        CAR,
        "",
        "brim = \"100 mL\"\ncompartment = \"9 mL\"",
        "chambers = [\"primary\"]\nvolume = \"5 mL\"",
        "pistons = \"54 mm\"\nfitted = \"front\"\nworn_pads = \"40 mL\"",
    ]);
    assert!((to_ml(tables.reservoir.brim.value) - 100.0).abs() < 1e-9);
    assert!((to_ml(tables.master_cylinder.volume.value) - 5.0).abs() < 1e-9);
    let Kind::Caliper(caliper) = &tables.parts[1].kind else { panic!("no caliper") };
    assert!((to_ml(caliper.pads.worn_pads.expect("worn").value) - 40.0).abs() < 1e-9);
}

#[test]
fn kinds_tell_brim_compartments_and_chambers() {
    let tables = of([CAR, "", "", "", PADS]);
    assert_eq!(tables.master_cylinder.chambers, ["primary", "secondary"]);
    assert!((to_ml(tables.reservoir.brim.value) - 1.3 * 60.0).abs() < 1e-9);
    let each = tables.reservoir.compartment.expect("two outlets");
    assert!((to_ml(each.value) - 0.18 * 60.0).abs() < 1e-9);
    // 22.2 mm bore; 18 mm of stroke and some more that it does not sweep.
    assert!((7.0..14.0).contains(&to_ml(tables.master_cylinder.volume.value)));
    let bored = of([CAR, "", "", "bore = \"44.4 mm\"", PADS]);
    let times = bored.master_cylinder.volume.value / tables.master_cylinder.volume.value;
    assert!((times - 4.0).abs() < 1e-9, "{times}");
}

#[test]
fn what_is_said_twice_or_half_is_told() {
    let none = "";
    for (lines, word) in [
        ([CAR, none, none, none, "pistons = \"54 mm\""], "where its pistons are fitted"),
        ([CAR, none, none, none, "fitted = \"rear\"\nnew_pads = \"8 mL\""], "only with `pistons`"),
        (
            [CAR, none, none, none, "pistons = \"54 mm\"\nfitted = \"rear\"\nnew_pads = \"8 mL\""],
            "both `pistons` and `new_pads`",
        ),
        ([CAR, none, none, none, none], "lacks `new_pads`"),
        (
            [CAR, none, none, "bore = \"20 mm\"\nvolume = \"9 mL\"", PADS],
            "both `volume` and `bore`",
        ),
        (
            [none, none, "brim = \"90 mL\"", "chambers = [\"primary\"]\nbore = \"20 mm\"", PADS],
            "tells the stroke",
        ),
        ([none, none, none, "chambers = [\"primary\"]\nvolume = \"9 mL\"", PADS], "lacks `brim`"),
        ([CAR, "age = \"3 years\"\nwater = \"3 %\"", none, none, PADS], "`age` and `water`"),
        ([CAR, "tester = \"pen\"", none, none, PADS], "not complete"),
        (
            [
                CAR,
                "tested_at = \"bleeder\"\ntester = \"pen\"\ntested_water = \"3 %\"\nwater = \"3 %\"",
                none,
                none,
                PADS,
            ],
            "both given",
        ),
        (
            [
                CAR,
                "tested_at = \"bleeder\"\ntester = \"pen\"\ntested_water = \"3 %\"\ntested_boiling = \"170 °C\"",
                none,
                none,
                PADS,
            ],
            "both given",
        ),
        (
            [
                "kind = \"motorcycle\"\nsteering = \"left\"",
                none,
                none,
                "chambers = [\"primary\"]",
                PADS,
            ],
            "no steering wheel",
        ),
    ] {
        let told = refused(lines);
        assert!(told.contains(word), "no \"{word}\" in {told}");
    }
}

/// Reservoir, elsewhere and wheel brakes: water in % and how far off.
fn water(old: &str) -> [(f64, f64); 3] {
    let old = of([CAR, old, "", "", PADS]).old_fluid;
    let places = [old.water_reservoir, Some(old.water), old.water_wheel_brakes];
    places.map(|q| q.map_or((f64::NAN, f64::NAN), |q| (100.0 * q.value, 100.0 * q.half_width())))
}

#[test]
fn water_of_one_place_tells_that_of_the_others() {
    let tested = |at: &str, figure: &str| {
        water(&format!("tested_at = \"{at}\"\ntester = \"refractometer\"\n{figure}"))
    };
    let near = |got: [(f64, f64); 3], expected: [f64; 3]| {
        assert!(got.iter().zip(expected).all(|(g, e)| (g.0 - e).abs() < 1e-6), "{got:?}");
    };
    near(tested("reservoir", "tested_water = \"4.5 %\""), [4.5, 5.0, 5.5]);
    near(tested("bleeder", "tested_water = \"4.5 %\""), [3.5, 4.0, 4.5]);
    near(water("water_reservoir = \"4.5 %\""), [4.5, 5.0, 5.5]);
    near(water("water_wheel_brakes = \"4.5 %\""), [3.5, 4.0, 4.5]);
    near(water("water_reservoir = \"2 %\"\nwater_wheel_brakes = \"4 %\""), [2.0, 3.0, 4.0]);
}

#[test]
fn a_tester_is_off_by_its_kind_unless_it_says_how_far() {
    let off = |figure: &str| {
        water(&format!("tested_at = \"reservoir\"\ntester = \"strip\"\n{figure}"))[0].1
    };
    let near = |got: f64, expected: f64| assert!((got - expected).abs() < 1e-9, "{got}");
    near(off("tested_water = \"4 %\""), 1.2);
    near(off("tested_water = \"4 % ± 0.3 %\""), 0.3);
    near(off("tested_water = \"4 % ± 0\""), 0.0);
    // Ten kelvin either way are half of the water between the ends.
    let at = |degrees: u32| {
        let figure = format!("tested_boiling = \"{degrees} °C\"");
        water(&format!("tested_at = \"reservoir\"\ntester = \"strip\"\n{figure}"))[0].0
    };
    assert!(at(155) > at(165) && at(165) > at(175));
    near(off("tested_boiling = \"165 °C ± 10 °C\""), 0.5 * (at(155) - at(175)));
    near(off("tested_boiling = \"165 °C\""), 1.2);
}

#[test]
fn age_widens_the_scatter_and_moves_nothing() {
    let (young, old, none) = (water("age = \"1 year\""), water("age = \"9 years\""), water(""));
    for place in 0..3 {
        assert_eq!(young[place].0, none[place].0);
        assert!((young[place].1 - 0.5 * none[place].1).abs() < 1e-9, "{young:?}");
        assert!((old[place].1 - 1.5 * none[place].1).abs() < 1e-9, "{old:?}");
    }
    // Of an age that is not known well the oldest counts.
    let unsure = water("age = \"2 years ± 2 years\"");
    assert!((unsure[1].1 - none[1].1).abs() < 1e-6, "{unsure:?}");
    for with_a_place in ["water_reservoir = \"3 % ± 1 %\"", "water_reservoir = \"3 %\""] {
        let aged = |age: &str| water(&format!("{with_a_place}\nage = \"{age}\""))[2].1;
        assert!(aged("9 years") > aged("1 year"), "{with_a_place}");
    }
}

#[test]
fn silicone_has_no_water_to_tell_of() {
    let silicone = |line: &str| {
        text([CAR, line, "", "", PADS]).replace("grade = \"DOT 4\"", "grade = \"DOT 5\"")
    };
    assert!(read(&silicone(""), "bench.toml").is_ok());
    for line in ["age = \"3 years\"", "tester = \"pen\""] {
        let told = read(&silicone(line), "bench.toml").expect_err(line).to_string();
        assert!(told.contains("takes up hardly any"), "{told}");
    }
}
