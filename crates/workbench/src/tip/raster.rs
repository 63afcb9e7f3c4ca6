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

/// A picture in the making.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Raster {
    width: usize,
    height: usize,
    samples: usize,
    depth: Vec<f32>,
    /// Premultiplied red, green, blue, alpha a sample.
    colour: Vec<[u8; 4]>,
}

impl Raster {
    /// Empties the picture and sets its size in pixels; `fine` takes four samples a pixel.
    pub fn begin(&mut self, width: usize, height: usize, fine: bool) {
        self.samples = if fine { 2 } else { 1 };
        self.width = (width * self.samples).min(MOST);
        self.height = (height * self.samples).min(MOST);
        let count = self.width * self.height;
        self.depth.clear();
        self.depth.resize(count, NOTHING);
        self.colour.clear();
        self.colour.resize(count, [0; 4]);
    }

    /// Draws a solid triangle; one that turns its back (clockwise in the picture) is left out.
    pub fn solid(&mut self, corners: [Corner; 3]) {
        let Some(setup) = Setup::new(corners, self.samples as f32) else { return };
        let (depth, colour) = (&mut self.depth, &mut self.colour);
        setup.each(self.width, self.height, |at, z, rgb| {
            if z > depth[at] {
                depth[at] = z;
                colour[at] = [rgb[0], rgb[1], rgb[2], 255];
            }
        });
    }

    /// Draws a triangle of glass of an opacity from 0 to 1 over what lies behind it; it hides nothing.
    pub fn glass(&mut self, corners: [Corner; 3], opacity: f32) {
        let Some(setup) = Setup::new(corners, self.samples as f32) else { return };
        let share = (opacity.clamp(0.0, 1.0) * 256.0) as u32;
        let (depth, colour) = (&self.depth, &mut self.colour);
        setup.each(self.width, self.height, |at, z, rgb| {
            if z > depth[at] {
                let under = &mut colour[at];
                let over = [rgb[0], rgb[1], rgb[2], 255];
                for (below, above) in under.iter_mut().zip(over) {
                    *below = ((u32::from(above) * share + u32::from(*below) * (256 - share)) >> 8) as u8;
                }
            }
        });
    }

    /// Whether a point, in pixels, is not hidden behind what was drawn: no farther than `slack` millimetres behind
    /// the farthest surface at and around it.
    #[must_use]
    pub fn sees(&self, x: f32, y: f32, depth: f32, slack: f32) -> bool {
        let samples = self.samples as f32;
        let (x, y) = ((x * samples).floor(), (y * samples).floor());
        if !(x.is_finite() && y.is_finite()) {
            return false;
        }
        let (x, y) = (x as i64, y as i64);
        let reach = self.samples as i64;
        (-reach..=reach).step_by(self.samples.max(1)).any(|dy| {
            (-reach..=reach).step_by(self.samples.max(1)).any(|dx| {
                let (x, y) = (x + dx, y + dy);
                let inside = x >= 0 && y >= 0 && x < self.width as i64 && y < self.height as i64;
                !inside || self.depth[y as usize * self.width + x as usize] <= depth + slack
            })
        })
    }

    /// Depth of what was drawn at a pixel's first sample.
    #[must_use]
    pub fn depth_at(&self, x: usize, y: usize) -> f32 {
        let at = y * self.samples * self.width + x * self.samples;
        self.depth.get(at).copied().unwrap_or(NOTHING)
    }

    /// The picture, premultiplied; empty places are clear.
    #[must_use]
    pub fn picture(&self) -> ColorImage {
        let step = self.samples.max(1);
        let (width, height) = (self.width / step, self.height / step);
        let mut pixels = Vec::with_capacity(width * height);
        if step == 1 {
            pixels.extend(self.colour.iter().map(|c| premultiplied(*c)));
        } else {
            for y in 0..height {
                let upper = &self.colour[2 * y * self.width..(2 * y + 1) * self.width];
                let lower = &self.colour[(2 * y + 1) * self.width..(2 * y + 2) * self.width];
                pixels.extend(upper.chunks_exact(2).zip(lower.chunks_exact(2)).map(|(a, b)| {
                    let sum = |k: usize| {
                        let sum =
                            u16::from(a[0][k]) + u16::from(a[1][k]) + u16::from(b[0][k]) + u16::from(b[1][k]);
                        ((sum + 2) >> 2) as u8
                    };
                    premultiplied([sum(0), sum(1), sum(2), sum(3)])
                }));
            }
        }
        ColorImage::new([width, height], pixels)
    }
}

fn premultiplied([r, g, b, a]: [u8; 4]) -> Color32 {
    Color32::from_rgba_premultiplied(r, g, b, a)
}

/// A triangle made ready: its values as planes over the picture.
struct Setup {
    corners: [Corner; 3],
    /// Change of depth, red, green, blue by `x` and by `y`.
    slopes: [[f32; 2]; 4],
}

