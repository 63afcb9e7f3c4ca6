//! The window: what you pick up on the left, the work in the middle, what you turn on the right, what you read
//! along the bottom.
//!
//! `logic` works the answer out when the bench has changed and hands it to the keeper; `ui` shows.

mod answers;
mod closing;
mod pictures;
mod top;

use bevelbench_notebook::quantity::Units;
use egui::{CentralPanel, Frame, Margin, Panel, ScrollArea, Ui};

use crate::{
    model::{
        appearance::{Tone, TypeScale},
        keeper::{Keeper, Opened},
        prefs::{Page, Prefs},
        session::Session,
    },
    pages::{
        at_grinder::{AtGrinder, LeftAt, at_grinder_page},
        big_type::{BigType, big_type_page},
        curves::{CurvesState, curves_page},
        edit::{self, EditState},
        find::{FindPart, FindState, find_page},
        keep::{KeepState, keep_page},
        lesson::{self, LessonState, Play, lesson_page, play_page},
        pair::{self, PairState, pair_page},
        print::{PrintState, print_page},
        rack::{RackRequest, RackState, rack_panel},
        read_outs::read_outs_panel,
        settings::{SettingsState, settings_panel},
        side::{SideState, side_page},
        tip::{TipState, tip_page},
    },
    shell::{
        dialogs::Dialog,
        help::Help,
        orders::{self, Order},
    },
    toolkit::{
        theme::{Surface, Theme},
        widgets::in_the_middle,
    },
};

/// What the pages say that show the current setting.
const NO_CURRENT_SETTING: &str = "Nothing is in hand, so there is nothing to show here. Choose a setting in the rack; on an empty bench press “New tool…” below it, or open a bench file from the menu in the upper left corner.";

/// The window's content.
pub struct App {
    session: Session,
    keeper: Keeper,
    prefs: Prefs,
    theme: Theme,
    rack: RackState,
    settings: SettingsState,
    side: SideState,
    tip: TipState,
    curves: CurvesState,
    pair: PairState,
    find: FindState,
    keep: KeepState,
    edit: EditState,
    print: PrintState,
    dialog: Option<Dialog>,
    at_grinder: Option<AtGrinder>,
    big_type: Option<BigType>,
    lesson: LessonState,
    playing: Option<Play>,
    left_at: LeftAt,
    /// What the program last did, and the revision it speaks of.
    message: Option<(u64, Tone, String)>,
    theme_applied: bool,
    prefs_saved: Prefs,
    leaving: closing::Leaving,
    /// Whether it was asked which version stays since another program changed the file.
    asked_which: bool,
}

impl std::fmt::Debug for App {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("App").field("session", &self.session).finish_non_exhaustive()
    }
}

impl App {
    /// The window's content for a bench that is kept in a file.
    #[must_use]
    pub fn new(keeper: Keeper, prefs: Prefs) -> Self {
        let mut keeper = keeper;
        let Opened { bench, history, reported } = keeper.take_opened();
        let session = Session::with_history(bench, history);
        let theme = Theme::new(prefs.mode(), TypeScale::Ordinary);
        let dialog = match reported {
            Some(words) => Some(Dialog::Notice(words)),
            None if !prefs.tour_seen => Some(Dialog::Tour(0)),
            None => None,
        };
        keeper.is_as_opened(session.revision());
        Self {
            session,
            keeper,
            prefs_saved: prefs.clone(),
            prefs,
            theme,
            rack: RackState::default(),
            settings: SettingsState::default(),
            side: SideState::default(),
            tip: TipState::default(),
            curves: CurvesState::default(),
            pair: PairState::default(),
            find: FindState::default(),
            keep: KeepState::default(),
            edit: EditState::default(),
            print: PrintState::default(),
            dialog,
            at_grinder: None,
            big_type: None,
            lesson: LessonState::default(),
            playing: None,
            left_at: Vec::new(),
            message: None,
            theme_applied: false,
            leaving: closing::Leaving::default(),
            asked_which: false,
        }
    }

    /// The session, for tests.
    #[must_use]
    pub fn session(&self) -> &Session {
        &self.session
    }

    /// The page of the tip, for tests.
    #[must_use]
    pub fn tip(&self) -> &TipState {
        &self.tip
    }

    /// The page of the curves, for tests.
    #[must_use]
    pub fn curves(&self) -> &CurvesState {
        &self.curves
    }

    /// The page of the pair, for tests.
    #[must_use]
    pub fn pair(&self) -> &PairState {
        &self.pair
    }

    /// The lesson that is being shown, for tests.
    #[must_use]
    pub fn playing(&self) -> Option<&Play> {
        self.playing.as_ref()
    }

