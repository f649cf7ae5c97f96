//! What crosses to JavaScript: a session over one stand map, and the few shapes its answers have. In go bytes and plain
//! values, out come plain values and pixels. Everything here runs natively as well, and native tests drive it; turning
//! it into JavaScript values is left to `wasm`.

mod harvest;
mod kinds;
mod list;
mod shapes;
mod taking;
mod trial;
mod weather;

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::assessment::{Assessment, Ground};
use crate::day::Day;
use crate::geometry::{LngLat, LngLatBox};
use crate::knowledge::{Kind, Knowledge};
use crate::order::{self, Gather};
use crate::rules::{self, BookState, Mistake, Question, RuleBook, Severity as RuleSeverity};
use crate::shading::{self, Contrast, Paint, Painter, Scheme, TileRequest};
use crate::sheet::tree::{Node, Text, Tone};
use crate::sheet::{self, Asked};
use crate::standmap::{Crosswalk, Finding, Limits, Reader, Severity, Unreadable};

/// Where stands lie on the tiles drawn last is kept in so many bytes: those of a screen, and some around it.
const LAID_BYTES: usize = 12 << 20;
/// A page's search for overlaps is given up after looking at so many edges: some hundredths of a second. The command
/// line looks at all stands.
const OVERLAP_EDGES: usize = 1_000_000;

pub use harvest::{BasketEntry, basket};
pub use shapes::*;
pub use taking::{
    CalendarOfStand, FindInput, GpxQuery, GpxWish, KindSpans, PlanQuery, PlanReport, PlannedStand,
};
pub use trial::{CrosswalkTrial, SampledFeature};
pub use weather::WeatherReport;

/// One stand map, its rule books, and one visit at a time.
#[derive(Debug, Default)]
pub struct Session {
    reader: Option<Reader<'static>>,
    /// How much of a stand map is read.
    limits: Limits,
    /// What is odd in the crosswalk of the map that is being read.
    warnings: Vec<Trouble>,
    ground: Option<Ground>,
    /// The shipped knowledge with the region's own kinds; none while no region has added any.
    regional: Option<Arc<Knowledge>>,
    /// Whether a region's own tables were named and could not be used.
    kinds_unread: bool,
    books: Vec<RuleBook>,
    /// The rule books as they were handed in, to read them again when names of fungi are added.
    book_bytes: Vec<BookBytes>,
    /// For each book handed in, which of the read books it is; none where it could not be read.
    handed_in: Vec<Result<usize, &'static str>>,
    weather: Option<crate::weather::Weather>,
    assessment: Option<Assessment>,
    painter: Painter,
    /// The paints of the last view and wish asked for.
    painted: Option<(View, Option<String>, Vec<Paint>)>,
}

impl Session {
    /// The files that a crosswalk names, lists and joined tables, by their addresses relative to its own.
    ///
    /// # Errors
    /// A [`Refusal`] if the crosswalk can't be read at all.
    pub fn crosswalk_files(&self, crosswalk: &[u8]) -> Result<Vec<String>, Refusal> {
        Crosswalk::files(crosswalk).map_err(|mistakes| bad_crosswalk(&mistakes))
    }

    /// Sets how much of the stand maps that follow is read; what is not said goes back to what is usual.
    ///
    /// # Errors
    /// A [`Refusal`] if a limit is beyond what can be held.
    pub fn set_limits(&mut self, wanted: &LimitsWanted) -> Result<(), Refusal> {
        self.limits = wanted.read()?;
        Ok(())
    }

    /// Starts reading a stand map, with its crosswalk if it has one. The map there was stays until the new one is read.
    ///
    /// # Errors
    /// A [`Refusal`] with all mistakes of the crosswalk.
    pub fn begin_stands(&mut self, crosswalk: Option<&[u8]>) -> Result<(), Refusal> {
        self.begin_stands_with_files(crosswalk, &BTreeMap::new())
    }

