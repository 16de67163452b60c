//! `schema`: the JSON Schema of the scenario file.

use super::outcome::{Done, Failure};
use crate::report::json;
use crate::report::write::Target;
use crate::scenario;
use clap::{Args, builder::OsStringValueParser};
use std::ffi::OsString;

/// Print the JSON Schema of the scenario file, for editors
#[derive(Debug, Args)]
pub(super) struct Schema {
    /// Write it to this file instead of standard output
    #[arg(long, value_name = "FILE|-", default_value = "-", value_parser = OsStringValueParser::new())]
    json: OsString,
}

impl Schema {
    /// Writes the schema.
    pub(super) fn carry_out(self) -> Result<Done, Failure> {
        let schema = scenario::schema();
        let text =
            json::render(&schema).map_err(|why| Failure::Failed(format!("no schema: {why}")))?;
        Target::from(self.json.as_os_str()).write(text.as_bytes())?;
        Ok(Done::Well)
    }
}
