//! A made-up bench with every widget on it, to look at: `cargo run --example gallery -- [dark] [big]`.
//!
//! The drawing is laid out by hand with round numbers; nothing here is computed by the geometry.

use bevelbench::{
    model::appearance::{Mode, Tone, TypeScale},
    shell::window,
    toolkit::{
        canvas::{
            Canvas, Extras, Loupe, LoupePlace, Paper,
            handle::{HandleEvent, handle},
            part_at,
        },
        theme::{Surface, Theme, Weight},
        view::View,
        widgets::{
            Emphasis, Pin, ProportionBar, RackRow, ReadOut, Setting, Tick, button, caution_line, dialog,
            divider, proportion_bars, rack_row, read_out_row, search_field, section, setting_row,
            status_line, tab_bar,
        },
    },
};
use bevelbench_geometry::math::Angle;
use bevelbench_notebook::drawing::{
    Align, Bounds, Drawing, Geometry, Mark, Part, Point, Role, Standing, TextSize, segment,
};
use egui::{Frame, Id, Margin, Panel, Pos2, RichText, epaint::MarginF32};

fn main() {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let has = |word: &str| words.iter().any(|w| w == word);
    let mode = if has("dark") { Mode::Dark } else { Mode::Light };
    let type_scale = if has("big") { TypeScale::Big } else { TypeScale::Ordinary };
    let ask = has("dialog");
    let ghost = has("ghost");
    let opened = window::run_native(
        None,
        Box::new(move |cc| {
            let theme = Theme::new(mode, type_scale);
            theme.apply(&cc.egui_ctx);
            Ok(Box::new(Gallery::new(theme, ask, ghost)))
        }),
    );
    if let Err(reason) = opened {
        eprintln!("{reason}");
        std::process::exit(2);
    }
}

struct Gallery {
    theme: Theme,
    canvas: Canvas,
    loupe: Loupe,
    revision: u64,
    reach: f64,
    before: f64,
    others: [f64; 4],
    pins: [bool; 5],
    tab: usize,
    row: usize,
    search: String,
    outlines: Vec<Drawing>,
    view: Option<View>,
    ask: bool,
    ghost: bool,
    status: String,
}

const TABS: [&str; 8] = ["Side", "Tip", "Curves", "Pair", "Wear", "Rig", "Lesson", "Print"];

const ROWS: [(&str, &str, Option<usize>); 13] = [
    ("Spindle gouge 10 mm", "", Some(0)),
    ("Long grind, 85 mm", "40°", None),
    ("Short grind, 60 mm", "45°", None),
    ("Bowl gouge 13 mm", "", Some(1)),
    ("Swept, keeping wheel", "55°", None),
    ("Inside bowl, relieved", "60°", None),
    ("Roughing gouge 25 mm", "", Some(2)),
    ("Straight across", "45°", None),
    ("Skew 19 mm", "", Some(3)),
    ("Both faces", "30° incl.", None),
    ("Parting tool 5 mm", "", Some(4)),
    ("Diamond", "50° incl.", None),
    ("Round scraper with a very long name", "", Some(5)),
];

