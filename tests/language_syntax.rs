//! Reading designs: every spelling of the language.

mod language_support;

use language_support::{read, under};
use plica::findings::Findings;
use plica::syntax::parse;
use plica::syntax::tree::*;
use plica::syntax::tree::{Shape as Outline, Size as Dimensions};

/// The one statement of a text that must be read without a finding.
fn one(text: &str) -> ItemKind {
    let (tree, told) = read(text);
    assert_eq!(told, Vec::<String>::new(), "{text}");
    assert_eq!(tree.items.len(), 1, "{text}");
    assert_eq!(under(text, tree.items[0].span), text, "the span of a statement is its text");
    tree.items.into_iter().next().unwrap().kind
}

/// The one clause of a statement.
fn clause(text: &str) -> ClauseKind {
    let whole = format!("mark m on face: {text}");
    let ItemKind::Mark { mut clauses, .. } = one(&whole) else { panic!("{text}") };
    assert_eq!(clauses.len(), 1, "{text}");
    let clause = clauses.remove(0);
    assert_eq!(under(&whole, clause.span), text);
    clause.kind
}

/// An expression with every group in parentheses.
fn grouped(text: &str) -> String {
    let ItemKind::Expect(expr) = one(&format!("expect {text}")) else { panic!("{text}") };
    group(&expr)
}

fn group(expr: &Expr) -> String {
    match &expr.kind {
        ExprKind::Number { digits, unit, grade } => {
            let word = |w: &Option<plica::source::Spanned<String>>| {
                w.as_ref().map_or(String::new(), |w| w.value.clone())
            };
            let grade = word(grade);
            let space = if grade.is_empty() { "" } else { " " };
            format!("{digits}{}{space}{grade}", word(unit))
        }
        ExprKind::Text(text) => format!("\"{text}\""),
        ExprKind::Blank => "?".into(),
        ExprKind::Path(path) => path_text(path),
        ExprKind::Call { function, arguments } => {
            format!("{}({})", function.value, arguments.iter().map(group).collect::<Vec<_>>().join(", "))
        }
        ExprKind::Negate(inner) => format!("(-{})", group(inner)),
        ExprKind::Not(inner) => format!("(not {})", group(inner)),
        ExprKind::Binary { operator, left, right } => {
            let sign = match operator.value {
                Operator::Add => "+",
                Operator::Subtract => "-",
                Operator::Multiply => "*",
                Operator::Divide => "/",
                Operator::Equal => "=",
                Operator::NotEqual => "!=",
                Operator::Less => "<",
                Operator::LessOrEqual => "<=",
                Operator::Greater => ">",
                Operator::GreaterOrEqual => ">=",
            };
            format!("({} {sign} {})", group(left), group(right))
        }
    }
}

fn path_text(path: &Path) -> String {
    let segment = |n: &Name| match &n.index {
        Some(index) => format!("{}[{}]", n.text, group(index)),
        None => n.text.clone(),
    };
    path.segments.iter().map(segment).collect::<Vec<_>>().join(".")
}

#[test]
fn expressions_group_as_arithmetic_does() {
    for (text, wanted) in [
        ("a + b * c - d", "((a + (b * c)) - d)"),
        ("2 * 4 1/2in + 1/2in", "((2 * 4 1/2in) + 1/2in)"),
        ("4   1/2in", "4 1/2in"),
        ("3 / 4", "(3 / 4)"),
        ("3/4", "3/4"),
        ("bar/2/3", "((bar / 2) / 3)"),
        ("60mm/2/3", "((60mm / 2) / 3)"),
        ("60mm / 1/2", "(60mm / 1/2)"),
        ("-30deg", "(-30deg)"),
        ("a - -3", "(a - (-3))"),
        ("-(a + b) * c", "((-(a + b)) * c)"),
        ("80lb cover", "80lb cover"),
        ("0.40mm", "0.40mm"),
        ("12mn", "12mn"),
        ("height(open) >= 200mm", "(height(open) >= 200mm)"),
        ("not fits(shut, envelope)", "(not fits(shut, envelope))"),
        ("not a = b", "(not (a = b))"),
        ("clear(wheel, page.spine)", "clear(wheel, page.spine)"),
        ("leaf[i + 1].left.top", "leaf[(i + 1)].left.top"),
        ("card.width != envelope.width", "(card.width != envelope.width)"),
        ("\"text\" = ?", "(\"text\" = ?)"),
        ("now()", "now()"),
    ] {
        assert_eq!(grouped(text), wanted, "{text}");
    }
}

