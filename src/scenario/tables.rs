//! The fixed tables of a scenario file: every key, what it may hold, its default.

use super::bounds as b;
use super::chamber_keys::{POCKET, chamber_keys};
use super::spec::Default::{Absent, Required, Rule, Text as Left};
use super::spec::{Default, Form, Key};

const fn key(name: &'static str, form: Form, default: Default, doc: &'static str) -> Key {
    Key { name, doc, form, default }
}

/// A fixed table: its name, what it is, whether it may be left out, its keys.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Table {
    /// The word between the brackets.
    pub name: &'static str,
    /// One sentence: what it is.
    pub doc: &'static str,
    /// Whether a file without it is refused.
    pub required: bool,
    /// Its keys.
    pub keys: &'static [Key],
}

/// Every fixed table but `[procedure]`, in the order in which the data flows.
pub static TABLES: [&Table; 6] =
    [&VEHICLE, &OLD_FLUID, &NEW_FLUID, &RESERVOIR, &MASTER_CYLINDER, &CLEAR_HOSE];

/// `[vehicle]`.
pub static VEHICLE: Table = Table {
    name: "vehicle",
    doc: "The vehicle as a whole.",
    required: false,
    keys: &[
        key(
            "temperature",
            Form::Quantity(&b::TEMPERATURE),
            Left("20 °C"),
            "Temperature of the fluid and the bay.",
        ),
        key(
            "steering",
            Form::Word(&["left", "right"]),
            Left("left"),
            "Side of the steering wheel as seen from the driver's seat.",
        ),
        key(
            "split",
            Form::Word(&["II", "X", "HI", "LL", "HH"]),
            Absent,
            "How the circuits are split, as in DIN 74000; for reports only.",
        ),
        key(
            "pad_wear",
            Form::Quantity(&b::PAD_WEAR),
            Left("0 %"),
            "Wear of pads and shoes, 0 % new to 100 % worn out; it moves fluid from the reservoir into the calipers.",
        ),
        key(
            "gauge_limit",
            Form::Quantity(&b::GAUGE_LIMIT),
            Absent,
            "The maker's limit on the gauge pressure of a supply.",
        ),
        key(
            "accumulator",
            Form::Word(&["none", "high pressure"]),
            Left("none"),
            "Whether the brakes have a high-pressure accumulator; such systems are refused.",
        ),
        key(
            "by_wire",
            Form::Flag,
            Left("false"),
            "Whether the brakes are actuated by wire; such systems are refused.",
        ),
        key("note", Form::Text, Absent, "Free text."),
    ],
};

/// Keys that describe a fluid beside its grade and water.
macro_rules! fluid_keys {
    ($water:literal, $water_doc:literal $(, $more:expr)*) => {
        &[
            key("grade", Form::Text, Required, "Grade of the fluid, for instance DOT 4."),
            key("water", Form::Quantity(&b::WATER), Left($water), $water_doc),
            key("dry_boiling_point", Form::Quantity(&b::BOILING_POINT), Absent,
                "Boiling point without water; absent, typical of the grade."),
            key("wet_boiling_point", Form::Quantity(&b::BOILING_POINT), Absent,
                "Boiling point at the 3.7 % water of the standard's humidified fluid; absent, typical of the grade."),
            key("viscosity_minus_40", Form::Quantity(&b::VISCOSITY_COLD), Absent,
                "Kinematic viscosity at -40 °C; absent, typical of the grade."),
            key("viscosity_100", Form::Quantity(&b::VISCOSITY_HOT), Absent,
                "Kinematic viscosity at 100 °C; absent, typical of the grade."),
            key("density", Form::Quantity(&b::DENSITY), Absent,
                "Density at 20 °C; absent, typical of the grade."),
            $($more,)*
        ]
    };
}

