//! Whether the parts join up: names, references, rings, open ends, bleeders nobody reaches.

use std::collections::BTreeMap;

use super::mistake::Diagnostics;
use super::parts::RawPart;
use super::sections::Named;
use super::suggest;
use crate::keys::Ends;

/// What a name stands for.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Owner {
    Chamber,
    Part(usize),
    Bleeder(usize),
}

impl Owner {
    fn word(self) -> &'static str {
        match self {
            Owner::Chamber => "a chamber of the master cylinder",
            Owner::Part(_) => "a part",
            Owner::Bleeder(_) => "a bleeder",
        }
    }
}

/// Checks names and joints of the whole circuit.
pub(crate) fn check(diagnostics: &mut Diagnostics<'_>, chambers: &[Named], parts: &[RawPart]) {
    let owners = check_names(diagnostics, chambers, parts);
    if parts.is_empty() {
        return;
    }
    check_references(diagnostics, &owners, chambers, parts);
    check_open_ends(diagnostics, parts);
    check_reach(diagnostics, chambers, parts);
    if parts.iter().all(|p| p.bleeders.is_empty()) && parts.iter().all(|p| !p.spec.bleeds) {
        diagnostics.add(
            parts[0].name.span.clone(),
            "no part of the circuit has a bleeder",
            "add a caliper or a wheel cylinder at the end of each line",
        );
    }
}

/// Every name once among chambers, parts and bleeders; a bleeder may bear its own part's name.
fn check_names<'p>(
    diagnostics: &mut Diagnostics<'_>,
    chambers: &'p [Named],
    parts: &'p [RawPart],
) -> BTreeMap<&'p str, Owner> {
    let mut owners: BTreeMap<&str, Owner> = BTreeMap::new();
    let mut take = |name: &'p Named, owner: Owner| match owners.get(name.name.as_str()) {
        Some(other) => {
            diagnostics.add(
                name.span.clone(),
                format!("`{}` is already the name of {}", name.name, other.word()),
                "give each part, chamber and bleeder a name of its own",
            );
        }
        None => {
            owners.insert(&name.name, owner);
        }
    };
    for c in chambers {
        take(c, Owner::Chamber);
    }
    for (i, p) in parts.iter().enumerate() {
        take(&p.name, Owner::Part(i));
    }
    for (i, p) in parts.iter().enumerate() {
        for b in p.bleeders.iter().filter(|b| b.name != p.name.name) {
            take(b, Owner::Bleeder(i));
        }
    }
    owners
}

fn check_references(
    diagnostics: &mut Diagnostics<'_>,
    owners: &BTreeMap<&str, Owner>,
    chambers: &[Named],
    parts: &[RawPart],
) {
    let starts: Vec<&str> = chambers
        .iter()
        .map(|c| c.name.as_str())
        .chain(parts.iter().map(|p| p.name.name.as_str()))
        .collect();
    for p in parts {
        let own = p.name.name.as_str();
        if p.spec.ends == Ends::Through && p.from.len() > 1 {
            diagnostics.add(
                p.from[1].span.clone(),
                format!("a {} has one inlet, but `{own}` names {}", p.spec.name, p.from.len()),
                "join them with a tee and start from that",
            );
        }
        for from in &p.from {
            if from.name == own {
                diagnostics.add(
                    from.span.clone(),
                    format!("part `{own}` is joined to itself"),
                    "name the part before it on the way from the master cylinder",
                );
                continue;
            }
            match owners.get(from.name.as_str()) {
                Some(Owner::Chamber | Owner::Part(_)) => {}
                Some(Owner::Bleeder(i)) => diagnostics.add(
                    from.span.clone(),
                    format!("`{}` is a bleeder; nothing can start from it", from.name),
                    format!("start from its part `{}`", parts[*i].name.name),
                ),
                None if matches!(
                    from.name.as_str(),
                    "reservoir" | "master cylinder" | "master_cylinder"
                ) =>
                {
                    let names: Vec<_> = chambers.iter().map(|c| format!("`{}`", c.name)).collect();
                    diagnostics.add(
                        from.span.clone(),
                        format!("part `{own}` can't start from `{}`", from.name),
                        format!(
                            "start from a chamber of the master cylinder: {}",
                            names.join(", ")
                        ),
                    );
                }
                None => diagnostics.add(
                    from.span.clone(),
                    format!("there is no part or chamber `{}`", from.name),
                    suggest::remedy(
                        &from.name,
                        starts.iter().copied().filter(|s| *s != own),
                        "parts and chambers",
                    ),
                ),
            }
        }
        check_to(diagnostics, owners, parts, p);
    }
}

