//! Rule books laid over the stands of a map. In go books and what is known of each stand, out comes which part of the
//! stand lies in each book's area and zones, and which places could not be compared with how many stands. What a zone is
//! is left to `zone`, how an outline is laid over a stand to `cover`.

use std::fmt;

use super::book::RuleBook;
use super::cover::{Cover, Effort, may_be_compared, within_all};
use super::zone::{Extent, Membership, Part, Subject, derive};
use crate::names::ZoneId;
use crate::units::Truth;

/// Which part of a stand lies where in each of several books, and whether those that share it cover it together.
pub fn memberships<'b>(
    books: impl IntoIterator<Item = &'b RuleBook>,
    subject: &Subject<'_>,
) -> Vec<Membership> {
    Survey::of(books).memberships(subject)
}

/// Rule books made ready to be laid over the stands of a map, one stand after the other.
#[derive(Debug)]
pub struct Survey<'b> {
    books: Vec<Surveyed<'b>>,
    effort: Effort,
}

#[derive(Debug)]
struct Surveyed<'b> {
    book: &'b RuleBook,
    area: Cover<'b>,
    /// The book's zones that are drawn, in its order; `None` for all others.
    zones: Vec<Option<Cover<'b>>>,
    /// For how many stands the place in the area, then in each zone, was left open.
    left_open: Vec<usize>,
}

/// What could not be compared with some or all stands. What it means for these stands is not known.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NotCompared {
    /// A place of a book: its outline winds, or crosses the borders of stands, too often.
    Outline {
        /// The book, a place in the list handed in.
        book: usize,
        /// The zone; `None` for the book's own area.
        zone: Option<ZoneId>,
        /// How many stands.
        stands: usize,
    },
    /// All books: these stands lie in other zones than all others, and there are more such places than can be kept.
    Places {
        /// How many stands.
        stands: usize,
    },
    /// All books: a visitor who leaves questions open may be so many different ones that not all can be tried in all
    /// places.
    Visitors {
        /// How many places there are in which other zones meet.
        places: usize,
    },
}

impl NotCompared {
    /// The book it is about, a place in the list handed in; `None` where it is about all of them.
    pub fn book(&self) -> Option<usize> {
        match self {
            NotCompared::Outline { book, .. } => Some(*book),
            NotCompared::Places { .. } | NotCompared::Visitors { .. } => None,
        }
    }
}

impl fmt::Display for NotCompared {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            NotCompared::Outline { zone, stands, .. } => {
                match zone {
                    Some(zone) => write!(f, "zone `{zone}`")?,
                    None => f.write_str("region › area")?,
                }
                write!(
                    f,
                    ": the outline winds too much, or crosses the borders of stands too often, to be compared with {stands} stands, so what it means for them is not known; simplify the outline"
                )
            }
            NotCompared::Places { stands } => write!(
                f,
                "zones: other zones meet in more places than can be told apart, so what the rules mean for {stands} stands is not known; use fewer zones, or fewer in `where`"
            ),
            NotCompared::Visitors { places } => write!(
                f,
                "rules: other zones meet in {places} places, and the rules ask so much of the visitor that not every visitor can be tried in each, so what hangs on a question that was not answered is not known; use fewer zones, rules or questions"
            ),
        }
    }
}

impl<'b> Survey<'b> {
    /// Makes books ready.
    pub fn of(books: impl IntoIterator<Item = &'b RuleBook>) -> Survey<'b> {
        let ready = |book: &'b RuleBook| Surveyed {
            book,
            area: Cover::of(&book.region.area),
            zones: book
                .zones
                .iter()
                .map(|zone| match &zone.extent {
                    Extent::Outline(outline) => Some(Cover::of(outline)),
                    _ => None,
                })
                .collect(),
            left_open: vec![0; book.zones.len() + 1],
        };
        Survey {
            books: books.into_iter().map(ready).collect(),
            effort: Effort::of_a_map(),
        }
    }

    /// Which part of a stand lies where in each book, and whether those that share it cover it together. Never fails:
    /// what cannot be worked out is not known.
    pub fn memberships(&mut self, subject: &Subject<'_>) -> Vec<Membership> {
        let Survey { books, effort } = self;
        let mut all: Vec<Membership> = books
            .iter_mut()
            .map(|book| book.membership(subject, effort))
            .collect();
        let shares =
            |membership: &Membership| membership.area.touches() == Truth::True && !membership.area.is_whole();
        if all.iter().any(|membership| membership.area.is_whole())
            || all.iter().filter(|membership| shares(membership)).count() < 2
        {
            return all;
        }
        let mut areas = Vec::new();
        for (surveyed, _) in books
            .iter()
            .zip(&all)
            .filter(|(_, membership)| shares(membership))
        {
            let area = &surveyed.book.region.area;
            if !effort.spend(surveyed.area.edge_count()) || !may_be_compared(subject.outline, area) {
                return all;
            }
            areas.push(area);
        }
        if Part::of(within_all(subject.outline, areas).part()).is_whole() {
            for membership in &mut all {
                membership.jointly = shares(membership);
            }
        }
        all
    }

    /// What a stand lies in where nobody can tell: not known, in every book.
    pub fn not_known(&self) -> Vec<Membership> {
        let not_known = |book: &Surveyed<'_>| Membership {
            area: Part::NOT_KNOWN,
            zones: vec![Part::NOT_KNOWN; book.book.zones.len()],
            jointly: false,
        };
        self.books.iter().map(not_known).collect()
    }

    /// The places that could not be compared with all stands so far.
    pub fn not_compared(&self) -> Vec<NotCompared> {
        let books = self.books.iter().enumerate();
        books
            .flat_map(|(book, surveyed)| {
                let ids = std::iter::once(None).chain(surveyed.book.zones.iter().map(|zone| Some(&zone.id)));
                ids.zip(&surveyed.left_open)
                    .filter(|(_, stands)| **stands > 0)
                    .map(move |(zone, &stands)| NotCompared::Outline {
                        book,
                        zone: zone.cloned(),
                        stands,
                    })
            })
            .collect()
    }
}

impl Surveyed<'_> {
    fn membership(&mut self, subject: &Subject<'_>, effort: &mut Effort) -> Membership {
        let within = |cover: &Cover<'_>, effort: &mut Effort, left_open: &mut usize| {
            if subject.place.is_none() {
                return Part::NOT_KNOWN;
            }
            cover.part_of(subject.outline, effort).unwrap_or_else(|| {
                *left_open += 1;
                Part::NOT_KNOWN
            })
        };
        let area = within(&self.area, effort, &mut self.left_open[0]);
        let mut zones: Vec<Part> = Vec::with_capacity(self.zones.len());
        for ((zone, cover), left_open) in self
            .book
            .zones
            .iter()
            .zip(&self.zones)
            .zip(&mut self.left_open[1..])
        {
            let part = match (&zone.extent, cover) {
                (_, Some(cover)) => within(cover, effort, left_open),
                (Extent::Near(near), _) => {
                    let share = subject.place.and_then(|_| near.share(subject.outline, effort));
                    *left_open += usize::from(subject.place.is_some() && effort.is_spent());
                    share.map_or(Part::NOT_KNOWN, Part::of)
                }
                (Extent::Attribute(test), _) => test.holds_for(subject).into(),
                (derived, _) => derive(derived, &zones),
            };
            zones.push(part);
        }
        Membership {
            area,
            zones,
            jointly: false,
        }
    }
}
