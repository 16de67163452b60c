//! Where a part may stand in a circuit made up at random, and what its keys may hold: by what its kind says of itself,
//! so that a kind added later is drawn without a change here.

use farwheel::keys::bounds::{self, Bound};
use farwheel::keys::{Ends, Form, Key, LeftOut, Role};
use farwheel::parts::Kind;
use farwheel::scenario::quantity_text;

/// What a valve usually holds back here, Pa: little, since many of those by default stop whatever does not push hard.
pub const HELD_BACK_PA: f64 = 2e3;

/// Where a part may stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Place {
    /// In a row of lines and hoses.
    Row,
    /// Where paths meet.
    Meeting,
    /// Where a path ends at a bleeder.
    End,
    /// Among surroundings of its own.
    Own,
}

/// Where a part of this kind may stand.
pub fn place(kind: &Kind) -> Place {
    let spec = kind.spec();
    match (spec.role, spec.ends) {
        (Role::Modulator | Role::ClutchMaster | Role::ClutchSlave, _) => Place::Own,
        (_, Ends::Through) => Place::Row,
        (_, Ends::Node) if spec.bleeds => Place::End,
        (_, Ends::Node) => Place::Meeting,
    }
}

/// Every kind that may stand there.
pub fn standing(there: Place) -> Vec<&'static Kind> {
    Kind::all().iter().filter(|k| place(k) == there).collect()
}

/// Every kind of this role.
pub fn of_role(role: Role) -> Vec<&'static Kind> {
    Kind::all().iter().filter(|k| k.spec().role == role).collect()
}

/// The names of the bleeders on a part of this kind, none if it carries none.
pub fn bleeders(kind: &Kind, name: &str) -> Vec<String> {
    match kind.spec() {
        s if s.role == Role::HalvedCaliper => {
            ["inner", "outer"].map(|half| format!("{name} {half}")).to_vec()
        }
        s if s.bleeds => vec![name.to_owned()],
        _ => Vec::new(),
    }
}

/// Whether the key says what a valve holds back.
pub fn holds_back(key: &Key) -> bool {
    matches!(key.form, Form::Quantity(bound) if bound.is(&bounds::CRACKING))
}

/// What a key usually holds, SI: its default, or what is about the middle of its range.
pub fn usual(key: &Key, bound: &'static Bound) -> f64 {
    let default = match key.left_out {
        LeftOut::Text(text) => quantity_text::parse(text, bound).map_or(0.0, |q| q.value),
        _ => 0.0,
    };
    match () {
        () if default > 0.0 => default,
        // A caliper's, and a hand pump's.
        () if bound.is(&bounds::CHAMBER) || bound.is(&bounds::CALIPER) => 8e-6,
        () if bound.is(&bounds::SUCTION) => 6e4,
        () => (bound.min.max(1e-3 * bound.max) * bound.max).sqrt(),
    }
}

/// A value in the first unit of its dimension, in quotes.
pub fn written(bound: &Bound, si: f64) -> String {
    let unit = bound.dimension.units().next().expect("every dimension has a unit");
    format!("\"{} {}\"", unit.number_from_si(si), unit.name)
}

/// A value for a key that is no quantity: `x`, from 0 to 1, chooses among words and numbers. Free text and names mean
/// something: whoever writes the table gives them.
pub fn choice(key: &Key, x: f64) -> Option<String> {
    let chosen = |of: usize| ((x * of as f64) as usize).min(of - 1);
    Some(match key.form {
        Form::Word(words) => format!("{:?}", words[chosen(words.len())]),
        Form::Flag => (chosen(2) == 1).to_string(),
        Form::Count(least, most) => {
            (least as usize + chosen((most - least).min(5) as usize + 1)).to_string()
        }
        Form::Quantity(_) | Form::Quantities(_) | Form::Text | Form::Names => return None,
    })
}
