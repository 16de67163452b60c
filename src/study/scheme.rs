//! Which wheel hangs on which chamber of the master cylinder, as far as names of bleeders tell the wheels.

use crate::circuit::{Circuit, reach};
use crate::keys::Role;

/// The wheels as bleeders are named after them: left front, right front, left rear, right rear.
pub const WHEELS: [&str; 4] = ["LF", "RF", "LR", "RR"];

/// A bleeder of a wheel and the chambers that feed it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Hang {
    /// Which of [`WHEELS`].
    pub wheel: usize,
    /// The chambers through which fluid can run to it, by their places from 0.
    pub chambers: Vec<usize>,
}

/// Every bleeder, in the order of the file; `None` if one is named after no wheel.
pub fn hangs(circuit: &Circuit) -> Option<Vec<Hang>> {
    let masters: Vec<usize> = (circuit.nodes.iter().enumerate())
        .filter(|(_, n)| n.role == Role::MasterCylinder)
        .map(|(i, _)| i)
        .collect();
    let of = |i: usize| {
        let name = circuit.bleeders[i].name.split_whitespace().next()?;
        let wheel = WHEELS.iter().position(|w| *w == name)?;
        let mut alone = circuit.clone();
        alone.bleeders = vec![circuit.bleeders[i].clone()];
        let (nodes, _) = reach::reached(&alone);
        let chambers = (0..masters.len()).filter(|&m| nodes[masters[m]]).collect();
        Some(Hang { wheel, chambers })
    };
    (0..circuit.bleeders.len()).map(of).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The splits as DIN 74000 names them (from memory): what hangs on the first chamber, and on the second.
    #[test]
    fn the_five_splits_are_told_by_their_graph() {
        for (split, text, circuits) in [
            ("ii", include_str!("../../scenarios/splits/ii.toml"), ["LF RF", "LR RR"]),
            ("x", include_str!("../../scenarios/splits/x.toml"), ["LF RR", "RF LR"]),
            ("hi", include_str!("../../scenarios/splits/hi.toml"), ["LF RF LR RR", "LF RF"]),
            ("ll", include_str!("../../scenarios/splits/ll.toml"), ["LF RF LR", "LF RF RR"]),
            ("hh", include_str!("../../scenarios/splits/hh.toml"), ["LF RF LR RR", "LF RF LR RR"]),
        ] {
            let car = crate::read(text, split).expect("a car");
            let hangs = hangs(car.circuit()).expect("wheels");
            let mut on: Vec<Vec<usize>> = (0..2)
                .map(|c| {
                    let of = hangs.iter().filter(|h| h.chambers == [c]).map(|h| h.wheel);
                    of.collect::<Vec<_>>()
                })
                .collect();
            on.iter_mut().for_each(|w| w.sort_unstable());
            let mut wanted: Vec<Vec<usize>> = circuits
                .map(|names| {
                    let place = |n: &str| WHEELS.iter().position(|w| *w == n).expect("a wheel");
                    let mut all: Vec<usize> = names.split(' ').map(place).collect();
                    all.sort_unstable();
                    all
                })
                .to_vec();
            // Which of the chambers is called the first is the file's own affair.
            on.sort();
            wanted.sort();
            assert_eq!(on, wanted, "{split}");
        }
    }

    #[test]
    fn a_motorcycle_has_no_such_wheels() {
        let text = include_str!("../../scenarios/motorcycle-front.toml");
        let car = crate::read(text, "motorcycle").expect("a motorcycle");
        assert_eq!(hangs(car.circuit()), None);
    }
}
