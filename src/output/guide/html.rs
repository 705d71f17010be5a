//! The guide as one HTML page, whole in itself: style, drawings and script are inside it, nothing is fetched, and all of it
//! can be read without scripts. Elements and attributes are those of the HTML Living Standard.

use std::fmt::Write as _;

use super::block::{Block, Guide, Line, Picture, Section, SpanOf, Table};
use super::words::Catalogue;
use crate::drawing::Drawing;
use crate::output::svg::{self, Spoken};
use crate::quantity::Units;

const STYLE: &str = include_str!("guide.css");
const SCRIPT: &str = include_str!("guide.js");

pub fn page(guide: &Guide, words: &Catalogue) -> String {
    let mut page = Page { out: String::new(), drawings: 0 };
    let (heading, title) = (escaped(&guide.heading), escaped(&guide.title));
    page.line(&format!(
        "<!DOCTYPE html>\n<html lang=\"{}\">\n<head>\n<meta charset=\"utf-8\">\n<meta name=\"viewport\" \
         content=\"width=device-width, initial-scale=1\">\n<title>{heading}</title>\n<meta name=\"description\" \
         content=\"{heading}\">\n<meta property=\"og:title\" content=\"{title}\">\n<meta property=\"og:image\" \
         content=\"poster.png\">\n<style>\n{STYLE}</style>\n</head>\n<body>",
        words.language
    ));
    page.line(&format!("<header>\n<h1>{heading}</h1>"));
    page.switch(guide.units, words);
    page.line("</header>");
    page.contents(guide, words);
    page.line("<main>");
    for section in &guide.sections {
        page.section(section);
    }
    page.line("</main>");
    page.line(&format!("<script>\n{SCRIPT}</script>\n</body>\n</html>"));
    page.out
}

struct Page {
    out: String,
    /// How many drawings there are so far: each has a name of its own.
    drawings: usize,
}

impl Page {
    fn line(&mut self, text: &str) {
        // Writing to a string cannot fail.
        let _ = writeln!(self.out, "{text}");
    }

    /// The switch works by the style alone; the script only remembers it.
    fn switch(&mut self, units: Units, words: &Catalogue) {
        self.line(&format!("<fieldset class=\"measures\">\n<legend>{}</legend>", escaped(words.measures)));
        for (id, name, is_own) in
            [("mm", words.millimetres, units == Units::Mm), ("in", words.inches, units == Units::Inch)]
        {
            let checked = if is_own { " checked" } else { "" };
            self.line(&format!(
                "<label><input type=\"radio\" name=\"measures\" id=\"measures-{id}\" value=\"{id}\"{checked}> {}</label>",
                escaped(name)
            ));
        }
        self.line("</fieldset>");
    }

    fn contents(&mut self, guide: &Guide, words: &Catalogue) {
        self.line(&format!("<nav aria-label=\"{}\">\n<ul>", attribute(words.contents)));
        for section in &guide.sections {
            self.line(&format!("<li><a href=\"#{}\">{}</a></li>", section.id, escaped(&section.title)));
        }
        self.line("</ul>\n</nav>");
    }

    fn section(&mut self, section: &Section) {
        let (id, title) = (section.id, escaped(&section.title));
        self.line(&format!(
            "<section id=\"{id}\" aria-labelledby=\"{id}-heading\">\n<h2 id=\"{id}-heading\">{title}</h2>"
        ));
        for block in &section.blocks {
            self.block(block);
        }
        self.line("</section>");
    }

