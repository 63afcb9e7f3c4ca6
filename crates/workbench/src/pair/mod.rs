//! The pair: the setting in hand (A) and another (B), side by side to one scale or laid over each other, with what
//! differs between them in figures and in words.
//!
//! B is kept in the bench, so that undo covers it. What is dragged or turned moves A; a link takes B along.

mod equalise;
mod shown;
mod table;
mod what_if;

use bevelbench_notebook::{
    drawing::{Bounds, Drawing, Standing},
    saved::SettingEntry,
};
use egui::{
    Align, Align2, ComboBox, Id as WidgetId, Layout, Pos2, Rect, Sense, Stroke, Ui, UiBuilder, Vec2,
    WidgetInfo, pos2, vec2,
};

use crate::{
    canvas::{Canvas, Extras, Paper, part_at},
    dial::Dial,
    session::Session,
    side::{SideState, handles},
    theme::{Surface, Theme, Tone, Weight},
    units::Units,
    view::View,
    widgets::{Loudness, button},
};

pub use bevelbench_notebook::figure::Figure;
pub use equalise::{Equalised, equalise};
pub use shown::{Shown, Wanted};
pub use what_if::WhatIf;

/// How the pair is looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum PairLook {
    /// Two drawings to one scale.
    #[default]
    Beside,
    /// One drawing: A solid, B dashed.
    Over,
    /// One quantity swept.
    WhatIf,
}

impl PairLook {
    const ALL: [(Self, &'static str); 3] =
        [(Self::Beside, "Side by side"), (Self::Over, "Laid over"), (Self::WhatIf, "What if")];
}

/// What the page keeps from frame to frame.
#[derive(Debug, Default)]
pub struct PairState {
    /// How the pair is looked at.
    pub look: PairLook,
    canvases: [Canvas; 2],
    /// Drags of the handles of A.
    side: SideState,
    view: Option<View>,
    fitted_to: Option<(Vec2, PairLook, u32, u32)>,
    made: Option<Made>,
    what_if: WhatIf,
    /// The quantity that is moved in both.
    link: Option<Dial>,
    /// What was last done here, and the revision it speaks of.
    said: Option<(u64, Tone, String)>,
}

/// What is shown, kept until the session changes.
#[derive(Debug)]
struct Made {
    key: (u64, Units),
    a: Shown,
    b: Option<Shown>,
    over: Drawing,
    differences: Vec<String>,
}

/// What the page asks of the window.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Asked {
    /// Save A, as the order does.
    SaveA,
}

impl PairState {
    /// Shows all of both.
    pub fn fit(&mut self) {
        self.view = None;
    }

