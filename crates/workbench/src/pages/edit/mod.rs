//! The pages where tools and rigs are made and edited: a list at the left, the form in the middle, sketches at the right
//! that show where the dimension under the hand is measured.

pub(crate) mod entry;
mod fields;
mod figure;
mod fit;
mod guide;
mod kinds;
pub(crate) mod measure;
mod new_setting;
mod rig_dimensions;
mod rig_form;
mod rig_page;
mod setting_dialog;
mod tool_form;
mod tool_page;

use std::sync::OnceLock;

use bevelbench_notebook::{
    drawing::Drawing,
    saved::{Bench, Id, SettingEntry, library::library},
};
use egui::{Align, Layout, Popup, Rect, Response, RichText, ScrollArea, Ui, UiBuilder, pos2};

pub use rig_page::rig_page;
pub use tool_page::tool_page;

use crate::model::parts::{PartOf, Users};
use crate::{
    model::{appearance::Tone, session::Session},
    toolkit::{
        theme::Theme,
        widgets::{Emphasis, button, dialog},
    },
};
use fields::FormState;
use figure::Figures;
use new_setting::NewSetting;

/// What is chosen on the rig page.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
enum RigChoice {
    /// A rig: its grinder.
    Rig(Id),
    /// A wheel of a rig, with what stands in front of it.
    Wheel(Id, Id),
    /// A holder of a rig.
    Holder(Id, Id),
}

impl RigChoice {
    fn rig(self) -> Id {
        match self {
            Self::Rig(rig) | Self::Wheel(rig, _) | Self::Holder(rig, _) => rig,
        }
    }
}

/// A dialog of the pages.
#[derive(Debug)]
enum Ask {
    /// Whether to delete a part that settings use.
    Delete(PartOf),
    /// What a new setting is made of.
    Setting(NewSetting),
}

/// What the pages keep from frame to frame: the choice, what was refused, an open dialog, the kept sketches.
#[derive(Debug, Default)]
pub struct EditState {
    tool: Option<Id>,
    rig: Option<RigChoice>,
    followed: Option<(Id, Id, Id)>,
    ask: Option<Ask>,
    forms: FormState,
    rig_part: rig_page::RigPart,
    guide: guide::GuideState,
    fit: fit::FitState,
    tool_figures: Figures,
    rig_figures: Figures,
    outlines: Option<(u64, Vec<Drawing>)>,
    /// The chosen row of the list is to be scrolled to.
    reveal: bool,
}

impl EditState {
    /// Chooses a tool for the tool page.
    pub fn choose_tool(&mut self, tool: Id) {
        self.tool = Some(tool);
        self.reveal = true;
        self.forms.forget();
    }

    /// Whether a dialog of the pages is open: keys of the window should rest.
    #[must_use]
    pub fn is_asking(&self) -> bool {
        self.ask.is_some()
    }

    /// Chooses the tool and the wheel of the current setting whenever another one is made current, and something that is
    /// still there whenever the chosen part is gone.
    fn follow(&mut self, bench: &Bench) {
        let current =
            bench.current.as_ref().map(|current: &SettingEntry| (current.tool, current.rig, current.wheel));
        if let Some((tool, rig, wheel)) = current
            && self.followed != current
        {
            // The first time, a choice made from outside stands.
            if self.followed.is_some() || self.tool.is_none() {
                self.tool = Some(tool);
            }
            self.rig = Some(RigChoice::Wheel(rig, wheel));
            self.followed = current;
            self.reveal = true;
        }
        if self.tool.is_none_or(|id| bench.tool(id).is_none()) {
            self.tool = bench.tools.first().map(|tool| tool.id);
        }
        self.rig = self.rig.map_or_else(|| first_rig(bench), |choice| still_there(bench, choice));
    }
}

fn first_rig(bench: &Bench) -> Option<RigChoice> {
    bench.rigs.first().map(|rig| RigChoice::Rig(rig.id))
}

/// The choice, or its rig if the part is gone, or another rig if that is gone too.
fn still_there(bench: &Bench, choice: RigChoice) -> Option<RigChoice> {
    let Some(rig) = bench.rig(choice.rig()) else { return first_rig(bench) };
    let there = match choice {
        RigChoice::Rig(_) => true,
        RigChoice::Wheel(_, id) => rig.wheel(id).is_some(),
        RigChoice::Holder(_, id) => rig.holder(id).is_some(),
    };
    Some(if there { choice } else { RigChoice::Rig(rig.id) })
}

/// The built-in library, read once. A test holds it whole; damaged, it would be empty.
fn built_in() -> &'static Bench {
    static LIBRARY: OnceLock<Bench> = OnceLock::new();
    LIBRARY.get_or_init(|| library().unwrap_or_default())
}

/// Changes the bench as one undo step of a page.
fn commit(
    session: &mut Session,
    forms: &mut FormState,
    label: impl Into<String>,
    change: impl FnOnce(&mut Bench),
) {
    session.edit(label, change);
    forms.own_revision = session.revision();
}

