//! Whether every part is fed: what is not is a ring, or hangs on one.

use std::collections::BTreeMap;

use super::mistake::Diagnostics;
use super::parts::RawPart;
use super::sections::Named;
use super::suggest;
use crate::keys::Ends;

/// Every part must be fed from a chamber; what is not is a ring, or hangs on one. Says which parts are.
pub(super) fn check(
    diagnostics: &mut Diagnostics<'_>,
    chambers: &[Named],
    parts: &[RawPart],
) -> Vec<bool> {
    let index: BTreeMap<&str, usize> =
        parts.iter().enumerate().map(|(i, p)| (p.name.name.as_str(), i)).collect();
    // A part that starts from something unknown has been reported; take it as fed.
    let fed_directly = |p: &RawPart| {
        p.from.is_empty()
            || p.from.iter().any(|f| {
                chambers.iter().any(|c| c.name == f.name)
                    || f.name == p.name.name
                    || !index.contains_key(f.name.as_str())
            })
    };
    let mut fed = vec![false; parts.len()];
    let mut next: Vec<usize> = (0..parts.len()).filter(|i| fed_directly(&parts[*i])).collect();
    let mut after: Vec<Vec<usize>> = vec![Vec::new(); parts.len()];
    for (i, p) in parts.iter().enumerate() {
        for f in &p.from {
            if let Some(&j) = index.get(f.name.as_str()) {
                after[j].push(i);
            }
        }
        if let Some(&j) = p.to.as_ref().and_then(|t| index.get(t.name.as_str())) {
            after[i].push(j);
        }
    }
    while let Some(i) = next.pop() {
        if !std::mem::replace(&mut fed[i], true) {
            next.extend(after[i].iter().copied().filter(|j| !fed[*j]));
        }
    }
    if fed.iter().all(|fed| *fed) {
        return fed;
    }
    let leads = |p: &RawPart| {
        p.to.is_some() || parts.iter().any(|q| q.from.iter().any(|f| f.name == p.name.name))
    };
    let idle = parts.iter().filter(|p| p.spec.ends == Ends::Through && !leads(p));
    let idle: Vec<&str> = idle.map(|p| p.name.name.as_str()).collect();
    let idle = match idle.len() {
        1..=3 => format!("; nothing starts from {} so far", suggest::either(&idle)),
        _ => String::new(),
    };
    // What is not fed hangs on a ring: going against the flow from it never ends at a chamber.
    let mut told = vec![false; parts.len()];
    for i in (0..parts.len()).filter(|i| !fed[*i]) {
        if let Some(ring) = ring_from(i, parts, &index)
            && !ring.iter().any(|j| told[*j])
        {
            ring.iter().for_each(|j| told[*j] = true);
            let quoted = |names: Vec<&str>| {
                names.iter().map(|n| format!("`{n}`")).collect::<Vec<_>>().join(", ")
            };
            let names = ring.iter().map(|j| parts[*j].name.name.as_str()).collect();
            let cut_off: Vec<&str> = (0..parts.len())
                .filter(|j| !fed[*j])
                .flat_map(|j| parts[j].bleeders.iter().map(|b| b.name.as_str()))
                .collect();
            let cut_off = match cut_off.len() {
                0 => String::new(),
                _ => format!(
                    ": no path leads from the master cylinder to bleeder {}",
                    quoted(cut_off)
                ),
            };
            diagnostics.add(
                parts[ring[0]].name.span.clone(),
                format!(
                    "{} start from one another in a ring that no chamber feeds{cut_off}",
                    quoted(names)
                ),
                format!(
                    "let one of them start from a chamber of the master cylinder or a part that leads to it{idle}"
                ),
            );
        }
    }
    fed
}

/// The ring met when going from part to part against the flow, earliest in the file first.
fn ring_from(start: usize, parts: &[RawPart], index: &BTreeMap<&str, usize>) -> Option<Vec<usize>> {
    let mut path = vec![start];
    loop {
        let last = *path.last()?;
        let before = parts[last].from.iter().find_map(|f| index.get(f.name.as_str()))?;
        if let Some(at) = path.iter().position(|i| i == before) {
            let mut ring = path.split_off(at);
            let first = ring.iter().enumerate().min_by_key(|(_, i)| **i)?.0;
            ring.rotate_left(first);
            return Some(ring);
        }
        path.push(*before);
    }
}
