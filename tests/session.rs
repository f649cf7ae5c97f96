//! The whole line, natively: bytes of a stand map and of a rule book go in, tiles, sheets and lists come out. What each
//! room does is tested in the room; here they have to fit together.

use hostwood::boundary::{
    BookBytes, Filter, ListQuery, Session, SheetOptions, Sort, TileOptions, View, VisitInput,
};
use hostwood::knowledge::Knowledge;
use hostwood::standmap::read;

const STANDS: &str = include_str!("../examples/plain/stands.geojson");
const BOOK: &str = include_str!("../examples/region/eskenvar.rules.json");

fn session(stands: &str, books: &[(&str, Option<&str>)]) -> Session {
    let mut session = Session::default();
    session.begin_stands(None).expect("begin");
    for chunk in stands.as_bytes().chunks(1000) {
        session.push_stands(chunk).expect("push");
    }
    session.finish_stands().expect("finish");
    let books: Vec<BookBytes> = books
        .iter()
        .map(|(name, text)| BookBytes {
            name: (*name).to_owned(),
            bytes: text.map(|text| text.as_bytes().to_vec()),
        })
        .collect();
    session.set_rules(&books);
    session
}

fn visit(day: &str) -> VisitInput {
    VisitInput {
        day: day.to_owned(),
        ..VisitInput::default()
    }
}

fn query() -> ListQuery {
    ListQuery {
        sort: Sort::Potential,
        descending: true,
        view: View::Roots,
        wish: None,
        filter: Filter::default(),
        offset: 0,
        limit: 50,
        start: None,
        languages: vec!["en".to_owned()],
    }
}

#[test]
fn overlaps_are_looked_for_when_they_are_asked_for_and_told_as_a_whole_reading_tells_them() {
    let map = include_str!("fixtures/odd_maps/stands_on_one_another.geojson");
    let mut session = Session::default();
    session.begin_stands(None).expect("begin");
    session.push_stands(map.as_bytes()).expect("push");
    let report = session.finish_stands().expect("finish");
    assert!(report.findings.iter().all(|finding| finding.code != "overlap"));
    let whole = read(map.as_bytes(), None, Knowledge::shipped()).expect("a map");
    let told: Vec<String> = whole
        .findings
        .iter()
        .filter(|finding| finding.code == "overlap")
        .map(ToString::to_string)
        .collect();
    let found: Vec<String> = session
        .overlaps()
        .iter()
        .map(|trouble| trouble.message.clone())
        .collect();
    assert_eq!(found, told);
    assert_eq!(found.len(), 1);
}

#[test]
fn a_map_without_a_rule_book_is_shaded_and_its_rules_are_not_known() {
    let mut session = session(STANDS, &[]);
    let report = session.set_visit(&visit("2026-09-12")).expect("visit");
    let page = session.list(&query()).expect("list");
    assert_eq!(report.answers.values().sum::<usize>(), page.total);
    assert!(
        page.rows.iter().all(|row| row.answer.word() == "not_known"),
        "{:?}",
        page.rows
    );
    assert!(
        page.rows.iter().any(|row| row.step.as_deref() == Some("rich")),
        "{:?}",
        page.rows
    );
}

#[test]
fn a_rule_book_that_could_not_be_had_makes_every_answer_not_known() {
    let mut session = session(STANDS, &[("region", Some(BOOK)), ("village", None)]);
    session.set_visit(&visit("2026-09-12")).expect("visit");
    let page = session.list(&query()).expect("list");
    for row in page.rows {
        assert!(
            matches!(row.answer.word(), "not_known" | "closed" | "need"),
            "{row:?}"
        );
    }
}

#[test]
fn sheets_have_their_parts_in_order_and_never_lack_law_and_danger() {
    let mut session = session(STANDS, &[]);
    session.set_visit(&visit("2026-09-12")).expect("visit");
    for row in session.list(&query()).expect("list").rows {
        let sheet = session
            .sheet(
                &row.id,
                &SheetOptions {
                    languages: vec!["en".to_owned()],
                    ..SheetOptions::default()
                },
            )
            .expect("sheet");
        let tree = serde_json::to_value(&sheet).expect("a tree");
        let ids: Vec<&str> = tree
            .as_array()
            .expect("nodes")
            .iter()
            .filter_map(|node| node["id"].as_str())
            .collect();
        assert_eq!(
            ids,
            ["trees", "law", "fruit", "season", "danger", "before"],
            "stand {}",
            row.id
        );
    }
}

