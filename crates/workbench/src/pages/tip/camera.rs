//! Where one looks from: a parallel view that is turned, shifted and enlarged by hand.
//!
//! Tool frame `(s, h, w)`. Seen from the side the tip points to the left and the flute is up.

use egui::{Rect, Vec2};

/// A direction with a name.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Preset {
    /// Square from the side.
    Side,
    /// Square from above, into the flute.
    Plan,
    /// Along the axis, at the nose.
    End,
    /// From above, a little ahead.
    ThreeQuarter,
    /// From below, at the ground face.
    FromBelow,
}

impl Preset {
    /// Every preset, in the order of the buttons.
    pub const ALL: [Self; 5] = [Self::ThreeQuarter, Self::Side, Self::Plan, Self::End, Self::FromBelow];

    /// Its name.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Side => "Side",
            Self::Plan => "Plan",
            Self::End => "End",
            Self::ThreeQuarter => "Three-quarter",
            Self::FromBelow => "From below",
        }
    }

    /// What it shows.
    #[must_use]
    pub const fn how(self) -> &'static str {
        match self {
            Self::Side => "Square from the side: the sweep of the wing and the bevel.",
            Self::Plan => "Square from above: the shape of the nose.",
            Self::End => "Along the tool’s axis: the flute and the bar.",
            Self::ThreeQuarter => "From above and ahead, as it is held to the light.",
            Self::FromBelow => "From below: the ground face from edge to heel.",
        }
    }

    /// Azimuth and elevation in radians.
    const fn angles(self) -> (f32, f32) {
        let degree = std::f32::consts::PI / 180.0;
        match self {
            Self::Side => (0.0, 0.0),
            Self::Plan => (0.0, 90.0 * degree),
            Self::End => (90.0 * degree, 0.0),
            Self::ThreeQuarter => (38.0 * degree, 34.0 * degree),
            Self::FromBelow => (34.0 * degree, -36.0 * degree),
        }
    }
}

/// The view.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Camera {
    /// Turned about the upright axis from the side view towards the nose, in radians.
    azimuth: f32,
    /// Raised above level, in radians, −90° to 90°.
    elevation: f32,
    /// Points of the screen a millimetre.
    scale: f32,
    /// The place of the tool in the middle of the view, in millimetres.
    target: [f32; 3],
    /// Shift of that place on the screen, in points.
    shift: Vec2,
}

/// Least and greatest enlargement, in points a millimetre.
const SCALES: (f32, f32) = (0.5, 400.0);

impl Camera {
    /// From a direction, with the points in view inside a rectangle of a size in points, less a margin.
    #[must_use]
    pub fn fit(
        preset: Preset,
        points: impl Iterator<Item = [f32; 3]> + Clone,
        size: Vec2,
        margin: f32,
    ) -> Self {
        let (azimuth, elevation) = preset.angles();
        let mut camera = Self { azimuth, elevation, scale: 1.0, target: [0.0; 3], shift: Vec2::ZERO };
        camera.fit_again(points, size, margin);
        camera
    }

    /// Keeps the direction and brings the points back into view.
    pub fn fit_again(&mut self, points: impl Iterator<Item = [f32; 3]> + Clone, size: Vec2, margin: f32) {
        let axes = self.axes();
        let (mut least, mut most) = ([f32::INFINITY; 3], [f32::NEG_INFINITY; 3]);
        for point in points {
            for (k, axis) in axes.iter().enumerate() {
                let along = dot(*axis, point);
                least[k] = least[k].min(along);
                most[k] = most[k].max(along);
            }
        }
        if !(0..3).all(|k| least[k].is_finite() && most[k].is_finite()) {
            return;
        }
        let middle: [f32; 3] = std::array::from_fn(|k| f32::midpoint(least[k], most[k]));
        self.target = std::array::from_fn(|i| (0..3).map(|k| axes[k][i] * middle[k]).sum());
        self.shift = Vec2::ZERO;
        let room = (size - Vec2::splat(2.0 * margin)).max(Vec2::splat(40.0));
        let (wide, high) = ((most[0] - least[0]).max(0.1), (most[1] - least[1]).max(0.1));
        self.scale = (room.x / wide).min(room.y / high).clamp(SCALES.0, SCALES.1);
    }

    /// Unit vectors to the right, up and towards the viewer, `(s, h, w)`.
    #[must_use]
    pub fn axes(&self) -> [[f32; 3]; 3] {
        let (sa, ca) = self.azimuth.sin_cos();
        let (se, ce) = self.elevation.sin_cos();
        [[ca, 0.0, sa], [sa * se, ce, -ca * se], [-sa * ce, se, ca * ce]]
    }

    /// Points a millimetre.
    #[must_use]
    pub fn scale(&self) -> f32 {
        self.scale
    }

    /// Looks from a direction.
    pub fn look(&mut self, preset: Preset) {
        (self.azimuth, self.elevation) = preset.angles();
        self.shift = Vec2::ZERO;
    }

