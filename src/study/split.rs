//! A car whose lines are joined to its master cylinder in another way: the diagonal split instead of front and rear, or the
//! other way round.

use super::scheme::WHEELS;
use crate::circuit::Scenario;
use crate::scenario::model::Tables;
use crate::scenario::vehicle_kind::Split;
use std::collections::{BTreeMap, BTreeSet};

/// Wheels, by their places in [`WHEELS`], that hang on the left front wheel's chamber in each split (DIN 74000, from memory).
const WITH_LEFT_FRONT: [(Split, [usize; 2]); 2] = [(Split::II, [0, 1]), (Split::X, [0, 3])];

/// How the four wheels hang on the two chambers; `None` unless each has a line of its own from a chamber on and the split is
/// the diagonal one or front and rear. Where wheels share a line, another split would be other lines, and what they are
/// like nobody has said.
pub fn own(scenario: &Scenario) -> Option<Split> {
    let heads = heads(scenario)?;
    let chamber = |wheel: usize| &scenario.parts[heads[wheel]].from;
    let with: Vec<usize> = (0..WHEELS.len()).filter(|&w| chamber(w) == chamber(0)).collect();
    WITH_LEFT_FRONT.iter().find(|(_, wheels)| with == wheels).map(|(split, _)| *split)
}

/// The scenario with its wheels' lines joined to the chambers as in this split: the left front wheel stays where it is, no
/// line becomes longer or shorter. As it is where [`own`] tells of none, or for a split that shares lines.
pub fn joined(scenario: &Scenario, split: Split) -> Scenario {
    let wheels = WITH_LEFT_FRONT.iter().find(|(of, _)| *of == split).map(|(_, wheels)| wheels);
    let (Some(own), Some(heads), Some(wheels)) = (own(scenario), heads(scenario), wheels) else {
        return scenario.clone();
    };
    if own == split {
        return scenario.clone();
    }
    let join = |t: &mut Tables| {
        let first = t.parts[heads[0]].from.clone();
        let second = t.master_cylinder.chambers.iter().find(|c| !first.contains(c)).cloned();
        for (wheel, &head) in heads.iter().enumerate() {
            let from = if wheels.contains(&wheel) { Some(&first[0]) } else { second.as_ref() };
            t.parts[head].from = from.into_iter().cloned().collect();
        }
        t.vehicle.split = t.vehicle.split.map(|_| split);
    };
    scenario.changed(join).unwrap_or_else(|_| scenario.clone())
}

/// By wheel the part that begins its line at a chamber; `None` if two wheels share one, or one wheel has two.
fn heads(t: &Tables) -> Option<[usize; 4]> {
    let chambers = &t.master_cylinder.chambers;
    if chambers.len() != 2 {
        return None;
    }
    let begins = |i: &usize| t.parts[*i].from.iter().any(|f| chambers.contains(f));
    let heads: Vec<usize> = (0..t.parts.len()).filter(begins).collect();
    if heads.len() != WHEELS.len() || heads.iter().any(|&i| t.parts[i].from.len() != 1) {
        return None;
    }
    let behind = behind(t, &heads);
    let mut found = [None; 4];
    for part in &t.parts {
        let Some(fed) = behind.get(part.name.as_str()) else { continue };
        for bleeder in &part.bleeders {
            let first = bleeder.split_whitespace().next()?;
            let wheel = WHEELS.iter().position(|w| *w == first)?;
            let (1, Some(&head)) = (fed.len(), fed.first()) else { return None };
            if found[wheel].is_some_and(|other| other != head) {
                return None;
            }
            found[wheel] = Some(head);
        }
    }
    let [lf, rf, lr, rr] = found;
    let found = [lf?, rf?, lr?, rr?];
    (BTreeSet::from(found).len() == WHEELS.len()).then_some(found)
}

/// By part which of the heads feed it.
fn behind<'a>(t: &'a Tables, heads: &[usize]) -> BTreeMap<&'a str, BTreeSet<usize>> {
    let name = |i: usize| t.parts[i].name.as_str();
    let mut behind: BTreeMap<&str, BTreeSet<usize>> =
        heads.iter().map(|&i| (name(i), BTreeSet::from([i]))).collect();
    // Parts stand in any order: until nothing is added any more.
    loop {
        let before: usize = behind.values().map(BTreeSet::len).sum();
        for part in &t.parts {
            let joined = part.from.iter().map(|f| (f.as_str(), part.name.as_str()));
            let closed = part.to.iter().map(|to| (part.name.as_str(), to.as_str()));
            for (from, to) in joined.chain(closed) {
                let fed = behind.get(from).cloned().unwrap_or_default();
                if !fed.is_empty() {
                    behind.entry(to).or_default().extend(fed);
                }
            }
        }
        if behind.values().map(BTreeSet::len).sum::<usize>() == before {
            return behind;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::flush;
    use crate::job::options::Options;

    fn shipped(name: &str) -> Scenario {
        let path = format!("{}/scenarios/{name}.toml", env!("CARGO_MANIFEST_DIR"));
        crate::read(&std::fs::read_to_string(path).unwrap(), name).unwrap()
    }

    /// Two files that differ in nothing but the split, written before this was.
    #[test]
    fn one_file_joined_otherwise_is_the_other() {
        let options = Options { estimate_error: false, ..Options::default() };
        let cars = [(Split::X, shipped("splits/x")), (Split::II, shipped("splits/ii"))];
        let ml = |car: &Scenario| flush(car, &options).unwrap().openings;
        let of = |car: &Scenario| ml(car).into_iter().map(|o| (o.bleeder, o.drained_ml));
        for [(split, car), (other, wanted)] in [[&cars[0], &cars[1]], [&cars[1], &cars[0]]] {
            assert_eq!(own(car), Some(*split));
            let joined = joined(car, *other);
            assert_eq!(own(&joined), Some(*other));
            assert_eq!(joined.vehicle.split, Some(*other));
            let apart = of(&joined).zip(of(wanted)).map(|(a, b)| (a.0 == b.0, (a.1 - b.1).abs()));
            let apart: Vec<_> = apart.collect();
            assert!(apart.iter().all(|(same, ml)| *same && *ml < 1e-6), "{apart:?}");
            let before: Vec<_> = of(car).collect();
            assert!(of(&joined).zip(before).any(|(a, b)| (a.1 - b.1).abs() > 0.1), "{split:?}");
        }
    }

    #[test]
    fn where_wheels_share_lines_there_is_nothing_to_join_otherwise() {
        for name in
            ["splits/hi", "splits/hh", "splits/ll", "estate-front-rear-split", "motorcycle-front"]
        {
            let car = shipped(name);
            assert_eq!(own(&car), None, "{name}");
            assert_eq!(joined(&car, Split::X).parts, car.parts, "{name}");
        }
        let hatchback = shipped("compact-hatchback");
        assert_eq!(joined(&hatchback, Split::HH).parts, hatchback.parts);
    }
}
