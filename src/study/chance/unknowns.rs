//! The uncertain quantities of a scenario.

use super::defaults::by_default;
use super::draws::column;
use super::places::{At, Place, every, section};
use super::shape::value_at;
use crate::scenario::bounds::Bound;
use crate::scenario::model::Scenario;
use crate::scenario::quantity::{Quantity, Spread};
use serde::Serialize;

/// What a study says that has nothing to draw.
pub(crate) const NOTHING_UNCERTAIN: &str = "nothing in the scenario is uncertain, all of it is declared exact (± 0): give a quantity a spread, as in \"5 m ± 5 %\"";

/// A quantity with a spread, or several that are one and the same unknown.
#[derive(Debug, Clone, PartialEq)]
pub struct Unknown {
    /// What it is called, for instance `length of line RR` or `bore of every line`. Draws are keyed by
    /// this name.
    pub name: String,
    /// Value and spread.
    pub quantity: Quantity,
    /// Whose the spread is.
    pub whose: Whose,
    /// Its bounds.
    pub bound: &'static Bound,
    /// No draw is larger, SI.
    most: f64,
    places: Vec<Place>,
}

/// Whose a spread is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Whose {
    /// The scenario states it.
    Stated,
    /// The program's own: of a value without one, or part of a value by default.
    Default,
}

/// Whose the spreads of a study are.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Spreads {
    /// All stated by the scenario.
    Stated,
    /// Some stated, the rest the program's own.
    Both,
    /// All the program's own.
    Default,
}

/// A scenario with all that is uncertain about it.
#[derive(Debug, Clone, PartialEq)]
pub struct Uncertain {
    /// What is drawn.
    pub unknowns: Vec<Unknown>,
    /// What the scenario declares exact, named as unknowns are.
    pub known: Vec<String>,
    scenario: Scenario,
}

impl Unknown {
    /// The value that the draw `u`, between 0 and 1, gives it (SI). What the reservoir holds is cut off at
    /// the brim, as every distribution is at its bounds.
    pub fn value_at(&self, u: f64) -> f64 {
        value_at(&self.quantity, (self.bound.min, self.most.min(self.bound.max)), u)
    }

    /// Puts a value (SI) in its place, or places; it is then not drawn again.
    fn set(&self, scenario: &mut Scenario, value: f64) {
        for place in &self.places {
            place.put(scenario, Quantity::known(value));
        }
    }
}

impl Uncertain {
    /// Every quantity that carries a spread, stated or by default ([`DEFAULT_SPREADS`](super::defaults::DEFAULT_SPREADS)), and has a
    /// part in the job pushed by `supply`, or else by the one that the procedure names; in the order of the
    /// file's tables, the steps last.
    ///
    /// A stated spread stands for itself alone: what has none keeps its value as the middle and gets that by
    /// default. The same key of several parts of one kind is one unknown where value and spread are the same
    /// (tube from one coil, calipers of one make), and so is the eye's threshold, in `[clear_hose]` and in
    /// stop rules; quantities that differ are drawn each for itself.
    pub fn new(scenario: &Scenario, supply: Option<&str>) -> Self {
        let supply = scenario.supply(supply).ok().map(|s| s.name.as_str());
        let mut filled = scenario.clone();
        let mut found: Vec<Unknown> = Vec::new();
        for (place, written, bound) in every(scenario, supply) {
            let spread = written.spread.or_else(|| by_default(scenario, place, written.value));
            if spread.is_none() {
                continue;
            }
            let quantity = Quantity { spread, ..written };
            place.put(&mut filled, quantity);
            let stated = written.spread.is_some() && !place.is_unwritten(scenario);
            let whose = if stated { Whose::Stated } else { Whose::Default };
            let alike = |u: &&mut Unknown| {
                u.alike(quantity) && u.places.iter().any(|p| same_unknown(scenario, *p, place))
            };
            match found.iter_mut().find(alike) {
                Some(unknown) => {
                    unknown.places.push(place);
                    if stated {
                        unknown.whose = whose;
                    }
                }
                None => found.push(Unknown {
                    name: String::new(),
                    quantity,
                    whose,
                    bound,
                    most: f64::INFINITY,
                    places: vec![place],
                }),
            }
        }
        for unknown in &mut found {
            unknown.name = name(scenario, unknown);
            if let Some(brim) = scenario.reservoir.find_si("brim")
                && unknown.places.iter().all(|p| p.is_level())
            {
                unknown.most = brim;
            }
        }
        let (known, unknowns): (Vec<_>, Vec<_>) = found.into_iter().partition(Unknown::is_exact);
        Self { unknowns, known: known.into_iter().map(|k| k.name).collect(), scenario: filled }
    }

