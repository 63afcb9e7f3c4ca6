//! A drawing: shapes in millimetres that say what they are, never how they look.
//!
//! The window, the SVG writer and the printed card all consume the same [`Drawing`], so they cannot disagree.
//! Coordinates are those of the frame the drawing was made in (for a side view the bench frame: `x` towards the
//! operator, `z` up), in millimetres, second axis up. A renderer flips the axis, once, and turns a [`Role`]
//! into ink. Texts, arrow heads and dots have a size on the *page*, not on the bench: they keep it at every zoom.

use bevelbench_geometry::math::Angle;

use crate::saved::part::Part;

/// A point of a drawing, in millimetres, second coordinate up.
pub type Point = [f64; 2];

/// What a shape is. The painter decides the ink; a role never carries a colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Role {
    /// The abrasive's body (filled).
    Wheel,
    /// The outline the wheel had when new.
    WheelNew,
    /// The outline at which the wheel is to be thrown away.
    WheelLeast,
    /// Spindle, flange and bore.
    Spindle,
    /// The arrow that tells which way the wheel runs.
    Rotation,
    /// The bench top and the grinder's foot.
    Bench,
    /// The sliding arm.
    Arm,
    /// The cup (or pivot seat) on the arm.
    Cup,
    /// The pivot point itself.
    Pivot,
    /// The holder's body.
    Holder,
    /// The strut between the holder's hinge and the cup.
    Strut,
    /// The table's plate.
    Table,
    /// The table's hinge and post.
    TablePost,
    /// The blade or bar of the tool.
    Tool,
    /// Steel cut or seen in section.
    ToolSection,
    /// The flute's hidden floor line and other hidden edges.
    ToolHidden,
    /// The wooden handle.
    Handle,
    /// The ground facet, edge to heel.
    Facet,
    /// A facet that today's setting does not reach: what the tool looks like now.
    FacetPresent,
    /// Where ink would go.
    Ink,
    /// The cutting edge itself.
    Edge,
    /// The heel.
    Heel,
    /// The roll line.
    RollLine,
    /// The arc that shows an angle.
    AngleArc,
    /// The gauge length, pivot to rim.
    Gauge,
    /// Dimension and extension lines.
    Dimension,
    /// Lines that only help the eye: centre lines, tangents, axes.
    Construction,
    /// The limit that stops a setting.
    Limit,
    /// A gap between steel and stone.
    Gap,
}

impl Role {
    /// Every role, for theme data and legends.
    pub const ALL: [Self; 29] = [
        Self::Wheel,
        Self::WheelNew,
        Self::WheelLeast,
        Self::Spindle,
        Self::Rotation,
        Self::Bench,
        Self::Arm,
        Self::Cup,
        Self::Pivot,
        Self::Holder,
        Self::Strut,
        Self::Table,
        Self::TablePost,
        Self::Tool,
        Self::ToolSection,
        Self::ToolHidden,
        Self::Handle,
        Self::Facet,
        Self::FacetPresent,
        Self::Ink,
        Self::Edge,
        Self::Heel,
        Self::RollLine,
        Self::AngleArc,
        Self::Gauge,
        Self::Dimension,
        Self::Construction,
        Self::Limit,
        Self::Gap,
    ];
}

/// How firmly a shape stands: as an answer, as the last good one, or as an attempt that has no answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Standing {
    /// An answer.
    #[default]
    Solid,
    /// The last good answer, kept while the present input has none.
    Ghost,
    /// What was attempted, as far as it goes.
    Attempt,
    /// The second of a pair: dashed wherever the first is solid.
    Second,
}

/// The size of a text on the page.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum TextSize {
    /// Notes.
    Small,
    /// Names and ordinary dimensions.
    Normal,
    /// The dimension that matters most.
    Strong,
}

/// Which point of a text sits at its anchor, along the text.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Align {
    /// The text begins at the anchor.
    Start,
    /// The text is centred on the anchor.
    Middle,
    /// The text ends at the anchor.
    End,
}

/// A mark with a fixed size on the page.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Mark {
    /// A filled arrow head pointing along the mark's direction, its tip on the point.
    Arrow,
    /// A filled dot.
    Dot,
    /// A ring.
    Ring,
    /// A cross, for a point that cannot be.
    Cross,
}

/// The geometry of one shape.
#[derive(Debug, Clone, PartialEq)]
pub enum Geometry {
    /// An open chain of straight pieces.
    Line(Vec<Point>),
    /// A closed outline, filled if its role is a body; it may be concave but does not cross itself.
    Outline(Vec<Point>),
    /// A full circle, filled if its role is a body.
    Circle {
        /// Centre.
        centre: Point,
        /// Radius in millimetres.
        radius: f64,
    },
    /// A piece of a circle, never filled. Angles are counted from the first axis towards the second.
    Arc {
        /// Centre.
        centre: Point,
        /// Radius in millimetres.
        radius: f64,
        /// Where the arc begins.
        start: Angle,
        /// How far it goes; negative is clockwise on paper.
        sweep: Angle,
    },
    /// A mark of a fixed size on the page.
    Mark {
        /// Where.
        at: Point,
        /// Its direction, counted from the first axis.
        direction: Angle,
        /// Its kind.
        mark: Mark,
    },
    /// A text of a fixed size on the page.
    Text {
        /// The anchor.
        at: Point,
        /// The words.
        text: String,
        /// Which point of the text sits at the anchor.
        align: Align,
        /// The direction of the text; kept between −90° and 90° so that it reads.
        along: Angle,
        /// Its size.
        size: TextSize,
        /// How far the text is lifted off its anchor line, in text heights (positive is up).
        lift: f64,
    },
}

