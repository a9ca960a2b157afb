//! Noise at places, by formula: the same that invented logs are made of.

pub(super) use heartside_figure::noise::{Noise, blend, blended, lit, smooth};
