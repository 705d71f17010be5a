//! Room `geometry`.
