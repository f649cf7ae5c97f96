//! Reads an agency's stand map, by description.

mod finding;
mod scan;
mod unreadable;
