//! The only file that names wasm_bindgen or a JavaScript value. It delegates to `boundary`.
