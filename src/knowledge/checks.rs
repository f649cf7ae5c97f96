//! Every check of the tables, each with a fixture it rejects and the exact message. Only tests use it.

use super::{Knowledge, Tables};

/// A small world in which everything leads somewhere.
const SOUND: Tables<'static> = Tables {
    sources: "id,citation,seen,licence\n\
        list,A list of genera,table read,CC BY 4.0\n\
        design,Chosen here,not applicable,MIT\n",
    trees: "genus,family,leaf,mycorrhiza,source,note\n\
        Quercus,Fagaceae,broadleaf,ectomycorrhizal,list,\n\
        Acer,Sapindaceae,broadleaf,arbuscular,list,\n",
    tree_species: "species,mycorrhiza,source,note\n\
        Quercus minima,dual,list,\n",
    trees_synonyms: "name,accepted,source\n\
        Quercus pedunculata,Quercus robur,list\n",
    tree_names: "taxon,language,name,source\n\
        Quercus,en,oak,list\n\
        Acer,en,maple,list\n",
    groups: "group,genus,source\n\
        broadleaf,Acer,list\n\
        broadleaf,Quercus,list\n",
    group_words: "group,language,word,source\n\
        broadleaf,en,broadleaves,list\n",
    fungi: "id,scientific_name,region,guild,host_role,months_temperate,months_core,months_boreal,\
        months_mediterranean,soil_reaction,habitat,stand_age,status,dangerous_lookalikes,handling,sources,confidence,\
        note\n\
        good_cap,Bonus probus Auct.,both,ectomycorrhizal,symbiont,8;9,9,,none,acid,edge,late,eaten,bad_cap,K1,list,\
        memory,\n\
        bad_cap,Malus pileus Auct.,both,ectomycorrhizal,symbiont,8;9,9,,,indifferent,edge,late,deadly,odd_cap,N0,\
        list,memory,\n\
        odd_cap,Malus alter Auct.,both,ectomycorrhizal,symbiont,8;9,9,,,indifferent,edge,late,poisonous,bad_cap,N0,\
        list,memory,\n",
    fungi_synonyms: "kind,name,sense,source\n\
        good_cap,Bonus vetus,synonym,list\n",
    fungi_names: "kind,language,name,source\n\
        good_cap,en,good cap,list\n",
    hosts: "kind,genus,rating,source\n\
        good_cap,Quercus,obligate,list\n\
        bad_cap,Quercus,main,list\n\
        odd_cap,Quercus,main,list\n",
    checked: "kind,field,scope,source\n\
        good_cap,months,,list\n",
    poisons: "kind,syndrome,source\n\
        bad_cap,gut,list\n\
        odd_cap,gut,list\n",
    factors: include_str!("factors.csv"),
    region: &[],
};

/// What is said of the sound tables with one thing changed.
fn told(change: impl Fn(&mut Fixture)) -> Vec<String> {
    let mut fixture = Fixture::new();
    change(&mut fixture);
    match Knowledge::read(&fixture.tables()) {
        Ok(_) => Vec::new(),
        Err(mistakes) => mistakes.iter().map(ToString::to_string).collect(),
    }
}

/// The sound tables as text that can be changed.
struct Fixture {
    texts: Vec<(&'static str, String)>,
}

impl Fixture {
    fn new() -> Fixture {
        // The shipped factor table names shipped sources; here they all become one.
        let mut lines = SOUND.factors.lines();
        let mut factors = lines.next().unwrap_or_default().to_owned() + "\n";
        for line in lines {
            let cells: Vec<&str> = line.splitn(6, ',').collect();
            factors += &format!("{},design,\n", cells[..4].join(","));
        }
        let texts = vec![
            ("sources", SOUND.sources.to_owned()),
            ("trees", SOUND.trees.to_owned()),
            ("tree_species", SOUND.tree_species.to_owned()),
            ("trees_synonyms", SOUND.trees_synonyms.to_owned()),
            ("tree_names", SOUND.tree_names.to_owned()),
            ("groups", SOUND.groups.to_owned()),
            ("group_words", SOUND.group_words.to_owned()),
            ("fungi", SOUND.fungi.to_owned()),
            ("fungi_synonyms", SOUND.fungi_synonyms.to_owned()),
            ("fungi_names", SOUND.fungi_names.to_owned()),
            ("hosts", SOUND.hosts.to_owned()),
            ("checked", SOUND.checked.to_owned()),
            ("poisons", SOUND.poisons.to_owned()),
            ("factors", factors),
        ];
        Fixture { texts }
    }

