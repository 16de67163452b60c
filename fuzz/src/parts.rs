//! Random circuits: trees of parts of every kind, each where it may stand, and what closes loops.

use crate::draw::{Draw, Lines, inline};
use crate::kinds::{self, HELD_BACK_PA, Place, holds_back, of_role, standing, usual, written};
use farwheel::keys::table::keys_in;
use farwheel::keys::{Form, Role, bounds};
use farwheel::parts::Kind;
use libfuzzer_sys::arbitrary::Result;
use std::collections::BTreeSet;
use std::fmt::Write as _;

/// Says how far the joint with the line before remixes: not for what begins elsewhere, nor for a plug.
const JOINT: &str = "joint_remix";

/// The parts so far.
#[derive(Debug, Default)]
pub struct Parts {
    /// Their lines below `[parts]`.
    pub text: String,
    pub bleeders: Vec<String>,
    /// Modulators and their channels.
    pub modulators: Vec<(String, Vec<String>)>,
    /// What a line may start from and run into.
    nodes: Vec<String>,
    /// Lines and hoses whose fluid does not move as a plug.
    laminar: BTreeSet<String>,
    count: usize,
    most_parts: usize,
    most_bleeders: usize,
}

impl Parts {
    /// A circuit behind these chambers; `clutch` names an outlet of the reservoir for a clutch.
    pub fn grow(
        d: &mut Draw<'_, '_>,
        chambers: &[String],
        clutch: Option<&str>,
        most_parts: usize,
        most_bleeders: usize,
    ) -> Result<Self> {
        let mut p = Self { most_parts, most_bleeders, ..Self::default() };
        if chambers.len() > 1 && d.once_in(5)? {
            p.modulator_of_two(d, &chambers[..2])?;
        }
        for chamber in chambers {
            for _ in 0..=d.below(3)? {
                p.branch(d, chamber, 0)?;
            }
        }
        if let Some(outlet) = clutch {
            let hose = p.through(d, &of_role(Role::Hose), outlet, None)?;
            let master = p.node(d, &of_role(Role::ClutchMaster), &[hose])?;
            let line = p.through(d, &of_role(Role::Line), &master, None)?;
            p.node(d, &of_role(Role::ClutchSlave), &[line])?;
        }
        for _ in 0..d.below(3)? {
            if p.nodes.len() > 1 {
                let (from, to) = (d.one(&p.nodes)?.clone(), d.one(&p.nodes)?.clone());
                if from != to {
                    let among = mostly(d, Role::Line)?;
                    p.through(d, &among, &from, Some(&to))?;
                }
            }
        }
        Ok(p)
    }

    fn full(&self) -> bool {
        self.count >= self.most_parts || self.bleeders.len() >= self.most_bleeders
    }

    fn name(&mut self, kind: &str) -> String {
        self.count += 1;
        format!("{} {}", kind.split([' ', '-']).next_back().unwrap_or("part"), self.count)
    }

