//! A region's own tables of kinds: what they add and correct, what they may not take away, and that they colour nothing.
//! In go tables as a region would write them, out come reports, sheets and the exact words of every refusal.

use hostwood::boundary::{
    BookBytes, Filter, KindsReport, ListQuery, Session, SheetOptions, Sort, TileOptions, View, VisitInput,
    VisitorInput,
};
use hostwood::knowledge::{Knowledge, RegionFile};
use serde_json::Value;

const STANDS: &[u8] = include_bytes!("../examples/plain/stands.geojson");
const HEAD: &str = "id,scientific_name,region,guild,host_role,months_temperate,months_core,months_boreal,\
    months_mediterranean,soil_reaction,habitat,stand_age,status,dangerous_lookalikes,handling,sources,confidence,note";
/// A sound file: one kind more, and one shipped kind that fruits longer here. All of it invented.
const VALLEY: &str = "\
# Kinds of the Eskenvar, Eskenvar Forest Office
# The wide-ring cap grows in the upper valley only.
id,citation,seen,licence
eskenvar_list,Eskenvar list of kinds,kept by the office,CC0

id,scientific_name,region,guild,host_role,months_temperate,months_core,months_boreal,months_mediterranean,soil_reaction,habitat,stand_age,status,dangerous_lookalikes,handling,sources,confidence,note
wide_ring_cap,Annularius latus Esk.,both,ectomycorrhizal,symbiont,1;9,9,,,indifferent,edge,indifferent,eaten_after_cooking_only,amanita_phalloides,C1;C3,eskenvar_list,read,

kind,genus,rating,source
wide_ring_cap,Fraxinus,main,eskenvar_list
wide_ring_cap,Quercus,main,eskenvar_list
boletus_edulis,Ostrya,occasional,eskenvar_list

kind,language,name,source
wide_ring_cap,en,wide-ring cap,eskenvar_list
boletus_edulis,en,valley cep,eskenvar_list
amanita_phalloides,en,green killer,eskenvar_list
";

fn files(texts: &[(&str, &str)]) -> Vec<RegionFile> {
    texts
        .iter()
        .map(|(name, text)| RegionFile {
            name: (*name).to_owned(),
            bytes: text.as_bytes().to_vec(),
        })
        .collect()
}

fn told(text: &str) -> Vec<String> {
    match Knowledge::with_region(&files(&[("valley.csv", text)])) {
        Ok(_) => Vec::new(),
        Err(mistakes) => mistakes.iter().map(ToString::to_string).collect(),
    }
}

/// A correction of the shipped row of a kind: columns and their new cells.
fn corrected(id: &str, changes: &[(&str, &str)]) -> String {
    let shipped = include_str!("../src/knowledge/fungi.csv");
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_reader(shipped.as_bytes());
    let head = reader.headers().expect("a header").clone();
    let row = reader
        .records()
        .map(|row| row.expect("a row"))
        .find(|row| row.get(0) == Some(id))
        .expect("a shipped kind");
    let cells = head.iter().zip(&row).map(|(column, cell)| {
        let cell = changes
            .iter()
            .find(|(name, _)| *name == column)
            .map_or(cell, |(_, new)| new);
        format!("\"{}\"", cell.replace('"', "\"\""))
    });
    format!("{HEAD}\n{}\n", cells.collect::<Vec<_>>().join(","))
}

fn session() -> Session {
    let mut session = Session::default();
    session.begin_stands(None).expect("begin");
    session.push_stands(STANDS).expect("push");
    session.finish_stands().expect("finish");
    session
}

fn visit(session: &mut Session, day: &str) {
    let visit = VisitInput {
        day: day.to_owned(),
        time: None,
        utc_offset: None,
        visitor: VisitorInput::default(),
    };
    session.set_visit(&visit).expect("visit");
}

fn take(session: &mut Session, text: Option<&str>) -> KindsReport {
    session.set_kinds(&[BookBytes {
        name: "valley.csv".to_owned(),
        bytes: text.map(|text| text.as_bytes().to_vec()),
    }])
}

/// All sheets of the map as one text.
fn sheets(session: &Session) -> String {
    let rows = session.list(&query()).expect("list").rows;
    let options = SheetOptions {
        languages: vec!["en".to_owned()],
        ..SheetOptions::default()
    };
    let sheets: Vec<Value> = rows
        .iter()
        .map(|row| serde_json::to_value(session.sheet(&row.id, &options).expect("sheet")).expect("a tree"))
        .collect();
    Value::Array(sheets).to_string()
}

fn query() -> ListQuery {
    ListQuery {
        sort: Sort::Name,
        descending: false,
        view: View::Roots,
        wish: None,
        filter: Filter::default(),
        offset: 0,
        limit: 100,
        start: None,
        languages: Vec::new(),
    }
}

