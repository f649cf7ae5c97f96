//! The stand sheet and list rows as a small tree of what is said.
