//! What is said about safety, with where each quantity comes from: numbers held against published limits, and plain
//! cautions. All of it is for information: nothing here says that a set-up complies with anything.

use bevelbench_geometry::{
    math::Angle,
    parts::{
        GuardOpening, TooOpen, least_flange_mm, most_turns_rpm, rim_speed_m_s,
        safety::{MOST_EXPOSURE, MOST_EXPOSURE_BELOW},
        synchronous_speed_rpm,
    },
};

use crate::{
    quantity::{format_angle, format_number, format_speed, length_text::LengthText},
    saved::{
        bench::Bench,
        log::MainsSaved,
        rig::{AbrasiveSaved, Rig, WheelSaved},
        tool::Steel,
    },
};

/// What stands over every page and print about safety.
pub const FIRST: &str = "For information only: nothing here says that a set-up complies with any rule. Local codes, the maker’s markings and trained practice come first.";

/// How a number stands against its limit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Verdict {
    /// Within it.
    Within,
    /// Beyond it.
    Beyond,
    /// Not measured or not read yet.
    Unknown,
}

/// A number held against a published limit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Check {
    /// A short lower-case name for scripts.
    pub code: &'static str,
    /// What is looked at.
    pub name: &'static str,
    /// What was found, as text.
    pub found: String,
    /// What it is held against, as text.
    pub limit: String,
    /// How it stands.
    pub verdict: Verdict,
    /// Where the limit comes from.
    pub source: String,
}

/// The speed of a motor that runs with the mains, in turns a minute; a loaded motor runs a little slower. `None` for
/// numbers that are none.
#[must_use]
pub fn mains_speed_rpm(mains: MainsSaved) -> Option<f64> {
    let sound = mains.hz.is_finite() && (1.0..=1000.0).contains(&mains.hz) && (2..=48).contains(&mains.poles);
    (sound && mains.poles.is_multiple_of(2)).then(|| synchronous_speed_rpm(mains.hz, mains.poles))
}

/// What can be held against limits at a wheel: speed, guard, gaps, wear. `below_spindle` says whether work meets the
/// wheel below the spindle.
#[must_use]
pub fn wheel_checks(
    bench: &Bench,
    rig: &Rig,
    wheel: &WheelSaved,
    below_spindle: bool,
    length: LengthText<'_>,
) -> Vec<Check> {
    let mut checks = Vec::with_capacity(7);
    if wheel.abrasive != AbrasiveSaved::Flat {
        checks.push(speed_check(rig, wheel));
        checks.push(flange_note(wheel, length));
    }
    let guard = wheel.keep.guard.unwrap_or_default();
    let (place, limits) = bench.keep.limits();
    let gap = |code, name, found: Option<f64>, most: f64| {
        let sound = found.filter(|mm| mm.is_finite() && *mm >= 0.0);
        Check {
            code,
            name,
            found: sound.map_or_else(|| "not measured".to_owned(), length),
            limit: format!("at most {}", length(most)),
            verdict: against(sound, most),
            source: format!("{place}: {}", rule_of(place)),
        }
    };
    checks.push(gap("rest_gap", "Gap at the rest", guard.rest_gap_mm, limits.rest_mm));
    checks.push(gap("tongue_gap", "Gap at the tongue", guard.tongue_gap_mm, limits.tongue_mm));
    if wheel.abrasive != AbrasiveSaved::Flat {
        checks.extend(guard_checks(guard.opening_top_deg, guard.exposure_deg, below_spindle));
    }
    checks
}

/// The rule behind a place's limits.
fn rule_of(place: &str) -> &'static str {
    crate::answer::logbook::PUBLISHED_LIMITS
        .iter()
        .find(|(known, ..)| *known == place)
        .map_or("as put in on this bench", |(_, rule, _)| rule)
}

fn against(found: Option<f64>, most: f64) -> Verdict {
    match found {
        None => Verdict::Unknown,
        // What reads alike on a rule is not beyond.
        Some(value) if value <= most + 1e-9 => Verdict::Within,
        Some(_) => Verdict::Beyond,
    }
}

