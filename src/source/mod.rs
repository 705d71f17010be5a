//! Files, byte spans in one global offset space, line index, name suggestions.
//!
//! Knows nothing of Plica: text in, places out. A [`Span`] is a pair of byte offsets into the *global* space in
//! which every loaded file has its own range, so that one number names a file and a place in it.

mod library;
mod map;
mod suggest;

pub use library::{Disk, Library, LibraryError, Memory};
pub use map::{FileId, Place, SourceFile, SourceMap};
pub use suggest::nearest;

/// A half-open range of bytes in the global offset space.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Span {
    pub start: u32,
    pub end: u32,
}

impl Span {
    pub const fn new(start: u32, end: u32) -> Self {
        Self { start, end }
    }

    /// The smallest span that holds both.
    pub fn to(self, other: Span) -> Span {
        Span { start: self.start.min(other.start), end: self.end.max(other.end) }
    }

    pub const fn len(self) -> u32 {
        self.end.saturating_sub(self.start)
    }

    pub const fn is_empty(self) -> bool {
        self.end <= self.start
    }

    /// An empty span just behind this one: where something missing should have stood.
    pub const fn after(self) -> Span {
        Span { start: self.end, end: self.end }
    }
}

/// A value together with the place it was written at.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Spanned<T> {
    pub value: T,
    pub span: Span,
}

impl<T> Spanned<T> {
    pub const fn new(value: T, span: Span) -> Self {
        Self { value, span }
    }
}
