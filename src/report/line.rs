//! One line for each finding: `file:line:column: severity name: message`, for scripts and for editors that read the
//! output of a compiler.

use super::Look;
use crate::findings::Finding;
use crate::source::SourceMap;

/// The line of one finding, without a line break. Line and column count from 1; columns count characters.
pub fn render(finding: &Finding, sources: &SourceMap, look: &Look) -> String {
    let place = match sources.place(finding.place()) {
        Some((file, at)) => format!("{file}:{}:{}: ", at.line, at.column),
        None => String::new(),
    };
    let words = format!("{} {}: {}", finding.severity().word(), finding.name(), finding.telling.message);
    look.text(&format!("{place}{words}").replace('\n', " "))
}
