//! The form of a tool: its steel, its edge, its lengths and the facet it carries today.

use bevelbench_geometry::math::{DimensionError, Kind, Quantity as Q};
use bevelbench_notebook::saved::{
    BarSaved, BevelsSaved, BlankSaved, EdgeSaved, FacetSaved, Family, FlatSaved, FluteSaved, SectionSaved,
    Steel, ToolEntry, table::settable,
};
use egui::Ui;

use super::{
    entry::tick_box,
    fields::Form,
    kinds::{self, Flutes},
    measure::Dimension,
};
use crate::toolkit::{theme::Theme, widgets::section};
use bevelbench_notebook::drawing::sketch::mark::Mark;

const BAR_DIAMETER: Dimension = Dimension::length(
    "Bar diameter",
    Q::BarDiameter,
    0.5,
    "Across the round bar behind the flute, with a calliper.",
);
const BAR_TOP: Dimension = Dimension::length(
    "Cut off above the centre",
    Q::FluteFloor,
    0.5,
    "For bars that are not full round: how far the flat top lies above the middle of the bar. Half the bar or more is a full bar.",
)
.marked(Mark::BarTop);
const FLUTE_FLOOR: Dimension = Dimension::length(
    "Flute floor above centre",
    Q::FluteFloor,
    0.1,
    "How far the floor of the flute lies above (+) or below (−) the middle of the bar: measure the steel under the flute with a calliper and take half the bar from it.",
);
const FLUTE_RADIUS: Dimension = Dimension::length(
    "Flute radius",
    Q::FluteRadius,
    0.1,
    "Radius of a round flute: hold drill shanks into it until one fits, and take half its diameter.",
);
const FLUTE_SLOPE: Dimension = Dimension::length(
    "Wall slope",
    Q::FluteSlope,
    0.05,
    "How steep the straight part of the flute’s wall is: millimetres up for one millimetre aside.",
)
.measured(Kind::Plain);
const FLOOR_RADIUS: Dimension = Dimension::length(
    "Floor radius",
    Q::FluteFloorRadius,
    0.1,
    "Radius at the bottom of the V: hold drill shanks into it until one fits, and take half its diameter.",
);
const FLUTE_FACTOR: Dimension = Dimension::length(
    "Flute factor",
    Q::FluteFactor,
    0.005,
    "Height of the wall one millimetre beside the middle. Measure how high the wall stands at some place beside the middle, and divide by that distance as often as the exponent says.",
)
.measured(Kind::Plain);
const FLUTE_EXPONENT: Dimension = Dimension::length(
    "Flute exponent",
    Q::FluteExponent,
    0.1,
    "2 is a parabola; the larger, the more the flute is a U with upright walls.",
)
.measured(Kind::Plain);
const WIDTH: Dimension =
    Dimension::length("Blade width", Q::BladeWidth, 0.5, "Across the broad face, with a calliper.");
