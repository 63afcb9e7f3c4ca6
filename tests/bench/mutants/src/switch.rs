//! Which mutant is on. Woven into the mutated crate; not part of the program.

use std::io::Write;
use std::sync::Mutex;
use std::sync::atomic::{AtomicBool, AtomicU8, AtomicU32, Ordering::Relaxed};

const UNREAD: u8 = 0;
const PLAIN: u8 = 1;
const RECORDING: u8 = 2;

static STATE: AtomicU8 = AtomicU8::new(UNREAD);
static ACTIVE: AtomicU32 = AtomicU32::new(u32::MAX);
static REACHED: [AtomicBool; 16384] = [const { AtomicBool::new(false) }; 16384];
static RECORD: Mutex<Option<std::fs::File>> = Mutex::new(None);

/// The number of the mutant that is on; called where `site` is.
#[inline]
pub fn on(site: usize) -> u32 {
    if STATE.load(Relaxed) != PLAIN {
        begin(site);
    }
    ACTIVE.load(Relaxed)
}

#[cold]
fn begin(site: usize) {
    if STATE.load(Relaxed) == UNREAD {
        let active = std::env::var("MUTANT").ok().and_then(|text| text.parse().ok());
        ACTIVE.store(active.unwrap_or(u32::MAX), Relaxed);
        let mut record = RECORD.lock().unwrap();
        if record.is_none() {
            if let Ok(path) = std::env::var("MUTANTS_REACHED") {
                *record = Some(std::fs::File::options().append(true).create(true).open(path).unwrap());
            }
            STATE.store(if record.is_some() { RECORDING } else { PLAIN }, Relaxed);
        }
    }
    if STATE.load(Relaxed) == RECORDING && !REACHED[site].swap(true, Relaxed) {
        if let Some(file) = RECORD.lock().unwrap().as_mut() {
            file.write_all(format!("{site}\n").as_bytes()).unwrap();
        }
    }
}
