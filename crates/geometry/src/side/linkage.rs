//! From a setting to its bevel: the triangle of wheel's centre, edge and pivot, and the table's plane.
//!
//! Frames, symbols and the two equations stand at the head of [`crate::side::setting`]. The slopes are the
//! derivatives of those equations, written out by hand.

use std::f64::consts::{FRAC_PI_2, PI};

use glam::{DVec2, dvec2};

use crate::{
    math::angle::Angle,
    parts::{support::Table, wheel::Face},
    side::{
        facet::Facet,
        refusal::Refusal,
        setting::{Seat, Setting, SideView, Slopes, Support},
    },
};

/// A pivot nearer to the edge than this, in millimetres, gives no direction.
const PIVOT_AT_EDGE_MM: f64 = 1e-6;

/// The triangle of wheel's centre, edge and pivot. For a flat face its "centre" is infinitely far off, and what
/// is left of it is the pivot's distance from the plane.
struct Triangle {
    pivot_in_bench: DVec2,
    along_arm: DVec2,
    /// The pivot in the tool frame, `s` foreshortened.
    pivot_in_tool: DVec2,
    /// `v = h_E − h_P`.
    v: f64,
    /// How `s` (not foreshortened) and `v` move with the strut's angle.
    strut_turn: Option<DVec2>,
    fraction: f64,
    /// `L` and its square.
    from_edge: f64,
    from_edge_squared: f64,
    /// `D`.
    from_centre: f64,
    gauge: f64,
    /// γ = β − ε.
    sin_gamma: f64,
    cos_gamma: f64,
}

impl Triangle {
    #[inline]
    fn of(setting: &Setting) -> Result<Self, Refusal> {
        let fraction = setting.foreshortening();
        let (pivot_in_bench, along_arm, in_tool, strut_turn) = match setting.support {
            Support::Handle { arm, reach_mm, tool_length_mm } => {
                (arm.pivot_in_bench(reach_mm), arm.along(), dvec2(tool_length_mm, 0.0), None)
            }
            Support::Holder { arm, holder, reach_mm, projection_mm, strut_angle } => {
                let (sin, cos) = strut_angle.sin_cos();
                let strut = holder.spec().strut_length_mm * dvec2(cos, -sin);
                let in_tool = holder.hinge_in_tool(projection_mm) + strut;
                // ds/dα = −ℓ sin α and dv/dα = ℓ cos α.
                (arm.pivot_in_bench(reach_mm), arm.along(), in_tool, Some(dvec2(strut.y, strut.x)))
            }
            Support::Table { .. } => return Err(Refusal::NotOnPivot),
        };
        let s = in_tool.x * fraction;
        let v = setting.edge.height_mm - in_tool.y;
        let from_edge_squared = s * s + v * v;
        let l = from_edge_squared.sqrt();
        if l < PIVOT_AT_EDGE_MM {
            return Err(Refusal::PivotAtEdge { from_edge_mm: l });
        }
        let d = pivot_in_bench.length();
        let (gauge, sin_gamma, cos_gamma) = match setting.face {
            Face::Round { radius_mm: r } => {
                let gauge = d - r;
                if gauge <= 0.0 {
                    return Err(Refusal::PivotInWheel { by_mm: -gauge });
                }
                // 1 − sin γ and 1 + sin γ as products, which keep their digits where they vanish.
                let scale = 1.0 / (2.0 * l * r);
                let below_far = (l + r - d) * (l + r + d) * scale;
                let above_near = (d - (l - r)) * (d + (l - r)) * scale;
                if below_far <= 0.0 {
                    return Err(Refusal::PivotTooFar { distance_mm: d, most_mm: l + r });
                }
                if above_near <= 0.0 {
                    return Err(Refusal::PivotTooNear { distance_mm: d, least_mm: (l - r).abs() });
                }
                let sin_gamma = if below_far < above_near { 1.0 - below_far } else { above_near - 1.0 };
                (gauge, sin_gamma, (below_far * above_near).sqrt())
            }
            Face::Flat { normal } => {
                let gauge = pivot_in_bench.dot(normal.direction());
                if gauge <= 0.0 {
                    return Err(Refusal::PivotInWheel { by_mm: -gauge });
                }
                if gauge >= l {
                    return Err(Refusal::PivotTooFar { distance_mm: gauge, most_mm: l });
                }
                (gauge, gauge / l, ((l - gauge) * (l + gauge)).sqrt() / l)
            }
        };
        Ok(Self {
            pivot_in_bench,
            along_arm,
            pivot_in_tool: dvec2(s, in_tool.y),
            v,
            strut_turn,
            fraction,
            from_edge: l,
            from_edge_squared,
            from_centre: d,
            gauge,
            sin_gamma,
            cos_gamma,
        })
    }