    /// What the window remembers of itself.
    #[must_use]
    pub fn prefs(&self) -> &Prefs {
        &self.prefs
    }

    fn units(&self) -> Units {
        Units { length: self.prefs.unit }
    }

    fn say(&mut self, tone: Tone, words: impl Into<String>) {
        self.message = Some((self.session.revision(), tone, words.into()));
    }

    /// What the program last did, while it is fresh.
    fn fresh(&self) -> Option<(Tone, String)> {
        let (_, tone, words) =
            self.message.as_ref().filter(|(revision, ..)| *revision == self.session.revision())?;
        Some((*tone, words.clone()))
    }

    /// One frame without a native window: what the tests call.
    pub fn show(&mut self, ui: &mut Ui) {
        let ctx = ui.ctx().clone();
        if !self.theme_applied {
            self.theme.apply(&ctx);
            self.theme_applied = true;
            // This frame began in egui's own look: the next one is ours.
            ctx.request_repaint();
        }
        self.update(&ctx);
        self.intercept_close(&ctx);
        if let Some(mut page) = self.at_grinder.take() {
            match at_grinder_page(ui, &self.session, &mut page, self.units(), &self.theme) {
                None => self.at_grinder = Some(page),
                Some(left_at) => {
                    if let Some(left_at) = left_at {
                        self.left_at = left_at;
                        self.say(Tone::Good, "Set. The ink has the last word: read it before switching on.");
                    }
                    ctx.request_repaint();
                }
            }
            return;
        }
        // What is asked over such a page is answered before it is left.
        let asking = self.dialog.is_some();
        if let Some(mut page) = self.playing.take() {
            let (units, revision) = (self.units(), self.session.revision());
            let close = play_page(ui, self.session.bench(), revision, &mut page, units, &self.theme);
            self.playing = Some(page).filter(|_| asking || !close);
            self.over_the_window(&ctx);
            return;
        }
        if let Some(mut page) = self.big_type.take() {
            let close = big_type_page(ui, &self.session, &mut page, self.units(), &self.theme);
            self.big_type = Some(page).filter(|_| asking || !close);
            self.over_the_window(&ctx);
            self.session.compute();
            return;
        }
        if self.dialog.is_none()
            && !self.edit.is_asking()
            && let Some(order) = orders::pressed(&ctx)
        {
            self.execute(&ctx, order);
        }
        self.panels(ui);
        self.dialogs(&ctx);
        self.session.set_typed_on(edit::entry::is_typed_on(&ctx));
        // What was changed in this frame is worked out and kept before it ends.
        self.update(&ctx);
    }

    /// The few orders that are taken over a page that fills the window, and the dialogs they open.
    fn over_the_window(&mut self, ctx: &egui::Context) {
        let big_type = self.big_type.is_some();
        if self.dialog.is_none()
            && let Some(order) = orders::pressed(ctx)
        {
            match order {
                Order::Picture | Order::CopyPicture => self.execute(ctx, order),
                Order::Undo | Order::Redo | Order::Unit | Order::Dark if big_type => {
                    self.execute(ctx, order);
                }
                Order::BigType if big_type => self.big_type = None,
                _ => {}
            }
            ctx.request_repaint();
        }
        if !big_type && self.playing.is_none() {
            ctx.request_repaint();
        }
        self.dialogs(ctx);
    }

    fn update(&mut self, ctx: &egui::Context) {
        self.session.compute();
        let now_s = ctx.input(|input| input.time);
        if self.keeper.poll(now_s) {
            ctx.request_repaint();
        }
        let (bench, history) = (self.session.bench(), self.session.history());
        let is_back = |event: &egui::Event| matches!(event, egui::Event::WindowFocused(true));
        if ctx.input(|input| input.events.iter().any(is_back)) {
            self.keeper.recheck_file(bench, history, self.session.revision());
        }
        let again_s = self.keeper.save_when_due(bench, history, self.session.revision(), now_s);
        if let Some(again_s) = again_s {
            ctx.request_repaint_after_secs(again_s as f32);
        }
        self.report_file_state(ctx);
        if self.prefs != self.prefs_saved {
            self.keeper.keep_prefs(&self.prefs);
            self.prefs_saved = self.prefs.clone();
        }
    }

    fn panel(&self, surface: Surface) -> Frame {
        let margin = self.theme.sizes.gap.margin as i8;
        Frame::new().fill(self.theme.surface(surface)).inner_margin(Margin::same(margin))
    }

