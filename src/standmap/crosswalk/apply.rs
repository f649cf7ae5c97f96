//! Applies a crosswalk: in go the cells of one feature, out comes a draft of its stand, as the plain form gives it.
//! Ways are laid once a map; what a column cannot tell becomes a typed absence and a finding.

use serde_json::Value;

use super::Crosswalk;
use super::joined::{Joined, LeftOver};
use super::trees::TreeWay;
use super::units::{self, AGES, BASAL_AREAS, LENGTHS, LOADS, PARTS, Units, WOOD_VOLUMES};
use super::way::{Common, Outcome, Way, table};
use super::written::{Case, Column, FeatureKind, Names, Test};
use crate::order::{self, Lookup};
use crate::standmap::cell::{self, Amount};
use crate::standmap::columns::{Columns, with_folded};
use crate::standmap::facts::{
    CLIMATE, DISTURBANCE, Desk, MOISTURE, NUTRIENTS, OLDEST, OWNERSHIP, SOIL_REACTION, Words,
};
use crate::standmap::plain::{Draft, attribute};
use crate::standmap::survey::Assessed;
use crate::units::{Absence, BasalArea, Elevation, Fact, Metres, NitrogenLoad, OutOfRange, Share};

/// Tests that tell what a feature is, in the order in which they are tried, and what it is where none of them holds.
type Kinds = (Vec<(Way, Test, FeatureKind)>, FeatureKind);

/// A crosswalk laid over the columns of one map.
#[derive(Debug)]
pub(crate) struct Mapped {
    pub(crate) reference_year: Option<i32>,
    joined: Vec<Joined>,
    kind: Option<Kinds>,
    id: Option<Way>,
    name: Option<Way>,
    trees: Vec<TreeWay>,
    age: Option<Way>,
    planted: Option<Way>,
    canopy: Option<Way>,
    basal_area: Option<Way>,
    height: Option<Way>,
    nitrogen: Option<Way>,
    soil_reaction: Option<Way>,
    moisture: Option<Way>,
    nutrients: Option<Way>,
    aspect: Option<Way>,
    disturbance: Option<Way>,
    since: Option<Way>,
    elevation: Option<Way>,
    deadwood: Option<Way>,
    setting: Option<Tagged>,
    designation: Option<Tagged>,
    ownership: Option<Way>,
    land_use: Option<Way>,
    climate: Option<Way>,
    attributes: Vec<(String, Way)>,
}

/// Tags from one column, or from several that give one each.
#[derive(Debug)]
struct Tagged {
    way: Option<Way>,
    each: Vec<(Way, Option<String>)>,
}

