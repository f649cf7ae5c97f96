//! The invented region of Eskenvar: in goes nothing, out come its stand map and the map of its ways, waters and
//! places, the same bytes on every run and every machine. Its crosswalk and its rule book are written by hand and
//! stand beside this file. Nothing here exists: no place, office, tree or rule.

mod borders;
mod chance;
mod forest_types;
mod land;
mod partition;
mod pieces;
pub(crate) mod places;
mod terrain;
mod trees;
mod ways;
pub(crate) mod write;

use serde_json::{Map, Value, json};

use land::{Cover, SQUARE};
use partition::{Ground, Partition};
use places::{PARTS, TESSELBRO, VILLAGES, rounded, village, within};
use terrain::Terrain;
use trees::{RECORDED, Record, Site};

/// How far, in metres, a drawn border may lie from the smoothed one.
const ALLOWANCE: f64 = 6.5;

/// The region's two generated files.
pub(crate) struct Files {
    /// The stand map, in the agency's own columns.
    pub(crate) stands: String,
    /// Ways, waters and places to draw above the shading.
    pub(crate) context: String,
}

/// Makes the region.
pub(crate) fn make() -> Files {
    let terrain = Terrain::shape();
    let partition = partition::cut(&terrain, land::cover(&terrain));
    let most = partition.ground.len() as u32 - 1;
    // Waters and meadows join the stands on one sheet, so that a bank is drawn once for both sides.
    let mut sheet = partition.stand.clone();
    let open: Vec<Option<Cover>> = partition
        .cover
        .iter()
        .zip(&partition.stand)
        .map(|(&cover, &stand)| {
            (stand == 0 && matches!(cover, Cover::Lake | Cover::River | Cover::Meadow)).then_some(cover)
        })
        .collect();
    let (pieces, sizes) = land::groups(&open);
    let mut kinds = vec![Cover::Beyond; sizes.len()];
    for (square, &piece) in pieces.iter().enumerate().filter(|(_, piece)| **piece > 0) {
        sheet[square] = most + piece;
        if let Some(cover) = open[square] {
            kinds[piece as usize] = cover;
        }
    }
    let outlines = borders::draw(&sheet, most + sizes.len() as u32 - 1, ALLOWANCE);
    Files {
        stands: stands(&terrain, &partition, &outlines[..=most as usize]),
        context: context(&terrain, &partition, &kinds, &outlines[most as usize..]),
    }
}

fn about(title: &str) -> Value {
    json!({
        "title": title,
        "note": "Eskenvar is an invented region and the Eskenvar Forest Office an invented agency. Every place, stand, name and number is made up by a program; the coordinates only lend it a climate and a length of day.",
        "recorded": RECORDED.to_string(),
        "licence": "CC0-1.0"
    })
}

/// Sums over the squares of one stand.
#[derive(Default, Clone)]
struct Sums {
    squares: f64,
    x: f64,
    y: f64,
    height: f64,
    slope: f64,
    position: f64,
    above_water: f64,
    limestone: f64,
    sandstone: f64,
    border: f64,
    open_border: f64,
}

fn stands(terrain: &Terrain, partition: &Partition, outlines: &[Vec<borders::Polygon>]) -> String {
    let mut sums = vec![Sums::default(); partition.ground.len()];
    for (square, &stand) in partition
        .stand
        .iter()
        .enumerate()
        .filter(|(_, stand)| **stand > 0)
    {
        let [x, y] = land::middle(square);
        let sum = &mut sums[stand as usize];
        sum.squares += 1.0;
        sum.x += x;
        sum.y += y;
        sum.height += terrain.height.at(x, y);
        sum.slope += terrain.slope.at(x, y);
        sum.position += terrain.position.at(x, y);
        sum.above_water += terrain.above_water.at(x, y);
        sum.limestone += terrain.limestone.at(x, y);
        sum.sandstone += terrain.sandstone.at(x, y);
        if land::beside(square).any(|next| partition.stand[next] != stand) {
            sum.border += 1.0;
            sum.open_border += f64::from(u8::from(ways::by_open_land(&partition.cover, square)));
        }
    }
    let types = forest_types::all();
    let tesselbro = rounded(&TESSELBRO);
    let reserve = rounded(&places::RESERVE);
    let mut within_part = vec![0u32; PARTS.len()];
    let mut features = Vec::new();
    for stand in 1..partition.ground.len() {
        let sum = &sums[stand];
        let mean = |total: f64| total / sum.squares;
        let place = [mean(sum.x), mean(sum.y)];
        let (nearest, near) = village(place);
        let in_tesselbro = within(&tesselbro, place);
        let site = Site {
            number: stand as i64,
            place,
            hectares: sum.squares * SQUARE * SQUARE / 10_000.0,
            height: mean(sum.height),
            slope: mean(sum.slope),
            position: mean(sum.position),
            above_water: mean(sum.above_water),
            rock: (mean(sum.limestone), mean(sum.sandstone)),
            village: near,
            open_border: sum.open_border / sum.border.max(1.0),
            ground: partition.ground[stand],
            tesselbro: in_tesselbro,
            reserve: within(&reserve, place),
        };
        let part = partition.parts[stand];
        within_part[part] += 1;
        let municipality = if in_tesselbro {
            VILLAGES[0].0
        } else if nearest == 0 && near == 0.0 {
            ""
        } else {
            VILLAGES[nearest].0
        };
        let yard = site.ground == Ground::Gap && stand % 9 == 0;
        let properties = columns(&types, &site, part, within_part[part], municipality, yard);
        features.push(write::feature(properties, write::outline(&outlines[stand])));
    }
    write::collection(&about("Stands of Eskenvar"), &features)
}

