//! What a visitor plans with and takes along, natively and along the whole line: the best stands of a day, the year of
//! a stand, outlines for a satellite receiver, the record of a find.

#[path = "../examples/region/region.rs"]
#[expect(dead_code, reason = "the ways of the region are drawn elsewhere")]
mod region;

use std::collections::BTreeMap;
use std::sync::OnceLock;

use hostwood::boundary::{
    BookBytes, Filter, FindInput, GpxQuery, GpxWish, LegendLook, ListQuery, ListRow, PlanQuery, PlanReport,
    Session, SheetOptions, Sort, View, VisitInput,
};
use hostwood::export::{Grid, blurred};
use hostwood::geometry::LngLat;
use proptest::prelude::*;
use serde_json::{Value, json};

const BOOK: &str = include_str!("../examples/region/eskenvar.rules.json");

fn files() -> &'static region::Files {
    static FILES: OnceLock<region::Files> = OnceLock::new();
    FILES.get_or_init(region::make)
}

fn opened(stands: &str, crosswalk: Option<&[u8]>, book: Option<&str>, day: &str) -> Session {
    let mut session = Session::default();
    session.begin_stands(crosswalk).expect("begin");
    session.push_stands(stands.as_bytes()).expect("push");
    session.finish_stands().expect("finish");
    let books: Vec<BookBytes> = book
        .map(|text| BookBytes {
            name: "region".to_owned(),
            bytes: Some(text.as_bytes().to_vec()),
        })
        .into_iter()
        .collect();
    session.set_rules(&books);
    let visit = VisitInput {
        day: day.to_owned(),
        ..VisitInput::default()
    };
    session.set_visit(&visit).expect("visit");
    session
}

/// The demo region on a day.
fn region_on(day: &str) -> Session {
    let crosswalk = include_bytes!("../examples/region/crosswalk.json");
    opened(&files().stands, Some(crosswalk), Some(BOOK), day)
}

fn rows(session: &Session, start: [f64; 2], view: View) -> Vec<ListRow> {
    let query = ListQuery {
        sort: Sort::Name,
        descending: false,
        view,
        wish: None,
        filter: Filter::default(),
        offset: 0,
        limit: 1000,
        start: Some(start),
        languages: Vec::new(),
    };
    let mut all = Vec::new();
    loop {
        let page = session
            .list(&ListQuery {
                offset: all.len(),
                ..query.clone()
            })
            .expect("a page");
        all.extend(page.rows);
        if all.len() >= page.total {
            return all;
        }
    }
}

fn query(start: [f64; 2], within: f64) -> PlanQuery {
    PlanQuery {
        start,
        within,
        most: 10,
        view: View::Roots,
        wish: None,
        languages: vec!["en".to_owned()],
    }
}

/// The same plan for as many stands as one plan can have.
fn longer(session: &Session, start: [f64; 2], within: f64) -> PlanReport {
    let query = PlanQuery {
        most: 50,
        ..query(start, within)
    };
    session.plan(&query).expect("a plan")
}

