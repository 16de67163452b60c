//! Any text as any kind of quantity: read within its bounds, or refused with a remedy.
#![no_main]

use farwheel::keys::bounds;
use farwheel::keys::quantity::Spread;
use farwheel::scenario::quantity_text::{parse, plain};
use farwheel::scenario::stop_rule;
use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| {
    for bound in bounds::ALL {
        match parse(text, bound) {
            Ok(q) => {
                assert!((bound.min..=bound.max).contains(&q.value), "{q:?} as {bound:?}");
                match q.spread {
                    None | Some(Spread::Exact) => {}
                    Some(Spread::Normal { sd }) => {
                        assert!(sd > 0.0 && sd <= bound.max - bound.min, "{q:?} as {bound:?}");
                    }
                    Some(other) => panic!("{other:?} out of a text"),
                }
                // What it was read as can be written, and is read as the same.
                if let (None, Some(unit)) = (q.spread, bound.dimension.units().next()) {
                    let written = format!("{} {}", unit.number_from_si(q.value), unit.name);
                    let again = parse(&written, bound);
                    let same = |x: f64| (x - q.value).abs() <= 1e-9 * (bound.max - bound.min);
                    assert!(again.is_ok_and(|a| same(a.value)), "{text} written as {written}");
                }
                plain(q.value);
            }
            Err(w) => {
                assert!(!w.what.trim().is_empty() && !w.remedy.trim().is_empty(), "{w:?}");
                assert!(w.what.len() + w.remedy.len() < 2000, "{w:?}");
            }
        }
    }
    match stop_rule::parse(text) {
        Ok(rule) => assert!(rule.clean || rule.volume.is_some() || rule.time.is_some(), "{rule:?}"),
        Err(w) => assert!(!w.what.trim().is_empty() && !w.remedy.trim().is_empty(), "{w:?}"),
    }
});