    /// Enlarges or reduces about the middle.
    pub fn zoom(&mut self, factor: f64) {
        self.view = self.view.map(|view| view.zoom_about(view.rect.center(), factor));
    }
}

/// The page.
pub fn pair_page(
    ui: &mut Ui,
    session: &mut Session,
    state: &mut PairState,
    said: Option<&(Tone, String)>,
    units: Units,
    theme: &Theme,
) -> Option<Asked> {
    let rect = ui.available_rect_before_wrap();
    ui.painter().rect_filled(rect, 0.0, theme.surface(Surface::Canvas));
    let gap = theme.sizes.gap;
    let bar_height = 2.0 * theme.sizes.row + 3.0 * gap.normal;
    let bar = Rect::from_min_size(rect.min, vec2(rect.width(), bar_height));
    ui.painter().rect_filled(bar, 0.0, theme.surface(Surface::Panel));
    ui.painter().hline(bar.x_range(), bar.bottom().floor() + 0.5, theme.hairline());
    let inner = bar.shrink2(vec2(gap.wide, gap.normal));
    let asked = ui
        .scope_builder(UiBuilder::new().max_rect(inner), |ui| toolbar(ui, session, state, units, theme))
        .inner;
    session.set_link(state.link.filter(|_| session.beside().is_some()));
    if session.in_hand().is_none() {
        middle_words(ui, rect, "Take a setting from the rack: it becomes A.", theme);
        return asked;
    }
    make(session, state, units);
    let below = Rect::from_min_max(pos2(rect.left(), bar.bottom()), rect.max);
    if state.look == PairLook::WhatIf {
        what_if::strip(ui, below, session, &mut state.what_if, units, theme);
        return asked;
    }
    let foot = table::height(theme).min(below.height() * 0.55);
    let picture =
        Rect::from_min_max(below.min, pos2(below.right(), (below.bottom() - foot).max(below.top() + 60.0)));
    pictures(ui, picture, session, state, units, theme);
    let foot = Rect::from_min_max(pos2(below.left(), picture.bottom()), below.max);
    if let Some(made) = &state.made {
        // While there is nothing to say, the cautions stand there.
        let told = session.outcome().map(|outcome| outcome.cautions.as_slice()).unwrap_or_default();
        let cautions = crate::read_outs::cautions_in_a_line(told);
        let said = state
            .said
            .as_ref()
            .filter(|(revision, ..)| *revision == session.revision())
            .map(|(_, tone, words)| (*tone, words.as_str()))
            .or(said.map(|(tone, words)| (*tone, words.as_str())))
            .or(Some((cautions.0, cautions.1.as_str())));
        table::table(ui, foot, &made.a, made.b.as_ref(), &made.differences, said, units, theme);
    }
    asked
}

fn middle_words(ui: &Ui, rect: Rect, words: &str, theme: &Theme) {
    let galley = ui.painter().layout(
        words.to_owned(),
        theme.body(),
        theme.tone(Tone::Weak),
        (rect.width() - 60.0).max(80.0),
    );
    ui.painter().galley(rect.center() - galley.size() / 2.0, galley, theme.tone(Tone::Weak));
}

fn make(session: &Session, state: &mut PairState, units: Units) {
    let key = (session.revision(), units);
    if state.made.as_ref().is_some_and(|made| made.key == key) {
        return;
    }
    let bench = session.bench();
    let Some(hand) = session.in_hand() else { return };
    let wanted = Wanted { dimensions: true, swept: true };
    let a = Shown::of(bench, hand, units, wanted);
    let b = session.beside().map(|entry| Shown::of(bench, entry, units, wanted));
    let length = |mm: f64| units.length(mm);
    let fine = |mm: f64| units.fine(mm);
    let differences = match (a.compared(), b.as_ref().and_then(Shown::compared)) {
        (Some(one), Some(other)) => bevelbench_notebook::words::difference_words(one, other, &length, &fine),
        _ => Vec::new(),
    };
    let mut over = Drawing::new();
    if let Some(entry) = session.beside() {
        // Its dimensions would lie on those of A.
        let plain = Shown::of(bench, entry, units, Wanted { dimensions: false, swept: false });
        over.overlay(a.drawing.clone());
        let titles = std::mem::take(&mut over.titles);
        over.overlay(plain.drawing.standing(Standing::Second));
        over.titles = titles;
    }
    state.made = Some(Made { key, a, b, over, differences });
}

/// The name of a setting with its tool.
fn full_name(session: &Session, entry: &SettingEntry) -> String {
    let tool = session.bench().tool(entry.tool).map_or("", |tool| tool.name.as_str());
    format!("{tool}: {}", entry.name)
}

fn toolbar(
    ui: &mut Ui,
    session: &mut Session,
    state: &mut PairState,
    units: Units,
    theme: &Theme,
) -> Option<Asked> {
    let gap = theme.sizes.gap;
    let mut asked = None;
    ui.spacing_mut().item_spacing = vec2(gap.small + 2.0, gap.normal);
    ui.horizontal(|ui| {
        let names: Vec<&str> = PairLook::ALL.iter().map(|(_, name)| *name).collect();
        let now = PairLook::ALL.iter().position(|(look, _)| *look == state.look).unwrap_or(0);
        if let Some(pressed) = crate::widgets::tab_bar(ui, &names, now, theme) {
            state.look = PairLook::ALL[pressed].0;
        }
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            if session.beside().is_some() && state.look != PairLook::WhatIf {
                link_box(ui, session, &mut state.link, theme);
            }
        });
    });
    ui.horizontal(|ui| {
        let word = |ui: &mut Ui, text: &str| {
            ui.label(egui::RichText::new(text).font(theme.strong()).color(theme.tone(Tone::Strong)))
        };
        word(ui, "B");
        choose_beside(ui, session, theme);
        let press = |ui: &mut Ui, words: &str, tip: &str| {
            button(ui, words, Loudness::Plain, theme).on_hover_text(tip).clicked()
        };
        if press(ui, "B from A", "Makes B a copy of A as it stands now, to be held while A moves on") {
            variant(session);
        }
        ui.add_enabled_ui(session.beside().is_some(), |ui| {
            if press(ui, "Swap", "A becomes B and B becomes A") {
                session.edit("Swap A and B", |bench| std::mem::swap(&mut bench.in_hand, &mut bench.beside));
            }
            if press(
                ui,
                "Make B equal A",
                "Moves B’s arm and strut (or table) so that it grinds what A grinds, at B’s own projection",
            ) {
                let told = make_equal(session, units);
                state.said = Some((session.revision(), told.0, told.1));
            }
            if press(ui, "Save B", "Saves B to its tool under its own name")
                && let Some(name) = session.save_beside()
            {
                state.said = Some((session.revision(), Tone::Good, format!("B is saved as “{name}”.")));
            }
        });
        if press(ui, "Save A", "Saves the setting in hand to its tool (Ctrl+S)") {
            asked = Some(Asked::SaveA);
        }
    });
    asked
}

