//! The shapes that cross to JavaScript, and plain functions over them, tested natively.
