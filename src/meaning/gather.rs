//! Included files and values given from outside: every text a design is made of, as trees.

use std::path::{Component, Path, PathBuf};

use super::Request;
use crate::findings::Findings;
use crate::findings::catalogue::{FileNotRead, IncludeOutside, IncludeRing};
use crate::source::{Library, SourceMap, Span};
use crate::syntax::{self, tree::ItemKind, tree::Tree};

/// Trees beside the design's own.
pub struct Gathered {
    pub included: Vec<Tree>,
    /// One `let` per `--set`, under the name that was given.
    pub set: Vec<(String, Tree)>,
}

pub fn gather(
    tree: &Tree,
    request: &Request,
    library: &dyn Library,
    sources: &mut SourceMap,
    sink: &mut Findings,
) -> Gathered {
    let root = request.path.parent().map(PathBuf::from).unwrap_or_default();
    let mut reader = Reader { root, library, sources, sink, included: Vec::new(), seen: Vec::new() };
    reader.follow(tree, &mut vec![plain(&request.path)]);
    let included = reader.included;
    let set = request.set.iter().filter_map(|(name, value)| {
        let text = format!("let {name} = {value}\n");
        let id = sources.add("--set", &text)?;
        let base = sources.get(id)?.base;
        Some((name.clone(), syntax::parse(&text, base, sink)))
    });
    Gathered { set: set.collect(), included }
}

struct Reader<'a> {
    root: PathBuf,
    library: &'a dyn Library,
    sources: &'a mut SourceMap,
    sink: &'a mut Findings,
    included: Vec<Tree>,
    /// Files already read: including one twice is including it once.
    seen: Vec<PathBuf>,
}

impl Reader<'_> {
    /// Reads what `tree` includes; `chain` holds the files that led here.
    fn follow(&mut self, tree: &Tree, chain: &mut Vec<PathBuf>) {
        for item in &tree.items {
            let ItemKind::Include(file) = &item.kind else { continue };
            let folder = chain.last().and_then(|p| p.parent()).unwrap_or(Path::new(""));
            let path = plain(&folder.join(&file.value));
            if chain.contains(&path) {
                let ring = chain.iter().chain([&path]).map(|p| shown(p)).collect();
                self.sink.report(IncludeRing { place: file.span, ring });
            } else if self.is_outside(&file.value, &path) {
                self.sink.report(IncludeOutside { place: file.span, file: file.value.clone() });
            } else if !self.seen.contains(&path) {
                self.seen.push(path.clone());
                self.read(&path, file.span, chain);
            }
        }
    }

    fn read(&mut self, path: &Path, place: Span, chain: &mut Vec<PathBuf>) {
        let text = match self.library.text(path) {
            Ok(text) => text,
            Err(error) => {
                let why = error.to_string();
                return self.sink.report(FileNotRead { place, file: shown(path), why });
            }
        };
        let Some(base) =
            self.sources.add(&shown(path), &text).and_then(|id| Some(self.sources.get(id)?.base))
        else {
            let why = "it and the other files of this design are too long to be read together".into();
            return self.sink.report(FileNotRead { place, file: shown(path), why });
        };
        let tree = syntax::parse(&text, base, self.sink);
        chain.push(path.to_path_buf());
        self.follow(&tree, chain);
        chain.pop();
        self.included.push(tree);
    }

    /// Only files in the design's folder or below are read, whatever links or `..` say.
    fn is_outside(&self, written: &str, path: &Path) -> bool {
        lies_outside(&self.root, written, path) || self.library.escapes(&self.root, path)
    }
}

/// True when a file, as written and as a plain path, does not lie in the folder `root` or below, links apart.
pub fn lies_outside(root: &Path, written: &str, path: &Path) -> bool {
    let absolute = Path::new(written).is_absolute() || written.contains('\\') || written.contains(':');
    let below = path.strip_prefix(plain(root));
    absolute || below.is_err() || below.is_ok_and(|p| p.components().any(|c| c == Component::ParentDir))
}

fn shown(path: &Path) -> String {
    path.to_string_lossy().replace('\\', "/")
}

/// A path without `.` and with every `..` that can be taken back taken back.
pub fn plain(path: &Path) -> PathBuf {
    let mut out = PathBuf::new();
    for part in path.components() {
        match part {
            Component::CurDir => {}
            Component::ParentDir if matches!(out.components().next_back(), Some(Component::Normal(_))) => {
                out.pop();
            }
            other => out.push(other),
        }
    }
    out
}