/// What A and B may be tied by.
fn linkable(session: &Session) -> Vec<Dial> {
    let (Some(a), Some(b)) = (session.in_hand(), session.beside()) else { return Vec::new() };
    let of_b = Dial::of(b, session.bench());
    Dial::of(a, session.bench())
        .into_iter()
        .filter(|dial| of_b.contains(dial))
        .filter(|dial| !(*dial == Dial::WheelDiameter && (a.rig, a.wheel) == (b.rig, b.wheel)))
        .filter(|dial| !(*dial == Dial::ToolLength && a.tool == b.tool))
        .collect()
}

fn link_box(ui: &mut Ui, session: &Session, link: &mut Option<Dial>, theme: &Theme) {
    let can = linkable(session);
    *link = link.filter(|dial| can.contains(dial));
    let now = *link;
    let text = now.map_or("nothing", Dial::name);
    let mut chosen = None;
    let response = ComboBox::from_id_salt("link")
        .width(150.0)
        .selected_text(egui::RichText::new(text).font(theme.name()).color(theme.tone(Tone::Strong)))
        .show_ui(ui, |ui| {
            if ui.selectable_label(now.is_none(), "nothing").clicked() {
                chosen = Some(None);
            }
            for dial in can {
                if ui.selectable_label(now == Some(dial), dial.name()).clicked() {
                    chosen = Some(Some(dial));
                }
            }
        })
        .response;
    response.widget_info(|| WidgetInfo::labeled(egui::Role::ComboBox, true, format!("Move in both: {text}")));
    response.on_hover_text("What is moved in A moves by as much in B");
    ui.label(egui::RichText::new("Move in both").font(theme.body()).color(theme.tone(Tone::Weak)));
    if let Some(chosen) = chosen {
        *link = chosen;
    }
}

fn choose_beside(ui: &mut Ui, session: &mut Session, theme: &Theme) {
    let shown = session.beside().map_or("choose a setting…".to_owned(), |entry| entry.name.clone());
    let mut chosen = None;
    let response = ComboBox::from_id_salt("beside")
        .width(176.0)
        .height(theme.sizes.row * 14.0)
        .truncate()
        .selected_text(egui::RichText::new(&shown).font(theme.name()).color(theme.tone(Tone::Strong)))
        .show_ui(ui, |ui| {
            for entry in &session.bench().settings {
                let now = session.beside().is_some_and(|beside| beside.id == entry.id);
                if ui.selectable_label(now, full_name(session, entry)).clicked() {
                    chosen = Some(entry.clone());
                }
            }
        })
        .response;
    response.widget_info(|| WidgetInfo::labeled(egui::Role::ComboBox, true, format!("Setting B: {shown}")));
    if let Some(entry) = chosen {
        session.edit(format!("Lay “{}” beside", entry.name), |bench| bench.beside = Some(entry));
    }
}

/// A copy of A as B, under a name of its own.
fn variant(session: &mut Session) {
    let Some(mut copy) = session.in_hand().cloned() else { return };
    let bench = session.bench();
    let taken = bench.settings.iter().map(|setting| setting.name.as_str());
    copy.name = crate::edit::parts::free_name(&copy.name, taken);
    copy.id = bench.next_id();
    session.edit("Make B a copy of A", |bench| bench.beside = Some(copy));
}

