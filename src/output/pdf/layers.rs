//! Optional-content layers (ISO 32000-1, 8.11), one per operation, with the metadata of ISO 19593-1 on those that are
//! processing steps.

use crate::drawing::Operation;
use pdf_writer::{Dict, Name, Pdf, Ref, TextStr};

pub struct Layers {
    layers: Vec<(Operation, Ref)>,
}

impl Layers {
    pub fn new(layers: Vec<(Operation, Ref)>) -> Layers {
        Layers { layers }
    }

    /// The optional-content groups themselves.
    pub fn write(&self, pdf: &mut Pdf) {
        for (operation, id) in &self.layers {
            let mut group = pdf.indirect(*id).dict();
            group.pair(Name(b"Type"), Name(b"OCG"));
            group.pair(Name(b"Name"), TextStr(operation.name()));
            if let Some(step) = operation.processing_step() {
                let mut metadata = group.insert(Name(b"GTS_Metadata")).dict();
                metadata.pair(Name(b"GTS_ProcStepsGroup"), Name(step.group.as_bytes()));
                if let Some(kind) = step.kind {
                    metadata.pair(Name(b"GTS_ProcStepsType"), Name(kind.as_bytes()));
                }
            }
        }
    }

    /// The catalogue's entry: all layers, all shown, listed in drawing order.
    pub fn write_properties(&self, mut properties: Dict<'_>) {
        let refs = || self.layers.iter().map(|(_, id)| *id);
        properties.insert(Name(b"OCGs")).array().items(refs());
        let mut shown = properties.insert(Name(b"D")).dict();
        shown.pair(Name(b"Name"), TextStr("Operations"));
        shown.insert(Name(b"ON")).array().items(refs());
        shown.insert(Name(b"Order")).array().items(refs());
    }

    /// A page's names for the layers it uses.
    pub fn write_resources(&self, mut properties: Dict<'_>, used: &[Operation]) {
        for (operation, id) in self.layers.iter().filter(|(operation, _)| used.contains(operation)) {
            properties.pair(Name(resource_name(*operation).as_bytes()), *id);
        }
    }
}

pub fn resource_name(operation: Operation) -> String {
    format!("Layer-{}", operation.id())
}
