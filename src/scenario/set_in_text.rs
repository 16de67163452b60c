//! The text of a scenario with values set over it written into it.

use super::settings::{Word, split};
use toml_edit::{DocumentMut, Item, Table, TableLike, Value};

/// The text with everything set written into its tables, so that it reads alone to what both read to together; its
/// comments stay, but for those behind a value that is replaced. `None` if text or settings cannot be read.
pub fn set_in_text(text: &str, settings: &[String]) -> Option<String> {
    if settings.is_empty() {
        return Some(text.to_owned());
    }
    let mut document: DocumentMut = text.parse().ok()?;
    for setting in settings {
        let split = split(setting).ok()?;
        let (key, way) = split.path.split_last()?;
        put(document.as_table_mut(), way, &key.name, value(&setting[split.value]))?;
    }
    Some(document.to_string())
}

/// The value: one of TOML, or else a text, as [`settings`](super::settings) reads it. What stands around it, such as a
/// comment, has no place where it is put.
fn value(text: &str) -> Value {
    let document = format!("v={text}").parse::<DocumentMut>();
    let alone = document.ok().filter(|d| d.len() == 1).and_then(|mut d| d.remove("v"));
    let mut value = alone.and_then(|v| v.into_value().ok()).unwrap_or_else(|| text.into());
    value.decor_mut().clear();
    value
}

/// How a table is written, which a table put into it has to follow.
#[derive(Clone, Copy, PartialEq)]
enum Form {
    /// Under a head of its own.
    Head,
    /// `table.key = value`.
    Dotted,
    /// `{ key = value }`.
    Inline,
}

fn put(top: &mut Table, way: &[Word], key: &str, value: Value) -> Option<()> {
    let (mut table, mut form): (&mut dyn TableLike, Form) = (top, Form::Head);
    for word in way {
        if !table.contains_key(&word.name) {
            table.insert(&word.name, of_form(Table::new(), form));
        }
        let next = table.get_mut(&word.name)?;
        form = match next {
            Item::Table(t) if t.is_dotted() => Form::Dotted,
            Item::Table(_) => Form::Head,
            _ => Form::Inline,
        };
        table = next.as_table_like_mut()?;
    }
    match (table.get_mut(key), value) {
        // A table stays where it is, so that parts stay in their order.
        (Some(Item::Table(old)), Value::InlineTable(new)) if !old.is_dotted() => {
            let mut new = new.into_table();
            new.set_position(old.position());
            *new.decor_mut() = old.decor().clone();
            *old = new;
        }
        (Some(Item::Table(old)), Value::InlineTable(new)) => {
            let mut new = new.into_table();
            new.set_dotted(true);
            *old = new;
        }
        (Some(old), value) => *old = Item::Value(value),
        (None, Value::InlineTable(new)) => {
            table.insert(key, of_form(new.into_table(), form));
        }
        (None, value) => {
            table.insert(key, Item::Value(value));
        }
    }
    Some(())
}

/// A table as it can stand in one of this form.
fn of_form(mut table: Table, form: Form) -> Item {
    match form {
        Form::Head => Item::Table(table),
        Form::Dotted => {
            table.set_dotted(true);
            Item::Table(table)
        }
        Form::Inline => Item::Value(Value::InlineTable(table.into_inline_table())),
    }
}
