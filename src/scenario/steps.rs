//! `[procedure]`: the steps and the shorthands for them.

use std::ops::Range;

use toml::de::{DeTable, DeValue};

use super::bounds::{self, Bound};
use super::mistake::{Desk, Wrong};
use super::procedure::{Action, Step, StopRule};
use super::quantity::Quantity;
use super::section::{Section, Value};
use super::spec::{Default, Form, Key};
use super::stop_rule;
use super::suggest;
use super::tables::PROCEDURE_KEYS;
use super::walk::{self, Named, Node, Placed};

/// Most steps a list may hold.
const MOST_STEPS: usize = 500;
/// The keys of `[procedure]` that hold steps.
pub(crate) const STEP_LISTS: [&str; 5] = ["open", "until", "steps", "before", "after"];

/// What the value of a step's verb is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum VerbForm {
    Names,
    Name,
    Quantity(&'static Bound),
    /// A volume in the reservoir, or `min` or `max`.
    Level(&'static Bound),
    True,
}

/// One kind of step.
#[derive(Debug)]
pub(crate) struct Verb {
    pub(crate) name: &'static str,
    pub(crate) doc: &'static str,
    pub(crate) form: VerbForm,
    pub(crate) keys: &'static [Key],
}

const fn verb(name: &'static str, form: VerbForm, doc: &'static str, keys: &'static [Key]) -> Verb {
    Verb { name, doc, form, keys }
}

/// Every kind of step.
pub(crate) static VERBS: &[Verb] = &[
    verb(
        "open",
        VerbForm::Names,
        "Open one or several bleeders together, and close them by the stop rule.",
        &[UNTIL],
    ),
    verb(
        "syringe",
        VerbForm::Level(&bounds::RESERVOIR_LEFT),
        "Take fluid out of the reservoir with a syringe until this much is left.",
        &[],
    ),
    verb(
        "top_up",
        VerbForm::Level(&bounds::RESERVOIR),
        "Pour new fluid into the reservoir up to this volume.",
        &[],
    ),
    verb(
        "load",
        VerbForm::Quantity(&bounds::LOADED),
        "Fill this much more new fluid into the supply.",
        &[],
    ),
    verb(
        "re_pump",
        VerbForm::Quantity(&bounds::GAUGE),
        "Pump the supply up to this gauge pressure.",
        &[],
    ),
    verb(
        "wait",
        VerbForm::Quantity(&bounds::WAIT),
        "Let everything stand.",
        &[Key {
            name: "remix",
            doc: "Degree to which each line's cross-section mixes meanwhile; absent, it follows from density and time.",
            form: Form::Quantity(&bounds::SHARE),
            default: Default::Absent,
        }],
    ),
    verb(
        "work_modulator",
        VerbForm::Name,
        "Work the hydraulic modulator as a workshop's service routine does.",
        &[
            Key {
                name: "channels",
                doc: "Channels worked: names of the parts that start from the modulator; absent, all.",
                form: Form::Names,
                default: Default::Absent,
            },
            Key {
                name: "time",
                doc: "How long.",
                form: Form::Quantity(&bounds::WORK),
                default: Default::Text("10 s"),
            },
            Key {
                name: "pump",
                doc: "Whether the return pump runs.",
                form: Form::Flag,
                default: Default::Text("true"),
            },
        ],
    ),
    verb("relieve", VerbForm::True, "Let the pressure off the supply.", &[]),
    verb(
        "set_level",
        VerbForm::Level(&bounds::RESERVOIR),
        "Bring the reservoir to this volume, between MIN and MAX.",
        &[],
    ),
];

/// The key `until`, in steps and in `[procedure]`.
pub(crate) const UNTIL: Key = Key {
    name: "until",
    doc: "When to close: clean, a volume, a time, or a mix joined by commas.",
    form: Form::Text,
    default: Default::Required,
};

/// A step as read, with the places of what it names.
#[derive(Debug)]
pub(crate) struct RawStep {
    pub(crate) step: Step,
    pub(crate) span: Range<usize>,
    pub(crate) bleeders: Vec<Named>,
    pub(crate) until: Range<usize>,
    pub(crate) modulator: Option<Named>,
    pub(crate) channels: Vec<Named>,
}

/// The procedure as read.
#[derive(Debug, Default)]
pub(crate) struct RawProcedure {
    pub(crate) placed: Placed,
    pub(crate) steps: Vec<RawStep>,
}

/// Reads `[procedure]`; `reservoir` gives `min` and `max` their volumes.
pub(crate) fn read_procedure(
    desk: &mut Desk<'_>,
    node: Option<&Node<'_>>,
    reservoir: &Section,
) -> RawProcedure {
    let Some(node) = node else {
        desk.add(
            0..0,
            "the file has no `[procedure]`",
            "add `[procedure]` with, for instance, `open = [\"RR\", \"LR\", \"RF\", \"LF\"]` and `until = \"clean\"`",
        );
        return RawProcedure::default();
    };
    let DeValue::Table(table) = node.get_ref() else {
        desk.add(
            node.span(),
            "`procedure` is no table",
            "write `[procedure]` on a line of its own",
        );
        return RawProcedure::default();
    };
    let known: Vec<_> = PROCEDURE_KEYS.iter().map(|k| k.name).chain(STEP_LISTS).collect();
    walk::refuse_unknown(desk, table, "`[procedure]`", &known);
    let placed =
        walk::read_section(desk, "[procedure]", node.span(), &[table], PROCEDURE_KEYS, true);
    let mut steps = Vec::new();
    let short = ["open", "until", "before", "after"].iter().find_map(|k| table.get(*k));
    match (table.get("steps"), short) {
        (Some(_), Some(other)) => desk.add(
            other.span(),
            "`steps` stands beside `open`, `until`, `before` or `after`",
            "write either `steps` with everything in it, or `open` and `until` with `before` and `after`",
        ),
        (Some(list), None) => read_list(desk, list, "steps", reservoir, &mut steps),
        (None, _) => {
            if let Some(list) = table.get("before") {
                read_list(desk, list, "before", reservoir, &mut steps);
            }
            read_shorthand(desk, table, &placed, &mut steps);
            if let Some(list) = table.get("after") {
                read_list(desk, list, "after", reservoir, &mut steps);
            }
        }
    }
    RawProcedure { placed, steps }
}

/// `open = […]` with `until = …`.
fn read_shorthand(
    desk: &mut Desk<'_>,
    table: &DeTable<'_>,
    placed: &Placed,
    steps: &mut Vec<RawStep>,
) {
    let Some(open) = table.get("open") else {
        let at = table.get("until").map_or(placed.head.clone(), |n| n.span());
        desk.add(
            at,
            "the procedure opens no bleeder",
            "add `open = [\"…\"]` with the bleeders in their order",
        );
        return;
    };
    let groups = read_groups(desk, open);
    let until = match table.get("until") {
        None => {
            desk.add(
                open.span(),
                "`open` stands without `until`: nothing says when to close",
                stop_rule::EXAMPLES,
            );
            return;
        }
        Some(node) => read_untils(desk, node, groups.len(), open),
    };
    let Some(until) = until else { return };
    for (i, (group, span)) in groups.into_iter().enumerate() {
        let (rule, at) = until[i % until.len()].clone();
        if group.is_empty() {
            continue;
        }
        steps.push(opening(desk, group, span, rule, at));
    }
}

fn opening(
    desk: &Desk<'_>,
    bleeders: Vec<Named>,
    span: Range<usize>,
    rule: StopRule,
    until: Range<usize>,
) -> RawStep {
    let names = bleeders.iter().map(|b| b.name.clone()).collect();
    RawStep {
        step: Step {
            line: desk.line(span.start),
            action: Action::Open { bleeders: names, until: rule },
        },
        span,
        bleeders,
        until,
        modulator: None,
        channels: Vec::new(),
    }
}

/// The bleeders of each opening; an empty group is one that was wrong.
fn read_groups(desk: &mut Desk<'_>, open: &Node<'_>) -> Vec<(Vec<Named>, Range<usize>)> {
    let DeValue::Array(list) = open.get_ref() else {
        return vec![(walk::names(desk, open, "open").unwrap_or_default(), open.span())];
    };
    if list.is_empty() {
        desk.add(open.span(), "the procedure opens no bleeder", "name the bleeders in their order");
    }
    if list.len() > MOST_STEPS {
        desk.add(
            open.span(),
            format!("`open` has {} entries", list.len()),
            format!("{MOST_STEPS} are the most that is read"),
        );
        return Vec::new();
    }
    list.iter()
        .map(|item| (walk::names(desk, item, "open").unwrap_or_default(), item.span()))
        .collect()
}

/// One stop rule for all openings or one for each; `None` if something is wrong.
fn read_untils(
    desk: &mut Desk<'_>,
    node: &Node<'_>,
    openings: usize,
    open: &Node<'_>,
) -> Option<Vec<(StopRule, Range<usize>)>> {
    match node.get_ref() {
        DeValue::Array(list) => {
            if list.len() != openings || list.is_empty() {
                desk.add(
                    node.span(),
                    format!("`until` lists {} stop rules for {openings} openings", list.len()),
                    "write one for each entry of `open`, or one text for all",
                );
                return None;
            }
            let rules: Vec<_> = list.iter().map(|n| read_until(desk, n)).collect();
            rules.into_iter().collect()
        }
        _ if openings == 0 && matches!(open.get_ref(), DeValue::Array(_)) => None,
        _ => read_until(desk, node).map(|r| vec![r]),
    }
}

fn read_until(desk: &mut Desk<'_>, node: &Node<'_>) -> Option<(StopRule, Range<usize>)> {
    let result = match node.get_ref() {
        DeValue::String(s) => stop_rule::parse(s),
        other => Err(Wrong::new(
            format!("`until` is {}, but a stop rule is wanted", walk::what_is(other)),
            stop_rule::EXAMPLES,
        )),
    };
    match result {
        Ok(rule) => Some((rule, node.span())),
        Err(wrong) => {
            desk.add_wrong(node.span(), wrong);
            None
        }
    }
}

fn read_list(
    desk: &mut Desk<'_>,
    node: &Node<'_>,
    key: &str,
    reservoir: &Section,
    steps: &mut Vec<RawStep>,
) {
    let remedy =
        "write a list of steps, for instance [{ syringe = \"30 mL\" }, { top_up = \"max\" }]";
    let DeValue::Array(list) = node.get_ref() else {
        desk.add(
            node.span(),
            format!("`{key}` is {}, but a list is wanted", walk::what_is(node.get_ref())),
            remedy,
        );
        return;
    };
    if list.len() > MOST_STEPS {
        desk.add(
            node.span(),
            format!("`{key}` has {} steps", list.len()),
            format!("{MOST_STEPS} are the most that is read"),
        );
        return;
    }
    for item in list.iter() {
        match item.get_ref() {
            DeValue::Table(t) => steps.extend(read_step(desk, t, item.span(), reservoir)),
            other => desk.add(
                item.span(),
                format!("a step is {}, but a table is wanted", walk::what_is(other)),
                remedy,
            ),
        }
    }
}

fn read_step(
    desk: &mut Desk<'_>,
    table: &DeTable<'_>,
    span: Range<usize>,
    reservoir: &Section,
) -> Option<RawStep> {
    let present: Vec<&Verb> = VERBS.iter().filter(|v| table.contains_key(v.name)).collect();
    let verb = match present.as_slice() {
        [one] => *one,
        [] => {
            let first = walk::in_order(table).first().map_or("", |(name, _, _)| *name);
            desk.add(
                span,
                "this step does nothing that is known",
                suggest::remedy(first, VERBS.iter().map(|v| v.name), "a step is one of"),
            );
            return None;
        }
        [a, b, ..] => {
            desk.add(
                span,
                format!("this step does two things, `{}` and `{}`", a.name, b.name),
                "write a step of its own for each",
            );
            return None;
        }
    };
    let known: Vec<_> =
        std::iter::once(verb.name).chain(verb.keys.iter().map(|k| k.name)).collect();
    walk::refuse_unknown(desk, table, &format!("a step `{}`", verb.name), &known);
    let place = format!("the step `{}`", verb.name);
    let placed = walk::read_section(desk, &place, span.clone(), &[table], verb.keys, true);
    let node = table.get(verb.name)?;
    if verb.name == "open" {
        let bleeders = walk::names(desk, node, "open");
        let (rule, at) = table.get("until").and_then(|n| read_until(desk, n))?;
        return Some(opening(desk, bleeders?, span, rule, at));
    }
    let mut modulator = None;
    let action = match verb.form {
        VerbForm::True => match node.get_ref() {
            DeValue::Boolean(true) => Action::Relieve,
            _ => {
                desk.add(
                    node.span(),
                    format!("`{}` can only be true", verb.name),
                    "write true, or leave the step out",
                );
                return None;
            }
        },
        VerbForm::Name | VerbForm::Names => {
            let list = walk::names(desk, node, verb.name)?;
            let [one] = list.as_slice() else {
                desk.add(
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
            }
        }
        VerbForm::Quantity(bound) => {
            amount(verb.name, read_quantity(desk, node, bound, verb.name)?, &placed)?
        }
        VerbForm::Level(bound) => {
            amount(verb.name, read_level(desk, node, bound, verb.name, reservoir)?, &placed)?
        }
    };
    Some(RawStep {
        step: Step { line: desk.line(span.start), action },
        bleeders: Vec::new(),
        until: span.clone(),
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
    desk: &mut Desk<'_>,
    node: &Node<'_>,
    bound: &Bound,
    name: &str,
) -> Option<Quantity> {
    match walk::quantity(desk, node, bound, name) {
        Ok(q) => Some(q),
        Err(wrong) => {
            desk.add_wrong(node.span(), wrong);
            None
        }
    }
}

fn read_level(
    desk: &mut Desk<'_>,
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
            return reservoir.find_si(mark).map(Quantity::known);
        }
    }
    read_quantity(desk, node, bound, name)
}
