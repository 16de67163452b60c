const REAR: &str =
    "rear = { kind = \"caliper\", new_pads = \"5 mL ± 1 mL\", worn_pads = \"19 mL ± 2 mL\" }";
const LF: &str = "LF = { like = \"front\", from = \"hose LF\" }";

pub const CASES: &[Case] = &[
    // Words that leave open which is meant.
    ("a grade without its number", "grade = \"DOT 3\"\nwater", "grade = \"DOT\"\nwater", 13, &["there is no grade \"DOT\"; grades: `DOT 3`, `DOT 4`, `DOT 5.1`"]),
    ("a wheel that may be two", "open = [\"RR\", \"LR\"", "open = [\"RR\", \"LX\"", 57, &["did you mean `LF` or `LR`?"]),
    // A key under another name hides the one that is missing.
    ("a misspelt key of a template", "new_pads = \"5 mL", "new_pad = \"5 mL", 30, &["no key `new_pad`", "did you mean `new_pads`?"]),
    ("another key in a template", "new_pads = \"5 mL", "length = \"5 mL", 30, &["has no key `length`, and `new_pads` is missing", "should `length` be `new_pads`?"]),
    ("a key that a template lacks", "rear = { kind = \"caliper\", new_pads = \"5 mL ± 1 mL\", ", "rear = { kind = \"caliper\", ", 30, &["the template `rear` lacks `new_pads`, and so do the parts like it", "add `new_pads = "]),
    ("another key in a table", "volume = \"12 mL", "setup = \"12 mL", 25, &["no key `setup`, and `volume` is missing"]),
    ("another key in a supply", "loaded = \"1 L\"", "brim = \"1 L\"", 46, &["no key `brim`, and `loaded` is missing"]),
    ("another key for the joint", LF, "LF = { like = \"front\", length = \"hose LF\" }", 43, &["should `length` be `from`?"]),
    ("another key for the template", LF, "LF = { bore = \"front\", from = \"hose LF\" }", 43, &["should it be `like = \"front\"`?"]),
    ("another key for the kind of a template", "tube = { kind", "tube = { from", 28, &["should it be `kind = \"line\"`?"]),
    ("another key for the kind of a supply", "gravity = { kind", "gravity = { until", 47, &["should it be `kind = \"gravity\"`?"]),
    ("another key for a length", "length = \"4 m ± 5 %\"", "bends = \"4 m ± 5 %\"", 33, &["and `length` is missing", "should `bends` be `length`?"]),
    ("another template", "\"line RF\" = { like = \"tube\"", "\"line RF\" = { like = \"front\"", 34, &["is like `front`, a caliper, which has no key `length`", "should it be like `tube`?"]),
    ("another kind than the name says", "\"hose LF\" = { kind = \"hose\"", "\"hose LF\" = { kind = \"tube\"", 39, &["should it be of kind \"hose\", as its name says?"]),
    ("a misspelt compartment", "compartment", "compartmnet", 18, &["did you mean `compartment`?"]),
    ("one figure against two", "brim = \"270 mL\"", "brim = \"27 mL\"", 21, &["`max` (200 mL) is not below `brim` (27 mL, line 22)"]),
    // A character in a name.
    ("a typographic quote in a key", "\"line LR\" = { like", "\"line LR\" = { li“ke", 33, &["a typographic quote, “, stands in the middle of the name `li“ke`", "write like = …"]),
    ("a tab in a key", "temperature", "temperatu\tre", 9, &["a tab stands in the middle", "write temperature = …"]),
    ("a double quote in a key", "\"line LR\" = { like", "\"line LR\" = { li\"ke", 33, &["a double quote stands in the middle of the name `li\"ke`"]),
    ("a letter of another alphabet in a header", "[vehicle]", "[vehßicle]", 6, &["write `[vehicle]`"]),
    ("a comma in a header", "[clear_hose]", "[clear,_hose]", 51, &["a comma stands in the middle", "write `[clear_hose]`"]),
    ("a point in a key", "gauge_limit", "gauge._limit", 11, &["a point stands in the middle of the name: write `gauge_limit`"]),
    ("a semicolon behind a key", "steering =", "steering; =", 7, &["a semicolon stands beside the name `steering;`", "write steering = …"]),
    // A quote or a bracket that is missing.
    ("the quote behind a text", "from = \"hose LF\"", "from = \"hose LF", 43, &["missing on this line, behind `hose LF`", "write \"hose LF\""]),
    ("the quote before a text", "length = \"4 m", "length = 4 m", 33, &["before `4 m ± 5 %`", "write \"4 m ± 5 %\""]),
    ("the quote in a list", "open = [\"RR\"", "open = [\"RR", 57, &["behind `RR`"]),
    ("the quote behind a name", "\"hose RR\" =", "\"hose RR =", 36, &["behind `hose RR`"]),
    ("the brace of an entry", "\"hose RR\" = { kind", "\"hose RR\" = kind", 36, &["put { before `kind`"]),
    ("the brace at the end", "from = \"line RR\" }", "from = \"line RR\"", 36, &["put } at the end of the line"]),
    ("the brace of a step", "before = [{ re_pump", "before = [ re_pump", 56, &["put { before `re_pump`"]),
    ("the bracket of a list", "open = [\"RR\"", "open = \"RR\"", 57, &["put [ before \"RR\""]),
    ("a brace too many", "from = \"line RR\" }", "from = \"line RR\" }}", 36, &["the bracket } was never opened; delete this }"]),
    ("a quote too many", "\"hose RR\" =", "\"ho\"se RR\" =", 36, &["a double quote too many on this line; delete this one"]),
    ("a mark in a list", "open = [\"RR\",", "open = [\"RR\",\\", 57, &["the character `\\` stands here, where it means nothing"]),
    ("a colon behind a name", "\"hose RR\" =", "\"hose RR\" :=", 36, &["a colon stands here, where it means nothing"]),
    ("a list in a list that does not end", "open = [\"RR\", \"LR\"", "open = [[\"RR\", \"LR\"", 57, &["the bracket [ that opens here is never closed", "or where it ends below"]),
    ("a remark that hides a bracket", "rear = { kind", "rear = { #kind", 30, &["the # here makes a remark of all behind it", "delete the #"]),
    ("a letter behind a quote", "\"LF\"]", "\"L\"F]", 57, &["`F` stands behind the double quote that closes the text"]),
    // Headers and templates.
    ("a template deleted", REAR, "", 40, &["add `rear`, with its kind and keys, below `[like]` (line 27)", "`tube`, `front`"]),
    ("a kind for a template", LF, "LF = { like = \"caliper\", from = \"hose LF\" }", 43, &["that is a kind: write `kind = \"caliper\"`"]),
    ("a header twice", "[vehicle]\n", "[vehicle]\n[vehicle]\n", 7, &["`[vehicle]` stands twice (first on line 6)", "delete this header"]),
    ("a key twice", "split = \"X\"\n", "split = \"X\"\nsplit = \"X\"\n", 9, &["(first on line 8)", "delete this line"]),
    ("a key twice with two values", "split = \"X\"\n", "split = \"X\"\nsplit = \"II\"\n", 9, &["delete this line, or line 8: whichever is wrong"]),
    ("a part twice", LF, "LF = { like = \"front\", from = \"hose LF\" }\nLF = { like = \"front\", from = \"hose LF\" }", 44, &["delete this line; or give one of the two another name"]),
    ("a key twice in an entry", LF, "LF = { from = \"front\", from = \"hose LF\" }", 43, &["should one of the two be `like` or `kind`, which is missing here?"]),
    ("another key in the procedure", "until = ", "new_pads = ", 58, &["has no key `new_pads`, and `until` is missing", "should `new_pads` be `until`?"]),
    // References.
    ("chambers of other names", "chambers = [\"primary\", \"secondary\"]", "chambers = [\"a\", \"b\"]", 24, &["no part starts from `a` or `b`, and `primary` or `secondary`", "(first on line 32)"]),
    ("a hose that starts from its caliper", "\"hose LF\" = { kind = \"hose\", from = \"line LF\" }", "\"hose LF\" = { kind = \"hose\", from = \"LF\" }", 39, &["start from one another in a ring", "nothing starts from `line LF` so far"]),
    ("a hose deleted", "\"hose LF\" = { kind = \"hose\", from = \"line LF\" }\n", "", 42, &["add `hose LF` to `[parts]`", "`line LF` on line 35"]),
    ("a kind for a part", "like = \"tube\", from = \"primary\", length = \"4 m", "like = \"tube\", from = \"hose\", length = \"4 m", 33, &["`hose` is a kind", "`primary`, `secondary`"]),
    ("a part under the name of a chamber", "\"line RR\" = {", "primary = {", 32, &["already the name of a chamber of the master cylinder (line 24)"]),
    // Kinds and templates.
    ("a kind with an adjective", "\"hose LF\" = { kind = \"hose\"", "\"hose LF\" = { kind = \"rubber hose\"", 39, &["did you mean `hose`?"]),
    ("a template like a kind", "tube = { kind", "tube = { like", 28, &["write `kind` instead of `like`"]),
    ("a template with a kind that is like something", "worn_pads = \"49", "like = \"49", 29, &["delete it, or write the key that is meant"]),
    ("a supply of a part's kind", "kind = \"vacuum\"", "kind = \"line\"", 48, &["there is no kind \"line\"; kinds: `pressure bleeder`"]),
    // Quantities.
    ("a mark within a unit", "length = \"1.8 m ± 5 %\"", "length = \"1.8 m “± 5 %\"", 34, &["`“` stands in the unit", "write `m`"]),
    ("a space within a number", "length = \"1.8 m", "length = \"1 8 m", 34, &["has a space in its number", "write what is meant: \"18 m\" or \"1.8 m\""]),
    ("a space behind a point", "length = \"1.8 m", "length = \"1.8 5 m", 34, &["write the number without it: \"1.85 m\""]),
    ("two signs", "length = \"1.8 m ± 5 %\"", "length = \"1.8 m ±± 5 %\"", 34, &["more than one ±"]),
    ("no number behind the sign", "length = \"1.8 m ± 5 %\"", "length = \"1.8 m ± %\"", 34, &["no number stands behind the ±"]),
];
