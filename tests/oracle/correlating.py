"""How alike pictures are at every shift by scipy's correlation, what was not seen left out (Padfield 2012)."""

import numpy
from scipy.signal import correlate


def farthest_apart(case: dict) -> tuple[float, float]:
    """How far our values are from scipy's at most, and the greatest of scipy's."""
    small, large = picture(case, "small"), picture(case, "large")
    (a, m), (b, n) = masked(small), masked(large)

    def sums(first: numpy.ndarray, second: numpy.ndarray) -> numpy.ndarray:
        return correlate(second, first, mode="valid", method="fft")

    count = numpy.round(sums(m, n))
    safe = numpy.maximum(count, 1)
    of_a, of_b = sums(a, n), sums(m, b)
    spread = (sums(a * a, n) - of_a**2 / safe) * (sums(m, b * b) - of_b**2 / safe)
    covariance = sums(a, b) - of_a * of_b / safe
    theirs = covariance / numpy.sqrt(numpy.maximum(spread, 1e-12))
    theirs[count < case["least"]] = 0
    ours = numpy.array(case["alike"]).reshape(theirs.shape)
    return float(numpy.abs(ours - theirs).max()), float(theirs.max())


def picture(case: dict, name: str) -> numpy.ndarray:
    values = [numpy.nan if v is None else v for v in case[name]]
    return numpy.array(values).reshape(-1, case[name + "_columns"])


def masked(values: numpy.ndarray) -> tuple[numpy.ndarray, numpy.ndarray]:
    seen = numpy.isfinite(values)
    return numpy.where(seen, values, 0.0), seen.astype(float)
