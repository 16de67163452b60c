//! Prints, as Markdown, every shipped job by Farwheel beside the reference and beside closed forms: the table of
//! docs/second-solution.md.
//!
//! `cargo test --release --test jobs -- --ignored --nocapture table::jobs` takes half a minute; with `bleeders` for
//! `jobs` it prints every bleeder. On a finer grid than the tests that always run.

use super::closed;
use super::compared::{self, Compared, Figure};

/// Step of the middle of the reference's three runs, mL.
const STEP_ML: f64 = 0.2;

#[test]
#[ignore = "prints a table, for docs/second-solution.md"]
fn jobs() {
    print(print_jobs);
}

#[test]
#[ignore = "prints a table"]
fn bleeders() {
    print(print_bleeders);
}

fn print(table: impl Fn(&[Compared])) {
    let (mut done, mut left) = (Vec::new(), Vec::new());
    for path in compared::shipped() {
        let (scenario, supplies) = compared::jobs(&path);
        for supply in supplies {
            let job = compared::name(&path, &supply);
            match compared::compare(&job, &scenario, &supply, STEP_ML) {
                Ok(compared) => done.push(compared),
                Err(why) => left.push(format!("{job}: {why}")),
            }
        }
    }
    // Below the line on which the test is announced.
    println!();
    table(&done);
    println!();
    println!("Not carried by the reference:");
    println!();
    for why in left {
        println!("- {why}");
    }
    println!();
    print_closed();
    let faults: Vec<String> = done.iter().flat_map(Compared::faults).collect();
    assert!(faults.is_empty(), "beyond the promised accuracy: {}", faults.join("; "));
}

fn print_jobs(done: &[Compared]) {
    println!(
        "| job | bleeder furthest off: clean from, mL | stated | drained, mL | open, s | old fluid left, mL | stated |"
    );
    println!("| --- | --- | --- | --- | --- | --- | --- |");
    for c in done {
        let (name, clean, stated) = match furthest(c) {
            Some((name, figure)) => (name, beside(figure, 2), plus_minus(figure.stated)),
            None => ("", "–".to_owned(), "–".to_owned()),
        };
        println!(
            "| {} | {name} {clean} | {stated} | {} | {} | {} | {} |",
            c.job,
            beside(c.drained_ml, 1),
            beside(c.seconds, 1),
            beside(c.left_ml, 2),
            plus_minus(c.left_ml.stated),
        );
    }
}

/// The bleeder whose millilitres to clean are furthest apart, as a share of what is promised.
fn furthest(c: &Compared) -> Option<(&str, Figure)> {
    let promised = |f: Figure| f.off() / (5e-3 * f.theirs).max(0.5);
    let all = c.bleeders.iter().filter_map(|b| Some((b.name.as_str(), b.clean_at_ml?)));
    all.max_by(|a, b| promised(a.1).total_cmp(&promised(b.1)))
}

fn print_bleeders(done: &[Compared]) {
    println!("| job | bleeder | clean from, mL | stated | drained, mL | open, s |");
    println!("| --- | --- | --- | --- | --- | --- |");
    for c in done {
        for b in &c.bleeders {
            let clean = b.clean_at_ml.map_or("–".to_owned(), |f| beside(f, 2));
            let stated = plus_minus(b.clean_at_ml.and_then(|f| f.stated));
            println!(
                "| {} | {} | {clean} | {stated} | {} | {} |",
                c.job,
                b.name,
                beside(b.drained_ml, 1),
                beside(b.seconds, 1)
            );
        }
    }
}

fn print_closed() {
    println!("| closed form | figure | Farwheel | exact | off | may be |");
    println!("| --- | --- | --- | --- | --- | --- |");
    for r in closed::rows() {
        println!(
            "| {} | {} | {:.4} {unit} | {:.4} {unit} | {:.0e} | {:.0e} |",
            r.case,
            r.what,
            r.ours,
            r.exact,
            (r.ours - r.exact).abs(),
            r.bound,
            unit = r.unit
        );
    }
}

/// Ours; theirs and the error that they claim.
fn beside(f: Figure, places: usize) -> String {
    format!("{:.places$}; {:.places$} ± {}", f.ours, f.theirs, error(f.their_error))
}

fn plus_minus(stated: Option<f64>) -> String {
    stated.map_or("–".to_owned(), |e| format!("± {e:.2}"))
}

/// An error to one digit that counts, rounded up.
fn error(e: f64) -> String {
    if e < 1e-6 {
        return "0".to_owned();
    }
    let places = (-e.log10().floor()).max(0.0) as i32;
    let scale = 10_f64.powi(places);
    format!("{:.*}", places as usize, (e * scale).ceil() / scale)
}
