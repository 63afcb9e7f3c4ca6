//! Closing the window, and what is asked before that where something is not on disk.

use std::sync::{
    Arc,
    atomic::{AtomicBool, Ordering},
};

use egui::{Context, ViewportCommand};

use super::App;
use crate::{
    model::{appearance::Tone, keeper::FileProblem},
    shell::{
        dialogs::Dialog,
        unsaved_dialog::{Remedy, UnsavedAsked},
    },
};

/// Frames that a field which is half typed in needs to hand over what was typed.
const FRAMES_TO_HAND_OVER: u8 = 2;

/// How far closing has come.
#[derive(Debug, Default)]
pub(super) struct Leaving {
    /// Set when the system wants the program to end.
    reported: Option<Arc<AtomicBool>>,
    /// Frames to go before it is decided.
    frames: Option<u8>,
    /// The next wish to close is granted.
    decided: bool,
    /// All is written, or given up.
    done: bool,
}

impl App {
    /// Closes, saving first, when this is set.
    pub fn close_on_signal(&mut self, reported: Arc<AtomicBool>) {
        self.leaving.reported = Some(reported);
    }

    pub(super) fn intercept_close(&mut self, ctx: &Context) {
        let reported = self.leaving.reported.as_ref().is_some_and(|reported| reported.load(Ordering::SeqCst));
        let request = ctx.input(|input| input.viewport().close_requested());
        if self.leaving.decided {
            return;
        }
        if (request || reported) && self.leaving.frames.is_none() {
            // What is half typed counts as typed.
            let focused = ctx.memory(egui::Memory::focused);
            if let Some(id) = focused {
                ctx.memory_mut(|memory| memory.surrender_focus(id));
            }
            self.leaving.frames = Some(if focused.is_some() { FRAMES_TO_HAND_OVER } else { 0 });
        }
        let Some(frames) = self.leaving.frames else { return };
        if frames > 0 {
            self.leaving.frames = Some(frames - 1);
            ctx.send_viewport_cmd(ViewportCommand::CancelClose);
            ctx.request_repaint();
            return;
        }
        self.leaving.frames = None;
        self.session.end();
        let (bench, history) = (self.session.bench(), self.session.history());
        // The trouble says more than the error.
        self.keeper.finish(bench, history, self.session.revision()).ok();
        match self.keeper.would_lose(self.session.revision()) {
            Some(problem) if !reported => {
                ctx.send_viewport_cmd(ViewportCommand::CancelClose);
                // What fills the window would hide the question.
                (self.at_grinder, self.big_type, self.playing) = (None, None, None);
                self.ask_unsaved(&problem, true);
                ctx.request_repaint();
            }
            _ => self.close_now(ctx),
        }
    }

    fn close_now(&mut self, ctx: &Context) {
        self.leaving.decided = true;
        ctx.send_viewport_cmd(ViewportCommand::Close);
        ctx.request_repaint();
    }

    /// Goes on with closing where it was only held up by a question.
    pub(super) fn close_if_settled(&mut self, ctx: &Context, dialog: &Dialog) {
        if let Dialog::Unsaved(request) = dialog
            && request.closing
            && matches!(request.chosen, Some(Remedy::KeepMine | Remedy::TryAgain | Remedy::CloseAnyway))
        {
            self.close_now(ctx);
        }
    }

    /// Writes what is not on disk yet. The window is gone: errors go to the terminal.
    pub(super) fn leave(&mut self) {
        if std::mem::replace(&mut self.leaving.done, true) {
            return;
        }
        self.session.end();
        let (bench, history) = (self.session.bench(), self.session.history());
        if let Err(why) = self.keeper.finish(bench, history, self.session.revision()) {
            eprintln!("bevelbench: {why}");
        }
        self.keeper.keep_prefs(&self.prefs);
        self.keeper.settle();
    }

    /// Says what became of the file in other hands, as soon as no gesture is disturbed by it.
    pub(super) fn report_file_state(&mut self, ctx: &Context) {
        if self.keeper.changed().is_none() {
            self.asked_which = false;
        }
        let busy = self.dialog.is_some() || self.edit.is_asking() || self.at_grinder.is_some();
        if busy || self.session.history().is_open() {
            return;
        }
        if let Some(words) = self.keeper.take_notice() {
            self.dialog = Some(Dialog::Notice(words));
            ctx.request_repaint();
        } else if let Some(problem @ FileProblem::Changed(_)) = self.keeper.problem()
            && !self.asked_which
        {
            self.asked_which = true;
            self.ask_unsaved(&problem, false);
            ctx.request_repaint();
        }
    }

    pub(super) fn ask_unsaved(&mut self, problem: &FileProblem, closing: bool) {
        let request = match problem {
            FileProblem::Changed(changed) => {
                UnsavedAsked::changed(changed.words(self.keeper.path()), closing)
            }
            FileProblem::Failed(why) => UnsavedAsked::failed(why.clone(), true, closing),
            FileProblem::HeldBack(why) => UnsavedAsked::failed(why.clone(), false, closing),
        };
        self.dialog = Some(Dialog::Unsaved(request));
    }

    pub(super) fn answer_unsaved(&mut self, request: &UnsavedAsked) -> Result<(), String> {
        let revision = self.session.revision();
        match request.chosen {
            Some(Remedy::KeepMine) => {
                let (bench, history) = (self.session.bench(), self.session.history());
                let theirs = self.keeper.keep_mine(bench, history, revision)?;
                let words =
                    format!("Yours is saved. The other program’s version is in {}.", theirs.display());
                self.say(Tone::Good, words);
            }
            Some(Remedy::OpenTheirs) => {
                let yours = self.keeper.changed().and_then(|changed| changed.kept.clone());
                let theirs = self.keeper.read_theirs()?;
                let last_id = theirs.last_id;
                self.session.edit("Open the other program’s version", |bench| *bench = theirs);
                let (bench, history) = (self.session.bench(), self.session.history());
                // Where more ids were given here than there, the next save says so in the file.
                if !bench.last_id.is_beyond(last_id) {
                    self.keeper.is_as_read(bench, history, self.session.revision());
                }
                let kept = yours.map_or(String::new(), |yours| format!(" It is in {} too.", yours.display()));
                self.say(Tone::Good, format!("Theirs is open. Undo brings yours back.{kept}"));
            }
            Some(Remedy::SaveElsewhere) => self.dialog = Some(Dialog::save_bench_as(self.keeper.path())),
            Some(Remedy::TryAgain) => {
                let (bench, history) = (self.session.bench(), self.session.history());
                self.keeper.finish(bench, history, revision)?;
                self.say(Tone::Good, "Saved.");
            }
            Some(Remedy::CloseAnyway) | None => {}
        }
        Ok(())
    }
}