/// One stand in the agency's columns.
fn columns(
    types: &[forest_types::Type],
    site: &Site,
    part: usize,
    number: u32,
    municipality: &str,
    yard: bool,
) -> Map<String, Value> {
    let Record {
        species,
        below,
        origin,
        cover,
        basal_area,
        soil,
        moisture,
        deadwood,
        setting,
        protection,
        owner,
    } = trees::record(types, site);
    let text = |value: &str| {
        if value.is_empty() {
            Value::Null
        } else {
            json!(value)
        }
    };
    let mut row = Map::new();
    row.insert("UNIT_NO".into(), json!(format!("{:02}-{number:03}", part + 1)));
    row.insert("UNIT_NAME".into(), json!(format!("{} {number}", PARTS[part].0)));
    // T: timber yard, no stand. W: wood pasture. H: high forest.
    row.insert(
        "TYPE".into(),
        json!(if yard {
            "T"
        } else if setting == "P" {
            "W"
        } else {
            "H"
        }),
    );
    if !yard {
        for (slot, (code, percent)) in species.iter().enumerate() {
            row.insert(format!("SP{}", slot + 1), json!(code));
            row.insert(format!("PC{}", slot + 1), json!(percent));
        }
        row.insert("UNDER".into(), text(&below));
        row.insert("ORIGIN_YR".into(), json!(origin.unwrap_or(0)));
        row.insert("CC".into(), json!(cover));
        row.insert("BA".into(), json!(basal_area));
        row.insert("SOIL".into(), json!(soil));
        row.insert("MOIST".into(), json!(moisture));
        row.insert("DEADW".into(), json!(deadwood));
        row.insert("OPEN".into(), json!(setting));
        row.insert("PROT".into(), text(&protection));
    }
    row.insert("OWNER".into(), text(owner));
    row.insert("MUNI".into(), text(municipality));
    row.insert("ALT".into(), json!((site.height / 5.0).round() as i64 * 5));
    row
}

fn context(
    terrain: &Terrain,
    partition: &Partition,
    kinds: &[Cover],
    outlines: &[Vec<borders::Polygon>],
) -> String {
    let named = |role: &str, name: &str| {
        let mut row = Map::new();
        row.insert("role".into(), json!(role));
        if !name.is_empty() {
            row.insert("name".into(), json!(name));
        }
        row
    };
    let mut features = Vec::new();
    for (piece, outline) in outlines
        .iter()
        .enumerate()
        .skip(1)
        .filter(|(_, outline)| !outline.is_empty())
    {
        let (role, name) = match kinds[piece] {
            Cover::Lake => ("water", "Mirrel Lake"),
            Cover::River => ("water", "Esken"),
            _ => ("meadow", ""),
        };
        features.push(write::feature(named(role, name), write::outline(outline)));
    }
    let mut streams: Vec<Vec<terrain::Point>> = terrain
        .streams
        .iter()
        .flat_map(|stream| shown(&partition.cover, stream))
        .filter(|stream| stream.len() > 12)
        .collect();
    streams.sort_by_key(|stream| std::cmp::Reverse(stream.len()));
    const STREAMS: [&str; 9] = [
        "Quirn Brook",
        "Lauven Brook",
        "Ostrim Brook",
        "Harsbeck",
        "Mirrel Brook",
        "Teskel Brook",
        "Ulle",
        "Kestel Brook",
        "Fenn Water",
    ];
    for (number, stream) in streams.into_iter().enumerate() {
        let name = STREAMS.get(number).copied().unwrap_or("");
        features.push(write::feature(
            named("stream", name),
            write::line_string(&ways::eased(stream)),
        ));
    }
    let laid = ways::lay(terrain, &partition.cover);
    for way in &laid.ways {
        features.push(write::feature(
            named(way.role, &way.name),
            write::line_string(&way.line),
        ));
    }
    for (name, at) in &laid.car_parks {
        features.push(write::feature(named("car_park", name), write::point(*at)));
    }
    for (name, at) in &laid.viewpoints {
        features.push(write::feature(named("viewpoint", name), write::point(*at)));
    }
    for (name, at, _) in VILLAGES {
        features.push(write::feature(named("place", name), write::point(at)));
    }
    write::collection(&about("Ways, waters and places of Eskenvar"), &features)
}

/// The stretches of a line within the region and outside the lake.
fn shown(cover: &[Cover], line: &[terrain::Point]) -> Vec<Vec<terrain::Point>> {
    let mut stretches = vec![Vec::new()];
    for &[x, y] in line {
        let square = (y / SQUARE) as usize * land::ACROSS + (x / SQUARE) as usize;
        if matches!(cover[square], Cover::Beyond | Cover::Lake) {
            stretches.push(Vec::new());
        } else if let Some(stretch) = stretches.last_mut() {
            stretch.push([x, y]);
        }
    }
    stretches.retain(|stretch| stretch.len() > 3);
    stretches
}
