//! What is fuzzed, and what must hold whatever comes in. In go bytes, out comes a panic where a promise is broken: after
//! reading nothing fails, no number is out of its range, nothing that was drawn or told depends on how bytes were cut.
//! `tests/fuzz_corpus.rs` runs every target over its corpus; `cargo www fuzz` looks for more.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use hostwood::boundary::{BookBytes, Session, SheetOptions, TileOptions, VisitInput};
use hostwood::geometry::{Index, Outlines, Polygons, repair};
use hostwood::knowledge::Knowledge;
use hostwood::standmap::{Crosswalk, Limits, Reader, Reading, Unreadable, propose, read};
use serde::de::DeserializeOwned;
use serde_json::{Value, json};

/// One target.
pub(crate) struct Target {
    /// Its name, and that of its corpus.
    pub(crate) name: &'static str,
    /// What is done with the bytes.
    pub(crate) run: fn(&[u8]),
    /// Folders of files to begin with, from the top of the project, beside its corpus.
    #[allow(
        dead_code,
        reason = "the test over the corpus reads them, the search is handed them by the build tool"
    )]
    pub(crate) seeds: &'static [&'static str],
}

/// All targets.
pub(crate) const TARGETS: &[Target] = &[
    target(
        "stand-map",
        stand_map,
        &["tests/fixtures/odd_maps", "tests/fixtures/published"],
    ),
    target("gzip", gzip, &[]),
    target("proposal", proposal, &["tests/fixtures/published"]),
    target(
        "crosswalk",
        crosswalk,
        &[
            "examples/crosswalks/poland",
            "examples/crosswalks/quebec",
            "examples/crosswalks/finland",
        ],
    ),
    target("composition", composition, &[]),
    target("geometry", geometry, &[]),
    target("tile", tile, &[]),
    target(
        "rule-book",
        rule_book,
        &["examples/rules", "tests/fixtures/rules"],
    ),
    target("verdict", verdict, &["examples/rules", "tests/fixtures/rules"]),
    target("weather", weather, &["examples/weather"]),
    target("kinds", kinds, &[]),
];

