//! A small renderer on the processor: triangles in, a picture out, hidden surfaces by a depth buffer.
//!
//! Corners carry a colour that is interpolated; the picture is taken at two by two samples a pixel where time allows,
//! else at one. Everything is kept between pictures: nothing is allocated once the buffers have grown.

use egui::{Color32, ColorImage};

/// A corner on its way to the picture: pixels to the right and down, and depth, the nearer the larger.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Corner {
    /// Pixels from the left edge.
    pub x: f32,
    /// Pixels from the upper edge.
    pub y: f32,
    /// Millimetres towards the viewer.
    pub depth: f32,
    /// Red, green, blue, 0 to 255.
    pub rgb: [f32; 3],
}

/// Depth of empty places.
pub const NOTHING: f32 = f32::NEG_INFINITY;
/// Largest side of a picture, in samples.
const MOST: usize = 8192;

/// What was drawn at a place: its depth and its colour, premultiplied, red in the lowest byte.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Sample {
    depth: f32,
    rgba: u32,
}

impl Sample {
    const EMPTY: Self = Self { depth: NOTHING, rgba: 0 };
}

/// A picture in the making.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Raster {
    width: usize,
    height: usize,
    /// Samples along a pixel's side.
    fineness: usize,
    samples: Vec<Sample>,
    /// Rows that something was drawn on.
    drawn: (usize, usize),
}

impl Raster {
    /// Empties the picture and sets its size in pixels; `fine` takes four samples a pixel.
    pub fn begin(&mut self, width: usize, height: usize, fine: bool) {
        let before = (self.width, self.height);
        self.fineness = if fine { 2 } else { 1 };
        self.width = (width * self.fineness).min(MOST);
        self.height = (height * self.fineness).min(MOST);
        if before == (self.width, self.height) {
            // Only what was drawn on last time.
            let (first, end) = self.drawn;
            let used = first * self.width..end.max(first) * self.width;
            if let Some(used) = self.samples.get_mut(used) {
                used.fill(Sample::EMPTY);
            }
        } else {
            self.samples.clear();
            self.samples.resize(self.width * self.height, Sample::EMPTY);
        }
        self.drawn = (self.height, 0);
    }

    /// Draws a solid triangle; one that turns its back (clockwise in the picture) is left out.
    #[inline]
    pub fn solid(&mut self, corners: [Corner; 3]) {
        let Some(span) = Span::new(corners, self.fineness as f32, self.width, self.height) else { return };
        self.drawn = (self.drawn.0.min(span.first), self.drawn.1.max(span.end));
        let samples = &mut self.samples;
        span.each(self.width, |at, depth, rgb| {
            let sample = &mut samples[at];
            if depth > sample.depth {
                *sample = Sample { depth, rgba: packed(rgb) };
            }
        });
    }

    /// Draws a triangle of glass of an opacity from 0 to 1 over what lies behind it; it hides nothing.
    pub fn translucent_triangle(&mut self, corners: [Corner; 3], opacity: f32) {
        let Some(span) = Span::new(corners, self.fineness as f32, self.width, self.height) else { return };
        self.drawn = (self.drawn.0.min(span.first), self.drawn.1.max(span.end));
        let fraction = (opacity.clamp(0.0, 1.0) * 256.0) as u32;
        let samples = &mut self.samples;
        span.each(self.width, |at, depth, rgb| {
            let sample = &mut samples[at];
            if depth > sample.depth {
                let (above, below) = (packed(rgb).to_le_bytes(), sample.rgba.to_le_bytes());
                let mixed: [u8; 4] = std::array::from_fn(|k| {
                    ((u32::from(above[k]) * fraction + u32::from(below[k]) * (256 - fraction)) >> 8) as u8
                });
                sample.rgba = u32::from_le_bytes(mixed);
            }
        });
    }

