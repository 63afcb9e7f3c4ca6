//! What stands between a setting and its answer, in words.

use std::fmt;

use crate::{
    answer::bench::{Missing, Unanswered},
    quantity::length_text::LengthText,
    words::{refusal::refusal_words, sentence::Words, value::dimension_error_words},
};

/// Whatever stands between a setting and its answer.
#[must_use]
pub fn unanswered_words(unanswered: &Unanswered, length: LengthText<'_>) -> Words {
    match unanswered {
        Unanswered::Missing(missing) => missing_words(*missing),
        Unanswered::Part { name, dimension_error } => {
            let words = dimension_error_words(dimension_error, length);
            Words::new(format!("{name}: {}", words.reason), words.remedy)
        }
        Unanswered::Refused(refusal) => refusal_words(refusal, length),
    }
}

pub(crate) fn missing_words(missing: Missing) -> Words {
    let (reason, remedy) = match missing {
        Missing::Setting(_) => ("The setting is no longer on the bench.", "Choose another one in the rack."),
        Missing::Tool(_) => ("The tool of this setting is no longer on the bench.", "Choose another tool."),
        Missing::Rig(_) => ("The rig of this setting is no longer on the bench.", "Choose another rig."),
        Missing::Wheel(_) => ("The wheel of this setting is no longer on its rig.", "Choose another wheel."),
        Missing::Holder(_) => {
            ("The holder of this setting is no longer with its rig.", "Choose another holder.")
        }
        Missing::Arm => {
            ("There is no arm in front of this wheel.", "Add one to the wheel, or use the table.")
        }
        Missing::Table => {
            ("There is no table in front of this wheel.", "Add one to the wheel, or use the arm.")
        }
    };
    Words::new(reason, remedy)
}

impl fmt::Display for Missing {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&missing_words(*self).together())
    }
}
