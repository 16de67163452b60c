//! The faces that a page carries, so that it looks alike wherever it is opened or printed.

use super::base64;

const FACES: [(u32, &[u8]); 2] = [
    (400, include_bytes!("../../assets/fonts/Page-Regular.woff2")),
    (700, include_bytes!("../../assets/fonts/Page-Bold.woff2")),
];

/// Style rules that declare the family `Page`: Noto Sans, regular and bold, as data within the page.
pub(super) fn faces() -> String {
    let face = |(weight, bytes): &(u32, &[u8])| {
        format!(
            "@font-face{{font-family:Page;font-weight:{weight};font-display:block;\
             src:url(data:font/woff2;base64,{}) format(\"woff2\")}}\n",
            base64::encode(bytes)
        )
    };
    let faces: String = FACES.iter().map(face).collect();
    format!("/* Noto Sans, Copyright 2015 Google LLC, SIL Open Font License 1.1 */\n{faces}")
}