    /// Whether a point, in pixels, is not hidden behind what was drawn: no farther than `slack` millimetres behind
    /// the farthest surface at and around it.
    #[must_use]
    pub fn sees(&self, x: f32, y: f32, depth: f32, slack: f32) -> bool {
        let fineness = self.fineness as f32;
        let (x, y) = ((x * fineness).floor(), (y * fineness).floor());
        if !(x.is_finite() && y.is_finite()) {
            return false;
        }
        let within = |place: f32, size: usize| (0.0..size as f32).contains(&place).then_some(place as usize);
        [-fineness, 0.0, fineness].into_iter().any(|dy| {
            [-fineness, 0.0, fineness].into_iter().any(|dx| {
                match (within(x + dx, self.width), within(y + dy, self.height)) {
                    (Some(x), Some(y)) => self.samples[y * self.width + x].depth <= depth + slack,
                    // Nothing is drawn beside the picture, so nothing hides a point there.
                    _ => true,
                }
            })
        })
    }

    /// The picture, premultiplied; empty places are clear.
    #[must_use]
    pub fn picture(&self) -> ColorImage {
        let step = self.fineness.max(1);
        let (width, height) = (self.width / step, self.height / step);
        let mut pixels = vec![Color32::TRANSPARENT; width * height];
        let (first, end) = (self.drawn.0 / step, self.drawn.1.div_ceil(step).min(height));
        for y in first..end {
            let line = &mut pixels[y * width..(y + 1) * width];
            let row = |i: usize| &self.samples[(step * y + i) * self.width..(step * y + i + 1) * self.width];
            if step == 1 {
                for (pixel, sample) in line.iter_mut().zip(row(0)) {
                    *pixel = colour(sample.rgba);
                }
                continue;
            }
            for (pixel, (above, below)) in
                line.iter_mut().zip(row(0).chunks_exact(2).zip(row(1).chunks_exact(2)))
            {
                let (upper, lower) = (above[0].rgba ^ above[1].rgba, below[0].rgba ^ below[1].rgba);
                // Most pixels lie within one tone or outside everything.
                let even = (upper | lower) == 0 && above[0].rgba == below[0].rgba;
                *pixel = colour(if even {
                    above[0].rgba
                } else {
                    mean([above[0].rgba, above[1].rgba, below[0].rgba, below[1].rgba])
                });
            }
        }
        ColorImage::new([width, height], pixels)
    }
}

/// The mean of four colours, two channels at a time.
#[inline]
fn mean(four: [u32; 4]) -> u32 {
    let odd = four.iter().map(|c| (c >> 8) & 0x00ff_00ff).sum::<u32>() + 0x0002_0002;
    let even = four.iter().map(|c| c & 0x00ff_00ff).sum::<u32>() + 0x0002_0002;
    ((even >> 2) & 0x00ff_00ff) | (((odd >> 2) & 0x00ff_00ff) << 8)
}

#[allow(clippy::disallowed_methods, reason = "a pixel mixed from the theme's colours")]
#[inline]
fn colour(rgba: u32) -> Color32 {
    let [r, g, b, a] = rgba.to_le_bytes();
    Color32::from_rgba_premultiplied(r, g, b, a)
}

/// Opaque.
#[inline]
fn packed([r, g, b]: [u8; 3]) -> u32 {
    u32::from_le_bytes([r, g, b, 255])
}

/// A triangle made ready: the rows it touches, and its values as planes over the picture.
struct Span {
    /// By height: top, middle, bottom.
    by_y: [Corner; 3],
    first: usize,
    end: usize,
    /// The change of `x` from row to row along the long side, the upper and the lower short side.
    sides: [f32; 3],
    /// Change of depth, red, green, blue by `x` and by `y`.
    slopes: [[f32; 2]; 4],
    width: usize,
}

