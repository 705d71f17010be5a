//! Room `meaning`.
