//! A design as a hand cuts it: every measurement on a ruler's grid.
//!
//! What must go into something else is rounded down, what must let something through is rounded up, and positions go
//! to the nearest mark, so that the rounded design works whenever a rounding can make it work. It is lowered and
//! checked again like any other design.

use super::design::{ClaimExpr, ClaimKind, Comparison, Design};
use super::measurements::{Role, visit};
use crate::quantity::{Exact, Rounding};

/// The design with every length on a multiple of `step` (mm).
pub fn rounded(design: &Design, step: Exact) -> Design {
    let mut design = without_equalities(design);
    visit(&mut design, &mut |role, quantity| {
        let rounding = match role {
            Role::Enters => Rounding::Down,
            Role::Admits => Rounding::Up,
            Role::Position => Rounding::Nearest,
        };
        // Something narrower than one step keeps its own measure: nothing would be left of it.
        if let Some(exact) = quantity.exact.round_to(step, rounding)
            && (!exact.is_zero() || quantity.exact.is_zero())
        {
            quantity.exact = exact;
        }
    });
    design
}

/// A design without claims of an exact value: these cannot hold of a card whose measurements were changed; what must
/// hold is that it still works.
pub fn without_equalities(design: &Design) -> Design {
    let mut design = design.clone();
    design.claims.retain(|c| !is_equality(&c.expr));
    design
}

fn is_equality(claim: &ClaimExpr) -> bool {
    matches!(&claim.kind, ClaimKind::Compare(Comparison::Equal | Comparison::NotEqual, ..))
}
