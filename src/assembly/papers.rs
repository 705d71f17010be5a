//! Papers with a caliper and a colour for every one.

use super::model::{Colour, Grain, Paper, Sheet};
use crate::meaning::design::{self, GrainWord};

/// Estimated calipers by grammage: (g/m², mm), straight lines between. Published values for uncoated sheet and card:
/// 45 g/m² newsprint 0.07 mm, 80 g/m² copier paper 0.10, 150 to 160 g/m² 0.20, 220 g/m² 0.29, 280 g/m² 0.37,
/// 385 g/m² 0.50, 460 g/m² 0.58, 570 g/m² 0.75 (school tables of papers and boards and printers' tables agree to about
/// a tenth). From card upward that is an apparent density (ISO 534) of 0.75 to 0.80 g/cm³.
const CALIPERS: [(f64, f64); 8] = [
    (45.0, 0.07),
    (80.0, 0.10),
    (155.0, 0.20),
    (220.0, 0.29),
    (280.0, 0.36),
    (385.0, 0.50),
    (460.0, 0.58),
    (570.0, 0.75),
];

/// Thickness assumed when neither grammage nor caliper is stated: card of about 240 g/m².
const UNSTATED_CALIPER_MM: f64 = 0.30;

/// Muted colours for papers without one, in order of declaration; far apart in hue and near in lightness.
const PALETTE: [Colour; 8] = [
    rgb(0xE9, 0xE2, 0xD0),
    rgb(0xB9, 0xCC, 0xD8),
    rgb(0xDD, 0xBF, 0xA9),
    rgb(0xC0, 0xCF, 0xB2),
    rgb(0xCF, 0xBF, 0xD6),
    rgb(0xE3, 0xD3, 0x9C),
    rgb(0xB5, 0xD2, 0xC6),
    rgb(0xD9, 0xB8, 0xBE),
];

const fn rgb(red: u8, green: u8, blue: u8) -> Colour {
    Colour { red, green, blue }
}

/// Thickness in mm of uncoated paper or card of a grammage in g/m²; an estimate to about a tenth.
pub fn estimated_caliper(grammage: f64) -> f64 {
    let (first, last) = (CALIPERS[0], CALIPERS[CALIPERS.len() - 1]);
    if grammage <= first.0 {
        return first.1 * grammage / first.0;
    }
    let between = CALIPERS.windows(2).find(|pair| grammage <= pair[1].0);
    match between {
        Some(pair) => {
            let t = (grammage - pair[0].0) / (pair[1].0 - pair[0].0);
            pair[0].1 + (pair[1].1 - pair[0].1) * t
        }
        None => last.1 * grammage / last.0,
    }
}

pub(super) fn lower(paper: &design::Paper, index: usize) -> Paper {
    let grammage = paper.grammage.map(|g| g.value());
    let estimate = grammage.map_or(UNSTATED_CALIPER_MM, estimated_caliper);
    Paper {
        name: paper.name.clone(),
        grammage,
        caliper: paper.caliper.map_or(estimate, |c| c.value()),
        caliper_stated: paper.caliper.is_some(),
        sheet: paper.sheet.as_ref().map(|sheet| Sheet {
            name: sheet.name.clone(),
            width: sheet.width.to_f64(),
            height: sheet.height.to_f64(),
        }),
        grain: paper.grain.map(|grain| match grain {
            GrainWord::Long => Grain::Long,
            GrainWord::Short => Grain::Short,
        }),
        colour: paper.colour.map_or(PALETTE[index % PALETTE.len()], |(r, g, b)| rgb(r, g, b)),
        price: paper.price.map(|p| p.value()),
        span: paper.span,
    }
}
