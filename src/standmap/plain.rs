//! The plain form: a stand map whose properties carry the names of the stand model itself and need no crosswalk. In
//! go the cells of one feature, out comes a draft of its stand; shares, age from planting and what counts as
//! assessed are settled by the survey.

use serde_json::Value;

use super::cell::{self, Amount, is_blank, quote};
use super::columns::Columns;
use super::facts::{CLIMATE, DISTURBANCE, Desk, LAYER, MOISTURE, NUTRIENTS, OWNERSHIP, SOIL_REACTION};
use super::finding::{Oddity, Severity};
use super::mixture::{Claim, Claimed, Named};
use crate::stand::{AttributeValue, Layer, Profile, Standing};
use crate::units::{Absence, BasalArea, Elevation, Fact, Metres, NitrogenLoad, Share};

/// The names of the plain form, in the order of a row of cells.
pub(crate) const NAMES: [&str; 26] = [
    "id",
    "name",
    "trees",
    "species",
    "share",
    "age",
    "planted",
    "canopy",
    "basal_area",
    "height",
    "nitrogen",
    "soil_reaction",
    "moisture",
    "nutrients",
    "aspect",
    "disturbance",
    "since",
    "elevation",
    "deadwood",
    "setting",
    "designation",
    "ownership",
    "use",
    "attributes",
    "climate",
    "layer",
];

/// A stand as one feature describes it.
#[derive(Debug, Default)]
pub(crate) struct Draft {
    pub(crate) name: Option<String>,
    pub(crate) claims: Vec<Claim>,
    /// Whether the shares were parts of a sum that makes no sense.
    pub(crate) shares_off: bool,
    pub(crate) elevation: Fact<Elevation>,
    pub(crate) profile: Profile,
    pub(crate) standing: Standing,
}

/// Wants the columns of the plain form.
pub(crate) fn want(columns: &mut Columns) {
    for name in NAMES {
        columns.want(name);
    }
}

/// The cell of one name of the plain form, where it says something.
pub(crate) fn cell<'c>(cells: &'c [Option<Value>], name: &str) -> Option<&'c Value> {
    let place = NAMES.iter().position(|known| *known == name)?;
    cells.get(place)?.as_ref().filter(|cell| !is_blank(cell))
}

/// Reads the cells of one feature.
pub(crate) fn draft(cells: &[Option<Value>], desk: &mut Desk<'_>) -> Draft {
    let cell = |name: &str| cell(cells, name);
    let amount = cell::amount;
    let mut draft = Draft {
        name: cell("name").and_then(cell::text),
        ..Draft::default()
    };
    draft.claims = claims(cells, desk);

    let profile = &mut draft.profile;
    profile.age = fact(cell("age"), |age| desk.age("age", age, amount(age)));
    profile.canopy = fact(cell("canopy"), |canopy| {
        desk.quantity(
            "canopy",
            canopy,
            amount(canopy),
            Share::new,
            "a part of one, 0 to 1",
        )
    });
    profile.basal_area = fact(cell("basal_area"), |area| {
        desk.quantity(
            "basal_area",
            area,
            amount(area),
            BasalArea::new,
            "square metres a hectare, 0 to 500",
        )
    });
    profile.nitrogen = fact(cell("nitrogen"), |load| {
        let expected = "kilograms a hectare and year, 0 to 1000";
        desk.quantity("nitrogen", load, amount(load), NitrogenLoad::new, expected)
    });
    profile.soil_reaction = fact(cell("soil_reaction"), |reaction| {
        desk.words("soil_reaction", reaction, SOIL_REACTION)
    });
    profile.moisture = fact(cell("moisture"), |moisture| {
        desk.words("moisture", moisture, MOISTURE)
    });
    profile.nutrients = fact(cell("nutrients"), |nutrients| {
        desk.words("nutrients", nutrients, NUTRIENTS)
    });
    profile.aspect = fact(cell("aspect"), |aspect| {
        desk.aspect("aspect", aspect, amount(aspect))
    });
    profile.disturbance = fact(cell("disturbance"), |event| {
        desk.one_word("disturbance", event, DISTURBANCE)
    });
    profile.since = fact(cell("since"), |years| desk.age("since", years, amount(years)));
    draft.elevation = fact(cell("elevation"), |height| {
        let expected = "metres above the sea, -500 to 9000";
        desk.quantity("elevation", height, amount(height), Elevation::new, expected)
    });
    profile.deadwood = fact(cell("deadwood"), |deadwood| {
        desk.deadwood("deadwood", deadwood, amount(deadwood))
    });
    profile.setting = fact(cell("setting"), |setting| desk.settings("setting", setting));
    profile.climate =
        cell("climate").and_then(|climate| desk.one_word("climate", climate, CLIMATE).known().copied());

    let standing = &mut draft.standing;
    standing.designation = fact(cell("designation"), |tags| desk.tags("designation", tags));
    standing.ownership = fact(cell("ownership"), |owner| {
        desk.one_word("ownership", owner, OWNERSHIP)
    });
    standing.land_use = cell("use").and_then(cell::text);
    standing.height = fact(cell("height"), |height| {
        desk.quantity("height", height, amount(height), Metres::new, "metres, 0 or more")
    });
    standing.planted = cell("planted").and_then(|planted| {
        let year = cell::number(planted).filter(|year| year.fract() == 0.0 && (1.0..=9999.0).contains(year));
        if year.is_none() {
            desk.bad_value("planted", planted, "a year such as 1987");
        }
        year.map(|year| year as i32)
    });
    if let Some(attributes) = cell("attributes") {
        match attributes {
            Value::Object(members) => {
                for (name, value) in members.iter().filter(|(_, value)| !is_blank(value)) {
                    match attribute(value) {
                        Some(value) => drop(standing.attributes.insert(name.clone(), value)),
                        None => drop(desk.bad_value("attributes", value, "a text, a number, true or false")),
                    }
                }
            }
            other => drop(desk.bad_value("attributes", other, "an object of texts and numbers")),
        }
    }
    draft
}

