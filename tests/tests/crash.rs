//! The real program on a display of its own, ended from outside in the middle of a drag: what is on disk then, and what
//! undo still has. On request, since it needs Xvfb and xdotool: `BEVELBENCH_XVFB=1`.
#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]
#![cfg(target_os = "linux")]

use bevelbench_geometry::math::Quantity;
use std::{
    env, fs,
    io::{BufRead, BufReader},
    path::{Path, PathBuf},
    process::{Child, Command, ExitStatus, Stdio},
    sync::{Mutex, PoisonError},
    thread,
    time::{Duration, Instant},
};

use bevelbench::{
    model::{
        keeper::{Keeper, read},
        prefs::Prefs,
        session::Session,
    },
    shell::app::App,
};
use bevelbench_notebook::{
    saved::{Bench, library::demo_bench, table::OnBench},
    store::{self, Place},
};
use egui::{Pos2, vec2};
use egui_kittest::{Harness, kittest::Queryable as _};

/// Where the hand goes, in pixels from where it takes hold of the pivot.
const ALONG: [f32; 4] = [10.0, 20.0, 35.0, 60.0];

/// One at a time: two windows drawn by the processor would slow each other down.
static ONE_AT_A_TIME: Mutex<()> = Mutex::new(());

/// Something that runs, and is ended when the test is.
struct Running(Child);

impl Drop for Running {
    fn drop(&mut self) {
        self.0.kill().ok();
        self.0.wait().ok();
    }
}

/// A display and its name.
fn display() -> (Running, String) {
    let mut server = Command::new("Xvfb")
        .args(["-displayfd", "1", "-screen", "0", "1280x800x24", "-nolisten", "tcp"])
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    let mut number = String::new();
    BufReader::new(server.stdout.take().unwrap()).read_line(&mut number).unwrap();
    (Running(server), format!(":{}", number.trim()))
}

/// The program, built if it is not yet.
fn program() -> PathBuf {
    let test = env::current_exe().unwrap();
    let folder = test.parent().unwrap().parent().unwrap();
    let mut build = Command::new(env::var_os("CARGO").unwrap_or("cargo".into()));
    build.args(["build", "--quiet", "--locked", "--package", "bevelbench"]);
    if folder.ends_with("release") {
        build.arg("--release");
    }
    assert!(build.status().unwrap().success());
    folder.join("bevelbench")
}

fn place(folder: &Path) -> Place {
    Place { folder: folder.to_owned(), why: None }
}

fn prefs() -> Prefs {
    Prefs { tour_seen: true, window: Some([1280.0, 800.0]), ..Prefs::default() }
}

fn reach(bench: &Bench) -> f64 {
    Quantity::Reach.get(bench).unwrap()
}

/// Before anything was dragged.
fn reach_at_first() -> f64 {
    reach(Session::new(demo_bench().unwrap()).bench())
}

/// The same drag in a window without a display: where it takes hold, and the reach it leads to.
fn rehearsed() -> (Pos2, f64) {
    let app = App::new(Keeper::nowhere(demo_bench().unwrap()), prefs());
    let mut harness = Harness::builder()
        .with_size(vec2(1280.0, 800.0))
        .build_ui_state(|ui, app: &mut App| app.show(ui), app);
    harness.run();
    let from = harness.get_by_label("Pivot along the arm").rect().center();
    harness.drag_at(from);
    harness.run();
    for along in ALONG {
        harness.hover_at(from + vec2(along, 0.0));
        harness.run();
    }
    (from, reach(harness.state().session().bench()))
}

struct Window {
    _display: Running,
    name: String,
    program: Running,
    folder: tempfile::TempDir,
}

impl Window {
    /// The program on a display of its own, its first start in an empty folder behind it.
    fn open() -> Self {
        let (display, name) = display();
        let folder = tempfile::tempdir().unwrap();
        store::write_text(&place(folder.path()).prefs_path(), &prefs().write()).unwrap();
        let program = Command::new(program())
            .env("BEVELBENCH_HOME", folder.path())
            .env("DISPLAY", &name)
            .env("LIBGL_ALWAYS_SOFTWARE", "1")
            .env_remove("WAYLAND_DISPLAY")
            .env_remove("WAYLAND_SOCKET")
            .spawn()
            .unwrap();
        let window = Self { _display: display, name, program: Running(program), folder };
        // The first frame hands the demo bench to the saver.
        let bench = window.bench_path();
        wait_until("the bench of the first start", || bench.exists());
        // At rest it takes no time of the processor.
        wait_until("rest", || {
            let before = window.ticks();
            thread::sleep(Duration::from_millis(700));
            window.ticks() == before
        });
        window
    }

