//! What need not be written to a file, since reading puts it back.

/// Nothing is not written.
#[allow(clippy::trivially_copy_pass_by_ref, reason = "serde hands fields over by reference")]
pub(super) fn is_zero(value: &f64) -> bool {
    *value == 0.0
}

/// What a new one has is not written.
pub(super) fn is_default<T: Default + PartialEq>(value: &T) -> bool {
    *value == T::default()
}