    /// As [`Session::begin_stands`], with the files that the crosswalk names.
    ///
    /// # Errors
    /// A [`Refusal`] with all mistakes of the crosswalk and its files.
    pub fn begin_stands_with_files(
        &mut self,
        crosswalk: Option<&[u8]>,
        files: &BTreeMap<String, Vec<u8>>,
    ) -> Result<(), Refusal> {
        let crosswalk = match crosswalk {
            None => None,
            Some(bytes) => {
                Some(Crosswalk::read_with_files(bytes, files).map_err(|mistakes| bad_crosswalk(&mistakes))?)
            }
        };
        self.warnings = crosswalk
            .iter()
            .flat_map(|crosswalk| &crosswalk.warnings)
            .map(|mistake| Trouble::of_crosswalk(mistake, "warning"))
            .collect();
        self.reader = Some(
            Reader::new(crosswalk, Knowledge::shipped())
                .with_limits(self.limits)
                .without_overlaps(),
        );
        Ok(())
    }

    /// Takes the next bytes of the stand map.
    ///
    /// # Errors
    /// A [`Refusal`] if the file can't be a stand map.
    pub fn push_stands(&mut self, chunk: &[u8]) -> Result<ReadingProgress, Refusal> {
        let reader = self
            .reader
            .as_mut()
            .ok_or_else(|| Refusal::argument("no reading was begun"))?;
        let progress = reader.push(chunk).map_err(|error| unreadable(&error));
        if progress.is_err() {
            self.reader = None;
        }
        let progress = progress?;
        Ok(ReadingProgress {
            bytes: progress.bytes,
            stands: progress.stands,
        })
    }

    /// Ends reading and works out what depends on no day.
    ///
    /// # Errors
    /// A [`Refusal`] if the file can't be used.
    pub fn finish_stands(&mut self) -> Result<StandsReport, Refusal> {
        let reader = self
            .reader
            .take()
            .ok_or_else(|| Refusal::argument("no reading was begun"))?;
        let reading = reader.finish().map_err(|error| unreadable(&error))?;
        let map = reading.map;
        let report = StandsReport {
            stands: map.stands.len(),
            without_outline: map.stands.iter().filter(|stand| stand.place.is_none()).count(),
            bounds: map.outlines.all_bounds().map(corners),
            profiles: map.profiles.len(),
            findings: std::mem::take(&mut self.warnings)
                .into_iter()
                .chain(reading.findings.iter().map(Trouble::from))
                .collect(),
            not_assessed: map
                .assessed
                .each()
                .into_iter()
                .filter(|(_, assessed)| !assessed)
                .map(|(factor, _)| factor.to_owned())
                .collect(),
        };
        let mut ground = Ground::new(map, self.knowledge());
        ground.set_kinds(self.knowledge(), self.kinds_unread);
        ground.set_books(self.books.clone(), self.unread());
        ground.set_weather(self.weather.clone());
        self.ground = Some(ground);
        self.painter = Painter::of_one_map(LAID_BYTES);
        self.painted = None;
        self.assessment = self
            .assessment
            .take()
            .and_then(|old| self.ground.as_ref().map(|ground| ground.assess(&old.visit)));
        Ok(report)
    }

    /// Looks for stands that lie on one another, which reading leaves out so that the map is shown sooner.
    pub fn overlaps(&self) -> Vec<Trouble> {
        let found = self
            .ground
            .iter()
            .flat_map(|ground| ground.map.overlaps_within(&ground.index, OVERLAP_EDGES));
        found.map(|finding| Trouble::from(&finding)).collect()
    }

    fn unread(&self) -> usize {
        self.handed_in.iter().filter(|book| book.is_err()).count()
    }

