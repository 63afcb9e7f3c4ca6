//! The rows of `reference/published_checks.csv`: published values with their sources and tolerances.

const ROWS: &str = include_str!("../reference/published_checks.csv");

/// A row's numbers, in order.
#[derive(Debug)]
pub struct Row {
    /// Of its inputs.
    pub inputs: Vec<f64>,
    /// Of what is expected.
    pub expected: Vec<f64>,
    /// Of its tolerance.
    pub tolerance: Vec<f64>,
}

/// Every row's id, in order.
pub fn ids() -> impl Iterator<Item = &'static str> {
    ROWS.lines().skip(1).filter_map(|line| line.split(',').next())
}

/// The fields of an id's row; they may stand in quotes.
fn fields(id: &str) -> Vec<String> {
    let line = ROWS.lines().find(|line| line.split(',').next() == Some(id));
    let line = line.unwrap_or_else(|| panic!("no row {id}"));
    let (mut fields, mut quoted) = (vec![String::new()], false);
    for c in line.chars() {
        match c {
            '"' => quoted = !quoted,
            ',' if !quoted => fields.push(String::new()),
            c => {
                if let Some(field) = fields.last_mut() {
                    field.push(c);
                }
            }
        }
    }
    fields
}

/// The row of an id.
///
/// # Panics
/// Where there is no such row.
#[must_use]
pub fn row(id: &str) -> Row {
    let fields = fields(id);
    Row { inputs: numbers(&fields[2]), expected: numbers(&fields[3]), tolerance: numbers(&fields[4]) }
}

/// The source of an id's row.
///
/// # Panics
/// Where there is no such row.
#[must_use]
pub fn source(id: &str) -> String {
    fields(id).swap_remove(5)
}

/// Every number of a text in order; `49d27m` is 49 degrees and 27 minutes.
#[must_use]
pub fn numbers(text: &str) -> Vec<f64> {
    let word = |c: char| c.is_ascii_digit() || matches!(c, '.' | '-' | 'd' | 'm');
    text.split(|c: char| !word(c))
        .filter_map(|word| match word.split_once('d') {
            Some((degrees, minutes)) => {
                let minutes: f64 = minutes.trim_end_matches('m').parse().ok()?;
                Some(degrees.parse::<f64>().ok()? + minutes / 60.0)
            }
            None => word.trim_end_matches('.').parse().ok(),
        })
        .collect()
}

/// Fails unless a number is within a tolerance of what is expected.
///
/// # Panics
/// Then.
#[track_caller]
pub fn near(got: f64, expected: f64, tolerance: f64, what: &str) {
    assert!((got - expected).abs() <= tolerance, "{what}: {got} for {expected} ± {tolerance}");
}