macro_rules! reads {
    ($read:expr; $($text:expr => $pattern:pat $(if $guard:expr)?,)*) => {
        $(
            let kind = $read($text);
            assert!(matches!(&kind, $pattern $(if $guard)?), "{}: {kind:?}", $text);
        )*
    };
}

#[test]
fn every_statement_is_read() {
    use ItemKind::*;
    reads! { one;
        "card \"Night heron\"" => Card(t) if t.value == "Night heron",
        "envelope C6" => Envelope(Dimensions::Named { words, .. }) if words.len() == 1,
        "envelope us A2" => Envelope(Dimensions::Named { words, .. }) if words[1].value == "A2",
        "envelope us 10" => Envelope(Dimensions::Named { words, .. }) if words[1].value == "10",
        "envelope us 6 3/4" => Envelope(Dimensions::Named { words, .. }) if words[1].value == "6 3/4",
        "envelope C6/C5" => Envelope(Dimensions::Named { words, .. }) if words[0].value == "C6/C5",
        "envelope \"4 Bar\"" => Envelope(Dimensions::Named { words, .. }) if words[0].value == "4 Bar",
        "envelope 5 1/4in by 7 1/4in" => Envelope(Dimensions::Measured { depth: None, .. }),
        "envelope 150mm by 150mm by 12mm" => Envelope(Dimensions::Measured { depth: Some(_), .. }),
        "post royal_mail letter" => Post(words) if words.len() == 2,
        "grid 1/16in" => Grid(_),
        "view front of garden.lawn" => View(_),
        "paper cover: 300gsm, 0.40mm thick, sheet A4, grain long, colour \"#335577\", price 0.40" =>
            Paper { clauses, .. } if clauses.len() == 6,
        "let bar = 40mm" => Let { name, .. } if name.text == "bar",
        "let leaf[i] = 40mm" => Let { name, .. } if name.index.is_some(),
        "adjust rise = 60mm from 40mm to 80mm \"how far\"" => Adjust { about: Some(_), .. },
        "adjust rise = 60mm from 40mm to 80mm" => Adjust { about: None, .. },
        "variant square { side = 150mm  envelope 155mm by 155mm }" => Variant { items, .. }
            if matches!(items[0].kind, Assign { .. }) && matches!(items[1].kind, Envelope(_)),
        "variant v { envelope C6  side = 150mm  post usps letter  tall = 3mm }" => Variant { items, .. } if items.len() == 4,
        "piece shell of cover { size 1mm by 1mm }" => Piece { items, .. } if items.len() == 1,
        "strap runner of cover around shell.track between rail_l, rail_r: 6mm wide, 12mm overlap" =>
            Strap { between: Some(_), clauses, .. } if clauses.len() == 2,
        "strap runner of cover around shell.track" => Strap { between: None, .. },
        "mat sky of scene on front of shell.face: 3mm border" =>
            Mat { on, .. } if on.side.as_ref().is_some_and(|s| s.value == FaceSide::Front),
        "mat sky of scene on face" => Mat { on, .. } if on.side.is_none(),
        "glue back of heron to front of runner: bottom to bottom, centred" => Glue { part, .. }
            if part.side.as_ref().is_some_and(|s| s.value == FaceSide::Back),
        "glue front to back" => Glue { part, to, .. }
            if part.side.is_none() && path_text(&part.path) == "front" && path_text(&to.path) == "back",
        "foam 2mm back of leaf to front of shell.face: centred" => Foam { .. },
        "slide tongue through page.mouth, page.throat" => SlideThrough { slots, .. } if slots.len() == 2,
        "slide tongue on front of page between a, b: towards right" => SlideOn { between: Some(_), .. },
        "brad axle through wheel.hub, page.hub: wheel behind" => Brad { through, .. } if through.len() == 2,
        "tuck lid.tongue into box.mouth" => Tuck { .. },
        "pose open { runner at top  page.spine 90deg  a at 20mm from bottom  b folded flat  c -30deg }" =>
            Pose { settings, .. } if settings.len() == 5
                && matches!(settings[2].value, Setting::Reading { .. })
                && matches!(settings[3].value, Setting::Flat(_)),
        "motion pull { runner bottom to top and lid 0deg to 90deg then topper bottom to top }" =>
            Motion { legs, .. } if legs.len() == 2 && legs[0].len() == 2,
        "motion m { runner 20mm from bottom to top  }" => Motion { legs, .. }
            if matches!(legs[0][0].from, Setting::Reading { .. }),
        "expect height(open) >= 200mm" => Expect(_),
        "step \"Ink the edges\"" => Step { when: None, .. },
        "step \"Ink the edges\" before glue heron" => Step { when: Some(w), .. }
            if w.before && w.verb.as_ref().is_some_and(|v| v.value == "glue"),
        "step \"Ink the edges\" after heron" => Step { when: Some(w), .. } if !w.before && w.verb.is_none(),
        "mechanism lift(base: panel, rise: length = 30mm) { size 1mm by 1mm }" => Mechanism { parameters, .. }
            if parameters[0].kind.value == "panel" && parameters[1].default.is_some(),
        "mechanism still() { size 1mm by 1mm }" => Mechanism { parameters, .. } if parameters.is_empty(),
        "use lift(page, rise: 30mm) as shelf" => Use { arguments, mechanism, name } if arguments.len() == 2
            && arguments[1].name.is_some() && mechanism.text == "lift" && name.text == "shelf",
        "repeat i from 1 to 4 { size 1mm by 1mm }" => Repeat { .. },
        "include \"other.plica\"" => Include(_),
        "size 222mm by 120mm" => Size { .. },
        "shape circle 24mm" => Shape { shape: Outline::Circle(_), mirror: None },
        "shape rectangle 3in by 1in" => Shape { shape: Outline::Rectangle { .. }, .. },
        "shape rounded 30mm by 20mm corner 4mm" => Shape { shape: Outline::Rounded { .. }, .. },
        "shape polygon (0mm, 0mm) (10mm, 0mm) (5mm, 8mm) mirrored about 40mm from left" =>
            Shape { shape: Outline::Polygon(p), mirror: Some(MirrorLine::Reading { .. }) } if p.len() == 3,
        "shape polygon (0mm, 0mm) (10mm, 0mm) mirrored about (10mm, 0mm) (10mm, 40mm)" =>
            Shape { mirror: Some(MirrorLine::Points(..)), .. },
        "shape path (0mm, 0mm) line to (1mm, 0mm) arc through (2mm, 1mm) to (1mm, 2mm) curve (0mm, 2mm) (0mm, 1mm) to (0mm, 0mm)" =>
            Shape { shape: Outline::Path { segments, .. }, .. } if matches!(segments.as_slice(),
                [PathSegment::Line(_), PathSegment::Arc { .. }, PathSegment::Curve { .. }]),
        "shape from \"gull.svg\"" => Shape { shape: Outline::File(_), .. },
        "valley spine: 105mm, 211mm from left, folded flat" => Crease { kind: CreaseWord::Valley, names, clauses }
            if names.len() == 1 && clauses.len() == 3,
        "mountain 105mm, 211mm from left" => Crease { kind: CreaseWord::Mountain, names, clauses }
            if names.is_empty() && clauses.len() == 2,
        "valley a, b: 1in, 2in from top" => Crease { names, .. } if names.len() == 2,
        "valley half * 2 from left" => Crease { names, clauses, .. } if names.is_empty() && clauses.len() == 1,
        "panels back, front from left" => Panels { names, from } if names.len() == 2 && from.value == "left",
        "panel sky at (10mm, 10mm)" => PanelAt { .. },
        "slot rail on track: 2mm wide, 10mm from left, 12mm to 80mm from top" =>
            Cutout { kind: CutoutWord::Slot, on: Some(_), clauses, .. } if clauses.len() == 3,
        "slit mouth: 20mm to 60mm from left" => Cutout { kind: CutoutWord::Slit, on: None, .. },
        "window porthole on front: circle 1in, centred" => Cutout { kind: CutoutWord::Window, .. },
        "hole hub: 1/8in, centred" => Cutout { kind: CutoutWord::Hole, .. },
        "tab foot 9mm off port.bottom: tapered 45deg, valley" => Tab { clauses, .. } if clauses.len() == 2,
        "mark greeting on face: 30mm from top" => Mark { .. },
        "print wish \"Fair winds\" on front of dusk: centred" => Print { content: PrintContent::Text(_), .. },
        "print gull picture \"gull.png\" on dusk" => Print { content: PrintContent::Picture(_), .. },
    }
}

