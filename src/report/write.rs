//! Where output goes: a file, written whole or not at all, or standard output.

use std::ffi::OsStr;
use std::fmt;
use std::fs;
use std::io::{self, Write as _};
use std::path::{Path, PathBuf};

/// A file or standard output.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Target {
    /// Standard output, written `-` on the command line.
    Standard,
    /// A file.
    File(PathBuf),
}

impl From<&OsStr> for Target {
    fn from(argument: &OsStr) -> Self {
        if argument == "-" { Self::Standard } else { Self::File(argument.into()) }
    }
}

impl fmt::Display for Target {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Standard => f.write_str("standard output"),
            Self::File(path) => write!(f, "{}", path.display()),
        }
    }
}

/// Output that could not be written.
#[derive(Debug)]
pub struct WriteError {
    /// What should have been written.
    pub target: Target,
    /// Why it was not.
    pub why: io::Error,
}

impl fmt::Display for WriteError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} could not be written: {}", self.target, self.why)
    }
}

impl std::error::Error for WriteError {
    fn source(&self) -> Option<&(dyn std::error::Error + 'static)> {
        Some(&self.why)
    }
}

impl Target {
    /// Writes everything, or leaves what was there before.
    ///
    /// # Errors
    /// If the file's directory is missing, or writing fails. A reader that has closed the pipe is no error:
    /// it has seen what it wanted.
    pub fn write(&self, bytes: &[u8]) -> Result<(), WriteError> {
        match self {
            Self::Standard => unless_closed(standard(bytes)),
            Self::File(path) => file(path, bytes),
        }
        .map_err(|why| WriteError { target: self.clone(), why })
    }
}

/// Prints styled text to standard output; the styles are left out unless it is a terminal that wants them.
///
/// # Errors
/// If writing fails for another reason than a reader that has closed the pipe.
pub fn print(text: &str) -> Result<(), WriteError> {
    let mut out = anstream::stdout().lock();
    let done = out.write_all(text.as_bytes()).and_then(|()| out.flush());
    unless_closed(done).map_err(|why| WriteError { target: Target::Standard, why })
}

fn standard(bytes: &[u8]) -> io::Result<()> {
    let mut out = io::stdout().lock();
    out.write_all(bytes)?;
    out.flush()
}

fn unless_closed(done: io::Result<()>) -> io::Result<()> {
    match done {
        Err(why) if why.kind() == io::ErrorKind::BrokenPipe => Ok(()),
        other => other,
    }
}

fn file(path: &Path, bytes: &[u8]) -> io::Result<()> {
    // A link is followed: its target gets the new content and the link stays.
    let path = fs::canonicalize(path).unwrap_or_else(|_| path.to_owned());
    if let Ok(there) = fs::metadata(&path)
        && !there.is_file()
        && !there.is_dir()
    {
        // A pipe or device cannot be replaced, only written to.
        return unless_closed(
            fs::OpenOptions::new().write(true).open(&path).and_then(|mut f| f.write_all(bytes)),
        );
    }
    if path.exists() {
        // A file that may not be written must not be replaced either.
        fs::OpenOptions::new().write(true).open(&path)?;
    }
    let dir = path.parent().filter(|d| !d.as_os_str().is_empty()).unwrap_or(Path::new("."));
    if !dir.is_dir() {
        let why = format!("there is no directory {}: make it first", dir.display());
        return Err(io::Error::new(io::ErrorKind::NotFound, why));
    }
    let mut builder = tempfile::Builder::new();
    builder.prefix(".farwheel-").suffix(".tmp");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        // As any new file: what the user's mask leaves of this; or as the file that is replaced.
        let mode = fs::metadata(&path).map_or(0o666, |m| m.permissions().mode());
        builder.permissions(fs::Permissions::from_mode(mode));
    }
    let mut temporary = builder.tempfile_in(dir)?;
    temporary.write_all(bytes)?;
    temporary.persist(&path).map_err(|e| e.error)?;
    Ok(())
}

/// Whether two paths lead to the same file, links and different spellings included; a file that does not
/// exist yet is known by its directory and name.
pub fn same_file(one: &Path, other: &Path) -> bool {
    let (one_place, other_place) = (place(one), place(other));
    one_place.is_some() && one_place == other_place || linked(one, other)
}

fn place(path: &Path) -> Option<PathBuf> {
    fs::canonicalize(path).ok().or_else(|| {
        let dir = path.parent().filter(|d| !d.as_os_str().is_empty()).unwrap_or(Path::new("."));
        Some(fs::canonicalize(dir).ok()?.join(path.file_name()?))
    })
}

#[cfg(unix)]
fn linked(one: &Path, other: &Path) -> bool {
    use std::os::unix::fs::MetadataExt as _;
    match (fs::metadata(one), fs::metadata(other)) {
        (Ok(a), Ok(b)) => a.dev() == b.dev() && a.ino() == b.ino(),
        _ => false,
    }
}

#[cfg(not(unix))]
fn linked(_: &Path, _: &Path) -> bool {
    false
}
