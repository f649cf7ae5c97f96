//! The crate as the browser runs it: compiled to WebAssembly, in a page.
//!
//! In: nothing. Out: proof that what holds natively holds there too, above all the numbers, which must not depend on
//! the machine. Run by `cargo www test --only wasm`; on any other target this file is empty.

#![cfg(target_arch = "wasm32")]

use hostwood::geometry::{LngLat, Outlines};
use hostwood::wasm::Engine;
use js_sys::{Array, Object, Reflect, Uint8Array};
use wasm_bindgen::JsValue;
use wasm_bindgen_test::{wasm_bindgen_test, wasm_bindgen_test_configure};

wasm_bindgen_test_configure!(run_in_browser);

/// One degree by one degree on the equator of WGS 84 (a = 6 378 137 m, f = 1/298.257223563), between parallels as
/// RFC 7946 section 3.1.1 draws lines: 12 308 463 893.975 m² by the authalic integral of Snyder 1987, Map Projections:
/// A Working Manual, eq. 3-12, times b² and the width in radians.
#[wasm_bindgen_test]
fn areas_are_those_of_the_ellipsoid() {
    let mut outlines = Outlines::new();
    let stand = outlines.push(&[vec![vec![
        [0.0, 0.0],
        [1.0, 0.0],
        [1.0, 1.0],
        [0.0, 1.0],
        [0.0, 0.0],
    ]]]);
    let area = outlines.area(stand).expect("an outline has an area").get();
    assert!((area - 1_230_846.389_397_5).abs() < 0.000_1, "{area} ha");
    assert!(outlines.contains(stand, LngLat { lng: 0.5, lat: 0.5 }));
    assert!(!outlines.contains(stand, LngLat { lng: 1.5, lat: 0.5 }));
}

const STANDS: &[u8] = include_bytes!("../examples/plain/stands.geojson");
const BOOK: &[u8] = include_bytes!("../examples/region/eskenvar.rules.json");

fn member(object: &JsValue, name: &str) -> JsValue {
    Reflect::get(object, &name.into()).expect("a plain object")
}

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
    engine.begin_stands(None).expect("begin");
    for chunk in STANDS.chunks(997) {
        engine.push_stands(chunk).expect("push");
    }
    let report = engine.finish_stands().expect("finish");
    let stands = member(&report, "stands").as_f64().expect("a number");
    assert!(stands >= 10.0, "{stands}");

    let book = Object::new();
    Reflect::set(&book, &"name".into(), &"region".into()).expect("set");
    Reflect::set(&book, &"bytes".into(), &Uint8Array::from(BOOK)).expect("set");
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
