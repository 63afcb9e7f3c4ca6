//! Lessons: built on their page, shown over the whole window.

mod build;
mod play;
mod step;

pub use build::{LessonRequest, LessonState, lesson_page};
pub use play::{Play, play_page};
