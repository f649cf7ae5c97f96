//! Every number that scores anything, with its source. In goes factors.csv, out come typed numbers; how they are put
//! together is left to `potential` and `season`.
//!
//! A number that scoring needs and the table lacks is a mistake, and so is a row that nothing asks for: the table and
//! the code cannot part.

use crate::order::Gather;
use std::collections::BTreeMap;

use serde::Serialize;

use super::factor_table::Table;
use super::sources::Sources;
use super::table::TableError;
use super::trees::Mycorrhiza;
use super::weather_factors::WeatherFactors;
use crate::names::{Genus, SourceId};
use crate::stand::{Climate, Deadwood, Moisture, Nutrients, Setting, SoilReaction};

/// How far a number is backed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Status {
    /// A published source supports the direction.
    Science,
    /// Chosen here; no source claims the number.
    Design,
    /// Can be checked against somebody else's published value.
    External,
}

/// One row of the table, for whoever wants to see where a number comes from.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FactorRow {
    /// Which factor, such as `age.curve`.
    pub factor: String,
    /// Which value of it: a word or a knot.
    pub at: String,
    /// The number.
    pub value: f64,
    /// How far it is backed.
    pub status: Status,
    /// Where it comes from.
    pub source: SourceId,
    /// A remark; may be empty.
    pub note: String,
}

/// A line through knots, flat outside the last ones.
#[derive(Debug, Clone, PartialEq)]
pub struct Curve(pub(super) Vec<(f64, f64)>);

impl Curve {
    /// The value at `x`.
    pub fn at(&self, x: f64) -> f64 {
        let Some(&(first, start)) = self.0.first() else {
            return 0.0;
        };
        if x <= first {
            return start;
        }
        for pair in self.0.windows(2) {
            if let [(x0, y0), (x1, y1)] = *pair
                && x <= x1
            {
                return y0 + (y1 - y0) * (x - x0) / (x1 - x0);
            }
        }
        self.0.last().map_or(start, |&(_, end)| end)
    }

    /// Where the knots lie.
    pub fn knots(&self) -> impl Iterator<Item = f64> {
        self.0.iter().map(|&(x, _)| x)
    }

    /// The least and greatest value from `low` to `high`.
    pub fn over(&self, low: f64, high: f64) -> (f64, f64) {
        let inner = self
            .0
            .iter()
            .filter(|(x, _)| low < *x && *x < high)
            .map(|&(_, y)| y);
        span(inner.chain([self.at(low), self.at(high)]))
    }

    /// From where to where the curve is at its greatest.
    pub fn best(&self) -> (f64, f64) {
        let (_, greatest) = self.full();
        span(self.0.iter().filter(|(_, y)| *y >= greatest).map(|&(x, _)| x))
    }

    /// The least and greatest value there is.
    pub fn full(&self) -> (f64, f64) {
        span(self.0.iter().map(|&(_, y)| y))
    }
}

/// Least and greatest of some numbers; 0 and 0 of none.
fn span(values: impl Iterator<Item = f64>) -> (f64, f64) {
    values
        .fold(None, |span: Option<(f64, f64)>, y| match span {
            None => Some((y, y)),
            Some((low, high)) => Some((low.min(y), high.max(y))),
        })
        .unwrap_or((0.0, 0.0))
}

/// How much of a tree's share counts as host, or what a class leaves of the potential.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HostPart {
    /// At least.
    pub low: f64,
    /// In the middle, where there is one.
    pub mid: Option<f64>,
    /// At most.
    pub high: f64,
}

/// Nitrogen: critical loads in kilograms a hectare and year, and what lies above them.
#[derive(Debug, Clone, PartialEq)]
#[expect(missing_docs, reason = "each field is the row of that name")]
pub struct Nitrogen {
    pub critical_conifer: f64,
    pub critical_other: f64,
    pub loss: f64,
    pub span: f64,
    pub floor: f64,
}

