//! The plain rules that the search is measured against.
