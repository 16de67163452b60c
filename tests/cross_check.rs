//! Whole jobs, in millilitres and in seconds, against the reference and against closed forms: the table that
//! `cargo run --release --example cross_check` prints, held to the promised accuracy.

#[path = "cross_check/closed.rs"]
mod closed;
#[path = "cross_check/compared.rs"]
mod compared;
#[path = "whole_job/geometry.rs"]
mod geometry;
mod reference;
#[path = "cross_check/setting.rs"]
mod setting;

/// Step of the middle of the reference's three runs, mL; the example takes a finer one.
const STEP_ML: f64 = 0.4;

/// Every shipped scenario with each of its supplies, but for what the reference cannot do.
#[test]
fn shipped_jobs_agree_with_the_reference() {
    let mut faults = Vec::new();
    let mut left = Vec::new();
    let mut done = 0;
    for path in compared::shipped() {
        let (scenario, supplies) = compared::jobs(&path);
        for supply in supplies {
            let name = compared::name(&path, &supply);
            match compared::compare(&name, &scenario, &supply, STEP_ML) {
                Ok(compared) => {
                    done += 1;
                    println!("{compared:#?}");
                    faults.extend(compared.faults());
                }
                Err(why) => left.push(format!("{name}: {why}")),
            }
        }
    }
    println!("{done} compared; not: {left:#?}");
    assert!(faults.is_empty(), "{}", faults.join("\n"));
    // Strokes of the hatchbacks' pedals, and the one job that works a modulator.
    assert!(done >= 18 && left.len() <= 3, "{left:?}");
}

#[test]
fn closed_forms() {
    let mut faults = Vec::new();
    for row in closed::rows() {
        let closed::Row { case, what, unit, ours, exact, bound } = row;
        let text = format!("{case}, {what}: {ours} {unit}, exactly {exact}, bound {bound:e}");
        println!("{text}");
        if (ours - exact).abs() > bound || ours.is_nan() {
            faults.push(text);
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}
