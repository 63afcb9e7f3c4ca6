//! The tip in three dimensions: what the current setting leaves on the tool, turned by hand, with its numbers and the
//! swing played again.

pub mod camera;
mod flute;
mod foot;
mod ink;
pub mod legend;
pub mod light;
pub mod motion;
pub(crate) mod overlay;
pub mod panel;
pub(crate) mod paper;
pub mod portrait;
pub mod raster;
pub mod scene;

use bevelbench_geometry::DVec3;
use bevelbench_notebook::{
    answer::{
        bench::Unanswered,
        swept::{Movement, NotSwept, Swept, swept},
    },
    drawing::{Role, Standing},
    saved::Id,
    words::{not_swept_words, unanswered_words},
};
use egui::{Id as WidgetId, Key, Pos2, Rect, Sense, Ui, UiBuilder, Vec2, pos2, vec2};

use crate::{
    model::{appearance::Tone, session::Session},
    toolkit::{
        theme::{Surface, Theme, colour::faded},
        widgets::{caution_line, stride::arrow_steps, tab_bar},
    },
};
use bevelbench_notebook::quantity::Units;

use camera::Camera;
pub use camera::Preset;
use motion::Pose;
pub use overlay::point_words;
use overlay::{Lines, backdrop, reading};
use portrait::{Look, Map, Portrait, map_range};
use scene::{RimPiece, Scene};

/// Points of the edge that are computed, shown and read.
pub const EDGE_POINTS: usize = 201;
/// Seconds from wing to wing and back.
const ROUND_TRIP_S: f64 = 5.0;

/// Why there is no shape.
#[derive(Debug, Clone)]
pub enum NoShape {
    /// The setting itself has no answer.
    Unanswered(Unanswered),
    /// It has one, but leaves no shape that can be shown.
    NotSwept(NotSwept),
}

/// The shape that the current setting leaves, kept until the bench changes.
#[derive(Debug)]
struct TipCache {
    revision: u64,
    shape: Result<Swept, NoShape>,
}

/// What is kept of the pictured scene.
#[derive(Debug, Default)]
struct Pictured {
    /// The bench's revision, and the setting whose face is shown with ink.
    of: Option<(u64, Option<Id>)>,
    scene: Scene,
    /// What the colours tell.
    map: Option<Map>,
    rim: Option<RimPiece>,
}

/// What the page keeps from frame to frame.
#[derive(Debug)]
pub struct TipState {
    cached: Option<TipCache>,
    pictured: Pictured,
    portrait: Portrait,
    camera: Option<Camera>,
    /// The tool the view was fitted to: another one is fitted anew.
    fitted_to: Option<Id>,
    coloured: bool,
    with_wheel: bool,
    /// Where the swing stands, −1 to 1.
    fraction: f64,
    /// Where the replay stands in its round trip, 0 to 1, while it runs.
    playing: Option<f64>,
    /// The ink test over the whole bevel.
    ink: ink::InkTest,
    /// The marked point of the edge, read here or on the page of the curves.
    pub marked: Option<usize>,
}

impl Default for TipState {
    fn default() -> Self {
        Self {
            cached: None,
            pictured: Pictured::default(),
            portrait: Portrait::default(),
            camera: None,
            fitted_to: None,
            coloured: true,
            with_wheel: false,
            fraction: 0.0,
            playing: None,
            ink: ink::InkTest::default(),
            marked: None,
        }
    }
}

impl TipState {
    /// The shape of the current setting, worked out if the bench has changed since; `None` where no setting is current.
    pub fn shape(&mut self, session: &Session) -> Option<&Result<Swept, NoShape>> {
        let current = session.current()?;
        let revision = session.revision();
        if self.cached.as_ref().is_none_or(|cached| cached.revision != revision) {
            let outcome = session.outcome()?;
            let shape = match (&outcome.job, &outcome.result) {
                (Some(job), Ok(view)) => {
                    swept(job, view, current.swing.as_ref(), EDGE_POINTS).map_err(NoShape::NotSwept)
                }
                (_, Err(why)) => Err(NoShape::Unanswered(why.clone())),
                (None, Ok(_)) => return None,
            };
            self.cached = Some(TipCache { revision, shape });
        }
        self.cached.as_ref().map(|cached| &cached.shape)
    }

