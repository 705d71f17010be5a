//! Putting a finished folder in its place, in one step where the system can.

use super::{FolderError, MARKER, Place, Standing, discard, inspect, system};
use std::fs::{self, File, TryLockError};
use std::io;
use std::path::Path;

/// Moves a new folder to where nothing, or an empty folder, stands.
pub fn put(fresh: &Path, target: &Path) -> Result<(), FolderError> {
    fs::rename(fresh, target)
        .or_else(|_| {
            // Some systems do not rename onto an empty folder; removing one that is not empty fails and loses nothing.
            fs::remove_dir(target)?;
            fs::rename(fresh, target)
        })
        .map_err(|error| system(target, &error))
}

/// Exchanges the new folder with an older one of ours, and removes that one.
pub fn exchange(place: &Place, fresh: &Path) -> Result<(), FolderError> {
    match exchange_in_one_step(fresh, &place.target) {
        Ok(()) => {
            // Between the first look and the exchange somebody may have saved a file there.
            if let Err(error) = inspect(fresh) {
                exchange_in_one_step(fresh, &place.target).map_err(|again| system(&place.target, &again))?;
                return Err(error);
            }
            discard(fresh);
            Ok(())
        }
        Err(error) if cannot_exchange(&error) => exchange_in_two_steps(place, fresh),
        Err(error) => Err(system(&place.target, &error)),
    }
}

#[cfg(any(target_os = "linux", target_vendor = "apple"))]
fn exchange_in_one_step(one: &Path, other: &Path) -> io::Result<()> {
    use rustix::fs::{CWD, RenameFlags, renameat_with};
    Ok(renameat_with(CWD, one, CWD, other, RenameFlags::EXCHANGE)?)
}

#[cfg(not(any(target_os = "linux", target_vendor = "apple")))]
fn exchange_in_one_step(_one: &Path, _other: &Path) -> io::Result<()> {
    Err(io::ErrorKind::Unsupported.into())
}

/// The system, or this file system, does not know the operation.
fn cannot_exchange(error: &io::Error) -> bool {
    matches!(error.kind(), io::ErrorKind::Unsupported | io::ErrorKind::InvalidInput)
}

/// Sets the old folder aside, then moves the new one in. A kill between the two leaves the old one aside, whole, and
/// [`recover`] puts it back.
fn exchange_in_two_steps(place: &Place, fresh: &Path) -> Result<(), FolderError> {
    let aside = place.aside();
    fs::rename(&place.target, &aside).map_err(|error| system(&place.target, &error))?;
    if let Err(error) = fs::rename(fresh, &place.target) {
        let _ = fs::rename(&aside, &place.target);
        return Err(system(&place.target, &error));
    }
    discard(&aside);
    Ok(())
}

/// Clears up after a run that was killed: puts an old folder back, and removes folders nobody is building any more.
pub fn recover(place: &Place) {
    let aside = place.aside();
    if aside.is_dir() {
        match (inspect(&aside), inspect(&place.target)) {
            (_, Ok(Standing::Nothing)) => {
                let _ = fs::rename(&aside, &place.target);
            }
            (Ok(Standing::Ours), Ok(Standing::Ours)) => discard(&aside),
            _ => {}
        }
    }
    let Ok(entries) = fs::read_dir(&place.parent) else { return };
    for entry in entries.flatten() {
        if entry.file_name().to_string_lossy().starts_with(&place.fresh_prefix()) {
            clear_leftover(&entry.path());
        }
    }
}

fn clear_leftover(folder: &Path) {
    match File::open(folder.join(MARKER)).map(|marker| marker.try_lock()) {
        Ok(Ok(())) => discard(folder),
        Ok(Err(TryLockError::WouldBlock | TryLockError::Error(_))) => {}
        // Killed before the marker was written: only an empty folder goes.
        Err(_) => {
            let _ = fs::remove_dir(folder);
        }
    }
}
