//! A whole job by Farwheel and by the reference, side by side.

use super::reference::ReferencePart;
use super::reference::whole::{Done, Flush, Opened};
use super::setting;
use farwheel::Scenario;
use farwheel::job::flush;
use farwheel::job::options::Options;
use farwheel::job::record::{Does, Record, WarningKind};
use std::path::{Path, PathBuf};

/// A figure here and there.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Figure {
    /// By Farwheel.
    pub ours: f64,
    /// By the reference.
    pub theirs: f64,
    /// What the reference says of its own error.
    pub their_error: f64,
    /// What Farwheel says of its own error, where it does.
    pub stated: Option<f64>,
}

impl Figure {
    /// Distance of the two.
    pub fn off(&self) -> f64 {
        (self.ours - self.theirs).abs()
    }

    /// Whether they are within a share or an absolute bound, whichever is larger.
    pub fn within(&self, share: f64, absolute: f64) -> bool {
        self.off() <= (share * self.theirs.abs()).max(absolute)
    }
}

/// One bleeder, opened once.
#[derive(Debug, Clone)]
pub struct Bleeder {
    /// Its name.
    pub name: String,
    /// Millilitres to clean; `None` where neither found it clean for long enough.
    pub clean_at_ml: Option<Figure>,
    /// Millilitres until it was closed.
    pub drained_ml: Figure,
    /// Seconds for which it was open.
    pub seconds: Figure,
    /// For how long clean had to last, as it stood at the close, mL; `None` where there was no clean to last.
    pub hold_ml: Option<Figure>,
    /// What each says of the state at the close, and of what closing waited for.
    pub words: [String; 2],
}

/// One job.
#[derive(Debug, Clone)]
pub struct Compared {
    /// The scenario's file and what pushes.
    pub job: String,
    /// Every opening.
    pub bleeders: Vec<Bleeder>,
    /// Millilitres drained in all.
    pub drained_ml: Figure,
    /// Seconds with a bleeder open.
    pub seconds: Figure,
    /// Millilitres of old fluid left in the whole system.
    pub left_ml: Figure,
    /// Old fluid left in each room of a unit, mL.
    pub rooms: Vec<(String, Figure)>,
    /// Times the supply was pumped up while a bleeder was open: by Farwheel and by the reference.
    pub pumped: (usize, usize),
}

/// Every shipped scenario, those of the splits last.
pub fn shipped() -> Vec<PathBuf> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios");
    let mut all = Vec::new();
    for folder in [root.clone(), root.join("splits")] {
        let files = folder.read_dir().expect("a folder").map(|f| f.expect("a file").path());
        let mut files: Vec<_> =
            files.filter(|f| f.extension().is_some_and(|e| e == "toml")).collect();
        files.sort();
        all.extend(files);
    }
    all
}

/// A scenario with each of its supplies, the one that its procedure names first.
pub fn jobs(path: &Path) -> (Scenario, Vec<String>) {
    let scenario = farwheel::read_file(path).expect("a shipped scenario reads");
    let named = scenario.procedure.tasks.supply.clone();
    let mut supplies: Vec<String> = scenario.supplies.iter().map(|s| s.name.clone()).collect();
    supplies.sort_by_key(|name| named.as_ref().is_some_and(|n| n != name));
    (scenario, supplies)
}

/// Name of a job: file and supply.
pub fn name(path: &Path, supply: &str) -> String {
    let file = path.file_stem().map(|s| s.to_string_lossy().into_owned()).unwrap_or_default();
    let folder = if path.parent().is_some_and(|p| p.ends_with("splits")) { "splits/" } else { "" };
    format!("{folder}{file}, {supply}")
}