/// A value that zones may test.
pub(crate) fn attribute(cell: &Value) -> Option<AttributeValue> {
    match cell {
        Value::Number(number) => number.as_f64().map(AttributeValue::Number),
        Value::String(text) => Some(AttributeValue::Text(text.trim().to_owned())),
        Value::Bool(flag) => Some(AttributeValue::Flag(*flag)),
        _ => None,
    }
}

fn fact<T>(cell: Option<&Value>, read: impl FnOnce(&Value) -> Fact<T>) -> Fact<T> {
    cell.map_or(Fact::NotKnown(Absence::Empty), read)
}

/// The trees: the array `trees`, or the pair `species` and `share`.
fn claims(cells: &[Option<Value>], desk: &mut Desk<'_>) -> Vec<Claim> {
    let cell = |name: &str| cell(cells, name);
    match (cell("trees"), cell("species")) {
        (Some(Value::Array(trees)), _) => trees.iter().filter_map(|tree| member(tree, desk)).collect(),
        (Some(one @ (Value::Object(_) | Value::String(_))), _) => member(one, desk).into_iter().collect(),
        (Some(other), _) => {
            let expected = "an array such as [{\"name\": \"Picea abies\", \"share\": 0.9}]";
            desk.bad_value("trees", other, expected);
            Vec::new()
        }
        (None, Some(species)) => match cell::text(species) {
            Some(name) => {
                let share = claimed(cell("share"), "share", desk);
                vec![Claim {
                    tree: Named::Text(name.clone()),
                    raw: name,
                    share,
                    layer: layer(cell("layer"), desk),
                }]
            }
            None => {
                desk.bad_value("species", species, "a scientific name");
                Vec::new()
            }
        },
        (None, None) => Vec::new(),
    }
}

/// One entry of `trees`: an object, or a name alone.
fn member(tree: &Value, desk: &mut Desk<'_>) -> Option<Claim> {
    let of = |name: &str| tree.get(name).filter(|cell| !is_blank(cell));
    let name = match tree {
        Value::String(name) => Some(name.trim().to_owned()),
        Value::Object(_) => of("name").and_then(cell::text),
        _ => None,
    };
    let Some(name) = name.filter(|name| !name.is_empty()) else {
        desk.tell(Oddity {
            code: "tree-without-name",
            severity: Severity::Warning,
            property: Some("trees"),
            found: &format!("found {} without a `name`", quote(tree)),
            done: "left out; its share is unnamed",
            advice: "Give each tree a scientific name, a genus, or a group such as `broadleaf`",
            apart: "",
        });
        return None;
    };
    if let Value::Object(members) = tree {
        for other in members
            .keys()
            .filter(|key| !["name", "share", "layer"].contains(&key.as_str()))
        {
            let shown: String = other.chars().take(60).collect();
            desk.tell(Oddity {
                code: "unknown-member",
                severity: Severity::Note,
                property: Some("trees"),
                found: &format!("a tree has `{shown}`"),
                done: "not read",
                advice: "A tree has `name`, `share` and `layer`",
                apart: &shown,
            });
        }
    }
    let share = claimed(of("share"), "trees", desk);
    Some(Claim {
        tree: Named::Text(name.clone()),
        raw: name,
        share,
        layer: layer(of("layer"), desk),
    })
}

fn layer(cell: Option<&Value>, desk: &mut Desk<'_>) -> Layer {
    let told = cell.map(|cell| desk.one_word("layer", cell, LAYER));
    told.and_then(|layer| layer.known().copied())
        .unwrap_or(Layer::Canopy)
}

fn claimed(cell: Option<&Value>, property: &str, desk: &mut Desk<'_>) -> Claimed {
    let Some(cell) = cell else {
        return Claimed::Unstated(Absence::Empty);
    };
    match cell::amount(cell) {
        // Of a range of shares nothing is said about the middle.
        Some(amount) if !amount.is_one() => Claimed::Stated(Amount { mid: None, ..amount }),
        Some(amount) => Claimed::Stated(amount),
        None => Claimed::Unstated(desk.bad_value(property, cell, "a share, as a part of one")),
    }
}
