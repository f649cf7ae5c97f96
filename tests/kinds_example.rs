//! The example of a region's own kinds, and what is written about the form of every knowledge table. In go the example,
//! the two pages on tables and the shipped tables; what the pages say is held against all of them.

use std::path::{Path, PathBuf};

use hostwood::knowledge::{
    AgePreference, Confidence, CustomStatus, Guild, Habitat, Handling, HostRole, Knowledge, Mycorrhiza,
    Rating, Region, RegionFile, SoilPreference, Syndrome,
};
use hostwood::names::{FungusNames, KindId};

const EXAMPLE: &str = include_str!("../examples/kinds/eskenvar.kinds.csv");
const PAGES: [&str; 2] = [
    include_str!("../examples/kinds/README.md"),
    include_str!("../src/knowledge/README.md"),
];

fn knowledge() -> Knowledge {
    let file = RegionFile {
        name: "eskenvar.kinds.csv".to_owned(),
        bytes: EXAMPLE.as_bytes().to_vec(),
    };
    match Knowledge::with_region(&[file]) {
        Ok((knowledge, counts)) => {
            assert_eq!(
                (counts[0].title.as_str(), counts[0].added, counts[0].corrected),
                ("Kinds of the Eskenvar, Eskenvar Forest Office", 1, 2)
            );
            knowledge
        }
        Err(mistakes) => panic!("{mistakes:#?}"),
    }
}

#[test]
fn the_example_does_what_its_page_says() {
    let (ours, shipped) = (knowledge(), Knowledge::shipped());
    let kind = |knowledge: &Knowledge, id: &str| knowledge.fungi.kind(&KindId::new(id)).cloned();
    let added = kind(&ours, "esken_ring_cap").expect("the added kind");
    assert!(kind(shipped, "esken_ring_cap").is_none());
    let hosts: Vec<&str> = added.hosts.iter().map(|host| host.genus.as_str()).collect();
    assert_eq!(hosts, ["Fagus", "Ostrya"]);
    for (tag, name) in [("en", "Esken ring cap"), ("de", "Eskener Ringling")] {
        let found = ours.fungi.everyday_name(&added.id, &[tag]);
        assert_eq!(found.map(|(name, _)| name), Some(name));
    }
    assert_eq!(ours.fungi.kind_of("Annularius vetus"), Some(added.id));
    // Stricter than shipped, and everything else as it was.
    let (before, after) = (
        kind(shipped, "boletus_reticulatus").expect("shipped"),
        kind(&ours, "boletus_reticulatus").expect("corrected"),
    );
    assert_eq!(
        (before.status, after.status),
        (CustomStatus::Eaten, CustomStatus::EatenAfterCookingOnly)
    );
    assert_eq!(before.hosts.len(), after.hosts.len());
    let cep = kind(&ours, "boletus_edulis").expect("corrected");
    assert!(cep.hosts.iter().any(|host| host.genus.as_str() == "Ostrya"));
    let name = ours.fungi.everyday_name(&cep.id, &["en"]);
    assert_eq!(name.map(|(name, _)| name), Some("valley cep"));
}

/// The columns that a page tells of a table, in its order, each with what it says of them.
fn told(table: &str) -> Vec<(String, String)> {
    let heading = format!("## {table}\n");
    let section = PAGES
        .iter()
        .find_map(|page| page.split_once(&heading))
        .unwrap_or_else(|| panic!("no page tells of {table}"))
        .1;
    let section = section.split("\n## ").next().unwrap_or_default();
    section
        .lines()
        .filter_map(|line| {
            let (column, holds) = line.strip_prefix("| `")?.split_once("` | ")?;
            Some((column.to_owned(), holds.trim_end_matches(" |").to_owned()))
        })
        .collect()
}

#[test]
fn every_column_of_every_table_is_told() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/knowledge");
    let mut tables: Vec<PathBuf> = std::fs::read_dir(folder)
        .expect("the folder of the tables")
        .map(|entry| entry.expect("a file").path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "csv"))
        .collect();
    tables.sort();
    assert_eq!(tables.len(), 14);
    for table in tables {
        let text = std::fs::read_to_string(&table).expect("a table");
        let name = table.file_name().expect("a name").to_string_lossy();
        let head = text
            .lines()
            .find(|line| !line.starts_with('#'))
            .expect("a header");
        let columns: Vec<String> = told(&name).into_iter().map(|(column, _)| column).collect();
        assert_eq!(columns.join(","), head, "{name}");
    }
    for page in PAGES {
        for heading in page.lines().filter_map(|line| line.strip_prefix("## ")) {
            assert!(!told(heading).is_empty(), "{heading} has no columns");
        }
    }
}

#[test]
fn every_word_a_table_takes_is_told() {
    let types = Mycorrhiza::ALL.map(Mycorrhiza::word);
    for (table, column, words) in [
        ("fungi.csv", "region", Region::WORDS),
        ("fungi.csv", "guild", Guild::WORDS),
        ("fungi.csv", "host_role", HostRole::WORDS),
        ("fungi.csv", "soil_reaction", SoilPreference::WORDS),
        ("fungi.csv", "habitat", Habitat::WORDS),
        ("fungi.csv", "stand_age", AgePreference::WORDS),
        ("fungi.csv", "status", CustomStatus::WORDS),
        ("fungi.csv", "handling", Handling::WORDS),
        ("fungi.csv", "confidence", Confidence::WORDS),
        ("hosts.csv", "rating", Rating::WORDS),
        ("poisons.csv", "syndrome", Syndrome::WORDS),
        ("trees.csv", "mycorrhiza", &types),
        ("trees.csv", "leaf", &["conifer", "broadleaf"]),
        ("factors.csv", "status", &["science", "design", "external"]),
        (
            "fungi_synonyms.csv",
            "sense",
            &["synonym", "included", "misapplied"],
        ),
    ] {
        let rows = told(table);
        let (_, holds) = rows
            .iter()
            .find(|(told, _)| told == column)
            .unwrap_or_else(|| panic!("{table}: {column} is not told"));
        for word in words {
            assert!(
                holds.contains(&format!("`{word}`")),
                "{table}, {column}: `{word}` is not told"
            );
        }
        // And no word that is refused.
        let told_words = holds.split('`').skip(1).step_by(2);
        for word in told_words.filter(|word| *word != ";") {
            assert!(
                words.contains(&word),
                "{table}, {column}: `{word}` is no word of it"
            );
        }
    }
}
