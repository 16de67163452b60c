//! The pictures: nothing cut off, nothing on top of another, whatever a scenario's text is.

use crate::fixture_record::fixture_record;
use farwheel::job::record::{CleanState, Record};
use farwheel::plot;
use resvg::usvg::{self, fontdb};
use std::path::Path;
use std::sync::Arc;

/// Names that scenarios may hold although nobody should write them.
fn nasty_names() -> Vec<String> {
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

fn tree(svg: &str) -> usvg::Tree {
    let mut fonts = fontdb::Database::new();
    fonts.load_font_data(include_bytes!("../../assets/fonts/NotoSans-Regular.ttf").to_vec());
    fonts.load_font_data(include_bytes!("../../assets/fonts/NotoSans-Bold.ttf").to_vec());
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
fn faults(svg: &str) -> Vec<String> {
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

/// Characters that the embedded fonts cannot show.
fn without_glyph(group: &usvg::Group, out: &mut Vec<String>) {
    for node in group.children() {
        match node {
            usvg::Node::Text(text) => {
                let glyphs = text.layouted().iter().flat_map(|span| &span.positioned_glyphs);
                out.extend(glyphs.filter(|g| g.id.0 == 0).map(|g| g.text.clone()));
            }
            usvg::Node::Group(inner) => without_glyph(inner, out),
            _ => {}
        }
    }
}

#[test]
fn the_programs_own_words_have_all_their_glyphs() {
    let mut vacuum = fixture_record();
    for point in &mut vacuum.supply_curve {
        point.gauge_kpa = -60.0;
    }
    vacuum.openings[0].clean_at_ml = None;
    vacuum.openings[0].clean_state = CleanState::NotReached;
    let pictures = [fixture_record(), vacuum].map(|record| plot::draw_all(&record).unwrap());
    for picture in pictures.into_iter().flatten() {
        let mut missing = Vec::new();
        without_glyph(tree(&picture.svg).root(), &mut missing);
        assert_eq!(missing, Vec::<String>::new(), "{}", picture.name);
    }
    let mut missing = Vec::new();
    let arrow = "<svg xmlns='http://www.w3.org/2000/svg' width='9' height='9'><text font-family='Noto Sans'>→</text></svg>";
    without_glyph(tree(arrow).root(), &mut missing);
    assert_eq!(missing, ["→"], "the check itself sees a gap");
}

fn no_faults(record: &Record) {
    for picture in plot::draw_all(record).unwrap() {
        assert_eq!(faults(&picture.svg), Vec::<String>::new(), "{}", picture.name);
        assert_eq!(&picture.png[..8], b"\x89PNG\r\n\x1a\n");
    }
}

#[test]
fn the_check_itself_sees_faults() {
    let head =
        "<svg xmlns='http://www.w3.org/2000/svg' width='200' height='100' font-family='Noto Sans'>";
    let good =
        "<text x='5' y='20'>one</text><text x='5' y='50'>two</text><text x='5' y='80'>three</text>";
    let fourth = |x: u32, y: u32| format!("{head}{good}<text x='{x}' y='{y}'>four</text></svg>");
    assert_eq!(faults(&fourth(100, 20)).len(), 0);
    assert_eq!(faults(&fourth(190, 20)).len(), 1);
    assert_eq!(faults(&fourth(12, 22)).len(), 1);
}

#[test]
fn lettering_stays_on_the_sheet_and_apart() {
    no_faults(&fixture_record());
}

#[test]
fn lettering_is_large_enough_for_a_phone() {
    // At 360 px a picture is half its own size: 11 px is the least that is still read at arm's length (common
    // practice, no source).
    for picture in plot::draw_all(&fixture_record()).unwrap() {
        let tree = tree(&picture.svg);
        assert_eq!(tree.size().width(), 720.0);
        let view_box = 7200.0 / 720.0;
        for size in picture.svg.split("font-size=\"").skip(1) {
            let size: f64 = size.split('"').next().unwrap().parse().unwrap();
            assert!(size / view_box / 2.0 >= 11.0 - 1e-9, "{} in {}", size, picture.name);
        }
    }
}

#[test]
fn every_axis_has_its_unit() {
    let wanted: [(&str, &[&str]); 4] = [
        ("clearing", &["drained at this bleeder, mL", "100\u{a0}%"]),
        ("origins", &["262\u{a0}mL", "all figures in mL", "new fluid 74.2"]),
        (
            "supply",
            &["gauge pressure, kPa", "psi", "fluid, mL", "minutes from the start of the job"],
        ),
        ("left", &["old fluid, %", "boiling point, °C"]),
    ];
    for (picture, (name, units)) in plot::draw_all(&fixture_record()).unwrap().iter().zip(wanted) {
        assert_eq!(picture.name, name);
        for unit in units {
            assert!(picture.svg.contains(unit), "{unit} in {name}");
        }
    }
}

#[test]
fn any_name_gives_a_sound_picture() {
    for name in nasty_names() {
        let mut record = fixture_record();
        record.scenario.title.clone_from(&name);
        record.supply.clone_from(&name);
        record.left.lowest_boiling_part.clone_from(&name);
        for opening in &mut record.openings {
            opening.bleeder.clone_from(&name);
        }
        for part in &mut record.left.parts {
            part.part.clone_from(&name);
        }
        no_faults(&record);
        for picture in plot::draw_all(&record).unwrap() {
            assert!(!picture.svg.contains("<script"));
            assert!(
                !picture.svg.contains(|c: char| (c.is_control() && c != '\n') || c == '\u{202e}')
            );
        }
    }
}

#[test]
fn odd_jobs_give_sound_pictures() {
    let mut empty = fixture_record();
    empty.openings.clear();
    empty.supply_curve.clear();
    empty.left.parts.clear();
    no_faults(&empty);

    let mut many = fixture_record();
    many.openings = many.openings.iter().cycle().take(100).cloned().collect();
    many.left.parts = many.left.parts.iter().cycle().take(200).cloned().collect();
    no_faults(&many);

    let mut strict = fixture_record();
    for (opening, state) in strict.openings.iter_mut().zip([
        CleanState::Already,
        CleanState::NotReached,
        CleanState::Lost,
    ]) {
        opening.clean_state = state;
        opening.clean_at_ml = None;
        opening.threshold = 0.02;
        opening.pass = 2;
        opening.curve.clear();
    }
    for point in &mut strict.supply_curve {
        point.supply_ml = None;
        point.gauge_kpa = 0.0;
    }
    no_faults(&strict);

    let mut re_pumped = fixture_record();
    for (i, point) in re_pumped.supply_curve.iter_mut().enumerate() {
        point.gauge_kpa = 70.0 + 5.0 * (i % 7) as f64;
        point.reservoir_ml = 4.0 * i as f64;
    }
    no_faults(&re_pumped);

    let mut broken = fixture_record();
    broken.openings[0].drained_ml = f64::NAN;
    broken.openings[1].curve[5].seen_old_fraction = f64::INFINITY;
    broken.left.parts[0].boiling_c = f64::NAN;
    broken.supply_curve[0].gauge_kpa = f64::NAN;
    no_faults(&broken);
}

#[test]
fn the_same_record_gives_the_same_bytes() {
    assert_eq!(
        plot::draw_all(&fixture_record()).unwrap(),
        plot::draw_all(&fixture_record()).unwrap()
    );
}