const THICKNESS: Dimension = Dimension::length(
    "Blade thickness",
    Q::BladeThickness,
    0.1,
    "Through the blade behind the bevels, with a calliper.",
);
const OBLIQUITY: Dimension = Dimension::angle(
    "Edge to long side",
    Q::EdgeObliquity,
    0.5,
    "Angle between the edge and the blade’s long side at the long point; 90° is square across. Lay a bevel gauge on the broad face.",
);
const EDGE_RADIUS: Dimension = Dimension::length(
    "Edge radius in plan",
    Q::EdgeRadius,
    1.0,
    "Radius of a curved edge seen from above: lay it on circles drawn with a compass.",
);
const NOSE_RADIUS: Dimension = Dimension::length(
    "Nose radius in plan",
    Q::EdgeRadius,
    0.5,
    "Radius of a round nose seen from above: half the width for a full round.",
);
const OTHER_BEVEL: Dimension = Dimension::angle(
    "Bevel of the other face",
    Q::OtherBevel,
    0.5,
    "Between the other bevel and the blade’s middle plane, square to the edge, with a protractor.",
);
const EDGE_HEIGHT: Dimension = Dimension::length(
    "Edge above the middle",
    Q::EdgeHeight,
    0.1,
    "How far the edge lies above (+) or below (−) the blade’s middle plane.",
);
const UPPER_BEVEL: Dimension = Dimension::angle(
    "Upper bevel",
    Q::OtherBevel,
    0.5,
    "Angle between the upper bevel and the upper face, with a protractor.",
);
const EDGE_DROP: Dimension = Dimension::length(
    "Edge below the upper face",
    Q::EdgeDrop,
    0.1,
    "How far the upper bevel carries the edge below the upper face.",
);
const OVERALL: Dimension = Dimension::length(
    "Overall length",
    Q::ToolLength,
    1.0,
    "From the edge to the end of the handle, with a rule along the tool. It shrinks with every sharpening.",
);
const BLADE: Dimension = Dimension::length(
    "Blade length",
    Q::BladeLength,
    1.0,
    "From the edge to where the blade goes into the handle.",
);
const FACET_BEVEL: Dimension = Dimension::angle(
    "Bevel at the edge",
    Q::Bevel,
    0.5,
    "Between the facet and the tool’s axis, at the edge. A protractor laid on a hollow facet reads the bevel across it, which is blunter.",
);
const FACET_WIDTH: Dimension = Dimension::length(
    "Facet width",
    Q::FacetWidth,
    0.1,
    "From the edge to the heel, straight across the hollow, with a calliper.",
);
const FACET_RADIUS: Dimension = Dimension::length(
    "Hollow radius",
    Q::FacetRadius,
    1.0,
    "Radius of the wheel that ground the facet: half its diameter on that day.",
);

/// Whether a tool can be.
pub(super) fn check(tool: &ToolEntry) -> Result<(), DimensionError> {
    tool.build().map(|_| ())
}

/// Every field of a tool.
pub(super) fn fields(ui: &mut Ui, form: &mut Form<'_, ToolEntry>, theme: &Theme) {
    section(ui, "Tool", "", theme);
    form.line(ui, "Name", "What the tool is called in the rack and on cards.", "Rename to", |tool| {
        &mut tool.name
    });
    let families = Family::ALL.map(|family| (family, family.words()));
    let family = form.part().family;
    form.choice(
        ui,
        "Family",
        "What sort of tool it is. Its steel and edge follow.",
        family,
        &families,
        kinds::become_family,
    );
    let steels = [
        (Steel::HighSpeed, "High-speed"),
        (Steel::PowderHighSpeed, "Powder high-speed"),
        (Steel::Carbon, "Carbon"),
        (Steel::Unknown, "Not known"),
    ];
    let steel = form.part().steel;
    form.choice(
        ui,
        "Steel",
        "Carbon steel loses its temper when it turns blue.",
        steel,
        &steels,
        |tool, steel| tool.steel = steel,
    );
    form.notes(ui, |tool| &mut tool.notes);

    ui.add_space(theme.sizes.gap.wide);
    match form.part().blank.clone() {
        BlankSaved::Bar(bar) => bar_fields(ui, form, &bar, theme),
        BlankSaved::Flat(flat) => flat_fields(ui, form, &flat, theme),
    }

    ui.add_space(theme.sizes.gap.wide);
    section(ui, "Lengths", "", theme);
    form.number(ui, &OVERALL, |tool| Some(&mut tool.overall_length_mm));
    form.number(ui, &BLADE, |tool| Some(&mut tool.blade_length_mm));

    ui.add_space(theme.sizes.gap.wide);
    section(ui, "Facet as it is today", "", theme);
    facet_fields(ui, form);
}

fn bar(tool: &mut ToolEntry) -> Option<&mut BarSaved> {
    match &mut tool.blank {
        BlankSaved::Bar(bar) => Some(bar),
        BlankSaved::Flat(_) => None,
    }
}

