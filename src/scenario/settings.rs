//! Values set over those of a file, each by an argument such as `reservoir.level=130 mL`.
//!
//! They are laid out behind the text of the file and read with places there, so that everything found wrong later
//! can be told to stand in the file or in one of them.

use super::mistake::{Diagnostics, Wrong};
use super::sections::{Node, short, what_is};
use super::{suggest, syntax};
use std::borrow::Cow;
use std::ops::Range;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// Words that the path of a key may have; a spread's `from` on a part's quantity has four.
const MOST_WORDS: usize = 8;
/// Tables whose entries are named by whoever writes the file, and what an entry is called.
const NAMED: [(&str, &str); 3] = [("parts", "part"), ("like", "template"), ("supplies", "supply")];
/// How long a line may be that is shown as what to write instead.
const LONGEST_SHOWN: usize = 80;

/// A word of a key's path: the name of a table, or of the key in it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Word {
    pub(crate) name: String,
    span: Range<usize>,
}

/// One thing that is set, with the bytes of its value.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Split {
    pub(crate) path: Vec<Word>,
    pub(crate) value: Range<usize>,
}

type Misplaced = (Range<usize>, Wrong);

/// Takes a setting apart at its dots and its first `=`, as far as they stand outside quotes.
pub(crate) fn split(setting: &str) -> Result<Split, Misplaced> {
    let mut path = Vec::new();
    let (mut from, mut quote) = (0, None);
    let mut chars = setting.char_indices();
    while let Some((at, c)) = chars.next() {
        match (quote, c) {
            (Some('"'), '\\') => drop(chars.next()),
            (Some(open), c) if open == c => quote = None,
            (None, '"' | '\'') => quote = Some(c),
            (None, '.' | '=') => {
                path.push(word(setting, from..at)?);
                from = at + 1;
                if path.len() > MOST_WORDS {
                    let what = "no key of a scenario lies that deep";
                    return Err((0..at, Wrong::new(what, EXAMPLES)));
                }
                if c == '=' {
                    return Ok(Split { path, value: trimmed(setting, from..setting.len()) });
                }
            }
            _ => {}
        }
    }
    let what = match quote {
        Some(_) => "a quote in the key is not closed",
        None => "there is no `=`, so nothing says what is key and what value",
    };
    Err((0..setting.len(), Wrong::new(what, EXAMPLES)))
}

/// What a value is read under.
const AS_KEY: &str = "v=";

const EXAMPLES: &str = "write key=value with the key as in the file, for instance \"reservoir.level=130 mL\" or 'parts.\"line RR\".length=6 m'";

fn trimmed(text: &str, span: Range<usize>) -> Range<usize> {
    let inside = &text[span.clone()];
    let from = span.start + (inside.len() - inside.trim_start().len());
    from..from + inside.trim().len()
}

fn word(setting: &str, span: Range<usize>) -> Result<Word, Misplaced> {
    let span = trimmed(setting, span);
    let text = &setting[span.clone()];
    let quoted = text.starts_with(['"', '\'']);
    let name = match DeValue::parse(text).map(Spanned::into_inner) {
        Ok(DeValue::String(name)) if quoted => name.into_owned(),
        _ if is_bare(text) => text.to_owned(),
        _ => return Err((span.clone(), no_word(setting, span))),
    };
    Ok(Word { name, span })
}

fn is_bare(word: &str) -> bool {
    let plain = |c: char| c.is_ascii_alphanumeric() || matches!(c, '-' | '_');
    !word.is_empty() && word.chars().all(plain)
}

/// What is wrong with a piece of a key that is no word.
fn no_word(setting: &str, span: Range<usize>) -> Wrong {
    let text = &setting[span.clone()];
    if text.is_empty() {
        return Wrong::new("a word of the key is missing", EXAMPLES);
    }
    if let Some((list, _)) = text.split_once('[') {
        let whole = format!("{}{list}", &setting[..span.start]);
        return Wrong::new(
            "one entry of a list can't be set",
            format!("a list is set as a whole, for instance '{}=[…]'", short(&whole)),
        );
    }
    let what = format!("`{}` needs quotes in a key", short(text));
    let rewritten =
        format!("'{}\"{text}\"{}'", &setting[..span.start], &setting[span.end..].trim_end());
    let harmless = text.chars().all(|c| c.is_alphanumeric() || matches!(c, ' ' | '-' | '_'));
    let shown = harmless && rewritten.matches('\'').count() == 2;
    Wrong::new(
        what,
        match shown && rewritten.chars().count() <= LONGEST_SHOWN {
            true => format!("write {}", rewritten.replace(char::is_control, " ")),
            false => "put it in double quotes, and everything in single ones so that the shell leaves them: 'parts.\"line RR\".length=6 m'".to_owned(),
        },
    )
}

