//! Any text through the whole compiler and the tidying: it must come back with findings, never end the program, and
//! a text that was tidied must stay as it is.
#![no_main]

use libfuzzer_sys::fuzz_target;
use plica::compile::compile_text;
use plica::meaning::Request;
use plica::source::Memory;

fuzz_target!(|text: &str| {
    let request = Request { path: "fuzz.plica".into(), ..Request::default() };
    if let Ok(compiled) = compile_text(text, &Memory::default(), &request) {
        for finding in compiled.findings.list() {
            assert!(compiled.sources.file_at(finding.place().start).is_some(), "{}", finding.name());
        }
    }
    if let Ok(tidied) = plica::syntax::tidy(text) {
        assert_eq!(plica::syntax::tidy(&tidied).ok().as_ref(), Some(&tidied));
    }
});