const fn target(name: &'static str, run: fn(&[u8]), seeds: &'static [&'static str]) -> Target {
    Target { name, run, seeds }
}

fn as_told<T: DeserializeOwned>(told: Value) -> T {
    serde_json::from_value(told).expect("what a page would send")
}

/// What must hold of every map that was read.
fn promises(reading: &Reading) {
    let map = &reading.map;
    assert_eq!(map.stands.len(), map.outlines.len());
    let mut ids: Vec<&str> = map.stands.iter().map(|stand| stand.id.as_str()).collect();
    ids.sort_unstable();
    ids.dedup();
    assert_eq!(ids.len(), map.stands.len(), "ids are unique");
    for (place, stand) in (0u32..).zip(&map.stands) {
        if let Some(area) = stand.area {
            assert!(area.get().is_finite() && area.get() >= 0.0, "{area:?}");
        }
        if let Some(here) = stand.place {
            assert!(
                here.inside.lng.is_finite() && here.inside.lat.abs() <= 90.0,
                "{here:?}"
            );
            assert!(here.bounds.west <= here.bounds.east && here.bounds.south <= here.bounds.north);
            assert!(map.outlines.contains(place, here.inside), "{here:?}");
        }
        assert!((stand.profile as usize) < map.profiles.len());
        assert!((stand.standing as usize) < map.standings.len());
    }
    for finding in &reading.findings {
        assert!(finding.count > 0);
    }
}

fn read_in(bytes: &[u8], chunk: usize, limits: Limits) -> Result<Reading, Unreadable> {
    let mut reader = Reader::new(None, Knowledge::shipped()).with_limits(limits);
    for part in bytes.chunks(chunk) {
        reader.push(part)?;
    }
    reader.finish()
}

/// A stand map in any format, whole and cut anywhere.
fn stand_map(bytes: &[u8]) {
    let limits = Limits::default();
    let whole = read_in(bytes, usize::MAX, limits);
    if let Ok(reading) = &whole {
        promises(reading);
    }
    let cut = read_in(
        bytes,
        1 + usize::from(bytes.first().copied().unwrap_or(0)),
        limits,
    );
    match (&whole, &cut) {
        (Ok(one), Ok(other)) => {
            assert_eq!(one.findings, other.findings);
            assert_eq!(one.map.stands, other.map.stands);
        }
        (Err(one), Err(other)) => assert_eq!((one.code, one.at), (other.code, other.at)),
        _ => panic!("whole {whole:?}, cut {cut:?}"),
    }
    let little = Limits {
        bytes: 500,
        stands: 2,
        positions: 9,
    };
    if let Ok(reading) = read_in(bytes, usize::MAX, little) {
        promises(&reading);
        assert!(reading.map.stands.len() <= 2);
    }
}

/// Packed bytes, sound or not.
fn gzip(bytes: &[u8]) {
    let mut packed = vec![0x1f, 0x8b, 8];
    packed.extend_from_slice(bytes);
    let told = |chunk| match read_in(&packed, chunk, Limits::default()) {
        Ok(reading) => {
            promises(&reading);
            format!("{} stands", reading.map.stands.len())
        }
        Err(refused) => refused.code.to_owned(),
    };
    assert_eq!(told(usize::MAX), told(3));
}

/// What is proposed for any map can be used on it.
fn proposal(bytes: &[u8]) {
    if let Ok(proposed) = propose(bytes, Knowledge::shipped(), &[], 2026) {
        let text = serde_json::to_vec(&proposed.crosswalk).expect("JSON");
        let crosswalk = Crosswalk::read(&text).expect("a proposal is a crosswalk");
        if let Ok(reading) = read(bytes, Some(&crosswalk), Knowledge::shipped()) {
            promises(&reading);
        }
    }
}

const ROWS: &str = r#"{"type":"FeatureCollection","features":[
{"type":"Feature","id":1,"properties":{"a_i_num":7,"adr_for":"99-12 -a","area_type":"D-STAN","site_type":"BMŚW","prot_categ":"REZ","species_cd":"SO","part_cd":"7","spec_age":64,"PRI":"Fichte","eta_ess_pc":"BS20WS60TA20","gr_ess":"EPEP","cl_age":"3050","STANDID":901,"MAINGROUP":1,"FERTILITYCLASS":3,"SOILTYPE":20,"MEANAGE":"1.234,5","A":"7So 2Św 1Brz"},"geometry":{"type":"Polygon","coordinates":[[[10,50],[10.01,50],[10.01,50.01],[10,50]]]}},
{"type":"Feature","id":2,"properties":{"spec_age":null,"species_cd":"??","part_cd":-1,"cl_age":[1,2],"A":{"b":1}},"geometry":null}]}"#;

/// A crosswalk, laid over a map in several agencies' columns.
fn crosswalk(bytes: &[u8]) {
    let files: BTreeMap<String, Vec<u8>> = Crosswalk::files(bytes)
        .unwrap_or_default()
        .into_iter()
        .map(|name| {
            (
                name,
                b"id,STANDID,species,share\n1,901,2,30\n1,901,1,70\n".to_vec(),
            )
        })
        .collect();
    match Crosswalk::read_with_files(bytes, &files) {
        Ok(crosswalk) => {
            if let Ok(reading) = read(ROWS.as_bytes(), Some(&crosswalk), Knowledge::shipped()) {
                promises(&reading);
            }
        }
        Err(mistakes) => assert!(mistakes.iter().all(|mistake| !mistake.code.is_empty())),
    }
}

/// A composition in each writing that a crosswalk can declare.
fn composition(bytes: &[u8]) {
    static WRITINGS: LazyLock<Vec<Crosswalk>> = LazyLock::new(|| {
        let list = r#""lists": {"q": {"codes": {"SO": "Pinus sylvestris", "DB": "Quercus", "B": {"group": "broadleaf"}}}}"#;
        let of = |composition: &str| {
            let text = format!(
                r#"{{"format": "hostwood-crosswalk/1.0", {list}, "trees": [{{"composition": {{"from": "C", {composition}}}}}]}}"#
            );
            match Crosswalk::read(text.as_bytes()) {
                Ok(crosswalk) => crosswalk,
                Err(mistakes) => panic!("{text}: {}", mistakes[0]),
            }
        };
        [
            r#""order": "share-code", "unit": "tenths", "list": "q""#,
            r#""order": "share-code", "unit": "percent", "list": "q", "trace": "+", "layer_mark": "/""#,
            r#""order": "code-share", "unit": "percent", "list": "q""#,
            r#""order": "code-share", "unit": "tenths", "list": "q""#,
            r#""order": "positional", "unit": "percent", "list": "q", "width": 2, "weights": [[100], [60, 40], [50, 30, 20]]"#,
            r#""order": "digits", "slots": ["Pinus sylvestris", "Picea abies", "Betula"]"#,
        ]
        .into_iter()
        .map(of)
        .collect()
    });
    let text = String::from_utf8_lossy(bytes);
    let map = json!({"type": "FeatureCollection", "features": [
        {"type": "Feature", "id": 1, "properties": {"C": text}, "geometry": null}]})
    .to_string();
    for writing in WRITINGS.iter() {
        let reading = read(map.as_bytes(), Some(writing), Knowledge::shipped()).expect("a stand map");
        promises(&reading);
        for profile in &reading.map.profiles {
            for member in &profile.mixture.members {
                let share = member.share.known().map_or(0.0, |share| share.get());
                assert!((0.0..=1.0).contains(&share), "{member:?}");
            }
        }
    }
}

