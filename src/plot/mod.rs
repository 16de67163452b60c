//! The pictures of a job and of the studies: one file a picture, behind one common style.
//!
//! Each is drawn as SVG; the PNG is the same SVG painted with the fonts in `assets/fonts`, so that it
//! looks alike on every machine. A new picture is one new file and one line in its answer's [`Pictured`].

mod canvas;
mod decides;
mod flush;
mod labels;
mod layouts;
mod learn;
mod lettering;
mod orders;
mod paint;
mod plan;
mod pressures;
mod scale;
mod scheme;
mod spread;
mod style;
mod words;

use crate::measures::Units;
use plotters::drawing::DrawingAreaErrorKind;
use std::fmt;
use std::io;
use std::path::{Path, PathBuf};

/// Pictures of an answer: their file names without extension, and what draws each as SVG, in which units.
pub type Pictures<A> = Vec<(&'static str, fn(&A, Units) -> Result<String, PlotError>)>;

/// An answer of which there may be pictures.
pub trait Pictured: Sized {
    /// All of them.
    fn pictures() -> Pictures<Self> {
        Vec::new()
    }
}

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

/// Draws and paints every picture of an answer, in metric units; writes nothing.
///
/// # Errors
/// If a picture cannot be drawn or painted.
pub fn draw_all<A: Pictured>(answer: &A) -> Result<Vec<Picture>, PlotError> {
    draw_all_in(answer, Units::Metric)
}

/// As [`draw_all`], in these units.
///
/// # Errors
/// If a picture cannot be drawn or painted.
pub fn draw_all_in<A: Pictured>(answer: &A, units: Units) -> Result<Vec<Picture>, PlotError> {
    let mut all = Vec::new();
    for (name, draw) in A::pictures() {
        let svg = draw(answer, units)?;
        all.push(Picture { name, png: paint::png(&svg)?, svg });
    }
    Ok(all)
}

/// The picture of this name alone, as SVG.
///
/// # Errors
/// If it cannot be drawn, or there is none of this name.
pub fn svg<A: Pictured>(name: &str, answer: &A, units: Units) -> Result<String, PlotError> {
    match A::pictures().into_iter().find(|picture| picture.0 == name) {
        Some((_, draw)) => draw(answer, units),
        None => Err(PlotError::Drawing(format!("there is no picture {name}"))),
    }
}

/// The files of the picture of this name in `dir`: SVG, then PNG.
pub fn files_of(name: &str, dir: &Path) -> [PathBuf; 2] {
    ["svg", "png"].map(|kind| dir.join(format!("{name}.{kind}")))
}
