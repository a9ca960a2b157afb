//! Outlines, marked areas and lines along the grain, drawn on the floor by pointer and keys.
//!
//! Nothing of a drawing is in the job before it is taken: then it is one edit.
//!
//! | file | idea |
//! |---|---|
//! | `line` | points, and what runs between them |
//! | `sketch` | what is drawn, step by step, by pointer |
//! | `orders`, `typed` | the same without one, and by numbers |
//! | `drawing`, `stepping` | what a session holds of it, and what is done to it |
//! | `sound` | whether it encloses something, and what is wrong |
//! | `shown` | how it is seen |
//! | `begun` | what is there already, as lines |
//! | `taken` | lines as the job keeps them |

mod begun;
mod drawing;
mod line;
mod orders;
mod shown;
mod sketch;
mod sound;
mod stepping;
mod taken;
#[cfg(test)]
mod tests;
mod typed;

pub(super) use drawing::Drawing;
