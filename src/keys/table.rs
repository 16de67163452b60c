//! A table of the scenario file as a struct: its keys, what each may hold, what holds when it is left out.

use super::bounds::Bound;
use super::quantity::Quantity;
use super::worded::Word;
use super::words::Words;

/// What a key may hold.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Form {
    /// A quantity as text with a unit.
    Quantity(&'static Bound),
    /// One quantity or a list of them.
    Quantities(&'static Bound),
    /// Free text.
    Text,
    /// One of these words.
    Word(Words),
    /// true or false.
    Flag,
    /// A whole number between two ends, both allowed.
    Count(u32, u32),
    /// One name or a list of names.
    Names,
}

/// What holds when a key is left out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum LeftOut {
    /// It must be written.
    Required,
    /// It may be left out and then stays absent.
    Absent,
    /// It may be left out and then stays absent; what is written goes into other keys as the file is read, its spread
    /// with it, and is drawn there.
    Source,
    /// It may be left out; then no figure holds but this rule, given in few words.
    Rule(&'static str),
    /// Left out, it is read as if this text had been written (`"3.2 mm"`, `"true"`, `"6"`).
    Text(&'static str),
}

/// One key of a table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Key {
    /// The key as written.
    pub name: &'static str,
    /// One sentence: what it is. Shown by `schema`.
    pub doc: &'static str,
    /// What it may hold.
    pub form: Form,
    /// What holds when it is left out.
    pub left_out: LeftOut,
}

/// Where the value of a key stands.
pub enum Slot<'t> {
    /// A quantity that is always there.
    Quantity(&'t mut Quantity),
    /// A quantity that may be absent.
    Maybe(&'t mut Option<Quantity>),
    /// A list of quantities, empty if absent.
    Quantities(&'t mut Vec<Quantity>),
    /// A text that may be absent.
    Text(&'t mut Option<String>),
    /// One of several words.
    Word(&'t mut dyn Word),
    /// true or false.
    Flag(&'t mut bool),
    /// A whole number.
    Count(&'t mut u32),
    /// A list of names, empty if absent.
    Names(&'t mut Vec<String>),
}

/// A table of the scenario file.
pub trait Table {
    /// Tells of every key, in the order in which people are told, and where its value stands.
    fn each<'t>(&'t mut self, see: &mut dyn FnMut(Key, Slot<'t>));
}

/// Declares a table as a struct with one field for each of its keys. The doc comment of a field is what people are told
/// of the key:
///
/// - `bore: Quantity [&TUBE_BORE] = Text("3.33 mm");` is the key `bore`, a quantity within that bound, and what holds
///   when it is left out;
/// - `bends: u32 [0, 100] = Text("0");` a whole number between two ends; words, flags, texts and names have no limits;
/// - `screw: Screw;` stands for all keys of another table.
macro_rules! table {
    ($(#[$meta:meta])* $vis:vis struct $name:ident {
        $($(#[doc = $doc:literal])+ $of:vis $field:ident: $type:ty $([$($limit:expr),+])? $(= $left_out:expr)?;)*
    }) => {
        $(#[$meta])*
        #[derive(Debug, Clone, Default, PartialEq)]
        $vis struct $name { $($(#[doc = $doc])+ $of $field: $type,)* }

        impl $crate::keys::Table for $name {
            fn each<'t>(&'t mut self, see: &mut dyn FnMut($crate::keys::Key, $crate::keys::Slot<'t>)) {
                let Self { $($field),* } = self;
                let _ = &see;
                $($crate::keys::table::table!(
                    @of $field see (concat!($($doc),+)) [$($($limit),+)?] $($left_out)?
                );)*
            }
        }
    };
    (@of $field:ident $see:ident ($doc:expr) []) => { $crate::keys::Table::each($field, $see) };
    (@of $field:ident $see:ident ($doc:expr) [$($limit:expr),*] $left_out:expr) => {{
        use $crate::keys::table::Holds;
        let form = $field.form(($($limit),*));
        let (name, doc) = (stringify!($field), $doc.trim_start());
        $see($crate::keys::Key { name, doc, form, left_out: $left_out }, $field.slot())
    }};
}
pub(crate) use table;

/// What a field of a table holds, within limits of this kind.
pub(crate) trait Holds<Limits> {
    fn form(&self, limits: Limits) -> Form;
    fn slot(&mut self) -> Slot<'_>;
}

macro_rules! holds {
    ($($of:ty, $limits:pat => $type:ty, $form:expr, $slot:ident;)+) => {
        $(impl Holds<$type> for $of {
            fn form(&self, $limits: $type) -> Form {
                $form
            }

            fn slot(&mut self) -> Slot<'_> {
                Slot::$slot(self)
            }
        })+
    };
}
holds! {
    Quantity, bound => &'static Bound, Form::Quantity(bound), Quantity;
    Option<Quantity>, bound => &'static Bound, Form::Quantity(bound), Maybe;
    Vec<Quantity>, bound => &'static Bound, Form::Quantities(bound), Quantities;
    u32, (least, most) => (u32, u32), Form::Count(least, most), Count;
    bool, () => (), Form::Flag, Flag;
    Option<String>, () => (), Form::Text, Text;
    Vec<String>, () => (), Form::Names, Names;
}

impl<W: Word> Holds<()> for W {
    fn form(&self, (): ()) -> Form {
        Form::Word(Words { all: self.all(), also: self.also() })
    }

    fn slot(&mut self) -> Slot<'_> {
        Slot::Word(self)
    }
}

/// The keys of a table.
pub fn keys_in(table: &mut dyn Table) -> Vec<Key> {
    let mut all = Vec::new();
    table.each(&mut |key, _| all.push(key));
    all
}

/// The keys of a kind of table.
pub fn keys_of<T: Table + Default>() -> Vec<Key> {
    keys_in(&mut T::default())
}

/// The quantities that a table holds, each with its key and bound.
pub fn quantities(table: &mut dyn Table) -> Vec<(&'static str, &'static Bound, &mut Quantity)> {
    let mut all = Vec::new();
    table.each(&mut |key, slot| {
        let Form::Quantity(bound) = key.form else { return };
        match slot {
            Slot::Quantity(q) | Slot::Maybe(Some(q)) => all.push((key.name, bound, q)),
            _ => {}
        }
    });
    all
}
