//! Files under temporary names: known by name, so that none stays when the program is told to end.

use std::fs::Permissions;
use std::io::{self, Write as _};
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};
use tempfile::NamedTempFile;

/// The temporary files there are. Whoever holds this may make, rename and remove them.
static NAMES: Mutex<Vec<PathBuf>> = Mutex::new(Vec::new());

fn names() -> MutexGuard<'static, Vec<PathBuf>> {
    NAMES.lock().unwrap_or_else(PoisonError::into_inner)
}

/// A file under a temporary name; dropped, it is removed.
pub(super) struct Temporary {
    /// `None` once it has its own name.
    file: Option<NamedTempFile>,
}

/// Makes an empty file in `dir`.
pub(super) fn begin(dir: &Path) -> io::Result<Temporary> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(".farwheel-").suffix(".tmp");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        // As any new file: what the user's mask leaves of this.
        builder.permissions(Permissions::from_mode(0o666));
    }
    let mut names = names();
    let file = builder.tempfile_in(dir).map_err(plain)?;
    names.push(file.path().to_owned());
    Ok(Temporary { file: Some(file) })
}

impl Temporary {
    /// Writes all of it down to the disk, with the permissions of the file that it is to replace.
    pub(super) fn fill(
        &mut self,
        bytes: &[u8],
        permissions: Option<Permissions>,
    ) -> io::Result<()> {
        let Some(file) = &mut self.file else { return Ok(()) };
        file.as_file_mut().write_all(bytes)?;
        if let Some(permissions) = permissions {
            file.as_file().set_permissions(permissions)?;
        }
        // A disk behind a network may say only now that it is full.
        match file.as_file().sync_all() {
            Err(why) if !cannot_sync(why.kind()) => Err(why),
            _ => Ok(()),
        }
    }

    /// Gives it its own name, in place of whatever bears it.
    pub(super) fn put(mut self, path: &Path) -> io::Result<()> {
        let mut names = names();
        let Some(file) = self.file.take() else { return Ok(()) };
        let name = file.path().to_owned();
        let done = file.persist(path);
        names.retain(|n| *n != name);
        // What could not be renamed is removed with the error.
        done.map(drop).map_err(|e| e.error)
    }

    /// Removes it.
    pub(super) fn give_up(self) {}
}

impl Drop for Temporary {
    fn drop(&mut self) {
        if let Some(file) = self.file.take() {
            let mut names = names();
            names.retain(|n| n != file.path());
            drop(file);
        }
    }
}

/// What the system says, without the temporary name that the library adds: nobody has heard of it.
fn plain(why: io::Error) -> io::Error {
    match why.to_string().rsplit_once(" at path ") {
        Some((system, _)) => io::Error::new(why.kind(), system.to_owned()),
        None => why,
    }
}

/// Some file systems have no such call; then it is as it is.
fn cannot_sync(kind: io::ErrorKind) -> bool {
    matches!(kind, io::ErrorKind::Unsupported | io::ErrorKind::InvalidInput)
}

/// Removes them all. No other is made as long as the answer is held.
pub(super) fn remove_all() -> impl Sized {
    let names = names();
    for name in names.iter() {
        // One that is gone already is as good as removed.
        let _ = std::fs::remove_file(name);
    }
    names
}
