//! Every name into its scope; mechanisms and repeats written out.

use std::collections::BTreeMap;

use super::Request;
use super::gather::Gathered;
use super::world::{DeclaredPiece, Member, MemberKind, Named, ROOT, Scope, ScopeId, Value, What, World};
use crate::findings::catalogue::{
    ArgumentCount, ArgumentTwice, ArgumentUnknown, MechanismInItself, MisplacedStatement, NameTaken,
    RepeatNameWithoutIndex, RepeatTooLong, RepeatsNothing, SaidTwice, UnknownName, WrongKind,
};
use crate::quantity::Dimension;
use crate::source::{Span, nearest};
use crate::syntax::tree::{Argument, Expr, ExprKind, Item, ItemKind, Name, Parameter, Tree};

/// A repeat writes out at most this many rounds, and a design at most this many statements: enough for any card,
/// and a bound on the work.
const MOST_ROUNDS: i64 = 1_000;
const MOST_STATEMENTS: usize = 60_000;

pub fn collect<'t>(world: &mut World<'t>, tree: &'t Tree, gathered: &'t Gathered, request: &Request) {
    for broken in [tree].into_iter().chain(&gathered.included).flat_map(|t| &t.broken_names) {
        world.broken.push(broken.clone());
    }
    for tree in gathered.included.iter().chain([tree]) {
        world.broken_shapes.extend(&tree.broken_shapes);
    }
    let mut later = Vec::new();
    for tree in gathered.included.iter().chain([tree]) {
        enter(world, ROOT, &tree.items, &mut later);
    }
    let variant = request.variant.as_deref();
    overrides(world, variant, gathered);
    write_out(world, later);
    once(world);
}

/// What must wait until plain names are known.
struct Later<'t> {
    scope: ScopeId,
    item: &'t Item,
}

fn enter<'t>(world: &mut World<'t>, scope: ScopeId, items: &'t [Item], later: &mut Vec<Later<'t>>) {
    for item in items {
        if world.statements.len() + world.pieces.len() > MOST_STATEMENTS {
            world.report(RepeatTooLong { place: item.word, rounds: None, most: MOST_STATEMENTS as i64 });
            return;
        }
        match &item.kind {
            ItemKind::Let { name, value } => {
                declare(world, scope, name, What::Value { expr: value, scope }, true);
            }
            ItemKind::Adjust { name, value, .. } => {
                declare(world, scope, name, What::Value { expr: value, scope }, true);
                world.statements.push((scope, item));
            }
            ItemKind::Paper { name, .. } => {
                declare(world, scope, name, What::Paper(item, scope), false);
            }
            ItemKind::Piece { name, .. } | ItemKind::Strap { name, .. } | ItemKind::Mat { name, .. } => {
                enter_piece(world, scope, name, item);
            }
            ItemKind::Brad { name, .. } => {
                declare(world, scope, name, What::Joint, false);
                world.statements.push((scope, item));
            }
            ItemKind::Pose { name, .. } => {
                declare(world, scope, name, What::Pose, false);
                world.statements.push((scope, item));
            }
            ItemKind::Motion { name, .. } => {
                declare(world, scope, name, What::Motion, false);
                world.statements.push((scope, item));
            }
            ItemKind::Print { name, .. } => {
                declare(world, scope, name, What::Print, false);
                world.statements.push((scope, item));
            }
            ItemKind::Mechanism { name, .. } => {
                declare(world, scope, name, What::Mechanism(item, scope), false);
            }
            ItemKind::Variant { name, .. } => {
                declare(world, scope, name, What::Variant, false);
                world.statements.push((scope, item));
            }
            ItemKind::Use { .. } | ItemKind::Repeat { .. } => later.push(Later { scope, item }),
            ItemKind::Include(_) if scope == ROOT => {}
            ItemKind::Card(_)
            | ItemKind::Envelope(_)
            | ItemKind::Post(_)
            | ItemKind::Grid(_)
            | ItemKind::View(_)
            | ItemKind::Glue { .. }
            | ItemKind::Foam { .. }
            | ItemKind::SlideThrough { .. }
            | ItemKind::SlideOn { .. }
            | ItemKind::Tuck { .. }
            | ItemKind::Expect(_)
            | ItemKind::Step { .. } => world.statements.push((scope, item)),
            ItemKind::Include(_)
            | ItemKind::Assign { .. }
            | ItemKind::Size { .. }
            | ItemKind::Shape { .. }
            | ItemKind::Crease { .. }
            | ItemKind::Panels { .. }
            | ItemKind::PanelAt { .. }
            | ItemKind::Cutout { .. }
            | ItemKind::Tab { .. }
            | ItemKind::Mark { .. } => world.report(MisplacedStatement::new(item.word, home(&item.kind))),
        }
    }
}

