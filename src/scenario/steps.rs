//! `[procedure]`: the steps and the shorthands for them.

use std::ops::Range;

use toml::de::{DeTable, DeValue};

use super::limits::MOST_STEPS;
use super::mistake::{Diagnostics, Wrong};
use super::names;
use super::procedure::{Action, Step, StopRule};
use super::section::{Section, Value};
use super::sections::{self, Named, Node, Placed};
use super::step;
use super::stop_rule;
use super::tables::{STEP_LISTS, Tasks};
use super::unknown_keys;
use crate::keys::keys_of;

/// A step as read, with the places of what it names.
#[derive(Debug)]
pub(crate) struct RawStep {
    pub(crate) step: Step,
    pub(crate) span: Range<usize>,
    pub(crate) bleeders: Vec<Named>,
    pub(crate) modulator: Option<Named>,
    pub(crate) channels: Vec<Named>,
}

/// The procedure as read.
#[derive(Debug, Default)]
pub(crate) struct RawProcedure {
    pub(crate) placed: Placed,
    pub(crate) passes: u32,
    pub(crate) steps: Vec<RawStep>,
}

/// Reads `[procedure]`; `reservoir` gives `min` and `max` their volumes.
pub(crate) fn read_procedure(
    diagnostics: &mut Diagnostics<'_>,
    top: &DeTable<'_>,
    reservoir: &Section,
) -> RawProcedure {
    let Some(node) = top.get("procedure") else {
        // A misspelt table has been told already.
        if sections::misspelt("procedure", &[top]) {
            return RawProcedure::default();
        }
        diagnostics.add(
            diagnostics.end(),
            "the file has no `[procedure]`",
            "add `[procedure]` with, for instance, `open = [\"RR\", \"LR\", \"RF\", \"LF\"]` and `until = \"clean\"`",
        );
        return RawProcedure::default();
    };
    let DeValue::Table(table) = node.get_ref() else {
        diagnostics.add(
            node.span(),
            "`procedure` is no table",
            "write `[procedure]` on a line of its own",
        );
        return RawProcedure::default();
    };
    let keys = keys_of::<Tasks>();
    let known: Vec<_> = keys.iter().map(|k| k.name).chain(STEP_LISTS).collect();
    let lacks = |key: &&&str| !table.contains_key(**key) && !sections::misspelt(key, &[table]);
    let whole = table.contains_key("steps") || sections::misspelt("steps", &[table]);
    let missing: Vec<&str> =
        ["open", "until"].iter().filter(|key| !whole && lacks(key)).copied().collect();
    let told = unknown_keys::refuse_unknown(diagnostics, table, "`[procedure]`", &known, &missing);
    let mut placed = sections::read_section(
        diagnostics,
        "[procedure]",
        node.span(),
        &[table],
        keys,
        (true, &[]),
    );
    placed.section.written.name = "procedure".to_owned();
    let mut steps = Vec::new();
    let short = ["open", "until", "before", "after"].iter().find_map(|k| table.get(*k));
    match (table.get("steps"), short) {
        (Some(steps), Some(other)) => diagnostics.add(
            diagnostics.blamed(other.span(), steps.span()),
            "`steps` stands beside `open`, `until`, `before` or `after`",
            "write either `steps` with everything in it, or `open` and `until` with `before` and `after`",
        ),
        (Some(list), None) => read_list(diagnostics, list, "steps", reservoir, &mut steps),
        (None, _) => {
            if let Some(list) = table.get("before") {
                read_list(diagnostics, list, "before", reservoir, &mut steps);
            }
            read_shorthand(diagnostics, table, (&placed, &told), &mut steps);
            if let Some(list) = table.get("after") {
                read_list(diagnostics, list, "after", reservoir, &mut steps);
            }
        }
    }
    let passes = match placed.section.values.get("passes") {
        Some(Value::Count(n)) => *n,
        _ => 1,
    };
    RawProcedure { placed, passes, steps }
}

/// `open = […]` with `until = …`.
fn read_shorthand(
    diagnostics: &mut Diagnostics<'_>,
    table: &DeTable<'_>,
    (placed, told): (&Placed, &[&str]),
    steps: &mut Vec<RawStep>,
) {
    let Some(open) = table.get("open") else {
        // A misspelt key has been told already, here and below.
        if sections::misspelt("open", &[table]) || told.contains(&"open") {
            return;
        }
        if table.get("until").is_none() && works_at_a_bleeder(table) {
            return;
        }
        let at = table.get("until").map_or(placed.head.clone(), |n| n.span());
        diagnostics.add(
            at,
            "the procedure opens no bleeder",
            "add `open = [\"…\"]` with the bleeders in their order",
        );
        return;
    };
    let groups = read_groups(diagnostics, open);
    let until = match table.get("until") {
        None if sections::misspelt("until", &[table]) || told.contains(&"until") => return,
        None => {
            diagnostics.add(
                open.span(),
                "`open` stands without `until`: nothing says when to close",
                format!("add `until = \"…\"` below it: {}", stop_rule::EXAMPLES),
            );
            return;
        }
        Some(node) => read_untils(diagnostics, node, groups.len(), open),
    };
    let Some(until) = until else { return };
    for (i, (group, span)) in groups.into_iter().enumerate() {
        let rule = until[i % until.len()];
        if group.is_empty() {
            continue;
        }
        steps.push(opening(diagnostics, group, span, rule));
    }
}

