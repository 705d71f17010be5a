//! Files for machines and for other programs, of every example: cutting SVG read with usvg, DXF read here and with the
//! library ezdxf, glTF read here and with the validator of the Khronos Group; lengths, areas and places compared with
//! the assembly.

mod made;

use made::{EXAMPLES, Made, can_run, node_package, root, script, written_out};
use plica::assembly::{Assembly, CutoutKind, Piece};
use plica::geometry::{Segment, pt};
use plica::output::cutting::{self, Job, Operation, Track};
use plica::output::kit::file_word;
use plica::output::{dxf, png};
use resvg::usvg;
use serde_json::Value;

fn each_piece(mut check: impl FnMut(&str, &Assembly, &Piece, &Job)) {
    for (name, made) in EXAMPLES.iter() {
        let assembly = &made.compiled.assembly;
        for piece in &assembly.pieces {
            check(name, assembly, piece, &cutting::piece(assembly, piece));
        }
    }
}

fn length(job: &Job, operation: Operation) -> f64 {
    job.of(operation).map(Track::length).sum()
}

/// What is cut is the outline and every opening in it; what is scored is no more than the design's scores.
#[test]
fn machines_follow_every_line_of_a_piece_once() {
    each_piece(|name, _, piece, job| {
        let outline = length(job, Operation::CutOutline);
        assert!((outline - piece.contour.length()).abs() < 1e-6, "{name}: {}", piece.name);
        let openings: f64 = piece
            .cutouts
            .iter()
            .filter(|cutout| !cutout.notch)
            .map(|cutout| cutout.contour.as_ref().map_or(cutout.from.distance(cutout.to), |c| c.length()))
            .sum();
        assert!((length(job, Operation::CutInside) - openings).abs() < 1e-6, "{name}: {}", piece.name);
        let scored = length(job, Operation::ScoreValley) + length(job, Operation::ScoreMountain);
        let creases: f64 = piece.creases.iter().map(|crease| crease.from.distance(crease.to)).sum();
        assert!(scored <= creases + 1e-6 && (scored > 0.0) == (creases > 0.0), "{name}: {}", piece.name);
    });
}

#[test]
fn scores_come_before_cuts_and_outlines_last() {
    for (_, made) in EXAMPLES.iter() {
        let assembly = &made.compiled.assembly;
        let sheets = (0..assembly.papers.len()).flat_map(|paper| cutting::sheets(assembly, paper));
        for job in sheets.chain(assembly.pieces.iter().map(|piece| cutting::piece(assembly, piece))) {
            assert!(job.tracks.is_sorted_by_key(|(operation, _)| *operation), "{}", job.title);
        }
    }
}

/// Straight lines of a job, closed ones taken apart.
fn lines(job: &Job) -> Vec<Segment> {
    let of = |track: &Track| match track {
        Track::Open(line) => vec![*line],
        Track::Closed(contour) => {
            contour.curves().filter_map(|(from, curve)| curve.as_segment(from)).collect::<Vec<_>>()
        }
    };
    job.tracks.iter().flat_map(|(_, track)| of(track)).collect()
}

/// How long two lines run on each other.
fn shared(a: &Segment, b: &Segment) -> f64 {
    let Some(along) = a.vector().unit() else { return 0.0 };
    if a.offset_of(b.start).abs() > 0.01 || a.offset_of(b.end).abs() > 0.01 {
        return 0.0;
    }
    let (s, t) = (along.dot(b.start - a.start), along.dot(b.end - a.start));
    (s.max(t).min(a.length()) - s.min(t).max(0.0)).max(0.0)
}

#[test]
fn no_line_is_there_twice() {
    let mut compared = 0;
    for (name, made) in EXAMPLES.iter() {
        let assembly = &made.compiled.assembly;
        let sheets = (0..assembly.papers.len()).flat_map(|paper| cutting::sheets(assembly, paper));
        for job in sheets.chain(assembly.pieces.iter().map(|piece| cutting::piece(assembly, piece))) {
            let lines = lines(&job);
            for (index, a) in lines.iter().enumerate() {
                for b in &lines[index + 1..] {
                    compared += 1;
                    assert!(shared(a, b) < 0.02, "{name}: {}: {a:?} and {b:?}", job.title);
                }
            }
        }
    }
    assert!(compared > 1000);
    assert!(
        shared(&Segment::new(pt(0.0, 0.0), pt(9.0, 0.0)), &Segment::new(pt(4.0, 0.0), pt(20.0, 0.0))) > 4.9
    );
}

