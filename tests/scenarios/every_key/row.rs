//! One row of the table: a key, a scenario in which it matters, its values, what they move.

use super::figures::{Figure, Reading};
use super::schema::{Form, Key};
use super::sheet::Sheet;

/// What a key moves as it goes through its values.
#[derive(Clone, Copy)]
pub enum Moves {
    Up(Figure),
    Down(Figure),
    /// Each value gives a reading of its own with these words in it, one entry a value.
    Shows(Reading, &'static [&'static str]),
}

pub use Moves::{Down, Shows, Up};

/// Keys set in the bench, `@` standing for the value of the row and `~` for the row's other value.
pub type Edits = &'static [(&'static str, &'static str)];

/// Such edits, table by table, as they stand in a file.
macro_rules! edits {
    ($($table:literal: $($key:ident = $value:tt),+;)+) => {
        &[$($((concat!($table, ".", stringify!($key)), stringify!($value))),+),+]
    };
}
pub(super) use edits;

/// A row.
#[derive(Clone)]
pub struct Row {
    pub key: String,
    pub benches: Vec<Edits>,
    pub values: &'static [&'static str],
    pub moves: Moves,
}

pub fn row(
    key: impl Into<String>,
    benches: &[Edits],
    values: &'static [&'static str],
    moves: Moves,
) -> Row {
    Row { key: key.into(), benches: benches.to_vec(), values, moves }
}

/// One circuit: a reservoir, a lever, a hose, a caliper, a pressure bleeder that holds plenty.
pub const BENCH: &str = r#"
title = "bench"
[vehicle]
temperature = "20 °C"
[old_fluid]
grade = "DOT 4"
water = "3 %"
[new_fluid]
grade = "DOT 4"
[reservoir]
level = "40 mL"
min = "30 mL"
max = "60 mL"
brim = "90 mL"
[master_cylinder]
chambers = ["lever"]
volume = "4 mL"
[parts.hose]
kind = "hose"
from = "lever"
length = "1 m"
[parts.front]
kind = "caliper"
from = "hose"
new_pads = "8 mL"
[supplies.vessel]
kind = "pressure bleeder"
loaded = "1 L"
gauge = "15 psi"
[procedure]
open = ["front"]
until = "clean"
"#;

impl Row {
    /// The bench with everything set but the value.
    fn bench(&self) -> Sheet {
        let mut sheet = Sheet::new(BENCH);
        for (place, value) in self.benches.iter().copied().flatten() {
            sheet.set(place, value);
        }
        sheet
    }

    /// Every place in the file that the value is written in.
    pub fn places(&self) -> Vec<String> {
        let edits = self.benches.iter().copied().flatten();
        let at = edits.filter(|(_, value)| value.contains('@')).map(|(place, _)| *place);
        match self.place() {
            Some((table, key)) if table.is_empty() => vec![key.to_owned()],
            Some((table, key)) => vec![format!("{table}.{key}")],
            None => at.map(str::to_owned).collect(),
        }
    }

    /// Table and key in the file; `None` where `@` says it.
    pub fn place(&self) -> Option<(String, &str)> {
        let edits = || self.benches.iter().copied().flatten();
        if edits().any(|(_, value)| value.contains('@')) {
            return None;
        }
        let (table, key) = self.key.rsplit_once('.').unwrap_or(("", &self.key));
        let table = match table.split_once('.') {
            Some((whose, kind)) => {
                let sheet = self.bench();
                let whose = if whose == "part" { "parts." } else { "supplies." };
                let found = sheet.of_kind(whose, kind);
                found.unwrap_or_else(|| panic!("{}: no {kind} in the bench", self.key)).to_owned()
            }
            None => table.to_owned(),
        };
        Some((table, key))
    }

    /// The bench with a value, as it stands in the file, and the row's other value.
    pub fn sheet(&self, value: &str, other: &str) -> Sheet {
        let mut sheet = Sheet::new(BENCH);
        for (place, text) in self.benches.iter().copied().flatten() {
            sheet.set(place, &text.replace('@', value).replace('~', other));
        }
        if let Some((table, key)) = self.place() {
            sheet.set(&format!("{table}.{key}"), value);
        }
        sheet
    }

    /// The value as it stands in the file.
    pub fn written(&self, key: &Key, value: &str) -> String {
        match key.form {
            Form::Quantities if value.starts_with('[') => value.to_owned(),
            Form::Quantity | Form::Level | Form::Quantities | Form::Words(_) | Form::Text
                if !value.is_empty() =>
            {
                format!("{value:?}")
            }
            _ => value.to_owned(),
        }
    }

    /// The scenario with the value of this number.
    pub fn scenario(&self, key: &Key, number: usize) -> Sheet {
        let other = self.values[(number + 1) % self.values.len()];
        self.sheet(&self.written(key, self.values[number]), &self.written(key, other))
    }

    /// The scenario with a spread on the key, from the smaller of the first two values to the larger; a
    /// stop rule takes its spread after a `±`.
    pub fn spread(&self, key: &Key, low: &str, high: &str) -> Sheet {
        let value = match key.form {
            Form::InRule => {
                let tenth = if low.ends_with(" %") { "3 %" } else { "10 %" };
                format!("{low} ± {tenth}")
            }
            _ => {
                format!("{{ value = {low:?}, from = {low:?}, to = {high:?}, shape = \"uniform\" }}")
            }
        };
        self.sheet(&value, &self.written(key, high))
    }
}
