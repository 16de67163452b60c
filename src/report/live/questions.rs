//! The questions of an instructor with their answers, as paragraphs and tables.

use super::words::{difference, label, list, shown};
use crate::report::Units;
use crate::report::figures::{degree, percent, rounded, temperature};
use crate::report::wording::Words;
use crate::study::lesson::{Candidate, Lesson, NextWheel};
use crate::study::order::Rules;
use serde::Serialize;

/// A question with its answer.
#[derive(Debug, Serialize)]
pub(super) struct Question {
    asks: String,
    answers: Vec<String>,
    head: Vec<&'static str>,
    rows: Vec<Vec<String>>,
}

/// Parts that are listed at most.
const MOST_PARTS: usize = 8;
/// Less old fluid than this in a part is not worth a line, mL.
const WORTH_ML: f64 = 0.05;
/// A smaller share of all that is drained is hardly a difference.
const LITTLE: f64 = 0.02;

/// All questions to which this job has an answer.
pub(super) fn all(lesson: &Lesson, w: &Words, units: Units) -> Vec<Question> {
    let mut all: Vec<Question> = lesson.next.iter().map(|n| next(n, lesson.rules)).collect();
    all.extend(from_reservoir(lesson));
    all.extend(looks_clean(lesson, w));
    all.push(stays(lesson, w, units));
    all
}

fn ml(ml: f64) -> String {
    format!("{} mL", rounded(ml, 1))
}

fn next(next: &NextWheel, rules: Rules) -> Question {
    let own = &next.candidates[0];
    let asks = match next.done.as_slice() {
        [] => "Which wheel would you open first, and why?".to_owned(),
        done => format!("After {}: which wheel would you open next, and why?", list(done)),
    };
    let told = |c: &&Candidate| c.against_own.is_some_and(|a| a.drained.told_apart());
    let apart: Vec<&Candidate> = next.candidates.iter().filter(told).collect();
    let longest = next.candidates.iter().map(|c| c.path_ml).fold(0.0, f64::max);
    let far = if own.path_ml >= longest - 1e-6 { ", the most of those left" } else { "" };
    let mut answers = vec![format!(
        "The scenario takes {}: its path holds {}{far}. Opened now it takes {}, {} of them old fluid that lay in the reservoir.",
        list(&own.bleeders),
        ml(own.path_ml),
        ml(own.drained_ml),
        ml(own.reservoir_ml),
    )];
    let dirtier: Vec<String> = next
        .candidates
        .iter()
        .filter_map(|c| Some((c, c.against_own?)))
        .filter(|(_, a)| a.old_left.told_apart())
        .map(|(c, a)| format!("with {} now {}", list(&c.bleeders), difference(a.old_left)))
        .collect();
    answers.push(if apart.is_empty() && !dirtier.is_empty() {
        format!(
            "Over the whole job the millilitres are not told apart, but what stays behind is: {} of old fluid would be left.",
            dirtier.join(", ")
        )
    } else if apart.is_empty() {
        "Over the whole job it does not matter: with any other wheel now, the millilitres are not told apart. Whoever comes first washes out what all share; the rest is then the same work.".to_owned()
    } else {
        let each: Vec<String> = apart
            .iter()
            .filter_map(|c| Some((c, c.against_own?)))
            .map(|(c, a)| format!("with {} now {}", list(&c.bleeders), difference(a.drained)))
            .collect();
        let much = if next.widest_share() < LITTLE { "hardly any" } else { "a" };
        format!("Over the whole job it makes {much} difference: {} would be drained.", each.join(", "))
    });
    if rules == Rules::ByPlace {
        answers.push(
            "Millilitres are counted by position here: they stay at their places, whichever wheel comes there. Compare what is left, not what is drained."
                .to_owned(),
        );
    }
    let beside = |total: f64, c: &Candidate, of: fn(&Candidate) -> Option<String>| match of(c) {
        None => format!("{} (own order)", ml(total)),
        Some(d) => format!("{} ({d})", ml(total)),
    };
    Question {
        asks,
        answers,
        head: vec!["next", "takes (of the reservoir's)", "whole job drains", "and leaves old"],
        rows: next
            .candidates
            .iter()
            .map(|c| {
                vec![
                    list(&c.bleeders),
                    format!("{} ({})", ml(c.drained_ml), rounded(c.reservoir_ml, 1)),
                    beside(c.total_ml, c, |c| c.against_own.map(|a| difference(a.drained))),
                    beside(c.old_left_ml, c, |c| c.against_own.map(|a| difference(a.old_left))),
                ]
            })
            .collect(),
    }
}