impl Span {
    /// `None` for one that turns its back, has no area, lies beside the picture, or is no triangle of numbers.
    #[inline]
    fn new(mut corners: [Corner; 3], fineness: f32, width: usize, height: usize) -> Option<Self> {
        for corner in &mut corners {
            corner.x *= fineness;
            corner.y *= fineness;
        }
        let [a, b, c] = corners;
        let (bx, by, cx, cy) = (b.x - a.x, b.y - a.y, c.x - a.x, c.y - a.y);
        // Clockwise in a picture with y down is counter-clockwise on paper.
        let area = by * cx - bx * cy;
        if area.is_nan() || area <= 1e-9 || area.is_infinite() {
            return None;
        }
        let mut by_y = corners;
        if by_y[1].y < by_y[0].y {
            by_y.swap(0, 1);
        }
        if by_y[2].y < by_y[1].y {
            by_y.swap(1, 2);
        }
        if by_y[1].y < by_y[0].y {
            by_y.swap(0, 1);
        }
        let [top, middle, bottom] = by_y;
        // Row y is sampled at y + ½.
        let first = (top.y - 0.5).ceil().max(0.0) as usize;
        let end = ((bottom.y - 0.5).ceil().max(0.0) as usize).min(height);
        if first >= end {
            return None;
        }
        let fraction = area.recip();
        let slope = |at_a: f32, at_b: f32, at_c: f32| {
            let (db, dc) = (at_b - at_a, at_c - at_a);
            [(dc * by - db * cy) * fraction, (db * cx - dc * bx) * fraction]
        };
        // Both triangles at a side compute the very same numbers for it.
        let run = |upper: Corner, lower: Corner| {
            let tall = lower.y - upper.y;
            if tall > 0.0 { (lower.x - upper.x) / tall } else { 0.0 }
        };
        Some(Self {
            by_y,
            first,
            end,
            sides: [run(top, bottom), run(top, middle), run(middle, bottom)],
            slopes: [
                slope(a.depth, b.depth, c.depth),
                slope(a.rgb[0], b.rgb[0], c.rgb[0]),
                slope(a.rgb[1], b.rgb[1], c.rgb[1]),
                slope(a.rgb[2], b.rgb[2], c.rgb[2]),
            ],
            width,
        })
    }

    /// Calls `put` for every sample whose middle lies inside, with its place, depth and colour. Neighbours share a
    /// side without overlap or seam: a middle on a side belongs to the triangle on its right or below it.
    #[inline]
    fn each(&self, line: usize, mut put: impl FnMut(usize, f32, [u8; 3])) {
        let [top, middle, _] = self.by_y;
        let [z, r, g, b] = self.slopes;
        let fixed = |value: f32| (value * 65536.0) as i32;
        let steps = [fixed(r[0]), fixed(g[0]), fixed(b[0])];
        for row in self.first..self.end {
            let y = row as f32 + 0.5;
            let long = top.x + (y - top.y) * self.sides[0];
            let short = if y < middle.y {
                top.x + (y - top.y) * self.sides[1]
            } else {
                middle.x + (y - middle.y) * self.sides[2]
            };
            let (left, right) = if long < short { (long, short) } else { (short, long) };
            let from = (left - 0.5).ceil().max(0.0) as usize;
            let to = ((right - 0.5).ceil().max(0.0) as usize).min(self.width);
            if from >= to {
                continue;
            }
            let (dx, dy) = (from as f32 + 0.5 - top.x, y - top.y);
            let mut depth = top.depth + z[0] * dx + z[1] * dy;
            let start = |k: usize, slope: [f32; 2]| fixed(top.rgb[k] + slope[0] * dx + slope[1] * dy);
            let (mut red, mut green, mut blue) = (start(0, r), start(1, g), start(2, b));
            let base = row * line;
            for at in base + from..base + to {
                put(at, depth, [byte(red), byte(green), byte(blue)]);
                depth += z[0];
                red = red.wrapping_add(steps[0]);
                green = green.wrapping_add(steps[1]);
                blue = blue.wrapping_add(steps[2]);
            }
        }
    }
}