/// `[old_fluid]`. Water: over half of a national sample of 1000 cars had 3 % or more, fluid of one age
/// scattered widely, and no firm link to age was found (J. Keen, *Vapour lock in car braking systems*,
/// Transport and Road Research Laboratory, LR 903, 1979; read in its published abstract). So 3 %
/// stands for the middle and the spread, an estimate, is wide. At the wheels fluid almost invariably
/// boils lower than at the master cylinder (*Test your brake fluid*, Commercial Motor, 6 May 1977,
/// reporting a tester's maker); by how much is from memory tens of kelvin, of which half a percent of
/// water to either side is a cautious estimate.
pub static OLD_FLUID: Table = Table {
    name: "old_fluid",
    doc: "What is in the circuit.",
    required: true,
    keys: fluid_keys!(
        "3 % ± 2 %",
        "Water in the old fluid, percent of the mass, where no part says otherwise.",
        key(
            WATER_BY_PLACE[0],
            Form::Quantity(&b::WATER),
            Left("2.5 % ± 1.5 %"),
            "Water in the reservoir's fluid; the default holds only where `water` is left out too, else that counts."
        ),
        key(
            WATER_BY_PLACE[1],
            Form::Quantity(&b::WATER),
            Left("3.5 % ± 2 %"),
            "Water in calipers, wheel cylinders and the clutch's slave cylinder; the default holds only where `water` is left out too, else that counts."
        )
    ),
};

/// Keys of `[old_fluid]` for the water of single places.
pub(crate) const WATER_BY_PLACE: [&str; 2] = ["water_reservoir", "water_wheel_brakes"];

/// `[new_fluid]`. Water: fluid from a sealed can holds a trace, 0.1 to 0.2 % (common practice, no
/// source).
pub static NEW_FLUID: Table = Table {
    name: "new_fluid",
    doc: "What is poured in.",
    required: true,
    keys: fluid_keys!("0.1 %", "Water in the new fluid, percent of the mass."),
};

/// `[reservoir]`.
pub static RESERVOIR: Table = Table {
    name: "reservoir",
    doc: "The reservoir: a common space above, one compartment per outlet below the dividing wall.",
    required: true,
    keys: &[
        key(
            "outlets",
            Form::Names,
            Absent,
            "Outlets, one compartment each, named after the chambers they feed; a single outlet feeds all, and a further one is where a part starts from (a clutch's feed hose). Absent: one for each chamber of the master cylinder.",
        ),
        key(
            "compartment",
            Form::Quantity(&b::COMPARTMENT),
            Absent,
            "Volume of each compartment below the dividing wall; needed with two or more outlets.",
        ),
        key(
            "level",
            Form::Quantity(&b::RESERVOIR),
            Required,
            "Fluid in the whole reservoir at the start.",
        ),
        key(
            "topped_up",
            Form::Flag,
            Left("true"),
            "Whether the reservoir was topped up since the pads were new; if not, pad wear has lowered it and `level` is what was in it with new pads.",
        ),
        key("min", Form::Quantity(&b::RESERVOIR), Required, "Volume up to the MIN mark."),
        key("max", Form::Quantity(&b::RESERVOIR), Required, "Volume up to the MAX mark."),
        key("brim", Form::Quantity(&b::RESERVOIR), Required, "Volume up to the brim."),
        key(
            "height",
            Form::Quantity(&b::HEIGHT),
            Left("0.9 m"),
            "Height of the fluid's surface above the ground.",
        ),
        key(
            "water",
            Form::Quantity(&b::WATER),
            Absent,
            "Water in it at the start; absent, that of its old and of new fluid, each by its share.",
        ),
        key(
            "old_fraction",
            Form::Quantity(&b::OLD_FRACTION),
            Absent,
            "Old fraction in it at the start; absent, all old.",
        ),
    ],
};

