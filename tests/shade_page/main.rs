//! The page that says how the shade is worked out, made from the knowledge tables and held against the one of the site.
//!
//! In: the tables, and those of published yields. Out: `www/site/shade.html`, written anew with `BLESS=1`. Each number of the table stands in one chapter,
//! with how far it is backed and where it is from.

mod chapters;
mod chart;
mod checks;

use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::path::Path;

use chapters::{CHAPTERS, Chapter};
use hostwood::knowledge::{FactorRow, Knowledge, Status};

/// Whether a row belongs to a name: the factor itself, or one below it.
fn belongs(row: &FactorRow, name: &str) -> bool {
    row.factor
        .strip_prefix(name)
        .is_some_and(|rest| rest.is_empty() || rest.starts_with('.'))
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
}

fn backing(status: Status) -> &'static str {
    match status {
        Status::Science => "a published source backs the direction",
        Status::Design => "our choice",
        Status::External => "can be held against a published number",
    }
}

fn table(chapter: &Chapter, knowledge: &Knowledge) -> String {
    let mut html = format!(
        "<div class=\"table-room\" role=\"region\" tabindex=\"0\" aria-label=\"Table: {0}\">\n<table>\n<caption>{0}</caption>\n<thead><tr><th scope=\"col\">Number</th><th scope=\"col\">Value</th><th scope=\"col\">Backing</th><th scope=\"col\">Source</th><th scope=\"col\">Remark</th></tr></thead>\n<tbody>\n",
        escaped(chapter.caption)
    );
    let rows = knowledge.factors.rows().iter();
    for row in rows.filter(|row| chapter.rows.iter().any(|name| belongs(row, name))) {
        let source = match row.source.as_str() {
            "design" => String::new(),
            id => format!("<a href=\"#source-{id}\">{}</a>", escaped(id)),
        };
        writeln!(
            html,
            "<tr><th scope=\"row\"><code>{} {}</code></th><td>{}</td><td>{}</td><td>{source}</td><td>{}</td></tr>",
            escaped(&row.factor),
            escaped(&row.at),
            row.value,
            backing(row.status),
            escaped(&row.note)
        )
        .expect("text takes text");
    }
    html + "</tbody>\n</table>\n</div>\n"
}

fn page(knowledge: &Knowledge) -> String {
    let mut html = String::from(chapters::OPENING);
    html += "<ul class=\"plain\">\n";
    for chapter in CHAPTERS {
        writeln!(
            html,
            "<li><a href=\"#{}\">{}</a></li>",
            chapter.id,
            escaped(chapter.title)
        )
        .expect("text");
    }
    html += "<li><a href=\"#checks\">What it was held against</a></li>\n<li><a href=\"#sources\">Sources</a></li>\n</ul>\n";
    for chapter in CHAPTERS {
        writeln!(
            html,
            "<section aria-labelledby=\"{0}\">\n<h2 id=\"{0}\">{1}</h2>",
            chapter.id,
            escaped(chapter.title)
        )
        .expect("text");
        for paragraph in chapter.paragraphs {
            writeln!(html, "<p class=\"plain\">{}</p>", escaped(paragraph)).expect("text");
        }
        for (factor, across) in chapter.charts {
            html += &chart::curve(&knots(knowledge, factor), across, chapter.upwards);
        }
        html += &table(chapter, knowledge);
        html += "</section>\n";
    }
    html += &checks::section();
    html += "<section aria-labelledby=\"sources\">\n<h2 id=\"sources\">Sources</h2>\n<p class=\"plain\">How each was seen stands beside it. “From memory” means that nobody looked it up.</p>\n<dl>\n";
    let named: BTreeSet<&str> = knowledge
        .factors
        .rows()
        .iter()
        .map(|row| row.source.as_str())
        .collect();
    for source in knowledge
        .sources
        .iter()
        .filter(|source| named.contains(source.id.as_str()))
    {
        writeln!(
            html,
            "<dt id=\"source-{0}\"><code>{0}</code></dt>\n<dd>{1} ({2}; {3})</dd>",
            source.id,
            escaped(&source.citation),
            escaped(&source.seen),
            escaped(&source.licence)
        )
        .expect("text");
    }
    html + "</dl>\n</section>\n</main>\n"
}

fn knots(knowledge: &Knowledge, factor: &str) -> Vec<(f64, f64)> {
    let rows = knowledge.factors.rows().iter().filter(|row| row.factor == factor);
    rows.filter_map(|row| Some((row.at.parse().ok()?, row.value)))
        .collect()
}

#[test]
fn the_page_says_what_the_tables_say() {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("www/site/shade.html");
    let made = page(Knowledge::shipped());
    if std::env::var_os("BLESS").is_some() {
        std::fs::write(&file, &made).expect("the page can be written");
    }
    let found = std::fs::read_to_string(&file).unwrap_or_default();
    let line = made
        .lines()
        .zip(found.lines())
        .position(|(made, found)| made != found);
    assert!(
        made == found,
        "www/site/shade.html is not what the tables say, first in line {}; write it anew with `BLESS=1 cargo test --test shade_page`",
        line.map_or_else(|| found.lines().count() + 1, |line| line + 1)
    );
}

#[test]
fn each_number_stands_in_one_chapter() {
    for row in Knowledge::shipped().factors.rows() {
        let chapters: Vec<&str> = CHAPTERS
            .iter()
            .filter(|chapter| chapter.rows.iter().any(|name| belongs(row, name)))
            .map(|chapter| chapter.id)
            .collect();
        assert_eq!(
            chapters.len(),
            1,
            "`{} {}` stands in {chapters:?}",
            row.factor,
            row.at
        );
    }
    for chapter in CHAPTERS {
        for name in chapter.rows {
            let met = Knowledge::shipped()
                .factors
                .rows()
                .iter()
                .any(|row| belongs(row, name));
            assert!(met, "`{name}` of the chapter `{}` is no factor", chapter.id);
        }
    }
}

#[test]
fn every_link_of_the_page_has_its_place() {
    let html = page(Knowledge::shipped());
    let places: BTreeSet<&str> = html
        .split("id=\"")
        .skip(1)
        .filter_map(|rest| rest.split('"').next())
        .collect();
    let links: Vec<&str> = html
        .split("href=\"#")
        .skip(1)
        .filter_map(|rest| rest.split('"').next())
        .collect();
    assert!(links.len() > 60, "{} links", links.len());
    for link in links {
        assert!(places.contains(link), "nothing stands at #{link}");
    }
    // A curve is drawn for each factor that has knots.
    assert_eq!(
        html.matches("<svg").count(),
        CHAPTERS.iter().map(|chapter| chapter.charts.len()).sum::<usize>()
    );
    let drawn: BTreeSet<&str> = CHAPTERS
        .iter()
        .flat_map(|chapter| chapter.charts)
        .map(|(name, _)| *name)
        .collect();
    for row in Knowledge::shipped()
        .factors
        .rows()
        .iter()
        .filter(|row| row.at.parse::<f64>().is_ok())
    {
        assert!(
            drawn.contains(row.factor.as_str()),
            "`{}` has knots and no drawing",
            row.factor
        );
    }
}

#[test]
fn the_page_promises_nothing_that_a_map_cannot_know() {
    // Titles of sources are the words of others.
    let html = page(Knowledge::shipped()).to_lowercase();
    let (ours, _) = html.split_once("id=\"sources\"").expect("sources at the end");
    for word in ["edible", "you will find", "safe to eat", "guarantee"] {
        assert!(!ours.contains(word), "the page says `{word}`");
    }
    assert!(html.contains("no forecast"));
}
