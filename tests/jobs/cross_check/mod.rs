//! Whole jobs, in millilitres and in seconds, against the reference and against closed forms: the table of
//! docs/second-solution.md, held to the promised accuracy. `cross_check/table.rs` prints it.

mod closed;
mod compared;
mod rules;
mod setting;
mod spaces;
mod table;
mod units;
mod worked;

use crate::common::cars;
use crate::geometry;
use crate::reference;
use std::f64::consts::FRAC_PI_4;

/// Step of the middle of the reference's three runs, mL; the table is made with a finer one.
const STEP_ML: f64 = 0.4;

/// Every shipped scenario with each of its supplies, but for what the reference cannot do.
#[test]
fn shipped_jobs_agree_with_the_reference() {
    let mut faults = Vec::new();
    let mut left = Vec::new();
    let (mut done, mut in_short) = (0, 0);
    for path in compared::shipped() {
        let (scenario, supplies) = compared::jobs(&path);
        for supply in supplies {
            let name = compared::name(&path, &supply);
            match compared::compare(&name, &scenario, &supply, STEP_ML) {
                Ok(compared) => {
                    done += 1;
                    println!("{compared:#?}");
                    faults.extend(compared.faults());
                    let second = row(SECOND, &name);
                    faults.extend(stale(&compared, &second.expect("a row"), [3, 4, 5]));
                    for (_, label) in SHORT.iter().filter(|(job, _)| *job == name) {
                        let short = row(ACCURACY, label).expect("a row");
                        faults.extend(stale(&compared, &short, [1, 2, 3]));
                        in_short += 1;
                    }
                }
                Err(why) => left.push(format!("{name}: {why}")),
            }
        }
    }
    println!("{done} compared; not: {left:#?}");
    assert_eq!(in_short, SHORT.len(), "rows of docs/accuracy.md");
    assert!(faults.is_empty(), "{}", faults.join("\n"));
    // Strokes of the hatchbacks' pedals.
    assert!(done >= 19 && left.len() <= 2, "{left:?}");
}

/// Where the rules bind that the reference has from their text alone.
#[test]
fn rules_agree_with_the_reference() {
    let (mut faults, mut words, mut long) = (Vec::new(), String::new(), 0);
    for (name, text, supply) in rules::jobs() {
        let scenario = cars::read(&text);
        let compared = compared::compare(&name, &scenario, supply, STEP_ML);
        let compared = compared.unwrap_or_else(|why| panic!("{name}: {why}"));
        faults.extend(compared.faults());
        words.extend(compared.bleeders.iter().map(|b| b.words[1].as_str()));
        let hose = &scenario.clear_hose;
        let watched_ml = 1e6 * FRAC_PI_4 * hose.bore.value * hose.bore.value * hose.watched.value;
        let by_dirt = |b: &&compared::Bleeder| {
            hose.hold.is_none()
                && b.hold_ml
                    .is_some_and(|h| h.theirs > watched_ml + 0.1 && !b.words[1].contains("Not"))
        };
        long += compared.bleeders.iter().filter(by_dirt).count();
        println!("{compared:#?}");
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
    // Each clause decided something somewhere.
    for word in ["Already", "Reached", "Lost", "NotReached", "LeastLook", "Rising", "WatchedLength"]
    {
        assert!(words.contains(word), "no job is {word}");
    }
    println!("{long} bleeders were held for what lies behind dirt");
    assert!(long >= 10, "{long}");
}

/// A reservoir whose common space is not one mixed body, at random values.
#[test]
fn spaces_agree_with_the_reference() {
    agree("the reservoir's common space", spaces::jobs());
}

/// A unit that is worked, room by room.
#[test]
fn worked_units_agree_with_the_reference() {
    agree("a unit that is worked", worked::jobs());
}

/// Compares jobs, and how far apart the two are at most with what the page says.
fn agree(law: &str, jobs: Vec<rules::Job>) {
    let (mut faults, mut most, count) = (Vec::new(), [0.0_f64; 5], jobs.len());
    for (name, text, supply) in jobs {
        let compared = compared::compare(&name, &cars::read(&text), supply, STEP_ML);
        let compared = compared.unwrap_or_else(|why| panic!("{name}: {why}"));
        let (clean, drained) = compared.furthest_ml();
        let (left, room) = (compared.left_ml.off(), compared.rooms_ml());
        let off = [clean, drained, left, room, compared.seconds.off() / compared.seconds.theirs];
        most = std::array::from_fn(|i| most[i].max(off[i]));
        println!(
            "{name}: clean, drained, old left, a unit's room, seconds off by {off:.4?}; {compared:#?}"
        );
        faults.extend(compared.faults());
    }
    println!("{law}: at most {most:.5?}");
    let said = row(SECOND, law).expect("a row");
    assert_eq!(said[1], count.to_string(), "{law}: jobs");
    for (said, is) in said[2..].iter().zip(most) {
        let (number, unit) = said.split_once(' ').expect("a number and its unit");
        let decimals = number.split_once('.').map_or(0, |(_, d)| d.len() as i32);
        let is = if unit == "%" { 100.0 * is } else { is };
        if (number.parse::<f64>().expect("a number") - is).abs() > 0.6 * 10_f64.powi(-decimals) {
            faults.push(format!("{law}: the page says {said}, it is {is}"));
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

const ACCURACY: &str = include_str!("../../../docs/accuracy.md");
const SECOND: &str = include_str!("../../../docs/second-solution.md");
/// Jobs in the short table of docs/accuracy.md, and what it calls them.
const SHORT: [(&str, &str); 4] = [
    ("compact-hatchback, pressure bleeder", "compact hatchback"),
    ("compact-hatchback-syringed, pressure bleeder", "the same, reservoir emptied first"),
    ("van-long-lines, pressure bleeder", "van, long lines"),
    ("motorcycle-front, gravity", "motorcycle, front, by gravity"),
];

/// The cells of a page's row of this name.
fn row(page: &str, name: &str) -> Option<Vec<String>> {
    let rows = page.lines().map(|line| line.trim().trim_matches('|').split('|'));
    let mut rows = rows.map(|cells| cells.map(|c| c.trim().to_owned()).collect::<Vec<_>>());
    rows.find(|cells| cells[0] == name)
}

/// What the cells of millilitres drained, seconds and old fluid left say that is not so, beyond rounding and the
/// reference's own error on this coarser grid.
fn stale(compared: &compared::Compared, cells: &[String], columns: [usize; 3]) -> Vec<String> {
    let figures = [compared.drained_ml, compared.seconds, compared.left_ml];
    let mut faults = Vec::new();
    for (figure, column) in figures.into_iter().zip(columns) {
        let said = cells[column].replace([';', ','], " ");
        let mut numbers = said.split_whitespace().map(|n| (n, n.parse::<f64>().expect("a number")));
        for (is, within) in [(figure.ours, 0.0), (figure.theirs, figure.their_error)] {
            let (text, number) = numbers.next().expect("a figure");
            let decimals = text.split_once('.').map_or(0, |(_, d)| d.len() as i32);
            if (number - is).abs() > 0.5001 * 10_f64.powi(-decimals) + within {
                faults.push(format!("{}: a table says {text}, it is {is}", compared.job));
            }
        }
    }
    faults
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
