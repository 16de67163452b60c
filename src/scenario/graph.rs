//! Whether the parts join up: names, references, open ends, bleeders nobody reaches.

use std::collections::{BTreeMap, BTreeSet};

use super::mistake::Diagnostics;
use super::parts::RawPart;
use super::rings;
use super::sections::Named;
use super::starts::Found;
use super::suggest;
use crate::keys::Ends;

/// What a name stands for.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Owner {
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

/// Checks names and joints of the whole circuit; false if a name is taken twice or the part at the end of a line is
/// missing, so that what else names parts can't be judged.
pub(crate) fn check(
    diagnostics: &mut Diagnostics<'_>,
    chambers: &[Named],
    parts: &[RawPart],
    templates: &[&str],
) -> bool {
    let Some(owners) = check_names(diagnostics, chambers, parts) else { return false };
    if parts.is_empty() {
        return true;
    }
    let found = Found { owners: &owners, chambers, parts, templates };
    check_references(diagnostics, &found);
    let fed = rings::check(diagnostics, chambers, parts);
    let closed = check_open_ends(diagnostics, &owners, parts, &fed);
    if parts.iter().all(|p| p.bleeders.is_empty()) && parts.iter().all(|p| !p.spec.bleeds) {
        diagnostics.add(
            parts[0].name.span.clone(),
            "no part of the circuit has a bleeder",
            "add a caliper or a wheel cylinder at the end of each line",
        );
    }
    closed
}

/// Every name once among chambers, parts and bleeders; a bleeder may bear its own part's name. `None` if some name is
/// taken twice: what refers to the one would be taken to mean the other.
fn check_names<'p>(
    diagnostics: &mut Diagnostics<'_>,
    chambers: &'p [Named],
    parts: &'p [RawPart],
) -> Option<BTreeMap<&'p str, Owner>> {
    let mut owners: BTreeMap<&str, Owner> = BTreeMap::new();
    let mut places: BTreeMap<&str, usize> = BTreeMap::new();
    let mut once = true;
    let mut take = |name: &'p Named, owner: Owner| match owners.get(name.name.as_str()) {
        Some(other) => {
            once = false;
            let at = diagnostics.line(places.get(name.name.as_str()).copied().unwrap_or_default());
            diagnostics.add(
                name.span.clone(),
                format!("`{}` is already the name of {} ({at})", name.name, other.word()),
                "give one of the two another name, and write that wherever it is meant",
            );
        }
        None => {
            owners.insert(&name.name, owner);
            places.insert(&name.name, name.span.start);
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
    once.then_some(owners)
}

fn check_references(diagnostics: &mut Diagnostics<'_>, found: &Found<'_>) {
    let Found { owners, chambers, parts, .. } = *found;
    if chambers_unnamed(diagnostics, found) {
        return;
    }
    // Names that are not there, each told where it first stands.
    let mut told = BTreeSet::new();
    for p in parts {
        let own = p.name.name.as_str();
        if p.spec.ends == Ends::Through && p.from.len() > 1 {
            diagnostics.add(
                p.from[1].span.clone(),
                format!("a {} has one inlet, but `{own}` names {}", p.spec.name, p.from.len()),
                "name the one that the fluid comes from; where two meet, put a tee and start from that",
            );
            continue;
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
                // Told where that part itself starts.
                Some(Owner::Part(i))
                    if straight(parts, p, Owner::Part(*i))
                        && tube_by_name(&parts[*i]).is_some()
                        && starts_straight(owners, parts, &parts[*i]) => {}
                Some(owner) if straight(parts, p, *owner) => {
                    let before = match owner {
                        Owner::Part(i) => Some(&parts[*i]),
                        _ => None,
                    };
                    let misnamed =
                        before.into_iter().chain([p]).find_map(|q| Some((q, tube_by_name(q)?)));
                    if let Some((q, tube)) = misnamed {
                        let (name, kind) = (&q.name.name, q.spec.name);
                        let at = diagnostics.line(q.name.span.start);
                        diagnostics.add(
                            from.span.clone(),
                            format!("no line or hose stands between `{own}` and `{}`", from.name),
                            format!("should `{name}` ({at}), a {kind}, be of kind \"{tube}\"?"),
                        );
                        continue;
                    }
                    let starts = found.starts(p);
                    let free = starts.iter().map(|s| format!("`{}`", s.name)).collect::<Vec<_>>();
                    let free = if free.is_empty() || free.len() > 4 {
                        String::new()
                    } else {
                        format!("; nothing starts from {} so far", free.join(", "))
                    };
                    diagnostics.add(
                        from.span.clone(),
                        format!(
                            "`{own}` starts straight from `{}`, with no line or hose between them",
                            from.name
                        ),
                        format!(
                            "name the line or hose that leads from `{}` to it{free}",
                            from.name
                        ),
                    );
                }
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
                None if !told.insert(from.name.as_str()) => {}
                None => {
                    let wrong = found.no_start(diagnostics, p, from);
                    diagnostics.add_wrong(from.span.clone(), wrong);
                }
            }
        }
        check_to(diagnostics, owners, parts, p);
    }
}

