//! Room `commands`.
