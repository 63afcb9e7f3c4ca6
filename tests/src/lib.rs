//! Shared fixtures of the checks.
