//! One map with its rule books, and what both come to on one visit. In go a stand map, knowledge, rule books and a
//! visit; out comes, for each stand, its potential and its verdict. Here biology and law first meet.
//!
//! What depends on the trees is worked out once a profile when the map is read; what depends on the place once a stand
//! when the books are read; what is left for a new day is one answer for each distinct set of memberships.

use crate::order;
use std::collections::BTreeMap;
use std::sync::{Arc, OnceLock};

use crate::day::Day;
use crate::geometry::{Index, LngLat, LngLatBox};
use crate::knowledge::{Kind, Knowledge};
use crate::names::KindId;
use crate::potential::kinds::KindsHere;
use crate::potential::{self, Potential, View, ViewValue};
use crate::rules::{
    self, Answer, BookState, Gear, HarvestCheck, Law, Membership, Message, NotCompared, RuleBook, Subject,
    Survey, Taken, Verdict,
};
use crate::season::{ClimateHere, SeasonPosition, climate_of};
use crate::stand::{Climate, Profile, Stand, Standing};
use crate::standmap::StandMap;
use crate::units::{Elevation, Fact, Latitude, Truth};
use crate::visit::Visit;
use crate::weather::{self, Weather};

/// A stand map with what is known of it before anybody says which day.
#[derive(Debug)]
pub struct Ground {
    /// The map.
    pub map: StandMap,
    /// Where its stands lie.
    pub index: Index,
    /// What is known of trees and fungi.
    pub knowledge: Arc<Knowledge>,
    kinds_unread: bool,
    weather: Option<Weather>,
    /// Each profile's value in each view, in the order of [`View::ALL`].
    values: Vec<[ViewValue; 3]>,
    /// All stands in the order of their ids, once anybody asked for one.
    by_id: OnceLock<Vec<u32>>,
    books: Vec<RuleBook>,
    /// How many books were named and could not be read or had: what they would say is not known.
    unread: usize,
    /// Distinct sets of memberships, one membership a book.
    places: Vec<Vec<Membership>>,
    place_of: Vec<u32>,
    /// How much all of these together may weigh, in rules and zones.
    places_weigh_at_most: usize,
}

/// Distinct sets of memberships, times rules and zones: they take less than a gigabyte, and a new day some seconds.
const PLACES_WEIGH_AT_MOST: usize = 400_000_000;

impl Ground {
    /// Works out every profile's potential.
    pub fn new(map: StandMap, knowledge: &Arc<Knowledge>) -> Ground {
        let index = Index::build(&map.outlines);
        // The reasons of a hundred thousand profiles would fill more memory than their outlines; they are worked out
        // again for the stand that somebody asks about.
        let values = potential::values(&map.profiles, knowledge);
        let place_of = vec![0; map.stands.len()];
        Ground {
            map,
            index,
            knowledge: Arc::clone(knowledge),
            kinds_unread: false,
            weather: None,
            values,
            by_id: OnceLock::new(),
            books: Vec::new(),
            unread: 0,
            places: vec![Vec::new()],
            place_of,
            places_weigh_at_most: PLACES_WEIGH_AT_MOST,
        }
    }

    /// Takes other tables of kinds. They colour no stand: what the trees are worth stands in other tables.
    /// `unread` says that a region's own tables were named and could not be used.
    pub fn set_kinds(&mut self, knowledge: &Arc<Knowledge>, unread: bool) {
        self.knowledge = Arc::clone(knowledge);
        self.kinds_unread = unread;
    }

    /// Whether a region's own tables of kinds were named and could not be used.
    pub fn kinds_unread(&self) -> bool {
        self.kinds_unread
    }

