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