    /// Reads the rule books. A book that can't be read is in the report, and what it would say is not known.
    pub fn set_rules(&mut self, books: &[BookBytes]) -> RulesReport {
        let knowledge = Arc::clone(self.knowledge());
        let names = &knowledge.fungi;
        let mut mistakes = Vec::new();
        self.book_bytes = books.to_vec();
        self.books.clear();
        self.handed_in.clear();
        for book in books {
            let Some(bytes) = &book.bytes else {
                self.handed_in.push(Err("missing"));
                mistakes.push(Trouble {
                    book: Some(book.name.clone()),
                    ..Trouble::new("missing-book", "error", format!(
                        "{}: the rule book could not be fetched, so the rules are not known; check the address",
                        book.name
                    ))
                });
                continue;
            };
            match RuleBook::read(bytes, names) {
                Ok(read) => {
                    mistakes.extend(
                        read.warnings
                            .iter()
                            .map(|mistake| Trouble::of(mistake, &book.name)),
                    );
                    self.handed_in.push(Ok(self.books.len()));
                    self.books.push(read.book);
                }
                Err(found) => {
                    mistakes.extend(found.iter().map(|mistake| Trouble::of(mistake, &book.name)));
                    self.handed_in.push(Err("unreadable"));
                }
            }
        }
        let readable = books.iter().zip(&self.handed_in).filter(|(_, read)| read.is_ok());
        let names: Vec<&str> = readable.map(|(book, _)| book.name.as_str()).collect();
        let between = rules::check_together(&self.books.iter().collect::<Vec<_>>());
        mistakes.extend(between.into_iter().map(|between| {
            let name = names.get(between.book).copied().unwrap_or_default();
            Trouble {
                book: Some(name.to_owned()),
                ..Trouble::new(between.code, "warning", format!("{name}: {}", between.message))
            }
        }));
        let unread = self.unread();
        if let Some(ground) = &mut self.ground {
            for left_open in ground.set_books(self.books.clone(), unread) {
                let name = left_open.book().and_then(|book| names.get(book).copied());
                let message = match name {
                    Some(name) => format!("{name}: {left_open}"),
                    None => left_open.to_string(),
                };
                mistakes.push(Trouble {
                    book: name.map(str::to_owned),
                    ..Trouble::new("not-compared", "warning", message)
                });
            }
            self.assessment = self.assessment.take().map(|old| ground.assess(&old.visit));
        }
        self.painted = None;
        self.rules_report(books, mistakes)
    }

    /// Checks a rule book that somebody is writing: everything that is wrong in it, then what is suspicious, in the
    /// order of the text. `day` is today, to tell what has grown old. The books in use stay as they are.
    ///
    /// # Errors
    /// A [`Refusal`] if the day is not one.
    pub fn check_rules(&self, bytes: &[u8], day: Option<&str>) -> Result<BookCheck, Refusal> {
        let day = match day {
            None => None,
            Some(day) => {
                Some(Day::parse(day).map_err(|error| Refusal::new("bad-day", format!("day: {error}")))?)
            }
        };
        let checked = rules::check(bytes, &self.knowledge().fungi, day);
        Ok(BookCheck {
            usable: checked.book.is_some(),
            title: checked.book.as_ref().map(|book| texts(&book.region.names)),
            mistakes: checked.mistakes.iter().map(Trouble::of_a_file).collect(),
        })
    }

    /// The names in an authority's list of fungi, a table of comma-separated values or the like, and what in it gave no
    /// name.
    pub fn protected_from_csv(&self, bytes: &[u8]) -> ListedReport {
        let (names, mistakes) = rules::protected_from_csv(bytes, &self.knowledge().fungi);
        ListedReport {
            names,
            mistakes: mistakes.iter().map(Trouble::of_a_file).collect(),
        }
    }

    /// What the rules answer on a stand on each day of the year of the visit.
    ///
    /// # Errors
    /// A [`Refusal`] if there is no such stand, or no visit yet.
    pub fn year(&self, id: &str) -> Result<YearOfStand, Refusal> {
        let ground = self.ground.as_ref().ok_or_else(no_map)?;
        let assessment = self.assessment.as_ref().ok_or_else(no_visit)?;
        let place = ground.find(id).ok_or_else(|| no_stand(id))?;
        let (from, answers) = ground.year(place, &assessment.visit);
        let next = ground.verdict(place, &assessment.visit).next;
        Ok(YearOfStand {
            from,
            answers,
            next: next.map(|next| NextTurn {
                on: next.on,
                at: next.at,
                becomes: next.becomes,
            }),
        })
    }

