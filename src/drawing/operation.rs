//! What a mark asks the maker or the machine to do. Each operation becomes one layer (PDF) or group (SVG), named after the
//! processing steps of ISO 19593-1 where it has one.

/// The operations, in drawing order: the first lies undermost.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Operation {
    /// What is printed on the paper, and everything in a picture of the card.
    Artwork,
    /// Where glue or foam goes.
    Gluing,
    /// Valley folds, seen from the printed side.
    Creasing,
    /// Mountain folds, seen from the printed side.
    ReverseCreasing,
    Perforating,
    /// Cuts through part of the thickness.
    PartialCutting,
    /// Holes for brads and eyelets.
    Punching,
    Cutting,
    Dimensions,
    /// Names, notes, test bars, marks for joining pages.
    Legend,
}

/// A processing step of ISO 19593-1: the values of `GTS_ProcStepsGroup` and `GTS_ProcStepsType`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ProcessingStep {
    pub group: &'static str,
    /// Required in the group `Structural`, not allowed in `Dimensions` and `Legend`.
    pub kind: Option<&'static str>,
}

impl Operation {
    pub const ALL: [Operation; 10] = [
        Operation::Artwork,
        Operation::Gluing,
        Operation::Creasing,
        Operation::ReverseCreasing,
        Operation::Perforating,
        Operation::PartialCutting,
        Operation::Punching,
        Operation::Cutting,
        Operation::Dimensions,
        Operation::Legend,
    ];

    /// The layer's name as people read it.
    pub fn name(self) -> &'static str {
        match self {
            Operation::Artwork => "Artwork",
            Operation::Gluing => "Gluing",
            Operation::Creasing => "Valley folds",
            Operation::ReverseCreasing => "Mountain folds",
            Operation::Perforating => "Perforating",
            Operation::PartialCutting => "Part-depth cuts",
            Operation::Punching => "Holes",
            Operation::Cutting => "Cutting",
            Operation::Dimensions => "Dimensions",
            Operation::Legend => "Legend",
        }
    }

    /// The layer's name as an identifier: lower case and hyphens.
    pub fn id(self) -> &'static str {
        match self {
            Operation::Artwork => "artwork",
            Operation::Gluing => "gluing",
            Operation::Creasing => "valley-folds",
            Operation::ReverseCreasing => "mountain-folds",
            Operation::Perforating => "perforating",
            Operation::PartialCutting => "part-depth-cuts",
            Operation::Punching => "holes",
            Operation::Cutting => "cutting",
            Operation::Dimensions => "dimensions",
            Operation::Legend => "legend",
        }
    }

    /// The processing step, or `None` for what is ordinary printed content.
    pub fn processing_step(self) -> Option<ProcessingStep> {
        let structural = |kind| Some(ProcessingStep { group: "Structural", kind: Some(kind) });
        match self {
            Operation::Artwork => None,
            Operation::Gluing => structural("Gluing"),
            Operation::Creasing => structural("Creasing"),
            Operation::ReverseCreasing => structural("ReverseCreasing"),
            Operation::Perforating => structural("Perforating"),
            Operation::PartialCutting => structural("PartialCutting"),
            Operation::Punching => structural("Punching"),
            Operation::Cutting => structural("Cutting"),
            Operation::Dimensions => Some(ProcessingStep { group: "Dimensions", kind: None }),
            Operation::Legend => Some(ProcessingStep { group: "Legend", kind: None }),
        }
    }
}
