//! Which empty boards take which parts: asked for thousands of times, so kept as bits.

/// A table of yes and no, a row for each board and, turned round, a row for each part.
#[derive(Debug, Clone)]
pub(crate) struct Takes {
    boards: Bits,
    parts: Bits,
}

impl Takes {
    /// The table of what `takes(board, part)` answers. O(boards x parts).
    pub(crate) fn new(boards: usize, parts: usize, takes: impl Fn(usize, usize) -> bool) -> Takes {
        let mut table = Takes {
            boards: Bits::new(boards, parts),
            parts: Bits::new(parts, boards),
        };
        for board in 0..boards {
            for part in (0..parts).filter(|part| takes(board, *part)) {
                table.boards.set(board, part);
                table.parts.set(part, board);
            }
        }
        table
    }

    /// True where the board takes the part.
    pub(crate) fn takes(&self, board: usize, part: usize) -> bool {
        self.boards.is_set(board, part)
    }

    /// How many of these boards take the part. O(boards / 64).
    pub(crate) fn takers(&self, part: usize, boards: &Chosen) -> usize {
        let both = self.parts.row(part).iter().zip(&boards.words);
        both.map(|(a, b)| (a & b).count_ones() as usize).sum()
    }

    /// How many boards take the part.
    pub(crate) fn all_takers(&self, part: usize) -> usize {
        let row = self.parts.row(part).iter();
        row.map(|word| word.count_ones() as usize).sum()
    }

    /// Those of these parts that the board takes, in order.
    pub(crate) fn taken<'a>(
        &'a self,
        board: usize,
        parts: &'a Chosen,
    ) -> impl Iterator<Item = usize> + 'a {
        let both = self.boards.row(board).iter().zip(&parts.words);
        both.enumerate().flat_map(|(place, (a, b))| {
            let mut word = a & b;
            std::iter::from_fn(move || {
                let bit = word.trailing_zeros() as usize;
                word &= word.wrapping_sub(1);
                (bit < 64).then_some(64 * place + bit)
            })
        })
    }
}

/// Some of the boards, or of the parts.
#[derive(Debug, Clone)]
pub(crate) struct Chosen {
    words: Vec<u64>,
}

impl Chosen {
    /// Those named, each below `count`.
    pub(crate) fn of(count: usize, named: impl IntoIterator<Item = usize>) -> Chosen {
        let mut words = vec![0; count.div_ceil(64)];
        for place in named {
            words[place / 64] |= 1 << (place % 64);
        }
        Chosen { words }
    }
}

/// Rows of bits, each beginning a word of its own.
#[derive(Debug, Clone)]
struct Bits {
    words: Vec<u64>,
    words_a_row: usize,
}

impl Bits {
    fn new(rows: usize, columns: usize) -> Bits {
        let words_a_row = columns.div_ceil(64);
        Bits {
            words: vec![0; rows * words_a_row],
            words_a_row,
        }
    }

    fn row(&self, row: usize) -> &[u64] {
        &self.words[row * self.words_a_row..(row + 1) * self.words_a_row]
    }

    fn set(&mut self, row: usize, column: usize) {
        self.words[row * self.words_a_row + column / 64] |= 1 << (column % 64);
    }

    fn is_set(&self, row: usize, column: usize) -> bool {
        self.words[row * self.words_a_row + column / 64] & (1 << (column % 64)) != 0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_said_is_answered() {
        let takes = |board: usize, part: usize| (board * 7 + part * 3) % 5 < 2;
        let (boards, parts) = (70, 130);
        let table = Takes::new(boards, parts, takes);
        let some_boards = Chosen::of(boards, (0..boards).filter(|b| b % 3 == 0));
        let some_parts = Chosen::of(parts, (0..parts).filter(|p| p % 4 != 1));
        for part in 0..parts {
            let all = (0..boards).filter(|b| takes(*b, part)).count();
            let some = (0..boards).filter(|b| b % 3 == 0 && takes(*b, part));
            assert_eq!(table.all_takers(part), all);
            assert_eq!(table.takers(part, &some_boards), some.count());
        }
        for board in 0..boards {
            assert!((0..parts).all(|p| table.takes(board, p) == takes(board, p)));
            let wanted: Vec<usize> = (0..parts)
                .filter(|p| p % 4 != 1 && takes(board, *p))
                .collect();
            assert_eq!(table.taken(board, &some_parts).collect::<Vec<_>>(), wanted);
        }
    }
}
