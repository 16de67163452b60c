//! `[supplies]`: what can push the fluid, each by its kind.

use toml::de::DeTable;

use super::kinds::{entries, kind_at, kind_of};
use super::limits::MOST_SUPPLIES;
use super::mistake::Diagnostics;
use super::model::Supply;
use super::names;
use super::sections::{self, Named, Placed};
use super::suggest;
use super::unknown_keys;
use crate::keys::table::keys_in;
use crate::supply::Kind;

/// A supply as read.
#[derive(Debug)]
pub(crate) struct RawSupply {
    pub(crate) name: Named,
    pub(crate) kind: &'static Kind,
    pub(crate) placed: Placed,
}

impl RawSupply {
    pub(crate) fn into_supply(self) -> Supply {
        let mut kind = self.kind.clone();
        let written = self.placed.section.fill(&mut *kind);
        Supply { name: self.name.name, kind, written }
    }
}

fn word(kind: &Kind) -> &'static str {
    kind.word()
}

/// Reads `[supplies]`.
pub(crate) fn read_supplies(
    diagnostics: &mut Diagnostics<'_>,
    top: &DeTable<'_>,
) -> Vec<RawSupply> {
    let node = top.get("supplies");
    let mut out: Vec<RawSupply> = Vec::new();
    let example = "`[supplies.gravity]` with `kind = \"gravity\"` below it";
    // A misspelt table has been told already.
    if node.is_none() && !sections::misspelt("supplies", &[top]) {
        diagnostics.add(
            diagnostics.end(),
            "the file has no `[supplies]`: nothing pushes the fluid",
            format!("add {example}"),
        );
    }
    for (name, span, table) in entries(diagnostics, node, ("supplies", MOST_SUPPLIES), example) {
        let Some(name) = names::name(diagnostics, name, span.clone()) else {
            continue;
        };
        if !table.contains_key("kind") {
            let is_kind = |word: &str| kind_of(word, Kind::all(), |k| k.called()).is_ok();
            if unknown_keys::told_misspelt(diagnostics, table, "a supply", (&["kind"], &[]))
                || unknown_keys::told_by_value(
                    diagnostics,
                    table,
                    "a supply",
                    &[("kind", &is_kind)],
                    &[],
                )
            {
                continue;
            }
            diagnostics.add(
                span,
                format!("supply `{}` does not say its kind", name.name),
                suggest::remedy("", Kind::all().iter().map(word), "add `kind = \"…\"`; kinds"),
            );
            continue;
        }
        let Some(kind) = kind_at(diagnostics, table, Kind::all(), |k| k.called()) else {
            continue;
        };
        let keys = keys_in(&mut *kind.clone());
        let known: Vec<_> = std::iter::once("kind").chain(keys.iter().map(|k| k.name)).collect();
        let (place, missing) =
            (format!("a supply of kind {}", kind.word()), sections::missing(&[table], &keys));
        let told = unknown_keys::refuse_unknown(diagnostics, table, &place, &known, &missing);
        let label = format!("supply `{}`", name.name);
        let complete = (true, &told[..]);
        let mut placed =
            sections::read_section(diagnostics, &label, span, &[table], keys, complete);
        placed.section.written.name = format!("supplies.{}", name.name);
        out.push(RawSupply { name, kind, placed });
    }
    out
}
