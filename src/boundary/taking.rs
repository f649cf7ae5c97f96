//! What a visitor plans with and takes along, as the page asks for it: the best stands of a day, the year of a stand,
//! outlines for a satellite receiver, the record of a find. In go plain values, out come plain values and bytes; what is
//! said and written is worked out in `sheet` and `export`.

use serde::{Deserialize, Serialize};

use super::shapes::{NextTurn, Refusal, SheetOptions, View};
use super::{Session, no_map, no_stand, no_visit};
use crate::day::Day;
use crate::export::{self, Find, GpxStand, GpxWords, Grid};
use crate::geometry::LngLat;
use crate::names::{FungusNames as _, KindId};
use crate::order;
use crate::rules::Answer;
use crate::sheet::tree::{Node, Text, Tone};
use crate::sheet::{Asked, calendar, plan};
use crate::stand::Tree;

/// The most stands of one plan, and of one file.
const MOST_STANDS: usize = 50;
/// The longest text that goes into a file, in letters.
const LONGEST: usize = 2000;

/// A question to the day planner.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct PlanQuery {
    /// Where the way begins: degrees east and north.
    pub start: [f64; 2],
    /// Metres from there.
    pub within: f64,
    /// How many stands are wanted.
    pub most: usize,
    /// Which view ranks.
    pub view: View,
    /// The kind that is looked for, by id.
    #[serde(default)]
    pub wish: Option<String>,
    /// Languages in the order they are wanted (BCP 47).
    #[serde(default)]
    pub languages: Vec<String>,
}

/// The best stands of a day.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "camelCase")]
pub struct PlanReport {
    /// The stands, the best first.
    pub stands: Vec<PlannedStand>,
    /// How many stands lie within the distance.
    pub near: usize,
    /// How many of those are closed, or against a rule for this visitor.
    pub closed: usize,
    /// How many of those have no known value.
    pub not_known: usize,
}

/// One stand of a plan.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "camelCase")]
pub struct PlannedStand {
    /// Its id.
    pub id: String,
    /// Its name.
    pub name: Option<String>,
    /// Metres from the start to a point inside it.
    pub distance: f64,
    /// What the rules say.
    pub answer: Answer,
    /// Whether what is looked for, or anything of the view, is in season there.
    pub in_season: bool,
    /// Why, as a tree like a sheet.
    pub says: Vec<Node>,
}

/// The year of a stand: closures and kinds.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "camelCase")]
pub struct CalendarOfStand {
    /// The first of January of the visit's year.
    pub from: Day,
    /// One answer a day, 365 or 366 of them.
    pub answers: Vec<Answer>,
    /// When the answer turns next, seen from the day of the visit.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub next: Option<NextTurn>,
    /// Kinds with their days: those that are collected, then the deadly, then the other poisonous ones.
    pub kinds: Vec<KindSpans>,
    /// How many collected kinds are not told one by one.
    pub more: usize,
    /// How many poisonous kinds are not told one by one.
    pub more_poisonous: usize,
}

/// A kind and its days.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct KindSpans {
    /// What it is called.
    pub name: Text,
    /// `kind`, `poisonous` or `deadly`.
    pub tone: Tone,
    /// First and last day of each stretch, counted from 0 for 1 January.
    pub spans: Vec<[u16; 2]>,
}

/// Stands whose outlines are wanted for a satellite receiver, with words in the visitor's language.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct GpxQuery {
    /// The stands.
    pub stands: Vec<GpxWish>,
    /// The file's own name.
    pub title: String,
    /// What whoever reads it must know.
    pub caution: String,
    /// Said of a simplified outline; `{metres}` stands for the tolerance.
    pub simplified: String,
}

/// One stand for a satellite receiver.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct GpxWish {
    /// Its id.
    pub id: String,
    /// What it is called there.
    pub name: String,
    /// What is said of it.
    pub description: String,
}

