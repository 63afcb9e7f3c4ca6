//! Every ray against wheels of their real width that are stood at pose after pose of the swing.
//!
//! Derived here, without the roll frame: the tool is turned about the roll line by Rodrigues' formula and the ray met with
//! a cylinder (or a flat face of a width) that stands still in the side plane. Two claims are checked at every place: no
//! pose out of many, the best of them improved by golden section, takes more than the surface says; and the pose that
//! the surface names does take the place, so that no less is taken either.

use bevelbench_geometry::{
    math::Angle,
    parts::{Bar, Bevels, FlatKind, FlatStock, FluteShape, Presentation, Section},
    swept::{
        GrindingFace, GroundBy, GroundSurface, Pushed, RollLine, Rolled, Steel, Swing, Tip, TurnedOnTable,
    },
};
use glam::{DQuat, DVec2, DVec3};

/// What the surface and the posed wheels may differ by, in millimetres.
const STATED_MM: f64 = 1e-6;
/// Poses looked at before the best are improved.
const POSES: u32 = 360;

/// Numbers spread evenly between limits, the same each time.
struct Spread(u64);

impl Spread {
    fn next(&mut self) -> f64 {
        // SplitMix64.
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.next()
    }

    fn one_of<T: Copy>(&mut self, of: &[T]) -> T {
        of[((self.next() * of.len() as f64) as usize).min(of.len() - 1)]
    }
}

/// A stone that stands still in the side plane `(s, h)`, and what the tool is turned about.
struct Stand {
    /// Of a wheel.
    centre: DVec2,
    radius: Option<f64>,
    /// Of a flat face: outward, and its distance along that.
    normal: DVec2,
    offset: f64,
    half_width: f64,
    /// A place of the roll line and its direction, `(s, h, w)`.
    line: (DVec3, DVec3),
    turn: f64,
}

impl Stand {
    fn of(setting: &Rolled) -> Self {
        let pivot = setting.line.pivot_in_tool();
        let foot = setting.line.centre_in_tool();
        let along = (pivot - foot).normalize().extend(0.0);
        let line = (foot.extend(0.0), along);
        let nose = DVec2::new(0.0, setting.edge_height_mm);
        let normal = DVec2::new(setting.bevel.sin(), setting.bevel.cos());
        let (radius, width) = match setting.abrasive {
            GrindingFace::Wheel { radius_mm, width_mm } => (Some(radius_mm), width_mm),
            GrindingFace::Flat { width_mm } => (None, width_mm),
        };
        let turn = setting.turn.radians();
        let mut stand = Self {
            centre: nose - radius.unwrap_or(0.0) * normal,
            radius,
            normal,
            offset: normal.dot(nose),
            half_width: width / 2.0,
            line,
            turn,
        };
        if turn != 0.0 {
            stand.nod_to_the_nose(nose, pivot);
        }
        stand
    }

    /// A turned nose comes to lie elsewhere: the stone is turned about the pivot until it touches the nose, rolled into the
    /// side plane, again. Found by halving.
    fn nod_to_the_nose(&mut self, nose: DVec2, pivot: DVec2) {
        let held = self.held(DVec3::new(0.0, nose.y, 0.0));
        let leg = held - self.line.0;
        let u = leg.dot(self.line.1);
        let off = (leg - u * self.line.1).length();
        let below = DVec2::new(self.line.1.y, -self.line.1.x);
        let below = if below.y < 0.0 || (below.y == 0.0 && below.x < 0.0) { below } else { -below };
        let after = (self.line.0 + u * self.line.1).truncate() + off * below;
        let (centre, normal) = (self.centre, self.normal);
        let distance = self.offset - normal.dot(pivot);
        let at = |nod: f64| {
            let turn = DVec2::from_angle(nod);
            (pivot + turn.rotate(centre - pivot), turn.rotate(normal))
        };
        let off = |nod: f64| {
            let (centre, normal) = at(nod);
            match self.radius {
                Some(radius) => after.distance(centre) - radius,
                None => normal.dot(after - pivot) - distance,
            }
        };
        // Of two such places the one on the same side of the way from the pivot to the nose.
        let side = |nose: DVec2, nod: f64| {
            let (centre, normal) = at(nod);
            (nose - pivot).perp_dot(self.radius.map_or(normal, |_| centre - pivot)) > 0.0
        };
        let steps = (0..400).flat_map(|i| [f64::from(i) * 0.002, f64::from(-i - 1) * 0.002]);
        let mut low = 0.0;
        for step in steps {
            let (mut one, mut other) = (step, step + 0.002);
            let below = off(one) > 0.0;
            if (off(other) > 0.0) == below {
                continue;
            }
            for _ in 0..60 {
                let mid = f64::midpoint(one, other);
                if (off(mid) > 0.0) == below { one = mid } else { other = mid }
            }
            low = one;
            if side(after, one) == side(nose, 0.0) {
                break;
            }
        }
        (self.centre, self.normal) = at(low);
        self.offset = self.normal.dot(pivot) + distance;
    }