#[inline]
fn byte(fixed: i32) -> u8 {
    (fixed >> 16).clamp(0, 255) as u8
}

#[cfg(test)]
mod tests {
    use super::*;

    const RED: [f32; 3] = [200.0, 0.0, 0.0];
    const BLUE: [f32; 3] = [0.0, 0.0, 200.0];

    fn corner(x: f32, y: f32, depth: f32, rgb: [f32; 3]) -> Corner {
        Corner { x, y, depth, rgb }
    }

    /// An upright square that faces the viewer.
    fn square(raster: &mut Raster, x: f32, y: f32, side: f32, depth: f32, rgb: [f32; 3]) {
        let at = |dx: f32, dy: f32| corner(x + dx * side, y + dy * side, depth, rgb);
        raster.solid([at(0.0, 0.0), at(0.0, 1.0), at(1.0, 1.0)]);
        raster.solid([at(0.0, 0.0), at(1.0, 1.0), at(1.0, 0.0)]);
    }

    fn count(picture: &ColorImage, of: impl Fn(&Color32) -> bool) -> usize {
        picture.pixels.iter().filter(|pixel| of(pixel)).count()
    }

    #[test]
    fn the_nearer_of_two_squares_hides_the_other_in_whichever_order_they_are_drawn() {
        for swapped in [false, true] {
            let mut raster = Raster::default();
            raster.begin(40, 40, false);
            let squares = [(5.0, 1.0, RED), (15.0, 2.0, BLUE)];
            for i in [usize::from(swapped), usize::from(!swapped)] {
                let (x, depth, rgb) = squares[i];
                square(&mut raster, x, 5.0, 20.0, depth, rgb);
            }
            let picture = raster.picture();
            assert_eq!(count(&picture, |p| p.b() == 200), 400, "the near one is whole");
            assert_eq!(count(&picture, |p| p.r() == 200), 200, "half of the far one is left");
            assert!(raster.sees(20.0, 15.0, 2.0, 0.01));
            assert!(!raster.sees(25.0, 15.0, 1.0, 0.01), "the far one is hidden there");
            assert!(raster.sees(8.0, 15.0, 1.0, 0.01));
        }
    }

    #[test]
    fn triangles_that_share_sides_cover_every_sample_once() {
        // A fan about a point that is on no sample, with corners at odd places.
        let hub = [20.3_f32, 19.7];
        let rim: Vec<[f32; 2]> = (0..23)
            .map(|i| {
                let turn = i as f32 * std::f32::consts::TAU / 23.0;
                [hub[0] + 17.1 * turn.cos(), hub[1] + 15.9 * turn.sin()]
            })
            .collect();
        let mut hits = vec![0_u32; 1600];
        for i in 0..23 {
            let (b, c) = (rim[i], rim[(i + 1) % 23]);
            let corners = [
                corner(hub[0], hub[1], 0.0, RED),
                corner(c[0], c[1], 0.0, RED),
                corner(b[0], b[1], 0.0, RED),
            ];
            if let Some(span) = Span::new(corners, 1.0, 40, 40) {
                span.each(40, |at, _, _| hits[at] += 1);
            }
        }
        assert!(hits.iter().all(|&n| n <= 1));
        let covered = hits.iter().sum::<u32>() as f32;
        let polygon = 0.5 * 23.0 * (std::f32::consts::TAU / 23.0).sin() * 17.1 * 15.9;
        assert!((covered - polygon).abs() < 12.0, "{covered} {polygon}");
    }

    #[test]
    fn backs_are_not_drawn() {
        let mut raster = Raster::default();
        raster.begin(20, 20, false);
        raster.solid([corner(2.0, 2.0, 0.0, RED), corner(18.0, 2.0, 0.0, RED), corner(2.0, 18.0, 0.0, RED)]);
        assert_eq!(count(&raster.picture(), |p| p.a() > 0), 0);
    }

