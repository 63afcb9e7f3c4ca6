//! What stands in the way of a subcommand.

use std::{fmt, io};

/// What stood in the way.
#[derive(Debug)]
pub(super) enum Stopped {
    /// The file could not be read, or may not be written; the words name it.
    File(String),
    /// There is no setting, rig, wheel or holder of that name.
    NoSuch { what: &'static str, name: String, at_hand: Vec<String> },
    /// Several settings have the name; each with its tool.
    Several { name: String, at_hand: Vec<String> },
    /// The result could not be written.
    Output(io::Error),
    /// The picture could not be written; the words name it.
    Picture(String),
}

impl fmt::Display for Stopped {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::File(words) | Self::Picture(words) => f.write_str(words),
            Self::NoSuch { what, name, at_hand } if at_hand.is_empty() => {
                write!(f, "There is no {what} called “{name}”; the bench has none at all.")
            }
            Self::NoSuch { what, name, at_hand } => {
                write!(f, "There is no {what} called “{name}”. The bench has:")?;
                at_hand.iter().try_for_each(|name| write!(f, "\n  {name}"))
            }
            Self::Several { name, at_hand } => {
                let count = at_hand.len();
                write!(
                    f,
                    "{count} settings are called “{name}”. Say which, or give one of them another name:"
                )?;
                at_hand.iter().try_for_each(|name| write!(f, "\n  {name}"))
            }
            Self::Output(error) => write!(f, "The result could not be written: {error}."),
        }
    }
}