    /// A basket held against the rules of a stand, or of the region where no stand is named, as a tree.
    ///
    /// # Errors
    /// A [`Refusal`] if there is no such stand or no visit yet, or if an entry of the basket makes no sense.
    pub fn harvest(
        &self,
        id: Option<&str>,
        basket: &[BasketEntry],
        languages: &[String],
    ) -> Result<Vec<Node>, Refusal> {
        let ground = self.ground.as_ref().ok_or_else(no_map)?;
        let assessment = self.assessment.as_ref().ok_or_else(no_visit)?;
        let place = match id {
            Some(id) => Some(ground.find(id).ok_or_else(|| no_stand(id))?),
            None => None,
        };
        let basket = harvest::basket(basket, &ground.knowledge.fungi)?;
        let (verdict, check) = ground.harvest(place, &assessment.visit, &basket);
        let languages: Vec<&str> = languages.iter().map(String::as_str).collect();
        let asked = Asked {
            ground,
            visit: &assessment.visit,
            languages: &languages,
            view: View::Roots,
            wish: None,
        };
        let mut nodes = sheet::harvest::harvest(&check, &verdict, &basket, &asked);
        if place.is_none() {
            nodes.push(Node::toned(Tone::Open, Text::key("harvest.no_stand")));
        }
        Ok(nodes)
    }

    fn rules_report(&self, handed_in: &[BookBytes], mistakes: Vec<Trouble>) -> RulesReport {
        let books = handed_in
            .iter()
            .zip(&self.handed_in)
            .map(|(bytes, read)| {
                let book = read.ok().and_then(|place| self.books.get(place));
                BookReport {
                    name: bytes.name.clone(),
                    title: book.map(|book| texts(&book.region.names)).unwrap_or_default(),
                    authority: book.map(|book| texts(&book.authority.name)).unwrap_or_default(),
                    link: book.and_then(|book| book.authority.link.clone()),
                    phone: book.and_then(|book| book.authority.phone.clone()),
                    state: read.err().unwrap_or("read").to_owned(),
                    checked: book.map(|book| book.checked),
                    valid_to: book.and_then(|book| book.valid_to),
                    time_zone: book.map(|book| book.region.time_zone.clone()),
                }
            })
            .collect();
        let mut questions: Vec<Question> = self.books.iter().flat_map(RuleBook::questions).collect();
        order::naturally(&mut questions);
        questions.dedup();
        let mut facts: Vec<_> = self.books.iter().flat_map(RuleBook::basket_facts).collect();
        order::naturally(&mut facts);
        facts.dedup();
        RulesReport {
            books,
            mistakes,
            time_zone: self.books.first().map(|book| book.region.time_zone.clone()),
            questions: questions
                .into_iter()
                .map(|question| question_word(question).to_owned())
                .collect(),
            basket: facts.into_iter().map(|fact| fact.word().to_owned()).collect(),
            emergency: self.books.iter().find_map(|book| book.emergency.clone()),
        }
    }

    /// Assesses every stand for one visit.
    ///
    /// # Errors
    /// A [`Refusal`] if the day or time is not one, or no stand map is read.
    pub fn set_visit(&mut self, visit: &VisitInput) -> Result<VisitReport, Refusal> {
        let visit = visit.read()?;
        let ground = self.ground.as_ref().ok_or_else(no_map)?;
        let assessment = ground.assess(&visit);
        let mut answers = BTreeMap::new();
        let mut steps: BTreeMap<String, usize> = BTreeMap::new();
        for (stand, place) in ground.map.stands.iter().zip(0u32..) {
            *answers.entry(assessment.answer(place)).or_insert(0) += 1;
            let step = ground
                .view(stand, View::Roots)
                .known()
                .map(|value| list::step_word(value.step));
            *steps.entry(step.unwrap_or("not_known").to_owned()).or_insert(0) += 1;
        }
        let books = self
            .handed_in
            .iter()
            .map(|read| match read {
                Err(why) => (*why).to_owned(),
                Ok(place) => assessment
                    .states
                    .get(*place)
                    .map_or("unreadable", |state| state_word(*state))
                    .to_owned(),
            })
            .collect();
        self.assessment = Some(assessment);
        self.painted = None;
        Ok(VisitReport {
            day: visit.day,
            answers,
            steps,
            books,
        })
    }