    /// Takes the rule books and works out which stand lies in which of their zones. `unread` is how many more were
    /// named and could not be read: with any of those, no answer is better than not known. Gives back the places that
    /// could not be compared with all stands.
    pub fn set_books(&mut self, books: Vec<RuleBook>, unread: usize) -> Vec<NotCompared> {
        self.unread = unread;
        let mut known: BTreeMap<Vec<Membership>, u32> = BTreeMap::new();
        self.places.clear();
        let mut survey = Survey::of(&books);
        let weight: usize = books.iter().map(RuleBook::weight).sum();
        let places_at_most = (self.places_weigh_at_most / weight.max(1)).max(1);
        let mut not_kept = 0;
        for (stand, place) in self.map.stands.iter().zip(0u32..) {
            let outline = if books.is_empty() {
                geo::MultiPolygon::new(Vec::new())
            } else {
                self.map.outlines.to_geo(place)
            };
            let profile = profile_of(&self.map, stand);
            let subject = Subject {
                outline: &outline,
                place: stand.place,
                age: &profile.age,
                elevation: &stand.elevation,
                standing: standing_of(&self.map, stand),
            };
            let mut memberships = survey.memberships(&subject);
            let places = &mut self.places;
            if places.len() >= places_at_most && !known.contains_key(&memberships) {
                not_kept += 1;
                memberships = survey.not_known();
            }
            let number = *known.entry(memberships).or_insert_with_key(|memberships| {
                places.push(memberships.clone());
                u32::try_from(places.len() - 1).unwrap_or(u32::MAX)
            });
            if let Some(slot) = self.place_of.get_mut(place as usize) {
                *slot = number;
            }
        }
        if self.places.is_empty() {
            self.places.push(Vec::new());
        }
        let mut not_compared = survey.not_compared();
        if not_kept > 0 {
            not_compared.push(NotCompared::Places { stands: not_kept });
        }
        if rules::visitors_are_too_many(&books, self.places.len()) {
            not_compared.push(NotCompared::Visitors {
                places: self.places.len(),
            });
        }
        self.books = books;
        not_compared
    }

    /// The rule books.
    pub fn books(&self) -> &[RuleBook] {
        &self.books
    }

    /// The stand of that id, as a place in the map's list.
    pub fn find(&self, id: &str) -> Option<u32> {
        let id_of = |place: u32| self.map.stands[place as usize].id.as_str();
        let by_id = self.by_id.get_or_init(|| {
            let mut places: Vec<u32> = (0..self.map.stands.len() as u32).collect();
            order::sort_places(&mut places, &|one, other| id_of(one).cmp(id_of(other)));
            places
        });
        let place = by_id.binary_search_by(|&place| id_of(place).cmp(id)).ok()?;
        by_id.get(place).copied()
    }

    /// A stand by its place in the map's list.
    pub fn stand(&self, place: u32) -> Option<&Stand> {
        self.map.stands.get(place as usize)
    }

    /// What grows in a stand.
    pub fn profile(&self, stand: &Stand) -> &Profile {
        profile_of(&self.map, stand)
    }

    /// What the rules may ask about a stand.
    pub fn standing(&self, stand: &Stand) -> &Standing {
        standing_of(&self.map, stand)
    }

    /// A stand's potential, with its reasons.
    pub fn potential(&self, stand: &Stand) -> Potential {
        potential::assess(self.profile(stand), &self.knowledge)
    }

    /// A stand's potential in one view, without reasons.
    pub fn view(&self, stand: &Stand, view: View) -> ViewValue {
        // Every stand's profile is in the table, since the reader put it there.
        self.values[stand.profile as usize][view as usize]
    }

    /// Whether the map says too little of some stand to assess it in that view.
    pub fn leaves_open(&self, view: View) -> bool {
        self.values
            .iter()
            .any(|values| values[view as usize] == ViewValue::NotAssessed)
    }

    /// The climate whose months count for a stand: the map's own word, else by its place, else by the middle of the map.
    pub fn climate(&self, stand: &Stand) -> ClimateHere {
        if let Some(climate) = self.profile(stand).climate {
            return ClimateHere {
                climate,
                near_border: false,
                covered: true,
            };
        }
        let middle = |bounds: LngLatBox| LngLat {
            lng: f64::midpoint(bounds.west, bounds.east),
            lat: f64::midpoint(bounds.south, bounds.north),
        };
        let inside = stand.place.map(|place| place.inside);
        match inside.or_else(|| self.map.outlines.all_bounds().map(middle)) {
            Some(place) => climate_of(place, &self.knowledge.factors),
            None => ClimateHere {
                climate: Climate::Temperate,
                near_border: false,
                covered: false,
            },
        }
    }

    /// Where the day lies in a stand's season; `None` for a stand without a place.
    pub fn season(&self, stand: &Stand, visit: &Visit) -> Option<SeasonPosition> {
        let place = stand.place?;
        let latitude = Latitude::new(place.inside.lat).ok()?;
        Some(crate::season::position(
            visit.day,
            latitude,
            elevation_of(stand),
            self.climate(stand).climate,
            &self.knowledge.factors,
        ))
    }

