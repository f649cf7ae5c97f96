//! What the page says of published studies: pairs that come out as published, known misses, rank correlations, and
//! effects that have no row. In go the tables of `tests/fixtures/yields`, whose values the model's own tests hold; out
//! comes the page's part on checks.

use std::fmt::Write as _;

use super::escaped;

const PAIRS: &str = include_str!("../fixtures/yields/pairs.csv");
const MISSES: &str = include_str!("../fixtures/yields/misses.csv");
const CORRELATIONS: &str = include_str!("../fixtures/yields/correlations.csv");
const UNMODELLED: &str = include_str!("../fixtures/yields/unmodelled.csv");

/// The rows of a table, without its header.
fn rows(text: &str) -> Vec<Vec<String>> {
    csv::Reader::from_reader(text.as_bytes())
        .records()
        .map(|row| row.expect("a row").iter().map(escaped).collect())
        .collect()
}

/// A table that a keyboard can scroll; the first cell of each row is its head.
fn table(caption: &str, heads: &[&str], rows: impl Iterator<Item = Vec<String>>) -> String {
    let heads: String = heads
        .iter()
        .map(|head| format!("<th scope=\"col\">{head}</th>"))
        .collect();
    let mut html = format!(
        "<div class=\"table-room\" role=\"region\" tabindex=\"0\" aria-label=\"Table: {caption}\">\n<table>\n<caption>{caption}</caption>\n<thead><tr>{heads}</tr></thead>\n<tbody>\n"
    );
    for cells in rows {
        let mut cells = cells.into_iter();
        let head = cells.next().unwrap_or_default();
        let rest: String = cells.map(|cell| format!("<td>{cell}</td>")).collect();
        writeln!(html, "<tr><th scope=\"row\">{head}</th>{rest}</tr>").expect("text takes text");
    }
    html + "</tbody>\n</table>\n</div>\n"
}

fn plain(text: &str) -> String {
    format!("<p class=\"plain\">{text}</p>\n")
}

/// The part of the page on checks.
pub(crate) fn section() -> String {
    let (pairs, misses) = (rows(PAIRS), rows(MISSES));
    let mut html = String::from(
        "<section aria-labelledby=\"checks\">\n<h2 id=\"checks\">What it was held against</h2>\n",
    );
    html += &plain(&format!(
        "The order of {} pairs of stands from published studies comes out as published. The curves were drawn with many of these studies at hand, so this shows that nothing contradicts them; it does not prove the numbers.",
        pairs.len()
    ));
    html += &table(
        "Pairs of stands in their published order",
        &[
            "Pair",
            "Value of the one that bore more",
            "Value of the other",
            "Study",
        ],
        pairs
            .iter()
            .map(|row| [0, 4, 5, 1].map(|at| row[at].clone()).to_vec()),
    );
    html += "<h3>Known misses</h3>\n";
    html += &plain(&format!(
        "{} pairs come out alike or the other way round. They are kept as they are; no number was changed to please one study.",
        misses.len()
    ));
    html += &table(
        "Pairs of stands that come out otherwise",
        &[
            "Pair",
            "Value of the one that bore more",
            "Value of the other",
            "Why",
            "Study",
        ],
        misses
            .iter()
            .map(|row| [0, 4, 5, 7, 1].map(|at| row[at].clone()).to_vec()),
    );
    html += &plain(
        "Published tables of amounts are compared by rank: 1 would be the same order throughout, 0 none in common. Few such tables can be compared at all, since studies count other kinds, fresh or dry, in other years.",
    );
    html += &table(
        "Rank correlation with published tables",
        &["Table", "Rank correlation (Spearman)"],
        rows(CORRELATIONS).into_iter(),
    );
    html += "<h3>What has no number here</h3>\n";
    html += &plain(
        "These effects were found in studies and are not in the value, because studies disagree, or because no stand map tells the fact:",
    );
    html += &table(
        "Published effects without a number",
        &["Effect", "Why it has no number", "Study"],
        rows(UNMODELLED)
            .iter()
            .map(|row| [0, 2, 1].map(|at| row[at].clone()).to_vec()),
    );
    html += &plain(
        "How trees live with fungi is held against four published lists of genera and species; where they differ, the difference is kept by name. Filling in what is missing never left the old range in one hundred thousand random stands. Weather and sun are held against the worked examples and printed tables of FAO Irrigation and Drainage Paper 56, against Meeus' Astronomical Algorithms, and against almanacs.",
    );
    html + "</section>\n"
}