#[test]
fn tiles_are_drawn_and_the_same_twice() {
    let mut session = session(STANDS, &[]);
    session.set_visit(&visit("2026-09-12")).expect("visit");
    let first = session.list(&query()).expect("list").rows.remove(0);
    let place = session
        .stand(&first.id)
        .expect("a stand")
        .inside
        .expect("a place");
    let at = hostwood::geometry::projection::to_pixels(
        hostwood::geometry::LngLat {
            lng: place[0],
            lat: place[1],
        },
        14.0,
        256.0,
    );
    let options = TileOptions {
        size: 256,
        ratio: 1.0,
        view: View::Roots,
        wish: None,
        scheme: None,
        selected: None,
        more_contrast: false,
        ahead: false,
    };
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "tile numbers"
    )]
    let (x, y) = ((at[0] / 256.0) as u32, (at[1] / 256.0) as u32);
    let tile = session.tile(14, x, y, &options);
    assert_eq!(tile.len(), 256 * 256 * 4);
    assert!(tile.chunks(4).any(|pixel| pixel[3] == 255), "nothing is drawn");
    assert_eq!(tile, session.tile(14, x, y, &options));
    assert_eq!(
        session.stand_at(place[0], place[1]).as_deref(),
        Some(first.id.as_str())
    );
}

#[test]
fn a_bad_file_is_refused_with_its_reason_and_the_old_map_stays() {
    let mut session = session(STANDS, &[]);
    session.set_visit(&visit("2026-09-12")).expect("visit");
    let before = session.list(&query()).expect("list").total;
    session.begin_stands(None).expect("begin");
    let end = session
        .push_stands(b"<!doctype html>")
        .map(|_| ())
        .and_then(|()| session.finish_stands().map(|_| ()));
    let refusal = end.expect_err("a web page is no stand map");
    assert!(refusal.message.contains("web page"), "{refusal:?}");
    assert_eq!(session.list(&query()).expect("the old list").total, before);
}

#[test]
fn a_day_that_is_none_is_refused_by_name() {
    let mut session = session(STANDS, &[]);
    let refusal = session.set_visit(&visit("2026-02-30")).expect_err("30 February");
    assert_eq!(
        refusal.message,
        "day: `2026-02-30`, expected a day such as `2026-09-12`"
    );
}

const LAYERED: &str = r#"{"type":"FeatureCollection","features":[
    {"type":"Feature","id":"a","properties":{"trees":[
        {"name":"Acer pseudoplatanus","share":1},{"name":"Corylus avellana","share":1,"layer":"understorey"}]},
     "geometry":{"type":"Polygon","coordinates":[[[10,50],[10.01,50],[10.01,50.01],[10,50]]]}},
    {"type":"Feature","id":"b","properties":{"trees":[{"name":"other broadleaves","share":1}]},
     "geometry":{"type":"Polygon","coordinates":[[[10.1,50],[10.11,50],[10.11,50.01],[10.1,50]]]}}]}"#;

#[test]
fn a_row_tells_one_layer_and_groups_by_name_and_search_finds_every_layer() {
    let mut session = session(LAYERED, &[]);
    session.set_visit(&visit("2026-09-12")).expect("visit");
    let by_name = ListQuery {
        sort: Sort::Name,
        descending: false,
        ..query()
    };
    let rows = session.list(&by_name).expect("list").rows;
    let told: Vec<_> = rows[0]
        .trees
        .iter()
        .map(|tree| (tree.name.as_str(), tree.share))
        .collect();
    assert_eq!(told, [("sycamore maple", Some(1.0))]);
    assert_eq!(
        (
            rows[1].trees[0].genus.as_deref(),
            rows[1].trees[0].group.as_deref()
        ),
        (None, Some("broadleaf"))
    );
    let filter = Filter {
        text: Some("hazel".to_owned()),
        ..Filter::default()
    };
    let found = session.list(&ListQuery { filter, ..query() }).expect("list").rows;
    assert_eq!(found.iter().map(|row| row.id.as_str()).collect::<Vec<_>>(), ["a"]);
}

#[test]
fn a_kind_that_is_looked_for_is_shown_with_what_it_is_taken_for_even_out_of_season() {
    let mut session = session(LAYERED, &[]);
    session.set_visit(&visit("2026-01-15")).expect("visit");
    let options = SheetOptions {
        languages: vec!["en".to_owned()],
        wish: Some("amanita_caesarea".to_owned()),
        ..SheetOptions::default()
    };
    let sheet = serde_json::to_value(session.sheet("a", &options).expect("sheet")).expect("a tree");
    let fruit = sheet
        .as_array()
        .expect("nodes")
        .iter()
        .find(|node| node["id"] == "fruit")
        .expect("fruit");
    let line = fruit["children"]
        .as_array()
        .expect("lines")
        .iter()
        .find(|line| line["text"]["key"] == "sheet.kind.lookalikes")
        .expect("a line on its doubles");
    assert_eq!(line["tone"], "danger");
    assert!(line.to_string().contains("Amanita phalloides"), "{line}");
}