/// Where the steps of the fruiting potential end (upper ends included), and the widest range without a mark.
#[derive(Debug, Clone, PartialEq)]
#[expect(missing_docs, reason = "each field is the row of that name")]
pub struct Steps {
    pub slight_to: f64,
    pub fair_to: f64,
    pub good_to: f64,
    pub wide_above: f64,
    pub firm_to: f64,
}

/// Numbers that rank single kinds.
#[derive(Debug, Clone, PartialEq)]
#[expect(missing_docs, reason = "each field is the row of that name")]
pub struct KindFactors {
    pub obligate: f64,
    pub main: f64,
    pub occasional: f64,
    pub fit: f64,
    pub neighbouring: f64,
    pub opposite: f64,
    pub early_below: f64,
    pub late_above: f64,
}

/// Numbers of the season; days, degrees, metres.
#[derive(Debug, Clone, PartialEq)]
#[expect(missing_docs, reason = "each field is the row of that name")]
pub struct Season {
    pub peak_day: f64,
    pub peak_latitude: f64,
    pub days_per_degree: f64,
    pub days_per_metre: f64,
    pub spread_roots: f64,
    pub spread_litter: f64,
    pub spring_day: f64,
    pub spread_spring: f64,
    pub most_by_latitude: f64,
    pub turn_days: f64,
    pub reference_temperate: f64,
    pub reference_boreal: f64,
    pub reference_mediterranean: f64,
    pub half_year: f64,
    pub least_latitude: f64,
    pub least_elevation: f64,
    pub greatest_elevation: f64,
}

impl Season {
    /// The latitude that a climate's months were written for; `None` where they are a region's own.
    pub fn reference_latitude(&self, climate: Climate) -> Option<f64> {
        match climate {
            Climate::Temperate => Some(self.reference_temperate),
            Climate::Boreal => Some(self.reference_boreal),
            Climate::Mediterranean => Some(self.reference_mediterranean),
            Climate::NaWest | Climate::NaEast => None,
        }
    }
}

/// A box in degrees.
#[derive(Debug, Clone, PartialEq)]
#[expect(missing_docs, reason = "the names say it")]
pub struct Bounds {
    pub west: f64,
    pub east: f64,
    pub south: f64,
    pub north: f64,
}

/// Which climate's months are taken where; degrees.
#[derive(Debug, Clone, PartialEq)]
#[expect(missing_docs, reason = "each field is the row of that name")]
pub struct Climates {
    pub europe: Bounds,
    pub boreal_from: f64,
    pub mediterranean_below: f64,
    pub north_america: Bounds,
    pub east_from: f64,
    pub border_latitude: f64,
    pub border_longitude: f64,
}

/// All numbers that score anything.
#[derive(Debug)]
#[expect(missing_docs, reason = "each field is the factor of that name in the table")]
pub struct Factors {
    rows: Vec<FactorRow>,
    /// The source to name for each factor, and for each group of factors by the part of the name before a point.
    sources: BTreeMap<String, SourceId>,
    host: BTreeMap<Mycorrhiza, HostPart>,
    least_of: BTreeMap<Genus, f64>,
    dead_hosts: BTreeMap<Genus, f64>,
    /// How soon few hosts serve many fungi.
    pub half: f64,
    pub complete_from: f64,
    pub layer_weight: f64,
    pub age: Curve,
    pub old_from: f64,
    pub old_low: f64,
    pub basal_area: Curve,
    pub canopy: Curve,
    soil: [f64; 4],
    moisture: [f64; 4],
    pub nitrogen: Nitrogen,
    nutrients: [f64; 3],
    aspects: [HostPart; 3],
    pub felled: Curve,
    pub burnt: Curve,
    pub windthrown: Curve,
    deadwood: [f64; 4],
    pub deadwood_volume: Curve,
    decay_moisture: [f64; 4],
    /// Openness of a stand without edge, clearing or the like.
    pub closed_forest: f64,
    setting: [f64; 7],
    pub steps: Steps,
    /// So many years ahead are told.
    pub years_ahead: f64,
    pub kinds: KindFactors,
    pub season: Season,
    pub climates: Climates,
    pub weather: WeatherFactors,
}

