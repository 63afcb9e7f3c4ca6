//! `ink`: where ink goes on a facet, or what it says where it was rubbed. The names of the JSON are a contract.

use std::{io::Write, path::PathBuf};

use bevelbench_geometry::{
    facet::{InkRemedy, InkSeen, InkVerdict, Pattern, ink::FILM_ASSUMED_MM},
    math::Angle,
    parts::{Hollow, PresentFacet, Profile},
    side::Job,
};
use bevelbench_notebook::{
    answer::bench::Unanswered,
    quantity::{LengthUnit, format_length},
    words::{Words, ink_reading_words, ink_words},
};
use lexopt::{Arg, Parser, ValueExt};
use serde::Serialize;

use super::{
    ANSWERED, Command, ErrorRecord, Format, Stopped, Subcommand, UNANSWERED, Usage,
    find::{degrees_of, format_of, millimetres_of},
    open_bench,
    record::millimetres,
    setting_named,
};

/// What `ink` is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Ink {
    /// The bench file.
    pub file: PathBuf,
    /// The setting's name.
    pub setting: String,
    /// Thickness of the film in millimetres; without one the assumed one.
    pub film_mm: Option<f64>,
    /// Bevel at the edge of the facet as it is, in degrees; the tool's own without one.
    pub facet_bevel_deg: Option<f64>,
    /// Width of the facet as it is, in millimetres; the tool's own without one.
    pub facet_width_mm: Option<f64>,
    /// Radius of its hollow in millimetres; flat without one.
    pub hollow_radius_mm: Option<f64>,
    /// Where ink was seen to be rubbed, and how wide in millimetres.
    pub seen: Option<(Pattern, f64)>,
    /// How far off the ink must tell, in degrees.
    pub tell_deg: f64,
    /// How to write it.
    pub format: Format,
}

const PATTERNS: [(&str, Pattern); 5] = [
    ("whole", Pattern::Whole),
    ("edge", Pattern::Edge),
    ("heel", Pattern::Heel),
    ("both-ends", Pattern::BothEnds),
    ("middle", Pattern::Middle),
];

fn pattern_name(pattern: Pattern) -> &'static str {
    PATTERNS.iter().find(|(_, known)| *known == pattern).map_or("whole", |(name, _)| name)
}

pub(super) fn parse(parser: &mut Parser) -> Result<Command, Usage> {
    let (mut file, mut setting, mut seen, mut rubbed) = (None, None, None, None);
    let (mut film_mm, mut facet_bevel_deg, mut facet_width_mm, mut hollow_radius_mm) =
        (None, None, None, None);
    let (mut tell_deg, mut format) = (0.5, Format::Text);
    while let Some(argument) = parser.next()? {
        match argument {
            Arg::Long("setting") => setting = Some(parser.value()?.string()?),
            Arg::Long("film") => film_mm = Some(millimetres_of("film", &parser.value()?.string()?)?),
            Arg::Long("facet-bevel") => {
                facet_bevel_deg = Some(degrees_of("facet-bevel", &parser.value()?.string()?)?);
            }
            Arg::Long("facet-width") => {
                facet_width_mm = Some(millimetres_of("facet-width", &parser.value()?.string()?)?);
            }
            Arg::Long("hollow-radius") => {
                hollow_radius_mm = Some(millimetres_of("hollow-radius", &parser.value()?.string()?)?);
            }
            Arg::Long("seen") => {
                let word = parser.value()?.string()?;
                let known = PATTERNS.iter().find(|(name, _)| *name == word).map(|(_, pattern)| *pattern);
                seen = Some(known.ok_or_else(|| {
                    Usage::new(format!(
                        "Ink is seen at the edge, heel, both-ends, middle or whole, not {word}."
                    ))
                })?);
            }
            Arg::Long("rubbed") => rubbed = Some(millimetres_of("rubbed", &parser.value()?.string()?)?),
            Arg::Long("tell") => tell_deg = degrees_of("tell", &parser.value()?.string()?)?,
            Arg::Long("format") => format = format_of(&parser.value()?.string()?)?,
            Arg::Short('h') | Arg::Long("help") => return Ok(Command::Run(Subcommand::Help)),
            Arg::Value(value) if file.is_none() => file = Some(PathBuf::from(value)),
            other => return Err(other.unexpected().into()),
        }
    }
    let missing = |what: &str| Usage::new(format!("{what} Write: bevelbench ink FILE --setting NAME."));
    let seen = match (seen, rubbed) {
        (Some(Pattern::Whole), _) => Some((Pattern::Whole, 0.0)),
        (Some(pattern), Some(rubbed)) => Some((pattern, rubbed)),
        (Some(_), None) => return Err(missing("How wide was it rubbed? Add --rubbed 2mm.")),
        (None, _) => None,
    };
    Ok(Command::Run(Subcommand::Ink(Ink {
        file: file.ok_or_else(|| missing("Which bench file?"))?,
        setting: setting.ok_or_else(|| missing("Which setting?"))?,
        film_mm,
        facet_bevel_deg,
        facet_width_mm,
        hollow_radius_mm,
        seen,
        tell_deg,
        format,
    })))
}

