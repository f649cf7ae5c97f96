//! The end of a reading: in goes everything gathered, out come the stand map, the findings on the map as a whole, and
//! the counts. What counts as assessed is decided here.

use crate::order::Gather;

use crate::geometry::Index;
use crate::standmap::Reading;
use crate::standmap::facts::nearest;
use crate::standmap::finding::{Oddity, Severity, Whereabouts, counted};
use crate::standmap::overlapping::tell_overlaps;
use crate::standmap::placing::Because;
use crate::standmap::report::Told;
use crate::standmap::survey::Assessed;
use crate::standmap::unreadable::Unreadable;

use super::{Form, Gathering};

impl Gathering<'_> {
    pub(super) fn finish(mut self) -> Result<Reading, Unreadable> {
        self.outlines.placing.finish()?;
        self.tell_placing();
        let outlined = self.survey.map.stands.len() - self.report.without_outline;
        if self.report.features == 0 {
            self.tell_map(
                "no-stands",
                Severity::Note,
                "the map has no features",
                "the map is empty",
                "",
            );
        } else if outlined == 0 {
            let found = format!(
                "{}, and none has a usable polygon",
                counted(self.report.features, "feature")
            );
            self.tell_map(
                "no-polygons",
                Severity::Error,
                &found,
                "nothing can be drawn",
                "Check which layer was exported",
            );
        }
        let taken = if matches!(self.form, Form::Plain) {
            self.columns.taken_for()
        } else {
            Vec::new()
        };
        for (met, wanted, count) in taken {
            let found = format!("the property is written `{met}` in {}", counted(count, "feature"));
            self.findings.add(
                Whereabouts::default(),
                Oddity {
                    code: "guessed-property",
                    severity: Severity::Note,
                    property: Some(&wanted),
                    found: &found,
                    done: &format!("read as `{wanted}`"),
                    advice: "Write it as the plain form does",
                    apart: &met,
                },
            );
        }
        for (met, wanted, count) in self.columns.garbled() {
            let found = format!(
                "the property's name is written `{met}` in {}, which is UTF-8 taken for a one-byte encoding",
                counted(count, "feature")
            );
            self.findings.add(
                Whereabouts::default(),
                Oddity {
                    code: "garbled-letters",
                    severity: Severity::Warning,
                    property: Some(&wanted),
                    found: &found,
                    done: &format!("read as `{wanted}`"),
                    advice: "Export the map again and give UTF-8 as the encoding of its source",
                    apart: &met,
                },
            );
        }
        let settled = self.survey.settle_ages(self.reference_year);
        if settled.without_reference > 0 {
            let found = format!(
                "{} with a planting year and without an age, and no reference year is known",
                counted(settled.without_reference, "stand")
            );
            self.tell_map(
                "no-reference-year",
                Severity::Warning,
                &found,
                "their age is not known",
                "Add `\"reference_year\": 2026` (the year the map was last revised) beside `features`",
            );
        }
        if let Some((stand, planted)) = settled.impossible {
            for _ in 0..settled.impossible_count {
                self.findings.add(
                    Whereabouts::default(),
                    Oddity {
                        code: "bad-value",
                        severity: Severity::Warning,
                        property: Some("planted"),
                        found: &format!(
                            "stand `{stand}` was planted in {planted}, which makes no age from 0 to 1000"
                        ),
                        done: "its age is not known",
                        advice: "Correct the year, or the reference year",
                        apart: "year",
                    },
                );
            }
        }
        let assessed = match &self.form {
            Form::Plain => self.assessed(settled.settled),
            Form::Mapped(mapped) => mapped.assessed(),
        };
        self.tell_unknown_columns();
        self.tell_left_over();
        self.report.stands = self.survey.map.stands.len();
        self.report.unmapped = self.columns.unwanted();
        self.report.told = self.survey.told();
        let map = self.survey.finish(assessed);
        if self.looks_for_overlaps {
            let index = Index::build(&map.outlines);
            tell_overlaps(&map, map.outlines.overlaps(&index), &mut self.findings);
        }
        let mut report = self.report;
        report.unknown_trees = self.names.into_unknown();
        Ok(Reading {
            map,
            findings: self.findings.into_sorted(),
            report,
        })
    }

    /// Tells what was done to positions to make degrees of them.
    fn tell_placing(&mut self) {
        let grid = self.outlines.placing.grid().map(|grid| {
            (
                format!("EPSG:{} ({})", grid.code(), grid.name()),
                grid.metres_off(),
            )
        });
        if let Some(because) = self.outlines.placing.swapped() {
            let (found, advice) = match (because, &grid) {
                (Because::OffGrid, Some((grid, _))) => (
                    format!("northing stands before easting: as given, positions lie outside the area of {grid}"),
                    "Easting stands first in GeoJSON, whatever the axis order of the reference system",
                ),
                (Because::OutsideRegion, _) => (
                    "as given, positions lie outside the region of the crosswalk; in the other order they lie inside"
                        .to_owned(),
                    "GeoJSON has longitude or easting first",
                ),
                _ => (
                    "latitudes lie beyond 90, so latitude stands before longitude".to_owned(),
                    "GeoJSON has longitude first",
                ),
            };
            self.tell_map(
                "axes-swapped",
                Severity::Warning,
                &found,
                "the two were swapped",
                advice,
            );
        }
        if let Some((grid, _)) = &grid
            && self.outlines.placing.is_either_way()
        {
            self.tell_map(
                "axes-either-way",
                Severity::Note,
                &format!("in either order of their two numbers, positions lie in the area of {grid}"),
                "easting was taken to stand first",
                "Give the map's `region` in a crosswalk to settle it",
            );
        }
        if let Some((grid, metres)) = grid {
            let done = if metres == 0.0 {
                "converted to longitude and latitude".to_owned()
            } else {
                format!("converted to longitude and latitude; good to about {metres} m")
            };
            self.tell_map(
                "converted",
                Severity::Note,
                &format!("the coordinates are in {grid}"),
                &done,
                "Publish the map in longitude and latitude (WGS 84) to spare visitors the conversion",
            );
        }
    }

    /// Tells which columns of the crosswalk no feature carries, and the nearest name that some do.
    fn tell_unknown_columns(&mut self) {
        let Form::Mapped(mapped) = &self.form else { return };
        if self.report.features == 0 {
            return;
        }
        let never = self.columns.never_met();
        let unwanted = self.columns.unwanted();
        for way in mapped.ways() {
            let mut places = way.places().peekable();
            if places.peek().is_none() || !places.all(|place| never.contains(&self.columns.name(place))) {
                continue;
            }
            let advice = match nearest(unwanted.keys().map(String::as_str), &way.property) {
                Some(near) => format!("Did the crosswalk mean `{near}`?"),
                None => "Correct the name in the crosswalk, or leave the column out".to_owned(),
            };
            self.findings.add(
                Whereabouts::default(),
                Oddity {
                    code: "unknown-column",
                    severity: Severity::Warning,
                    property: Some(&way.property),
                    found: "no feature has the property that the crosswalk names",
                    done: "taken as missing everywhere",
                    advice: &advice,
                    apart: "",
                },
            );
        }
    }

    /// Tells which rows of joined tables no stand has, and how many stands have none.
    fn tell_left_over(&mut self) {
        let Form::Mapped(mapped) = &self.form else { return };
        for left in mapped.left_over() {
            let mut tell = |code, count: usize, found: String, done: &str, advice: &str| {
                let oddity = Oddity {
                    code,
                    severity: Severity::Warning,
                    property: Some(&left.table),
                    found: &found,
                    done,
                    advice,
                    apart: "",
                };
                if count > 0 {
                    self.findings.add(Whereabouts::default(), oddity);
                }
            };
            let found = format!(
                "{} of {} in the table {} to no feature of the map",
                left.rows_without_stand,
                counted(left.rows, "row"),
                if left.rows_without_stand == 1 {
                    "belongs"
                } else {
                    "belong"
                }
            );
            tell(
                "rows-without-stand",
                left.rows_without_stand,
                found,
                "left out",
                "Export map and table of the same day, or correct the table's `key`",
            );
            let found = format!(
                "{} no row in the table",
                match left.stands_without_rows {
                    1 => "1 stand has".to_owned(),
                    many => format!("{many} stands have"),
                }
            );
            tell(
                "stands-without-rows",
                left.stands_without_rows,
                found,
                "what the table would tell of them is not known",
                "Export map and table of the same day, or correct the table's `key`",
            );
        }
    }

    /// What at least half of the stands carry counts as assessed; each finding says how many do.
    fn assessed(&mut self, ages_settled: usize) -> Assessed {
        let stands = self.survey.map.stands.len();
        let told = self.survey.told();
        let carry = |names: &[&str]| -> usize {
            let carried = |told: &Told| told.known + told.range + told.illegal + told.unmapped;
            names
                .iter()
                .filter_map(|name| told.get(name))
                .map(carried)
                .max()
                .unwrap_or(0)
        };
        let counts = [
            ("age", carry(&["age"]) + ages_settled),
            ("stocking", carry(&["basal_area", "canopy"])),
            ("soil_reaction", carry(&["soil_reaction"])),
            ("moisture", carry(&["moisture"])),
            ("nitrogen", carry(&["nitrogen"])),
            ("nutrients", carry(&["nutrients"])),
            ("aspect", carry(&["aspect"])),
            ("deadwood", carry(&["deadwood"])),
            ("setting", carry(&["setting"])),
        ]
        .into_iter()
        .into_map();
        let enough = |name: &str| stands > 0 && counts[name] * 2 >= stands;
        for (name, count) in &counts {
            if *count > 0 && !enough(name) {
                self.findings.add(
                    Whereabouts::default(),
                    Oddity {
                        code: "not-assessed",
                        severity: Severity::Note,
                        property: Some(name),
                        found: &format!("{count} of {} tell it, fewer than half", counted(stands, "stand")),
                        done: "it is not assessed for any stand",
                        advice: "Tell it for at least half of the stands, or use a crosswalk that maps it",
                        apart: "",
                    },
                );
            }
        }
        Assessed {
            nutrients: enough("nutrients"),
            aspect: enough("aspect"),
            // Events are listed where they happened: one is enough.
            disturbance: carry(&["disturbance"]) > 0,
            age: enough("age"),
            stocking: enough("stocking"),
            soil_reaction: enough("soil_reaction"),
            moisture: enough("moisture"),
            nitrogen: enough("nitrogen"),
            deadwood: enough("deadwood"),
            setting: enough("setting"),
        }
    }
}
