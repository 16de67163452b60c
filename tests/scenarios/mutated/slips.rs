//! Slips of a person, and damage to a file: small changes of a good scenario, drawn by a seed.

/// Numbers drawn by a seed (SplitMix64 by Steele, Lea and Flood, 2014; from memory).
pub struct Draw(u64);

impl Draw {
    pub fn new(seed: u64) -> Self {
        Self(seed)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// From 0 to one less than `n`.
    pub fn below(&mut self, n: usize) -> usize {
        usize::try_from(self.next() % n.max(1) as u64).expect("less than n")
    }

    pub fn one_of<'a, T>(&mut self, all: &'a [T]) -> Option<&'a T> {
        (!all.is_empty()).then(|| &all[self.below(all.len())])
    }
}

/// A kind of slip: its name, and what it makes of a scenario; `None` where it finds nothing to act on.
pub type Slip = (&'static str, fn(&str, &mut Draw) -> Option<String>);

pub const SLIPS: &[Slip] = &[
    ("character deleted", character_deleted),
    ("character doubled", character_doubled),
    ("characters swapped", characters_swapped),
    ("character put in", character_put_in),
    ("line deleted", line_deleted),
    ("line doubled", line_doubled),
    ("quote lost", |t, d| lost(t, d, &['"'])),
    ("bracket lost", |t, d| lost(t, d, &['[', ']', '{', '}'])),
    ("comma or equals sign lost", |t, d| lost(t, d, &[',', '='])),
    ("value of another key", value_of_another),
    ("unit dropped", unit_dropped),
    ("unit changed", unit_changed),
    ("key misspelt", key_misspelt),
    ("key of another table", key_of_another),
    ("header lost", header_lost),
    ("header misspelt", header_misspelt),
    ("name changed in one place", name_changed),
    ("name swapped for another", name_swapped),
    ("number ten times", |t, d| number(t, d, |x| 10.0 * x)),
    ("number a thousandth", |t, d| number(t, d, |x| x / 1000.0)),
    ("number negative", |t, d| number(t, d, |x| -x)),
    ("comma for point", comma_for_point),
    ("quotes left out", quotes_left_out),
    ("table moved", table_moved),
    ("word of the trade", word_of_the_trade),
    ("cut off", cut_off),
    ("nonsense value", nonsense_value),
];

/// Bytes at which characters begin.
fn starts(text: &str) -> Vec<usize> {
    text.char_indices().map(|(i, _)| i).collect()
}

fn without(text: &str, at: usize, c: char) -> String {
    format!("{}{}", &text[..at], &text[at + c.len_utf8()..])
}

fn replaced(text: &str, from: usize, to: usize, by: &str) -> String {
    format!("{}{by}{}", &text[..from], &text[to..])
}

fn character(text: &str, draw: &mut Draw) -> Option<(usize, char)> {
    let at = *draw.one_of(&starts(text))?;
    text[at..].chars().next().map(|c| (at, c))
}

fn character_deleted(text: &str, draw: &mut Draw) -> Option<String> {
    let (at, c) = character(text, draw)?;
    Some(without(text, at, c))
}

fn character_doubled(text: &str, draw: &mut Draw) -> Option<String> {
    let (at, c) = character(text, draw)?;
    Some(replaced(text, at, at, &c.to_string()))
}

fn characters_swapped(text: &str, draw: &mut Draw) -> Option<String> {
    let (at, c) = character(text, draw)?;
    let after = text[at + c.len_utf8()..].chars().next()?;
    let both = [after, c].iter().collect::<String>();
    Some(replaced(text, at, at + c.len_utf8() + after.len_utf8(), &both))
}

fn character_put_in(text: &str, draw: &mut Draw) -> Option<String> {
    let (at, _) = character(text, draw)?;
    let c = *draw.one_of(&[
        'x', '3', ' ', '"', '\'', ',', '.', ';', ':', '=', '-', 'ß', '[', '}', '\\', '#', '“', '\t',
    ])?;
    Some(replaced(text, at, at, &c.to_string()))
}

/// Lines with something on them that is no remark: their bytes.
fn lines(text: &str) -> Vec<(usize, usize)> {
    let mut at = 0;
    let mut all = Vec::new();
    for line in text.split_inclusive('\n') {
        let bare = line.trim();
        if !bare.is_empty() && !bare.starts_with('#') {
            all.push((at, at + line.len()));
        }
        at += line.len();
    }
    all
}

fn line_deleted(text: &str, draw: &mut Draw) -> Option<String> {
    let (from, to) = *draw.one_of(&lines(text))?;
    Some(replaced(text, from, to, ""))
}

fn line_doubled(text: &str, draw: &mut Draw) -> Option<String> {
    let (from, to) = *draw.one_of(&lines(text))?;
    Some(replaced(text, to, to, &text[from..to]))
}

fn lost(text: &str, draw: &mut Draw, which: &[char]) -> Option<String> {
    let places: Vec<(usize, char)> =
        text.char_indices().filter(|(_, c)| which.contains(c)).collect();
    let (at, c) = *draw.one_of(&places)?;
    Some(without(text, at, c))
}

/// `key = value` pairs: bytes of the key and of the value.
fn pairs(text: &str) -> Vec<((usize, usize), (usize, usize))> {
    let mut all = Vec::new();
    for (equals, _) in text.match_indices(" = ") {
        let line = text[..equals].rfind('\n').map_or(0, |i| i + 1);
        if text[line..equals].trim_start().starts_with('#') {
            continue;
        }
        let key = text[..equals].rfind([' ', '\n', '{', ',']).map_or(0, |i| i + 1);
        let from = equals + 3;
        let rest = &text[from..];
        let first = rest.chars().next().unwrap_or('\n');
        let len = match first {
            '"' => rest[1..].find('"').map(|i| i + 2),
            '[' => rest.find(']').map(|i| i + 1),
            '{' => None,
            _ => rest.find([',', ' ', '\n', '}']),
        };
        if let Some(len) = len {
            all.push(((key, equals), (from, from + len)));
        }
    }
    all
}

fn value_of_another(text: &str, draw: &mut Draw) -> Option<String> {
    let all = pairs(text);
    let (_, (from, to)) = *draw.one_of(&all)?;
    let (_, (a, b)) = *draw.one_of(&all)?;
    Some(replaced(text, from, to, &text[a..b]))
}

/// Quantities in quotes: bytes of the number and of the unit (without the blank between them).
fn quantities(text: &str) -> Vec<((usize, usize), (usize, usize))> {
    let found = pairs(text).into_iter().filter_map(|(_, (from, to))| {
        let value = text[from..to].strip_prefix('"')?;
        let digits = value.find(|c: char| !(c.is_ascii_digit() || c == '.'))?;
        let unit = value[digits..].strip_prefix(' ')?;
        let ends = unit.find([' ', '"'])?;
        let number = (from + 1, from + 1 + digits);
        (digits > 0).then_some((number, (number.1 + 1, number.1 + 1 + ends)))
    });
    found.collect()
}

fn unit_dropped(text: &str, draw: &mut Draw) -> Option<String> {
    let (_, (from, to)) = *draw.one_of(&quantities(text))?;
    Some(replaced(text, from - 1, to, ""))
}

fn unit_changed(text: &str, draw: &mut Draw) -> Option<String> {
    let (_, (from, to)) = *draw.one_of(&quantities(text))?;
    let units = [
        "mm", "cm", "m", "in", "mL", "L", "oz", "qt", "psi", "bar", "kPa", "°C", "F", "s", "min",
        "h", "%", "km", "gal", "ccm", "m L",
    ];
    Some(replaced(text, from, to, draw.one_of(&units)?))
}

fn misspelt(word: &str, draw: &mut Draw) -> Option<String> {
    let (at, c) = character(word, draw)?;
    let mut new = without(word, at, c);
    if draw.below(2) == 0 {
        new.insert(at, *draw.one_of(&['a', 'e', 'l', 'r', 's', 't', '_'])?);
    }
    Some(new)
}

fn key_misspelt(text: &str, draw: &mut Draw) -> Option<String> {
    let ((from, to), _) = *draw.one_of(&pairs(text))?;
    Some(replaced(text, from, to, &misspelt(&text[from..to], draw)?))
}

fn key_of_another(text: &str, draw: &mut Draw) -> Option<String> {
    let all = pairs(text);
    let ((from, to), _) = *draw.one_of(&all)?;
    let ((a, b), _) = *draw.one_of(&all)?;
    Some(replaced(text, from, to, &text[a..b]))
}

fn headers(text: &str) -> Vec<(usize, usize)> {
    lines(text).into_iter().filter(|(from, _)| text[*from..].starts_with('[')).collect()
}

fn header_lost(text: &str, draw: &mut Draw) -> Option<String> {
    let (from, to) = *draw.one_of(&headers(text))?;
    Some(replaced(text, from, to, ""))
}

fn header_misspelt(text: &str, draw: &mut Draw) -> Option<String> {
    let (from, _) = *draw.one_of(&headers(text))?;
    let to = from + text[from..].find(']')?;
    Some(replaced(text, from + 1, to, &misspelt(&text[from + 1..to], draw)?))
}

/// Texts in quotes that stand in several places: names. Their bytes without the quotes.
fn names(text: &str) -> Vec<(usize, usize)> {
    let mut all = Vec::new();
    let mut at = 0;
    for line in text.split_inclusive('\n') {
        let code = if line.trim_start().starts_with('#') { "" } else { line };
        let quotes: Vec<usize> = code.match_indices('"').map(|(i, _)| at + i + 1).collect();
        all.extend(quotes.chunks_exact(2).map(|pair| (pair[0], pair[1] - 1)));
        at += line.len();
    }
    let twice = |(from, to): &(usize, usize)| {
        let name = &text[*from..*to];
        all.iter().filter(|(a, b)| &text[*a..*b] == name).count() > 1 && !name.contains(['±', '%'])
    };
    all.iter().copied().filter(twice).collect()
}

fn name_changed(text: &str, draw: &mut Draw) -> Option<String> {
    let (from, to) = *draw.one_of(&names(text))?;
    Some(replaced(text, from, to, &misspelt(&text[from..to], draw)?))
}

fn name_swapped(text: &str, draw: &mut Draw) -> Option<String> {
    let all = names(text);
    let (from, to) = *draw.one_of(&all)?;
    let (a, b) = *draw.one_of(&all)?;
    Some(replaced(text, from, to, &text[a..b]))
}

fn number(text: &str, draw: &mut Draw, change: fn(f64) -> f64) -> Option<String> {
    let ((from, to), _) = *draw.one_of(&quantities(text))?;
    let x: f64 = text[from..to].parse().ok()?;
    Some(replaced(text, from, to, &change(x).to_string()))
}

fn comma_for_point(text: &str, draw: &mut Draw) -> Option<String> {
    let bytes = text.as_bytes();
    let between = |i: usize| {
        i > 0
            && bytes[i] == b'.'
            && bytes[i - 1].is_ascii_digit()
            && bytes.get(i + 1).is_some_and(u8::is_ascii_digit)
    };
    let points: Vec<usize> = (0..bytes.len()).filter(|i| between(*i)).collect();
    let at = *draw.one_of(&points)?;
    Some(replaced(text, at, at + 1, ","))
}

fn quotes_left_out(text: &str, draw: &mut Draw) -> Option<String> {
    let quoted: Vec<_> = pairs(text)
        .into_iter()
        .map(|(_, value)| value)
        .filter(|(from, _)| text[*from..].starts_with('"'))
        .collect();
    let (from, to) = *draw.one_of(&quoted)?;
    Some(replaced(text, from, to, &text[from + 1..to - 1]))
}

fn table_moved(text: &str, draw: &mut Draw) -> Option<String> {
    let starts = headers(text);
    let i = draw.below(starts.len());
    let (from, _) = *starts.get(i)?;
    let to = starts.get(i + 1).map_or(text.len(), |(next, _)| *next);
    let rest = replaced(text, from, to, "");
    let (at, _) = *draw.one_of(&lines(&rest))?;
    Some(replaced(&rest, at, at, &text[from..to]))
}

/// What people write for a word of the file.
const WORDS: &[(&str, &[&str])] = &[
    ("\"caliper\"", &["\"disc\"", "\"brake caliper\"", "\"calipers\""]),
    ("\"wheel cylinder\"", &["\"drum\"", "\"wheel-cylinder\"", "\"slave cylinder\""]),
    ("\"hose\"", &["\"flexi hose\"", "\"Hose\"", "\"rubber hose\""]),
    ("\"line\"", &["\"pipe\"", "\"brake line\"", "\"steel\""]),
    ("\"tee\"", &["\"T\"", "\"t-piece\"", "\"splitter\""]),
    ("\"hydraulic modulator\"", &["\"abs\"", "\"HCU\"", "\"ABS unit\""]),
    ("\"DOT 4\"", &["\"DOT4\"", "\"dot-4\"", "\"4\"", "\"DOT\"", "\"DOT 4+\""]),
    ("\"DOT 3\"", &["\"Dot3\"", "\"3\"", "\"DOT 2\""]),
    ("\"left\"", &["\"LHD\"", "\"Left\"", "\"driver\""]),
    ("\"X\"", &["\"diagonal\"", "\"x\"", "\"dual\""]),
    ("\"II\"", &["\"front/rear\"", "\"2\""]),
    ("\"max\"", &["\"MAX\"", "\"brim\"", "\"full\""]),
    ("\"clean\"", &["\"Clean\"", "\"clear\"", "\"until clean\"", "\"clean at most 300 mL\""]),
    ("\"gravity\"", &["\"Gravity\"", "\"none\""]),
    ("\"vacuum\"", &["\"vacuum pump\"", "\"suction\""]),
];

fn word_of_the_trade(text: &str, draw: &mut Draw) -> Option<String> {
    let there: Vec<_> = WORDS.iter().filter(|(word, _)| text.contains(word)).collect();
    let (word, others) = draw.one_of(&there)?;
    let places: Vec<usize> = text.match_indices(word).map(|(i, _)| i).collect();
    let at = *draw.one_of(&places)?;
    Some(replaced(text, at, at + word.len(), draw.one_of(others)?))
}

fn cut_off(text: &str, draw: &mut Draw) -> Option<String> {
    let (at, _) = character(text, draw)?;
    Some(text[..at].to_owned())
}

fn nonsense_value(text: &str, draw: &mut Draw) -> Option<String> {
    let (_, (from, to)) = *draw.one_of(&pairs(text))?;
    let values = [
        "\"\"",
        "\"?\"",
        "0",
        "-1",
        "true",
        "[]",
        "{}",
        "1979-05-27",
        "nan",
        "\"none\"",
        "\"n/a\"",
        "[\"a\", \"b\"]",
        "\"1e99 m\"",
        "\"5 m ± 50 km\"",
    ];
    Some(replaced(text, from, to, draw.one_of(&values)?))
}

/// One scenario with a slip in it.
pub struct Mutant {
    pub scenario: &'static str,
    pub slip: &'static str,
    pub text: String,
    pub original: &'static str,
}

impl Mutant {
    /// The `number`-th of a seed.
    pub fn drawn(scenarios: &'static [(String, String)], seed: u64, number: u64) -> Self {
        let mut draw = Draw::new(seed.wrapping_mul(1_000_003).wrapping_add(number));
        loop {
            let (scenario, original) = draw.one_of(scenarios).expect("scenarios");
            let (slip, make) = *draw.one_of(SLIPS).expect("slips");
            match make(original, &mut draw) {
                Some(text) if text != *original => {
                    return Self { scenario, slip, text, original };
                }
                _ => {}
            }
        }
    }

    /// The first lines that differ, number, before and after.
    pub fn differing(&self) -> (usize, &str, &str) {
        let (a, b): (Vec<&str>, Vec<&str>) =
            (self.original.lines().collect(), self.text.lines().collect());
        let same = a.iter().zip(&b).take_while(|(a, b)| a == b).count();
        (same + 1, a.get(same).copied().unwrap_or(""), b.get(same).copied().unwrap_or(""))
    }
}
