//! Where the day lies in the season at this place, as lines of the sheet: the autumn season, the season of spring, and how
//! far latitude and height move the months of the tables. Nothing is computed here.

use super::Asked;
use super::tree::{Arg, Node, Text, Tone};
use crate::season::{Course, Curve};
use crate::stand::Stand;

/// The lines on the season; none for a stand without a place.
pub(super) fn lines(stand: &Stand, asked: &Asked<'_>) -> Vec<Node> {
    let Some(season) = asked.ground.season(stand, asked.visit) else {
        return Vec::new();
    };
    let mut lines = Vec::new();
    match season.roots {
        Some(curve) => lines.push(line("sheet.season.autumn", &curve)),
        None => lines.push(Node::toned(Tone::Open, Text::key("sheet.season.no_curve"))),
    }
    // Spring is told while it lasts; in autumn nobody asks for it.
    let spring = season
        .spring
        .filter(|curve| !matches!(curve.course, Course::Before | Course::Over));
    lines.extend(spring.map(|curve| line("sheet.season.spring", &curve)));
    if season.ahead != 0 {
        let key = if season.ahead > 0 {
            "sheet.season.ahead"
        } else {
            "sheet.season.behind"
        };
        let args = [
            ("n", Arg::number(f64::from(season.ahead.abs()), 0)),
            ("month", Text::key(format!("month.{}", season.month)).into()),
        ];
        lines.push(Node::toned(Tone::Quiet, Text::with(key, args)));
    }
    lines.extend(super::numbers::node(&["season", "climate"], asked));
    lines
}

fn line(season: &str, curve: &Curve) -> Node {
    let (tone, course) = match curve.course {
        Course::Before => (Tone::Against, "before"),
        Course::Rising => (Tone::Open, "rising"),
        Course::Peak => (Tone::For, "peak"),
        Course::Falling => (Tone::Open, "falling"),
        Course::Over => (Tone::Against, "over"),
        Course::Open => (Tone::Open, "open"),
    };
    let [earliest, latest] = curve.peak;
    let peak = if earliest == latest {
        Arg::Date { date: earliest }
    } else {
        let days = [
            ("from", Arg::Date { date: earliest }),
            ("to", Arg::Date { date: latest }),
        ];
        Text::with("sheet.season.days", days).into()
    };
    Node::toned(tone, Text::with(format!("{season}.{course}"), [("peak", peak)]))
}
