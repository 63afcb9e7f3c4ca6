//! The steps of undo as text, kept beside a bench so that they outlive the window.
//!
//! A step holds a name and how the bench before it differs from the one that stands above it in the row: what the
//! two share at either end is left out, so a slider's step is a few hundred bytes.

use serde::{Deserialize, Serialize};

/// Most bytes of differences that are kept; the oldest steps go first.
pub const MOST_BYTES: usize = 1 << 20;

/// How one text is made from another.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Patch {
    /// Bytes both begin with.
    front: usize,
    /// Bytes both end with.
    back: usize,
    /// What stands in between.
    middle: String,
}

impl Patch {
    /// What makes `wanted` from `known`.
    #[must_use]
    pub fn new(known: &str, wanted: &str) -> Self {
        let (a, b) = (known.as_bytes(), wanted.as_bytes());
        let mut front = a.iter().zip(b).take_while(|(a, b)| a == b).count();
        while !(known.is_char_boundary(front) && wanted.is_char_boundary(front)) {
            front -= 1;
        }
        let mut back =
            a[front..].iter().rev().zip(b[front..].iter().rev()).take_while(|(a, b)| a == b).count();
        while !(known.is_char_boundary(a.len() - back) && wanted.is_char_boundary(b.len() - back)) {
            back -= 1;
        }
        Self { front, back, middle: wanted[front..b.len() - back].to_owned() }
    }

    /// The wanted text, if this patch fits the known one.
    #[must_use]
    pub fn apply(&self, known: &str) -> Option<String> {
        let end = known.len().checked_sub(self.back).filter(|end| *end >= self.front)?;
        Some([known.get(..self.front)?, &self.middle, known.get(end..)?].concat())
    }

    /// How much room it takes.
    #[must_use]
    pub fn bytes(&self) -> usize {
        self.middle.len() + 32
    }
}

/// A step that is kept.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct UndoStep {
    /// What it is called.
    pub label: String,
    /// What makes the bench on the step's other side from the one nearer to the present.
    pub patch: Patch,
}

/// The steps that can be undone and done again, and the bench they lead to.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct UndoSteps {
    /// The bench they were kept with, as text.
    pub present: String,
    /// What can be undone, the newest last.
    pub past: Vec<UndoStep>,
    /// What can be done again, the next one last.
    pub future: Vec<UndoStep>,
}

/// The file, with its form.
#[derive(Debug, Serialize, Deserialize)]
enum UndoStepsFile {
    S1(UndoSteps),
}

impl UndoSteps {
    /// As text; the oldest steps are left out where there are too many.
    ///
    /// # Errors
    /// The serialiser's own reason.
    pub fn write(mut self) -> Result<String, String> {
        drop_oldest(&mut self.past, MOST_BYTES);
        drop_oldest(&mut self.future, MOST_BYTES);
        ron::to_string(&UndoStepsFile::S1(self)).map_err(|error| error.to_string())
    }

    /// From text; nothing where it makes no sense or another program's form.
    #[must_use]
    pub fn read(text: &str) -> Option<Self> {
        let UndoStepsFile::S1(steps) = ron::from_str(text).ok()?;
        Some(steps)
    }

    /// The steps as they stand on a bench that was found on disk: the present one, one that they lead through, or one that
    /// is a single save younger than `before`, which they lead through. None when they belong to another bench.
    #[must_use]
    pub fn on(self, found: &str, before: Option<&str>) -> Option<Self> {
        let found = found.trim_end();
        let is = |text: &str, other: &str| text.trim_end() == other.trim_end();
        if is(&self.present, found) {
            return Some(self);
        }
        let row = self.row()?;
        if let Some(at) = row.iter().position(|(_, text)| is(text, found)) {
            return Some(Self::at(&row, at));
        }
        let at = row.iter().position(|(_, text)| before.is_some_and(|before| is(text, before)))?;
        let mut steps = Self::at(&row, at);
        let patch = Patch::new(found, &steps.present);
        steps.past.push(UndoStep { label: "What was changed last".to_owned(), patch });
        steps.future.clear();
        found.clone_into(&mut steps.present);
        Some(steps)
    }

    /// Every bench they lead through, the oldest first, each with the name of the step that follows.
    fn row(&self) -> Option<Vec<(String, String)>> {
        let mut older = Vec::new();
        let mut text = self.present.clone();
        for step in self.past.iter().rev() {
            text = step.patch.apply(&text)?;
            older.push((step.label.clone(), text.clone()));
        }
        older.reverse();
        let mut names: Vec<String> = self.future.iter().rev().map(|step| step.label.clone()).collect();
        names.push(String::new());
        let mut texts = vec![self.present.clone()];
        let mut text = self.present.clone();
        for step in self.future.iter().rev() {
            text = step.patch.apply(&text)?;
            texts.push(text.clone());
        }
        older.extend(names.into_iter().zip(texts));
        Some(older)
    }

