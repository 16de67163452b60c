//! Scenarios far larger than any vehicle, and what running them takes.

use super::child::{Run, command};
use std::fs;
use std::path::Path;
use std::process::Stdio;
use std::time::{Duration, Instant};

/// What a scenario is made of.
#[derive(Clone, Copy)]
pub struct Large {
    /// Chambers of the master cylinder, and outlets of the reservoir.
    pub chambers: usize,
    /// Bleeders, each behind its line on the chambers in turn.
    pub bleeders: usize,
    /// Lines in a row that each chamber's bleeders share, a tee between two.
    pub shared: usize,
    /// The rest of `[procedure]` after the bleeders in their order.
    pub procedure: &'static str,
    /// Whether all are opened together.
    pub together: bool,
}

impl Large {
    /// Parts that it has.
    pub fn parts(&self) -> usize {
        self.chambers * 2 * self.shared + 2 * self.bleeders
    }

    /// As a scenario file.
    pub fn text(&self) -> String {
        let chamber = |i: usize| format!("chamber {i}");
        let list = |names: &[String]| format!("[\"{}\"]", names.join("\", \""));
        let names: Vec<String> = (0..self.chambers).map(chamber).collect();
        let mut text = format!(
            "title = \"Large\"\n[old_fluid]\ngrade = \"DOT 4\"\n[new_fluid]\ngrade = \"DOT 4\"\n\
             [reservoir]\nlevel = \"1 L\"\nmin = \"0.5 L\"\nmax = \"2 L\"\nbrim = \"3 L\"\n\
             compartment = \"20 mL\"\n[master_cylinder]\nchambers = {}\nvolume = \"5 mL\"\n\
             [supplies]\ngravity = {{ kind = \"gravity\" }}\n[parts]\n",
            list(&names)
        );
        for (c, name) in names.iter().enumerate() {
            let mut from = name.clone();
            for i in 0..self.shared {
                let (line, tee) = (format!("line {c} {i}"), format!("tee {c} {i}"));
                text += &format!(
                    "\"{line}\" = {{ kind = \"line\", from = \"{from}\", length = \"0.2 m\" }}\n"
                );
                text += &format!("\"{tee}\" = {{ kind = \"tee\", from = \"{line}\" }}\n");
                from = tee;
            }
        }
        let bleeders: Vec<String> = (0..self.bleeders).map(|b| format!("bleeder {b}")).collect();
        for (b, name) in bleeders.iter().enumerate() {
            let (c, round) = (b % self.chambers, b / self.chambers);
            // The first sits at the end of the shared lines, the others along them.
            let from = match self.shared {
                0 => chamber(c),
                shared => format!("tee {c} {}", shared - 1 - round % shared),
            };
            text += &format!(
                "\"own {b}\" = {{ kind = \"line\", from = \"{from}\", length = \"1 m\" }}\n"
            );
            text += &format!(
                "\"{name}\" = {{ kind = \"caliper\", from = \"own {b}\", new_pads = \"8 mL\" }}\n"
            );
        }
        let open = if self.together { format!("[{}]", list(&bleeders)) } else { list(&bleeders) };
        text += &format!("[procedure]\nopen = {open}\n{}\n", self.procedure);
        text
    }

    /// Writes it into a directory.
    pub fn write(&self, path: &Path) {
        fs::write(path, self.text()).expect("a scenario");
    }
}

/// What a run took beside its ending.
pub struct Taken {
    pub run: Run,
    pub time: Duration,
    /// Most memory that was resident at a time, MB; `None` where the system does not tell.
    pub peak_mb: Option<f64>,
}

/// Runs the program and watches its memory.
pub fn watched(dir: &Path, arguments: &[&str]) -> Taken {
    let began = Instant::now();
    let child = command(dir)
        .args(arguments)
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("it starts");
    let status = format!("/proc/{}/status", child.id());
    let watcher = std::thread::spawn(move || {
        // The mark only rises: the last one read before the end is the peak but for a few milliseconds.
        let mut peak = None;
        loop {
            let text = fs::read_to_string(&status).unwrap_or_default();
            let Some(line) = text.lines().find(|l| l.starts_with("VmHWM:")) else { return peak };
            let kb = line.split_whitespace().nth(1).and_then(|n| n.parse::<f64>().ok());
            peak = kb.map(|kb| kb / 1e3);
            std::thread::sleep(Duration::from_millis(5));
        }
    });
    let run = child.wait_with_output().expect("its ending").into();
    Taken { run, time: began.elapsed(), peak_mb: watcher.join().expect("the watcher") }
}
