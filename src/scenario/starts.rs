//! Where a part can start from, and what to do about a `from` that names nothing.

use std::collections::BTreeMap;

use super::graph::Owner;
use super::mistake::{Diagnostics, Wrong};
use super::parts::RawPart;
use super::sections::{Named, short};
use super::suggest;
use crate::keys::{Ends, Place};
use crate::parts::Kind;

/// All that a name may stand for.
pub(super) struct Found<'p> {
    pub(super) owners: &'p BTreeMap<&'p str, Owner>,
    pub(super) chambers: &'p [Named],
    pub(super) parts: &'p [RawPart],
    pub(super) templates: &'p [&'p str],
}

impl Found<'_> {
    /// Where `p` could start from without another part being in the way.
    pub(super) fn starts(&self, p: &RawPart) -> Vec<&Named> {
        let own = p.name.name.as_str();
        let taken = |q: &RawPart| {
            let name = q.name.name.as_str();
            let other = |r: &&RawPart| r.name.name != own && r.from.iter().any(|f| f.name == name);
            q.spec.ends == Ends::Through && (q.to.is_some() || self.parts.iter().any(|r| other(&r)))
        };
        // Nothing is fed through a brake, but where a file says so.
        let parts = self.parts.iter().filter(|q| q.name.name != own && !q.spec.bleeds && !taken(q));
        let parts = parts.filter(|q| !(p.spec.ends == Ends::Node && q.spec.ends == Ends::Node));
        let chambers = self.chambers.iter().filter(|_| p.spec.ends == Ends::Through);
        chambers.chain(parts.map(|q| &q.name)).collect()
    }

    /// What to do about a `from` that names nothing.
    pub(super) fn no_start(
        &self,
        diagnostics: &Diagnostics<'_>,
        p: &RawPart,
        from: &Named,
    ) -> Wrong {
        let what = format!("there is no part or chamber `{}`", short(&from.name));
        if self.templates.contains(&from.name.as_str()) {
            let remedy = "that is a template: name the part or chamber that the fluid comes from";
            return Wrong::new(what, remedy);
        }
        let starts = self.starts(p);
        let names = || starts.iter().map(|s| s.name.as_str());
        // A hose that is missing is not the line of nearly the same name.
        let kind_in = |name: &str| {
            let word = |w: &str| Kind::all().iter().any(|k| k.spec().name == w);
            name.split_whitespace().find(|w| word(w)).map(str::to_owned)
        };
        let all_near = suggest::near(&from.name, names());
        let (own, other) = (kind_in(&from.name), all_near.first().and_then(|near| kind_in(near)));
        if let [near, others @ ..] = all_near.as_slice()
            && (own.is_none() || other.is_none() || own == other)
        {
            let at = starts
                .iter()
                .find(|s| s.name == *near)
                .map_or(Place::Nowhere, |s| diagnostics.line(s.span.start));
            let remedy = match others {
                [] => format!("did you mean `{near}` of {at}? Write both alike"),
                _ => format!("did you mean {}?", suggest::either(&all_near)),
            };
            return Wrong::new(what, remedy);
        }
        if let Some(kind) = Kind::all().iter().map(|k| k.spec().name).find(|k| *k == from.name) {
            let remedy =
                suggest::remedy("", names(), "name the part or chamber that the fluid comes from");
            return Wrong::new(format!("{what}: `{kind}` is a kind"), remedy);
        }
        let add = format!("add `{}` to `[parts]`", short(&from.name));
        // The one that leads to nothing so far, and may be what is meant under another name.
        let idle = |q: &&RawPart| {
            q.spec.ends == Ends::Through && starts.iter().any(|s| s.span == q.name.span)
        };
        let mut all_idle = self.parts.iter().filter(idle);
        if let (Some(one), None) = (all_idle.next(), all_idle.next()) {
            let (name, at) = (&one.name.name, diagnostics.line(one.name.span.start));
            // A hose that starts from `line LF` lacks that line; `hose LF` itself is no line's name.
            let renamed = from.name.contains(one.spec.name);
            let remedy = match renamed {
                true => format!(
                    "`{name}` on {at} leads to nothing: should it be called `{}`, or this `from` be \"{name}\"? If neither, {add}",
                    short(&from.name)
                ),
                false => format!(
                    "{add}; or is `{name}` on {at} meant, which leads to nothing? Then call it so there, or write from = \"{name}\" here"
                ),
            };
            return Wrong::new(what, remedy);
        }
        Wrong::new(
            what,
            match starts.is_empty() {
                true => add,
                false => {
                    let may = suggest::remedy("", names(), "or start from another");
                    format!("{add}, {may}")
                }
            },
        )
    }
}