/// Where a statement belongs, in words.
fn home(kind: &ItemKind) -> &'static str {
    match kind {
        ItemKind::Include(_) => "at the outermost level of a file",
        ItemKind::Assign { .. } => "inside a variant",
        ItemKind::Size { .. }
        | ItemKind::Shape { .. }
        | ItemKind::Crease { .. }
        | ItemKind::Panels { .. }
        | ItemKind::PanelAt { .. }
        | ItemKind::Cutout { .. }
        | ItemKind::Tab { .. }
        | ItemKind::Mark { .. } => "inside a piece",
        _ => "outside pieces",
    }
}

fn write_out<'t>(world: &mut World<'t>, mut later: Vec<Later<'t>>) {
    while !later.is_empty() {
        let mut more = Vec::new();
        for Later { scope, item } in later {
            if is_full(world, item.word) {
                return;
            }
            match &item.kind {
                ItemKind::Repeat { index, from, to, items } => match rounds(world, scope, index, from, to) {
                    Some(rounds) => rounds.into_iter().for_each(|r| enter(world, r, items, &mut more)),
                    None => declared_in(items, &mut world.broken),
                },
                ItemKind::Use { mechanism, arguments, name } => {
                    use_mechanism(world, scope, mechanism, arguments, name, &mut more);
                }
                _ => {}
            }
        }
        later = more;
    }
}

/// Whether repeats and mechanisms within one another have multiplied beyond all bounds, which is reported.
fn is_full(world: &mut World<'_>, place: Span) -> bool {
    let full = world.scopes.len() > MOST_STATEMENTS;
    if full {
        world.report(RepeatTooLong { place, rounds: None, most: MOST_STATEMENTS as i64 });
    }
    full
}

/// What statements would declare, by its plain names.
fn declared_in(items: &[Item], names: &mut Vec<String>) {
    for item in items {
        match &item.kind {
            ItemKind::Piece { name, .. }
            | ItemKind::Strap { name, .. }
            | ItemKind::Mat { name, .. }
            | ItemKind::Brad { name, .. }
            | ItemKind::Pose { name, .. }
            | ItemKind::Motion { name, .. }
            | ItemKind::Print { name, .. }
            | ItemKind::Use { name, .. } => names.push(name.text.clone()),
            ItemKind::Repeat { items, .. } => declared_in(items, names),
            _ => {}
        }
    }
}