fn flat(tool: &mut ToolEntry) -> Option<&mut FlatSaved> {
    match &mut tool.blank {
        BlankSaved::Flat(flat) => Some(flat),
        BlankSaved::Bar(_) => None,
    }
}

fn bar_fields(ui: &mut Ui, form: &mut Form<'_, ToolEntry>, present: &BarSaved, theme: &Theme) {
    section(ui, "Bar and flute", "", theme);
    form.number(ui, &BAR_DIAMETER, |tool| bar(tool).map(|bar| &mut bar.diameter_mm));
    let top = settable(present.diameter_mm * 0.35);
    form.optional(ui, "Not a full round bar", &BAR_TOP, |_| top, |tool| bar(tool).map(|bar| &mut bar.top_mm));
    let shape = Flutes::of(present.flute);
    form.choice(
        ui,
        "Flute",
        "The shape of the flute’s wall, seen from the end.",
        shape,
        &Flutes::ALL,
        |tool, shape| {
            if let Some(bar) = bar(tool) {
                kinds::reshape(bar, shape);
            }
        },
    );
    form.number(ui, &FLUTE_FLOOR, |tool| bar(tool).map(|bar| &mut bar.flute_floor_mm));
    form.number(ui, &FLUTE_RADIUS, |tool| match &mut bar(tool)?.flute {
        FluteSaved::Circle { radius_mm } => Some(radius_mm),
        _ => None,
    });
    form.number(ui, &FLUTE_SLOPE, |tool| match &mut bar(tool)?.flute {
        FluteSaved::Vee { slope, .. } => Some(slope),
        _ => None,
    });
    form.number(ui, &FLOOR_RADIUS, |tool| match &mut bar(tool)?.flute {
        FluteSaved::Vee { floor_radius_mm, .. } => Some(floor_radius_mm),
        _ => None,
    });
    form.number(ui, &FLUTE_FACTOR, |tool| match &mut bar(tool)?.flute {
        FluteSaved::Power { k, .. } => Some(k),
        _ => None,
    });
    form.number(ui, &FLUTE_EXPONENT, |tool| match &mut bar(tool)?.flute {
        FluteSaved::Power { n, .. } => Some(n),
        _ => None,
    });
}

/// The ground faces without their numbers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Faces {
    One,
    Alike,
    Unlike,
}

const FACES: [(Faces, &str); 3] =
    [(Faces::One, "One face"), (Faces::Alike, "Both, alike"), (Faces::Unlike, "Both, each its own")];

fn bevels(tool: &mut ToolEntry) -> Option<&mut BevelsSaved> {
    match &mut flat(tool)?.edge {
        EdgeSaved::Skew { bevels, .. } | EdgeSaved::Parting { bevels } | EdgeSaved::Beading { bevels } => {
            Some(bevels)
        }
        EdgeSaved::Scraper { .. } | EdgeSaved::NegativeRake { .. } => None,
    }
}

