//! Words for what comes near to what.

use bevelbench_geometry::space::{Body, Clearance, Obstacle, RestGap, SwingAt};

use crate::{quantity::length_text::LengthText, words::sentence::degrees};

/// What a body is called.
#[must_use]
pub const fn body_name(body: Body) -> &'static str {
    match body {
        Body::Holder => "Holder",
        Body::Strut => "Strut",
        Body::Blade => "Blade",
        Body::Handle => "Handle",
        Body::Arm => "Arm",
        Body::Table => "Table",
    }
}

/// What an obstacle is called.
#[must_use]
pub const fn obstacle_name(obstacle: Obstacle) -> &'static str {
    match obstacle {
        Obstacle::Wheel => "wheel",
        Obstacle::Guard => "guard",
        Obstacle::Bench => "bench",
    }
}

/// Where in the movement a gap is least.
#[must_use]
pub fn swing_at_words(at: SwingAt, length: LengthText<'_>) -> String {
    match at {
        SwingAt::Still => "neither moves".to_owned(),
        SwingAt::Rolled(roll) if roll.abs().degrees() < 0.05 => "with the tool upright".to_owned(),
        SwingAt::Rolled(roll) => format!("rolled {} to one side", degrees(roll.abs())),
        SwingAt::Pushed(far) if far.abs() < 0.05 => "anywhere on the way across".to_owned(),
        SwingAt::Pushed(far) => format!("pushed {} aside", length(far.abs())),
    }
}

/// One gap in a sentence.
#[must_use]
pub fn clearance_words(clearance: &Clearance, length: LengthText<'_>) -> String {
    let (body, obstacle) = (body_name(clearance.body), obstacle_name(clearance.obstacle));
    let at = swing_at_words(clearance.at, length);
    if clearance.gap_mm <= 0.0 {
        format!("{body} and {obstacle} meet, {at}.")
    } else {
        format!("{body} to {obstacle}: {}, {at}.", length(clearance.gap_mm))
    }
}

/// The gap at a table's front edge in sentences: as it is, when the wheel wears, and how far the table can be tilted.
#[must_use]
pub fn rest_gap_words(gap: &RestGap, widest_mm: f64, length: LengthText<'_>) -> Vec<String> {
    let mut reported = Vec::with_capacity(4);
    reported.push(if gap.now_mm <= 0.0 {
        format!("The table’s front edge would be {} inside the wheel.", length(-gap.now_mm))
    } else if gap.now_mm > widest_mm {
        format!(
            "The table’s front edge is {} from the rim, wider than {}: what slips in is pulled down.",
            length(gap.now_mm),
            length(widest_mm)
        )
    } else {
        format!("The table’s front edge is {} from the rim.", length(gap.now_mm))
    });
    if let Some(worn_mm) = gap.worn_mm {
        reported.push(format!(
            "Left alone, it is {} when the wheel is worn to its least diameter.",
            length(worn_mm)
        ));
    }
    if let Some([low, high]) = gap.allowed {
        reported.push(format!(
            "Tilted between {} and {} it stays open and no wider.",
            degrees(low),
            degrees(high)
        ));
    }
    for (caught, way) in gap.catches.into_iter().zip(["lowered", "raised"]) {
        if let Some(tilt) = caught {
            reported
                .push(format!("With its operator’s side {way} to {} it catches the wheel.", degrees(tilt)));
        }
    }
    reported
}