/// Polygons from pairs of small numbers: every fourth value of 127 ends a ring.
fn polygons(bytes: &[u8]) -> Polygons {
    let mut polygons = Polygons::new();
    let mut rings = Vec::new();
    let mut ring = Vec::new();
    for pair in bytes.chunks_exact(2) {
        let [east, north] = [pair[0].cast_signed(), pair[1].cast_signed()];
        match (east, north) {
            (i8::MAX, i8::MAX) => polygons.push(std::mem::take(&mut rings)),
            (i8::MAX, _) => rings.push(std::mem::take(&mut ring)),
            // A few positions around the globe, most close together.
            (i8::MIN, _) => ring.push([f64::from(north) * 1.42, f64::from(north) * 0.7]),
            _ => ring.push([8.0 + f64::from(east) * 1e-4, 47.0 + f64::from(north) * 1e-4]),
        }
    }
    rings.push(ring);
    polygons.push(rings);
    polygons
}

/// Repair, area, places inside, and overlaps of two outlines.
fn geometry(bytes: &[u8]) {
    let polygons = polygons(bytes);
    let repaired = repair(&polygons);
    let again = repair(&repaired.polygons());
    let area = repaired.area().map_or(0.0, |area| area.get());
    assert!(area.is_finite() && area >= 0.0);
    let mut outlines = Outlines::new();
    let one = outlines.push_repaired(&repaired);
    outlines.push_repaired(&again);
    assert_eq!(outlines.is_empty(one), repaired.is_empty());
    if let Some(inside) = outlines.inside_point(one) {
        assert!(outlines.contains(one, inside), "{inside:?}");
    }
    let index = Index::build(&outlines);
    if let Some(overlaps) = outlines.overlaps(&index) {
        assert_eq!(overlaps.stands, [0, 1]);
        assert!(overlaps.shared.get().is_finite());
    }
}

fn opened(map: &str, book: Option<&[u8]>) -> Option<Session> {
    let mut session = Session::default();
    session.begin_stands(None).ok()?;
    session.push_stands(map.as_bytes()).ok()?;
    session.finish_stands().ok()?;
    let book = book.map(|bytes| BookBytes {
        name: "book".to_owned(),
        bytes: Some(bytes.to_vec()),
    });
    session.set_rules(book.as_slice());
    Some(session)
}

fn visit(session: &mut Session, visit: Value) {
    session.set_visit(&as_told::<VisitInput>(visit)).expect("a visit");
}

/// Tiles of any outline at any zoom.
fn tile(bytes: &[u8]) {
    let Some(([z, x, y, size, rest_of_look], shape)) = bytes.split_first_chunk::<5>() else {
        return;
    };
    let map = json!({"type": "FeatureCollection", "features": [{"type": "Feature", "id": "a",
        "properties": {"species": "Picea abies"},
        "geometry": {"type": "MultiPolygon", "coordinates": polygons(shape)}}]})
    .to_string();
    let Some(mut session) = opened(&map, None) else {
        return;
    };
    visit(&mut session, json!({"day": "2026-09-12", "visitor": {}}));
    let size = u32::from(*size) % 64 + 1;
    let look = json!({"size": size, "ratio": f64::from(rest_of_look % 3) + 0.5, "view": "roots",
        "scheme": if rest_of_look & 4 == 0 { "light" } else { "dark" }, "selected": "a"});
    let zoom = z % 24;
    // The tile of the shape, and one beside it.
    for (x, y) in [(u32::from(*x), u32::from(*y)), (whole_tile(8.0, zoom), 5)] {
        let pixels = session.tile(zoom, x, y, &as_told::<TileOptions>(look.clone()));
        assert_eq!(pixels.len() % 4, 0);
    }
}

