//! What the help says: a page for every view, the words of the trade and of this program, the model and its limits,
//! sources.

/// A page of help: the view's name, and what is to be known of it, a line each.
pub type Page = (&'static str, &'static [&'static str]);

/// A page of help for every view, in the order of the tabs.
pub const PAGES: [Page; 12] = [
    (
        "Side",
        &[
            "The bench to scale: wheel, arm or table, holder and tool. Drag the round handles; stops and rests hold unless Ctrl or Alt is down.",
            "Turn the mouse wheel to look closer, drag the paper to move it, F shows all. The round glass in the corner enlarges the edge and shows where ink would go.",
            "The read-outs stand along the bottom; press one to copy it. The last good bench stays as a ghost where a setting has no answer.",
        ],
    ),
    (
        "Tip",
        &[
            "The ground tip in three dimensions, as the grind leaves it: a prediction. Drag to turn it, hold Shift to move it, arrow keys turn it too.",
            "The colours tell the wedge angle at the edge. Point at the edge to read bevel, wedge and facet there. “Play the swing” moves the tool over the wheel; “Ink on today’s wheel” lays the tool, as one of its settings ground it, on the wheel and shows where ink goes.",
            "The flute’s numbers stand beside it: measure them with a depth gauge and a radius gauge, then compare the picture with the tool.",
        ],
    ),
    (
        "Curves",
        &[
            "Bevel to the axis, wedge angle, facet width and setback from wing to wing. Point at a curve to read it; the same point is marked on Tip.",
            "“Compare with” lays another setting over it, dashed.",
        ],
    ),
    (
        "Pair",
        &[
            "A is what is in hand: turn and drag it as ever. Choose B, or press “B from A” to hold A as it is. “Move in both” ties one quantity of B to A.",
            "Side views stand to one scale; “Laid over” draws B dashed over A. Figures and differences stand below.",
            "Tips turns both tips together and colours the gap between their ground faces, measured square to the face with noses laid on each other: orange where B stands proud, blue and hatched where B is ground deeper.",
            "Edge curves draws both edges. What if changes one quantity step by step and leaves all else alone.",
            "“Make B equal A” looks for the arm and strut (or table) that grind A’s surface at B’s own projection.",
        ],
    ),
    (
        "Find",
        &[
            "What to set for a bevel and a wing: whatever is not pinned at the right may move, every answer is listed, the least move first; look at one on the drawing, then “Set it so”. Where one thing more is free, drag the dot along the curve.",
            "“One reach” leaves the arm where it serves the most tools. “Match” tells what a tool is ground to from what you can measure, “Ink” what to move for where the ink went, “Faults” how large the slip was behind what you see.",
        ],
    ),
    (
        "Keep",
        &[
            "What wear does to a setting, the same grind on another rig, second bevels, cost, clearances, safety, the log.",
            "“Wear”: measure the wheel with a rule or a tape, log it, and “Find its bevel again”; the table says what to set at each diameter. “Carry over” finds the same grind elsewhere, for one setting or for all, and says what could not be kept. “Safety” holds speeds and gaps against published limits, each with its source. “Log” says when a tool was sharpened and what is due.",
            "Second bevel: drag the end of the first facet, or ask for a relief or an inside curve; the steps are saved with the setting and set last at the grinder.",
            "Cost: steel, length and time from the facet as it is (or as another setting left it) to the one asked for; “Look for it” finds the gentlest way there. Time is told only by a grind you timed.",
            "Clearances: what comes near to what over the whole swing, nearest first; press a row to see where.",
        ],
    ),
    (
        "Lesson",
        &[
            "A lesson is a short list of steps, each a setting with a caption. Press “Show”: arrow keys, Page Up and Page Down or a presenter’s remote lead through them; Esc leaves.",
            "“Add step” keeps what is in hand now, and B of Pair with it, after the step that is shown. A step may highlight a part of the bench.",
            "Lessons are kept in the bench file and can be handed on with it.",
        ],
    ),
    (
        "Tool",
        &[
            "The tool’s steel: diameter or width, thickness, flute, edge. Every field says how it is measured.",
            "The facet it carries today, from a protractor and a rule, tells where today’s setting will touch it.",
        ],
    ),
    (
        "Rig",
        &[
            "Grinder, wheels, arms, tables and holders, measured once. A worn wheel changes every setting on it.",
        ],
    ),
    (
        "Print",
        &[
            "Cards, charts and gauges, true to size. Print the check sheet first and enter what your printer makes of 100 mm.",
            "Measure the bars on a printed page before trusting a gauge from it.",
        ],
    ),
    (
        "At the grinder",
        &[
            "The setting as a few big numbers in the order they are set, to be ticked off (G). Ink has the last word.",
        ],
    ),
    (
        "Big type",
        &[
            "Drawing and numbers for the back row (B). Choose up to four numbers along the foot; S puts a spotlight at the pointer; on Pair both settings are shown.",
        ],
    ),
];

/// A word and its meaning.
pub type Word = (&'static str, &'static str);

/// The words of the trade and of this program.
pub const WORDS: [Word; 37] = [
    (
        "A and B",
        "Two settings to compare: A is in hand and drawn solid, B lies beside it and is drawn dashed.",
    ),
    ("Arm, reach", "The bar the cup slides along, and how far out the cup stands on it."),
    (
        "Bevel across the facet",
        "What a protractor on edge and heel reads: larger, because the facet is hollow.",
    ),
    ("Bevel at the edge", "Angle between the tool’s axis and the ground face, right at the edge."),
    ("Burr", "The wire edge that grinding leaves; on a scraper it does the cutting."),
    ("Carry over", "To find the numbers that grind the same on another wheel, rig, holder or projection."),
    ("Cup, pivot", "The seat on the arm about which the tool turns."),
    ("Daylight", "The gap that shows light under a template held to the tool."),
    (
        "Drift",
        "How far the bevel has moved since the setting was last saved, by the wheel’s wear or the tool’s lost length. A triangle on the rack marks what is beyond your tolerance.",
    ),
    ("Facet", "The ground face between edge and heel."),
    ("Film", "The layer of ink on the steel: the wheel rubs it where the gap is thinner than it."),
    ("Flute", "The groove of a gouge."),
    ("Gap", "How far one ground face stands off another, square to it: on Pair, B seen from A."),
    ("Gauge length", "Shortest gap between rim and pivot: what a stick measures."),
    (
        "Gauge stick",
        "A plain stick cut to the gauge length: set between rim and cup, it brings a setting back on a worn wheel.",
    ),
    ("Heel", "The end of the facet away from the edge."),
    ("Hollow", "How deep the facet is hollow, because a round wheel ground it."),
    ("Included angle", "Both bevels together, of a tool ground on both faces: 40° for two bevels of 20°."),
    ("Ink test", "Ink the facet, turn the wheel by hand, power off: where the ink goes, the wheel touches."),
    ("Keeping wheel", "A superabrasive (CBN) wheel that keeps an edge and its own size."),
    ("Lesson", "A few steps to be shown: settings with a sentence under each."),
    ("Loupe", "The round picture: the edge, many times enlarged."),
    (
        "Nose, wing, cheek",
        "The middle of a gouge’s edge; its side; and the steel between flute and outside there.",
    ),
    (
        "Pin",
        "Beside a row at the right. What is pinned stays as it is; what is free may be moved to find a bevel.",
    ),
    ("Projection", "From the nose of the edge to the holder’s front face."),
    ("Rack", "The tools with their saved settings."),
    ("Roll line, roll centre", "The line a gouge is rolled about, and where it passes the nose."),
    (
        "Second bevel, heel relief",
        "A keener facet behind the first: it takes the heel’s corner off and leaves the edge as it is.",
    ),
    ("Setback", "How far a point of the edge lies behind the nose, along the tool."),
    ("Shaping wheel", "A friable wheel that cuts fast, wears and is dressed."),
    ("Strut", "The holder’s leg, from its hinge to the cup."),
    (
        "Sure to ±",
        "How far the bevel may be off, because nothing is read better than a rule or a protractor reads.",
    ),
    ("Swing", "How far a gouge is rolled to either side, from wing to wing."),
    (
        "Tightest inside curve, lift",
        "The smallest bowl in which the first facet can rub; and how far the edge stands off the wood there.",
    ),
    (
        "Turned in the holder",
        "A gouge whose flute does not lie level in its holder: its wings come out unlike.",
    ),
    ("Wedge angle", "The angle of the steel at the edge, between flute and ground face: what cuts."),
    ("Wing sweep", "How far the top of a gouge’s wing stands back behind its nose."),
];

/// What the model assumes, and what it leaves out.
pub const LIMITS: [&str; 8] = [
    "Rigid parts, a point pivot without play, a round wheel that runs true, contact at the middle of the wheel.",
    "The bevel follows from lengths and angles alone, in the plane square to the spindle; a table’s tool lies flat on it.",
    "A gouge is rolled about one fixed line through its pivot; a hand does not do so exactly. Swept wings are predictions, the roll centre an assumption until it is fitted to a tool that was measured.",
    "Gaps between two tips are those of the surfaces the wheel leaves, noses laid on each other; how deep either is ground is not compared.",
    "Not modelled: flex, the wheel’s dressing, vibration, heat, wear during the grind, the burr.",
    "A rig is only as well known as it was measured: a millimetre of reach is about half a degree to a degree of bevel, and the read-outs say which.",
    "An oblique edge that is curved as well is swung freely by hand: the side view holds at its middle, its tip is not shown.",
    "Nothing here claims that a set-up complies with any rule.",
];

/// Where formulas, checks and cautions come from; the tests name the row beside each.
pub const SOURCES: [&str; 9] = [
    "Machinery’s Handbook, 31st ed. (2020): triangles, circular segments, compound angles, limits of gaps and speeds.",
    "R. Willis’s table of edge angles, in Holtzapffel, Turning and Mechanical Manipulation, vol. II, and J. Lukin, The Lathe and Its Uses (1868).",
    "W. H. Besant, Conic Sections Treated Geometrically: sections of cones.",
    "M. Milton and O. Wohlers, A Course in Wood Turning (1919): practice at the lathe.",
    "29 CFR 1910.215 and ANSI B7.1: rest gaps, guards, ring test, marked speeds. Local codes stand before them.",
    "JCGM 100:2008: how uncertainties add up.",
    "WCAG 2.2: contrast of texts. M. Okabe and K. Ito (2008): colours for every colour vision. G. M. Machado and others (2009): its simulation.",
    "The swept surface, equal grinds, the facet’s contact and the ink test are derived in the documentation of the geometry, and checked by methods of their own.",
    "Facts of the trade without a source are marked as common practice in the checks.",
];

/// Keys that are no orders.
pub const MORE_KEYS: [Word; 7] = [
    ("Arrows", "step what has the focus; Shift ten steps, Ctrl a tenth"),
    ("Tab, Shift+Tab", "the next control, the one before; Space or Enter presses it"),
    ("Ctrl or Alt while dragging", "stops and rests no longer hold"),
    ("Esc", "give the drag up, close the dialog, leave big type or a lesson"),
    ("F2, Del", "rename or delete the row of the rack that has the focus"),
    ("S", "in big type: a spotlight at the pointer"),
    ("Page Up, Page Down", "in a lesson: back and forward, also by a presenter’s remote"),
];