    fn wish(&self, id: Option<&str>) -> Option<&Kind> {
        self.ground.as_ref().and_then(|ground| ground.kind(id?))
    }

    /// Draws one tile: RGBA with straight alpha, `size * ratio` pixels a side. Empty before a map is read.
    pub fn tile(&mut self, z: u8, x: u32, y: u32, options: &TileOptions) -> Vec<u8> {
        let request = TileRequest {
            z,
            x,
            y,
            size: options.size,
            ratio: options.ratio,
            scheme: scheme_of(options.scheme.as_deref()),
            contrast: contrast_of(options.more_contrast),
        };
        let (Some(ground), Some(assessment)) = (&self.ground, &self.assessment) else {
            return vec![0; request.side() * request.side() * 4];
        };
        let wish = options.wish.as_deref().and_then(|id| ground.kind(id));
        let fresh = self
            .painted
            .as_ref()
            .is_some_and(|(view, painted, _)| *view == options.view && *painted == options.wish);
        if !fresh {
            let paints = shading::paints(ground, assessment, |stand| {
                ground.value(stand, options.view, wish)
            });
            self.painted = Some((options.view, options.wish.clone(), paints));
        }
        let paints = self.painted.as_ref().map_or(&[][..], |(_, _, paints)| paints);
        let selected = options.selected.as_deref().and_then(|id| ground.find(id));
        self.painter.draws_ahead(options.ahead);
        self.painter
            .tile(&ground.map.outlines, &ground.index, paints, &request, selected)
    }

    /// The legend's swatches, drawn as the tiles are. With a wish the steps are those of the wish. What a view does not
    /// assess is explained only where a stand of the map is drawn so.
    pub fn swatches(&self, look: &LegendLook) -> Vec<LegendEntry> {
        let contrast = contrast_of(look.more_contrast);
        let drawn_bare = look.wish.is_none()
            && self
                .ground
                .as_ref()
                .is_some_and(|ground| ground.leaves_open(look.view));
        shading::legend(scheme_of(Some(&look.scheme)), contrast, look.ratio)
            .into_iter()
            .filter(|swatch| drawn_bare || swatch.id != "not_assessed")
            .map(|swatch| LegendEntry {
                id: match (&look.wish, swatch.id.strip_prefix("step.")) {
                    (Some(_), Some(step)) => format!("wish.{step}"),
                    _ => swatch.id.to_owned(),
                },
                width: u32::try_from(swatch.width).unwrap_or(0),
                height: u32::try_from(swatch.height).unwrap_or(0),
                pixels: swatch.pixels,
            })
            .collect()
    }

    /// The id of the smallest stand at a place, in degrees.
    pub fn stand_at(&self, lng: f64, lat: f64) -> Option<String> {
        let ground = self.ground.as_ref()?;
        let place = ground.stand_at(LngLat { lng, lat })?;
        Some(ground.stand(place)?.id.to_string())
    }

    /// Where a stand lies and what it is called.
    pub fn stand(&self, id: &str) -> Option<StandPlace> {
        let ground = self.ground.as_ref()?;
        let stand = ground.stand(ground.find(id)?)?;
        Some(StandPlace {
            id: stand.id.to_string(),
            name: stand.name.clone(),
            bounds: stand.place.map(|place| corners(place.bounds)),
            inside: stand.place.map(|place| [place.inside.lng, place.inside.lat]),
        })
    }

