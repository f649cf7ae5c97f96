//! Odd stand maps, one a file in `fixtures/odd_maps`, with what is said of each in a file beside it, to the letter. In
//! go the maps (and a crosswalk where `NAME.crosswalk.json` lies beside them), out come refusals and findings. The
//! table of causes in `DEVELOPERS.md` is held against the one in the code, and every cause against a map that has it.
//!
//! `BLESS=1` writes anew what is said; look at what changed.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

use hostwood::knowledge::Knowledge;
use hostwood::standmap::{CAUSES, Crosswalk, Kind, Limits, Reader, Reading, Unreadable};

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fixtures/odd_maps")
}

/// The maps by file name.
fn maps() -> BTreeMap<String, Vec<u8>> {
    let mut maps = BTreeMap::new();
    for entry in fs::read_dir(folder()).expect("the folder of odd maps") {
        let path = entry.expect("an entry").path();
        let name = path.file_name().expect("a name").to_string_lossy().into_owned();
        if !name.ends_with(".expected") && !name.ends_with(".crosswalk.json") && !name.ends_with(".csv") {
            maps.insert(name, fs::read(&path).expect("a map"));
        }
    }
    maps
}

/// The name without its endings.
fn stem(name: &str) -> &str {
    name.split('.').next().unwrap_or(name)
}

/// The crosswalk beside a map, if there is one; `NAME.strata.csv` is the table `strata.csv` that it joins.
fn crosswalk(name: &str) -> Option<Crosswalk> {
    let bytes = fs::read(folder().join(format!("{}.crosswalk.json", stem(name)))).ok()?;
    let wrong = |mistakes: Vec<hostwood::standmap::Mistake>| -> ! { panic!("{name}: {}", mistakes[0]) };
    let file = |file: String| {
        let bytes =
            fs::read(folder().join(format!("{}.{file}", stem(name)))).expect("a table beside the map");
        (file, bytes)
    };
    let files = Crosswalk::files(&bytes).unwrap_or_else(|mistakes| wrong(mistakes));
    let files = files.into_iter().map(file).collect();
    Some(Crosswalk::read_with_files(&bytes, &files).unwrap_or_else(|mistakes| wrong(mistakes)))
}

fn read(name: &str, bytes: &[u8], chunk: usize) -> Result<Reading, Unreadable> {
    let mut reader = Reader::new(crosswalk(name), Knowledge::shipped());
    for part in bytes.chunks(chunk.max(1)) {
        reader.push(part)?;
    }
    reader.finish()
}

/// What is said of a map: the refusal, or the findings after the number of stands and of those with an outline.
fn said(reading: &Result<Reading, Unreadable>) -> String {
    let mut lines = Vec::new();
    match reading {
        Err(refused) => lines.push(format!("refused, {}: {refused}", refused.code)),
        Ok(reading) => {
            let stands = &reading.map.stands;
            let outlined = stands.iter().filter(|stand| stand.place.is_some()).count();
            lines.push(format!("{} stands, {outlined} outlined", stands.len()));
            lines.extend(
                reading
                    .findings
                    .iter()
                    .map(|finding| format!("{}: {finding}", finding.code)),
            );
            for stand in stands {
                if let (Some(place), Some(area)) = (stand.place, stand.area) {
                    let inside = place.inside;
                    lines.push(format!(
                        "  {} {:.5} {:.5}, {:.3} ha",
                        stand.id,
                        inside.lng,
                        inside.lat,
                        area.get()
                    ));
                }
            }
        }
    }
    lines.join("\n") + "\n"
}

