//! The tables: rows of one case stand together, inputs first.

use std::{
    cell::{Cell, RefCell},
    collections::BTreeMap,
};

/// One case of a table.
#[derive(Debug)]
pub(crate) struct Case {
    pub(crate) name: String,
    given: BTreeMap<String, String>,
    expected: BTreeMap<String, (f64, f64)>,
    compared: RefCell<Vec<String>>,
    worst: Cell<f64>,
}

/// The cases of a table.
pub(crate) fn cases(table: &str) -> Vec<Case> {
    let mut cases: Vec<Case> = Vec::new();
    let mut lines = table.lines();
    assert_eq!(lines.next(), Some("case,quantity,value,tolerance"));
    for line in lines {
        let [name, quantity, value, tolerance] = line.split(',').collect::<Vec<_>>()[..] else {
            panic!("{line}")
        };
        if cases.last().is_none_or(|case| case.name != name) {
            assert!(cases.iter().all(|case| case.name != name), "{name} stands in two places");
            cases.push(Case {
                name: name.into(),
                given: BTreeMap::new(),
                expected: BTreeMap::new(),
                compared: RefCell::default(),
                worst: Cell::default(),
            });
        }
        let case = cases.last_mut().unwrap();
        let twice = if tolerance == "given" {
            case.given.insert(quantity.into(), value.into()).is_some()
        } else {
            let row = (value.parse().unwrap(), tolerance.parse().unwrap());
            case.expected.insert(quantity.into(), row).is_some()
        };
        assert!(!twice, "{line}");
    }
    assert!(!cases.is_empty());
    cases
}

impl Case {
    /// A word that is given.
    #[track_caller]
    pub(crate) fn word(&self, name: &str) -> &str {
        self.given.get(name).unwrap_or_else(|| panic!("{}: no {name}", self.name))
    }

    /// Whether something is given.
    pub(crate) fn gives(&self, name: &str) -> bool {
        self.given.contains_key(name)
    }

    /// A number that is given.
    #[track_caller]
    pub(crate) fn number(&self, name: &str) -> f64 {
        self.word(name).parse().unwrap()
    }

    /// Whether a value is to be compared.
    pub(crate) fn expects(&self, name: &str) -> bool {
        self.expected.contains_key(name)
    }

    /// The value of a row, without comparing it.
    #[track_caller]
    pub(crate) fn expected(&self, name: &str) -> f64 {
        self.expected[name].0
    }

    /// The tolerance of a row.
    #[track_caller]
    pub(crate) fn tolerance(&self, name: &str) -> f64 {
        self.expected[name].1
    }

    /// Compares a value with its row.
    #[track_caller]
    pub(crate) fn near(&self, name: &str, got: f64) {
        self.compared.borrow_mut().push(name.into());
        let (value, tolerance) =
            self.expected.get(name).unwrap_or_else(|| panic!("{}: no row {name}", self.name));
        let off = (got - value).abs();
        self.worst.set(self.worst.get().max(off / tolerance));
        assert!(
            off <= *tolerance,
            "{} {name}: {got} for {value}, off {off:e} where {tolerance:e} is allowed",
            self.name
        );
    }

    /// How many values are to be compared.
    pub(crate) fn count(&self) -> usize {
        self.expected.len()
    }

    /// Fails for a row that was left out. Gives back the worst fraction of a tolerance.
    #[track_caller]
    pub(crate) fn all_compared(&self) -> f64 {
        let compared = self.compared.borrow();
        let left: Vec<_> = self.expected.keys().filter(|name| !compared.contains(name)).collect();
        assert!(left.is_empty(), "{}: not compared: {left:?}", self.name);
        self.worst.get()
    }
}

/// A table that was worked through: how many cases, and that none was empty.
#[track_caller]
#[allow(clippy::print_stdout, reason = "how near the tolerances are, for who wants to see it")]
pub(crate) fn worked_through(cases: &[Case], at_least: usize) {
    assert!(cases.len() >= at_least, "{} cases", cases.len());
    let worst = cases.iter().map(Case::all_compared).fold(0.0, f64::max);
    let rows: usize = cases.iter().map(Case::count).sum();
    // Seen with `--nocapture`.
    println!("{} cases, {rows} values, worst {worst:.2} of its tolerance", cases.len());
}
