"""How alike pictures are at every shift by scipy's correlation, what was not seen counted as nothing (Lewis 1995)."""

import numpy
from scipy.signal import correlate


def farthest_apart(case: dict) -> tuple[float, float]:
    """How far our values are from scipy's at most, as it is and turned, and the greatest of scipy's."""
    small, large = picture(case, "small"), picture(case, "large")
    (a, _), (b, seen) = with_mask(small), with_mask(large)
    ones = numpy.ones_like(a)

    def sums(first: numpy.ndarray, second: numpy.ndarray) -> numpy.ndarray:
        return correlate(second, first, mode="valid", method="fft")

    count = numpy.round(sums(ones, seen))
    energy = numpy.maximum((a * a).sum() * sums(ones, b * b), 1e-12)
    scale = numpy.sqrt(count / a.size / energy)
    scale[count < case["least"]] = 0
    apart, greatest = 0.0, 0.0
    for name, block in [("alike", a), ("turned", a[::-1, ::-1])]:
        theirs = sums(block, b) * scale
        ours = numpy.array(case[name]).reshape(theirs.shape)
        apart = max(apart, float(numpy.abs(ours - theirs).max()))
        greatest = max(greatest, float(theirs.max()))
    return apart, greatest


def picture(case: dict, name: str) -> numpy.ndarray:
    values = [numpy.nan if v is None else v for v in case[name]]
    return numpy.array(values).reshape(-1, case[name + "_columns"])


def with_mask(values: numpy.ndarray) -> tuple[numpy.ndarray, numpy.ndarray]:
    seen = numpy.isfinite(values)
    return numpy.where(seen, values, 0.0), seen.astype(float)
