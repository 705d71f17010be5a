//! The other sizes in which a design is offered.

use super::{Compiled, compile};
use crate::meaning::Request;
use crate::source::Library;
use rayon::prelude::*;

/// Every variant of a design that was compiled without one, by name, in the order of the text. Empty where one was
/// chosen.
pub fn variants(compiled: &Compiled, library: &dyn Library, request: &Request) -> Vec<(String, Compiled)> {
    if request.variant.is_some() {
        return Vec::new();
    }
    let with = |name: &String| {
        let request = Request { variant: Some(name.clone()), ..request.clone() };
        // The text was just read; if it is gone by now, its variants are too.
        compile(library, &request).ok().map(|compiled| (name.clone(), compiled))
    };
    compiled.design.variants.par_iter().filter_map(with).collect()
}
