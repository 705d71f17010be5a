//! Room `motion`.