    /// A place of the tool as it lies in its holder.
    fn held(&self, p: DVec3) -> DVec3 {
        let (sin, cos) = self.turn.sin_cos();
        DVec3::new(p.x, p.y * cos + p.z * sin, p.z * cos - p.y * sin)
    }

    /// The same, the wheel turned by a roll angle as seen from the tool.
    fn rolled(&self, p: DVec3, roll: f64) -> DVec3 {
        // Towards +w for a place on the wheel's side of the line.
        let held = self.held(p) - self.line.0;
        self.line.0 + DQuat::from_axis_angle(self.line.1, roll) * held
    }

    /// How far a place lies outside the stone at a roll angle, in millimetres; none where it lies inside.
    fn outside_mm(&self, p: DVec3, roll: f64) -> f64 {
        let q = self.rolled(p, roll);
        let rim = match self.radius {
            Some(radius) => q.truncate().distance(self.centre) - radius,
            None => self.normal.dot(q.truncate()) - self.offset,
        };
        rim.max(q.z.abs() - self.half_width).max(0.0)
    }

    /// Greatest station of the ray through `(w, h)` inside the stone at a roll angle.
    fn station(&self, (w, h): (f64, f64), roll: f64) -> f64 {
        let from = self.rolled(DVec3::new(0.0, h, w), roll);
        let run = self.rolled(DVec3::new(1.0, h, w), roll) - from;
        let (mut low, mut high) = (-1e5, 1e5);
        if run.z.abs() > 1e-13 {
            let ends = [-self.half_width, self.half_width].map(|side| (side - from.z) / run.z);
            low = ends[0].min(ends[1]);
            high = ends[0].max(ends[1]);
        } else if from.z.abs() > self.half_width {
            return f64::NEG_INFINITY;
        }
        let (leg, way) = (from.truncate() - self.centre, run.truncate());
        if let Some(radius) = self.radius {
            let (square, cross) = (way.length_squared(), leg.dot(way));
            let under = cross * cross - square * (leg.length_squared() - radius * radius);
            if under < 0.0 || square < 1e-13 {
                return f64::NEG_INFINITY;
            }
            low = f64::max(low, (-cross - under.sqrt()) / square);
            high = f64::min(high, (under.sqrt() - cross) / square);
        } else {
            let (gap, slope) = (self.offset - self.normal.dot(from.truncate()), self.normal.dot(way));
            if slope > 1e-13 {
                high = f64::min(high, gap / slope);
            } else if slope < -1e-13 {
                low = f64::max(low, gap / slope);
            } else if gap < 0.0 {
                return f64::NEG_INFINITY;
            }
        }
        if low <= high { high } else { f64::NEG_INFINITY }
    }

    /// The greatest station over all poses.
    fn start(&self, place: (f64, f64), half: f64) -> f64 {
        let at = |i: u32| half * (2.0 * f64::from(i) / f64::from(POSES) - 1.0);
        let stations: Vec<f64> = (0..=POSES).map(|i| self.station(place, at(i))).collect();
        let mut peaks: Vec<u32> = (0..=POSES)
            .filter(|&i| {
                let s = stations[i as usize];
                s > f64::NEG_INFINITY
                    && (i == 0 || stations[i as usize - 1] <= s)
                    && (i == POSES || stations[i as usize + 1] <= s)
            })
            .collect();
        peaks.sort_by(|a, b| stations[*b as usize].total_cmp(&stations[*a as usize]));
        let ratio = (5.0_f64.sqrt() - 1.0) / 2.0;
        let mut best = f64::NEG_INFINITY;
        for &peak in peaks.iter().take(3) {
            best = best.max(stations[peak as usize]);
            let (mut low, mut high) = (at(peak.saturating_sub(1)), at((peak + 1).min(POSES)));
            for _ in 0..48 {
                let (one, other) = (high - ratio * (high - low), low + ratio * (high - low));
                let (s_one, s_other) = (self.station(place, one), self.station(place, other));
                best = best.max(s_one).max(s_other);
                if s_one < s_other { low = one } else { high = other }
            }
        }
        best
    }
}

#[derive(Default)]
struct Tally {
    edges: usize,
    places: usize,
    by: std::collections::HashMap<&'static str, usize>,
    worst_mm: f64,
    faults: Vec<String>,
}

