//! `evaluate`: every setting of a bench file with its answer, as text or as JSON.

use std::io::Write;

use bevelbench_notebook::{
    quantity::{LengthUnit, format_angle, format_length},
    saved::SettingEntry,
};

use super::{
    ANSWERED, BenchFile, Format, Opened, Stopped, UNANSWERED,
    record::{Answers, Record, millimetres, particular_lines, standing_lines},
    write_records,
};
use crate::command::record::swept::SweptRecord;

/// What `evaluate` is asked.
#[derive(Debug, Clone, PartialEq, Eq, clap::Args)]
pub struct Evaluate {
    /// The bench file.
    #[command(flatten)]
    pub file: BenchFile,
    /// Only settings of this name.
    #[arg(long, value_name = "NAME", allow_hyphen_values = true)]
    pub setting: Option<String>,
    /// How to write the answers.
    #[arg(long, default_value = "text")]
    pub format: Format,
}

impl Evaluate {
    /// Answers the settings of a file, or those of a name.
    pub(super) fn run(&self, out: &mut dyn Write, stderr: &mut dyn Write) -> Result<u8, Stopped> {
        let Opened { bench, seal } = self.file.open(stderr)?;
        let name = self.setting.as_deref();
        let asked: Vec<&SettingEntry> =
            bench.settings.iter().filter(|entry| name.is_none_or(|name| entry.name == name)).collect();
        if let Some(name) = name
            && asked.is_empty()
        {
            let at_hand = bench.settings.iter().map(|entry| entry.name.clone()).collect();
            return Err(Stopped::NoSuch { what: "setting", name: name.to_owned(), at_hand });
        }
        let records: Vec<Record> = asked.into_iter().map(|entry| Record::of(&bench, entry)).collect();
        match self.format {
            Format::Json => write_records(out, &records, seal)?,
            Format::Text if records.is_empty() => {
                writeln!(out, "This bench has no settings.").map_err(Stopped::Output)?;
            }
            Format::Text => {
                for (index, record) in records.iter().enumerate() {
                    let gap = if index == 0 { "" } else { "\n" };
                    write!(out, "{gap}{}", text_of(record)).map_err(Stopped::Output)?;
                }
                let answered = records.iter().filter_map(|record| record.answers.as_ref());
                let standing = standing_lines(answered.flat_map(|answers| &answers.cautions));
                if !standing.is_empty() {
                    writeln!(out, "\n{}", standing.join("\n")).map_err(Stopped::Output)?;
                }
            }
        }
        Ok(if records.iter().all(|record| record.error.is_none()) { ANSWERED } else { UNANSWERED })
    }
}

/// A setting for people.
fn text_of(record: &Record) -> String {
    let named = |name: &Option<String>| name.clone().unwrap_or_else(|| "(missing)".to_owned());
    let support = match record.support {
        "handle" => "handle end in the cup",
        "holder" => "holder in the cup",
        _ => "on the table",
    };
    let mut lines = vec![
        record.setting.clone(),
        format!("  {} on {}, {support}", named(&record.tool), named(&record.rig)),
    ];
    if let Some(answers) = &record.answers {
        // Before any number that it makes void.
        let gone = usize::from(answers.cautions.first().is_some_and(|caution| caution.code == "nose_gone"));
        let (gone, rest) = answers.cautions.split_at(gone);
        lines.extend(particular_lines(gone));
        let swept = record.swept.as_ref().map(swept_rows).unwrap_or_default();
        let rows = rows(answers).into_iter().chain(swept);
        lines.extend(rows.map(|(name, value)| format!("  {name:<26}{value}")));
        lines.extend(particular_lines(rest));
    }
    if let Some(swept) = &record.swept {
        lines.push(format!("  i {}", swept.edge_note));
    }
    if let Some(error) = &record.error {
        lines.push(format!("  No answer: {}", error.message));
    }
    lines.push(String::new());
    lines.join("\n")
}

/// Name and value of each read-out.
fn rows(answers: &Answers) -> Vec<(&'static str, String)> {
    let degrees = |value: f64| format_angle(value, 2);
    let hundredths = |value: f64| format_length(value, LengthUnit::Millimetre, 2);
    let mut rows = vec![
        ("bevel at the edge", degrees(answers.bevel_at_edge_deg)),
        ("bevel across the facet", degrees(answers.bevel_across_facet_deg)),
        ("bevel sure to", sure_to(answers)),
        ("facet width", hundredths(answers.facet_width_mm)),
        ("hollow", hundredths(answers.hollow_depth_mm)),
    ];
    if let Some(gauge) = answers.gauge_length_mm {
        rows.push(("gauge length", millimetres(gauge)));
    }
    rows.push(("handle below level", degrees(answers.handle_angle_deg)));
    if let Some(along) = answers.bevel_along_tool_deg {
        rows.push(("bevel along the tool", degrees(along)));
    }
    if let Some(square) = answers.bevel_square_to_edge_deg {
        rows.push(("bevel square to the edge", degrees(square)));
    }
    if let Some(included) = answers.included_deg {
        rows.push(("between both faces", degrees(included)));
    }
    let gaps = match (answers.edge_gap_mm, answers.heel_gap_mm) {
        (Some(edge), Some(heel)) => {
            format!("{} open at the edge, {} at the heel", hundredths(edge), hundredths(heel))
        }
        _ => "not known".to_owned(),
    };
    rows.push(("present facet", gaps));
    for (name, slope) in &answers.slopes {
        let (what, slope) = match *name {
            "reach" => ("1 mm more reach", *slope),
            "projection" => ("1 mm more projection", *slope),
            "strut_angle" => ("1° more strut angle", *slope),
            "tool_length" => ("1 mm more tool length", *slope),
            "table_tilt" => ("1° more tilt", *slope),
            // A wheel's diameter only falls.
            _ => ("1 mm less wheel diameter", -slope),
        };
        let sign = if slope > 0.0 { "+" } else { "" };
        rows.push((what, format!("{sign}{}", format_angle(slope, 3))));
    }
    rows
}

/// The ± of the bevel, and what most of it comes from.
fn sure_to(answers: &Answers) -> String {
    let sure = format!("±{}", format_angle(answers.bevel_plus_minus_deg, 1));
    match answers.plus_minus_from.first() {
        Some(largest) => format!("{sure}, mostly by the {} ({})", largest.what, largest.read_with),
        None => sure,
    }
}

/// Name and value of what is said about the edge.
fn swept_rows(swept: &SweptRecord) -> Vec<(&'static str, String)> {
    let mut rows = Vec::new();
    let mut add = |name, value: Option<String>| rows.extend(value.map(|value| (name, value)));
    let degrees = |value: f64| format_angle(value, 1);
    add("nose", swept.nose.map(str::to_owned));
    add("nose radius", swept.nose_radius_mm.map(millimetres));
    add("wing sweep", swept.wing_sweep_mm.map(millimetres));
    let turned = swept.turn_in_holder_deg.is_some_and(|turn| turn != 0.0);
    add("wings differ by", swept.wing_difference_mm.filter(|_| turned).map(|mm| millimetres(mm.abs())));
    add("edge length", swept.edge_length_mm.map(millimetres));
    let wedges = swept.least_wedge_deg.zip(swept.greatest_wedge_deg);
    add(
        "wedge along the edge",
        wedges.map(|(least, most)| {
            if most - least < 0.05 {
                degrees(least)
            } else {
                format!("{} to {}", degrees(least), degrees(most))
            }
        }),
    );
    add("cheek thickness", swept.cheek_thickness_mm.map(millimetres));
    add("swing to either side", swept.swing_deg.map(degrees));
    rows
}
