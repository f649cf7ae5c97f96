//! A curve through knots as a small drawing. In go knots and the words of the axes, out comes SVG without styles or
//! scripts, in the colour of the text around it.

use std::fmt::Write as _;

const WIDTH: f64 = 360.0;
const HEIGHT: f64 = 150.0;
const LEFT: f64 = 40.0;
const BOTTOM: f64 = 34.0;
const TOP: f64 = 10.0;
const RIGHT: f64 = 14.0;

/// Draws the curve, flat outside its last knots.
pub(crate) fn curve(knots: &[(f64, f64)], across: &str, upwards: &str) -> String {
    let (first, last) = (knots[0].0, knots[knots.len() - 1].0);
    let margin = (last - first) * 0.06;
    let (least, most) = (first - margin, last + margin);
    let x = |at: f64| LEFT + (at - least) / (most - least) * (WIDTH - LEFT - RIGHT);
    let y = |value: f64| TOP + (1.0 - value) * (HEIGHT - TOP - BOTTOM);
    let mut points = format!("{:.1},{:.1}", x(least), y(knots[0].1));
    for (at, value) in knots {
        write!(points, " {:.1},{:.1}", x(*at), y(*value)).expect("text takes text");
    }
    write!(points, " {:.1},{:.1}", x(most), y(knots[knots.len() - 1].1)).expect("text takes text");
    let told: Vec<String> = knots.iter().map(|(at, value)| format!("{at}: {value}")).collect();
    let mut svg = format!(
        "<figure>\n<svg viewBox=\"0 0 {WIDTH} {HEIGHT}\" width=\"{WIDTH}\" height=\"{HEIGHT}\" role=\"img\" aria-label=\"{upwards} by {across}. {}\">\n",
        told.join("; ")
    );
    for value in [0.0, 0.5, 1.0] {
        let line = y(value);
        writeln!(
            svg,
            "<line x1=\"{LEFT}\" x2=\"{:.1}\" y1=\"{line:.1}\" y2=\"{line:.1}\" stroke=\"currentColor\" stroke-opacity=\"0.25\"/>\n<text x=\"{:.1}\" y=\"{:.1}\" text-anchor=\"end\" font-size=\"11\" fill=\"currentColor\">{value}</text>",
            WIDTH - RIGHT,
            LEFT - 6.0,
            line + 4.0
        )
        .expect("text takes text");
    }
    let mut before = f64::NEG_INFINITY;
    for (at, value) in knots {
        writeln!(
            svg,
            "<circle cx=\"{:.1}\" cy=\"{:.1}\" r=\"2.5\" fill=\"currentColor\"/>",
            x(*at),
            y(*value)
        )
        .expect("text");
        if x(*at) - before >= 24.0 {
            before = x(*at);
            writeln!(
                svg,
                "<text x=\"{:.1}\" y=\"{:.1}\" text-anchor=\"middle\" font-size=\"11\" fill=\"currentColor\">{at}</text>",
                x(*at),
                HEIGHT - BOTTOM + 14.0
            )
            .expect("text takes text");
        }
    }
    writeln!(
        svg,
        "<polyline points=\"{points}\" fill=\"none\" stroke=\"currentColor\" stroke-width=\"1.8\"/>\n<text x=\"{:.1}\" y=\"{:.1}\" text-anchor=\"middle\" font-size=\"11\" fill=\"currentColor\">{across}</text>\n</svg>\n<figcaption>{upwards}</figcaption>\n</figure>",
        (WIDTH + LEFT) / 2.0,
        HEIGHT - 4.0
    )
    .expect("text takes text");
    svg
}
