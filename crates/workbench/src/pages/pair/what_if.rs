//! What if: one quantity swept, with small pictures of the bench and of the edge, and the bevel under each.

use bevelbench_geometry::math::Quantity;
use bevelbench_notebook::{
    drawing::{
        Bounds,
        pair_view::{InRow, side_by_side},
        svg::{Sheet, svg},
    },
    quantity::Units,
    saved::{
        Bench,
        table::{self, OnBench, settable},
    },
};
use egui::{
    Align2, ComboBox, Id as WidgetId, Rect, Role, Sense, Stroke, StrokeKind, Ui, UiBuilder, WidgetInfo, pos2,
    vec2,
};

use crate::{
    model::{appearance::Tone, session::Session},
    pages::{
        pair::{
            Figure,
            shown::{EvaluatedSetting, EvaluationOptions},
        },
        picture::sheet_of_shown,
    },
    toolkit::{
        canvas::{Canvas, Extras, Paper},
        theme::{Surface, Theme, Weight},
        view::View,
    },
};

/// Pictures in the strip.
const COUNT: usize = 5;

/// What the strip keeps from frame to frame.
#[derive(Debug, Default)]
pub struct WhatIf {
    dial: Option<Quantity>,
    cached: Option<WhatIfCache>,
    canvases: [[Canvas; 2]; COUNT],
}

#[derive(Debug)]
struct WhatIfCache {
    key: (u64, Units, Quantity),
    tiles: Vec<(f64, EvaluatedSetting)>,
    seen: Option<Bounds>,
}

/// The dials that can be swept for the current setting.
fn dials(session: &Session) -> Vec<Quantity> {
    let Some(current) = session.current() else { return Vec::new() };
    let mut all: Vec<Quantity> =
        table::turned(session.bench(), current).into_iter().filter(|dial| step_of(*dial).is_some()).collect();
    // Projection is what students ask about first.
    all.sort_by_key(|dial| *dial != Quantity::Projection);
    all
}

/// The step between the values of a quantity that are laid side by side, if they are.
fn step_of(quantity: Quantity) -> Option<f64> {
    table::row(quantity)?.turned?.compared
}

/// The values that are tried: the present one in the middle, or as near to it as the range allows.
fn values(bench: &Bench, dial: Quantity) -> Vec<f64> {
    let Some(now) = dial.get(bench) else { return Vec::new() };
    let Some(step) = step_of(dial) else { return Vec::new() };
    let (least, most) = dial.range(bench).unwrap_or((f64::NEG_INFINITY, f64::INFINITY));
    #[allow(clippy::float_cmp, reason = "the present value itself, not one near it")]
    let is_now = |value: f64| value == now;
    let before: f64 = if step < 0.0 { 0.0 } else { 2.0 };
    (0..COUNT)
        .map(|index| settable(now + step * (index as f64 - before)))
        .filter(|value| is_now(*value) || (least..=most).contains(value))
        .collect()
}

pub(super) fn strip(
    ui: &mut Ui,
    rect: Rect,
    session: &mut Session,
    state: &mut WhatIf,
    units: Units,
    theme: &Theme,
) {
    let gap = theme.sizes.gap;
    let dials = dials(session);
    let Some(first) = dials.first().copied() else { return };
    let dial = state.dial.filter(|dial| dials.contains(dial)).unwrap_or(first);
    let head = Rect::from_min_size(
        rect.min + vec2(gap.margin, gap.wide),
        vec2(rect.width() - 2.0 * gap.margin, theme.sizes.row),
    );
    ui.scope_builder(UiBuilder::new().max_rect(head), |ui| {
        ui.horizontal(|ui| {
            ui.label(
                egui::RichText::new("What if I change the").font(theme.body()).color(theme.tone(Tone::Weak)),
            );
            let text = dial.label();
            let response = ComboBox::from_id_salt("what if")
                .width(160.0)
                .selected_text(egui::RichText::new(text).font(theme.name()).color(theme.tone(Tone::Strong)))
                .show_ui(ui, |ui| {
                    for each in dials {
                        if ui.selectable_label(each == dial, each.label()).clicked() {
                            state.dial = Some(each);
                        }
                    }
                })
                .response;
            response.widget_info(|| {
                WidgetInfo::labeled(Role::ComboBox, true, format!("Quantity to change: {text}"))
            });
            ui.label(
                egui::RichText::new("and leave all else alone? Press a picture to set it so.")
                    .font(theme.body())
                    .color(theme.tone(Tone::Weak)),
            );
        });
    });
    make(session, state, dial, units);
    let Some(cached) = &state.cached else { return };
    let now = dial.get(session.bench());
    let body = Rect::from_min_max(
        pos2(rect.left() + gap.margin, head.bottom() + gap.wide),
        rect.max - vec2(gap.margin, gap.margin),
    );
    let each = (body.width() - gap.normal * (COUNT as f32 - 1.0)) / COUNT as f32;
    let mut pressed = None;
    let base = cached.tiles.iter().find(|(value, _)| Some(*value) == now).map(|(_, shown)| shown);
    for (index, (value, shown)) in cached.tiles.iter().enumerate() {
        let tile = Rect::from_min_size(
            pos2(body.left() + (each + gap.normal) * index as f32, body.top()),
            vec2(each, body.height()),
        );
        let is_now = Some(*value) == now;
        let message = TileText::of(dial, *value, shown, base, is_now, units);
        let response = ui.interact(tile, WidgetId::unique(("what if", index)), Sense::click());
        response.widget_info(|| WidgetInfo::selected(Role::Button, true, is_now, message.accessible_text()));
        frame(ui, tile, is_now, response.hovered(), response.has_focus(), theme);
        picture(ui, tile, &mut state.canvases[index], cached, shown, theme);
        message.write(ui, tile, theme);
        if response.clicked() && !is_now {
            pressed = Some(*value);
        }
    }
    if let Some(value) = pressed {
        session.edit(format!("Set {}", dial.label().to_lowercase()), |bench| dial.set(bench, value));
    }
}

