//! The tips of A and B under one camera, side by side or laid over each other, and the gap between their ground faces as
//! a map of colours.

use bevelbench_notebook::{
    answer::{
        edge_curve::round_increment,
        tip_gap::{SAME_MM, TipGap},
    },
    quantity::Units,
};
use egui::{Id as WidgetId, Pos2, Rect, Sense, Ui, Vec2, WidgetInfo, pos2, vec2};

use crate::{
    model::session::Session,
    pages::{
        pair::{
            ComparisonCache, PairState,
            sides::{halves, plates},
        },
        tip::{
            Preset,
            camera::Camera,
            legend,
            motion::Pose,
            no_shape_words,
            overlay::{Lines, backdrop},
            paper::TipPicture,
            portrait::{Look, Map, Portrait},
            presets, refusal,
            scene::Scene,
            turn_by_hand,
        },
    },
    toolkit::{theme::Theme, widgets::in_the_middle},
};

/// The least gap that the map spans to either side, in millimetres.
const LEAST_SPAN_MM: f64 = 0.02;

/// What is kept of both tips.
#[derive(Debug, Default)]
pub(super) struct Tips {
    sides: [Side; 2],
    /// One for both.
    camera: Option<Camera>,
    fitted_to: Option<(u64, u64, bool)>,
    /// What the scenes and their maps were filled with.
    filled: Option<[u64; 2]>,
    most_mm: f32,
}

#[derive(Debug, Default)]
struct Side {
    scene: Scene,
    serial: u64,
    /// Grows with every map: pictures under an old one are drawn anew.
    maps: u64,
    portrait: Portrait,
}

impl Tips {
    pub(super) fn fit(&mut self) {
        self.fitted_to = None;
    }

    pub(super) fn zoom(&mut self, factor: f64) {
        if let Some(camera) = &mut self.camera {
            camera.zoom_about(Vec2::ZERO, factor as f32);
        }
    }

    pub(super) fn pictures_drawn(&self) -> u64 {
        self.sides.iter().map(|side| side.portrait.drawn()).sum()
    }

    /// The gap of B seen from A, where both are shown.
    pub(super) fn gap(&self) -> Option<&TipGap> {
        self.filled.map(|_| &self.sides[0].scene.gap)
    }

    /// What is seen of both, for a sheet of paper.
    pub(super) fn seen<'a>(
        &'a self,
        cached: &ComparisonCache,
        over: bool,
        names: &'a [String; 2],
    ) -> Vec<TipPicture<'a>> {
        let over = over && cached.b.is_some();
        let Some(camera) = self.camera else { return Vec::new() };
        let shapes = [cached.a.shape.is_ok(), cached.b.as_ref().is_some_and(|b| b.shape.is_ok())];
        let size = self.sides.iter().find_map(|side| side.portrait.kept()).map(|(_, size)| size);
        let Some(size) = size else { return Vec::new() };
        let one = |index: usize| TipPicture {
            scene: &self.sides[index].scene,
            camera,
            pose: Pose::STILL,
            rim: None,
            size,
            map: self.filled.map(|_| Map::Gap(self.most_mm)),
            second: Some(&self.sides[1].scene).filter(|_| over && shapes[1]),
            name: &names[index],
        };
        (0..if over { 1 } else { 2 }).filter(|index| shapes[*index]).map(one).collect()
    }

    /// Numbers that no picture kept here has.
    pub(super) fn next_serials(&self) -> [u64; 2] {
        [self.sides[0].serial + 1, self.sides[1].serial + 1]
    }

    /// Fills the scenes of what is new, and the maps if either is.
    fn fill(&mut self, cached: &ComparisonCache) {
        let shapes = [cached.a.shape.as_ref().ok(), cached.b.as_ref().and_then(|b| b.shape.as_ref().ok())];
        for (index, shape) in shapes.into_iter().enumerate() {
            let side = &mut self.sides[index];
            if let Some(swept) = shape.filter(|_| side.serial != cached.serials[index]) {
                side.scene.fill(swept, swept.length_to_show_mm());
                side.serial = cached.serials[index];
                side.maps += 1;
                self.filled = None;
            }
        }
        let [Some(a), Some(b)] = shapes else {
            self.filled = None;
            return;
        };
        if self.filled == Some(cached.serials) {
            return;
        }
        self.filled = Some(cached.serials);
        let [one, other] = &mut self.sides;
        one.scene.map_gap(a, b, false);
        other.scene.map_gap(b, a, true);
        let largest = |side: &Side| side.scene.gap.largest().map_or(0.0, |most| most.gap_mm.abs());
        self.most_mm = round_increment(largest(one).max(largest(other)).max(LEAST_SPAN_MM)) as f32;
        one.maps += 1;
        other.maps += 1;
    }
}

