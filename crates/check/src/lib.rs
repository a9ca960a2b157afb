//! The independent checker of plans, whole and incremental.
