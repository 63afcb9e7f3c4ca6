//! The arm from end to end: over what stretch of it each setting is served, and where it is left.

use bevelbench_notebook::{
    answer::{
        edge_curve::{multiples, round_increment},
        one_reach::Shared,
    },
    quantity::{LengthUnit, Units},
    saved::Bench,
};
use egui::{Align2, Rect, Sense, Stroke, Ui, WidgetInfo, pos2, vec2};

use crate::{
    model::appearance::Tone,
    pages::find::one_reach::named,
    toolkit::theme::{Surface, Theme},
};

pub(super) fn chart(ui: &mut Ui, bench: &Bench, shared: &Shared, units: Units, theme: &Theme) {
    let ends = || shared.stretches_mm.iter().flat_map(|(_, all)| all).flat_map(|(a, b)| [*a, *b]);
    let (least, most) = ends().fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), x| (a.min(x), b.max(x)));
    if !(least.is_finite() && most.is_finite()) {
        return;
    }
    let room = ((most - least) * 0.04).max(2.0);
    let (least, most) = (least - room, most + room);
    let line = theme.sizes.text.small * 1.5;
    let foot = theme.sizes.text.small * 1.8;
    let height = line * shared.stretches_mm.len() as f32 + foot + 6.0;
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), height), Sense::hover());
    response.widget_info(|| {
        WidgetInfo::labeled(egui::Role::Image, true, "Over what stretch of the arm each setting is served")
    });
    let painter = ui.painter();
    let names = (rect.width() * 0.40).min(190.0);
    let frame =
        Rect::from_min_max(pos2(rect.left() + names, rect.top()), pos2(rect.right(), rect.bottom() - foot));
    painter.rect_filled(frame, 0.0, theme.surface(Surface::Canvas));
    let x = |mm: f64| frame.left() + ((mm - least) / (most - least)) as f32 * frame.width();
    let weak = theme.tone(Tone::Weak);
    let by = if units.length == LengthUnit::Millimetre { 1.0 } else { 25.4 };
    let step = round_increment((most - least) / by / f64::from(frame.width() / 56.0).max(1.0));
    for value in multiples(step, least / by, most / by) {
        let at = x(value * by);
        painter.vline(at, frame.y_range(), Stroke::new(theme.sizes.line, theme.palette.grid));
        let decimals = (-step.log10().floor()).clamp(0.0, 3.0) as usize;
        let words = format!("{value:.decimals$}").replace('-', "−");
        painter.text(pos2(at, frame.bottom() + 2.0), Align2::CENTER_TOP, words, theme.small(), weak);
    }
    let unit = if by > 1.0 { "arm reach, in" } else { "arm reach, mm" };
    painter.text(pos2(rect.left(), frame.bottom() + 2.0), Align2::LEFT_TOP, unit, theme.small(), weak);
    for (i, (id, stretches)) in shared.stretches_mm.iter().enumerate() {
        let middle = frame.top() + 3.0 + line * (i as f32 + 0.5);
        let served = shared.served.iter().any(|served| served.entry.id == *id);
        // Not by colour alone: who is left out has hollow bars.
        for (from, to) in stretches {
            let bar = Rect::from_min_max(
                pos2(x(*from), middle - line * 0.27),
                pos2(x(*to).max(x(*from) + 2.0), middle + line * 0.27),
            );
            if served {
                painter.rect_filled(bar, 2.0, theme.palette.accent_soft);
            } else {
                let stroke = Stroke::new(1.2, theme.palette.neutral);
                painter.rect_stroke(bar, 2.0, stroke, egui::StrokeKind::Inside);
            }
        }
        let name = bench.setting(*id).map(|entry| named(bench, entry)).unwrap_or_default();
        let job = egui::text::LayoutJob {
            wrap: egui::text::TextWrapping::truncate_at_width(names - 8.0),
            ..egui::text::LayoutJob::simple_singleline(name, theme.small(), weak)
        };
        let galley = painter.layout_job(job);
        let at = pos2(rect.left(), middle - galley.size().y / 2.0);
        painter.galley(at.round(), galley, weak);
    }
    if let Some(reach) = shared.reach_mm {
        let stroke = Stroke::new(2.0 * theme.sizes.shaft, theme.palette.accent);
        painter.vline(x(reach), frame.y_range(), stroke);
    }
    painter.rect_stroke(frame, 0.0, theme.hairline(), egui::StrokeKind::Inside);
}
