//! What is read: the numbers that follow from the current setting, and what they mean in words.

use bevelbench_geometry::{
    facet::{InkRemedy, ink::FILM_ASSUMED_MM},
    side::{Caution, Seat, SideView},
};
use bevelbench_notebook::{
    answer::target::included,
    quantity::{self, Units},
    words::{self, cautions_in_a_line, lower_first},
};
use egui::Ui;

use crate::{
    model::{
        appearance::Tone,
        session::{Outcome, Session},
    },
    toolkit::{
        theme::Theme,
        widgets::{ReadOut, read_out_row, status_line},
    },
};

/// A number for the row: caption, figure, tooltip, whether it leads.
struct Figure {
    caption: &'static str,
    number: String,
    tooltip: &'static str,
    leading: bool,
}

/// The read-outs along the bottom. `message` is what the program last did, shown while it is fresh.
pub fn read_outs_panel(
    ui: &mut Ui,
    session: &Session,
    message: Option<&(Tone, String)>,
    units: Units,
    theme: &Theme,
) {
    let Some(outcome) = session.outcome() else {
        status_line(ui, "Nothing in hand.", Tone::Weak, theme);
        return;
    };
    let figures = match &outcome.result {
        Ok(view) => figures(outcome, view, units),
        Err(_) => blanks(),
    };
    let row: Vec<ReadOut<'_>> = figures
        .iter()
        .map(|figure| ReadOut {
            caption: figure.caption,
            number: &figure.number,
            unit: "",
            tooltip: figure.tooltip,
            tone: Tone::Strong,
            leading: figure.leading,
        })
        .collect();
    read_out_row(ui, &row, theme);
    ui.add_space(theme.sizes.gap.small);
    let (tone, words) = match message {
        Some((tone, words)) => (*tone, words.clone()),
        None => verdict(outcome, units),
    };
    status_line(ui, &words, tone, theme);
    caution_strip(ui, outcome, units, theme);
}

/// The cautions in one line, always in sight: those that ask for a change first, in their own words beside the rows.
fn caution_strip(ui: &mut Ui, outcome: &Outcome, units: Units, theme: &Theme) {
    // Where there is no answer, the remedy is what is wanted.
    if let Err(why) = &outcome.result {
        let remedy = words::unanswered_words(why, &|mm| units.length(mm)).remedy;
        ui.add(
            egui::Label::new(egui::RichText::new(remedy).font(theme.body()).color(theme.tone(Tone::Strong)))
                .truncate(),
        );
        return;
    }
    let tone = Tone::of_cautions(&outcome.cautions);
    let mut words = cautions_in_a_line(&outcome.cautions);
    let warned = outcome.cautions.iter().filter(|caution| caution.is_warning()).count();
    if warned > 0 {
        let rest = lower_first(&words);
        words = format!("{warned} caution{} at the right · {rest}", if warned == 1 { "" } else { "s" });
    }
    ui.add(
        egui::Label::new(egui::RichText::new(words).font(theme.small()).color(theme.tone(tone))).truncate(),
    );
}

/// That line over the foot of a page that fills the window; says how much of the page is left above it.
pub(crate) fn cautions_over(ui: &Ui, foot: egui::Rect, cautions: &[Caution], theme: &Theme) -> egui::Rect {
    let tone = Tone::of_cautions(cautions);
    let words = cautions_in_a_line(cautions);
    let galley = ui.painter().layout(
        words,
        theme.body(),
        theme.tone(tone),
        foot.width() - 2.0 * theme.sizes.gap.margin,
    );
    let height = galley.size().y + 2.0 * theme.sizes.gap.small;
    let line = egui::Rect::from_min_max(egui::pos2(foot.left(), foot.top() - height), foot.right_top());
    let at = line.left_top() + egui::vec2(theme.sizes.gap.margin, theme.sizes.gap.small);
    ui.painter().galley(at.round(), galley, theme.tone(tone));
    line
}

const EDGE: &str =
    "The angle between the tool’s axis and the ground face, right at the edge: the one that cuts.";

const ACROSS: &str = "What a protractor laid on edge and heel reads. More than at the edge, because the wheel leaves a hollow.";

const FACET: &str = "From edge to heel, straight across.";

const HOLLOW: &str = "How deep the facet is hollow under that straight line.";

const HEEL: &str = "The facet as it is now, laid on this wheel at this setting: the gap that stays open at the heel. Unknown until the tool’s present facet is entered.";

const EDGE_GAP: &str =
    "The facet as it is now, laid on this wheel at this setting: the gap that stays open at the edge.";

const GAUGE: &str = "The shortest gap between rim and pivot. A plain stick sets it, and it drifts less than the arm’s scale as the wheel wears.";

const REST_GAP: &str = "From the table’s front edge to the rim: open, but not more than the rule allows.";

