//! How a volume mixes: what every table of a chamber says of it.

use super::chamber::Chamber;
use crate::keys::LeftOut::{Absent, Text};
use crate::keys::Quantity;
use crate::keys::bounds::{BYPASS, POCKET, POCKET_EXCHANGE, POCKET_TIME};
use crate::keys::table::table;

table! {
    /// Into how many stages a chamber is divided.
    #[derive(Copy)]
    pub struct Stages {
        /// How many equal well-mixed stages the chamber counts as: 1 mixes fully, more come nearer to plug flow.
        pub stages: u32 [1, 20] = Text("1");
    }
}

table! {
    /// How a pocket trades fluid with the rest.
    #[derive(Copy)]
    pub struct Trade {
        /// Fluid that each stage's pocket trades, as a share of what flows through the stage (what goes by the bypass does not count).
        pub pocket_exchange: Quantity [&POCKET_EXCHANGE] = Text("10 %");
        /// Time in which the pocket trades its own volume even at rest; left out, it trades only while fluid flows.
        pub pocket_time: Option<Quantity> [&POCKET_TIME] = Absent;
    }
}

table! {
    /// Stages and pocket of a chamber. Nothing of a pocket is taken for granted: one without its exchange would keep old
    /// fluid for ever.
    pub struct Mixing {
        /// Stages.
        pub stages: Stages;
        /// Share of the volume in dead corners that trade fluid slowly with the rest.
        pub pocket: Quantity [&POCKET] = Text("0 %");
        /// How the pocket trades.
        pub trade: Trade;
    }
}

table! {
    /// What flows past a chamber with a bleeder.
    pub struct Bypass {
        /// Share of the flow that runs straight to the bleeder without mixing.
        pub bypass: Quantity [&BYPASS] = Text("0 %");
    }
}

impl Mixing {
    /// A chamber of this volume that mixes so.
    pub fn chamber(&self, volume_m3: f64) -> Chamber {
        Chamber {
            stages: self.stages.stages as usize,
            pocket_share: self.pocket.value,
            pocket_exchange: self.trade.pocket_exchange.value,
            pocket_time_s: self.trade.pocket_time.map_or(f64::INFINITY, |q| q.value),
            ..Chamber::mixed(volume_m3)
        }
    }

    /// The same with a bleeder on it, to which some of the flow runs straight.
    pub fn with_bypass(&self, volume_m3: f64, by: &Bypass) -> Chamber {
        Chamber { bypass_share: by.bypass.value, ..self.chamber(volume_m3) }
    }
}
