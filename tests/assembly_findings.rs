//! Every finding of lowering: its wrong design shows it and nothing else, its right design shows nothing.

mod assembly_support;

use assembly_support::{lower, lower_with};
use plica::findings::catalogue;

const OF_LOWERING: [&str; 34] = [
    "arc-without-circle",
    "closing-place-unknown",
    "cut-parts-panel",
    "cutout-outside-panel",
    "edges-not-parallel",
    "faces-do-not-meet",
    "hole-sizes-differ",
    "loose-part",
    "mat-border-too-wide",
    "no-such-stop",
    "outline-crosses-itself",
    "outline-open",
    "outline-without-area",
    "panel-count",
    "panel-named-twice",
    "panel-not-said",
    "panel-point-outside",
    "piece-too-large",
    "placement-misses-direction",
    "placement-said-twice",
    "reads-from-no-line",
    "score-has-no-place",
    "score-off-piece",
    "score-parts-nothing",
    "setting-out-of-reach",
    "slot-meets-score",
    "strap-overlap-too-long",
    "strap-rails-not-parallel",
    "strap-too-wide",
    "tab-off-no-edge",
    "tab-too-deep",
    "tabs-overlap",
    "tongue-wider-than-slot",
    "turn-said-twice",
];

#[test]
fn every_wrong_design_shows_its_finding_alone() {
    let mut faults = Vec::new();
    for name in OF_LOWERING {
        let entry = catalogue::entry(name).unwrap_or_else(|| panic!("no entry {name}"));
        let wrong = lower(entry.wrong);
        if wrong.names() != [name] {
            faults.push(format!("{name}: wrong shows {:?} {:?}", wrong.names(), wrong.messages()));
        }
        let right = lower(entry.right);
        if !right.names().is_empty() || !right.assembly.missing.is_empty() {
            faults.push(format!(
                "{name}: right shows {:?}, missing {:?}",
                right.messages(),
                right.assembly.missing
            ));
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

/// A proposal that names a number mends the design it is made for.
#[test]
fn proposals_mend() {
    let mut mended = 0;
    let mut faults = Vec::new();
    for name in OF_LOWERING {
        let entry = catalogue::entry(name).unwrap_or_else(|| panic!("no entry {name}"));
        let wrong = lower(entry.wrong);
        for mend in wrong.findings.list().iter().flat_map(|finding| &finding.telling.proposals) {
            let mut text = entry.wrong.to_string();
            for edit in mend.edits.iter().rev() {
                text.replace_range(edit.span.start as usize..edit.span.end as usize, &edit.text);
            }
            mended += 1;
            let after = lower(&text);
            if !after.names().is_empty() {
                faults.push(format!("{name}: after `{}` still {:?}\n{text}", mend.says, after.messages()));
            }
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
    assert!(mended >= 8, "only {mended} proposals were tried");
}

fn svg(text: &str) -> Vec<String> {
    let design = "card \"Kite\"\npaper board: 200gsm\npiece kite of board { shape from \"kite.svg\" }\n";
    let lowered = lower_with(design, &[("kite.svg", text.as_bytes())]);
    lowered.names().into_iter().map(String::from).collect()
}

#[test]
fn drawings_that_give_no_outline_are_refused() {
    let file = |size: &str, inside: &str| {
        format!("<svg xmlns=\"http://www.w3.org/2000/svg\" {size} viewBox=\"0 0 60 80\">{inside}</svg>")
    };
    let mm = "width=\"60mm\" height=\"80mm\"";
    assert_eq!(svg(&file(mm, "<rect width=\"60\" height=\"80\"/>")), Vec::<String>::new());
    assert_eq!(svg("no drawing"), ["svg-outline"]);
    assert_eq!(svg(&file(mm, "")), ["svg-outline"]);
    assert_eq!(svg(&file(mm, "<path d=\"M0 0 H60 V80 H0\" fill=\"red\"/>")), ["svg-outline"]);
    let two = "<rect width=\"20\" height=\"20\"/><rect x=\"30\" width=\"20\" height=\"20\"/>";
    assert_eq!(svg(&file(mm, two)), ["svg-outline"]);
    assert_eq!(svg(&file("", "<rect width=\"60\" height=\"80\"/>")), ["svg-without-size"]);
}
