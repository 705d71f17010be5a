//! Text to assembly, for the tests of lowering.
#![allow(dead_code)]

use plica::assembly::{Assembly, JointId, JointKind, PanelId, Piece, assemble};
use plica::findings::Findings;
use plica::meaning::{Request, understand};
use plica::source::{Memory, SourceMap};

pub struct Lowered {
    pub assembly: Assembly,
    pub findings: Findings,
}

impl Lowered {
    pub fn names(&self) -> Vec<&str> {
        self.findings.list().iter().map(|finding| finding.name()).collect()
    }

    pub fn messages(&self) -> Vec<String> {
        self.findings.list().iter().map(|finding| finding.telling.message.clone()).collect()
    }
}

pub fn lower_with(text: &str, files: &[(&str, &[u8])]) -> Lowered {
    let mut findings = Findings::default();
    let tree = plica::syntax::parse(text, 0, &mut findings);
    let library = files.iter().fold(Memory::default(), |library, (name, bytes)| library.with(*name, *bytes));
    let mut sources = SourceMap::default();
    sources.add("design.plica", text);
    let request = Request { path: "design.plica".into(), ..Request::default() };
    let design = understand(&tree, &request, &library, &mut sources, &mut findings);
    let assembly = assemble(&design, &mut findings);
    Lowered { assembly, findings }
}

pub fn lower(text: &str) -> Lowered {
    lower_with(text, &[])
}

/// The assembly of a design that must have no finding.
pub fn sound(text: &str) -> Assembly {
    let lowered = lower(text);
    assert_eq!(lowered.messages(), Vec::<String>::new(), "{text}");
    assert_eq!(lowered.assembly.missing, Vec::<String>::new(), "{text}");
    lowered.assembly
}

/// The assembly of an example, its pictures and all.
pub fn example(name: &str) -> Assembly {
    let path = format!("{}/lang-examples/{name}.plica", env!("CARGO_MANIFEST_DIR"));
    let request = Request { path: path.into(), ..Request::default() };
    let compiled = plica::compile::compile(&plica::source::Disk, &request).expect("an example");
    assert!(compiled.assembly.missing.is_empty(), "{name}: {:?}", compiled.assembly.missing);
    compiled.assembly
}

pub fn piece<'a>(assembly: &'a Assembly, name: &str) -> &'a Piece {
    assembly.pieces.iter().find(|piece| piece.name == name).unwrap_or_else(|| panic!("no piece {name}"))
}

/// `shell.track`, or a piece of one panel.
pub fn panel(assembly: &Assembly, path: &str) -> PanelId {
    let (name, own) = path.split_once('.').unwrap_or((path, path));
    let piece = piece(assembly, name);
    *piece
        .panels
        .iter()
        .find(|&&id| assembly.panels[id].name == own)
        .unwrap_or_else(|| panic!("no panel {path}"))
}

pub fn joint(assembly: &Assembly, name: &str) -> JointId {
    assembly.joints.iter().position(|joint| joint.name == name).unwrap_or_else(|| panic!("no joint {name}"))
}

pub fn slide_range(assembly: &Assembly, name: &str) -> (f64, f64) {
    match &assembly.joints[joint(assembly, name)].kind {
        JointKind::Slide { range, .. } => *range,
        other => panic!("{name} does not slide: {other:?}"),
    }
}

pub fn near(found: f64, wanted: f64, tolerance: f64) {
    assert!((found - wanted).abs() <= tolerance, "{found} should be {wanted}");
}
