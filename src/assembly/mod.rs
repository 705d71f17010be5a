//! Room `assembly`.
