//! One step of a procedure.

use std::ops::Range;

use toml::de::{DeTable, DeValue};

use super::amounts;
use super::mistake::Diagnostics;
use super::names;
use super::procedure::{Action, Step};
use super::section::{Section, Value};
use super::sections::{self, Node, Placed};
use super::steps::{RawStep, opening, read_until};
use super::suggest;
use super::unknown_keys;
use super::verbs::{VERBS, Verb, VerbForm};
use crate::keys::{Bound, Quantity};

/// Reads one step; what is wrong with it is written down.
pub(crate) fn read_step(
    diagnostics: &mut Diagnostics<'_>,
    table: &DeTable<'_>,
    span: Range<usize>,
    reservoir: &Section,
) -> Option<RawStep> {
    let present: Vec<&Verb> = VERBS.iter().filter(|v| table.contains_key(v.name)).collect();
    let verb = match present.as_slice() {
        [one] => *one,
        [] => {
            let first = sections::in_order(table).first().map_or("", |(name, _, _)| *name);
            diagnostics.add(
                span,
                "this step does nothing that is known",
                suggest::remedy(first, VERBS.iter().map(|v| v.name), "a step is one of"),
            );
            return None;
        }
        [a, b, ..] => {
            diagnostics.add(
                span,
                format!("this step does two things, `{}` and `{}`", a.name, b.name),
                "write a step of its own for each",
            );
            return None;
        }
    };
    let known: Vec<_> =
        std::iter::once(verb.name).chain(verb.keys.iter().map(|k| k.name)).collect();
    unknown_keys::refuse_unknown(
        diagnostics,
        table,
        &format!("a step `{}`", verb.name),
        &known,
        &[],
    );
    let place = format!("the step `{}`", verb.name);
    let placed = sections::read_section(
        diagnostics,
        &place,
        span.clone(),
        &[table],
        verb.keys.iter().copied(),
        (true, &[]),
    );
    let node = table.get(verb.name)?;
    if verb.name == "open" {
        let bleeders = names::names(diagnostics, node, "open");
        let rule = table.get("until").and_then(|n| read_until(diagnostics, n))?;
        return Some(opening(diagnostics, bleeders?, span, rule));
    }
    let mut modulator = None;
    let action = match verb.form {
        VerbForm::True => match node.get_ref() {
            DeValue::Boolean(true) => Action::Relieve,
            _ => {
                diagnostics.add(
                    node.span(),
                    format!("`{}` can only be true", verb.name),
                    "write true, or leave the step out",
                );
                return None;
            }
        },
        VerbForm::Name | VerbForm::Names => {
            let list = names::names(diagnostics, node, verb.name)?;
            let [one] = list.as_slice() else {
                diagnostics.add(
                    node.span(),
                    format!("`{}` names several parts", verb.name),
                    "write a step for each",
                );
                return None;
            };
            modulator = Some(one.clone());
            Action::WorkModulator {
                modulator: one.name.clone(),
                channels: placed.section.names("channels").to_vec(),
                time: quantity_in(&placed, "time")?,
                pump: placed.section.flag("pump"),
                bleeders: placed.section.names("bleeders").to_vec(),
            }
        }
        VerbForm::Quantity(bound) => {
            amount(verb.name, read_quantity(diagnostics, node, bound, verb.name)?, &placed)?
        }
        VerbForm::Level(bound) => {
            amount(verb.name, read_level(diagnostics, node, bound, verb.name, reservoir)?, &placed)?
        }
    };
    Some(RawStep {
        step: Step { line: diagnostics.line(span.start), action },
        bleeders: placed.names.get("bleeders").cloned().unwrap_or_default(),
        modulator,
        channels: placed.names.get("channels").cloned().unwrap_or_default(),
        span,
    })
}

fn quantity_in(placed: &Placed, key: &str) -> Option<Quantity> {
    match placed.section.values.get(key) {
        Some(Value::Quantity(q)) => Some(*q),
        _ => None,
    }
}

fn amount(verb: &str, q: Quantity, placed: &Placed) -> Option<Action> {
    Some(match verb {
        "syringe" => Action::Syringe { leave: q },
        "top_up" => Action::TopUp { to: q },
        "load" => Action::Load { volume: q },
        "re_pump" => Action::RePump { gauge: q },
        "set_level" => Action::SetLevel { to: q },
        "wait" => Action::Wait { time: q, remix: quantity_in(placed, "remix") },
        _ => return None,
    })
}

fn read_quantity(
    diagnostics: &mut Diagnostics<'_>,
    node: &Node<'_>,
    bound: &Bound,
    name: &str,
) -> Option<Quantity> {
    match amounts::quantity(diagnostics, node, bound, name) {
        Ok(q) => Some(q),
        Err(wrong) => {
            diagnostics.add_wrong(node.span(), wrong);
            None
        }
    }
}

fn read_level(
    diagnostics: &mut Diagnostics<'_>,
    node: &Node<'_>,
    bound: &Bound,
    name: &str,
    reservoir: &Section,
) -> Option<Quantity> {
    if let DeValue::String(s) = node.get_ref() {
        let mark = match s.trim().to_ascii_lowercase().as_str() {
            "min" => Some("min"),
            "max" => Some("max"),
            _ => None,
        };
        if let Some(mark) = mark {
            // With its spread: the level is as uncertain as the mark.
            return match reservoir.values.get(mark) {
                Some(Value::Quantity(q)) => Some(*q),
                _ => None,
            };
        }
    }
    if let DeValue::String(s) = node.get_ref()
        && s.trim_start().starts_with(char::is_alphabetic)
    {
        diagnostics.add(
            node.span(),
            format!("`{name}` can't be \"{}\"", sections::short(s)),
            "it may be \"min\" or \"max\", the marks of the reservoir, or a volume, for instance \"150 mL\"",
        );
        return None;
    }
    read_quantity(diagnostics, node, bound, name)
}
