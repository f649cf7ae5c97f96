//! The stand list: the map as a table, sorted, filtered and paged; the walk from stand to stand; the kinds to look for.
//! In go a ground, an assessment and a question, out come rows.

use std::cmp::Ordering;
use std::collections::BTreeMap;

use super::shapes::{Filter, ListPage, ListQuery, ListRow, ListTree, Sort, Wish};
use crate::assessment::{Assessment, Ground};
use crate::geometry::{LngLat, LngLatBox};
use crate::knowledge::{CustomStatus, Kind, Knowledge};
use crate::names::{primary_language, without_author};
use crate::order;
use crate::potential::{Step, Value, ViewValue};
use crate::stand::{Layer, Stand, Tree};

/// At most so many rows a page.
const ROWS_AT_MOST: usize = 1000;

/// The word of a step in lists and files.
pub(super) fn step_word(step: Step) -> &'static str {
    match step {
        Step::Bare => "bare",
        Step::Slight => "slight",
        Step::Fair => "fair",
        Step::Good => "good",
        Step::Rich => "rich",
    }
}

/// A page of the list.
pub(super) fn page(
    ground: &Ground,
    assessment: &Assessment,
    query: &ListQuery,
    wish: Option<&Kind>,
) -> ListPage {
    let languages: Vec<&str> = query.languages.iter().map(String::as_str).collect();
    // Values are worked out once a profile, not once a stand.
    let mut values: BTreeMap<u32, ViewValue> = BTreeMap::new();
    let mut found: Vec<Found> = Vec::new();
    for (stand, place) in ground.map.stands.iter().zip(0u32..) {
        let value = *values
            .entry(stand.profile)
            .or_insert_with(|| ground.value(stand, query.view, wish));
        let value = value.known().copied();
        let row = Found {
            place,
            value,
            distance: query.start.and_then(|start| distance(start, stand)),
        };
        if lets_through(&query.filter, ground, assessment, stand, &row, &languages) {
            found.push(row);
        }
    }
    order::by(&mut found, |a, b| {
        let order = order(query.sort, ground, assessment, a, b);
        let order = if query.descending { order.reverse() } else { order };
        // What is not known comes last, whichever way the list is sorted.
        unknown_last(query.sort, ground, a, b)
            .then(order)
            .then(a.place.cmp(&b.place))
    });
    let total = found.len();
    let rows = found
        .into_iter()
        .skip(query.offset)
        .take(query.limit.min(ROWS_AT_MOST))
        .filter_map(|row| Some((ground.stand(row.place)?, row)))
        .map(|(stand, row)| ListRow {
            id: stand.id.to_string(),
            name: stand.name.clone(),
            area: stand.area.map(|area| area.get()),
            trees: trees(ground, stand, &languages),
            step: row.value.map(|value| step_word(value.step).to_owned()),
            value: row.value.map(|value| value.value),
            low: row.value.map(|value| value.low),
            high: row.value.map(|value| value.high),
            wide: row.value.is_some_and(|value| value.wide),
            answer: assessment.answer(row.place),
            distance: row.distance,
        })
        .collect();
    ListPage { total, rows }
}

struct Found {
    place: u32,
    value: Option<Value>,
    distance: Option<f64>,
}

fn unknown_last(sort: Sort, ground: &Ground, a: &Found, b: &Found) -> Ordering {
    let unknown = |row: &Found| match sort {
        Sort::Potential => row.value.is_none(),
        Sort::Distance => row.distance.is_none(),
        Sort::Area => ground.stand(row.place).is_none_or(|stand| stand.area.is_none()),
        Sort::Name | Sort::Verdict => false,
    };
    unknown(a).cmp(&unknown(b))
}