fn make(session: &Session, state: &mut WhatIf, dial: Quantity, units: Units) {
    let key = (session.revision(), units, dial);
    if state.cached.as_ref().is_some_and(|cached| cached.key == key) {
        return;
    }
    let tiles: Vec<(f64, EvaluatedSetting)> = values(session.bench(), dial)
        .into_iter()
        .filter_map(|value| {
            let mut bench = session.bench().clone();
            dial.set(&mut bench, value);
            let current = bench.current.clone()?;
            let shown = EvaluatedSetting::of(
                &bench,
                &current,
                units,
                EvaluationOptions { edge: true, ..EvaluationOptions::default() },
            );
            Some((value, shown))
        })
        .collect();
    let seen = tiles.iter().filter_map(|(_, shown)| shown.focus).reduce(Bounds::union);
    state.cached = Some(WhatIfCache { key, tiles, seen });
}

/// Where the parts of a tile lie: bench, edge, words.
fn parts(tile: Rect, theme: &Theme) -> [Rect; 3] {
    let words = theme.sizes.text.figure * 1.5 + theme.sizes.text.body * 5.2;
    let pictures = (tile.height() - words).max(40.0);
    let bench = Rect::from_min_size(tile.min, vec2(tile.width(), pictures * 0.5)).shrink(1.5);
    let edge = Rect::from_min_size(
        pos2(tile.left(), tile.top() + pictures * 0.5),
        vec2(tile.width(), pictures * 0.5),
    )
    .shrink(1.5);
    [bench, edge, Rect::from_min_max(pos2(tile.left(), tile.top() + pictures), tile.max)]
}

fn frame(ui: &Ui, tile: Rect, is_now: bool, hovered: bool, focused: bool, theme: &Theme) {
    let fill = theme.surface(if hovered { Surface::Hover } else { Surface::Panel });
    let stroke =
        if is_now { Stroke::new(2.0 * theme.sizes.shaft, theme.palette.accent) } else { theme.hairline() };
    ui.painter().rect(tile, theme.corner(), fill, stroke, StrokeKind::Inside);
    if focused {
        ui.painter().rect_stroke(tile.expand(2.0), theme.corner(), theme.focus_ring(), StrokeKind::Inside);
    }
}

fn picture(
    ui: &Ui,
    tile: Rect,
    canvases: &mut [Canvas; 2],
    cached: &WhatIfCache,
    shown: &EvaluatedSetting,
    theme: &Theme,
) {
    let [bench, edge, _] = parts(tile, theme);
    let (revision, ..) = cached.key;
    // Another quantity is another picture under the same revision.
    let revision = revision * 16 + cached.key.2 as u64;
    let extras = Extras { paper: Paper::Plain, hovered: None, under_texts: &[] };
    if let Some(seen) = cached.seen {
        let view = View::fit(seen, bench, 6.0);
        canvases[0].paint(ui.painter(), &shown.drawing, revision, &view, theme, extras);
    }
    if let Some((drawing, around)) = &shown.edge {
        // The words on the edge would not fit here.
        let mut plain = drawing.clone();
        plain
            .shapes
            .retain(|shape| !matches!(shape.geometry, bevelbench_notebook::drawing::Geometry::Text { .. }));
        let view = View::fit(*around, edge, -8.0);
        canvases[1].paint(ui.painter(), &plain, revision, &view, theme, extras);
        ui.painter().hline(edge.x_range(), edge.top().floor() + 0.5, theme.hairline());
    }
}