/// Runs a job both ways; the reference on grids of twice this step (mL), this and half of it.
///
/// # Errors
/// Why the reference cannot do it.
pub fn compare(
    job: &str,
    scenario: &Scenario,
    supply: &str,
    step_ml: f64,
) -> Result<Compared, String> {
    let reference = setting::job(scenario, supply)?;
    let options = Options { supply: Some(supply.to_owned()), ..Options::default() };
    let record = flush(scenario, &options).map_err(|e| e.to_string())?;
    // Closed before it was clean, as the rule says, is no matter.
    let stops = record
        .warnings
        .iter()
        .filter(|w| w.stops_the_job() && w.kind != WarningKind::TargetNotReached);
    assert_eq!(stops.count(), 0, "{job}: {:?}", record.warnings);
    let mut runs = [2.0, 1.0, 0.5].map(|share| reference.run(share * step_ml));
    assert_eq!(record.openings.len(), runs[2].opened.len(), "{job}");
    // Bleeders that are closed together stand in any order.
    for run in &mut runs {
        for (i, o) in record.openings.iter().enumerate() {
            let (seconds, paths) = (run.opened[i].seconds, &reference.car.paths);
            let mut rest = i..run.opened.len();
            let same = |at: &Opened| at.seconds == seconds && paths[at.path].bleeder == o.bleeder;
            if let Some(at) = rest.find(|at| same(&run.opened[*at])) {
                run.opened.swap(i, at);
            }
        }
    }
    let figure = |ours: f64, of: &dyn Fn(&Done) -> f64, stated: Option<f64>| {
        let [coarse, middle, fine] = [0, 1, 2].map(|i| of(&runs[i]));
        // Of second order: see `ReferenceCar::run_with_error`.
        let their_error = (fine - middle).abs().max(0.25 * (middle - coarse).abs());
        Figure { ours, theirs: fine, their_error, stated }
    };
    let mut bleeders = Vec::new();
    for (i, o) in record.openings.iter().enumerate() {
        assert_eq!(o.bleeder, way(&reference, runs[2].opened[i].path), "{job}: closed in order");
        let clean = |run: &Done| run.opened[i].clean_at_ml.unwrap_or(f64::NAN);
        let fine = &runs[2].opened[i];
        let words = [
            format!("{:?}, {:?}, {}", o.clean_state, o.waited_for, holds(o.hold_ml)),
            format!("{:?}, {:?}, {}", fine.state, fine.waited_for, holds(fine.hold_ml)),
        ];
        let hold = |run: &Done| run.opened[i].hold_ml.unwrap_or(f64::NAN);
        bleeders.push(Bleeder {
            name: o.bleeder.clone(),
            hold_ml: o.hold_ml.and_then(|ours| fine.hold_ml.map(|_| figure(ours, &hold, None))),
            words,
            clean_at_ml: match (o.clean_at_ml, runs[2].opened[i].clean_at_ml) {
                (Some(ours), Some(_)) => {
                    Some(figure(ours, &clean, record.numerics.clean_at_error_ml))
                }
                (None, None) => None,
                // Told by the words below.
                _ => None,
            },
            drained_ml: figure(o.drained_ml, &|run| run.opened[i].drained_ml, None),
            seconds: figure(o.flow_seconds, &|run| run.opened[i].seconds, None),
        });
    }
    let while_open = record.steps.iter().filter(|s| s.step == 0 && s.does == Does::RePump);
    Ok(Compared {
        job: job.to_owned(),
        bleeders,
        drained_ml: figure(record.totals.drained_ml, &Done::drained_ml, None),
        seconds: figure(record.totals.flow_seconds, &|run| run.seconds, None),
        left_ml: figure(
            record.left.old_ml,
            &|run| run.left.total_ml(0),
            record.numerics.old_left_error_ml,
        ),
        rooms: rooms(&record, &reference, &runs, figure),
        pumped: (while_open.count(), runs[2].pumped),
    })
}

/// A figure of the reference's.
type OfRun<'a> = &'a dyn Fn(&Done) -> f64;

