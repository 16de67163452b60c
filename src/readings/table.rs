//! The table: which CSV file, which cars, how far readings may be off.

use super::rows::error_of;
use crate::scenario::mistake::Diagnostics;
use crate::scenario::{Mistakes, suggest};
use crate::study::learn::{Aim, What};
use serde::Deserialize;
use std::collections::BTreeMap;
use toml::Spanned;

/// What it says.
pub(super) struct Table {
    /// The CSV file.
    pub readings: String,
    pub of: Aim,
    /// By the name in the column `car`, a scenario.
    pub cars: BTreeMap<String, String>,
    /// Deviations that stand for the usual ones.
    pub errors: Vec<(What, f64)>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Written {
    learn: Head,
    cars: BTreeMap<String, String>,
    #[serde(default)]
    error: BTreeMap<Spanned<String>, Spanned<String>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Head {
    readings: String,
    of: Option<Spanned<String>>,
}

const AIMS: [Aim; 3] = [Aim::OldLeft, Aim::Drained, Aim::BaySeconds];
const REMEDY: &str = "write `[learn]` with `readings = \"november.csv\"`, `[cars]` with a line such as `hatch = \"compact-hatchback.toml\"`, and, if you like, `of` below `[learn]` and `[error]`";

pub(super) fn read(text: &str, file: &str) -> Result<Table, Mistakes> {
    let mut diagnostics = Diagnostics::new(file, text);
    let written: Written = match toml::from_str(text) {
        Ok(written) => written,
        Err(why) => {
            let first = why.message().lines().next().unwrap_or("it cannot be read").to_owned();
            diagnostics.add(why.span().unwrap_or(0..0), first, REMEDY);
            return Err(diagnostics.close());
        }
    };
    let mut of = Aim::default();
    if let Some(word) = &written.learn.of {
        match AIMS.iter().find(|a| a.words() == word.get_ref()) {
            Some(aim) => of = *aim,
            None => diagnostics.add(
                word.span(),
                format!("`{}` is nothing that a reading could narrow down here", word.get_ref()),
                suggest::remedy(word.get_ref(), AIMS.map(Aim::words), "known words"),
            ),
        }
    }
    let mut errors = Vec::new();
    for (key, value) in &written.error {
        let Some(whats) = told(key.get_ref()) else {
            let remedy =
                suggest::remedy(key.get_ref(), ERRORS.map(|(word, _)| word), "known words");
            diagnostics.add(key.span(), format!("there is no reading `{}`", key.get_ref()), remedy);
            continue;
        };
        for what in whats {
            match error_of(*what, value.get_ref()) {
                Ok(error) => errors.push((*what, error)),
                Err(wrong) => diagnostics.add_wrong(value.span(), wrong),
            }
        }
    }
    if !diagnostics.clean() {
        return Err(diagnostics.close());
    }
    Ok(Table { readings: written.learn.readings, of, cars: written.cars, errors })
}

/// What stands in `[error]`, and which readings it is of.
const ERRORS: [(&str, &[What]); 8] = [
    ("bottle", &[What::Drained, What::LeftInVessel]),
    ("seconds", &[What::Seconds]),
    ("gauge", &[What::Gauge]),
    ("boiling", &[What::Boiling]),
    ("water", &[What::Water]),
    ("colour", &[What::Colour]),
    ("level", &[What::Level]),
    ("pad_wear", &[What::PadWear]),
];

fn told(word: &str) -> Option<&'static [What]> {
    ERRORS.iter().find(|(w, _)| *w == word).map(|(_, whats)| *whats)
}