#[test]
fn every_clause_is_read() {
    use ClauseKind::*;
    reads! { clause;
        "300gsm" => Bare(_),
        "strap_wide wide" => Measure { word, .. } if word.value == MeasureWord::Wide,
        "3mm high" => Measure { word, .. } if word.value == MeasureWord::High,
        "3mm long" => Measure { word, .. } if word.value == MeasureWord::Long,
        "3mm thick" => Measure { word, .. } if word.value == MeasureWord::Thick,
        "3mm overlap" => Measure { word, .. } if word.value == MeasureWord::Overlap,
        "3mm border" => Measure { word, .. } if word.value == MeasureWord::Border,
        "3mm loose" => Measure { word, .. } if word.value == MeasureWord::Loose,
        "3mm apart" => Measure { word, .. } if word.value == MeasureWord::Apart,
        "35mm from left" => Reading { centre: false, .. },
        "34mm from card.bottom" => Reading { from, .. } if path_text(from) == "card.bottom",
        "centre 20mm from top" => Reading { centre: true, .. },
        "? from left" => Reading { .. },
        "12mm to 12mm + rise from top" => Range { .. },
        "low to high from top" => Range { .. },
        "8mm above heron.top" => Beside { subject: None, direction, .. } if direction.value == Direction::Above,
        "grip.top 8mm below heron.top" => Beside { subject: Some(_), direction, .. } if direction.value == Direction::Below,
        "crease 1in left of spine" => Beside { subject: Some(_), direction, .. } if direction.value == Direction::LeftOf,
        "1in right of spine" => Beside { subject: None, direction, .. } if direction.value == Direction::RightOf,
        "bar - 2mm above spine" => Beside { subject: None, .. },
        "bottom to bottom" => EdgeToEdge { .. },
        "grip.left to heron.left" => EdgeToEdge { .. },
        "centred" => Centred(None),
        "centred across" => Centred(Some(a)) if a.value == Axis::Across,
        "centred down" => Centred(Some(a)) if a.value == Axis::Down,
        "at right" => At(_),
        "turned 30deg" => Turned(_),
        "upside down" => UpsideDown,
        "port.bottom along (74mm, 105mm) through (124mm, 55mm)" => Along { .. },
        "mast end first" => EndFirst(_),
        "along edges 10mm" => GlueAlong { edges, width: Some(_) } if edges.is_empty(),
        "along top and left 5mm" => GlueAlong { edges, width: Some(_) } if edges.len() == 2,
        "along top" => GlueAlong { edges, width: None } if edges.len() == 1,
        "from (0mm, 10mm) to (40mm, 50mm)" => Segment { .. },
        "from -30deg to 30deg" => Stops { .. },
        "folded flat" => Folded(None),
        "folded 90deg" => Folded(Some(_)),
        "circle 1in" => Circle(_),
        "rectangle 3/8in by 1in" => Rectangle { .. },
        "rounded 30mm by 20mm corner 4mm" => Rounded { .. },
        "polygon (0mm, 0mm) (10mm, 0mm) (5mm, 8mm)" => Polygon(p) if p.len() == 3,
        "tapered" => Tapered(None),
        "tapered 30deg" => Tapered(Some(_)),
        "square ends" => SquareEnds,
        "valley" => Fold(CreaseWord::Valley),
        "mountain" => Fold(CreaseWord::Mountain),
        "wheel behind" => Order { behind: true, .. },
        "wheel in front" => Order { behind: false, .. },
        "under bridge" => Under(_),
        "around bar" => Around(_),
        "towards top" => Towards(_),
        "sheet A4" => Sheet(Dimensions::Named { .. }),
        "sheet 640mm by 450mm" => Sheet(Dimensions::Measured { .. }),
        "grain long" => Grain(_),
        "colour \"mint\"" => Colour(_),
        "price 0.40" => Price(_),
    }
}