    /// The range of the map of wedge angles; a wedge that is the same all along needs no map.
    fn wedge_range(&self, least: f32, most: f32) -> Option<(f32, f32)> {
        (self.coloured && most - least >= 0.3).then(|| map_range(least, most))
    }

    /// Brings the whole tip back into view.
    pub fn fit(&mut self) {
        self.fitted_to = None;
    }

    /// Enlarges or reduces about the middle.
    pub fn zoom(&mut self, factor: f64) {
        if let Some(camera) = &mut self.camera {
            camera.zoom_about(Vec2::ZERO, factor as f32);
        }
    }

    /// Whether the swing is being played.
    #[must_use]
    pub fn is_playing(&self) -> bool {
        self.playing.is_some()
    }

    /// Whether the wheel is drawn.
    #[must_use]
    pub fn shows_wheel(&self) -> bool {
        self.with_wheel
    }

    /// Where one looks from, if it is one of the named directions.
    #[must_use]
    pub fn looks_from(&self) -> Option<Preset> {
        self.camera.and_then(|camera| camera.preset())
    }

    /// How many pictures were drawn so far.
    #[must_use]
    pub fn pictures_drawn(&self) -> u64 {
        self.portrait.drawn()
    }
}

/// Reason and remedy of a shape that is none.
#[must_use]
pub fn no_shape_words(why: &NoShape, units: Units) -> bevelbench_notebook::words::Words {
    let length = |mm: f64| units.length(mm);
    match why {
        NoShape::Unanswered(why) => unanswered_words(why, &length),
        NoShape::NotSwept(why) => not_swept_words(why, &length),
    }
}

/// The page over the whole of what is left of the window.
pub fn tip_page(ui: &mut Ui, session: &mut Session, state: &mut TipState, units: Units, theme: &Theme) {
    let whole = ui.available_rect_before_wrap();
    let column = (whole.width() * 0.3).clamp(196.0, 236.0 * theme.sizes.shaft);
    let canvas = Rect::from_min_max(whole.min, pos2(whole.right() - column, whole.bottom()));
    let side = Rect::from_min_max(pos2(canvas.right(), whole.top()), whole.max);
    session.compute();
    ui.painter().rect_filled(canvas, 0.0, theme.surface(Surface::Canvas));
    ui.painter().vline(side.left(), side.y_range(), theme.hairline());
    let Some(cached) = state.shape(session) else { return };
    if let Err(why) = cached {
        let words = no_shape_words(why, units);
        state.playing = None;
        ghost(ui, canvas, session, state);
        refusal(ui, canvas.shrink(theme.sizes.gap.margin), &words, theme);
    } else {
        portrait_area(ui, canvas, session, state, units, theme);
    }
    let inner = side.shrink2(vec2(theme.sizes.gap.margin, theme.sizes.gap.wide));
    ui.scope_builder(UiBuilder::new().max_rect(inner).id_salt("tip side"), |ui| {
        egui::ScrollArea::vertical().auto_shrink([false, false]).show(ui, |ui| {
            if let Some(TipCache { shape: Ok(swept), .. }) = &state.cached {
                panel::summary_list(ui, swept, units, theme);
            }
            ink::ink_rows(ui, session, &mut state.ink, units, theme);
            flute::flute_rows(ui, session, units, theme);
        });
    });
    if state.cached.as_ref().is_some_and(|cached| cached.revision != session.revision()) {
        ui.ctx().request_repaint();
    }
}

