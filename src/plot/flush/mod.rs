//! The pictures of a job.

mod clearing;
mod left;
mod origins;
mod supply;

use super::{Pictured, Pictures};
use crate::job::record::Record;

impl Pictured for Record {
    fn pictures() -> Pictures<Self> {
        vec![
            ("clearing", clearing::draw),
            ("origins", origins::draw),
            ("supply", supply::draw),
            ("left", left::draw),
        ]
    }
}