/// The places of a page's parts.
#[derive(Debug, Clone, Copy)]
struct Areas {
    list: Rect,
    form: Rect,
    figures: Rect,
}

/// Begins a page: what is chosen still exists, its places are taken and papered.
fn open_page(ui: &mut Ui, bench: &Bench, state: &mut EditState, theme: &Theme) -> Areas {
    state.follow(bench);
    state.forms.begin();
    let page = ui.available_rect_before_wrap();
    ui.advance_cursor_after_rect(page);
    let places = areas(page, theme);
    figure::paper(ui, places.figures, theme);
    hairlines(ui, page, &places, theme);
    places
}

/// Divides a page: beside one another where there is room, else the list and the sketches over the form.
fn areas(page: Rect, theme: &Theme) -> Areas {
    let size = theme.sizes.text.body / 12.5;
    let gap = theme.sizes.gap.margin;
    let width = page.width();
    let inner = page.shrink2(egui::vec2(gap, gap * 0.75));
    if width >= 740.0 * size {
        let list = (width * 0.21).clamp(150.0 * size, 230.0 * size);
        let form = (width * 0.36).clamp(296.0 * size, 380.0 * size);
        let left = inner.left() + list + gap;
        let right = left + form + gap;
        Areas {
            list: Rect::from_min_max(inner.min, pos2(inner.left() + list, inner.bottom())),
            form: Rect::from_min_max(pos2(left + gap * 0.5, inner.top()), pos2(right, inner.bottom())),
            figures: Rect::from_min_max(pos2(right + gap, page.top()), page.max),
        }
    } else {
        let list = (page.height() * 0.24).clamp(90.0 * size, 150.0 * size);
        let shown = (page.height() * 0.3).clamp(110.0, 210.0 * size);
        let top = page.top() + shown;
        Areas {
            figures: Rect::from_min_max(page.min, pos2(page.right(), top)),
            list: Rect::from_min_max(pos2(inner.left(), top + gap * 0.5), pos2(inner.right(), top + list)),
            form: Rect::from_min_max(pos2(inner.left(), top + list + gap), inner.max),
        }
    }
}

/// A part of a page with an id and a clip of its own.
fn part_of(ui: &mut Ui, name: &str, rect: Rect) -> Ui {
    let mut inner =
        ui.new_child(UiBuilder::new().id_salt(name).max_rect(rect).layout(Layout::top_down(Align::Min)));
    inner.set_clip_rect(rect.expand(6.0).intersect(ui.clip_rect()));
    inner
}

/// The hairlines between the parts of a page.
fn hairlines(ui: &Ui, page: Rect, areas: &Areas, theme: &Theme) {
    if areas.figures.left() > page.left() {
        let between = f32::midpoint(areas.list.right(), areas.form.left()).floor() + 0.5;
        ui.painter().vline(between, page.y_range(), theme.hairline());
        ui.painter().vline(areas.figures.left().floor() + 0.5, page.y_range(), theme.hairline());
    } else {
        ui.painter().hline(page.x_range(), areas.figures.bottom().floor() + 0.5, theme.hairline());
        ui.painter().hline(
            page.x_range(),
            (areas.form.top() - theme.sizes.gap.small).floor() + 0.5,
            theme.hairline(),
        );
    }
}

/// A list that scrolls, over a foot of buttons.
fn list(ui: &mut Ui, theme: &Theme, foot_rows: f32, rows: impl FnOnce(&mut Ui)) {
    let foot = foot_rows * (theme.sizes.row + theme.sizes.gap.small) + theme.sizes.gap.normal;
    let room = (ui.available_height() - foot).max(theme.sizes.row * 1.5);
    ScrollArea::vertical().id_salt("rows").max_height(room).auto_shrink([false, true]).show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 1.0;
        rows(ui);
    });
    ui.add_space(theme.sizes.gap.small);
}

/// A form that scrolls.
fn scrolled(ui: &mut Ui, name: &str, theme: &Theme, form: impl FnOnce(&mut Ui)) {
    ScrollArea::vertical().id_salt(name).auto_shrink([false, false]).show(ui, |ui| {
        // Room for the scroll bar beside the fields.
        ui.set_max_width(ui.available_width() - theme.sizes.gap.wide);
        ui.spacing_mut().item_spacing.y = theme.sizes.gap.small;
        form(ui);
        ui.add_space(theme.sizes.gap.section);
    });
}

