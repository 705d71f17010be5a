//! The catalogue: one file per finding. Each file holds a plain struct of what was measured, its [`Entry`], and the
//! words it becomes. A new finding is one file and one line in the list below.

use super::{Entry, Family, Fault, Say, Severity, Telling};
use crate::source::Span;

macro_rules! catalogue {
    ($($file:ident :: $fault:ident,)*) => {
        $(mod $file; pub use $file::$fault;)*
        /// Every finding there is, by name.
        pub static ENTRIES: &[&Entry] = &[$(&$file::ENTRY,)*];
    };
}

catalogue! {
    unreadable_line::UnreadableLine,
}

/// The entry of a name.
pub fn entry(name: &str) -> Option<&'static Entry> {
    ENTRIES.iter().copied().find(|e| e.name == name)
}
