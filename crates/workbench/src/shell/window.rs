//! Opening the window, and saying plainly why it cannot be opened.

use std::{
    any::Any,
    fmt,
    panic::{AssertUnwindSafe, catch_unwind, resume_unwind, set_hook, take_hook},
    sync::{
        Arc,
        atomic::{AtomicBool, Ordering},
    },
    time::Duration,
};

/// How long a window that is told to end may take for it: it waits for the disk too.
const LAST_FRAMES: Duration = Duration::from_secs(25);

/// The window's identity: base name of the desktop file, class of the window.
pub const APP_ID: &str = "bevelbench";

const ICON: &[u8] = include_bytes!("../../../../assets/icon-256.png");

/// Makes the window's content once the window exists.
pub type AppCreator<'a> = eframe::AppCreator<'a>;

/// Why there is no window.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NoWindow {
    /// Nothing to show a window on.
    NoDisplay {
        /// Whether the environment names a display at all.
        named: bool,
    },
    /// A library that is opened at run time is missing.
    MissingLibrary {
        /// The library, as in "libxkbcommon-x11".
        library: &'static str,
        /// The Debian package that has it.
        package: &'static str,
    },
    /// The graphics driver gives no drawing surface.
    NoGraphics,
    /// The window opened but its content could not be made.
    NoContent {
        /// What the content said.
        why: String,
    },
    /// The toolkit gave up for another reason.
    Other {
        /// What it said.
        why: String,
    },
}

impl fmt::Display for NoWindow {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Bevelbench cannot open its window: ")?;
        match self {
            Self::NoDisplay { named: false } => f.write_str(
                "there is no display (neither WAYLAND_DISPLAY nor DISPLAY is set).\n\
                 Start it from a desktop session, or set DISPLAY.",
            )?,
            Self::NoDisplay { named: true } => f.write_str(
                "the display that WAYLAND_DISPLAY or DISPLAY names does not answer, or a library to reach it is missing.\n\
                 Check the variable; on Debian the libraries are in: \
                 libx11-6 libx11-xcb1 libxcursor1 libxi6 libxkbcommon-x11-0 libwayland-client0.",
            )?,
            Self::MissingLibrary { library, package } => {
                write!(f, "the library {library} is missing.\nOn Debian: apt install {package}.")?;
            }
            Self::NoGraphics => f.write_str(
                "there is no OpenGL to draw with.\n\
                 On Debian: apt install libgl1 libegl1, and libgl1-mesa-dri to draw without a graphics card.",
            )?,
            Self::NoContent { why } | Self::Other { why } => write!(f, "{why}.")?,
        }
        f.write_str(
            "\n\nWithout a window these still work:\n  \
             bevelbench evaluate …   the numbers of a setting\n  \
             bevelbench picture …    its drawing as a file\n  \
             bevelbench --help       everything else",
        )
    }
}

impl std::error::Error for NoWindow {}

/// Opens the window, in the size it last had, and stays until it is closed.
///
/// # Errors
/// [`NoWindow`] when the window cannot be opened; its text names what is missing and what works without it. The command
/// prints it and ends with code 2.
///
/// # Panics
/// A panic of the content, once the window is open, goes on as it came; only those of opening are caught.
pub fn run_native(size: Option<[f32; 2]>, creator: AppCreator<'_>) -> Result<(), NoWindow> {
    let opened = Arc::new(AtomicBool::new(false));
    let creator: AppCreator<'_> = {
        let opened = opened.clone();
        Box::new(move |cc| {
            opened.store(true, Ordering::SeqCst);
            creator(cc)
        })
    };
    // While the window is being opened a panic is an answer, not an accident: no trace on the terminal.
    let usual: Arc<dyn Fn(&std::panic::PanicHookInfo<'_>) + Send + Sync> = Arc::from(take_hook());
    set_hook({
        let (opened, usual) = (opened.clone(), usual.clone());
        Box::new(move |info| {
            if opened.load(Ordering::SeqCst) {
                usual(info);
            }
        })
    });
    let end = catch_unwind(AssertUnwindSafe(|| eframe::run_native("Bevelbench", options(size), creator)));
    set_hook(Box::new(move |info| usual(info)));
    match end {
        Ok(Ok(())) => Ok(()),
        Ok(Err(error)) => Err(reason(&error)),
        Err(panic) if opened.load(Ordering::SeqCst) => resume_unwind(panic),
        Err(panic) => Err(reason_of_panic(&*panic)),
    }
}