fn speed_check(rig: &Rig, wheel: &WheelSaved) -> Check {
    let rpm = rig.grinder.spindle_speed_rpm;
    let rim = rim_speed_m_s(wheel.diameter_mm, rpm);
    let marked = wheel.marked_speed_m_s.filter(|speed| speed.is_finite() && *speed > 0.0);
    Check {
        code: "rim_speed",
        name: "Rim speed",
        found: format!("{} at {} turns a minute", format_speed(rim), format_number(rpm, 0)),
        limit: marked.map_or_else(
            || "its marking has not been read; a wheel without one is not run".to_owned(),
            |marked| {
                let most = format_number(most_turns_rpm(marked, wheel.diameter_mm), 0);
                format!("marked {}: at most {most} turns a minute at this diameter", format_speed(marked))
            },
        ),
        verdict: match marked {
            None => Verdict::Unknown,
            Some(marked) => against(Some(rim), marked),
        },
        source: "29 CFR 1910.215(d)(1); ANSI B7.1-2000 §7.1.1 for a worn wheel".to_owned(),
    }
}

fn flange_note(wheel: &WheelSaved, length: LengthText<'_>) -> Check {
    Check {
        code: "flange",
        name: "Flanges",
        found: "look at both".to_owned(),
        limit: format!("at least {} across", length(least_flange_mm(wheel.diameter_new_mm))),
        verdict: Verdict::Unknown,
        source: "29 CFR 1910.215(c)(1): a third of the wheel".to_owned(),
    }
}

fn guard_checks(top_deg: Option<f64>, exposure_deg: Option<f64>, below_spindle: bool) -> [Check; 2] {
    let degrees = |value: Option<f64>| value.filter(|degrees| degrees.is_finite());
    let (top, exposure) = (degrees(top_deg), degrees(exposure_deg));
    let opening = GuardOpening {
        top: Angle::from_degrees(top.unwrap_or(0.0)),
        exposure: Angle::from_degrees(exposure.unwrap_or(0.0)),
    };
    let mut beyond = (false, false);
    for open in opening.too_open(below_spindle) {
        match open {
            TooOpen::Top { .. } => beyond.0 = true,
            TooOpen::Exposure { .. } => beyond.1 = true,
        }
    }
    let verdict = |known: Option<f64>, beyond: bool| match known {
        None => Verdict::Unknown,
        Some(_) if beyond => Verdict::Beyond,
        Some(_) => Verdict::Within,
    };
    let text = |known: Option<f64>, after: &str| {
        known.map_or_else(|| "not measured".to_owned(), |value| format!("{}{after}", format_angle(value, 0)))
    };
    let most = if below_spindle { MOST_EXPOSURE_BELOW } else { MOST_EXPOSURE };
    let source = "United States: 29 CFR 1910.215(b)(3) as restated by Mich. R 408.10199 Table 1".to_owned();
    [
        Check {
            code: "guard_top",
            name: "Guard opens from",
            found: text(top, " above the spindle’s level"),
            limit: format!("at most {}", format_angle(bevelbench_geometry::parts::EXPOSURE_TOP.degrees(), 0)),
            verdict: verdict(top, beyond.0),
            source: source.clone(),
        },
        Check {
            code: "guard_exposure",
            name: "Guard leaves open",
            found: text(exposure, " of the rim"),
            limit: if below_spindle {
                format!(
                    "at most {}, as work meets the wheel below the spindle",
                    format_angle(most.degrees(), 0)
                )
            } else {
                format!("at most {}", format_angle(most.degrees(), 0))
            },
            verdict: verdict(exposure, beyond.1),
            source,
        },
    ]
}

/// A plain caution.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PlainCaution {
    /// What it is about.
    pub topic: &'static str,
    /// The caution, one to three sentences.
    pub text: String,
    /// Where it comes from.
    pub source: &'static str,
}

const PRACTICE: &str = "common practice";

