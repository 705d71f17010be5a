use super::Span;

/// Index of a file in its [`SourceMap`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct FileId(pub u32);

/// One loaded text and where it lies in the global offset space.
#[derive(Debug, Clone)]
pub struct SourceFile {
    /// The name as the user knows it (a path as given, with `/` separators).
    pub name: String,
    pub text: String,
    /// Global offset of the first byte.
    pub base: u32,
    line_starts: Vec<u32>,
}

/// A place for people: 1-based line and column (columns count characters).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Place {
    pub line: u32,
    pub column: u32,
}

/// Every text of one run, laid end to end with a one-byte gap so that no two files share an offset.
#[derive(Debug, Clone, Default)]
pub struct SourceMap {
    files: Vec<SourceFile>,
}

impl SourceMap {
    /// Adds a text; `None` when the global space (4 GiB) is full.
    pub fn add(&mut self, name: &str, text: &str) -> Option<FileId> {
        let base = self.files.last().map_or(0, |f| f.base as u64 + f.text.len() as u64 + 1);
        if base + text.len() as u64 >= u32::MAX as u64 {
            return None;
        }
        let mut line_starts = vec![0];
        line_starts.extend(text.bytes().enumerate().filter(|(_, b)| *b == b'\n').map(|(i, _)| i as u32 + 1));
        let id = FileId(self.files.len() as u32);
        self.files.push(SourceFile { name: name.into(), text: text.into(), base: base as u32, line_starts });
        Some(id)
    }

    pub fn files(&self) -> &[SourceFile] {
        &self.files
    }

    pub fn get(&self, id: FileId) -> Option<&SourceFile> {
        self.files.get(id.0 as usize)
    }

    /// The file that holds a global offset (its end included).
    pub fn file_at(&self, offset: u32) -> Option<&SourceFile> {
        let after = self.files.partition_point(|f| f.base <= offset);
        let file = self.files.get(after.checked_sub(1)?)?;
        (offset - file.base <= file.text.len() as u32).then_some(file)
    }

    /// The text under a span; empty when the span is not within one file.
    pub fn text(&self, span: Span) -> &str {
        self.file_at(span.start).and_then(|f| f.text.get(f.local(span))).unwrap_or("")
    }

    /// File name and line/column of a span's start.
    pub fn place(&self, span: Span) -> Option<(&str, Place)> {
        let file = self.file_at(span.start)?;
        Some((&file.name, file.place(span.start)))
    }
}

impl SourceFile {
    /// A global span as a range of this file's text, clamped to it.
    pub fn local(&self, span: Span) -> std::ops::Range<usize> {
        let len = self.text.len();
        let start = (span.start.saturating_sub(self.base) as usize).min(len);
        let end = (span.end.saturating_sub(self.base) as usize).clamp(start, len);
        start..end
    }

    /// 1-based line and column of a global offset.
    pub fn place(&self, offset: u32) -> Place {
        let local = (offset.saturating_sub(self.base) as usize).min(self.text.len());
        let line = self.line_starts.partition_point(|s| *s as usize <= local);
        let start = self.line_starts.get(line.saturating_sub(1)).map_or(0, |s| *s as usize);
        let column = self.text.get(start..local).map_or(local - start, |t| t.chars().count());
        Place { line: line as u32, column: column as u32 + 1 }
    }

    /// Text of a 1-based line without its line break.
    pub fn line(&self, line: u32) -> &str {
        let i = line.saturating_sub(1) as usize;
        let Some(start) = self.line_starts.get(i) else { return "" };
        let end = self.line_starts.get(i + 1).map_or(self.text.len(), |e| *e as usize);
        self.text.get(*start as usize..end).unwrap_or("").trim_end_matches(['\n', '\r'])
    }

    pub fn line_count(&self) -> u32 {
        self.line_starts.len() as u32
    }

    /// The whole text as a global span.
    pub fn span(&self) -> Span {
        Span::new(self.base, self.base + self.text.len() as u32)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn offsets_of_two_files_do_not_meet() {
        let mut map = SourceMap::default();
        map.add("a", "one\ntwo");
        map.add("b", "é three");
        let b = &map.files()[1];
        assert_eq!(map.text(Span::new(b.base + 3, b.base + 8)), "three");
        assert_eq!(b.place(b.base + 3), Place { line: 1, column: 3 });
        assert_eq!(map.place(Span::new(4, 5)), Some(("a", Place { line: 2, column: 1 })));
    }
}