    /// The stand that follows or precedes this one among those whose inner point lies in the box (west, south, east,
    /// north): row by row from the north-west. Without a stand, the first or last.
    pub fn neighbour(&self, id: Option<&str>, forward: bool, view_box: &[f64]) -> Option<String> {
        let ground = self.ground.as_ref()?;
        let [west, south, east, north] = *<&[f64; 4]>::try_from(view_box).ok()?;
        list::walk(
            ground,
            LngLatBox {
                west,
                south,
                east,
                north,
            },
            id,
            forward,
        )
    }

    /// What the sheet of a stand says.
    ///
    /// # Errors
    /// A [`Refusal`] if there is no such stand, or no visit yet.
    pub fn sheet(&self, id: &str, options: &SheetOptions) -> Result<Vec<Node>, Refusal> {
        let ground = self.ground.as_ref().ok_or_else(no_map)?;
        let assessment = self.assessment.as_ref().ok_or_else(no_visit)?;
        let place = ground.find(id).ok_or_else(|| no_stand(id))?;
        let languages: Vec<&str> = options.languages.iter().map(String::as_str).collect();
        let wish = self.wish(options.wish.as_deref());
        let asked = Asked {
            ground,
            visit: &assessment.visit,
            languages: &languages,
            view: options
                .view
                .or(wish.map(|kind| kind.guild.view()))
                .unwrap_or(View::Roots),
            wish,
        };
        let mut tree = sheet::sheet(place, &asked);
        let pressed = options.at.map(|[lng, lat]| LngLat { lng, lat });
        if let Some(point) = pressed.filter(|point| ground.stand_at(*point) == Some(place)) {
            sheet::say_at_point(&mut tree, sheet::at_point(place, point, &asked));
        }
        Ok(tree)
    }

    /// What the rules say at a place, where the stand there lies partly in a zone: the verdict on that point. Empty where
    /// no stand is, or where all of it is alike.
    ///
    /// # Errors
    /// A [`Refusal`] if no stand map is read, or no visit is set yet.
    pub fn verdict_at(&self, lng: f64, lat: f64, languages: &[String]) -> Result<Vec<Node>, Refusal> {
        let ground = self.ground.as_ref().ok_or_else(no_map)?;
        let assessment = self.assessment.as_ref().ok_or_else(no_visit)?;
        let point = LngLat { lng, lat };
        let languages: Vec<&str> = languages.iter().map(String::as_str).collect();
        let asked = Asked {
            ground,
            visit: &assessment.visit,
            languages: &languages,
            view: View::Roots,
            wish: None,
        };
        Ok(ground
            .stand_at(point)
            .map(|place| sheet::at_point(place, point, &asked))
            .unwrap_or_default())
    }

    /// A page of the stand list.
    ///
    /// # Errors
    /// A [`Refusal`] if no stand map is read, or no visit is set yet.
    pub fn list(&self, query: &ListQuery) -> Result<ListPage, Refusal> {
        let ground = self.ground.as_ref().ok_or_else(no_map)?;
        let assessment = self.assessment.as_ref().ok_or_else(no_visit)?;
        Ok(list::page(
            ground,
            assessment,
            query,
            self.wish(query.wish.as_deref()),
        ))
    }

    /// The kinds that a visitor may look for: those that are collected by custom. By scientific name.
    pub fn wishes(&self, languages: &[String]) -> Vec<Wish> {
        list::wishes(self.knowledge(), languages)
    }

    /// The stand map with a member `hostwood` in each feature.
    ///
    /// # Errors
    /// A [`Refusal`] if no stand map is read, or no visit is set yet.
    pub fn to_geojson(&self) -> Result<Vec<u8>, Refusal> {
        let ground = self.ground.as_ref().ok_or_else(no_map)?;
        let assessment = self.assessment.as_ref().ok_or_else(no_visit)?;
        Ok(crate::export::assessed(ground, assessment, &[])
            .to_string()
            .into_bytes())
    }

    /// One stand's outline as a GeoJSON feature.
    pub fn outline(&self, id: &str) -> Option<Vec<u8>> {
        let ground = self.ground.as_ref()?;
        let place = ground.find(id)?;
        crate::export::outline(ground, place).map(|feature| feature.to_string().into_bytes())
    }
}

