//! A flush by hand: a bleeder is opened, the clear hose looked at now and then, the bleeder closed when the eye says so.
//!
//! `cargo run --example by_hand` flushes the compact hatchback like that and prints what the hose looks like, beside what
//! cannot be seen: how much old fluid is still on the way to that bleeder.

use farwheel::job::options::Options;
use farwheel::job::stepping::{Hose, Stepping};
use farwheel::scenario::procedure::Action;
use std::error::Error;

/// Looked at again after so much, mL.
const LOOK_ML: f64 = 25.0;
/// Old fraction at which this eye takes the hose for clean, and closes.
const CLEAN: f64 = 0.1;

/// The watched length of the hose: `#` old, `.` new.
fn drawn(old_fraction: f64) -> String {
    (0..20)
        .map(|cell| if (f64::from(cell) + 0.5) / 20.0 < old_fraction { '#' } else { '.' })
        .collect()
}

fn look(hose: &Hose, job: &Stepping) {
    let supply = job.supply();
    println!(
        "{:>6.0} s {:>7.0} mL  [{}] {:>3.0} % old, on the path {:>3.0} %   {:>4.1} mL/s, gauge {:>4.0} kPa, reservoir {:>4.0} mL",
        supply.at_s,
        hose.drained_ml,
        drawn(hose.seen_old_fraction),
        100.0 * hose.seen_old_fraction,
        100.0 * hose.path_old_fraction,
        hose.flow_ml_per_s,
        supply.gauge_kpa,
        supply.reservoir_ml
    );
}

fn main() -> Result<(), Box<dyn Error>> {
    let path = format!("{}/scenarios/compact-hatchback.toml", env!("CARGO_MANIFEST_DIR"));
    let scenario = farwheel::read_file(path.as_ref())?;
    let mut job = Stepping::begin(&scenario, &Options::default())?;
    // The procedure says in which order; when to close is up to the eye.
    for step in &scenario.procedure.steps {
        let Action::Open { bleeders, .. } = &step.action else {
            job.act(step.action.clone())?;
            continue;
        };
        for bleeder in bleeders {
            println!("{bleeder}");
            job.open(&[bleeder])?;
            while job.advance_ml(LOOK_ML)? {
                let hose = job.hoses().remove(0);
                look(&hose, &job);
                if hose.seen_old_fraction <= CLEAN {
                    job.close(bleeder)?;
                    break;
                }
            }
        }
    }
    let record = job.record()?;
    println!(
        "{:.0} mL drained, {:.0} mL of old fluid left: {:.1} %",
        record.totals.drained_ml,
        record.left.old_ml,
        100.0 * record.left.old_fraction
    );
    for warning in &record.warnings {
        println!("{}", warning.text);
    }
    Ok(())
}
