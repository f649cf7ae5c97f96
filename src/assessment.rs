//! For one visit: each stand with its potential and its verdict.
