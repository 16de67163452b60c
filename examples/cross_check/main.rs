//! Prints, as Markdown, every shipped job by Farwheel beside an independent reference solution and beside closed
//! forms: the table of docs/second-solution.md.
//!
//! `cargo run --release --example cross_check` takes about a minute; with `bleeders` behind `--` it prints
//! every bleeder. `tests/cross_check.rs` holds the same figures to the promised accuracy.

#[path = "../../tests/cross_check/closed.rs"]
#[allow(dead_code)] // bounds are for the tests
mod closed;
#[path = "../../tests/cross_check/compared.rs"]
mod compared;
#[path = "../../tests/whole_job/geometry.rs"]
mod geometry;
#[path = "../../tests/reference/mod.rs"]
mod reference;
#[path = "../../tests/cross_check/setting.rs"]
mod setting;

use compared::{Compared, Figure};

/// Step of the middle of the reference's three runs, mL.
const STEP_ML: f64 = 0.2;

fn main() {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let every_bleeder = match arguments.iter().map(String::as_str).collect::<Vec<_>>().as_slice() {
        [] => false,
        ["bleeders"] => true,
        _ => {
            eprintln!("cross_check takes nothing, or the word bleeders");
            std::process::exit(2);
        }
    };
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
    if every_bleeder {
        print_bleeders(&done);
    } else {
        print_jobs(&done);
    }
    println!();
    println!("Not carried by the reference:");
    println!();
    for why in left {
        println!("- {why}");
    }
    println!();
    print_closed();
    let faults: Vec<String> = done.iter().flat_map(Compared::faults).collect();
    if !faults.is_empty() {
        println!();
        println!("Beyond the promised accuracy: {}", faults.join("; "));
        std::process::exit(1);
    }
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