impl Mapped {
    /// Lays a crosswalk over a map's columns.
    pub(crate) fn lay(crosswalk: &Crosswalk, columns: &mut Columns) -> Mapped {
        let written = &crosswalk.written;
        let lists: Lookup<String, Lookup<String, Value>> = written
            .lists
            .0
            .iter()
            .filter_map(|(name, list)| Some((name.clone(), table(list.codes.as_ref()?))))
            .collect();
        let common = Common {
            missing: &written.missing,
            lists: &lists,
            reference_year: written.reference_year,
        };
        let joined: Vec<Joined> = crosswalk
            .tables
            .iter()
            .filter_map(|(name, table)| {
                let (_, said) = written.tables.0.iter().find(|(known, _)| known == name)?;
                Some(Joined::lay(name, said, table.clone(), &common, columns))
            })
            .collect();
        let mut lay = |column: &Option<Column>, units: Units| {
            let column = column.as_ref()?;
            let unit = column.unit.as_deref().and_then(|unit| units::factor(units, unit));
            Some(Way::lay(column, unit.unwrap_or(1.0), &common, columns))
        };
        Mapped {
            reference_year: written.reference_year,
            id: lay(&written.id, &[]),
            name: lay(&written.name, &[]),
            age: lay(&written.age, AGES),
            planted: lay(&written.planted, &[]),
            canopy: lay(&written.canopy, PARTS),
            basal_area: lay(&written.basal_area, BASAL_AREAS),
            height: lay(&written.height, LENGTHS),
            nitrogen: lay(&written.nitrogen, LOADS),
            soil_reaction: lay(&written.soil_reaction, &[]),
            moisture: lay(&written.moisture, &[]),
            nutrients: lay(&written.nutrients, &[]),
            aspect: lay(&written.aspect, &[]),
            disturbance: lay(&written.disturbance, &[]),
            since: lay(&written.since, AGES),
            elevation: lay(&written.elevation, LENGTHS),
            deadwood: lay(&written.deadwood, WOOD_VOLUMES),
            ownership: lay(&written.ownership, &[]),
            land_use: lay(&written.land_use, &[]),
            climate: lay(&written.climate, &[]),
            kind: written.kind.as_ref().map(|kind| {
                let cases = kind
                    .when
                    .iter()
                    .map(|case| (Way::straight(&case.col, &common, columns), case.test(), case.then));
                (cases.collect(), kind.otherwise.unwrap_or(FeatureKind::Stand))
            }),
            trees: written
                .trees
                .iter()
                .filter_map(|entry| TreeWay::lay(entry, &common, &joined, columns))
                .collect(),
            setting: written
                .setting
                .as_ref()
                .map(|column| Tagged::lay(column, &common, columns)),
            designation: written
                .designation
                .as_ref()
                .map(|column| Tagged::lay(column, &common, columns)),
            attributes: {
                let mut attributes: Vec<(String, Way)> = Vec::new();
                for (name, column) in &written.attributes.0 {
                    attributes.push((name.clone(), Way::lay(column, 1.0, &common, columns)));
                }
                for name in &written.keep {
                    attributes.push((name.clone(), Way::straight(name, &common, columns)));
                }
                attributes
            },
            joined,
        }
    }

    /// Finds the rows that joined tables have for the feature at hand, and fills its cells from them. Comes before
    /// everything else that is asked of a feature.
    pub(crate) fn join(&mut self, cells: &mut [Option<Value>]) {
        for joined in &mut self.joined {
            joined.join(cells);
        }
    }

    /// Counts the feature at hand as a stand.
    pub(crate) fn keep(&mut self) {
        self.joined.iter_mut().for_each(Joined::keep);
    }

    /// What the joins left over on either side.
    pub(crate) fn left_over(&self) -> Vec<LeftOver> {
        self.joined.iter().map(Joined::left_over).collect()
    }

    /// Which values the crosswalk maps at all.
    pub(crate) fn assessed(&self) -> Assessed {
        Assessed {
            age: self.age.is_some() || self.planted.is_some(),
            stocking: self.basal_area.is_some() || self.canopy.is_some(),
            soil_reaction: self.soil_reaction.is_some(),
            moisture: self.moisture.is_some(),
            nitrogen: self.nitrogen.is_some(),
            nutrients: self.nutrients.is_some(),
            aspect: self.aspect.is_some(),
            disturbance: self.disturbance.is_some(),
            deadwood: self.deadwood.is_some(),
            setting: self.setting.is_some(),
        }
    }

