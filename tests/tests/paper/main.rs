//! What is printed, read back from its files and measured.
#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

mod measured;
mod pages;
mod read_back;
mod reader;

use bevelbench_notebook::{
    paper::{
        gauge::GaugeSelection,
        printing::{FileKind, Print, print},
        request::{PrintKind, PrintRequest},
        sheet::{Correction, Paper},
    },
    quantity::LengthUnit,
    saved::{Bench, Id},
};

/// Some settings, or all where none is named; everything else is wanted.
pub(crate) fn request(bench: &Bench, what: PrintKind, paper: Paper, names: &[&str]) -> PrintRequest {
    let settings: Vec<Id> = if names.is_empty() {
        bench.settings.iter().map(|entry| entry.id).collect()
    } else {
        names.iter().map(|name| bench.setting_named(name).unwrap().id).collect()
    };
    PrintRequest {
        what,
        paper,
        correction: Correction::default(),
        settings,
        pair: Some(Box::new(
            ["Long grind, 85 mm", "Short grind, 60 mm"]
                .map(|name| bench.setting_named(name).unwrap().clone()),
        )),
        lessons: (0..bench.lessons.len()).collect(),
        gauges: GaugeSelection::ALL,
        unit: LengthUnit::Millimetre,
        date: "1 March".to_owned(),
    }
}

pub(crate) fn made(bench: &Bench, request: &PrintRequest) -> Print {
    print(bench, request, &mut |_| true).unwrap()
}

pub(crate) fn pdf(print: &Print) -> Vec<u8> {
    print.files(FileKind::Pdf, &mut |_| true).unwrap().remove(0)
}