/// The text of a file with what is set laid out behind it.
pub(crate) struct Laid<'t> {
    /// All of it.
    pub(crate) text: Cow<'t, str>,
    /// Where each thing set begins.
    pub(crate) starts: Vec<usize>,
    /// Each taken apart, and its value under a key, behind as many spaces as bring it to its place.
    pieces: Vec<(Result<Split, Misplaced>, String)>,
}

impl<'t> Laid<'t> {
    pub(crate) fn new(file: &'t str, settings: &[&str]) -> Self {
        let mut laid = Self { text: Cow::Borrowed(file), starts: Vec::new(), pieces: Vec::new() };
        for setting in settings {
            let text = laid.text.to_mut();
            text.push('\n');
            let start = text.len();
            text.push_str(setting);
            let split = split(setting);
            let padded = match &split {
                Ok(Split { value, .. }) => {
                    // Something stands before every `=`, so there is room.
                    let mut padded = " ".repeat((start + value.start).saturating_sub(AS_KEY.len()));
                    padded += AS_KEY;
                    padded += &setting[value.clone()];
                    padded
                }
                Err(_) => String::new(),
            };
            laid.starts.push(start);
            laid.pieces.push((split, padded));
        }
        laid
    }

    /// Puts everything that is set into the table of the file. What can't be set is written down.
    pub(crate) fn put<'p>(&'p self, diagnostics: &mut Diagnostics<'_>, top: &mut DeTable<'p>) {
        let mut set: Vec<Set<'p>> = Vec::new();
        for (number, (&start, (split, padded))) in self.starts.iter().zip(&self.pieces).enumerate()
        {
            let read = match split {
                Err((span, wrong)) => Err((span.clone(), wrong.clone())),
                Ok(split) => value(split, start, padded).map(|value| Set {
                    number: number + 1,
                    start,
                    path: &split.path,
                    value,
                }),
            };
            match read.and_then(|new| new.apart_from(&set).map(|()| new)) {
                Ok(new) => set.push(new),
                Err((span, wrong)) => {
                    diagnostics.add_wrong(start + span.start..start + span.end, wrong);
                }
            }
        }
        let strangers: Vec<_> = set.iter().map(|s| s.of_no_entry(&set, top)).collect();
        for (set, stranger) in set.into_iter().zip(strangers) {
            match stranger {
                Some((span, wrong)) => diagnostics.add_wrong(span, wrong),
                None => set.put(diagnostics, top),
            }
        }
    }
}

/// The value: one of TOML, or else a text without its quotes.
fn value<'p>(split: &Split, start: usize, padded: &'p str) -> Result<Node<'p>, Misplaced> {
    let span = split.value.clone();
    let text = padded.trim_start().strip_prefix(AS_KEY).unwrap_or_default();
    if text.is_empty() {
        let what = format!("nothing stands behind the `=` of `{}`", shown(&split.path));
        let remedy =
            "write the value as it would stand in the file; a text with nothing in it is \"\"";
        return Err((0..span.end, Wrong::new(what, remedy)));
    }
    let (document, errors) = DeTable::parse_recoverable(padded);
    let mut entries = document.into_inner().into_iter();
    if let (Some((_, node)), None, []) = (entries.next(), entries.next(), &errors[..]) {
        return Ok(node);
    }
    if let Some(error) = errors.first().filter(|_| text.starts_with(['[', '{', '"', '\''])) {
        let own = |at: usize| at.saturating_sub(start).max(span.start);
        let at = error.span().map_or(span.clone(), |s| own(s.start)..own(s.end));
        let remedy = "close every [, { and \" that is opened; texts within lists and tables stand in double quotes; put everything in single ones so that the shell leaves them: 'procedure.open=[\"RR\", \"LR\"]'";
        return Err((at, Wrong::new(syntax::what(error.message()), remedy)));
    }
    Ok(Spanned::new(start + span.start..start + span.end, DeValue::String(text.into())))
}

/// A key as it is written in a path.
fn shown(path: &[Word]) -> String {
    let word = |w: &Word| match is_bare(&w.name) {
        true => w.name.clone(),
        false => format!("\"{}\"", w.name),
    };
    short(&path.iter().map(word).collect::<Vec<_>>().join("."))
}

/// Something to be set.
struct Set<'p> {
    number: usize,
    start: usize,
    path: &'p [Word],
    value: Node<'p>,
}

impl<'p> Set<'p> {
    fn names(&self) -> impl Iterator<Item = &str> {
        self.path.iter().map(|w| w.name.as_str())
    }

