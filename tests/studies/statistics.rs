//! Quantiles, rank correlation and distributions cut off at bounds, beside NumPy and SciPy: `tests/data/scipy`
//! has their values, the versions used and the script that wrote them.

use farwheel::keys::quantity::{Quantity, Spread};
use farwheel::study::chance::sensitivity::rank_correlation;
use farwheel::study::chance::shape::value_at;
use farwheel::study::chance::summary::quantile;

const TABLE: &str = include_str!("../data/scipy/statistics.csv");

/// What one row says.
struct Row {
    what: String,
    name: String,
    at: f64,
    x: Vec<f64>,
    y: Vec<f64>,
    value: f64,
}

fn rows() -> Vec<Row> {
    let numbers = |cell: &str| -> Vec<f64> {
        cell.split_whitespace().map(|n| n.parse().expect("a number")).collect()
    };
    let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_reader(TABLE.as_bytes());
    reader
        .records()
        .map(|row| row.expect("a row"))
        .map(|row| Row {
            what: row[0].to_owned(),
            name: row[1].to_owned(),
            at: numbers(&row[2]).first().copied().unwrap_or(f64::NAN),
            x: numbers(&row[3]),
            y: numbers(&row[4]),
            value: row[5].parse().expect("a number"),
        })
        .collect()
}

fn of(what: &str, least: usize) -> Vec<Row> {
    let found: Vec<Row> = rows().into_iter().filter(|r| r.what == what).collect();
    assert!(found.len() >= least, "{what}: {} rows", found.len());
    found
}

/// `numpy.quantile` by the method "median_unbiased", which is definition 8 of Hyndman and Fan.
#[test]
fn quantiles_are_those_of_numpy() {
    for row in of("quantile", 36) {
        let here = quantile(&row.x, row.at).expect("finite outcomes");
        assert!(
            (here - row.value).abs() < 1e-12 * row.value.abs(),
            "{} {}: {here}",
            row.name,
            row.at
        );
    }
}

/// `scipy.stats.spearmanr`, with and without ties.
#[test]
fn rank_correlations_are_those_of_scipy() {
    for row in of("rank correlation", 3) {
        let here = rank_correlation(&row.x, &row.y);
        assert!((here - row.value).abs() < 1e-12, "{}: {here} for {}", row.name, row.value);
    }
}

/// `scipy.stats`: norm, lognorm, uniform, triang, each about 5 and cut off at 3 and 8.
#[test]
fn values_drawn_are_those_of_scipy() {
    for row in of("cut off at 3 and 8", 28) {
        let spread = match row.name.as_str() {
            "normal 2" => Spread::Normal { sd: 2.0 },
            "log-normal 0.5" => Spread::LogNormal { sd_log: 0.5 },
            "uniform 1 9" => Spread::Uniform { low: 1.0, high: 9.0 },
            "triangular 1 9" => Spread::Triangular { low: 1.0, high: 9.0 },
            other => panic!("no shape {other}"),
        };
        let here = value_at(&Quantity { value: 5.0, spread: Some(spread) }, (3.0, 8.0), row.at);
        assert!(
            (here - row.value).abs() < 1e-8,
            "{} {}: {here} for {}",
            row.name,
            row.at,
            row.value
        );
    }
}
