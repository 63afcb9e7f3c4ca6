//! The ink test over the whole bevel: the tool as one of its settings ground it, laid on today's wheel.

use bevelbench_geometry::{facet::ink::FILM_ASSUMED_MM, swept::SweptInk};
use bevelbench_notebook::{
    answer::swept::{Swept, settling_of, swept},
    quantity::Units,
    saved::{Id, SettingEntry},
};
use egui::{ComboBox, RichText, Ui, WidgetInfo};

use crate::{
    model::{appearance::Tone, session::Session},
    pages::tip::EDGE_POINTS,
    toolkit::{
        theme::Theme,
        widgets::{caution_line, section},
    },
};

/// Thickness of the film: an assumption, and said to be one.
pub(super) const FILM_MM: f64 = FILM_ASSUMED_MM;
/// Half-way out along a wing, as a parameter of the upper face.
const HALF_WAY_OUT: f64 = 1.0 / 3.0;

/// The film’s thickness and that it is assumed.
pub(super) fn film_words(units: Units) -> String {
    format!("{} (assumed)", units.film(FILM_MM))
}

/// The tool as it is, laid on today's wheel.
#[derive(Debug)]
pub(super) struct RestingTip {
    /// The setting that ground it.
    pub(super) ground_by: Id,
    /// Its shape as that setting left it.
    pub(super) present: Swept,
    /// That shape at rest on today's wheel.
    pub(super) ink: SweptInk,
}

impl RestingTip {
    /// The gap at a point of the edge, as its card says it.
    pub(super) fn reading(&self, point: usize, units: Units) -> (&'static str, String) {
        let gap = self.present.points().get(point).and_then(|point| self.ink.gap_at_mm(point.position()));
        let words = match gap {
            Some(gap) if gap <= FILM_MM => "inked".to_owned(),
            Some(gap) => units.fine(gap),
            None => "not met".to_owned(),
        };
        ("gap to the wheel", words)
    }

    /// Where ink goes along the line from a place of the edge to the heel.
    fn where_inked(&self, t: f64) -> &'static str {
        let Some(facing) = self.ink.facing(self.present.tip(), t, FILM_MM) else { return "not met" };
        let (edge, heel) = (facing.edge_gap_mm <= FILM_MM, facing.heel_gap_mm <= FILM_MM);
        match (edge, heel) {
            _ if facing.inked_mm >= 0.999 * facing.facet_mm => "all over",
            (true, true) => "both ends",
            (true, false) => "edge",
            (false, true) => "heel",
            (false, false) if facing.inked_mm > 0.0 => "between",
            (false, false) => "none",
        }
    }
}

/// What the ink test keeps from frame to frame.
#[derive(Debug, Default)]
pub(super) struct InkTest {
    /// Whether it is shown.
    pub(super) on: bool,
    /// The setting that ground the tool, where one was chosen.
    chosen: Option<Id>,
    made: Option<RestingTipCache>,
}

/// A test that was worked out, and of what.
#[derive(Debug)]
pub(super) struct RestingTipCache {
    revision: u64,
    ground_by: Id,
    resting: Option<RestingTip>,
}

impl RestingTipCache {
    /// The tool at rest on today's wheel, if it has a shape.
    pub(super) fn resting(&self) -> Option<&RestingTip> {
        self.resting.as_ref()
    }
}

/// The settings that may have ground the current tool, the likeliest first.
fn candidates(session: &Session) -> Vec<&SettingEntry> {
    let Some(current) = session.current() else { return Vec::new() };
    let mut all: Vec<&SettingEntry> = session.bench().settings_of(current.tool).collect();
    // A setting that was moved is tried against itself as it was saved.
    all.sort_by_key(|entry| entry.id != current.id);
    all
}

