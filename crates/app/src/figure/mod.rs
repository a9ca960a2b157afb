//! Better faces looked for: where the staves of a panel or the parts of a match could lie so that their figure
//! answers, each with a plan of the whole job that the checker accepts.
//!
//! A worker holds it ([`asked::FaceAsked`]), as it holds what is asked of a size: it makes steps until it is ended.
//!
//! | file | idea |
//! |---|---|
//! | `wanted` | which faces there are, and where each part is seen in its face |
//! | `known` | maps of faces of boards, and tiles that read them |
//! | `shapes` | of which staves a panel could be glued up, so that its halves can answer |
//! | `wood` | where a part may lie, and what lies apart |
//! | `planned` | a proposal made into a plan of the whole job |
//! | `words`, `card_words` | measures and places in words, and what a face that was found is cut from |
//! | `judge` | how good the figure of a whole plan is, for whoever compares plans |
//! | `contradictions` | what of a wish cannot be met, before anything is looked for |
//! | `doubts` | what speaks against photographs |
//! | `why_not`, `notes` | what is not known, and why there is nothing to look for |
//! | `finder` | proposals, step by step |
//! | [`asked`] | the search, step by step, and what it has found so far |

pub mod asked;
mod card_words;
pub(crate) mod contradictions;
pub(crate) mod doubts;
mod finder;
mod judge;
pub(crate) mod known;
pub(crate) mod likeness;
pub mod maps;
pub(crate) mod notes;
mod planned;
pub(crate) mod shapes;
#[cfg(test)]
mod tests;
pub(crate) mod wanted;
pub(crate) mod why_not;
mod wood;
pub(crate) mod words;

pub use judge::{figure_words, judge_figure, judge_like};