#[test]
fn what_is_said_of_each_map_is_what_stands_beside_it() {
    let maps = maps();
    assert!(maps.len() >= 60, "only {} odd maps found", maps.len());
    let stems: BTreeSet<&str> = maps.keys().map(|name| stem(name)).collect();
    assert_eq!(stems.len(), maps.len(), "two odd maps share a name");
    let bless = std::env::var_os("BLESS").is_some();
    let mut wrong = Vec::new();
    for (name, bytes) in &maps {
        let said = said(&read(name, bytes, 1 << 16));
        let path = folder().join(format!("{}.expected", stem(name)));
        if bless {
            fs::write(&path, &said).expect("what is expected can be written");
            continue;
        }
        let expected = fs::read_to_string(&path).unwrap_or_default();
        if said != expected {
            wrong.push(format!("{name}: said\n{said}expected\n{expected}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    for entry in fs::read_dir(folder()).expect("the folder of odd maps") {
        let name = entry
            .expect("an entry")
            .file_name()
            .to_string_lossy()
            .into_owned();
        assert!(stems.contains(stem(&name)), "{name} belongs to no odd map");
    }
}

/// Alike stands share a profile, so a profile that is kept twice or that no stand has is a mistake of the reading.
#[test]
fn profiles_are_kept_once_and_each_has_a_stand() {
    let mut shared = 0;
    for (name, bytes) in &maps() {
        let Ok(reading) = read(name, bytes, 1 << 16) else {
            continue;
        };
        let map = &reading.map;
        let used: BTreeSet<u32> = map.stands.iter().map(|stand| stand.profile).collect();
        assert_eq!(used.len(), map.profiles.len(), "{name}: profiles without a stand");
        shared += map.stands.len() - used.len();
        if map.profiles.len() > 1_000 {
            continue;
        }
        for (place, profile) in map.profiles.iter().enumerate() {
            assert!(
                !map.profiles.iter().take(place).any(|other| other == profile),
                "{name}: kept twice: {profile:?}"
            );
        }
    }
    assert!(shared > 10, "only {shared} stands share a profile");
}

/// What fewer than half of the stands tell is assessed for none: stands that differ in nothing else are alike then.
#[test]
fn profiles_that_become_alike_at_the_end_are_joined() {
    let stand = |id: usize, age: &str| {
        let west = id as f64 / 100.0;
        format!(
            "{{\"type\":\"Feature\",\"id\":{id},\"properties\":{{\"species\":\"Picea abies\"{age}}},\"geometry\":\
             {{\"type\":\"Polygon\",\"coordinates\":[[[{west},0],[{east},0],[{east},0.01],[{west},0]]]}}}}",
            east = west + 0.01
        )
    };
    let features = [
        stand(1, ",\"age\":40"),
        stand(2, ",\"age\":null"),
        stand(3, ""),
        stand(4, ""),
    ];
    let map = format!(
        "{{\"type\":\"FeatureCollection\",\"features\":[{}]}}",
        features.join(",")
    );
    let reading = hostwood::standmap::read(map.as_bytes(), None, Knowledge::shipped()).expect("a map");
    let profiles: Vec<u32> = reading.map.stands.iter().map(|stand| stand.profile).collect();
    assert_eq!(profiles, [0; 4]);
    assert_eq!(reading.map.profiles.len(), 1);
}

/// Where a file is cut makes no difference, packed or not.
#[test]
fn it_does_not_matter_where_the_bytes_are_cut() {
    for (name, bytes) in &maps() {
        if bytes.len() > 10_000 {
            continue;
        }
        // A refusal shows no more of the text than has arrived.
        let told = |chunk: usize| match read(name, bytes, chunk) {
            Err(refused) => format!("{} {:?}", refused.code, refused.at),
            reading => said(&reading),
        };
        let whole = told(usize::MAX);
        for chunk in [1, 2, 7, 100] {
            assert_eq!(told(chunk), whole, "{name} by {chunk}");
        }
    }
}

/// A map of one stand with so many positions, zigzagging along the equator; its teeth reach so many degrees east.
fn zigzag(positions: usize, slant: f64) -> String {
    let tooth = |n: usize| {
        let (east, north) = if n.is_multiple_of(2) {
            (0.0, "0.0")
        } else {
            (slant, "0.001")
        };
        format!("[{:.7},{north}],", n as f64 * 1e-5 + east)
    };
    let teeth: String = (0..positions).map(tooth).collect();
    format!(
        "{{\"type\":\"FeatureCollection\",\"features\":[{{\"type\":\"Feature\",\"id\":\"a\",\"properties\":{{}},\
         \"geometry\":{{\"type\":\"Polygon\",\"coordinates\":[[[0,-0.001],{teeth}[5,-0.001],[0,-0.001]]]}}}}]}}"
    )
}

/// A map of one stand whose border is a star of so many tips, drawn in one line.
fn star(tips: usize) -> String {
    let tip = |n: usize| {
        let turn = (n * (tips / 2) % tips) as f64 / tips as f64 * std::f64::consts::TAU;
        format!("[{:.7},{:.7}]", 10.0 + 0.1 * turn.cos(), 50.0 + 0.1 * turn.sin())
    };
    let tips: Vec<String> = (0..=tips).map(tip).collect();
    format!(
        "{{\"type\":\"FeatureCollection\",\"features\":[{{\"type\":\"Feature\",\"id\":\"a\",\"properties\":{{}},\
         \"geometry\":{{\"type\":\"Polygon\",\"coordinates\":[[{}]]}}}}]}}",
        tips.join(",")
    )
}

/// Codes of what is too large for a file of the folder: limits, and outlines beyond measure.
fn codes_of_large_maps() -> BTreeSet<&'static str> {
    let mut met = BTreeSet::new();
    let mut take = |text: &str, limits: Limits| {
        let mut reader = Reader::new(None, Knowledge::shipped()).with_limits(limits);
        reader.push(text.as_bytes()).expect("a stand map");
        let reading = reader.finish().expect("a stand map");
        met.extend(reading.findings.iter().map(|finding| finding.code));
    };
    let three = fs::read_to_string(folder().join("sliver.geojson")).expect("a map of three stands");
    let usual = Limits::default();
    take(&three, Limits { stands: 1, ..usual });
    take(
        &three,
        Limits {
            positions: 3,
            ..usual
        },
    );
    take(&three, Limits { bytes: 300, ..usual });
    take(&zigzag(200_001, 0.0), usual);
    // Teeth that slant over one another: each edge would have to be compared with all others.
    take(&zigzag(2_000, 1.0), usual);
    take(&star(2_001), usual);
    let long = three.replacen("Picea abies", &"a".repeat(33 << 20), 1);
    take(&long, usual);
    met
}

#[test]
fn every_cause_has_a_map_and_every_code_its_cause() {
    let mut met = codes_of_large_maps();
    let mut refused = BTreeSet::new();
    for (name, bytes) in &maps() {
        match read(name, bytes, 1 << 16) {
            Ok(reading) => met.extend(reading.findings.iter().map(|finding| finding.code)),
            Err(unreadable) => {
                refused.insert(unreadable.code);
            }
        }
    }
    // A feature, or what stands beside the features, of many megabytes: held by `features_and_documents_beyond_measure_are_not_kept` in
    // `src/standmap/scan.rs`, which knows the limit.
    refused.insert("too-large");
    met.insert("too-large");
    let of_kind = |kinds: [Kind; 2]| -> BTreeSet<&str> {
        CAUSES
            .iter()
            .filter(|cause| kinds.contains(&cause.kind))
            .map(|cause| cause.code)
            .collect()
    };
    let lacking = |table: BTreeSet<&str>, met: &BTreeSet<&'static str>| -> [Vec<String>; 2] {
        [
            table
                .iter()
                .filter(|code| !met.contains(**code))
                .map(|code| (*code).to_owned())
                .collect(),
            met.iter()
                .filter(|code| !table.contains(**code))
                .map(|code| (*code).to_owned())
                .collect(),
        ]
    };
    assert_eq!(
        lacking(of_kind([Kind::Finding, Kind::Either]), &met),
        [Vec::<String>::new(), Vec::new()],
        "findings: causes without a map, codes without a cause"
    );
    assert_eq!(
        lacking(of_kind([Kind::Refusal, Kind::Either]), &refused),
        [Vec::<String>::new(), Vec::new()],
        "refusals: causes without a map, codes without a cause"
    );
}

#[test]
fn the_table_of_causes_is_in_order_and_in_the_document() {
    let codes: Vec<&str> = CAUSES.iter().map(|cause| cause.code).collect();
    let mut sorted = codes.clone();
    sorted.sort_unstable();
    sorted.dedup();
    assert_eq!(codes, sorted, "causes stand by code, each once");
    let mut table = String::from("| code | what it means | what to do |\n|---|---|---|\n");
    for cause in CAUSES {
        let refused = match cause.kind {
            Kind::Finding => "",
            Kind::Refusal => " (the map is refused)",
            Kind::Either => " (a feature is left out, or the map refused)",
        };
        table.push_str(&format!(
            "| `{}` | {}{refused} | {} |\n",
            cause.code, cause.means, cause.cure
        ));
    }
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("DEVELOPERS.md");
    let document = fs::read_to_string(&path).expect("the document");
    let (before, rest) = document
        .split_once("<!-- causes -->\n")
        .expect("the mark where the table begins");
    let (found, after) = rest
        .split_once("<!-- end of causes -->")
        .expect("the mark where the table ends");
    if std::env::var_os("BLESS").is_some() {
        let text = format!("{before}<!-- causes -->\n{table}<!-- end of causes -->{after}");
        fs::write(&path, text).expect("the document can be written");
    } else {
        assert_eq!(found, table, "the table in DEVELOPERS.md; BLESS=1 writes it anew");
    }
}
