//! What is known of trees and fungi: typed tables, each row with its source. In go the tables as text, out comes
//! checked knowledge; what follows from it for a stand is left to `potential`.

#[cfg(test)]
mod checks;
mod correction;
mod factor_table;
mod factors;
mod fungi;
mod fungus_names;
mod fungus_rows;
mod fungus_words;
mod keys;
mod region;
mod sources;
mod table;
mod tree_names;
mod tree_words;
mod trees;
mod weather_factors;

use std::sync::{Arc, OnceLock};

pub use factors::{
    Bounds, Climates, Curve, FactorRow, Factors, HostPart, KindFactors, Nitrogen, Season, Status, Steps,
};
pub use fungi::{Checked, Fungi, Host, Kind, Poisoning, RegionWord};
pub use fungus_words::{
    AgePreference, Confidence, CustomStatus, Guild, Habitat, Handling, HostRole, Months, Rating, Region,
    SoilPreference, Syndrome,
};
pub use keys::KEYS;
pub use region::{RegionCount, RegionFile, RegionTable};
pub use sources::{Source, Sources};
pub use table::TableError;
pub use trees::{How, Leaf, Mycorrhiza, Resolved, TreeGenus, Trees, TypeOf};
pub use weather_factors::WeatherFactors;

/// Everything that is known, checked.
#[derive(Debug)]
pub struct Knowledge {
    /// Trees: mycorrhizal types, names, synonyms, groups.
    pub trees: Trees,
    /// Kinds of fungi: hosts, months, names, doubles.
    pub fungi: Fungi,
    /// Every number that scores anything.
    pub factors: Factors,
    /// Where every fact comes from.
    pub sources: Sources,
}

/// The tables as CSV text, named as their files are.
#[derive(Debug, Clone, Copy)]
#[expect(missing_docs, reason = "each field is the file of that name")]
pub struct Tables<'a> {
    pub sources: &'a str,
    pub trees: &'a str,
    pub tree_species: &'a str,
    pub trees_synonyms: &'a str,
    pub tree_names: &'a str,
    pub groups: &'a str,
    pub group_words: &'a str,
    pub fungi: &'a str,
    pub fungi_synonyms: &'a str,
    pub fungi_names: &'a str,
    pub hosts: &'a str,
    pub checked: &'a str,
    pub poisons: &'a str,
    pub factors: &'a str,
    /// What a region's own files add to the tables of kinds.
    pub region: &'a [RegionTable<'a>],
}

impl Tables<'static> {
    /// The tables that ship with Hostwood.
    pub const SHIPPED: Tables<'static> = Tables {
        sources: include_str!("sources.csv"),
        trees: include_str!("trees.csv"),
        tree_species: include_str!("tree_species.csv"),
        trees_synonyms: include_str!("trees_synonyms.csv"),
        tree_names: include_str!("tree_names.csv"),
        groups: include_str!("groups.csv"),
        group_words: include_str!("group_words.csv"),
        fungi: include_str!("fungi.csv"),
        fungi_synonyms: include_str!("fungi_synonyms.csv"),
        fungi_names: include_str!("fungi_names.csv"),
        hosts: include_str!("hosts.csv"),
        checked: include_str!("checked.csv"),
        poisons: include_str!("poisons.csv"),
        factors: include_str!("factors.csv"),
        region: &[],
    };
}

impl Knowledge {
    /// Reads and checks tables: shapes, and that every reference leads somewhere.
    ///
    /// # Errors
    /// All mistakes that were found.
    pub fn read(tables: &Tables) -> Result<Knowledge, Vec<TableError>> {
        let mut mistakes = Vec::new();
        let sources = Sources::read(tables.sources, tables.region, &mut mistakes);
        let trees = Trees::read(tables, &sources, &mut mistakes);
        let fungi = Fungi::read(tables, &trees, &sources, &mut mistakes);
        match Factors::read(tables.factors, &sources, &mut mistakes) {
            Some(factors) if mistakes.is_empty() => Ok(Knowledge {
                trees,
                fungi,
                factors,
                sources,
            }),
            _ => Err(mistakes),
        }
    }

    /// The shipped knowledge with a region's own kinds, and how many kinds each file added or corrected.
    ///
    /// The files are tables of the same form as the shipped ones; a row for a kind that is shipped corrects it. A
    /// correction may add cautions and never takes danger away. All or nothing: one mistake, and none of the files
    /// counts.
    ///
    /// # Errors
    /// All mistakes that were found, each with its file, line and column.
    pub fn with_region(files: &[RegionFile]) -> Result<(Knowledge, Vec<RegionCount>), Vec<TableError>> {
        let mut mistakes = Vec::new();
        let region = region::tables(files, &mut mistakes);
        let read = Knowledge::read(&Tables {
            region: &region,
            ..Tables::SHIPPED
        });
        match read {
            Ok(knowledge) if mistakes.is_empty() => {
                let counts = region::counts(files, &region);
                Ok((knowledge, counts))
            }
            Ok(_) => Err(mistakes),
            Err(more) => {
                mistakes.extend(more);
                Err(mistakes)
            }
        }
    }

    /// The knowledge that ships with Hostwood, read once.
    pub fn shipped() -> &'static Arc<Knowledge> {
        static SHIPPED: OnceLock<Arc<Knowledge>> = OnceLock::new();
        SHIPPED.get_or_init(|| match Knowledge::read(&Tables::SHIPPED) {
            Ok(knowledge) => Arc::new(knowledge),
            // The tables are compiled in and a test reads them, so this cannot be met outside development.
            Err(mistakes) => panic!("the shipped tables: {}", list(&mistakes)),
        })
    }
}

fn list(mistakes: &[TableError]) -> String {
    mistakes
        .iter()
        .map(ToString::to_string)
        .collect::<Vec<_>>()
        .join("; ")
}
