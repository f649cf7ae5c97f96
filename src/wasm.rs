//! The only file that names wasm_bindgen or a JavaScript value. In go bytes and plain objects, out come pixels, trees
//! and plain objects; everything in between is `boundary`, which native tests drive as well.

use crate::order::Gather;
use std::collections::BTreeMap;

use js_sys::{Object, Reflect, Uint8Array, Uint8ClampedArray};
use serde::Serialize;
use serde::de::DeserializeOwned;
use wasm_bindgen::prelude::*;
use web_sys::ImageData;

use crate::boundary::{
    BasketEntry, BookBytes, FindInput, GpxQuery, LegendLook, LimitsWanted, ListQuery, PlanQuery, Refusal,
    Session, SheetOptions, TileOptions, VisitInput,
};

/// The engine: one stand map, its rule books, one visit at a time.
#[wasm_bindgen]
#[derive(Default)]
pub struct Engine {
    session: Session,
}

#[wasm_bindgen]
impl Engine {
    /// An engine with nothing in it.
    #[wasm_bindgen(constructor)]
    pub fn new() -> Engine {
        Engine::default()
    }

    /// The files that a crosswalk names, lists and joined tables: an array of addresses relative to its own.
    ///
    /// # Errors
    /// A plain object `{code, message, mistakes}` if the crosswalk can't be read.
    #[wasm_bindgen(js_name = crosswalkFiles)]
    pub fn crosswalk_files(&self, crosswalk: &[u8]) -> Result<JsValue, JsValue> {
        plain(&self.session.crosswalk_files(crosswalk).map_err(refuse)?)
    }

    /// Sets how much of the stand maps that follow is read: `{bytes?, stands?, positions?}`; what is not said is as usual.
    ///
    /// # Errors
    /// A plain object if a limit is 0 or more than can be held.
    #[wasm_bindgen(js_name = setLimits)]
    pub fn set_limits(&mut self, limits: JsValue) -> Result<(), JsValue> {
        self.session
            .set_limits(&given::<LimitsWanted>(limits)?)
            .map_err(refuse)
    }

    /// The dry run of a crosswalk on a sample of a map: `{features, stands, withoutOutline, findings, unread, sampled}`.
    /// `files` as for `beginStands`; `features` says of how many features it tells. The map in use stays.
    ///
    /// # Errors
    /// A plain object `{code, message, mistakes}` if the crosswalk can't be read, or the sample is no stand map.
    #[wasm_bindgen(js_name = tryCrosswalk)]
    pub fn try_crosswalk(
        &self,
        sample: &[u8],
        crosswalk: Option<Vec<u8>>,
        files: Option<js_sys::Array>,
        features: Option<u32>,
    ) -> Result<JsValue, JsValue> {
        let files = files_read(files)?;
        let features = features.unwrap_or(5) as usize;
        plain(
            &self
                .session
                .try_crosswalk(sample, crosswalk.as_deref(), &files, features)
                .map_err(refuse)?,
        )
    }

    /// Starts reading a stand map; drops the one there was. `files` is an array of `{name, bytes}` with what
    /// `crosswalkFiles` asked for.
    ///
    /// # Errors
    /// A plain object `{code, message, mistakes}` if the crosswalk or one of its files can't be read.
    #[wasm_bindgen(js_name = beginStands)]
    pub fn begin_stands(
        &mut self,
        crosswalk: Option<Vec<u8>>,
        files: Option<js_sys::Array>,
    ) -> Result<(), JsValue> {
        self.session
            .begin_stands_with_files(crosswalk.as_deref(), &files_read(files)?)
            .map_err(refuse)
    }

    /// Takes the next bytes of the stand map; says how far it is.
    ///
    /// # Errors
    /// A plain object `{code, message}` if the file can't be a stand map.
    #[wasm_bindgen(js_name = pushStands)]
    pub fn push_stands(&mut self, chunk: &[u8]) -> Result<JsValue, JsValue> {
        plain(&self.session.push_stands(chunk).map_err(refuse)?)
    }

