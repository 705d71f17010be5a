//! What is promised of the kit's folder: written whole or not at all, and nothing of the maker's own is lost.

use plica::output::folder::{self, Files, FolderError, MARKER};
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::Duration;

/// An empty folder of its own for each test.
fn scratch(name: &str) -> PathBuf {
    let path = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(format!("folder-{name}"));
    let _ = fs::remove_dir_all(&path);
    fs::create_dir_all(&path).unwrap();
    path
}

fn files(letter: char) -> Files {
    let content = letter.to_string().repeat(20_000).into_bytes();
    ["net.svg", "net.pdf", "views/open.png", "views/shut.png"]
        .into_iter()
        .map(|name| (name.to_owned(), content.clone()))
        .collect()
}

/// The one letter all files consist of; panics on a mixture or on a missing file.
fn letter_of(target: &Path) -> char {
    let mut letters: Vec<u8> =
        files('x').keys().flat_map(|name| fs::read(target.join(name)).expect("a file is missing")).collect();
    assert_eq!(letters.len(), 80_000, "a file is not whole");
    letters.dedup();
    assert_eq!(letters.len(), 1, "the folder is a mixture");
    char::from(letters[0])
}

fn names(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}

#[test]
fn a_kit_is_written_and_written_again_without_leftovers() {
    let home = scratch("again");
    let target = home.join("deep/kit");
    folder::replace(&target, &files('a')).unwrap();
    assert_eq!(letter_of(&target), 'a');
    folder::replace(&target, &files('b')).unwrap();
    assert_eq!(letter_of(&target), 'b');
    assert_eq!(names(&home.join("deep")), ["kit"]);
}

#[test]
fn files_no_longer_made_are_gone() {
    let target = scratch("fewer").join("kit");
    folder::replace(&target, &files('a')).unwrap();
    let one = Files::from([("net.svg".to_owned(), b"b".to_vec())]);
    folder::replace(&target, &one).unwrap();
    assert_eq!(names(&target), [MARKER, "net.svg"]);
}

#[test]
fn an_empty_folder_is_taken_over() {
    let target = scratch("empty");
    folder::replace(&target, &files('a')).unwrap();
    assert_eq!(letter_of(&target), 'a');
}

#[test]
fn a_foreign_folder_is_refused_and_kept() {
    let target = scratch("foreign");
    fs::write(target.join("thesis.txt"), "years of work").unwrap();
    assert_eq!(folder::replace(&target, &files('a')), Err(FolderError::Foreign(target.clone())));
    assert_eq!(names(&target), ["thesis.txt"]);
    assert_eq!(fs::read_to_string(target.join("thesis.txt")).unwrap(), "years of work");
}

#[test]
fn a_marker_that_is_not_ours_does_not_help() {
    let target = scratch("false-marker");
    fs::write(target.join(MARKER), "hello").unwrap();
    assert_eq!(folder::replace(&target, &files('a')), Err(FolderError::Foreign(target)));
}

#[test]
fn a_file_of_the_makers_own_in_a_kit_is_refused_and_kept() {
    let target = scratch("own-file").join("kit");
    folder::replace(&target, &files('a')).unwrap();
    let note = target.join("views/note.txt");
    fs::write(&note, "use blue ink").unwrap();
    assert_eq!(folder::replace(&target, &files('b')), Err(FolderError::ForeignFile(note.clone())));
    assert_eq!(letter_of(&target), 'a');
    assert_eq!(fs::read_to_string(note).unwrap(), "use blue ink");
}

#[test]
fn a_file_changed_by_hand_is_refused_and_kept() {
    let target = scratch("changed").join("kit");
    folder::replace(&target, &files('a')).unwrap();
    let net = target.join("net.svg");
    fs::write(&net, "my own colours").unwrap();
    assert_eq!(folder::replace(&target, &files('b')), Err(FolderError::Changed(net.clone())));
    assert_eq!(folder::check(&target), Err(FolderError::Changed(net.clone())));
    fs::remove_file(net).unwrap();
    folder::replace(&target, &files('b')).unwrap();
    assert_eq!(letter_of(&target), 'b');
}