impl Tally {
    fn compare(
        &mut self,
        stated: &str,
        surface: &GroundSurface,
        stand: &Stand,
        half: f64,
        (w, h): (f64, f64),
    ) {
        self.places += 1;
        // A face that leaves the ray at a grazing angle takes it as far as anybody looks.
        let posed = stand.start((w, h), half).min(1e5);
        let hit = surface.start_of_steel(w, h);
        let s = hit.map_or(f64::NEG_INFINITY, |hit| hit.s_mm);
        *self
            .by
            .entry(match hit.map(|hit| hit.face) {
                None => "none",
                Some(GroundBy::Sweep) => "sweep",
                Some(GroundBy::SwingEnd { .. }) => "end",
                Some(GroundBy::OffMiddle) => "off middle",
                Some(GroundBy::WheelSide { .. }) => "side",
            })
            .or_default() += 1;
        let more = if posed.is_finite() { posed - s } else { 0.0 };
        let mut off = more.max(0.0);
        if let Some(hit) = hit
            && hit.s_mm.abs() < 9e4
        {
            let place = DVec3::new(s, h, w);
            let roll = surface.roll_at(place, hit.face).radians();
            off = off.max(stand.outside_mm(place, roll)).max(roll.abs() - half);
        }
        self.worst_mm = self.worst_mm.max(off);
        if off > STATED_MM {
            self.faults.push(format!("{stated}\n  w {w} h {h}: {hit:?}, posed {posed}, off {off}"));
        }
    }
}

fn gouge(spread: &mut Spread) -> (Steel, f64) {
    loop {
        let diameter = spread.one_of(&[6.0, 10.0, 13.0, 16.0, 20.0]);
        let floor = spread.between(-0.35, 0.0) * diameter;
        let shape = match spread.one_of(&[0, 1, 2]) {
            0 => FluteShape::Power { factor: spread.between(0.02, 0.4), exponent: spread.between(2.0, 4.0) },
            1 => {
                FluteShape::Vee { slope: spread.between(0.6, 2.5), floor_radius_mm: spread.between(0.4, 3.0) }
            }
            _ => FluteShape::Circle { radius_mm: spread.between(0.25, 0.7) * diameter },
        };
        if let Ok(bar) = Bar::new(diameter, shape, floor) {
            return (Steel::of_bar(&bar), floor);
        }
    }
}

fn rolled(spread: &mut Spread, floor: f64) -> Rolled {
    // Holders with strut angles up to square off the tool, handles in the cup, and what lies beyond either.
    let pivot = DVec2::new(
        spread.between(25.0, 330.0),
        spread.one_of(&[-110.0, -80.0, -50.0, -20.0, 5.0, 30.0]) * spread.between(0.7, 1.1),
    );
    let centre = floor + spread.one_of(&[0.0, 1.5, 4.0, 9.0]) * spread.next();
    let width_mm = spread.one_of(&[0.5, 3.0, 8.0, 12.0, 20.0, 25.0, 40.0, 60.0]);
    let abrasive = if spread.next() < 0.2 {
        GrindingFace::Flat { width_mm }
    } else {
        GrindingFace::Wheel { radius_mm: spread.between(20.0, 130.0), width_mm }
    };
    let half = spread.one_of(&[3.0, 20.0, 45.0, 70.0, 80.0, 90.0, 90.0, 110.0, 150.0, 180.0]);
    Rolled {
        line: RollLine::through(pivot, centre).unwrap(),
        bevel: Angle::from_degrees(if spread.next() < 0.9 {
            spread.between(15.0, 80.0)
        } else {
            spread.between(80.0, 130.0)
        }),
        edge_height_mm: floor,
        abrasive,
        swing: Swing::to_either_side(Angle::from_degrees(half)).unwrap(),
        turn: Angle::from_degrees(if spread.next() < 0.6 { 0.0 } else { spread.between(-15.0, 15.0) }),
    }
}

