//! A scenario file as tables of lines, to be changed key by key.

/// Tables in order, each with its keys in order; the value as it stands in the file.
#[derive(Debug, Clone)]
pub struct Sheet(Vec<(String, Vec<(String, String)>)>);

impl Sheet {
    /// From a text with one key a line and every part and supply under a header of its own.
    pub fn new(text: &str) -> Self {
        let mut sheet = Self(vec![(String::new(), Vec::new())]);
        for line in text.lines().map(str::trim).filter(|l| !l.is_empty()) {
            if let Some(header) = line.strip_prefix('[') {
                sheet.0.push((header.trim_end_matches(']').to_owned(), Vec::new()));
            } else {
                let (key, value) = line.split_once(" = ").expect("key = value");
                let last = sheet.0.last_mut().expect("a table");
                last.1.push((key.to_owned(), value.to_owned()));
            }
        }
        sheet
    }

    /// Sets the key at `place`, table and key with a dot between; an empty value takes it away.
    pub fn set(&mut self, place: &str, value: &str) {
        let (table, key) = place.rsplit_once('.').unwrap_or(("", place));
        let i = self.0.iter().position(|t| t.0 == table).unwrap_or_else(|| {
            self.0.push((table.to_owned(), Vec::new()));
            self.0.len() - 1
        });
        let lines = &mut self.0[i].1;
        lines.retain(|(k, _)| k != key);
        if !value.is_empty() {
            lines.push((key.to_owned(), value.to_owned()));
        }
    }

    /// The value at a place.
    pub fn get(&self, table: &str, key: &str) -> Option<&str> {
        let lines = &self.0.iter().find(|t| t.0 == table)?.1;
        lines.iter().find(|(k, _)| k == key).map(|(_, v)| v.as_str())
    }

    /// The first table below `[parts]` or `[supplies]` that is of this kind.
    pub fn of_kind(&self, whose: &str, kind: &str) -> Option<&str> {
        let kind = format!("\"{kind}\"");
        let tables = self.0.iter().map(|t| t.0.as_str());
        tables.filter(|t| t.starts_with(whose)).find(|t| self.get(t, "kind") == Some(&kind))
    }

    /// Every place that holds a value, with the value, in order.
    pub fn entries(&self) -> impl Iterator<Item = (String, &str)> {
        self.0.iter().flat_map(|(table, lines)| {
            lines.iter().map(move |(key, value)| (joined(table, key), value.as_str()))
        })
    }

    /// As [`get`](Self::get), table and key with a dot between.
    pub fn at(&self, place: &str) -> Option<&str> {
        let (table, key) = place.rsplit_once('.').unwrap_or(("", place));
        self.get(table, key)
    }

    /// The file with every part and supply in a line of its own.
    pub fn text_of_inline_tables(&self) -> String {
        let mut heads: Vec<(&str, String)> = Vec::new();
        for (table, lines) in &self.0 {
            let pairs: Vec<String> = lines.iter().map(|(k, v)| format!("{k} = {v}")).collect();
            let (head, text) = match table.split_once('.') {
                None => (table.as_str(), pairs.join("\n")),
                Some((head, name)) => {
                    (head, format!("{name} = {{ {} }} # {name}", pairs.join(", ")))
                }
            };
            match heads.iter_mut().find(|(h, _)| *h == head) {
                Some((_, all)) => *all += &format!("{text}\n"),
                None if head.is_empty() => heads.push((head, format!("{text}\n"))),
                None => heads.push((head, format!("[{head}]\n{text}\n"))),
            }
        }
        heads.into_iter().map(|(_, text)| text).collect()
    }

    /// The file without a head, each key with the way to it.
    pub fn text_of_dotted_keys(&self) -> String {
        self.entries().map(|(place, value)| format!("{place} = {value}\n")).collect()
    }

    /// The file.
    pub fn text(&self) -> String {
        let mut text = String::new();
        for (table, lines) in &self.0 {
            if !table.is_empty() {
                text += &format!("[{table}]\n");
            }
            for (key, value) in lines {
                text += &format!("{key} = {value}\n");
            }
        }
        text
    }
}

fn joined(table: &str, key: &str) -> String {
    if table.is_empty() { key.to_owned() } else { format!("{table}.{key}") }
}
