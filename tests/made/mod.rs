//! Every example of the language, compiled and made, once for each test program.
#![allow(dead_code)]

use plica::commands::kit_files;
use plica::compile::{Compiled, compile, variants};
use plica::meaning::Request;
use plica::output::folder::Files;
use plica::source::Disk;
use rayon::prelude::*;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::LazyLock;

pub struct Made {
    pub compiled: Compiled,
    pub files: Files,
}

pub fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

pub fn sources() -> Vec<(String, PathBuf)> {
    let folder = std::fs::read_dir(root().join("lang-examples")).unwrap();
    let mut found: Vec<(String, PathBuf)> = folder
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|e| e == "plica"))
        .map(|path| (path.file_stem().unwrap().to_str().unwrap().to_owned(), path))
        .collect();
    found.sort();
    assert!(found.len() >= 9, "the examples are missing: {found:?}");
    found
}

pub fn read(path: &Path) -> Compiled {
    let request = Request { path: path.to_path_buf(), ..Request::default() };
    compile(&Disk, &request).unwrap()
}

/// Reads a design and makes its kit.
pub fn make(path: &Path) -> Made {
    let compiled = read(path);
    let request = Request { path: path.to_path_buf(), ..Request::default() };
    let variants = variants(&compiled, &Disk, &request);
    let files = kit_files(&compiled, &variants, 1)
        .unwrap_or_else(|e| panic!("{}: {}: {}", path.display(), e.file, e.why));
    Made { compiled, files }
}

/// By name of the example.
pub static EXAMPLES: LazyLock<BTreeMap<String, Made>> =
    LazyLock::new(|| sources().into_par_iter().map(|(name, path)| (name, make(&path))).collect());

/// Whether a program can be run.
pub fn can_run(program: &str, arguments: &[&str]) -> bool {
    Command::new(program).args(arguments).output().is_ok_and(|output| output.status.success())
}

/// A folder with a package of the npm registry, fetched into the build's own folder; `None`, with a word of why, where
/// that cannot be done.
pub fn node_package(name: &str, version: &str) -> Option<PathBuf> {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    std::fs::create_dir_all(&folder).unwrap();
    let package = format!("{name}@{version}");
    let install = ["install", "--no-audit", "--no-fund", "--prefix", folder.to_str().unwrap(), &package];
    let there = folder.join("node_modules").join(name).is_dir();
    let is_new = ["-e", "process.exit(Number(parseInt(process.versions.node) < 20))"];
    if can_run("node", &is_new) && (there || can_run("npm", &install)) {
        return Some(folder);
    }
    println!("skipped: Node 20, npm or its package {package} is not here");
    assert!(std::env::var_os("PLICA_NEED_VALIDATORS").is_none(), "{package} is wanted");
    None
}

/// What a program prints; it must end well.
pub fn script(program: &str, arguments: Vec<PathBuf>) -> String {
    let output = Command::new(program).args(&arguments).output().unwrap();
    let (out, err) = (String::from_utf8_lossy(&output.stdout), String::from_utf8_lossy(&output.stderr));
    assert!(output.status.success(), "{out}{err}");
    out.into_owned()
}

/// The files of all examples with an ending, written out for another program.
pub fn written_out(ending: &str) -> BTreeMap<PathBuf, (&'static str, &'static str)> {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("formats-{ending}"));
    let _ = std::fs::remove_dir_all(&folder);
    let mut paths = BTreeMap::new();
    for (name, made) in EXAMPLES.iter() {
        for (file, bytes) in made.files.iter().filter(|(file, _)| file.ends_with(ending)) {
            let path = folder.join(name).join(file);
            std::fs::create_dir_all(path.parent().unwrap()).unwrap();
            std::fs::write(&path, bytes).unwrap();
            paths.insert(path, (name.as_str(), file.as_str()));
        }
    }
    paths
}

/// Step to which channels are rounded in small pictures, so that their colours fit a palette.
pub const STEP: u8 = 5;

/// A channel rounded to its step; 255 is a multiple of it.
pub fn coarse(channel: u8) -> u8 {
    let step = u16::from(STEP);
    ((u16::from(channel) + step / 2) / step * step).min(255) as u8
}

/// A small PNG: opaque, a palette where the rounded colours fit one, else true colour.
pub fn indexed(raster: &plica::output::png::Raster) -> Vec<u8> {
    let colours: Vec<[u8; 3]> =
        raster.pixels.chunks(4).map(|p| [coarse(p[0]), coarse(p[1]), coarse(p[2])]).collect();
    let palette: Vec<[u8; 3]> =
        colours.iter().copied().collect::<std::collections::BTreeSet<_>>().into_iter().collect();
    let mut bytes = Vec::new();
    let mut encoder = ::png::Encoder::new(&mut bytes, raster.width, raster.height);
    encoder.set_compression(::png::Compression::High);
    let data: Vec<u8> = if palette.len() <= 256 {
        encoder.set_color(::png::ColorType::Indexed);
        encoder.set_palette(palette.concat());
        let index = |colour| palette.binary_search(colour).unwrap() as u8;
        colours.iter().map(index).collect()
    } else {
        encoder.set_color(::png::ColorType::Rgb);
        colours.concat()
    };
    encoder.set_depth(::png::BitDepth::Eight);
    let mut writer = encoder.write_header().unwrap();
    writer.write_image_data(&data).unwrap();
    writer.finish().unwrap();
    bytes
}
