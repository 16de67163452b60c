//! Orders and draws over a random car of two or three bleeders.
#![no_main]

use farwheel_fuzz::held;
use farwheel_fuzz::scenario::SmallJob;
use libfuzzer_sys::fuzz_target;

fuzz_target!(|job: SmallJob| held::is_studied(&job.text));