/// Two thousand edges: gouges rolled, some turned in the holder, scrapers swung on their table; every width of wheel.
#[test]
fn no_pose_of_any_wheel_takes_more_or_less_than_the_surface() {
    let mut spread = Spread(14);
    let mut tally = Tally::default();
    while tally.edges < 2000 {
        let scraper = spread.next() < 0.1;
        let (steel, setting, surface) = if scraper {
            let width = spread.between(10.0, 38.0);
            let stock = FlatStock::new(
                width,
                6.0,
                Section::Rectangular,
                FlatKind::Skew { obliquity: Angle::QUARTER, edge_radius_mm: None, bevels: Bevels::Alike },
            );
            let Ok(stock) = stock else { continue };
            let plan_radius_mm = spread.between(0.5, 3.0) * width;
            let base = rolled(&mut spread, 0.0);
            let setting = Rolled {
                line: RollLine::upright(plan_radius_mm).unwrap(),
                edge_height_mm: 0.0,
                turn: Angle::ZERO,
                ..base
            };
            let surface = GroundSurface::turned_on_table(&TurnedOnTable {
                plan_radius_mm,
                bevel: setting.bevel,
                edge_height_mm: 0.0,
                abrasive: setting.abrasive,
                swing: setting.swing,
            });
            (Steel::of_flat(&stock), setting, surface)
        } else {
            let (steel, floor) = gouge(&mut spread);
            let setting = rolled(&mut spread, floor);
            (steel, setting, GroundSurface::rolled(&setting))
        };
        let Ok(surface) = surface else { continue };
        tally.edges += 1;
        let stand = Stand::of(&setting);
        let stated = format!("{} {setting:?}", tally.edges);
        let half = setting.swing.half().radians();
        for i in 0..=8 {
            let wall = steel.wall_at(f64::from(i) / 4.0 - 1.0);
            tally.compare(&stated, &surface, &stand, half, (wall.x, wall.y));
        }
        let tip = Tip::new(surface, steel);
        for _ in 0..4 {
            let place = tip.at(spread.between(-1.0, 1.0), spread.next()).0;
            tally.compare(&stated, &surface, &stand, half, (place.x, place.y));
        }
    }
    assert!(tally.by.len() == 5 && tally.by.values().all(|count| *count > 500), "{:?}", tally.by);
    assert!(
        tally.faults.is_empty(),
        "{} of {}\n{}",
        tally.faults.len(),
        tally.places,
        tally.faults.iter().step_by(1.max(tally.faults.len() / 8)).cloned().collect::<Vec<_>>().join("\n")
    );
}

/// A blade's edge laid parallel to the spindle (or its axis in the side plane) and slid along itself past a wheel, place
/// after place. In the first the wheel's width takes no more; in the second the plane of its middle counts.
#[test]
fn a_blade_pushed_past_a_wheel_is_left_as_its_places_say() {
    let mut spread = Spread(41);
    for case in 0..400 {
        let obliquity = Angle::from_degrees(spread.between(40.0, 130.0));
        let presentation =
            spread.one_of(&[Presentation::EdgeParallelToSpindle, Presentation::AxisInSidePlane]);
        let bevel = Angle::from_degrees(spread.between(10.0, 80.0));
        let radius_mm = spread.between(30.0, 130.0);
        let setting = Pushed {
            bevel,
            edge_height_mm: spread.between(-2.0, 4.0),
            abrasive: GrindingFace::Wheel { radius_mm, width_mm: spread.between(3.0, 50.0) },
            obliquity,
            presentation,
        };
        let surface = GroundSurface::pushed(&setting).unwrap();
        let centre = DVec2::new(-radius_mm * bevel.sin(), setting.edge_height_mm - radius_mm * bevel.cos());
        // The edge runs so, from the +w end forwards.
        let (sin, cos) = obliquity.sin_cos();
        let edge = DVec3::new(cos, 0.0, sin);
        let yaw = match presentation {
            Presentation::EdgeParallelToSpindle => DQuat::from_rotation_arc(edge, DVec3::Z),
            Presentation::AxisInSidePlane => DQuat::IDENTITY,
        };
        for _ in 0..9 {
            let (w, h) = (spread.between(-12.0, 12.0), setting.edge_height_mm - spread.between(0.0, 6.0));
            // Slid along the edge until the place lies in the side plane; there the ray runs level.
            let ray = |s: f64| {
                let place = yaw * DVec3::new(s, h, w);
                let run = yaw * edge;
                place - run * (place.z / run.z)
            };
            let inside = |s: f64| ray(s).truncate().distance(centre) < radius_mm;
            let hit = surface.start_of_steel(w, h);
            let Some(hit) = hit else {
                assert!((-4000..4000).all(|i| !inside(0.1 * f64::from(i))), "{case} {setting:?} {w} {h}");
                continue;
            };
            // From where the ray passes the wheel's middle back to where it leaves it.
            let per_s = ray(1.0).x - ray(0.0).x;
            let (mut low, mut high) = ((centre.x - ray(0.0).x) / per_s, 900.0);
            assert!(inside(low) && !inside(high), "{case} {setting:?}");
            for _ in 0..80 {
                let mid = f64::midpoint(low, high);
                if inside(mid) { low = mid } else { high = mid }
            }
            assert!((hit.s_mm - low).abs() < STATED_MM, "{case} {setting:?} {w} {h}: {hit:?} {low}");
        }
    }
}