    /// Ends reading: what was found, and the findings.
    ///
    /// # Errors
    /// A plain object `{code, message}` if the file can't be used.
    #[wasm_bindgen(js_name = finishStands)]
    pub fn finish_stands(&mut self) -> Result<JsValue, JsValue> {
        plain(&self.session.finish_stands().map_err(refuse)?)
    }

    /// Reads the rule books: an array of `{name, bytes}`, bytes null where a book could not be had.
    ///
    /// # Errors
    /// A plain object if the argument is not such an array. A book that can't be read is not an error here: it is in
    /// the report, and what it would say is not known.
    #[wasm_bindgen(js_name = setRules)]
    pub fn set_rules(&mut self, books: js_sys::Array) -> Result<JsValue, JsValue> {
        plain(&self.session.set_rules(&named(books)?))
    }

    /// Checks a rule book that somebody is writing, as bytes: `{usable, mistakes, title?}`. `day` is today (ISO).
    ///
    /// # Errors
    /// A plain object if the day is not one. What is wrong in the book is no error here but the result.
    #[wasm_bindgen(js_name = checkRules)]
    pub fn check_rules(&self, bytes: &[u8], day: Option<String>) -> Result<JsValue, JsValue> {
        plain(&self.session.check_rules(bytes, day.as_deref()).map_err(refuse)?)
    }

    /// The names in an authority's list of fungi (CSV and the like): `{names, mistakes}`.
    ///
    /// # Errors
    /// Never in practice; the signature is that of the conversion.
    #[wasm_bindgen(js_name = protectedFromCsv)]
    pub fn protected_from_csv(&self, bytes: &[u8]) -> Result<JsValue, JsValue> {
        plain(&self.session.protected_from_csv(bytes))
    }

    /// What the rules answer on a stand on each day of the visit's year: `{from, answers, next?}`.
    ///
    /// # Errors
    /// A plain object if there is no such stand or no visit yet.
    pub fn year(&self, id: &str) -> Result<JsValue, JsValue> {
        plain(&self.session.year(id).map_err(refuse)?)
    }

    /// The best stands within a distance of a start: `{stands, near, closed, notKnown}`.
    ///
    /// # Errors
    /// A plain object if no visit is set yet, or the question is not one.
    pub fn plan(&self, query: JsValue) -> Result<JsValue, JsValue> {
        plain(&self.session.plan(&given::<PlanQuery>(query)?).map_err(refuse)?)
    }

    /// What fruits when on a stand, and what the rules answer on each day of the visit's year.
    ///
    /// # Errors
    /// A plain object if there is no such stand or no visit yet.
    pub fn calendar(&self, id: &str, options: JsValue) -> Result<JsValue, JsValue> {
        plain(
            &self
                .session
                .calendar(id, &given::<SheetOptions>(options)?)
                .map_err(refuse)?,
        )
    }

    /// Outlines of stands as bytes of GPX 1.1.
    ///
    /// # Errors
    /// A plain object if there is no such stand, or none has an outline.
    pub fn gpx(&self, query: JsValue) -> Result<Uint8Array, JsValue> {
        let bytes = self.session.gpx(&given::<GpxQuery>(query)?).map_err(refuse)?;
        Ok(Uint8Array::from(bytes.as_slice()))
    }

    /// The record of a find, its position blurred, as bytes of CSV.
    ///
    /// # Errors
    /// A plain object that names the field that makes no sense.
    pub fn occurrence(&self, find: JsValue) -> Result<Uint8Array, JsValue> {
        let bytes = self
            .session
            .occurrence(&given::<FindInput>(find)?)
            .map_err(refuse)?;
        Ok(Uint8Array::from(bytes.as_slice()))
    }

    /// A basket held against the rules of a stand, or of the region where the id is null, as a tree like a sheet.
    ///
    /// # Errors
    /// A plain object if there is no such stand, no visit yet, or an entry makes no sense.
    pub fn harvest(
        &self,
        id: Option<String>,
        basket: JsValue,
        languages: Option<Vec<String>>,
    ) -> Result<JsValue, JsValue> {
        let basket = given::<Vec<BasketEntry>>(basket)?;
        let languages = languages.unwrap_or_default();
        plain(
            &self
                .session
                .harvest(id.as_deref(), &basket, &languages)
                .map_err(refuse)?,
        )
    }

