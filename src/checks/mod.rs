//! Room `checks`.
