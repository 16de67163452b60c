//! The pictures: nothing cut off, nothing on top of another, whatever a scenario's text is.

use crate::fixture_record::fixture_record;
use farwheel::job::record::Record;
use farwheel::plot;
use resvg::usvg;

#[test]
fn writes_svg_and_png_of_every_picture() {
    let dir = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("pictures");
    let files = plot::write_all(&fixture_record(), &dir).unwrap();
    assert_eq!(files.len(), 8);
    for file in &files {
        assert!(
            std::fs::metadata(file).unwrap().len() > 2000,
            "{}",
            file.display()
        );
    }
    let left_behind = std::fs::read_dir(&dir).unwrap().filter(|f| {
        f.as_ref()
            .unwrap()
            .file_name()
            .to_string_lossy()
            .ends_with(".tmp")
    });
    assert_eq!(left_behind.count(), 0);
}