    fn block(&mut self, block: &Block) {
        match block {
            Block::Text(line) => self.line(&format!("<p>{}</p>", spans(line))),
            Block::Subheading(text) => self.line(&format!("<h3>{}</h3>", escaped(text))),
            Block::List(lines) => {
                self.line("<ul>");
                lines.iter().for_each(|l| self.line(&format!("<li>{}</li>", spans(l))));
                self.line("</ul>");
            }
            Block::Numbered(lines) => {
                self.line("<ol>");
                for (number, line) in lines {
                    self.line(&format!("<li value=\"{number}\">{}</li>", spans(line)));
                }
                self.line("</ol>");
            }
            Block::Table(table) => self.table(table),
            Block::Pictures(pictures) => {
                self.line("<div class=\"pictures\">");
                pictures.iter().for_each(|p| self.picture(p));
                self.line("</div>");
            }
            Block::Step { title, lines, picture } => {
                self.line(&format!("<article class=\"step\">\n<div>\n<h3>{}</h3>", escaped(title)));
                lines.iter().for_each(|l| self.line(&format!("<p>{}</p>", spans(l))));
                self.line("</div>");
                if let Some(picture) = picture {
                    self.picture(picture);
                }
                self.line("</article>");
            }
            Block::Motion { title, description, slider, frames, .. } => {
                self.motion(title, description, slider, frames);
            }
        }
    }

    fn table(&mut self, table: &Table) {
        self.line(&format!("<table>\n<caption>{}</caption>\n<thead>\n<tr>", escaped(&table.caption)));
        table.head.iter().for_each(|h| self.line(&format!("<th scope=\"col\">{}</th>", escaped(h))));
        self.line("</tr>\n</thead>\n<tbody>");
        for row in &table.rows {
            self.line("<tr>");
            for (n, cell) in row.iter().enumerate() {
                let label = table.head.get(n).map(|h| attribute(h)).unwrap_or_default();
                let (open, close) = if n == 0 { ("th scope=\"row\"", "th") } else { ("td", "td") };
                self.line(&format!("<{open} data-label=\"{label}\">{}</{close}>", spans(cell)));
            }
            self.line("</tr>");
        }
        self.line("</tbody>\n</table>");
    }

    fn drawing(&mut self, frames: &[Drawing], title: &str, description: &str) {
        self.drawings += 1;
        let id = format!("drawing-{}", self.drawings);
        self.line(&svg::inline(frames, &Spoken { id: &id, title, description }));
    }

    fn picture(&mut self, picture: &Picture) {
        self.line("<figure>");
        self.drawing(std::slice::from_ref(&picture.drawing), &picture.title, &picture.description);
        self.line(&format!("<figcaption>{}</figcaption>\n</figure>", escaped(&picture.title)));
    }

    fn motion(&mut self, title: &str, description: &str, slider: &str, frames: &[Drawing]) {
        self.line(&format!("<h3>{}</h3>\n<figure class=\"motion\">", escaped(title)));
        self.drawing(frames, title, description);
        let last = frames.len().saturating_sub(1);
        self.line(&format!(
            "<input class=\"way\" type=\"range\" min=\"0\" max=\"{last}\" value=\"0\" step=\"1\" aria-label=\"{}\">",
            attribute(slider)
        ));
        self.line(&format!("<figcaption>{}</figcaption>\n</figure>", escaped(title)));
    }
}

fn spans(line: &Line) -> String {
    line.spans
        .iter()
        .map(|span| match span {
            SpanOf::Text(text) => escaped(text),
            SpanOf::Both { inch, metric } => format!(
                "<span class=\"mm\">{}</span><span class=\"in\">{}</span>",
                escaped(metric),
                escaped(inch)
            ),
        })
        .collect()
}

/// Text between tags. Control characters have no meaning on a page and are left out.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for letter in text.chars() {
        match letter {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '\n' | '\t' => out.push(' '),
            c if c.is_control() => {}
            c => out.push(c),
        }
    }
    out
}

fn attribute(text: &str) -> String {
    escaped(text).replace('"', "&quot;")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_cannot_become_markup() {
        assert_eq!(escaped("<b>\u{1b}[31m & c"), "&lt;b&gt;[31m &amp; c");
        assert_eq!(attribute("a\" onload=\"x"), "a&quot; onload=&quot;x");
    }
}