/// What is wrong with a plan, held against the list of the same map and day, and against a longer plan, which tells
/// what is in season in stands that have no room in the short one.
fn faults(plan: &PlanReport, longer: &PlanReport, rows: &[ListRow], within: f64) -> Vec<String> {
    let by_id: BTreeMap<&str, &ListRow> = rows.iter().map(|row| (row.id.as_str(), row)).collect();
    let mut found = Vec::new();
    let mut keys = Vec::new();
    for stand in &plan.stands {
        let row = by_id[stand.id.as_str()];
        let answer = row.answer.word();
        if stand.answer != row.answer || matches!(answer, "closed" | "over" | "breach") {
            found.push(format!("{}: {answer}", stand.id));
        }
        if stand.distance > within || row.distance != Some(stand.distance) {
            found.push(format!("{}: {} m", stand.id, stand.distance));
        }
        let told = serde_json::to_string(&stand.says).expect("a tree");
        let says_unknown = told.contains("plan.law_not_known");
        if says_unknown != (answer == "not_known") {
            found.push(format!("{}: the law is {answer}, and it says {told}", stand.id));
        }
        if !told.contains("sheet.danger.none") && !told.contains("plan.danger") {
            found.push(format!("{}: nothing is said of danger", stand.id));
        }
        keys.push((
            answer == "not_known",
            !stand.in_season,
            -row.value.unwrap_or(0.0),
            stand.distance,
        ));
    }
    if !keys.is_sorted_by(|a, b| a <= b) {
        found.push(format!("not sorted: {keys:?}"));
    }
    // Nothing better of the same kind was left out.
    if let Some(last) = plan.stands.last() {
        let least = by_id[last.id.as_str()].value.unwrap_or(0.0);
        let told = |row: &ListRow| row.answer.word() != "not_known";
        for row in rows {
            let chosen = plan.stands.iter().any(|stand| stand.id == row.id);
            let near = row.distance.is_some_and(|distance| distance <= within);
            let open = !matches!(row.answer.word(), "closed" | "over" | "breach");
            let better = row.value.is_some_and(|value| value > least);
            // A stand of more worth with nothing in season is rightly left out.
            let in_season = longer
                .stands
                .iter()
                .any(|stand| stand.id == row.id && stand.in_season);
            if in_season
                && !chosen
                && near
                && open
                && better
                && (told(row) || last.answer.word() == "not_known")
            {
                found.push(format!("{} is better and left out", row.id));
            }
        }
    }
    found
}

#[test]
fn the_best_stands_of_a_day_are_none_closed_near_enough_and_sorted() {
    let session = region_on("2026-09-12");
    let middle = [15.8, 49.2];
    let all = rows(&session, middle, View::Roots);
    let somewhere = all
        .iter()
        .find(|row| row.answer.word() == "closed" && row.value.is_some_and(|value| value > 40.0))
        .expect("the demo has a closed stand of some worth");
    let start = session
        .stand(&somewhere.id)
        .and_then(|stand| stand.inside)
        .expect("a place");
    for within in [500.0, 3000.0, 8000.0] {
        let plan = session.plan(&query(start, within)).expect("a plan");
        let near = rows(&session, start, View::Roots);
        assert_eq!(
            faults(&plan, &longer(&session, start, within), &near, within),
            Vec::<String>::new(),
            "{within} m"
        );
        assert!(plan.closed > 0, "the start lies in a closed stand");
    }
    let plan = session.plan(&query(start, 8000.0)).expect("a plan");
    assert_eq!(plan.stands.len(), 10);
    // The check of a plan sees each fault.
    let longest = longer(&session, start, 8000.0);
    let near = rows(&session, start, View::Roots);
    let mut turned = plan.clone();
    turned.stands.reverse();
    assert!(
        faults(&turned, &longest, &near, 8000.0)
            .iter()
            .any(|fault| fault.starts_with("not sorted"))
    );
    let mut far = plan.clone();
    far.stands[0].distance = 9000.0;
    assert!(!faults(&far, &longest, &near, 8000.0).is_empty());
    let least = near
        .iter()
        .filter(|row| row.answer == plan.stands[9].answer)
        .filter(|row| row.distance.is_some_and(|distance| distance <= 8000.0))
        .min_by(|a, b| a.value.unwrap_or(0.0).total_cmp(&b.value.unwrap_or(0.0)))
        .expect("a stand");
    let mut worse = plan.clone();
    worse.stands[9].id.clone_from(&least.id);
    worse.stands[9].distance = least.distance.expect("a distance");
    assert!(
        faults(&worse, &longest, &near, 8000.0)
            .iter()
            .any(|fault| fault.contains("is better and left out"))
    );
    let mut closed = plan.clone();
    closed.stands[0].id = somewhere.id.clone();
    assert!(
        faults(&closed, &longest, &near, 8000.0)
            .iter()
            .any(|fault| fault.contains("closed"))
    );
}

#[test]
fn without_a_rule_book_every_stand_of_a_plan_says_that_the_law_is_not_known() {
    let session = opened(
        include_str!("../examples/plain/stands.geojson"),
        None,
        None,
        "2026-09-12",
    );
    let plan = session.plan(&query([15.7575, 49.196], 5000.0)).expect("a plan");
    assert!(!plan.stands.is_empty());
    for stand in &plan.stands {
        assert_eq!(stand.answer.word(), "not_known");
        let told = serde_json::to_string(&stand.says).expect("a tree");
        assert!(told.contains("plan.law_not_known"), "{told}");
    }
}

