//! Names, kinds, units, evaluation, blanks, mechanisms, variants: from the tree to the typed [`design`]. Knows no
//! geometry.

pub mod design;