    /// β in radians, with its sine and cosine.
    #[inline]
    fn bevel(&self) -> Result<(f64, (f64, f64)), Refusal> {
        let (s, v, l) = (self.pivot_in_tool.x, self.v, self.from_edge);
        // β = γ + ε with cos ε = s/L, sin ε = v/L; any way round that ε is counted.
        let sin = (self.sin_gamma * s + self.cos_gamma * v) / l;
        let cos = (self.cos_gamma * s - self.sin_gamma * v) / l;
        let beta = sin.atan2(cos);
        if beta > 0.0 && beta < PI {
            Ok((beta, (sin, cos)))
        } else {
            Err(Refusal::BevelOutOfRange { bevel: Angle::from_radians(beta) })
        }
    }

    /// The contact in the bench frame, and the slopes of the bevel.
    #[inline]
    fn contact_and_slopes(&self, face: Face) -> (DVec2, Slopes) {
        let (l, d, pivot) = (self.from_edge, self.from_centre, self.pivot_in_bench);
        let mut slopes = Slopes::default();
        let (contact, by_l) = match face {
            Face::Round { radius_mm: r } => {
                // Upper contact: turned from the pivot's direction by ω, cos ω = (D² + R² − L²)/2DR.
                let (dd, ll, rr) = (d * d, self.from_edge_squared, r * r);
                let cos_omega = (dd + rr - ll) / (2.0 * d * r);
                let sin_omega = l * self.cos_gamma / d;
                let scale = 1.0 / (l * r * self.cos_gamma);
                let by_radius = -(dd - ll + rr) * scale / (2.0 * r);
                slopes.reach = Some(pivot.dot(self.along_arm) * scale);
                slopes.wheel_diameter = Some(by_radius / 2.0);
                slopes.wheel_diameter_at_gauge = Some(f64::midpoint(by_radius, d * scale));
                let contact = (pivot * cos_omega + pivot.perp() * sin_omega) * (r / d);
                (contact, -(dd + ll - rr) * scale / (2.0 * l))
            }
            Face::Flat { normal } => {
                let n = normal.direction();
                let scale = 1.0 / (l * self.cos_gamma);
                slopes.reach = Some(self.along_arm.dot(n) * scale);
                (pivot - n * self.gauge + n.perp() * (l * self.cos_gamma), -self.sin_gamma * scale)
            }
        };
        // γ by L, and ε = atan2(v, s).
        let s = self.pivot_in_tool.x;
        let by_s = (by_l * s / l - self.v / self.from_edge_squared) * self.fraction;
        match self.strut_turn {
            None => slopes.tool_length = Some(by_s),
            Some(turn) => {
                let by_v = by_l * self.v / l + s / self.from_edge_squared;
                slopes.projection = Some(by_s);
                slopes.strut_angle = Some(by_s * turn.x + by_v * turn.y);
            }
        }
        (contact, slopes)
    }
}

impl Setting {
    /// The answer, whatever the travel allows, for inputs that are numbers.
    pub(crate) fn solve(&self) -> Result<SideView, Refusal> {
        match self.support {
            Support::Table { table, tilt } => self.solve_on_table(&table, tilt),
            Support::Handle { .. } | Support::Holder { .. } => self.solve_on_pivot(),
        }
    }

    fn solve_on_pivot(&self) -> Result<SideView, Refusal> {
        let triangle = Triangle::of(self)?;
        let (beta, sin_cos) = triangle.bevel()?;
        let facet = Facet::ground_with(self.face, Angle::from_radians(beta), sin_cos, self.edge.under_mm)
            .map_err(Refusal::NoHeel)?;
        let (contact, slopes) = triangle.contact_and_slopes(self.face);
        let towards = match self.face {
            Face::Round { .. } => contact.y.atan2(contact.x),
            Face::Flat { normal } => normal.radians(),
        };
        Ok(SideView {
            facet,
            contact_in_bench: contact,
            handle_angle: Angle::from_radians(FRAC_PI_2 - towards - beta).wrapped(),
            seat: Seat::Pivot {
                in_bench: triangle.pivot_in_bench,
                in_tool: triangle.pivot_in_tool,
                from_centre_mm: triangle.from_centre,
                from_edge_mm: triangle.from_edge,
                gauge_length_mm: triangle.gauge,
            },
            slopes,
            edge_height_mm: self.edge.height_mm,
        })
    }