#[test]
fn a_file_in_place_of_the_folder_is_refused_and_kept() {
    let target = scratch("file").join("kit");
    fs::write(&target, "a file").unwrap();
    assert_eq!(folder::replace(&target, &files('a')), Err(FolderError::NotAFolder(target.clone())));
    assert_eq!(fs::read_to_string(target).unwrap(), "a file");
}

#[test]
fn a_file_in_place_of_a_folder_above_is_refused() {
    let home = scratch("file-above");
    fs::write(home.join("out"), "a file").unwrap();
    let result = folder::replace(&home.join("out/kit"), &files('a'));
    assert!(matches!(result, Err(FolderError::NotAFolder(_))), "{result:?}");
}

#[test]
fn read_only_folders_are_refused() {
    let home = scratch("read-only");
    let target = home.join("kit");
    folder::replace(&target, &files('a')).unwrap();
    let set = |path: &Path, read_only: bool| {
        let mut permissions = fs::metadata(path).unwrap().permissions();
        #[allow(clippy::permissions_set_readonly_false)]
        permissions.set_readonly(read_only);
        fs::set_permissions(path, permissions).unwrap();
    };
    for path in [&target, &home] {
        set(path, true);
        let result = folder::replace(&target, &files('b'));
        set(path, false);
        assert_eq!(result, Err(FolderError::ReadOnly(path.clone())));
        assert_eq!(letter_of(&target), 'a');
    }
    assert_eq!(names(&home), ["kit"]);
}

#[test]
fn names_that_leave_the_folder_are_refused_before_anything_is_written() {
    let home = scratch("names");
    for name in ["../a", "/a", "a/../../b", "", "a//b", "a\\b", "c:a", MARKER, "nul\0", "a "] {
        let files = Files::from([(name.to_owned(), Vec::new())]);
        let result = folder::replace(&home.join("kit"), &files);
        assert_eq!(result, Err(FolderError::BadName(name.to_owned())));
    }
    assert!(names(&home).is_empty());
}

#[cfg(unix)]
#[test]
fn a_link_to_a_kit_stays_a_link() {
    let home = scratch("link");
    folder::replace(&home.join("real"), &files('a')).unwrap();
    std::os::unix::fs::symlink("real", home.join("kit")).unwrap();
    folder::replace(&home.join("kit"), &files('b')).unwrap();
    assert_eq!(letter_of(&home.join("real")), 'b');
    assert!(fs::symlink_metadata(home.join("kit")).unwrap().is_symlink());
}

const CHILD_TARGET: &str = "PLICA_TEST_FOLDER";

/// Not a test by itself: the process that [`a_kill_at_any_moment_leaves_the_old_kit_or_the_new_one`] kills.
#[test]
fn child_that_writes_for_ever() {
    let Some(target) = std::env::var_os(CHILD_TARGET) else { return };
    loop {
        for letter in ['a', 'b'] {
            folder::replace(Path::new(&target), &files(letter)).unwrap();
        }
    }
}

#[test]
fn a_kill_at_any_moment_leaves_the_old_kit_or_the_new_one() {
    let home = scratch("kill");
    let target = home.join("kit");
    folder::replace(&target, &files('a')).unwrap();
    for round in 0..40_u64 {
        let mut child = Command::new(std::env::current_exe().unwrap())
            .args(["--exact", "child_that_writes_for_ever", "--nocapture"])
            .env(CHILD_TARGET, &target)
            .stdout(Stdio::null())
            .spawn()
            .unwrap();
        std::thread::sleep(Duration::from_micros(20_000 + 777 * round));
        assert!(child.try_wait().unwrap().is_none(), "the writer stopped by itself");
        child.kill().unwrap();
        child.wait().unwrap();
        letter_of(&target);
    }
    // What the killed runs left beside the kit goes with the next run.
    folder::replace(&target, &files('c')).unwrap();
    assert_eq!(letter_of(&target), 'c');
    assert_eq!(names(&home), ["kit"]);
}
