//! What the parser of TOML finds wrong, sorted by what a person did, and told in the words of someone who never heard
//! of TOML. Nothing of the parser's own wording reaches a user.

use super::mistake::Wrong;

/// What a person did.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Slip {
    /// A text or a quantity stands without its quotes, or something that is no number stands as one.
    NoQuotes,
    /// A text is not closed, or holds what no text may.
    BadText,
    /// A backslash in a text begins nothing that is known.
    Backslash,
    /// Something follows where the line should end.
    More,
    /// No `=` behind a name.
    NoEquals,
    /// An `=` too many.
    ExtraEquals,
    /// Nothing behind the `=`.
    NoValue,
    /// No comma between two entries.
    NoComma,
    /// A comma with nothing beside it.
    ExtraComma,
    /// A bracket without its partner.
    Bracket,
    /// A line that begins with what is no name.
    NoName,
    /// A character that no file of text holds.
    Character,
    /// The same name twice.
    Twice,
    /// A header or a name with points in it goes on from what is no table.
    NotATable,
    /// Lists or tables in one another without end.
    TooDeep,
    /// None that is known here.
    Unknown,
}

/// What the parser says, up to the point where it says what it expected, and what a person did. What ends in `*` stands
/// for all that begin so.
const SLIPS: &[(&str, Slip)] = &[
    ("string values must be quoted", Slip::NoQuotes),
    ("missing opening quote", Slip::NoQuotes),
    ("invalid string", Slip::NoQuotes),
    ("invalid boolean", Slip::NoQuotes),
    ("invalid date*", Slip::NoQuotes),
    ("invalid time", Slip::NoQuotes),
    ("invalid offset", Slip::NoQuotes),
    ("invalid float", Slip::NoQuotes),
    ("invalid integer number", Slip::NoQuotes),
    ("invalid hexadecimal number", Slip::NoQuotes),
    ("invalid octal number", Slip::NoQuotes),
    ("invalid binary number", Slip::NoQuotes),
    ("invalid mantissa", Slip::NoQuotes),
    ("invalid fraction", Slip::NoQuotes),
    ("invalid exponent", Slip::NoQuotes),
    ("redundant numeric sign", Slip::NoQuotes),
    ("redundant integer number prefix", Slip::NoQuotes),
    ("integers with a radix cannot be signed", Slip::NoQuotes),
    ("radix must be lowercase", Slip::NoQuotes),
    ("unexpected leading zero", Slip::NoQuotes),
    ("unexpected sign", Slip::NoQuotes),
    ("`_` may only go between digits", Slip::NoQuotes),
    ("invalid basic string", Slip::BadText),
    ("invalid literal string", Slip::BadText),
    ("invalid multi-line basic string", Slip::BadText),
    ("invalid multi-line literal string", Slip::BadText),
    ("could not allocate for string", Slip::BadText),
    ("missing escaped value", Slip::Backslash),
    ("too few unicode value digits", Slip::Backslash),
    ("invalid value", Slip::Backslash),
    ("unexpected key or value", Slip::More),
    ("unexpected content", Slip::More),
    ("key with no value", Slip::NoEquals),
    ("missing assignment between key-value pairs", Slip::NoEquals),
    ("extra `=`", Slip::ExtraEquals),
    ("unexpected `=` in array", Slip::ExtraEquals),
    ("extra assignment between key-value pairs", Slip::ExtraEquals),
    ("missing value for key", Slip::NoValue),
    ("missing value", Slip::NoValue),
    ("missing comma between array elements", Slip::NoComma),
    ("missing comma between key-value pairs", Slip::NoComma),
    ("extra comma in array", Slip::ExtraComma),
    ("extra comma in inline table", Slip::ExtraComma),
    ("unclosed array", Slip::Bracket),
    ("unclosed array table", Slip::Bracket),
    ("unclosed table", Slip::Bracket),
    ("unclosed inline table", Slip::Bracket),
    ("missing inline table opening", Slip::Bracket),
    ("missing array opening", Slip::Bracket),
    ("missing table open", Slip::Bracket),
    ("invalid table", Slip::NoName),
    ("invalid key", Slip::NoName),
    ("invalid key-value pair", Slip::NoName),
    ("invalid unquoted key", Slip::NoName),
    ("invalid inline table element", Slip::NoName),
    ("missing key for inline table element", Slip::NoName),
    ("unquoted keys cannot be empty", Slip::NoName),
    ("keys cannot be multi-line literal strings", Slip::NoName),
    ("keys cannot be multi-line basic strings", Slip::NoName),
    ("invalid comment character", Slip::Character),
    ("missing comment start", Slip::Character),
    ("unexpected content between comment and newline", Slip::Character),
    ("carriage return must be followed by newline", Slip::Character),
    ("duplicate key", Slip::Twice),
    ("cannot extend value of type *", Slip::NotATable),
    ("cannot recurse further; max recursion depth met", Slip::TooDeep),
    ("recursion limit", Slip::TooDeep),
];