    /// Takes daily weather (JSON or CSV), or takes it away with null. `today` is the ISO day where the forest is.
    ///
    /// # Errors
    /// A plain object `{code, message}` if the file holds no days.
    #[wasm_bindgen(js_name = setWeather)]
    pub fn set_weather(&mut self, bytes: Option<Vec<u8>>, today: Option<String>) -> Result<JsValue, JsValue> {
        plain(
            &self
                .session
                .set_weather(bytes.as_deref(), today.as_deref())
                .map_err(refuse)?,
        )
    }

    /// Takes a region's own tables of kinds: an array of `{name, bytes}`, bytes null where a file could not be had. An empty
    /// array goes back to the shipped tables.
    ///
    /// # Errors
    /// A plain object if the argument is not such an array. A file that can't be used is not an error here: its mistakes
    /// are in the report, and the shipped tables stand alone.
    #[wasm_bindgen(js_name = setKinds)]
    pub fn set_kinds(&mut self, tables: js_sys::Array) -> Result<JsValue, JsValue> {
        plain(&self.session.set_kinds(&named(tables)?))
    }

    /// Assesses every stand for one visit.
    ///
    /// # Errors
    /// A plain object if the day or time is not one.
    #[wasm_bindgen(js_name = setVisit)]
    pub fn set_visit(&mut self, visit: JsValue) -> Result<JsValue, JsValue> {
        plain(
            &self
                .session
                .set_visit(&given::<VisitInput>(visit)?)
                .map_err(refuse)?,
        )
    }

    /// Draws one tile as image data, `size * ratio` pixels a side.
    ///
    /// # Errors
    /// A plain object if the options are not what they should be.
    pub fn tile(&mut self, z: u8, x: u32, y: u32, options: JsValue) -> Result<ImageData, JsValue> {
        let options = given::<TileOptions>(options)?;
        let pixels = self.session.tile(z, x, y, &options);
        // A square: four bytes a pixel.
        let side = u32::try_from((pixels.len() / 4).isqrt()).unwrap_or(0);
        // A copy on the page's side: a view would look at memory that is given back when this returns.
        let pixels = Uint8ClampedArray::from(pixels.as_slice());
        ImageData::new_with_js_u8_clamped_array_and_sh(&pixels, side, side)
    }

    /// The legend's swatches, drawn as the tiles are.
    ///
    /// # Errors
    /// A plain object if an argument is not what it should be.
    pub fn swatches(&self, look: JsValue) -> Result<js_sys::Array, JsValue> {
        let entries = self.session.swatches(&given::<LegendLook>(look)?);
        let list = js_sys::Array::new();
        for entry in entries {
            let object = Object::new();
            Reflect::set(&object, &"id".into(), &entry.id.into())?;
            Reflect::set(&object, &"width".into(), &entry.width.into())?;
            Reflect::set(&object, &"height".into(), &entry.height.into())?;
            let pixels = Uint8ClampedArray::from(entry.pixels.as_slice());
            Reflect::set(&object, &"pixels".into(), &pixels)?;
            list.push(&object);
        }
        Ok(list)
    }

    /// The id of the smallest stand at that place (degrees), or null.
    #[wasm_bindgen(js_name = standAt)]
    pub fn stand_at(&self, lng: f64, lat: f64) -> JsValue {
        self.session
            .stand_at(lng, lat)
            .map_or(JsValue::NULL, JsValue::from)
    }

    /// Where a stand lies and what it is called, or null.
    ///
    /// # Errors
    /// Never in practice; the signature is that of the conversion.
    pub fn stand(&self, id: &str) -> Result<JsValue, JsValue> {
        self.session
            .stand(id)
            .map_or(Ok(JsValue::NULL), |stand| plain(&stand))
    }

    /// Stands that lie on one another, as findings. Reading leaves the search out, so that the map is shown sooner.
    ///
    /// # Errors
    /// Never in practice; the signature is that of the conversion.
    pub fn overlaps(&self) -> Result<JsValue, JsValue> {
        plain(&self.session.overlaps())
    }

