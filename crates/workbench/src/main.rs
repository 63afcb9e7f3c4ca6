//! The command and the window.
fn main() {}
