//! Lists of fungi as authorities keep them, in the forms in which spreadsheets and offices write them (common practice),
//! along the boundary that a page uses. In go the bytes of a list, out come its names with the kinds they stand for, and
//! what gave no name. The sentences are held beside the reader; here it is that no form loses a name.

use hostwood::boundary::Session;
use serde_json::Value;

/// The names that came out, and the codes of what was told.
fn read(bytes: &[u8]) -> (Vec<String>, Vec<String>) {
    let report = serde_json::to_value(Session::default().protected_from_csv(bytes)).expect("plain objects");
    let texts = |list: &str, member: &str| -> Vec<String> {
        let entries = report[list].as_array().expect(list);
        entries
            .iter()
            .map(|entry| entry[member].as_str().expect(member).to_owned())
            .collect()
    };
    (texts("names", "name"), texts("mistakes", "code"))
}

fn wide(text: &str, mark: [u8; 2], order: fn(u16) -> [u8; 2]) -> Vec<u8> {
    mark.into_iter()
        .chain(text.encode_utf16().flat_map(order))
        .collect()
}

/// Bytes of an encoding with one byte a letter: `é` as in Windows-1252, all others must be ASCII.
fn one_byte(text: &str) -> Vec<u8> {
    text.chars()
        .map(|c| {
            if c == 'é' {
                0xe9
            } else {
                u8::try_from(c).expect("ASCII")
            }
        })
        .collect()
}

