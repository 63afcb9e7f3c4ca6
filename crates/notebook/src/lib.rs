//! What the workbench keeps and prints: benches as files, answers from them, sentences, drawings and pages in
//! millimetres. Nothing here knows a window or a toolkit.
//!
//! # Wings
//!
//! Each uses only those above it in this list; `quantity` and `store` use none.
//!
//! * [`quantity`]: lengths, angles and speeds as people read and write them.
//! * [`store`]: text files that outlive a crash, and steps of undo beside them.
//! * [`saved`]: what a bench file holds, as plain data; the library and the demo bench.
//! * [`answer`]: from the saved form to the geometry's answers, and what follows from them: finding, wear, logs, fits.
//! * [`words`]: sentences for refusals, cautions, answers and steps, each with its numbers and its remedy.
//! * [`drawing`]: shapes in millimetres with roles instead of colours; SVG and PNG.
//! * [`paper`]: cards, charts, gauges and sheets; PDF.
//!
//! # Example
//!
//! ```
//! use bevelbench_notebook::{
//!     drawing::side_view::{SideLook, side_view},
//!     quantity::{LengthUnit, length_text},
//!     saved::library::demo_bench,
//! };
//!
//! let bench = demo_bench()?;
//! let entry = &bench.settings[0];
//! let (job, view) = bench.answer(entry).map_err(|why| format!("{why:?}"))?;
//! let mm = |length: f64| length_text(length, LengthUnit::Millimetre);
//! assert!((10.0..90.0).contains(&view.bevel().degrees()));
//! let drawing = side_view(&job, &view, &SideLook::new(&mm, &mm));
//! assert!(drawing.bounds().is_some_and(|bounds| bounds.width() > 100.0));
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

#![forbid(unsafe_code)]

pub mod answer;
pub mod drawing;
pub mod paper;
pub mod quantity;
pub mod saved;
pub mod store;
pub mod words;