/// The last good shape of the same tool, faintly, while the present setting has none.
fn ghost(ui: &Ui, canvas: Rect, session: &Session, state: &TipState) {
    let tool = session.current().map(|current| current.tool);
    let Some((texture, size)) = state.portrait.kept().filter(|_| state.fitted_to == tool) else { return };
    let uv = Rect::from_min_max(Pos2::ZERO, pos2(1.0, 1.0));
    let rect = Rect::from_min_size(canvas.min, size);
    ui.painter().with_clip_rect(canvas).image(texture, rect, uv, faded(egui::Color32::WHITE, 0.22));
}

/// Why nothing is shown, in the middle of where it would be.
pub(crate) fn refusal(ui: &mut Ui, rect: Rect, words: &bevelbench_notebook::words::Words, theme: &Theme) {
    let box_rect = Rect::from_center_size(rect.center(), vec2(rect.width().min(420.0), 120.0));
    ui.painter().rect_filled(box_rect.expand(theme.sizes.gap.margin), theme.corner(), theme.palette.pill);
    ui.scope_builder(UiBuilder::new().max_rect(box_rect), |ui| {
        caution_line(ui, &words.reason, Tone::Caution, theme);
        ui.add_space(theme.sizes.gap.normal);
        caution_line(ui, &words.remedy, Tone::Strong, theme);
    });
}

fn portrait_area(
    ui: &mut Ui,
    canvas: Rect,
    session: &Session,
    state: &mut TipState,
    units: Units,
    theme: &Theme,
) {
    let Some(TipCache { shape: Ok(swept), revision }) = state.cached.take() else { return };
    state.ink.compute(session, &swept, revision);
    let foot_height = 2.0 * theme.sizes.gap.wide + 108.0 * theme.sizes.shaft.max(1.0);
    let picture = Rect::from_min_max(canvas.min, pos2(canvas.right(), canvas.bottom() - foot_height));
    let foot = Rect::from_min_max(pos2(canvas.left(), picture.bottom()), canvas.max);

    let kept_ink = state.ink.take();
    let resting = kept_ink.as_ref().and_then(ink::RestingTipCache::resting);
    // With ink the tool is shown as it is, not as today's setting would leave it.
    let shown = resting.map_or(&swept, |resting| &resting.present);
    fill_picture(&mut state.pictured, &swept, resting, revision);
    state.marked = state.marked.filter(|&i| i < shown.points().len());
    let tool = session.current().map(|current| current.tool);
    fit_if_asked(state, tool, picture.size());

    let response = ui.interact(picture, WidgetId::unique("tip view"), Sense::click_and_drag());
    let accessible_text = format!("The tip, {} nose", swept.nose_word());
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Canvas, true, &accessible_text));
    if let Some(camera) = &mut state.camera {
        turn_by_hand(ui, &response, picture, camera);
    }
    if response.double_clicked() {
        state.fit();
        fit_if_asked(state, tool, picture.size());
    }
    if response.has_focus() {
        ui.painter().rect_stroke(picture.shrink(2.0), 0.0, theme.focus_ring(), egui::StrokeKind::Inside);
    }
    play(ui, state);

    let Some(camera) = state.camera else { return };
    let with_wheel = state.with_wheel || state.playing.is_some();
    let pose = if with_wheel { motion::pose(&swept, state.fraction) } else { Pose::STILL };
    let busy = state.playing.is_some() || ui.input(|i| i.pointer.any_down());
    let (least, most) = state.pictured.scene.wedges;
    let ink_colour = theme.ink(Role::Ink, Standing::Solid).stroke;
    let map = match resting {
        Some(_) => Some(Map::Ink(ink::FILM_MM as f32, ink_colour)),
        None => state.wedge_range(least, most).map(|(least, most)| Map::Wedge(least, most)),
    };
    state.pictured.map = map;
    let look = Look {
        // Every face that is shown is a scene of its own.
        scene: (revision * 1024)
            .wrapping_add(resting.map_or(0, |resting| resting.ground_by.0.wrapping_add(1))),
        camera,
        pose,
        size: picture.size(),
        pixels_per_point: ui.ctx().pixels_per_point(),
        map,
        solid: theme.solid,
        wheel: with_wheel,
        fine: !busy,
    };
    let Pictured { scene, rim, .. } = &state.pictured;
    let texture = state.portrait.texture(ui.ctx(), scene, rim.as_ref(), look);
    backdrop(ui, picture, theme);
    let uv = Rect::from_min_max(Pos2::ZERO, pos2(1.0, 1.0));
    ui.painter().image(texture, picture, uv, egui::Color32::WHITE);

    let lines = Lines { portrait: &state.portrait, camera: &camera, pose: &pose, rect: picture, theme };
    let painter = ui.painter().with_clip_rect(picture);
    for crease in &scene.creases {
        lines.thin(&painter, crease, 1.0, 0.42);
    }
    for heel in &scene.heels {
        lines.thin(&painter, heel, 1.3, 0.75);
    }
    if with_wheel && matches!(swept.movement(), Movement::Rolled { .. }) {
        lines.roll_line(&painter, &swept);
    }
    lines.edge(&painter, scene);
    let hovered =
        response.hover_pos().filter(|_| !response.dragged()).and_then(|at| lines.nearest(scene, at));
    if let Some(i) = hovered {
        state.marked = Some(i);
    }
    if let Some(i) = state.marked {
        let seen = lines.sees(scene.edge[i]);
        lines.mark(
            &painter,
            scene.edge[i],
            if seen { theme.solid.mark } else { faded(theme.solid.mark, 0.35) },
        );
        let mut words = point_words(&shown.points()[i], shown.arc_mm()[i], units);
        words.extend(resting.map(|resting| resting.reading(i, units)));
        reading(&painter, lines.on_screen(scene.edge[i]), picture, &words, theme);
    }
    if with_wheel
        && resting.is_none()
        && let Some(i) = motion::touched(&swept, state.fraction)
    {
        lines.mark(&painter, scene.edge[i], theme.palette.positive);
    }

    legends(&painter, picture, state, units, theme);
    if let Some(preset) = presets(ui, picture, state.camera.as_ref(), theme) {
        if let Some(camera) = &mut state.camera {
            camera.look(preset);
        }
        state.fit();
        ui.ctx().request_repaint();
    }
    foot::foot_rows(ui, foot, &swept, state, theme);
    state.ink.restore(kept_ink);
    state.cached = Some(TipCache { revision, shape: Ok(swept) });
}

