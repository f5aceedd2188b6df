//! A picture as inline SVG; the same shapes as on paper.
//!
//! Must not change a shape.

use crate::figure::{Drawing, Ink, Paint, Shape};
use crate::handout::model::FigureSheet;

/// Draws a picture as one `svg` element; its size is in millimetres.
pub fn svg(drawing: &Drawing, alt: &str) -> String {
    let mut out = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" role=\"img\" width=\"{0}mm\" height=\"{1}mm\" viewBox=\"0 0 {0} {1}\" overflow=\"hidden\">\n<title>{2}</title>\n",
        mm(drawing.width),
        mm(drawing.height),
        escaped(alt)
    );
    out.push_str(&inner(drawing));
    out.push_str("</svg>\n");
    out
}

/// Returns the elements of a picture without the `svg` round them.
pub fn inner(drawing: &Drawing) -> String {
    let mut out = String::new();
    for shape in &drawing.shapes {
        out.push_str(&path(shape));
    }
    for label in &drawing.labels {
        let (x, y) = label.at;
        out.push_str(&format!(
            "<text x=\"{}\" y=\"{}\" font-size=\"{}\" font-family=\"sans-serif\" font-weight=\"bold\" text-anchor=\"middle\" fill=\"{}\">{}</text>\n",
            mm(x),
            mm(y),
            mm(label.size),
            grey(label.ink),
            escaped(&label.text)
        ));
    }
    out
}

fn path(shape: &Shape) -> String {
    let mut d = String::new();
    for ring in &shape.rings {
        for (index, (x, y)) in ring.iter().enumerate() {
            d.push_str(if index == 0 { "M" } else { "L" });
            d.push_str(&format!("{} {}", mm(*x), mm(*y)));
        }
        if !matches!(shape.paint, Paint::Line { .. }) {
            d.push('Z');
        }
    }
    match shape.paint {
        Paint::Fill(ink) => format!("<path d=\"{d}\" fill=\"{}\"/>\n", grey(ink)),
        Paint::Edged { ink, edge } => format!(
            "<path d=\"{d}\" fill=\"{}\" stroke=\"{}\" stroke-width=\"{}\" stroke-linejoin=\"round\" paint-order=\"stroke\"/>\n",
            grey(ink),
            grey(Ink::Black),
            mm(2 * edge)
        ),
        Paint::Line { ink, width, dash } => {
            let dash = dash.map_or(String::new(), |(on, off)| {
                format!(" stroke-dasharray=\"{} {}\"", mm(on), mm(off))
            });
            format!(
                "<path d=\"{d}\" fill=\"none\" stroke=\"{}\" stroke-width=\"{}\" stroke-linecap=\"{}\" stroke-linejoin=\"round\"{dash}/>\n",
                grey(ink),
                mm(width),
                if dash.is_empty() { "round" } else { "butt" },
            )
        }
    }
}

fn grey(ink: Ink) -> String {
    let grey = ink.grey();
    format!("#{grey:02x}{grey:02x}{grey:02x}")
}

/// Thousandths of a millimetre as millimetres, without zeros at the end.
fn mm(micro: i32) -> String {
    let sign = if micro < 0 { "-" } else { "" };
    let (whole, rest) = (micro.unsigned_abs() / 1000, micro.unsigned_abs() % 1000);
    if rest == 0 {
        return format!("{sign}{whole}");
    }
    let rest = format!("{rest:03}");
    format!("{sign}{whole}.{}", rest.trim_end_matches('0'))
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('"', "&quot;")
}

/// Draws a contact sheet as one SVG: two exercises a row, at the size they are printed.
pub fn sheet(figures: &FigureSheet) -> String {
    let (wide, step) = (124_000, 52_000);
    let count = i32::try_from(figures.rows.len()).unwrap_or(i32::MAX);
    let rows = count.saturating_add(1) / 2;
    let (width, height) = (2 * wide + 4_000, rows.saturating_mul(step) + 4_000);
    let mut out = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{0}mm\" height=\"{1}mm\" viewBox=\"0 0 {0} {1}\">\n<title>{2}</title>\n<rect width=\"{0}\" height=\"{1}\" fill=\"#ffffff\"/>\n",
        mm(width),
        mm(height),
        escaped(&figures.title)
    );
    for (index, row) in (0_i32..).zip(&figures.rows) {
        let (x, y) = (4_000 + index % 2 * wide, 4_000 + index / 2 * step);
        let name = format!("{} {}", row.name, row.way);
        out.push_str(&format!(
            "<text x=\"{}\" y=\"{}\" font-size=\"3.5\" font-family=\"sans-serif\">{}</text>\n",
            mm(x),
            mm(y + 2_500),
            escaped(name.trim())
        ));
        for (place, picture) in [0, 59_000].into_iter().zip(&row.pictures) {
            out.push_str(&placed(
                &picture.drawing,
                x + place,
                y + 4_500,
                &picture.alt,
            ));
        }
    }
    out.push_str("</svg>\n");
    out
}

/// A picture in its frame, as an element of a larger drawing.
fn placed(drawing: &Drawing, x: i32, y: i32, alt: &str) -> String {
    let (left, top) = (mm(x), mm(y));
    let (width, height) = (mm(drawing.width), mm(drawing.height));
    format!(
        "<svg x=\"{left}\" y=\"{top}\" width=\"{width}\" height=\"{height}\" viewBox=\"0 0 {width} {height}\" overflow=\"hidden\">\n<title>{}</title>\n{}</svg>\n<rect x=\"{left}\" y=\"{top}\" width=\"{width}\" height=\"{height}\" fill=\"none\" stroke=\"#8a8a8a\" stroke-width=\"0.35\"/>\n",
        escaped(alt),
        inner(drawing)
    )
}