    /// The stand that follows or precedes this one in the box `[west, south, east, north]`, row by row from north-west,
    /// or null.
    pub fn neighbour(&self, id: Option<String>, direction: &str, view_box: Vec<f64>) -> JsValue {
        self.session
            .neighbour(id.as_deref(), direction == "next", &view_box)
            .map_or(JsValue::NULL, JsValue::from)
    }

    /// What the rules say at a place, where the stand there lies partly in a zone; else an empty list.
    ///
    /// # Errors
    /// A plain object if no stand map is read or no visit is set yet.
    #[wasm_bindgen(js_name = verdictAt)]
    pub fn verdict_at(&self, lng: f64, lat: f64, languages: Vec<String>) -> Result<JsValue, JsValue> {
        plain(&self.session.verdict_at(lng, lat, &languages).map_err(refuse)?)
    }

    /// What the sheet of a stand says, as a tree.
    ///
    /// # Errors
    /// A plain object if there is no such stand or no visit yet.
    pub fn sheet(&self, id: &str, options: JsValue) -> Result<JsValue, JsValue> {
        plain(
            &self
                .session
                .sheet(id, &given::<SheetOptions>(options)?)
                .map_err(refuse)?,
        )
    }

    /// A page of the stand list.
    ///
    /// # Errors
    /// A plain object if the query is not one.
    pub fn list(&self, query: JsValue) -> Result<JsValue, JsValue> {
        plain(&self.session.list(&given::<ListQuery>(query)?).map_err(refuse)?)
    }

    /// The kinds a visitor may look for.
    ///
    /// # Errors
    /// Never in practice; the signature is that of the conversion.
    pub fn wishes(&self, languages: Vec<String>) -> Result<JsValue, JsValue> {
        plain(&self.session.wishes(&languages))
    }

    /// The stand map with a member `hostwood` in each feature, as bytes of GeoJSON.
    ///
    /// # Errors
    /// A plain object if nothing is assessed yet.
    #[wasm_bindgen(js_name = toGeoJSON)]
    pub fn to_geojson(&self) -> Result<Uint8Array, JsValue> {
        Ok(Uint8Array::from(
            self.session.to_geojson().map_err(refuse)?.as_slice(),
        ))
    }

    /// One stand's outline as bytes of GeoJSON, or null.
    pub fn outline(&self, id: &str) -> JsValue {
        self.session
            .outline(id)
            .map_or(JsValue::NULL, |bytes| Uint8Array::from(bytes.as_slice()).into())
    }
}

fn plain<T: Serialize + ?Sized>(value: &T) -> Result<JsValue, JsValue> {
    value
        .serialize(&serde_wasm_bindgen::Serializer::json_compatible())
        .map_err(JsValue::from)
}

/// The files that a crosswalk names, those that could be had.
fn files_read(files: Option<js_sys::Array>) -> Result<BTreeMap<String, Vec<u8>>, JsValue> {
    let files = named(files.unwrap_or_default())?;
    let had = files
        .into_iter()
        .filter_map(|file| Some((file.name, file.bytes?)));
    Ok(had.into_map())
}

/// Files by name: an array of `{name, bytes}`, bytes null where a file could not be had.
fn named(files: js_sys::Array) -> Result<Vec<BookBytes>, JsValue> {
    let mut read = Vec::new();
    for file in files.iter() {
        let name = Reflect::get(&file, &"name".into())?
            .as_string()
            .unwrap_or_default();
        let bytes = Reflect::get(&file, &"bytes".into())?;
        let bytes = bytes.dyn_ref::<Uint8Array>().map(Uint8Array::to_vec);
        read.push(BookBytes { name, bytes });
    }
    Ok(read)
}

fn given<T: DeserializeOwned>(value: JsValue) -> Result<T, JsValue> {
    serde_wasm_bindgen::from_value(value).map_err(|error| refuse(Refusal::argument(error.to_string())))
}

fn refuse(refusal: Refusal) -> JsValue {
    plain(&refusal).unwrap_or_else(|error| error)
}
