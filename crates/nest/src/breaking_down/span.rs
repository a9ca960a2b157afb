//! A blank in the row of those that may move.

/// How far a part may step aside as it moves, in millimetres, tried in turn: waney sides slant,
/// so what lies against one is stopped by it at once.
pub(super) const ASIDE: [f64; 9] = [0.0, -0.1, 0.1, -0.5, 0.5, -2.0, 2.0, -5.0, 5.0];

/// A blank in the row. Positions grow towards the end to which blanks move.
#[derive(Debug, Clone, Copy)]
pub(super) struct Span {
    pub(super) placement: usize,
    pub(super) low: f64,
    pub(super) high: f64,
    /// How far it may move, for each step aside.
    pub(super) free: [f64; ASIDE.len()],
    /// The board itself was asked; otherwise only its box.
    pub(super) is_looked_at: bool,
}

impl Span {
    /// The most of these.
    pub(super) fn most_free(&self) -> f64 {
        self.free.iter().copied().fold(0.0, f64::max)
    }
}
