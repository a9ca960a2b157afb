//! The native command.

fn main() {}