fn check_to(
    diagnostics: &mut Diagnostics<'_>,
    owners: &BTreeMap<&str, Owner>,
    parts: &[RawPart],
    p: &RawPart,
) {
    let Some(to) = &p.to else { return };
    let own = p.name.name.as_str();
    let nodes = || parts.iter().filter(|q| q.spec.ends == Ends::Node).map(|q| q.name.name.as_str());
    if to.name == own {
        diagnostics.add(
            to.span.clone(),
            format!("part `{own}` is joined to itself"),
            "let `to` name the tee or chamber it runs into",
        );
    } else if p.from.iter().any(|f| f.name == to.name) {
        diagnostics.add(
            to.span.clone(),
            format!("part `{own}` runs from `{0}` back to `{0}`", to.name),
            "let `to` name another tee or chamber",
        );
    } else {
        match owners.get(to.name.as_str()) {
            Some(Owner::Part(i)) if parts[*i].spec.ends == Ends::Node => {}
            Some(Owner::Part(i)) => diagnostics.add(
                to.span.clone(),
                format!("`to` can't be `{}`, which is a {}", to.name, parts[*i].spec.name),
                "let `to` name a tee or a chamber; put a tee where they meet",
            ),
            Some(other) => diagnostics.add(
                to.span.clone(),
                format!("`to` can't be `{}`, which is {}", to.name, other.word()),
                suggest::remedy(&to.name, nodes(), "it may be"),
            ),
            None => diagnostics.add(
                to.span.clone(),
                format!("there is no part `{}`", to.name),
                suggest::remedy(&to.name, nodes(), "`to` may be"),
            ),
        }
    }
}

/// A line has one part at its far end: none would leak, two need a tee.
fn check_open_ends(diagnostics: &mut Diagnostics<'_>, parts: &[RawPart]) {
    let mut followers: BTreeMap<&str, Vec<&Named>> = BTreeMap::new();
    for p in parts {
        for f in p.from.iter().filter(|f| f.name != p.name.name) {
            followers.entry(&f.name).or_default().push(f);
        }
    }
    for p in parts.iter().filter(|p| p.spec.ends == Ends::Through) {
        let name = p.name.name.as_str();
        let after = followers.get(name).map_or(&[][..], Vec::as_slice);
        match (after, &p.to) {
            ([], None) => diagnostics.add(
                p.name.span.clone(),
                format!("nothing starts from `{name}`: its far end is open"),
                format!("add the part it leads to, with `from = \"{name}\"`"),
            ),
            ([one], Some(to)) => diagnostics.add(
                one.span.clone(),
                format!(
                    "`{name}` already runs into `{}`, so nothing else can start from it",
                    to.name
                ),
                format!("start from `{}`", to.name),
            ),
            ([_, second, ..], _) => diagnostics.add(
                second.span.clone(),
                format!("two parts start from `{name}`, but a {} has one far end", p.spec.name),
                format!("put a tee with `from = \"{name}\"` there and let both start from the tee"),
            ),
            _ => {}
        }
    }
}

/// Every part must be fed from a chamber; what is not is a ring, or hangs on one.
fn check_reach(diagnostics: &mut Diagnostics<'_>, chambers: &[Named], parts: &[RawPart]) {
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
    let mut told = vec![false; parts.len()];
    for i in (0..parts.len()).filter(|i| !fed[*i]) {
        if let Some(ring) = ring_from(i, parts, &index)
            && !ring.iter().any(|j| told[*j])
        {
            ring.iter().for_each(|j| told[*j] = true);
            let names: Vec<_> = ring.iter().map(|j| format!("`{}`", parts[*j].name.name)).collect();
            diagnostics.add(
                parts[ring[0]].name.span.clone(),
                format!("{} start from one another in a ring that no chamber feeds", names.join(", ")),
                "let one of them start from a chamber of the master cylinder or a part that leads to it",
            );
        }
        for b in &parts[i].bleeders {
            diagnostics.add(
                b.span.clone(),
                format!("no path leads from the master cylinder to bleeder `{}`", b.name),
                "join its part, through `from`, to a chamber of the master cylinder",
            );
        }
    }
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