fn order(sort: Sort, ground: &Ground, assessment: &Assessment, a: &Found, b: &Found) -> Ordering {
    let number = |x: Option<f64>, y: Option<f64>| x.unwrap_or(0.0).total_cmp(&y.unwrap_or(0.0));
    let stand = |row: &Found| ground.stand(row.place);
    match sort {
        Sort::Potential => number(a.value.map(|value| value.value), b.value.map(|value| value.value)),
        Sort::Distance => number(a.distance, b.distance),
        Sort::Area => number(
            stand(a).and_then(|stand| stand.area).map(|area| area.get()),
            stand(b).and_then(|stand| stand.area).map(|area| area.get()),
        ),
        Sort::Verdict => assessment.answer(a.place).cmp(&assessment.answer(b.place)),
        Sort::Name => {
            let name = |row: &Found| {
                stand(row).map(|stand| {
                    let name = stand.name.clone().unwrap_or_else(|| stand.id.to_string());
                    (natural(&name), natural(stand.id.as_str()))
                })
            };
            name(a).cmp(&name(b))
        }
    }
}

/// Text cut so that numbers in it sort as numbers: `Stand 9` before `Stand 10`.
fn natural(text: &str) -> Vec<(String, u64)> {
    let mut parts = vec![(String::new(), 0u64)];
    for letter in text.chars().flat_map(char::to_lowercase) {
        if let Some(digit) = letter.to_digit(10) {
            if let Some((_, number)) = parts.last_mut() {
                *number = number.saturating_mul(10).saturating_add(u64::from(digit));
            }
        } else {
            match parts.last_mut() {
                Some((word, 0)) => word.push(letter),
                _ => parts.push((letter.to_string(), 0)),
            }
        }
    }
    parts
}

fn lets_through(
    filter: &Filter,
    ground: &Ground,
    assessment: &Assessment,
    stand: &Stand,
    row: &Found,
    languages: &[&str],
) -> bool {
    let given = |wanted: &Option<String>| wanted.clone().filter(|text| !text.trim().is_empty());
    if let Some(step) = given(&filter.step) {
        let own = row.value.map_or("not_known", |value| step_word(value.step));
        if own != step {
            return false;
        }
    }
    if let Some(answer) = given(&filter.answer)
        && assessment.answer(row.place).word() != answer
    {
        return false;
    }
    if let Some(genus) = given(&filter.genus) {
        let is_here = genera(ground, stand).contains(&genus);
        if !is_here {
            return false;
        }
    }
    if let Some(text) = given(&filter.text) {
        let text = text.trim().to_lowercase();
        let mut words = vec![stand.id.to_string()];
        words.extend(stand.name.clone());
        words.extend(
            ground
                .profile(stand)
                .mixture
                .members
                .iter()
                .map(|member| match &member.tree {
                    Tree::Named(taxon) => taxon.to_string(),
                    _ => member.raw.clone(),
                }),
        );
        let tables = &ground.knowledge.trees;
        words.extend(
            ground
                .profile(stand)
                .mixture
                .members
                .iter()
                .filter_map(|member| match &member.tree {
                    Tree::Named(taxon) => Some(tables.everyday_name(taxon, languages)?.0.to_owned()),
                    _ => None,
                }),
        );
        if !words.iter().any(|word| word.to_lowercase().contains(&text)) {
            return false;
        }
    }
    true
}

fn genera(ground: &Ground, stand: &Stand) -> Vec<String> {
    let members = ground.profile(stand).mixture.members.iter();
    members
        .flat_map(|member| match &member.tree {
            Tree::Named(taxon) => vec![taxon.genus.to_string()],
            Tree::AnyOf { genera, .. } => genera.iter().map(ToString::to_string).collect(),
            Tree::Unresolved => Vec::new(),
        })
        .collect()
}