/// Whether a step in `before` or `after` works a modulator with a bleeder open: that is a procedure without `open` too.
fn works_at_a_bleeder(table: &DeTable<'_>) -> bool {
    let lists = ["before", "after"].into_iter().filter_map(|key| table.get(key));
    let steps = lists.filter_map(|list| list.get_ref().as_array()).flat_map(|list| list.iter());
    let mut keys = steps.filter_map(|step| step.get_ref().as_table());
    keys.any(|step| step.contains_key("work_modulator") && step.contains_key("bleeders"))
}

pub(crate) fn opening(
    diagnostics: &Diagnostics<'_>,
    bleeders: Vec<Named>,
    span: Range<usize>,
    rule: StopRule,
) -> RawStep {
    let names = bleeders.iter().map(|b| b.name.clone()).collect();
    RawStep {
        step: Step {
            line: diagnostics.line(span.start),
            action: Action::Open { bleeders: names, until: rule },
        },
        span,
        bleeders,
        modulator: None,
        channels: Vec::new(),
    }
}

/// The bleeders of each opening; an empty group is one that was wrong.
fn read_groups(
    diagnostics: &mut Diagnostics<'_>,
    open: &Node<'_>,
) -> Vec<(Vec<Named>, Range<usize>)> {
    let DeValue::Array(list) = open.get_ref() else {
        return vec![(names::names(diagnostics, open, "open").unwrap_or_default(), open.span())];
    };
    if list.is_empty() {
        diagnostics.add(
            open.span(),
            "the procedure opens no bleeder",
            "name the bleeders in their order",
        );
    }
    if list.len() > MOST_STEPS {
        diagnostics.add(
            open.span(),
            format!("`open` has {} entries", list.len()),
            format!("{MOST_STEPS} are the most that is read"),
        );
        return Vec::new();
    }
    list.iter()
        .map(|item| (names::names(diagnostics, item, "open").unwrap_or_default(), item.span()))
        .collect()
}

/// One stop rule for all openings or one for each; `None` if something is wrong.
fn read_untils(
    diagnostics: &mut Diagnostics<'_>,
    node: &Node<'_>,
    openings: usize,
    open: &Node<'_>,
) -> Option<Vec<StopRule>> {
    match node.get_ref() {
        DeValue::Array(list) => {
            if list.len() != openings || list.is_empty() {
                diagnostics.add(
                    node.span(),
                    format!("`until` lists {} stop rules for {openings} openings", list.len()),
                    "write one for each entry of `open`, or one text for all",
                );
                return None;
            }
            let rules: Vec<_> = list.iter().map(|n| read_until(diagnostics, n)).collect();
            rules.into_iter().collect()
        }
        _ if openings == 0 && matches!(open.get_ref(), DeValue::Array(_)) => None,
        _ => read_until(diagnostics, node).map(|r| vec![r]),
    }
}

pub(crate) fn read_until(diagnostics: &mut Diagnostics<'_>, node: &Node<'_>) -> Option<StopRule> {
    let result = match node.get_ref() {
        DeValue::String(s) => stop_rule::parse(s),
        other => Err(Wrong::new(
            format!("`until` is {}, but a stop rule is wanted", sections::what_is(other)),
            stop_rule::EXAMPLES,
        )),
    };
    match result {
        Ok(rule) => Some(rule),
        Err(wrong) => {
            diagnostics.add_wrong(node.span(), wrong);
            None
        }
    }
}

fn read_list(
    diagnostics: &mut Diagnostics<'_>,
    node: &Node<'_>,
    key: &str,
    reservoir: &Section,
    steps: &mut Vec<RawStep>,
) {
    let remedy =
        "write a list of steps, for instance [{ syringe = \"30 mL\" }, { top_up = \"max\" }]";
    let DeValue::Array(list) = node.get_ref() else {
        diagnostics.add(
            node.span(),
            format!("`{key}` is {}, but a list is wanted", sections::what_is(node.get_ref())),
            remedy,
        );
        return;
    };
    if list.len() > MOST_STEPS {
        diagnostics.add(
            node.span(),
            format!("`{key}` has {} steps", list.len()),
            format!("{MOST_STEPS} are the most that is read"),
        );
        return;
    }
    for item in list.iter() {
        match item.get_ref() {
            DeValue::Table(t) => {
                steps.extend(step::read_step(diagnostics, t, item.span(), reservoir))
            }
            other => diagnostics.add(
                item.span(),
                format!("a step is {}, but a table is wanted", sections::what_is(other)),
                remedy,
            ),
        }
    }
}