/// The rooms of a unit by their names.
fn rooms(
    record: &Record,
    reference: &Flush,
    runs: &[Done; 3],
    figure: impl Fn(f64, OfRun<'_>, Option<f64>) -> Figure,
) -> Vec<(String, Figure)> {
    assert_eq!(runs[2].left.parts.len(), runs[0].left.parts.len());
    let mut rooms = Vec::new();
    for part in record.left.parts.iter().filter(|p| p.kind == "hydraulic modulator") {
        let is = |p: &ReferencePart| p.name == part.part;
        let Some(i) = reference.car.parts.iter().position(is) else { continue };
        let old_ml = |run: &Done| {
            let (ml, content) = &run.left.parts[i];
            ml * content[0]
        };
        rooms.push((part.part.clone(), figure(part.volume_ml * part.old_fraction, &old_ml, None)));
    }
    rooms
}

fn holds(hold_ml: Option<f64>) -> &'static str {
    if hold_ml.is_some() { "a hold" } else { "no hold" }
}

fn way(reference: &Flush, path: usize) -> &str {
    &reference.car.paths[path].bleeder
}

impl Compared {
    /// How far apart the two are at most at a bleeder: clean and drained, mL.
    pub fn furthest_ml(&self) -> (f64, f64) {
        let clean = self.bleeders.iter().filter_map(|b| b.clean_at_ml).map(|f| f.off());
        let drained = self.bleeders.iter().map(|b| b.drained_ml.off());
        (clean.fold(0.0, f64::max), drained.fold(0.0, f64::max))
    }

    /// How far apart the old fluid in a room of a unit is at most, mL.
    pub fn rooms_ml(&self) -> f64 {
        self.rooms.iter().map(|(_, f)| f.off()).fold(0.0, f64::max)
    }

    /// What is beyond the promised accuracy, in words: millilitres within 0.5 % or 0.5 mL (as many for
    /// each bleeder in a total) and within what both say of their own error; seconds within 0.3 % beside what
    /// more or less millilitres take, since the flow is taken at the beginning of each step, but 1 % where the
    /// supply is pumped up while a bleeder is open: that the gauge has fallen is noticed at the end of a step. Old
    /// fluid in a room of a unit within 0.01 mL.
    pub fn faults(&self) -> Vec<String> {
        let in_time = if self.pumped.1 > 0 { 1e-2 } else { 3e-3 };
        let mut faults = Vec::new();
        let mut look = |what: String, figure: Figure, share: f64, absolute: f64| {
            let claimed = figure.stated.map_or(f64::INFINITY, |e| e + figure.their_error);
            if !figure.within(share, absolute) || figure.off() > claimed {
                faults.push(format!("{}, {what}: {figure:?}", self.job));
            }
        };
        for b in &self.bleeders {
            if let Some(clean) = b.clean_at_ml {
                look(format!("{} clean", b.name), clean, 5e-3, 0.5);
            }
            look(format!("{} drained", b.name), b.drained_ml, 5e-3, 0.5);
            if let Some(hold) = b.hold_ml {
                look(format!("{} hold", b.name), hold, 5e-3, 0.5);
            }
            let for_more = b.drained_ml.off() / b.drained_ml.theirs;
            look(format!("{} seconds", b.name), b.seconds, in_time + for_more, 0.0);
        }
        let each = self.bleeders.len() as f64;
        let for_more = self.drained_ml.off() / self.drained_ml.theirs;
        look("drained".to_owned(), self.drained_ml, 5e-3, 0.5 * each);
        look("seconds".to_owned(), self.seconds, in_time + for_more, 0.0);
        look("old fluid left".to_owned(), self.left_ml, 5e-3, 0.5);
        // Rooms hold little, and steps of a cycle are the rule for both.
        for (room, figure) in &self.rooms {
            if figure.off() > 0.01 + figure.their_error {
                faults.push(format!("{}, {room}: {figure:?}", self.job));
            }
        }
        for b in self.bleeders.iter().filter(|b| b.words[0] != b.words[1]) {
            let [ours, theirs] = &b.words;
            faults.push(format!("{}, {}: {ours} here, {theirs} there", self.job, b.name));
        }
        if self.pumped.0 != self.pumped.1 {
            faults.push(format!("{}, pumped up {:?} times", self.job, self.pumped));
        }
        faults
    }
}