    fn panels(&mut self, ui: &mut Ui) {
        let sizes = self.theme.sizes;
        let mut bar = self.panel(Surface::Panel);
        bar.inner_margin.top = 0;
        bar.inner_margin.bottom = 0;
        Panel::top("top").exact_size(sizes.top_bar).resizable(false).frame(bar).show(ui, |ui| self.top(ui));
        let editing = matches!(self.prefs.page, Page::Tool | Page::Rig | Page::Print);
        // The pages that make and edit parts have lists of their own.
        if !editing {
            let mut rack = self.panel(Surface::Panel);
            rack.inner_margin = Margin::symmetric(10, 14);
            Panel::left("rack").exact_size(sizes.rack).resizable(false).frame(rack).show(ui, |ui| {
                let units = self.units();
                let request = rack_panel(ui, &mut self.session, &mut self.rack, units, &self.theme);
                if let Some(request) = request {
                    self.answer_rack(request);
                }
            });
        }
        if !editing {
            let mut settings = self.panel(Surface::Panel);
            // The scroll bar lies in the margin, beside the pins.
            let bar = self.theme.sizes.gap.margin - 2.0;
            settings.inner_margin.right -= bar as i8;
            Panel::right("settings").exact_size(sizes.settings).resizable(false).frame(settings).show(
                ui,
                |ui| {
                    ScrollArea::vertical().auto_shrink([false, false]).show(ui, |ui| {
                        ui.set_max_width(ui.available_width() - bar);
                        let units = self.units();
                        let turned = settings_panel(
                            ui,
                            &mut self.session,
                            &mut self.settings,
                            self.prefs.page != Page::Find,
                            units,
                            &self.theme,
                        );
                        self.side.lit = turned.lit;
                        if turned.all_answers {
                            self.find.part = FindPart::Bevel;
                            self.prefs.page = Page::Find;
                            ui.ctx().request_repaint();
                        }
                    });
                },
            );
        }
        // The pair has the read-outs of both in a table of its own.
        if !editing && !matches!(self.prefs.page, Page::Pair | Page::Lesson) {
            let mut bottom = self.panel(Surface::Panel);
            bottom.inner_margin = Margin { left: 22, right: 22, top: 14, bottom: 10 };
            Panel::bottom("read").exact_size(sizes.read_outs).resizable(false).frame(bottom).show(ui, |ui| {
                // The settings may have moved since the answer was worked out.
                self.session.compute();
                let message = self.fresh();
                read_outs_panel(ui, &self.session, message.as_ref(), self.units(), &self.theme);
            });
        }
        if self.prefs.page != Page::Pair {
            self.session.set_link(None);
        }
        if self.prefs.page != Page::Lesson {
            self.lesson.leave(&mut self.session);
        }
        CentralPanel::default()
            .frame(Frame::new().fill(self.theme.surface(Surface::Panel)))
            .show(ui, |ui| self.page(ui));
    }

    /// The page in the middle.
    fn page(&mut self, ui: &mut Ui) {
        let units = self.units();
        let empty = self.session.current().is_none();
        match self.prefs.page {
            Page::Side | Page::Tip | Page::Curves if empty => {
                let rect = ui.available_rect_before_wrap();
                ui.painter().rect_filled(rect, 0.0, self.theme.surface(Surface::Canvas));
                in_the_middle(ui, rect, NO_CURRENT_SETTING, &self.theme);
            }
            Page::Tip => tip_page(ui, &mut self.session, &mut self.tip, units, &self.theme),
            Page::Curves => {
                curves_page(ui, &self.session, &mut self.curves, &mut self.tip, units, &self.theme);
            }
            Page::Side => {
                side_page(ui, &mut self.session, &mut self.side, units, &self.theme);
            }
            Page::Pair => {
                let message = self.fresh();
                let request =
                    pair_page(ui, &mut self.session, &mut self.pair, message.as_ref(), units, &self.theme);
                if request == Some(pair::PairRequest::SaveA) {
                    self.execute(ui.ctx(), Order::Save);
                }
            }
            Page::Find => find_page(ui, &mut self.session, &mut self.find, units, &self.theme),
            Page::Keep => {
                let folder = self.keeper.folder();
                keep_page(ui, &mut self.session, &mut self.keep, folder, units, &self.theme);
            }
            Page::Lesson => {
                let request = lesson_page(ui, &mut self.session, &mut self.lesson, units, &self.theme);
                if let Some(lesson::LessonRequest::Show(lesson, step)) = request {
                    self.playing = Some(Play::new(lesson, step));
                    ui.ctx().request_repaint();
                }
            }
            Page::Tool => edit::tool_page(ui, &mut self.session, &mut self.edit, units, &self.theme),
            Page::Print => print_page(
                ui,
                &self.session,
                &mut self.print,
                &mut self.prefs,
                self.keeper.folder(),
                &self.theme,
            ),
            Page::Rig => edit::rig_page(ui, &mut self.session, &mut self.edit, units, &self.theme),
        }
    }

