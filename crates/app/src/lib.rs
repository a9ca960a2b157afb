//! The job on the floor with everything that can be done to it: plain Rust, without a browser.
