//! What the program carries of the folder it is built from: the commit, and the shipped scenarios.

use std::env;
use std::fmt::Write as _;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

/// Digits of the commit: always as many, however many commits there are.
const DIGITS: usize = 12;
/// What goes into the program: beside HEAD, the only files whose change has this script run again.
const SOURCES: [&str; 6] = ["Cargo.toml", "Cargo.lock", "build.rs", "src", "assets", "scenarios"];

fn main() {
    println!("cargo::rerun-if-changed=build.rs");
    // The library alone says neither.
    if env::var_os("CARGO_FEATURE_PROGRAM").is_none() {
        return;
    }
    for source in SOURCES {
        println!("cargo::rerun-if-changed={source}");
    }
    let commit = commit().unwrap_or_else(|| "commit unknown: built without git".to_owned());
    println!("cargo::rustc-env=FARWHEEL_COMMIT={commit}");

    let root = PathBuf::from(env::var_os("CARGO_MANIFEST_DIR").expect("cargo names the folder"));
    let out = PathBuf::from(env::var_os("OUT_DIR").expect("cargo names a folder for what is made"));
    let list = shipped(&root.join("scenarios"));
    fs::write(out.join("shipped.rs"), list).expect("the list of shipped scenarios is written");
}

/// What git says of this folder; none if it is not the root of a repository, as after unpacking an archive.
fn commit() -> Option<String> {
    // A folder unpacked inside someone else's repository is not that repository's commit.
    if !git(&["rev-parse", "--show-cdup"])?.is_empty() {
        return None;
    }
    let commit = git(&["rev-parse", "HEAD"])?;
    // HEAD changes with a checkout, what it names with a commit; the log of HEAD with both, also where git has
    // packed names into one file.
    let named = git(&["rev-parse", "--symbolic-full-name", "HEAD"]);
    for path in ["HEAD", "logs/HEAD", "packed-refs"].into_iter().chain(named.as_deref()) {
        // A file that is not there would have this script run each time.
        if let Some(path) = git(&["rev-parse", "--git-path", path])
            && Path::new(&path).is_file()
        {
            println!("cargo::rerun-if-changed={path}");
        }
    }
    let short = commit.get(..DIGITS)?;
    let mut changed = vec!["diff", "--quiet", "HEAD", "--"];
    changed.extend(SOURCES);
    let as_committed = git(&changed).is_some();
    Some(format!("commit {short}{}", if as_committed { "" } else { ", changed since" }))
}

/// What git answers, without the line's end; none where it fails.
fn git(arguments: &[&str]) -> Option<String> {
    let output = Command::new("git").args(arguments).output().ok()?;
    let text = String::from_utf8(output.stdout).ok()?;
    output.status.success().then(|| text.trim_end().to_owned())
}

/// The shipped scenarios as Rust: name and text of each, sorted by name.
fn shipped(folder: &Path) -> String {
    let mut files = Vec::new();
    collect(folder, "", &mut files);
    files.sort();
    let mut list = String::from("&[\n");
    for (name, path) in files {
        writeln!(list, "    ({name:?}, include_bytes!({path:?})),").expect("a string takes it");
    }
    list + "]\n"
}

/// Every scenario of a folder and of those in it, as name (`splits/ii`) and file.
fn collect(folder: &Path, before: &str, files: &mut Vec<(String, PathBuf)>) {
    for entry in fs::read_dir(folder).expect("the scenarios can be listed") {
        let path = entry.expect("the scenarios can be listed").path();
        let Some(stem) = path.file_stem().and_then(|s| s.to_str()) else { continue };
        let name = format!("{before}{stem}");
        if path.is_dir() {
            collect(&path, &format!("{name}/"), files);
        } else if path.extension().is_some_and(|e| e == "toml") {
            files.push((name, path));
        }
    }
}