/// What the form is, its bytes, and what is told. Every list holds the cep and the chanterelle, in that order.
fn lists() -> Vec<(&'static str, Vec<u8>, &'static [&'static str])> {
    let text = |text: &str| text.as_bytes().to_vec();
    vec![
        (
            "one name a line",
            text("Boletus edulis\nCantharellus cibarius\n"),
            &[],
        ),
        (
            "a term of Darwin Core",
            text(
                "taxonID,scientificName,taxonRank\n1,Boletus edulis,species\n2,Cantharellus cibarius,species\n",
            ),
            &[],
        ),
        (
            "German, semicolons, decimal commas, a mark at the start",
            text(
                "\u{feff}Nr.;Wissenschaftlicher Name;Größe\r\n1;Boletus edulis;4,5\r\n2;Cantharellus cibarius;2,0\r\n",
            ),
            &[],
        ),
        (
            "German, the everyday name first",
            text("Art (deutsch);Art (wiss.)\nSteinpilz;Boletus edulis\nPfifferling;Cantharellus cibarius\n"),
            &[],
        ),
        (
            "French, tabs",
            text(
                "Nom français\tNom scientifique\tStatut\ncèpe\tBoletus edulis\tLC\ngirolle\tCantharellus cibarius\tLC\n",
            ),
            &[],
        ),
        (
            "Italian",
            text(
                "Nome comune;Nome scientifico;Note\nporcino;Boletus edulis;\ngallinaccio;Cantharellus cibarius;\n",
            ),
            &[],
        ),
        (
            "Spanish",
            text("Nombre común,Nombre científico\nhongo,Boletus edulis\nrebozuelo,Cantharellus cibarius\n"),
            &[],
        ),
        (
            "Polish",
            text(
                "Lp.;Nazwa polska;Nazwa łacińska\n1;borowik szlachetny;Boletus edulis\n2;pieprznik jadalny;Cantharellus cibarius\n",
            ),
            &[],
        ),
        (
            "Czech",
            text(
                "Český název;Vědecké jméno\nhřib smrkový;Boletus edulis\nliška obecná;Cantharellus cibarius\n",
            ),
            &[],
        ),
        (
            "Finnish",
            text("Nimi;Tieteellinen nimi\nherkkutatti;Boletus edulis\nkeltavahvero;Cantharellus cibarius\n"),
            &[],
        ),
        (
            "Swedish",
            text(
                "Svenskt namn;Vetenskapligt namn\nkarljohan;Boletus edulis\nkantarell;Cantharellus cibarius\n",
            ),
            &[],
        ),
        (
            "Slovene",
            text(
                "Slovensko ime;Znanstveno ime\njesenski goban;Boletus edulis\nnavadna lisička;Cantharellus cibarius\n",
            ),
            &[],
        ),
        (
            "names with authors and years",
            text("species\nBoletus edulis Bull.\nCantharellus cibarius Fr., 1821\n"),
            &[],
        ),
        (
            "authors in quotation marks, for their commas",
            text(
                "species,status\n\"Boletus edulis Bull., 1782\",LC\n\"Cantharellus cibarius Fr., 1821\",LC\n",
            ),
            &[],
        ),
        (
            "upright strokes",
            text("id|taxon\n1|Boletus edulis\n2|Cantharellus cibarius\n"),
            &[],
        ),
        (
            "no heading that anybody knows",
            text("a,b,c\n1,Boletus edulis,x\n2,Cantharellus cibarius,y\n"),
            &[],
        ),
        (
            "empty columns and empty lines at the end",
            text("species;;\nBoletus edulis;;\n;;\nCantharellus cibarius;;\n;;\n\n"),
            &[],
        ),
        (
            "lines that end as on an old Mac",
            text("species\rBoletus edulis\rCantharellus cibarius\r"),
            &[],
        ),
        (
            "blanks around the names, and one that does not break",
            text("species\n  Boletus edulis \nCantharellus\u{a0}cibarius\n"),
            &[],
        ),
        (
            "UTF-16, least byte first",
            wide(
                "species\tstatus\nBoletus edulis\tLC\nCantharellus cibarius\tLC\n",
                [0xff, 0xfe],
                u16::to_le_bytes,
            ),
            &[],
        ),
        (
            "UTF-16, greatest byte first",
            wide(
                "species\tstatus\nBoletus edulis\tLC\nCantharellus cibarius\tLC\n",
                [0xfe, 0xff],
                u16::to_be_bytes,
            ),
            &[],
        ),
        (
            "Windows-1252",
            one_byte("nom commun;espéce\ncépe;Boletus edulis\ngirolle;Cantharellus cibarius\n"),
            &["not-utf8"],
        ),
        (
            "a title over the headings",
            text(
                "Protected fungi of the valley;;\nNo.;Species;Since\n1;Boletus edulis;2019\n2;Cantharellus cibarius;2019\n",
            ),
            &[],
        ),
        (
            "a formula in one cell",
            text("species,note\nBoletus edulis,=1+1\nCantharellus cibarius,\n=HYPERLINK(1),\n"),
            &["scientific-name"],
        ),
        (
            "one name twice",
            text("species\nBoletus edulis\nCantharellus cibarius\nBoletus edulis Bull.\n"),
            &["duplicate-id"],
        ),
        (
            "a remark under the list",
            text("species;since\nBoletus edulis;2019\nCantharellus cibarius;2019\nas of 2026;\n"),
            &["scientific-name"],
        ),
    ]
}

#[test]
fn no_form_of_a_list_loses_a_name() {
    let mut wrong = Vec::new();
    for (form, bytes, told) in lists() {
        let (names, codes) = read(&bytes);
        let plain = |name: &String| name.split_whitespace().take(2).collect::<Vec<_>>().join(" ");
        let found: Vec<String> = names.iter().map(plain).collect();
        if found != ["Boletus edulis", "Cantharellus cibarius"] || codes != told {
            wrong.push(format!("{form}: {names:?}, told {codes:?}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn the_boundary_gives_plain_objects() {
    let list = "species\nBoletus edulis Bull.\nMorchella\nBoletus edullis\n";
    let report =
        serde_json::to_value(Session::default().protected_from_csv(list.as_bytes())).expect("objects");
    let name = |place: usize| &report["names"][place];
    assert_eq!(
        (
            &name(0)["name"],
            &name(0)["rank"],
            &name(0)["line"],
            &name(0)["kinds"]
        ),
        (
            &Value::from("Boletus edulis Bull."),
            &Value::from("species"),
            &Value::from(2),
            &serde_json::json!(["boletus_edulis"])
        )
    );
    assert_eq!(
        (
            &name(1)["rank"],
            name(1)["kinds"].as_array().is_some_and(|kinds| !kinds.is_empty())
        ),
        (&Value::from("genus"), true)
    );
    assert_eq!(
        name(2)["kinds"],
        serde_json::json!([]),
        "kept, though no table has it"
    );
    let told = &report["mistakes"][0];
    assert_eq!(
        (
            told["code"].as_str(),
            told["severity"].as_str(),
            told["line"].as_u64()
        ),
        (Some("name-not-known"), Some("warning"), Some(4))
    );
    assert!(
        told["message"]
            .as_str()
            .expect("words")
            .contains("did you mean `Boletus edulis`?"),
        "{told}"
    );
}