/// One scope per round of a repeat. `None` when it is not known how many there are: what it declares is missing.
fn rounds<'t>(
    world: &mut World<'t>,
    scope: ScopeId,
    index: &'t Name,
    from: &'t Expr,
    to: &'t Expr,
) -> Option<Vec<ScopeId>> {
    let (Some(first), Some(last)) = (world.whole(scope, from), world.whole(scope, to)) else {
        world.missing("a repeat");
        return None;
    };
    if last.saturating_sub(first) >= MOST_ROUNDS {
        let rounds = Some(last.saturating_sub(first).saturating_add(1));
        world.report(RepeatTooLong { place: from.span.to(to.span), rounds, most: MOST_ROUNDS });
        world.missing("a repeat");
        return None;
    }
    // Ending one before its first number says on purpose that there is no round.
    if last < first.saturating_sub(1) {
        let plain = |e: &Expr| matches!(e.kind, ExprKind::Number { .. });
        let bounds = (plain(from) && plain(to)).then_some((from.span, to.span));
        world.report(RepeatsNothing { place: from.span.to(to.span), first, last, bounds });
    }
    let prefix = world.scopes.get(scope).map(|s| s.prefix.clone()).unwrap_or_default();
    let scopes = (first..=last)
        .map(|round| {
            let names =
                BTreeMap::from([(index.text.clone(), Named { what: What::Index(round), span: index.span })]);
            world.scopes.push(Scope {
                parent: Some(scope),
                prefix: prefix.clone(),
                names,
                piece: None,
                transparent: true,
            });
            world.scopes.len() - 1
        })
        .collect();
    Some(scopes)
}

fn use_mechanism<'t>(
    world: &mut World<'t>,
    scope: ScopeId,
    mechanism: &'t Name,
    arguments: &'t [Argument],
    name: &'t Name,
    more: &mut Vec<Later<'t>>,
) {
    let Some(key) = world.key(scope, name) else { return };
    let found = world.find(scope, &mechanism.text);
    let Some((_, Named { what: What::Mechanism(item, home), span: defined })) = found else {
        if let Some((_, other)) = found {
            if !matches!(other.what, What::Broken) {
                world.report(WrongKind::of(
                    mechanism.span,
                    "a mechanism",
                    other.what.spoken(),
                    Some(other.span),
                ));
            }
        } else {
            world
                .report_unknown(scope, &mechanism.text, mechanism.span, |w| matches!(w, What::Mechanism(..)));
        }
        world.missing(&key);
        declare(world, scope, name, What::Broken, false);
        return;
    };
    let ItemKind::Mechanism { parameters, items, .. } = &item.kind else { return };
    if world.is_inside(scope, item) {
        return world.report(MechanismInItself {
            place: mechanism.span,
            name: mechanism.text.clone(),
            defined,
        });
    }
    let Some(names) = bind(world, scope, mechanism, defined, parameters, arguments, home) else {
        world.missing(&key);
        declare(world, scope, name, What::Broken, false);
        return;
    };
    let prefix = world.scopes.get(scope).map(|s| s.prefix.clone()).unwrap_or_default();
    let inner = Scope {
        parent: Some(home),
        prefix: format!("{prefix}{key}."),
        names,
        piece: None,
        transparent: false,
    };
    world.scopes.push(inner);
    let inner = world.scopes.len() - 1;
    world.instances.insert(inner, (item.span, scope));
    declare(world, scope, name, What::Instance(inner), false);
    enter(world, inner, items, more);
}

