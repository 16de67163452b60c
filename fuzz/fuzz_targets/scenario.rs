//! Any bytes as a scenario file: refused with places and remedies, or read and looked over.
#![no_main]

use farwheel_fuzz::held;
use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| match std::str::from_utf8(bytes) {
    Ok(text) => {
        if let Some(scenario) = held::reads(text) {
            held::looks_over(&scenario);
        }
    }
    Err(_) => {
        let refused = farwheel::read_bytes(bytes, "bytes.toml").err();
        assert!(refused.is_some_and(|m| m.to_string().contains("UTF-8")));
    }
});
