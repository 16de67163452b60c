//! A quantity as it stands in a table: text, bare number, or a table with a spread.

use crate::portable;
use toml::de::{DeTable, DeValue};

use super::mistake::{Diagnostics, Wrong};
use super::nodes::{Node, short, what_is};
use super::quantity_text;
use super::suggest;
use super::unknown_keys::refuse_unknown;
use crate::keys::Bound;
use crate::keys::units::Dimension;
use crate::keys::{Quantity, Spread};

/// Reads a quantity written as text, as a bare number or as a table with a spread.
pub(crate) fn quantity(
    diagnostics: &mut Diagnostics<'_>,
    node: &Node<'_>,
    bound: &Bound,
    name: &str,
) -> Result<Quantity, Wrong> {
    let bare = |text: &str| match text.replace('_', "").parse::<f64>() {
        Ok(x) if x.is_finite() => quantity_text::from_number(x, text, bound),
        _ => Err(Wrong::new(
            format!("`{name}` is `{}`, no quantity that fluid can have", short(text)),
            format!("write for instance \"{}\"", quantity_text::example(bound)),
        )),
    };
    match node.get_ref() {
        DeValue::String(s) => quantity_text::parse(s, bound),
        DeValue::Integer(i) if i.radix() == 10 => bare(i.as_str()),
        DeValue::Float(f) => bare(f.as_str()),
        DeValue::Table(t) => spread_table(diagnostics, t, bound, name),
        other => Err(Wrong::new(
            format!("`{name}` is {}, but {} is wanted", what_is(other), bound.dimension.word()),
            format!("write for instance \"{}\"", quantity_text::example(bound)),
        )),
    }
}

/// Most quantities in a list: a caliper has no more pistons.
const MOST_LISTED: usize = 16;

/// Reads one quantity or a list of them.
///
/// # Errors
/// What is wrong with the list, or with the first that is wrong in it.
pub(crate) fn quantities(
    diagnostics: &mut Diagnostics<'_>,
    node: &Node<'_>,
    bound: &Bound,
    name: &str,
) -> Result<Vec<Quantity>, Wrong> {
    match node.get_ref() {
        DeValue::Array(list) if list.is_empty() || list.len() > MOST_LISTED => Err(Wrong::new(
            format!("`{name}` lists {} values", list.len()),
            format!(
                "list 1 to {MOST_LISTED}, for instance [\"{0}\", \"{0}\"]",
                bound.dimension.example()
            ),
        )),
        DeValue::Array(list) => {
            list.iter().map(|item| quantity(diagnostics, item, bound, name)).collect()
        }
        _ => quantity(diagnostics, node, bound, name).map(|q| vec![q]),
    }
}

/// Keys of a quantity written as a table.
pub(crate) const SPREAD_KEYS: [&str; 5] = ["value", "from", "to", "sd", "shape"];
/// Shapes of a spread written as a table.
pub(crate) const SHAPES: [&str; 4] = ["uniform", "triangular", "normal", "log-normal"];

fn spread_table(
    diagnostics: &mut Diagnostics<'_>,
    table: &DeTable<'_>,
    bound: &Bound,
    name: &str,
) -> Result<Quantity, Wrong> {
    refuse_unknown(diagnostics, table, &format!("the spread of `{name}`"), &SPREAD_KEYS, &[]);
    let text = |key: &str| -> Result<Option<&str>, Wrong> {
        match table.get(key).map(|n| n.get_ref()) {
            None => Ok(None),
            Some(DeValue::String(s)) => Ok(Some(s.as_ref())),
            Some(other) => Err(Wrong::new(
                format!("`{key}` of `{name}` is {}", what_is(other)),
                format!("write a text, for instance \"{}\"", quantity_text::example(bound)),
            )),
        }
    };
    let wanted = |key: &str| -> Result<&str, Wrong> {
        text(key)?.ok_or_else(|| {
            Wrong::new(
                format!("the spread of `{name}` lacks `{key}`"),
                "write { value = \"…\", from = \"…\", to = \"…\", shape = \"uniform\" } or { value = \"…\", sd = \"…\", shape = \"normal\" }",
            )
        })
    };
    let value = quantity_text::parse(wanted("value")?, bound)?;
    if value.spread.is_some() {
        return Err(Wrong::new(
            format!("`value` of `{name}` carries a ± of its own"),
            "leave out either the ± or the other keys of the table",
        ));
    }
    let value = value.value;
    let shape = wanted("shape")?;
    let spread = match shape {
        "uniform" | "triangular" => {
            let low = quantity_text::parse(wanted("from")?, bound)?.value;
            let high = quantity_text::parse(wanted("to")?, bound)?.value;
            if !(low < high && low <= value && value <= high) {
                return Err(Wrong::new(
                    format!("`from`, `value` and `to` of `{name}` are not in rising order"),
                    "let `from` be the smallest and `to` the largest",
                ));
            }
            match shape {
                "uniform" => Spread::Uniform { low, high },
                _ => Spread::Triangular { low, high },
            }
        }
        "normal" => {
            Spread::Normal { sd: quantity_text::difference(wanted("sd")?, bound.dimension)? }
        }
        "log-normal" if bound.dimension == Dimension::Temperature || value <= 0.0 => {
            return Err(Wrong::new(
                format!("`{name}` can't be log-normal"),
                "that shape is for quantities above zero that are no temperatures; use \"normal\"",
            ));
        }
        "log-normal" => Spread::LogNormal {
            sd_log: sd_of_logarithm(
                quantity_text::difference(wanted("sd")?, bound.dimension)? / value,
            ),
        },
        other => {
            return Err(Wrong::new(
                format!("`shape` of `{name}` can't be \"{}\"", short(other)),
                suggest::remedy(other, SHAPES, "it may be"),
            ));
        }
    };
    Ok(Quantity { value, spread: Some(spread) })
}

/// Standard deviation of ln(X) from that of X over its median, for a log-normal X.
///
/// With median m and s = sd of ln X, sd(X)² = m² u (u − 1), u = exp(s²) (any handbook of
/// statistics); solved for s. Dimensionless; valid for any ratio ≥ 0.
fn sd_of_logarithm(ratio: f64) -> f64 {
    let u = 0.5 * (1.0 + (1.0 + 4.0 * ratio * ratio).sqrt());
    portable::ln(u).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Series: for a small ratio r, s = r − 7 r³/12 …, so s/r → 1; and r = √(u(u−1)) exactly.
    #[test]
    fn log_normal_spread_is_consistent() {
        for ratio in [1e-4, 0.1, 0.5, 2.0] {
            let s = sd_of_logarithm(ratio);
            let u = (s * s).exp();
            assert!(((u * (u - 1.0)).sqrt() / ratio - 1.0).abs() < 1e-6);
        }
    }
}