#[test]
fn a_region_adds_and_corrects_kinds() {
    let (knowledge, counts) =
        Knowledge::with_region(&files(&[("valley.csv", VALLEY)])).expect("a sound file");
    let count = &counts[0];
    assert_eq!(
        (count.title.as_str(), count.added, count.corrected),
        ("Kinds of the Eskenvar, Eskenvar Forest Office", 1, 2)
    );
    let shipped = Knowledge::shipped().fungi.kinds().len();
    assert_eq!(knowledge.fungi.kinds().len(), shipped + 1);
    let name = |id: &str| {
        let id = hostwood::names::KindId::new(id);
        knowledge
            .fungi
            .everyday_name(&id, &["en"])
            .map(|(name, _)| name.to_owned())
    };
    // The region's own name is shown; a deadly kind keeps the one it is known by everywhere.
    assert_eq!(name("boletus_edulis").as_deref(), Some("valley cep"));
    assert_eq!(name("amanita_phalloides").as_deref(), Some("death cap"));
}

#[test]
fn the_sheet_says_whose_word_it_is() {
    let mut session = session();
    visit(&mut session, "2026-09-12");
    let before = sheets(&session);
    let report = take(&mut session, Some(VALLEY));
    assert_eq!(
        (
            report.files[0].added,
            report.files[0].corrected,
            report.files[0].mistakes.len()
        ),
        (1, 2, 0)
    );
    visit(&mut session, "2026-09-12");
    let after = sheets(&session);
    for (text, now) in [
        ("sheet.kind.region_added", true),
        ("sheet.kind.region_corrected", true),
        ("Kinds of the Eskenvar, Eskenvar Forest Office", true),
        ("wide-ring cap", true),
        ("Eskenvar list of kinds", true),
        ("sheet.danger.kinds_unread", false),
    ] {
        assert!(!before.contains(text), "{text} before");
        assert_eq!(after.contains(text), now, "{text} after");
    }
    assert!(
        session.wishes(&[]).iter().any(|wish| wish.id == "wide_ring_cap"),
        "the region's kind can be looked for"
    );
    // An empty list goes back to the shipped tables.
    session.set_kinds(&[]);
    visit(&mut session, "2026-09-12");
    assert_eq!(sheets(&session), before);
}

#[test]
fn tables_that_cannot_be_used_leave_the_shipped_ones_and_are_told() {
    let mut session = session();
    visit(&mut session, "2026-09-12");
    for (text, code) in [
        (
            Some(VALLEY.replace("Quercus,main", "Quercis,main")),
            "kinds-table",
        ),
        (None, "missing-kinds"),
    ] {
        let report = take(&mut session, text.as_deref());
        let file = &report.files[0];
        assert_eq!((file.added, file.corrected), (0, 0), "nothing is half taken");
        assert_eq!(file.mistakes[0].code, code);
        visit(&mut session, "2026-09-12");
        let sheets = sheets(&session);
        assert!(sheets.contains("sheet.danger.kinds_unread"), "{code}");
        assert!(!sheets.contains("valley cep"), "{code}");
    }
    let report = take(
        &mut session,
        Some(&VALLEY.replace("Quercus,main", "Quercis,main")),
    );
    let mistake = &report.files[0].mistakes[0];
    assert_eq!(
        (
            mistake.line,
            mistake.column,
            mistake.property.as_deref(),
            mistake.message.as_str()
        ),
        (
            Some(11),
            Some(2),
            Some("genus"),
            "valley.csv, line 11, `genus`: found `Quercis`, expected a genus that trees.csv has; did you mean `Quercus`?"
        )
    );
}

#[test]
fn a_region_colours_no_stand() {
    let mut session = session();
    visit(&mut session, "2026-09-12");
    let options = TileOptions {
        size: 256,
        ratio: 1.0,
        scheme: None,
        more_contrast: false,
        ahead: false,
        view: View::Roots,
        wish: None,
        selected: None,
    };
    let rows = session.list(&query()).expect("list").rows;
    let inside = rows
        .iter()
        .find_map(|row| session.stand(&row.id).and_then(|stand| stand.inside));
    let at = inside.expect("a stand with an outline");
    // The tile of zoom 12 around a stand (web mercator).
    let n = f64::from(1u32 << 12);
    let x = (at[0] + 180.0) / 360.0 * n;
    let latitude = at[1].to_radians();
    let y = (1.0 - latitude.tan().asinh() / std::f64::consts::PI) / 2.0 * n;
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a tile's number"
    )]
    let (x, y) = (x as u32, y as u32);
    let before = session.tile(12, x, y, &options);
    take(&mut session, Some(VALLEY));
    visit(&mut session, "2026-09-12");
    assert!(before.iter().any(|byte| *byte != 0), "the tile shows a stand");
    assert_eq!(session.tile(12, x, y, &options), before);
}

