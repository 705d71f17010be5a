//! Room `editor`.
