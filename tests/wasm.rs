//! The engine on this machine and in the browser: the same bytes in, the same bytes out.
//!
//! In: a small stand map in an agency's own columns, its crosswalk, a rule book from a statute. Out: proof that the
//! engine answers in a page as it does natively, down to the pixel, and that what crosses to JavaScript are plain
//! objects. `cargo www test --only wasm` runs this natively first and hands the digest of all answers to the browser.

use hostwood::boundary::{BookBytes, Session};
use hostwood::geometry::{LngLat, Outlines};
use serde_json::{Value, json};

#[cfg(target_arch = "wasm32")]
use wasm_bindgen_test::{wasm_bindgen_test, wasm_bindgen_test_configure};
#[cfg(target_arch = "wasm32")]
wasm_bindgen_test_configure!(run_in_browser);

const STANDS: &[u8] = include_bytes!("e2e/fixtures/codes/stands.geojson");
const CROSSWALK: &[u8] = include_bytes!("e2e/fixtures/codes/crosswalk.json");
const RULES: &[u8] = include_bytes!("e2e/fixtures/rules/south-tyrol.rules.json");

/// A Saturday with an even date.
const DAY: &str = "2026-09-12";

fn as_told<T: serde::de::DeserializeOwned>(told: Value) -> T {
    serde_json::from_value(told).expect("what a page would send")
}

/// The engine with everything read, given the map in pieces of `piece` bytes.
fn opened(piece: usize) -> Session {
    let mut session = Session::default();
    session
        .begin_stands(Some(CROSSWALK))
        .expect("the crosswalk is read");
    for bytes in STANDS.chunks(piece) {
        session.push_stands(bytes).expect("the map is read");
    }
    session.finish_stands().expect("the map is whole");
    let book = BookBytes {
        name: String::from("south-tyrol"),
        bytes: Some(RULES.to_vec()),
    };
    assert_eq!(session.set_rules(&[book]).mistakes, []);
    session
        .set_visit(&as_told(json!({ "day": DAY, "visitor": { "resident": false } })))
        .expect("the visit");
    session
}

/// Everything the engine says and draws of the map, one line each.
fn answers(session: &mut Session) -> Vec<String> {
    let mut told = Vec::new();
    for view in ["roots", "wood", "litter"] {
        let query = as_told(json!({ "sort": "potential", "descending": true, "view": view, "limit": 50 }));
        let page = session.list(&query).expect("a page of the list");
        told.push(serde_json::to_string(&page).expect("a page as JSON"));
        for (stand, scheme) in [("7001", "light"), ("7002", "dark"), ("7003", "light")] {
            let options = as_told(json!({ "languages": ["en"], "view": view }));
            let sheet = session.sheet(stand, &options).expect("a sheet");
            told.push(serde_json::to_string(&sheet).expect("a sheet as JSON"));
            let options = as_told(
                json!({ "size": 256, "ratio": 1.5, "view": view, "scheme": scheme, "selected": stand }),
            );
            // The tile of the Web Mercator pyramid that holds 11.31° E, 46.705° N.
            told.push(format!(
                "{:016x}",
                digest(&session.tile(14, 8706, 5782, &options))
            ));
        }
    }
    told.push(String::from_utf8(session.to_geojson().expect("the assessed map")).expect("UTF-8"));
    told
}

/// FNV-1a, 64 bits: enough to tell two answers apart.
fn digest(bytes: &[u8]) -> u64 {
    bytes.iter().fold(0xcbf2_9ce4_8422_2325, |hash, &byte| {
        (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3)
    })
}

/// One degree by one degree on the equator of WGS 84 (a = 6 378 137 m, f = 1/298.257223563), between parallels as
/// RFC 7946 section 3.1.1 draws lines: 12 308 463 893.975 m² by the authalic integral of Snyder 1987, Map Projections:
/// A Working Manual, eq. 3-12, times b² and the width in radians.
#[cfg_attr(target_arch = "wasm32", wasm_bindgen_test)]
#[cfg_attr(not(target_arch = "wasm32"), test)]
fn areas_are_those_of_the_ellipsoid() {
    let mut outlines = Outlines::new();
    let ring = vec![[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0], [0.0, 0.0]];
    let stand = outlines.push(&[vec![ring]]);
    let area = outlines.area(stand).expect("an outline has an area").get();
    assert!((area - 1_230_846.389_397_5).abs() < 0.000_1, "{area} ha");
    assert!(outlines.contains(stand, LngLat { lng: 0.5, lat: 0.5 }));
    assert!(!outlines.contains(stand, LngLat { lng: 1.5, lat: 0.5 }));
}

#[cfg_attr(target_arch = "wasm32", wasm_bindgen_test)]
#[cfg_attr(not(target_arch = "wasm32"), test)]
fn a_map_read_in_any_pieces_is_the_same_map() {
    let assessed = |piece| opened(piece).to_geojson().expect("the assessed map");
    let whole = assessed(usize::MAX);
    for piece in [1, 7, 64, 1000] {
        assert!(assessed(piece) == whole, "pieces of {piece} bytes");
    }
}