/// A find as the page tells it.
#[derive(Debug, Clone, PartialEq, Default, Deserialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields, default)]
pub struct FindInput {
    /// What it was taken for: a kind's id, a scientific name, or any words.
    pub name: String,
    /// ISO day.
    pub day: String,
    /// Degrees east and north.
    pub position: [f64; 2],
    /// Sides of the cells to which the position is blurred, in metres: 100, 1000 or 10000.
    pub grid: u32,
    /// How many fruit bodies.
    pub count: Option<u32>,
    /// The stand whose trees are told; its id is not.
    pub stand: Option<String>,
    /// The finder's name.
    pub finder: String,
    /// Remarks.
    pub remarks: String,
    /// How the position was blurred, in the visitor's own words.
    pub generalised: String,
}

impl Session {
    /// The best stands within a distance of a start, on the day of the visit.
    ///
    /// # Errors
    /// A [`Refusal`] if no stand map is read or no visit is set yet, or the start or the distance makes no sense.
    pub fn plan(&self, query: &PlanQuery) -> Result<PlanReport, Refusal> {
        let ground = self.ground.as_ref().ok_or_else(no_map)?;
        let assessment = self.assessment.as_ref().ok_or_else(no_visit)?;
        let start = position("plan", query.start)?;
        if !(query.within.is_finite() && query.within > 0.0) {
            return Err(Refusal::argument(format!(
                "plan: the distance is `{}`, expected metres greater than 0 such as 5000",
                query.within
            )));
        }
        let languages: Vec<&str> = query.languages.iter().map(String::as_str).collect();
        let asked = Asked {
            ground,
            visit: &assessment.visit,
            languages: &languages,
            view: query.view,
            wish: self.wish(query.wish.as_deref()),
        };
        let most = query.most.min(MOST_STANDS);
        let plan = plan::plan(start, query.within, most, assessment, &asked);
        let stands = plan.chosen.into_iter().filter_map(|chosen| {
            let stand = ground.stand(chosen.place)?;
            Some(PlannedStand {
                id: stand.id.to_string(),
                name: stand.name.clone(),
                distance: chosen.distance,
                answer: chosen.answer,
                in_season: chosen.in_season,
                says: chosen.says,
            })
        });
        Ok(PlanReport {
            stands: stands.collect(),
            near: plan.near,
            closed: plan.closed,
            not_known: plan.not_known,
        })
    }

    /// What fruits when on a stand, and what the rules answer on each day of the year of the visit.
    ///
    /// # Errors
    /// A [`Refusal`] if there is no such stand, or no visit yet.
    pub fn calendar(&self, id: &str, options: &SheetOptions) -> Result<CalendarOfStand, Refusal> {
        let year = self.year(id)?;
        let ground = self.ground.as_ref().ok_or_else(no_map)?;
        let assessment = self.assessment.as_ref().ok_or_else(no_visit)?;
        let place = ground.find(id).ok_or_else(|| no_stand(id))?;
        let languages: Vec<&str> = options.languages.iter().map(String::as_str).collect();
        let asked = Asked {
            ground,
            visit: &assessment.visit,
            languages: &languages,
            view: options.view.unwrap_or(View::Roots),
            wish: self.wish(options.wish.as_deref()),
        };
        let of_year = calendar::kinds_of_year(place, &asked);
        Ok(CalendarOfStand {
            from: year.from,
            answers: year.answers,
            next: year.next,
            kinds: of_year
                .kinds
                .into_iter()
                .map(|kind| KindSpans {
                    name: kind.name,
                    tone: kind.tone,
                    spans: kind.spans,
                })
                .collect(),
            more: of_year.more,
            more_poisonous: of_year.more_poisonous,
        })
    }