    fn text(&self, table: &str) -> &str {
        let found = self.texts.iter().find(|(name, _)| *name == table);
        &found.expect("a table of that name").1
    }

    fn change(&mut self, table: &str, from: &str, to: &str) {
        assert!(self.text(table).contains(from), "`{from}` in {table}");
        let found = self.texts.iter_mut().find(|(name, _)| *name == table);
        let text = &mut found.expect("a table of that name").1;
        *text = text.replacen(from, to, 1);
    }

    fn tables(&self) -> Tables<'_> {
        Tables {
            sources: self.text("sources"),
            trees: self.text("trees"),
            tree_species: self.text("tree_species"),
            trees_synonyms: self.text("trees_synonyms"),
            tree_names: self.text("tree_names"),
            groups: self.text("groups"),
            group_words: self.text("group_words"),
            fungi: self.text("fungi"),
            fungi_synonyms: self.text("fungi_synonyms"),
            fungi_names: self.text("fungi_names"),
            hosts: self.text("hosts"),
            checked: self.text("checked"),
            poisons: self.text("poisons"),
            factors: self.text("factors"),
            region: &[],
        }
    }
}

#[test]
fn the_sound_tables_are_read() {
    // Doubles that point at each other are fine.
    assert_eq!(told(|_| {}), Vec::<String>::new());
}

#[test]
fn the_shipped_tables_are_read() {
    let knowledge = Knowledge::read(&Tables::SHIPPED).map_err(|mistakes| {
        let told: Vec<String> = mistakes.iter().map(ToString::to_string).collect();
        told.join("\n")
    });
    let knowledge = knowledge.expect("no mistakes");
    assert_eq!(
        (
            knowledge.fungi.kinds().len(),
            knowledge.trees.genera().count(),
            knowledge
                .fungi
                .kinds()
                .iter()
                .map(|kind| kind.hosts.len())
                .sum::<usize>()
        ),
        (135, 411, 620)
    );
}