#[test]
fn in_winter_a_plan_says_that_the_kind_is_not_in_season() {
    let session = region_on("2026-01-15");
    let wished = PlanQuery {
        wish: Some("boletus_edulis".to_owned()),
        ..query([15.8, 49.2], 60_000.0)
    };
    let plan = session.plan(&wished).expect("a plan");
    assert!(!plan.stands.is_empty());
    for stand in &plan.stands {
        assert!(!stand.in_season);
        let told = serde_json::to_string(&stand.says).expect("a tree");
        assert!(told.contains("plan.wish_out_of_season"), "{told}");
    }
}

#[test]
fn a_plan_that_makes_no_sense_is_refused() {
    let session = opened(
        include_str!("../examples/plain/stands.geojson"),
        None,
        None,
        "2026-09-12",
    );
    for (start, within, message) in [
        (
            [0.0, 91.0],
            5000.0,
            "plan: the position is `0, 91`, expected degrees east and north such as 14.3, 48.3",
        ),
        (
            [0.0, 50.0],
            -1.0,
            "plan: the distance is `-1`, expected metres greater than 0 such as 5000",
        ),
        (
            [0.0, 50.0],
            f64::NAN,
            "plan: the distance is `NaN`, expected metres greater than 0 such as 5000",
        ),
    ] {
        let refusal = session.plan(&query(start, within)).expect_err(message);
        assert_eq!(
            (refusal.code.as_str(), refusal.message.as_str()),
            ("bad-argument", message)
        );
    }
}

/// Asks the demo region, read once, on the fifteenth of a month.
fn on_the_fifteenth<T>(month: u8, ask: impl FnOnce(&Session) -> T) -> T {
    thread_local! {
        static REGION: std::cell::RefCell<Session> = std::cell::RefCell::new(region_on("2026-01-15"));
    }
    REGION.with_borrow_mut(|session| {
        let visit = VisitInput {
            day: format!("2026-{month:02}-15"),
            ..VisitInput::default()
        };
        session.set_visit(&visit).expect("visit");
        ask(session)
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 16, ..ProptestConfig::default() })]

    #[test]
    fn every_plan_holds_wherever_it_starts(
        lng in 15.3..16.2f64,
        lat in 48.9..49.5f64,
        within in 100.0..40_000.0f64,
        month in 1..=12u8,
    ) {
        let (plan, again, found) = on_the_fifteenth(month, |session| {
            let plan = session.plan(&query([lng, lat], within)).expect("a plan");
            let again = session.plan(&query([lng, lat], within)).expect("a plan");
            let longest = longer(session, [lng, lat], within);
            let found = faults(&plan, &longest, &rows(session, [lng, lat], View::Roots), within);
            (plan, again, found)
        });
        prop_assert_eq!(plan, again);
        prop_assert_eq!(found, Vec::<String>::new());
    }

    #[test]
    fn a_blurred_position_covers_where_it_came_from(lng in -180.0..180.0f64, lat in -89.0..89.0f64, side in 0..3usize) {
        let grid = Grid::parse([100, 1000, 10_000][side]).expect("a grid");
        let place = LngLat { lng, lat };
        let found = blurred(place, grid);
        let away = found.middle.metres_to(place);
        // Rounding to five digits moves the middle by less than a metre.
        prop_assert!(away <= found.uncertainty + 1.0, "{} m away, {} m told", away, found.uncertainty);
        prop_assert!(found.uncertainty >= grid.metres() * 0.7, "{} m", found.uncertainty);
        // Who stands elsewhere in the cell tells the same.
        let again = blurred(found.middle, grid);
        prop_assert_eq!(again, found);
    }
}

