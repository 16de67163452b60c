//! Scenarios that fuzzing found (`DEVELOPERS.md`, Fuzzing): each did something it must not, and holds now what
//! every scenario must hold. What it was is said in the file's name and first line.

#[allow(dead_code)]
#[path = "common/held.rs"]
mod held;

use std::path::PathBuf;

/// The files of a folder below `tests/found`.
fn cases(folder: &str) -> Vec<(PathBuf, Vec<u8>)> {
    let folder = PathBuf::from("tests/found").join(folder);
    let entries = std::fs::read_dir(&folder).unwrap();
    let mut files: Vec<PathBuf> = entries.map(|e| e.unwrap().path()).collect();
    files.retain(|f| f.is_file());
    files.sort();
    files.into_iter().map(|f| (f.clone(), std::fs::read(f).unwrap())).collect()
}

fn text(bytes: Vec<u8>) -> String {
    String::from_utf8(bytes).unwrap()
}

#[test]
fn jobs_go_through() {
    let jobs = cases("");
    assert!(jobs.len() >= 2);
    for (file, bytes) in jobs {
        println!("{}", file.display());
        let text = text(bytes);
        assert!(held::reads(&text).is_some(), "not read any more, so it tests nothing");
        held::goes_through(&text);
    }
}
