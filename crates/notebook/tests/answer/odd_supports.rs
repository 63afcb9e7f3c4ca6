//! What is said of a shape agrees with how the tool is held.

use approx::assert_relative_eq;
use bevelbench_notebook::{
    answer::swept::{NotSwept, Swept, swept},
    saved::{Bench, file::read_bench},
};

const BENCH: &str = include_str!("../../../../tests/reference/benches/odd_supports.bench.ron");

fn shape(bench: &Bench, name: &str) -> Result<Swept, NotSwept> {
    let entry = bench.settings.iter().find(|entry| entry.name == name).unwrap();
    let (job, view) = bench.answer(entry).unwrap();
    swept(&job, &view, entry.swing.as_ref(), 201)
}

#[test]
fn a_gouge_on_a_table_rolls_about_its_own_axis_whatever_the_roll_centre_of_a_pivot() {
    let bench = read_bench(BENCH).unwrap();
    let at_0 = shape(&bench, "Gouge on the table, roll centre 0").unwrap();
    let at_2 = shape(&bench, "Gouge on the table, roll centre 2").unwrap();
    assert_eq!(at_0.points().len(), at_2.points().len());
    for (a, b) in at_0.points().iter().zip(at_2.points()) {
        assert_relative_eq!(a.s_mm, b.s_mm, epsilon = 1e-12);
    }
    // The wings are really ground back: two edges that are alike because nothing is ground would not do.
    let wing = at_0.points().last().unwrap();
    assert!(wing.s_mm > 0.5, "{}", wing.s_mm);
}

#[test]
fn a_round_nose_on_a_pivot_is_not_called_swung_flat_on_a_table() {
    let bench = read_bench(BENCH).unwrap();
    let refused = shape(&bench, "Scraper in a holder").unwrap_err();
    assert!(matches!(refused, NotSwept::RoundNoseOffTable { radius_mm } if (radius_mm - 20.0).abs() < 1e-12));
}