impl WhatIf {
    /// The strip as an SVG text: the bench at every value, what is read under it.
    ///
    /// # Errors
    /// The words that say why there is nothing to draw.
    pub(super) fn picture(&self, name: &str, units: Units) -> Result<String, String> {
        let nothing = || "There is nothing to draw yet.".to_owned();
        let cached = self.cached.as_ref().ok_or_else(nothing)?;
        let dial = cached.key.2;
        let seen = cached.seen.ok_or_else(nothing)?;
        let base = cached.tiles.first().map(|(_, shown)| shown);
        let message: Vec<TileText> = cached
            .tiles
            .iter()
            .map(|(value, shown)| TileText::of(dial, *value, shown, base, true, units))
            .collect();
        let names: Vec<String> =
            message.iter().map(|message| format!("{}: {}", message.value, message.bevel)).collect();
        let row: Vec<InRow<'_>> = cached
            .tiles
            .iter()
            .zip(&names)
            .map(|((_, shown), name)| InRow { drawing: &shown.drawing, seen, name })
            .collect();
        let (drawing, around) = side_by_side(&row).ok_or_else(nothing)?;
        let title = format!("{name}: what if the {} changes", dial.label().to_lowercase());
        let shown: Vec<&EvaluatedSetting> = cached.tiles.iter().map(|(_, shown)| shown).collect();
        let facets = message
            .iter()
            .filter(|message| !message.bad)
            .map(|message| format!("{}: {}", message.value, message.facet));
        let more = [format!(
            "{} changed, all else left alone. {}",
            dial.label(),
            facets.collect::<Vec<_>>().join("; ")
        )];
        let sheet = sheet_of_shown(title, &shown, &[], more, units);
        Ok(svg(&drawing, &Sheet { window: Some(around), width_mm: 320.0, ..sheet }))
    }
}

/// What is written under a tile.
struct TileText {
    value: String,
    bevel: String,
    facet: String,
    note: String,
    bad: bool,
}

impl TileText {
    fn of(
        dial: Quantity,
        value: f64,
        shown: &EvaluatedSetting,
        base: Option<&EvaluatedSetting>,
        is_now: bool,
        units: Units,
    ) -> Self {
        let set = units.show(dial.kind(), value);
        let bevel = shown.figure(Figure::Bevel);
        let change =
            Figure::Bevel.difference(base.and_then(|base| base.figure(Figure::Bevel)), bevel, units.length);
        let facet = Figure::Facet.words(shown.figure(Figure::Facet), units.length);
        let bad = bevel.is_none();
        Self {
            value: set,
            bevel: if bad { "no answer".to_owned() } else { Figure::Bevel.words(bevel, units.length) },
            facet: if bad { String::new() } else { format!("facet {facet}") },
            note: match (bad, is_now) {
                (true, _) => "off what the rig allows".to_owned(),
                (_, true) => "as it is now".to_owned(),
                _ => format!("bevel {change}"),
            },
            bad,
        }
    }

    fn accessible_text(&self) -> String {
        format!("{}: {}, {} {}", self.value, self.bevel, self.facet, self.note)
    }

    fn write(&self, ui: &Ui, tile: Rect, theme: &Theme) {
        let [.., words] = parts(tile, theme);
        let text = theme.sizes.text;
        let x = words.center().x;
        let mut y = words.top() + 6.0;
        let mut line = |words: &str, font: egui::FontId, tone: Tone, height: f32| {
            ui.painter().text(
                pos2(x, y + height / 2.0),
                Align2::CENTER_CENTER,
                words,
                font,
                theme.tone(tone),
            );
            y += height;
        };
        line(&self.value, theme.name(), Tone::Weak, text.body * 1.5);
        let size = if self.bad { text.strong } else { text.figure };
        let tone = if self.bad { Tone::Bad } else { Tone::Strong };
        line(&self.bevel, theme.font(Weight::SemiBold, size), tone, text.figure * 1.35);
        line(&self.facet, theme.body(), Tone::Strong, text.body * 1.5);
        line(&self.note, theme.small(), Tone::Weak, text.body * 1.5);
    }
}
