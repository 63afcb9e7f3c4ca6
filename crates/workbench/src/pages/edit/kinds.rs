//! Turning one kind of steel into another: a flute of another shape, an edge of another family. What still makes sense
//! is kept, the rest takes ordinary proportions of what is kept.

use bevelbench_notebook::saved::{
    BarSaved, BlankSaved, EdgeSaved, Family, FlatSaved, FluteSaved, SectionSaved, ToolEntry,
};

use bevelbench_notebook::saved::bevels::bevels_of;

/// The shape of a flute without its numbers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Flutes {
    /// A power law.
    Power,
    /// A V with a rounded floor.
    Vee,
    /// A circle.
    Circle,
}

impl Flutes {
    /// Every shape with its name.
    pub(super) const ALL: [(Self, &'static str); 3] =
        [(Self::Circle, "Round"), (Self::Vee, "V with a rounded floor"), (Self::Power, "Parabola or U")];

    /// The shape of a flute.
    pub(super) const fn of(flute: FluteSaved) -> Self {
        match flute {
            FluteSaved::Power { .. } => Self::Power,
            FluteSaved::Vee { .. } => Self::Vee,
            FluteSaved::Circle { .. } => Self::Circle,
        }
    }
}

/// Whether the tools of a family are made from a round bar.
pub(super) const fn is_gouge(family: Family) -> bool {
    matches!(family, Family::RoughingGouge | Family::SpindleGouge | Family::BowlGouge | Family::DetailGouge)
}

/// Gives the bar a flute of another shape that opens about as wide and lies as deep as the present one.
pub(super) fn reshape(bar: &mut BarSaved, shape: Flutes) {
    let wing = bar.build().ok().map(|built| built.flute().wing_top());
    let (half, deep) = wing.map_or((bar.diameter_mm * 0.4, bar.diameter_mm * 0.4), |wing| {
        (wing.x.max(0.01), (wing.y - bar.flute_floor_mm).max(0.01))
    });
    // A flute that never opens is widened until it does.
    for step in 0..40 {
        let wider = 1.08_f64.powi(step);
        bar.flute = through(shape, half * if shape == Flutes::Circle { wider } else { 1.0 }, deep * wider);
        if bar.build().is_ok() {
            return;
        }
    }
}

/// The flute of a shape whose wall passes `half` beside and `deep` above its floor, rounded as one would write it.
fn through(shape: Flutes, half: f64, deep: f64) -> FluteSaved {
    match shape {
        Flutes::Circle => FluteSaved::Circle { radius_mm: tenth((half * half + deep * deep) / (2.0 * deep)) },
        Flutes::Power => {
            FluteSaved::Power { k: (deep / (half * half) * 1000.0).round().max(1.0) / 1000.0, n: 2.0 }
        }
        Flutes::Vee => {
            let floor_radius_mm = tenth(half / 4.0).max(0.1);
            // m(√(w² + m²ρ²) − mρ) grows with m towards w²/2ρ = 2w: halve the interval.
            let (mut low, mut high) = (0.05, 50.0);
            for _ in 0..50 {
                let slope = f64::midpoint(low, high);
                let blunt = slope * floor_radius_mm;
                if slope * (half.hypot(blunt) - blunt) < deep { low = slope } else { high = slope }
            }
            FluteSaved::Vee { slope: (high * 100.0).round() / 100.0, floor_radius_mm }
        }
    }
}

fn tenth(value: f64) -> f64 {
    (value * 10.0).round() / 10.0
}

/// Makes a tool one of another family. Between gouges, and between flat tools, the steel stays; from one to the other it
/// takes proportions of its width.
pub(super) fn become_family(tool: &mut ToolEntry, family: Family) {
    tool.family = family;
    if is_gouge(family) {
        if let BlankSaved::Flat(flat) = &tool.blank {
            let diameter_mm = flat.width_mm;
            tool.blank = BlankSaved::Bar(BarSaved {
                diameter_mm,
                top_mm: None,
                flute_floor_mm: -tenth(diameter_mm * 0.05),
                flute: FluteSaved::Circle { radius_mm: tenth(diameter_mm * 0.42) },
            });
        }
        return;
    }
    match &mut tool.blank {
        BlankSaved::Flat(flat) => {
            flat.edge = edge_of(family, Some(flat.edge), flat.thickness_mm);
            if family != Family::Skew && flat.section == SectionSaved::Oval {
                flat.section = SectionSaved::Rectangular;
            }
        }
        BlankSaved::Bar(bar) => {
            let thickness_mm = tenth(bar.diameter_mm * 0.4);
            tool.blank = BlankSaved::Flat(FlatSaved {
                width_mm: bar.diameter_mm,
                thickness_mm,
                section: SectionSaved::Rectangular,
                edge: edge_of(family, None, thickness_mm),
            });
        }
    }
}

fn edge_of(family: Family, before: Option<EdgeSaved>, thickness_mm: f64) -> EdgeSaved {
    let bevels = before.and_then(bevels_of).unwrap_or_default();
    let radius = match before {
        Some(EdgeSaved::Skew { edge_radius_mm, .. }) => edge_radius_mm,
        Some(EdgeSaved::Scraper { nose_radius_mm } | EdgeSaved::NegativeRake { nose_radius_mm, .. }) => {
            nose_radius_mm
        }
        _ => None,
    };
    match family {
        Family::Skew => EdgeSaved::Skew { obliquity_deg: 70.0, edge_radius_mm: radius, bevels },
        Family::BeadingTool => EdgeSaved::Beading { bevels },
        Family::Scraper => EdgeSaved::Scraper { nose_radius_mm: radius },
        Family::NegativeRakeScraper => EdgeSaved::NegativeRake {
            nose_radius_mm: radius,
            upper_deg: 20.0,
            drop_mm: tenth(thickness_mm * 0.15),
        },
        Family::PartingTool
        | Family::RoughingGouge
        | Family::SpindleGouge
        | Family::BowlGouge
        | Family::DetailGouge => EdgeSaved::Parting { bevels },
    }
}

#[cfg(test)]
#[allow(
    clippy::unwrap_used,
    clippy::float_cmp,
    reason = "tests may fail loudly and compare what must not change"
)]
mod tests {
    use super::*;
    use bevelbench_notebook::saved::library::library;

