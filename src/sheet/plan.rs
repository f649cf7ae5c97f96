//! The day planner: which stands near a start are worth the way on the day of the visit, and why. In go a start, how far
//! to go and how many stands are wanted; out come the best, none closed, each with what is to be said of it. What the
//! law does not tell is said and never counted as open; what the trees do not tell is counted and left out. Where the
//! start comes from, and wording, are left to others.

use std::cmp::Ordering;
use std::collections::BTreeMap;

use super::tree::{Arg, Node, Text, Tone};
use super::{Asked, fruit, kinds, law};
use crate::assessment::Assessment;
use crate::geometry::LngLat;
use crate::knowledge::CustomStatus;
use crate::order;
use crate::potential::kinds::KindsHere;
use crate::potential::{Effect, Value};
use crate::rules::Answer;
use crate::season::climate_key;
use crate::stand::Stand;

/// So many reasons are given for a stand.
const REASONS: usize = 3;
/// So many kinds in season are named.
const KINDS: usize = 4;

/// All message keys that only the planner gives out.
pub const KEYS: &[&str] = &[
    "plan.danger",
    "plan.kinds",
    "plan.law_not_known",
    "plan.nothing_in_season",
    "plan.wish_out_of_season",
];

/// The best stands of one day, the best first.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// The stands.
    pub chosen: Vec<Chosen>,
    /// How many stands lie within the distance.
    pub near: usize,
    /// How many of those are closed, or would be against a rule for this visitor.
    pub closed: usize,
    /// How many of those are left out because their value is not known.
    pub not_known: usize,
}

/// One stand of a plan.
#[derive(Debug, Clone, PartialEq)]
pub struct Chosen {
    /// Its place in the map's list.
    pub place: u32,
    /// Metres from the start to a point inside it.
    pub distance: f64,
    /// What ranks it.
    pub value: Value,
    /// What the rules say.
    pub answer: Answer,
    /// Whether something that is collected, or the kind looked for, is in season there on that day.
    pub in_season: bool,
    /// Verdict, potential, reasons, kinds in season, and which poisonous kinds share their trees.
    pub says: Vec<Node>,
}

/// A stand that may be chosen.
struct Candidate {
    place: u32,
    distance: f64,
    value: Value,
    answer: Answer,
}

impl Candidate {
    /// Whether the law says anything of it that can be relied on.
    fn law_told(&self) -> bool {
        self.answer != Answer::NotKnown
    }
}

/// The `most` best stands within so many metres of a start.
///
/// Stands on which the law is told come before those on which it is not known; then those with something in season;
/// then the higher value; then the nearer one. Stands that are closed, or where this visitor would break a rule, are
/// never among them, nor those whose value is nothing or not known.
pub fn plan(start: LngLat, within: f64, most: usize, assessment: &Assessment, asked: &Asked<'_>) -> Plan {
    let ground = asked.ground;
    let mut plan = Plan {
        chosen: Vec::new(),
        near: 0,
        closed: 0,
        not_known: 0,
    };
    let mut candidates = Vec::new();
    for (stand, place) in ground.map.stands.iter().zip(0u32..) {
        let Some(at) = stand.place else { continue };
        let distance = start.metres_to(at.inside);
        if distance > within {
            continue;
        }
        plan.near += 1;
        let answer = assessment.answer(place);
        if matches!(answer, Answer::Closed | Answer::Over | Answer::Breach) {
            plan.closed += 1;
            continue;
        }
        match ground.value(stand, asked.view, asked.wish).known() {
            None => plan.not_known += 1,
            Some(value) if value.value <= 0.0 => {}
            Some(value) => candidates.push(Candidate {
                place,
                distance,
                value: *value,
                answer,
            }),
        }
    }
    order::by(&mut candidates, |a, b| {
        (b.law_told().cmp(&a.law_told()))
            .then(better(a, b))
            .then(a.place.cmp(&b.place))
    });
    let mut seasons = Seasons::default();
    for told in [true, false] {
        // What is not in season stands behind what is, as long as there is room.
        let mut later = Vec::new();
        for candidate in candidates.iter().filter(|candidate| candidate.law_told() == told) {
            if plan.chosen.len() >= most {
                break;
            }
            let Some(stand) = ground.stand(candidate.place) else {
                continue;
            };
            if seasons.fruits(stand, asked) {
                plan.chosen.push(chosen(candidate, stand, true, asked));
            } else if later.len() < most {
                later.push((candidate, stand));
            }
        }
        for (candidate, stand) in later {
            if plan.chosen.len() < most {
                plan.chosen.push(chosen(candidate, stand, false, asked));
            }
        }
    }
    plan
}