#[test]
fn every_mistake_is_told_in_words() {
    for (table, from, to, expected) in [
        (
            "trees",
            "genus,family",
            "genera,family",
            "trees.csv: found the columns `genera,family,leaf,mycorrhiza,source,note`, expected the columns \
             `genus,family,leaf,mycorrhiza,source,note`",
        ),
        (
            "trees",
            "arbuscular,list,",
            "arbuscular,list",
            "trees.csv, line 3: found a row that does not fit the header, expected 6 cells",
        ),
        (
            "trees",
            "Acer,",
            "acer,",
            "trees.csv, line 3, `genus`: found `acer`, expected a genus name such as `Quercus`",
        ),
        (
            "trees",
            "Acer,",
            "Quercus,",
            "trees.csv, line 3, `genus`: found `Quercus`, expected each genus once",
        ),
        (
            "trees",
            "broadleaf,arb",
            "evergreen,arb",
            "trees.csv, line 3, `leaf`: found `evergreen`, expected `conifer` or `broadleaf`",
        ),
        (
            "trees",
            "arbuscular",
            "AM",
            "trees.csv, line 3, `mycorrhiza`: found `AM`, expected one of ectomycorrhizal, dual, arbuscular, ericoid, \
             non_mycorrhizal, uncertain",
        ),
        (
            "trees",
            "arbuscular,list",
            "arbuscular,hearsay",
            "trees.csv, line 3, `source`: found `hearsay`, expected the id of a row in sources.csv",
        ),
        (
            "sources",
            "table read",
            "",
            "sources.csv, line 2, `seen`: found nothing, expected some text",
        ),
        (
            "sources",
            "design,",
            "list,",
            "sources.csv, line 3, `id`: found `list`, expected an id that no other source has",
        ),
        (
            "tree_species",
            "species,mycorrhiza",
            "name,mycorrhiza",
            "tree_species.csv: found the columns `name,mycorrhiza,source,note`, expected the columns \
             `species,mycorrhiza,source,note`",
        ),
        (
            "tree_species",
            "Quercus minima",
            "Quercus",
            "tree_species.csv, line 2, `species`: found `Quercus`, expected a species such as `Quercus robur`",
        ),
        (
            "tree_species",
            "Quercus minima",
            "Fagus minima",
            "tree_species.csv, line 2, `species`: found `Fagus minima`, expected a genus that trees.csv has",
        ),
        (
            "tree_species",
            "minima,dual",
            "minima,both",
            "tree_species.csv, line 2, `mycorrhiza`: found `both`, expected one of ectomycorrhizal, dual, arbuscular, \
             ericoid, non_mycorrhizal, uncertain",
        ),
        (
            "tree_species",
            "minima,dual",
            "minima,ectomycorrhizal",
            "tree_species.csv, line 2, `mycorrhiza`: found `ectomycorrhizal`, expected another type than its genus has \
             in trees.csv, or no row",
        ),
        (
            "tree_species",
            "dual,list,\n",
            "dual,list,\nQuercus minima,arbuscular,list,\n",
            "tree_species.csv, line 3, `species`: found `Quercus minima`, expected each species once",
        ),
        (
            "tree_species",
            "dual,list",
            "dual,hearsay",
            "tree_species.csv, line 2, `source`: found `hearsay`, expected the id of a row in sources.csv",
        ),
        (
            "trees_synonyms",
            "Quercus pedunculata",
            "Quercus minima",
            "trees_synonyms.csv, line 2, `name`: found `Quercus minima`, expected a name that tree_species.csv does not \
             have; give the type to the accepted name",
        ),
        (
            "trees_synonyms",
            "Quercus robur",
            "Fagus robur",
            "trees_synonyms.csv, line 2, `accepted`: found `Fagus robur`, expected a genus that trees.csv has",
        ),
        (
            "trees_synonyms",
            "Quercus pedunculata",
            "Quercus",
            "trees_synonyms.csv, line 2, `name`: found `Quercus`, expected a genus that trees.csv does not have",
        ),
        (
            "trees_synonyms",
            "Quercus pedunculata",
            "oak",
            "trees_synonyms.csv, line 2, `name`: found `oak`, expected two scientific names",
        ),
        (
            "tree_names",
            "Acer,en",
            "Fagus,en",
            "tree_names.csv, line 3, `taxon`: found `Fagus`, expected a genus that trees.csv has",
        ),
        (
            "tree_names",
            "maple",
            "Oak",
            "tree_names.csv, line 3, `name`: found `Oak`, expected a name of one taxon in a language; it already \
             stands for Quercus, so make it a group word",
        ),
        (
            "tree_names",
            "maple",
            "",
            "tree_names.csv, line 3, `name`: found nothing, expected a name",
        ),
        (
            "groups",
            "broadleaf,Acer",
            "broadleaf,Fagus",
            "groups.csv, line 2, `genus`: found `Fagus`, expected a genus that trees.csv has",
        ),
        (
            "groups",
            "broadleaf,Acer",
            "broadleaf,Quercus",
            "groups.csv, line 3, `genus`: found `Quercus`, expected each genus once in a group",
        ),
        (
            "group_words",
            "broadleaf,en",
            "hardwood,en",
            "group_words.csv, line 2, `group`: found `hardwood`, expected a group that groups.csv has",
        ),
        (
            "group_words",
            "broadleaves",
            "Maple",
            "group_words.csv, line 2, `word`: found `Maple`, expected a word that tree_names.csv does not give to \
             Acer",
        ),
        (
            "hosts",
            "good_cap,Quercus",
            "good_cap,Fagus",
            "hosts.csv, line 2, `genus`: found `Fagus`, expected a genus that trees.csv has",
        ),
        (
            "hosts",
            "obligate",
            "sometimes",
            "hosts.csv, line 2, `rating`: found `sometimes`, expected one of obligate, main, occasional",
        ),
        (
            "hosts",
            "good_cap,Quercus",
            "lost_cap,Quercus",
            "hosts.csv, line 2, `kind`: found `lost_cap`, expected the id of a row in fungi.csv",
        ),
        (
            "hosts",
            "bad_cap,Quercus,main,list",
            "bad_cap,Quercus,main,list\nbad_cap,Quercus,main,list",
            "hosts.csv, line 4, `genus`: found `Quercus`, expected each host of a kind once",
        ),
        (
            "hosts",
            "good_cap,Quercus,obligate,list",
            "good_cap,Quercus,obligate,list\ngood_cap,Acer,main,list",
            "fungi.csv, line 2, `host_role`: found `2 hosts, 1 of them obligate`, expected an obligate host to be the \
             only one in hosts.csv",
        ),
        (
            "hosts",
            "bad_cap,Quercus,main,list\n",
            "",
            "fungi.csv, line 3, `host_role`: found `symbiont`, expected `none` where hosts.csv has no host for it, and \
             hosts there otherwise",
        ),
        (
            "checked",
            "months,,list",
            "months,,nobody",
            "checked.csv, line 2, `source`: found `nobody`, expected the id of a row in sources.csv",
        ),
        (
            "fungi",
            "bad_cap,Malus",
            "good_cap,Malus",
            "fungi.csv, line 3, `id`: found `good_cap`, expected an id that no other kind has",
        ),
        (
            "fungi",
            "Bonus probus",
            "bonus",
            "fungi.csv, line 2, `scientific_name`: found `bonus Auct.`, expected the name of a species",
        ),
        (
            "fungi",
            "eaten,bad_cap",
            "eaten,lost_cap",
            "fungi.csv, line 2, `dangerous_lookalikes`: found `lost_cap`, expected ids of other rows in fungi.csv",
        ),
        (
            "fungi",
            "eaten,bad_cap",
            "eaten,good_cap",
            "fungi.csv, line 2, `dangerous_lookalikes`: found `good_cap`, expected ids of other rows in fungi.csv",
        ),
        (
            "fungi",
            "deadly,odd_cap",
            "deadly,good_cap",
            "fungi.csv, line 3, `dangerous_lookalikes`: found `good_cap`, expected kinds that are inedible, poisonous \
             or deadly",
        ),
        (
            "poisons",
            "bad_cap,gut,list\n",
            "",
            "fungi.csv, line 3, `status`: found `deadly`, expected what it does in poisons.csv, for a poisonous or \
             deadly kind",
        ),
        (
            "poisons",
            "bad_cap,gut",
            "bad_cap,hiccups",
            "poisons.csv, line 2, `syndrome`: found `hiccups`, expected one of amatoxin, orellanine, norleucine, \
             gyromitrin, muscarine, muscimol, coprine, muscle, haemolysis, unsteadiness, encephalopathy, gut",
        ),
        (
            "poisons",
            "bad_cap,gut",
            "lost_cap,gut",
            "poisons.csv, line 2, `kind`: found `lost_cap`, expected the id of a row in fungi.csv",
        ),
        (
            "fungi",
            "odd_cap,N0",
            "odd_cap,K1",
            "fungi.csv, line 3, `handling`: found `K1`, expected `N0` (do not collect it for food), as its status is \
             deadly",
        ),
        (
            "fungi",
            "bad_cap,K1",
            "bad_cap,K9",
            "fungi.csv, line 2, `handling`: found `K9`, expected words out of K1, K2, K3, K4, K5, C1, C2, C3, A1, P1, \
             D1, L1, N0",
        ),
        (
            "fungi",
            "8;9,9,,none",
            "8;13,8,,none",
            "fungi.csv, line 2, `months_temperate`: found `13`, expected months from 1 to 12, each once, or `none`, or \
             an empty cell",
        ),
        (
            "fungi",
            "8;9,9,,none",
            "0;9,9,,none",
            "fungi.csv, line 2, `months_temperate`: found `0`, expected months from 1 to 12, each once, or `none`, or \
             an empty cell",
        ),
        (
            "fungi",
            "8;9,9,,none",
            ",,,none",
            "fungi.csv, line 2, `months_temperate`: found nothing, expected months such as `8;9;10`, or `none`",
        ),
        (
            "fungi",
            "8;9,9,,none",
            "8;9,10,,none",
            "fungi.csv, line 2, `months_core`: found `10`, expected months that months_temperate has too",
        ),
        (
            "fungi",
            "K1,list",
            "K1,",
            "fungi.csv, line 2, `sources`: found nothing, expected ids of rows in sources.csv",
        ),
        (
            "fungi",
            "K1,list",
            "K1,hearsay",
            "fungi.csv, line 2, `sources`: found `hearsay`, expected ids of rows in sources.csv",
        ),
        (
            "fungi",
            "late,eaten",
            "late,tasty",
            "fungi.csv, line 2, `status`: found `tasty`, expected one of eaten, eaten_after_cooking_only, inedible, \
             poisonous, deadly",
        ),
        (
            "fungi",
            "acid,edge",
            "sour,edge",
            "fungi.csv, line 2, `soil_reaction`: found `sour`, expected one of acid, neutral, calcareous, indifferent",
        ),
        (
            "fungi_synonyms",
            "synonym,list",
            "perhaps,list",
            "fungi_synonyms.csv, line 2, `sense`: found `perhaps`, expected `synonym`, `included` or `misapplied`",
        ),
        (
            "fungi_synonyms",
            "Bonus vetus",
            "Malus pileus",
            "fungi_synonyms.csv, line 2, `name`: found `Malus pileus`, expected a name that `bad_cap` does not have",
        ),
        (
            "fungi_synonyms",
            "Bonus vetus",
            "Bonus",
            "fungi_synonyms.csv, line 2, `name`: found `Bonus`, expected the name of a species",
        ),
        (
            "fungi_names",
            "en,good cap",
            ",good cap",
            "fungi_names.csv, line 2, `language`: found nothing, expected some text",
        ),
        (
            "factors",
            "layer,weight,0.3",
            "layer,weight,a third",
            "factors.csv, line 22, `value`: found `a third`, expected a number such as `0.4`",
        ),
        (
            "factors",
            "layer,weight,0.3",
            "layer,weight,NaN",
            "factors.csv, line 22, `value`: found `NaN`, expected a number such as `0.4`",
        ),
        (
            "factors",
            "layer,weight,0.3,design",
            "layer,weight,0.3,guess",
            "factors.csv, line 22, `status`: found `guess`, expected `science`, `design` or `external`",
        ),
        (
            "factors",
            "layer,weight",
            "layer,height",
            "factors.csv, line 22, `factor`: found `layer at height`, expected a number that scoring uses",
        ),
        (
            "factors",
            "soil,neutral",
            "soil,acid",
            "factors.csv, line 45, `at`: found `acid`, expected each value of `soil` once",
        ),
        (
            "factors",
            "age.curve,10,",
            "age.curve,4,",
            "factors.csv, line 25, `at`: found `4`, expected a number greater than the knot before",
        ),
        (
            "factors",
            "host.least_of,Eucalyptus",
            "host.least_of,gum tree",
            "factors.csv, line 19, `at`: found `gum tree`, expected a genus name",
        ),
    ] {
        let found = told(|fixture| fixture.change(table, from, to));
        assert!(
            found.iter().any(|message| message == expected),
            "{table}, `{from}` to `{to}`:\n  expected {expected}\n  found {found:#?}"
        );
    }
}

