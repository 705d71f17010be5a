//! A folder of files written whole or not at all.
//!
//! The files are first written to a sibling folder, which then takes the place of the target in one step. Whoever looks,
//! and whenever the program is killed, sees the old folder or the new one, never a mixture. (Where the system cannot
//! exchange two folders in one step, the old one is set aside first and, after a kill, put back by the next run.)
//!
//! Only a folder this program wrote is ever replaced: it carries a [`MARKER`] listing each file with a hash of its
//! content. A folder without the marker, a file the marker does not list, or a file changed since is refused, so that
//! nothing of the maker's own is lost. Power failure is another matter: nothing is flushed to the disk by force.

mod manifest;
mod swap;

use manifest::Manifest;
use std::collections::BTreeMap;
use std::fmt;
use std::fs::{self, File};
use std::io::{self, Write};
use std::path::{Component, Path, PathBuf};

/// The file by which a folder is known as ours.
pub const MARKER: &str = ".plica-kit";

/// Files that file browsers leave behind; they neither stand in the way nor are they kept.
const BROWSER_DROPPINGS: [&str; 3] = [".DS_Store", "Thumbs.db", "desktop.ini"];

/// File contents by relative name, parts separated by `/`.
pub type Files = BTreeMap<String, Vec<u8>>;

/// Why a folder was not written. Whatever stood there still stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum FolderError {
    /// The target is a file (or something else that is no folder).
    NotAFolder(PathBuf),
    /// The target has files and no marker: somebody else's folder.
    Foreign(PathBuf),
    /// This file in the target was not written by this program.
    ForeignFile(PathBuf),
    /// This file was changed after it was written.
    Changed(PathBuf),
    /// The target, or the folder it stands in, may not be written to.
    ReadOnly(PathBuf),
    /// A name that would leave the folder, or that no file can have everywhere.
    BadName(String),
    /// The file system refused; the reason is the system's own.
    System { path: PathBuf, reason: String },
}

impl fmt::Display for FolderError {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            FolderError::NotAFolder(path) => write!(formatter, "{} is not a folder", path.display()),
            FolderError::Foreign(path) => {
                write!(formatter, "{} has files in it that are not from an earlier kit", path.display())
            }
            FolderError::ForeignFile(path) => {
                write!(formatter, "{} is not part of the kit and would be lost", path.display())
            }
            FolderError::Changed(path) => {
                write!(formatter, "{} was changed after it was made and would be lost", path.display())
            }
            FolderError::ReadOnly(path) => write!(formatter, "{} cannot be written to", path.display()),
            FolderError::BadName(name) => write!(formatter, "{name:?} cannot be the name of a file in a kit"),
            FolderError::System { path, reason } => write!(formatter, "{}: {reason}", path.display()),
        }
    }
}

impl std::error::Error for FolderError {}

pub(super) fn system(path: &Path, error: &io::Error) -> FolderError {
    match error.kind() {
        io::ErrorKind::PermissionDenied | io::ErrorKind::ReadOnlyFilesystem => {
            FolderError::ReadOnly(path.to_owned())
        }
        io::ErrorKind::NotADirectory => FolderError::NotAFolder(path.to_owned()),
        _ => FolderError::System { path: path.to_owned(), reason: error.to_string() },
    }
}

/// What stands at the target.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Standing {
    Nothing,
    EmptyFolder,
    Ours,
}

/// Makes `target` a folder that holds exactly `files` and the marker.
pub fn replace(target: &Path, files: &Files) -> Result<(), FolderError> {
    for name in files.keys() {
        check_name(name)?;
    }
    let place = Place::of(target)?;
    swap::recover(&place);
    let standing = inspect(&place.target)?;
    check_writable(&place, standing)?;
    let fresh = place.fresh();
    // The lock tells other runs that this folder is not a leftover; it goes with the file handle.
    let _lock = build(&fresh, files).inspect_err(|_| discard(&fresh))?;
    let swapped = match standing {
        Standing::Nothing | Standing::EmptyFolder => swap::put(&fresh, &place.target),
        Standing::Ours => swap::exchange(&place, &fresh),
    };
    swapped.inspect_err(|_| discard(&fresh))
}

/// Whether [`replace`] would be allowed, without writing anything.
pub fn check(target: &Path) -> Result<(), FolderError> {
    let place = Place::of(target)?;
    let standing = inspect(&place.target)?;
    check_writable(&place, standing)
}

/// The target, and the folder it stands in.
struct Place {
    target: PathBuf,
    parent: PathBuf,
    name: String,
}

impl Place {
    fn of(target: &Path) -> Result<Place, FolderError> {
        // A link to a folder stays; what it points to is replaced.
        let is_link = fs::symlink_metadata(target).is_ok_and(|metadata| metadata.file_type().is_symlink());
        let target = if is_link {
            fs::canonicalize(target).map_err(|error| system(target, &error))?
        } else {
            target.to_owned()
        };
        let name = match target.components().next_back() {
            Some(Component::Normal(name)) => name.to_string_lossy().into_owned(),
            _ => return Err(FolderError::BadName(target.display().to_string())),
        };
        let parent = match target.parent() {
            Some(parent) if !parent.as_os_str().is_empty() => parent.to_owned(),
            _ => PathBuf::from("."),
        };
        Ok(Place { target, parent, name })
    }

