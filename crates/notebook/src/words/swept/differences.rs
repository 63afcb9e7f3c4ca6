//! How one setting differs from another, in words a student understands.

use bevelbench_geometry::side::{Job, SideView, Support};

use crate::{answer::swept::Swept, quantity::length_text::LengthText, words::sentence::number};

/// A setting with all that follows from it, to be compared.
#[derive(Debug, Clone, Copy)]
pub struct Compared<'a> {
    /// The job.
    pub job: &'a Job,
    /// Its answer.
    pub view: &'a SideView,
    /// The swept shape of a gouge, where there is one.
    pub swept: Option<&'a Swept>,
}

/// Angles that differ by less read alike on any protractor.
const SAME_DEG: f64 = 0.05;
/// Lengths that differ by less read alike on any rule, in millimetres.
const SAME_MM: f64 = 0.05;
/// Hollows that differ by less are alike, in millimetres.
const SAME_HOLLOW_MM: f64 = 0.005;

/// How B differs from A, a sentence each, what cuts first and what is set last. Lengths are written by `length`, small
/// ones by `fine`.
#[must_use]
pub fn difference_words(
    a: Compared<'_>,
    b: Compared<'_>,
    length: LengthText<'_>,
    fine: LengthText<'_>,
) -> Vec<String> {
    let mut all = Vec::new();
    what_cuts(&mut all, a, b, length, fine);
    wings(&mut all, a, b, length);
    let cut = all.len();
    what_is_set(&mut all, a, b, length);
    if cut == 0 {
        all.insert(0, "Both grind the same edge.".to_owned());
    }
    all
}

/// A number as it is read from a display of tenths (or of finer parts), so that differences add up before a class.
fn read(value: f64, parts: f64) -> f64 {
    (value * parts).round() / parts
}

/// "2.1 mm longer", or nothing for lengths that read alike.
fn step(difference_mm: f64, same_mm: f64, more: &str, less: &str, length: LengthText<'_>) -> Option<String> {
    (difference_mm.abs() >= same_mm && difference_mm.is_finite()).then(|| {
        let word = if difference_mm > 0.0 { more } else { less };
        format!("{} {word}", length(difference_mm.abs()))
    })
}

/// "4° keener", or nothing for angles that read alike.
fn turn(difference_deg: f64, more: &str, less: &str) -> Option<String> {
    (difference_deg.abs() >= SAME_DEG && difference_deg.is_finite()).then(|| {
        let word = if difference_deg > 0.0 { more } else { less };
        format!("{}° {word}", number(difference_deg.abs(), 1))
    })
}

fn what_cuts(
    all: &mut Vec<String>,
    a: Compared<'_>,
    b: Compared<'_>,
    length: LengthText<'_>,
    fine: LengthText<'_>,
) {
    let gouge = |c: Compared<'_>| matches!(c.job.tool.blank(), bevelbench_geometry::parts::Blank::Bar(_));
    let place = if gouge(a) && gouge(b) { "nose" } else { "edge" };
    let bevel = read(b.view.bevel().degrees(), 10.0) - read(a.view.bevel().degrees(), 10.0);
    all.extend(turn(bevel, "blunter", "keener").map(|words| format!("B is {words} at the {place}.")));
    let facet = read(b.view.facet.width_mm, 10.0) - read(a.view.facet.width_mm, 10.0);
    all.extend(
        step(facet, SAME_MM, "longer", "shorter", length).map(|words| format!("Its facet is {words}.")),
    );
    let hollow = read(b.view.facet.hollow_mm, 100.0) - read(a.view.facet.hollow_mm, 100.0);
    all.extend(
        step(hollow, SAME_HOLLOW_MM, "deeper", "shallower", fine)
            .map(|words| format!("The hollow is {words}.")),
    );
}

fn wings(all: &mut Vec<String>, a: Compared<'_>, b: Compared<'_>, length: LengthText<'_>) {
    let (Some(a), Some(b)) = (a.swept, b.swept) else { return };
    let mean = |one: f64, other: f64| f64::midpoint(one, other);
    let sweep = |swept: &Swept| mean(swept.summary().minus.sweep_mm, swept.summary().plus.sweep_mm);
    let cheek = |swept: &Swept| mean(swept.summary().minus.cheek_mm, swept.summary().plus.cheek_mm);
    if !a.is_gouge() || !b.is_gouge() {
        return;
    }
    all.extend(
        step(sweep(b) - sweep(a), SAME_MM, "further back", "less far back", length)
            .map(|words| format!("Its wings are swept {words}.")),
    );
    all.extend(
        step(cheek(b) - cheek(a), SAME_MM, "thicker", "thinner", length)
            .map(|words| format!("The wing cheek is {words}.")),
    );
}

