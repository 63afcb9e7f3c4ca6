//! The bench file as text: RON, versioned, read with reasons.

use std::fmt;

use serde::Serialize;

use crate::saved::{
    bench::{Bench, BenchFile},
    finite::all_finite,
    ids::IdUse,
};

/// Version this program writes.
pub const VERSION: u32 = 1;

/// Why a text is not a bench this program can open.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum FileFault {
    /// Written by a newer program.
    Newer {
        /// The version it says it has.
        version: u32,
    },
    /// Not a bench file, or a damaged one.
    Unreadable {
        /// Line, from one.
        line: usize,
        /// Column, from one.
        column: usize,
        /// What the reader expected there.
        reason: String,
    },
    /// A name that this program does not know: written by a newer one, or misspelt by hand.
    UnknownName {
        /// Line, from one.
        line: usize,
        /// Column, from one.
        column: usize,
        /// The name.
        name: String,
    },
    /// A number that is none.
    NotANumber {
        /// Line, from one.
        line: usize,
        /// What stands there.
        text: String,
    },
    /// Two parts with one id.
    TwiceTheSameId(u64),
}

impl fmt::Display for FileFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Newer { version } => write!(
                f,
                "It was written by a newer Bevelbench (form {version}; this one reads up to {VERSION}). Open it with that one, or update this one; the file is left as it is."
            ),
            Self::Unreadable { line, column, reason } => write!(
                f,
                "Line {line}, column {column}: {reason}. Mend that line in a text editor, or open the version before it (the same name with .before at the end)."
            ),
            Self::UnknownName { line, column, name } => write!(
                f,
                "Line {line}, column {column} has “{name}”, which this Bevelbench does not know. If a newer Bevelbench wrote the file, open it with that one, or update this one. If it was typed by hand, correct it."
            ),
            Self::NotANumber { line, text } => {
                write!(f, "Line {line} has {text} where a measurement belongs. Put in what was measured.")
            }
            Self::TwiceTheSameId(id) => write!(
                f,
                "Two parts have the id {id}, so settings could mean either. Give one of them a number of its own."
            ),
        }
    }
}

impl std::error::Error for FileFault {}

/// Reads a bench from RON text.
///
/// # Errors
/// [`FileFault`], with the line where there is one.
pub fn read_bench(text: &str) -> Result<Bench, FileFault> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    if let Some(version) = version_of(text)
        && version > VERSION
    {
        return Err(FileFault::Newer { version });
    }
    let options = ron::Options::default().with_default_extension(ron::extensions::Extensions::IMPLICIT_SOME);
    let file: BenchFile = options.from_str(text).map_err(|error| {
        let (line, column) = (error.span.start.line, error.span.start.col);
        match error.code {
            ron::Error::NoSuchStructField { found, .. } | ron::Error::NoSuchEnumVariant { found, .. } => {
                FileFault::UnknownName { line, column, name: found }
            }
            other => FileFault::Unreadable { line, column, reason: other.to_string() },
        }
    })?;
    let BenchFile::V1(mut bench) = file;
    refuse_non_finite_numbers(text, &bench)?;
    refuse_duplicate_ids(&bench)?;
    bench.note_ids();
    Ok(bench)
}

/// Writes a bench as RON text; reading it back gives the same bench.
///
/// # Errors
/// The serialiser's own reason; no bench is known to cause one.
pub fn write_bench(bench: &Bench) -> Result<String, String> {
    let pretty = ron::ser::PrettyConfig::new()
        .indentor("  ")
        .extensions(ron::extensions::Extensions::IMPLICIT_SOME)
        .struct_names(false)
        .number_suffixes(false);
    let body = ron::ser::to_string_pretty(&BenchFile::V1(bench.clone()), pretty)
        .map_err(|error| error.to_string())?;
    Ok(format!(
        "// A Bevelbench bench file. Lengths are millimetres, angles degrees.\n// It may be edited by hand; comments are not kept when the program saves it.\n{body}\n"
    ))
}

/// The version that stands in front, if the text begins like a bench file, whatever comments and attributes stand before
/// it.
fn version_of(text: &str) -> Option<u32> {
    let digits: String =
        without_preamble(text).strip_prefix('V')?.chars().take_while(char::is_ascii_digit).collect();
    digits.parse().ok()
}

/// What follows white space, comments of both kinds and attributes, as RON has them.
fn without_preamble(text: &str) -> &str {
    let mut rest = text.trim_start();
    loop {
        rest = if rest.starts_with("//") {
            rest.split_once('\n').map_or("", |(_, after)| after)
        } else if let Some(inside) = rest.strip_prefix("/*") {
            after_block_comment(inside)
        } else if rest.starts_with("#![") {
            rest.split_once(']').map_or("", |(_, after)| after)
        } else {
            return rest;
        }
        .trim_start();
    }
}

/// What follows a block comment whose beginning is gone already; they may stand in each other.
fn after_block_comment(inside: &str) -> &str {
    let (mut rest, mut depth) = (inside, 1);
    while depth > 0 {
        let Some(close) = rest.find("*/") else { return "" };
        let open = rest.find("/*").filter(|open| *open < close);
        depth = if open.is_some() { depth + 1 } else { depth - 1 };
        rest = &rest[open.unwrap_or(close) + 2..];
    }
    rest
}