impl Gallery {
    fn new(theme: Theme, ask: bool, ghost: bool) -> Self {
        let shapes: [&[Point]; 6] = [
            &[[0.0, 0.0], [22.0, 0.0], [30.0, 6.0], [23.0, 10.0], [0.0, 10.0]],
            &[[0.0, 0.0], [16.0, 0.0], [30.0, 9.0], [25.0, 12.0], [0.0, 12.0]],
            &[[0.0, 0.0], [28.0, 0.0], [24.0, 14.0], [0.0, 14.0]],
            &[[0.0, 0.0], [30.0, 0.0], [22.0, 10.0], [0.0, 10.0]],
            &[[0.0, 0.0], [22.0, 0.0], [30.0, 3.5], [22.0, 7.0], [0.0, 7.0]],
            &[[0.0, 0.0], [22.0, 0.0], [28.0, 2.0], [30.0, 5.0], [28.0, 8.0], [22.0, 10.0], [0.0, 10.0]],
        ];
        let outlines = shapes
            .iter()
            .map(|points| {
                let mut drawing = Drawing::new();
                drawing.add(Role::Tool, Part::Tool, Geometry::Outline(points.to_vec()));
                drawing
            })
            .collect();
        Self {
            theme,
            canvas: Canvas::new(),
            loupe: Loupe::default(),
            revision: 0,
            reach: 180.0,
            before: 180.0,
            others: [85.0, 40.0, 150.0, 0.0],
            pins: [false, true, true, true, true],
            tab: 0,
            row: 1,
            search: String::new(),
            outlines,
            view: None,
            ask,
            ghost,
            status: "Whole facet meets the wheel: the ink comes off along its full length.".to_owned(),
        }
    }

    fn panel(&self, surface: Surface) -> Frame {
        Frame::new()
            .fill(self.theme.surface(surface))
            .inner_margin(Margin::same(self.theme.sizes.gap.margin as i8))
    }

