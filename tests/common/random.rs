//! Random but sensible cars and procedures, as scenario text: trees, tees, loops, several bleeders open
//! at once, waits, pockets, every supply.

use proptest::prelude::*;
use std::fmt::Write as _;

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
    )
        .prop_map(|(hose_m, drum, volume_ml, stages, pocket, pocket_time, bypass)| End {
            hose_m,
            drum,
            volume_ml,
            stages,
            pocket,
            pocket_time,
            bypass,
        })
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
    ]
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
    )
        .prop_map(|(chambers, undivided, crossover, level_ml, wear, supply, steps, passes)| {
            Car { chambers, undivided, crossover, level_ml, wear, supply, steps, passes }
        })
}

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
             level = \"{:.3} mL\"\ntopped_up = true\nmin = \"60 mL\"\nmax = \"200 mL\"\nbrim = \"270 mL\"\n\
             [master_cylinder]\nchambers = {names:?}\nvolume = \"9 mL\"\n[parts]\n",
            self.wear, self.level_ml
        );
        let mut bleeders = Vec::new();
        for (c, branches) in self.chambers.iter().enumerate() {
            for (b, branch) in branches.iter().enumerate() {
                self.branch(&mut t, &names[c], &format!("{c}{b}"), branch, &mut bleeders);
            }
        }
        if let (Some((length, bends)), true) = (self.crossover, bleeders.len() > 1) {
            let (a, b) = (&bleeders[0], &bleeders[bleeders.len() - 1]);
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
             [supplies.\"careful foot\"]\nkind = \"pedal\"\nstroke_used = \"40 %\"\nport_closing = \"1 mL\"\ntopped_up = false\n\
             [procedure]\n",
        );
        let supply = self.supply;
        let _ = writeln!(t, "supply = {supply:?}\npasses = {}\nsteps = [", self.passes);
        for step in &self.steps {
            self.step(&mut t, step, &bleeders);
        }
        // A procedure opens at least one bleeder.
        let _ = writeln!(t, "  {{ open = {:?}, until = \"10 mL\" }},\n]", bleeders[0]);
        t
    }

    fn branch(
        &self,
        t: &mut String,
        from: &str,
        name: &str,
        b: &Branch,
        bleeders: &mut Vec<String>,
    ) {
        let profile = if b.plug { "plug" } else { "laminar" };
        let _ = writeln!(
            t,
            "\"line {name}\" = {{ kind = \"line\", from = {from:?}, length = \"{:.4} m\", bends = {}, remix_per_bend = {:.4}, profile = {profile:?} }}",
            b.length_m, b.bends, b.remix
        );
        let from = if b.ends.len() > 1 {
            let _ = writeln!(t, "\"tee {name}\" = {{ kind = \"tee\", from = \"line {name}\" }}");
            format!("tee {name}")
        } else {
            format!("line {name}")
        };
        for (i, end) in b.ends.iter().enumerate() {
            let wheel = format!("W{name}{i}");
            let _ = writeln!(
                t,
                "\"hose {wheel}\" = {{ kind = \"hose\", from = \"{from}\", length = \"{:.4} m\" }}",
                end.hose_m
            );
            let volume = if end.drum {
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
                "{wheel} = {{ {volume}, from = \"hose {wheel}\", stages = {}, pocket = {:.4}, bypass = {:.4}{time} }}",
                end.stages, end.pocket, end.bypass
            );
            bleeders.push(wheel);
        }
    }

    fn step(&self, t: &mut String, step: &Doing, bleeders: &[String]) {
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
            Doing::RePump if self.supply == "vessel" => {
                writeln!(t, "  {{ re_pump = \"14 psi\" }},")
            }
            Doing::Relieve if self.supply == "vessel" => {
                writeln!(t, "  {{ relieve = true }},\n  {{ re_pump = \"15 psi\" }},")
            }
            Doing::Load if self.supply == "vessel" => writeln!(t, "  {{ load = \"0.2 L\" }},"),
            Doing::RePump | Doing::Relieve | Doing::Load => Ok(()),
        };
    }
}