    /// Outlines of stands as GPX 1.1.
    ///
    /// # Errors
    /// A [`Refusal`] if no stand map is read, there is no such stand, none of them has an outline, or they are too many.
    pub fn gpx(&self, query: &GpxQuery) -> Result<Vec<u8>, Refusal> {
        let ground = self.ground.as_ref().ok_or_else(no_map)?;
        if query.stands.len() > MOST_STANDS {
            return Err(Refusal::argument(format!(
                "gpx: {} stands are asked for, expected at most {MOST_STANDS}",
                query.stands.len()
            )));
        }
        let mut stands = Vec::new();
        for wish in &query.stands {
            stands.push(GpxStand {
                place: ground.find(&wish.id).ok_or_else(|| no_stand(&wish.id))?,
                name: shortened(&wish.name),
                description: shortened(&wish.description),
            });
        }
        if stands
            .iter()
            .all(|stand| ground.map.outlines.is_empty(stand.place))
        {
            return Err(Refusal::new(
                "no-outline",
                "gpx: none of the stands has an outline on this map, so there is nothing to write; choose another stand",
            ));
        }
        let words = GpxWords {
            title: shortened(&query.title),
            caution: shortened(&query.caution),
            simplified: shortened(&query.simplified),
        };
        Ok(export::gpx(ground, &stands, &words).into_bytes())
    }

    /// The record of a find, with its position blurred, as CSV in terms of the Darwin Core standard.
    ///
    /// # Errors
    /// A [`Refusal`] that names the field and what to write instead.
    pub fn occurrence(&self, input: &FindInput) -> Result<Vec<u8>, Refusal> {
        let wrong = |field: &str, found: &str, expected: &str| {
            Refusal::new(
                "bad-find",
                format!("find: `{field}` is `{found}`, expected {expected}"),
            )
        };
        let told = shortened(input.name.trim());
        if told.is_empty() {
            return Err(wrong(
                "name",
                told,
                "what it was taken for, such as `Hericium erinaceus`",
            ));
        }
        let day =
            Day::parse(&input.day).map_err(|_| wrong("day", &input.day, "a day such as `2026-10-03`"))?;
        let grid = Grid::parse(input.grid)
            .ok_or_else(|| wrong("grid", &input.grid.to_string(), "100, 1000 or 10000 metres"))?;
        let place = position("find", input.position)?;
        let fungi = &self.knowledge().fungi;
        let id = KindId::new(told);
        let kind = match fungi.kind(&id) {
            Some(kind) => Some(kind),
            None => fungi.kind_of(told).and_then(|id| fungi.kind(&id)),
        };
        let trees = input
            .stand
            .as_deref()
            .map_or_else(Vec::new, |id| self.trees_of(id));
        let find = Find {
            scientific: kind.map(|kind| kind.scientific.as_str()),
            told: kind.map_or(told, |kind| {
                if told == kind.id.as_str() {
                    kind.scientific.as_str()
                } else {
                    told
                }
            }),
            day,
            position: place,
            grid,
            count: input.count,
            trees: &trees,
            finder: shortened(&input.finder),
            remarks: shortened(&input.remarks),
            generalised: shortened(&input.generalised),
        };
        export::occurrence(&find).map_err(|error| Refusal::new("bad-find", format!("find: {error}")))
    }

    /// The trees of a stand by scientific name.
    fn trees_of(&self, id: &str) -> Vec<String> {
        let Some(ground) = &self.ground else {
            return Vec::new();
        };
        let Some(stand) = ground.find(id).and_then(|place| ground.stand(place)) else {
            return Vec::new();
        };
        let members = ground.profile(stand).mixture.members.iter();
        let mut names: Vec<String> = members
            .filter_map(|member| match &member.tree {
                Tree::Named(taxon) => Some(taxon.to_string()),
                _ => None,
            })
            .collect();
        order::naturally(&mut names);
        names.dedup();
        names
    }
}

fn position(what: &str, [lng, lat]: [f64; 2]) -> Result<LngLat, Refusal> {
    if lng.is_finite() && lat.is_finite() && lng.abs() <= 360.0 && lat.abs() <= 90.0 {
        return Ok(LngLat { lng, lat });
    }
    Err(Refusal::argument(format!(
        "{what}: the position is `{lng}, {lat}`, expected degrees east and north such as 14.3, 48.3"
    )))
}

/// Text no longer than goes into a file.
fn shortened(text: &str) -> &str {
    text.char_indices()
        .nth(LONGEST)
        .map_or(text, |(end, _)| &text[..end])
}
