//! Where a part lies on the vehicle seen from above, as the names of the brakes say, and what a line leads to.

use super::{Circuit, Link};
use crate::keys::Role;
use serde::{Serialize, Serializer};

/// An end of the vehicle.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum End {
    /// Where it drives to.
    Front,
    /// The other.
    Rear,
}

/// A side of the vehicle, as seen from its seats.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Side {
    /// The left one.
    Left,
    /// The right one.
    Right,
}

/// Where something lies, as far as that is known: a corner, an axle, a side, or nothing of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Place {
    /// Which axle.
    pub end: Option<End>,
    /// Which side.
    pub side: Option<Side>,
}

impl Place {
    /// What the name of a brake says: a wheel (`LF`, or `FL` as others write it), or words of it (`left`, `rear`, `R`).
    ///
    /// ```
    /// use farwheel::circuit::place::Place;
    /// assert_eq!(Place::of_name("RR inner").words(), Some("right rear"));
    /// assert_eq!(Place::of_name("rear caliper, left").words(), Some("left rear"));
    /// assert_eq!(Place::of_name("clutch").words(), None);
    /// ```
    pub fn of_name(name: &str) -> Self {
        let (front, rear) = (Some(End::Front), Some(End::Rear));
        let (left, right) = (Some(Side::Left), Some(Side::Right));
        let mut place = Self::default();
        for word in name.split(|c: char| !c.is_alphanumeric()).filter(|w| !w.is_empty()) {
            let (end, side) = match word {
                "LF" | "FL" => (front, left),
                "RF" | "FR" => (front, right),
                "LR" | "RL" => (rear, left),
                "RR" => (rear, right),
                "L" => (None, left),
                "R" => (None, right),
                word if word.eq_ignore_ascii_case("left") => (None, left),
                word if word.eq_ignore_ascii_case("right") => (None, right),
                word if word.eq_ignore_ascii_case("front") => (front, None),
                word if word.eq_ignore_ascii_case("rear") => (rear, None),
                _ => continue,
            };
            place = Self { end: place.end.or(end), side: place.side.or(side) };
        }
        place
    }

    /// The place in words; `None` if nothing of it is known.
    pub fn words(self) -> Option<&'static str> {
        Some(match (self.side, self.end) {
            (Some(Side::Left), Some(End::Front)) => "left front",
            (Some(Side::Right), Some(End::Front)) => "right front",
            (Some(Side::Left), Some(End::Rear)) => "left rear",
            (Some(Side::Right), Some(End::Rear)) => "right rear",
            (None, Some(End::Front)) => "front",
            (None, Some(End::Rear)) => "rear",
            (Some(Side::Left), None) => "left",
            (Some(Side::Right), None) => "right",
            (None, None) => return None,
        })
    }

    /// What both have in common.
    pub fn shared(self, other: Self) -> Self {
        Self {
            end: self.end.filter(|e| other.end == Some(*e)),
            side: self.side.filter(|s| other.side == Some(*s)),
        }
    }
}

impl Serialize for Place {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        self.words().serialize(s)
    }
}

/// What fluid in a part goes on to.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Serves {
    /// Where all the brakes lie that it leads to.
    pub place: Place,
    /// The brake (or slave cylinder) that it leads to, if it is one alone.
    pub only: Option<String>,
    /// Whether it leads to a clutch alone.
    pub clutch: bool,
}

/// What each node and each link of a circuit leads to: a part with a bleeder to itself, all else to the bleeders
/// whose paths pass it.
pub fn serves(circuit: &Circuit) -> (Vec<Serves>, Vec<Serves>) {
    let ends: Vec<(String, Place, bool)> = circuit
        .bleeders
        .iter()
        .map(|b| {
            let node = &circuit.nodes[b.node];
            let place = Place::of_name(&node.part);
            let place = if place == Place::default() { Place::of_name(&b.name) } else { place };
            (node.part.clone(), place, node.role == Role::ClutchSlave)
        })
        .collect();
    let of = |passes: &dyn Fn(usize) -> bool| {
        let mut all = (0..ends.len()).filter(|b| passes(*b)).map(|b| &ends[b]);
        let Some((part, place, clutch)) = all.next() else { return Serves::default() };
        let first = Serves { place: *place, only: Some(part.clone()), clutch: *clutch };
        all.fold(first, |s, (part, place, clutch)| Serves {
            place: s.place.shared(*place),
            only: s.only.filter(|only| only == part),
            clutch: s.clutch && *clutch,
        })
    };
    let path = |b: usize| circuit.bleeders[b].path.iter().map(|l| &circuit.links[*l]);
    let links =
        (0..circuit.links.len()).map(|i| of(&|b| circuit.bleeders[b].path.contains(&i))).collect();
    let nodes = (0..circuit.nodes.len())
        .map(|i| {
            let on = |l: &Link| l.from == i || l.to == i;
            of(&|b| {
                circuit.nodes[circuit.bleeders[b].node].part == circuit.nodes[i].part
                    || path(b).any(on)
            })
        })
        .collect();
    (nodes, links)
}
