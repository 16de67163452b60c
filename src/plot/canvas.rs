//! A sheet of paper in picture units: the few strokes that all pictures are made of.

use super::PlotError;
use super::lettering::{self, FAMILY};
use super::style::{DARK, EDGE, HEADING, Hold, INK, Letter, PAPER, Pen, WIDTH};
use crate::portable;
use plotters::backend::SVGBackend;
use plotters::coord::Shift;
use plotters::drawing::{DrawingArea, IntoDrawingArea};
use plotters::element::{PathElement, Polygon, Rectangle, Text};
use plotters::style::text_anchor::{HPos, Pos, VPos};
use plotters::style::{Color, FontStyle, FontTransform, IntoFont, RGBColor, ShapeStyle, TextStyle};
use std::cell::RefCell;
use std::fmt::Write as _;

/// plotters places everything at whole numbers; drawn this much larger and shrunk by the
/// view box, curves are smooth.
const FINE: f64 = 10.0;
/// plotters' SVG backend divides font sizes by this.
const FONT_FACTOR: f64 = 1.24;

/// A place on the paper: right, down.
pub(super) type Spot = (f64, f64);

/// A sheet on which a picture is drawn.
pub(super) struct Canvas<'a> {
    area: DrawingArea<SVGBackend<'a>, Shift>,
    /// Of each text drawn, the width in the embedded face; `None` where other faces have to help out.
    widths: RefCell<Vec<Option<f64>>>,
}

/// Draws a picture of the common width and the given height; `title` is read out to those who cannot see it.
///
/// # Errors
/// If the drawing library refuses a stroke.
pub(super) fn sheet<F>(height: f64, title: &str, draw: F) -> Result<String, PlotError>
where
    F: FnOnce(&Canvas<'_>) -> Result<(), PlotError>,
{
    let size = (fine(WIDTH).unsigned_abs(), fine(height).unsigned_abs());
    let mut svg = String::new();
    let widths = {
        let area = SVGBackend::with_string(&mut svg, size).into_drawing_area();
        area.fill(&PAPER)?;
        let canvas = Canvas { area, widths: RefCell::default() };
        draw(&canvas)?;
        canvas.area.present()?;
        canvas.widths.take()
    };
    // The backend's own head states the enlarged size as that of the picture.
    let body = svg.split_once('>').map_or("", |(_, body)| body);
    let title = title.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;");
    Ok(format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" role=\"img\" width=\"{WIDTH}\" height=\"{}\" \
         viewBox=\"0 0 {} {}\">\n<title>{title}</title>\n{}{}",
        f64::from(size.1) / FINE,
        size.0,
        size.1,
        dark(),
        with_widths(body.trim_start(), &widths)
    ))
}

/// The style sheet by which a viewer shows the picture on a dark page. What paints the PNG passes over it.
fn dark() -> String {
    let hex = |c: &RGBColor| format!("#{:02X}{:02X}{:02X}", c.0, c.1, c.2);
    let mut rules = String::new();
    for (light, dark) in &DARK {
        let (light, dark) = (hex(light), hex(dark));
        // A `String` takes whatever is written.
        let _ =
            write!(rules, "[fill=\"{light}\"]{{fill:{dark}}}[stroke=\"{light}\"]{{stroke:{dark}}}");
    }
    format!("<style>@media (prefers-color-scheme:dark){{{rules}}}</style>\n")
}

/// Gives each text the width that it was planned with, so that a viewer without the face letters it no wider.
fn with_widths(body: &str, widths: &[Option<f64>]) -> String {
    const TEXT: &str = "<text ";
    let mut out = String::with_capacity(body.len() + 60 * widths.len());
    for (i, piece) in body.split(TEXT).enumerate() {
        if let Some(before) = i.checked_sub(1) {
            out.push_str(TEXT);
            if let Some(width) = widths.get(before).copied().flatten() {
                let _ = write!(
                    out,
                    "textLength=\"{:.0}\" lengthAdjust=\"spacingAndGlyphs\" ",
                    width * FINE
                );
            }
        }
        out.push_str(piece);
    }
    out
}

