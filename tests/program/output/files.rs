//! Files are written whole or not at all, and never over something that must stay.

use farwheel::report::write::{Target, same_file, write_together};
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
fn several_files_are_all_written_or_none_and_leave_nothing_else() {
    let dir = tempfile::tempdir().unwrap();
    let plots = dir.path().join("some/where");
    let (a, b) = (plots.join("a.svg"), plots.join("b.svg"));
    write_together(&plots, &[(a.clone(), b"one"), (b.clone(), b"two")]).unwrap();
    assert_eq!((fs::read(&a).unwrap(), fs::read(&b).unwrap()), (b"one".to_vec(), b"two".to_vec()));
    assert_eq!(fs::read_dir(&plots).unwrap().count(), 2);

    // The second place is taken by a directory: the first file stays as it was.
    fs::remove_file(&b).unwrap();
    fs::create_dir(&b).unwrap();
    let files = [(a.clone(), &b"new"[..]), (b.clone(), &b"new"[..])];
    let why = write_together(&plots, &files).unwrap_err().to_string();
    assert!(why.contains("b.svg") && why.contains("it is a directory"), "{why}");
    assert_eq!(fs::read(&a).unwrap(), b"one");
    assert_eq!(fs::read_dir(&plots).unwrap().count(), 2);

    // A file where the directory should be: an error that names it, and the file untouched.
    let why = write_together(&a, &[(a.join("c.svg"), b"x")]).unwrap_err().to_string();
    assert!(why.contains("a.svg") && why.contains("is a file, not a directory"), "{why}");
    assert_eq!(fs::read(&a).unwrap(), b"one");
}

#[test]
fn what_cannot_be_written_is_found_out_beforehand_and_leaves_nothing() {
    let dir = tempfile::tempdir().unwrap();
    let at = |name: &str| target(&dir.path().join(name));
    at("out.json").look_over(false).unwrap();
    at("plots/a.svg").look_over(true).unwrap();
    for (name, what) in [
        ("missing/out.json", "there is no directory"),
        (".", "it is a directory"),
        ("", "it is a directory"),
    ] {
        let why = at(name).look_over(false).unwrap_err().to_string();
        assert!(why.contains(what), "{name}: {why}");
    }
    let why = target(Path::new("")).look_over(false).unwrap_err().to_string();
    assert!(why.contains("names no file"), "{why}");
    assert_eq!(fs::read_dir(dir.path()).unwrap().count(), 0);
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

    // A link that leads nowhere is no place for a file: what it should lead to is not known to be free.
    let lost = dir.path().join("lost");
    symlink(dir.path().join("gone"), &lost).unwrap();
    let why = target(&lost).write(b"x").unwrap_err().to_string();
    assert!(why.contains("a link that leads nowhere"), "{why}");
    assert!(fs::symlink_metadata(&lost).unwrap().is_symlink());

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
