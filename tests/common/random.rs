//! Random but sensible cars and procedures, as scenario text: trees, tees, loops, valves, calipers of two
//! halves, modulators, several bleeders open at once, waits, pockets, every supply; and parts and supplies of any kind
//! that there is, also of one added later.

use super::kinds::{self, choice, holds_back, usual, written};
use farwheel::keys::table::keys_in;
use farwheel::keys::{Ends, Form, Key, LeftOut, Role, Table};
use farwheel::{parts, supply};
use proptest::prelude::*;
use std::fmt::Write as _;

/// Keys that have to agree with what else is there: left out.
const NOT_ALONE: [&str; 13] = [
    "joint_remix",
    "worn_pads",
    "worn_shoes",
    "shell",
    "heel",
    "re_pump_below",
    "feed_hose_length",
    "feed_hose_bore",
    "stroke",
    "stroke_used",
    "refill_below",
    "refill_to",
    // The tests say how much there is.
    "water",
];

/// A random scenario.
#[derive(Debug, Clone)]
pub struct Car {
    pub chambers: Vec<Vec<Branch>>,
    pub undivided: bool,
    pub crossover: Option<(f64, u32)>,
    pub level_ml: f64,
    pub wear: f64,
    pub supply: &'static str,
    pub steps: Vec<Doing>,
    pub passes: u32,
    /// A hydraulic modulator between master cylinder and lines: with ESC, mL a cycle.
    pub unit: Option<(bool, f64)>,
    /// Parts of any kind behind the lines.
    pub extras: Vec<Extra>,
    /// A supply of any kind that pushes instead.
    pub other_supply: Option<Extra>,
}

/// A part or supply of any kind.
#[derive(Debug, Clone)]
pub struct Extra {
    /// The branch in whose line it stands, modulo how many there are.
    pub at: usize,
    /// The word of its kind.
    pub kind: &'static str,
    /// `key = value`, as it is written.
    pub keys: Vec<String>,
}

impl Extra {
    fn part(&self) -> &'static parts::Kind {
        let own = |k: &&parts::Kind| k.spec().name == self.kind;
        parts::Kind::all().iter().find(own).expect("drawn from these")
    }
}

/// A line from a chamber, with one caliper at its end or two behind a tee.
#[derive(Debug, Clone)]
pub struct Branch {
    pub length_m: f64,
    pub bends: u32,
    pub remix: f64,
    pub plug: bool,
    pub ends: Vec<End>,
}

/// A hose and the wheel brake behind it.
#[derive(Debug, Clone)]
pub struct End {
    pub hose_m: f64,
    pub drum: bool,
    pub volume_ml: f64,
    pub stages: u32,
    pub pocket: f64,
    pub pocket_time: bool,
    pub bypass: f64,
    /// What stands between hose and wheel brake, by number, and how much it holds back, kPa.
    pub valve: (u8, f64),
    pub halves: bool,
}

/// A step of the procedure; bleeders by number, modulo how many there are.
#[derive(Debug, Clone)]
pub enum Doing {
    Open(Vec<usize>, f64, bool),
    Wait(f64, Option<f64>),
    Syringe(f64),
    TopUp(f64),
    SetLevel(f64),
    RePump,
    Relieve,
    Load,
    /// Work the modulator: channels, seconds, pump, with a bleeder open.
    Work(Vec<usize>, f64, bool, Option<usize>),
}

fn end() -> impl Strategy<Value = End> {
    (
        0.1..0.8_f64,
        any::<bool>(),
        1.0..60.0_f64,
        1..4_u32,
        prop_oneof![Just(0.0), 0.05..0.6_f64],
        any::<bool>(),
        prop_oneof![Just(0.0), 0.05..0.5_f64],
        // Up to 12 kPa may stop gravity; that has to end well, too.
        (0..8_u8, 0.0..12.0_f64),
        prop::bool::weighted(0.3),
    )
        .prop_map(
            |(hose_m, drum, volume_ml, stages, pocket, pocket_time, bypass, valve, halves)| End {
                hose_m,
                drum,
                volume_ml,
                stages,
                pocket,
                pocket_time,
                bypass,
                valve,
                halves,
            },
        )
}

fn branch() -> impl Strategy<Value = Branch> {
    (
        0.2..6.0_f64,
        0..10_u32,
        prop_oneof![Just(0.0), Just(1.0), 0.0..1.0_f64],
        prop::bool::weighted(0.15),
        prop::collection::vec(end(), 1..3),
    )
        .prop_map(|(length_m, bends, remix, plug, ends)| Branch {
            length_m,
            bends,
            remix,
            plug,
            ends,
        })
}

fn doing() -> impl Strategy<Value = Doing> {
    let open = (prop::collection::vec(0..16_usize, 1..4), 2.0..90.0_f64, any::<bool>())
        .prop_map(|(b, ml, clean)| Doing::Open(b, ml, clean));
    prop_oneof![
        6 => open,
        2 => (10.0..900.0_f64, prop::option::of(0.0..1.0_f64)).prop_map(|(t, r)| Doing::Wait(t, r)),
        1 => (20.0..100.0_f64).prop_map(Doing::Syringe),
        1 => (100.0..190.0_f64).prop_map(Doing::TopUp),
        1 => (60.0..190.0_f64).prop_map(Doing::SetLevel),
        1 => Just(Doing::RePump),
        1 => Just(Doing::Relieve),
        1 => Just(Doing::Load),
        2 => work(),
    ]
}

