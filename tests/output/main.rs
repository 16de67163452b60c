//! What a job's record looks like once it leaves the program: tables, files and pictures.

#[path = "../common/fixture_record.rs"]
mod fixture_record;
mod pictures;