    /// Whose the spreads are.
    pub fn spreads(&self) -> Spreads {
        let any = |whose: Whose| self.unknowns.iter().any(|u| u.whose == whose);
        match (any(Whose::Stated), any(Whose::Default)) {
            (_, false) => Spreads::Stated,
            (true, true) => Spreads::Both,
            (false, true) => Spreads::Default,
        }
    }

    /// `n` draws of each unknown, keyed by the name of the set and its own ([`column()`]).
    pub fn columns(&self, set: &str, seed: u64, n: usize) -> Vec<Vec<f64>> {
        let column = |u: &Unknown| column(seed, &format!("{set} {}", u.name), n);
        self.unknowns.iter().map(column).collect()
    }

    /// The scenario with each unknown at the draw, between 0 and 1, that `at` gives by its index.
    ///
    /// Where the brim itself is drawn below what the reservoir is drawn to hold, it holds as much as the drawn
    /// brim lets it: nothing is overfilled.
    pub fn draw(&self, at: impl Fn(usize) -> f64) -> Scenario {
        let mut drawn = self.scenario.clone();
        for (k, unknown) in self.unknowns.iter().enumerate() {
            unknown.set(&mut drawn, unknown.value_at(at(k)));
        }
        let Some(brim) = drawn.reservoir.find_si("brim") else { return drawn };
        for (place, held, _) in every(&drawn, None) {
            if place.is_level() && held.value > brim {
                place.put(&mut drawn, Quantity::known(brim));
            }
        }
        drawn
    }
}

impl Unknown {
    fn is_exact(&self) -> bool {
        self.quantity.spread == Some(Spread::Exact)
    }

    /// Whether a quantity may be the same unknown: alike in value and spread. What is exact is told together
    /// whatever its value: nothing of it is drawn.
    fn alike(&self, quantity: Quantity) -> bool {
        self.quantity == quantity || self.is_exact() && quantity.spread == Some(Spread::Exact)
    }
}

/// Whether two places of equal value and spread are one unknown: the same key of parts of one kind, the eye, or
/// a mark of the reservoir and the step that fills or empties it to there.
fn same_unknown(scenario: &Scenario, a: Place, b: Place) -> bool {
    match (a, b) {
        (Place::Section(At::Part(i), k), Place::Section(At::Part(j), l)) => {
            k == l && scenario.parts[i].kind == scenario.parts[j].kind
        }
        (mark, Place::Step(..)) if mark.is_mark() => b.is_level(),
        _ => a.is_the_eye() && b.is_the_eye(),
    }
}

fn name(scenario: &Scenario, unknown: &Unknown) -> String {
    let spoken = |key: &str| key.replace('_', " ");
    match unknown.places[0] {
        Place::Section(At::Part(first), key) => {
            let kind = scenario.parts[first].kind;
            let all = scenario.parts.iter().filter(|p| p.kind == kind).count();
            let of = |p: &Place| match p {
                Place::Section(At::Part(i), _) => scenario.parts[*i].name.as_str(),
                _ => "",
            };
            let who = match unknown.places.len() {
                n if n == all && n > 1 => format!("every {kind}"),
                _ => unknown.places.iter().map(of).collect::<Vec<_>>().join(", "),
            };
            format!("{} of {who}", spoken(key))
        }
        Place::Section(At::Supply(i), key) => {
            format!("{} of {}", spoken(key), scenario.supplies[i].name)
        }
        Place::Section(at, key) => {
            format!("{} of {}", spoken(key), spoken(&section(scenario, at).name))
        }
        Place::Step(_, what) => {
            let number = |p: &Place| match p {
                Place::Step(i, _) => (i + 1).to_string(),
                Place::Section(..) => String::new(),
            };
            let numbers: Vec<String> = unknown.places.iter().map(number).collect();
            let step = if numbers.len() == 1 { "step" } else { "steps" };
            format!("{} of {step} {}", what.word(), numbers.join(", "))
        }
    }
}