/// Makes B equal A and says what came of it.
fn make_equal(session: &mut Session, units: Units) -> (Tone, String) {
    let (Some(a), Some(b)) = (session.in_hand().cloned(), session.beside().cloned()) else {
        return (Tone::Weak, "Choose B first.".to_owned());
    };
    match equalise(session.bench(), &a, &b, units) {
        Equalised::SameGrind(entry) => {
            session.edit("Make B equal A", |bench| bench.beside = Some(*entry));
            (Tone::Good, "B now grinds the same surface as A.".to_owned())
        }
        Equalised::SameBevel(entry) => {
            session.edit("Make B equal A", |bench| bench.beside = Some(*entry));
            let more = if a.swing.is_some() { " Its wings come out differently: see below." } else { "" };
            (Tone::Caution, format!("B now grinds the same bevel as A.{more}"))
        }
        Equalised::Nowhere(why) => (Tone::Bad, why),
    }
}

#[allow(clippy::too_many_lines, reason = "the two pictures share their view, their light and their handles")]
fn pictures(
    ui: &mut Ui,
    rect: Rect,
    session: &mut Session,
    state: &mut PairState,
    units: Units,
    theme: &Theme,
) {
    let Some(made) = &state.made else { return };
    let half = (rect.width() / 2.0).floor();
    let [left, right] = match state.look {
        PairLook::Over => [rect, rect],
        _ => [
            Rect::from_min_size(rect.min, vec2(half, rect.height())),
            Rect::from_min_max(pos2(rect.left() + half, rect.top()), rect.max),
        ],
    };
    let (Some(hand), beside) = (session.in_hand(), session.beside()) else { return };
    let key = (rect.size(), state.look, hand.id.0, beside.map_or(0, |entry| entry.id.0));
    let seen: Option<Bounds> = [Some(&made.a), made.b.as_ref()]
        .into_iter()
        .flatten()
        .filter_map(|shown| shown.focus)
        .reduce(Bounds::union);
    let margins = egui::epaint::MarginF32 { left: 18.0, right: 18.0, top: 40.0, bottom: 34.0 };
    let fitted =
        || seen.map_or_else(|| View::new(left, [0.0, 0.0], 1.0), |seen| View::fit(seen, left, margins));
    let held = state.view.filter(|_| state.fitted_to == Some(key) || session.history().is_open());
    if held.is_none() {
        state.fitted_to = Some(key);
    }
    let mut view = held.map_or_else(fitted, |view| view.in_rect(left));
    let mut hovered = None;
    for (index, area) in [left, right].into_iter().enumerate() {
        if index == 1 && (state.look == PairLook::Over || made.b.is_none()) {
            break;
        }
        let name = match (state.look, index) {
            (PairLook::Over, _) => "A and B laid over each other",
            (_, 0) => "Side view of A",
            _ => "Side view of B",
        };
        let response = ui.interact(area, WidgetId::unique(("pair", index)), Sense::click_and_drag());
        response.widget_info(|| WidgetInfo::labeled(egui::Role::Canvas, true, name));
        if response.dragged() {
            view = view.pan(response.drag_delta());
        }
        if let Some(pointer) = response.hover_pos() {
            let scroll = ui.input(|i| i.smooth_scroll_delta().y);
            let factor = f64::from(scroll / 300.0).exp() * f64::from(ui.input(egui::InputState::zoom_delta));
            if (factor - 1.0).abs() > 1e-6 {
                view = view.in_rect(area).zoom_about(pointer, factor).in_rect(left);
            }
            hovered = Some((index, pointer));
        }
        if response.double_clicked() {
            view = fitted();
        }
    }
    state.view = Some(view);
    let drawing_of = |index: usize| match (state.look, index, &made.b) {
        (PairLook::Over, _, Some(_)) => &made.over,
        (_, 1, Some(b)) => &b.drawing,
        _ => &made.a.drawing,
    };
    for (index, area) in [left, right].into_iter().enumerate() {
        if index == 1 && state.look == PairLook::Over {
            break;
        }
        if index == 1 && made.b.is_none() {
            middle_words(
                ui,
                area,
                "Choose a setting as B above, or press “B from A” to hold A as it is now and then move A on.",
                theme,
            );
            break;
        }
        let view = view.in_rect(area);
        let drawing = drawing_of(index);
        let part = hovered
            .filter(|(of, _)| *of == index)
            .and_then(|(_, at)| part_at(drawing, &view, at, theme.sizes.hit * 0.6));
        // The same part is lit in both.
        let lit = part.or_else(|| {
            hovered.and_then(|(of, at)| {
                let other = drawing_of(of);
                let area = if of == 0 { left } else { right };
                part_at(other, &view.in_rect(area), at, theme.sizes.hit * 0.6)
            })
        });
        let extras = Extras { paper: Paper::Grid, hovered: lit, under_texts: &[] };
        // The drawing laid over is another one under the same revision.
        let revision = session.revision() * 2 + u64::from(state.look == PairLook::Over);
        state.canvases[index].paint(ui.painter(), drawing, revision, &view, theme, extras);
    }
    if state.look != PairLook::Over {
        ui.painter().vline(right.left().floor() + 0.5, rect.y_range(), theme.hairline());
    }
    let names = [Some(full_name(session, hand)), beside.map(|entry| full_name(session, entry))];
    for (index, name) in names.into_iter().enumerate() {
        let Some(name) = name else { continue };
        let at = match state.look {
            PairLook::Over => pos2(rect.left() + 14.0 + half * index as f32, rect.top() + 12.0),
            _ => pos2([left, right][index].left() + 14.0, rect.top() + 12.0),
        };
        plate(ui, at, index == 1, &name, half - 60.0, theme);
    }
    let inner = left.shrink(6.0);
    let mut clipped = ui.new_child(UiBuilder::new().max_rect(left));
    clipped.set_clip_rect(left);
    handles(&mut clipped, session, &mut state.side, &view, inner, units, theme);
}

