//! Faulty stand maps: what is refused as a whole, what is left out, what is mended, each with the exact words.

use hostwood::knowledge::Knowledge;
use hostwood::standmap::read;

/// A map of these features.
fn map(features: &str) -> String {
    format!("{{\"type\":\"FeatureCollection\",\"features\":[{features}]}}")
}

/// A feature with this geometry.
fn stand(geometry: &str) -> String {
    format!("{{\"type\":\"Feature\",\"id\":\"a\",\"geometry\":{geometry},\"properties\":{{}}}}")
}

/// A square stand with these properties.
fn square(properties: &str) -> String {
    format!(
        "{{\"type\":\"Feature\",\"geometry\":{{\"type\":\"Polygon\",\"coordinates\":[[[10,50],[10.001,50],\
         [10.001,50.001],[10,50.001],[10,50]]]}},\"properties\":{properties}}}"
    )
}

/// What is said of a map: the refusal, or the findings after the number of stands and of those with an outline.
fn said(text: &str) -> Vec<String> {
    match read(text.as_bytes(), None, Knowledge::shipped()) {
        Err(refused) => vec![format!("{}: {refused}", refused.code)],
        Ok(reading) => {
            let stands = reading.map.stands.len();
            let outlined = reading
                .map
                .stands
                .iter()
                .filter(|stand| stand.place.is_some())
                .count();
            let findings = reading
                .findings
                .iter()
                .map(|finding| format!("{}: {finding}", finding.code));
            std::iter::once(format!("{stands} stands, {outlined} outlined"))
                .chain(findings)
                .collect()
        }
    }
}

