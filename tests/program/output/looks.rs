//! What the tests of pictures look for: lettering cut off, on top of another, or hard to read.

use resvg::tiny_skia;
use resvg::usvg::{self, fontdb};
use std::sync::Arc;

/// Names that scenarios may hold although nobody should write them.
pub fn nasty_names() -> Vec<String> {
    vec![
        "<script>alert('1')</script> & \"RR\"".into(),
        "\u{202e}\u{1b}[31mRR\u{0}\u{FFFE}".into(),
        "خلفي يمين".into(),
        "x".repeat(10_000),
        "word ".repeat(2_000),
        String::new(),
        "]]> <!-- &amp; %".into(),
    ]
}

pub fn tree(svg: &str) -> usvg::Tree {
    let mut fonts = fontdb::Database::new();
    fonts.load_font_data(include_bytes!("../../../assets/fonts/NotoSans-Regular.ttf").to_vec());
    fonts.load_font_data(include_bytes!("../../../assets/fonts/NotoSans-Bold.ttf").to_vec());
    let options = usvg::Options { fontdb: Arc::new(fonts), ..usvg::Options::default() };
    usvg::Tree::from_str(svg, &options).unwrap()
}

/// Every text with its box, in units of the picture.
fn texts(group: &usvg::Group, out: &mut Vec<(String, usvg::Rect)>) {
    for node in group.children() {
        match node {
            usvg::Node::Text(text) => {
                let words = text.chunks().iter().map(|c| c.text()).collect();
                out.push((words, text.abs_bounding_box()));
            }
            usvg::Node::Group(inner) => texts(inner, out),
            _ => {}
        }
    }
}

/// Texts that leave the sheet or lie on one another.
pub fn faults(svg: &str) -> Vec<String> {
    let tree = tree(svg);
    let (wide, high) = (tree.size().width(), tree.size().height());
    let mut found = Vec::new();
    texts(tree.root(), &mut found);
    assert!(found.len() > 3, "a picture without lettering");
    let mut faults = Vec::new();
    for (i, (text, at)) in found.iter().enumerate() {
        if at.left() < 0.0 || at.top() < 0.0 || at.right() > wide || at.bottom() > high {
            faults.push(format!("cut off: {text:?} at {at:?} on {wide} x {high}"));
        }
        for (other, there) in &found[i + 1..] {
            // Line boxes are taller than the letters in them: a quarter of a line is air.
            let air = 0.25 * at.height().min(there.height());
            let across = at.right().min(there.right()) - at.left().max(there.left());
            let down = at.bottom().min(there.bottom()) - at.top().max(there.top());
            if across > 0.0 && down > air {
                faults.push(format!("{text:?} lies on {other:?}"));
            }
        }
    }
    faults
}

/// Begins the colours that a viewer takes on a dark page.
pub const DARK: &str = "@media (prefers-color-scheme:dark){";

/// The picture as a viewer shows it on a dark page: each colour that the style sheet names becomes its partner.
pub fn reading_in_the_dark(svg: &str) -> String {
    let (_, rules) = svg.split_once(DARK).expect("a dark reading");
    let (rules, _) = rules.split_once("}</style>").expect("an end of it");
    let pairs: Vec<(&str, &str)> = rules
        .split('}')
        .filter(|rule| !rule.is_empty())
        .map(|rule| {
            let from = rule.split('"').nth(1).expect("a colour");
            (from, rule.rsplit(':').next().expect("another"))
        })
        .collect();
    let (head, body) = svg.split_once("</style>").expect("a body");
    let mut out = format!("{head}</style>");
    for (i, piece) in body.split("=\"#").enumerate() {
        if i == 0 {
            out.push_str(piece);
            continue;
        }
        let (colour, rest) = piece.split_once('"').expect("an end of the colour");
        let colour = format!("#{colour}");
        let new = pairs.iter().find(|p| p.0 == colour).map_or(colour.as_str(), |p| p.1);
        out.push_str(&format!("=\"{new}\"{rest}"));
    }
    out
}

/// The picture painted, a pixel to the unit.
pub fn painted(svg: &str) -> tiny_skia::Pixmap {
    let tree = tree(svg);
    let size = tree.size().to_int_size();
    let mut paper = tiny_skia::Pixmap::new(size.width(), size.height()).expect("a size");
    resvg::render(&tree, tiny_skia::Transform::identity(), &mut paper.as_mut());
    paper
}

/// Relative luminance of an sRGB colour (WCAG 2.2, definition of relative luminance).
fn luminance(rgb: [u8; 3]) -> f64 {
    let [r, g, b] = rgb.map(|c| {
        let c = f64::from(c) / 255.0;
        if c <= 0.04045 { c / 12.92 } else { ((c + 0.055) / 1.055).powf(2.4) }
    });
    0.2126 * r + 0.7152 * g + 0.0722 * b
}

/// Contrast ratio of two colours (WCAG 2.2, definition of contrast ratio).
fn contrast(a: [u8; 3], b: [u8; 3]) -> f64 {
    let (a, b) = (luminance(a), luminance(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

/// Texts with their colour and box.
fn coloured(group: &usvg::Group, out: &mut Vec<(String, [u8; 3], usvg::Rect)>) {
    for node in group.children() {
        match node {
            usvg::Node::Text(text) => {
                let words = text.chunks().iter().map(|c| c.text()).collect();
                let fill = text.chunks()[0].spans()[0].fill().expect("a fill");
                let usvg::Paint::Color(c) = fill.paint() else { panic!("a plain colour") };
                out.push((words, [c.red, c.green, c.blue], text.abs_bounding_box()));
            }
            usvg::Node::Group(inner) => coloured(inner, out),
            _ => {}
        }
    }
}

/// Texts on a ground that they do not stand out from by 4.5 to 1 (WCAG 2.2, 1.4.3, for text of any size). A line
/// may pass behind: a tenth of the ground.
pub fn hard_to_read(svg: &str) -> Vec<String> {
    let mut found = Vec::new();
    coloured(tree(svg).root(), &mut found);
    assert!(!found.is_empty(), "a picture without lettering");
    let mut without = String::new();
    for (i, piece) in svg.split("<text").enumerate() {
        without.push_str(if i == 0 {
            piece
        } else {
            piece.split_once("</text>").expect("an end").1
        });
    }
    let ground = painted(&without);
    let mut faults = Vec::new();
    for (text, ink, at) in found.iter().filter(|f| !f.0.trim().is_empty()) {
        // The letters stand in the middle of their line box.
        let air = 0.2 * at.height();
        let (mut all, mut poor) = (0_u32, 0_u32);
        for y in (at.top() + air) as u32..(at.bottom() - air) as u32 {
            for x in at.left() as u32..at.right() as u32 {
                let Some(p) = ground.pixel(x, y) else { continue };
                all += 1;
                poor += u32::from(contrast(*ink, [p.red(), p.green(), p.blue()]) < 4.5);
            }
        }
        if poor * 10 > all {
            faults.push(format!("{text:?} in {ink:?}: {poor} of {all} pixels behind it"));
        }
    }
    faults
}
