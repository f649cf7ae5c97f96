//! Reads an agency's stand map, by description.