    /// The ways to each target, by its name.
    fn targets(&self) -> Vec<(String, &Way)> {
        let kind = self.kind.iter().flat_map(|(cases, _)| cases);
        let named: [(&str, Vec<&Way>); 22] = [
            ("kind", kind.map(|(way, ..)| way).collect()),
            ("id", self.id.iter().collect()),
            ("name", self.name.iter().collect()),
            ("age", self.age.iter().collect()),
            ("planted", self.planted.iter().collect()),
            ("canopy", self.canopy.iter().collect()),
            ("basal_area", self.basal_area.iter().collect()),
            ("height", self.height.iter().collect()),
            ("nitrogen", self.nitrogen.iter().collect()),
            ("soil_reaction", self.soil_reaction.iter().collect()),
            ("moisture", self.moisture.iter().collect()),
            ("nutrients", self.nutrients.iter().collect()),
            ("aspect", self.aspect.iter().collect()),
            ("disturbance", self.disturbance.iter().collect()),
            ("since", self.since.iter().collect()),
            ("elevation", self.elevation.iter().collect()),
            ("deadwood", self.deadwood.iter().collect()),
            ("setting", Tagged::ways(self.setting.as_ref())),
            ("designation", Tagged::ways(self.designation.as_ref())),
            ("ownership", self.ownership.iter().collect()),
            ("use", self.land_use.iter().collect()),
            ("climate", self.climate.iter().collect()),
        ];
        let named = named
            .into_iter()
            .flat_map(|(name, ways)| ways.into_iter().map(move |way| (name.to_owned(), way)));
        let attributes = self.attributes.iter();
        let attributes = attributes.map(|(name, way)| (format!("attributes.{name}"), way));
        named.chain(attributes).collect()
    }

    /// Where each target of a feature is read from: its name, the property, and what stands there.
    pub(crate) fn sources(&self, cells: &[Option<Value>], columns: &Columns) -> Vec<(String, String, Value)> {
        let trees = self.trees.iter().flat_map(|entry| entry.sources(cells, columns));
        let trees = trees.map(|(property, raw)| ("trees".to_owned(), property, raw));
        let targets = self.targets().into_iter();
        let told = targets.filter(|(name, _)| name != "kind").map(|(name, way)| {
            let (property, raw) = way.read_from(cells, columns);
            (name, property, raw)
        });
        trees.chain(told).collect()
    }

    /// The columns of each way, all of which may be unknown to the map.
    pub(crate) fn ways(&self) -> Vec<&Way> {
        let targets = self.targets().into_iter().map(|(_, way)| way);
        targets
            .chain(self.joined.iter().flat_map(|joined| &joined.key))
            .chain(self.trees.iter().flat_map(TreeWay::ways))
            .collect()
    }

    /// What the feature is; only stands are kept.
    pub(crate) fn kind(&self, cells: &[Option<Value>]) -> FeatureKind {
        let Some((cases, otherwise)) = &self.kind else {
            return FeatureKind::Stand;
        };
        let found = cases.iter().find(|(way, test, _)| holds(test, way.cell(cells)));
        found.map_or(*otherwise, |(_, _, then)| *then)
    }

    /// The stand's id as the map gives it.
    pub(crate) fn id(&self, cells: &[Option<Value>]) -> Option<Value> {
        match self.id.as_ref()?.follow(cells) {
            Outcome::Value(value) => Some(value.into_owned()),
            Outcome::Unmapped(code) => Some(Value::String(code)),
            _ => None,
        }
    }

