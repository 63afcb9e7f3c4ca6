//! The cautions in one line.

use bevelbench_geometry::side::Caution;

/// The cautions in one line, for wherever a setting is shown: eyes and lungs, rim speed and marking, rest gap, and what
/// comes before anything said here.
#[must_use]
pub fn cautions_in_a_line(cautions: &[Caution]) -> String {
    let (mut speed, mut gap) = (None, None);
    for caution in cautions {
        match *caution {
            Caution::RimSpeed { rim_speed_m_s, marked_m_s: Some(marked) } => {
                speed = Some(format!("rim {rim_speed_m_s:.0} m/s, marked {marked:.0}"));
            }
            Caution::RimSpeed { rim_speed_m_s, marked_m_s: None } => {
                speed = Some(format!("rim {rim_speed_m_s:.0} m/s: read the wheel’s marking"));
            }
            Caution::RestGap { gap_mm, .. } => gap = Some(format!("rest gap {gap_mm:.1} mm")),
            _ => {}
        }
    }
    let mut parts = vec!["Cover eyes and lungs".to_owned()];
    parts.extend(speed);
    parts.extend(gap);
    parts.push("local codes, the maker’s markings and trained practice come first".to_owned());
    parts.join(" · ")
}
