//! Room `stock`.