#[test]
fn cells_of_the_grid_are_about_as_large_as_they_say() {
    for (lng, lat) in [(14.3, 48.3), (25.0, 66.5), (-122.0, 37.0), (146.0, -42.0)] {
        for metres in [100, 1000, 10_000] {
            let grid = Grid::parse(metres).expect("a grid");
            let half_diagonal = f64::from(metres) / 2.0 * std::f64::consts::SQRT_2;
            let found = blurred(LngLat { lng, lat }, grid).uncertainty;
            assert!(
                (found / half_diagonal - 1.0).abs() < 0.03,
                "{metres} m at {lat}: {found} m, half the diagonal is {half_diagonal:.0} m"
            );
        }
    }
    assert_eq!(Grid::parse(500), None);
}

/// One summary of every kind that a section of the sheet shows.
fn shown(session: &Session, stand: &str, section: &str) -> Vec<Value> {
    let sheet = session
        .sheet(
            stand,
            &SheetOptions {
                languages: vec!["en".to_owned()],
                ..SheetOptions::default()
            },
        )
        .expect("a sheet");
    let tree = serde_json::to_value(sheet).expect("a tree");
    let part = tree
        .as_array()
        .expect("nodes")
        .iter()
        .find(|node| node["id"] == section)
        .expect("a section")
        .clone();
    fn walk(value: &Value, found: &mut Vec<Value>) {
        if value["node"] == "more" && matches!(value["tone"].as_str(), Some("kind" | "poisonous" | "deadly"))
        {
            found.push(value["summary"].clone());
            return;
        }
        for inner in ["children", "items"] {
            for child in value[inner].as_array().into_iter().flatten() {
                match child {
                    Value::Array(nodes) => nodes.iter().for_each(|node| walk(node, found)),
                    node => walk(node, found),
                }
            }
        }
    }
    let mut found = Vec::new();
    walk(&part, &mut found);
    found
}

#[test]
fn the_year_of_a_stand_says_what_its_sheets_say_day_by_day() {
    let mut session = region_on("2026-09-12");
    let stand = rows(&session, [15.8, 49.2], View::Roots)
        .into_iter()
        .find(|row| row.answer.word() == "limits" && row.value.is_some_and(|value| value > 50.0))
        .expect("a stand of worth")
        .id;
    let options = SheetOptions {
        languages: vec!["en".to_owned()],
        ..SheetOptions::default()
    };
    let year = session.calendar(&stand, &options).expect("a year");
    assert_eq!(year.answers.len(), 365);
    assert_eq!(year.from.to_string(), "2026-01-01");
    assert!(
        year.kinds
            .iter()
            .any(|kind| serde_json::to_value(kind).expect("JSON")["tone"] == "deadly"),
        "no deadly kind is told"
    );
    for (day, number) in [
        ("2026-04-20", 109),
        ("2026-07-01", 181),
        ("2026-09-12", 254),
        ("2026-11-20", 323),
    ] {
        let visit = VisitInput {
            day: day.to_owned(),
            ..VisitInput::default()
        };
        session.set_visit(&visit).expect("visit");
        let seasons = [
            shown(&session, &stand, "season"),
            shown(&session, &stand, "danger"),
        ];
        for kind in &year.kinds {
            let told = serde_json::to_value(kind).expect("JSON");
            let collected = told["tone"] == "kind";
            let expected = seasons[usize::from(!collected)].iter().any(|summary| {
                let out = summary.as_array().is_some_and(|texts| {
                    texts
                        .iter()
                        .any(|text| text["key"] == "sheet.danger.out_of_season")
                });
                summary[0] == told["name"] && !out
            });
            let found = kind
                .spans
                .iter()
                .any(|[from, to]| (*from..=*to).contains(&number));
            assert_eq!(found, expected, "{day}: {told}");
        }
    }
    // Spans are in order and do not touch.
    for kind in &year.kinds {
        assert!(
            kind.spans.windows(2).all(|pair| pair[0][1] + 1 < pair[1][0]),
            "{kind:?}"
        );
    }
}

