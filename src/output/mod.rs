//! Room `output`.