/// Arguments to parameters; each argument is read where the mechanism is used.
fn bind<'t>(
    world: &mut World<'t>,
    scope: ScopeId,
    mechanism: &'t Name,
    defined: Span,
    parameters: &'t [Parameter],
    arguments: &'t [Argument],
    home: ScopeId,
) -> Option<BTreeMap<String, Named<'t>>> {
    let mut names: BTreeMap<String, Named<'t>> = BTreeMap::new();
    let mut sound = true;
    let mut free = parameters.iter();
    for argument in arguments {
        let parameter = match &argument.name {
            None => free.next(),
            Some(name) => {
                let found = parameters.iter().find(|p| p.name.text == name.value);
                if found.is_none() {
                    let near = nearest(&name.value, parameters.iter().map(|p| p.name.text.as_str()));
                    let near = near.map(String::from);
                    world.report(ArgumentUnknown {
                        place: name.span,
                        name: name.value.clone(),
                        near,
                        defined,
                    });
                    sound = false;
                    continue;
                }
                found
            }
        };
        let Some(parameter) = parameter else {
            let (given, wanted) = (arguments.len(), parameters.len());
            world.report(ArgumentCount::new(argument.value.span, &mechanism.text, given, wanted, defined));
            return None;
        };
        let what = What::Value { expr: &argument.value, scope };
        let named = Named { what, span: argument.value.span };
        if let Some(before) = names.insert(parameter.name.text.clone(), named) {
            let name = parameter.name.text.clone();
            world.report(ArgumentTwice { place: argument.value.span, name, before: before.span });
            sound = false;
        }
        world.expected_kinds.push((scope, &argument.value, parameter.kind.clone()));
    }
    for parameter in parameters {
        if names.contains_key(&parameter.name.text) {
            continue;
        }
        match &parameter.default {
            Some(expr) => {
                let named = Named { what: What::Value { expr, scope: home }, span: parameter.name.span };
                names.insert(parameter.name.text.clone(), named);
            }
            None if sound => {
                let missing = parameter.name.text.clone();
                world.report(ArgumentCount::missing(mechanism.span, &mechanism.text, missing, defined));
                sound = false;
            }
            None => {}
        }
    }
    sound.then_some(names)
}

fn enter_piece<'t>(world: &mut World<'t>, scope: ScopeId, name: &'t Name, item: &'t Item) {
    let decl = world.pieces.len();
    let Some(key) = declare(world, scope, name, What::Piece(decl), false) else { return };
    let prefix = world.scopes.get(scope).map(|s| s.prefix.clone()).unwrap_or_default();
    world.scopes.push(Scope {
        parent: Some(scope),
        prefix: prefix.clone(),
        names: BTreeMap::new(),
        piece: Some(decl),
        transparent: true,
    });
    let own = world.scopes.len() - 1;
    world.pieces.push(DeclaredPiece {
        name: format!("{prefix}{key}"),
        span: name.span,
        scope: own,
        item,
        inside: Vec::new(),
        members: BTreeMap::new(),
        open: false,
    });
    if let ItemKind::Piece { items, .. } = &item.kind {
        inside(world, decl, own, items);
    }
}

/// Statements inside a piece, repeats written out at once (their bounds may only use values declared before).
fn inside<'t>(world: &mut World<'t>, decl: usize, scope: ScopeId, items: &'t [Item]) {
    for item in items {
        match &item.kind {
            ItemKind::Repeat { index, from, to, items } => {
                world.later_inside.push((decl, scope, index, from, to, items));
            }
            ItemKind::Crease { names, .. } => {
                for name in names {
                    member(world, decl, scope, name, MemberKind::Crease);
                }
                push_inside(world, decl, scope, item);
            }
            ItemKind::Panels { names, .. } => {
                for name in names {
                    member(world, decl, scope, name, MemberKind::Panel);
                }
                push_inside(world, decl, scope, item);
            }
            ItemKind::PanelAt { name, .. } => {
                member(world, decl, scope, name, MemberKind::Panel);
                push_inside(world, decl, scope, item);
            }
            ItemKind::Cutout { name, .. } => {
                member(world, decl, scope, name, MemberKind::Cutout);
                push_inside(world, decl, scope, item);
            }
            ItemKind::Tab { name, .. } => {
                member(world, decl, scope, name, MemberKind::Tab);
                push_inside(world, decl, scope, item);
            }
            ItemKind::Mark { name, .. } => {
                member(world, decl, scope, name, MemberKind::Mark);
                push_inside(world, decl, scope, item);
            }
            ItemKind::Size { .. } | ItemKind::Shape { .. } => push_inside(world, decl, scope, item),
            ItemKind::Print { name, .. } => {
                declare(world, scope, name, What::Print, false);
                world.statements.push((scope, item));
            }
            other => {
                let home = home(other);
                world.report(MisplacedStatement::new(item.word, home));
            }
        }
    }
}

