//! Rule books laid over the stands of a map. In go books and what is known of each stand, out comes which part of the
//! stand lies in each book's area and zones, and which places could not be compared with how many stands. What a zone is
//! is left to `zone`, how an outline is laid over a stand to `cover`.

use std::fmt;

use geo::{Area as _, BooleanOps as _};

use super::book::RuleBook;
use super::cover::{Cover, Effort, may_be_compared};
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

/// A place of a book that could not be compared with some of the stands: its outline winds or crosses theirs too often.
/// What the place means for these stands is not known.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NotCompared {
    /// The book, a place in the list handed in.
    pub book: usize,
    /// The zone; `None` for the book's own area.
    pub zone: Option<ZoneId>,
    /// How many stands.
    pub stands: usize,
}

impl fmt::Display for NotCompared {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.zone {
            Some(zone) => write!(f, "zone `{zone}`")?,
            None => f.write_str("region › area")?,
        }
        write!(
            f,
            ": the outline winds too much, or crosses the borders of stands too often, to be compared with {} stands, so what it means for them is not known; simplify the outline",
            self.stands
        )
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
        let mut left = subject.outline.clone();
        for (surveyed, _) in books
            .iter()
            .zip(&all)
            .filter(|(_, membership)| shares(membership))
        {
            let area = &surveyed.book.region.area;
            if !effort.spend(surveyed.area.edge_count()) || !may_be_compared(&left, area) {
                return all;
            }
            left = left.difference(area);
        }
        if Part::of(left.unsigned_area() / subject.outline.unsigned_area()) == Part::NONE {
            for membership in &mut all {
                membership.jointly = shares(membership);
            }
        }
        all
    }

    /// The places that could not be compared with all stands so far.
    pub fn not_compared(&self) -> Vec<NotCompared> {
        let books = self.books.iter().enumerate();
        books
            .flat_map(|(book, surveyed)| {
                let ids = std::iter::once(None).chain(surveyed.book.zones.iter().map(|zone| Some(&zone.id)));
                ids.zip(&surveyed.left_open)
                    .filter(|(_, stands)| **stands > 0)
                    .map(move |(zone, &stands)| NotCompared {
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