/// What `ink --format json` says.
#[derive(Debug, Clone, PartialEq, Serialize, Default)]
struct InkRecord {
    setting: String,
    film_mm: f64,
    film_is_assumed: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    pattern: Option<&'static str>,
    /// Inked stretches, from and to, in millimetres of chord from the edge.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    inked_mm: Vec<[f64; 2]>,
    /// Width inked on the facet at the edge.
    #[serde(skip_serializing_if = "Option::is_none")]
    rubbed_mm: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    edge_gap_mm: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    heel_gap_mm: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    verdict: Option<&'static str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    off_deg: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    facet_bevel_at_edge_deg: Option<f64>,
    /// What to do: `none`, `as_good_as_it_gets`, `move`, `no_place` or `stands_out`.
    #[serde(skip_serializing_if = "Option::is_none")]
    remedy: Option<&'static str>,
    /// By how much to move the reach (millimetres) or the table (degrees).
    #[serde(skip_serializing_if = "Option::is_none")]
    move_by: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    message: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    error: Option<ErrorRecord>,
}

impl Ink {
    pub(super) fn run(&self, out: &mut dyn Write) -> Result<u8, Stopped> {
        let bench = open_bench(&self.file)?;
        let entry = setting_named(&bench, &self.setting)?;
        let mut record = InkRecord {
            setting: entry.name.clone(),
            film_mm: self.film_mm.unwrap_or(FILM_ASSUMED_MM),
            film_is_assumed: self.film_mm.is_none(),
            ..InkRecord::default()
        };
        let done =
            bench.answer(entry).map_err(|why| ErrorRecord::of(&why)).and_then(|(job, _)| match self.seen {
                None => self.forwards(&job, &mut record),
                Some(seen) => self.backwards(&job, seen, &mut record),
            });
        record.error = done.err();
        match self.format {
            Format::Json => {
                serde_json::to_writer_pretty(&mut *out, &record)
                    .map_err(|error| Stopped::Output(error.into()))?;
                writeln!(out).map_err(Stopped::Output)?;
            }
            Format::Text => out.write_all(text_of(&record).as_bytes()).map_err(Stopped::Output)?,
        }
        let untold = record.error.is_some() || record.verdict == Some("cannot_tell");
        Ok(if untold { UNANSWERED } else { ANSWERED })
    }

    /// The facet as it is: as told, or the tool's own.
    fn facet(&self, job: &Job) -> Result<PresentFacet, ErrorRecord> {
        let own = job.tool.present();
        let unknown = || {
            let words = Words {
                reason: "The tool's present facet is not known.".to_owned(),
                remedy:
                    "Say it: --facet-bevel 40deg --facet-width 6mm, and --hollow-radius 75mm if it is hollow."
                        .to_owned(),
            };
            ErrorRecord::plain("facet_unknown", &words)
        };
        let bevel = self.facet_bevel_deg.map(Angle::from_degrees).or(own.map(PresentFacet::at_edge));
        let width = self.facet_width_mm.or(own.map(PresentFacet::width_mm));
        let hollow = self.hollow(job).unwrap_or(Hollow::Flat);
        let (bevel, width) = bevel.zip(width).ok_or_else(unknown)?;
        PresentFacet::new(hollow, bevel, width)
            .map_err(|dimension_error| ErrorRecord::of(&Unanswered::Refused(dimension_error.into())))
    }

    /// The hollow of the facet as it is, where it is told or the tool's own is known.
    fn hollow(&self, job: &Job) -> Option<Hollow> {
        let told = self.hollow_radius_mm.map(|radius_mm| Hollow::Arc { radius_mm });
        let flat = self.facet_bevel_deg.map(|_| Hollow::Flat);
        told.or(flat).or_else(|| job.tool.present().map(PresentFacet::hollow))
    }