    /// The preset one looks from, if it is one.
    #[must_use]
    pub fn preset(&self) -> Option<Preset> {
        Preset::ALL.into_iter().find(|preset| {
            let (azimuth, elevation) = preset.angles();
            (azimuth - self.azimuth).abs() < 1e-4 && (elevation - self.elevation).abs() < 1e-4
        })
    }

    /// Turns the tool under the pointer by a movement in points.
    pub fn turn(&mut self, delta: Vec2) {
        const A_POINT: f32 = 0.009;
        let quarter = std::f32::consts::FRAC_PI_2;
        if delta.is_finite() {
            let turned = self.azimuth + delta.x * A_POINT;
            self.azimuth = turned.rem_euclid(4.0 * quarter);
            self.elevation = (self.elevation + delta.y * A_POINT).clamp(-quarter, quarter);
        }
    }

    /// Shifts the picture by a movement in points.
    pub fn pan(&mut self, delta: Vec2) {
        if delta.is_finite() {
            self.shift += delta;
        }
    }

    /// Enlarges about a place, given in points from the middle of the view.
    pub fn zoom_about(&mut self, from_middle: Vec2, factor: f32) {
        if !(factor.is_finite() && factor > 0.0) {
            return;
        }
        let scale = (self.scale * factor).clamp(SCALES.0, SCALES.1);
        self.shift = from_middle + (self.shift - from_middle) * (scale / self.scale);
        self.scale = scale;
    }

    /// A place of the tool as points from the upper left corner of a view, and millimetres towards the viewer.
    #[must_use]
    pub fn project(&self, point: [f32; 3], size: Vec2) -> [f32; 3] {
        let from: [f32; 3] = std::array::from_fn(|i| point[i] - self.target[i]);
        let [right, up, toward] = self.axes();
        [
            size.x / 2.0 + self.shift.x + self.scale * dot(right, from),
            size.y / 2.0 + self.shift.y - self.scale * dot(up, from),
            dot(toward, from),
        ]
    }

    /// A place of the tool on the screen.
    #[must_use]
    pub fn on_screen(&self, point: [f32; 3], rect: Rect) -> egui::Pos2 {
        let [x, y, _] = self.project(point, rect.size());
        rect.min + Vec2::new(x, y)
    }
}

/// Scalar product.
#[must_use]
pub fn dot(a: [f32; 3], b: [f32; 3]) -> f32 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

#[cfg(test)]
mod tests {
    use super::*;

    fn corners() -> impl Iterator<Item = [f32; 3]> + Clone {
        (0..8_u8).map(|i| {
            let pick = |bit: u8, least: f32, most: f32| if i & bit == 0 { least } else { most };
            [pick(1, -1.0, 30.0), pick(2, -8.0, 6.0), pick(4, -8.0, 8.0)]
        })
    }

    #[test]
    fn fitted_points_are_in_view_from_every_direction() {
        let size = Vec2::new(520.0, 480.0);
        for preset in Preset::ALL {
            let camera = Camera::fit(preset, corners(), size, 30.0);
            for point in corners() {
                let [x, y, _] = camera.project(point, size);
                assert!((29.9..490.1).contains(&x) && (29.9..450.1).contains(&y), "{preset:?} {x} {y}");
            }
        }
    }

    #[test]
    fn from_the_side_the_tip_points_left_and_the_flute_is_up() {
        let size = Vec2::splat(100.0);
        let camera = Camera::fit(Preset::Side, corners(), size, 5.0);
        let [nose, heel, top] =
            [[0.0, 0.0, 0.0], [20.0, 0.0, 0.0], [0.0, 5.0, 0.0]].map(|p| camera.project(p, size));
        assert!(nose[0] < heel[0] && top[1] < nose[1]);
        let near = camera.project([0.0, 0.0, 3.0], size);
        assert!(near[2] > nose[2]);
    }

    #[test]
    fn axes_stay_square_and_right_handed_however_it_is_turned() {
        let mut camera = Camera::fit(Preset::ThreeQuarter, corners(), Vec2::splat(300.0), 0.0);
        for i in 0..50_u8 {
            camera.turn(Vec2::new(37.0, f32::from(i) - 20.0));
            let [right, up, toward] = camera.axes();
            assert!(dot(right, up).abs() < 1e-5 && dot(up, toward).abs() < 1e-5);
            let cross = [
                right[1] * up[2] - right[2] * up[1],
                right[2] * up[0] - right[0] * up[2],
                right[0] * up[1] - right[1] * up[0],
            ];
            assert!((dot(cross, toward) - 1.0).abs() < 1e-5);
        }
    }

    #[test]
    fn zooming_keeps_the_place_under_the_pointer() {
        let size = Vec2::new(400.0, 300.0);
        let mut camera = Camera::fit(Preset::ThreeQuarter, corners(), size, 20.0);
        let place = [3.0, -2.0, 4.0];
        let before = camera.project(place, size);
        camera.zoom_about(Vec2::new(before[0], before[1]) - size / 2.0, 1.7);
        let after = camera.project(place, size);
        assert!((before[0] - after[0]).abs() < 1e-3 && (before[1] - after[1]).abs() < 1e-3);
        camera.zoom_about(Vec2::ZERO, f32::NAN);
        assert!(camera.scale().is_finite());
    }
}
