//! `find`: what to set for a bevel and a wing, every answer. The names of the JSON are a contract, as in
//! [`super::record`].

use std::{collections::BTreeMap, io::Write};

use bevelbench_geometry::{
    math::{Angle, Quantity},
    side::{Caution, Refusal},
    solve::{Remedy, Short, Solution},
};
use bevelbench_notebook::{
    answer::{
        bench::Unanswered,
        finding::{BevelQuery, Found, NotFindable, Offer, WingWanted},
        target::included,
    },
    quantity::format_angle,
    saved::{Bench, BevelMeant, SettingEntry},
    words::{near_words, not_findable_words, short_words, value_text},
};
use serde::Serialize;

use super::{
    ANSWERED, BenchFile, ErrorRecord, Format, Opened, Stopped, UNANSWERED,
    quantities::{FOUND_WORDS, OneOf, degrees_of, key, millimetres_of},
    record::{meant_key, millimetres},
    setting_named, write_record,
};

/// What `find` is asked.
#[derive(Debug, Clone, PartialEq, clap::Args)]
pub struct Find {
    /// The bench file.
    #[command(flatten)]
    pub file: BenchFile,
    /// Of which setting.
    #[arg(long, value_name = "NAME", allow_hyphen_values = true)]
    pub setting: String,
    /// The bevel, at the edge unless said otherwise; without one, that of the setting to be matched.
    #[arg(
        long = "bevel",
        value_name = "ANGLE",
        value_parser = degrees_of,
        required_unless_present = "same_as",
        allow_hyphen_values = true
    )]
    pub bevel_deg: Option<f64>,
    /// The bevel is meant as a protractor reads it, across the facet.
    #[arg(long)]
    pub across_facet: bool,
    /// The bevel is meant as both faces together, of a tool ground on both: 40° for two bevels of 20°.
    #[arg(long, requires = "bevel_deg", conflicts_with_all = ["across_facet", "same_as"])]
    pub included: bool,
    /// What is wanted at the wing.
    #[command(flatten)]
    pub wing: AtWing,
    /// What may move; the rest stays as it is. Without it, what usually may.
    #[arg(long, value_name = "LIST", value_delimiter = ',', value_parser = OneOf(&FOUND_WORDS))]
    pub free: Option<Vec<Quantity>>,
    /// Strut at its rests and projection at its stop blocks only.
    #[arg(long)]
    pub at_stops: bool,
    /// How to write the answers.
    #[arg(long, default_value = "text")]
    pub format: Format,
}

/// What is wanted at the wing: one of these, or nothing.
#[derive(Debug, Clone, PartialEq, Default, clap::Args)]
#[group(multiple = false)]
pub struct AtWing {
    /// How far the wings are to be swept back.
    #[arg(long = "wing-sweep", value_name = "LENGTH", value_parser = millimetres_of, allow_hyphen_values = true)]
    pub wing_sweep_mm: Option<f64>,
    /// The bevel to the axis at the wing top.
    #[arg(long = "wing-bevel", value_name = "ANGLE", value_parser = degrees_of, allow_hyphen_values = true)]
    pub wing_bevel_deg: Option<f64>,
    /// The same grind as that setting, its bevel too.
    #[arg(long, value_name = "NAME", allow_hyphen_values = true)]
    pub same_as: Option<String>,
}