fn from_reservoir(lesson: &Lesson) -> Option<Question> {
    let own = lesson.from_reservoir.first()?;
    let share = percent(own.reservoir_ml / own.drained_ml.max(1e-9));
    Some(Question {
        asks: format!("How much of what {} takes comes from the reservoir?", shown(&own.bleeder)),
        answers: vec![format!(
            "{} of {} ({share} %): old fluid that stood in the reservoir and ran all the way. {} lay elsewhere, {} were new fluid that ran out again. Whoever syringes the reservoir out and tops it up first spares that way.",
            ml(own.reservoir_ml),
            ml(own.drained_ml),
            ml(own.elsewhere_ml),
            ml(own.new_ml),
        )],
        head: vec!["order", "its turn", "takes", "from the reservoir"],
        rows: lesson
            .from_reservoir
            .iter()
            .map(|f| {
                vec![
                    label(&lesson.runs[f.run].named),
                    f.turn.to_string(),
                    ml(f.drained_ml),
                    ml(f.reservoir_ml),
                ]
            })
            .collect(),
    })
}

fn looks_clean(lesson: &Lesson, w: &Words) -> Option<Question> {
    let worst = lesson.looks_clean.iter().max_by(|a, b| {
        let gap = |l: &crate::study::lesson::LooksClean| l.path_old_fraction - l.seen_old_fraction;
        gap(a).total_cmp(&gap(b))
    })?;
    let early = lesson.looks_clean.iter().filter(|l| l.path_old_fraction > l.threshold).count();
    let of = lesson.looks_clean.len();
    let verdict = match early {
        0 => format!(
            "As clean as the hose looked, and no cleaner: at no close did the path hold more than the {} % old fluid that count as clean in the hose.",
            percent(worst.threshold)
        ),
        _ => format!(
            "No: at {early} of {of} closes the path still held more old fluid than what counts as clean in the hose."
        ),
    };
    let from = |at: Option<f64>| at.map_or("not yet".to_owned(), |at| format!("from {}", ml(at)));
    Some(Question {
        asks: "It looks clean. Is it clean?".to_owned(),
        answers: vec![
            verdict,
            match worst.path_old_fraction > worst.seen_old_fraction {
                true => format!(
                    "Most is hidden at {}: {} % old in the hose when it was closed, {} % on the path behind it.",
                    shown(&worst.bleeder),
                    percent(worst.seen_old_fraction),
                    percent(worst.path_old_fraction)
                ),
                false => "At every close the hose still showed more old fluid than lay on the path behind it: what comes last out of the caliper is the last to run clear.".to_owned(),
            },
        ],
        head: vec![w.bleeder, "hose looks clean", "path is as clean", "at the close: hose, path"],
        rows: lesson
            .looks_clean
            .iter()
            .map(|l| {
                let pass = if l.pass > 1 { format!(", pass {}", l.pass) } else { String::new() };
                vec![
                    shown(&l.bleeder) + &pass,
                    from(l.looks_at_ml),
                    from(l.is_at_ml),
                    format!(
                        "{} %, {} %",
                        percent(l.seen_old_fraction),
                        percent(l.path_old_fraction)
                    ),
                ]
            })
            .collect(),
    })
}

fn stays(lesson: &Lesson, w: &Words, units: Units) -> Question {
    let s = &lesson.stays;
    let unreached = s.parts.iter().filter(|p| p.unreached && p.volume_ml > 0.0);
    let unreached: Vec<String> = unreached.map(|p| p.part.clone()).collect();
    let listed = s.parts.iter().filter(|p| p.old_ml >= WORTH_ML).take(MOST_PARTS);
    let mut answers = vec![format!(
        "{} of old fluid in all, after the scenario's own order. The largest share lies in {}.",
        ml(s.old_ml),
        s.parts.first().map_or(String::new(), |p| shown(&p.part)),
    )];
    if !unreached.is_empty() {
        answers.push(format!(
            "No {} reaches {}: no amount drained there would help.",
            w.bleeder,
            list(&unreached)
        ));
    }
    Question {
        asks: "What stays where nobody looks?".to_owned(),
        answers,
        head: vec!["part", "keeps old", "of what it holds", "boils from"],
        rows: listed
            .map(|p| {
                vec![
                    shown(&p.part),
                    ml(p.old_ml),
                    format!("{} % of {}", percent(p.old_fraction), ml(p.volume_ml)),
                    format!("{} {}", temperature(p.lowest_boiling_c, units), degree(units)),
                ]
            })
            .collect(),
    }
}