fn push_inside<'t>(world: &mut World<'t>, decl: usize, scope: ScopeId, item: &'t Item) {
    if let Some(piece) = world.pieces.get_mut(decl) {
        piece.inside.push((scope, item));
    }
}

/// Repeats inside pieces, once every value of the design has its name.
pub fn write_out_inside(world: &mut World<'_>) {
    while !world.later_inside.is_empty() {
        for (decl, scope, index, from, to, items) in std::mem::take(&mut world.later_inside) {
            if is_full(world, index.span) {
                return;
            }
            let rounds = rounds(world, scope, index, from, to).unwrap_or_default();
            if rounds.is_empty()
                && let Some(piece) = world.pieces.get_mut(decl)
            {
                piece.open = true;
            }
            for round in rounds {
                inside(world, decl, round, items);
            }
        }
    }
}

fn member<'t>(world: &mut World<'t>, decl: usize, scope: ScopeId, name: &'t Name, kind: MemberKind) {
    let key = world.key(scope, name);
    let Some(piece) = world.pieces.get_mut(decl) else { return };
    let Some(key) = key else {
        piece.open = true;
        return;
    };
    let new = Member { kind, span: name.span };
    if let Some(before) = piece.members.get(&key).copied() {
        world.taken(scope, name, &key, before.span);
    } else {
        piece.members.insert(key, new);
    }
}

/// Enters a name; gives its key (index written out) unless it is taken. Values stay in their own scope, parts go to
/// the nearest scope that is not a repeat's or a piece's.
fn declare<'t>(
    world: &mut World<'t>,
    scope: ScopeId,
    name: &'t Name,
    what: What<'t>,
    local: bool,
) -> Option<String> {
    let key = world.key(scope, name)?;
    let mut home = scope;
    while !local && let Some(s) = world.scopes.get(home).filter(|s| s.transparent) {
        home = s.parent?;
    }
    let span = name.span;
    let taken = world.scopes.get(home).and_then(|s| s.names.get(&key)).map(|n| n.span);
    match taken {
        Some(before) => {
            world.taken(scope, name, &key, before);
            None
        }
        None => {
            if let Some(s) = world.scopes.get_mut(home) {
                s.names.insert(key.clone(), Named { what, span });
            }
            Some(key)
        }
    }
}

impl<'t> World<'t> {
    fn taken(&mut self, scope: ScopeId, name: &Name, key: &str, before: Span) {
        let repeated = self.scopes.get(scope).is_some_and(|s| s.transparent && s.piece.is_none());
        if before == name.span && repeated {
            self.report(RepeatNameWithoutIndex { place: name.span, name: name.text.clone() });
        } else if before != name.span {
            self.report(NameTaken { place: name.span, name: key.to_string(), before });
        }
    }

    /// The text a name is known by: `leaf`, `leaf[3]`. `None` when the index is not a whole number.
    pub fn key(&mut self, scope: ScopeId, name: &'t Name) -> Option<String> {
        match &name.index {
            None => Some(name.text.clone()),
            Some(index) => Some(format!("{}[{}]", name.text, self.whole(scope, index)?)),
        }
    }

    /// A whole number, or a finding and `None`.
    pub fn whole(&mut self, scope: ScopeId, expr: &'t Expr) -> Option<i64> {
        match self.evaluate_as(scope, expr, Some(Dimension::Number)) {
            Value::Quantity(q) => match q.exact.to_i64() {
                Some(n) => Some(n),
                None => {
                    self.report(WrongKind::of(expr.span, "a whole number", "a number with a fraction", None));
                    None
                }
            },
            _ => None,
        }
    }

    /// True when `scope` lies in a use of the mechanism `item`.
    fn is_inside(&self, scope: ScopeId, item: &Item) -> bool {
        let mut at = Some(scope);
        while let Some(id) = at {
            if let Some((span, outer)) = self.instances.get(&id) {
                if *span == item.span {
                    return true;
                }
                at = Some(*outer);
                continue;
            }
            at = self.scopes.get(id).and_then(|s| s.parent);
        }
        false
    }
}

