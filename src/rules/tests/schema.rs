//! The fields that the schema has, held against those that the reader knows: neither may have one that the other lacks.

use crate::rules::kind::Kind;
use crate::rules::reading::{BOOK_FIELDS, provisions, rules};
use crate::rules::schema::{Book, Common, fields_of, fields_of_kind};

fn sorted(names: &[&str]) -> Vec<String> {
    let mut names: Vec<String> = names.iter().map(|name| (*name).to_owned()).collect();
    names.sort();
    names
}

#[test]
fn the_schema_has_the_fields_of_the_reader() {
    assert_eq!(fields_of::<Book>(), sorted(BOOK_FIELDS));
    // `purpose` depends on the kind, so it stands among the branches.
    let common: Vec<&str> = rules::COMMON
        .iter()
        .copied()
        .filter(|name| *name != "purpose")
        .collect();
    assert_eq!(fields_of::<Common>(), sorted(&common));
    for kind in Kind::ALL {
        assert_eq!(
            fields_of_kind(*kind),
            sorted(provisions::fields_of(*kind)),
            "{}",
            kind.word()
        );
    }
}
