//! Builds, serves and tests the element.

fn main() {}
