use std::collections::BTreeSet;

use bevelbench_geometry::{
    math::{Kind, Quantity},
    side::{SET, Target, uncertainty::READINGS},
    solve::FITTED,
};

use super::*;
use crate::{
    answer::{bench::Unanswered, finding::BevelQuery},
    saved::library::demo_bench,
};

/// The demo bench with each of its settings as the current one, and what may be turned of it.
fn each_turned() -> Vec<(Bench, Quantity)> {
    let demo = demo_bench().unwrap();
    let mut all = Vec::new();
    for entry in &demo.settings {
        for quantity in turned(&demo, entry) {
            all.push((Bench { current: Some(entry.clone()), ..demo.clone() }, quantity));
        }
    }
    all
}

#[test]
fn rows_stand_in_the_order_of_the_quantities_and_share_no_name() {
    assert!(TABLE.windows(2).all(|two| two[0].quantity < two[1].quantity));
    let names: [fn(&Row) -> &'static str; 4] = [
        |row| crate::saved::names::file_name(row.quantity).unwrap(),
        |row| row.label,
        |row| row.key,
        |row| row.word,
    ];
    for name in names {
        let names: BTreeSet<&str> = TABLE.iter().map(name).collect();
        assert_eq!(names.len(), TABLE.len(), "{names:?}");
        assert!(names.iter().all(|name| !name.is_empty()));
    }
}

#[test]
fn label_is_the_words_of_a_sentence_and_the_key_carries_the_unit() {
    for row in TABLE {
        let words = row.quantity.words();
        assert_eq!(row.label.to_lowercase(), words, "{row:?}");
        assert!(row.label.starts_with(char::is_uppercase) && row.how.len() > 30, "{row:?}");
        assert!(row.how.ends_with('.') && row.step > 0.0, "{row:?}");
        let unit = if row.quantity.kind() == Kind::Angle { "_deg" } else { "_mm" };
        assert!(row.key.ends_with(unit), "{row:?}");
        assert!(row.word.chars().all(|c| c.is_ascii_lowercase() || c == '-'), "{row:?}");
    }
}

#[test]
fn what_the_geometry_knows_has_a_row_that_says_so() {
    let known = |is: fn(&Row) -> bool| -> Vec<Quantity> {
        TABLE.iter().filter(|row| is(row)).map(|row| row.quantity).collect()
    };
    assert_eq!(known(|row| row.read.is_some()), READINGS);
    assert_eq!(known(|row| row.fitted), FITTED);
    assert!(SET.into_iter().all(OnBench::is_found));
    assert!(further().all(|quantity| SET.contains(&quantity)));
    assert!(found().all(|quantity| row(quantity).unwrap().turned.is_some()));
}

#[test]
fn every_quantity_that_is_turned_can_be_set_and_read_back() {
    let mut seen = BTreeSet::new();
    for (mut bench, quantity) in each_turned() {
        let (least, most) = quantity.range(&bench).unwrap_or_else(|| panic!("{quantity}: no range"));
        let before = quantity.get(&bench).unwrap();
        for value in [least, f64::midpoint(least, most), most] {
            quantity.set(&mut bench, value);
            assert_eq!(quantity.get(&bench), Some(value), "{quantity}");
            // Within its range a value is never refused as a dimension, whatever else stands in its way.
            let refused = bench.job_of(bench.current.as_ref().unwrap());
            assert!(!matches!(refused, Err(Unanswered::Part { .. })), "{quantity} {value}: {refused:?}");
        }
        quantity.set(&mut bench, before);
        seen.insert(quantity);
    }
    let all: BTreeSet<Quantity> =
        TABLE.iter().filter(|row| row.turned.is_some()).map(|row| row.quantity).collect();
    assert_eq!(seen, all, "the demo bench has a setting for each");
}

#[test]
fn every_quantity_that_moves_the_bevel_is_found_again_from_its_bevel() {
    let mut found = BTreeSet::new();
    for (bench, quantity) in each_turned().into_iter().filter(|(_, quantity)| SET.contains(quantity)) {
        let entry = bench.current.as_ref().unwrap();
        let (_, view) = bench.answer(entry).unwrap();
        let query = BevelQuery::of(&bench, entry, Target::AtEdge(view.bevel()), None).unwrap();
        let answers = query.find(&[quantity], false).unwrap().solutions.answers;
        let own = quantity.get(&bench).unwrap();
        let again = answers.iter().filter_map(|answer| answer.value_of(quantity));
        assert!(again.into_iter().any(|value| (value - own).abs() < 1e-6), "{}: {quantity}", entry.name);
        found.insert(quantity);
    }
    assert_eq!(found, SET.into_iter().collect());
}
