//! The pair as a picture: what the page shows of it, with the figures of both and what differs in words.

use bevelbench_notebook::{
    drawing::{
        Bounds,
        pair_view::{InRow, side_by_side},
        svg::{Sheet, svg},
        tip_view::curves_view,
    },
    paper::picture::full_name,
    quantity::Units,
    words::validity_words,
};

use crate::{
    model::session::Session,
    pages::{
        pair::{Compare, EvaluatedSetting, Figure, PairState, make},
        picture::{sheet_of_shown, solid_sheet},
        tip::no_shape_words,
    },
};

impl PairState {
    /// What the page shows, as an SVG text.
    ///
    /// # Errors
    /// The words that say why there is nothing to draw.
    pub fn picture(&mut self, session: &Session, units: Units) -> Result<String, String> {
        let current = session.current().ok_or("Take a setting from the rack first: it becomes A.")?;
        make(session, self, units);
        if self.compare == Compare::WhatIf {
            return self.what_if.picture(&full_name(session.bench(), current), units);
        }
        if self.over
            && self.compare == Compare::Sides
            && let Some(cached) = &mut self.cached
        {
            cached.lay_over(units);
        }
        let gap = self.gap_words(units);
        let cached = self.cached.as_ref().ok_or("There is nothing to draw yet.")?;
        let beside = session.beside().filter(|_| cached.b.is_some());
        let a = full_name(session.bench(), current);
        let b = beside.map(|entry| full_name(session.bench(), entry));
        let title = b.as_ref().map_or_else(|| a.clone(), |b| format!("A: {a}; B: {b}"));
        let shown: Vec<&EvaluatedSetting> = std::iter::once(&cached.a).chain(cached.b.as_ref()).collect();
        let more = gap.into_iter().chain([cached.differences.join(" ")]).filter(|words| !words.is_empty());
        let sheet = sheet_of_shown(title, &shown, &Figure::ALL, more, units);
        let names = [format!("A: {a}"), b.map(|b| format!("B: {b}")).unwrap_or_default()];
        match self.compare {
            Compare::Tips => {
                let names = if self.over { ["A solid, B dashed".to_owned(), String::new()] } else { names };
                let row = self.tips.seen(cached, self.over, &names);
                let Some(on_paper) = crate::pages::tip::paper::on_paper(&row, units)? else {
                    return Err(problem(&cached.a, units));
                };
                Ok(solid_sheet(on_paper, with_validity(sheet, &shown)))
            }
            Compare::Edges => {
                let swept = cached.a.shape.as_ref().map_err(|why| no_shape_words(why, units).together())?;
                let second = cached.b.as_ref().and_then(|b| b.shape.as_ref().ok());
                let (mm, unit) = if units.is_metric() { (1.0, "mm") } else { (25.4, "in") };
                let mut sheet = with_validity(sheet, &shown);
                if second.is_some() {
                    sheet.caption.insert(0, "A is drawn solid, B dashed.".to_owned());
                }
                Ok(svg(&curves_view(swept, second, mm, unit), &sheet))
            }
            Compare::Sides | Compare::WhatIf => {
                let seen = shown.iter().filter_map(|one| one.focus).reduce(Bounds::union);
                let seen = seen.ok_or_else(|| problem(&cached.a, units))?;
                if let Some(over) = cached.over.as_ref().filter(|_| self.over) {
                    let mut sheet = Sheet { window: Some(seen.grown(10.0)), ..sheet };
                    sheet.caption.insert(0, "A is drawn solid, B dashed.".to_owned());
                    return Ok(svg(over, &sheet));
                }
                let row: Vec<InRow<'_>> = shown
                    .iter()
                    .zip(&names)
                    .map(|(one, name)| InRow { drawing: &one.drawing, seen, name })
                    .collect();
                let (drawing, around) = side_by_side(&row).ok_or_else(|| problem(&cached.a, units))?;
                Ok(svg(&drawing, &Sheet { window: Some(around), ..sheet }))
            }
        }
    }
}

fn problem(shown: &EvaluatedSetting, units: Units) -> String {
    shown.problem(units).unwrap_or_else(|| "There is nothing to draw yet.".to_owned())
}

/// A sheet with what the swept shapes on it rest on.
fn with_validity(mut sheet: Sheet, shown: &[&EvaluatedSetting]) -> Sheet {
    let mut words: Vec<String> = shown
        .iter()
        .filter_map(|one| one.shape.as_ref().ok())
        .map(|swept| validity_words(swept).to_owned())
        .collect();
    words.dedup();
    sheet.cautions.splice(0..0, words);
    sheet
}