    fn solve_on_table(&self, table: &Table, tilt: Angle) -> Result<SideView, Refusal> {
        let (sin_tilt, cos_tilt) = tilt.sin_cos();
        let along = dvec2(cos_tilt, sin_tilt);
        let up = along.perp();
        let q = table.plane_from_centre_mm(tilt);
        let above = self.edge.under_mm;
        let (beta, sin_cos, contact, slopes) = match self.face {
            Face::Round { radius_mm: r } => {
                let cos_beta = (q + above) / r;
                if cos_beta.abs() >= 1.0 {
                    return Err(Refusal::TableOutOfReach {
                        plane_from_centre_mm: q,
                        least_mm: -r - above,
                        most_mm: r - above,
                    });
                }
                let sin_beta = ((1.0 - cos_beta) * (1.0 + cos_beta)).sqrt();
                let hinge = table.spec().hinge_in_bench;
                let slopes = Slopes {
                    table_tilt: Some(hinge.dot(along) / (r * sin_beta)),
                    wheel_diameter: Some(cos_beta / (2.0 * r * sin_beta)),
                    ..Slopes::default()
                };
                let contact = up * (q + above) + along * (r * sin_beta);
                (sin_beta.atan2(cos_beta), (sin_beta, cos_beta), contact, slopes)
            }
            Face::Flat { normal } => {
                let beta = (Angle::QUARTER - normal + tilt).wrapped();
                let (sin, cos) = beta.sin_cos();
                if beta.radians() <= 0.0 || sin <= 1e-12 {
                    return Err(Refusal::BevelOutOfRange { bevel: beta });
                }
                // On the plane n·E = 0 and (q + T_E) above the table through the origin: E = k·n⊥.
                let across = normal.direction().perp();
                let contact = across * ((q + above) / across.dot(up));
                let slopes = Slopes { table_tilt: Some(1.0), ..Slopes::default() };
                (beta.radians(), (sin, cos), contact, slopes)
            }
        };
        let rest_gap = self.rest_gap_mm(table, tilt);
        if rest_gap <= 0.0 {
            return Err(Refusal::TableCatchesWheel { by_mm: -rest_gap });
        }
        let facet = Facet::ground_with(self.face, Angle::from_radians(beta), sin_cos, above)
            .map_err(Refusal::NoHeel)?;
        Ok(SideView {
            facet,
            contact_in_bench: contact,
            handle_angle: -tilt,
            seat: Seat::Plane { from_centre_mm: q, edge_above_mm: above, rest_gap_mm: rest_gap },
            slopes,
            edge_height_mm: self.edge.height_mm,
        })
    }

    /// The least distance of the table's surface from the abrasive, in millimetres; negative inside, and for a
    /// surface that lies wholly behind the wheel, where it carries no tool that stands at its front.
    pub(crate) fn rest_gap_mm(&self, table: &Table, tilt: Angle) -> f64 {
        let [front, rear] = table.surface_in_bench(tilt);
        match self.face {
            Face::Round { radius_mm } => {
                let along = tilt.direction();
                let rim_square = radius_mm * radius_mm - front.perp_dot(along).powi(2);
                if rear.dot(along) <= 0.0 && rim_square > 0.0 {
                    return front.dot(along) - rim_square.sqrt();
                }
                distance_to_segment(DVec2::ZERO, front, rear) - radius_mm
            }
            Face::Flat { .. } => self.face.distance_mm(front).min(self.face.distance_mm(rear)),
        }
    }
}

/// Distance of a point from a segment.
pub(crate) fn distance_to_segment(point: DVec2, from: DVec2, to: DVec2) -> f64 {
    let along = to - from;
    let square = along.length_squared();
    let fraction = if square > 0.0 { ((point - from).dot(along) / square).clamp(0.0, 1.0) } else { 0.0 };
    (point - (from + along * fraction)).length()
}