const SLOPE: &str =
    "How much the bevel at the edge changes for a millimetre of arm reach (or a degree of table tilt).";

const HANDLE: &str = "The handle’s angle below the horizontal.";

const HEIGHT: &str = "The contact’s height above the spindle.";

const INCLUDED: &str = "Both bevels together, square to the edge.";

const ALONG: &str = "The bevel measured along the tool, not square to its oblique edge.";

const SQUARE: &str = "The bevel square to the oblique edge: the wedge that cuts.";

fn figures(outcome: &Outcome, view: &SideView, units: Units) -> Vec<Figure> {
    let angle = |angle: bevelbench_geometry::math::Angle| units.angle(angle.degrees());
    let figure = |caption, number, tooltip| Figure { caption, number, tooltip, leading: false };
    let mut all = vec![
        Figure { caption: "Bevel at the edge", number: angle(view.bevel()), tooltip: EDGE, leading: true },
        Figure {
            caption: "Across the facet",
            number: angle(view.facet.across),
            tooltip: ACROSS,
            leading: true,
        },
    ];
    if let Some(job) = &outcome.job {
        let oblique = bevelbench_notebook::answer::target::both_bevels(job, view.bevel());
        if let Some((along, square)) = oblique {
            if (along - view.bevel()).abs().degrees() > 1e-6 {
                all.push(figure("Along the tool", angle(along), ALONG));
            } else {
                all.push(figure("Square to edge", angle(square), SQUARE));
            }
        }
        if let Some(included) = included(job, view.bevel()) {
            all.push(Figure {
                caption: "Included",
                number: angle(included),
                tooltip: INCLUDED,
                leading: true,
            });
        }
    }
    all.push(figure("Facet", units.length(view.facet.width_mm), FACET));
    match &outcome.ink {
        Some(Ok(ink)) => {
            let gap = |mm: f64| if mm <= FILM_ASSUMED_MM { "touches".to_owned() } else { units.fine(mm) };
            all.push(figure("Heel now", gap(ink.heel_gap_mm()), HEEL));
            all.push(figure("Edge now", gap(ink.edge_gap_mm()), EDGE_GAP));
        }
        Some(Err(_)) => all.push(figure("Heel now", "clear".to_owned(), HEEL)),
        None => all.push(figure("Heel now", "unknown".to_owned(), HEEL)),
    }
    all.push(figure("Hollow", units.fine(view.facet.hollow_mm), HOLLOW));
    match view.seat {
        Seat::Pivot { gauge_length_mm, .. } => {
            all.push(figure("Gauge length", units.length(gauge_length_mm), GAUGE));
            if let Some(slope) = view.slopes.reach {
                all.push(figure("Per mm of reach", slope_words(slope.to_degrees()), SLOPE));
            }
        }
        Seat::Plane { rest_gap_mm, .. } => {
            all.push(figure("Rest gap", units.length(rest_gap_mm), REST_GAP));
            if let Some(slope) = view.slopes.table_tilt {
                all.push(figure("Per degree of tilt", slope_words(slope), SLOPE));
            }
        }
    }
    all.push(figure("Handle", angle(view.handle_angle), HANDLE));
    all.push(figure("Contact height", units.length(view.contact_height_mm()), HEIGHT));
    all
}

/// A slope in degrees, to two decimals, with its sign.
fn slope_words(degrees: f64) -> String {
    quantity::format_angle(degrees, 2)
}

fn blanks() -> Vec<Figure> {
    let blank = |caption, tooltip, leading| Figure { caption, number: "–".to_owned(), tooltip, leading };
    vec![
        blank("Bevel at the edge", EDGE, true),
        blank("Across the facet", ACROSS, true),
        blank("Facet", FACET, false),
        blank("Hollow", HOLLOW, false),
        blank("Heel now", HEEL, false),
    ]
}

/// What the numbers come to, in one sentence.
fn verdict(outcome: &Outcome, units: Units) -> (Tone, String) {
    match (&outcome.result, &outcome.ink) {
        (Err(why), _) => {
            let words = words::unanswered_words(why, &|mm| units.length(mm));
            (Tone::Bad, words.reason)
        }
        (Ok(_), Some(Ok(ink))) => {
            let Some(job) = &outcome.job else { return (Tone::Weak, String::new()) };
            let free = job.setting.follows_wheel();
            let remedy = job.setting.ink_remedy(ink, free);
            let tone = if remedy == InkRemedy::Clean { Tone::Good } else { Tone::Weak };
            let words = words::ink_words(ink.pattern_at_edge(), &remedy, free, &|mm| units.length(mm));
            (tone, words.together())
        }
        (Ok(_), Some(Err(no_contact))) => (Tone::Caution, format!("{no_contact}.")),
        (Ok(_), None) => (
            Tone::Weak,
            "Where the tool touches now is unknown: enter its present facet on the Tool page.".to_owned(),
        ),
    }
}
