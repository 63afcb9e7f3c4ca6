//! The log as a table that a spreadsheet opens: one line an entry, whatever it was, sorted by its date.

use crate::saved::{bench::Bench, log::MeasuredBy};

/// The columns. Their names are a contract, as other people's sheets rely on them.
pub const COLUMNS: [&str; 9] =
    ["date", "what", "tool", "setting", "rig", "wheel", "diameter_mm", "length_mm", "note"];

/// Every entry of the bench's log as comma-separated text with a heading.
///
/// # Errors
/// The writer's own reason; none is known to occur in memory.
pub fn log_csv(bench: &Bench) -> Result<String, String> {
    let mut rows: Vec<[String; 9]> = Vec::new();
    let text = str::to_owned;
    let none = String::new;
    for tool in &bench.tools {
        rows.extend(tool.keep.sharpenings.iter().map(|entry| {
            [
                entry.date.clone(),
                text("sharpened"),
                tool.name.clone(),
                entry.setting.clone(),
                none(),
                entry.wheel.clone(),
                none(),
                none(),
                entry.note.clone(),
            ]
        }));
        rows.extend(tool.keep.lengths.iter().map(|entry| {
            let length = entry.length_mm.to_string();
            [
                entry.date.clone(),
                text("length"),
                tool.name.clone(),
                none(),
                none(),
                none(),
                none(),
                length,
                none(),
            ]
        }));
    }
    for rig in &bench.rigs {
        for wheel in &rig.wheels {
            rows.extend(wheel.keep.diameters.iter().map(|entry| {
                let what = if entry.dressed { "dressed" } else { "diameter" };
                let note = match entry.by {
                    MeasuredBy::Rule => none(),
                    MeasuredBy::Tape => text(MeasuredBy::Tape.words()),
                };
                [
                    entry.date.clone(),
                    text(what),
                    none(),
                    none(),
                    rig.name.clone(),
                    wheel.name.clone(),
                    entry.diameter_mm.to_string(),
                    none(),
                    note,
                ]
            }));
        }
    }
    rows.sort_by(|a, b| a[0].cmp(&b[0]));
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(COLUMNS).map_err(|error| error.to_string())?;
    for row in &rows {
        writer.write_record(row).map_err(|error| error.to_string())?;
    }
    let bytes = writer.into_inner().map_err(|error| error.to_string())?;
    String::from_utf8(bytes).map_err(|error| error.to_string())
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;
    use crate::saved::{
        library::demo_bench,
        log::{DiameterNote, LengthNote, Sharpening},
    };

    #[test]
    fn log_reads_back_as_it_was_written_down() {
        let mut bench = demo_bench().unwrap();
        for tool in &mut bench.tools {
            tool.keep = crate::saved::log::ToolKeep::default();
        }
        for wheel in bench.rigs.iter_mut().flat_map(|rig| &mut rig.wheels) {
            wheel.keep.diameters = Vec::new();
        }
        let note = "a \"quoted\", comma'd\nnote";
        bench.tools[0].keep.sharpenings.push(Sharpening {
            date: "2026-02-01".to_owned(),
            setting: "Long grind, 85 mm".to_owned(),
            wheel: "Keeping wheel".to_owned(),
            note: note.to_owned(),
        });
        bench.tools[1].keep.lengths.push(LengthNote { date: "2026-01-05".to_owned(), length_mm: 412.5 });
        bench.rigs[0].wheels[0].keep.diameters.push(DiameterNote {
            date: "2026-03-01".to_owned(),
            diameter_mm: 158.0,
            by: MeasuredBy::Tape,
            dressed: true,
        });
        let text = log_csv(&bench).unwrap();
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        assert_eq!(reader.headers().unwrap(), &COLUMNS[..]);
        let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
        let what: Vec<&str> = rows.iter().map(|row| &row[1]).collect();
        assert_eq!(what, ["length", "sharpened", "dressed"]);
        assert_eq!(&rows[0][7], "412.5");
        assert_eq!((&rows[1][3], &rows[1][8]), ("Long grind, 85 mm", note));
        assert_eq!((&rows[2][6], &rows[2][8]), ("158", "tape round the rim"));
    }
}
