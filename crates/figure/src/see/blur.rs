//! Smoothing at any scale in the same time.

/// A plane smoothed as by a Gaussian of `sigma` pixels: three running means each way (Wells 1986).
/// Beyond its sides the outermost values go on.
pub(crate) fn blurred(plane: &[f32], width: usize, sigma: f64) -> Vec<f32> {
    // The variance of a mean over n is (n² - 1) / 12, and three of them add up.
    let radius = (((4.0 * sigma * sigma + 1.0).sqrt() - 1.0) / 2.0).round() as usize;
    let mut values = plane.to_vec();
    if radius == 0 || width == 0 {
        return values;
    }
    let height = values.len() / width;
    let mut line = Vec::new();
    for _ in 0..3 {
        for row in values.chunks_exact_mut(width) {
            line.clear();
            line.extend_from_slice(row);
            mean(&line, radius, |at, value| row[at] = value);
        }
        for column in 0..width {
            line.clear();
            line.extend((0..height).map(|row| values[row * width + column]));
            mean(&line, radius, |at, value| {
                values[at * width + column] = value
            });
        }
    }
    values
}

/// The mean over `radius` to either side, place by place.
pub(crate) fn mean(line: &[f32], radius: usize, mut put: impl FnMut(usize, f32)) {
    let Some(last) = line.len().checked_sub(1) else {
        return;
    };
    let share = 1.0 / (2 * radius + 1) as f64;
    let at = |place: isize| f64::from(line[place.clamp(0, last as isize) as usize]);
    let reach = radius as isize;
    let mut sum: f64 = (-reach..=reach).map(at).sum();
    for place in 0..=last {
        put(place, (sum * share) as f32);
        sum += at(place as isize + reach + 1) - at(place as isize - reach);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keeps_the_sum_and_spreads_by_sigma() {
        let (width, height) = (61, 61);
        let mut plane = vec![0.0; width * height];
        plane[30 * width + 30] = 1.0;
        let smooth = blurred(&plane, width, 5.5);
        let sum: f64 = smooth.iter().map(|v| f64::from(*v)).sum();
        assert!((sum - 1.0).abs() < 1e-3, "{sum}");
        let spread: f64 = (0..width * height)
            .map(|i| {
                ((i % width) as f64 - 30.0) * ((i % width) as f64 - 30.0) * f64::from(smooth[i])
            })
            .sum();
        assert!((spread.sqrt() - 5.5).abs() < 0.1, "{}", spread.sqrt());
    }
}
