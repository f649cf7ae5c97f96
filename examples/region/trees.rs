//! What grows where: in goes a stand's site, out come its trees, age, density and the rest of what the agency
//! records. The rows of `forest_types` carry the forestry; chance only picks among what suits the site. Writing it down
//! is left to `write`.

use crate::region::chance::{part, step, wave};
use crate::region::forest_types::{Home, Type};
use crate::region::partition::Ground;
use crate::region::terrain::Point;

/// The year the stands were recorded.
pub(crate) const RECORDED: i32 = 2026;

/// What a stand's place is like.
pub(crate) struct Site {
    /// A number that chance is drawn with.
    pub(crate) number: i64,
    /// Its middle.
    pub(crate) place: Point,
    /// Area in hectares.
    pub(crate) hectares: f64,
    /// Mean height above the sea in metres.
    pub(crate) height: f64,
    /// Mean slope, rise over run.
    pub(crate) slope: f64,
    /// Mean height over the surroundings in metres.
    pub(crate) position: f64,
    /// Mean height above the water it drains to, in metres.
    pub(crate) above_water: f64,
    /// How much limestone, how much sandstone, 0 to 1.
    pub(crate) rock: (f64, f64),
    /// How near to a village, 0 to 1.
    pub(crate) village: f64,
    /// Part of its border that lies on open land, 0 to 1.
    pub(crate) open_border: f64,
    /// What kind of ground it was cut from.
    pub(crate) ground: Ground,
    /// Whether it lies in the municipality of Tesselbro.
    pub(crate) tesselbro: bool,
    /// Whether it lies in the landscape reserve.
    pub(crate) reserve: bool,
}

