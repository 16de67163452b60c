//! The shipped scenarios inside the program, so that whoever installed it has them without the folder.

use super::outcome::Failure;
use crate::scenario::suggest;
use std::path::Path;

/// Name, as `splits/ii`, and bytes of each, sorted by name; `build.rs` lists the folder `scenarios`.
const SHIPPED: &[(&str, &[u8])] = include!(concat!(env!("OUT_DIR"), "/shipped.rs"));

/// The names.
pub(super) fn names() -> impl Iterator<Item = &'static str> {
    SHIPPED.iter().map(|(name, _)| *name)
}

/// The scenario of this name, with or without `.toml`.
pub(super) fn named(path: &Path) -> Option<&'static [u8]> {
    let wanted = name_of(path);
    SHIPPED.iter().find(|(name, _)| *name == wanted).map(|(_, bytes)| *bytes)
}

/// Each with its title, a line each.
pub(super) fn list() -> String {
    let width = names().map(str::len).max().unwrap_or_default();
    let line = |(name, bytes): &(&str, &[u8])| {
        // The tests read every one of them.
        let title = crate::read_bytes(bytes, name).map(|s| s.title.clone()).unwrap_or_default();
        format!("{name:width$}  {title}\n")
    };
    SHIPPED.iter().map(line).collect()
}

/// The text of one, to start from.
///
/// # Errors
/// If there is none of this name.
pub(super) fn text(path: &Path) -> Result<Vec<u8>, Failure> {
    let unknown = || {
        let name = path.display();
        Failure::Unusable(format!("{name} is no shipped scenario; {}", remedy(path)))
    };
    named(path).map(<[u8]>::to_vec).ok_or_else(unknown)
}

/// What to name instead of what is no shipped scenario: the nearest, or where the names are listed.
pub(super) fn remedy(path: &Path) -> String {
    let wanted = name_of(path);
    // Of a path to a folder that is not there the end may be meant.
    let parts: Vec<_> = wanted.split('/').collect();
    let ends: Vec<_> = (0..parts.len()).map(|from| parts[from..].join("/")).collect();
    let exact = names().find(|name| ends.iter().any(|end| end == name));
    match exact.or_else(|| ends.iter().find_map(|end| suggest::nearest(end, names()))) {
        Some(near) => format!("name a shipped scenario: did you mean `{near}`?"),
        None => "name a shipped scenario: `farwheel check --shipped` lists them".to_owned(),
    }
}

/// The name that a path would be: `/` between folders on every system, no `.toml`.
fn name_of(path: &Path) -> String {
    let parts: Vec<_> = path.iter().map(|part| part.to_string_lossy()).collect();
    let name = parts.join("/");
    name.strip_suffix(".toml").unwrap_or(&name).to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_is_found_with_and_without_its_ending() {
        for name in ["splits/ii", "splits/ii.toml"] {
            let bytes = named(Path::new(name)).expect("it is shipped");
            assert_eq!(bytes, include_bytes!("../../scenarios/splits/ii.toml"));
        }
        for none in ["ii", "splits", "", "-", "scenarios/splits/ii.toml", "compact-hatchback.json"]
        {
            assert!(named(Path::new(none)).is_none(), "{none}");
        }
    }

    #[test]
    fn a_slip_is_answered_with_the_name_meant() {
        for (wrong, near) in [
            ("compact-hatchbak", Some("compact-hatchback")),
            ("compact hatchback.toml", Some("compact-hatchback")),
            ("scenarios/compact-hatchback.toml", Some("compact-hatchback")),
            ("scenarios/splits/ii.toml", Some("splits/ii")),
            ("split/ii", Some("splits/ii")),
            ("my own car.toml", None),
        ] {
            let told = remedy(Path::new(wrong));
            match near {
                Some(near) => assert!(told.ends_with(&format!("did you mean `{near}`?")), "{told}"),
                None => assert!(told.ends_with("lists them"), "{told}"),
            }
        }
    }
}