    /// The steps seen from one bench of the row.
    fn at(row: &[(String, String)], at: usize) -> Self {
        let step = |label: &str, from: &str, to: &str| UndoStep {
            label: label.to_owned(),
            patch: Patch::new(from, to),
        };
        let past = row[..=at].windows(2).map(|pair| step(&pair[0].0, &pair[1].1, &pair[0].1)).collect();
        let later = row[at..].windows(2).map(|pair| step(&pair[0].0, &pair[0].1, &pair[1].1));
        Self { present: row[at].1.clone(), past, future: later.rev().collect() }
    }
}

fn drop_oldest(steps: &mut Vec<UndoStep>, room: usize) {
    let mut used = 0;
    let fits = |step: &&UndoStep| {
        used += step.patch.bytes() + step.label.len();
        used <= room
    };
    let kept = steps.iter().rev().take_while(fits).count();
    steps.drain(..steps.len() - kept);
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn steps(texts: &[&str], at: usize) -> UndoSteps {
        let row: Vec<_> = texts
            .iter()
            .enumerate()
            .map(|(index, text)| {
                let last = index + 1 == texts.len();
                (if last { String::new() } else { format!("step {index}") }, (*text).to_owned())
            })
            .collect();
        UndoSteps::at(&row, at)
    }

    fn names(steps: &[UndoStep]) -> Vec<&str> {
        steps.iter().map(|step| step.label.as_str()).collect()
    }

    #[test]
    fn the_steps_stand_on_whichever_bench_of_the_row_is_found() {
        let texts = ["a 1 z", "a 2 z", "a 33 z", "b 33 z"];
        for kept_at in 0..4 {
            for found in 0..4 {
                let stood = steps(&texts, kept_at).on(texts[found], None).unwrap();
                assert_eq!(stood, steps(&texts, found), "kept at {kept_at}, found {found}");
                assert_eq!((stood.past.len(), stood.future.len()), (found, 3 - found));
            }
        }
    }

    #[test]
    fn a_bench_one_save_younger_gets_a_step_back_to_the_one_before_it() {
        let stood = steps(&["one", "two", "three"], 2).on("four", Some("three\n")).unwrap();
        assert_eq!(names(&stood.past), ["step 0", "step 1", "What was changed last"]);
        assert_eq!(stood.past[2].patch.apply("four").unwrap(), "three");
        assert_eq!(stood.present, "four");
    }

    #[test]
    fn steps_of_another_bench_are_not_taken() {
        assert_eq!(steps(&["one", "two"], 1).on("other", Some("another")), None);
        assert_eq!(steps(&["one", "two"], 1).on("other", None), None);
    }

    #[test]
    fn corrupt_patches_give_no_steps_and_no_panic() {
        for text in
            ["", "S2(())", "S1((present: \"x\"))", "\0", "S1((present:\"a\",past:[(label:\"x\")],future:[]))"]
        {
            assert_eq!(UndoSteps::read(text), None, "{text}");
        }
        let patch = Patch { front: 7, back: 7, middle: "x".to_owned() };
        let odd = UndoSteps {
            present: "short".to_owned(),
            past: vec![UndoStep { label: String::new(), patch }],
            future: vec![],
        };
        assert_eq!(odd.on("other", None), None);
    }

    #[test]
    fn the_oldest_steps_go_first_where_there_is_no_room_for_all() {
        let big = "x".repeat(MOST_BYTES / 3);
        let texts: Vec<String> = (0..6).map(|index| format!("{index}{big}{index}")).collect();
        let texts: Vec<&str> = texts.iter().map(String::as_str).collect();
        let written = steps(&texts, 5).write().unwrap();
        let read = UndoSteps::read(&written).unwrap();
        assert_eq!(names(&read.past), ["step 3", "step 4"]);
        assert!(written.len() < 2 * MOST_BYTES, "{}", written.len());
        assert_eq!(read.past[1].patch.apply(texts[5]).unwrap(), texts[4]);
    }

    proptest! {
        #[test]
        fn any_text_is_made_from_any_other(a in "[aä€\n]{0,12}", b in "[aä€\n]{0,12}") {
            prop_assert_eq!(Patch::new(&a, &b).apply(&a), Some(b));
        }

        #[test]
        fn a_patch_that_does_not_fit_is_refused_or_applied(front in 0..9usize, back in 0..9usize, known in "[aä€]{0,4}") {
            if let Some(made) = (Patch { front, back, middle: String::new() }).apply(&known) {
                prop_assert_eq!(made.len(), front + back);
            }
        }
    }
}
