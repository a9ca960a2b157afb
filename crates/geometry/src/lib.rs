//! Points, outlines, exact distances, arcs and tolerances for layouts on boards.
