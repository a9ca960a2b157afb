//! Generators of boards, parts, jobs and broken plans for tests and benchmarks.
