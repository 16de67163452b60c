//! Random but sensible cars and procedures, as scenario text: trees, tees, loops, valves, calipers of two
//! halves, modulators, several bleeders open at once, waits, pockets, every supply; and parts and supplies of any kind
//! that there is, also of one added later.

mod file;

use super::kinds::{choice, holds_back, usual, written};
use farwheel::keys::table::keys_in;
use farwheel::keys::{Form, Key, LeftOut, Role, Table};
use farwheel::{parts, supply};
use proptest::prelude::*;

/// Keys that have to agree with what else is there: left out.
const NOT_ALONE: [&str; 14] = [
    "joint_remix",
    "fitted",
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
    /// The unit's rooms, where they are not those by default.
    pub rooms: Option<Rooms>,
    /// Parts of any kind behind the lines.
    pub extras: Vec<Extra>,
    /// A supply of any kind that pushes instead.
    pub other_supply: Option<Extra>,
    /// Stages, pocket, exchange and bypass of the reservoir's common space, where it is not one mixed body.
    pub common_space: Option<(u32, f64, f64, f64)>,
    /// Height of the clear hose's end above the bleeder, m, whether it is in fluid, and whether the master cylinder has
    /// centre valves.
    pub outlet: Option<(f64, bool, bool)>,
}

/// Rooms of a modulator: volumes, mL, which may be none, how they trade, and what opens the accumulator, kPa.
#[derive(Debug, Clone, Copy)]
pub struct Rooms {
    pub accumulator_ml: f64,
    pub damper_ml: f64,
    pub exchanges: (f64, f64),
    pub opens_kpa: f64,
    pub suction_share: f64,
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

prop_compose! {
    fn end()(
        hose_m in 0.1..0.8_f64,
        drum in any::<bool>(),
        volume_ml in 1.0..60.0_f64,
        stages in 1..4_u32,
        pocket in prop_oneof![Just(0.0), 0.05..0.6_f64],
        pocket_time in any::<bool>(),
        bypass in prop_oneof![Just(0.0), 0.05..0.5_f64],
        // Up to 12 kPa may stop gravity; that has to end well, too.
        valve in (0..8_u8, 0.0..12.0_f64),
        halves in prop::bool::weighted(0.3),
    ) -> End {
        End { hose_m, drum, volume_ml, stages, pocket, pocket_time, bypass, valve, halves }
    }
}

prop_compose! {
    fn branch()(
        length_m in 0.2..6.0_f64,
        bends in 0..10_u32,
        remix in prop_oneof![Just(0.0), Just(1.0), 0.0..1.0_f64],
        plug in prop::bool::weighted(0.15),
        ends in prop::collection::vec(end(), 1..3),
    ) -> Branch {
        Branch { length_m, bends, remix, plug, ends }
    }
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
        // `pistons`, which would do in place of `new_pads`, are not drawn.
        let needed = key.left_out == LeftOut::Required || holds_back(key) || key.name == "new_pads";
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

fn rooms() -> impl Strategy<Value = Rooms> {
    let some = |most: f64| prop_oneof![1 => Just(0.0), 3 => 0.05..most];
    let share = || prop_oneof![1 => Just(0.0), 1 => Just(1.0), 3 => 0.05..1.0_f64];
    let drawn = (some(2.0), some(3.0), (share(), share()), some(250.0), share());
    drawn.prop_map(|(accumulator_ml, damper_ml, exchanges, opens_kpa, suction_share)| Rooms {
        accumulator_ml,
        damper_ml,
        exchanges,
        opens_kpa,
        suction_share,
    })
}

fn common_space() -> impl Strategy<Value = (u32, f64, f64, f64)> {
    let some = |most: f64| prop_oneof![Just(0.0), 0.02..most];
    (1..12_u32, some(0.8), 0.01..1.0_f64, some(0.6))
}

prop_compose! {
    /// A random car.
    pub fn car()(
        chambers in prop::collection::vec(prop::collection::vec(branch(), 1..3), 1..3),
        undivided in any::<bool>(),
        crossover in prop::option::of((0.1..1.5_f64, 0..4_u32)),
        level_ml in 60.0..190.0_f64,
        wear in 0.0..1.0_f64,
        supply in prop_oneof![
            3 => Just("vessel"),
            1 => Just("head"),
            1 => Just("pump"),
            2 => Just("foot"),
            1 => Just("careful foot"),
        ],
        steps in prop::collection::vec(doing(), 1..7),
        passes in 1..3_u32,
        unit in prop::option::weighted(0.3, (any::<bool>(), 0.1..2.0_f64)),
        // Last, so that cars by their seeds stay what they were but for these.
        extras in prop::collection::vec(extra(), 0..3),
        other_supply in prop::option::weighted(0.2, other_supply()),
        (common_space, outlet, rooms) in (
            prop::option::weighted(0.4, common_space()),
            prop::option::weighted(0.3, (-0.5..0.4_f64, any::<bool>(), any::<bool>())),
            prop::option::weighted(0.7, rooms()),
        ),
    ) -> Car {
        Car {
            chambers, undivided, crossover, level_ml, wear, supply, steps, passes, unit, extras, other_supply,
            common_space, outlet, rooms,
        }
    }
}

impl Car {
    /// The car without the parts and the supply of any kind, its reservoir one mixed body, its unit as by default.
    pub fn plain(self) -> Self {
        Self {
            extras: Vec::new(),
            other_supply: None,
            common_space: None,
            outlet: None,
            rooms: None,
            ..self
        }
    }

    /// What pushes.
    pub fn supply(&self) -> &'static str {
        if self.other_supply.is_some() { "other" } else { self.supply }
    }
}