/// All that `find --format json` says.
#[derive(Debug, Clone, PartialEq, Serialize)]
struct FindRecord {
    setting: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    bevel_deg: Option<f64>,
    /// `at_edge`, `across_facet` or `included`.
    meant: &'static str,
    free: Vec<&'static str>,
    /// Settings that meet every target within travel, stops and all that surrounds them, cheapest first.
    answers: Vec<AnswerRecord>,
    /// The one-parameter family, where one quantity more is free than is needed.
    family: Vec<AnswerRecord>,
    /// The nearest, where nothing meets the target.
    near: Vec<AnswerRecord>,
    /// What stops it.
    short: Vec<ShortRecord>,
    /// What becomes of the nose of a setting that meets the target in the side view alone; none is offered.
    #[serde(skip_serializing_if = "Option::is_none")]
    nose_gone: Option<ErrorRecord>,
    #[serde(skip_serializing_if = "Option::is_none")]
    error: Option<ErrorRecord>,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct AnswerRecord {
    #[serde(flatten)]
    set: BTreeMap<&'static str, f64>,
    bevel_at_edge_deg: f64,
    bevel_across_facet_deg: f64,
    /// Both bevels together, of a tool ground on both faces.
    #[serde(skip_serializing_if = "Option::is_none")]
    included_deg: Option<f64>,
    bevel_off_deg: f64,
    /// How sure the bevel is: the ± (k = 2).
    bevel_plus_minus_deg: f64,
    /// The wing less the one wanted: millimetres, or degrees for a bevel at the top; left out without a wing.
    #[serde(skip_serializing_if = "Option::is_none")]
    wing_off: Option<f64>,
    cost: f64,
    /// Degrees of bevel for a millimetre or degree of what is free.
    sensitivity: BTreeMap<&'static str, f64>,
    cautions: Vec<&'static str>,
    /// What stands in the way all the same: wheel, holder, tool or bench.
    #[serde(skip_serializing_if = "Option::is_none")]
    refused: Option<ErrorRecord>,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct ShortRecord {
    what: &'static str,
    wanted: f64,
    limit: f64,
    by: f64,
    message: String,
}

impl AnswerRecord {
    fn of(query: &BevelQuery, offer: &Offer) -> Self {
        let view = &offer.solution.view;
        Self {
            set: offer.moves.iter().map(|one| (key(one.what), one.after)).collect(),
            bevel_at_edge_deg: view.facet.at_edge.degrees(),
            bevel_across_facet_deg: view.facet.across.degrees(),
            included_deg: included(&query.job, view.bevel()).map(Angle::degrees),
            bevel_off_deg: offer.solution.bevel_off.degrees(),
            bevel_plus_minus_deg: offer.plus_minus.degrees(),
            wing_off: query.question.wing.map(|_| offer.solution.wing_off),
            cost: offer.solution.cost,
            sensitivity: offer.moves.iter().filter_map(|one| Some((key(one.what), one.slope_deg?))).collect(),
            cautions: offer
                .standing
                .iter()
                .flatten()
                .filter(|caution| Caution::is_warning(caution))
                .map(Caution::code)
                .collect(),
            refused: offer
                .standing
                .as_ref()
                .err()
                .map(|refusal| ErrorRecord::of(&Unanswered::Refused(*refusal))),
        }
    }
}

fn short_record(short: &Short, remedies: &[Remedy]) -> ShortRecord {
    ShortRecord {
        what: key(short.what),
        wanted: short.wanted,
        limit: short.limit,
        by: short.by(),
        message: short_words(short, remedies, &millimetres).together(),
    }
}

/// A question, what was free for it, and what was found.
type Answered = (BevelQuery, Vec<Quantity>, Found);
/// What came of asking, if it could be asked at all.
type Reply = Result<Result<Answered, NotFindable>, Stopped>;

impl Find {
    const fn meant(&self) -> BevelMeant {
        match (self.across_facet, self.included) {
            (_, true) => BevelMeant::Included,
            (true, _) => BevelMeant::AcrossFacet,
            _ => BevelMeant::AtEdge,
        }
    }

    fn ask(&self, bench: &Bench, entry: &SettingEntry) -> Reply {
        let angle = Angle::from_degrees(self.bevel_deg.unwrap_or(45.0));
        let wing = match &self.wing {
            AtWing { wing_sweep_mm: Some(mm), .. } => Some(WingWanted::Sweep { mm: *mm }),
            AtWing { wing_bevel_deg: Some(degrees), .. } => {
                Some(WingWanted::BevelAtTop { bevel: Angle::from_degrees(*degrees) })
            }
            AtWing { same_as: Some(name), .. } => {
                Some(WingWanted::SameAs { entry: setting_named(bench, name)? })
            }
            AtWing { .. } => None,
        };
        let target = bench.job_of(entry).and_then(|job| Ok(self.meant().target(angle, &job)?));
        let query =
            target.map_err(NotFindable::from).and_then(|target| BevelQuery::of(bench, entry, target, wing));
        Ok(query.and_then(|query| {
            let free = self.free.clone().unwrap_or_else(|| query.usually_free());
            let found = query.find(&free, self.at_stops)?;
            Ok((query, free, found))
        }))
    }

    pub(super) fn run(&self, out: &mut dyn Write, stderr: &mut dyn Write) -> Result<u8, Stopped> {
        let Opened { bench, seal } = self.file.open(stderr)?;
        let entry = setting_named(&bench, &self.setting)?;
        let mut record = FindRecord {
            setting: entry.name.clone(),
            bevel_deg: self.bevel_deg,
            meant: meant_key(self.meant()),
            free: Vec::new(),
            answers: Vec::new(),
            family: Vec::new(),
            near: Vec::new(),
            short: Vec::new(),
            nose_gone: None,
            error: None,
        };
        let text;
        match self.ask(&bench, entry)? {
            Ok((query, free, found)) => {
                record.free = free.iter().map(|&what| key(what)).collect();
                let list = |solutions: &[Solution]| -> Vec<AnswerRecord> {
                    let offer =
                        |solution| AnswerRecord::of(&query, &query.offer(&bench, entry, &free, solution));
                    solutions.iter().map(offer).collect()
                };
                record.answers = list(&found.solutions.answers);
                record.family = list(&found.solutions.family);
                record.near = list(&found.solutions.near);
                record.short =
                    found.solutions.short.iter().map(|short| short_record(short, &found.remedies)).collect();
                record.nose_gone = found
                    .nose_gone
                    .map(|gone| ErrorRecord::of(&Unanswered::Refused(Refusal::NoseGone(gone))));
                text = text_of(&record, &free, &query, &found);
            }
            Err(why) => {
                let words = not_findable_words(&why, &millimetres);
                let known = match &why {
                    NotFindable::Unanswered(unanswered) => ErrorRecord::of(unanswered),
                    NotFindable::NotRolled => ErrorRecord::plain("not_rolled", &words),
                    NotFindable::NotAlike { .. } => ErrorRecord::plain("not_alike", &words),
                    NotFindable::NothingToMove(_) => ErrorRecord::plain("nothing_to_move", &words),
                    NotFindable::TooManyFreedoms { .. } => ErrorRecord::plain("too_loose", &words),
                };
                text = format!("{}\n  No answer: {}\n", record.setting, words.together());
                record.error = Some(known);
            }
        }
        match self.format {
            Format::Json => write_record(out, &record, seal)?,
            Format::Text => out.write_all(text.as_bytes()).map_err(Stopped::Output)?,
        }
        let met = record.answers.iter().chain(&record.family).any(|answer| answer.refused.is_none());
        Ok(if met { ANSWERED } else { UNANSWERED })
    }
}

fn text_of(record: &FindRecord, free: &[Quantity], query: &BevelQuery, found: &Found) -> String {
    let mut lines = vec![record.setting.clone()];
    let mut list = |title: String, answers: &[AnswerRecord], solutions: &[Solution]| {
        if answers.is_empty() {
            return;
        }
        lines.push(format!("  {title}"));
        for (answer, solution) in answers.iter().zip(solutions) {
            let set: Vec<String> = free
                .iter()
                .filter_map(|&what| {
                    let value = solution.value_of(what)?;
                    Some(format!("{} {}", what.words(), value_text(what, value, &millimetres)))
                })
                .collect();
            let bevel = format_angle(answer.bevel_at_edge_deg, 2);
            let across = format_angle(answer.bevel_across_facet_deg, 2);
            let sure = format_angle(answer.bevel_plus_minus_deg, 1);
            let mut line = format!("    {}: {bevel} at the edge (±{sure}), {across} across", set.join(", "));
            if let Some(included) = answer.included_deg {
                line = format!("{line}, {} included", format_angle(included, 2));
            }
            if let Some(refused) = &answer.refused {
                line = format!("{line}; but {}", refused.message);
            } else if !answer.cautions.is_empty() {
                line = format!("{line}; mind {}", answer.cautions.join(", ").replace('_', " "));
            }
            lines.push(line);
        }
    };
    let solutions = &found.solutions;
    list("Answers, the smallest move first:".to_owned(), &record.answers, &solutions.answers);
    let family = format!("A family of {}, any of which does:", record.family.len());
    list(family, &record.family, &solutions.family);
    if record.answers.is_empty() && record.family.is_empty() {
        lines.push("  Nothing within travel and stops meets it.".to_owned());
        let gone = record
            .nose_gone
            .iter()
            .map(|gone| format!("    ! What grinds this bevel is no answer. {}", gone.message));
        lines.extend(gone);
        lines.extend(record.short.iter().map(|short| format!("    {}", short.message)));
        lines.extend(solutions.near.first().map(|near| {
            format!("    Nearest: {}", near_words(near, free, query.question.wing, &millimetres))
        }));
    }
    lines.push(String::new());
    lines.join("\n")
}