/// One shape of a drawing.
#[derive(Debug, Clone, PartialEq)]
pub struct Shape {
    /// What it is.
    pub role: Role,
    /// Which named thing it belongs to, if any.
    pub part: Option<Part>,
    /// How firmly it stands.
    pub standing: Standing,
    /// Its geometry.
    pub geometry: Geometry,
}

/// Shapes in drawing order: later ones lie over earlier ones.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Drawing {
    /// The shapes.
    pub shapes: Vec<Shape>,
    /// Words for each named part, shown on hover and written as titles in SVG: "Arm reach 120.3 mm".
    pub titles: Vec<(Part, String)>,
}

/// An axis-parallel box in drawing millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bounds {
    /// Lower left corner.
    pub min: Point,
    /// Upper right corner.
    pub max: Point,
}

impl Bounds {
    /// The box around a set of points; `None` for an empty set.
    pub fn around(points: impl IntoIterator<Item = Point>) -> Option<Self> {
        points.into_iter().filter(|p| p[0].is_finite() && p[1].is_finite()).fold(None, |bounds, p| {
            let b = bounds.unwrap_or(Self { min: p, max: p });
            Some(Self {
                min: [b.min[0].min(p[0]), b.min[1].min(p[1])],
                max: [b.max[0].max(p[0]), b.max[1].max(p[1])],
            })
        })
    }

    /// The box around both.
    #[must_use]
    pub fn union(self, other: Self) -> Self {
        Self {
            min: [self.min[0].min(other.min[0]), self.min[1].min(other.min[1])],
            max: [self.max[0].max(other.max[0]), self.max[1].max(other.max[1])],
        }
    }

    /// The box grown by a margin on all sides.
    #[must_use]
    pub fn grown(self, by_mm: f64) -> Self {
        Self {
            min: [self.min[0] - by_mm, self.min[1] - by_mm],
            max: [self.max[0] + by_mm, self.max[1] + by_mm],
        }
    }

    /// Width in millimetres.
    #[must_use]
    pub fn width(self) -> f64 {
        self.max[0] - self.min[0]
    }

    /// Height in millimetres.
    #[must_use]
    pub fn height(self) -> f64 {
        self.max[1] - self.min[1]
    }

    /// The middle.
    #[must_use]
    pub fn centre(self) -> Point {
        [f64::midpoint(self.min[0], self.max[0]), f64::midpoint(self.min[1], self.max[1])]
    }
}

impl Drawing {
    /// An empty drawing.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// Adds a shape.
    pub fn add(&mut self, role: Role, part: impl Into<Option<Part>>, geometry: Geometry) {
        self.shapes.push(Shape { role, part: part.into(), standing: Standing::Solid, geometry });
    }

    /// Adds a text of ordinary size, level, centred on its anchor.
    pub fn note(&mut self, role: Role, part: impl Into<Option<Part>>, at: Point, text: impl Into<String>) {
        let geometry = Geometry::Text {
            at,
            text: text.into(),
            align: Align::Middle,
            along: Angle::ZERO,
            size: TextSize::Normal,
            lift: 0.0,
        };
        self.add(role, part, geometry);
    }

    /// Names a part for hover and titles.
    pub fn title(&mut self, part: Part, words: impl Into<String>) {
        self.titles.push((part, words.into()));
    }

    /// The words for a part, if it was named.
    #[must_use]
    pub fn title_of(&self, part: Part) -> Option<&str> {
        self.titles.iter().find(|(p, _)| *p == part).map(|(_, words)| words.as_str())
    }

    /// The same drawing with every shape standing differently, its texts left out where they would only clutter.
    #[must_use]
    pub fn standing(mut self, standing: Standing) -> Self {
        if standing == Standing::Ghost {
            self.shapes.retain(|s| !matches!(s.geometry, Geometry::Text { .. }));
        }
        for shape in &mut self.shapes {
            shape.standing = standing;
        }
        self
    }

    /// Lays another drawing over this one; its titles win.
    pub fn overlay(&mut self, other: Self) {
        self.shapes.extend(other.shapes);
        for (part, words) in other.titles {
            self.titles.retain(|(p, _)| *p != part);
            self.titles.push((part, words));
        }
    }

    /// The box around all shapes; a text or mark counts with its anchor only. `None` for an empty drawing.
    #[must_use]
    pub fn bounds(&self) -> Option<Bounds> {
        self.shapes.iter().filter_map(|s| s.geometry.bounds()).reduce(Bounds::union)
    }
}

impl Geometry {
    /// The box around the shape, in millimetres.
    #[must_use]
    pub fn bounds(&self) -> Option<Bounds> {
        match self {
            Self::Line(points) | Self::Outline(points) => Bounds::around(points.iter().copied()),
            Self::Circle { centre, radius } => Bounds::around([*centre]).map(|b| b.grown(*radius)),
            Self::Arc { centre, radius, start, sweep } => {
                // Its ends, and where it stands straight above, below or beside its centre.
                let (one, other) = (start.radians(), start.radians() + sweep.radians());
                let (low, high) = (one.min(other), one.max(other));
                let quarter = Angle::QUARTER.radians();
                let first = (low / quarter).ceil();
                let turning = (0..4).map(|i| (first + f64::from(i)) * quarter).filter(|at| *at <= high);
                Bounds::around(
                    [one, other]
                        .into_iter()
                        .chain(turning)
                        .map(|at| [centre[0] + radius * at.cos(), centre[1] + radius * at.sin()]),
                )
            }
            Self::Mark { at, .. } | Self::Text { at, .. } => Bounds::around([*at]),
        }
    }
}

/// A straight line between two points.
#[must_use]
pub fn segment(from: Point, to: Point) -> Geometry {
    Geometry::Line(vec![from, to])
}
