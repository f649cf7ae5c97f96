//! The crate as the browser runs it: compiled to WebAssembly, in a page.
//!
//! In: nothing. Out: proof that what holds natively holds there too, above all the numbers, which must not depend on
//! the machine. Run by `cargo www test --only wasm`; on any other target this file is empty.

#![cfg(target_arch = "wasm32")]

use hostwood::geometry::{LngLat, Outlines};
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
