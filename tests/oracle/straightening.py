"""Where OpenCV finds the corners of a board in a photograph, by the same marks."""

import cv2
import numpy


def farthest(case: dict) -> float:
    """How far apart the two straightenings are at most, in millimetres, at what is seen of the corners."""
    places = numpy.array([mark["place"] for mark in case["marks"]])
    seen = numpy.array([mark["seen"] for mark in case["marks"]])
    # OpenCV stops after ten steps, which is too few in millimetres and pixels: both are brought to about 1 first,
    # the board's length and width apart, the picture's not, so that distances in it count as they are.
    board = scaling(places.mean(axis=0), places.std(axis=0))
    picture = scaling(seen.mean(axis=0), numpy.full(2, seen.std()))
    # Least squares over all marks, of distances in the picture as ours: its second argument.
    view, _ = cv2.findHomography(moved(places, board), moved(seen, picture), 0)
    spots = moved(numpy.array([corner["seen"] for corner in case["corners"]]), picture)
    theirs = moved(moved(spots, numpy.linalg.inv(view)), numpy.linalg.inv(board))
    ours = numpy.array([corner["place"] for corner in case["corners"]])
    return float(numpy.linalg.norm(ours - theirs, axis=1).max())


def scaling(middle: numpy.ndarray, unit: numpy.ndarray) -> numpy.ndarray:
    """What brings a middle to 0 and units to 1."""
    (x, y), (u, v) = middle, unit
    return numpy.array([[1 / u, 0, -x / u], [0, 1 / v, -y / v], [0, 0, 1]])


def moved(points: numpy.ndarray, by: numpy.ndarray) -> numpy.ndarray:
    return cv2.perspectiveTransform(points[None], by)[0]
