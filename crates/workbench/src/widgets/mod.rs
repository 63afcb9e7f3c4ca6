//! The window's own widgets: labelled for screen readers, reached by the keyboard, dressed by the theme.

pub mod stride;
