//! Room `stock`.

pub mod plan;
