//! Annotated GeoJSON and other files to take along.
