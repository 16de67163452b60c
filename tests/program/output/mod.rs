//! What a job's record looks like once it leaves the program: tables, files and pictures.

mod also;
mod arguments;
mod completions;
mod files;
mod fixture_check;
mod fixture_record;
mod harmless;
mod looks;
mod origin;
mod pictures;
mod pictures_shipped;
mod shipped;
mod study_pictures;
mod tables;
use crate::common::program;
