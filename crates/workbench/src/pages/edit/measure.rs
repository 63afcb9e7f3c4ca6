//! What a form's numbers are: their names, how they are measured, how they are shown and read.

use bevelbench_geometry::math::{Kind, Quantity};
use bevelbench_notebook::quantity::Units;

use bevelbench_notebook::drawing::sketch::mark::Mark;
use bevelbench_notebook::quantity::to_type::length_text;

/// A dimension as a form shows it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Dimension {
    /// Its name, also what screen readers say.
    pub(crate) name: &'static str,
    /// How it is measured at the bench.
    pub(crate) how: &'static str,
    /// What its number is.
    pub(crate) measure: Kind,
    /// The quantity whose refusals belong to it.
    pub(crate) quantity: Option<Quantity>,
    /// What lights up on the drawing.
    pub(crate) mark: Mark,
    /// A step of the arrow keys, in the unit of the number.
    pub(crate) step: f64,
}

impl Dimension {
    /// A length.
    pub(crate) const fn length(name: &'static str, quantity: Quantity, step: f64, how: &'static str) -> Self {
        Self { name, how, measure: Kind::Length, quantity: Some(quantity), mark: Mark::Of(quantity), step }
    }

    /// An angle.
    pub(crate) const fn angle(name: &'static str, quantity: Quantity, step: f64, how: &'static str) -> Self {
        Self { name, how, measure: Kind::Angle, quantity: Some(quantity), mark: Mark::Of(quantity), step }
    }

    /// The same dimension as another sort of number.
    pub(crate) const fn measured(self, measure: Kind) -> Self {
        Self { measure, ..self }
    }

    /// The same dimension with another mark on the drawing.
    pub(crate) const fn marked(self, mark: Mark) -> Self {
        Self { mark, ..self }
    }
}

/// A value with its unit, lengths as [`length_text`] writes them.
pub(crate) fn show(kind: Kind, value: f64, units: Units) -> String {
    if kind == Kind::Length { length_text(value, units) } else { units.show(kind, value) }
}

/// Numbers as a list is typed: the unit stands once, behind the last.
pub(crate) fn written(values: &[f64], measure: Kind, units: Units) -> String {
    let texts: Vec<String> = values.iter().map(|&value| show(measure, value, units)).collect();
    texts.join(", ")
}

/// The numbers of a list, smallest first; whatever stands between commas or semicolons is one. `present` is what was shown.
pub(crate) fn read_list(
    text: &str,
    present: &[f64],
    measure: Kind,
    units: Units,
) -> Result<Vec<f64>, String> {
    let mut values = Vec::new();
    for item in text.split([',', ';', '\n']).map(str::trim).filter(|item| !item.is_empty()) {
        // A number that was left as it is shown keeps the digits that are not.
        let kept = present.iter().copied().find(|&value| show(measure, value, units) == item);
        let value = kept.map_or_else(|| units.read(measure, item), Ok)?;
        let (least, most) = if measure == Kind::Angle { (-30.0, 180.0) } else { (0.0, 1000.0) };
        if !(least..=most).contains(&value) {
            let [value, least, most] = [value, least, most].map(|value| show(measure, value, units));
            return Err(format!(
                "{value} is not between {least} and {most}. Write commas between the numbers: 60, 85."
            ));
        }
        values.push(value);
    }
    values.sort_by(f64::total_cmp);
    values.dedup();
    Ok(values)
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "tests may fail loudly")]
mod tests {
    use super::*;

    #[test]
    fn a_list_is_read_sorted_and_without_doubles() {
        let read = |text: &str| read_list(text, &[], Kind::Length, Units::default());
        assert_eq!(read("85, 60; 85").unwrap(), [60.0, 85.0]);
        assert_eq!(read("  ").unwrap(), [0.0; 0]);
        assert_eq!(read("6 cm, 85 mm").unwrap(), [60.0, 85.0]);
        assert!(read("60, long").is_err());
        assert!(read("60, -5").unwrap_err().contains("not between"));
    }

    #[test]
    fn a_shown_list_can_be_parsed_again() {
        let values = vec![15.0, 37.5, 90.0];
        let text = written(&values, Kind::Angle, Units::default());
        assert_eq!(read_list(&text, &[], Kind::Angle, Units::default()).unwrap(), values);
    }

    #[test]
    fn a_number_left_as_it_is_shown_keeps_its_hidden_digits() {
        let third = 100.0 / 3.0;
        let read = read_list("33.33 mm, 60", &[third], Kind::Length, Units::default()).unwrap();
        assert_eq!(read, [third, 60.0]);
    }

    #[test]
    fn a_quarter_inch_shows_its_hundredths() {
        assert_eq!(length_text(6.35, Units::default()), "6.35 mm");
        assert_eq!(length_text(6.4, Units::default()), "6.4 mm");
    }
}
