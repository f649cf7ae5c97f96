//! All that can be odd in a stand map, one a row: the code that findings and refusals carry, what it means, and what
//! its publisher can do. Codes never change their meaning. In goes nothing, out comes the table; where each was met is
//! told by the findings.

/// Whether a code stands with a finding or with a refusal of the whole map.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// The map was read.
    Finding,
    /// The map was refused.
    Refusal,
    /// One feature was left out, or the map was refused where the fault lies outside its features.
    Either,
}

/// One row of the table.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Cause {
    /// The code.
    pub code: &'static str,
    /// Where it stands.
    pub kind: Kind,
    /// What was met, and what was done about it.
    pub means: &'static str,
    /// What the publisher of the map can do.
    pub cure: &'static str,
}

const fn cause(code: &'static str, kind: Kind, means: &'static str, cure: &'static str) -> Cause {
    Cause {
        code,
        kind,
        means,
        cure,
    }
}

/// All causes, by code.
#[rustfmt::skip]
pub const CAUSES: &[Cause] = &[
    cause("ambiguous-tree", Kind::Finding, "A tree's name means different trees in different languages; it counts as any of them", "Name the map's language in the crosswalk, or write scientific names"),
    cause("area-changed", Kind::Finding, "A repair changed the area of a stand by more than one part in a hundred", "Compare the outline with its source"),
    cause("around-globe", Kind::Finding, "A ring goes around a pole or half around the globe; it was left out", "Write the outline again from its source"),
    cause("axes-either-way", Kind::Finding, "In either order of their two numbers, positions lie in the area of the grid; easting was taken to stand first", "Give `region` in a crosswalk"),
    cause("axes-swapped", Kind::Finding, "The two numbers of positions stand in the other order; they were exchanged", "Write longitude or easting first"),
    cause("bad-composition", Kind::Finding, "A composition such as `7SO 3DB` does not follow the writing that the crosswalk gives", "Correct the text, or `order` in the crosswalk"),
    cause("bad-coordinates", Kind::Finding, "Something that is no number, or nested otherwise than the geometry's type says, stands among the coordinates", "Write the outline again from its source"),
    cause("bad-properties", Kind::Finding, "`properties` is neither an object nor null", "Write an object"),
    cause("bad-share", Kind::Finding, "A share is no part of one", "Correct the share, or its unit in the crosswalk"),
    cause("bad-type", Kind::Finding, "A feature or geometry has no type, or one that GeoJSON does not know; or a geometry stands bare among features", "Correct the type; capitals matter"),
    cause("bad-value", Kind::Finding, "A value is not what its column may hold; it counts as not known", "Correct the value, or leave it out where it is not known"),
    cause("compressed", Kind::Refusal, "The file is an archive, is damaged, or grows beyond measure on unpacking", "Publish GeoJSON, plain or as gzip"),
    cause("converted", Kind::Finding, "The map is in another reference system and was turned into longitude and latitude; says how good that is", "Publish longitude and latitude (WGS 84)"),
    cause("crosses-antimeridian", Kind::Finding, "A ring jumps from one side of the globe to the other; it was drawn on past 180 degrees", "Nothing need be done"),
    cause("crossing-not-checked", Kind::Finding, "A border is so long and winding that the search for crossings was given up", "Simplify the outline"),
    cause("crs", Kind::Refusal, "The reference system is none that can be converted, or is named after the features", "Name it by its EPSG code before the features, or in the crosswalk"),
    cause("crs-differs", Kind::Finding, "Map and crosswalk name different reference systems; the crosswalk was followed", "Correct the one that is wrong"),
    cause("duplicate-id", Kind::Finding, "An id was given to a stand before; the later one got a number", "Give every stand its own id"),
    cause("empty", Kind::Refusal, "The file is empty", "Check the address and the upload"),
    cause("encoding", Kind::Refusal, "The file is not UTF-8 or UTF-16, and no crosswalk names its encoding", "Save it again as UTF-8, or name its encoding in the crosswalk"),
    cause("encoding-differs", Kind::Finding, "The crosswalk names an encoding, and the file looks like another", "Take `encoding` out of the crosswalk, or correct it"),
    cause("garbled-letters", Kind::Finding, "Letters are UTF-8 that a program took for a one-byte encoding; they were mended", "Export the map again and give UTF-8 as the encoding of its source"),
    cause("guessed-property", Kind::Finding, "A property of the plain form is written with other capitals", "Write it as the plain form does"),
    cause("hidden-letters", Kind::Finding, "A text has letters that cannot be seen, such as turns of direction; they were left out", "Take them out of the source"),
    cause("hole-is-shell", Kind::Finding, "A hole is the same as its outer ring; the hole was left out", "Clean the outline in the source"),
    cause("hole-outside", Kind::Finding, "A hole lies outside its outer ring; it became a part of its own", "Publish it as a `MultiPolygon`"),
    cause("limit-bytes", Kind::Finding, "The file is larger than is read; what lies beyond was left out", "Clip the map or simplify its outlines"),
    cause("limit-positions", Kind::Finding, "The map has more positions than are read", "Split the map, or simplify its outlines"),
    cause("limit-stands", Kind::Finding, "The map has more stands than are read", "Split the map"),
    cause("long-name", Kind::Finding, "A name is longer than is kept; it was cut", "Shorten it"),
    cause("nan", Kind::Finding, "The word NaN or Infinity stands in place of a number; it counts as missing", "Write `null`"),
    cause("no-id", Kind::Finding, "A stand has no id; its place in the file became its id", "Give every stand an id that lasts"),
    cause("no-outline", Kind::Finding, "A stand has no usable outline; it stays in the list", "Add its outline"),
    cause("no-polygons", Kind::Finding, "No feature of the map has a usable polygon", "Check which layer was exported"),
    cause("no-reference-year", Kind::Finding, "Stands have a planting year, and no year is known to count from", "Add `reference_year`"),
    cause("no-stands", Kind::Finding, "The map has no features", "Check the export"),
    cause("not-assessed", Kind::Finding, "Fewer than half of the stands tell a value, so it is assessed for none", "Tell it for at least half of the stands"),
    cause("not-geojson", Kind::Refusal, "The file is JSON, but no feature collection", "Write the features as a `FeatureCollection`"),
    cause("not-in-grid", Kind::Refusal, "The positions do not lie where the named reference system is used", "Name the reference system that the numbers are in"),
    cause("not-json", Kind::Either, "A feature, or the file, is not JSON at the place that is named", "Have it written by a GeoJSON writer"),
    cause("not-lonlat", Kind::Refusal, "The positions are no degrees, and no reference system is named; the grids that they would fit are told", "Export longitude and latitude, or name the reference system"),
    cause("off-globe", Kind::Finding, "A position is not on the globe; the stand stays in the list", "Correct the outline"),
    cause("off-grid", Kind::Finding, "A position does not lie where the named reference system is used; the stand stays in the list", "Correct the outline"),
    cause("one-byte-letters", Kind::Finding, "The file is in the one-byte encoding that the crosswalk names; it was read as such", "Save it again as UTF-8"),
    cause("other-layer", Kind::Finding, "A layer of a TopoJSON file has no polygons", "Nothing need be done"),
    cause("outline-too-large", Kind::Finding, "One stand has more positions or rings than one stand can have", "Simplify or split it"),
    cause("outside-region", Kind::Finding, "A stand lies outside the region that the crosswalk gives", "Check the reference system, or widen `region`"),
    cause("overlap", Kind::Finding, "Stands lie on one another", "Check whether layers of a stand were exported as stands"),
    cause("packed", Kind::Finding, "The file itself is gzip; it was unpacked", "Let the server send `Content-Encoding: gzip`"),
    cause("rows-without-stand", Kind::Finding, "Rows of a joined table belong to no feature of the map", "Export map and table of the same day, or correct the table's `key`"),
    cause("self-crossing", Kind::Finding, "A border crosses itself; it is filled by the even-odd rule, and its area is uncertain", "Clean the outline in the source"),
    cause("shares-inconsistent", Kind::Finding, "The shares of a layer add up to much more or less than the whole; they were scaled, and have no middle value", "Correct the shares, or the unit in the crosswalk"),
    cause("shares-scaled", Kind::Finding, "The shares of a layer add up to a little more than the whole; they were scaled", "Nothing need be done"),
    cause("shell-lost", Kind::Finding, "The outer ring of a polygon cannot be used; the polygon was left out", "Write the outline again from its source"),
    cause("sliver", Kind::Finding, "A stand is too small or too narrow to be one", "Dissolve it into its neighbour"),
    cause("spikes", Kind::Finding, "A border goes out to a tip and back on the same line; the tip was left out", "Clean the outline in the source"),
    cause("stands-without-rows", Kind::Finding, "Stands have no row in a joined table", "Export map and table of the same day, or correct the table's `key`"),
    cause("stray-comma", Kind::Finding, "A comma is too many or missing; the features were read all the same", "Have the file written by a GeoJSON writer"),
    cause("tangled", Kind::Finding, "A border crosses itself in more places than any stand's does; the polygon was left out", "Write the outline again from its source"),
    cause("too-deep", Kind::Either, "Objects or arrays are nested too deep", "Flatten them"),
    cause("too-few-points", Kind::Finding, "A ring has fewer than three different positions; it was left out", "Write the outline again from its source"),
    cause("too-large", Kind::Either, "A feature, or what stands beside the features, is larger than is read", "Simplify or split it"),
    cause("too-long", Kind::Finding, "A text or list of a property is longer than is kept; it was cut", "Keep such texts out of the map"),
    cause("too-many-trees", Kind::Finding, "A stand has more trees than are kept", "Put the rarest together as a group"),
    cause("topojson", Kind::Refusal, "The TopoJSON file cannot be read, or has several layers of polygons", "Publish the layer of stands in a file of its own"),
    cause("tree-without-name", Kind::Finding, "A tree has no name; its share is unnamed", "Give each tree a scientific name, a genus or a group"),
    cause("truncated", Kind::Refusal, "The file ends too early", "Upload it again"),
    cause("unclosed-ring", Kind::Finding, "A ring does not end where it began; it was closed", "End each ring at its first position"),
    cause("unknown-column", Kind::Finding, "No feature has a property that the crosswalk names", "Correct the name in the crosswalk"),
    cause("unknown-member", Kind::Finding, "A tree of the plain form has a member that nothing reads", "Leave it out"),
    cause("unknown-tree", Kind::Finding, "A tree's name or code is not known; it counts as not known", "Write a scientific name, or add the code to the crosswalk"),
    cause("unmapped-code", Kind::Finding, "A code stands in no list of the crosswalk; it counts as not known", "Add it to the crosswalk"),
    cause("utf-16", Kind::Finding, "The file is UTF-16; it was read as such", "Save it again as UTF-8"),
    cause("wrong-geometry", Kind::Finding, "A feature is a point or a line; it was left out", "A stand is a polygon"),
    cause("zero-area", Kind::Finding, "A ring has no area; it was left out", "Write the outline again from its source"),
];

/// Whether a code stands in the table.
pub(super) fn is_known(code: &str) -> bool {
    CAUSES.binary_search_by(|cause| cause.code.cmp(code)).is_ok()
}
