//! The orders that are tried.

use crate::scenario::procedure::{Action, Procedure};

/// As many groups of bleeders are tried in every order.
pub(super) const MOST_PERMUTED: usize = 4;

/// What is opened together: each bleeder alone that the procedure ever opens alone, others in the smallest
/// company in which it opens them; in the order in which the procedure first names them.
pub(super) fn groups(procedure: &Procedure) -> Vec<Vec<String>> {
    let openings = || {
        procedure.steps.iter().filter_map(|s| match &s.action {
            Action::Open { bleeders, .. } => Some(bleeders),
            _ => None,
        })
    };
    let mut sorted: Vec<&Vec<String>> = openings().collect();
    sorted.sort_by_key(|b| b.len());
    let mut groups: Vec<Vec<String>> = Vec::new();
    for bleeders in sorted {
        let known = |b: &&String| groups.iter().flatten().any(|k| k == *b);
        let new: Vec<String> = bleeders.iter().filter(|b| !known(b)).cloned().collect();
        if !new.is_empty() {
            groups.push(new);
        }
    }
    let named: Vec<&String> = openings().flatten().collect();
    groups.sort_by_key(|g| named.iter().position(|n| g.contains(*n)));
    groups
}

/// Orders of this many groups, the procedure's own first: all of them up to [`MOST_PERMUTED`] groups; above
/// that the own one, far first and near first (`far` holds the groups, farthest first), and each of these
/// with two neighbours changed about.
pub(super) fn sequences(groups: usize, far: &[usize]) -> Vec<Vec<usize>> {
    let own: Vec<usize> = (0..groups).collect();
    let mut found = Vec::new();
    if groups <= MOST_PERMUTED {
        permute(&mut found, &mut Vec::new(), groups);
        return found;
    }
    let near: Vec<usize> = far.iter().rev().copied().collect();
    let bases = [own, far.to_vec(), near];
    let mut add = |order: Vec<usize>| {
        if !found.contains(&order) {
            found.push(order);
        }
    };
    bases.iter().for_each(|b| add(b.clone()));
    for base in &bases {
        for k in 1..groups {
            let mut swapped = base.clone();
            swapped.swap(k - 1, k);
            add(swapped);
        }
    }
    found
}

fn permute(found: &mut Vec<Vec<usize>>, begun: &mut Vec<usize>, groups: usize) {
    if begun.len() == groups {
        found.push(begun.clone());
        return;
    }
    for g in 0..groups {
        if !begun.contains(&g) {
            begun.push(g);
            permute(found, begun, groups);
            begun.pop();
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::keys::Place;
    use crate::scenario::procedure::{Step, StopRule};

    #[test]
    fn four_groups_have_every_order_and_eight_a_chosen_few() {
        let all = sequences(4, &[3, 2, 1, 0]);
        assert_eq!((all.len(), all[0].clone()), (24, vec![0, 1, 2, 3]));
        let far: Vec<usize> = vec![2, 0, 1, 4, 3, 5, 7, 6];
        let some = sequences(8, &far);
        assert_eq!(some.len(), 3 * 8);
        assert_eq!(some[1], far);
        assert!(some.iter().all(|o| (0..8).all(|g| o.contains(&g))));
    }

    #[test]
    fn who_is_ever_opened_alone_is_alone() {
        let open = |names: &[&str]| Step {
            line: Place::Nowhere,
            action: Action::Open {
                bleeders: names.iter().map(|n| (*n).to_owned()).collect(),
                until: StopRule::default(),
            },
        };
        let steps = vec![open(&["A", "B", "C"]), open(&["B"]), open(&["D", "A"])];
        let p = Procedure { steps, ..Procedure::default() };
        assert_eq!(
            groups(&p),
            [vec!["D", "A"], vec!["B"], vec!["C"]]
                .map(|g| g.iter().map(|s| (*s).to_string()).collect::<Vec<_>>())
        );
    }
}
