//! What the window does with the answers to its dialogs: names given, files chosen, clashes settled.

use std::path::Path;

use bevelbench_notebook::saved::Id;

use super::App;
use crate::{
    model::{appearance::Tone, keeper::Opened, session::Session},
    pages::{
        curves::CurvesState, edit::EditState, lesson::LessonState, pair::PairState, print::PrintState,
        rack::RackState, side::SideState, tip::TipState,
    },
    shell::{
        clash_dialog::ClashAsked,
        dialogs::{Dialog, Purpose},
        verdict::Verdict,
    },
};

impl App {
    pub(super) fn dialogs(&mut self, ctx: &egui::Context) {
        let Some(mut dialog) = self.dialog.take() else { return };
        match dialog.show(ctx, &self.theme) {
            Verdict::Open => self.dialog = Some(dialog),
            Verdict::Closed => {
                self.closed(&dialog);
                ctx.request_repaint();
            }
            Verdict::Confirmed => {
                if let Err(why) = self.confirmed(&dialog) {
                    // What was typed stays, with the reason under it.
                    dialog.refuse(why);
                    self.dialog = Some(dialog);
                } else {
                    self.closed(&dialog);
                    self.close_if_settled(ctx, &dialog);
                }
                ctx.request_repaint();
            }
        }
    }

    fn closed(&mut self, dialog: &Dialog) {
        if matches!(dialog, Dialog::Tour(_)) {
            self.prefs.tour_seen = true;
        }
    }

    fn confirmed(&mut self, dialog: &Dialog) -> Result<(), String> {
        match dialog {
            Dialog::SaveSettingAs(name) => {
                let name = named(name)?;
                self.session.save_as(name);
                self.say(Tone::Good, format!("Saved as “{name}”."));
            }
            Dialog::RenameSetting(id, name) => rename_setting(&mut self.session, *id, named(name)?),
            Dialog::RenameTool(id, name) => {
                let name = named(name)?;
                self.session.edit(format!("Rename to “{name}”"), |bench| {
                    if let Some(tool) = bench.tools.iter_mut().find(|tool| tool.id == *id) {
                        name.clone_into(&mut tool.name);
                    }
                });
            }
            Dialog::RenameBench(name) => {
                let name = named(name)?;
                self.session.edit(format!("Rename the bench to “{name}”"), |bench| {
                    name.clone_into(&mut bench.title);
                });
            }
            Dialog::Path(request) => {
                let path = request.chosen()?;
                self.with_path(request.purpose, &path)?;
            }
            Dialog::Clashes(ClashAsked { other, clashes, from, doubt, .. }) => {
                let count = crate::model::import::import_with(&mut self.session, other, clashes);
                self.say_imported(&count, from, doubt.as_deref());
            }
            Dialog::Unsaved(request) => self.answer_unsaved(request)?,
            Dialog::Notice(_) | Dialog::Tour(_) | Dialog::Help(_) => {}
        }
        Ok(())
    }

    /// What came in, and what is to be said of the file that it came from.
    fn say_imported(&mut self, count: &str, from: &str, doubt: Option<&str>) {
        let done = format!("Took over {count} from {from}.");
        match doubt {
            None => self.say(Tone::Good, done),
            Some(doubt) => self.say(Tone::Caution, format!("{done} {doubt}")),
        }
    }

    fn with_path(&mut self, purpose: Purpose, path: &Path) -> Result<(), String> {
        match purpose {
            Purpose::Open => {
                // What is open now is on disk before another takes its place.
                self.session.end();
                let (bench, history) = (self.session.bench(), self.session.history());
                self.keeper.finish(bench, history, self.session.revision())?;
                let Opened { bench, history, reported } = self.keeper.open(path)?;
                self.session = Session::with_history(bench, history);
                self.keeper.is_as_opened(self.session.revision());
                self.dialog = reported.map(Dialog::Notice);
                self.side = SideState::default();
                self.tip = TipState::default();
                self.curves = CurvesState::default();
                self.pair = PairState::default();
                self.lesson = LessonState::default();
                self.rack = RackState::default();
                self.edit = EditState::default();
                self.print = PrintState::default();
                self.say(Tone::Good, format!("Opened {}.", path.display()));
            }
            Purpose::SaveBenchAs => {
                self.session.end();
                let (bench, history) = (self.session.bench(), self.session.history());
                self.keeper.save_as(path, bench, history, self.session.revision())?;
                self.say(Tone::Good, format!("Saved. This bench is now kept in {}.", path.display()));
            }
            Purpose::Export => {
                let text = bevelbench_notebook::saved::file::write_bench(self.session.bench())?;
                bevelbench_notebook::store::write_text(path, &text).map_err(|error| error.to_string())?;
                self.say(Tone::Good, format!("A copy of this bench is in {}.", path.display()));
            }
            Purpose::Import => {
                let (other, doubt) = crate::model::keeper::read_with_seal(path)?;
                let clashes = crate::model::import::clashes(self.session.bench(), &other);
                let incomplete = crate::model::import::incomplete(&other);
                let from = path.display().to_string();
                if clashes.is_empty() && incomplete.is_empty() {
                    let count = crate::model::import::import(&mut self.session, &other);
                    self.say_imported(&count, &from, doubt.as_deref());
                } else {
                    self.dialog =
                        Some(Dialog::Clashes(ClashAsked { other, clashes, incomplete, from, doubt }));
                }
            }
            Purpose::Picture => self.save_picture(path)?,
        }
        Ok(())
    }
}

fn named(name: &str) -> Result<&str, String> {
    let name = name.trim();
    if name.is_empty() { Err("A name is needed: type one.".to_owned()) } else { Ok(name) }
}

fn rename_setting(session: &mut Session, id: Id, name: &str) {
    session.edit(format!("Rename to “{name}”"), |bench| {
        if let Some(setting) = bench.settings.iter_mut().find(|setting| setting.id == id) {
            name.clone_into(&mut setting.name);
        }
        if let Some(current) = bench.current.as_mut().filter(|current| current.id == id) {
            name.clone_into(&mut current.name);
        }
    });
}