/// The letter of a setting in a disc, ringed solid for A and dashed for B, and its name.
pub(crate) fn plate(ui: &Ui, at: Pos2, second: bool, name: &str, room: f32, theme: &Theme) {
    let size = theme.sizes.text.strong * 1.6;
    let centre = at + Vec2::splat(size / 2.0);
    let painter = ui.painter();
    let galley = painter.layout_no_wrap(
        short(ui, name, room - size - 10.0, theme),
        theme.name(),
        theme.tone(Tone::Strong),
    );
    let back = Rect::from_min_size(at - vec2(4.0, 3.0), vec2(size + galley.size().x + 16.0, size + 6.0));
    painter.rect_filled(back, theme.corner(), theme.palette.pill);
    letter(ui, centre, size, second, theme);
    let text = pos2(at.x + size + 6.0, centre.y - galley.size().y / 2.0);
    painter.galley(text, galley, theme.tone(Tone::Strong));
}

fn short(ui: &Ui, name: &str, room: f32, theme: &Theme) -> String {
    let width = |text: &str| {
        ui.painter().layout_no_wrap(text.to_owned(), theme.name(), theme.tone(Tone::Strong)).size().x
    };
    if width(name) <= room {
        return name.to_owned();
    }
    let mut cut: String = name.to_owned();
    while cut.pop().is_some() {
        let text = format!("{}…", cut.trim_end());
        if width(&text) <= room {
            return text;
        }
    }
    String::new()
}

/// A or B in its disc.
pub(crate) fn letter(ui: &Ui, centre: Pos2, size: f32, second: bool, theme: &Theme) {
    let painter = ui.painter();
    let radius = size / 2.0 - 1.0;
    let font = theme.font(Weight::SemiBold, size * 0.58);
    if second {
        painter.circle_filled(centre, radius, theme.surface(Surface::Raised));
        let ring: Vec<Pos2> = (0..=48)
            .map(|i| centre + radius * Vec2::angled(std::f32::consts::TAU * i as f32 / 48.0))
            .collect();
        let stroke = Stroke::new(1.8 * theme.sizes.shaft, theme.palette.accent);
        painter.extend(egui::Shape::dashed_line(&ring, stroke, size * 0.17, size * 0.11));
        painter.text(centre, Align2::CENTER_CENTER, "B", font, theme.tone(Tone::Link));
    } else {
        painter.circle_filled(centre, radius, theme.palette.accent);
        painter.text(centre, Align2::CENTER_CENTER, "A", font, theme.palette.on_accent);
    }
}