fn no_map() -> Refusal {
    Refusal::new("no-stand-map", "no stand map is read yet")
}

fn no_stand(id: &str) -> Refusal {
    Refusal::new("no-such-stand", format!("there is no stand `{id}` on this map"))
}

/// Texts by language.
fn texts(texts: &rules::Texts) -> BTreeMap<String, String> {
    texts
        .all()
        .map(|(lang, text)| (lang.to_owned(), text.to_owned()))
        .into_map()
}

fn no_visit() -> Refusal {
    Refusal::new("no-visit", "no day of visit is set yet")
}

fn corners(bounds: LngLatBox) -> [f64; 4] {
    [bounds.west, bounds.south, bounds.east, bounds.north]
}

fn contrast_of(more: bool) -> Contrast {
    if more { Contrast::More } else { Contrast::Usual }
}

fn scheme_of(word: Option<&str>) -> Scheme {
    if word == Some("dark") {
        Scheme::Dark
    } else {
        Scheme::Light
    }
}

fn question_word(question: Question) -> &'static str {
    match question {
        Question::Resident => "resident",
        Question::Permit => "permit",
        Question::Owner => "owner",
        Question::Consent => "consent",
        Question::Commercial => "commercial",
        Question::Age => "age",
        Question::Escorted => "escorted",
        Question::Party => "party",
        Question::Family => "family",
    }
}

fn state_word(state: BookState) -> &'static str {
    match state {
        BookState::InForce => "in_force",
        BookState::NotYet(_) => "not_yet",
        BookState::Expired(_) => "expired",
        BookState::ReviewDue(_) => "review_due",
    }
}

fn unreadable(error: &Unreadable) -> Refusal {
    Refusal::new(error.code, error.to_string())
}

fn bad_crosswalk(mistakes: &[crate::standmap::Mistake]) -> Refusal {
    Refusal {
        code: "bad-crosswalk".to_owned(),
        message: mistakes.first().map_or_else(String::new, ToString::to_string),
        mistakes: mistakes
            .iter()
            .map(|mistake| Trouble::of_crosswalk(mistake, "error"))
            .collect(),
    }
}

impl Trouble {
    fn new(code: &str, severity: &str, message: String) -> Trouble {
        Trouble {
            code: code.to_owned(),
            severity: severity.to_owned(),
            message,
            book: None,
            feature: None,
            stand: None,
            property: None,
            line: None,
            column: None,
            pointer: None,
            count: 1,
            examples: Vec::new(),
        }
    }

    fn of_crosswalk(mistake: &crate::standmap::Mistake, severity: &str) -> Trouble {
        Trouble {
            line: Some(mistake.line),
            column: Some(mistake.column),
            ..Trouble::new(mistake.code, severity, mistake.to_string())
        }
    }

    fn of(mistake: &Mistake, book: &str) -> Trouble {
        Trouble {
            book: Some(book.to_owned()),
            ..Trouble::of_a_file(mistake)
        }
    }

    /// A mistake in a file that has no name yet.
    fn of_a_file(mistake: &Mistake) -> Trouble {
        let severity = match mistake.severity {
            RuleSeverity::Error => "error",
            RuleSeverity::Warning => "warning",
        };
        Trouble {
            line: Some(mistake.line as usize),
            column: Some(mistake.column as usize),
            pointer: Some(mistake.pointer.clone()),
            ..Trouble::new(mistake.code, severity, mistake.to_string())
        }
    }
}

impl From<&Finding> for Trouble {
    fn from(finding: &Finding) -> Trouble {
        let severity = match finding.severity {
            Severity::Error => "error",
            Severity::Warning => "warning",
            Severity::Note => "note",
        };
        Trouble {
            feature: finding.feature,
            stand: finding.stand.clone(),
            property: finding.property.clone(),
            count: finding.count,
            examples: finding.examples.clone(),
            ..Trouble::new(finding.code, severity, finding.to_string())
        }
    }
}
