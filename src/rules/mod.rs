//! A region's rule book: reading, verdicts, mistakes.
