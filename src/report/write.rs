//! Where output goes: files, each written whole or not at all, or standard output.

use super::{temporary, terminal};
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
        use io::ErrorKind as Kind;
        let remedy = match self.why.kind() {
            Kind::StorageFull | Kind::QuotaExceeded | Kind::FileTooLarge => {
                "; make room, or write to another place"
            }
            Kind::PermissionDenied | Kind::ReadOnlyFilesystem => {
                "; name a place that may be written to"
            }
            _ => "",
        };
        write!(f, "{} could not be written: {}{remedy}", self.target, self.why)
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
    /// If the file cannot be made or replaced ([`Target::look_over`]), or writing fails. A reader that has closed
    /// the pipe is no error: it has seen what it wanted.
    pub fn write(&self, bytes: &[u8]) -> Result<(), WriteError> {
        match self {
            Self::Standard => unless_closed(terminal::put(bytes)),
            Self::File(path) => Ready::make(path, bytes).and_then(Ready::put),
        }
        .map_err(|why| WriteError { target: self.clone(), why })
    }

    /// Finds out whether this can be written, before anything is computed that would then be lost. Where
    /// `makes_dir` the directory may be missing, as [`write_together`] makes it.
    ///
    /// # Errors
    /// If the path leads to a directory, to nowhere, to a file that may not be written, or into a directory that is
    /// missing or takes no new file.
    pub fn look_over(&self, makes_dir: bool) -> Result<(), WriteError> {
        let Self::File(path) = self else {
            return terminal::open().map_err(|why| WriteError { target: self.clone(), why });
        };
        let try_out = || match Destination::of(path, makes_dir)? {
            Destination::Stream(_) => Ok(()),
            // The one way to find out is to try; nothing stays of it.
            Destination::File { path, .. } => {
                let there =
                    dir_of(&path).ancestors().find(|d| d.exists() || d.as_os_str().is_empty());
                let dir = there.filter(|d| !d.as_os_str().is_empty()).unwrap_or(Path::new("."));
                only_a_dir(dir)?;
                temporary::begin(dir).map(temporary::Temporary::give_up)
            }
        };
        try_out().map_err(|why| WriteError { target: self.clone(), why })
    }
}

/// Writes several files into `dir` (made if missing). All are complete under temporary names before the first
/// one gets its own.
///
/// # Errors
/// The first file that cannot be written, as [`Target::write`].
pub fn write_together(dir: &Path, files: &[(PathBuf, &[u8])]) -> Result<(), WriteError> {
    let failed = |path: &Path| {
        let target = Target::File(path.to_owned());
        move |why| WriteError { target, why }
    };
    only_a_dir(dir).and_then(|()| fs::create_dir_all(dir)).map_err(failed(dir))?;
    let mut ready = Vec::new();
    for (path, bytes) in files {
        ready.push((path, Ready::make(path, bytes).map_err(failed(path))?));
    }
    ready.into_iter().try_for_each(|(path, ready)| ready.put().map_err(failed(path)))
}

/// Removes what files under way have left under temporary names. As long as the answer is held none is begun and
/// none gets its own name: for a program that ends now.
pub fn leave_nothing_behind() -> impl Sized {
    temporary::remove_all()
}

/// Prints styled text to standard output; the styles are left out unless it is a terminal that wants them.
///
/// # Errors
/// If writing fails for another reason than a reader that has closed the pipe.
pub fn print(text: &str) -> Result<(), WriteError> {
    unless_closed(terminal::print(text)).map_err(|why| WriteError { target: Target::Standard, why })
}

fn unless_closed(done: io::Result<()>) -> io::Result<()> {
    match done {
        Err(why) if why.kind() == io::ErrorKind::BrokenPipe => Ok(()),
        other => other,
    }
}

fn dir_of(path: &Path) -> &Path {
    path.parent().filter(|d| !d.as_os_str().is_empty()).unwrap_or(Path::new("."))
}

fn only_a_dir(path: &Path) -> io::Result<()> {
    match path.exists() && !path.is_dir() {
        true => {
            let why = format!("{} is a file, not a directory", path.display());
            Err(io::Error::new(io::ErrorKind::NotADirectory, why))
        }
        false => Ok(()),
    }
}

/// What a path leads to.
enum Destination {
    /// A file, there or not, with what may be done with it.
    File { path: PathBuf, permissions: Option<fs::Permissions> },
    /// A pipe or device, which cannot be replaced, only written to.
    Stream(PathBuf),
}

impl Destination {
    fn of(path: &Path, makes_dir: bool) -> io::Result<Self> {
        let refuse = |kind, why: String| Err(io::Error::new(kind, why));
        let link = fs::symlink_metadata(path).is_ok_and(|m| m.is_symlink());
        // A link is followed: its target gets the new content and the link stays.
        let path = match fs::canonicalize(path) {
            Ok(path) => path,
            Err(why) if link => {
                let why = format!("it is a link that leads nowhere ({why}): remove it first");
                return refuse(io::ErrorKind::NotFound, why);
            }
            Err(_) => path.to_owned(),
        };
        let Ok(there) = fs::metadata(&path) else {
            let dir = dir_of(&path);
            only_a_dir(dir)?;
            let ends_in_a_dir = path.to_string_lossy().ends_with(std::path::is_separator);
            if path.file_name().is_none() || ends_in_a_dir {
                return refuse(io::ErrorKind::InvalidInput, "it names no file".to_owned());
            }
            if !makes_dir && !dir.is_dir() {
                let why = format!("there is no directory {}: make it first", dir.display());
                return refuse(io::ErrorKind::NotFound, why);
            }
            return Ok(Self::File { path, permissions: None });
        };
        if there.is_dir() {
            let why = "it is a directory: name a file in it".to_owned();
            return refuse(io::ErrorKind::IsADirectory, why);
        }
        if !there.is_file() {
            return Ok(Self::Stream(path));
        }
        // A file that may not be written must not be replaced either.
        fs::OpenOptions::new().write(true).open(&path)?;
        Ok(Self::File { path, permissions: Some(there.permissions()) })
    }
}

/// A file complete under a temporary name, or bytes for a pipe or device.
enum Ready<'a> {
    File(temporary::Temporary, PathBuf),
    Stream(PathBuf, &'a [u8]),
}

impl<'a> Ready<'a> {
    fn make(path: &Path, bytes: &'a [u8]) -> io::Result<Self> {
        let (path, permissions) = match Destination::of(path, false)? {
            Destination::Stream(path) => return Ok(Self::Stream(path, bytes)),
            Destination::File { path, permissions } => (path, permissions),
        };
        let mut temporary = temporary::begin(dir_of(&path))?;
        temporary.fill(bytes, permissions)?;
        Ok(Self::File(temporary, path))
    }

    fn put(self) -> io::Result<()> {
        match self {
            Self::File(temporary, path) => temporary.put(&path),
            Self::Stream(path, bytes) => unless_closed(
                fs::OpenOptions::new().write(true).open(path).and_then(|mut f| f.write_all(bytes)),
            ),
        }
    }
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
