//! The pictures of random draws.

mod matters;
mod ranges;

use super::{Pictured, Pictures};
use crate::study::spread::Spread;

impl Pictured for Spread {
    fn pictures() -> Pictures<Self> {
        vec![("ranges", ranges::draw), ("matters", matters::draw)]
    }
}