/// A menu of names under a button; the index of the one that was chosen. Empty names are headings' places: see `menu_rows`.
fn menu(response: &Response, theme: &Theme, rows: &[MenuRow<'_>]) -> Option<usize> {
    let mut chosen = None;
    Popup::menu(response).width(theme.sizes.text.body * 22.0).show(|ui| {
        ScrollArea::vertical().max_height(theme.sizes.row * 15.0).show(ui, |ui| {
            ui.with_layout(Layout::top_down_justified(Align::Min), |ui| {
                for (index, row) in rows.iter().enumerate() {
                    match row {
                        MenuRow::Heading(words) => {
                            ui.add_space(theme.sizes.gap.small);
                            ui.label(RichText::new(*words).font(theme.small()).color(theme.tone(Tone::Weak)));
                        }
                        MenuRow::Part(name) => {
                            if ui.selectable_label(false, *name).clicked() {
                                chosen = Some(index);
                                ui.close();
                            }
                        }
                    }
                }
            });
        });
    });
    chosen
}

/// A row of a menu.
#[derive(Debug, Clone, Copy)]
enum MenuRow<'a> {
    /// What the parts below are.
    Heading(&'a str),
    /// A part that can be chosen.
    Part(&'a str),
}

/// A quiet remark in a form.
fn remark(ui: &mut Ui, words: &str, theme: &Theme) {
    ui.label(RichText::new(words).font(theme.small()).color(theme.tone(Tone::Weak)));
}

/// Deletes a part: at once if nothing uses it, else after asking.
fn delete(session: &mut Session, state: &mut EditState, part: PartOf) {
    if part.users(session.bench()).none() {
        delete_now(session, state, part);
    } else {
        state.ask = Some(Ask::Delete(part));
    }
}

fn delete_now(session: &mut Session, state: &mut EditState, part: PartOf) {
    let name = part.name(session.bench());
    let label = match part {
        PartOf::Tool(_) => format!("Delete “{name}” with its settings"),
        _ => format!("Delete “{name}”"),
    };
    commit(session, &mut state.forms, label, |bench| part.delete(bench));
    state.forms.forget();
}

/// The dialogs of the pages.
fn dialogs(ui: &Ui, session: &mut Session, state: &mut EditState, theme: &Theme) {
    match state.ask.take() {
        None => {}
        Some(Ask::Delete(part)) => {
            if let Some(delete) = ask_delete(ui, session.bench(), part, theme) {
                if delete {
                    delete_now(session, state, part);
                }
                ui.ctx().request_repaint();
            } else {
                state.ask = Some(Ask::Delete(part));
            }
        }
        Some(Ask::Setting(mut wanted)) => {
            match setting_dialog::ask_setting(ui, session.bench(), &mut wanted, theme) {
                None => state.ask = Some(Ask::Setting(wanted)),
                Some(make) => {
                    if make && let Some(mut entry) = wanted.start(session.bench()) {
                        commit(
                            session,
                            &mut state.forms,
                            format!("New setting “{}”", entry.name),
                            |bench| {
                                entry.id = bench.give_id();
                                bench.settings.push(entry.clone());
                                bench.current = Some(entry);
                            },
                        );
                    }
                    ui.ctx().request_repaint();
                }
            }
        }
    }
}

/// What becomes of what uses a part that is deleted.
fn users_words(part: PartOf, users: Users) -> String {
    let kind = part.kind();
    let count = |count: usize, what: &str| match count {
        0 => None,
        1 => Some(format!("1 {what}")),
        _ => Some(format!("{count} {what}s")),
    };
    let mut words = Vec::new();
    if let Some(many) = count(users.settings, "setting") {
        let one = users.settings == 1;
        let (uses, go, stay) = if one {
            ("uses", "It goes", "It stays on the bench and says")
        } else {
            ("use", "They go", "They stay on the bench and say")
        };
        words.push(match part {
            PartOf::Tool(_) => format!("{many} {uses} it. {go} with the tool."),
            _ => format!("{many} {uses} it. {stay} that the {kind} is missing until you choose another."),
        });
    }
    let others: Vec<String> =
        [count(users.lessons, "lesson"), count(users.trials, "trial grind")].into_iter().flatten().collect();
    if !others.is_empty() {
        let (uses, say) = if users.lessons + users.trials == 1 { ("uses", "says") } else { ("use", "say") };
        words.push(format!("{} {uses} it and from then on {say} that it is missing.", others.join(" and ")));
    }
    words.join(" ")
}

/// Asks whether a part that is used is to be deleted; the answer, once there is one.
fn ask_delete(ui: &Ui, bench: &Bench, part: PartOf, theme: &Theme) -> Option<bool> {
    let name = part.name(bench);
    let kind = part.kind();
    let what = users_words(part, part.users(bench));
    let words = format!("{what} Undo (Ctrl+Z) brings everything back.");
    let (answer, close) = dialog(
        ui.ctx(),
        egui::Id::unique("delete a part"),
        &format!("Delete “{name}”?"),
        440.0,
        theme,
        |ui| {
            ui.label(RichText::new(words).font(theme.body()));
            ui.add_space(theme.sizes.gap.margin);
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                let delete = button(ui, &format!("Delete the {kind}"), Emphasis::Main, theme).clicked();
                let keep = button(ui, "Keep it", Emphasis::Plain, theme).clicked();
                if delete { Some(true) } else { keep.then_some(false) }
            })
            .inner
        },
    );
    answer.or(close.then_some(false))
}