    fn through(
        &mut self,
        d: &mut Draw<'_, '_>,
        among: &[&'static Kind],
        from: &str,
        to: Option<&str>,
    ) -> Result<String> {
        let kind = *d.one(among)?;
        let word = kind.spec().name;
        let name = self.name(word);
        let mut lines = Lines::new();
        for key in keys_in(&mut *kind.clone()) {
            match key.form {
                Form::Quantity(bound) if holds_back(&key) => {
                    lines.push((key.name, d.quantity(bound, HELD_BACK_PA)?));
                }
                _ if key.name == JOINT => {}
                _ => lines.extend(d.table(&[key], &[])?),
            }
        }
        if kind.run().is_some() && !lines.contains(&("profile", "\"plug\"".to_owned())) {
            if self.laminar.contains(from) && d.once_in(4)? {
                lines.push((JOINT, d.quantity(&bounds::SHARE, 0.5)?));
            }
            self.laminar.insert(name.clone());
        }
        let to = to.map_or(String::new(), |to| format!(", to = {to:?}"));
        let _ = writeln!(
            self.text,
            "{name:?} = {{ kind = {word:?}, from = {from:?}{to}{} }}",
            inline(&lines)
        );
        Ok(name)
    }

    /// Lines, hoses and what else fluid runs through in a row: the first and the last.
    fn chain(&mut self, d: &mut Draw<'_, '_>, from: &str) -> Result<[String; 2]> {
        let first = self.through(d, &of_role(Role::Line), from, None)?;
        let mut last = first.clone();
        for _ in 0..d.below(3)? {
            let among = mostly(d, Role::Hose)?;
            last = self.through(d, &among, &last, None)?;
        }
        Ok([first, last])
    }

    fn branch(&mut self, d: &mut Draw<'_, '_>, from: &str, depth: usize) -> Result<()> {
        if self.full() && !self.bleeders.is_empty() {
            return Ok(());
        }
        self.branch_even_so(d, from, depth).map(drop)
    }

    /// Every line ends in something, even if there is enough already. Gives the name of its first part.
    fn branch_even_so(&mut self, d: &mut Draw<'_, '_>, from: &str, depth: usize) -> Result<String> {
        let [first, last] = self.chain(d, from)?;
        let mut before = vec![last];
        if depth > 0 && !self.full() && self.nodes.len() > 1 && d.once_in(8)? {
            let other = d.one(&self.nodes)?.clone();
            before.push(self.through(d, &of_role(Role::Line), &other, None)?);
        }
        let choice = if depth > 3 || self.full() { 0 } else { d.below(8)? };
        match choice {
            0..=4 => {
                let end = self.node(d, &standing(Place::End), &before)?;
                if d.once_in(6)? {
                    self.branch(d, &end, depth + 1)?;
                }
            }
            5 | 6 => {
                let meeting = self.node(d, &standing(Place::Meeting), &before)?;
                for _ in 0..=d.below(3)? {
                    self.branch(d, &meeting, depth + 1)?;
                }
            }
            _ => self.modulator(d, &before, depth)?,
        }
        Ok(first)
    }

    fn node(
        &mut self,
        d: &mut Draw<'_, '_>,
        among: &[&'static Kind],
        before: &[String],
    ) -> Result<String> {
        let kind = *d.one(among)?;
        let word = kind.spec().name;
        let name = self.name(word);
        let keys = keys_in(&mut *kind.clone());
        let mut lines = Lines::new();
        for (i, key) in keys.iter().enumerate() {
            // What wear enlarges stands before what it enlarges it to.
            let worn = keys.get(i + 1).filter(|k| k.name.starts_with("worn_"));
            match (key.form, worn.map(|k| (k.name, k.form))) {
                _ if key.name.starts_with("worn_") => {}
                (Form::Quantity(of_new), Some((worn, Form::Quantity(of_worn)))) => {
                    let m3 = d.si(of_new, usual(key, of_new))?;
                    lines.push((key.name, written(of_new, m3)));
                    if d.once_in(2)? {
                        let more = (d.between(1.0, 5.0)? * m3).min(of_worn.max);
                        lines.push((worn, written(of_worn, more)));
                    }
                }
                _ => lines.extend(d.table(&[*key], &[])?),
            }
        }
        let mut bleeders = kinds::bleeders(kind, &name);
        if bleeders.len() == 1 && d.once_in(6)? {
            bleeders = vec![format!("{name} a"), format!("{name} b")];
        }
        if bleeders.len() > 1 {
            lines.push(("bleeders", format!("{bleeders:?}")));
        }
        self.bleeders.extend(bleeders);
        let _ = writeln!(
            self.text,
            "{name:?} = {{ kind = {word:?}, from = {before:?}{} }}",
            inline(&lines)
        );
        self.nodes.push(name.clone());
        Ok(name)
    }

    /// A modulator of one circuit or of two, with its channels.
    fn modulator(&mut self, d: &mut Draw<'_, '_>, before: &[String], depth: usize) -> Result<()> {
        let kind = *d.one(&of_role(Role::Modulator))?;
        let word = kind.spec().name;
        let name = self.name(word);
        let lines = d.table(&keys_in(&mut *kind.clone()), &[])?;
        // Written before its channels are known: its own line comes after them.
        let at = self.text.len();
        let mut channels = Vec::new();
        for _ in 0..before.len() + d.below(3)? {
            channels.push(self.branch_even_so(d, &name, depth + 1)?);
        }
        let first = match before.len() {
            2 => format!(", first_circuit = {:?}", &channels[..channels.len() / 2]),
            _ => String::new(),
        };
        let own = format!(
            "{name:?} = {{ kind = {word:?}, from = {before:?}{first}{} }}\n",
            inline(&lines)
        );
        self.text.insert_str(at, &own);
        self.modulators.push((name, channels));
        Ok(())
    }

    fn modulator_of_two(&mut self, d: &mut Draw<'_, '_>, chambers: &[String]) -> Result<()> {
        let [_, one] = self.chain(d, &chambers[0])?;
        let [_, other] = self.chain(d, &chambers[1])?;
        self.modulator(d, &[one, other], 0)
    }
}

/// Mostly the kinds of this role, else all that may stand in a row.
fn mostly(d: &mut Draw<'_, '_>, role: Role) -> Result<Vec<&'static Kind>> {
    Ok(if d.once_in(3)? { standing(Place::Row) } else { of_role(role) })
}