    fn top(&mut self, ui: &mut egui::Ui) {
        let theme = self.theme.clone();
        ui.horizontal_centered(|ui| {
            let title =
                RichText::new("Demo bench").font(theme.font(Weight::SemiBold, theme.sizes.text.title));
            ui.label(title);
            ui.label(RichText::new("all changes saved").font(theme.body()).color(theme.tone(Tone::Weak)));
            ui.add_space(theme.sizes.gap.section * 2.0);
            if let Some(i) = tab_bar(ui, &TABS, self.tab, &theme) {
                self.tab = i;
            }
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                for words in ["Help", "Big type", "mm"] {
                    button(ui, words, Emphasis::Quiet, &theme);
                }
            });
        });
    }

    fn rack(&mut self, ui: &mut egui::Ui) {
        let theme = self.theme.clone();
        search_field(ui, &mut self.search, "Search tools", &theme);
        ui.add_space(theme.sizes.gap.normal);
        ui.spacing_mut().item_spacing.y = 1.0;
        egui::ScrollArea::vertical().show(ui, |ui| {
            for (i, (name, value, outline)) in ROWS.into_iter().enumerate() {
                if outline.is_some() && i > 0 {
                    ui.add_space(theme.sizes.gap.small);
                }
                let outline = outline.map(|o| &self.outlines[o]);
                let response = rack_row(
                    ui,
                    RackRow {
                        name,
                        value,
                        outline,
                        chosen: i == self.row,
                        caution: if i == 2 { "drifted" } else { "" },
                    },
                    &theme,
                );
                if response.clicked() {
                    self.row = i;
                }
                response.context_menu(|ui| {
                    for words in ["Rename", "Duplicate", "Delete"] {
                        if ui.button(words).clicked() {
                            ui.close();
                        }
                    }
                });
            }
        });
    }

    fn settings(&mut self, ui: &mut egui::Ui) {
        let theme = self.theme.clone();
        ui.horizontal(|ui| {
            ui.label(RichText::new("Find a bevel of").font(theme.body()).color(theme.tone(Tone::Weak)));
            button(ui, "40.0°", Emphasis::Plain, &theme);
            button(ui, "Find", Emphasis::Main, &theme);
        });
        ui.add_space(theme.sizes.gap.normal);
        ui.spacing_mut().item_spacing.y = theme.sizes.gap.normal - 1.0;
        let mm = |v: f64| format!("{v:.1} mm");
        let deg = |v: f64| format!("{v:.1}°");
        let read = |text: &str| {
            let number = text.trim().trim_end_matches("mm").trim_end_matches('°').trim().replace(',', ".");
            number
                .parse::<f64>()
                .map_err(|_| format!("“{}” is not a length. Write it like 85 or 3 3/8 in.", text.trim()))
        };
        let stops = [Tick { value: 60.0, name: "stop" }, Tick { value: 85.0, name: "stop" }];
        let rows = [
            ("Arm reach", self.reach, 60.0..=280.0, &[][..], "free", false),
            ("Projection", self.others[0], 20.0..=130.0, &stops[..], "stop at 85", false),
            ("Strut angle", self.others[1], 20.0..=80.0, &[][..], "", true),
            ("Wheel diameter", self.others[2], 60.0..=150.0, &[][..], "new 150", false),
            ("Roll centre", self.others[3], -5.0..=5.0, &[][..], "bar centre", false),
        ];
        for (i, (name, value, range, ticks, note, angle)) in rows.into_iter().enumerate() {
            let setting = Setting {
                tooltip: "Measured along the arm, from the wheel’s centre to the pivot.",
                ticks,
                show: if angle { &deg } else { &mm },
                read: &read,
                pin: Some(if self.pins[i] { Pin::Pinned } else { Pin::Free }),
                note: Some(note),
                error: (i == 2 && self.ghost).then_some("The strut is 4 mm too short to reach the cup."),
                ..Setting::new(name, value, range)
            };
            let outcome = setting_row(ui, &setting, &theme);
            if let Some(value) = outcome.gesture.changed {
                if i == 0 {
                    self.reach = value;
                    self.revision += 1;
                } else {
                    self.others[i - 1] = value;
                }
            }
            if outcome.gesture.ended {
                self.status = format!("{name} is now {}", (setting.show)(value));
            }
            if let Some(pin) = outcome.pin {
                self.pins[i] = pin;
            }
        }
        divider(ui, &theme);
        section(ui, "Sure to", "± 0.6°", &theme);
        ui.spacing_mut().item_spacing.y = 0.0;
        let bars = [
            ProportionBar { name: "projection", fraction: 1.0, figure: "0.46°" },
            ProportionBar { name: "reach", fraction: 0.42, figure: "0.19°" },
            ProportionBar { name: "strut angle", fraction: 0.19, figure: "0.09°" },
        ];
        proportion_bars(ui, &bars, &theme);
        ui.spacing_mut().item_spacing.y = theme.sizes.gap.normal - 2.0;
        ui.add_space(theme.sizes.gap.normal);
        caution_line(ui, "To hold half a degree, set the projection to 0.4 mm.", Tone::Weak, &theme);
        divider(ui, &theme);
        section(ui, "Cautions", "", &theme);
        caution_line(ui, "Eyes and lungs covered; guards in place.", Tone::Caution, &theme);
        caution_line(ui, "Rim 22 m/s; check the wheel’s own marking.", Tone::Caution, &theme);
    }

    fn read_outs(&mut self, ui: &mut egui::Ui) {
        let theme = self.theme.clone();
        let all = [
            ("Bevel at the edge", "40.0°", "", true),
            ("Across the facet", "41.4°", "", true),
            ("Facet", "6.2", "mm", false),
            ("Hollow", "0.06", "mm", false),
            ("Heel", "touches", "", false),
            ("Gauge length", "127.4", "mm", false),
            ("Per mm of reach", "0.95°", "", false),
        ];
        let all = all.map(|(caption, number, unit, leading)| ReadOut {
            caption,
            number,
            unit,
            tooltip: "",
            tone: Tone::Strong,
            leading,
        });
        read_out_row(ui, &all, &theme);
        ui.add_space(theme.sizes.gap.small);
        status_line(ui, &self.status, Tone::Good, &theme);
    }

    fn side(&mut self, ui: &mut egui::Ui) {
        let theme = self.theme.clone();
        let rect = ui.available_rect_before_wrap();
        let bounds = Bounds { min: [-85.0, -160.0], max: [300.0, 85.0] };
        let fit = View::fit(bounds, rect, MarginF32 { left: 20.0, right: 20.0, top: 60.0, bottom: 40.0 });
        let mut view = self.view.filter(|v| v.rect == rect).unwrap_or(fit);
        let response = ui.interact(rect, Id::unique("paper"), egui::Sense::click_and_drag());
        if response.dragged() {
            view = view.pan(response.drag_delta());
        }
        let scroll = ui.input(|i| i.smooth_scroll_delta().y);
        if let Some(pointer) = response.hover_pos()
            && scroll != 0.0
        {
            view = view.zoom_about(pointer, f64::from(scroll / 300.0).exp());
        }
        self.view = Some(view);
        let mut drawing = bench(self.reach);
        if self.ghost {
            let attempt = bench(self.reach + 30.0).standing(Standing::Attempt);
            drawing = drawing.standing(Standing::Ghost);
            drawing.overlay(attempt);
        }
        let hovered = response.hover_pos().and_then(|p| part_at(&drawing, &view, p, theme.sizes.hit));
        let radius = (rect.width().min(rect.height()) * 0.19).min(150.0);
        let place = LoupePlace {
            centre: Pos2::new(rect.right() - radius - 44.0, rect.top() + radius + 28.0),
            radius,
            target_in_bench: rim(18.0),
            scale: 14.0,
            caption: "the edge, 9 times enlarged",
        };
        let leader = Loupe::leader(&view, place, &theme);
        let extras = Extras { paper: Paper::Grid, hovered, under_texts: &leader };
        self.canvas.paint(ui.painter(), &drawing, self.revision, &view, &theme, extras);
        self.loupe.paint(ui.painter(), &drawing, self.revision, place, &theme);
        let at = view.screen_from_bench([self.reach, ARM]);
        let words = format!("{:.1} mm", self.reach);
        match handle(ui, Id::unique("pivot"), at, "Pivot along the arm", &words, &theme) {
            HandleEvent::Begun => self.before = self.reach,
            HandleEvent::Dragged { to } => self.reach = view.bench_from_screen(to)[0].clamp(60.0, 280.0),
            HandleEvent::Ended { .. } => self.status = format!("Arm reach is now {words}"),
            HandleEvent::Cancelled => self.reach = self.before,
            HandleEvent::Nudged { right, stride, .. } => self.reach += f64::from(right) * stride.factor(),
            HandleEvent::None | HandleEvent::Hovered => {}
        }
        // The drawing was made before the handle spoke.
        self.revision = self.reach.to_bits();
    }
}