#[test]
fn hints_comments_and_spans_are_kept() {
    let text = "# a note\nvalley spine: ? from left   hint \"halves\"   # why\n\npiece a of b {  # in\n}\n";
    let (tree, told) = read(text);
    assert_eq!(told, Vec::<String>::new());
    let comments: Vec<&str> = tree.comments.iter().map(|c| under(text, c.span)).collect();
    assert_eq!(comments, ["# a note", "# why", "# in"]);
    assert_eq!(tree.items[0].hint.as_ref().map(|h| h.value.as_str()), Some("halves"));
    assert_eq!(under(text, tree.items[0].span), "valley spine: ? from left   hint \"halves\"");
    assert_eq!(under(text, tree.items[0].word), "valley");
    assert_eq!(under(text, tree.items[1].span), "piece a of b {  # in\n}");
    let mut sink = Findings::default();
    let shifted = parse(text, 1000, &mut sink);
    assert_eq!(shifted.items[0].span.start, tree.items[0].span.start + 1000, "spans count from the base");
}

#[test]
fn a_line_break_is_white_space() {
    let flat = "glue back of heron to front of runner: bottom to bottom, centred";
    let (tree, told) = read(&flat.replace(' ', "\n\t"));
    assert!(told.is_empty(), "{told:?}");
    assert!(matches!(&tree.items[0].kind, ItemKind::Glue { clauses, .. } if clauses.len() == 2));
}

