//! The fixed tables of a scenario file, but for those of the fluids ([`crate::fluid::declared`]).

pub use super::vehicle_kind::{Split, VehicleKind};
use crate::fluid::declared::{NewFluid, OldFluid};
use crate::keys::LeftOut::{Absent, Required, Rule, Source, Text};
use crate::keys::bounds::{
    ABOVE, BYPASS, CLEAR_HOSE_LENGTH, COMPARTMENT, CRACKING, GAUGE_LIMIT, HEIGHT, HOLD,
    HOLE_LENGTH, LEVEL, LOOK, MARK, MASTER_BORE, MASTER_CHAMBER, OLD_FRACTION, PAD_WEAR, POCKET,
    PORT_BORE, SHOP_HOSE_BORE, TASK, TEMPERATURE, THRESHOLD, WATCHED, WATER,
};
use crate::keys::table::table;
use crate::keys::worded::worded;
use crate::keys::{Key, Quantity, Table, bounds, keys_of};
use crate::parts::mixing::{Mixing, Stages, Trade};

/// A fixed table: its name, what it is, whether it may be left out.
#[derive(Debug, Clone, Copy)]
pub struct Fixed {
    /// The word between the brackets.
    pub name: &'static str,
    /// One sentence: what it is.
    pub doc: &'static str,
    /// Whether a file without it is refused.
    pub required: bool,
    /// Its keys.
    pub keys: fn() -> Vec<Key>,
}

const fn fixed<T: Table + Default>(name: &'static str, required: bool, doc: &'static str) -> Fixed {
    Fixed { name, doc, required, keys: keys_of::<T> }
}

/// `[vehicle]`.
pub static VEHICLE: Fixed = fixed::<Vehicle>("vehicle", false, "The vehicle as a whole.");
/// `[old_fluid]`.
pub static OLD_FLUID: Fixed = fixed::<OldFluid>("old_fluid", true, "What is in the circuit.");
/// `[new_fluid]`.
pub static NEW_FLUID: Fixed = fixed::<NewFluid>("new_fluid", true, "What is poured in.");
/// `[reservoir]`.
pub static RESERVOIR: Fixed = fixed::<Reservoir>(
    "reservoir",
    true,
    "The reservoir: a common space above, one compartment per outlet below the dividing wall.",
);
/// `[master_cylinder]`.
pub static MASTER_CYLINDER: Fixed = fixed::<MasterCylinder>(
    "master_cylinder",
    true,
    "The master cylinder; parts start from its chambers.",
);
/// `[clear_hose]`.
pub static CLEAR_HOSE: Fixed = fixed::<ClearHose>(
    "clear_hose",
    false,
    "The clear hose the technician watches, and when it counts as clean.",
);

/// `[described]`.
pub static DESCRIBED: Fixed =
    fixed::<AsDescribed>("described", false, "The answers that `describe` made the scenario of.");

/// Every fixed table but `[procedure]`, in the order in which the data flows.
pub static TABLES: [&Fixed; 7] =
    [&DESCRIBED, &VEHICLE, &OLD_FLUID, &NEW_FLUID, &RESERVOIR, &MASTER_CYLINDER, &CLEAR_HOSE];

worded! {
    /// Side of the steering wheel. Other words: common practice, no source.
    pub enum Side {
        /// Left.
        Left = "left" | "LHD" | "left-hand drive",
        /// Right.
        Right = "right" | "RHD" | "right-hand drive",
    }
}

worded! {
    /// Whether the brakes have an accumulator.
    pub enum Accumulator {
        /// They have none.
        None = "none",
        /// They have one under high pressure.
        HighPressure = "high pressure",
    }
}

worded! {
    /// What fills the clear hose when it is put on.
    pub enum Filling {
        /// Old fluid.
        Old = "old",
        /// New fluid.
        New = "new",
    }
}

table! {
    /// `[vehicle]`.
    pub struct Vehicle {
        /// Temperature of the fluid and the bay.
        pub temperature: Quantity [&TEMPERATURE] = Text("20 °C");
        /// Side of the steering wheel as seen from the driver's seat.
        pub steering: Side = Text("left");
        /// What kind of vehicle it is: tells brim, compartments and chambers where they are left out, and the card its words.
        pub kind: Option<VehicleKind> = Absent;
        /// How the circuits are split, as in DIN 74000; for reports only.
        pub split: Option<Split> = Absent;
        /// Wear of pads and shoes, 0 % new to 100 % worn out; it moves fluid from the reservoir into the calipers.
        pub pad_wear: Quantity [&PAD_WEAR] = Text("0 %");
        /// The maker's limit on the gauge pressure of a supply.
        pub gauge_limit: Option<Quantity> [&GAUGE_LIMIT] = Absent;
        /// Whether the brakes have a high-pressure accumulator; such systems are refused.
        pub accumulator: Accumulator = Text("none");
        /// Whether the brakes are actuated by wire; such systems are refused.
        pub by_wire: bool = Text("false");
        /// Free text.
        pub note: Option<String> = Absent;
    }
}