impl eframe::App for Gallery {
    fn ui(&mut self, ui: &mut egui::Ui, _frame: &mut eframe::Frame) {
        let sizes = self.theme.sizes;
        let mut bar = self.panel(Surface::Panel);
        bar.inner_margin.top = 0;
        bar.inner_margin.bottom = 0;
        Panel::top("top").exact_size(sizes.top_bar).resizable(false).frame(bar).show(ui, |ui| self.top(ui));
        let mut rack = self.panel(Surface::Panel);
        rack.inner_margin = Margin::symmetric(10, 14);
        if self.theme.type_scale == TypeScale::Ordinary {
            Panel::left("rack")
                .exact_size(sizes.rack)
                .resizable(false)
                .frame(rack)
                .show(ui, |ui| self.rack(ui));
        }
        let settings = self.panel(Surface::Panel);
        Panel::right("settings").exact_size(sizes.settings).resizable(false).frame(settings).show(ui, |ui| {
            egui::ScrollArea::vertical().show(ui, |ui| self.settings(ui));
        });
        let mut bottom = self.panel(Surface::Panel);
        bottom.inner_margin = Margin { left: 22, right: 22, top: 14, bottom: 10 };
        Panel::bottom("read")
            .exact_size(sizes.read_outs)
            .resizable(false)
            .frame(bottom)
            .show(ui, |ui| self.read_outs(ui));
        egui::CentralPanel::default().frame(Frame::new()).show(ui, |ui| self.side(ui));
        if self.ask {
            let theme = self.theme.clone();
            let (pressed, close) =
                dialog(ui.ctx(), Id::unique("ask"), "Remove “Short grind, 60 mm”?", 420.0, &theme, |ui| {
                    ui.label("It stays in the history, and Ctrl+Z brings it back.");
                    ui.add_space(theme.sizes.gap.margin);
                    ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                        let remove = button(ui, "Remove", Emphasis::Main, &theme).clicked();
                        button(ui, "Keep", Emphasis::Plain, &theme).clicked() || remove
                    })
                    .inner
                });
            self.ask = !(pressed || close);
        }
    }
}