impl Factors {
    /// All rows, in the order of the table.
    pub fn rows(&self) -> &[FactorRow] {
        &self.rows
    }

    /// The source to name for a factor: the first of its rows that rests on more than our choice, else `design`.
    pub fn source(&self, factor: &str) -> SourceId {
        self.sources
            .get(factor)
            .cloned()
            .unwrap_or_else(|| SourceId::new(DESIGN))
    }

    /// The source of one row of a factor; that of the factor where there is no such row.
    pub fn source_at(&self, factor: &str, at: &str) -> SourceId {
        self.rows
            .iter()
            .find(|row| row.factor == factor && row.at == at)
            .map_or_else(|| self.source(factor), |row| row.source.clone())
    }

    /// How much of a genus' share counts as host; `None` stands for a genus nobody knows.
    pub fn host(&self, known: Option<(&Genus, Mycorrhiza)>) -> HostPart {
        let kind = known.map_or(Mycorrhiza::Uncertain, |(_, kind)| kind);
        let mut part = self.host.get(&kind).copied().unwrap_or(HostPart {
            low: 0.0,
            mid: None,
            high: 1.0,
        });
        if let Some(least) = known.and_then(|(genus, _)| self.least_of.get(genus)) {
            part.low = *least;
        }
        part
    }

    /// What a genus counts at least, as host of a kind on wood or litter, where dead wood lies; `None` where the number
    /// of its rating stays.
    pub fn dead_host(&self, genus: &Genus) -> Option<f64> {
        self.dead_hosts.get(genus).copied()
    }

    /// The soil's factor.
    pub fn soil(&self, soil: SoilReaction) -> f64 {
        self.soil[soil as usize]
    }

    /// The moisture's factor for fungi with roots.
    pub fn moisture(&self, moisture: Moisture) -> f64 {
        self.moisture[moisture as usize]
    }

    /// The moisture's factor for fungi on wood, litter and grass.
    pub fn decay_moisture(&self, moisture: Moisture) -> f64 {
        self.decay_moisture[moisture as usize]
    }

    /// The factor of how well a site feeds its trees.
    pub fn nutrients(&self, nutrients: Nutrients) -> f64 {
        self.nutrients[nutrients as usize]
    }

    /// The factors of the shady sides of a hill, of east and west, and of the sunny sides.
    pub fn aspects(&self) -> [HostPart; 3] {
        self.aspects
    }

    /// The dead wood's factor.
    pub fn deadwood(&self, deadwood: Deadwood) -> f64 {
        let [none, little, some, much] = self.deadwood;
        match deadwood {
            Deadwood::None => none,
            Deadwood::Little => little,
            Deadwood::Some => some,
            Deadwood::Much => much,
            Deadwood::Volume(volume) => self.deadwood_volume.at(volume.get()),
        }
    }

    /// How open a setting makes a stand.
    pub fn setting(&self, setting: Setting) -> f64 {
        self.setting[setting as usize]
    }

    /// How open the most open setting makes a stand.
    pub fn most_open(&self) -> f64 {
        self.setting.into_iter().fold(self.closed_forest, f64::max)
    }

    pub(super) fn read(text: &str, sources: &Sources, mistakes: &mut Vec<TableError>) -> Option<Factors> {
        let table = Table::read(text, sources, mistakes);
        let factors = table.factors();
        table.finish(mistakes);
        factors
    }
}

/// The source of a number that no source claims.
const DESIGN: &str = "design";

/// How the rows become typed numbers: the only place that names them.
impl Table {
    fn host(&self, kind: Mycorrhiza) -> HostPart {
        let factor = format!("host.{}", kind.word());
        HostPart {
            low: self.number(&factor, "low"),
            mid: self.ask(&factor, "mid"),
            high: self.number(&factor, "high"),
        }
    }

