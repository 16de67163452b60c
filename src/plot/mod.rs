//! The pictures of a job: one file a picture, behind one common style.
//!
//! Each is drawn as SVG; the PNG is the same SVG painted with the fonts in `assets/fonts`, so that it
//! looks alike on every machine. A new picture is one new file and one line in `PICTURES`.

mod canvas;
mod clearing;
mod labels;
mod layouts;
mod left;
mod lettering;
mod matters;
mod orders;
mod origins;
mod paint;
mod plan;
mod pressures;
mod ranges;
mod scale;
mod style;
mod supply;
mod words;

use crate::job::record::Record;
use crate::study::layouts::Layouts;
use crate::study::orders::Orders;
use crate::study::plan::Plan;
use crate::study::pressures::Pressures;
use crate::study::spread::Spread;
use plotters::drawing::DrawingAreaErrorKind;
use std::fmt;
use std::io;
use std::path::{Path, PathBuf};

/// Draws one picture as SVG.
type Draw = fn(&Record) -> Result<String, PlotError>;

/// Every picture: its file name without extension, and what draws it.
const PICTURES: [(&str, Draw); 4] = [
    ("clearing", clearing::draw),
    ("origins", origins::draw),
    ("supply", supply::draw),
    ("left", left::draw),
];

/// A picture, drawn and painted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Picture {
    /// File name without extension: `clearing`, `origins`, `supply`, `left`, `layouts`, …
    pub name: &'static str,
    /// The drawing.
    pub svg: String,
    /// The same painted, two pixels to the unit.
    pub png: Vec<u8>,
}

/// Why a picture could not be made.
#[derive(Debug)]
#[non_exhaustive]
pub enum PlotError {
    /// The drawing library refused a stroke.
    Drawing(String),
    /// The drawing could not be painted as PNG.
    Painting(String),
}

impl fmt::Display for PlotError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Drawing(why) => write!(f, "a picture could not be drawn: {why}"),
            Self::Painting(why) => write!(f, "a picture could not be painted as PNG: {why}"),
        }
    }
}

impl std::error::Error for PlotError {}

impl From<DrawingAreaErrorKind<io::Error>> for PlotError {
    fn from(why: DrawingAreaErrorKind<io::Error>) -> Self {
        Self::Drawing(why.to_string())
    }
}

/// The picture of [`Layouts`]: its file name without extension.
pub const LAYOUTS: &str = "layouts";
/// The picture of [`Orders`]: its file name without extension.
pub const ORDERS: &str = "orders";

/// The picture of [`Pressures`]: its file name without extension.
pub const PRESSURES: &str = "pressures";

/// Draws and paints every picture of a job; writes nothing.
///
/// # Errors
/// If a picture cannot be drawn or painted.
pub fn draw_all(record: &Record) -> Result<Vec<Picture>, PlotError> {
    PICTURES.iter().map(|(name, draw)| painted(name, draw(record)?)).collect()
}

/// Draws and paints the picture of layouts side by side; writes nothing.
///
/// # Errors
/// If it cannot be drawn or painted.
pub fn draw_layouts(answer: &Layouts) -> Result<Picture, PlotError> {
    painted(LAYOUTS, layouts::draw(answer)?)
}

/// Draws and paints the picture of orders ranked; writes nothing.
///
/// # Errors
/// If it cannot be drawn or painted.
pub fn draw_orders(answer: &Orders) -> Result<Picture, PlotError> {
    painted(ORDERS, orders::draw(answer)?)
}

/// Draws and paints the picture of a pressure sweep; writes nothing.
///
/// # Errors
/// If it cannot be drawn or painted.
pub fn draw_pressures(answer: &Pressures) -> Result<Picture, PlotError> {
    painted(PRESSURES, pressures::draw(answer)?)
}

/// The pictures of [`Spread`]: their file names without extension.
pub const SPREAD: [&str; 2] = ["ranges", "matters"];

/// Draws and paints the pictures of random draws; writes nothing.
///
/// # Errors
/// If one cannot be drawn or painted.
pub fn draw_spread(answer: &Spread) -> Result<Vec<Picture>, PlotError> {
    let [ranges, matters] = SPREAD;
    Ok(vec![painted(ranges, ranges::draw(answer)?)?, painted(matters, matters::draw(answer)?)?])
}

/// The picture of a [`Plan`]: its file name without extension.
pub const PLAN: &str = "trade-off";

/// Draws and paints the trade-off curve of a plan; writes nothing.
///
/// # Errors
/// If it cannot be drawn or painted.
pub fn draw_plan(answer: &Plan) -> Result<Picture, PlotError> {
    painted(PLAN, plan::draw(answer)?)
}

fn painted(name: &'static str, svg: String) -> Result<Picture, PlotError> {
    let png = paint::png(&svg)?;
    Ok(Picture { name, svg, png })
}

/// The pictures of a job: their file names without extension.
pub fn names() -> Vec<&'static str> {
    PICTURES.iter().map(|(name, _)| *name).collect()
}

/// The files of the picture of this name in `dir`: SVG, then PNG.
pub fn files_of(name: &str, dir: &Path) -> [PathBuf; 2] {
    ["svg", "png"].map(|kind| dir.join(format!("{name}.{kind}")))
}
