//! How alike what is seen in two places is.

/// Pearson's coefficient of correlation of pairs of values, from -1 to 1; none where one side does not vary.
pub(crate) fn correlation(pairs: &[(f64, f64)]) -> Option<f64> {
    let count = pairs.len() as f64;
    let mean = |of: fn(&(f64, f64)) -> f64| pairs.iter().map(of).sum::<f64>() / count;
    let (a, b) = (mean(|p| p.0), mean(|p| p.1));
    let (mut both, mut one, mut other) = (0.0, 0.0, 0.0);
    for (x, y) in pairs {
        both += (x - a) * (y - b);
        one += (x - a) * (x - a);
        other += (y - b) * (y - b);
    }
    let scale = (one * other).sqrt();
    (scale > 0.0).then(|| both / scale)
}
