//! What must be set for a relief: the second setting for a given primary width, or the primary width for a given
//! second setting.
//!
//! With the primary width given the junction is a fixed point of the tool, and what is wanted of the second facet
//! becomes an angle across it, which [`Setting::find`](crate::side::setting::Setting::find) answers in closed form. With the second setting given the
//! width is found by bracketing: every place in the facet's width where the wanted value is crossed.

use glam::DVec2;

use crate::{
    facet::relief::{FurtherFacet, Inside, Relief, ReliefRefusal},
    math::{angle::Angle, quantity::Quantity},
    side::{inverse::Target, job::Job, refusal::Refusal, setting::SideView},
};

/// Samples across the facet between which a crossing is looked for.
const SAMPLES: u32 = 96;
/// Halvings of a bracket: to rounding.
const HALVINGS: u32 = 60;

/// What is wanted of a second facet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ReliefWanted {
    /// That it reads this much keener on a protractor than the facet before it.
    Relief(Angle),
    /// That it reads this much on a protractor.
    Across(Angle),
    /// That an inside curve of this radius, in millimetres, is the tightest.
    Inside(f64),
}

/// The second setting that meets what is wanted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SecondSetting {
    /// The value of what was free, in millimetres or degrees, as it stands on the rig.
    pub value: f64,
    /// Why the rig cannot be set to it, if its travel stops short.
    pub off_travel: Option<Refusal>,
}

impl FurtherFacet {
    /// Every value of `free` at which the next step, leaving this facet `left_mm` wide, meets what is wanted. Nearest
    /// to the value as it stands first; at most four.
    ///
    /// # Errors
    /// [`ReliefRefusal`], counted as step 1.
    pub fn second_settings(
        &self,
        job: &Job,
        left_mm: f64,
        free: Quantity,
        wanted: ReliefWanted,
    ) -> Result<impl Iterator<Item = SecondSetting> + use<>, ReliefRefusal> {
        let step = 1;
        if !(left_mm > 0.0 && left_mm < self.width_mm) {
            return Err(ReliefRefusal::WidthOutOfRange { step, width_mm: left_mm, most_mm: self.width_mm });
        }
        let left = self.cut_to(left_mm);
        let junction = left.ends_from_edge;
        let seen = job.setting.seen_from(junction);
        let across = match wanted {
            ReliefWanted::Relief(relief) => left.across - relief,
            ReliefWanted::Across(across) => across,
            ReliefWanted::Inside(radius_mm) => {
                self.across_for_inside(junction, radius_mm, seen.edge.under_mm)?
            }
        };
        let refused = |refusal| ReliefRefusal::Refused { step, refusal };
        let along = match free {
            Quantity::Projection | Quantity::ToolLength => junction.x / job.setting.foreshortening(),
            _ => 0.0,
        };
        let present = seen.value_of(free);
        let present = present.ok_or(ReliefRefusal::NothingToMove { step, free })?;
        let answers = seen.find(Target::AcrossFacet(across), free).map_err(refused)?;
        let mut found = [None; 4];
        for (place, answer) in found.iter_mut().zip(answers.all()) {
            *place = Some(SecondSetting { value: answer.value + along, off_travel: answer.off_travel });
        }
        let off = |one: &Option<SecondSetting>| {
            one.map_or(f64::INFINITY, |one| (one.value - along - present).abs())
        };
        found.sort_by(|a, b| off(a).total_cmp(&off(b)));
        Ok(found.into_iter().flatten())
    }

    /// The bevel across a second facet from a junction to the underside whose heel lies on the circle through edge and
    /// junction.
    fn across_for_inside(
        &self,
        junction: DVec2,
        radius_mm: f64,
        under_junction_mm: f64,
    ) -> Result<Angle, ReliefRefusal> {
        let chord = junction - self.begins_from_edge;
        let half = chord.length() / 2.0;
        let under = under_junction_mm - chord.y;
        let slope = Angle::of(chord * DVec2::new(1.0, -1.0));
        // The least circle through both that comes down to the underside touches it: with tangent and secant
        // from the point where the chord meets it, t² = d₁ d₂ and 2r sin = d₁ + d₂ + 2t cos, each d sin under a point.
        let both = f64::midpoint(under, under_junction_mm) + (under * under_junction_mm).sqrt() * slope.cos();
        let least_mm = (both / slope.sin().powi(2)).max(half);
        if !(radius_mm.is_finite() && radius_mm > least_mm) {
            return Err(ReliefRefusal::InsideOutOfRange { step: 1, radius_mm, least_mm });
        }
        // Its middle lies on the steel's side of the chord, above it.
        let rise = ((radius_mm - half) * (radius_mm + half)).sqrt();
        let middle = self.begins_from_edge + chord / 2.0 + chord.normalize_or_zero().perp() * rise;
        let floor = junction.y - under_junction_mm;
        let drop = middle.y - floor;
        let square = ((radius_mm - drop) * (radius_mm + drop)).max(0.0);
        // The first crossing with the underside behind the junction.
        let heel = DVec2::new(middle.x - square.sqrt(), floor);
        Ok(Angle::of((heel - junction) * DVec2::new(1.0, -1.0)))
    }
}

impl Relief {
    /// Every primary width, in millimetres, at which a second setting (`free` moved to `value`) meets what is wanted;
    /// narrowest first. Empty where none does.
    #[must_use]
    pub fn primary_widths(
        job: &Job,
        view: &SideView,
        free: Quantity,
        value: f64,
        wanted: ReliefWanted,
    ) -> Vec<f64> {
        let whole = view.facet.width_mm;
        let off = |width: f64| -> Option<f64> {
            let relief = Self::of(job, view, [(free, value, width)]).ok()?;
            Some(match wanted {
                ReliefWanted::Relief(angle) => (relief.relief(1)? - angle).radians(),
                ReliefWanted::Across(angle) => (relief.facets().get(1)?.across - angle).radians(),
                // By curvature, which passes through zero where the junction stops standing proud.
                ReliefWanted::Inside(radius_mm) => match relief.inside() {
                    Inside::Tightest { radius_mm: tightest, .. } => 1.0 / tightest - 1.0 / radius_mm,
                    _ => -1.0 / radius_mm,
                },
            })
        };
        let at = |i: u32| whole * (f64::from(i) + 0.5) / f64::from(SAMPLES);
        let mut found = Vec::new();
        let mut before: Option<(f64, f64)> = None;
        for i in 0..SAMPLES {
            let width = at(i);
            let here = off(width);
            if let (Some((low, was)), Some(now)) = (before, here)
                && (was <= 0.0) != (now <= 0.0)
            {
                found.push(narrowed(&off, low, was, width));
            }
            before = here.map(|now| (width, now));
        }
        found
    }
}

/// Where a function changes sign between two widths.
fn narrowed(off: &impl Fn(f64) -> Option<f64>, mut low: f64, was: f64, mut high: f64) -> f64 {
    for _ in 0..HALVINGS {
        let middle = f64::midpoint(low, high);
        match off(middle) {
            Some(here) if (here <= 0.0) == (was <= 0.0) => low = middle,
            _ => high = middle,
        }
    }
    f64::midpoint(low, high)
}
