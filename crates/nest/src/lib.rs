//! The two layout engines, their bounds and their common search.