fn work() -> impl Strategy<Value = Doing> {
    (
        prop::collection::vec(0..16_usize, 0..3),
        0.5..15.0_f64,
        prop::bool::weighted(0.8),
        prop::option::of(0..16_usize),
    )
        .prop_map(|(channels, s, pump, open)| Doing::Work(channels, s, pump, open))
}

/// Keys with values: those that are needed and, where one is drawn, others.
fn filled(table: &mut dyn Table, drawn: &[Option<f64>]) -> Vec<String> {
    let mut out = Vec::new();
    for (key, x) in keys_in(table).iter().zip(drawn.iter().cycle()) {
        let needed = key.left_out == LeftOut::Required || holds_back(key);
        if !NOT_ALONE.contains(&key.name) && (needed || x.is_some()) {
            let value = value(key, x.unwrap_or(0.5));
            out.extend(value.map(|v| format!("{} = {v}", key.name)));
        }
    }
    out
}

/// From half to double of what is usual; what a valve holds back, up to what may stop gravity.
fn value(key: &Key, x: f64) -> Option<String> {
    let Form::Quantity(bound) = key.form else { return choice(key, x) };
    let si = match holds_back(key) {
        true => 12e3 * x,
        false => usual(key, bound) * 4_f64.powf(x - 0.5),
    };
    Some(written(bound, si.clamp(bound.min, bound.max)))
}

/// Of any kind that fits into a line. A modulator has its place; a clutch's cylinder is a volume like any other.
fn extra() -> impl Strategy<Value = Extra> {
    let fits: Vec<_> =
        parts::Kind::all().iter().filter(|k| k.spec().role != Role::Modulator).collect();
    (0..16_usize, prop::sample::select(fits), drawn()).prop_map(|(at, kind, drawn)| Extra {
        at,
        kind: kind.spec().name,
        keys: filled(&mut *kind.clone(), &drawn),
    })
}

fn other_supply() -> impl Strategy<Value = Extra> {
    let kinds: Vec<_> = supply::Kind::all().iter().collect();
    (prop::sample::select(kinds), drawn()).prop_map(|(kind, drawn)| Extra {
        at: 0,
        kind: kind.word(),
        keys: filled(&mut *kind.clone(), &drawn),
    })
}

/// For each key in turn, whether it is written and where in its range it lies.
fn drawn() -> impl Strategy<Value = Vec<Option<f64>>> {
    prop::collection::vec(prop::option::weighted(0.25, 0.0..=1.0_f64), 20)
}

/// A random car.
pub fn car() -> impl Strategy<Value = Car> {
    (
        prop::collection::vec(prop::collection::vec(branch(), 1..3), 1..3),
        any::<bool>(),
        prop::option::of((0.1..1.5_f64, 0..4_u32)),
        60.0..190.0_f64,
        0.0..1.0_f64,
        prop_oneof![
            3 => Just("vessel"),
            1 => Just("head"),
            1 => Just("pump"),
            2 => Just("foot"),
            1 => Just("careful foot"),
        ],
        prop::collection::vec(doing(), 1..7),
        1..3_u32,
        prop::option::weighted(0.3, (any::<bool>(), 0.1..2.0_f64)),
        // Last, so that cars by their seeds stay what they were but for these.
        prop::collection::vec(extra(), 0..3),
        prop::option::weighted(0.2, other_supply()),
    )
        .prop_map(
            |(
                chambers,
                undivided,
                crossover,
                level_ml,
                wear,
                supply,
                steps,
                passes,
                unit,
                extras,
                other_supply,
            )| Car {
                chambers,
                undivided,
                crossover,
                level_ml,
                wear,
                supply,
                steps,
                passes,
                unit,
                extras,
                other_supply,
            },
        )
}

impl Car {
    /// The car without the parts and the supply of any kind.
    pub fn plain(self) -> Self {
        Self { extras: Vec::new(), other_supply: None, ..self }
    }

    /// What pushes.
    pub fn supply(&self) -> &'static str {
        if self.other_supply.is_some() { "other" } else { self.supply }
    }

    /// The car as a scenario file.
    pub fn toml(&self) -> String {
        let mut t = String::new();
        let names: Vec<String> = (0..self.chambers.len()).map(|i| format!("chamber {i}")).collect();
        let outlets = if self.undivided { vec!["all".to_owned()] } else { names.clone() };
        let _ = write!(
            t,
            "title = \"random\"\n[vehicle]\npad_wear = {:.4}\n[old_fluid]\ngrade = \"DOT 4\"\nwater = \"2 %\"\n\
             [new_fluid]\ngrade = \"DOT 4\"\n[reservoir]\noutlets = {outlets:?}\ncompartment = \"25 mL\"\n\
             level = \"{:.3} mL\"\ntopped_up = true\nmin = \"60 mL\"\nmax = \"200 mL\"\nbrim = \"270 mL\"\n\
             [master_cylinder]\nchambers = {names:?}\nvolume = \"9 mL\"\npocket = {:.4}\n[parts]\n",
            self.wear,
            self.level_ml,
            // Half of that in its first wheel: a stroke needs room.
            0.5 * self.chambers[0][0].ends[0].pocket
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
            "unit = {{ kind = \"hydraulic modulator\", from = {pipes:?}{first}, esc = {esc}, cycle_volume = \"{cycle_ml:.3} mL\" }}"
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
