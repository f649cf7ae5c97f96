//! The bill of materials: which packages of others are in the element, for those who must keep watch over them.
//!
//! In: the notices. Out: a CycloneDX 1.6 document as JSON, without a date or a random number, so that the same element
//! has the same bill. Collecting the packages is left to `notices`.

use crate::notices::{Notice, Origin};
use serde_json::{Value, json};

/// The bill of an element of this version.
pub(crate) fn bill(version: &str, notices: &[Notice]) -> Value {
    let components: Vec<Value> = notices.iter().map(component).collect();
    let needed: Vec<&Value> = components.iter().map(|one| &one["bom-ref"]).collect();
    json!({
        "bomFormat": "CycloneDX",
        "specVersion": "1.6",
        "version": 1,
        "metadata": {
            "component": {
                "type": "library",
                "bom-ref": "hostwood",
                "name": "hostwood",
                "version": version,
                "licenses": [{ "license": { "id": "MIT" } }],
            },
        },
        "components": components,
        "dependencies": [{ "ref": "hostwood", "dependsOn": needed }],
    })
}

fn component(notice: &Notice) -> Value {
    let Notice {
        name,
        version,
        licence,
        ..
    } = notice;
    let mut component = json!({
        "type": "library",
        "bom-ref": format!("{name} {version}"),
        "name": name,
        "version": version,
        "licenses": [{ "expression": licence.replace('/', " OR ") }],
    });
    if let Some(address) = package_address(notice) {
        component["bom-ref"] = json!(address);
        component["purl"] = json!(address);
    }
    component
}

/// The package URL (ECMA-427): type, name and version; the toolchain has none.
fn package_address(notice: &Notice) -> Option<String> {
    let Notice { name, version, .. } = notice;
    match notice.origin {
        Origin::Crate => Some(format!("pkg:cargo/{name}@{version}")),
        Origin::Npm => Some(format!("pkg:npm/{}@{version}", name.replacen('@', "%40", 1))),
        Origin::Toolchain => None,
    }
}
