//! Day and place to a position in the season, and daylight.
