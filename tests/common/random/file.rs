//! A random car as a scenario file.

use super::super::kinds;
use super::{Branch, Car, Doing, Extra};
use farwheel::keys::Ends;
use std::fmt::Write as _;

impl Car {
    /// The car as a scenario file.
    pub fn toml(&self) -> String {
        let mut t = String::new();
        let names: Vec<String> = (0..self.chambers.len()).map(|i| format!("chamber {i}")).collect();
        let outlets = if self.undivided { vec!["all".to_owned()] } else { names.clone() };
        let _ = write!(
            t,
            "title = \"random\"\n[vehicle]\npad_wear = {:.4}\n[old_fluid]\ngrade = \"DOT 4\"\nwater = \"2 %\"\n\
             [new_fluid]\ngrade = \"DOT 4\"\n[reservoir]\noutlets = {outlets:?}\ncompartment = \"25 mL\"\n\
             level = \"{:.3} mL\"\ntopped_up = true\nmin = \"60 mL\"\nmax = \"200 mL\"\nbrim = \"270 mL\"\n{}\
             [master_cylinder]\nchambers = {names:?}\nvolume = \"9 mL\"\npocket = {:.4}\n{}[parts]\n",
            self.wear,
            self.level_ml,
            self.common_space.map_or(String::new(), |(stages, pocket, exchange, bypass)| format!(
                "stages = {stages}\npocket = {pocket:.4}\npocket_exchange = {exchange:.4}\nbypass = {bypass:.4}\n"
            )),
            // Half of that in its first wheel: a stroke needs room.
            0.5 * self.chambers[0][0].ends[0].pocket,
            self.outlet.map_or(String::new(), |(above_m, in_fluid, valves)| format!(
                "{}[clear_hose]\nend_above = \"{above_m:.3} m\"\nend_in_fluid = {in_fluid}\n",
                if valves { "centre_valve = \"2 mm\"\n" } else { "" }
            ))
        );
        let (mut bleeders, mut wheels) = (Vec::new(), Vec::new());
        let mut channels = Vec::new();
        self.unit(&mut t, &names);
        for (c, branches) in self.chambers.iter().enumerate() {
            for (b, branch) in branches.iter().enumerate() {
                let from = if self.unit.is_some() { "unit" } else { &names[c] };
                channels.push(format!("line {c}{b}"));
                let tag = (channels.len() - 1, format!("{c}{b}"));
                self.branch(&mut t, from, tag, branch, &mut bleeders, &mut wheels);
            }
        }
        for (i, extra) in self.extras.iter().enumerate() {
            bleeders.extend(kinds::bleeders(extra.part(), &format!("extra {i}")));
        }
        if let (Some((length, bends)), true) = (self.crossover, wheels.len() > 1) {
            let (a, b) = (&wheels[0], &wheels[wheels.len() - 1]);
            let _ = writeln!(
                t,
                "crossover = {{ kind = \"line\", from = {a:?}, to = {b:?}, length = \"{length:.3} m\", bends = {bends} }}"
            );
        }
        t.push_str(
            "[supplies.vessel]\nkind = \"pressure bleeder\"\nloaded = \"2.5 L\"\ngauge = \"15 psi\"\nre_pump_below = \"10 psi\"\n\
             [supplies.head]\nkind = \"gravity\"\n\
             [supplies.pump]\nkind = \"vacuum\"\nvacuum = \"18 inHg\"\n\
             [supplies.foot]\nkind = \"pedal\"\nrefill_below = \"80 mL\"\n\
             [supplies.\"careful foot\"]\nkind = \"pedal\"\nstroke_used = \"40 %\"\nport_closing = \"1 mL\"\ntopped_up = false\n",
        );
        if let Some(other) = &self.other_supply {
            let _ = writeln!(t, "[supplies.other]\nkind = {:?}", other.kind);
            other.keys.iter().for_each(|line| t.extend([line, "\n"]));
        }
        t.push_str("[procedure]\n");
        let supply = self.supply();
        let _ = writeln!(t, "supply = {supply:?}\npasses = {}\nsteps = [", self.passes);
        for step in &self.steps {
            self.step(&mut t, step, &bleeders, &channels);
        }
        // A procedure opens at least one bleeder.
        let _ = writeln!(t, "  {{ open = {:?}, until = \"10 mL\" }},\n]", bleeders[0]);
        t
    }

