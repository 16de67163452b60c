//! Random circuits: trees of lines, hoses, valves, tees, modulators and wheel brakes, and what closes loops.

use crate::draw::{Draw, inline};
use farwheel::circuit::parts::kind;
use farwheel::scenario::bounds;
use libfuzzer_sys::arbitrary::Result;
use std::fmt::Write as _;

const ML: f64 = 1e-6;
const VALVES: [&str; 4] = [
    "check valve",
    "residual-pressure valve",
    "metering valve",
    "load-sensing proportioning valve",
];

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
            let hose = p.through(d, "hose", outlet, None)?;
            let master = p.node(d, "clutch master cylinder", &[hose])?;
            let line = p.through(d, "line", &master, None)?;
            p.node(d, "clutch slave cylinder", &[line])?;
        }
        for _ in 0..d.below(3)? {
            if p.nodes.len() > 1 {
                let (from, to) = (d.one(&p.nodes)?.clone(), d.one(&p.nodes)?.clone());
                if from != to {
                    let kind = if d.once_in(3)? { d.one(&VALVES)? } else { "line" };
                    p.through(d, kind, &from, Some(&to))?;
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
        kind_name: &str,
        from: &str,
        to: Option<&str>,
    ) -> Result<String> {
        let name = self.name(kind_name);
        let keys = kind(kind_name).expect("a kind there is").spec.keys;
        let mut lines = d.table(keys, &["length", "hold_off", "held_open", "cracking"])?;
        let usual = match kind_name {
            "line" => Some(("length", &bounds::TUBE_LENGTH, 2.0)),
            "hose" => Some(("length", &bounds::TUBE_LENGTH, 0.4)),
            "metering valve" => Some(("hold_off", &bounds::CRACKING, 2e4)),
            "load-sensing proportioning valve" => None,
            _ => Some(("cracking", &bounds::CRACKING, 2e3)),
        };
        if let Some((key, bound, usual)) = usual {
            lines.push((key, d.quantity(bound, usual)?));
        }
        let to = to.map_or(String::new(), |to| format!(", to = {to:?}"));
        let _ = writeln!(
            self.text,
            "{name:?} = {{ kind = {kind_name:?}, from = {from:?}{to}{} }}",
            inline(&lines)
        );
        Ok(name)
    }

    /// Lines, hoses and valves in a row.
    fn chain(&mut self, d: &mut Draw<'_, '_>, from: &str) -> Result<String> {
        let mut last = self.through(d, "line", from, None)?;
        for _ in 0..d.below(3)? {
            let kind = if d.once_in(3)? { d.one(&VALVES)? } else { "hose" };
            last = self.through(d, kind, &last, None)?;
        }
        Ok(last)
    }

    fn branch(&mut self, d: &mut Draw<'_, '_>, from: &str, depth: usize) -> Result<()> {
        if self.full() && !self.bleeders.is_empty() {
            return Ok(());
        }
        self.branch_even_so(d, from, depth)
    }

    /// Every line ends in something, even if there is enough already.
    fn branch_even_so(&mut self, d: &mut Draw<'_, '_>, from: &str, depth: usize) -> Result<()> {
        let last = self.chain(d, from)?;
        let mut before = vec![last];
        if depth > 0 && !self.full() && self.nodes.len() > 1 && d.once_in(8)? {
            let other = d.one(&self.nodes)?.clone();
            before.push(self.through(d, "line", &other, None)?);
        }
        let choice = if depth > 3 || self.full() { 0 } else { d.below(8)? };
        match choice {
            0..=4 => {
                let end = self.wheel_brake(d, &before)?;
                if d.once_in(6)? {
                    self.branch(d, &end, depth + 1)?;
                }
            }
            5 | 6 => {
                let tee = self.node(d, "tee", &before)?;
                for _ in 0..=d.below(3)? {
                    self.branch(d, &tee, depth + 1)?;
                }
            }
            _ => self.modulator(d, &before, depth)?,
        }
        Ok(())
    }

    fn wheel_brake(&mut self, d: &mut Draw<'_, '_>, before: &[String]) -> Result<String> {
        let kinds = ["caliper", "caliper", "wheel cylinder", "two-bleeder caliper"];
        let kind = *d.one(&kinds)?;
        self.node(d, kind, before)
    }

    fn node(&mut self, d: &mut Draw<'_, '_>, kind_name: &str, before: &[String]) -> Result<String> {
        let name = self.name(kind_name);
        let spec = &kind(kind_name).expect("a kind there is").spec;
        let volumes = ["new_pads", "worn_pads", "volume", "worn_shoes"];
        let mut lines = d.table(spec.keys, &volumes)?;
        let (new, worn) = match kind_name {
            "caliper" | "two-bleeder caliper" => ("new_pads", Some("worn_pads")),
            "wheel cylinder" => ("volume", Some("worn_shoes")),
            "tee" => ("", None),
            _ => ("volume", None),
        };
        if !new.is_empty() {
            let m3 = d.si(&bounds::CHAMBER, 8.0 * ML)?;
            lines.push((new, crate::draw::written(&bounds::CHAMBER, m3)));
            if let Some(worn) = worn.filter(|_| d.once_in(2) == Ok(true)) {
                let more = d.between(1.0, 5.0)? * m3;
                let more = more.min(bounds::CHAMBER.max);
                lines.push((worn, crate::draw::written(&bounds::CHAMBER, more)));
            }
        }
        for (key, bound) in [("water", &bounds::WATER), ("old_fraction", &bounds::OLD_FRACTION)] {
            if kind_name != "tee" && d.once_in(6)? {
                lines.push((key, d.quantity(bound, 0.02)?));
            }
        }
        let two = kind_name == "two-bleeder caliper" || (spec.bleeds && d.once_in(6)?);
        if two {
            let both = [format!("{name} a"), format!("{name} b")];
            lines.push(("bleeders", format!("{both:?}")));
            self.bleeders.extend(both);
        } else if spec.bleeds {
            self.bleeders.push(name.clone());
        }
        let _ = writeln!(
            self.text,
            "{name:?} = {{ kind = {kind_name:?}, from = {before:?}{} }}",
            inline(&lines)
        );
        self.nodes.push(name.clone());
        Ok(name)
    }

    /// A modulator of one circuit or of two, with its channels.
    fn modulator(&mut self, d: &mut Draw<'_, '_>, before: &[String], depth: usize) -> Result<()> {
        let name = self.name("hydraulic modulator");
        let keys = kind("hydraulic modulator").expect("a kind there is").spec.keys;
        let lines = d.table(keys, &[])?;
        // Written before its channels are known: its own line comes after them.
        let at = self.text.len();
        let mut channels = Vec::new();
        for _ in 0..before.len() + d.below(3)? {
            channels.push(format!("line {}", self.count + 1));
            self.branch_even_so(d, &name, depth + 1)?;
        }
        let first = match before.len() {
            2 => format!(", first_circuit = {:?}", &channels[..channels.len() / 2]),
            _ => String::new(),
        };
        let own = format!(
            "{name:?} = {{ kind = \"hydraulic modulator\", from = {before:?}{first}{} }}\n",
            inline(&lines)
        );
        self.text.insert_str(at, &own);
        self.modulators.push((name, channels));
        Ok(())
    }

    fn modulator_of_two(&mut self, d: &mut Draw<'_, '_>, chambers: &[String]) -> Result<()> {
        let pipes = [self.chain(d, &chambers[0])?, self.chain(d, &chambers[1])?];
        self.modulator(d, &pipes, 0)
    }
}
