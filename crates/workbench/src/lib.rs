//! The workbench: the window, and the same jobs from the command line, as a library that tests can drive without either.
//!
//! # Wings
//!
//! * [`model`]: bench in hand, answer, history, files; knows no toolkit.
//! * [`toolkit`]: theme, canvas, widgets; uses `model`.
//! * [`pages`]: what fills the window; uses `model` and `toolkit`.
//! * [`shell`]: the window around the pages; uses all three.
//! * [`command`]: the command line; uses none but `model`, and no toolkit.
//!
//! # Example
//!
//! ```
//! use bevelbench::model::session::Session;
//! use bevelbench_notebook::saved::library::demo_bench;
//!
//! let mut session = Session::new(demo_bench()?);
//! session.edit("Rename the bench", |bench| bench.title = "Evening class".to_owned());
//! assert_eq!(session.bench().title, "Evening class");
//! session.undo();
//! assert_ne!(session.bench().title, "Evening class");
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

#![forbid(unsafe_code)]

pub mod command;
pub mod model;
pub mod pages;
pub mod shell;
pub mod toolkit;
