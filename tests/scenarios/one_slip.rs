//! One slip in a file brings one message, which stands where the slip is and says what to write instead.

use farwheel::scenario::Mistakes;

const CAR: &str = include_str!("../../scenarios/compact-hatchback.toml");

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

mod cases {
    use super::Case;
    include!("one_slip_cases.rs");
}

#[test]
fn one_slip_brings_one_message() {
    for (name, find, replace, line, words) in cases::CASES {
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
    let above = edited(&edited(CAR, clear, ""), "title =", &format!("{clear}title ="));
    told(
        "a table above the title",
        &above,
        4,
        &["`title` stands in `[clear_hose]`", "belongs above all headers"],
    );
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

/// A list over several lines, one of whose texts lacks its quote.
#[test]
fn a_quote_lost_in_a_long_list_is_named() {
    let text = edited(
        CAR,
        "open = [\"RR\", \"LR\", \"RF\", \"LF\"]",
        "open = [\n  \"RR\", \"LR,\n  \"RF\", \"LF\",\n]",
    );
    told("in a list", &text, 58, &["missing on this line, behind `LR`", "write \"LR\""]);
}

/// An outlet under another name than the part that starts from it says.
#[test]
fn an_outlet_misspelt_is_told_once() {
    let outlets = "outlets = [\"primary\", \"secondary\", \"clutch oulet\"]\ncompartment =";
    let clutch = "\"feed hose\" = { kind = \"hose\", from = \"clutch outlet\", length = \"0.3 m\" }\n\"clutch\" = { kind = \"chamber\", volume = \"5 mL\", from = \"feed hose\" }\n\n[supplies]";
    let text = edited(&edited(CAR, "compartment =", outlets), "[supplies]", clutch);
    told(
        "an outlet",
        &text,
        46,
        &["no part or chamber `clutch outlet`", "did you mean `clutch oulet` of line 18?"],
    );
}
