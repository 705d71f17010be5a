//! Flat-foldability of single vertices.
//!
//! Sectors are degrees in order round the vertex; fold `i` is the crease before sector `i`, as in
//! [`crate::motion::Star`].

use super::flat::count_local;
use crate::motion::{Fold, Sheet, Star};

/// The alternating sum of the sectors, in degrees: zero at a flat-foldable vertex (Kawasaki 1989, Justin 1986). An odd
/// number of creases never folds flat and gives infinity.
pub fn kawasaki_excess(sectors: &[f64]) -> f64 {
    if !sectors.len().is_multiple_of(2) {
        return f64::INFINITY;
    }
    sectors.chunks_exact(2).map(|pair| pair[0] - pair[1]).sum::<f64>().abs()
}

/// Whether some assignment of directions folds the vertex flat (Kawasaki's theorem).
pub fn is_kawasaki(sectors: &[f64], tolerance_deg: f64) -> bool {
    kawasaki_excess(sectors) <= tolerance_deg
}

/// Whether mountains and valleys differ by two (Maekawa, Justin); undecided creases make it false.
pub fn is_maekawa(folds: &[Fold]) -> bool {
    let count = |fold| folds.iter().filter(|&&f| f == fold).count();
    let (mountains, valleys) = (count(Fold::Mountain), count(Fold::Valley));
    mountains + valleys == folds.len() && mountains.abs_diff(valleys) == 2
}

/// Whether the vertex folds flat with these directions: smallest sectors between unlike creases are crimped away until
/// two equal sectors between like creases are left (Bern and Hayes, "The complexity of flat origami", 1996).
pub fn crimps_flat(sectors: &[f64], folds: &[Fold], tolerance_deg: f64) -> bool {
    if sectors.len() != folds.len() || folds.contains(&Fold::Either) || !is_kawasaki(sectors, tolerance_deg) {
        return false;
    }
    let (mut sectors, mut folds) = (sectors.to_vec(), folds.to_vec());
    while sectors.len() > 2 {
        let count = sectors.len();
        let smallest = sectors.iter().copied().fold(f64::INFINITY, f64::min);
        // Among equal smallest sectors any pair of unlike creases may be crimped.
        let crimp = (0..count)
            .find(|&i| sectors[i] <= smallest + tolerance_deg && folds[i] != folds[(i + 1) % count]);
        let Some(crimp) = crimp else { return false };
        sectors.rotate_left(crimp);
        folds.rotate_left(crimp);
        // The crimped sector comes first now; its neighbours are the second and the last.
        let merged = sectors[count - 1] - sectors[0] + sectors[1];
        sectors.drain(..2);
        folds.drain(..2);
        sectors[count - 3] = merged;
    }
    sectors.len() == 2 && (sectors[0] - sectors[1]).abs() <= 2.0 * tolerance_deg && folds[0] == folds[1]
}

/// Every way of deciding the creases of a star that folds it flat, given those already decided.
pub(crate) fn allowed_patterns(sheet: &Sheet, star: &Star, tolerance_deg: f64) -> Vec<Vec<Fold>> {
    let given: Vec<Fold> = star.creases.iter().map(|&c| sheet.creases[c].fold).collect();
    flat_patterns(&star.sectors, &given, tolerance_deg)
}

/// Every way of deciding the undecided creases that folds a vertex flat. More than 20 undecided creases give none.
pub fn flat_patterns(sectors: &[f64], folds: &[Fold], tolerance_deg: f64) -> Vec<Vec<Fold>> {
    let open: Vec<usize> = (0..folds.len()).filter(|&k| folds[k] == Fold::Either).collect();
    if open.len() > 20 {
        return Vec::new();
    }
    let pattern = |bits: u32| {
        let mut folds = folds.to_vec();
        for (bit, &k) in open.iter().enumerate() {
            folds[k] = if bits >> bit & 1 == 1 { Fold::Valley } else { Fold::Mountain };
        }
        folds
    };
    (0..1u32 << open.len()).map(pattern).filter(|folds| crimps_flat(sectors, folds, tolerance_deg)).collect()
}

impl Sheet {
    /// Whether every interior vertex folds flat on its own with the directions given.
    pub fn is_locally_flat(&self, tolerance_deg: f64) -> bool {
        self.stars().iter().all(|star| !allowed_patterns(self, star, tolerance_deg).is_empty())
    }

    /// Number of ways to decide the undecided creases so that every interior vertex folds flat on its own.
    pub fn count_locally_flat(&self, tolerance_deg: f64) -> u64 {
        count_local(self, &self.stars(), tolerance_deg)
    }
}