    fn bench_path(&self) -> PathBuf {
        place(self.folder.path()).bench_path()
    }

    /// Time of the processor that the program has taken: fields 14 and 15 of `/proc/PID/stat`, see proc(5).
    fn ticks(&self) -> u64 {
        let stat = fs::read_to_string(format!("/proc/{}/stat", self.program.0.id())).unwrap();
        // The name before the last bracket may hold anything.
        let fields = stat.rsplit_once(')').unwrap().1.split_whitespace();
        fields.skip(11).take(2).map(|ticks| ticks.parse::<u64>().unwrap()).sum()
    }

    fn xdotool(&self, words: &[String]) {
        let status = Command::new("xdotool").args(words).env("DISPLAY", &self.name).status().unwrap();
        assert!(status.success(), "xdotool {words:?}");
    }

    fn move_to(&self, at: Pos2) {
        self.xdotool(&["mousemove".to_owned(), format!("{:.0}", at.x), format!("{:.0}", at.y)]);
        thread::sleep(Duration::from_millis(60));
    }

    /// Takes hold of the pivot and drags it along; the button stays down.
    fn drag(&self, from: Pos2) {
        self.move_to(from + vec2(0.0, 40.0));
        self.move_to(from);
        self.xdotool(&["mousedown".to_owned(), "1".to_owned()]);
        thread::sleep(Duration::from_millis(60));
        for along in ALONG {
            self.move_to(from + vec2(along, 0.0));
        }
    }

    fn end_by(&mut self, signal: &str) -> ExitStatus {
        let id = self.program.0.id().to_string();
        assert!(Command::new("kill").args([signal, &id]).status().unwrap().success());
        self.program.0.wait().unwrap()
    }

    /// The reach on disk, and what it is again after one undo of the drag.
    fn on_disk_and_undone(&self) -> (f64, f64) {
        let on_disk = reach(&read(&self.bench_path()).unwrap());
        let opened = Keeper::own_in(&place(self.folder.path()), None).take_opened();
        assert_eq!(opened.reported, None, "nothing is damaged");
        let mut session = Session::with_history(opened.bench, opened.history);
        let undone = session.undo().unwrap();
        assert!(undone.starts_with("Drag"), "{undone}");
        let left = fs::read_dir(self.folder.path()).unwrap().map(|entry| entry.unwrap().file_name());
        assert_eq!(left.filter(|name| name.to_string_lossy().starts_with('.')).count(), 0);
        (on_disk, reach(session.bench()))
    }
}

fn wait_until(what: &str, is_so: impl Fn() -> bool) {
    let end = Instant::now() + Duration::from_mins(1);
    while !is_so() {
        assert!(Instant::now() < end, "{what} did not come");
        thread::sleep(Duration::from_millis(50));
    }
}

#[test]
#[cfg_attr(not(own_display), ignore = "needs Xvfb and xdotool: asked for by BEVELBENCH_XVFB=1")]
fn a_program_killed_in_the_middle_of_a_drag_loses_at_most_two_seconds_and_no_step() {
    let _turn = ONE_AT_A_TIME.lock().unwrap_or_else(PoisonError::into_inner);
    let (from, expected) = rehearsed();
    let first = reach_at_first();
    assert!((expected - first).abs() > 5.0, "the drag leads somewhere: {expected}");
    let mut window = Window::open();
    window.drag(from);
    // The last move alone is more than ten millimetres; a millimetre is how a real mouse takes hold.
    // The hand rests with the button down; what it did is two seconds old when the program is killed.
    thread::sleep(Duration::from_secs(2));
    window.end_by("-KILL");
    let (on_disk, undone) = window.on_disk_and_undone();
    assert!((on_disk - expected).abs() < 3.0, "{on_disk} on disk, {expected} on screen");
    assert!((undone - first).abs() < 1e-9, "{undone} after undo, {first} at first");
}

#[test]
#[cfg_attr(not(own_display), ignore = "needs Xvfb and xdotool: asked for by BEVELBENCH_XVFB=1")]
fn a_terminated_program_saves_an_open_drag_first() {
    let _turn = ONE_AT_A_TIME.lock().unwrap_or_else(PoisonError::into_inner);
    let (from, expected) = rehearsed();
    for signal in ["-TERM", "-HUP"] {
        let mut window = Window::open();
        window.drag(from);
        let ended = window.end_by(signal);
        assert!(ended.success(), "{signal}: {ended}");
        let (on_disk, undone) = window.on_disk_and_undone();
        assert!((on_disk - expected).abs() < 3.0, "{signal}: {on_disk} on disk, {expected} on screen");
        assert!((undone - reach_at_first()).abs() < 1e-9, "{signal}");
    }
}