const ARM: f64 = -92.0;

/// A point of a 150 mm wheel's rim, so many degrees above level.
fn rim(degrees: f64) -> Point {
    let angle = Angle::from_degrees(degrees);
    [75.0 * angle.cos(), 75.0 * angle.sin()]
}

#[allow(clippy::too_many_lines, reason = "a picture, laid out by hand")]
fn bench(reach: f64) -> Drawing {
    let mut d = Drawing::new();
    let deg = Angle::from_degrees;
    let edge = rim(18.0 + 2.37);
    // Along the bar and upwards across it, from the edge.
    let (sin, cos) = deg(-32.0).sin_cos();
    let at = |u: f64, v: f64| [edge[0] + u * cos - v * sin, edge[1] + u * sin + v * cos];
    let outline = |points: &[Point]| Geometry::Outline(points.iter().map(|p| at(p[0], p[1])).collect());
    let bar = |from: Point, to: Point, half: f64| {
        let (x, y) = (to[0] - from[0], to[1] - from[1]);
        let length = x.hypot(y).max(1e-9);
        let (nx, ny) = (-y / length * half, x / length * half);
        Geometry::Outline(vec![
            [from[0] + nx, from[1] + ny],
            [to[0] + nx, to[1] + ny],
            [to[0] - nx, to[1] - ny],
            [from[0] - nx, from[1] - ny],
        ])
    };
    let rectangle =
        |x0: f64, y0: f64, x1: f64, y1: f64| Geometry::Outline(vec![[x0, y1], [x1, y1], [x1, y0], [x0, y0]]);

    d.add(Role::Bench, Part::Bench, rectangle(-80.0, -152.0, 295.0, -145.0));
    d.add(Role::TablePost, Part::Arm, rectangle(34.0, -145.0, 46.0, -98.0));
    d.add(Role::Arm, Part::Arm, rectangle(20.0, -98.0, 290.0, ARM));
    d.add(Role::WheelNew, None, Geometry::Circle { centre: [0.0, 0.0], radius: 79.0 });
    d.add(Role::Wheel, Part::Rim, Geometry::Circle { centre: [0.0, 0.0], radius: 75.0 });
    d.add(Role::Spindle, None, Geometry::Circle { centre: [0.0, 0.0], radius: 16.0 });
    d.add(Role::Spindle, None, Geometry::Circle { centre: [0.0, 0.0], radius: 4.0 });
    d.add(
        Role::Rotation,
        None,
        Geometry::Arc { centre: [0.0, 0.0], radius: 52.0, start: deg(150.0), sweep: deg(-48.0) },
    );
    let turn = [52.0 * deg(100.0).cos(), 52.0 * deg(100.0).sin()];
    d.add(Role::Rotation, None, Geometry::Mark { at: turn, direction: deg(11.0), mark: Mark::Arrow });
    d.add(Role::Construction, None, segment([-90.0, 0.0], [92.0, 0.0]));
    d.add(Role::Construction, None, segment([0.0, -90.0], [0.0, 90.0]));

    // Tool: flute floor 1 mm under the bar's axis; handle behind.
    d.add(
        Role::Handle,
        Part::Handle,
        outline(&[
            [122.0, 9.5],
            [128.0, 10.5],
            [150.0, 11.0],
            [172.0, 9.5],
            [184.0, 10.5],
            [188.0, 7.0],
            [188.0, -4.0],
            [184.0, -8.0],
            [172.0, -7.0],
            [150.0, -8.5],
            [128.0, -8.0],
            [122.0, -7.0],
        ]),
    );
    d.add(
        Role::Tool,
        Part::Tool,
        outline(&[[0.0, 0.0], [4.0, 3.6], [9.0, 6.0], [122.0, 6.0], [122.0, -4.0], [4.77, -4.0]]),
    );
    d.add(Role::ToolHidden, Part::Tool, Geometry::Line(vec![at(0.0, 0.0), at(48.0, 0.0), at(56.0, 6.0)]));
    d.add(Role::Holder, Part::Holder, outline(&[[60.0, 10.0], [92.0, 10.0], [92.0, -8.0], [60.0, -8.0]]));
    let hinge = at(72.0, -4.0);
    let pivot = [reach, ARM];
    d.add(Role::Strut, Part::Strut, bar(hinge, pivot, 2.2));
    d.add(Role::Spindle, Part::Holder, Geometry::Circle { centre: hinge, radius: 3.2 });
    d.add(Role::Cup, Part::Cup, rectangle(reach - 9.0, ARM - 2.0, reach + 9.0, ARM + 3.0));
    d.add(
        Role::Facet,
        Part::Facet,
        Geometry::Arc { centre: [0.0, 0.0], radius: 75.0, start: deg(20.37), sweep: deg(-4.74) },
    );

    // Bevel: the tangent against the bar.
    let tangent = deg(-72.0);
    d.add(
        Role::Construction,
        Part::Bevel,
        segment(edge, [edge[0] + 52.0 * tangent.cos(), edge[1] + 52.0 * tangent.sin()]),
    );
    d.add(
        Role::AngleArc,
        Part::Bevel,
        Geometry::Arc { centre: edge, radius: 40.0, start: deg(-72.0), sweep: deg(40.0) },
    );
    d.note(
        Role::AngleArc,
        Part::Bevel,
        [edge[0] + 49.0 * deg(-54.0).cos(), edge[1] + 49.0 * deg(-54.0).sin()],
        "40.0°",
    );

    // Gauge length.
    let length = reach.hypot(ARM);
    let foot = [pivot[0] / length * 75.0, pivot[1] / length * 75.0];
    d.add(Role::Gauge, Part::Gauge, segment(pivot, foot));
    d.add(Role::Gauge, Part::Gauge, Geometry::Mark { at: foot, direction: Angle::ZERO, mark: Mark::Dot });
    let along = Angle::from_radians((pivot[1] - foot[1]).atan2(pivot[0] - foot[0]));
    d.add(
        Role::Gauge,
        Part::Gauge,
        Geometry::Text {
            at: [f64::midpoint(pivot[0], foot[0]), f64::midpoint(pivot[1], foot[1])],
            text: format!("{:.1} mm", length - 75.0),
            align: Align::Middle,
            along,
            size: TextSize::Strong,
            lift: 0.0,
        },
    );

    // Projection.
    d.add(Role::Dimension, Part::Projection, segment(at(0.0, 2.0), at(0.0, 26.0)));
    d.add(Role::Dimension, Part::Projection, segment(at(60.0, 12.0), at(60.0, 26.0)));
    d.add(Role::Dimension, Part::Projection, segment(at(0.0, 23.0), at(60.0, 23.0)));
    d.add(
        Role::Dimension,
        Part::Projection,
        Geometry::Mark { at: at(0.0, 23.0), direction: deg(148.0), mark: Mark::Arrow },
    );
    d.add(
        Role::Dimension,
        Part::Projection,
        Geometry::Mark { at: at(60.0, 23.0), direction: deg(-32.0), mark: Mark::Arrow },
    );
    d.add(
        Role::Dimension,
        Part::Projection,
        Geometry::Text {
            at: at(30.0, 23.0),
            text: "60.0 mm".to_owned(),
            align: Align::Middle,
            along: deg(-32.0),
            size: TextSize::Strong,
            lift: 0.0,
        },
    );
    d.title(Part::Cup, format!("Arm reach {reach:.1} mm"));
    d
}