/// What the agency records of a stand. Empty text or `None`: not recorded.
pub(crate) struct Record {
    /// Species codes with percent; percent may be missing.
    pub(crate) species: Vec<(&'static str, Option<u32>)>,
    /// The layer below, as codes with percent in one text.
    pub(crate) below: String,
    /// Year of origin.
    pub(crate) origin: Option<i32>,
    /// Canopy cover in percent.
    pub(crate) cover: Option<u32>,
    /// Basal area, square metres a hectare.
    pub(crate) basal_area: Option<u32>,
    /// Reaction of the topsoil: SA, WA, NE, CA.
    pub(crate) soil: &'static str,
    /// Moisture: D, F, M, W.
    pub(crate) moisture: &'static str,
    /// Dead wood class 0 to 3.
    pub(crate) deadwood: Option<u32>,
    /// Setting: N, E, C, P, H, F, B.
    pub(crate) setting: &'static str,
    /// Protection: codes joined by semicolons, N for none.
    pub(crate) protection: String,
    /// Owner: S, K, P, O.
    pub(crate) owner: &'static str,
}

/// Records a stand.
pub(crate) fn record(types: &[Type], site: &Site) -> Record {
    let chance = |key: u64| part(key, site.number, 7);
    let soil = soil(site);
    let moisture = moisture(site);
    let kind = kind(types, site, soil, moisture);
    let pasture = kind.name == "wood pasture";
    let regrown =
        site.ground != Ground::Core && !pasture && (site.ground == Ground::Gap || chance(201) < 0.085);
    let age = age(site, regrown, pasture);
    let species = shares(site, kind);
    let conifer = ["PIA", "PIS", "ABA", "LAD", "PSM", "PIN"].contains(&species[0].0);
    let cover = match age {
        0..4 => 10.0 + 30.0 * chance(202),
        4..15 => 45.0 + 35.0 * chance(202),
        _ if pasture => 25.0 + 20.0 * chance(202),
        15..90 => 72.0 + 24.0 * chance(202),
        _ => 58.0 + 34.0 * chance(202),
    };
    let basal_area = match age {
        0..4 => 1.0 * chance(203),
        4..15 => 2.0 + 9.0 * chance(203),
        _ if pasture => 8.0 + 7.0 * chance(203),
        15..30 => 13.0 + 12.0 * chance(203),
        _ if conifer => 25.0 + 31.0 * chance(203),
        _ => 22.0 + 15.0 * chance(203),
    };
    let deadwood = match (site.ground, age) {
        (Ground::Core, _) => 3,
        (Ground::Block, _) => u32::from(chance(204) > 0.6),
        (_, 110..) => 1 + u32::from(chance(204) > 0.35) + u32::from(chance(204) > 0.85),
        (Ground::StreamSide, _) => 1 + u32::from(chance(204) > 0.5),
        _ => u32::from(chance(204) > 0.45) + u32::from(chance(204) > 0.9),
    };
    let setting = if pasture {
        "P"
    } else if age < 4 && chance(205) < 0.5 {
        "F"
    } else if regrown && age < 8 {
        "C"
    } else if kind.name == "old park" {
        "H"
    } else if site.rock.1 > 0.6 && age < 25 && chance(205) > 0.96 {
        "B"
    } else if site.open_border > 0.28 {
        "E"
    } else {
        "N"
    };
    let mut record = Record {
        below: if age >= 25 && !pasture && chance(206) < 0.7 {
            kind.below.to_owned()
        } else {
            String::new()
        },
        species,
        origin: Some(RECORDED - age),
        cover: Some((cover / 5.0).round() as u32 * 5),
        basal_area: Some(basal_area.round() as u32),
        soil: ["SA", "WA", "NE", "CA"][soil],
        moisture: ["D", "F", "M", "W"][moisture],
        deadwood: Some(deadwood),
        setting,
        protection: protection(site, age),
        owner: owner(site),
    };
    leave_gaps(&mut record, site);
    record
}

fn soil(site: &Site) -> usize {
    let (limestone, sandstone) = site.rock;
    let patch = wave(211, site.place[0] / 1_700.0, site.place[1] / 1_700.0);
    if limestone > 0.5 {
        3
    } else if limestone > 0.12 || site.height < 285.0 + 25.0 * patch {
        2
    } else if sandstone > 0.35 || site.height > 600.0 + 70.0 * patch {
        0
    } else {
        usize::from(patch > -0.25)
    }
}

fn moisture(site: &Site) -> usize {
    let patch = wave(212, site.place[0] / 900.0, site.place[1] / 900.0);
    if site.ground == Ground::StreamSide {
        2 + usize::from(site.above_water < 2.4 + patch)
    } else if site.above_water < 7.0 || site.position < -12.0 + 4.0 * patch {
        2
    } else if site.position > 13.0 + 7.0 * patch || (site.rock.1 > 0.6 && patch > -0.1) {
        0
    } else {
        1
    }
}

/// The type of forest: what suits best, where neighbours within a patch lean the same way.
fn kind<'t>(types: &'t [Type], site: &Site, soil: usize, moisture: usize) -> &'t Type {
    let [x, y] = site.place;
    let mut best = (0.0, &types[0]);
    for (number, row) in types.iter().enumerate() {
        let at_home = |ground: Ground, there: f64, elsewhere: f64| {
            if site.ground == ground { there } else { elsewhere }
        };
        let home = match row.home {
            Home::Anywhere => at_home(Ground::StreamSide, 0.25, 1.0),
            _ if site.ground == Ground::Core => 0.0,
            Home::StreamSide => at_home(Ground::StreamSide, 1.5, 0.12),
            Home::Block => at_home(Ground::Block, 1.6, 0.12),
            Home::NearVillage => 1.7 * step(0.12, 0.45, site.village),
        };
        let (from, to) = row.heights;
        let suits = step(from - 70.0, from + 30.0, site.height) * step(to + 70.0, to - 30.0, site.height);
        let weight = row.common * home * suits * row.soils[soil] * row.moistures[moisture];
        let patch = 0.5 + 0.5 * wave(220 + number as u64, x / 1_300.0 + number as f64, y / 1_300.0);
        let own = part(260 + number as u64, site.number, 3);
        let score = weight.sqrt() * (0.10 + 1.3 * patch * patch + 0.8 * own * own);
        if score > best.0 {
            best = (score, row);
        }
    }
    best.1
}