#[test]
fn the_words_of_the_grammar_are_the_words_of_the_compiler() {
    let grammar = include_str!("../grammar/plica.pest");
    let rule = |name: &str| -> Vec<String> {
        let named = |l: &&str| l.split_once('=').is_some_and(|(n, _)| n.trim() == name);
        let line = grammar.lines().find(named).expect(name);
        let start = line.as_ptr() as usize - grammar.as_ptr() as usize;
        let body = &grammar[start..start + grammar[start..].find('}').unwrap()];
        let mut words: Vec<String> = body.split('"').skip(1).step_by(2).map(String::from).collect();
        words.sort();
        words
    };
    let sorted = |words: Vec<&str>| {
        let mut words: Vec<String> = words.into_iter().map(String::from).collect();
        words.sort();
        words
    };
    use plica::syntax::words::{CONNECTING, MEASURES, NO_NAMES, ORDINARY, STATEMENTS};
    assert_eq!(rule("statement_word"), sorted(STATEMENTS.iter().map(|s| s.word).collect()));
    assert_eq!(rule("connecting_word"), sorted(CONNECTING.to_vec()));
    let word_rule = |l: &str| {
        let (name, body) = l.split_once('=')?;
        let word = name.trim().strip_suffix("_word")?;
        body.contains(&format!("@{{ \"{word}\" ~")).then(|| word.to_string())
    };
    let mut ordinary: Vec<String> = grammar.lines().filter_map(word_rule).collect();
    ordinary.extend(rule("axis"));
    ordinary.extend(rule("measure_word"));
    ordinary.sort();
    ordinary.dedup();
    assert_eq!(ordinary, sorted(ORDINARY.to_vec()));
    assert!(NO_NAMES.iter().all(|w| ORDINARY.contains(w)));
    assert_eq!(rule("measure_word"), sorted(MEASURES.to_vec()));
    for statement in STATEMENTS {
        assert!(statement.form.starts_with(statement.word));
        let (tree, told) = read(&statement.form.replace("{ ... }", "{ size 1mm by 1mm }"));
        assert_eq!((tree.items.len(), told), (1, vec![]), "{}", statement.form);
    }
}