/// Every piece lies once on the sheets of its paper, and inside them.
#[test]
fn sheets_hold_every_piece() {
    for (name, made) in EXAMPLES.iter() {
        let assembly = &made.compiled.assembly;
        for (id, paper) in assembly.papers.iter().enumerate() {
            let pieces: Vec<&Piece> = assembly.pieces.iter().filter(|piece| piece.paper == id).collect();
            let jobs = cutting::sheets(assembly, id);
            let Some(sheet) = &paper.sheet else { continue };
            let outlines: f64 = jobs.iter().map(|job| length(job, Operation::CutOutline)).sum();
            let wanted: f64 = pieces.iter().map(|piece| piece.contour.length()).sum();
            assert!((outlines - wanted).abs() < 1e-6, "{name}: {}", paper.name);
            assert_eq!(
                jobs.iter().map(|job| job.of(Operation::CutOutline).count()).sum::<usize>(),
                pieces.len()
            );
            for job in &jobs {
                assert_eq!((job.width, job.height), (sheet.width, sheet.height));
                for track in job.of(Operation::CutOutline) {
                    let Track::Closed(contour) = track else { panic!("an open outline") };
                    let b = contour.bounds();
                    let inside =
                        b.min.x >= 0.0 && b.min.y >= 0.0 && b.max.x <= job.width && b.max.y <= job.height;
                    assert!(inside, "{name}: {b:?} on {}", job.title);
                }
            }
        }
    }
}

/// CSS and SVG: 96 px to the inch, so 1 mm is 96/25.4 px.
const PX_PER_MM: f64 = 96.0 / 25.4;

fn paths(group: &usvg::Group) -> Vec<&usvg::Path> {
    fn of(node: &usvg::Node) -> Vec<&usvg::Path> {
        match node {
            usvg::Node::Path(path) => vec![path],
            usvg::Node::Group(inner) => paths(inner),
            _ => panic!("text or a picture in a file for a machine"),
        }
    }
    group.children().iter().flat_map(of).collect()
}

/// Number of paths and length in mm by group, read with usvg.
fn groups(svg: &[u8]) -> (f64, Vec<(String, usize, f64)>) {
    let tree = png::parse(std::str::from_utf8(svg).unwrap()).unwrap();
    let mut found = Vec::new();
    // The view box may be carried by a group of its own round those of the file.
    let mut nodes = tree.root().children();
    while let [usvg::Node::Group(only)] = nodes
        && only.id().is_empty()
    {
        nodes = only.children();
    }
    for node in nodes {
        let usvg::Node::Group(group) = node else { continue };
        let mut total = 0.0;
        let paths = paths(group);
        for path in &paths {
            let mut bez = kurbo::BezPath::new();
            let at = |p: resvg::tiny_skia::Point| (f64::from(p.x), f64::from(p.y));
            for segment in path.data().clone().transform(path.abs_transform()).unwrap().segments() {
                use resvg::tiny_skia::PathSegment as S;
                match segment {
                    S::MoveTo(p) => bez.move_to(at(p)),
                    S::LineTo(p) => bez.line_to(at(p)),
                    S::QuadTo(a, p) => bez.quad_to(at(a), at(p)),
                    S::CubicTo(a, b, p) => bez.curve_to(at(a), at(b), at(p)),
                    S::Close => bez.close_path(),
                }
            }
            total += kurbo::Shape::perimeter(&bez, 1e-4) / PX_PER_MM;
        }
        found.push((group.id().to_owned(), paths.len(), total));
    }
    (f64::from(tree.size().width()) / PX_PER_MM, found)
}