    /// Where words of its key stand in the whole text.
    fn span(&self, words: Range<usize>) -> Range<usize> {
        let words = &self.path[words];
        let (first, last) = (words.first(), words.last());
        let at = |w: Option<&Word>, of: fn(&Range<usize>) -> usize| {
            self.start + w.map_or(0, |w| of(&w.span))
        };
        at(first, |s| s.start)..at(last, |s| s.end)
    }

    /// Neither this nor anything that it lies in, or that lies in it, has been set already.
    fn apart_from(&self, others: &[Self]) -> Result<(), Misplaced> {
        let overlapping = |o: &&Self| self.names().zip(o.names()).all(|(a, b)| a == b);
        let Some(other) = others.iter().find(overlapping) else {
            return Ok(());
        };
        let (mine, its) = (self.path.len(), other.path.len());
        let wrong = if mine == its {
            Wrong::new(
                format!("`{}` is set already, by --set {}", shown(self.path), other.number),
                "set it once",
            )
        } else {
            let (outer, inner) = if mine < its { (self, other) } else { (other, self) };
            Wrong::new(
                format!(
                    "`{}` is set as a whole by --set {}, and `{}`, which lies in it, by --set {}",
                    shown(outer.path),
                    outer.number,
                    shown(inner.path),
                    inner.number
                ),
                "write it into the whole, or set nothing but single keys",
            )
        };
        Err((self.path[0].span.start..self.path[mine - 1].span.end, wrong))
    }

    /// Whether it is about a part, template or supply that is not in the file, and nothing that is set makes a whole
    /// one of it.
    fn of_no_entry(&self, all: &[Self], top: &DeTable<'p>) -> Option<Misplaced> {
        let [table, entry, _, ..] = self.path else { return None };
        let (_, called) = NAMED.iter().find(|(name, _)| *name == table.name)?;
        let entries = match top.get(table.name.as_str()).map(|n| n.get_ref()) {
            None => None,
            Some(DeValue::Table(entries)) => Some(entries),
            Some(_) => return None,
        };
        let is_new = entries.is_none_or(|e| !e.contains_key(entry.name.as_str()));
        let says_kind = |s: &Self| {
            let path: Vec<_> = s.names().collect();
            path[..2.min(path.len())] == [&table.name, &entry.name]
                && path.get(2).is_some_and(|key| matches!(*key, "kind" | "like"))
        };
        if !is_new || all.iter().any(says_kind) {
            return None;
        }
        let known = entries.into_iter().flat_map(|e| e.keys()).map(|k| k.get_ref().as_ref());
        let wrong = Wrong::new(
            format!("there is no {called} `{}`", short(&entry.name)),
            suggest::remedy(&entry.name, known, &table.name),
        );
        Some((self.span(1..2), wrong))
    }

    /// Puts the value into the table of the file, and what is missing on the way to it.
    fn put(self, diagnostics: &mut Diagnostics<'_>, top: &mut DeTable<'p>) {
        let key = self.path.len() - 1;
        // The table of a quantity is read as one value.
        let named = NAMED.iter().any(|(name, _)| *name == self.path[0].name);
        let quantity = if named { 3 } else { 2 };
        let mut table = top;
        for (i, word) in self.path[..key].iter().enumerate() {
            let name = word.name.as_str();
            if !table.contains_key(name) {
                let empty = Spanned::new(self.span(i..i + 1), DeValue::Table(DeTable::new()));
                table.insert(Spanned::new(self.span(i..i + 1), Cow::Borrowed(name)), empty);
            }
            let Some(node) = table.get_mut(name) else { return };
            if i + 1 == quantity {
                diagnostics.replace(node.span(), self.span(0..self.path.len()));
            }
            table = match node.get_mut() {
                DeValue::Table(inner) => inner,
                other => {
                    let wrong = leads_nowhere(&self.path[..=i], other);
                    return diagnostics.add_wrong(self.span(0..i + 1), wrong);
                }
            };
        }
        let (name, at) = (self.path[key].name.as_str(), self.span(key..key + 1));
        match table.get_key_value(name).map(|(old, _)| old.span()) {
            None => drop(table.insert(Spanned::new(at, Cow::Borrowed(name)), self.value)),
            Some(old) => {
                diagnostics.replace(old, at);
                if let Some(value) = table.get_mut(name) {
                    *value = self.value;
                }
            }
        }
    }
}

/// What is wrong with a path that leads through something that is no table.
fn leads_nowhere(path: &[Word], found: &DeValue<'_>) -> Wrong {
    let path = shown(path);
    match found {
        DeValue::Array(_) => Wrong::new(
            format!("`{path}` is a list, and one entry of a list can't be set"),
            format!("a list is set as a whole, for instance '{path}=[…]'"),
        ),
        other => Wrong::new(
            format!("`{path}` is {}, so there is nothing to set in it", what_is(other)),
            format!("set `{path}` as a whole"),
        ),
    }
}
