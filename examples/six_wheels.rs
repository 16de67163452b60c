//! A circuit built in code: an invented three-axle van, each axle a circuit of its own kind, whose rear axles
//! stand as far back as you say.
//!
//! `cargo run --example six_wheels` prints the path to each bleeder and what each takes, for three lengths.

use farwheel::Scenario;
use farwheel::job::{self, options::Options};
use farwheel::scenario::Mistakes;
use std::error::Error;
use std::fmt::Write as _;

/// The wheels, with the metres of line from the tee of their axle.
const WHEELS: [(&str, &str, f64); 6] = [
    ("LF", "front tee", 1.0),
    ("RF", "front tee", 1.6),
    ("LM", "middle tee", 0.7),
    ("RM", "middle tee", 0.9),
    ("LR", "rear tee", 0.7),
    ("RR", "rear tee", 0.9),
];

/// The van as a scenario. A scenario is text, checked as a whole, so whatever a program leaves out or gets
/// wrong is named with its line.
fn van(rear_m: f64) -> Result<Scenario, Mistakes> {
    let mut parts = String::new();
    let axles = [
        ("front", "primary", 0.6),
        ("middle", "secondary", rear_m - 1.3),
        ("rear", "secondary", rear_m),
    ];
    for (axle, chamber, length) in axles {
        let _ = writeln!(
            parts,
            "\"{axle} line\" = {{ kind = \"line\", from = \"{chamber}\", length = \"{length} m\", bends = 4 }}\n\
             \"{axle} tee\" = {{ kind = \"tee\", from = \"{axle} line\" }}"
        );
    }
    for (wheel, tee, length) in WHEELS {
        let _ = writeln!(
            parts,
            "\"line {wheel}\" = {{ kind = \"line\", from = \"{tee}\", length = \"{length} m\" }}\n\
             \"hose {wheel}\" = {{ kind = \"hose\", from = \"line {wheel}\", length = \"0.4 m\" }}\n\
             {wheel} = {{ kind = \"caliper\", from = \"hose {wheel}\", new_pads = \"7 mL\" }}"
        );
    }
    let text = format!(
        r#"
title = "Three-axle van, rear axle at {rear_m} m"
[old_fluid]
grade = "DOT 4"
[new_fluid]
grade = "DOT 4"
[reservoir]
compartment = "40 mL"
level = "220 mL"
min = "150 mL"
max = "250 mL"
brim = "300 mL"
[master_cylinder]
chambers = ["primary", "secondary"]
volume = "15 mL"
[parts]
{parts}
[supplies]
vessel = {{ kind = "pressure bleeder", loaded = "2 L", gauge = "1 bar" }}
[procedure]
open = ["RR", "LR", "RM", "LM", "RF", "LF"]
until = "clean"
"#
    );
    farwheel::read(&text, "built in code")
}

fn main() -> Result<(), Box<dyn Error>> {
    for rear_m in [4.0, 6.0, 8.0] {
        let van = van(rear_m)?;
        let found = job::check(&van, &Options::default())?;
        let record = job::flush(&van, &Options::default())?;
        println!("{}: holds {:.0} mL", van.title, found.capacity_ml);
        for opening in &record.openings {
            let path = found.paths.iter().find(|p| p.bleeder == opening.bleeder);
            println!(
                "  {}: path {:5.1} mL, drained {:5.1} mL in {:4.0} s",
                opening.bleeder,
                path.map_or(f64::NAN, |p| p.path_ml),
                opening.drained_ml,
                opening.flow_seconds,
            );
        }
        println!(
            "  in all {:.0} mL drained, {:.1} mL of old fluid left",
            record.totals.drained_ml, record.left.old_ml
        );
    }
    Ok(())
}