/// Fills the pictured scene if the bench, or what is laid on the wheel, has changed.
fn fill_picture(pictured: &mut Pictured, swept: &Swept, resting: Option<&ink::RestingTip>, revision: u64) {
    let of = Some((revision, resting.map(|resting| resting.ground_by)));
    if pictured.of == of {
        return;
    }
    let shown = resting.map_or(swept, |resting| &resting.present);
    pictured.scene.fill(shown, shown.length_to_show_mm());
    if let Some(resting) = resting {
        pictured.scene.map_ink(&resting.ink);
    }
    pictured.rim = rim_piece(swept);
    pictured.of = of;
}

/// What the colours tell, or the wedge angle that is the same all along, and a scale.
fn legends(painter: &egui::Painter, picture: Rect, state: &TipState, units: Units, theme: &Theme) {
    let gap = theme.sizes.gap.margin;
    let corner = picture.left_bottom() + vec2(gap + 6.0, -gap * 0.5);
    match state.pictured.map {
        Some(Map::Wedge(least, most)) => legend::wedge_map(painter, corner, (least, most), theme),
        Some(Map::Ink(_, colour)) => {
            let words = format!("Ink: gap to the wheel below {}", ink::film_words(units));
            legend::swatch(painter, corner, colour, &words, theme);
        }
        Some(Map::Gap(_)) | None => {}
    }
    if state.pictured.map.is_none() && state.coloured {
        let words = format!("Wedge {} all along", units.angle(f64::from(state.pictured.scene.wedges.0)));
        let at = picture.left_bottom() + vec2(gap, -gap);
        painter.text(at, egui::Align2::LEFT_BOTTOM, words, theme.small(), theme.tone(Tone::Strong));
    }
    if let Some(camera) = &state.camera {
        legend::scale_bar(painter, picture.right_bottom() - vec2(gap, gap), camera.scale(), theme);
    }
}