impl InkTest {
    fn ground_by<'a>(&self, session: &'a Session) -> Option<&'a SettingEntry> {
        let all = candidates(session);
        let chosen = self.chosen.and_then(|id| all.iter().find(|entry| entry.id == id));
        chosen.or(all.first()).copied()
    }

    /// Works the test out if the bench has changed since, or another setting was chosen.
    pub(super) fn compute(&mut self, session: &Session, today: &Swept, revision: u64) {
        if !self.on {
            self.made = None;
            return;
        }
        let Some(entry) = self.ground_by(session) else {
            self.made = None;
            return;
        };
        if self.made.as_ref().is_some_and(|kept| kept.revision == revision && kept.ground_by == entry.id) {
            return;
        }
        // The buffers of the last map are used again.
        let mut ink =
            self.made.take().and_then(|kept| kept.resting).map(|resting| resting.ink).unwrap_or_default();
        let resting = session.outcome().and_then(|outcome| outcome.job.as_ref()).and_then(|job| {
            let (old, view) = session.bench().answer(entry).ok()?;
            let present = swept(&old, &view, entry.swing.as_ref(), EDGE_POINTS).ok()?;
            ink.lay(present.tip(), today.tip().surface(), settling_of(job));
            Some(RestingTip { ground_by: entry.id, present, ink })
        });
        self.made = Some(RestingTipCache { revision, ground_by: entry.id, resting });
    }

    /// What was worked out, for as long as it is drawn.
    pub(super) fn take(&mut self) -> Option<RestingTipCache> {
        self.made.take()
    }

    /// It was drawn.
    pub(super) fn restore(&mut self, kept: Option<RestingTipCache>) {
        self.made = kept;
    }
}

/// What ground the tool, and where ink goes.
pub(super) fn ink_rows(ui: &mut Ui, session: &Session, state: &mut InkTest, units: Units, theme: &Theme) {
    if !state.on {
        return;
    }
    ui.add_space(theme.sizes.gap.wide);
    section(ui, "Ink on today’s wheel", "", theme);
    let Some(chosen) = state.ground_by(session) else {
        caution_line(ui, "No saved setting of this tool says how it was ground.", Tone::Caution, theme);
        return;
    };
    let weak =
        |words: &str| RichText::new(words.to_owned()).font(theme.small()).color(theme.tone(Tone::Weak));
    ui.label(weak("The tool as it was ground by"));
    let mut id = chosen.id;
    let text = chosen.name.clone();
    let combo = ComboBox::from_id_salt("ink ground by")
        .width(ui.available_width())
        .truncate()
        .selected_text(RichText::new(&text).font(theme.name()).color(theme.tone(Tone::Strong)))
        .show_ui(ui, |ui| {
            for entry in candidates(session) {
                ui.selectable_value(&mut id, entry.id, &entry.name);
            }
        });
    combo.response.widget_info(|| {
        WidgetInfo::labeled(egui::Role::ComboBox, true, format!("The tool as ground by: {text}"))
    });
    if id != chosen.id {
        state.chosen = Some(id);
        ui.ctx().request_repaint();
    }
    let Some(kept) = &state.made else { return };
    let Some(resting) = kept.resting() else {
        caution_line(
            ui,
            "That setting leaves no shape that could be laid on the wheel.",
            Tone::Caution,
            theme,
        );
        return;
    };
    let places: &[(&str, f64)] = if resting.present.is_gouge() {
        &[("Left wing", HALF_WAY_OUT), ("Nose", 0.0), ("Right wing", -HALF_WAY_OUT)]
    } else {
        &[("Middle", 0.0)]
    };
    for (name, t) in places {
        let words = format!("{name}: {}", resting.where_inked(*t));
        ui.label(RichText::new(words).font(theme.body()).color(theme.tone(Tone::Strong)));
    }
    let note = format!(
        "The tool is turned about its pivot until the wheel first touches, roll angle by roll angle. Film {}; half-way out along the wings.",
        film_words(units)
    );
    ui.label(weak(&note));
}
