//! The guide as Markdown (CommonMark, with tables), for a blog: the pictures are the kit's files beside it. Lengths stand in
//! the design's own units, the other ruler's in brackets.

use std::fmt::Write as _;

use super::block::{Block, Guide, Line, Picture, SpanOf, Table};
use super::words::Catalogue;
use crate::output::cut_list::plain;
use crate::quantity::Units;

pub fn page(guide: &Guide, _words: &Catalogue) -> String {
    let mut out = String::new();
    // Writing to a string cannot fail.
    let _ = writeln!(out, "# {}\n", plain(&guide.heading));
    for section in &guide.sections {
        let _ = writeln!(out, "## {}\n", plain(&section.title));
        for block in &section.blocks {
            write_block(&mut out, block, guide.units);
        }
    }
    out
}

fn write_block(out: &mut String, block: &Block, units: Units) {
    let say = |line: &Line| spans(line, units);
    match block {
        Block::Text(line) => {
            let _ = writeln!(out, "{}\n", say(line));
        }
        Block::Subheading(text) => {
            let _ = writeln!(out, "### {}\n", plain(text));
        }
        Block::List(lines) => {
            lines.iter().for_each(|l| {
                let _ = writeln!(out, "- {}", say(l));
            });
            out.push('\n');
        }
        Block::Numbered(lines) => {
            lines.iter().for_each(|(n, l)| {
                let _ = writeln!(out, "{n}. {}", say(l));
            });
            out.push('\n');
        }
        Block::Table(table) => write_table(out, table, units),
        Block::Pictures(pictures) => {
            pictures.iter().for_each(|p| picture(out, p));
        }
        Block::Step { title, lines, picture: shown } => {
            let _ = writeln!(out, "### {}\n", plain(title));
            for line in lines {
                let _ = writeln!(out, "{}\n", say(line));
            }
            if let Some(shown) = shown {
                picture(out, shown);
            }
        }
        Block::Motion { title, description, file, .. } => {
            let _ = writeln!(out, "### {}\n\n![{}]({file})\n", plain(title), plain(description));
        }
    }
}

fn picture(out: &mut String, picture: &Picture) {
    let _ = writeln!(out, "![{}]({})\n", plain(&picture.title), picture.file);
}

fn write_table(out: &mut String, table: &Table, units: Units) {
    let row = |cells: &[String]| format!("| {} |", cells.join(" | "));
    let head: Vec<String> = table.head.iter().map(|h| plain(h)).collect();
    let _ = writeln!(out, "**{}**\n\n{}\n|{}", plain(&table.caption), row(&head), "---|".repeat(head.len()));
    for cells in &table.rows {
        let cells: Vec<String> = cells.iter().map(|c| spans(c, units)).collect();
        let _ = writeln!(out, "{}", row(&cells));
    }
    out.push('\n');
}

fn spans(line: &Line, units: Units) -> String {
    line.spans
        .iter()
        .map(|span| match span {
            SpanOf::Text(text) => plain(text),
            SpanOf::Both { inch, metric } => {
                let (own, other) = if units == Units::Inch { (inch, metric) } else { (metric, inch) };
                format!("{} ({})", plain(own), plain(other))
            }
        })
        .collect()
}
