//! Groups of digits, and what a point between them may mean.

/// At least one digit and nothing else.
pub(crate) fn all_digits(text: &str) -> bool {
    !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit())
}

/// One to three digits: what may stand before a thousands sign.
pub(super) fn is_first_group(text: &str) -> bool {
    all_digits(text) && text.len() <= 3
}

/// Exactly three digits: what stands behind a thousands sign.
pub(super) fn is_group(text: &str) -> bool {
    all_digits(text) && text.len() == 3
}

/// Whether a point stands before exactly three digits, where it may part thousands as well as
/// decimals.
pub(super) fn may_part_thousands(digits: &str) -> bool {
    digits.split_once('.').is_some_and(|(before, after)| {
        is_first_group(before) && is_group(after) && !before.starts_with('0')
    })
}