#[test]
fn a_number_that_scoring_lacks_is_told() {
    let found = told(|fixture| {
        let factors = fixture.text("factors").to_owned();
        for line in factors
            .lines()
            .filter(|line| line.starts_with("layer,") || line.starts_with("canopy.curve,"))
        {
            fixture.change("factors", &format!("{line}\n"), "");
        }
    });
    assert_eq!(
        found,
        [
            "factors.csv: found no row `layer` at `weight`, expected every number that scoring uses",
            "factors.csv: found 0 knots of `canopy.curve`, expected two or more",
        ]
    );
}

#[test]
fn genera_are_typed_as_the_published_lists_have_them() {
    // Ectomycorrhizal, dual and arbuscular genera as the literature groups them; the dual class after Teste, Jones &
    // Dickie 2020, Alnus after Brundrett & Tedersoo 2020, the rest from memory. The list of 60 genera of Brundrett &
    // Tedersoo itself was not at hand.
    let trees = &Knowledge::shipped().trees;
    for (kind, genera) in [
        (
            "ectomycorrhizal",
            "Pinus Picea Abies Larix Pseudotsuga Tsuga Cedrus Fagus Quercus Castanea Carpinus Corylus Ostrya Betula \
             Tilia Carya Notholithocarpus Cistus Arbutus",
        ),
        ("dual", "Alnus Salix Populus Eucalyptus"),
        (
            "arbuscular",
            "Acer Fraxinus Ulmus Sorbus Prunus Malus Pyrus Crataegus Rosa Robinia Aesculus Juglans Platanus \
             Liriodendron Olea Sambucus Taxus Juniperus Cupressus Thuja Sequoia Sequoiadendron Metasequoia",
        ),
        ("ericoid", "Calluna Erica Vaccinium Rhododendron"),
    ] {
        for name in genera.split_whitespace() {
            let genus = crate::names::Genus::parse(name).expect(name);
            let found = trees.genus(&genus).map(|known| known.mycorrhiza.word());
            assert_eq!(found, Some(kind), "{name}");
        }
    }
    // The split genera are read as Sorbus, whose type is settled.
    for name in ["Torminalis", "Cormus", "Aria"] {
        let genus = crate::names::Genus::parse(name).expect(name);
        let found = trees
            .genus(&genus)
            .map(|known| (known.genus.as_str(), known.mycorrhiza.word()));
        assert_eq!(found, Some(("Sorbus", "arbuscular")), "{name}");
    }
}