fn gpx(session: &Session, stands: &[(&str, &str, &str)]) -> String {
    let query = GpxQuery {
        stands: stands
            .iter()
            .map(|(id, name, description)| GpxWish {
                id: (*id).to_owned(),
                name: (*name).to_owned(),
                description: (*description).to_owned(),
            })
            .collect(),
        title: "Two stands".to_owned(),
        caution: "No permission. <read> the rules & signs".to_owned(),
        simplified: "Simplified by at most {metres} m.".to_owned(),
    };
    String::from_utf8(session.gpx(&query).expect("a file")).expect("UTF-8")
}

/// The names of child elements of every element, in order: a structural check, not a validation.
fn out_of_order(file: &str) -> Vec<String> {
    // Sequences of the schema of GPX 1.1 (Topografix 2004): gpxType, metadataType, wptType, trkType, trksegType.
    let order: BTreeMap<&str, &[&str]> = [
        ("gpx", &["metadata", "wpt", "rte", "trk", "extensions"][..]),
        (
            "metadata",
            &[
                "name",
                "desc",
                "author",
                "copyright",
                "link",
                "time",
                "keywords",
                "bounds",
                "extensions",
            ][..],
        ),
        (
            "wpt",
            &[
                "ele",
                "time",
                "magvar",
                "geoidheight",
                "name",
                "cmt",
                "desc",
                "src",
                "link",
                "sym",
                "type",
            ][..],
        ),
        (
            "trk",
            &[
                "name",
                "cmt",
                "desc",
                "src",
                "link",
                "number",
                "type",
                "extensions",
                "trkseg",
            ][..],
        ),
        ("trkseg", &["trkpt", "extensions"][..]),
        ("trkpt", &[][..]),
        ("bounds", &[][..]),
        ("name", &[][..]),
        ("desc", &[][..]),
    ]
    .into();
    let mut found = Vec::new();
    let mut open: Vec<(String, usize)> = Vec::new();
    for tag in file
        .split('<')
        .skip(1)
        .map(|rest| rest.split('>').next().unwrap_or(""))
    {
        if tag.starts_with('?') {
            continue;
        }
        if let Some(name) = tag.strip_prefix('/') {
            match open.pop() {
                Some((last, _)) if last == name => {}
                other => found.push(format!("`/{name}` closes {other:?}")),
            }
            continue;
        }
        let name = tag.split([' ', '/']).next().unwrap_or("");
        if let Some((parent, at)) = open.last_mut() {
            match order
                .get(parent.as_str())
                .and_then(|all| all.iter().position(|one| *one == name))
            {
                Some(place) if place >= *at => *at = place,
                _ => found.push(format!("`{name}` stands out of order in `{parent}`")),
            }
        }
        if !tag.ends_with('/') {
            open.push((name.to_owned(), 0));
        }
    }
    found.extend(open.iter().map(|(name, _)| format!("`{name}` is not closed")));
    found
}

#[test]
fn outlines_are_gpx_that_another_reader_reads() {
    let session = opened(
        include_str!("../examples/plain/stands.geojson"),
        None,
        None,
        "2026-09-12",
    );
    let hostile = "<b>Church & \"Wood\"</b> \u{1}\u{202e}]]>";
    let file = gpx(
        &session,
        &[
            ("church-wood-1", hostile, "Rules apply."),
            ("church-wood-2", "Church Wood 2", ""),
        ],
    );
    assert_eq!(out_of_order(&file), Vec::<String>::new());
    assert_eq!(
        out_of_order("<gpx><trk></trk><metadata><desc></desc><name></name></metadata></gpx>"),
        [
            "`metadata` stands out of order in `gpx`",
            "`name` stands out of order in `metadata`"
        ]
    );
    let read = ::gpx::read(file.as_bytes()).expect("GPX");
    assert_eq!(read.version, ::gpx::GpxVersion::Gpx11);
    let about = read.metadata.expect("metadata");
    assert_eq!(about.name.as_deref(), Some("Two stands"));
    assert_eq!(
        about.description.as_deref(),
        Some("No permission. <read> the rules & signs")
    );
    assert_eq!((read.waypoints.len(), read.tracks.len()), (2, 2));
    // The control character cannot stand in XML; all else is there.
    let name = "<b>Church & \"Wood\"</b> \u{202e}]]>";
    assert_eq!(read.waypoints[0].name.as_deref(), Some(name));
    assert_eq!(read.tracks[0].name.as_deref(), Some(name));
    // The ring of the map, closed, to seven digits.
    let points: Vec<(f64, f64)> = read.tracks[0].segments[0]
        .points
        .iter()
        .map(|point| (point.point().x(), point.point().y()))
        .collect();
    assert_eq!(points.len(), 9);
    assert_eq!(
        (points[0], points[1]),
        ((15.755_52, 49.194_55), (15.757_77, 49.194_8))
    );
    assert_eq!(points.first(), points.last());
    let place = session
        .stand("church-wood-1")
        .expect("a stand")
        .inside
        .expect("a place");
    let at = read.waypoints[0].point();
    assert!((at.x() - place[0]).abs() < 1e-7 && (at.y() - place[1]).abs() < 1e-7);
}