pub(super) fn tips(
    ui: &mut Ui,
    rect: Rect,
    session: &Session,
    state: &mut PairState,
    units: Units,
    theme: &Theme,
) {
    let Some(cached) = &state.cached else { return };
    let over = state.over && cached.b.is_some();
    let tips = &mut state.tips;
    tips.fill(cached);
    let areas = halves(rect, over);
    let (Some(current), beside) = (session.current(), session.beside()) else { return };
    let key = (current.id.0, beside.map_or(0, |entry| entry.id.0), over);
    if tips.fitted_to != Some(key) || tips.camera.is_none() {
        fit(tips, areas[0].size(), over, cached);
        tips.fitted_to = Some(key);
    }
    let names = ["The tip of A", "The tip of B"];
    let shown = if over { 1 } else { 2 };
    let mut refit = false;
    for (index, area) in areas.into_iter().take(shown).enumerate() {
        let name = if over { "The tips of A and B laid over each other" } else { names[index] };
        let response = ui.interact(area, WidgetId::unique(("pair tip", index)), Sense::click_and_drag());
        response.widget_info(|| WidgetInfo::labeled(egui::Role::Canvas, true, name));
        if let Some(camera) = &mut tips.camera {
            turn_by_hand(ui, &response, area, camera);
        }
        refit |= response.double_clicked();
        backdrop(ui, area, theme);
        if response.has_focus() {
            ui.painter().rect_stroke(area.shrink(2.0), 0.0, theme.focus_ring(), egui::StrokeKind::Inside);
        }
    }
    // Once the camera stands where this frame has turned it, so that both move as one.
    for (index, area) in areas.into_iter().take(shown).enumerate() {
        one_tip(ui, area, tips, cached, index, over, units, theme);
    }
    if !over {
        ui.painter().vline(areas[1].left().floor() + 0.5, rect.y_range(), theme.hairline());
    }
    plates(ui, rect, session, over, theme);
    let below = Rect::from_min_max(pos2(rect.left(), rect.top() + 36.0 * theme.sizes.shaft), rect.max);
    if let Some(preset) = presets(ui, below, tips.camera.as_ref(), theme) {
        if let Some(camera) = &mut tips.camera {
            camera.look(preset);
        }
        refit = true;
    }
    if refit {
        tips.fit();
        ui.ctx().request_repaint();
    }
    legends(ui, areas[0], areas[shown - 1], tips, units, theme);
}

/// Both tips in view at one scale.
fn fit(tips: &mut Tips, size: Vec2, over: bool, cached: &ComparisonCache) {
    let shapes = [cached.a.shape.is_ok(), cached.b.as_ref().is_some_and(|b| b.shape.is_ok())];
    let places = tips
        .sides
        .iter()
        .zip(shapes)
        .filter(|(_, is_there)| *is_there)
        .flat_map(|(side, _)| side.scene.corners.iter().map(|corner| corner.place));
    // Names and directions stand above, the map below.
    let margin = if over { 74.0 } else { 48.0_f32 };
    let margin = margin.min(size.y * 0.2);
    match &mut tips.camera {
        Some(camera) => camera.fit_again(places, size, margin),
        None => tips.camera = Some(Camera::fit(Preset::FromBelow, places, size, margin)),
    }
}

