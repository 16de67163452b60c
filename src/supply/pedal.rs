//! Pedal strokes by two people: one presses and lets up, the other opens and shuts the bleeder.
//!
//! A stroke goes so. The piston first travels until the cup has passed the compensating port; what it
//! sweeps till then goes back to the reservoir. From there on the chamber gives off what it sweeps through
//! the open bleeder, down to its stop, and nothing comes in. The bleeder is shut, the pedal comes up, and the
//! chamber draws all that it gave off from its own compartment of the reservoir, through port and cup.
//!
//! How long a stroke takes follows from the pressure that the foot holds, not from a stated time: so a long
//! line, cold fluid or a second open bleeder makes a stroke longer or shorter by the same laws as under any
//! other supply, and a stated time could imply a pressure that no foot gives.

use super::topping::{REFILL_BELOW, REFILL_TO, TOPPED_UP, Topping};
use crate::circuit::chamber::Chamber;
use crate::measures::to_ml;
use crate::scenario::section::Section;
use crate::scenario::{
    bounds,
    spec::{Default, Ends, Form, Key, KindSpec, Role},
};

/// The kind `pedal`.
///
/// Defaults (practice, no source): 60 % of the stroke, because the bore that the cups of an old cylinder
/// never reach may be rough, so a careful pair keeps off it (a block of wood under the pedal); 0.4 mL
/// until the port is closed, one millimetre of travel in a bore of 22 mm; 1 bar, since with a
/// bleeder open the pedal sinks against little, and strokes then last the one or two seconds of a foot that
/// presses slowly, as the trade asks for; 6 s to shut the bleeder, let the pedal up slowly and call.
pub const SPEC: KindSpec = KindSpec {
    name: "pedal",
    doc: "Two people: one presses the pedal and lets it up, the other opens and shuts the bleeder; the reservoir is topped up by hand.",
    ends: Ends::Node,
    role: Role::Supply,
    bleeds: false,
    holds: false,
    keys: &[
        Key {
            name: "stroke",
            doc: "Fluid that a chamber of the master cylinder sweeps in a full stroke; left out, the chamber's volume.",
            form: Form::Quantity(&bounds::CHAMBER),
            default: Default::Absent,
        },
        Key {
            name: "stroke_used",
            doc: "Share of the full stroke that is used: on an old cylinder the pedal is not pressed to the floor.",
            form: Form::Quantity(&bounds::STROKE_USED),
            default: Default::Text("60 %"),
        },
        Key {
            name: "port_closing",
            doc: "Fluid that each stroke sends back to the reservoir before the compensating port is closed.",
            form: Form::Quantity(&bounds::SMALL_VOLUME),
            default: Default::Text("0.4 mL"),
        },
        Key {
            name: "pressure",
            doc: "Pressure that the foot holds in the master cylinder while fluid runs.",
            form: Form::Quantity(&bounds::PEDAL_PRESSURE),
            default: Default::Text("1 bar"),
        },
        Key {
            name: "between_strokes",
            doc: "Time from one stroke to the next: bleeder shut, pedal let up, bleeder opened.",
            form: Form::Quantity(&bounds::TASK),
            default: Default::Text("6 s"),
        },
        REFILL_BELOW,
        REFILL_TO,
        TOPPED_UP,
    ],
};

/// A stroke that delivers less is none, m³ (a motorcycle's lever delivers some 2.5 mL).
const LEAST_STROKE_M3: f64 = 0.1e-6;

/// Two people at pedal and bleeder.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pedal {
    /// Sweep of a chamber in a full stroke, m³; `None`: the chamber's volume.
    pub stroke_m3: Option<f64>,
    /// Share of it that is used.
    pub used: f64,
    /// Part of the sweep that goes back to the reservoir, m³.
    pub port_closing_m3: f64,
    /// Pressure in the master cylinder while fluid runs, Pa.
    pub pressure_pa: f64,
    /// Time from one stroke to the next, s.
    pub between_s: f64,
    /// How the reservoir is topped up.
    pub topping: Topping,
}

impl Pedal {
    /// From its checked table.
    pub fn new(s: &Section) -> Self {
        Self {
            stroke_m3: s.find_si("stroke"),
            used: s.si("stroke_used"),
            port_closing_m3: s.si("port_closing"),
            pressure_pa: s.si("pressure"),
            between_s: s.si("between_strokes"),
            topping: Topping::new(s),
        }
    }

    /// What one stroke sweeps out of a chamber, m³, the port-closing volume included.
    pub fn sweep_m3(&self, chamber: &Chamber) -> f64 {
        self.used * self.stroke_m3.unwrap_or(chamber.volume_m3)
    }

    /// Why these strokes do not fit a chamber, and what would be right; `None` if they do.
    pub fn misfit(&self, chamber: &Chamber) -> Option<(String, String)> {
        let ml = |v: f64| format!("{:.2} mL", to_ml(v));
        let sweep = self.sweep_m3(chamber);
        let holds = chamber.volume_m3 * (1.0 - chamber.pocket_share);
        if sweep >= holds {
            return Some((
                format!(
                    "a stroke sweeps {} out of a chamber that has {} to give",
                    ml(sweep),
                    ml(holds)
                ),
                "lower `stroke` or `stroke_used`, or give the master cylinder a larger `volume`"
                    .into(),
            ));
        }
        let net = sweep - self.port_closing_m3;
        if net > 0.0 && net < LEAST_STROKE_M3 {
            return Some((
                format!("a stroke of {} delivers no more than {}", ml(sweep), ml(net)),
                "let a stroke sweep at least 0.1 mL more than `port_closing`: raise `stroke` or `stroke_used`".into(),
            ));
        }
        (net <= 0.0).then(|| {
            (
                format!(
                    "a stroke of {} is over before the compensating port is closed ({})",
                    ml(sweep),
                    ml(self.port_closing_m3)
                ),
                "raise `stroke` or `stroke_used`, or lower `port_closing`".into(),
            )
        })
    }
}
