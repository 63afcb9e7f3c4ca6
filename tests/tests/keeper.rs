//! Where the bench is kept: the window's keeper over real files.
#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

use bevelbench::keeper::{Keeper, read};
use bevelbench_notebook::{file::write_bench, library::demo_bench, store};

#[test]
fn the_bench_can_be_saved_to_its_own_file_and_opened_again_from_it() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("own.bench.ron");
    store::write_text(&path, &write_bench(&demo_bench().unwrap()).unwrap()).unwrap();
    let mut keeper = Keeper::file(&path, None).unwrap();
    let (mut bench, told) = keeper.take_opened();
    assert_eq!(told, None);
    bench.title = "Another name".to_owned();
    keeper.save_as(&path, &bench, 1).unwrap();
    assert_eq!(keeper.open(&path).unwrap().title, "Another name");
    // A second window is still told, and does not save.
    let mut second = Keeper::file(&path, None).unwrap();
    assert!(second.take_opened().1.unwrap().contains("another window"));
    bench.title = "Lost".to_owned();
    second.keep(&bench, 2);
    second.settle();
    assert_eq!(read(&path).unwrap().title, "Another name");
    // Moving to another file gives the first one free.
    keeper.save_as(&dir.path().join("other.bench.ron"), &bench, 2).unwrap();
    assert_eq!(Keeper::file(&path, None).unwrap().take_opened().1, None);
}