    /// Takes the weather, or takes it away.
    pub fn set_weather(&mut self, weather: Option<Weather>) {
        self.weather = weather;
    }

    /// The weather, where it was handed over.
    pub fn weather(&self) -> Option<&Weather> {
        self.weather.as_ref()
    }

    /// What the weeks before the visit come to at a stand; `None` without weather, or where it does not reach the day.
    pub fn weather_state(&self, stand: &Stand, visit: &Visit) -> Option<weather::State> {
        let weather = self.weather.as_ref()?;
        let place = weather.place.or(stand.place.map(|place| place.inside))?;
        let latitude = Latitude::new(place.lat).ok()?;
        let numbers = &self.knowledge.factors.weather;
        weather::state(weather, visit.day, latitude, elevation_of(stand), numbers)
    }

    /// The kinds of a stand in the month of the visit.
    pub fn kinds_here(&self, stand: &Stand, visit: &Visit) -> KindsHere {
        let month = self
            .season(stand, visit)
            .map_or(visit.day.month(), |season| season.month);
        potential::kinds::here(
            self.profile(stand),
            &self.potential(stand),
            self.climate(stand).climate,
            month,
            &self.knowledge,
        )
    }

    /// The value a stand is ranked and coloured by in a view, or for a wish.
    pub fn value(&self, stand: &Stand, view: View, wish: Option<&Kind>) -> ViewValue {
        match wish {
            None => self.view(stand, view),
            Some(kind) => potential::kinds::wish_value(self.profile(stand), kind, &self.knowledge),
        }
    }

    /// The kind of that id.
    pub fn kind(&self, id: &str) -> Option<&Kind> {
        self.knowledge.fungi.kind(&KindId::new(id))
    }

    /// Everything on one visit.
    pub fn assess(&self, visit: &Visit) -> Assessment {
        let books: Vec<&RuleBook> = self.books.iter().collect();
        let law = Law::on(&books, visit).among(self.places.len());
        let answers = if law.follows_the_sun() {
            self.answers_by_the_sun(&law)
        } else {
            let answers: Vec<Answer> = self
                .places
                .iter()
                .map(|memberships| self.answer_of(&law, memberships))
                .collect();
            self.place_of
                .iter()
                .map(|place| answers.get(*place as usize).copied().unwrap_or(Answer::NotKnown))
                .collect()
        };
        Assessment {
            visit: visit.clone(),
            states: self.books.iter().map(|book| book.state_on(visit.day)).collect(),
            answers,
        }
    }

    fn answer_of(&self, law: &Law<'_>, memberships: &[Membership]) -> Answer {
        self.at_best(law.answer(&memberships.iter().collect::<Vec<_>>()))
    }

    /// The answers where rules follow the sun: the sky differs from stand to stand by minutes, so most visits find the
    /// whole map under one sky, and the others few.
    fn answers_by_the_sun(&self, law: &Law<'_>) -> Vec<Answer> {
        let mut skies: BTreeMap<Vec<(Truth, Truth)>, Law<'_>> = BTreeMap::new();
        let mut known: BTreeMap<(u32, Vec<(Truth, Truth)>), Answer> = BTreeMap::new();
        let one_sky = self.map.outlines.all_bounds().and_then(|bounds| {
            // Sunrise and sunset change steadily from north to south and from east to west.
            let corners = [
                (bounds.west, bounds.south),
                (bounds.east, bounds.south),
                (bounds.east, bounds.north),
                (bounds.west, bounds.north),
            ];
            let [first, others @ ..] = corners.map(|(lng, lat)| law.sky(LngLat { lng, lat }));
            others.iter().all(|sky| *sky == first).then_some(first)
        });
        self.map
            .stands
            .iter()
            .zip(&self.place_of)
            .map(|(stand, place)| {
                let memberships = self.places.get(*place as usize).map_or(&[][..], Vec::as_slice);
                let Some(inside) = stand.place.map(|place| place.inside) else {
                    return self.answer_of(law, memberships);
                };
                let sky = one_sky.clone().unwrap_or_else(|| law.sky(inside));
                *known.entry((*place, sky)).or_insert_with_key(|(_, sky)| {
                    let under = skies.entry(sky.clone()).or_insert_with(|| law.under(inside));
                    self.answer_of(under, memberships)
                })
            })
            .collect()
    }