#[test]
fn a_cutting_svg_has_true_lengths_in_groups_in_order() {
    for (name, Made { compiled, files }) in EXAMPLES.iter() {
        let assembly = &compiled.assembly;
        for piece in &assembly.pieces {
            let file = format!("cutting/{}-{}.svg", piece.letter, file_word(&piece.name));
            let (width, found) = groups(&files[&file]);
            assert!((width - piece.bounds.width()).abs() < 0.01, "{name}/{file}: {width}");
            let job = cutting::piece(assembly, piece);
            let wanted: Vec<Operation> =
                Operation::ALL.into_iter().filter(|of| job.of(*of).next().is_some()).collect();
            let ids: Vec<&str> = found.iter().map(|(id, ..)| id.as_str()).collect();
            assert_eq!(ids, wanted.iter().map(|of| of.id()).collect::<Vec<_>>(), "{name}/{file}");
            for (operation, (_, count, total)) in wanted.into_iter().zip(&found) {
                assert_eq!(*count, job.of(operation).count());
                let expected = length(&job, operation);
                assert!(
                    (total - expected).abs() < 0.02 + 1e-4 * expected,
                    "{name}/{file}: {total} {expected}"
                );
            }
        }
    }
}

/// A DXF file as pairs of code and value (DXF reference: a code line, a value line).
fn pairs(text: &str) -> Vec<(i32, &str)> {
    let lines: Vec<&str> = text.split("\r\n").collect();
    assert_eq!(lines.last(), Some(&""), "the last line is ended");
    assert!(text.is_ascii());
    lines.chunks_exact(2).map(|pair| (pair[0].trim().parse().unwrap(), pair[1])).collect()
}

#[test]
fn a_dxf_is_release_12_and_holds_what_release_12_knows() {
    let known = ["LINE", "CIRCLE", "POLYLINE", "VERTEX", "SEQEND", "ARC"];
    for (name, made) in EXAMPLES.iter() {
        for (file, bytes) in made.files.iter().filter(|(file, _)| file.ends_with(".dxf")) {
            let text = std::str::from_utf8(bytes).unwrap();
            let pairs = pairs(text);
            let version = pairs.windows(2).find(|pair| pair[0] == (9, "$ACADVER")).unwrap()[1];
            assert_eq!(version, (1, "AC1009"));
            assert_eq!(pairs.last(), Some(&(0, "EOF")));
            let start = pairs.iter().position(|pair| *pair == (2, "ENTITIES")).unwrap();
            let mut layer_order = Vec::new();
            for (index, (code, value)) in pairs.iter().enumerate().skip(start + 1) {
                if *code != 0 || ["ENDSEC", "EOF"].contains(value) {
                    continue;
                }
                assert!(known.contains(value), "{name}/{file}: {value}");
                let (8, layer) = pairs[index + 1] else { panic!("{name}/{file}: no layer") };
                let operation = Operation::ALL.into_iter().find(|of| dxf::layer(*of) == layer);
                layer_order.push(operation.expect("a known layer"));
            }
            assert!(layer_order.is_sorted(), "{name}/{file}: cut in the wrong order");
        }
    }
}

#[test]
fn another_library_reads_the_same_lengths_and_areas_from_dxf() {
    if !can_run("python3", &["-c", "import ezdxf"]) {
        println!("skipped: python3 with the library ezdxf is not here");
        assert!(std::env::var_os("PLICA_NEED_VALIDATORS").is_none(), "ezdxf is wanted");
        return;
    }
    let files = written_out("dxf");
    let mut arguments = vec![root().join("tests/scripts/read-dxf.py")];
    arguments.extend(files.keys().cloned());
    let read: Value = serde_json::from_str(&script("python3", arguments)).unwrap();
    let mut compared = 0;
    for (path, (name, file)) in &files {
        let assembly = &EXAMPLES[*name].compiled.assembly;
        let is_own =
            |piece: &&Piece| *file == format!("cutting/{}-{}.dxf", piece.letter, file_word(&piece.name));
        let Some(piece) = assembly.pieces.iter().find(is_own) else { continue };
        let layers = &read[path.to_str().unwrap()];
        let job = cutting::piece(assembly, piece);
        for operation in Operation::ALL {
            let (wanted, found) = (length(&job, operation), layers[dxf::layer(operation)]["length"].as_f64());
            assert!(
                (found.unwrap_or(0.0) - wanted).abs() < 0.01 + 1e-5 * wanted,
                "{name}/{file}: {found:?} {wanted}"
            );
        }
        let area = layers["CUT_OUTLINE"]["area"].as_f64().unwrap();
        let of_piece = piece.contour.signed_area().abs();
        assert!((area - of_piece).abs() < 0.01 + 1e-5 * of_piece, "{name}/{file}: {area} {of_piece}");
        compared += 1;
    }
    assert!(compared >= 30, "{compared}");
}

