//! A stand's fruiting potential, with its reasons.