fn shares(site: &Site, row: &Type) -> Vec<(&'static str, Option<u32>)> {
    let mut left = 100;
    let mut rest = Vec::new();
    for (place, &(code, least, most)) in row.others.iter().enumerate() {
        let drawn = part(301 + place as u64, site.number, 5);
        let share = (f64::from(least) + drawn * f64::from(most - least)) / 5.0;
        let share = share.round() as u32 * 5;
        if share > 0 {
            left -= share;
            rest.push((code, share));
        }
    }
    rest.push((row.first, left));
    rest.sort_by_key(|&(_, share)| std::cmp::Reverse(share));
    rest.into_iter()
        .map(|(code, share)| (code, Some(share)))
        .collect()
}

fn age(site: &Site, regrown: bool, pasture: bool) -> i32 {
    let chance = |key: u64| part(key, site.number, 11);
    let patch = 0.5 + 0.5 * wave(231, site.place[0] / 1_000.0, site.place[1] / 1_000.0);
    let years = if regrown {
        1.0 + 13.0 * chance(232)
    } else if pasture {
        100.0 + 80.0 * chance(232)
    } else {
        match site.ground {
            Ground::Core => 128.0 + 52.0 * chance(232),
            Ground::Block => 6.0 + 62.0 * (0.6 * patch + 0.4 * chance(232)),
            Ground::StreamSide => 18.0 + 62.0 * chance(232),
            _ if site.village > 0.4 => 20.0 + 80.0 * (0.4 * patch + 0.6 * chance(232)),
            _ => 24.0 + 130.0 * (0.55 * patch + 0.45 * chance(232)),
        }
    };
    years.round() as i32
}

fn protection(site: &Site, age: i32) -> String {
    let mut codes = Vec::new();
    if site.ground == Ground::Core {
        codes.push("SR");
    }
    if site.reserve {
        codes.push("LR");
    }
    if site.slope > 0.30 || (site.ground == Ground::StreamSide && site.hectares > 4.0) {
        codes.push("PW");
    }
    let seed_stand = (90..140).contains(&age) && site.ground == Ground::Open && site.hectares > 6.0;
    if seed_stand && part(241, site.number, 0) < 0.07 {
        codes.push("SS");
    }
    if codes.is_empty() {
        codes.push("N");
    }
    codes.join(";")
}

fn owner(site: &Site) -> &'static str {
    let patch = 0.16 * wave(251, site.place[0] / 800.0, site.place[1] / 800.0);
    let near = site.village + patch;
    if site.ground == Ground::Core || site.reserve && near < 0.5 {
        "S"
    } else if near > 0.44 {
        "P"
    } else if near > 0.27 || (site.tesselbro && near > 0.12) {
        "K"
    } else if wave(252, site.place[0] / 2_300.0, site.place[1] / 2_300.0) > 0.62 {
        "O"
    } else {
        "S"
    }
}

/// What no real inventory is without: cells left empty, a code of an older key, only the leading species told.
fn leave_gaps(record: &mut Record, site: &Site) {
    let chance = |key: u64| part(key, site.number, 13);
    if chance(271) < 0.025 {
        record.origin = None;
    }
    if chance(272) < 0.03 {
        record.cover = None;
    }
    if chance(273) < 0.05 {
        record.basal_area = None;
    }
    if chance(274) < 0.03 {
        record.soil = "";
    }
    if chance(275) < 0.02 {
        record.moisture = "";
    }
    if chance(276) < 0.05 {
        record.deadwood = None;
    }
    if chance(277) < 0.012 && site.village > 0.1 {
        record.owner = "";
    }
    let odd = chance(278);
    if odd < 0.008 {
        // A code of the key of 1974 that nobody has translated.
        record.species = vec![(if odd < 0.004 { "LH3" } else { "ZB" }, Some(100))];
        record.below.clear();
    } else if odd < 0.045 {
        record.species.truncate(1);
        record.species[0].1 = None;
    } else if odd < 0.055 {
        record.species.clear();
        record.below.clear();
    }
}