/// The higher value first, then the nearer stand.
fn better(a: &Candidate, b: &Candidate) -> Ordering {
    (b.value.value.total_cmp(&a.value.value)).then(a.distance.total_cmp(&b.distance))
}

/// What is in season, worked out once for stands that are alike.
#[derive(Default)]
struct Seasons {
    known: BTreeMap<(u32, &'static str, u8), bool>,
}

impl Seasons {
    /// Whether the kind that is looked for, or else any kind of the view, is in season in a stand on the day.
    fn fruits(&mut self, stand: &Stand, asked: &Asked<'_>) -> bool {
        let ground = asked.ground;
        let climate = ground.climate(stand).climate;
        let month = ground
            .season(stand, asked.visit)
            .map_or(asked.visit.day.month(), |season| season.month);
        if let Some(kind) = asked.wish {
            return kind.months(climate).is_some_and(|months| months.contains(month));
        }
        *self
            .known
            .entry((stand.profile, climate_key(climate), month))
            .or_insert_with(|| {
                let here = ground.kinds_here(stand, asked.visit);
                in_view(&here, asked).next().is_some()
            })
    }
}

/// The kinds in season that belong to the view.
fn in_view<'h>(
    here: &'h KindsHere,
    asked: &'h Asked<'_>,
) -> impl Iterator<Item = &'h crate::knowledge::Kind> {
    here.in_season
        .iter()
        .filter_map(|found| asked.ground.knowledge.fungi.kind(&found.kind))
        .filter(|kind| kind.guild.view() == asked.view)
}

fn chosen(candidate: &Candidate, stand: &Stand, in_season: bool, asked: &Asked<'_>) -> Chosen {
    let ground = asked.ground;
    let verdict = ground.verdict(candidate.place, asked.visit);
    let mut says = vec![Node::Verdict {
        answer: verdict.answer,
        text: law::worded(&verdict.headline, asked.languages),
    }];
    if verdict.answer == Answer::NotKnown {
        says.push(Node::toned(Tone::Caution, Text::key("plan.law_not_known")));
    }
    says.extend(fruit::in_short(stand, asked));
    let potential = ground.potential(stand);
    let reasons: Vec<Vec<Node>> = potential
        .reasons(asked.view)
        .filter(|reason| reason.effect != Effect::Neutral)
        .take(REASONS)
        .map(|reason| {
            vec![Node::Line {
                tone: fruit::tone(reason),
                text: fruit::reason_text(reason, asked),
            }]
        })
        .collect();
    if !reasons.is_empty() {
        says.push(Node::List {
            style: "reasons",
            items: reasons,
        });
    }
    let here = ground.kinds_here(stand, asked.visit);
    let named: Vec<Text> = in_view(&here, asked)
        .take(KINDS)
        .map(|kind| kinds::name(kind, asked))
        .collect();
    if asked.wish.is_some() && !in_season {
        says.push(Node::toned(Tone::Against, Text::key("plan.wish_out_of_season")));
    }
    if named.is_empty() {
        says.push(Node::toned(Tone::Against, Text::key("plan.nothing_in_season")));
    } else {
        says.push(Node::line(Text::with(
            "plan.kinds",
            [("kinds", Arg::list(named))],
        )));
    }
    says.extend(danger(&here, asked));
    Chosen {
        place: candidate.place,
        distance: candidate.distance,
        value: candidate.value,
        answer: verdict.answer,
        in_season,
        says,
    }
}

/// The deadly kinds with the same trees, and as many poisonous ones as there are kinds named; all of the deadly.
fn danger(here: &KindsHere, asked: &Asked<'_>) -> Option<Node> {
    let fungi = &asked.ground.knowledge.fungi;
    let mut room = KINDS;
    let named: Vec<Text> = here
        .poisonous
        .iter()
        .filter_map(|found| fungi.kind(&found.kind))
        .filter(|kind| {
            let deadly = kind.status == CustomStatus::Deadly;
            let shown = deadly || room > 0;
            room = room.saturating_sub(1);
            shown
        })
        .map(|kind| kinds::name(kind, asked))
        .collect();
    let text = if named.is_empty() {
        Text::key("sheet.danger.none")
    } else {
        Text::with("plan.danger", [("kinds", Arg::list(named))])
    };
    Some(Node::toned(Tone::Danger, text))
}
