//! The JSON Schema of what the command line and the engine write of a stand, made from the Rust types and held against
//! the one in the repository, so that neither changes unseen. `BLESS=1` renews it.

use std::{env, fs};

use hostwood::export::Assessed;
use schemars::generate::SchemaSettings;

const FILE: &str = "src/export/assessed.schema.json";

#[test]
fn the_schema_in_the_repository_is_the_one_of_the_types() {
    let generator = SchemaSettings::draft2020_12().into_generator();
    let schema = generator.into_root_schema_for::<Assessed>();
    let mut made = serde_json::to_string_pretty(&schema).expect("a schema is JSON");
    made.push('\n');
    if env::var_os("BLESS").is_some() {
        fs::write(FILE, &made).expect("the schema can be written");
    }
    let kept = fs::read_to_string(FILE).unwrap_or_default();
    assert!(
        kept == made,
        "{FILE} is not what the types say; renew it with BLESS=1 and look at the change"
    );
}
