//! Room `layers`.