    /// Where the new folder is built. The process number keeps two runs apart.
    fn fresh(&self) -> PathBuf {
        self.parent.join(format!("{}{}", self.fresh_prefix(), std::process::id()))
    }

    fn fresh_prefix(&self) -> String {
        format!(".{}.plica-new-", self.name)
    }

    /// Where the old folder waits, on systems that cannot exchange two folders in one step.
    fn aside(&self) -> PathBuf {
        self.parent.join(format!(".{}.plica-old", self.name))
    }
}

/// Relative, made of ordinary parts, and fit for every usual file system.
fn check_name(name: &str) -> Result<(), FolderError> {
    let fits = |part: &str| {
        !part.is_empty()
            && part != "."
            && part != ".."
            && part.len() <= 200
            && !part.ends_with(['.', ' '])
            && !part.chars().any(|character| character.is_control() || "\\:*?\"<>|".contains(character))
    };
    if name != MARKER && name.split('/').all(fits) {
        Ok(())
    } else {
        Err(FolderError::BadName(name.to_owned()))
    }
}

fn inspect(target: &Path) -> Result<Standing, FolderError> {
    let metadata = match fs::symlink_metadata(target) {
        Ok(metadata) => metadata,
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(Standing::Nothing),
        Err(error) => return Err(system(target, &error)),
    };
    if !metadata.is_dir() {
        return Err(FolderError::NotAFolder(target.to_owned()));
    }
    let found = list(target)?;
    if found.is_empty() {
        return Ok(Standing::EmptyFolder);
    }
    let manifest = fs::read_to_string(target.join(MARKER)).ok().and_then(|text| Manifest::parse(&text));
    let Some(manifest) = manifest else { return Err(FolderError::Foreign(target.to_owned())) };
    for name in found.iter().filter(|name| name.as_str() != MARKER) {
        let path = target.join(name);
        let Some(hash) = manifest.hash_of(name) else { return Err(FolderError::ForeignFile(path)) };
        let content = fs::read(&path).map_err(|error| system(&path, &error))?;
        if manifest::hash(&content) != hash {
            return Err(FolderError::Changed(path));
        }
    }
    Ok(Standing::Ours)
}

/// Relative names of everything in a folder that is not itself a folder, sorted.
fn list(folder: &Path) -> Result<Vec<String>, FolderError> {
    let mut names = Vec::new();
    let mut open = vec![(folder.to_owned(), String::new())];
    while let Some((path, prefix)) = open.pop() {
        for entry in fs::read_dir(&path).map_err(|error| system(&path, &error))? {
            let entry = entry.map_err(|error| system(&path, &error))?;
            let kind = entry.file_type().map_err(|error| system(&path, &error))?;
            let own_name = entry.file_name().to_string_lossy().into_owned();
            let name = format!("{prefix}{own_name}");
            if kind.is_dir() {
                open.push((entry.path(), format!("{name}/")));
            } else if !BROWSER_DROPPINGS.contains(&own_name.as_str()) {
                names.push(name);
            }
        }
    }
    names.sort();
    Ok(names)
}

fn check_writable(place: &Place, standing: Standing) -> Result<(), FolderError> {
    let existing = if standing == Standing::Nothing { None } else { Some(place.target.as_path()) };
    for path in [Some(place.parent.as_path()), existing].into_iter().flatten() {
        if fs::metadata(path).is_ok_and(|metadata| metadata.permissions().readonly()) {
            return Err(FolderError::ReadOnly(path.to_owned()));
        }
    }
    Ok(())
}

/// Writes the files and the marker, and returns the marker's file, locked.
fn build(fresh: &Path, files: &Files) -> Result<File, FolderError> {
    if let Some(parent) = fresh.parent() {
        fs::create_dir_all(parent).map_err(|error| system(parent, &error))?;
    }
    fs::create_dir(fresh).map_err(|error| system(fresh, &error))?;
    let marker = fresh.join(MARKER);
    let mut lock = File::create_new(&marker).map_err(|error| system(&marker, &error))?;
    // Without locks on this file system, a leftover is never cleared away, which is harmless.
    let _ = lock.try_lock();
    lock.write_all(Manifest::of(files).to_text().as_bytes()).map_err(|error| system(&marker, &error))?;
    for (name, content) in files {
        let path = fresh.join(name);
        if let Some(folder) = path.parent() {
            fs::create_dir_all(folder).map_err(|error| system(folder, &error))?;
        }
        let written = File::create_new(&path).and_then(|mut file| file.write_all(content));
        written.map_err(|error| system(&path, &error))?;
    }
    Ok(lock)
}

/// Removes a folder of our own making. What cannot be removed now is a leftover for the next run.
fn discard(folder: &Path) {
    // The marker goes last: should this be cut short, what is left still shows whose it is.
    for entry in fs::read_dir(folder).into_iter().flatten().flatten().filter(|e| e.file_name() != MARKER) {
        let path = entry.path();
        let _ = if entry.file_type().is_ok_and(|t| t.is_dir()) {
            fs::remove_dir_all(&path)
        } else {
            fs::remove_file(&path)
        };
    }
    let _ = fs::remove_dir_all(folder);
}
