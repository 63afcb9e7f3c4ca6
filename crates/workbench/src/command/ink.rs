//! `ink`: where ink goes on a facet, or what it says where it was rubbed. The names of the JSON are a contract.

use std::io::Write;

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
use serde::Serialize;

use super::{
    ANSWERED, BenchFile, ErrorRecord, Format, Opened, Stopped, UNANSWERED,
    quantities::{OneOf, degrees_of, millimetres_of},
    record::millimetres,
    setting_named, write_record,
};

/// What `ink` is asked.
#[derive(Debug, Clone, PartialEq, clap::Args)]
pub struct Ink {
    /// The bench file.
    #[command(flatten)]
    pub file: BenchFile,
    /// Which setting.
    #[arg(long, value_name = "NAME", allow_hyphen_values = true)]
    pub setting: String,
    /// Thickness of the film; assumed without it.
    #[arg(long = "film", value_name = "LENGTH", value_parser = millimetres_of, allow_hyphen_values = true)]
    pub film_mm: Option<f64>,
    /// Bevel at the edge of the facet as it is; the tool's own without it.
    #[arg(long = "facet-bevel", value_name = "ANGLE", value_parser = degrees_of, allow_hyphen_values = true)]
    pub facet_bevel_deg: Option<f64>,
    /// Width of the facet as it is; the tool's own without it.
    #[arg(long = "facet-width", value_name = "LENGTH", value_parser = millimetres_of, allow_hyphen_values = true)]
    pub facet_width_mm: Option<f64>,
    /// Radius of its hollow; flat without it.
    #[arg(
        long = "hollow-radius",
        value_name = "LENGTH",
        value_parser = millimetres_of,
        allow_hyphen_values = true
    )]
    pub hollow_radius_mm: Option<f64>,
    /// The other way round: what to move when ink was seen to go there.
    #[arg(long, value_name = "WHERE", value_parser = OneOf(&PATTERNS))]
    pub seen: Option<Pattern>,
    /// How wide it went.
    #[arg(
        long = "rubbed",
        value_name = "LENGTH",
        value_parser = millimetres_of,
        required_if_eq_any([("seen", "edge"), ("seen", "heel"), ("seen", "both-ends"), ("seen", "middle")]),
        allow_hyphen_values = true
    )]
    pub rubbed_mm: Option<f64>,
    /// How far off the ink must tell.
    #[arg(
        long = "tell",
        value_name = "ANGLE",
        value_parser = degrees_of,
        default_value = "0.5deg",
        allow_hyphen_values = true
    )]
    pub tell_deg: f64,
    /// How to write it.
    #[arg(long, default_value = "text")]
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
    pub(super) fn run(&self, out: &mut dyn Write, stderr: &mut dyn Write) -> Result<u8, Stopped> {
        let Opened { bench, seal } = self.file.open(stderr)?;
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
                // Ink that is gone everywhere has no width that tells.
                Some(Pattern::Whole) => self.backwards(&job, (Pattern::Whole, 0.0), &mut record),
                Some(seen) => self.backwards(&job, (seen, self.rubbed_mm.unwrap_or(0.0)), &mut record),
            });
        record.error = done.err();
        match self.format {
            Format::Json => write_record(out, &record, seal)?,
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
