//! Scenarios that fuzzing found (docs/fuzzing.md): each did something it must not, and holds now what
//! every scenario must hold. What it was is said in the file's name and first line.

use crate::common::held;
use farwheel::job::record::WarningKind;
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

/// A reservoir of a millilitre cannot hold the air of a feed hose: that is said, instead of fluid lost in the books.
#[test]
fn air_that_reaches_an_outlet_stops_the_job() {
    let text = include_str!("../found/air-of-the-feed-hose-in-a-small-reservoir.toml");
    let scenario = held::reads(text).unwrap();
    let record = held::runs(&scenario, &held::quick()).unwrap();
    let told = record.warnings.iter().find(|w| w.kind == WarningKind::AirReachesAnOutlet).unwrap();
    assert!(told.stops_the_job() && told.text.contains("feed_hose_holds"), "{told:?}");
    // Filled before it is put on, the hose brings no air; the little that was under the cap grows by less than is
    // left.
    let filled = text.replace("heel = ", "feed_hose_holds = \"new fluid\"\nheel = ");
    let record = held::runs(&held::reads(&filled).unwrap(), &held::quick()).unwrap();
    assert!(
        record.warnings.iter().all(|w| w.kind != WarningKind::AirReachesAnOutlet),
        "{record:?}"
    );
}
