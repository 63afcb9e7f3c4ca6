//! The flute's kind and numbers, beside the tip that follows from them.

use bevelbench_geometry::math::Kind;
use bevelbench_notebook::{
    quantity::Units,
    saved::{BarSaved, Bench, BlankSaved, FluteSaved, Id},
};
use egui::{ComboBox, Ui, WidgetInfo};

use crate::{
    model::session::Session,
    toolkit::{
        theme::Theme,
        widgets::{Setting, divider, section, setting_row},
    },
};

/// A number of the flute.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum FluteDial {
    Floor,
    Factor,
    Exponent,
    Slope,
    FloorRadius,
    Radius,
}

impl FluteDial {
    const fn of(flute: FluteSaved) -> &'static [Self] {
        match flute {
            FluteSaved::Power { .. } => &[Self::Floor, Self::Exponent, Self::Factor],
            FluteSaved::Vee { .. } => &[Self::Floor, Self::Slope, Self::FloorRadius],
            FluteSaved::Circle { .. } => &[Self::Floor, Self::Radius],
        }
    }

    const fn name(self) -> &'static str {
        match self {
            Self::Floor => "Flute floor",
            Self::Factor => "Steepness",
            Self::Exponent => "Fullness",
            Self::Slope => "Wall slope",
            Self::FloorRadius => "Floor radius",
            Self::Radius => "Flute radius",
        }
    }

    const fn how(self) -> &'static str {
        match self {
            Self::Floor => {
                "Height of the flute’s floor above (+) or below (−) the bar’s centreline. Half the diameter less the steel under the flute gives it, with its sign turned."
            }
            Self::Factor => "How fast the wall rises: the factor k of the law floor + k·|w|ⁿ, millimetres.",
            Self::Exponent => {
                "2 is a parabola; the larger, the more the flute is a U with upright walls: the n of the law floor + k·|w|ⁿ."
            }
            Self::Slope => "Rise over run of the straight walls of a V.",
            Self::FloorRadius => "Radius of the rounded floor of a V.",
            Self::Radius => "Radius of a flute that is part of a circle.",
        }
    }

    const fn is_length(self) -> bool {
        matches!(self, Self::Floor | Self::FloorRadius | Self::Radius)
    }

    fn get(self, bar: &BarSaved) -> f64 {
        match (self, bar.flute) {
            (Self::Floor, _) => bar.flute_floor_mm,
            (Self::Factor, FluteSaved::Power { k, .. }) => k,
            (Self::Exponent, FluteSaved::Power { n, .. }) => n,
            (Self::Slope, FluteSaved::Vee { slope, .. }) => slope,
            (Self::FloorRadius, FluteSaved::Vee { floor_radius_mm, .. }) => floor_radius_mm,
            (Self::Radius, FluteSaved::Circle { radius_mm }) => radius_mm,
            _ => 0.0,
        }
    }

    fn set(self, bar: &mut BarSaved, value: f64) {
        match (self, &mut bar.flute) {
            (Self::Floor, _) => bar.flute_floor_mm = value,
            (Self::Factor, FluteSaved::Power { k, .. }) => *k = value,
            (Self::Exponent, FluteSaved::Power { n, .. }) => *n = value,
            (Self::Slope, FluteSaved::Vee { slope, .. }) => *slope = value,
            (Self::FloorRadius, FluteSaved::Vee { floor_radius_mm, .. }) => *floor_radius_mm = value,
            (Self::Radius, FluteSaved::Circle { radius_mm }) => *radius_mm = value,
            _ => {}
        }
    }

    fn range(self, bar: &BarSaved) -> (f64, f64) {
        let radius = bar.diameter_mm / 2.0;
        match self {
            Self::Floor => (-0.92 * radius, 0.5 * radius),
            Self::Factor => {
                // From a wall that just reaches the bar's side to one that is nearly upright at half its width.
                let n = Self::Exponent.get(bar).clamp(2.0, 24.0);
                let deep = (radius - bar.flute_floor_mm).max(0.1);
                (0.25 * deep / radius.powf(n), 3.0 * deep / (0.5 * radius).powf(n).max(1e-12))
            }
            Self::Exponent => (2.0, 8.0),
            Self::Slope => (0.2, 6.0),
            Self::FloorRadius => (0.0, 0.6 * radius),
            Self::Radius => (0.4 * radius, 4.0 * radius),
        }
    }

    /// As it would be set: lengths to a tenth, the rest to three figures.
    fn settable(self, value: f64) -> f64 {
        if self.is_length() {
            return bevelbench_notebook::saved::table::settable(value);
        }
        if value == 0.0 || !value.is_finite() {
            return value;
        }
        let scale = 10_f64.powf(2.0 - value.abs().log10().floor());
        (value * scale).round() / scale
    }
}

