//! The pictures: nothing cut off, nothing on top of another, whatever a scenario's text is.

use super::fixture_record::fixture_record;
use super::looks::{DARK, faults, hard_to_read, nasty_names, reading_in_the_dark, tree};
use farwheel::circuit::place::Place;
use farwheel::job::record::{CleanState, Record};
use farwheel::plot;
use resvg::usvg;

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
        let dark = reading_in_the_dark(&picture.svg);
        for (svg, reading) in [(&picture.svg, "light"), (&dark, "dark")] {
            assert_eq!(hard_to_read(svg), Vec::<String>::new(), "{}, {reading}", picture.name);
        }
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
fn the_check_of_contrast_sees_faults() {
    let on = |paper: &str, ink: &str| {
        format!(
            "<svg xmlns='http://www.w3.org/2000/svg' width='200' height='60' font-family='Noto Sans'>\
             <rect width='200' height='60' fill='{paper}'/><text x='9' y='30' fill='{ink}'>words</text></svg>"
        )
    };
    // WCAG 2.2: #767676 is the palest grey that may letter white; #777777 is just too pale.
    assert_eq!(hard_to_read(&on("#ffffff", "#767676")).len(), 0);
    assert_eq!(hard_to_read(&on("#ffffff", "#777777")).len(), 1);
    assert_eq!(hard_to_read(&on("#000000", "#ffffff")).len(), 0);
}

#[test]
fn the_dark_reading_changes_colours_and_nothing_else() {
    for picture in plot::draw_all(&fixture_record()).unwrap() {
        let dark = reading_in_the_dark(&picture.svg);
        assert_ne!(dark, picture.svg, "{}", picture.name);
        // What paints the PNG passes over the style sheet: without it the light picture is the same to the byte.
        let (before, rest) = picture.svg.split_once("<style>").unwrap();
        let (_, after) = rest.split_once("</style>").unwrap();
        let pixels = |svg: &str| super::looks::painted(svg).data().to_vec();
        assert_eq!(pixels(&picture.svg), pixels(&format!("{before}{after}")), "{}", picture.name);
        assert_eq!(picture.svg.matches(DARK).count(), 1);
    }
}

#[test]
fn a_viewer_without_the_face_letters_no_wider() {
    for picture in plot::draw_all(&fixture_record()).unwrap() {
        let all = picture.svg.matches("<text ").count();
        assert_eq!(picture.svg.matches("<text textLength=\"").count(), all, "{}", picture.name);
    }
    // A name in other letters is set by another face, whose width is not known here.
    let mut record = fixture_record();
    record.openings[0].bleeder = "خلفي يمين".into();
    let clearing = &plot::draw_all(&record).unwrap()[0].svg;
    let named = clearing.split("<text ").find(|t| t.contains("خلفي")).unwrap();
    assert!(!named.contains("textLength"), "{named}");
}

#[test]
fn bleeders_with_long_names_are_told_apart() {
    let mut record = fixture_record();
    for (i, opening) in record.openings.iter_mut().enumerate() {
        opening.bleeder = format!("right rear, inner caliper half {i}");
    }
    for picture in plot::draw_all(&record).unwrap().iter().filter(|p| p.name != "left") {
        // Each in full, or by number.
        let named = |i: usize| {
            let full = format!("right rear, inner caliper half {i}");
            picture.svg.contains(&full) || picture.svg.contains(&format!(">\n{}\n<", i + 1))
        };
        assert!((0..record.openings.len()).all(named), "{}", picture.name);
    }
    no_faults(&record);
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
        ("left", &["all 100\u{a0}% old", "old, %", "old, mL", "boils, °C", "8.1\u{a0}mL", "33"]),
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
            part.belongs.place = Place::of_name(&name);
            part.belongs.to = Some(name.clone());
        }
        record.left = record.left.summed_up();
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
    empty.left = empty.left.summed_up();
    no_faults(&empty);

    let mut many = fixture_record();
    many.openings = many.openings.iter().cycle().take(100).cloned().collect();
    many.left.parts = many.left.parts.iter().cycle().take(200).cloned().collect();
    many.left = many.left.summed_up();
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
    broken.left.parts[0].lowest_boiling_c = f64::NAN;
    broken.left.parts[5].volume_ml = f64::NAN;
    broken.left.parts[6].old_fraction = f64::INFINITY;
    broken.left = broken.left.summed_up();
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
