//! Laws that hold for every shape, tried on random ones and on a zoo of degenerate ones.

mod clipping;
mod distances;
mod flattening;
mod outlines;
mod pieces;
mod search_shapes;
mod shapes;
