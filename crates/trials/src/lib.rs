//! Published instances, and the goals, proofs and searches that only they need.