fn what_is_set(all: &mut Vec<String>, a: Compared<'_>, b: Compared<'_>, length: LengthText<'_>) {
    let wheel = |c: Compared<'_>| c.job.wheel.spec().diameter_mm;
    all.extend(
        step(wheel(b) - wheel(a), SAME_MM, "larger", "smaller", length)
            .map(|words| format!("Its wheel is {words} across.")),
    );
    let projection = |c: Compared<'_>| match c.job.setting.support {
        Support::Holder { projection_mm, .. } => Some(projection_mm),
        _ => None,
    };
    if let (Some(a), Some(b)) = (projection(a), projection(b)) {
        all.extend(
            step(b - a, SAME_MM, "further", "less far", length)
                .map(|words| format!("The tool stands {words} out of its holder.")),
        );
    }
    let reach = |c: Compared<'_>| match c.job.setting.support {
        Support::Handle { reach_mm, .. } | Support::Holder { reach_mm, .. } => Some(reach_mm),
        Support::Table { .. } => None,
    };
    if let (Some(a), Some(b)) = (reach(a), reach(b)) {
        all.extend(
            step(b - a, SAME_MM, "further out", "further in", length)
                .map(|words| format!("The arm stands {words}.")),
        );
    }
    match (a.job.setting.support, b.job.setting.support) {
        (Support::Holder { strut_angle: one, .. }, Support::Holder { strut_angle: other, .. }) => {
            if (other.degrees() - one.degrees()).abs() >= SAME_DEG {
                all.push(format!(
                    "The strut stands at {}° to the tool instead of {}°.",
                    number(other.degrees(), 1),
                    number(one.degrees(), 1)
                ));
            }
        }
        (Support::Table { tilt: one, .. }, Support::Table { tilt: other, .. }) => {
            let tilt = other.degrees() - one.degrees();
            all.extend(
                turn(tilt, "higher", "lower").map(|words| format!("The table’s rear is tilted {words}.")),
            );
        }
        (Support::Table { .. }, _) => all.push("A lies on the table, B is held from the arm.".to_owned()),
        (_, Support::Table { .. }) => all.push("A is held from the arm, B lies on the table.".to_owned()),
        (Support::Handle { .. }, Support::Holder { .. }) => {
            all.push("A stands with its handle in the cup, B is in a holder.".to_owned());
        }
        (Support::Holder { .. }, Support::Handle { .. }) => {
            all.push("A is in a holder, B stands with its handle in the cup.".to_owned());
        }
        (Support::Handle { .. }, Support::Handle { .. }) => {}
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;
    use crate::{
        answer::swept::swept,
        saved::{
            library::demo_bench,
            setting::{SettingEntry, SupportSaved},
        },
    };

    fn mm(value: f64) -> String {
        format!("{} mm", number(value, 2))
    }

    fn long_grind() -> SettingEntry {
        demo_bench().unwrap().setting_named("Long grind, 85 mm").unwrap().clone()
    }

    fn compared(one: &SettingEntry, other: &SettingEntry) -> Vec<String> {
        let bench = demo_bench().unwrap();
        let [(a, av), (b, bv)] = [one, other].map(|entry| bench.answer(entry).unwrap());
        let sa = swept(&a, &av, one.swing.as_ref(), 65).ok();
        let sb = swept(&b, &bv, other.swing.as_ref(), 65).ok();
        difference_words(
            Compared { job: &a, view: &av, swept: sa.as_ref() },
            Compared { job: &b, view: &bv, swept: sb.as_ref() },
            &mm,
            &mm,
        )
    }

    #[test]
    fn a_setting_does_not_differ_from_itself() {
        assert_eq!(compared(&long_grind(), &long_grind()), ["Both grind the same edge."]);
    }

    // Common practice: a shorter projection with all else left alone grinds blunter, and a blunter facet is shorter.
    #[test]
    fn a_shorter_projection_reads_blunter_and_shorter() {
        let mut other = long_grind();
        if let SupportSaved::Holder { projection_mm, .. } = &mut other.support {
            *projection_mm -= 10.0;
        }
        let words = compared(&long_grind(), &other);
        assert!(words[0].starts_with("B is ") && words[0].ends_with("° blunter at the nose."), "{words:?}");
        assert!(words[1].starts_with("Its facet is ") && words[1].ends_with(" mm shorter."), "{words:?}");
        assert!(words.iter().any(|w| w == "The tool stands 10 mm less far out of its holder."), "{words:?}");
        assert!(words.iter().any(|w| w.starts_with("Its wings are swept ")), "{words:?}");
    }

    // Formula (1): with the pivot further out the bevel is blunter (derived here).
    #[test]
    fn turned_about_every_word_is_its_opposite() {
        let mut other = long_grind();
        if let SupportSaved::Holder { reach_mm, .. } = &mut other.support {
            *reach_mm += 5.0;
        }
        let there = compared(&long_grind(), &other).join(" ");
        let back = compared(&other, &long_grind()).join(" ");
        assert!(there.contains("blunter at the nose") && there.contains("5 mm further out."), "{there}");
        assert!(back.contains("keener at the nose") && back.contains("5 mm further in."), "{back}");
    }

    #[test]
    fn tools_on_table_and_arm_are_distinguished() {
        let bench = demo_bench().unwrap();
        let on_table = bench.setting_named("Both faces").unwrap();
        let words = compared(&long_grind(), on_table);
        assert!(words.iter().any(|w| w == "A is held from the arm, B lies on the table."), "{words:?}");
        assert!(words[0].ends_with("at the edge."), "{words:?}");
    }
}