/// The bar of a tool.
fn bar_of(bench: &mut Bench, tool: Id) -> Option<&mut BarSaved> {
    let tool = bench.tools.iter_mut().find(|each| each.id == tool)?;
    match &mut tool.blank {
        BlankSaved::Bar(bar) => Some(bar),
        BlankSaved::Flat(_) => None,
    }
}

/// The names of the kinds of flute.
const KINDS: [&str; 3] = ["U or parabola", "V with a round floor", "part of a circle"];

const fn kind(flute: FluteSaved) -> usize {
    match flute {
        FluteSaved::Power { .. } => 0,
        FluteSaved::Vee { .. } => 1,
        FluteSaved::Circle { .. } => 2,
    }
}

/// A flute of another kind that starts out much like the present one: as deep, and as wide half-way up.
fn of_kind(bar: &BarSaved, kind: usize) -> FluteSaved {
    let radius = bar.diameter_mm / 2.0;
    let deep = (radius - bar.flute_floor_mm).max(0.2);
    let half_way = deep / 2.0;
    let wide = match bar.flute {
        FluteSaved::Power { k, n } if k > 0.0 => (half_way / k).powf(1.0 / n.max(2.0)),
        FluteSaved::Vee { slope, floor_radius_mm } if slope > 0.0 => {
            let foot = slope * floor_radius_mm;
            (((half_way / slope + foot).powi(2) - foot * foot).max(0.0)).sqrt()
        }
        FluteSaved::Circle { radius_mm } => (half_way * (2.0 * radius_mm - half_way)).max(0.0).sqrt(),
        _ => 0.5 * radius,
    };
    let wide = if wide.is_finite() { wide.clamp(0.15 * radius, 0.9 * radius) } else { 0.5 * radius };
    let round = |value: f64, unit: f64| (value / unit).round() * unit;
    match kind {
        0 => FluteSaved::Power { k: FluteDial::Factor.settable(half_way / (wide * wide)), n: 2.0 },
        1 => {
            let floor_radius_mm = round(0.25 * wide, 0.1);
            // The slope that passes the same place half-way up.
            let slope = round(half_way / wide * 1.15, 0.05).max(0.2);
            FluteSaved::Vee { slope, floor_radius_mm }
        }
        _ => {
            let alike = (wide * wide + half_way * half_way) / (2.0 * half_way);
            // A smaller circle would not open: its widest place must reach the bar's outside.
            let floor = bar.flute_floor_mm;
            let opens = f64::midpoint(-floor, (2.0 * radius * radius - floor * floor).max(0.0).sqrt());
            FluteSaved::Circle { radius_mm: (alike.max(opens * 1.05) * 10.0).ceil() / 10.0 }
        }
    }
}