#[allow(clippy::cast_possible_truncation)] // a float saturates; nothing is drawn beyond the sheet
fn fine(place: f64) -> i32 {
    (place * FINE).round() as i32
}

fn point(place: Spot) -> (i32, i32) {
    (fine(place.0), fine(place.1))
}

impl Canvas<'_> {
    /// A filled rectangle between two opposite corners.
    pub(super) fn block(&self, from: Spot, to: Spot, colour: RGBColor) -> Result<(), PlotError> {
        Ok(self.area.draw(&Rectangle::new([point(from), point(to)], colour.filled()))?)
    }

    /// The outline of a rectangle.
    pub(super) fn frame(&self, from: Spot, to: Spot, pen: Pen) -> Result<(), PlotError> {
        self.stroke(&[from, (to.0, from.1), to, (from.0, to.1), from], pen)
    }

    /// A filled polygon.
    pub(super) fn fill(&self, outline: &[Spot], colour: RGBColor) -> Result<(), PlotError> {
        let outline: Vec<_> = outline.iter().copied().map(point).collect();
        Ok(self.area.draw(&Polygon::new(outline, colour.filled()))?)
    }

    /// A line through the places.
    pub(super) fn stroke(&self, places: &[Spot], pen: Pen) -> Result<(), PlotError> {
        let Some((dash, gap)) = pen.dashes else {
            return self.solid(places, pen);
        };
        for piece in dashed(places, dash, gap) {
            self.solid(&piece, pen)?;
        }
        Ok(())
    }

    fn solid(&self, places: &[Spot], pen: Pen) -> Result<(), PlotError> {
        let style: ShapeStyle = pen.colour.stroke_width(fine(pen.width).unsigned_abs());
        let path: Vec<_> = places.iter().copied().map(point).collect();
        Ok(self.area.draw(&PathElement::new(path, style))?)
    }

    /// A filled square marker.
    pub(super) fn square(&self, at: Spot, half: f64, colour: RGBColor) -> Result<(), PlotError> {
        self.block((at.0 - half, at.1 - half), (at.0 + half, at.1 + half), colour)
    }

    /// A filled square marker with a rim of paper, which keeps it apart from what it lies on.
    pub(super) fn mark(&self, at: Spot, half: f64) -> Result<(), PlotError> {
        self.square(at, half + 1.8, PAPER)?;
        self.square(at, half, INK)
    }

    /// A line with a rim of paper.
    pub(super) fn rimmed(&self, places: &[Spot], pen: Pen) -> Result<(), PlotError> {
        self.stroke(places, Pen::solid(PAPER, pen.width + 3.0))?;
        self.stroke(places, pen)
    }

    /// A hollow diamond marker.
    pub(super) fn diamond(&self, at: Spot, half: f64, pen: Pen) -> Result<(), PlotError> {
        let (x, y) = at;
        let outline = [(x - half, y), (x, y - half), (x + half, y), (x, y + half)];
        self.fill(&outline, PAPER)?;
        let mut closed = outline.to_vec();
        closed.extend_from_slice(&outline[..2]);
        self.stroke(&closed, pen)
    }

    /// A line of text whose vertical middle lies at `at`.
    pub(super) fn text(&self, at: Spot, text: &str, letter: Letter) -> Result<(), PlotError> {
        let h = match letter.hold {
            Hold::Left => HPos::Left,
            Hold::Middle => HPos::Center,
            Hold::Right => HPos::Right,
        };
        let weight = if letter.bold { FontStyle::Bold } else { FontStyle::Normal };
        let font = (FAMILY, letter.size * FINE * FONT_FACTOR, weight).into_font();
        let style = TextStyle::from(font)
            .color(&letter.colour)
            .transform(FontTransform::None)
            .pos(Pos::new(h, VPos::Center));
        // "0.5ex" below the place is the middle of small letters; capitals and figures want more.
        let at = point((at.0, at.1 + 0.09 * letter.size));
        self.widths.borrow_mut().push(lettering::exact(text, letter));
        Ok(self.area.draw(&Text::new(text.to_owned(), at, style))?)
    }

    /// A line of text on a patch of paper, where lines pass behind it.
    pub(super) fn patched(&self, at: Spot, text: &str, letter: Letter) -> Result<(), PlotError> {
        let wide = lettering::width(text, letter);
        let left = match letter.hold {
            Hold::Left => at.0,
            Hold::Middle => at.0 - 0.5 * wide,
            Hold::Right => at.0 - wide,
        };
        let half = 0.55 * letter.size;
        self.block((left - 2.0, at.1 - half), (left + wide + 2.0, at.1 + half), PAPER)?;
        self.text(at, text, letter)
    }

    /// The heading and what the picture shows, from the top edge down.
    pub(super) fn head(&self, head: &Head) -> Result<(), PlotError> {
        let mut y = EDGE + 0.5 * HEADING;
        for (text, letter) in &head.lines {
            self.text((EDGE, y), text, *letter)?;
            y += 1.36 * letter.size;
        }
        Ok(())
    }
}