    /// The rows of a factor that gives numbers to genera; it may have none.
    fn by_genus(&self, factor: &str) -> BTreeMap<Genus, f64> {
        let mut numbers = BTreeMap::new();
        for (row, cells) in self.of(factor) {
            self.ask(factor, &row.at);
            match Genus::parse(&row.at) {
                Some(genus) => {
                    numbers.insert(genus, row.value);
                }
                None => {
                    self.refuse(cells, &row.at, "a genus name");
                }
            }
        }
        numbers
    }

    /// The first source of each factor, and of each group, that is more than our choice; else our choice.
    fn sources(&self) -> BTreeMap<String, SourceId> {
        let mut sources: BTreeMap<String, SourceId> = BTreeMap::new();
        for row in self.rows() {
            let ends = row.factor.match_indices('.').map(|(end, _)| end);
            for end in ends.chain([row.factor.len()]) {
                let name = row.factor.get(..end).unwrap_or_default();
                match sources.get_mut(name) {
                    Some(known) if known.as_str() == DESIGN => *known = row.source.clone(),
                    Some(_) => {}
                    None => drop(sources.insert(name.to_owned(), row.source.clone())),
                }
            }
        }
        sources
    }

    fn factors(&self) -> Option<Factors> {
        let moistures = ["dry", "fresh", "moist", "wet"];
        let [loss, span, floor] = self.numbers("nitrogen.loss", ["per_span", "span", "floor"]);
        let factors = Factors {
            rows: self.rows().cloned().collect(),
            sources: self.sources(),
            host: Mycorrhiza::ALL
                .into_iter()
                .map(|kind| (kind, self.host(kind)))
                .into_map(),
            least_of: self.by_genus("host.least_of"),
            dead_hosts: self.by_genus("rating.dead_host"),
            half: self.number("host.half", "share"),
            complete_from: self.number("shares", "complete_from"),
            layer_weight: self.number("layer", "weight"),
            age: self.curve("age.curve"),
            old_from: self.number("age.old", "from"),
            old_low: self.number("age.old", "low"),
            basal_area: self.curve("basal_area.curve"),
            canopy: self.curve("canopy.curve"),
            soil: self.numbers("soil", ["acid", "weakly_acid", "neutral", "calcareous"]),
            moisture: self.numbers("moisture", moistures),
            nitrogen: Nitrogen {
                critical_conifer: self.number("nitrogen.critical", "conifer"),
                critical_other: self.number("nitrogen.critical", "other"),
                loss,
                span,
                floor,
            },
            nutrients: self.numbers("nutrients", ["poor", "medium", "rich"]),
            aspects: ["shady", "side", "sunny"].map(|side| {
                let factor = format!("aspect.{side}");
                HostPart {
                    low: self.number(&factor, "low"),
                    mid: self.ask(&factor, "mid"),
                    high: self.number(&factor, "high"),
                }
            }),
            felled: self.curve("disturbance.felled"),
            burnt: self.curve("disturbance.burnt"),
            windthrown: self.curve("disturbance.windthrown"),
            deadwood: self.numbers("deadwood", ["none", "little", "some", "much"]),
            deadwood_volume: self.curve("deadwood.curve"),
            decay_moisture: self.numbers("decay_moisture", moistures),
            closed_forest: self.number("setting", "closed_forest"),
            setting: self.numbers(
                "setting",
                [
                    "edge",
                    "clearing",
                    "grassland",
                    "park",
                    "hedge",
                    "burnt",
                    "felled",
                ],
            ),
            years_ahead: self.number("change", "years"),
            steps: Steps {
                slight_to: self.number("step", "slight_to"),
                fair_to: self.number("step", "fair_to"),
                good_to: self.number("step", "good_to"),
                wide_above: self.number("step", "wide_above"),
                firm_to: self.number("step", "firm_to"),
            },
            kinds: KindFactors {
                obligate: self.number("rating", "obligate"),
                main: self.number("rating", "main"),
                occasional: self.number("rating", "occasional"),
                fit: self.number("fit", "fit"),
                neighbouring: self.number("fit", "neighbouring"),
                opposite: self.number("fit", "opposite"),
                early_below: self.number("kind_age", "early_below"),
                late_above: self.number("kind_age", "late_above"),
            },
            season: self.season(),
            climates: Climates {
                europe: self.bounds("climate.europe"),
                boreal_from: self.number("climate.europe", "boreal_from"),
                mediterranean_below: self.number("climate.europe", "mediterranean_below"),
                north_america: self.bounds("climate.north_america"),
                east_from: self.number("climate.north_america", "east_from"),
                border_latitude: self.number("climate.border", "latitude"),
                border_longitude: self.number("climate.border", "longitude"),
            },
            weather: self.weather(),
        };
        self.is_whole().then_some(factors)
    }

