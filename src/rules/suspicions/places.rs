//! Suspicions about places: zones that lie outside the book's area or partly so, and zones or sets of fungi that nothing
//! refers to.

use geo::CoordsIter as _;

use super::{POSITIONS_AT_MOST, Suspicion, suspicion};
use crate::rules::book::RuleBook;
use crate::rules::cover::{may_be_compared, within_all};
use crate::rules::zone::Extent;

/// A zone may lie outside the area by this share before it is told: outlines come from different surveys.
const SLIVER: f64 = 0.01;

/// Looks at zones and sets.
pub(super) fn look(book: &RuleBook, file_order: &[String], found: &mut Vec<Suspicion>) {
    let mut looked_at = 0;
    for zone in &book.zones {
        let words = format!("zone `{}`", zone.id);
        let pointer = file_order
            .iter()
            .position(|id| id == zone.id.as_str())
            .map_or_else(String::new, |place| format!("/zones/{place}"));
        if let Extent::Outline(outline) = &zone.extent {
            looked_at += book.region.area.coords_count() + outline.coords_count();
            if looked_at > POSITIONS_AT_MOST || !may_be_compared(&book.region.area, outline) {
                found.push(suspicion(
                    "not-compared",
                    &pointer,
                    &words,
                    "its outline winds or crosses the book's `area` too often to tell how much of it lies inside",
                    "",
                    "simplify both outlines",
                ));
                continue;
            }
            let outside = 1.0 - within_all(outline, [&book.region.area]).part();
            // Rounding may leave a little inside that is none.
            if outside > 1.0 - 1e-9 {
                found.push(suspicion(
                    "zone-outside",
                    &pointer,
                    &words,
                    "the zone lies wholly outside the book's `area`",
                    "",
                    "its rules can never hold; check the outline, longitude first",
                ));
            } else if outside > SLIVER {
                found.push(suspicion(
                    "zone-outside",
                    &pointer,
                    &words,
                    &format!(
                        "{:.0} % of the zone lies outside the book's `area`",
                        (outside * 100.0).ceil()
                    ),
                    "",
                    "its rules do not hold there; check outline and area",
                ));
            }
        }
    }
    unused(book, file_order, found);
}

fn unused(book: &RuleBook, file_order: &[String], found: &mut Vec<Suspicion>) {
    let mut zones = vec![false; book.zones.len()];
    let named_by_rules = book.rules.iter().flat_map(super::zones_of);
    let named_by_zones = book.zones.iter().flat_map(|zone| match &zone.extent {
        Extent::AllOf(zones) | Extent::AnyOf(zones) => zones.clone(),
        Extent::Not(zone) => vec![*zone],
        _ => Vec::new(),
    });
    for place in named_by_rules.chain(named_by_zones) {
        if let Some(used) = zones.get_mut(place) {
            *used = true;
        }
    }
    let mut sets = vec![false; book.taxa.len()];
    for place in book.rules.iter().flat_map(super::sets_of) {
        if let Some(used) = sets.get_mut(place) {
            *used = true;
        }
    }
    let idle_zones = book.zones.iter().zip(zones).filter(|(_, used)| !used);
    let idle_sets = book.taxa.iter().zip(sets).filter(|(_, used)| !used);
    for (zone, _) in idle_zones {
        let place = file_order.iter().position(|id| id == zone.id.as_str());
        let pointer = place.map_or_else(String::new, |place| format!("/zones/{place}"));
        found.push(suspicion(
            "unused",
            &pointer,
            &format!("zone `{}`", zone.id),
            "no rule holds in it",
            "",
            "take it out, or name it in `where` of the rules that hold there",
        ));
    }
    for (set, _) in idle_sets {
        found.push(suspicion(
            "unused",
            &format!("/taxa/{}", set.id),
            &format!("set of fungi `{}`", set.id),
            "no rule is about it",
            "",
            "take it out, or name it in `taxa` of the rules about it",
        ));
    }
}
