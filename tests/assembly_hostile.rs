//! Measurements that make no sense are refused or lowered, never a panic.

mod assembly_support;

use assembly_support::lower;
use plica::motion::stand;

const ODD: [&str; 4] = ["0", "0.001", "99", "123456789012"];

/// Every number of a text in turn replaced by an odd one.
fn spoilt(text: &str) -> impl Iterator<Item = String> + '_ {
    let mut places = Vec::new();
    let mut start = None;
    for (i, c) in text.char_indices() {
        match (c.is_ascii_digit() || c == '.', start) {
            (true, None) => start = Some(i),
            (false, Some(from)) => {
                places.push((from, i));
                start = None;
            }
            _ => {}
        }
    }
    places.into_iter().flat_map(move |(from, to)| {
        ODD.iter().map(move |odd| format!("{}{odd}{}", &text[..from], &text[to..]))
    })
}

const DESIGNS: [&str; 3] = [
    "card \"A\"\npaper board: 200gsm, 0.30mm thick\n\
     piece page of board {\n  size 120mm by 90mm\n  valley spine: 60mm from left\n  panels left, right from left\n  \
     slot a on left: 2mm wide, 10mm from left, 20mm to 70mm from top\n  slot b on left: 2mm wide, 10mm from right, 20mm to 70mm from top\n  \
     window pane on right: rounded 20mm by 10mm corner 3mm, centred, turned 30deg\n  hole hub on right: 3mm, centred, 70mm from top\n  \
     tab foot 9mm off right.bottom: 5mm to 40mm from left, tapered 40deg\n}\n\
     strap band of board around page.left between a, b: 8mm wide, 10mm overlap\n\
     mat sky of board on back of page.right: 5mm border\n\
     piece sign of board { shape circle 30mm }\nglue back of sign to front of band: bottom to bottom, centred\n\
     piece wheel of board {\n  shape circle 40mm\n  hole hub: 3mm, centred\n}\nbrad axle through wheel.hub, page.hub: wheel behind\n\
     pose shut { page.spine 180deg  band at 3mm from top  axle 20deg }\n",
    "card \"B\"\npaper board: 200gsm, 0.30mm thick\n\
     piece kite of board { shape path (40mm, 0mm) line to (20mm, 10mm) arc through (0mm, 30mm) to (15mm, 60mm) \
     curve (20mm, 70mm) (30mm, 75mm) to (40mm, 80mm) mirrored about 40mm from left }\n\
     piece tail of board { shape polygon (0mm, 0mm) (40mm, 10mm) (25mm, 30mm) (5mm, 20mm) }\n\
     glue front of tail to back of kite: turned 20deg, 20mm from left, 8mm from top, along edges 3mm\n",
    "card \"C\"\npaper board: 200gsm, 0.30mm thick\n\
     piece page of board {\n  size 100mm by 140mm\n  slot mouth: 1mm wide, 32mm long, centred, 60mm from top\n}\n\
     piece tongue of board { shape polygon (0mm, 0mm) (40mm, 0mm) (40mm, 20mm) (30mm, 20mm) (30mm, 80mm) (0mm, 80mm) }\n\
     slide tongue through page.mouth: from 0mm to 12mm\npose up { tongue at top }\n",
];

#[test]
fn odd_numbers_do_no_harm() {
    let mut tried = 0;
    for text in DESIGNS {
        assert_eq!(lower(text).messages(), Vec::<String>::new(), "{text}");
        for spoilt in spoilt(text) {
            let lowered = lower(&spoilt);
            for joint in &lowered.assembly.joints {
                assert!(joint.a < lowered.assembly.panels.len() && joint.b < lowered.assembly.panels.len());
            }
            for pose in &lowered.assembly.poses {
                stand(&lowered.assembly, pose);
            }
            // What is left out is told, and what is told leaves nothing unsaid.
            if !lowered.assembly.missing.is_empty() {
                assert!(
                    !lowered.names().is_empty(),
                    "{:?} is missing in silence:\n{spoilt}",
                    lowered.assembly.missing
                );
            }
            tried += 1;
        }
    }
    assert!(tried > 300, "{tried} designs");
}