    /// A line from each chamber to the modulator, which feeds every branch.
    fn unit(&self, t: &mut String, chambers: &[String]) {
        let Some((esc, cycle_ml)) = self.unit else { return };
        let pipes: Vec<String> = chambers.iter().map(|c| format!("pipe {c}")).collect();
        for (pipe, chamber) in pipes.iter().zip(chambers) {
            let _ = writeln!(
                t,
                "{pipe:?} = {{ kind = \"line\", from = {chamber:?}, length = \"0.5 m\" }}"
            );
        }
        let first: Vec<String> =
            (0..self.chambers[0].len()).map(|b| format!("line 0{b}")).collect();
        let first =
            if pipes.len() > 1 { format!(", first_circuit = {first:?}") } else { String::new() };
        let _ = writeln!(
            t,
            "unit = {{ kind = \"hydraulic modulator\", from = {pipes:?}{first}, esc = {esc}, cycle_volume = \"{cycle_ml:.3} mL\"{} }}",
            self.rooms.as_ref().map_or(String::new(), |r| format!(
                ", accumulator = \"{:.3} mL\", damper = \"{:.3} mL\", accumulator_exchange = {:.4}, damper_exchange = {:.4}, accumulator_opens = \"{:.1} kPa\", suction_share = {:.4}",
                r.accumulator_ml, r.damper_ml, r.exchanges.0, r.exchanges.1, r.opens_kpa, r.suction_share
            ))
        );
    }

    fn branch(
        &self,
        t: &mut String,
        from: &str,
        (number, name): (usize, String),
        b: &Branch,
        bleeders: &mut Vec<String>,
        wheels: &mut Vec<String>,
    ) {
        let profile = if b.plug { "plug" } else { "laminar" };
        let _ = writeln!(
            t,
            "\"line {name}\" = {{ kind = \"line\", from = {from:?}, length = \"{:.4} m\", bends = {}, remix_per_bend = {:.4}, profile = {profile:?} }}",
            b.length_m, b.bends, b.remix
        );
        let last = self.extras(t, number, format!("line {name}"));
        let from = if b.ends.len() > 1 {
            let _ = writeln!(t, "\"tee {name}\" = {{ kind = \"tee\", from = \"{last}\" }}");
            format!("tee {name}")
        } else {
            last
        };
        for (i, end) in b.ends.iter().enumerate() {
            let wheel = format!("W{name}{i}");
            let _ = writeln!(
                t,
                "\"hose {wheel}\" = {{ kind = \"hose\", from = \"{from}\", length = \"{:.4} m\" }}",
                end.hose_m
            );
            let valve = match end.valve {
                (0, kpa) => {
                    format!("kind = \"residual-pressure valve\", cracking = \"{kpa:.3} kPa\"")
                }
                (1, kpa) => format!(
                    "kind = \"load-sensing proportioning valve\", cracking_hanging = \"{kpa:.3} kPa\""
                ),
                (2, _) => "kind = \"metering valve\", held_open = true".to_owned(),
                _ => String::new(),
            };
            let before = if valve.is_empty() { "hose" } else { "valve" };
            if !valve.is_empty() {
                let _ = writeln!(t, "\"valve {wheel}\" = {{ {valve}, from = \"hose {wheel}\" }}");
            }
            let volume = if end.halves {
                format!(
                    "kind = \"two-bleeder caliper\", bleeders = [\"{wheel} inner\", \"{wheel} outer\"], new_pads = \"{:.4} mL\"",
                    end.volume_ml
                )
            } else if end.drum {
                format!("kind = \"wheel cylinder\", volume = \"{:.4} mL\"", end.volume_ml)
            } else {
                format!(
                    "kind = \"caliper\", new_pads = \"{:.4} mL\", worn_pads = \"{:.4} mL\"",
                    end.volume_ml,
                    1.5 * end.volume_ml
                )
            };
            let time = if end.pocket_time { ", pocket_time = \"5 min\"" } else { "" };
            let _ = writeln!(
                t,
                "{wheel} = {{ {volume}, from = \"{before} {wheel}\", stages = {}, pocket = {:.4}, bypass = {:.4}{time} }}",
                end.stages, end.pocket, end.bypass
            );
            if end.halves {
                bleeders.extend(["inner", "outer"].map(|half| format!("{wheel} {half}")));
            } else {
                bleeders.push(wheel.clone());
            }
            wheels.push(wheel);
        }
    }

