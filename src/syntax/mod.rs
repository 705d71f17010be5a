//! Room `syntax`.