#[test]
fn faults_are_told_where_they_are_and_what_was_done() {
    let sq = square(r#"{"id":"s"}"#);
    let grid = r#"{"type":"Polygon","coordinates":[[[385000.5,6672000],[385100,6672000],[385100,6672100],[385000.5,6672000]]]}"#;
    let nest = format!(r#"{{"id":"s","x":{}1{}}}"#, "[".repeat(31), "]".repeat(31));
    let nest_ok = format!(r#"{{"id":"s","x":{}1{}}}"#, "[".repeat(30), "]".repeat(30));
    let long = format!(r#"{{"id":"s","name":"{}"}}"#, "ö".repeat(300));
    let mut told = String::new();
    for (fault, text) in [
        ("empty file", "".to_owned()),
        ("TopoJSON", r#"{"type":"Topology","objects":{},"arcs":[]}"#.to_owned()),
        ("lower-case type of the file", r#"{"type":"featurecollection","features":[]}"#.to_owned()),
        ("features missing", r#"{"type":"FeatureCollection"}"#.to_owned()),
        ("features null", r#"{"type":"FeatureCollection","features":null}"#.to_owned()),
        ("features an object", r#"{"type":"FeatureCollection","features":{}}"#.to_owned()),
        ("no type at all", r#"{"features":[]}"#.to_owned()),
        ("another reference system", r#"{"type":"FeatureCollection","features":[],"crs":{"type":"name","properties":{"name":"EPSG:3067"}}}"#.to_owned()),
        ("crs that is not JSON", r#"{"type":"FeatureCollection","features":[],"crs":nope}"#.to_owned()),
        ("two collections", r#"{"type":"FeatureCollection","features":[]} {"type":"FeatureCollection","features":[]}"#.to_owned()),
        ("cut inside the second feature", format!("{{\"type\":\"FeatureCollection\",\"features\":[{sq},{}", &sq[..60])),
        ("metres of a grid", map(&stand(grid))),
        ("metres of a grid, many stands", map(&vec![stand(grid); 9].join(","))),
        ("no features", map("")),
        ("one sound stand", map(&sq)),
        ("one stand in metres among degrees", map(&format!("{sq},{}", stand(grid)))),
        ("null geometry", map(&stand("null"))),
        ("a point among stands", map(&format!("{},{sq}", stand(r#"{"type":"Point","coordinates":[1,2]}"#)))),
        ("lines only", map(&stand(r#"{"type":"LineString","coordinates":[[1,2],[3,4]]}"#))),
        ("lower-case geometry type", map(&stand(r#"{"type":"polygon","coordinates":[]}"#))),
        ("misspelt geometry type", map(&stand(r#"{"type":"Polygone","coordinates":[]}"#))),
        ("geometry without type", map(&stand(r#"{"coordinates":[]}"#))),
        ("geometry a number", map(&stand("7"))),
        ("geometry a text", map(&stand(r#""POLYGON((1 2))""#))),
        ("no rings", map(&stand(r#"{"type":"Polygon","coordinates":[]}"#))),
        ("an empty ring", map(&stand(r#"{"type":"Polygon","coordinates":[[]]}"#))),
        ("positions of one number", map(&stand(r#"{"type":"Polygon","coordinates":[[[0],[1],[2],[0]]]}"#))),
        ("numbers as texts among coordinates", map(&stand(r#"{"type":"Polygon","coordinates":[[["25.1",60],[25.2,60],[25.2,60.1],["25.1",60]]]}"#))),
        ("null among coordinates", map(&stand(r#"{"type":"Polygon","coordinates":[[[null,60],[25.2,60],[25.2,60.1],[25.1,60]]]}"#))),
        ("NaN among coordinates", map(&stand(r#"{"type":"Polygon","coordinates":[[[NaN,60],[25.2,60],[25.2,60.1],[25.1,60]]]}"#))),
        ("a ring as a Polygon", map(&stand(r#"{"type":"Polygon","coordinates":[[25.2,60],[25.2,60.1],[25.1,60]]}"#))),
        ("a Polygon as a MultiPolygon", map(&stand(r#"{"type":"MultiPolygon","coordinates":[[[25.2,60],[25.2,60.1],[25.1,60]]]}"#))),
        ("unequal depth", map(&stand(r#"{"type":"Polygon","coordinates":[[[25.2,60],[25.2,60.1],[[25.1,60]]]]}"#))),
        ("a huge number", map(&stand(r#"{"type":"Polygon","coordinates":[[[1e300,60],[25.2,60.1],[25.1,60],[1e300,60]]]}"#))),
        ("a number too large for JSON", map(&format!("{},{sq}", stand(r#"{"type":"Polygon","coordinates":[[[1e999,60],[25.2,60.1],[25.1,60],[1e999,60]]]}"#)))),
        ("ring of three points", map(&stand(r#"{"type":"Polygon","coordinates":[[[25.1,60],[25.2,60],[25.1,60]]]}"#))),
        ("unclosed ring", map(&stand(r#"{"type":"Polygon","coordinates":[[[25.1,60],[25.2,60],[25.2,60.1]]]}"#))),
        ("a border that crosses itself", map(&stand(r#"{"type":"Polygon","coordinates":[[[25,60],[25.1,60.1],[25.1,60],[25,60.1],[25,60]]]}"#))),
        ("hole outside", map(&stand(r#"{"type":"Polygon","coordinates":[[[25,60],[25.1,60],[25.1,60.1],[25,60]],[[26,61],[26.1,61],[26.1,61.1],[26,61]]]}"#))),
        ("axes swapped for certain", map(&stand(r#"{"type":"Polygon","coordinates":[[[36,139],[36,139.1],[36.1,139.1],[36,139]]]}"#))),
        ("one stand with swapped axes", map(&format!("{sq},{}", stand(r#"{"type":"Polygon","coordinates":[[[36,139],[36,139.1],[36.1,139.1],[36,139]]]}"#)))),
        ("axes perhaps swapped, beyond the globe as given", map(&stand(r#"{"type":"Polygon","coordinates":[[[36,89],[36,91],[36.1,91],[36,89]]]}"#))),
        ("axes swapped, then plausible either way", map(&format!("{},{}", stand(r#"{"type":"Polygon","coordinates":[[[36,139],[36,139.1],[36.1,139.1],[36,139]]]}"#), stand(r#"{"type":"Polygon","coordinates":[[[36,89],[36,89.1],[36.1,89.1],[36,89]]]}"#).replace("\"a\"", "\"b\"")))),
        ("features behind record separators", format!("\u{1e}{}\n\u{1e}{}\n", square(r#"{"id":"a"}"#), square(r#"{"id":"b"}"#))),
        ("a sequence with one bad feature", format!("{}\n{{\"type\":\"Feature\",\"geometry\":1e}}\n{}\n", square(r#"{"id":"a"}"#), square(r#"{"id":"b"}"#))),
        ("GeometryCollection with a polygon", map(&stand(r#"{"type":"GeometryCollection","geometries":[{"type":"Point","coordinates":[1,2]},{"type":"Polygon","coordinates":[[[25,60],[25.1,60],[25.1,60.1],[25,60]]]}]}"#))),
        ("GeometryCollection without", map(&stand(r#"{"type":"GeometryCollection","geometries":[{"type":"Point","coordinates":[1,2]}]}"#))),
        ("lower-case feature type", map(&format!("{sq},{}", sq.replace("Feature", "feature")))),
        ("feature without type", map(&format!("{sq},{{\"geometry\":null}}"))),
        ("members that are no objects", map(&format!("{sq},null,12,\"x\",[1]"))),
        ("bare geometry among features", map(&format!("{sq},{{\"type\":\"Point\",\"coordinates\":[1,2]}}"))),
        ("the same id twice", map(&format!("{sq},{sq}"))),
        ("the same id as number and text", map(&format!("{},{}", square(r#"{"id":1}"#), square(r#"{"id":"1"}"#)))),
        ("id an object", map(&format!("{},{}", square(r#"{"id":{"a":1}}"#), square(r#"{"id":"2","age":30}"#)))),
        ("properties an array", map(&square("[1]"))),
        ("properties null", map(&square("null"))),
        ("nested too deep", map(&square(&nest))),
        ("nested as deep as allowed", map(&square(&nest_ok))),
        ("a long name", map(&square(&long))),
        ("NaN in properties", map(&square(r#"{"id":"s","age":NaN}"#))),
        ("comma before a bracket", map(&square(r#"{"id":"s","age":30,}"#))),
        ("malformed number", map(&format!("{sq},{}", square("{\"id\":\"t\",\n\"height\":1e-14.0}")))),
        ("lone surrogate", map(&format!("{sq},{}", square(r#"{"id":"t","name":"\ud800"}"#)))),
        ("age in words", map(&square(r#"{"id":"s","age":"old"}"#))),
        ("age of 4000", map(&square(r#"{"id":"s","age":4000}"#))),
        ("age below nothing", map(&square(r#"{"id":"s","age":-5}"#))),
        ("numbers as texts", map(&square(r#"{"id":"s","age":"80","canopy":"0.7"}"#))),
        ("canopy in percent", map(&square(r#"{"id":"s","canopy":70}"#))),
        ("unknown word, and a range of words", map(&square(r#"{"id":"s","moisture":"swampy","soil_reaction":["acid","neutral"]}"#))),
        ("names in capitals", map(&square(r#"{"id":"s","Species":"Picea abies","AGE":30}"#))),
        ("planting year alone", map(&square(r#"{"id":"s","planted":1990}"#))),
        ("planting year in words", map(&square(r#"{"id":"s","planted":"spring"}"#))),
        ("a designation that is no text", map(&square(r#"{"id":"s","designation":["a",["b"]]}"#))),
        ("an attribute that is no value", map(&square(r#"{"id":"s","attributes":{"a":[1]}}"#))),
        ("trees without name, and with more", map(&square(r#"{"id":"s","trees":[{"share":0.5},{"name":"Fagus","age":3}]}"#))),
        ("trees a number", map(&square(r#"{"id":"s","trees":7}"#))),
        ("names of JavaScript's objects", map(&square(r#"{"id":"s","species":"Fagus sylvatika","__proto__":{"x":1},"constructor":"y"}"#))),
        ("comma after the last feature", map(&format!("{sq},"))),
        ("features line by line", format!("{}\n{}\n", square(r#"{"id":"a"}"#), square(r#"{"id":"b"}"#))),
        ("bare geometry", r#"{"type":"Polygon","coordinates":[[[25,60],[25.1,60],[25.1,60.1],[25,60]]]}"#.to_owned()),
    ] {
        let said = said(&text).join("\n    ").replace("\nheight", "\\nheight");
        told.push_str(&format!("{fault}\n    {said}\n"));
    }
    insta::assert_snapshot!(told);
}