#[allow(clippy::too_many_arguments, reason = "one of two pictures, and all that it shares with the other")]
fn one_tip(
    ui: &mut Ui,
    area: Rect,
    tips: &mut Tips,
    cached: &ComparisonCache,
    index: usize,
    over: bool,
    units: Units,
    theme: &Theme,
) {
    let shown = if index == 0 { Some(&cached.a) } else { cached.b.as_ref() };
    let Some(shown) = shown else {
        in_the_middle(
            ui,
            area,
            "Choose a setting as B above, or press “B from A” to hold A as it is now and then move A on.",
            theme,
        );
        return;
    };
    if let Err(why) = &shown.shape {
        refusal(ui, area.shrink(theme.sizes.gap.margin), &no_shape_words(why, units), theme);
        return;
    }
    let Some(camera) = tips.camera else { return };
    let busy = ui.input(|i| i.pointer.any_down());
    let map = tips.filled.map(|_| Map::Gap(tips.most_mm));
    let [one, other] = &mut tips.sides;
    let (side, second) = if index == 0 { (one, Some(other).filter(|_| over)) } else { (other, None) };
    let look = Look {
        scene: side.maps,
        camera,
        pose: Pose::STILL,
        size: area.size(),
        pixels_per_point: ui.ctx().pixels_per_point(),
        map,
        solid: theme.solid,
        wheel: false,
        fine: !busy,
    };
    let texture = side.portrait.texture(ui.ctx(), &side.scene, None, look);
    let painter = ui.painter().with_clip_rect(area);
    painter.image(texture, area, Rect::from_min_max(Pos2::ZERO, pos2(1.0, 1.0)), egui::Color32::WHITE);
    let lines = Lines { portrait: &side.portrait, camera: &camera, pose: &Pose::STILL, rect: area, theme };
    for crease in &side.scene.creases {
        lines.thin(&painter, crease, 1.0, 0.42);
    }
    for heel in &side.scene.heels {
        lines.thin(&painter, heel, 1.3, 0.75);
    }
    if map.is_some() {
        for line in &side.scene.hatch {
            lines.thin(&painter, line, 1.0, 0.5);
        }
    }
    lines.edge(&painter, &side.scene);
    if let Some(second) = second {
        lines.dashed(&painter, &second.scene, tips.most_mm);
    }
    if let Some(most) = side.scene.gap.largest().filter(|most| map.is_some() && most.gap_mm.abs() >= SAME_MM)
    {
        let place = [most.place_in_tool.x, most.place_in_tool.y, most.place_in_tool.z].map(|c| c as f32);
        // Where it is hidden the words still say where it is.
        if lines.sees(place) {
            lines.mark(&painter, place, theme.solid.mark);
            let at = lines.on_screen(place) + vec2(10.0, -10.0);
            legend::pill(&painter, at, area, &signed(most.gap_mm, units), theme);
        }
    }
}

/// A gap with its sign and its unit.
fn signed(gap_mm: f64, units: Units) -> String {
    let words = units.fine(gap_mm);
    if gap_mm > 0.0 { format!("+{words}") } else { words }
}

/// The map of colours under A, the scale under the last picture.
fn legends(ui: &Ui, first: Rect, last: Rect, tips: &Tips, units: Units, theme: &Theme) {
    let gap = theme.sizes.gap.margin;
    if tips.filled.is_some() {
        let corner = first.left_bottom() + vec2(gap + 6.0, -gap * 0.5);
        legend::gap_map(&ui.painter().with_clip_rect(first), corner, tips.most_mm, units, theme);
    }
    if let Some(camera) = &tips.camera {
        let corner = last.right_bottom() - vec2(gap, gap);
        legend::scale_bar(&ui.painter().with_clip_rect(last), corner, camera.scale(), theme);
    }
}
