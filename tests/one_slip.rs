//! One slip in a file brings one message, which stands where the slip is and says what to write instead.

use farwheel::scenario::Mistakes;

const CAR: &str = include_str!("../scenarios/compact-hatchback.toml");

fn mistakes(text: &str) -> Mistakes {
    farwheel::read(text, "car.toml")
        .err()
        .unwrap_or_else(|| panic!("read without complaint:\n{text}"))
}

/// The text with `find`, which stands there once, replaced.
fn edited(text: &str, find: &str, replace: &str) -> String {
    assert_eq!(text.matches(find).count(), 1, "`{find}` must stand once");
    text.replacen(find, replace, 1)
}

/// One message on this line, with these words.
fn told(name: &str, text: &str, line: usize, words: &[&str]) {
    let found = mistakes(text);
    assert_eq!(found.list.len(), 1, "{name}: {found}");
    let one = &found.list[0];
    assert_eq!(one.line, line, "{name}: {found}");
    for word in words {
        assert!(
            format!("{}; {}", one.what, one.remedy).contains(word),
            "{name}: no {word} in\n{found}"
        );
    }
}

/// Name, what is replaced, what by, the line that is told, words of the message.
type Case = (&'static str, &'static str, &'static str, usize, &'static [&'static str]);

const REAR: &str =
    "rear = { kind = \"caliper\", new_pads = \"5 mL ± 1 mL\", worn_pads = \"19 mL ± 2 mL\" }";
const LF: &str = "LF = { like = \"front\", from = \"hose LF\" }";

const CASES: &[Case] = &[
    // Words that leave open which is meant.
    (
        "a grade without its number",
        "grade = \"DOT 3\"\nwater",
        "grade = \"DOT\"\nwater",
        13,
        &["there is no grade \"DOT\"; grades: `DOT 3`, `DOT 4`, `DOT 5.1`"],
    ),
    (
        "a wheel that may be two",
        "open = [\"RR\", \"LR\"",
        "open = [\"RR\", \"LX\"",
        57,
        &["did you mean `LF` or `LR`?"],
    ),
    // A key under another name hides the one that is missing.
    (
        "a misspelt key of a template",
        "new_pads = \"5 mL",
        "new_pad = \"5 mL",
        30,
        &["no key `new_pad`", "did you mean `new_pads`?"],
    ),
    (
        "another key in a template",
        "new_pads = \"5 mL",
        "length = \"5 mL",
        30,
        &["has no key `length`, and `new_pads` is missing", "should `length` be `new_pads`?"],
    ),
    (
        "a key that a template lacks",
        "rear = { kind = \"caliper\", new_pads = \"5 mL ± 1 mL\", ",
        "rear = { kind = \"caliper\", ",
        30,
        &["the template `rear` lacks `new_pads`, and so do the parts like it", "add `new_pads = "],
    ),
    (
        "another key in a table",
        "volume = \"12 mL",
        "setup = \"12 mL",
        25,
        &["no key `setup`, and `volume` is missing"],
    ),
    (
        "another key in a supply",
        "loaded = \"1 L\"",
        "brim = \"1 L\"",
        46,
        &["no key `brim`, and `loaded` is missing"],
    ),
    (
        "another key for the joint",
        LF,
        "LF = { like = \"front\", length = \"hose LF\" }",
        43,
        &["should `length` be `from`?"],
    ),
    (
        "another key for the template",
        LF,
        "LF = { bore = \"front\", from = \"hose LF\" }",
        43,
        &["should it be `like = \"front\"`?"],
    ),
    (
        "another key for the kind of a template",
        "tube = { kind",
        "tube = { from",
        28,
        &["should it be `kind = \"line\"`?"],
    ),
    (
        "another key for the kind of a supply",
        "gravity = { kind",
        "gravity = { until",
        47,
        &["should it be `kind = \"gravity\"`?"],
    ),
    (
        "another key for a length",
        "length = \"4 m ± 5 %\"",
        "bends = \"4 m ± 5 %\"",
        33,
        &["and `length` is missing", "should `bends` be `length`?"],
    ),
    (
        "another template",
        "\"line RF\" = { like = \"tube\"",
        "\"line RF\" = { like = \"front\"",
        34,
        &["is like `front`, a caliper, which has no key `length`", "should it be like `tube`?"],
    ),
    (
        "another kind than the name says",
        "\"hose LF\" = { kind = \"hose\"",
        "\"hose LF\" = { kind = \"tube\"",
        39,
        &["should it be of kind \"hose\", as its name says?"],
    ),
    ("a misspelt compartment", "compartment", "compartmnet", 18, &["did you mean `compartment`?"]),
    (
        "one figure against two",
        "brim = \"270 mL\"",
        "brim = \"27 mL\"",
        21,
        &["`max` (200 mL) is not below `brim` (27 mL, line 22)"],
    ),
    // A character in a name.
    (
        "a typographic quote in a key",
        "\"line LR\" = { like",
        "\"line LR\" = { li“ke",
        33,
        &["a typographic quote, “, stands in the middle of the name `li“ke`", "write like = …"],
    ),
    (
        "a tab in a key",
        "temperature",
        "temperatu\tre",
        9,
        &["a tab stands in the middle", "write temperature = …"],
    ),
    (
        "a double quote in a key",
        "\"line LR\" = { like",
        "\"line LR\" = { li\"ke",
        33,
        &["a double quote stands in the middle of the name `li\"ke`"],
    ),
    (
        "a letter of another alphabet in a header",
        "[vehicle]",
        "[vehßicle]",
        6,
        &["write `[vehicle]`"],
    ),
    (
        "a comma in a header",
        "[clear_hose]",
        "[clear,_hose]",
        51,
        &["a comma stands in the middle", "write `[clear_hose]`"],
    ),
    (
        "a point in a key",
        "gauge_limit",
        "gauge._limit",
        11,
        &["a point stands in the middle of the name: write `gauge_limit`"],
    ),
    (
        "a semicolon behind a key",
        "steering =",
        "steering; =",
        7,
        &["a semicolon stands beside the name `steering;`", "write steering = …"],
    ),
    // A quote or a bracket that is missing.
    (
        "the quote behind a text",
        "from = \"hose LF\"",
        "from = \"hose LF",
        43,
        &["missing on this line, behind `hose LF`", "write \"hose LF\""],
    ),
    (
        "the quote before a text",
        "length = \"4 m",
        "length = 4 m",
        33,
        &["before `4 m ± 5 %`", "write \"4 m ± 5 %\""],
    ),
    ("the quote in a list", "open = [\"RR\"", "open = [\"RR", 57, &["behind `RR`"]),
    ("the quote behind a name", "\"hose RR\" =", "\"hose RR =", 36, &["behind `hose RR`"]),
    (
        "the brace of an entry",
        "\"hose RR\" = { kind",
        "\"hose RR\" = kind",
        36,
        &["put { before `kind`"],
    ),
    (
        "the brace at the end",
        "from = \"line RR\" }",
        "from = \"line RR\"",
        36,
        &["put } at the end of the line"],
    ),
    (
        "the brace of a step",
        "before = [{ re_pump",
        "before = [ re_pump",
        56,
        &["put { before `re_pump`"],
    ),
    ("the bracket of a list", "open = [\"RR\"", "open = \"RR\"", 57, &["put [ before \"RR\""]),
    (
        "a brace too many",
        "from = \"line RR\" }",
        "from = \"line RR\" }}",
        36,
        &["the bracket } was never opened; delete this }"],
    ),
    (
        "a quote too many",
        "\"hose RR\" =",
        "\"ho\"se RR\" =",
        36,
        &["a double quote too many on this line; delete this one"],
    ),
    (
        "a mark in a list",
        "open = [\"RR\",",
        "open = [\"RR\",\\",
        57,
        &["the character `\\` stands here, where it means nothing"],
    ),
    (
        "a colon behind a name",
        "\"hose RR\" =",
        "\"hose RR\" :=",
        36,
        &["a colon stands here, where it means nothing"],
    ),
    // Headers and templates.
    (
        "a template deleted",
        REAR,
        "",
        40,
        &["add `rear`, with its kind and keys, below `[like]` (line 27)", "`tube`, `front`"],
    ),
    (
        "a kind for a template",
        LF,
        "LF = { like = \"caliper\", from = \"hose LF\" }",
        43,
        &["that is a kind: write `kind = \"caliper\"`"],
    ),
    (
        "a header twice",
        "[vehicle]\n",
        "[vehicle]\n[vehicle]\n",
        7,
        &["`[vehicle]` stands twice (first on line 6)", "delete this header"],
    ),
    (
        "a key twice",
        "split = \"X\"\n",
        "split = \"X\"\nsplit = \"X\"\n",
        9,
        &["(first on line 8)", "delete this line"],
    ),
    (
        "a key twice with two values",
        "split = \"X\"\n",
        "split = \"X\"\nsplit = \"II\"\n",
        9,
        &["delete this line, or line 8: whichever is wrong"],
    ),
    (
        "a part twice",
        LF,
        "LF = { like = \"front\", from = \"hose LF\" }\nLF = { like = \"front\", from = \"hose LF\" }",
        44,
        &["delete this line; or give one of the two another name"],
    ),
    (
        "a key twice in an entry",
        LF,
        "LF = { from = \"front\", from = \"hose LF\" }",
        43,
        &["should one of the two be `like` or `kind`, which is missing here?"],
    ),
    // References.
    (
        "a hose deleted",
        "\"hose LF\" = { kind = \"hose\", from = \"line LF\" }\n",
        "",
        42,
        &["add `hose LF` to `[parts]`", "`line LF` on line 35"],
    ),
    (
        "a kind for a part",
        "like = \"tube\", from = \"primary\", length = \"4 m",
        "like = \"tube\", from = \"hose\", length = \"4 m",
        33,
        &["`hose` is a kind", "`primary`, `secondary`"],
    ),
    (
        "a part under the name of a chamber",
        "\"line RR\" = {",
        "primary = {",
        32,
        &["already the name of a chamber of the master cylinder (line 24)"],
    ),
    // Quantities.
    (
        "a space within a number",
        "length = \"1.8 m",
        "length = \"1 8 m",
        34,
        &["has a space in its number", "write what is meant: \"18 m\" or \"1.8 m\""],
    ),
    (
        "a space behind a point",
        "length = \"1.8 m",
        "length = \"1.8 5 m",
        34,
        &["write the number without it: \"1.85 m\""],
    ),
    (
        "no number behind the sign",
        "length = \"1.8 m ± 5 %\"",
        "length = \"1.8 m ± %\"",
        34,
        &["no number stands behind the ±"],
    ),
];

#[test]
fn one_slip_brings_one_message() {
    for (name, find, replace, line, words) in CASES {
        told(name, &edited(CAR, find, replace), *line, words);
    }
}

/// A block of the car from its header to the next.
fn block(header: &str) -> &'static str {
    let from = CAR.find(header).expect("the header");
    let len = CAR[from + 1..].find("\n[").expect("another header") + 2;
    &CAR[from..from + len]
}

#[test]
fn a_header_in_the_wrong_place_is_told_with_where_it_belongs() {
    let without = edited(CAR, "[parts]\n", "");
    let high = edited(&without, "front = {", "[parts]\nfront = {");
    told(
        "too high",
        &high,
        29,
        &[
            "the header `[parts]` stands too high: `front` on line 30",
            "up to line 31 belongs to `[like]`",
            "down below line 31",
        ],
    );
    let low = edited(&without, "\"hose RR\" = {", "[parts]\n\"hose RR\" = {");
    told(
        "too low",
        &low,
        35,
        &[
            "the header `[parts]` stands too low: `line RR` on line 31",
            "move the line `[parts]` from line 35 up above line 31",
        ],
    );

    let parts = block("[parts]");
    let split = edited(&edited(CAR, parts, ""), "front = {", &format!("{parts}front = {{"));
    told(
        "parts among the templates",
        &split,
        29,
        &["the block `[parts]` splits `[like]`", "`front`, belongs to `[like]`"],
    );
    let like = block("[like]");
    let split = edited(&edited(CAR, like, ""), "temperature =", &format!("{like}temperature ="));
    told(
        "templates in the vehicle",
        &split,
        9,
        &["the block `[like]` splits `[vehicle]`", "`temperature`, belongs to `[vehicle]`"],
    );
    let clear = block("[clear_hose]");
    let master = block("[master_cylinder]");
    let split = edited(&edited(CAR, master, ""), "max = ", &format!("{master}max = "));
    told(
        "the master cylinder in the reservoir",
        &split,
        21,
        &["the block `[master_cylinder]` splits `[reservoir]`"],
    );
    let split = edited(&edited(CAR, clear, ""), "RR = { like", &format!("{clear}RR = {{ like"));
    told(
        "the clear hose among the parts",
        &split,
        40,
        &["the block `[clear_hose]` splits `[parts]`"],
    );
}

#[test]
fn a_file_cut_off_in_its_last_table_says_so() {
    let open = CAR.find("open = [").expect("the order");
    let cut = "the file ends here, in the middle of an entry";
    told("in a list", &CAR[..open + 14], 57, &[cut, "`[procedure]` needs `until` too"]);
    told("in a key", &CAR[..open + 3], 57, &[cut, "`[procedure]` needs `open` and `until` too"]);
    let until = CAR.find("until = ").expect("the rule");
    told("in a text", &CAR[..until + 11], 58, &[cut, "or finish this line"]);
    // A whole line without quotes is no end of a file.
    let bare = format!("{}until = clean", &CAR[..until]);
    told("without quotes", &bare, 58, &["`clean` stands without double quotes"]);
}