    fn execute(&mut self, ctx: &egui::Context, order: Order) {
        match order {
            Order::Undo => {
                let words = self
                    .session
                    .undo()
                    .map_or("Nothing to undo.".to_owned(), |label| format!("Undone: {label}."));
                self.say(Tone::Weak, words);
            }
            Order::Redo => {
                let words = self
                    .session
                    .redo()
                    .map_or("Nothing to do again.".to_owned(), |label| format!("Done again: {label}."));
                self.say(Tone::Weak, words);
            }
            Order::Save => {
                if self.session.is_moved() {
                    if let Some(name) = self.session.save() {
                        self.say(Tone::Good, format!("Saved to “{name}”."));
                    }
                } else {
                    self.say(Tone::Weak, "Nothing was moved since it was saved.");
                }
            }
            Order::SaveAs => self.ask_save_as(),
            Order::Open => self.dialog = Some(Dialog::open(self.keeper.folder())),
            Order::SaveBenchAs => self.dialog = Some(Dialog::save_bench_as(self.keeper.path())),
            Order::Export => {
                self.dialog = Some(Dialog::export(self.keeper.folder(), &self.session.bench().title));
            }
            Order::Import => self.dialog = Some(Dialog::import(self.keeper.folder())),
            Order::Picture => self.ask_picture(),
            Order::CopyPicture => self.copy_picture(ctx),
            Order::Fit if self.prefs.page == Page::Tip => self.tip.fit(),
            Order::Fit if self.prefs.page == Page::Pair => self.pair.fit(),
            Order::Fit => self.side.fit(),
            Order::ZoomIn => self.zoom(1.25),
            Order::ZoomOut => self.zoom(0.8),
            Order::AtGrinder => {
                if self.session.current().is_some() {
                    self.at_grinder = Some(AtGrinder::new(self.left_at.clone()));
                }
            }
            Order::BigType => {
                if self.session.current().is_some() {
                    self.big_type = Some(BigType::new(self.prefs.page == Page::Pair));
                }
            }
            Order::Dark => {
                self.prefs.dark = !self.prefs.dark;
                self.theme = Theme::new(self.prefs.mode(), TypeScale::Ordinary);
                self.theme.apply(ctx);
            }
            Order::Unit => {
                use bevelbench_notebook::quantity::LengthUnit as U;
                self.prefs.unit = match self.prefs.unit {
                    U::Millimetre => U::Inch,
                    U::Inch => U::InchFraction,
                    U::InchFraction => U::Millimetre,
                };
            }
            Order::Help => self.dialog = Some(Dialog::Help(Help::on(self.prefs.page))),
            Order::Page(page) => self.prefs.page = page,
        }
        ctx.request_repaint();
    }

    fn zoom(&mut self, factor: f64) {
        match self.prefs.page {
            Page::Tip => self.tip.zoom(factor),
            Page::Pair => self.pair.zoom(factor),
            _ => self.side.zoom(factor),
        }
    }

    fn ask_save_as(&mut self) {
        if let Some(current) = self.session.current() {
            let taken = self.session.bench().settings.iter().map(|setting| setting.name.as_str());
            self.dialog = Some(Dialog::SaveSettingAs(crate::model::parts::free_name(&current.name, taken)));
        }
    }

    fn answer_rack(&mut self, request: RackRequest) {
        match request {
            RackRequest::RenameSetting(id) => {
                if let Some(setting) = self.session.bench().setting(id) {
                    self.dialog = Some(Dialog::RenameSetting(id, setting.name.clone()));
                }
            }
            RackRequest::RenameTool(id) => {
                if let Some(tool) = self.session.bench().tool(id) {
                    self.dialog = Some(Dialog::RenameTool(id, tool.name.clone()));
                }
            }
            RackRequest::EditTool(id) => {
                self.edit.choose_tool(id);
                self.prefs.page = Page::Tool;
            }
            RackRequest::SaveAs => self.ask_save_as(),
            RackRequest::NewTool => self.prefs.page = Page::Tool,
        }
    }
}

impl eframe::App for App {
    fn ui(&mut self, ui: &mut Ui, _frame: &mut eframe::Frame) {
        let size = ui.ctx().input(|input| input.viewport().inner_rect.map(|rect| rect.size()));
        if let Some(size) = size
            && size.x >= 200.0
            && self
                .prefs
                .window
                .is_none_or(|known| (known[0] - size.x).abs() + (known[1] - size.y).abs() > 1.0)
        {
            self.prefs.window = Some([size.x, size.y]);
        }
        self.show(ui);
    }

    fn on_exit(&mut self, _gl: Option<&eframe::glow::Context>) {
        self.leave();
    }
}

impl Drop for App {
    /// A panic ends here too: what was changed is written all the same.
    fn drop(&mut self) {
        self.leave();
    }
}
