//! What more than one benchmark of the command needs.

/// Value of an option such as `--jobs 20` of the program, or what stands in for it.
pub(crate) fn given<T: std::str::FromStr>(name: &str, otherwise: T) -> T {
    let mut arguments = std::env::args().skip_while(|a| a != name);
    arguments
        .nth(1)
        .and_then(|n| n.parse().ok())
        .unwrap_or(otherwise)
}

/// The middle of some numbers.
pub(crate) fn median(numbers: &mut [f64]) -> Option<f64> {
    numbers.sort_by(f64::total_cmp);
    numbers.get(numbers.len() / 2).copied()
}
