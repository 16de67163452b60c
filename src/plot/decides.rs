//! What decides on one car.

use super::{Pictured, Pictures};
use crate::study::compare::{Fleet, OneCar};

impl Pictured for OneCar {
    fn pictures() -> Pictures<Self> {
        vec![]
    }
}

impl Pictured for Fleet {
    fn pictures() -> Pictures<Self> {
        vec![]
    }
}