#[test]
fn a_correction_never_takes_danger_away() {
    let mild = ": a correction may add cautions and never takes danger away";
    let sight = ": a poisonous kind stays in sight";
    for (id, column, cell, expected) in [
        (
            "amanita_phalloides",
            "status",
            "inedible",
            format!("`status`: found `inedible`, expected `deadly` or worse, as it was{mild}"),
        ),
        (
            "neoboletus_erythropus",
            "status",
            "eaten",
            format!("`status`: found `eaten`, expected `eaten_after_cooking_only` or worse, as it was{mild}"),
        ),
        (
            "boletus_edulis",
            "dangerous_lookalikes",
            "tylopilus_felleus",
            format!(
                "`dangerous_lookalikes`: found `tylopilus_felleus`, expected rubroboletus_satanas as well, as it was{mild}"
            ),
        ),
        (
            "neoboletus_erythropus",
            "handling",
            "C1;K1",
            format!("`handling`: found `C1;K1`, expected C3 as well, as it was{mild}"),
        ),
        (
            "amanita_phalloides",
            "region",
            "north_america",
            format!("`region`: found `north_america`, expected `both`, as it was{sight}"),
        ),
        (
            "rubroboletus_satanas",
            "region",
            "north_america",
            format!("`region`: found `north_america`, expected `europe` or `both`, as it was{sight}"),
        ),
        (
            "amanita_phalloides",
            "months_temperate",
            "none",
            format!(
                "`months_temperate`: found `none`, expected the months 6;7;8;9;10;11 as well, as it was{sight}"
            ),
        ),
        (
            "amanita_phalloides",
            "host_role",
            "companion",
            format!("`host_role`: found `companion`, expected `symbiont`, as it was{sight}"),
        ),
    ] {
        let mut changes = vec![(column, cell)];
        if cell == "none" {
            changes.push(("months_core", "none"));
        }
        let found = told(&corrected(id, &changes));
        let expected = format!("valley.csv, line 2, {expected}");
        assert!(found.contains(&expected), "expected {expected}\nfound {found:#?}");
    }
    // Stricter is fine, and so is the row as it was.
    assert_eq!(told(&corrected("boletus_edulis", &[])), Vec::<String>::new());
    assert_eq!(
        told(&corrected(
            "suillus_luteus",
            &[("status", "inedible"), ("handling", "N0;P1;C1;C3")]
        )),
        Vec::<String>::new()
    );
    // A deadly kind cannot come back under a new id.
    assert_eq!(
        told(&corrected(
            "amanita_phalloides",
            &[("id", "good_cap"), ("status", "deadly")]
        )),
        [
            "valley.csv, line 2, `status`: found `deadly`, expected what it does in poisons.csv, for a poisonous or \
             deadly kind",
            "valley.csv, line 2, `host_role`: found `symbiont`, expected `none` where hosts.csv has no host for it, and \
             hosts there otherwise",
            "valley.csv, line 2, `scientific_name`: found `Amanita phalloides (Vaill. ex Fr.) Link`, expected a name that \
             `amanita_phalloides` does not have; to correct that kind, use its id",
        ]
    );
}

#[test]
fn files_that_hold_no_table_are_told_with_what_to_do() {
    for (bytes, expected) in [
        (
            &b"name,colour\nx,y\n"[..],
            "valley.csv, line 1: found `name,colour`, expected the header row of one of the tables fungi.csv, hosts.csv, \
             poisons.csv, fungi_names.csv, fungi_synonyms.csv, checked.csv, sources.csv",
        ),
        (
            b"# Title\nkind;genus;rating;source\n",
            "valley.csv, line 2: found `kind;genus;rating;source`, expected commas between the cells of the header; save \
             the file with commas",
        ),
        (
            b"kind,genus,ratings,source\n",
            "valley.csv, line 1: found `kind,genus,ratings,source`, expected the header of a table; that of hosts.csv is \
             `kind,genus,rating,source`",
        ),
        (
            b"# only a title\n",
            "valley.csv: found no table, expected a table such as fungi.csv, beginning with its header row",
        ),
        (
            b"kind,genus,rating,source\nboletus_edulis,\xe9,main,memory\n",
            "valley.csv: found bytes that are not UTF-8, expected text in UTF-8; save the file as \"CSV UTF-8\"",
        ),
        (
            "kind,genus,rating,source\nboletus_edulis,\u{202e}Acer,main,memory\n".as_bytes(),
            "valley.csv, line 2: found the invisible character U+202E, expected visible text only; delete that character",
        ),
        (
            b"kind,genus,rating,source\nboletus_edulus,Acer,main,memory\n",
            "valley.csv, line 2, `kind`: found `boletus_edulus`, expected the id of a row in fungi.csv; did you mean \
             `boletus_edulis`?",
        ),
        (
            b"kind,genus,rating,source\nsuillus_grevillei,Picea,main,memory\n",
            "valley.csv, line 2, `host_role`: found `2 hosts, 1 of them obligate`, expected an obligate host to be the \
             only one in hosts.csv",
        ),
    ] {
        let file = RegionFile {
            name: "valley.csv".to_owned(),
            bytes: bytes.to_vec(),
        };
        let found: Vec<String> = match Knowledge::with_region(&[file]) {
            Ok(_) => Vec::new(),
            Err(mistakes) => mistakes.iter().map(ToString::to_string).collect(),
        };
        assert_eq!(found, [expected]);
    }
    let long = RegionFile {
        name: "long.csv".to_owned(),
        bytes: vec![b'#'; 2_000_001],
    };
    let found = Knowledge::with_region(&[long]).expect_err("too long");
    assert_eq!(
        found[0].to_string(),
        "long.csv: found 2000001 bytes, expected at most 2000000 bytes; leave out kinds that the region has not"
    );
}