/// What a person did, told by what the parser says.
pub(crate) fn slip(message: &str) -> Slip {
    let said = message.split_once(", expected").map_or(message, |(said, _)| said);
    let is = |known: &str| match known.strip_suffix('*') {
        Some(begins) => said.starts_with(begins),
        None => said == known,
    };
    SLIPS.iter().find(|(known, _)| is(known)).map_or(Slip::Unknown, |(_, slip)| *slip)
}

/// What to write on a line, whatever is wrong with it.
pub(crate) const A_LINE: &str = "a line is `name = value`, `[table]` or `# remark`; texts and quantities stand in double quotes, as in length = \"5 m\"";

/// A slip in plain words.
pub(crate) fn told(slip: Slip) -> Wrong {
    let (what, remedy) = match slip {
        Slip::NoQuotes => (
            "what stands here is no plain number, and texts and quantities need double quotes",
            "put texts and quantities in double quotes, with a point in decimals, for instance \"3.33 mm\"",
        ),
        Slip::BadText => (
            "the text between the double quotes does not end on this line, or holds a character that no text may hold",
            "put texts and quantities in double quotes that open and close on the line, for instance \"1.05 m\"",
        ),
        Slip::Backslash => (
            "a backslash in a text has a special meaning, and this one is not understood",
            "leave the backslash out, write / instead, or write it twice",
        ),
        Slip::More => (
            "something follows where the line should end",
            "write one name with its value a line; texts and quantities stand in double quotes, and a remark begins with #",
        ),
        Slip::NoEquals => (
            "an `=` is missing here: each name is followed by `=` and its value",
            "write for instance steering = \"left\"",
        ),
        Slip::ExtraEquals => (
            "there is an `=` too many, or it stands where none may stand",
            "write one `=` between a name and its value, for instance steering = \"left\"",
        ),
        Slip::NoValue => (
            "nothing stands behind the `=`",
            "write the value behind it, or leave the whole entry out if it has a default",
        ),
        Slip::NoComma => (
            "a comma is missing here between two entries",
            "write a comma between all entries, as in [\"RR\", \"LR\"] or { kind = \"hose\", from = \"line RR\" }",
        ),
        Slip::ExtraComma => (
            "there is a comma too many",
            "write one comma between two entries, none before the first",
        ),
        Slip::Bracket => {
            ("a bracket here has no partner", "check that every [ has its ] and every { its }")
        }
        Slip::NoName => (
            "here a name is wanted, and outside double quotes it holds letters, digits, - and _ only",
            A_LINE,
        ),
        Slip::Character => (
            "here stands a character that a text file does not hold, or a line end of another system",
            "delete it, or save the file as plain text (UTF-8) with a text editor",
        ),
        Slip::Twice => ("this name stands twice in the same table", "keep one of them"),
        Slip::NotATable => (
            "this goes on from a name that already stands for something else than a table of this kind",
            "write the table once, either as `[table]` with its keys below or as `name = { … }`, or give one of the two another name",
        ),
        Slip::TooDeep => (
            "tables or lists are nested too deeply",
            "a scenario needs no more than a list in a list",
        ),
        Slip::Unknown => ("this can't be read", A_LINE),
    };
    Wrong::new(what, remedy)
}

#[cfg(test)]
#[path = "syntax_tests.rs"]
mod tests;
