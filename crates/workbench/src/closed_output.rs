//! Whether the standard output was closed when the program began (`>&-`). The standard library opens the null device in
//! its place before `main`, so that nothing that is written there would ever be missed: it is looked at earlier. This is
//! why the program, unlike its libraries, does not forbid unsafe code: what runs before `main` is started by a macro.

use std::io::{self, Write};

#[cfg(unix)]
mod at_start {
    use std::sync::atomic::{AtomicBool, Ordering};

    static CLOSED: AtomicBool = AtomicBool::new(false);

    #[ctor::ctor(unsafe)]
    fn look() {
        if rustix::io::fcntl_getfd(rustix::stdio::stdout()).is_err() {
            CLOSED.store(true, Ordering::Relaxed);
        }
    }

    pub(super) fn was_closed() -> bool {
        CLOSED.load(Ordering::Relaxed)
    }
}

#[cfg(not(unix))]
mod at_start {
    pub(super) const fn was_closed() -> bool {
        false
    }
}

/// The standard output; one that was closed refuses whatever is written to it.
#[must_use]
pub(crate) fn standard_output() -> Box<dyn Write> {
    if at_start::was_closed() { Box::new(Closed) } else { Box::new(io::stdout().lock()) }
}

struct Closed;

impl Write for Closed {
    fn write(&mut self, _: &[u8]) -> io::Result<usize> {
        Err(io::Error::new(io::ErrorKind::NotConnected, "the output is closed"))
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}
