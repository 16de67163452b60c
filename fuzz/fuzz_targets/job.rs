//! A random car and procedure: read, looked over, run to its end.
#![no_main]

use farwheel_fuzz::held;
use farwheel_fuzz::scenario::Job;
use libfuzzer_sys::fuzz_target;

fuzz_target!(|job: Job| held::goes_through(&job.text));
