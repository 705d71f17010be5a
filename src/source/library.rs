//! How the compiler reaches texts and pictures: one trait, so that an editor can lay unsaved text over the disk and
//! tests can live in memory.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// Why a file could not be read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum LibraryError {
    Missing,
    NotText,
    TooLarge { bytes: u64, limit: u64 },
    Unreadable(String),
}

impl std::fmt::Display for LibraryError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Missing => write!(f, "there is no such file"),
            Self::NotText => write!(f, "it is not text in UTF-8"),
            Self::TooLarge { bytes, limit } => {
                write!(f, "it is {bytes} bytes long and the most that is read is {limit}")
            }
            Self::Unreadable(why) => write!(f, "{why}"),
        }
    }
}

/// Where texts and pictures come from.
pub trait Library: Sync {
    fn bytes(&self, path: &Path) -> Result<Vec<u8>, LibraryError>;

    fn text(&self, path: &Path) -> Result<String, LibraryError> {
        let bytes = self.bytes(path)?;
        let text = String::from_utf8(bytes).map_err(|_| LibraryError::NotText)?;
        Ok(text.strip_prefix('\u{feff}').map(String::from).unwrap_or(text))
    }

    /// True when following links leads outside `root`: such a file is not included.
    fn escapes(&self, _root: &Path, _path: &Path) -> bool {
        false
    }
}

/// The file system. Files above [`Disk::LIMIT`] are refused.
#[derive(Debug, Clone, Copy, Default)]
pub struct Disk;

impl Disk {
    pub const LIMIT: u64 = 16 * 1024 * 1024;
}

impl Library for Disk {
    fn bytes(&self, path: &Path) -> Result<Vec<u8>, LibraryError> {
        let unreadable = |e: std::io::Error| match e.kind() {
            std::io::ErrorKind::NotFound => LibraryError::Missing,
            std::io::ErrorKind::PermissionDenied => {
                LibraryError::Unreadable("you may not read it".to_string())
            }
            _ => LibraryError::Unreadable(e.to_string()),
        };
        let meta = std::fs::metadata(path).map_err(unreadable)?;
        if meta.is_dir() {
            return Err(LibraryError::Unreadable("it is a folder, not a design".into()));
        }
        if !meta.is_file() {
            return Err(LibraryError::Unreadable("it is not a plain file".into()));
        }
        if meta.len() > Self::LIMIT {
            return Err(LibraryError::TooLarge { bytes: meta.len(), limit: Self::LIMIT });
        }
        std::fs::read(path).map_err(unreadable)
    }

    fn escapes(&self, root: &Path, path: &Path) -> bool {
        let root = if root.as_os_str().is_empty() { Path::new(".") } else { root };
        match (root.canonicalize(), path.canonicalize()) {
            (Ok(root), Ok(path)) => !path.starts_with(root),
            _ => false,
        }
    }
}

/// Texts in memory, over another library or over nothing.
#[derive(Default)]
pub struct Memory<'a> {
    files: BTreeMap<PathBuf, Vec<u8>>,
    under: Option<&'a dyn Library>,
}

impl<'a> Memory<'a> {
    pub fn over(under: &'a dyn Library) -> Self {
        Self { files: BTreeMap::new(), under: Some(under) }
    }

    pub fn with(mut self, path: impl Into<PathBuf>, content: impl Into<Vec<u8>>) -> Self {
        self.files.insert(path.into(), content.into());
        self
    }
}

impl Library for Memory<'_> {
    fn bytes(&self, path: &Path) -> Result<Vec<u8>, LibraryError> {
        match (self.files.get(path), self.under) {
            (Some(content), _) => Ok(content.clone()),
            (None, Some(under)) => under.bytes(path),
            (None, None) => Err(LibraryError::Missing),
        }
    }

    fn escapes(&self, root: &Path, path: &Path) -> bool {
        !self.files.contains_key(path) && self.under.is_some_and(|u| u.escapes(root, path))
    }
}