table! {
    /// `[described]`.
    pub struct AsDescribed {
        /// Each known answer as `id = answer`; they tell which values are still guesses.
        pub answers: Vec<String> = Absent;
    }
}

table! {
    /// `[reservoir]`.
    pub struct Reservoir {
        /// Outlets, one compartment each, named after the chambers they feed; a single outlet feeds all, and a further one is where a part starts from (a clutch's feed hose). Absent: one for each chamber of the master cylinder.
        pub outlets: Vec<String> = Absent;
        /// Volume of each compartment below the dividing wall; needed with two or more outlets, unless the kind of vehicle tells it.
        pub compartment: Option<Quantity> [&COMPARTMENT] = Absent;
        /// Fluid in the whole reservoir at the start.
        pub level: Quantity [&LEVEL] = Required;
        /// Whether the reservoir was topped up since the pads were new; if not, pad wear has lowered it and `level` is what was in it with new pads.
        pub topped_up: bool = Text("true");
        /// Volume up to the MIN mark.
        pub min: Quantity [&MARK] = Required;
        /// Volume up to the MAX mark.
        pub max: Quantity [&MARK] = Required;
        /// Volume up to the brim.
        pub brim: Quantity [&bounds::RESERVOIR] = Rule("by kind of vehicle: 1.3 times MAX, on a motorcycle 1.2");
        /// Height of the fluid's surface above the ground.
        pub height: Quantity [&HEIGHT] = Text("0.9 m");
        /// Water in it at the start; absent, that of its old and of new fluid, each by its share.
        pub water: Option<Quantity> [&WATER] = Absent;
        /// Old fraction in it at the start; absent, all old.
        pub old_fraction: Option<Quantity> [&OLD_FRACTION] = Absent;
        /// Stages of its common space, from where fluid comes in to the outlets.
        pub stages: Stages;
        /// Share of its common space in dead corners that trade fluid slowly with the rest.
        pub pocket: Quantity [&POCKET] = Text("0 %");
        /// How the pocket trades.
        pub trade: Trade;
        /// Share of what a supply feeds into it that runs straight to the outlets without mixing; what is poured in by hand has none.
        pub bypass: Quantity [&BYPASS] = Text("0 %");
    }
}

table! {
    /// `[master_cylinder]`. The compensating port of about 0.7 mm and a cup that lifts at about 20 kPa are practice, no
    /// source. That the port is 1.5 mm long is an estimate: a drill so thin goes some two diameters deep, and the rest of
    /// the wall is counterbored.
    pub struct MasterCylinder {
        /// Names of its chambers, for instance primary and secondary.
        pub chambers: Vec<String> = Rule("by kind of vehicle");
        /// Volume of each chamber.
        pub volume: Quantity [&MASTER_CHAMBER] = Rule("from its bore and the stroke by kind of vehicle");
        /// Its bore, in place of `volume`.
        pub bore: Option<Quantity> [&MASTER_BORE] = Source;
        /// Bore of the compensating port.
        pub compensating_port: Quantity [&PORT_BORE] = Text("0.7 mm");
        /// Length of that port, the thickness of its wall.
        pub compensating_port_length: Quantity [&HOLE_LENGTH] = Text("1.5 mm");
        /// Bore of an open centre valve in the piston, in place of compensating port and cup; absent, it has none.
        pub centre_valve: Option<Quantity> [&PORT_BORE] = Absent;
        /// Pressure difference at which fluid begins to pass the cup.
        pub cup_cracking: Quantity [&CRACKING] = Text("20 kPa");
        /// Bore of a hole that resists as the path past the cup does.
        pub cup_path: Quantity [&PORT_BORE] = Text("2 mm");
        /// How each chamber mixes.
        pub mixing: Mixing;
        /// Water in the chambers at the start; absent, that of the old fluid.
        pub water: Option<Quantity> [&WATER] = Absent;
        /// Whether it was replaced and filled with new fluid; figures hold once the air is out of it.
        pub replaced: bool = Absent;
    }
}