    /// Reads the cells of one feature.
    pub(crate) fn draft(&self, cells: &[Option<Value>], desk: &mut Desk<'_>) -> Draft {
        let mut draft = Draft {
            name: text(&self.name, cells),
            ..Draft::default()
        };
        for entry in &self.trees {
            let (claims, off) = entry.claims(cells, &self.joined, desk);
            draft.claims.extend(claims);
            draft.shares_off |= off;
        }
        let profile = &mut draft.profile;
        profile.age = aged(&self.age, cells, desk);
        profile.canopy = quantity(
            &self.canopy,
            cells,
            desk,
            Share::new,
            Share::GREATEST.get(),
            "a share, 0 to 1",
        );
        profile.basal_area = quantity(
            &self.basal_area,
            cells,
            desk,
            BasalArea::new,
            BasalArea::GREATEST.get(),
            "square metres a hectare, 0 to 500",
        );
        profile.nitrogen = quantity(
            &self.nitrogen,
            cells,
            desk,
            NitrogenLoad::new,
            NitrogenLoad::GREATEST.get(),
            "kilograms a hectare and year, 0 to 1000",
        );
        draft.elevation = quantity(
            &self.elevation,
            cells,
            desk,
            Elevation::new,
            Elevation::GREATEST.get(),
            "metres above the sea, -500 to 9000",
        );
        profile.soil_reaction = between(&self.soil_reaction, cells, desk, SOIL_REACTION);
        profile.moisture = between(&self.moisture, cells, desk, MOISTURE);
        profile.nutrients = between(&self.nutrients, cells, desk, NUTRIENTS);
        profile.aspect = told(&self.aspect, cells, desk, |desk, property, value, amount| {
            desk.aspect(property, value, amount)
        });
        profile.disturbance = one_word(&self.disturbance, cells, desk, DISTURBANCE);
        profile.since = aged(&self.since, cells, desk);
        profile.deadwood = told(&self.deadwood, cells, desk, |desk, property, value, amount| {
            desk.deadwood(property, value, amount)
        });
        profile.setting = self.setting.as_ref().map_or(Fact::default(), |tagged| {
            let tags = tagged.tags(cells, desk);
            match tags {
                Fact::Known(tags) => {
                    let tags = tags.into_iter().map(Value::String).collect();
                    desk.settings(tagged.property(), &Value::Array(tags))
                }
                Fact::NotKnown(why) => Fact::NotKnown(why),
                Fact::Within { .. } => Fact::default(),
            }
        });
        profile.climate = one_word(&self.climate, cells, desk, CLIMATE).known().copied();

        let standing = &mut draft.standing;
        standing.designation = self
            .designation
            .as_ref()
            .map_or(Fact::default(), |tagged| tagged.tags(cells, desk));
        standing.ownership = one_word(&self.ownership, cells, desk, OWNERSHIP);
        standing.land_use = text(&self.land_use, cells);
        standing.height = quantity(
            &self.height,
            cells,
            desk,
            Metres::new,
            Metres::GREATEST.get(),
            "metres, 0 or more",
        );
        standing.planted = planted(&self.planted, cells, desk);
        for (name, way) in &self.attributes {
            let value = match way.follow(cells) {
                Outcome::Missing => continue,
                Outcome::Value(value) => attribute(&value),
                Outcome::Amount(amount) if amount.is_one() => attribute(&Value::from(amount.low)),
                Outcome::Unmapped(code) => {
                    desk.unmapped(&way.property, &code);
                    continue;
                }
                Outcome::Bad(found, expected) => {
                    desk.bad_value(&way.property, &found, expected);
                    continue;
                }
                Outcome::Amount(_) => None,
            };
            match value {
                Some(value) => drop(standing.attributes.insert(name.clone(), value)),
                None => {
                    let found = way.cell(cells).cloned().unwrap_or_default();
                    desk.bad_value(&way.property, &found, "a text, a number, true or false");
                }
            }
        }
        draft
    }
}

impl Tagged {
    fn lay(column: &Column, common: &Common<'_>, columns: &mut Columns) -> Tagged {
        let way = (!column.from.0.is_empty() || column.constant.is_some())
            .then(|| Way::lay(column, 1.0, common, columns));
        let each = column.tags.iter().map(|tag| {
            let column = Column {
                from: Names(tag.from.0.clone()),
                missing: tag.missing.clone(),
                codes: tag.codes.clone(),
                otherwise: tag.otherwise,
                ..Column::default()
            };
            (Way::lay(&column, 1.0, common, columns), tag.tag.clone())
        });
        Tagged {
            way,
            each: each.collect(),
        }
    }

    fn ways(tagged: Option<&Tagged>) -> Vec<&Way> {
        let mut ways = Vec::new();
        if let Some(tagged) = tagged {
            ways.extend(&tagged.way);
            ways.extend(tagged.each.iter().map(|(way, _)| way));
        }
        ways
    }

