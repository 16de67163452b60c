//! The rules of the house: a room imports only from rooms before it, a storey of `job` only from storeys before it; no
//! files import each other in a circle; a constant stands once; nothing is kept out of the JSON without a reason.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

/// In the order in which data flows, as `lib.rs` and DEVELOPERS.md list them. A room that is not there
/// yet has its place all the same.
const ROOMS: [&str; 17] = [
    "keys",
    "fluid",
    "parts",
    "supply",
    "scenario",
    "circuit",
    "flow",
    "transport",
    "job",
    "above",
    "describe",
    "study",
    "readings",
    "json",
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

/// Paths that a `use` tree stands for.
fn branches(tree: &str) -> Vec<String> {
    let Some((stem, inside)) = tree.split_once('{') else { return vec![tree.trim().to_owned()] };
    let inside = &inside[..inside.rfind('}').expect("a closing brace")];
    let mut depth = 0;
    let parts = inside.split(|c| {
        depth += i32::from(c == '{') - i32::from(c == '}');
        c == ',' && depth == 0
    });
    parts.flat_map(|part| branches(&format!("{}{}", stem.trim(), part.trim()))).collect()
}

/// Paths that a file imports by `use` or names in full. What a folder only shows of its own files (`pub use`) is not
/// imported by it.
fn paths(text: &str) -> Vec<String> {
    let code = without_tests(text).lines().map(|l| l.split("//").next().unwrap_or(l));
    let code = code.collect::<Vec<_>>().join("\n");
    let mut found = Vec::new();
    for statement in code.split_inclusive(';') {
        let line_of_use = statement.match_indices("use ").find_map(|(at, _)| {
            let line = statement[..at].rfind('\n').map_or(0, |n| n + 1);
            let before = &statement[line..at];
            let visible = before.trim();
            // Not the end of another word.
            let stands_alone = before.is_empty() || before.ends_with(char::is_whitespace);
            let shown = visible.is_empty() || visible.starts_with("pub");
            (stands_alone && shown).then_some((line, at, visible))
        });
        let (before, after) = statement.split_at(line_of_use.map_or(statement.len(), |u| u.0));
        for (at, _) in before.match_indices("crate::").chain(before.match_indices("super::")) {
            let path = |c: char| c.is_alphanumeric() || c == '_' || c == ':';
            if !before[..at].ends_with(|c: char| path(c) || c == '$') {
                let end = before[at..].find(|c| !path(c)).map_or(before.len(), |n| at + n);
                found.push(before[at..end].to_owned());
            }
        }
        if let Some((line, at, visible)) = line_of_use {
            let tree = after[at + 4 - line..].trim_end_matches(';');
            let far = |p: &String| p.starts_with("crate::") || p.starts_with("super::");
            found.extend(branches(tree).into_iter().filter(|p| visible.is_empty() || far(p)));
        }
    }
    found
}

/// Files of all rooms as modules, each with those that it imports.
fn imports() -> BTreeMap<String, BTreeSet<String>> {
    let mut texts = BTreeMap::new();
    each_file(Path::new("src"), &mut |path, text| {
        let name = path.with_extension("").to_string_lossy()["src/".len()..].replace('/', "::");
        if name.contains("::") && !name.ends_with("_tests") {
            texts.insert(name.trim_end_matches("::mod").to_owned(), text.to_owned());
        }
    });
    let up = |module: &str| module.rsplit_once("::").map_or(String::new(), |m| m.0.to_owned());
    let resolve = |module: &String, path: String| {
        let (mut base, mut rest) = (module.clone(), path.as_str());
        if let Some(r) = rest.strip_prefix("crate::") {
            (base, rest) = (String::new(), r);
        }
        while let Some(r) = rest.strip_prefix("super::") {
            (base, rest) = (up(&base), r);
        }
        let mut full = format!("{base}::{rest}").trim_start_matches("::").to_owned();
        while !full.is_empty() && !texts.contains_key(&full) {
            full = up(&full);
        }
        Some(full).filter(|f| !f.is_empty() && f != module)
    };
    let of = |(module, text): (&String, &String)| {
        let all = paths(text).into_iter().filter_map(|p| resolve(module, p));
        (module.clone(), all.collect())
    };
    texts.iter().map(of).collect()
}

/// The shortest way by imports from `from` to `to`, other than the direct one.
fn way_round(
    imports: &BTreeMap<String, BTreeSet<String>>,
    from: &str,
    to: &str,
) -> Option<Vec<String>> {
    let mut ways = vec![vec![from.to_owned()]];
    let mut seen = BTreeSet::from([from.to_owned()]);
    let mut next = 0;
    while let Some(way) = ways.get(next).cloned() {
        let last = way.last().expect("it begins somewhere");
        for file in &imports[last] {
            let direct = last == from && file == to;
            if !direct && seen.insert(file.clone()) {
                ways.push(way.iter().chain([file]).cloned().collect());
                if file == to {
                    return ways.pop();
                }
            }
        }
        next += 1;
    }
    None
}

/// Two files may belong to each other; more in a circle cannot be read one after the other. In `job` there are no two.
#[test]
fn no_files_import_each_other_in_a_circle() {
    let imports = imports();
    let mut faults = Vec::new();
    for (file, imported) in &imports {
        for other in imported {
            if let Some(way) = way_round(&imports, other, file) {
                faults.push(way.join(" imports "));
            }
            if file.starts_with("job::") && imports[other].contains(file) {
                faults.push(format!("{file} and {other}"));
            }
        }
    }
    assert!(imports.values().map(BTreeSet::len).sum::<usize>() > 500, "hardly any import seen");
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

/// As `src/job/mod.rs` lists them.
#[test]
fn a_storey_of_the_job_imports_only_from_those_before_it() {
    let storeys = ["record", "options", "error", "state", "survey", "run", "outcome"];
    let height = |file: &str| {
        let storey = file.strip_prefix("job::")?.split("::").next()?;
        Some(storeys.iter().position(|s| *s == storey).unwrap_or_else(|| panic!("{file}")))
    };
    for (file, imported) in imports() {
        for other in &imported {
            if let (Some(of), Some(from)) = (height(&file), height(other)) {
                assert!(from <= of, "{file} imports {other}");
            }
        }
    }
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
        ("src/study/job_card/mod.rs", "watched_mm"),
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

/// Fields that are kept out of the JSON without a reason, `//` and not a doc comment, in the line above or behind it.
fn without_a_reason(text: &str) -> Vec<usize> {
    let reason = |line: &str| {
        line.split_once("//").is_some_and(|(_, why)| !why.starts_with('/') && why.trim().len() > 10)
    };
    let lines: Vec<&str> = text.lines().collect();
    let mut found = Vec::new();
    for (n, line) in lines.iter().enumerate() {
        let code = line.split("//").next().unwrap_or(line);
        // An attribute may go over several lines.
        let end =
            lines[n..].iter().position(|l| l.contains(")]")).map_or(lines.len(), |e| n + e + 1);
        let skips = || lines[n..end].concat().replace("skip_serializing_if", "").contains("skip");
        let above = n.checked_sub(1).map_or("", |n| lines[n].trim());
        if code.contains("serde(") && skips() && !reason(line) && !reason(above) {
            found.push(n + 1);
        }
    }
    found
}

/// JSON says what the program knows: what it doesn't say has its reason beside it.
#[test]
fn what_the_json_leaves_out_has_its_reason() {
    let mut faults = Vec::new();
    let mut seen = 0;
    each_file(Path::new("src"), &mut |path, text| {
        seen += text.matches("serde(skip)").count();
        faults.extend(without_a_reason(text).iter().map(|n| format!("{}:{n}", path.display())));
    });
    assert!(seen > 0, "none seen");
    assert!(faults.is_empty(), "left out of the JSON without a reason:\n{}", faults.join("\n"));
}

/// The rule above sees what it is to see.
#[test]
fn a_skip_without_a_reason_is_seen() {
    let with = [
        "// Not in the JSON: bulk, on request.\n#[serde(skip)]",
        "#[serde(skip)] // a handle into the list\n",
        "#[serde(skip_serializing_if = \"Option::is_none\")]",
        "// #[serde(skip)]",
    ];
    for text in with {
        assert!(without_a_reason(text).is_empty(), "{text}");
    }
    let without = [
        "#[serde(skip)]",
        "/// A number of its own.\n#[serde(skip)]",
        "//\n#[serde(skip)]",
        "#[serde(rename = \"x\", skip_serializing)]",
        "#[serde(\n    skip,\n    default\n)]",
        "// A reason that stands too far off.\nlet x = 1;\n#[serde(skip)]",
    ];
    for text in without {
        assert_eq!(without_a_reason(text).len(), 1, "{text}");
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

/// The columns of a job's sums stand in one list, which every sheet takes.
#[test]
fn a_column_of_totals_stands_once() {
    let names =
        ["removed_ml", "bay_seconds", "repumps", "left_water_percent", "lowest_boiling_part"];
    for name in names {
        let mut count = 0;
        each_file(Path::new("src/report"), &mut |_, text| {
            count += text.matches(&format!("\"{name}\"")).count();
        });
        assert_eq!(count, 1, "{name}");
    }
}