    fn forwards(&self, job: &Job, record: &mut InkRecord) -> Result<(), ErrorRecord> {
        let facet = self.facet(job)?;
        let reported =
            [self.facet_bevel_deg, self.facet_width_mm, self.hollow_radius_mm].iter().any(Option::is_some);
        let profile = job.tool.profile().filter(|_| !reported).copied().unwrap_or(Profile::from(facet));
        let map = job.setting.ink(&profile, record.film_mm).map_err(|_| {
            let words = Words {
                reason: "The facet never meets the wheel at this setting, or the film is no thickness."
                    .to_owned(),
                remedy: "Check the facet and the setting.".to_owned(),
            };
            ErrorRecord::plain("no_contact", &words)
        })?;
        let free = job.setting.follows_wheel();
        let remedy = job.setting.ink_remedy(&map, free);
        record.pattern = Some(pattern_name(map.pattern_at_edge()));
        record.inked_mm = map.stretches().map(|inked| [inked.from_mm, inked.to_mm]).collect();
        record.edge_gap_mm = Some(map.gap_at_mm(0.0));
        record.heel_gap_mm = Some(map.gap_at_mm(profile.width_mm()));
        record.rubbed_mm = Some(map.inked_at_edge_mm());
        record.says_to(&remedy);
        record.message = Some(ink_words(map.pattern_at_edge(), &remedy, free, &millimetres).together());
        Ok(())
    }

    fn backwards(
        &self,
        job: &Job,
        (pattern, rubbed_mm): (Pattern, f64),
        record: &mut InkRecord,
    ) -> Result<(), ErrorRecord> {
        let facet_mm = match self.facet_width_mm {
            Some(width) => width,
            None => self.facet(job)?.width_mm(),
        };
        let seen =
            InkSeen { pattern, rubbed_mm, facet_mm, hollow: self.hollow(job), film_mm: record.film_mm };
        let free = job.setting.follows_wheel();
        let reading = job
            .setting
            .read_ink(&seen, Angle::from_degrees(self.tell_deg), free)
            .map_err(|refusal| ErrorRecord::of(&Unanswered::Refused(refusal)))?;
        let (verdict, off) = match reading.verdict {
            InkVerdict::CannotTell { resolves, .. } => ("cannot_tell", Some(resolves)),
            InkVerdict::Matches { within } => ("matches", Some(within)),
            InkVerdict::SettingKeener { by } => ("setting_keener", Some(by)),
            InkVerdict::SettingBlunter { by } => ("setting_blunter", Some(by)),
            InkVerdict::WheelLarger { .. } => ("wheel_larger", None),
            InkVerdict::WheelSmaller { .. } => ("wheel_smaller", None),
            InkVerdict::NotThisFacet => ("not_this_facet", None),
        };
        record.verdict = Some(verdict);
        record.off_deg = off.map(Angle::degrees);
        record.facet_bevel_at_edge_deg = reading.facet_bevel.map(Angle::degrees);
        if let Some(remedy) = &reading.remedy {
            record.says_to(remedy);
        }
        record.message = Some(ink_reading_words(pattern, &reading, free, &millimetres).together());
        Ok(())
    }
}

impl InkRecord {
    fn says_to(&mut self, remedy: &InkRemedy) {
        self.remedy = Some(match remedy {
            InkRemedy::Clean => "none",
            InkRemedy::AsGoodAsItGets => "as_good_as_it_gets",
            InkRemedy::Move(_) => "move",
            InkRemedy::NoPlace => "no_place",
            InkRemedy::StandsOut => "stands_out",
        });
        self.move_by = remedy.to_move().map(|to_move| to_move.by);
    }
}

fn text_of(record: &InkRecord) -> String {
    let film = format_length(record.film_mm, LengthUnit::Millimetre, 4);
    let assumed = if record.film_is_assumed { " (assumed)" } else { "" };
    let mut lines = vec![record.setting.clone(), format!("  film {film}{assumed}")];
    let hundredths = |mm: f64| format_length(mm, LengthUnit::Millimetre, 2);
    for [from, to] in &record.inked_mm {
        lines.push(format!("  ink from {} to {} behind the edge", hundredths(*from), hundredths(*to)));
    }
    lines.extend(record.message.iter().map(|message| format!("  {message}")));
    lines.extend(record.error.iter().map(|error| format!("  No answer: {}", error.message)));
    lines.push(String::new());
    lines.join("\n")
}