    fn property(&self) -> &str {
        self.way
            .as_ref()
            .or(self.each.first().map(|(way, _)| way))
            .map_or("", |way| &way.property)
    }

    /// The tags; not known where a cell cannot be read, since it may hold the tag that matters. Where several columns
    /// give one tag each, silence means no tag; where one column gives them, an empty cell is not known.
    fn tags(&self, cells: &[Option<Value>], desk: &mut Desk<'_>) -> Fact<Vec<String>> {
        let mut tags = Vec::new();
        if let Some(way) = &self.way {
            match way.cell(cells) {
                None if way.raw(cells).is_none() && self.each.is_empty() => {
                    return Fact::NotKnown(Absence::Empty);
                }
                None if way.raw(cells).is_none() => {}
                Some(Value::Array(members)) => {
                    for member in members {
                        if let Err(why) = add(way, way.follow_value(member), &mut tags, desk) {
                            return Fact::NotKnown(why);
                        }
                    }
                }
                Some(Value::String(whole)) if way.split.is_some() => {
                    let mark = way.split.as_deref().unwrap_or_default();
                    for part in whole.split(mark).map(str::trim).filter(|part| !part.is_empty()) {
                        let part = Value::String(part.to_owned());
                        if let Err(why) = add(way, way.follow_value(&part), &mut tags, desk) {
                            return Fact::NotKnown(why);
                        }
                    }
                }
                _ => {
                    if let Err(why) = add(way, way.follow(cells), &mut tags, desk) {
                        return Fact::NotKnown(why);
                    }
                }
            }
        }
        for (way, tag) in &self.each {
            match (way.cell(cells), tag) {
                (None | Some(Value::Bool(false)), _) => {}
                (Some(_), Some(tag)) => tags.push(tag.clone()),
                (Some(_), None) => {
                    if let Err(why) = add(way, way.follow(cells), &mut tags, desk) {
                        return Fact::NotKnown(why);
                    }
                }
            }
        }
        order::naturally(&mut tags);
        tags.dedup();
        Fact::Known(tags)
    }
}

/// Adds a tag, or tells why it cannot be read.
fn add(way: &Way, outcome: Outcome<'_>, tags: &mut Vec<String>, desk: &mut Desk<'_>) -> Result<(), Absence> {
    match &outcome {
        Outcome::Missing => Ok(()),
        Outcome::Value(value) => match cell::text(value) {
            Some(tag) => {
                tags.push(tag);
                Ok(())
            }
            None => Err(desk.bad_value(&way.property, value, "a text")),
        },
        Outcome::Unmapped(code) => {
            desk.unmapped(&way.property, code);
            Err(Absence::UnmappedCode(code.clone()))
        }
        Outcome::Bad(found, expected) => Err(desk.bad_value(&way.property, found, expected)),
        Outcome::Amount(amount) => Err(Absence::Illegal(amount.low.to_string())),
    }
}

impl Case {
    fn test(&self) -> Test {
        Test {
            col: self.col.clone(),
            eq: self.eq.clone(),
            any_of: self.any_of.clone(),
            present: self.present,
            between: self.between,
        }
    }
}

/// Whether a test holds for a cell.
pub(super) fn holds(case: &Test, cell: Option<&Value>) -> bool {
    if let Some(present) = case.present {
        return cell.is_some() == present;
    }
    let Some(found) = cell else { return false };
    let same = |wanted: &Value| match (cell::as_text(found), cell::as_text(wanted)) {
        (Some(found), Some(wanted)) => {
            with_folded(&found, |found| with_folded(&wanted, |wanted| found == wanted))
        }
        _ => false,
    };
    case.eq.as_ref().is_some_and(same)
        || case.any_of.as_ref().is_some_and(|any| any.iter().any(same))
        || case.between.is_some_and(|[low, high]| {
            cell::number(found).is_some_and(|number| (low..=high).contains(&number))
        })
}