/// RON reads `NaN`, `inf` and `1e999`; a bench has no use for them. The numbers are looked at as they were read, the text
/// only for the line where the first of them stands.
fn refuse_non_finite_numbers(text: &str, saved: &impl Serialize) -> Result<(), FileFault> {
    if all_finite(saved) {
        return Ok(());
    }
    for (index, line) in text.lines().enumerate() {
        let bare = outside_quotes(line);
        let code = bare.split("//").next().unwrap_or_default();
        for word in code.split(|c: char| !(c.is_alphanumeric() || "+-._".contains(c))) {
            let unsigned = word.trim_start_matches(['+', '-']);
            let endless = unsigned.starts_with(|c: char| c.is_ascii_digit())
                && word.parse::<f64>().is_ok_and(|value| !value.is_finite());
            if unsigned == "NaN" || unsigned == "inf" || endless {
                return Err(FileFault::NotANumber { line: index + 1, text: word.to_owned() });
            }
        }
    }
    Err(FileFault::NotANumber { line: 1, text: "a value that is no number".to_owned() })
}

fn outside_quotes(text: &str) -> String {
    let mut outside = String::with_capacity(text.len());
    let (mut quoted, mut escaped) = (false, false);
    for c in text.chars() {
        if quoted {
            quoted = c != '"' || escaped;
            escaped = c == '\\' && !escaped;
        } else if c == '"' {
            quoted = true;
        } else {
            outside.push(c);
        }
    }
    outside
}

fn refuse_duplicate_ids(bench: &Bench) -> Result<(), FileFault> {
    let mut ids = Vec::new();
    bench.each_id(|_, used, id| ids.extend((used == IdUse::Own).then_some(id.0)));
    ids.sort_unstable();
    match ids.windows(2).find(|pair| pair[0] == pair[1]) {
        Some(pair) => Err(FileFault::TwiceTheSameId(pair[0])),
        None => Ok(()),
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;
    use crate::saved::{id::Id, tool::Family};

    const SMALL: &str = r#"// a comment
V1((
    title: "Small bench",
    tools: [(id: (1), name: "Gouge \"inf\"", family: SpindleGouge,
        blank: Bar((diameter_mm: 10, flute_floor_mm: -2, flute: Power(k: 0.2, n: 2))),
        overall_length_mm: 400, blade_length_mm: 180,
        present_facet: (bevel_deg: 40, width_mm: 4.5),
    )],
))
"#;

    #[test]
    fn comments_and_whole_numbers_are_tolerated() {
        let bench = read_bench(SMALL).unwrap();
        assert_eq!((bench.tools[0].id, bench.tools[0].family), (Id(1), Family::SpindleGouge));
        assert!(bench.tools[0].build().is_ok());
    }

    #[test]
    fn written_bench_reads_back_the_same() {
        let bench = read_bench(SMALL).unwrap();
        let text = write_bench(&bench).unwrap();
        assert_eq!(read_bench(&text).unwrap(), bench);
        assert_eq!(write_bench(&read_bench(&text).unwrap()).unwrap(), text);
    }

    #[test]
    fn newer_form_is_named_and_not_read() {
        for text in [
            "// x\nV7((title: \"\"))",
            "V7((title: \"\"))",
            "/* x */ V7((title: \"\"))",
            "/* x /* V1 */ */\n\t// V1\nV7 ((title: \"\"))",
            "#![enable(implicit_some)] V7((title: \"\"))",
            "#![enable(implicit_some)]\n#![enable(unwrap_newtypes)]\nV7((title: \"\"))",
            "\u{feff}  V7(Whatever)",
        ] {
            assert_eq!(read_bench(text), Err(FileFault::Newer { version: 7 }), "{text}");
        }
        assert!(matches!(read_bench("/* V7((title: \"\"))"), Err(FileFault::Unreadable { .. })));
    }

    #[test]
    fn unknown_field_is_refused_with_its_line() {
        let fault = read_bench("V1((\n title: \"x\",\n colour: 3,\n))").unwrap_err();
        assert!(
            matches!(&fault, FileFault::UnknownName { line: 3, name, .. } if name == "colour"),
            "{fault:?}"
        );
    }

    #[test]
    fn a_non_finite_number_is_refused_with_its_line() {
        for bad in ["NaN", "inf", "-inf", "1e999"] {
            let text = SMALL.replace("diameter_mm: 10", &format!("diameter_mm: {bad}"));
            let fault = read_bench(&text).unwrap_err();
            assert_eq!(fault, FileFault::NotANumber { line: 5, text: bad.to_owned() });
        }
    }

    #[test]
    fn fields_whose_names_hold_inf_or_nan_are_no_numbers() {
        #[derive(serde::Serialize, serde::Deserialize)]
        struct Step {
            infeed_mm: f64,
            #[serde(rename = "NaNs")]
            count: u32,
        }
        let text = "(\n infeed_mm: 0.02,\n NaNs: 3,\n)";
        let step: Step = ron::from_str(text).unwrap();
        assert_eq!(refuse_non_finite_numbers(text, &step), Ok(()));
        let text = text.replace("0.02", "-inf");
        let step: Step = ron::from_str(&text).unwrap();
        let fault = refuse_non_finite_numbers(&text, &step).unwrap_err();
        assert_eq!(fault, FileFault::NotANumber { line: 2, text: "-inf".to_owned() });
        assert_eq!(step.count, 3);
    }

    #[test]
    fn duplicate_ids_are_refused() {
        let text = "V1((title: \"x\", rigs: [(id: (4), name: \"a\", grinder: (spindle_speed_rpm: 1500, spindle_height_mm: 200, bench_front_mm: 200)), (id: (4), name: \"b\", grinder: (spindle_speed_rpm: 1500, spindle_height_mm: 200, bench_front_mm: 200))]))";
        assert_eq!(read_bench(text), Err(FileFault::TwiceTheSameId(4)));
    }
}
