//! What a job's record looks like once it leaves the program: tables, files and pictures.

mod also;
mod arguments;
mod completions;
mod files;
#[path = "../common/fixture_check.rs"]
mod fixture_check;
#[path = "../common/fixture_record.rs"]
mod fixture_record;
mod harmless;
mod looks;
mod origin;
mod pictures;
#[path = "../common/program.rs"]
mod program;
mod shipped;
mod study_pictures;
mod tables;
