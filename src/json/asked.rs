//! What verbs were asked, as far as it changes their answers: the text of which an [`Origin`](super::Origin) has the
//! hash.

use crate::job::options::Options;
use crate::study::orders::Question;
use serde_json::{Value, json};

/// Of `flush`, which is to tell this too.
pub fn flush(options: &Options, also: &[&str]) -> Value {
    json!({
        "verb": "flush", "supply": options.supply, "error_estimate": options.estimate_error,
        "also": also, "seed": options.seed,
    })
}

/// Of `check`.
pub fn check(options: &Options) -> Value {
    json!({"verb": "check", "supply": options.supply})
}

/// Of `orders`.
pub fn orders(question: &Question, options: &Options) -> Value {
    json!({
        "verb": "orders", "orders": question.orders, "draws": question.draws,
        "margin": question.margin,
        "supply": options.supply, "seed": options.seed,
    })
}