/// Prints the digest natively; in the browser, holds it against the one that was printed.
#[cfg_attr(target_arch = "wasm32", wasm_bindgen_test)]
#[cfg_attr(not(target_arch = "wasm32"), test)]
fn the_browser_is_told_what_this_machine_is_told() {
    let told = answers(&mut opened(64));
    assert!(told[0].contains("Pinus sylvestris"), "{}", told[0]);
    let drawn: Vec<&String> = told.iter().filter(|line| line.len() == 16).collect();
    assert!(
        drawn.len() == 9 && drawn.windows(2).any(|pair| pair[0] != pair[1]),
        "all tiles are alike: {drawn:?}"
    );
    let own: Vec<String> = told
        .iter()
        .map(|line| format!("{:016x}", digest(line.as_bytes())))
        .collect();
    let own = own.join(" ");
    if cfg!(target_arch = "wasm32") {
        let Some(native) = option_env!("HOSTWOOD_NATIVE_ANSWERS") else {
            panic!("the native answers are handed over by `cargo www test --only wasm`");
        };
        assert_eq!(own, native);
    } else {
        println!("native answers: {own}");
    }
}

#[cfg(target_arch = "wasm32")]
mod across {
    //! What crosses to JavaScript.

    use super::{CROSSWALK, DAY, RULES, STANDS};
    use hostwood::wasm::Engine;
    use js_sys::{Array, JSON, Object, Reflect, Uint8Array};
    use wasm_bindgen::JsValue;
    use wasm_bindgen_test::wasm_bindgen_test;

    fn object(text: &str) -> JsValue {
        JSON::parse(text).expect("JSON")
    }

    fn text(value: &JsValue) -> String {
        JSON::stringify(value).expect("a plain value").into()
    }

    fn member(value: &JsValue, name: &str) -> JsValue {
        Reflect::get(value, &name.into()).expect("an object")
    }

    const PLAIN_STANDS: &[u8] = include_bytes!("../examples/plain/stands.geojson");
    const REGION_RULES: &[u8] = include_bytes!("../examples/region/eskenvar.rules.json");

    fn visit(day: &str) -> JsValue {
        let visit = Object::new();
        Reflect::set(&visit, &"day".into(), &day.into()).expect("set");
        Reflect::set(&visit, &"visitor".into(), &Object::new()).expect("set");
        visit.into()
    }

    /// The class that the worker holds, from bytes to image data, with every value crossing to JavaScript and back.
    #[wasm_bindgen_test]
    fn the_engine_takes_bytes_and_gives_plain_objects_and_image_data() {
        let mut engine = Engine::new();
        engine.begin_stands(None, None).expect("begin");
        for chunk in PLAIN_STANDS.chunks(997) {
            engine.push_stands(chunk).expect("push");
        }
        let report = engine.finish_stands().expect("finish");
        let stands = member(&report, "stands").as_f64().expect("a number");
        assert!(stands >= 10.0, "{stands}");

        let book = Object::new();
        Reflect::set(&book, &"name".into(), &"region".into()).expect("set");
        Reflect::set(&book, &"bytes".into(), &Uint8Array::from(REGION_RULES)).expect("set");
        let rules = engine.set_rules(Array::of1(&book)).expect("rules");
        let first = Array::from(&member(&rules, "books")).get(0);
        assert_eq!(member(&first, "state").as_string().as_deref(), Some("read"));

        let refusal = engine.set_visit(visit("2026-02-30")).expect_err("30 February");
        assert_eq!(member(&refusal, "code").as_string().as_deref(), Some("bad-visit"));
        engine.set_visit(visit("2026-09-12")).expect("visit");

        let query = Object::new();
        Reflect::set(&query, &"view".into(), &"roots".into()).expect("set");
        Reflect::set(&query, &"limit".into(), &1.into()).expect("set");
        let page = engine.list(query.into()).expect("list");
        assert_eq!(member(&page, "total").as_f64(), Some(stands));
        let id = member(&Array::from(&member(&page, "rows")).get(0), "id")
            .as_string()
            .expect("an id");
        let sheet = engine.sheet(&id, Object::new().into()).expect("sheet");
        assert_eq!(Array::from(&sheet).length(), 7);

        let options = Object::new();
        for (name, value) in [
            ("size", 256.into()),
            ("ratio", 1.into()),
            ("view", JsValue::from("roots")),
        ] {
            Reflect::set(&options, &name.into(), &value).expect("set");
        }
        let tile = engine.tile(0, 0, 0, options.into()).expect("tile");
        assert_eq!((tile.width(), tile.height()), (256, 256));
    }

