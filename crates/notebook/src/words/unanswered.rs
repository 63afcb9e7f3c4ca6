//! What stands between a setting and its answer, in words.

use std::fmt;

use crate::{
    answer::{
        bench::{Missing, Unanswered},
        target::NoIncluded,
    },
    quantity::length_text::LengthText,
    saved::target::BevelMeant,
    words::{
        refusal::refusal_words,
        sentence::{Words, number},
        value::dimension_error_words,
    },
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
        Unanswered::NoIncluded(why) => no_included_words(*why),
    }
}

/// Why no bevel makes an included angle.
fn no_included_words(why: NoIncluded) -> Words {
    match why {
        NoIncluded::OneFace => Words::new(
            "This tool is ground on one face only: it has no included angle.",
            "Ask for the bevel at the edge.",
        ),
        NoIncluded::OtherFaceTakesAll { included, other } => {
            let [included, other] = [included, other].map(|angle| number(angle.degrees(), 1));
            Words::new(
                format!(
                    "The other face alone has {other}°: an included angle of {included}° leaves nothing for this one."
                ),
                format!("Ask for more than {other}° included, or change the other face’s bevel in the tool."),
            )
        }
    }
}

/// Where a bevel is meant: behind the angle in a sentence, and in a list to choose from.
#[must_use]
pub const fn meant_words(meant: BevelMeant) -> &'static str {
    match meant {
        BevelMeant::AtEdge => "at the edge",
        BevelMeant::AcrossFacet => "across the facet",
        BevelMeant::Included => "included",
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
