//! Names, paths, faces, points and sizes.

use super::*;

impl Builder<'_> {
    pub(super) fn name(&self, node: &Node) -> Option<Name> {
        let text = self.source(node.one(Rule::word)?).to_string();
        let index = match node.one(Rule::index) {
            Some(index) => Some(Box::new(self.expr(index.one(Rule::expr)?)?)),
            None => None,
        };
        Some(Name { text, index, span: self.span(node) })
    }

    pub(super) fn name_in(&self, node: &Node) -> Option<Name> {
        self.name(node.one(Rule::name)?)
    }

    pub(super) fn names(&self, list: &Node) -> Option<Vec<Name>> {
        list.all(Rule::name).map(|n| self.name(n)).collect()
    }

    pub(super) fn path(&self, node: &Node) -> Option<Path> {
        let segment = |n: &Node| match n.rule {
            Rule::card_root => {
                Some(Name { text: self.source(n).to_string(), index: None, span: self.span(n) })
            }
            _ => self.name(n),
        };
        let segments = node.children.iter().map(segment).collect::<Option<Vec<_>>>()?;
        (!segments.is_empty()).then(|| Path { segments, span: self.span(node) })
    }

    pub(super) fn path_in(&self, node: &Node) -> Option<Path> {
        self.path(node.one(Rule::path)?)
    }

    pub(super) fn paths<const N: usize>(&self, node: &Node) -> Option<[Path; N]> {
        self.each(node, Rule::path, Self::path)
    }

    pub(super) fn path_list(&self, node: &Node) -> Option<Vec<Path>> {
        node.one(Rule::path_list)?.all(Rule::path).map(|n| self.path(n)).collect()
    }

    /// `between rail_l, rail_r`
    pub(super) fn between(&self, node: &Node) -> Option<Option<(Path, Path)>> {
        let Some(between) = node.one(Rule::between) else { return Some(None) };
        let [first, second] = self.paths(between)?;
        Some(Some((first, second)))
    }

    pub(super) fn face(&self, node: &Node) -> Option<Face> {
        let side = node.one(Rule::side).map(|side| {
            let front = self.source(side) == "front";
            Spanned::new(if front { FaceSide::Front } else { FaceSide::Back }, self.span(side))
        });
        Some(Face { side, path: self.path_in(node)?, span: self.span(node) })
    }

    pub(super) fn face_in(&self, node: &Node) -> Option<Face> {
        self.face(node.one(Rule::face)?)
    }

    pub(super) fn faces(&self, node: &Node) -> Option<[Face; 2]> {
        self.each(node, Rule::face, Self::face)
    }

    pub(super) fn point(&self, node: &Node) -> Option<Point> {
        let [x, y] = self.values(node)?;
        Some(Point { x, y, span: self.span(node) })
    }

    pub(super) fn points<const N: usize>(&self, node: &Node) -> Option<[Point; N]> {
        self.each(node, Rule::point, Self::point)
    }

    pub(super) fn size(&self, node: &Node) -> Option<Size> {
        let size = node.one(Rule::size)?;
        let span = self.span(size);
        if let Some(measured) = size.one(Rule::measured_size) {
            let mut values = measured.all(Rule::value).map(|v| self.value(v));
            let (width, height) = (values.next()??, values.next()??);
            let depth = match values.next() {
                Some(depth) => Some(depth?),
                None => None,
            };
            return Some(Size::Measured { width, height, depth, span });
        }
        let word = |n: &Node| if n.rule == Rule::text { self.text_of(n) } else { Some(self.spanned(n)) };
        let words = size.one(Rule::named_size)?.children.iter().map(word).collect::<Option<Vec<_>>>()?;
        Some(Size::Named { words, span })
    }

    /// Exactly `N` children of one rule, each read with `read`.
    pub(super) fn each<T, const N: usize>(
        &self,
        node: &Node,
        rule: Rule,
        read: impl Fn(&Self, &Node) -> Option<T>,
    ) -> Option<[T; N]> {
        let parts = node.all(rule).map(|n| read(self, n)).collect::<Option<Vec<T>>>()?;
        parts.try_into().ok()
    }
}
