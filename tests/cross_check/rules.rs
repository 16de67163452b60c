//! Jobs in which the rules bind: when it counts as clean, what pockets trade, how lines run on.

const HATCHBACK: &str = include_str!("../../scenarios/compact-hatchback.toml");
const SYRINGED: &str = include_str!("../../scenarios/compact-hatchback-syringed.toml");
const ROADSTER: &str = include_str!("../../scenarios/roadster-gravity.toml");
const COUPE: &str = include_str!("../../scenarios/coupe-twin-bleeders.toml");

/// What a job shows, its scenario, its supply.
pub type Job = (String, String, &'static str);

const BY_EYE: &str = "until = \"clean\"";
const OF_THE_EYE: &str = "threshold = \"20 % ± 10 %\"";
const BLEEDER: &str = "pressure bleeder";

/// A text with one place of it otherwise.
fn with(text: &str, was: &str, is: &str) -> String {
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
    let was = "\"line RR\" = { like = \"tube\", from = \"secondary\", length = \"5 m ± 5 %\" }";
    let job = |old: &str, rule: &str| {
        let text = with(SYRINGED, was, &parts.replace("OLD", old));
        let caliper = "RR = { like = \"rear\", from = \"hose RR\"";
        let text = with(&text, caliper, &format!("{caliper}, old_fraction = 0"));
        let text = with(&text, BY_EYE, &format!("until = \"{rule}\""));
        (format!("a plug of {old} in a line, {rule}"), text, BLEEDER)
    };
    vec![
        job("1", "clean"),
        job("0.5", "clean"),
        job("1", "clean below 10 %"),
        job("1", "clean, hold 2 mL"),
    ]
}

/// Pockets of the master cylinder, and of calipers by the clock.
fn pockets() -> Vec<Job> {
    let job = |keys: &str| {
        let text = with(HATCHBACK, "[master_cylinder]", &format!("[master_cylinder]\n{keys}"));
        (format!("hatchback, master cylinder with {keys}").replace('\n', ", "), text, BLEEDER)
    };
    let rear = "rear = { kind = \"caliper\"";
    let clocked =
        format!("{rear}, pocket = \"25 %\", pocket_exchange = \"2 %\", pocket_time = \"60 s\"");
    vec![
        job("pocket = \"30 %\"\npocket_exchange = \"10 %\""),
        job("pocket = \"30 %\""),
        job("pocket = \"30 %\"\npocket_exchange = \"2 %\"\npocket_time = \"90 s\""),
        (
            "hatchback, rear calipers by the clock".to_owned(),
            with(HATCHBACK, rear, &clocked),
            BLEEDER,
        ),
    ]
}

/// The far line of the syringed hatchback in pieces.
fn pieces() -> Vec<Job> {
    let mut jobs = vec![];
    for joint in ["", ", joint_remix = 0", ", joint_remix = 0.5", ", joint_remix = 1"] {
        for bends in [0, 3] {
            for (name, from, length) in
                [("line RR", "secondary", "5 m"), ("line LR", "primary", "4 m")]
            {
                let was = format!(
                    "\"{name}\" = {{ like = \"tube\", from = \"{from}\", length = \"{length} ± 5 %\" }}"
                );
                let piece = |name: &str, from: &str, length: &str, joint: &str| {
                    format!(
                        "\"{name}\" = {{ like = \"tube\", from = \"{from}\", length = \"{length}\", bends = {bends}{joint} }}\n"
                    )
                };
                let (a, b) = (format!("{name} a"), format!("{name} b"));
                let two = piece(&a, from, "1.7 m", "") + &piece(name, &a, "2.6 m", joint);
                let three = piece(&a, from, "1.7 m", "")
                    + &piece(&b, &a, "0.9 m", joint)
                    + &piece(name, &b, "2 m", joint);
                for (count, text) in [(2, two), (3, three)] {
                    let what = format!("{name} in {count} pieces with {bends} bends{joint}");
                    jobs.push((what, with(SYRINGED, &was, &text), BLEEDER));
                }
            }
        }
    }
    jobs
}

/// All of them.
pub fn jobs() -> Vec<Job> {
    [eyes(), peaks(), plugs(), pockets(), pieces()].concat()
}
