//! Where fluid stays.

use crate::circuit::{Circuit, reach};
use crate::job::record::{PartLeft, Record};
use crate::measures::to_ml;

/// Fluid that stays where it is.
#[derive(Debug, Clone, PartialEq)]
pub struct Trapped {
    /// The part.
    pub part: String,
    /// Fluid there, mL.
    pub ml: f64,
    /// True for a pocket that trades fluid slowly, false for what no bleeder reaches.
    pub pocket: bool,
}

pub(super) fn trapped(circuit: &Circuit) -> Vec<Trapped> {
    let dead = reach::unreached(circuit);
    let pockets = circuit.nodes.iter().filter_map(|n| {
        let c = n.chamber.filter(|c| c.pocket_share > 0.0)?;
        let ml = to_ml(c.volume_m3) * c.pocket_share;
        (!dead.iter().any(|(name, _)| *name == n.name)).then(|| Trapped {
            part: n.name.clone(),
            ml,
            pocket: true,
        })
    });
    let pockets: Vec<Trapped> = pockets.collect();
    dead.iter()
        .map(|(part, m3)| Trapped { part: part.clone(), ml: to_ml(*m3), pocket: false })
        .chain(pockets)
        .collect()
}

/// The part with the most old fluid.
pub(super) fn most(record: &Record) -> Option<PartLeft> {
    let old_ml = |p: &PartLeft| p.volume_ml * p.old_fraction;
    record.left.holding().max_by(|a, b| old_ml(a).total_cmp(&old_ml(b))).cloned()
}
