//! What readings tell, drawn.

use super::Pictured;
use crate::study::learn::Learned;

impl Pictured for Learned {}