    /// Which of the distinct sets of memberships a stand has: stands with the same have the same verdict.
    pub fn law_place(&self, place: u32) -> u32 {
        self.place_of.get(place as usize).copied().unwrap_or(0)
    }

    /// The verdict on one stand with its grounds.
    pub fn verdict(&self, place: u32, visit: &Visit) -> Verdict {
        self.verdict_of(&self.memberships(place), visit, self.inside(place))
    }

    /// A point inside a stand.
    fn inside(&self, place: u32) -> Option<LngLat> {
        Some(self.stand(place)?.place?.inside)
    }

    /// The verdict on one point of a stand: where the stand lies partly in a zone, the point lies in it or not.
    pub fn verdict_at(&self, place: u32, point: LngLat, visit: &Visit) -> Verdict {
        let memberships: Vec<Membership> = self
            .books
            .iter()
            .zip(self.memberships(place))
            .map(|(book, membership)| book.membership_at(membership, point))
            .collect();
        self.verdict_of(&memberships.iter().collect::<Vec<_>>(), visit, Some(point))
    }

    fn memberships(&self, place: u32) -> Vec<&Membership> {
        self.place_of
            .get(place as usize)
            .and_then(|number| self.places.get(*number as usize))
            .map(|memberships| memberships.iter().collect())
            .unwrap_or_default()
    }

    fn verdict_of(&self, memberships: &[&Membership], visit: &Visit, sun: Option<LngLat>) -> Verdict {
        let books: Vec<&RuleBook> = self.books.iter().collect();
        let law = Law::at(&books, visit, &Gear::default(), sun).among(self.places.len());
        self.at_best_of(&law, memberships)
    }

    /// The verdict of a law, no better than not known where a book that was named could not be read.
    fn at_best_of(&self, law: &Law<'_>, memberships: &[&Membership]) -> Verdict {
        let mut verdict = law.verdict(memberships);
        if self.unread > 0 {
            let unread = Message {
                key: "sheet.law.unread",
                args: Vec::new(),
            };
            if verdict.answer > Answer::NotKnown {
                verdict.answer = Answer::NotKnown;
                verdict.headline = unread;
                verdict.possible = Vec::from(Answer::ALL);
            } else {
                verdict.notes.push(unread);
            }
        }
        verdict
    }

    /// What the rules answer on a stand on each day of the year of the visit, from 1 January.
    pub fn year(&self, place: u32, visit: &Visit) -> (Day, Vec<Answer>) {
        let books: Vec<&RuleBook> = self.books.iter().collect();
        let (from, answers) = rules::year(
            &Law::on(&books, visit).among(self.places.len()),
            &self.memberships(place),
        );
        let answers = answers.into_iter().map(|answer| self.at_best(answer)).collect();
        (from, answers)
    }

    /// A basket held against the rules of a stand; without one, against those that hold wherever the region's largest
    /// book does, all else being not known.
    pub fn harvest(&self, place: Option<u32>, visit: &Visit, basket: &[Taken]) -> (Verdict, HarvestCheck) {
        let books: Vec<&RuleBook> = self.books.iter().collect();
        let sun = place.and_then(|place| self.inside(place));
        let law = Law::at(&books, visit, &Gear::default(), sun).among(self.places.len());
        let somewhere = rules::harvest::somewhere(&books);
        let memberships = match place {
            Some(place) => self.memberships(place),
            None => somewhere.iter().collect(),
        };
        let verdict = self.at_best_of(&law, &memberships);
        let mut check = rules::harvest::check(&law, &memberships, &verdict, basket);
        // A basket may be asked for less than its stand; a book that could not be read might ask for more.
        check.answer = self.at_best(check.answer);
        (verdict, check)
    }

    /// No better than not known where a book that was named could not be read.
    fn at_best(&self, answer: Answer) -> Answer {
        if self.unread > 0 {
            answer.worse(Answer::NotKnown)
        } else {
            answer
        }
    }

    /// The smallest stand at a place.
    pub fn stand_at(&self, position: LngLat) -> Option<u32> {
        let area = |place: &u32| {
            self.stand(*place)
                .and_then(|stand| stand.area)
                .map_or(f64::INFINITY, |area| area.get())
        };
        self.index
            .stands_at(&self.map.outlines, position)
            .into_iter()
            .min_by(|a, b| area(a).total_cmp(&area(b)))
    }
}

