//! Room `drawing`.
