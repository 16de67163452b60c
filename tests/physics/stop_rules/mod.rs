//! When a bleeder is closed, how it ended, and what the technician is told: facts of the rule, each from
//! a small job that produces it.

mod clean;
mod closing;
mod supply;

use crate::common::cars;
use crate::common::cars::{DIVIDED, DOT_3_THEN_4, scenario_text};
use farwheel::Scenario;
use farwheel::job::record::{Opening, Record};

const GRAVITY: &str = "kind = \"gravity\"";

/// What of a scenario a test may have otherwise.
struct Bench {
    vehicle: &'static str,
    level_ml: u32,
    reservoir: &'static str,
    parts: &'static str,
    hose: &'static str,
    supply: String,
    procedure: String,
}

/// One rear and one front caliper on two circuits, a pressure bleeder that holds plenty.
fn bench(procedure: &str) -> Bench {
    Bench {
        vehicle: "",
        level_ml: 180,
        reservoir: "",
        parts: r#"
"line R" = { kind = "line", from = "primary", length = "4 m", bends = 6 }
R = { kind = "caliper", from = "line R", new_pads = "12 mL" }
"line F" = { kind = "line", from = "secondary", length = "1 m", bends = 3 }
F = { kind = "caliper", from = "line F", new_pads = "25 mL" }"#,
        hose: "",
        supply: vessel("3 L"),
        procedure: procedure.to_owned(),
    }
}

/// A pressure bleeder with so much in it.
fn vessel(loaded: &str) -> String {
    format!("kind = \"pressure bleeder\"\nloaded = \"{loaded}\"\ngauge = \"15 psi\"")
}

impl Bench {
    fn text(&self) -> String {
        let Self { vehicle, level_ml, reservoir, parts, hose, supply, procedure } = self;
        let above = DIVIDED.replace("180 mL", &format!("{level_ml} mL"));
        scenario_text(&[
            &[DOT_3_THEN_4, &above, reservoir, "[vehicle]", vehicle, "[clear_hose]", hose]
                .join("\n"),
            &["[parts]", parts, "[supplies.it]", supply, "[procedure]", procedure].join("\n"),
        ])
    }

    fn scenario(&self) -> Scenario {
        cars::read(&self.text())
    }

    fn run(&self) -> Record {
        cars::run(&self.text())
    }
}

fn run(procedure: &str) -> Record {
    bench(procedure).run()
}

/// Largest old fraction seen after the first draws (the hose itself begins new) up to the close.
fn dirtiest_seen(opening: &Opening) -> f64 {
    opening.curve.iter().map(|p| p.seen_old_fraction).fold(0.0, f64::max)
}
