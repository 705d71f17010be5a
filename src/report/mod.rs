//! Room `report`.
