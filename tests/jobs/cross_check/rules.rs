//! Jobs in which the rules bind: when it counts as clean, what pockets trade, how lines run on.

use super::cars::HATCHBACK;

/// The hatchback whose reservoir is emptied first.
pub const SYRINGED: &str = include_str!("../../../scenarios/compact-hatchback-syringed.toml");
const ROADSTER: &str = include_str!("../../../scenarios/roadster-gravity.toml");
const COUPE: &str = include_str!("../../../scenarios/coupe-twin-bleeders.toml");

/// What a job shows, its scenario, its supply.
pub type Job = (String, String, &'static str);

/// A motorcycle.
pub const MOTORCYCLE: &str = include_str!("../../../scenarios/motorcycle-front.toml");

const LINE_RR: &str =
    "\"line RR\" = { like = \"tube\", from = \"secondary\", length = \"5 m ± 5 %\" }";
const NEW_HOSE: (&str, &str) = (
    "\"hose RR\" = { kind = \"hose\", from = \"line RR\" }",
    "\"hose RR\" = { kind = \"hose\", from = \"line RR\", old_fraction = 0 }",
);
const BY_EYE: &str = "until = \"clean\"";
const OF_THE_EYE: &str = "threshold = \"20 % ± 10 %\"";
/// Its supply.
pub const BLEEDER: &str = "pressure bleeder";

/// A text with one place of it otherwise.
pub fn with(text: &str, was: &str, is: &str) -> String {
    assert!(text.contains(was), "no {was} in the scenario");
    text.replacen(was, is, 1)
}

/// The hatchback with other stop rules, and with other words in its clear hose.
fn eyes() -> Vec<Job> {
    let job = |what: &str, text: String| {
        // Enough for any eye.
        (
            format!("hatchback, {what}"),
            with(&text, "loaded = \"1 L\"", "loaded = \"3 L\", shell = \"9 L\""),
            BLEEDER,
        )
    };
    let until = |base: &str, rule: &str| with(base, BY_EYE, &format!("until = \"{rule}\""));
    let hose = |keys: &str| with(HATCHBACK, OF_THE_EYE, keys);
    let second = |keys: &str| with(&hose(keys), "[procedure]", "[procedure]\npasses = 2");
    vec![
        job("hold 0", until(HATCHBACK, "clean, hold 0 mL")),
        job("syringed, hold 0", until(SYRINGED, "clean, hold 0 mL")),
        job("an eye of 75 %", until(HATCHBACK, "clean below 75 %")),
        job("an eye of 13 %", until(HATCHBACK, "clean below 13 %")),
        job("syringed, an eye of 13 %", until(SYRINGED, "clean below 13 %")),
        job("watched 300 mm, hold 1 mL", hose("watched = \"300 mm\"\nhold = \"1 mL\"")),
        job("watched 3 m, hold 10 mL", hose("watched = \"3 m\"\nhold = \"10 mL\"")),
        job("watched 3 m", hose("watched = \"3 m\"")),
        job("a hose that holds old fluid", hose("filling = \"old\"\nhold = \"0 mL\"")),
        job("a second pass", second(OF_THE_EYE)),
        job("a second pass, a look of 20 s", second("least_look = \"20 s\"")),
        job("a second pass, no look, hold 0", second("least_look = \"0 s\"\nhold = \"0 mL\"")),
        job("at least 100 mL", until(HATCHBACK, "clean, hold 5 mL, at least 100 mL")),
        job("at most 60 mL", until(HATCHBACK, "clean, at most 60 mL")),
    ]
}

/// The roadster and the coupe: dirt that comes round a tee, or from the other half of a caliper.
fn peaks() -> Vec<Job> {
    let by = |percent: u32, first: &str| {
        let rule = format!("\"clean below {percent} %\"");
        let rules = format!("until = [\"{first}\", {rule}, {rule}, {rule}, {rule}]");
        let was = "until = [\"42 mL\", \"clean\", \"clean\", \"clean\", \"clean\"]";
        let what = format!("roadster, {first} and then an eye of {percent} %");
        (what, with(ROADSTER, was, &rules), "gravity")
    };
    let twin = |rule: &str| {
        let text = with(COUPE, BY_EYE, &format!("until = \"{rule}\""));
        (format!("coupe, {rule}"), text, BLEEDER)
    };
    vec![
        by(16, "40 mL"),
        by(18, "40 mL"),
        by(24, "40 mL"),
        by(20, "30 mL"),
        by(20, "60 mL"),
        twin("clean below 13 %"),
        twin("clean below 40 %"),
        twin("clean, hold 0 mL"),
    ]
}

/// A caliper that was renewed, behind a line that is new but for a plug of old fluid in the middle.
fn plugs() -> Vec<Job> {
    let parts = r#""line RR a" = { like = "tube", from = "secondary", length = "2 m", old_fraction = 0, bends = 2 }
"line RR b" = { like = "tube", from = "line RR a", length = "1 m", bends = 0, old_fraction = OLD }
"line RR" = { like = "tube", from = "line RR b", length = "2 m", old_fraction = 0, bends = 3 }"#;
    let job = |old: &str, rule: &str, hose: &str| {
        let text = with(SYRINGED, LINE_RR, &parts.replace("OLD", old));
        let text = with(&text, NEW_HOSE.0, NEW_HOSE.1);
        let caliper = "RR = { like = \"rear\", from = \"hose RR\"";
        let text = with(&text, caliper, &format!("{caliper}, old_fraction = 0"));
        let text = with(&text, BY_EYE, &format!("until = \"{rule}\""));
        let text = with(&text, "[clear_hose]", &format!("[clear_hose]\n{hose}"));
        (format!("a plug of {old} in a line, {rule}, {hose}"), text, BLEEDER)
    };
    // Closed before the plug comes, all before it clean: the pieces of the line count as one.
    let order = "open = [\"RR\", \"LR\", \"RF\", \"LF\"]";
    let (name, early, supply) = job("0.9", "clean", "");
    let early = with(&early, order, "open = [\"LF\", \"RR\"]");
    let early = with(&early, BY_EYE, "until = [\"clean\", \"8 mL\"]");
    vec![
        (format!("{name}closed early"), early, supply),
        job("1", "clean", ""),
        job("0.5", "clean", ""),
        job("1", "clean below 10 %", ""),
        job("1", "clean below 60 %", ""),
        job("1", "clean, hold 2 mL", ""),
        // Clean at first, and dirty as the bleeder is closed.
        job("1", "26 mL", "hold = \"0 mL\""),
    ]
}

/// All new but for the reservoir and the master cylinder: it is seen late, and hardly dirtier than what counts.
fn reservoirs() -> Vec<Job> {
    let car = |old: &str, rule: &str, hose: &str| {
        let text = HATCHBACK
            .replace("kind = \"line\"", "kind = \"line\", old_fraction = 0")
            .replace("kind = \"hose\"", "kind = \"hose\", old_fraction = 0")
            .replace("kind = \"caliper\"", "kind = \"caliper\", old_fraction = 0");
        let text = with(&text, "[reservoir]", &format!("[reservoir]\nold_fraction = {old}"));
        let text = with(&text, "[clear_hose]", &format!("[clear_hose]\n{hose}"));
        let text = with(&text, BY_EYE, &format!("until = \"{rule}\""));
        (format!("a reservoir of {old} before new lines, {rule}, {hose}"), text, BLEEDER)
    };
    let mut jobs = vec![
        car("0.15", "clean, hold 0 mL", "least_look = \"0 s\""),
        // The master cylinder's fluid comes as a plug that stays lighter than what counts, or is lost in the mean.
        car("0.15", "clean below 60 %", ""),
        car("0", "clean below 60 %", ""),
        car("0.15", "clean", "watched = \"2 m\""),
        car("0.15", "clean below 60 %", "filling = \"old\""),
    ];
    for (percent, old) in
        [(10, "0.3"), (20, "0.3"), (25, "0.3"), (20, "0.15"), (35, "0.6"), (55, "0.9")]
    {
        jobs.push(car(old, &format!("clean below {percent} %"), ""));
    }
    jobs
}

/// Pockets of the master cylinder, of calipers by the clock, and of the first half of a caliper.
fn pockets() -> Vec<Job> {
    let master = |text: &str, keys: &str| {
        with(text, "[master_cylinder]", &format!("[master_cylinder]\n{keys}"))
    };
    let job = |name: &str, text: String| (format!("a pocket: {name}"), text, BLEEDER);
    let rear = "rear = { kind = \"caliper\"";
    let clocked =
        format!("{rear}, pocket = \"25 %\", pocket_exchange = \"2 %\", pocket_time = \"60 s\"");
    let halves = "pocket = \"30 %\", pocket_exchange = \"1 %\"";
    let twins = COUPE.replace(
        "kind = \"two-bleeder caliper\"",
        &format!("kind = \"two-bleeder caliper\", {halves}"),
    );
    let lever = "pocket = \"30 %\"\npocket_exchange = \"2 %\"\npocket_time = \"90 s\"";
    vec![
        job("30 %, 10 %", master(HATCHBACK, "pocket = \"30 %\"\npocket_exchange = \"10 %\"")),
        job("30 %, 5 %", master(HATCHBACK, "pocket = \"30 %\"\npocket_exchange = \"5 %\"")),
        job("50 %, 1 %", master(SYRINGED, "pocket = \"50 %\"\npocket_exchange = \"1 %\"")),
        // The other circuit's chamber goes on trading while it is off the way that is open.
        job("30 %, 2 %, by the clock", master(HATCHBACK, lever)),
        job("in rear calipers, by the clock", with(HATCHBACK, rear, &clocked)),
        job("in halves of calipers", twins),
        ("a lever with a pocket by the clock".to_owned(), master(MOTORCYCLE, lever), "gravity"),
    ]
}

/// The far line of the syringed hatchback in pieces, lines of other bores, a hose in pieces, a shared line.
fn pieces() -> Vec<Job> {
    let piece = |name: &str, from: &str, length: &str, keys: &str| {
        format!(
            "\"{name}\" = {{ like = \"tube\", from = \"{from}\", length = \"{length}\"{keys} }}\n"
        )
    };
    let row = |count: u32, first: &str, joint: &str| {
        let begin = piece("a", "secondary", "1.7 m", first);
        begin
            + &match count {
                2 => piece("line RR", "a", "3.3 m", joint),
                _ => piece("b", "a", "0.9 m", joint) + &piece("line RR", "b", "2.4 m", joint),
            }
    };
    let job = |what: String, text: String| (format!("pieces: {what}"), text, BLEEDER);
    let mut jobs = vec![];
    for joint in ["", ", joint_remix = \"50 %\"", ", joint_remix = \"100 %\""] {
        for (count, bends) in [(2, 0), (3, 0), (2, 3), (3, 3)] {
            let bends = format!(", bends = {bends}");
            let keys = format!("{bends}{joint}");
            let text = with(SYRINGED, LINE_RR, &row(count, &bends, &keys));
            jobs.push(job(format!("{count}{keys}"), text));
        }
    }
    for bore in ["3.4 mm", "3.6 mm"] {
        let keys = format!(", bends = 2, bore = \"{bore}\"");
        jobs.push(job(format!("2{keys}"), with(SYRINGED, LINE_RR, &row(2, ", bends = 2", &keys))));
    }
    let hose = "hose = { kind = \"hose\", from = \"line RR\", length = \"20 cm\" }\n";
    let text = with(
        SYRINGED,
        "\"hose RR\" = { kind = \"hose\", from = \"line RR\" }",
        &format!("{hose}\"hose RR\" = {{ kind = \"hose\", from = \"hose\", length = \"15 cm\" }}"),
    );
    jobs.push(job("a hose".to_owned(), text));
    let floor =
        "\"floor line\" = { like = \"tube\", from = \"secondary\", length = \"3 m ± 5 %\" }";
    for keys in ["", ", joint_remix = \"30 %\""] {
        let two = piece("a", "secondary", "1 m", "") + &piece("floor line", "a", "2 m", keys);
        let (what, text) = (format!("pieces: a shared line{keys}"), with(ROADSTER, floor, &two));
        jobs.push((what, text, "gravity"));
    }
    jobs
}

/// The cap comes off in mid-job.
fn syringes() -> Vec<Job> {
    let steps = r#"steps = [{ open = "RR", until = "80 mL" }, { syringe = "90 mL" }, { top_up = "max" }, { open = "RR", until = "clean" },
{ set_level = "150 mL" }, { open = "LR", until = "clean" }, { re_pump = "15 psi" }, { open = "RF", until = "clean" }]"#;
    let (before, _) = HATCHBACK.split_once("before = ").expect("steps");
    vec![("a syringe in mid-job".to_owned(), format!("{before}{steps}\n"), BLEEDER)]
}

/// All of them.
pub fn jobs() -> Vec<Job> {
    [eyes(), peaks(), plugs(), reservoirs(), pockets(), pieces(), syringes()].concat()
}