fn profile_of<'m>(map: &'m StandMap, stand: &Stand) -> &'m Profile {
    &map.profiles[stand.profile as usize]
}

fn standing_of<'m>(map: &'m StandMap, stand: &Stand) -> &'m Standing {
    &map.standings[stand.standing as usize]
}

fn elevation_of(stand: &Stand) -> Option<Elevation> {
    match &stand.elevation {
        Fact::Known(elevation) => Some(*elevation),
        within => within.mid(),
    }
}

/// All stands of a map on one visit. Never changed: another day is another assessment.
#[derive(Debug, Clone)]
pub struct Assessment {
    /// The visit.
    pub visit: Visit,
    /// Whether each book may be relied on that day.
    pub states: Vec<BookState>,
    answers: Vec<Answer>,
}

impl Assessment {
    /// The answer for a stand, by its place in the map's list.
    pub fn answer(&self, place: u32) -> Answer {
        self.answers
            .get(place as usize)
            .copied()
            .unwrap_or(Answer::NotKnown)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::standmap::read;

    /// Three stands from west to east, and a book whose two zones take the first, and the first and the second.
    #[test]
    fn stands_in_more_places_than_can_be_kept_are_not_known_and_told() {
        let ring = |west: f64, east: f64| {
            serde_json::json!({"type": "Polygon",
                "coordinates": [[[west, 47.0], [east, 47.0], [east, 47.1], [west, 47.1], [west, 47.0]]]})
        };
        let stands: Vec<serde_json::Value> = [10.0, 10.1, 10.2]
            .iter()
            .map(|west| {
                serde_json::json!({"type": "Feature", "id": west.to_string(), "properties": {},
                    "geometry": ring(west + 0.01, west + 0.09)})
            })
            .collect();
        let map = serde_json::json!({"type": "FeatureCollection", "features": stands}).to_string();
        let book = serde_json::json!({
            "format": "hostwood-rules/1.0",
            "region": {"code": "XX-B", "names": {"en": "Vorrach"}, "time_zone": "Europe/Vienna", "area": ring(9.0, 12.0)},
            "authority": {"name": {"en": "the forest office"}, "phone": "0"},
            "languages": ["en"], "checked": "2026-09-01",
            "sources": [{"id": "act", "title": "An act", "kind": "official"}],
            "zones": [{"id": "one", "where": {"outline": ring(10.0, 10.1)}},
                {"id": "two", "where": {"outline": ring(10.0, 10.2)}}],
            "rules": [{"id": "limit", "kind": "quantity", "text": {"en": "Words."}, "sources": ["act"],
                "quantity": {"amount": "1", "unit": "kg", "per": "person", "period": "day"}}],
        });
        let knowledge = Knowledge::shipped();
        let book = RuleBook::read(book.to_string().as_bytes(), &knowledge.fungi)
            .expect("a book")
            .book;
        let reading = read(map.as_bytes(), None, knowledge).expect("a map");
        let mut ground = Ground::new(reading.map, knowledge);
        let visit = Visit::on(Day::parse("2026-09-12").expect("a day"));
        let answers = |ground: &Ground| {
            let assessment = ground.assess(&visit);
            [0, 1, 2].map(|stand| {
                assert_eq!(assessment.answer(stand), ground.verdict(stand, &visit).answer);
                assessment.answer(stand)
            })
        };
        assert_eq!(book.weight(), 9, "two zones and a rule");
        assert_eq!(ground.set_books(vec![book.clone()], 0), []);
        assert_eq!(answers(&ground), [Answer::Limits; 3]);
        // As if two places were as many as can be kept.
        ground.places_weigh_at_most = 2 * 9 + 8;
        let told = ground.set_books(vec![book], 0);
        assert_eq!(told, [NotCompared::Places { stands: 1 }]);
        assert_eq!(
            told[0].to_string(),
            "zones: other zones meet in more places than can be told apart, so what the rules mean for 1 stands is not \
             known; use fewer zones, or fewer in `where`"
        );
        assert_eq!(
            answers(&ground),
            [Answer::Limits, Answer::Limits, Answer::NotKnown]
        );
    }
}
