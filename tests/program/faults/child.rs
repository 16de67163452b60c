//! The program run as a user runs it, and what it leaves in a directory.

pub use crate::common::program::{Ran as Run, farwheel_in as run};
use resvg::{tiny_skia, usvg};
use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

/// The program in a directory, with nothing to read on standard input.
pub fn command(dir: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_farwheel"));
    command.current_dir(dir).env_remove("NO_COLOR").stdin(Stdio::null());
    command
}

/// A directory with the scenario `car.toml` in it.
pub fn with_car() -> tempfile::TempDir {
    let dir = tempfile::tempdir().expect("a directory");
    fs::write(dir.path().join("car.toml"), super::CAR).expect("a scenario");
    dir
}

/// Every file and link below a directory with what it holds: of a link where it leads, of what is no file a word.
pub fn contents(dir: &Path) -> BTreeMap<PathBuf, Vec<u8>> {
    let mut all = BTreeMap::new();
    for entry in fs::read_dir(dir).expect("a directory") {
        let path = entry.expect("an entry").path();
        let kind = fs::symlink_metadata(&path).expect("it is there").file_type();
        if kind.is_dir() {
            all.insert(path.clone(), b"a directory".to_vec());
            all.extend(contents(&path));
        } else if kind.is_symlink() {
            let to = fs::read_link(&path).expect("a link");
            all.insert(path, to.to_string_lossy().into_owned().into_bytes());
        } else if kind.is_file() {
            let bytes = fs::read(&path).expect("a file");
            all.insert(path, bytes);
        } else {
            all.insert(path, b"no file".to_vec());
        }
    }
    all
}

/// Temporary files that were left somewhere below a directory.
pub fn litter(dir: &Path) -> Vec<PathBuf> {
    let is_ours =
        |p: &PathBuf| p.file_name().is_some_and(|n| n.to_string_lossy().starts_with(".farwheel"));
    contents(dir).into_keys().filter(is_ours).collect()
}

/// What is wrong with a file if it is not complete, by the rules of its format.
pub fn incomplete(path: &Path) -> Option<String> {
    let bytes = fs::read(path).expect("a file");
    let text = || String::from_utf8(bytes.clone()).expect("text");
    let wrong = match path.extension().and_then(|e| e.to_str()).expect("an extension") {
        "json" => {
            let value: Result<serde_json::Value, _> = serde_json::from_slice(&bytes);
            value.err().map(|e| e.to_string())
        }
        "csv" => {
            let rows =
                csv::Reader::from_reader(bytes.as_slice()).into_records().collect::<Vec<_>>();
            let broken = rows.into_iter().find_map(Result::err).map(|e| e.to_string());
            broken.or_else(|| (!bytes.ends_with(b"\n")).then(|| "no line end".to_owned()))
        }
        "svg" => {
            usvg::Tree::from_str(&text(), &usvg::Options::default()).err().map(|e| e.to_string())
        }
        "png" => tiny_skia::Pixmap::decode_png(&bytes).err().map(|e| e.to_string()),
        "html" => (!text().trim_end().ends_with("</html>")).then(|| "no end".to_owned()),
        "toml" => farwheel::read_file(path).err().map(|e| e.to_string()),
        other => panic!("{other}?"),
    };
    wrong.map(|why| format!("{}: {why}", path.display()))
}