/// The trees of a stand by name: those of its canopy, or of every layer where it has none. Shares add up within a
/// layer only, so layers are not told in one row.
fn trees(ground: &Ground, stand: &Stand, languages: &[&str]) -> Vec<ListTree> {
    let members = &ground.profile(stand).mixture.members;
    let has_canopy = members.iter().any(|member| member.layer == Layer::Canopy);
    members
        .iter()
        .filter(|member| !has_canopy || member.layer == Layer::Canopy)
        .map(|member| {
            let (name, genus, group) = match &member.tree {
                Tree::Named(taxon) => {
                    let everyday = ground.knowledge.trees.everyday_name(taxon, languages);
                    let name = everyday.map_or_else(|| taxon.to_string(), |(name, _)| name.to_owned());
                    (name, Some(taxon.genus.to_string()), None)
                }
                Tree::AnyOf { group, .. } => (member.raw.clone(), None, Some(group.clone())),
                Tree::Unresolved => (member.raw.clone(), None, None),
            };
            ListTree {
                name,
                genus,
                group,
                share: member.share.known().map(|share| share.get()),
            }
        })
        .collect()
}

/// Metres on the ellipsoid from a start to a point inside the stand.
fn distance([lng, lat]: [f64; 2], stand: &Stand) -> Option<f64> {
    let valid = lng.is_finite() && lat.is_finite() && lat.abs() <= 90.0;
    let inside = stand.place?.inside;
    valid.then(|| LngLat { lng, lat }.metres_to(inside))
}

/// The next or previous stand in a box, row by row from the north-west; rows are a sixteenth of the box high.
pub(super) fn walk(ground: &Ground, around: LngLatBox, id: Option<&str>, forward: bool) -> Option<String> {
    const ROWS: f64 = 16.0;
    let height = (around.north - around.south).max(f64::MIN_POSITIVE);
    let mut here: Vec<(i64, f64, u32)> = ground
        .index
        .in_box(around)
        .into_iter()
        .filter_map(|place| {
            let inside = ground.stand(place)?.place?.inside;
            let within = inside.lng >= around.west
                && inside.lng <= around.east
                && inside.lat >= around.south
                && inside.lat <= around.north;
            #[expect(clippy::cast_possible_truncation, reason = "at most sixteen")]
            let row = ((around.north - inside.lat) / height * ROWS).floor() as i64;
            within.then_some((row, inside.lng, place))
        })
        .collect();
    order::by(&mut here, |a, b| {
        a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)).then(a.2.cmp(&b.2))
    });
    let now = id
        .and_then(|id| ground.find(id))
        .and_then(|own| here.iter().position(|(_, _, place)| *place == own));
    let last = here.len().checked_sub(1)?;
    let next = match (now, forward) {
        (None, true) => 0,
        (None, false) => last,
        (Some(now), true) if now == last => 0,
        (Some(now), true) => now + 1,
        (Some(0), false) => last,
        (Some(now), false) => now - 1,
    };
    Some(ground.stand(here.get(next)?.2)?.id.to_string())
}

/// The kinds that are collected by custom.
pub(super) fn wishes(knowledge: &Knowledge, languages: &[String]) -> Vec<Wish> {
    let mut wishes: Vec<Wish> = knowledge
        .fungi
        .kinds()
        .iter()
        .filter(|kind| kind.status <= CustomStatus::EatenAfterCookingOnly)
        .map(|kind| Wish {
            id: kind.id.to_string(),
            scientific: without_author(&kind.scientific),
            names: knowledge
                .fungi
                .vernacular(&kind.id)
                .map(|names| {
                    let wanted =
                        |language: &str| languages.iter().any(|tag| primary_language(tag) == language);
                    names
                        .iter()
                        .filter(|(language, _)| languages.is_empty() || wanted(language))
                        .filter_map(|(language, names)| Some((language.clone(), names.first()?.clone())))
                        .collect()
                })
                .unwrap_or_default(),
            status: kind.status.word().to_owned(),
            view: kind.guild.view(),
        })
        .collect();
    order::by(&mut wishes, |a, b| a.scientific.cmp(&b.scientific));
    wishes
}

#[cfg(test)]
mod tests {
    use super::natural;

    #[test]
    fn numbers_in_names_sort_as_numbers() {
        let mut names = ["Stand 10b", "Stand 9", "stand 10a", "Ash 2"];
        names.sort_by_key(|name| natural(name));
        assert_eq!(names, ["Ash 2", "Stand 9", "stand 10a", "Stand 10b"]);
    }
}
