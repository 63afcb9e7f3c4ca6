//! When the first frame stood on the screen, for measuring the start-up time: with [`VARIABLE`] in the environment it is
//! written to the terminal, "first frame after 312 ms", counted from the start of the program.

use std::time::Instant;

use egui::Ui;

use crate::shell::app::App;

/// Anything in it asks for the line.
pub const VARIABLE: &str = "BEVELBENCH_TIMES";

/// The workbench with a watch beside it.
#[derive(Debug)]
pub struct Timed {
    app: App,
    started: Instant,
    first: Option<u64>,
    message: bool,
}

impl Timed {
    /// Of a program that began at `started`.
    #[must_use]
    pub fn new(app: App, started: Instant) -> Self {
        Self { app, started, first: None, message: false }
    }

    /// A frame has been handed to the screen, buffers swapped, when the next one begins: one more is asked for.
    fn look(&mut self, ctx: &egui::Context) {
        let frame = ctx.cumulative_frame_nr();
        let first = *self.first.get_or_insert(frame);
        if frame == first {
            ctx.request_repaint();
        } else if !self.message {
            self.message = true;
            eprintln!("first frame after {} ms", self.started.elapsed().as_millis());
        }
    }
}

impl eframe::App for Timed {
    fn ui(&mut self, ui: &mut Ui, frame: &mut eframe::Frame) {
        self.look(ui.ctx());
        self.app.ui(ui, frame);
    }

    fn on_exit(&mut self, gl: Option<&eframe::glow::Context>) {
        self.app.on_exit(gl);
    }
}