/// The flute's kind and numbers; each change is a change of the tool.
pub(super) fn flute_rows(ui: &mut Ui, session: &mut Session, units: Units, theme: &Theme) {
    let Some(current) = session.current() else { return };
    let tool_id = current.tool;
    let Some(tool) = session.bench().tool(tool_id) else { return };
    let BlankSaved::Bar(bar) = &tool.blank else { return };
    let bar = bar.clone();
    divider(ui, theme);
    section(ui, "The flute", "", theme);
    let now = kind(bar.flute);
    let mut chosen = now;
    let combo = ComboBox::from_id_salt("flute kind")
        .width(ui.available_width() - theme.sizes.gap.normal)
        .selected_text(KINDS[now])
        .show_ui(ui, |ui| {
            for (i, name) in KINDS.iter().enumerate() {
                ui.selectable_value(&mut chosen, i, *name);
            }
        });
    combo.response.widget_info(|| {
        WidgetInfo::labeled(egui::Role::ComboBox, true, format!("Kind of flute: {}", KINDS[now]))
    });
    combo.response.on_hover_text("The flute belongs to the tool: every setting of this tool follows.");
    if chosen != now {
        let flute = of_kind(&bar, chosen);
        session.edit("Change the kind of flute", |bench| {
            if let Some(bar) = bar_of(bench, tool_id) {
                bar.flute = flute;
            }
        });
        ui.ctx().request_repaint();
        return;
    }
    for dial in FluteDial::of(bar.flute) {
        let value = dial.get(&bar);
        let (least, most) = dial.range(&bar);
        let show = |value: f64| {
            if dial.is_length() {
                units.length(value)
            } else {
                let text = format!("{}", dial.settable(value));
                text.replace('-', "−")
            }
        };
        let read = |text: &str| {
            if dial.is_length() {
                units.read(Kind::Length, text)
            } else {
                text.trim()
                    .replace('−', "-")
                    .replace(',', ".")
                    .parse()
                    .map_err(|_| format!("“{}” is not a number.", text.trim()))
            }
        };
        let row = Setting {
            tooltip: dial.how(),
            step: if dial.is_length() { 0.1 } else { (most - least) / 50.0 },
            show: &show,
            read: &read,
            note: None,
            ..Setting::new(dial.name(), value, least.min(value)..=most.max(value))
        };
        let outcome = setting_row(ui, &row, theme);
        let label = format!(
            "Set {} to {}",
            dial.name().to_lowercase(),
            show(outcome.gesture.changed.unwrap_or(value))
        );
        session.gesture(label, &outcome.gesture, |bench, value| {
            if let Some(bar) = bar_of(bench, tool_id) {
                dial.set(bar, dial.settable(value));
            }
        });
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;
    use bevelbench_notebook::saved::library::demo_bench;

    #[test]
    fn every_gouge_of_the_demo_can_take_every_kind_of_flute() {
        for tool in demo_bench().unwrap().tools {
            let BlankSaved::Bar(bar) = tool.blank else { continue };
            for to in 0..3 {
                let other = BarSaved { flute: of_kind(&bar, to), ..bar.clone() };
                assert_eq!(kind(other.flute), to);
                assert!(other.build().is_ok(), "{}: {:?}", tool.name, other.flute);
            }
        }
    }

    #[test]
    fn a_row_reads_back_what_it_sets() {
        for tool in demo_bench().unwrap().tools {
            let BlankSaved::Bar(mut bar) = tool.blank else { continue };
            for dial in FluteDial::of(bar.flute) {
                let (least, most) = dial.range(&bar);
                assert!(least < most, "{}: {}", tool.name, dial.name());
                let value = dial.settable(f64::midpoint(least, most));
                dial.set(&mut bar, value);
                assert!((dial.get(&bar) - value).abs() < 1e-12);
            }
        }
    }

    #[test]
    fn numbers_without_a_unit_keep_three_figures() {
        assert!((FluteDial::Factor.settable(0.012_345) - 0.0123).abs() < 1e-12);
        assert!((FluteDial::Slope.settable(1.234_5) - 1.23).abs() < 1e-12);
    }
}
