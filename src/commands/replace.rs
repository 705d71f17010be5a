//! A file's content replaced whole or not at all.

use std::fs::{self, File, OpenOptions};
use std::io::{Error, ErrorKind, Result, Write};
use std::path::{Path, PathBuf};

/// Writes `content` in place of what the file holds: to a new file beside it that then takes its name, so that a
/// fault half way leaves the old file whole. Permissions stay; a symbolic link stays and what it leads to is written.
pub fn replace(path: &Path, content: &[u8]) -> Result<()> {
    let target = path.canonicalize()?;
    let permissions = fs::metadata(&target)?.permissions();
    if permissions.readonly() {
        return Err(Error::new(ErrorKind::PermissionDenied, "it is marked read-only"));
    }
    let (beside, file) = create_beside(&target)?;
    let written = fill(file, content).and_then(|()| fs::set_permissions(&beside, permissions));
    let moved = written.and_then(|()| fs::rename(&beside, &target));
    if moved.is_err() {
        // What is left behind would be taken for a design of the maker's; the first fault is the one to report.
        let _ = fs::remove_file(&beside);
    }
    moved
}

/// Writes a file that must not be there yet.
pub fn create(path: &Path, content: &[u8]) -> Result<()> {
    fill(OpenOptions::new().write(true).create_new(true).open(path)?, content)
}

fn fill(mut file: File, content: &[u8]) -> Result<()> {
    file.write_all(content)?;
    file.sync_all()
}

/// Names tried for the file beside, should others be in use.
const ATTEMPTS: u32 = 100;

fn create_beside(target: &Path) -> Result<(PathBuf, File)> {
    let folder = target.parent().unwrap_or(Path::new("."));
    let name = target.file_name().unwrap_or_default().to_string_lossy();
    for attempt in 0..ATTEMPTS {
        let beside = folder.join(format!(".{name}.{attempt}.new"));
        match OpenOptions::new().write(true).create_new(true).open(&beside) {
            Ok(file) => return Ok((beside, file)),
            Err(error) if error.kind() == ErrorKind::AlreadyExists => continue,
            Err(error) => return Err(error),
        }
    }
    Err(Error::new(ErrorKind::AlreadyExists, "no name is free for a file beside it"))
}

/// Why something could not be read or written, in plain words.
pub fn why(error: &Error) -> String {
    match error.kind() {
        ErrorKind::NotFound => "there is no such file or folder".into(),
        ErrorKind::PermissionDenied => "it may not be written".into(),
        ErrorKind::AlreadyExists => "it is there already".into(),
        ErrorKind::IsADirectory => "it is a folder".into(),
        ErrorKind::NotADirectory => "part of its path is a file, not a folder".into(),
        ErrorKind::StorageFull => "there is no room left to write it".into(),
        _ => error.to_string(),
    }
}
