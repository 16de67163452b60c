//! The uncertain quantities of a scenario.

use super::defaults::by_default;
use super::draws::column;
use super::shape::value_at;
use crate::circuit::{BuildError, Scenario};
use crate::keys::{Bound, Quantity, Spread, bounds};
use crate::scenario::model::Tables;
use crate::scenario::quantities::{Address, At};
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
    /// Whether all its places say how much is in the reservoir.
    level: bool,
    /// No draw is larger, SI.
    most: f64,
    places: Vec<Address>,
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
    tables: Tables,
    /// Which unknown, if any, each quantity of the scenario is, in the order of [`Tables::quantities_mut`].
    which: Vec<Option<usize>>,
    brim_is_written: bool,
}

impl Unknown {
    /// Whether it is the quantity that stands here.
    pub fn stands_at(&self, place: Address) -> bool {
        self.places.contains(&place)
    }

    /// The value that the draw `u`, between 0 and 1, gives it (SI). What the reservoir holds is cut off at
    /// the brim where that is written, as every distribution is at its bounds.
    pub fn value_at(&self, u: f64) -> f64 {
        value_at(&self.quantity, (self.bound.min, self.most.min(self.bound.max)), u)
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
        let has_a_part = |place: Address| match (place, supply) {
            (Address::Key(At::Supply(i), _), Some(name)) => scenario.supplies[i].name == name,
            _ => true,
        };
        let mut filled = Tables::clone(scenario);
        let mut found: Vec<Unknown> = Vec::new();
        for (place, bound, held) in filled.quantities_mut() {
            let spread = held.spread.or_else(|| by_default(scenario, place, bound, held.value));
            if spread.is_none() || !has_a_part(place) {
                continue;
            }
            let stated = held.spread.is_some() && !is_unwritten(scenario, place);
            held.spread = spread;
            let quantity = *held;
            let whose = if stated { Whose::Stated } else { Whose::Default };
            let alike = |u: &&mut Unknown| {
                let same = |p: &Address| same_unknown(scenario, (*p, u.bound), (place, bound));
                u.alike(quantity) && u.places.iter().any(same)
            };
            match found.iter_mut().find(alike) {
                Some(unknown) => {
                    unknown.places.push(place);
                    unknown.level &= is_level(bound);
                    if stated {
                        unknown.whose = whose;
                    }
                }
                None => found.push(Unknown {
                    name: String::new(),
                    quantity,
                    whose,
                    bound,
                    level: is_level(bound),
                    most: f64::INFINITY,
                    places: vec![place],
                }),
            }
        }
        let brim_is_written = !is_unwritten(scenario, Address::Key(At::Reservoir, "brim"));
        for unknown in &mut found {
            unknown.name = name(scenario, unknown);
            if unknown.level && brim_is_written {
                unknown.most = scenario.reservoir.brim.value;
            }
        }
        let (known, unknowns): (Vec<_>, Vec<_>) = found.into_iter().partition(Unknown::is_exact);
        let at = |place: Address| unknowns.iter().position(|u| u.places.contains(&place));
        let which = filled.quantities_mut().into_iter().map(|(place, _, _)| at(place)).collect();
        let known = known.into_iter().map(|k| k.name).collect();
        Self { unknowns, known, tables: filled, which, brim_is_written }
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
    /// brim lets it: nothing is overfilled. A brim that nobody wrote is no such limit: it lies where it must.
    ///
    /// # Errors
    /// If no circuit comes of it.
    pub fn draw(&self, at: impl Fn(usize) -> f64) -> Result<Scenario, BuildError> {
        let values: Vec<f64> =
            self.unknowns.iter().enumerate().map(|(k, u)| u.value_at(at(k))).collect();
        let mut drawn = self.tables.clone();
        for ((_, _, held), which) in drawn.quantities_mut().into_iter().zip(&self.which) {
            if let Some(k) = which {
                *held = Quantity::known(values[*k]);
            }
        }
        if !self.brim_is_written {
            let levels = drawn.quantities_mut().into_iter().filter(|(_, bound, _)| is_level(bound));
            let highest = levels.map(|(_, _, held)| held.value).fold(0.0, f64::max);
            let brim = &mut drawn.reservoir.brim;
            *brim = Quantity::known(brim.value.max(highest));
        }
        let brim = drawn.reservoir.brim.value;
        for (_, bound, held) in drawn.quantities_mut() {
            if is_level(bound) && held.value > brim {
                *held = Quantity::known(brim);
            }
        }
        Scenario::new(drawn)
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

/// Whether it says how much is in the reservoir, which holds no more than to its brim.
fn is_level(bound: &'static Bound) -> bool {
    [&bounds::LEVEL, &bounds::MARK, &bounds::RESERVOIR_LEFT].into_iter().any(|b| b.is(bound))
}

/// Whether a default stands there, since nothing is written.
pub(super) fn is_unwritten(scenario: &Scenario, place: Address) -> bool {
    match place {
        Address::Key(at, key) => scenario.written(at).defaulted.contains(&key),
        Address::Step(..) => false,
    }
}

/// Whether two places of equal value and spread are one unknown: the same key of parts of one kind, the eye, or
/// a mark of the reservoir and the step that fills or empties it to there.
fn same_unknown(
    scenario: &Scenario,
    (a, of_a): (Address, &'static Bound),
    (b, of_b): (Address, &'static Bound),
) -> bool {
    match (a, b) {
        (Address::Key(At::Part(i), k), Address::Key(At::Part(j), l)) => {
            k == l && scenario.parts[i].word() == scenario.parts[j].word()
        }
        (_, Address::Step(..)) if of_a.is(&bounds::MARK) => is_level(of_b),
        _ => of_a.is(&bounds::THRESHOLD) && of_b.is(&bounds::THRESHOLD),
    }
}

fn name(scenario: &Scenario, unknown: &Unknown) -> String {
    let spoken = |key: &str| key.replace('_', " ");
    match unknown.places[0] {
        Address::Key(At::Part(first), key) => {
            let kind = scenario.parts[first].word();
            let all = scenario.parts.iter().filter(|p| p.word() == kind).count();
            let of = |p: &Address| match p {
                Address::Key(At::Part(i), _) => scenario.parts[*i].name.as_str(),
                _ => "",
            };
            let who = match unknown.places.len() {
                n if n == all && n > 1 => format!("every {kind}"),
                _ => unknown.places.iter().map(of).collect::<Vec<_>>().join(", "),
            };
            format!("{} of {who}", spoken(key))
        }
        Address::Key(At::Supply(i), key) => {
            format!("{} of {}", spoken(key), scenario.supplies[i].name)
        }
        Address::Key(at, key) => {
            format!("{} of {}", spoken(key), spoken(&scenario.written(at).name))
        }
        Address::Step(_, what) => {
            let number = |p: &Address| match p {
                Address::Step(i, _) => (i + 1).to_string(),
                Address::Key(..) => String::new(),
            };
            let numbers: Vec<String> = unknown.places.iter().map(number).collect();
            let step = if numbers.len() == 1 { "step" } else { "steps" };
            format!("{} of {step} {}", what.word(), numbers.join(", "))
        }
    }
}