/// A stand map of one stand whose shell winds through so many positions, with a number of small holes.
fn winding(positions: u32, holes: u32) -> String {
    let ring: Vec<[f64; 2]> = (0..=positions)
        .map(|n| {
            let turn = f64::from(n % positions) / f64::from(positions) * std::f64::consts::TAU;
            let out = 0.02 + 0.000_4 * (turn * 60.0).sin();
            [14.0 + out * turn.cos() * 1.5, 48.0 + out * turn.sin()]
        })
        .collect();
    let mut rings = vec![ring];
    for n in 0..holes {
        let (x, y) = (
            13.985 + f64::from(n % 20) * 0.001_5,
            47.99 + f64::from(n / 20) * 0.001_5,
        );
        let hole = [
            [x, y],
            [x, y + 0.000_5],
            [x + 0.000_5, y + 0.000_5],
            [x + 0.000_5, y],
            [x, y],
        ];
        rings.push(hole.to_vec());
    }
    json!({ "type": "FeatureCollection", "features": [{
        "type": "Feature",
        "properties": { "id": "1", "trees": [{ "name": "Picea abies", "share": 1 }] },
        "geometry": { "type": "Polygon", "coordinates": rings },
    }] })
    .to_string()
}

#[test]
fn a_long_outline_is_simplified_by_no_more_than_it_says() {
    use geo::{Distance as _, Euclidean};
    for (positions, holes) in [(400, 0), (1200, 0), (20_000, 0), (3000, 150)] {
        let map = winding(positions, holes);
        let session = opened(&map, None, None, "2026-09-12");
        let file = gpx(&session, &[("1", "Round Wood", "")]);
        assert_eq!(out_of_order(&file), Vec::<String>::new());
        let read = ::gpx::read(file.as_bytes()).expect("GPX");
        for track in &read.tracks {
            let points: usize = track.segments.iter().map(|segment| segment.points.len()).sum();
            assert!(points <= 500, "{points} points of {positions}");
        }
        let rings: usize = read.tracks.iter().map(|track| track.segments.len()).sum();
        assert_eq!(rings, 1 + holes as usize, "every ring is there");
        let told = read.tracks[0].description.as_deref().unwrap_or("");
        if positions == 400 {
            assert_eq!(told, "");
            continue;
        }
        let tolerance: f64 = told
            .strip_prefix("Simplified by at most ")
            .and_then(|rest| rest.strip_suffix(" m."))
            .and_then(|metres| metres.parse().ok())
            .expect(told);
        let metres = |x: f64, y: f64| {
            geo::Point::new(
                (x - 14.0) * 111_320.0 * 48f64.to_radians().cos(),
                (y - 48.0) * 111_200.0,
            )
        };
        let line: geo::LineString<f64> = read.tracks[0].segments[0]
            .points
            .iter()
            .map(|point| metres(point.point().x(), point.point().y()))
            .collect();
        let shell: Value = serde_json::from_str(&map).expect("JSON");
        let farthest = shell["features"][0]["geometry"]["coordinates"][0]
            .as_array()
            .expect("a ring")
            .iter()
            .map(|at| {
                let at = metres(at[0].as_f64().expect("x"), at[1].as_f64().expect("y"));
                Euclidean.distance(&at, &line)
            })
            .fold(0.0, f64::max);
        assert!(
            farthest <= tolerance * 1.01,
            "{positions} positions: {farthest:.2} m away, {tolerance} m told"
        );
    }
}