/// From now on the system's wish that the program ends (at log-out, or from a terminal) sets what is returned and wakes the
/// window, which then saves and closes. One that does not get round to it is ended all the same.
#[must_use]
pub fn closes_on_signal(ctx: &egui::Context) -> Arc<AtomicBool> {
    let reported = Arc::new(AtomicBool::new(false));
    let (tells, ctx) = (reported.clone(), ctx.clone());
    // Where it cannot be listened for, the system ends the program; all but the last second is on disk then.
    ctrlc::set_handler(move || {
        if !tells.swap(true, Ordering::SeqCst) {
            ctx.request_repaint();
            std::thread::sleep(LAST_FRAMES);
        }
        std::process::exit(1);
    })
    .ok();
    reported
}

fn options(size: Option<[f32; 2]>) -> eframe::NativeOptions {
    let mut viewport = egui::ViewportBuilder::default()
        .with_title("Bevelbench")
        .with_app_id(APP_ID)
        .with_inner_size(size.unwrap_or([1280.0, 800.0]))
        .with_min_inner_size([1024.0, 700.0]);
    if let Ok(icon) = eframe::icon_data::from_png_bytes(ICON) {
        viewport = viewport.with_icon(icon);
    }
    eframe::NativeOptions {
        viewport,
        renderer: eframe::Renderer::Glow,
        persist_window: false,
        ..Default::default()
    }
}

/// The variant says enough; the toolkit's own texts speak of source files.
fn reason(error: &eframe::Error) -> NoWindow {
    match error {
        eframe::Error::Winit(_) | eframe::Error::WinitEventLoop(_) => {
            NoWindow::NoDisplay { named: display_is_named() }
        }
        eframe::Error::Glutin(_) | eframe::Error::NoGlutinConfigs(..) | eframe::Error::OpenGL(_) => {
            NoWindow::NoGraphics
        }
        eframe::Error::AppCreation(why) => NoWindow::NoContent { why: why.to_string() },
    }
}

fn display_is_named() -> bool {
    ["WAYLAND_DISPLAY", "WAYLAND_SOCKET", "DISPLAY"]
        .iter()
        .any(|name| std::env::var_os(name).is_some_and(|value| !value.is_empty()))
}

/// Libraries whose absence is a panic of the toolkit, and the packages that have them.
const LIBRARIES: [(&str, &str, &str); 5] = [
    ("xkbcommon-x11", "libxkbcommon-x11", "libxkbcommon-x11-0"),
    ("xkbcommon", "libxkbcommon", "libxkbcommon0"),
    ("Xcursor", "libXcursor", "libxcursor1"),
    ("libXi", "libXi", "libxi6"),
    ("X11-xcb", "libX11-xcb", "libx11-xcb1"),
];

fn reason_of_panic(panic: &(dyn Any + Send)) -> NoWindow {
    let words =
        panic.downcast_ref::<String>().map(String::as_str).or_else(|| panic.downcast_ref::<&str>().copied());
    let words = words.unwrap_or_default();
    match LIBRARIES.iter().find(|(hint, ..)| words.contains(hint)) {
        Some((_, library, package)) => NoWindow::MissingLibrary { library, package },
        None if !display_is_named() => NoWindow::NoDisplay { named: false },
        None => NoWindow::Other { why: "the window toolkit stopped while opening".to_owned() },
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "tests may fail loudly")]
mod tests {
    use super::*;

    #[test]
    fn a_missing_library_is_named_with_its_package() {
        // The words of xkbcommon-dl 0.4 when its library is not there.
        let words = "Library libxkbcommon-x11.so could not be loaded.".to_owned();
        let panic: Box<dyn Any + Send> = Box::new(words);
        let reason = reason_of_panic(&*panic);
        assert_eq!(
            reason,
            NoWindow::MissingLibrary { library: "libxkbcommon-x11", package: "libxkbcommon-x11-0" }
        );
        assert!(reason.to_string().contains("apt install libxkbcommon-x11-0"));
    }

    #[test]
    fn every_reason_says_what_works_without_a_window() {
        for reason in [
            NoWindow::NoDisplay { named: false },
            NoWindow::NoDisplay { named: true },
            NoWindow::NoGraphics,
            NoWindow::Other { why: "x".into() },
        ] {
            let words = reason.to_string();
            assert!(words.contains("bevelbench evaluate") && words.contains("bevelbench picture"), "{words}");
            assert!(!words.contains(".rs"), "no source files: {words}");
        }
    }

    #[test]
    fn the_icon_reads() {
        let icon = eframe::icon_data::from_png_bytes(ICON).unwrap();
        assert_eq!((icon.width, icon.height), (256, 256));
    }
}