    #[test]
    fn every_tool_of_the_library_can_become_every_family() {
        for tool in library().unwrap().tools {
            for family in Family::ALL {
                let mut changed = tool.clone();
                become_family(&mut changed, family);
                changed.build().unwrap_or_else(|dimension_error| {
                    panic!("{} as {family:?}: {dimension_error}", tool.name)
                });
                assert_eq!(matches!(changed.blank, BlankSaved::Bar(_)), is_gouge(family));
            }
        }
    }

    #[test]
    fn a_reshaped_flute_opens_about_as_wide() {
        for tool in library().unwrap().tools {
            let BlankSaved::Bar(bar) = tool.blank else { continue };
            let wide = bar.build().unwrap().flute().wing_top().x;
            for (shape, _) in Flutes::ALL {
                let mut changed = bar.clone();
                reshape(&mut changed, shape);
                let now = changed.build().unwrap().flute().wing_top().x;
                // A circle deeper than it is wide would close over its floor: it has to open wider.
                let deep = bar.build().unwrap().flute().wing_top().y - bar.flute_floor_mm;
                if shape != Flutes::Circle || deep <= wide {
                    assert!(
                        (now - wide).abs() < 0.35 * wide,
                        "{} as {shape:?}: {wide} became {now}",
                        tool.name
                    );
                }
                assert_eq!(changed.flute_floor_mm, bar.flute_floor_mm);
                assert_eq!(Flutes::of(changed.flute), shape);
            }
        }
    }
}