#[test]
fn outlines_that_are_not_there_are_refused() {
    let session = opened(
        include_str!("../examples/plain/stands.geojson"),
        None,
        None,
        "2026-09-12",
    );
    let of = |id: &str| GpxQuery {
        stands: vec![GpxWish {
            id: id.to_owned(),
            name: String::new(),
            description: String::new(),
        }],
        title: String::new(),
        caution: String::new(),
        simplified: String::new(),
    };
    let refusal = session.gpx(&of("nowhere")).expect_err("no such stand");
    assert_eq!(refusal.message, "there is no stand `nowhere` on this map");
    let empty = GpxQuery {
        stands: Vec::new(),
        ..of("")
    };
    assert_eq!(
        session.gpx(&empty).expect_err("no stands").message,
        "gpx: none of the stands has an outline on this map, so there is nothing to write; choose another stand"
    );
}

fn find() -> FindInput {
    FindInput {
        name: "Cantharellus cibarius".to_owned(),
        day: "2026-09-12".to_owned(),
        position: [15.757_77, 49.196],
        grid: 1000,
        generalised: "Moved to the middle of a cell of 1 km.".to_owned(),
        ..FindInput::default()
    }
}

#[test]
fn a_find_is_a_record_that_does_not_tell_its_stand() {
    let session = opened(
        include_str!("../examples/plain/stands.geojson"),
        None,
        None,
        "2026-09-12",
    );
    let told = FindInput {
        stand: Some("church-wood-1".to_owned()),
        ..find()
    };
    let bytes = session.occurrence(&told).expect("a record");
    let text = String::from_utf8(bytes).expect("UTF-8");
    assert!(!text.to_lowercase().contains("church"), "{text}");
    assert!(text.contains("Fagus sylvatica | Quercus petraea"), "{text}");
    assert!(text.contains("Cantharellus cibarius"), "{text}");
    assert!(!text.contains("15.75777"), "the exact position is told: {text}");
}

#[test]
fn a_find_that_makes_no_sense_is_refused() {
    let session = Session::default();
    for (input, message) in [
        (
            FindInput {
                name: "  ".to_owned(),
                ..find()
            },
            "find: `name` is ``, expected what it was taken for, such as `Hericium erinaceus`",
        ),
        (
            FindInput {
                day: "2026-02-30".to_owned(),
                ..find()
            },
            "find: `day` is `2026-02-30`, expected a day such as `2026-10-03`",
        ),
        (
            FindInput { grid: 50, ..find() },
            "find: `grid` is `50`, expected 100, 1000 or 10000 metres",
        ),
        (
            FindInput {
                position: [15.0, 95.0],
                ..find()
            },
            "find: the position is `15, 95`, expected degrees east and north such as 14.3, 48.3",
        ),
    ] {
        assert_eq!(session.occurrence(&input).expect_err(message).message, message);
    }
}

#[test]
fn what_a_view_does_not_assess_is_explained_only_where_it_is_drawn() {
    let swatches = |session: &Session, view: View, wish: Option<&str>| -> Vec<String> {
        let look = LegendLook {
            scheme: "light".to_owned(),
            ratio: 1.0,
            view,
            wish: wish.map(ToOwned::to_owned),
            more_contrast: false,
        };
        session
            .swatches(&look)
            .into_iter()
            .map(|entry| entry.id)
            .collect()
    };
    // Trees alone: nothing is told of dead wood or of edges.
    let session = opened(&winding(50, 0), None, None, "2026-09-12");
    let explains = |view, wish| swatches(&session, view, wish).contains(&"not_assessed".to_owned());
    assert!(explains(View::Wood, None));
    assert!(explains(View::Litter, None));
    assert!(!explains(View::Wood, Some("boletus_edulis")));
    let full = opened(
        include_str!("../examples/plain/stands.geojson"),
        None,
        None,
        "2026-09-12",
    );
    assert!(!swatches(&full, View::Wood, None).contains(&"not_assessed".to_owned()));
}