    #[test]
    fn fine_pictures_soften_their_sides_and_keep_their_area() {
        let mut raster = Raster::default();
        for (fine, soft) in [(false, false), (true, true)] {
            raster.begin(40, 40, fine);
            square(&mut raster, 5.5, 5.5, 20.0, 0.0, RED);
            let picture = raster.picture();
            assert_eq!([picture.width(), picture.height()], [40, 40]);
            assert_eq!(count(&picture, |p| p.a() > 0 && p.a() < 255) > 0, soft);
            let area: f32 = picture.pixels.iter().map(|p| f32::from(p.a()) / 255.0).sum();
            assert!((area - 400.0).abs() < 1.0, "{area}");
        }
    }

    #[test]
    fn colours_run_evenly_from_corner_to_corner() {
        let mut raster = Raster::default();
        raster.begin(101, 101, false);
        raster.solid([
            corner(0.0, 0.0, 0.0, [0.0; 3]),
            corner(0.0, 200.0, 0.0, [0.0; 3]),
            corner(200.0, 0.0, 0.0, [200.0, 100.0, 50.0]),
        ]);
        let pixel = raster.picture().pixels[20 * 101 + 60];
        assert!(
            (i32::from(pixel.r()) - 60).abs() <= 1 && (i32::from(pixel.g()) - 30).abs() <= 1,
            "{pixel:?}"
        );
    }

    #[test]
    fn a_translucent_triangle_mixes_with_what_is_behind_and_hides_nothing() {
        let mut raster = Raster::default();
        raster.begin(10, 10, false);
        square(&mut raster, 0.0, 0.0, 10.0, 1.0, RED);
        let at = |x: f32, y: f32, depth: f32| corner(x, y, depth, BLUE);
        for depth in [0.0, 2.0] {
            raster
                .translucent_triangle([at(0.0, 0.0, depth), at(0.0, 20.0, depth), at(20.0, 0.0, depth)], 0.5);
        }
        let pixel = raster.picture().pixels[11];
        assert_eq!((pixel.r(), pixel.b(), pixel.a()), (100, 100, 255), "only the nearer glass counts");
        assert!(raster.sees(5.0, 5.0, 1.0, 0.0), "glass hides nothing");
    }

    #[test]
    fn a_picture_begun_again_is_empty_again() {
        let mut raster = Raster::default();
        for fine in [true, true, false, false] {
            raster.begin(30, 30, fine);
            assert_eq!(count(&raster.picture(), |p| p.a() > 0), 0);
            square(&mut raster, 5.0, 5.0, 20.0, 1.0, RED);
            assert_eq!(count(&raster.picture(), |p| p.a() == 255), 400);
        }
    }

    #[test]
    fn means_are_those_of_each_channel() {
        let four = [0xff00_1020_u32, 0xff00_1121, 0x0000_1222, 0x01ff_1323];
        let expected: [u8; 4] = std::array::from_fn(|k| {
            let sum: u32 = four.iter().map(|c| u32::from(c.to_le_bytes()[k])).sum();
            ((sum + 2) / 4) as u8
        });
        assert_eq!(mean(four).to_le_bytes(), expected);
    }

    #[test]
    fn non_finite_shapes_are_skipped_and_the_rest_is_drawn() {
        let mut raster = Raster::default();
        raster.begin(10, 10, true);
        for odd in [f32::NAN, f32::INFINITY, -f32::INFINITY, 1e30] {
            raster.solid([
                corner(odd, 0.0, 0.0, RED),
                corner(0.0, odd, 0.0, RED),
                corner(1.0, 1.0, odd, RED),
            ]);
            assert!(!raster.sees(odd, f32::NAN, 0.0, 0.0));
            assert_eq!(raster.sees(odd, 1.0, 0.0, 0.0), odd.is_finite());
        }
        assert!(raster.picture().pixels.iter().all(|p| p.a() == 0 || p.a() == 255));
    }
}
