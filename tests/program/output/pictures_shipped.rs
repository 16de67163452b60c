//! The pictures of every shipped vehicle: from a motorcycle's single brake to eight bleeders.

use super::looks::{faults, hard_to_read, reading_in_the_dark};
use farwheel::above::layout;
use farwheel::job::options::Options;
use farwheel::job::record::Record;
use farwheel::measures::{Units, to_fahrenheit, to_us_fl_oz};
use farwheel::plot::{self, Picture};
use std::sync::LazyLock;

static RECORDS: LazyLock<Vec<(String, Record)>> = LazyLock::new(|| {
    let mut all = Vec::new();
    for folder in ["scenarios", "scenarios/splits"] {
        for entry in std::fs::read_dir(folder).expect("a folder") {
            let path = entry.expect("a file").path();
            if path.extension().is_some_and(|e| e == "toml") {
                let scenario = farwheel::read_file(&path).expect("it reads");
                let record = farwheel::job::flush(&scenario, &Options::default()).expect("a job");
                all.push((path.file_stem().unwrap().to_str().unwrap().to_owned(), record));
            }
        }
    }
    all.sort_by(|a, b| a.0.cmp(&b.0));
    assert!(all.len() >= 18);
    all
});

fn record(name: &str) -> &'static Record {
    &RECORDS.iter().find(|r| r.0 == name).expect("a shipped scenario").1
}

fn picture(record: &Record, name: &str, units: Units) -> Picture {
    let all = plot::draw_all_in(record, units).expect("pictures");
    all.into_iter().find(|p| p.name == name).expect("that one")
}

/// Filled rectangles of a colour, in units of the picture: left, top, width, height.
fn rectangles(svg: &str, colour: &str) -> Vec<[f64; 4]> {
    let of = |tag: &str, key: &str| -> f64 {
        let (_, rest) = tag.split_once(&format!(" {key}=\"")).expect(key);
        rest.split('"').next().unwrap().parse::<f64>().unwrap() / 10.0
    };
    svg.split("<rect")
        .skip(1)
        .map(|tag| format!(" {}", tag.split("/>").next().unwrap().trim()))
        .filter(|tag| tag.contains(&format!("fill=\"{colour}\"")))
        .map(|tag| ["x", "y", "width", "height"].map(|key| of(&tag, key)))
        .collect()
}

fn heights(svg: &str) -> f64 {
    let (_, rest) = svg.split_once(" height=\"").expect("a height");
    rest.split('"').next().unwrap().parse().expect("a number")
}

const AMBER: &str = "#E69F00";

#[test]
fn nothing_is_cut_off_or_on_top_of_another() {
    for (name, record) in RECORDS.iter() {
        for units in [Units::Metric, Units::Us] {
            for p in plot::draw_all_in(record, units).expect("pictures") {
                assert_eq!(faults(&p.svg), Vec::<String>::new(), "{} of {name}, {units:?}", p.name);
                assert!(p.name == "supply" || !p.svg.contains('…'), "{} of {name}", p.name);
                // Twice that in pixels of the PNG.
                assert!(heights(&p.svg) <= 1600.0, "{} of {name}: {}", p.name, heights(&p.svg));
            }
        }
        let left = picture(record, "left", Units::Metric).svg;
        for svg in [reading_in_the_dark(&left), left] {
            assert_eq!(hard_to_read(&svg), Vec::<String>::new(), "{name}");
        }
    }
}

#[test]
fn eight_bleeders_stand_in_two_columns() {
    for name in ["off-roader-eight-bleeders", "coupe-twin-bleeders"] {
        // Of the PNG twice that in pixels.
        for (what, most) in [("clearing", 1000.0), ("origins", 1250.0)] {
            let high = heights(&picture(record(name), what, Units::Metric).svg);
            assert!(high <= most, "{what} of {name}: {high}");
        }
    }
}