fn parsed(bytes: &[u8]) -> Value {
    serde_json::from_slice(bytes).unwrap()
}

/// RFC 4648 base64, read bit by bit.
fn decoded(uri: &str) -> Vec<u8> {
    let text = uri.strip_prefix("data:application/octet-stream;base64,").unwrap();
    let value = |sign: u8| -> u32 {
        match sign {
            b'A'..=b'Z' => u32::from(sign - b'A'),
            b'a'..=b'z' => u32::from(sign - b'a') + 26,
            b'0'..=b'9' => u32::from(sign - b'0') + 52,
            b'+' => 62,
            b'/' => 63,
            other => panic!("{other} in base64"),
        }
    };
    let (mut bits, mut held, mut bytes) = (0_u32, 0, Vec::new());
    for sign in text.bytes().filter(|sign| *sign != b'=') {
        bits = bits << 6 | value(sign);
        held += 6;
        if held >= 8 {
            held -= 8;
            bytes.push((bits >> held & 255) as u8);
        }
    }
    bytes
}

/// The numbers of an accessor: floats, or indices as floats.
fn accessor(model: &Value, buffer: &[u8], index: &Value) -> Vec<f64> {
    let accessor = &model["accessors"][index.as_u64().unwrap() as usize];
    let view = &model["bufferViews"][accessor["bufferView"].as_u64().unwrap() as usize];
    let (from, size) =
        (view["byteOffset"].as_u64().unwrap() as usize, view["byteLength"].as_u64().unwrap() as usize);
    let words = buffer[from..from + size].chunks_exact(4).map(|word| <[u8; 4]>::try_from(word).unwrap());
    match accessor["componentType"].as_u64().unwrap() {
        5126 => words.map(|word| f64::from(f32::from_le_bytes(word))).collect(),
        5125 => words.map(|word| f64::from(u32::from_le_bytes(word))).collect(),
        other => panic!("component type {other}"),
    }
}