    fn season(&self) -> Season {
        let number = |at| self.number("season", at);
        Season {
            peak_day: number("peak_day"),
            peak_latitude: number("peak_latitude"),
            days_per_degree: number("days_per_degree"),
            days_per_metre: number("days_per_metre"),
            spread_roots: number("spread_roots"),
            spread_litter: number("spread_litter"),
            spring_day: number("spring_day"),
            spread_spring: number("spread_spring"),
            most_by_latitude: number("most_by_latitude"),
            turn_days: number("turn_days"),
            reference_temperate: number("reference_temperate"),
            reference_boreal: number("reference_boreal"),
            reference_mediterranean: number("reference_mediterranean"),
            half_year: number("half_year"),
            least_latitude: number("least_latitude"),
            least_elevation: number("least_elevation"),
            greatest_elevation: number("greatest_elevation"),
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::knowledge::Knowledge;

    #[test]
    fn curves_meet_the_spot_values_of_the_model() {
        // Spot values of the model, worked out by hand from the knots.
        let factors = &Knowledge::shipped().factors;
        for (name, curve, spots) in [
            (
                "age",
                &factors.age,
                vec![(3.0, 0.11), (8.0, 0.33), (15.0, 0.65), (25.0, 0.925)],
            ),
            (
                "basal area",
                &factors.basal_area,
                vec![
                    (3.0, 0.21),
                    (8.0, 0.56),
                    (12.0, 0.82),
                    (40.0, 0.916_666_667),
                    (70.0, 0.6),
                ],
            ),
            (
                "canopy",
                &factors.canopy,
                vec![(0.2, 0.333_333_333), (0.4, 0.675), (0.55, 0.925), (0.95, 0.925)],
            ),
            (
                "dead wood",
                &factors.deadwood_volume,
                vec![(5.0, 0.15), (20.0, 0.5), (45.0, 0.85), (99.0, 1.0)],
            ),
        ] {
            for (x, expected) in spots {
                let found = curve.at(x);
                assert!(
                    (found - expected).abs() < 1e-6,
                    "{name} at {x}: {found}, not {expected}"
                );
            }
        }
    }

    #[test]
    fn a_curve_over_a_range_sees_the_knots_inside() {
        let basal_area = &Knowledge::shipped().factors.basal_area;
        assert_eq!(basal_area.over(10.0, 60.0), (0.6, 1.0));
        assert_eq!(basal_area.over(20.0, 30.0), (1.0, 1.0));
        assert_eq!(basal_area.full(), (0.0, 1.0));
        assert_eq!(basal_area.best(), (15.0, 35.0));
    }

    #[test]
    fn the_plateau_of_basal_area_spans_the_published_best_values() {
        // Bonet et al. 2010: 15 to 20 m2/ha; Bonet et al. 2008: near 20; Tahvanainen et al. 2016: 25;
        // Sanchez-Gonzalez et al. 2019: 30 to 40, which the plateau overlaps.
        let basal_area = &Knowledge::shipped().factors.basal_area;
        for best in [15.0, 20.0, 25.0, 30.0] {
            assert!((basal_area.at(best) - 1.0).abs() < 1e-12, "{best}");
        }
    }
}
