//! Files are written whole or not at all, and never over something that must stay.

use farwheel::report::write::{Target, same_file};
use std::fs;
use std::path::Path;

fn target(path: &Path) -> Target {
    Target::File(path.to_owned())
}

#[test]
fn writes_and_replaces_and_leaves_nothing_else() {
    let dir = tempfile::tempdir().unwrap();
    let file = dir.path().join("out.json");
    target(&file).write(b"one").unwrap();
    target(&file).write(b"two").unwrap();
    assert_eq!(fs::read(&file).unwrap(), b"two");
    assert_eq!(fs::read_dir(dir.path()).unwrap().count(), 1);
}

#[test]
fn an_impossible_place_is_an_error_that_names_it() {
    let dir = tempfile::tempdir().unwrap();
    let nowhere = dir.path().join("missing/out.json");
    let why = target(&nowhere).write(b"x").unwrap_err().to_string();
    assert!(why.contains("missing/out.json could not be written"), "{why}");
    let why = target(dir.path()).write(b"x").unwrap_err();
    assert!(dir.path().is_dir(), "{why}");
}

#[test]
fn a_dash_is_standard_output() {
    assert_eq!(Target::from(std::ffi::OsStr::new("-")), Target::Standard);
    assert_eq!(Target::from(std::ffi::OsStr::new("./-")), target(Path::new("./-")));
}

#[cfg(unix)]
#[test]
fn links_devices_and_permissions_are_respected() {
    use std::os::unix::fs::{PermissionsExt as _, symlink};
    let dir = tempfile::tempdir().unwrap();
    let (file, link) = (dir.path().join("real"), dir.path().join("link"));
    fs::write(&file, "old").unwrap();
    fs::set_permissions(&file, fs::Permissions::from_mode(0o640)).unwrap();
    symlink(&file, &link).unwrap();
    target(&link).write(b"new").unwrap();
    assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
    assert_eq!(fs::read(&file).unwrap(), b"new");
    assert_eq!(fs::metadata(&file).unwrap().permissions().mode() & 0o777, 0o640);

    // /dev/null is written to, not replaced.
    target(Path::new("/dev/null")).write(b"gone").unwrap();
    assert!(!fs::metadata("/dev/null").unwrap().is_file());
}

#[test]
fn the_same_file_is_known_under_any_spelling() {
    let dir = tempfile::tempdir().unwrap();
    let (one, other) = (dir.path().join("a.toml"), dir.path().join("b.toml"));
    fs::write(&one, "").unwrap();
    assert!(same_file(&one, &dir.path().join("./a.toml")));
    assert!(!same_file(&one, &other));
    assert!(same_file(&other, &dir.path().join("./b.toml")), "also before it exists");
    fs::hard_link(&one, &other).unwrap();
    assert!(cfg!(not(unix)) || same_file(&one, &other));
}
