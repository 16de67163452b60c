//! What holds for every report, whatever it reports.
#![allow(dead_code)]

/// The names in a JSON object, in their order.
pub fn keys(v: &serde_json::Value) -> String {
    v.as_object().expect("an object").keys().cloned().collect::<Vec<_>>().join(" ")
}

/// Whether a table, drawn for several widths, keeps to them.
pub fn keeps_to_its_width(table: impl Fn(u16) -> String) {
    for width in [60, 67, 80, 93, 100] {
        for line in table(width).lines() {
            let wide = unicode_width::UnicodeWidthStr::width(line);
            assert!(wide <= usize::from(width), "{width}: {line}");
        }
    }
}