/// What the drawing of the vehicle shows as old is what the record says: amber over all of the paper, the swatch of the
/// legend apart, is the volume of old fluid before and after.
#[test]
fn amber_is_old_fluid_to_scale() {
    for (name, record) in RECORDS.iter() {
        let left = &record.left;
        let svg = picture(record, "left", Units::Metric).svg;
        // As wide as the picture draws one.
        let scale = layout(left, 320.0).area_per_ml;
        let drawn: f64 = rectangles(&svg, AMBER).iter().map(|r| r[2] * r[3]).sum();
        let old: f64 = left
            .parts
            .iter()
            .map(|p| p.volume_ml * p.old_fraction + p.volume_before_ml * p.old_fraction_before)
            .sum();
        let drawn_ml = (drawn - 18.0 * 18.0) / scale;
        // A rectangle's edges lie on tenths.
        assert!((drawn_ml - old).abs() < 0.01 * old, "{name}: {drawn_ml} mL drawn, {old} mL old");
    }
}

/// Corners lie where their names say, seen from above with the front up.
#[test]
fn brakes_stand_at_their_corners() {
    for name in ["compact-hatchback", "pickup-rear-drums", "off-roader-eight-bleeders"] {
        let left = &record(name).left;
        let car = layout(left, 320.0);
        let at = |wheel: &str| {
            let tire = car.tires.iter().find(|t| t.name.starts_with(wheel));
            tire.expect("a tire of this name").area
        };
        let [lf, rf, lr, rr] = ["LF", "RF", "LR", "RR"].map(at);
        assert!(lf.x < 160.0 && lr.x < 160.0 && rf.x > 160.0 && rr.x > 160.0, "{name}");
        assert!(lf.y < lr.y && rf.y < rr.y && lf.y == rf.y && lr.y == rr.y, "{name}");
    }
}

/// Regions and axles are the parts, no more and no less.
#[test]
fn regions_add_up_to_the_whole() {
    for (name, record) in RECORDS.iter() {
        let left = &record.left;
        for regions in [&left.regions, &left.axles] {
            let old: f64 = regions.iter().map(|r| r.old_ml).sum();
            assert!((old - left.old_ml).abs() < 1e-6, "{name}: {old} and {}", left.old_ml);
        }
        let mut names: Vec<&str> = left.regions.iter().map(|r| r.name.as_str()).collect();
        names.sort_unstable();
        names.dedup();
        assert_eq!(names.len(), left.regions.len(), "{name}: a name for each region");
    }
    let of =
        |name: &str| record(name).left.axles.iter().map(|r| r.name.as_str()).collect::<Vec<_>>();
    assert_eq!(
        of("pickup-rear-drums"),
        [
            "reservoir",
            "master cylinder",
            "front calipers",
            "front lines, hoses",
            "rear wheel cylinders",
            "rear lines, hose"
        ]
    );
    assert_eq!(
        of("motorcycle-rear"),
        ["reservoir", "master cylinder", "rear caliper", "rear hose"]
    );
    assert!(of("hatchback-with-clutch").contains(&"clutch"));
    assert!(of("saloon-esc-plain-flush").contains(&"modulator"));
}

#[test]
fn amber_means_old_fluid_alone() {
    for (name, record) in RECORDS.iter() {
        for p in plot::draw_all(record).expect("pictures") {
            let amber = p.svg.contains(AMBER);
            assert_eq!(amber, ["clearing", "left"].contains(&p.name), "{} of {name}", p.name);
        }
    }
}

#[test]
fn us_units_leave_nothing_metric_but_millilitres() {
    for (name, record) in RECORDS.iter() {
        for p in plot::draw_all_in(record, Units::Us).expect("pictures") {
            assert!(!p.svg.contains("kPa") && !p.svg.contains("°C"), "{} of {name}", p.name);
        }
        let left = picture(record, "left", Units::Us).svg;
        let ounces = format!("({:.1}\u{a0}US\u{a0}fl\u{a0}oz)", to_us_fl_oz(record.left.old_ml));
        assert!(left.contains(&ounces), "{name}: {ounces}");
        let boils = format!("at {:.0}\u{a0}°F", to_fahrenheit(record.left.lowest_boiling_c));
        assert!(left.contains(&boils), "{name}: {boils}");
    }
    // A US gallon of 128 ounces is 3785.411784 mL; water boils at 212 °F.
    assert!((to_us_fl_oz(3785.411784) - 128.0).abs() < 1e-9);
    assert_eq!(to_fahrenheit(100.0), 212.0);
}