#[test]
fn every_host_has_a_name_in_english_and_german() {
    let knowledge = Knowledge::shipped();
    for host in knowledge.fungi.kinds().iter().flat_map(|kind| &kind.hosts) {
        for language in ["en", "de"] {
            assert!(
                knowledge.trees.genus_name(&host.genus, language).is_some(),
                "{} in {language}",
                host.genus
            );
        }
    }
}

#[test]
fn every_number_and_every_type_names_its_source() {
    let knowledge = Knowledge::shipped();
    let licence = |id: &str| {
        let id = crate::names::SourceId::new(id);
        knowledge.sources.get(&id).map(|source| source.licence.as_str())
    };
    assert_eq!(
        licence("fungalroot"),
        Some("CC BY 4.0 (copy by L. Florence 2025); licence of the first deposit not read")
    );
    for (factor, source) in [
        ("age", "tahvanainen_2016"),
        ("basal_area", "bonet_2008"),
        ("nitrogen.critical", "lilleskov_2019"),
        ("moisture", "ohenoja_1974"),
        ("soil", "design"),
    ] {
        assert_eq!(knowledge.factors.source(factor).as_str(), source, "{factor}");
    }
}

#[test]
fn kinds_have_names_in_the_languages_of_the_forest() {
    // Every kind of Europe has a name in each of these; kinds of North America alone may lack one.
    let fungi = &Knowledge::shipped().fungi;
    for kind in fungi.kinds() {
        let names = fungi.vernacular(&kind.id);
        let wanted: &[&str] = match kind.region {
            super::Region::NorthAmerica => &["en"],
            _ => &["en", "de", "fr", "it", "es", "pl", "cs"],
        };
        for language in wanted {
            let has = names.is_some_and(|names| names.contains_key(*language));
            assert!(has, "{} in {language}", kind.id);
        }
    }
}