/// A point turned by a unit quaternion: p + 2w(v×p) + 2v×(v×p).
fn turned(q: &[f64], p: [f64; 3]) -> [f64; 3] {
    let cross = |a: [f64; 3], b: [f64; 3]| {
        [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
    };
    let v = [q[0], q[1], q[2]];
    let t = cross(v, p).map(|c| 2.0 * c);
    let u = cross(v, t);
    [0, 1, 2].map(|i| p[i] + q[3] * t[i] + u[i])
}

fn numbers(value: &Value) -> Vec<f64> {
    value.as_array().unwrap().iter().map(|n| n.as_f64().unwrap()).collect()
}

/// In every pose every panel is there, as large as in the assembly and where the pose puts it (metres).
#[test]
fn bodies_have_the_areas_and_places_of_their_panels() {
    for (name, Made { compiled, files }) in EXAMPLES.iter() {
        let assembly = &compiled.assembly;
        for state in &compiled.states {
            let model = parsed(&files[&format!("space/pose-{}.gltf", file_word(&state.name))]);
            assert_eq!(model["asset"]["version"], "2.0");
            let buffer = decoded(model["buffers"][0]["uri"].as_str().unwrap());
            assert_eq!(model["buffers"][0]["byteLength"].as_u64().unwrap() as usize, buffer.len());
            let placed: Vec<usize> =
                (0..assembly.panels.len()).filter(|p| state.frames[*p].is_some()).collect();
            let nodes = model["nodes"].as_array().unwrap();
            assert_eq!(nodes.len(), placed.len(), "{name}");
            for (node, panel) in nodes.iter().zip(placed) {
                let primitive = &model["meshes"][node["mesh"].as_u64().unwrap() as usize]["primitives"][0];
                let positions = accessor(&model, &buffer, &primitive["attributes"]["POSITION"]);
                let corners: Vec<[f64; 3]> =
                    positions.chunks_exact(3).map(|p| [p[0] * 1e3, p[1] * 1e3, p[2] * 1e3]).collect();
                let indices = accessor(&model, &buffer, &primitive["indices"]);
                let area: f64 = indices
                    .chunks_exact(3)
                    .map(|t| {
                        let [a, b, c] = [0, 1, 2].map(|i| corners[t[i] as usize]);
                        ((b[0] - a[0]) * (c[1] - a[1]) - (c[0] - a[0]) * (b[1] - a[1])) / 2.0
                    })
                    .inspect(|area| assert!(*area > -1e-3, "{name}: a triangle faces back"))
                    .sum();
                let polygon = &assembly.panels[panel].polygon;
                assert!((area - polygon.area()).abs() < 0.01 + 1e-4 * polygon.area(), "{name}: {area}");
                let (shift, turn) = (numbers(&node["translation"]), numbers(&node["rotation"]));
                assert!((turn.iter().map(|q| q * q).sum::<f64>() - 1.0).abs() < 1e-6);
                let frame = state.frames[panel].unwrap();
                for corner in &corners {
                    let found = turned(&turn, *corner);
                    let expected = frame.place([corner[0], corner[1]]);
                    for axis in 0..3 {
                        let off = found[axis] + shift[axis] * 1e3 - expected[axis];
                        // Layers of a flat card are raised by their height.
                        let allowed = if axis == 2 { 5.0 } else { 0.002 };
                        assert!(off.abs() < allowed, "{name}: {} off by {off}", assembly.panels[panel].name);
                    }
                }
            }
        }
    }
}

/// The lighthouse's motion ends in its open pose: the tower has risen by 60 mm, the lamp by 60 + 40 mm.
#[test]
fn a_motion_moves_the_nodes_as_far_as_its_joints() {
    let made = &EXAMPLES["lighthouse"];
    let model = parsed(&made.files["space/motion-pull.gltf"]);
    let buffer = decoded(model["buffers"][0]["uri"].as_str().unwrap());
    let animation = &model["animations"][0];
    let rise = |node: &str| -> f64 {
        let index = model["nodes"].as_array().unwrap().iter().position(|n| n["name"] == node).unwrap();
        let channels = animation["channels"].as_array().unwrap();
        let channel = channels
            .iter()
            .find(|c| c["target"]["node"] == index && c["target"]["path"] == "translation")
            .unwrap_or_else(|| panic!("{node} does not move"));
        let sampler = &animation["samplers"][channel["sampler"].as_u64().unwrap() as usize];
        let times = accessor(&model, &buffer, &sampler["input"]);
        assert!(times.windows(2).all(|pair| pair[0] < pair[1]) && times[0] == 0.0);
        let shifts = accessor(&model, &buffer, &sampler["output"]);
        assert_eq!(shifts.len(), 3 * times.len());
        (shifts[shifts.len() - 2] - shifts[1]) * 1e3
    };
    assert!((rise("tower") - 60.0).abs() < 0.01, "{}", rise("tower"));
    assert!((rise("lamp") - 100.0).abs() < 0.01, "{}", rise("lamp"));
}

/// The public validator, fetched by npm into the build's own folder where it can be.
#[test]
fn the_public_validator_finds_no_fault_in_gltf() {
    let Some(folder) = node_package("gltf-validator", "2.0.0-dev.3.10") else { return };
    let files = written_out("gltf");
    assert!(files.len() >= 25, "{}", files.len());
    let mut arguments = vec![root().join("tests/scripts/validate-gltf.mjs"), folder];
    arguments.extend(files.into_keys());
    print!("{}", script("node", arguments));
}

/// A hole for a brad is round in every format.
#[test]
fn round_holes_stay_round() {
    let mut seen = 0;
    each_piece(|name, _, piece, job| {
        let holes = piece.cutouts.iter().filter(|cutout| cutout.kind == CutoutKind::Hole);
        let circles = dxf::write(job).matches("CIRCLE\r\n  8\r\nCUT_INSIDE").count();
        let wanted = holes.count();
        assert!(circles >= wanted, "{name}: {} has {wanted} holes and {circles} circles", piece.name);
        seen += wanted;
    });
    assert!(seen >= 4, "{seen}");
}