fn flat_fields(ui: &mut Ui, form: &mut Form<'_, ToolEntry>, present: &FlatSaved, theme: &Theme) {
    section(ui, "Blade", "", theme);
    form.number(ui, &WIDTH, |tool| flat(tool).map(|flat| &mut flat.width_mm));
    form.number(ui, &THICKNESS, |tool| flat(tool).map(|flat| &mut flat.thickness_mm));
    let outlines = [
        (SectionSaved::Rectangular, "Rectangular"),
        (SectionSaved::Rolled, "Rolled sides"),
        (SectionSaved::Oval, "Oval"),
    ];
    form.choice(
        ui,
        "Section",
        "The blade seen from its end.",
        present.section,
        &outlines,
        |tool, section| {
            if let Some(flat) = flat(tool) {
                flat.section = section;
            }
        },
    );

    ui.add_space(theme.sizes.gap.wide);
    section(ui, "Edge", "", theme);
    form.number(ui, &OBLIQUITY, |tool| match &mut flat(tool)?.edge {
        EdgeSaved::Skew { obliquity_deg, .. } => Some(obliquity_deg),
        _ => None,
    });
    let half = present.width_mm / 2.0;
    form.optional(
        ui,
        "Curved edge",
        &EDGE_RADIUS,
        |_| settable(half * 4.0),
        |tool| match &mut flat(tool)?.edge {
            EdgeSaved::Skew { edge_radius_mm, .. } => Some(edge_radius_mm),
            _ => None,
        },
    );
    form.optional(
        ui,
        "Round nose",
        &NOSE_RADIUS,
        |_| half,
        |tool| match &mut flat(tool)?.edge {
            EdgeSaved::Scraper { nose_radius_mm } | EdgeSaved::NegativeRake { nose_radius_mm, .. } => {
                Some(nose_radius_mm)
            }
            _ => None,
        },
    );
    form.number(ui, &UPPER_BEVEL, |tool| match &mut flat(tool)?.edge {
        EdgeSaved::NegativeRake { upper_deg, .. } => Some(upper_deg),
        _ => None,
    });
    form.number(ui, &EDGE_DROP, |tool| match &mut flat(tool)?.edge {
        EdgeSaved::NegativeRake { drop_mm, .. } => Some(drop_mm),
        _ => None,
    });
    if let Some(ground) = bevelbench_notebook::saved::bevels::bevels_of(present.edge) {
        let faces = match ground {
            BevelsSaved::One => Faces::One,
            BevelsSaved::Alike => Faces::Alike,
            BevelsSaved::Unlike { .. } => Faces::Unlike,
        };
        form.choice(
            ui,
            "Ground faces",
            "On which faces the edge is ground.",
            faces,
            &FACES,
            |tool, faces| {
                let facet = tool.present_facet.map_or(25.0, |facet| facet.bevel_deg);
                if let Some(bevels) = bevels(tool) {
                    *bevels = match faces {
                        Faces::One => BevelsSaved::One,
                        Faces::Alike => BevelsSaved::Alike,
                        Faces::Unlike => BevelsSaved::Unlike { other_deg: facet, edge_height_mm: 0.0 },
                    };
                }
            },
        );
    }
    form.number(ui, &OTHER_BEVEL, |tool| match bevels(tool)? {
        BevelsSaved::Unlike { other_deg, .. } => Some(other_deg),
        BevelsSaved::One | BevelsSaved::Alike => None,
    });
    form.number(ui, &EDGE_HEIGHT, |tool| match bevels(tool)? {
        BevelsSaved::Unlike { edge_height_mm, .. } => Some(edge_height_mm),
        BevelsSaved::One | BevelsSaved::Alike => None,
    });
}

fn facet_fields(ui: &mut Ui, form: &mut Form<'_, ToolEntry>) {
    let mut known = form.part().present_facet.is_some();
    let how = "What the tool looks like now, as against what today’s setting would grind. Where it touches first follows from it.";
    if tick_box(ui, &mut known, "The facet is known", how).changed() {
        let words = if known { "facet as it is" } else { "facet not known" };
        form.take(words, |tool| {
            tool.further_facets.clear();
            let under = tool.build().map_or(5.0, |built| built.blank().thickness_under_edge_mm());
            // A 40° facet across all the steel under the edge, from a 150 mm wheel: to be measured and put right.
            tool.present_facet = known.then(|| FacetSaved {
                hollow_radius_mm: Some(75.0),
                bevel_deg: 40.0,
                width_mm: settable(under / 40.0_f64.to_radians().sin()),
            });
        });
    }
    form.number(ui, &FACET_BEVEL, |tool| tool.present_facet.as_mut().map(|facet| &mut facet.bevel_deg));
    form.number(ui, &FACET_WIDTH, |tool| tool.present_facet.as_mut().map(|facet| &mut facet.width_mm));
    form.optional(
        ui,
        "Hollow ground",
        &FACET_RADIUS,
        |_| 75.0,
        |tool| tool.present_facet.as_mut().map(|facet| &mut facet.hollow_radius_mm),
    );
}
