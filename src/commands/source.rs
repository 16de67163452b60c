//! Where a scenario comes from, with its bytes as read.

use super::outcome::{Failure, tell};
use super::shipped;
use crate::circuit::Scenario;
use crate::json::Origin;
use crate::scenario::{self, Mistakes, limits::LARGEST_FILE};
use serde_json::Value;
use std::borrow::Cow;
use std::io::Read as _;
use std::path::{Path, PathBuf};

/// A checked scenario and the bytes that say it.
#[derive(Debug)]
pub(super) struct Source {
    /// What they say.
    pub scenario: Scenario,
    /// As read, not a byte changed.
    pub bytes: Cow<'static, [u8]>,
}

impl Source {
    /// Reads and checks a scenario with values set over its own: `-` is standard input, and what is no file may be
    /// the name of a shipped one.
    ///
    /// # Errors
    /// Every mistake in it, or why it cannot be read.
    pub(super) fn read(path: &Path, set: &[String]) -> Result<Self, Failure> {
        let bytes = match path == Path::new("-") {
            true => Cow::Owned(standard_input()?),
            false => file_or_shipped(path).map_err(Failure::Mistaken)?,
        };
        let name = path.display().to_string();
        let scenario = crate::read_bytes_with(&bytes, &name, set).map_err(Failure::Mistaken)?;
        Ok(Self { scenario, bytes })
    }

    /// Every scenario, or what is wrong with each that cannot be used.
    ///
    /// # Errors
    /// As [`Source::read`], of each.
    pub(super) fn read_several(paths: &[PathBuf], set: &[String]) -> Result<Vec<Self>, Failure> {
        if paths.iter().filter(|path| *path == Path::new("-")).count() > 1 {
            return Err(Failure::Unusable(
                "standard input can be read once only: name `-` once".to_owned(),
            ));
        }
        let (mut sources, mut told) = (Vec::new(), Vec::new());
        for path in paths {
            match Self::read(path, set) {
                Ok(source) => sources.push(source),
                Err(why @ (Failure::Mistaken(_) | Failure::Unusable(_))) => told.push(why),
                Err(other) => return Err(other),
            }
        }
        if told.is_empty() { Ok(sources) } else { Err(Failure::Several(told)) }
    }

    /// What an answer comes of that was asked for with these options.
    pub(super) fn origin(&self, asked: &Value) -> Origin {
        Origin::of(&self.scenario, &self.bytes, asked)
    }

    /// As text, which a scenario is.
    pub(super) fn text(&self) -> Cow<'_, str> {
        String::from_utf8_lossy(&self.bytes)
    }
}

/// The bytes of the file, or where there is none, those of the shipped scenario of this name. Where one could be
/// taken for the other, it is said which is read.
fn file_or_shipped(path: &Path) -> Result<Cow<'static, [u8]>, Mistakes> {
    let name = path.display();
    let no_file = matches!(path.try_exists(), Ok(false));
    let shipped = shipped::named(path);
    if let Some(shipped) = shipped.filter(|_| no_file) {
        let file = path.with_extension("toml");
        if path.extension().is_some() {
            tell(&format!("{name} is no file here: the shipped scenario of this name is read"));
        } else if scenario::file_bytes(&file).is_ok_and(|bytes| bytes != shipped) {
            tell(&format!(
                "{name}: the shipped scenario is read, not {}, which differs",
                file.display()
            ));
        }
        return Ok(Cow::Borrowed(shipped));
    }
    let bytes = scenario::file_bytes(path).map_err(|mut unread| {
        for mistake in unread.list.iter_mut().filter(|_| no_file) {
            mistake.remedy += &format!("; or {}", shipped::remedy(path));
        }
        unread
    })?;
    if shipped.is_some_and(|shipped| shipped != bytes) {
        tell(&format!("{name}: the file is read, not the shipped scenario, which differs"));
    }
    Ok(Cow::Owned(bytes))
}

fn standard_input() -> Result<Vec<u8>, Failure> {
    let mut bytes = Vec::new();
    // One byte more than allowed tells that it is too large.
    match std::io::stdin().take(LARGEST_FILE + 1).read_to_end(&mut bytes) {
        Ok(_) => Ok(bytes),
        Err(e) => Err(Failure::Failed(format!("standard input can't be read: {e}"))),
    }
}
