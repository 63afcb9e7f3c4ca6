//! Opening a file in the program that the system has for it.

use std::{
    path::Path,
    process::{Command, Stdio},
};

/// The system's own opener.
const OPENER: &str = if cfg!(target_os = "macos") {
    "open"
} else if cfg!(target_os = "windows") {
    "explorer"
} else {
    "xdg-open"
};

/// Opens a file in the system's viewer, without a shell in between.
///
/// # Errors
/// The words that say why not and what to do.
pub(super) fn open(path: &Path) -> Result<(), String> {
    Command::new(OPENER)
        .arg(path)
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .and_then(|mut child| {
            // A child that ends must be waited for; the viewer may stay open for hours.
            std::thread::Builder::new().name("viewer".to_owned()).spawn(move || child.wait()).map(drop)
        })
        .map_err(|error| {
            format!(
                "No viewer could be started ({OPENER}: {error}). The file is saved: open {} by hand.",
                path.display()
            )
        })
}