table! {
    /// `[clear_hose]`. The 3 s are an estimate: to look, to be sure and to take hold of the bleeder screw. A hose of 0.6 m
    /// reaches from a bleeder to a bottle on the floor or hung beside it (common practice, no source). That it ends as
    /// high as the bleeder is a middle: a bottle on the floor stands a third of a metre lower, one hung above the bleeder,
    /// lest air be drawn back, as much higher.
    pub struct ClearHose {
        /// Bore of the clear hose.
        pub bore: Quantity [&SHOP_HOSE_BORE] = Text("5 mm");
        /// Length of the clear hose to the catch bottle.
        pub length: Quantity [&CLEAR_HOSE_LENGTH] = Text("0.6 m");
        /// Height of its end above the bleeder, negative if it hangs lower; with the end in fluid, that of the fluid's surface.
        pub end_above: Quantity [&ABOVE] = Text("0 m");
        /// Whether its end is in fluid: one that hangs open below the bleeder runs empty and draws nothing.
        pub end_in_fluid: bool = Text("true");
        /// Length from the bleeder over which the eye takes the mean.
        pub watched: Quantity [&WATCHED] = Text("100 mm");
        /// What fills the clear hose when it is put on.
        pub filling: Filling = Text("new");
        /// Old fraction at or below which it looks clean.
        pub threshold: Quantity [&THRESHOLD] = Text("20 %");
        /// Volume for which it must stay clean; absent, what lies between a part twice as dirty as counts as clean and the bleeder, less of it the cleaner that part is, the watched length at least.
        pub hold: Option<Quantity> [&HOLD] = Rule("what is dirty on the path");
        /// Time for which fluid must have flowed before anything counts as clean.
        pub least_look: Quantity [&LOOK] = Text("3 s");
    }
}

table! {
    /// The keys of `[procedure]` that are not steps. Times are common practice, no source; for syringe and top-up an
    /// estimate: a reservoir is drawn empty in two or three pulls of a syringe, each emptied into the waste bottle, and
    /// topping up takes as long as pumping does.
    pub struct Tasks {
        /// Name of the supply that pushes; absent, the only one.
        pub supply: Option<String> = Absent;
        /// How many times the openings are gone through.
        pub passes: u32 [1, 20] = Text("1");
        /// Time before the first opening.
        pub setup: Quantity [&TASK] = Text("10 min");
        /// Time to move to and prepare each bleeder.
        pub per_bleeder: Quantity [&TASK] = Text("1 min");
        /// Time for each re-pump.
        pub per_re_pump: Quantity [&TASK] = Text("30 s");
        /// Time for each syringing of the reservoir: cap or adapter off, draw, empty the syringe.
        pub per_syringe: Quantity [&TASK] = Text("2 min");
        /// Time for each topping up by hand, as a step or while the job runs: open, pour, look at the mark.
        pub per_top_up: Quantity [&TASK] = Text("30 s");
        /// Time after the last opening.
        pub finish: Quantity [&TASK] = Text("10 min");
    }
}

/// The keys of `[reservoir]` and the like that stand at the top of the file.
pub(crate) const TOP: &[&str] = &[
    "title",
    "described",
    "vehicle",
    "old_fluid",
    "new_fluid",
    "reservoir",
    "master_cylinder",
    "clear_hose",
    "like",
    "parts",
    "supplies",
    "procedure",
];

/// The keys of `[procedure]` that hold steps.
pub(crate) const STEP_LISTS: [&str; 5] = ["open", "until", "steps", "before", "after"];

/// The keys of `[master_cylinder]` that a centre valve leaves without a meaning.
pub const REPLACED_BY_CENTRE_VALVE: [&str; 4] =
    ["compensating_port", "compensating_port_length", "cup_cracking", "cup_path"];

impl ClearHose {
    /// Height at which fluid comes out, above the bleeder, m.
    ///
    /// A hose that hangs down from the bleeder draws like any siphon while it is full. With its end in the open it does not
    /// stay so: in a bore above 2 · 0.918 √(σ/(ρ g)), some 3.4 mm in brake fluid of 35 mN/m (from memory), air rises along
    /// the wall (F. P. Bretherton, *J. Fluid Mech.* 10 (1961): a bubble stays where ρ g r²/σ is below 0.842).
    pub fn outlet_m(&self) -> f64 {
        let above = self.end_above.value;
        if self.end_in_fluid { above } else { above.max(0.0) }
    }
}
