//! Room `source`.
