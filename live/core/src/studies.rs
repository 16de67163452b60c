//! Many jobs at once.

use crate::change::{Change, Changed};
use crate::question::Failure;
use farwheel::job::flush;
use farwheel::job::options::Options;
use farwheel::study::decides::{self, ByOrder, End, Lever, Question, SYRINGE};
use farwheel::study::difference::Difference;
use farwheel::study::progress::Onlooker;
use serde_json::{Value, json};

/// Every order is tried if there are no more of them than this, which is as many as six bleeders have; a page has no time
/// for more.
const MOST_ORDERS: usize = 720;

/// What decides on this car, the order among it. Fluid is what leaves the system, so that the ends are compared with the
/// reservoir as full at the end.
pub fn decides(changed: &Changed, draws: usize) -> Result<Value, Failure> {
    let job = changed.job()?;
    let question = Question { draws, most_orders: MOST_ORDERS, ..Question::default() };
    let answer = decides::study(&job.scenario, &question, &job.options, &Page)?;
    let mut levers: Vec<Value> = answer.levers.iter().map(lever).collect();
    levers.extend(unsyringed(changed, &answer.own)?);
    Ok(json!({
        "own": end(&answer.own),
        "counted": answer.counted,
        "levers": levers,
        "stopped": answer.stopped,
        "order": answer.order.as_ref().map(order),
    }))
}

/// The page, told how far a study is.
struct Page;

impl Onlooker for Page {
    fn advanced(&self, done: u64, of: u64) {
        crate::tell_progress(done, of);
    }
}

/// Where the page has had the reservoir syringed, what it would be without: of this the study knows nothing, since a job
/// that begins so has nothing left to be syringed.
fn unsyringed(changed: &Changed, own: &End) -> Result<Option<Value>, Failure> {
    if !changed.change.syringed {
        return Ok(None);
    }
    let change = Change { syringed: false, ..changed.change.clone() };
    let job = Changed { change, ..changed.clone() }.job()?;
    let sums = Options { endless: true, origins: false, detail: false, ..job.options };
    let record = flush(&job.scenario, &sums)?;
    let totals = &record.totals;
    let gone_ml = totals.drained_ml + totals.removed_ml;
    let other = End {
        at: "not at all".to_owned(),
        fluid_ml: own.fluid_ml + gone_ml - own.gone_ml,
        old_left_ml: record.left.old_ml,
        bay_seconds: totals.bay_seconds,
        gone_ml,
        removed_ml: totals.removed_ml,
    };
    let by = |of: fn(&End) -> f64| match of(&other) < of(own) {
        true => (end(&other), end(own)),
        false => (end(own), end(&other)),
    };
    let ((least, most), (cleanest, dirtiest)) = (by(|e| e.gone_ml), by(|e| e.old_left_ml));
    Ok(Some(json!({
        "what": SYRINGE, "least": least, "most": most, "cleanest": cleanest, "dirtiest": dirtiest,
    })))
}

fn end(end: &End) -> Value {
    json!({
        "at": end.at,
        "gone_ml": end.gone_ml,
        "removed_ml": end.removed_ml,
        "old_left_ml": end.old_left_ml,
    })
}

fn lever(lever: &Lever) -> Value {
    json!({
        "what": lever.what,
        "least": end(&lever.least),
        "most": end(&lever.most),
        "cleanest": end(&lever.cleanest),
        "dirtiest": end(&lever.dirtiest),
    })
}

fn order(by: &ByOrder) -> Value {
    let apart = |ml| Difference { ml, unsure_ml: by.unsure_ml }.told_apart();
    json!({
        "best": by.best,
        "best_saves_ml": by.best_saves_ml,
        "best_told_apart": apart(by.best_saves_ml),
        "worst": by.worst,
        "worst_costs_ml": by.worst_costs_ml,
        "worst_told_apart": apart(by.worst_costs_ml),
        "every_order": by.every_order,
        "tried": by.tried,
    })
}

/// A job by its own stop rules beside another of the same car: how much more leaves the system and how much more old fluid
/// stays than in the other.
pub fn beside(changed: &Changed, other: Change) -> Result<Value, Failure> {
    let record = |changed: &Changed| -> Result<_, Failure> {
        let job = changed.job()?;
        // Only sums are compared.
        let sums = Options { estimate_error: true, origins: false, detail: false, ..job.options };
        Ok(flush(&job.scenario, &sums)?)
    };
    let this = record(changed)?;
    let other = record(&Changed { change: other, ..changed.clone() })?;
    let difference = |of: fn(&farwheel::job::record::Record) -> (f64, Option<f64>)| {
        let difference = Difference::new(of(&other), of(&this));
        json!({ "ml": difference.ml, "told_apart": difference.told_apart() })
    };
    // What a syringe takes is known exactly.
    let gone =
        difference(|r| (r.totals.drained_ml + r.totals.removed_ml, r.numerics.drained_error_ml));
    let old_left = difference(|r| (r.left.old_ml, r.numerics.old_left_error_ml));
    Ok(json!({ "gone": gone, "old_left": old_left, "stopped": this.stopped() || other.stopped() }))
}
