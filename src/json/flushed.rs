//! A job as JSON, with what is told on request.

use crate::job::over_time::PartOverTime;
use crate::job::record::{CurvePoint, Opening, Record, SupplyPoint};
use serde::Serialize;

/// A record with what is told on request at its end.
#[derive(Debug, Clone, Serialize)]
pub struct Flushed<'a> {
    #[serde(flatten)]
    record: &'a Record,
    #[serde(skip_serializing_if = "Option::is_none")]
    curves: Option<Vec<Curve<'a>>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    supply_over_time: Option<&'a [SupplyPoint]>,
    #[serde(skip_serializing_if = "Option::is_none")]
    parts_over_time: Option<&'a [PartOverTime]>,
}

/// The clearing curve of an opening.
#[derive(Debug, Clone, Serialize)]
struct Curve<'a> {
    bleeder: &'a str,
    pass: u32,
    step: usize,
    points: &'a [CurvePoint],
}

impl<'a> Flushed<'a> {
    /// With curves if asked for, and with what each part held over time if the record has it.
    pub fn new(record: &'a Record, curves: bool) -> Self {
        let curve = |o: &'a Opening| Curve {
            bleeder: &o.bleeder,
            pass: o.pass,
            step: o.step,
            points: &o.curve,
        };
        Self {
            record,
            curves: curves.then(|| record.openings.iter().map(curve).collect()),
            supply_over_time: curves.then_some(&record.supply_curve),
            parts_over_time: record.parts_over_time.as_deref(),
        }
    }
}