    /// What stands behind this line; the name of the last of them.
    fn extras(&self, t: &mut String, number: usize, mut last: String) -> String {
        let branches = self.chambers.iter().flatten().count();
        let here = |e: &Extra| e.at % branches == number;
        for (i, extra) in self.extras.iter().enumerate().filter(|(_, e)| here(e)) {
            let (name, word) = (format!("extra {i}"), extra.kind);
            let _ = write!(t, "{name:?} = {{ kind = {word:?}, from = {last:?}");
            let bleeders = kinds::bleeders(extra.part(), &name);
            if bleeders.len() > 1 {
                let _ = write!(t, ", bleeders = {bleeders:?}");
            }
            extra.keys.iter().for_each(|key| t.extend([", ", key]));
            t.push_str(" }\n");
            last = name;
            if extra.part().spec().ends == Ends::Node {
                let behind = format!("behind {last}");
                let _ = writeln!(
                    t,
                    "{behind:?} = {{ kind = \"line\", from = {last:?}, length = \"0.3 m\" }}"
                );
                last = behind;
            }
        }
        last
    }

    fn step(&self, t: &mut String, step: &Doing, bleeders: &[String], channels: &[String]) {
        let _ = match step {
            Doing::Open(numbers, ml, clean) => {
                let mut open: Vec<&String> =
                    numbers.iter().map(|n| &bleeders[n % bleeders.len()]).collect();
                open.sort();
                open.dedup();
                let until = if *clean {
                    format!("clean, at least {:.2} mL, at most {:.2} mL", 0.3 * ml, 2.0 * ml)
                } else {
                    format!("{ml:.3} mL")
                };
                writeln!(t, "  {{ open = {open:?}, until = {until:?} }},")
            }
            Doing::Wait(s, Some(r)) => writeln!(t, "  {{ wait = \"{s:.1} s\", remix = {r:.4} }},"),
            Doing::Wait(s, None) => writeln!(t, "  {{ wait = \"{s:.1} s\" }},"),
            Doing::Syringe(ml) => writeln!(t, "  {{ syringe = \"{ml:.2} mL\" }},"),
            Doing::TopUp(ml) => writeln!(t, "  {{ top_up = \"{ml:.2} mL\" }},"),
            Doing::SetLevel(ml) => writeln!(t, "  {{ set_level = \"{ml:.2} mL\" }},"),
            Doing::RePump if self.supply() == "vessel" => {
                writeln!(t, "  {{ re_pump = \"14 psi\" }},")
            }
            Doing::Relieve if self.supply() == "vessel" => {
                writeln!(t, "  {{ relieve = true }},\n  {{ re_pump = \"15 psi\" }},")
            }
            Doing::Load if self.supply() == "vessel" => writeln!(t, "  {{ load = \"0.2 L\" }},"),
            Doing::Work(numbers, s, pump, open) if self.unit.is_some() => {
                let mut worked: Vec<&String> =
                    numbers.iter().map(|n| &channels[n % channels.len()]).collect();
                worked.sort();
                worked.dedup();
                let mut more = String::new();
                if !worked.is_empty() {
                    let _ = write!(more, ", channels = {worked:?}");
                }
                if let Some(n) = open {
                    let _ = write!(more, ", bleeders = {:?}", bleeders[n % bleeders.len()]);
                }
                writeln!(
                    t,
                    "  {{ work_modulator = \"unit\", time = \"{s:.2} s\", pump = {pump}{more} }},"
                )
            }
            Doing::RePump | Doing::Relieve | Doing::Load | Doing::Work(..) => Ok(()),
        };
    }
}
