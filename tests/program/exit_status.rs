//! Jobs that run but must be stopped: exit status 3, with what is wrong and what would be right.
//!
//! The snapshot holds what is told on standard error. Figures in it are regression values.

use crate::common::cars::{HATCHBACK, edited_all};
use crate::common::program::{Ran, farwheel_on, words};

/// Name, edits of the car, what must be told, what must be advised.
type Case = (&'static str, &'static [(&'static str, &'static str)], &'static str, &'static str);

fn flush(text: &str) -> Ran {
    farwheel_on(text, &["flush", "-", "--no-error-estimate"])
}

#[test]
fn jobs_that_must_be_stopped_end_with_status_3_and_a_remedy() {
    let cases: &[Case] = &[
        (
            "pressure over the vehicle's limit",
            &[("gauge_limit = \"20 psi\"", "gauge_limit = \"12 psi\"")],
            "limit",
            "lower the gauge pressure",
        ),
        (
            "supply too small",
            &[("loaded = \"1 L\"", "loaded = \"0.4 L\"")],
            "ran dry",
            "load at least",
        ),
        (
            "pedal strokes and nobody tops up",
            &[
                ("supply = \"pressure bleeder\"", "supply = \"pedal\""),
                ("stroke = \"7 mL\"", "stroke = \"7 mL\", topped_up = false"),
            ],
            "in stroke 39 at RR",
            "top it up before that",
        ),
        (
            "gravity and nobody tops up",
            &[
                ("supply = \"pressure bleeder\"", "supply = \"gravity\""),
                ("kind = \"gravity\"", "kind = \"gravity\", topped_up = false"),
            ],
            "after 145 mL at RR",
            "top it up before that",
        ),
        (
            "stop rule that is never met",
            &[("until = \"clean\"", "until = \"clean below 5 %, at most 200 mL\"")],
            "old fluid to be seen",
            "raise `at most`",
        ),
        (
            "endless procedure",
            &[
                // A pocket that hardly trades keeps the fluid dirty for litres.
                ("worn_pads = \"19 mL ± 2 mL\"", "pocket = \"60 %\", pocket_exchange = \"0.1 %\""),
                ("until = \"clean\"", "until = \"clean below 0.01 %\""),
                ("loaded = \"1 L\"", "loaded = \"19 L\", shell = \"23 L\""),
            ],
            "old fluid to be seen",
            "raise the threshold",
        ),
    ];
    let mut shown = String::new();
    for (name, edits, what, remedy) in cases {
        let Ran { status, out, err } = flush(&edited_all(HATCHBACK, edits));
        assert_eq!(status, Some(3), "{name}: {err}");
        assert!(out.contains("Not to be done as written"), "{name}: no table\n{out}");
        let told = words(&err);
        assert!(told.contains(what), "{name}: no `{what}` in\n{err}");
        assert!(told.contains(remedy), "{name}: no `{remedy}` in\n{err}");
        shown.push_str(&format!("=== {name}\n{err}\n"));
    }
    insta::assert_snapshot!("stopped", shown);
}

#[test]
fn a_job_as_shipped_ends_with_status_0() {
    let ran = flush(HATCHBACK);
    assert_eq!(ran.status, Some(0), "{}", ran.err);
}

#[test]
fn a_supply_that_is_not_there_is_named_with_those_that_are() {
    let Ran { status, err: told, .. } =
        farwheel_on(HATCHBACK, &["flush", "-", "--supply", "vacuum"]);
    assert_eq!(status, Some(2), "{told}");
    for name in ["\"vacuum\"", "pressure bleeder", "gravity", "vacuum pump", "pedal"] {
        assert!(told.contains(name), "{told}");
    }
}

/// Of several supplies one must be named, in the procedure or on the command line.
#[test]
fn of_several_supplies_one_must_be_named() {
    let car = edited_all(HATCHBACK, &[("supply = \"pressure bleeder\"", "")]);
    let Ran { status, err: told, .. } = flush(&car);
    assert_eq!(status, Some(2), "{told}");
    for words in ["does not say which supply", "--supply", "pressure bleeder", "gravity"] {
        assert!(told.contains(words), "{told}");
    }
    let ran = farwheel_on(&car, &["flush", "-", "--supply", "gravity", "--quiet"]);
    assert_eq!(ran.status, Some(0), "{}", ran.err);
}
