//! Numbers that published safety rules set: gaps, exposure, speeds. They are read as published, for information:
//! local codes, the maker's markings and trained practice come first, and nothing here says that a set-up complies.

use crate::{math::angle::Angle, parts::wheel::rim_speed_m_s};

/// A guard may leave the wheel open from this far above the horizontal, and no higher.
///
/// # Source
/// 29 CFR 1910.215(b)(3) as restated by Mich. R 408.10199 Table 1: exposure starts no higher than 65° above
/// the horizontal through the spindle.
pub const EXPOSURE_TOP: Angle = Angle::from_degrees(65.0);
/// Widest gap between a work rest and the wheel, in millimetres: one eighth of an inch.
///
/// # Source
/// 29 CFR 1910.215(a)(4). Other places ask for less (Germany: 3 mm, BGR 147 §5.4.3.4).
pub const WIDEST_REST_GAP_MM: f64 = 3.175;

/// The most turns a minute at which a rim of this diameter stays within a marked speed in metres a second. It rises
/// as the wheel wears; the speed at the rim is what must not.
///
/// # Source
/// ANSI B7.1-2000 §7.1.1: a worn wheel may turn faster only while its original rim speed is not exceeded.
#[must_use]
pub fn most_turns_rpm(marked_m_s: f64, diameter_mm: f64) -> f64 {
    marked_m_s / rim_speed_m_s(diameter_mm, 1.0)
}

/// The least diameter of a flange in millimetres: a third of the wheel's.
///
/// # Source
/// 29 CFR 1910.215(c)(1), as worked in an interpretation letter of 1 March 1992.
#[must_use]
pub fn least_flange_mm(wheel_diameter_mm: f64) -> f64 {
    wheel_diameter_mm / 3.0
}

/// The greatest gaps that a rule allows, in millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GapLimits {
    /// Between work rest and wheel.
    pub rest_mm: f64,
    /// Between the guard's tongue (its upper end) and the wheel.
    pub tongue_mm: f64,
}

impl GapLimits {
    /// One eighth and one quarter of an inch.
    ///
    /// # Source
    /// United States: 29 CFR 1910.215(a)(4) and (b)(9).
    pub const UNITED_STATES: Self = Self { rest_mm: WIDEST_REST_GAP_MM, tongue_mm: 6.35 };
    /// 3 mm and 5 mm.
    ///
    /// # Source
    /// Germany: VBG BGR 147 §5.4.3.4.
    pub const GERMANY: Self = Self { rest_mm: 3.0, tongue_mm: 5.0 };
}

/// The most of a bench grinder's wheel that its guard may leave open.
///
/// # Source
/// 29 CFR 1910.215(b)(3) as restated by Mich. R 408.10199 Table 1.
pub const MOST_EXPOSURE: Angle = Angle::from_degrees(90.0);
/// The same where the work must meet the wheel below the spindle.
///
/// # Source
/// Mich. R 408.10199 Table 1, footnote.
pub const MOST_EXPOSURE_BELOW: Angle = Angle::from_degrees(125.0);

/// What a guard leaves open: from so far above the horizontal through the spindle, over so much of the rim.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GuardOpening {
    /// Where it begins, above the horizontal.
    pub top: Angle,
    /// How far it goes down the front.
    pub exposure: Angle,
}

/// By how much a guard is open beyond a rule.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum TooOpen {
    /// It begins too high.
    Top {
        /// By so much.
        by: Angle,
    },
    /// It leaves too much open.
    Exposure {
        /// By so much.
        by: Angle,
        /// Whether the wider rule, for work below the spindle, was already counted in.
        below_spindle: bool,
    },
}

impl GuardOpening {
    /// Where it ends, above the horizontal; negative is below.
    #[must_use]
    pub fn bottom(&self) -> Angle {
        self.top - self.exposure
    }

    /// Whether a contact at this angle above the horizontal lies in the opening.
    #[must_use]
    pub fn shows(&self, contact: Angle) -> bool {
        contact <= self.top && contact >= self.bottom()
    }

    /// What is open beyond the published rule; the wider exposure counts where work meets the wheel below the
    /// spindle.
    pub fn too_open(&self, below_spindle: bool) -> impl Iterator<Item = TooOpen> + use<> {
        let most = if below_spindle { MOST_EXPOSURE_BELOW } else { MOST_EXPOSURE };
        // A reading of a whole degree is not held against a rounding error.
        let tolerance = 1e-9;
        let over_top = self.top - EXPOSURE_TOP;
        let over = self.exposure - most;
        [
            (over_top.degrees() > tolerance).then_some(TooOpen::Top { by: over_top }),
            (over.degrees() > tolerance).then_some(TooOpen::Exposure { by: over, below_spindle }),
        ]
        .into_iter()
        .flatten()
    }
}