/// Brings the tip into view when the tool is another one or a fit was asked for.
fn fit_if_asked(state: &mut TipState, tool: Option<Id>, size: Vec2) {
    if state.camera.is_some() && state.fitted_to == tool && tool.is_some() {
        return;
    }
    state.fitted_to = tool;
    let places = state.pictured.scene.corners.iter().map(|corner| corner.place);
    let margin = 46.0;
    match &mut state.camera {
        Some(camera) => camera.fit_again(places, size, margin),
        None => state.camera = Some(Camera::fit(Preset::ThreeQuarter, places, size, margin)),
    }
}

/// Turns, shifts and enlarges by pointer and keys.
pub(crate) fn turn_by_hand(ui: &Ui, response: &egui::Response, rect: Rect, camera: &mut Camera) {
    let shifted = ui.input(|i| i.modifiers.shift || i.pointer.middle_down() || i.pointer.secondary_down());
    if response.dragged() {
        if shifted {
            camera.pan(response.drag_delta());
        } else {
            camera.turn(response.drag_delta());
        }
    }
    if let Some((right, up, stride)) = arrow_steps(ui, response, true) {
        let step = 8.0 * stride.factor() as f32;
        camera.turn(vec2(right as f32, -up as f32) * step);
    }
    if let Some(pointer) = response.hover_pos() {
        let scroll = ui.input(|i| i.smooth_scroll_delta().y);
        let factor = (scroll / 300.0).exp() * ui.input(egui::InputState::zoom_delta);
        if (factor - 1.0).abs() > 1e-6 {
            camera.zoom_about(pointer - rect.center(), factor);
        }
    }
}

/// Moves the replay on. Nothing else on this page asks for another frame by itself.
fn play(ui: &Ui, state: &mut TipState) {
    let Some(phase) = state.playing else { return };
    let passed = f64::from(ui.input(|i| i.stable_dt).min(0.1));
    let phase = (phase + passed / ROUND_TRIP_S).fract();
    state.playing = Some(phase);
    state.fraction = (phase * std::f64::consts::TAU).sin();
    if ui.input(|i| i.key_pressed(Key::Escape)) {
        state.playing = None;
    }
    ui.ctx().request_repaint();
}

/// The part of the wheel that is shown, about where it grinds the nose.
fn rim_piece(swept: &Swept) -> Option<RimPiece> {
    let wheel = motion::wheel(swept)?;
    let nose = swept.points().get(swept.nearest_to_w(0.0)?)?;
    let reach = 1.3 * swept.length_to_show_mm();
    Some(RimPiece::of(&wheel, DVec3::new(nose.s_mm, nose.h_mm, 0.0), reach, 0.55 * reach))
}

/// The named directions, over the picture; the one that was pressed.
pub(crate) fn presets(ui: &mut Ui, rect: Rect, camera: Option<&Camera>, theme: &Theme) -> Option<Preset> {
    let gap = theme.sizes.gap.normal;
    let bar = Rect::from_min_max(
        rect.min + vec2(theme.sizes.gap.tiny, gap),
        pos2(rect.right() - gap, rect.top() + gap + theme.sizes.row),
    );
    ui.scope_builder(UiBuilder::new().max_rect(bar).id_salt("tip presets"), |ui| {
        let names = Preset::ALL.map(Preset::name);
        let chosen = camera
            .and_then(Camera::preset)
            .and_then(|preset| Preset::ALL.iter().position(|each| *each == preset));
        ui.horizontal(|ui| tab_bar(ui, &names, chosen.unwrap_or(usize::MAX), theme)).inner
    })
    .inner
    .map(|index| Preset::ALL[index])
}
