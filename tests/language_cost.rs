//! The cost of reading grows with the length of a text and no faster. Counted in calls of the parser, not in time; alone
//! in its file because the limit on calls holds for a whole process.

use plica::findings::Findings;
use plica::syntax::parse;
use std::num::NonZeroUsize;

/// A design of that many lines with what designs are made of.
fn design(lines: usize) -> String {
    let part = |i: usize| {
        format!(
            "piece leaf_{i} of cover {{\n  size 98mm + {i} * 1/16in by (104mm - 3mm) / 2\n  valley keel_{i}: 49mm from left, folded flat\n\
             \x20 panels port_{i}, starboard_{i} from left\n  slot rail_{i} on port_{i}: 2mm wide, 10mm from left, 12mm to 80mm from top\n}}\n\
             glue back of leaf_{i} to front of shell: grip.top 8mm above heron.top, centred   # a note\n\
             pose open_{i} {{ leaf_{i}.keel_{i} 90deg }}\n\nexpect clear(leaf_{i}, shell.track) \n"
        )
    };
    (0..lines / 10).map(part).collect()
}

/// The same design with a fault in every tenth line.
fn broken(lines: usize) -> String {
    design(lines).replace("panels port", "panles port").replace("8mm above", "8 mm above")
}

/// The number of findings, and whether the design was read within that many calls.
fn read_within(text: &str, calls: usize) -> (usize, bool) {
    pest::set_call_limit(NonZeroUsize::new(calls));
    let mut sink = Findings::default();
    let tree = parse(text, 0, &mut sink);
    (sink.list().len(), !tree.items.is_empty())
}

/// The fewest calls, to one part in sixteen, with which a text is read.
fn calls_for(text: &str) -> usize {
    let mut calls = 1024;
    while !read_within(text, calls).1 {
        calls += calls / 16;
    }
    calls
}

#[test]
fn a_thousand_lines_cost_ten_times_a_hundred() {
    for make in [design, broken] {
        let (short, long) = (make(100), make(1000));
        let calls = calls_for(&short);
        assert!(read_within(&long, calls * 11).1, "more than {} calls", calls * 11);
        assert!(!read_within(&long, calls * 8).1, "the limit is felt: {calls} calls are no overestimate");
    }
}