/// Degrees Fahrenheit as both units say them.
fn warm(fahrenheit: f64) -> String {
    let celsius = (fahrenheit - 32.0) / 1.8;
    format!("{} °C ({} °F)", format_number(celsius, 0), format_number(fahrenheit, 0))
}

/// The plain cautions, in the order in which a session at the grinder meets them. What is said about heat depends on
/// the steels that are at hand.
#[must_use]
pub fn plain_cautions(steels: &[Steel]) -> Vec<PlainCaution> {
    let say = |topic, text: &str, source| PlainCaution { topic, text: text.to_owned(), source };
    let mut all = vec![
        say(
            "Before a wheel is fitted",
            "Hold the spindle’s speed against the wheel’s marking: it is not to be more.",
            "29 CFR 1910.215(d)(1)",
        ),
        say(
            "Ring test",
            "For bonded wheels, dry: tap 45° to each side of the upright centre line, 25 to 50 mm (1 to 2 in) in from the rim, turn the wheel by 45° and tap again.",
            "29 CFR 1910.215(d)(1); Mich. R 408.10113(2)",
        ),
        say(
            "Ring test",
            "A wheel that sounds dull instead of clear is not fitted. A metal wheel with a superabrasive layer does not ring so.",
            PRACTICE,
        ),
        say(
            "Rest",
            "Rigid, close, clamped after every move; never moved while the wheel turns.",
            "29 CFR 1910.215(a)(4)",
        ),
        say("Running up", "Stand to the side while a wheel runs up, guards closed.", PRACTICE),
        say(
            "Dressing",
            "Light passes: 0.025 mm or less each.",
            "M. P. Groover, Fundamentals of Modern Manufacturing, §24.1.2",
        ),
        say(
            "Dressing",
            "It throws grit and dust: cover eyes and lungs, stand aside. Log the new diameter afterwards, because every setting by the arm’s scale has moved. A superabrasive wheel is not dressed.",
            PRACTICE,
        ),
        say(
            "Eyes",
            "Eye protection, unless a fixed eye shield is adequate by itself.",
            "29 CFR 1926.303(c)(9)",
        ),
        say(
            "Dust",
            "Grinding and dressing dust belongs in no lung: a mask, and clean air. Sparks and a wood-dust extractor do not go together.",
            PRACTICE,
        ),
        say("Ears", "A grinder under load is loud enough for muffs.", PRACTICE),
    ];
    let unknown = steels.is_empty() || steels.contains(&Steel::Unknown);
    if unknown || steels.contains(&Steel::Carbon) {
        all.push(PlainCaution {
            topic: "Heat: carbon steel",
            text: format!(
                "It draws where it turns colour: faint yellow at about {}, purple at {}, blue at {}. An edge that went blue is soft.",
                warm(430.0),
                warm(523.0),
                warm(572.0)
            ),
            source: "Colvin & Juthe, The Working of Steel, 1922, Table 25",
        });
        all.push(say(
            "Heat: carbon steel",
            "Light touches, and into water often, before it colours.",
            PRACTICE,
        ));
    }
    if unknown || steels.iter().any(|steel| matches!(steel, Steel::HighSpeed | Steel::PowderHighSpeed)) {
        all.push(PlainCaution {
            topic: "Heat: high-speed steel",
            text: format!(
                "It is tempered at {} to {}: straw and blue, which come far below that, do not soften it.",
                warm(1000.0),
                warm(1100.0)
            ),
            source: "Colvin & Juthe, The Working of Steel, 1922; engineersedge.com (M2, T1)",
        });
        all.push(say(
            "Heat: high-speed steel",
            "It is not quenched: cold water on a hot edge makes fine cracks. Let it cool in the air.",
            PRACTICE,
        ));
    }
    all
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;
    use crate::saved::{
        library::demo_bench,
        log::{GuardSaved, LimitsSaved},
    };

    fn mm(value: f64) -> String {
        format!("{value:.1} mm")
    }

    fn guard(top: f64, exposure: f64, tongue: f64, rest: f64) -> GuardSaved {
        GuardSaved {
            opening_top_deg: Some(top),
            exposure_deg: Some(exposure),
            tongue_gap_mm: Some(tongue),
            rest_gap_mm: Some(rest),
            ..GuardSaved::default()
        }
    }

    fn verdicts(bench: &Bench, below: bool) -> Vec<(&'static str, Verdict)> {
        let rig = &bench.rigs[0];
        wheel_checks(bench, rig, &rig.wheels[0], below, &mm)
            .into_iter()
            .map(|c| (c.code, c.verdict))
            .collect()
    }

    #[test]
    fn unmeasured_guard_is_unknown_not_fine() {
        let mut bench = demo_bench().unwrap();
        bench.rigs[0].wheels[0].keep.guard = None;
        for (code, verdict) in verdicts(&bench, false) {
            assert!(code == "rim_speed" || verdict == Verdict::Unknown, "{code}");
        }
    }

    #[test]
    fn gaps_are_held_against_the_limits_of_the_place() {
        // S01, S03 (29 CFR 1910.215: 1/8 in, 1/4 in) and S15 (BGR 147: rest 3 mm, guard 5 mm).
        let mut bench = demo_bench().unwrap();
        bench.rigs[0].wheels[0].keep.guard = Some(guard(60.0, 90.0, 6.0, 3.1));
        let of =
            |bench: &Bench, code| verdicts(bench, false).into_iter().find(|(c, _)| *c == code).unwrap().1;
        assert_eq!((of(&bench, "rest_gap"), of(&bench, "tongue_gap")), (Verdict::Within, Verdict::Within));
        bench.keep.limits =
            Some(LimitsSaved { place: "Germany".to_owned(), rest_gap_mm: 3.0, tongue_gap_mm: 5.0 });
        assert_eq!((of(&bench, "rest_gap"), of(&bench, "tongue_gap")), (Verdict::Beyond, Verdict::Beyond));
    }

    #[test]
    fn more_may_be_open_where_work_meets_the_wheel_below_the_spindle() {
        let mut bench = demo_bench().unwrap();
        bench.rigs[0].wheels[0].keep.guard = Some(guard(65.0, 120.0, 3.0, 2.0));
        let of = |below| verdicts(&bench, below).into_iter().find(|(c, _)| *c == "guard_exposure").unwrap().1;
        assert_eq!((of(false), of(true)), (Verdict::Beyond, Verdict::Within));
    }

    #[test]
    fn every_caution_has_a_source_and_none_claims_that_anything_complies() {
        let mut all = plain_cautions(&[]);
        all.push(PlainCaution { topic: "first", text: FIRST.to_owned(), source: "this program" });
        for caution in &all {
            let lower = caution.text.to_lowercase();
            assert!(!caution.source.is_empty() && caution.text.ends_with('.'), "{caution:?}");
            assert!(!["is safe", "approved", "conform"].iter().any(|word| lower.contains(word)), "{lower}");
            assert!(!lower.contains("compl") || lower.contains("nothing here says"), "{lower}");
        }
    }

    #[test]
    fn heat_is_reported_for_the_steel_at_hand() {
        let topics = |steels: &[Steel]| plain_cautions(steels).iter().map(|c| c.topic).collect::<Vec<_>>();
        assert!(!topics(&[Steel::HighSpeed]).contains(&"Heat: carbon steel"));
        assert!(!topics(&[Steel::Carbon]).contains(&"Heat: high-speed steel"));
        assert!(topics(&[Steel::Unknown]).contains(&"Heat: carbon steel"));
    }

    #[test]
    fn invalid_mains_give_no_speed() {
        for (hz, poles) in [(f64::NAN, 2), (0.0, 2), (50.0, 0), (50.0, 3), (f64::INFINITY, 4)] {
            assert_eq!(mains_speed_rpm(MainsSaved { hz, poles }), None, "{hz} {poles}");
        }
        assert_eq!(mains_speed_rpm(MainsSaved { hz: 50.0, poles: 2 }), Some(3000.0));
    }
}
