use super::*;
use std::collections::BTreeSet;
use toml::de::DeTable;

/// Everything that the sources of the parser can say (crates toml and toml_parser, read in their sources), without what
/// it expected.
const SAID: &[&str] = &[
    "unclosed array table",
    "unclosed table",
    "unclosed array",
    "unclosed inline table",
    "invalid table",
    "invalid key",
    "invalid key-value pair",
    "invalid inline table element",
    "key with no value",
    "missing value for key",
    "missing value",
    "extra `=`",
    "missing inline table opening",
    "missing array opening",
    "missing table open",
    "extra comma in array",
    "extra comma in inline table",
    "unexpected `=` in array",
    "missing comma between array elements",
    "missing comma between key-value pairs",
    "extra assignment between key-value pairs",
    "missing assignment between key-value pairs",
    "missing key for inline table element",
    "unexpected key or value",
    "unexpected content between comment and newline",
    "unexpected content",
    "cannot recurse further; max recursion depth met",
    "recursion limit",
    "keys cannot be multi-line literal strings",
    "keys cannot be multi-line basic strings",
    "redundant numeric sign",
    "invalid string",
    "invalid boolean",
    "invalid date-time",
    "invalid datetime, expected year or hour",
    "invalid date, expected month",
    "invalid time, expected `:` (HH:MM)",
    "invalid offset",
    "invalid float",
    "invalid integer number",
    "invalid hexadecimal number",
    "invalid octal number",
    "invalid binary number",
    "invalid mantissa",
    "invalid fraction",
    "invalid exponent",
    "integers with a radix cannot be signed",
    "radix must be lowercase",
    "redundant integer number prefix",
    "unexpected leading zero",
    "unexpected sign",
    "`_` may only go between digits",
    "could not allocate for string",
    "missing opening quote",
    "string values must be quoted",
    "missing comment start",
    "invalid comment character",
    "carriage return must be followed by newline",
    "invalid literal string",
    "invalid multi-line literal string",
    "invalid basic string",
    "invalid multi-line basic string",
    "missing escaped value",
    "too few unicode value digits",
    "invalid value",
    "unquoted keys cannot be empty",
    "invalid unquoted key",
    "duplicate key",
    "cannot extend value of type array with a dotted key",
    "cannot extend value of type inline table with a dotted key",
    "cannot extend value of type string with a dotted key",
];

/// Pieces that a damaged file may hold.
const PIECES: &[&str] = &[
    "[",
    "]",
    "[[",
    "]]",
    "{",
    "}",
    "=",
    "==",
    ",",
    ",,",
    ".",
    "\"",
    "'",
    "\"\"\"",
    "'''",
    "#",
    "\n",
    "\r",
    "\r\n",
    " ",
    "\t",
    "\u{0}",
    "\u{7f}",
    "\u{1b}",
    "a",
    "a b",
    "ä",
    "a.b",
    "a = 1",
    "\n[a]\n",
    "\n[[a]]\n",
    "\n[a.b]\n",
    "1",
    "01",
    "+1",
    "-",
    "++1",
    "+-inf",
    "inf",
    "nan",
    "+nax",
    "1.5",
    "1.",
    ".5",
    "1e5",
    "1e",
    "1_0",
    "_1",
    "1__0",
    "0x1F",
    "0X1f",
    "0xg",
    "-0x1",
    "0o8",
    "0O7",
    "0b2",
    "0B1",
    "00x1",
    "true",
    "tru",
    "True",
    "false",
    "fals",
    "null",
    "1979-05-27",
    "1979-13-27",
    "07:32:00",
    "07:99",
    "1979-05-27T07:32:00Z",
    "1979-05-27 07:32:00+99:00",
    "\\",
    "\\n",
    "\\q",
    "\\u12",
    "\\uD800",
    "\\xZ",
    "\"x\"",
    "'x'",
    "\"\\q\"",
    "\"\\u12\"",
    "\"\\uD800\"",
    "\"\u{1}\"",
    "'\u{1}'",
    "[1, 2]",
    "[1 2]",
    "[,]",
    "[1,,2]",
    "[=]",
    "{ a = 1 }",
    "{ a 1 }",
    "{ a = 1 b = 2 }",
    "{, }",
    "{ = 1 }",
    "{ a = 1, a = 2 }",
    "{ a == 1 }",
    "{ a.b = 1, a.b.c = 2 }",
    "\na = ",
    "\nb = ",
    "\nc ",
    "\n\"k\" = ",
    "\n\"\"\"k\"\"\" = 1",
    "\n'''k''' = 1",
    "\na.b.c = 1\na.b = 2\na.b.c.d = 3",
    "\n[[f]]\n[f]\n",
    "3,33 mm",
    "5 m",
];

/// A small generator of numbers; their quality hardly matters here.
struct Numbers(u64);

impl Numbers {
    fn below(&mut self, n: usize) -> usize {
        self.0 =
            self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) as usize % n
    }
}

fn said(text: &str, all: &mut BTreeSet<String>) {
    let (_, errors) = DeTable::parse_recoverable(text);
    all.extend(errors.iter().map(|e| e.message().to_owned()));
}

#[test]
fn nothing_that_the_parser_says_is_unknown() {
    let mut all: BTreeSet<String> = SAID.iter().map(|s| (*s).to_owned()).collect();
    let mut numbers = Numbers(1);
    let car = include_str!("../../scenarios/compact-hatchback.toml");
    for round in 0..6_000 {
        let mut text = String::new();
        for _ in 0..1 + numbers.below(8) {
            text.push_str(PIECES[numbers.below(PIECES.len())]);
        }
        said(&text, &mut all);
        said(&format!("a = {text}"), &mut all);
        if round % 10 == 0 {
            let mut at = numbers.below(car.len());
            while !car.is_char_boundary(at) {
                at -= 1;
            }
            let rest = car[at..].chars().skip(numbers.below(2)).collect::<String>();
            said(&format!("{}{text}{rest}", &car[..at]), &mut all);
        }
    }
    for depth in [90, 200, 500] {
        said(&format!("a = {}", "[".repeat(depth)), &mut all);
        said(&format!("a = {}1{}", "[".repeat(depth), "]".repeat(depth)), &mut all);
        said(&format!("{} = 1", vec!["a"; depth].join(".")), &mut all);
        said(&format!("[{}]", vec!["a"; depth].join(".")), &mut all);
    }
    assert!(all.len() > 100, "only {} messages provoked", all.len());
    let unknown: Vec<&String> = all.iter().filter(|m| slip(m) == Slip::Unknown).collect();
    assert!(unknown.is_empty(), "{unknown:#?}");
}

#[test]
fn what_a_later_parser_says_is_told_in_neutral_words() {
    let wrong = told(slip("invalid frobnicator, expected `foo`"));
    assert_eq!(wrong.what, "this can't be read");
    assert!(wrong.remedy.contains("name = value"));
}
