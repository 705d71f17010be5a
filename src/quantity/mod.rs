//! Lengths, angles, grammage: exact values, their reading and printing, and every tolerance.

pub mod tolerance;
