//! The rule of the house: a room imports only from rooms before it.

use std::fs;
use std::path::Path;

/// In the order in which data flows, as `lib.rs` and DEVELOPERS.md list them. A room that is not there
/// yet has its place all the same.
const ROOMS: [&str; 13] = [
    "keys",
    "fluid",
    "parts",
    "supply",
    "scenario",
    "circuit",
    "flow",
    "transport",
    "job",
    "study",
    "plot",
    "report",
    "commands",
];

fn each_file(dir: &Path, see: &mut impl FnMut(&Path, &str)) {
    for entry in fs::read_dir(dir).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            each_file(&path, see);
        } else if path.extension().is_some_and(|e| e == "rs") {
            see(&path, &fs::read_to_string(&path).unwrap());
        }
    }
}

/// The code without its unit tests, which may look wherever they like.
fn without_tests(text: &str) -> &str {
    text.split("#[cfg(test)]").next().unwrap_or(text)
}

#[test]
fn a_room_imports_only_from_rooms_before_it() {
    let mut faults = Vec::new();
    let mut seen = 0;
    for (place, room) in ROOMS.iter().enumerate() {
        let dir = Path::new("src").join(room);
        if !dir.exists() {
            continue;
        }
        each_file(&dir, &mut |path, text| {
            seen += 1;
            for (n, line) in without_tests(text).lines().enumerate() {
                let code = line.split("//").next().unwrap_or(line);
                let later =
                    ROOMS[place + 1..].iter().find(|r| code.contains(&format!("crate::{r}")));
                if let Some(later) = later {
                    faults.push(format!("{}:{}: {room} uses {later}", path.display(), n + 1));
                }
            }
        });
    }
    assert!(seen > 50, "only {seen} files seen");
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

/// What every room may import imports from none.
#[test]
fn elementary_functions_stand_alone() {
    for path in ["src/portable.rs", "src/measures.rs"] {
        let text = fs::read_to_string(path).unwrap();
        assert!(!without_tests(&text).contains("crate::"), "{path}");
    }
}

/// Constants of physics and the factors of mL, kPa and mm²/s stand in `measures.rs` and nowhere else.
#[test]
fn a_constant_stands_once() {
    let once = ["9.8066", "101325", "273.15", "6894.7", "6.8947", "29.5735", "0.0254", "1.6448"];
    let factors = ["1e6 *", "* 1e6", "1e-3 *", "* 1e-3", "1e3 *", "* 1e3", "* 1e-6"];
    // Not conversions of a volume, a pressure or a viscosity: grams, MPa, mm, kg/L, factors of units, and rounding.
    let others = [
        ("src/job/state/books.rs", "1e6 * water"),
        ("src/fluid/steam.rs", "root_mpa"),
        ("src/fluid/water.rs", "* 1e-3"),
        ("src/fluid/water.rs", "* 1e3"),
        ("src/study/job_card.rs", "watched_mm"),
        ("src/keys/units.rs", "MERCURY * 1e-3"),
    ];
    let mut faults = Vec::new();
    let mut stands = [0; 8];
    each_file(Path::new("src"), &mut |path, text| {
        let path = path.to_string_lossy();
        if path.ends_with("_tests.rs") {
            return;
        }
        for (n, line) in without_tests(text).lines().enumerate() {
            let code = line.split("//").next().unwrap_or(line);
            let digits = code.replace('_', "");
            for (count, constant) in stands.iter_mut().zip(once) {
                *count += usize::from(digits.contains(constant));
            }
            let other = others.iter().any(|(p, what)| path == *p && code.contains(what));
            if path != "src/measures.rs"
                && factors.iter().any(|f| code.contains(f))
                && !code.contains("round()")
                && !other
            {
                faults.push(format!("{path}:{}: {}", n + 1, code.trim()));
            }
        }
    });
    assert!(faults.is_empty(), "{}", faults.join("\n"));
    for (constant, count) in once.iter().zip(stands) {
        assert!(count <= 1, "{constant} stands {count} times in src");
    }
}

#[test]
fn every_room_is_listed() {
    for entry in fs::read_dir("src").unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        assert!(
            !path.is_dir() || ROOMS.contains(&name.as_str()),
            "{name} has no place in the order"
        );
    }
}