impl Setup {
    /// `None` for one that turns its back, has no area, or is no triangle of numbers.
    fn new(mut corners: [Corner; 3], samples: f32) -> Option<Self> {
        for corner in &mut corners {
            corner.x *= samples;
            corner.y *= samples;
        }
        let [a, b, c] = corners;
        let (bx, by, cx, cy) = (b.x - a.x, b.y - a.y, c.x - a.x, c.y - a.y);
        // Clockwise in a picture with y down is counter-clockwise on paper.
        let area = by * cx - bx * cy;
        if !(area > 1e-9) || !area.is_finite() {
            return None;
        }
        let slope = |at_a: f32, at_b: f32, at_c: f32| {
            let (db, dc) = (at_b - at_a, at_c - at_a);
            [(dc * by - db * cy) / area, (db * cx - dc * bx) / area]
        };
        let slopes = [
            slope(a.depth, b.depth, c.depth),
            slope(a.rgb[0], b.rgb[0], c.rgb[0]),
            slope(a.rgb[1], b.rgb[1], c.rgb[1]),
            slope(a.rgb[2], b.rgb[2], c.rgb[2]),
        ];
        Some(Self { corners, slopes })
    }

    /// Calls `put` for every sample whose middle lies inside, with its place, depth and colour. Neighbours share a
    /// side without overlap or seam: a middle on a side belongs to the triangle on its right or below it.
    #[inline]
    fn each(&self, width: usize, height: usize, mut put: impl FnMut(usize, f32, [u8; 3])) {
        let mut by_y = self.corners;
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
        let a = self.corners[0];
        let [z, r, g, b] = self.slopes;
        let fixed = |value: f32| (value * 65536.0) as i32;
        let steps = [fixed(r[0]), fixed(g[0]), fixed(b[0])];
        for row in first..end {
            let y = row as f32 + 0.5;
            let long = crossing(top, bottom, y);
            let short = if y < middle.y { crossing(top, middle, y) } else { crossing(middle, bottom, y) };
            let (left, right) = if long < short { (long, short) } else { (short, long) };
            let from = (left - 0.5).ceil().max(0.0) as usize;
            let to = ((right - 0.5).ceil().max(0.0) as usize).min(width);
            if from >= to {
                continue;
            }
            let (dx, dy) = (from as f32 + 0.5 - a.x, y - a.y);
            let mut depth = a.depth + z[0] * dx + z[1] * dy;
            let start =
                |k: usize, slope: [f32; 2]| (fixed(a.rgb[k] + slope[0] * dx + slope[1] * dy), steps[k]);
            let (mut red, red_step) = start(0, r);
            let (mut green, green_step) = start(1, g);
            let (mut blue, blue_step) = start(2, b);
            let line = row * width;
            for at in line + from..line + to {
                put(at, depth, [byte(red), byte(green), byte(blue)]);
                depth += z[0];
                red = red.wrapping_add(red_step);
                green = green.wrapping_add(green_step);
                blue = blue.wrapping_add(blue_step);
            }
        }
    }
}

/// Where the side from `upper` to `lower` crosses a row.
#[inline]
fn crossing(upper: Corner, lower: Corner, y: f32) -> f32 {
    let tall = lower.y - upper.y;
    // Both triangles at a side compute the very same number.
    if tall > 0.0 { upper.x + (lower.x - upper.x) * ((y - upper.y) / tall) } else { upper.x }
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
            if let Some(setup) = Setup::new(corners, 1.0) {
                setup.each(40, 40, |at, _, _| hits[at] += 1);
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
    fn glass_lets_what_is_behind_shine_through_and_hides_nothing() {
        let mut raster = Raster::default();
        raster.begin(10, 10, false);
        square(&mut raster, 0.0, 0.0, 10.0, 1.0, RED);
        let at = |x: f32, y: f32, depth: f32| corner(x, y, depth, BLUE);
        for depth in [0.0, 2.0] {
            raster.glass([at(0.0, 0.0, depth), at(0.0, 20.0, depth), at(20.0, 0.0, depth)], 0.5);
        }
        let pixel = raster.picture().pixels[11];
        assert_eq!((pixel.r(), pixel.b(), pixel.a()), (100, 100, 255), "only the nearer glass counts");
        assert!(raster.sees(5.0, 5.0, 1.0, 0.0), "glass hides nothing");
    }

    #[test]
    fn numbers_that_are_none_draw_nothing_and_stop_nothing() {
        let mut raster = Raster::default();
        raster.begin(10, 10, true);
        for odd in [f32::NAN, f32::INFINITY, -f32::INFINITY, 1e30] {
            raster.solid([
                corner(odd, 0.0, 0.0, RED),
                corner(0.0, odd, 0.0, RED),
                corner(1.0, 1.0, odd, RED),
            ]);
            assert!(!raster.sees(odd, f32::NAN, 0.0, 0.0));
        }
        assert!(raster.picture().pixels.iter().all(|p| p.a() == 0 || p.a() == 255));
    }
}