/// Values of the chosen variant and of `--set` take the place of those declared.
fn overrides<'t>(world: &mut World<'t>, variant: Option<&str>, gathered: &'t Gathered) {
    let mut chosen = None;
    for (scope, item) in world.statements.clone() {
        let ItemKind::Variant { name, items } = &item.kind else { continue };
        world.design.variants.push(name.text.clone());
        let is_chosen = variant == Some(name.text.as_str());
        if is_chosen {
            chosen = Some(items);
        }
        for item in items {
            match &item.kind {
                ItemKind::Assign { name, value } => {
                    let known = world.scopes.get(scope).and_then(|s| s.names.get(&name.text)).map(|n| n.what);
                    match known {
                        Some(What::Value { .. }) if is_chosen => replace(world, scope, &name.text, value),
                        Some(What::Value { .. } | What::Broken) => {}
                        Some(other) => {
                            world.report(WrongKind::of(name.span, "a value", other.spoken(), None));
                        }
                        None => world.report_unknown(scope, &name.text, name.span, |w| {
                            matches!(w, What::Value { .. })
                        }),
                    }
                }
                ItemKind::Envelope(_) | ItemKind::Post(_) | ItemKind::Grid(_) => {}
                ItemKind::Paper { name, .. } => {
                    if is_chosen && let Some(s) = world.scopes.get_mut(scope) {
                        let named = Named { what: What::Paper(item, scope), span: name.span };
                        s.names.insert(name.text.clone(), named);
                    }
                }
                _ => world.report(MisplacedStatement::new(
                    item.word,
                    "outside variants: a variant only sets values, papers, the envelope and the post",
                )),
            }
        }
    }
    if let Some(items) = chosen {
        for item in items {
            if matches!(item.kind, ItemKind::Envelope(_) | ItemKind::Post(_) | ItemKind::Grid(_)) {
                let kind = std::mem::discriminant(&item.kind);
                world.statements.retain(|(_, other)| std::mem::discriminant(&other.kind) != kind);
                world.statements.push((ROOT, item));
            }
        }
    } else if let Some(name) = variant {
        let near = nearest(name, world.design.variants.iter().map(String::as_str)).map(String::from);
        world.report(UnknownName { place: Span::default(), name: name.to_string(), near, what: "variant" });
    }
    for (name, tree) in &gathered.set {
        let value = tree.items.iter().find_map(|i| match &i.kind {
            ItemKind::Let { value, .. } => Some(value),
            _ => None,
        });
        let Some(value) = value else { continue };
        let known = world.scopes.get(ROOT).and_then(|s| s.names.get(name)).map(|n| n.what);
        if let Some(What::Value { .. }) = known {
            replace(world, ROOT, name, value);
        } else {
            world.report_unknown(ROOT, name, value.span, |w| matches!(w, What::Value { .. }));
        }
    }
}

fn replace<'t>(world: &mut World<'t>, scope: ScopeId, name: &str, expr: &'t Expr) {
    if let Some(named) = world.scopes.get_mut(scope).and_then(|s| s.names.get_mut(name)) {
        named.what = What::Value { expr, scope };
    }
}

/// Statements of which a design has only one.
fn once(world: &mut World<'_>) {
    let mut seen: Vec<(std::mem::Discriminant<ItemKind>, Span)> = Vec::new();
    for (_, item) in world.statements.clone() {
        let single = match item.kind {
            ItemKind::Card(_) => "title",
            ItemKind::Envelope(_) => "envelope",
            ItemKind::Grid(_) => "grid",
            ItemKind::View(_) => "view",
            _ => continue,
        };
        let kind = std::mem::discriminant(&item.kind);
        match seen.iter().find(|(k, _)| *k == kind) {
            Some((_, before)) => world.report(SaidTwice { place: item.word, what: single, before: *before }),
            None => seen.push((kind, item.word)),
        }
    }
}