fn whole_tile(lng: f64, zoom: u8) -> u32 {
    ((lng + 180.0) / 360.0 * f64::from(1u32 << zoom)) as u32
}

/// A rule book, read and checked.
fn rule_book(bytes: &[u8]) {
    let session = Session::default();
    let check = session.check_rules(bytes, Some("2026-09-12")).expect("a day");
    if !check.usable {
        assert!(
            check.mistakes.iter().any(|mistake| mistake.severity == "error"),
            "{check:?}"
        );
    }
    assert!(check.mistakes.iter().all(|mistake| !mistake.message.is_empty()));
}

const STANDS: &str = r#"{"type":"FeatureCollection","features":[
{"type":"Feature","id":"in","properties":{"species":"Picea abies","age":7,"designation":["nature_reserve"],"ownership":"state"},"geometry":{"type":"Polygon","coordinates":[[[14.1,47.1],[14.11,47.1],[14.11,47.11],[14.1,47.1]]]}},
{"type":"Feature","id":"out","properties":{},"geometry":{"type":"Polygon","coordinates":[[[11.3,46.7],[11.31,46.7],[11.31,46.71],[11.3,46.7]]]}},
{"type":"Feature","id":"nowhere","properties":{},"geometry":null}]}"#;

/// Verdicts on any book that can be read: on days of a leap year, at any time, for visitors who say little or much.
fn verdict(bytes: &[u8]) {
    let Some(mut session) = opened(STANDS, Some(bytes)) else {
        return;
    };
    let sign = bytes.last().copied().unwrap_or(0);
    let visitors = [
        json!({}),
        json!({"resident": true, "permit": false, "age": 9, "party": 3, "owner": sign & 1 == 0}),
    ];
    for (day, visitor) in ["2028-02-29", "2026-12-31", "2026-07-01"]
        .into_iter()
        .zip(visitors.iter().cycle())
    {
        visit(
            &mut session,
            json!({"day": day, "time": format!("{:02}:30", sign % 24), "utcOffset": 60, "visitor": visitor}),
        );
        for stand in ["in", "out", "nowhere"] {
            let options = as_told::<SheetOptions>(json!({"languages": ["en", "de"], "view": "roots"}));
            assert!(!session.sheet(stand, &options).expect("a sheet").is_empty());

            let basket = as_told(json!([{"kind": "Boletus edulis", "mass": "1.5"}]));
            session
                .harvest(Some(stand), basket_of(&basket), &[])
                .expect("a check");
        }
    }
    assert!(session.year("in").expect("a year").answers.len() >= 365);
}

fn basket_of(basket: &Vec<hostwood::boundary::BasketEntry>) -> &[hostwood::boundary::BasketEntry] {
    basket
}

/// Weather as JSON or CSV.
fn weather(bytes: &[u8]) {
    let Some(mut session) = opened(STANDS, None) else {
        return;
    };
    let told = session.set_weather(Some(bytes), Some("2026-09-12"));
    visit(&mut session, json!({"day": "2026-09-12", "visitor": {}}));
    let options = as_told::<SheetOptions>(json!({"languages": ["en"], "view": "roots"}));
    assert!(!session.sheet("in", &options).expect("a sheet").is_empty());
    if let Err(refused) = told {
        assert!(!refused.message.is_empty());
    }
}

/// A region's own tables of kinds: all or nothing.
fn kinds(bytes: &[u8]) {
    let Some(mut session) = opened(STANDS, None) else {
        return;
    };
    let file = BookBytes {
        name: "kinds.csv".to_owned(),
        bytes: Some(bytes.to_vec()),
    };
    let report = session.set_kinds(&[file]);
    visit(&mut session, json!({"day": "2026-09-12", "visitor": {}}));
    let options = as_told::<SheetOptions>(json!({"languages": ["en"], "view": "roots"}));
    assert!(!session.sheet("in", &options).expect("a sheet").is_empty());
    assert_eq!(report.files.len(), 1);
}
