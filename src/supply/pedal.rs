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

use super::topping::Topping;
use super::{Described, Misfit, Supply};
use crate::keys::LeftOut::{Absent, Text};
use crate::keys::Quantity;
use crate::keys::bounds::{PEDAL_PRESSURE, SMALL_VOLUME, STROKE, STROKE_USED, TASK};
use crate::keys::table::table;
use crate::measures::to_ml;
use crate::parts::chamber::Chamber;

/// A stroke that delivers less is none, m³ (a motorcycle's lever delivers some 2.5 mL).
const LEAST_STROKE_M3: f64 = 0.1e-6;

table! {
    /// Two people at pedal and bleeder.
    ///
    /// Defaults (practice, no source): 60 % of the stroke, because the bore that the cups of an old cylinder
    /// never reach may be rough, so a careful pair keeps off it (a block of wood under the pedal); 0.4 mL
    /// until the port is closed, one millimetre of travel in a bore of 22 mm; 1 bar, since with a
    /// bleeder open the pedal sinks against little, and strokes then last the one or two seconds of a foot that
    /// presses slowly, as the trade asks for; 6 s to shut the bleeder, let the pedal up slowly and call.
    #[derive(Copy)]
    pub struct Pedal {
        /// Fluid that a chamber of the master cylinder sweeps in a full stroke; left out, the chamber's volume.
        pub stroke: Option<Quantity> [&STROKE] = Absent;
        /// Share of the full stroke that is used: on an old cylinder the pedal is not pressed to the floor.
        pub stroke_used: Quantity [&STROKE_USED] = Text("60 %");
        /// Fluid that each stroke sends back to the reservoir before the compensating port is closed.
        pub port_closing: Quantity [&SMALL_VOLUME] = Text("0.4 mL");
        /// Pressure that the foot holds in the master cylinder while fluid runs.
        pub pressure: Quantity [&PEDAL_PRESSURE] = Text("1 bar");
        /// Time from one stroke to the next: bleeder shut, pedal let up, bleeder opened.
        pub between_strokes: Quantity [&TASK] = Text("6 s");
        /// Topping up.
        pub topping: Topping;
    }
}

impl Described for Pedal {
    fn word(&self) -> &'static str {
        "pedal"
    }

    fn doc(&self) -> &'static str {
        "Two people: one presses the pedal and lets it up, the other opens and shuts the bleeder; the reservoir is topped up by hand."
    }

    fn also(&self) -> &'static [&'static str] {
        &["brake pedal", "pedal pumping"]
    }

    fn ready(&self) -> Box<dyn Supply> {
        Box::new(*self)
    }
}

impl Supply for Pedal {
    fn push_pa(&self) -> f64 {
        self.pressure.value
    }

    fn topping(&self) -> Option<&Topping> {
        Some(&self.topping)
    }

    fn strokes(&self) -> Option<&Pedal> {
        Some(self)
    }

    fn misfit(&self, name: &str, chambers: &[&Chamber]) -> Option<Misfit> {
        let (what, remedy) = chambers.iter().find_map(|c| self.does_not_fit(c))?;
        Some(Misfit { key: "kind", what: format!("`{name}` does not fit: {what}"), remedy })
    }

    fn never_dry(&mut self, _more_m3: f64) {
        self.topping.topped_up = true;
    }
}

impl Pedal {
    /// What one stroke sweeps out of a chamber, m³, the port-closing volume included.
    pub fn sweep_m3(&self, chamber: &Chamber) -> f64 {
        self.stroke_used.value * self.stroke.map_or(chamber.volume_m3, |q| q.value)
    }

    /// Why these strokes do not fit a chamber, and what would be right; `None` if they do.
    fn does_not_fit(&self, chamber: &Chamber) -> Option<(String, String)> {
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
        let net = sweep - self.port_closing.value;
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
                    ml(self.port_closing.value)
                ),
                "raise `stroke` or `stroke_used`, or lower `port_closing`".into(),
            )
        })
    }
}
