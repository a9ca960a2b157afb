//! Builds, tests, serves and measures the project.

fn main() {}