fn text(way: &Option<Way>, cells: &[Option<Value>]) -> Option<String> {
    match way.as_ref()?.follow(cells) {
        Outcome::Value(value) => cell::text(&value),
        Outcome::Unmapped(code) => Some(code),
        _ => None,
    }
}

/// Follows a way and hands a value that is there to `read`; everything else becomes an absence.
fn told<T>(
    way: &Option<Way>,
    cells: &[Option<Value>],
    desk: &mut Desk<'_>,
    read: impl FnOnce(&mut Desk<'_>, &str, &Value, Option<Amount>) -> Fact<T>,
) -> Fact<T> {
    let Some(way) = way else { return Fact::default() };
    finish(way, way.follow(cells), cells, desk, read)
}

fn finish<T>(
    way: &Way,
    outcome: Outcome<'_>,
    cells: &[Option<Value>],
    desk: &mut Desk<'_>,
    read: impl FnOnce(&mut Desk<'_>, &str, &Value, Option<Amount>) -> Fact<T>,
) -> Fact<T> {
    match &outcome {
        Outcome::Value(value) => read(desk, &way.property, value, cell::amount(value)),
        Outcome::Amount(amount) => {
            let raw = way.cell(cells).cloned().unwrap_or_default();
            read(desk, &way.property, &raw, Some(*amount))
        }
        Outcome::Unmapped(code) => {
            desk.unmapped(&way.property, code);
            Fact::NotKnown(Absence::UnmappedCode(code.clone()))
        }
        Outcome::Bad(found, expected) => Fact::NotKnown(desk.bad_value(&way.property, found, expected)),
        Outcome::Missing => Fact::NotKnown(Absence::Empty),
    }
}

fn quantity<T>(
    way: &Option<Way>,
    cells: &[Option<Value>],
    desk: &mut Desk<'_>,
    make: fn(f64) -> Result<T, OutOfRange>,
    greatest: f64,
    expected: &str,
) -> Fact<T> {
    told(way, cells, desk, |desk, property, value, amount| {
        desk.quantity(
            property,
            value,
            amount.map(|amount| closed(amount, greatest)),
            make,
            expected,
        )
    })
}

/// An open class reaches as far as the quantity does.
fn closed(amount: Amount, greatest: f64) -> Amount {
    if amount.high.is_infinite() {
        Amount {
            high: greatest,
            ..amount
        }
    } else {
        amount
    }
}

fn aged(way: &Option<Way>, cells: &[Option<Value>], desk: &mut Desk<'_>) -> Fact<crate::units::Years> {
    let Some(way) = way else { return Fact::default() };
    finish(
        way,
        way.follow_aged(cells),
        cells,
        desk,
        |desk, property, value, amount| {
            desk.age(property, value, amount.map(|amount| closed(amount, OLDEST)))
        },
    )
}

fn between<T: Copy + Ord>(
    way: &Option<Way>,
    cells: &[Option<Value>],
    desk: &mut Desk<'_>,
    words: Words<T>,
) -> Fact<T> {
    told(way, cells, desk, |desk, property, value, _| {
        desk.words(property, value, words)
    })
}

fn one_word<T: Copy>(
    way: &Option<Way>,
    cells: &[Option<Value>],
    desk: &mut Desk<'_>,
    words: Words<T>,
) -> Fact<T> {
    told(way, cells, desk, |desk, property, value, _| {
        desk.one_word(property, value, words)
    })
}

fn planted(way: &Option<Way>, cells: &[Option<Value>], desk: &mut Desk<'_>) -> Option<i32> {
    let fact = told(way, cells, desk, |desk, property, value, amount| {
        let year = amount.filter(|amount| amount.is_one()).map(|amount| amount.low);
        match year.filter(|year| year.fract() == 0.0 && (1.0..=9999.0).contains(year)) {
            Some(year) => Fact::Known(year as i32),
            None => Fact::NotKnown(desk.bad_value(property, value, "a year such as 1987")),
        }
    });
    fact.known().copied()
}