/// Tells where no part starts from a chamber and some start from what is not there; true if so.
fn chambers_unnamed(diagnostics: &mut Diagnostics<'_>, found: &Found<'_>) -> bool {
    let Found { owners, chambers, parts, .. } = *found;
    let starts = || parts.iter().flat_map(|p| &p.from);
    let owner = |from: &Named| owners.get(from.name.as_str()).copied();
    let unknown: Vec<&Named> = starts().filter(|f| owner(f).is_none()).collect();
    let fed = starts().any(|f| owner(f) == Some(Owner::Chamber));
    let (Some(first), Some(chamber)) = (unknown.first(), chambers.first()) else { return false };
    if fed {
        return false;
    }
    let mut names: Vec<&str> = unknown.iter().map(|f| f.name.as_str()).collect();
    names.sort_unstable();
    names.dedup();
    let at = diagnostics.line(first.span.start);
    let own: Vec<&str> = chambers.iter().map(|c| c.name.as_str()).collect();
    diagnostics.add(
        chamber.span.clone(),
        format!(
            "no part starts from {}, and {}, which parts start from (first on {at}), is not there",
            suggest::either(&own),
            suggest::either(&names)
        ),
        "give the chambers the names that the parts start from, or let the parts start from these",
    );
    true
}

/// What a part that is neither line nor hose is by its name, if that is one of the two.
fn tube_by_name(p: &RawPart) -> Option<&'static str> {
    let name = p.name.name.to_lowercase();
    let mut words = name.split_whitespace();
    let tube = words.find_map(|w| ["line", "hose"].into_iter().find(|tube| w == *tube));
    tube.filter(|_| p.spec.ends == Ends::Node)
}

/// Whether a part starts straight from another that is no line, hose or valve either.
fn starts_straight(owners: &BTreeMap<&str, Owner>, parts: &[RawPart], p: &RawPart) -> bool {
    let owner = |from: &Named| owners.get(from.name.as_str()).copied();
    p.from.iter().filter_map(owner).any(|owner| straight(parts, p, owner))
}

/// Whether a part is no line, hose or valve, and what it starts from is none either.
fn straight(parts: &[RawPart], p: &RawPart, from: Owner) -> bool {
    let before_is_node = match from {
        Owner::Chamber => true,
        Owner::Part(i) => parts[i].spec.ends == Ends::Node,
        Owner::Bleeder(_) => false,
    };
    p.spec.ends == Ends::Node && before_is_node
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
///
/// Where a part starts from the wrong place, the line it should start from has nothing at its far end: as long as no more
/// ends are open than starts are wrong, only the starts are told.
fn check_open_ends(
    diagnostics: &mut Diagnostics<'_>,
    owners: &BTreeMap<&str, Owner>,
    parts: &[RawPart],
    fed: &[bool],
) -> bool {
    let mut followers: BTreeMap<&str, Vec<&Named>> = BTreeMap::new();
    let mut astray = 0;
    for p in parts {
        for f in &p.from {
            let owner = owners.get(f.name.as_str()).filter(|o| !matches!(o, Owner::Bleeder(_)));
            if owner.is_some_and(|o| !straight(parts, p, *o)) && f.name != p.name.name {
                followers.entry(&f.name).or_default().push(f);
            } else {
                astray += 1;
            }
        }
        let to = p.to.as_ref().map(|to| owners.get(to.name.as_str()));
        astray += usize::from(to.is_some_and(|to| !matches!(to, Some(Owner::Part(_)))));
    }
    let through = || parts.iter().filter(|p| p.spec.ends == Ends::Through);
    let after = |p: &RawPart| followers.get(p.name.name.as_str()).map_or(&[][..], Vec::as_slice);
    let open: Vec<&RawPart> = through().filter(|p| after(p).is_empty() && p.to.is_none()).collect();
    let forked = |p: &RawPart| after(p).len() + usize::from(p.to.is_some()) > 1;
    astray += through().filter(|p| forked(p)).count();
    // Something in a ring should start from elsewhere.
    astray += usize::from(fed.contains(&false));
    // Of a ring, that it is one is told.
    let fed = parts.iter().zip(fed).filter(|(_, fed)| **fed).map(|(p, _)| p);
    for p in fed.filter(|p| p.spec.ends == Ends::Through && forked(p)) {
        let name = p.name.name.as_str();
        let meant: Vec<String> = open.iter().map(|o| format!("`{}`", o.name.name)).collect();
        let meant = match meant.as_slice() {
            [] => String::new(),
            all => format!(
                "; or did one of them mean {}, which nothing starts from?",
                all.join(" or ")
            ),
        };
        match (after(p), &p.to) {
            ([one], Some(to)) => diagnostics.add(
                one.span.clone(),
                format!(
                    "`{name}` already runs into `{}`, so nothing else can start from it",
                    to.name
                ),
                format!("start from `{}`{meant}", to.name),
            ),
            ([_, second, ..], _) => diagnostics.add(
                second.span.clone(),
                format!("two parts start from `{name}`, but a {} has one far end", p.spec.name),
                format!(
                    "put a tee with `from = \"{name}\"` there and let both start from the tee{meant}"
                ),
            ),
            _ => {}
        }
    }
    if open.len() <= astray {
        return true;
    }
    for p in &open {
        let name = p.name.name.as_str();
        diagnostics.add(
            p.name.span.clone(),
            format!("nothing starts from `{name}`: its far end is open"),
            format!("add the part it leads to, with `from = \"{name}\"`"),
        );
    }
    false
}