/// `[master_cylinder]`. The compensating port of about 0.7 mm and a cup that lifts at about 20 kPa
/// are practice, no source.
pub static MASTER_CYLINDER: Table = Table {
    name: "master_cylinder",
    doc: "The master cylinder; parts start from its chambers.",
    required: true,
    keys: chamber_keys!(
        [
            key(
                "chambers",
                Form::Names,
                Required,
                "Names of its chambers, for instance primary and secondary.",
            ),
            key("volume", Form::Quantity(&b::CHAMBER), Required, "Volume of each chamber."),
            key(
                "compensating_port",
                Form::Quantity(&b::PORT_BORE),
                Left("0.7 mm"),
                "Bore of the compensating port.",
            ),
            key(
                "cup_cracking",
                Form::Quantity(&b::CRACKING),
                Left("20 kPa"),
                "Pressure difference at which fluid begins to pass the cup.",
            ),
            key(
                "cup_path",
                Form::Quantity(&b::PORT_BORE),
                Left("2 mm"),
                "Bore of a hole that resists as the path past the cup does.",
            ),
        ],
        POCKET,
        [key(
            "water",
            Form::Quantity(&b::WATER),
            Absent,
            "Water in the chambers at the start; absent, that of the old fluid.",
        )]
    ),
};

/// `[clear_hose]`. The 3 s are an estimate: to look, to be sure and to take hold of the bleeder screw.
pub static CLEAR_HOSE: Table = Table {
    name: "clear_hose",
    doc: "The clear hose the technician watches, and when it counts as clean.",
    required: false,
    keys: &[
        key("bore", Form::Quantity(&b::TUBE_BORE), Left("5 mm"), "Bore of the clear hose."),
        key(
            "watched",
            Form::Quantity(&b::WATCHED),
            Left("100 mm"),
            "Length from the bleeder over which the eye takes the mean.",
        ),
        key(
            "filling",
            Form::Word(&["old", "new"]),
            Left("new"),
            "What fills the clear hose when it is put on.",
        ),
        key(
            "threshold",
            Form::Quantity(&b::THRESHOLD),
            Left("20 %"),
            "Old fraction at or below which it looks clean.",
        ),
        key(
            "hold",
            Form::Quantity(&b::HOLD),
            Rule("what is dirty on the path"),
            "Volume for which it must stay clean; absent, what lies between a part twice as dirty as counts as clean and the bleeder, less of it the cleaner that part is, the watched length at least.",
        ),
        key(
            "least_look",
            Form::Quantity(&b::LOOK),
            Left("3 s"),
            "Time for which fluid must have flowed before anything counts as clean.",
        ),
    ],
};

/// The keys of `[procedure]` that are not steps. Times are common practice, no source; for syringe and top-up an
/// estimate: a reservoir is drawn empty in two or three pulls of a syringe, each emptied into the waste bottle, and
/// topping up takes as long as pumping does.
pub static PROCEDURE_KEYS: &[Key] = &[
    key("supply", Form::Text, Absent, "Name of the supply that pushes; absent, the only one."),
    key("passes", Form::Count(1, 20), Left("1"), "How many times the openings are gone through."),
    key("setup", Form::Quantity(&b::TASK), Left("10 min"), "Time before the first opening."),
    key(
        "per_bleeder",
        Form::Quantity(&b::TASK),
        Left("1 min"),
        "Time to move to and prepare each bleeder.",
    ),
    key("per_re_pump", Form::Quantity(&b::TASK), Left("30 s"), "Time for each re-pump."),
    key(
        "per_syringe",
        Form::Quantity(&b::TASK),
        Left("2 min"),
        "Time for each syringing of the reservoir: cap or adapter off, draw, empty the syringe.",
    ),
    key(
        "per_top_up",
        Form::Quantity(&b::TASK),
        Left("30 s"),
        "Time for each topping up by hand, as a step or while the job runs: open, pour, look at the mark.",
    ),
    key("finish", Form::Quantity(&b::TASK), Left("10 min"), "Time after the last opening."),
];

/// What a part that holds fluid says of it, beside the keys of its kind.
pub static FILLING_KEYS: &[Key] = &[
    key(
        "water",
        Form::Quantity(&b::WATER),
        Absent,
        "Water in it at the start, percent of the mass; absent, that of its old and of new fluid, each by its share.",
    ),
    key(
        "old_fraction",
        Form::Quantity(&b::OLD_FRACTION),
        Absent,
        "Old fraction in it at the start; absent, all old.",
    ),
];

/// The keys of `[reservoir]` and the like that stand at the top of the file.
pub(crate) const TOP: &[&str] = &[
    "title",
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