    fn opened() -> Engine {
        let mut engine = Engine::new();
        engine
            .begin_stands(Some(CROSSWALK.to_vec()), None)
            .expect("the crosswalk is read");
        let progress = engine.push_stands(STANDS).expect("the map is read");
        assert_eq!(member(&progress, "bytes").as_f64(), Some(STANDS.len() as f64));
        let report = engine.finish_stands().expect("the map is whole");
        assert_eq!(member(&report, "stands").as_f64(), Some(5.0));
        assert_eq!(member(&report, "withoutOutline").as_f64(), Some(1.0));
        assert!(Array::is_array(&member(&report, "findings")), "{}", text(&report));
        let book = Object::new();
        Reflect::set(&book, &"name".into(), &"south-tyrol".into()).expect("set");
        Reflect::set(&book, &"bytes".into(), &Uint8Array::from(RULES)).expect("set");
        let rules = engine.set_rules(Array::of1(&book)).expect("the books are read");
        assert_eq!(text(&member(&rules, "mistakes")), "[]");
        engine
    }

    #[wasm_bindgen_test]
    fn reports_are_plain_objects() {
        let mut engine = opened();
        let report = engine
            .set_visit(object(&format!(
                r#"{{"day": "{DAY}", "visitor": {{"resident": false}}}}"#
            )))
            .expect("the visit");
        assert_eq!(member(&report, "day").as_string().as_deref(), Some(DAY));
        let prototype = Object::get_prototype_of(&report);
        assert_eq!(
            JsValue::from(prototype),
            JsValue::from(Object::get_prototype_of(&Object::new()))
        );
        assert!(
            member(&member(&report, "answers"), "limits")
                .as_f64()
                .is_some_and(|count| count >= 1.0)
        );
        let sheet = engine
            .sheet("7001", object(r#"{"languages": ["en"], "view": "roots"}"#))
            .expect("a sheet");
        assert!(
            Array::is_array(&sheet) && Array::from(&sheet).length() >= 5,
            "{}",
            text(&sheet)
        );
        assert_eq!(
            engine.stand_at(11.305, 46.7025).as_string().as_deref(),
            Some("7001")
        );
        assert!(engine.stand_at(0.0, 0.0).is_null());
    }

    #[wasm_bindgen_test]
    fn tiles_have_the_side_that_was_asked_for() {
        let mut engine = opened();
        engine
            .set_visit(object(&format!(r#"{{"day": "{DAY}", "visitor": {{}}}}"#)))
            .expect("the visit");
        let options = object(r#"{"size": 256, "ratio": 2, "view": "roots", "scheme": "light"}"#);
        let image = engine.tile(14, 8706, 5782, options).expect("a tile");
        assert_eq!((image.width(), image.height()), (512, 512));
        let pixels = image.data().0;
        assert!(pixels.chunks(4).any(|pixel| pixel[3] == 255), "nothing was drawn");
    }

    /// What is handed to the page is a copy: memory that the engine uses again must not show in it.
    #[wasm_bindgen_test]
    fn tiles_keep_every_pixel_on_their_way_to_the_page() {
        let mut session = super::opened(usize::MAX);
        let mut engine = opened();
        engine
            .set_visit(object(&format!(
                r#"{{"day": "{DAY}", "visitor": {{"resident": false}}}}"#
            )))
            .expect("the visit");
        // Deep inside a stand: every pixel of the tile is drawn.
        let (z, x, y) = (19, 278_608, 185_039);
        let told = r#"{"size": 256, "ratio": 1, "view": "roots", "scheme": "light"}"#;
        let drawn = session.tile(
            z,
            x,
            y,
            &super::as_told(serde_json::from_str(told).expect("JSON")),
        );
        assert!(
            drawn.chunks(4).all(|pixel| pixel[3] == 255),
            "the tile lies at a border"
        );
        let image = engine.tile(z, x, y, object(told)).expect("a tile");
        let differ = image
            .data()
            .0
            .iter()
            .zip(&drawn)
            .filter(|(handed, drawn)| handed != drawn)
            .count();
        assert_eq!(differ, 0, "bytes differ");
    }

    #[wasm_bindgen_test]
    fn what_is_refused_comes_as_a_plain_object() {
        let mut engine = Engine::new();
        engine.begin_stands(None, None).expect("no crosswalk");
        let refused = engine
            .push_stands(b"<!doctype html>")
            .and_then(|_| engine.finish_stands())
            .expect_err("a web page is no map");
        assert!(
            member(&refused, "code")
                .as_string()
                .is_some_and(|code| !code.is_empty())
        );
        let message = member(&refused, "message").as_string().unwrap_or_default();
        assert!(message.contains("web page"), "{message}");
        let mut engine = opened();
        let refused = engine
            .set_visit(object(r#"{"day": "2026-02-30", "visitor": {}}"#))
            .expect_err("no such day");
        let message = member(&refused, "message").as_string().unwrap_or_default();
        assert!(message.contains("2026-02-30"), "{message}");
        // A refusal costs nothing: the engine goes on.
        engine
            .set_visit(object(&format!(r#"{{"day": "{DAY}", "visitor": {{}}}}"#)))
            .expect("the visit");
    }
}