/// The head of a picture, broken into lines.
pub(super) struct Head {
    lines: Vec<(String, Letter)>,
}

impl Head {
    /// What the picture shows, of which scenario, and how to read it.
    pub(super) fn new(heading: &str, scenario: &str, how: &str) -> Self {
        let room = WIDTH - 2.0 * EDGE;
        let mut lines = Vec::new();
        for (text, letter, most) in
            [(heading, Letter::HEADING, 2), (scenario, Letter::BODY, 2), (how, Letter::NOTE, 4)]
        {
            lines.extend(
                lettering::wrapped(text, letter, room, most).into_iter().map(|l| (l, letter)),
            );
        }
        Self { lines }
    }

    /// Where what follows may begin.
    pub(super) fn bottom(&self) -> f64 {
        EDGE + self.lines.iter().map(|(_, l)| 1.36 * l.size).sum::<f64>() + 0.5 * EDGE
    }
}

/// Cuts a line into dashes.
fn dashed(places: &[Spot], dash: f64, gap: f64) -> Vec<Vec<Spot>> {
    let mut pieces = Vec::new();
    let mut piece: Vec<Spot> = places.first().copied().into_iter().collect();
    let (mut drawing, mut left) = (true, dash);
    for pair in places.windows(2) {
        let (mut from, to) = (pair[0], pair[1]);
        let mut length = portable::hypot(to.0 - from.0, to.1 - from.1);
        while length > left {
            let share = left / length;
            from = (from.0 + share * (to.0 - from.0), from.1 + share * (to.1 - from.1));
            length -= left;
            if drawing {
                piece.push(from);
                pieces.push(std::mem::take(&mut piece));
            } else {
                piece = vec![from];
            }
            drawing = !drawing;
            left = if drawing { dash } else { gap };
        }
        left -= length;
        if drawing {
            piece.push(to);
        }
    }
    if drawing && piece.len() > 1 {
        pieces.push(piece);
    }
    pieces
}

/// Leaves out points that lie closer than a third of a unit to the last one kept; the ends stay.
pub(super) fn thinned(places: Vec<Spot>) -> Vec<Spot> {
    let last = places.len().saturating_sub(1);
    let mut kept: Vec<Spot> = Vec::new();
    for (i, place) in places.into_iter().enumerate() {
        let far = kept.last().is_none_or(|k| portable::hypot(place.0 - k.0, place.1 - k.1) > 0.33);
        if far || i == last {
            kept.push(place);
        }
    }
    kept
}
