//! Bleeders opened together, and the loop of small steps until the last of them is closed.

use super::error::JobError;
use super::hydraulics::Hydraulics;
use super::record::{ClosedBy, CurvePoint, Opening, Origins};
use super::state::{Setting, State};
use super::watch::{ClearHose, Rule, Watcher};
use crate::circuit::paths;
use crate::circuit::species::{ANOTHER_CIRCUIT, Group, NEW_FLUID};
use crate::supply::Supply;
use crate::transport::system::Step;

/// Fluid is taken not to flow below this rate, m³/s (a drop in a minute).
const NO_FLOW: f64 = 1e-9;
/// Two volumes closer than this share of a step count as equal.
const CLOSE: f64 = 1e-9;

/// One bleeder while it is open.
struct Open {
    bleeder: usize,
    rule: Rule,
    hose: ClearHose,
    watcher: Watcher,
    path: Path,
    drained: f64,
    drained_row: Vec<f64>,
    mean: Vec<f64>,
    reynolds: f64,
    opened_s: f64,
    gauge_start_kpa: f64,
    curve: Vec<CurvePoint>,
}

/// Why the present step is no longer than it is.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Limit {
    Resolution,
    Close(usize, ClosedBy),
    Dry,
    TopUp,
}

/// Which opening of the procedure this is.
#[derive(Debug, Clone, Copy)]
pub(super) struct Place {
    pub pass: u32,
    pub step: usize,
}

/// Opens bleeders together and runs until all are closed; the records come in closing order.
pub(super) fn run(
    setting: &Setting,
    state: &mut State,
    bleeders: &[usize],
    rule: Rule,
    place: Place,
) -> Result<Vec<Opening>, JobError> {
    state.settle(setting);
    let mut open: Vec<Open> =
        bleeders.iter().map(|&b| Open::new(setting, state, b, rule)).collect();
    let mut done = Vec::new();
    let mut hydraulics = None;
    while !open.is_empty() {
        let h = match &mut hydraulics {
            Some(h) => h,
            none => none.insert(Hydraulics::new(
                &setting.circuit,
                state.supply.feed(),
                &open.iter().map(|o| o.bleeder).collect::<Vec<_>>(),
            )?),
        };
        if let Some((i, by)) = advance(setting, state, &mut open, h)? {
            let closed: Vec<Open> = if by == ClosedBy::Supply {
                open.drain(..).collect()
            } else {
                vec![open.remove(i)]
            };
            done.extend(closed.into_iter().map(|o| o.close(setting, state, by, place)));
            hydraulics = None;
        }
    }
    state.balance(setting);
    Ok(done)
}

/// Does one step; says which bleeder is to be closed, if any.
fn advance(
    setting: &Setting,
    state: &mut State,
    open: &mut [Open],
    h: &mut Hydraulics,
) -> Result<Option<(usize, ClosedBy)>, JobError> {
    let gauge = state.supply.gauge_pa();
    h.solve(&setting.circuit, &state.system, &setting.blend, &setting.species, gauge)?;
    if let Some(i) = h.exit_flow.iter().position(|q| *q < NO_FLOW) {
        let name = &setting.circuit.bleeders[open[i].bleeder].name;
        state.warn(
            "no flow",
            format!(
                "at {name} nothing flows ({:.0} kPa at the supply): raise the pressure or the reservoir, or open fewer bleeders at once",
                1e-3 * gauge
            ),
            true,
        );
        return Ok(Some((i, ClosedBy::Bound)));
    }
    let total: f64 = h.exit_flow.iter().sum();
    let (dt, limit) = time_step(setting, state, open, h, total);
    if dt > 0.0 {
        transport(setting, state, open, h, dt)?;
    }
    Ok(match limit {
        // It may have turned dirty within the step that should have been its last.
        Limit::Close(i, ClosedBy::Clean) if open[i].watcher.clean_until().is_none() => None,
        Limit::Close(i, by) => Some((i, by)),
        Limit::Dry => {
            state.dry = true;
            Some((0, ClosedBy::Supply))
        }
        Limit::TopUp => {
            top_up(setting, state);
            None
        }
        Limit::Resolution => {
            re_pump(setting, state);
            None
        }
    })
}

/// How long the next step is, and what ends it.
fn time_step(
    setting: &Setting,
    state: &State,
    open: &[Open],
    h: &Hydraulics,
    total: f64,
) -> (f64, Limit) {
    let steps = setting.options.steps_per_path;
    let mut best = (f64::INFINITY, Limit::Resolution);
    for (o, q) in open.iter().zip(&h.exit_flow) {
        let longest = o.path.pace_m3 / steps;
        best.0 = best.0.min(longest / q);
        // Come down on the threshold in ever finer steps, so that where it is met is known well:
        // what is seen lags by the watched length, which a long step does not resolve.
        if let Some(expected) = o.watcher.expected()
            && expected > 0.0
            && expected < 2.0 * longest
        {
            best.0 = best.0.min((0.5 * expected).max(0.125 * longest) / q);
        }
    }
    let mut shorten = |dt: f64, limit: Limit| {
        if dt <= best.0 * (1.0 + CLOSE) {
            best = (dt.max(0.0), limit);
        }
    };
    match &state.supply {
        Supply::PressureBleeder(p) => shorten(p.usable_m3() / total, Limit::Dry),
        Supply::Gravity(g) => {
            let r = &setting.circuit.reservoir;
            if g.topped_up {
                let low = g.refill_below_m3.unwrap_or(r.min_m3);
                shorten((state.system.reservoir.volume() - low) / total, Limit::TopUp);
            }
        }
    }
    if !matches!(state.supply, Supply::PressureBleeder(_)) {
        let out = outflows(setting, h);
        let share = state.system.reservoir.share_until_air(0.0, &out);
        // `share` counts in steps of one second.
        let one = state.system.reservoir.share_until_air(0.0, &scaled(&out, best.0));
        if share.is_finite() && one < 1.0 {
            let dt = best.0 * one;
            best = (dt, Limit::Dry);
        }
    }
    let mut shorten = |dt: f64, limit: Limit| {
        if dt <= best.0 * (1.0 + CLOSE) {
            best = (dt.max(0.0), limit);
        }
    };
    for (i, (o, q)) in open.iter().zip(&h.exit_flow).enumerate() {
        for (volume, by) in o.closings() {
            shorten((volume - o.drained) / q, Limit::Close(i, by));
        }
        if let Some(time) = o.rule.time
            && o.drained >= o.rule.at_least
        {
            shorten(o.opened_s + time - state.clock_s, Limit::Close(i, ClosedBy::Time));
        }
    }
    best
}

fn outflows(setting: &Setting, h: &Hydraulics) -> Vec<f64> {
    let mut out = vec![0.0; setting.circuit.reservoir.outlets.len()];
    for (l, q) in setting.circuit.links.iter().zip(&h.link_flow) {
        if let Some(i) = l.outlet {
            out[i] += q;
        }
    }
    out
}

fn scaled(row: &[f64], by: f64) -> Vec<f64> {
    row.iter().map(|x| x * by).collect()
}

fn transport(
    setting: &Setting,
    state: &mut State,
    open: &mut [Open],
    h: &Hydraulics,
    dt: f64,
) -> Result<(), JobError> {
    let s = setting.species.len();
    let through = scaled(&h.link_flow, dt);
    let exits: Vec<(usize, f64)> = open
        .iter()
        .zip(&h.exit_flow)
        .map(|(o, q)| (setting.circuit.bleeders[o.bleeder].node, q * dt))
        .collect();
    let drained: f64 = exits.iter().map(|e| e.1).sum();
    let feed_m3 = feed(setting, state, drained);
    let step = Step {
        through_m3: &through,
        exits: &exits,
        feed_m3,
        feed: &setting.new_fluid,
        time_s: dt,
    };
    let mut leaving = vec![0.0; exits.len() * s];
    state
        .system
        .step(&setting.circuit, &step, &mut leaving)
        .map_err(|_| JobError::RunsInACircle)?;
    state.clock_s += dt;
    state.flow_s += dt;
    let b = &mut state.books;
    b.drained += drained;
    b.gone_volume += drained;
    b.come_volume += feed_m3;
    for (come, c) in b.come.iter_mut().zip(&setting.new_fluid) {
        *come += feed_m3 * c;
    }
    for row in leaving.chunks(s) {
        for (gone, x) in b.gone.iter_mut().zip(row) {
            *gone += x;
        }
    }
    for ((o, row), exit) in open.iter_mut().zip(leaving.chunks(s)).zip(&exits) {
        o.take(setting, state, exit.1, row, exit.1 / dt, h.reynolds);
    }
    state.note_supply(setting);
    if setting.options.check_every_step {
        state.balance(setting);
    }
    Ok(())
}

/// What the supply sends into the reservoir while `drained` leaves: that much, less (or more) what
/// the air under the cap gives as the pressure changes.
fn feed(setting: &Setting, state: &mut State, drained: f64) -> f64 {
    let space = state.air_space(setting);
    let Supply::PressureBleeder(p) = &mut state.supply else { return 0.0 };
    let mut fed = drained;
    if let Some(air) = state.cap_air {
        // A fixed point: the gauge hardly changes in a step, three rounds settle it.
        for _ in 0..3 {
            fed = (drained + space - air / p.absolute_after_pa(fed)).clamp(0.0, 2.0 * drained);
        }
    }
    p.send(fed);
    fed
}

fn re_pump(setting: &Setting, state: &mut State) {
    let Supply::PressureBleeder(p) = &state.supply else { return };
    let Some(mark) = p.low_mark_pa else { return };
    if p.gauge_pa() < mark && p.gauge_pa() < p.set_gauge_pa {
        let target = p.set_gauge_pa;
        pump_to(setting, state, target, 0);
    }
}

/// Pumps the supply up and books the time; `step` is 0 where the technician does it of himself.
pub(super) fn pump_to(setting: &Setting, state: &mut State, gauge_pa: f64, step: usize) {
    let took = setting.scenario.procedure.section.find_si("per_re_pump").unwrap_or(0.0);
    if !matches!(state.supply, Supply::PressureBleeder(_)) {
        return;
    }
    // He pumps until the gauge reads it with the valve open, while fluid still rises under the cap.
    for _ in 0..20 {
        if let Supply::PressureBleeder(p) = &mut state.supply {
            p.pump_to(gauge_pa);
        }
        state.settle(setting);
        if (state.supply.gauge_pa() - gauge_pa).abs() < 1.0 {
            break;
        }
    }
    state.repumps += 1;
    state.clock_s += took;
    state.note_step(step, "re-pump", 0.0);
    state.note_supply(setting);
}

fn top_up(setting: &Setting, state: &mut State) {
    let Supply::Gravity(g) = &state.supply else { return };
    let to = g.refill_to_m3.unwrap_or(setting.circuit.reservoir.max_m3);
    let volume = (to - state.system.reservoir.volume()).max(0.0);
    state.pour(setting, volume);
    state.books.by_hand += volume;
    state.note_step(0, "top up", volume);
    state.note_supply(setting);
}

impl Open {
    fn new(setting: &Setting, state: &State, bleeder: usize, rule: Rule) -> Self {
        let s = setting.species.len();
        let hose = ClearHose::new(
            &setting.scenario.clear_hose,
            &setting.lanes,
            &setting.old_fluid,
            &setting.new_fluid,
        );
        let mut mean = vec![0.0; s];
        hose.mean(&mut mean);
        let seen = setting.species.old(&mean);
        let mut o = Self {
            bleeder,
            rule,
            path: Path::new(setting, bleeder),
            watcher: Watcher::new(rule.threshold, seen, 0.0),
            hose,
            drained: 0.0,
            drained_row: vec![0.0; s],
            mean,
            reynolds: 0.0,
            opened_s: state.clock_s,
            gauge_start_kpa: state.gauge_kpa(),
            curve: Vec::new(),
        };
        let hold = o.hold(setting, state);
        o.watcher = Watcher::new(rule.threshold, seen, hold);
        let path = o.path.old_fraction(setting, state);
        o.curve.push(CurvePoint {
            at_s: state.clock_s,
            drained_ml: 0.0,
            seen_old_fraction: seen,
            leaving_old_fraction: setting
                .species
                .old(state.system.last(setting.circuit.bleeders[bleeder].node)),
            path_old_fraction: path,
            flow_ml_per_s: 0.0,
        });
        o
    }

    /// Volumes at which it is to be closed, and by what, in rising precedence.
    fn closings(&self) -> impl Iterator<Item = (f64, ClosedBy)> {
        let r = &self.rule;
        let clean = self.watcher.clean_until().filter(|_| r.clean);
        let of = |v: Option<f64>, by| v.map(|v| (v.max(r.at_least), by));
        let bound = (r.at_most, ClosedBy::Bound);
        [of(clean, ClosedBy::Clean), of(r.volume, ClosedBy::Volume), Some(bound)]
            .into_iter()
            .flatten()
            .filter(|(v, _)| v.is_finite())
    }

    fn take(
        &mut self,
        setting: &Setting,
        state: &State,
        dv: f64,
        row: &[f64],
        flow: f64,
        reynolds: f64,
    ) {
        let mut mean = std::mem::take(&mut self.mean);
        self.hose.take(dv, row, &mut mean);
        for (d, x) in self.drained_row.iter_mut().zip(row) {
            *d += x;
        }
        self.drained += dv;
        self.reynolds = self.reynolds.max(reynolds);
        let seen = setting.species.old(&mean);
        self.mean = mean;
        let mut watcher = self.watcher;
        watcher.see(self.drained, seen, || self.hold(setting, state));
        self.watcher = watcher;
        self.curve.push(CurvePoint {
            at_s: state.clock_s,
            drained_ml: 1e6 * self.drained,
            seen_old_fraction: seen,
            leaving_old_fraction: setting.species.old(row) / dv,
            path_old_fraction: self.path.old_fraction(setting, state),
            flow_ml_per_s: 1e6 * flow,
        });
    }

    /// For how much more it must stay clean: what was asked for, or what lies between the dirtiest
    /// part on the path and the bleeder if that part is dirtier than the threshold; in any case
    /// the watched length once over.
    fn hold(&self, setting: &Setting, state: &State) -> f64 {
        if let Some(hold) = self.rule.hold {
            return hold;
        }
        self.hose
            .volume()
            .max(self.path.behind_the_dirtiest(setting, state, self.rule.threshold))
    }

    fn close(self, setting: &Setting, state: &mut State, by: ClosedBy, place: Place) -> Opening {
        let name = setting.circuit.bleeders[self.bleeder].name.clone();
        let (clean_at, clean_state) = self.watcher.verdict();
        let flowed = state.clock_s - self.opened_s;
        if by == ClosedBy::Bound && self.rule.clean && state.warnings.iter().all(|w| w.kind != "no flow") {
            state.warn(
                "target not reached",
                format!(
                    "{name} was closed at {:.0} mL, still {:.1} % old fluid to be seen where {:.1} % counts as clean: look for a part that no flush reaches, or raise `at most`",
                    1e6 * self.drained,
                    100.0 * self.watcher.seen(),
                    100.0 * self.rule.threshold
                ),
                true,
            );
        }
        Opening {
            pass: place.pass,
            step: place.step,
            opened_s: self.opened_s,
            closed_s: state.clock_s,
            closed_by: by,
            drained_ml: 1e6 * self.drained,
            clean_at_ml: clean_at.map(|v| 1e6 * v),
            clean_state,
            seen_old_fraction: self.watcher.seen(),
            path_old_fraction: self.path.old_fraction(setting, state),
            mean_flow_ml_per_s: if flowed > 0.0 { 1e6 * self.drained / flowed } else { 0.0 },
            reynolds: self.reynolds,
            gauge_start_kpa: self.gauge_start_kpa,
            gauge_end_kpa: state.gauge_kpa(),
            origins_ml: origins(setting, self.bleeder, &self.drained_row, self.drained),
            threshold: self.rule.threshold,
            curve: self.curve,
            bleeder: name,
        }
    }
}

/// Where fluid lies along a path.
#[derive(Debug, Clone, Copy)]
enum Spot {
    Link(usize),
    Node(usize),
}

/// The parts with a volume along a path, in flow order, and its reservoir outlet.
#[derive(Debug, Clone)]
struct Path {
    spots: Vec<Spot>,
    outlet: usize,
    volume_m3: f64,
    /// Volume that `steps_per_path` steps drain: all of the path, but no more than [`OWN_TIMES`]
    /// what this bleeder alone draws from. Behind a large shared line that other bleeders have cleaned, only
    /// the small own parts still change what is seen.
    pace_m3: f64,
}

/// See [`Path::pace_m3`].
const OWN_TIMES: f64 = 4.0;

impl Path {
    fn new(setting: &Setting, bleeder: usize) -> Self {
        let c = &setting.circuit;
        let links = &c.bleeders[bleeder].path;
        let mut spots = Vec::new();
        for (&link, node) in links.iter().zip(paths::path_nodes(c, bleeder)) {
            if c.links[link].tube.is_some() {
                spots.push(Spot::Link(link));
            }
            if c.nodes[node].chamber.is_some() {
                spots.push(Spot::Node(node));
            }
        }
        let own = spots.iter().filter_map(|spot| match *spot {
            Spot::Link(i) if c.links[i].tag.group == Group::OwnLine => c.links[i].tube.map(|t| t.volume_m3),
            Spot::Node(i) if c.nodes[i].tag.group == Group::WheelBrake => c.nodes[i].chamber.map(|c| c.volume_m3),
            _ => None,
        });
        let own: f64 = own.sum();
        let volume_m3 = paths::path_volume_m3(c, bleeder);
        Self {
            pace_m3: if own > 0.0 { volume_m3.min(OWN_TIMES * own) } else { volume_m3 },
            spots,
            outlet: links.first().and_then(|&l| c.links[l].outlet).unwrap_or(0),
            volume_m3,
        }
    }

    /// Volume and old volume of one part.
    fn part(setting: &Setting, state: &State, spot: Spot) -> (f64, f64) {
        let s = &setting.species;
        match spot {
            Spot::Link(i) => {
                state.system.tube(i).map_or((0.0, 0.0), |t| (t.volume(), s.old(t.tally())))
            }
            Spot::Node(i) => state
                .system
                .chamber(i)
                .map_or((0.0, 0.0), |c| (c.volume(), c.held_of(|row| s.old(row)))),
        }
    }

    /// Old fraction from the reservoir's outlet to the bleeder.
    fn old_fraction(&self, setting: &Setting, state: &State) -> f64 {
        let old: f64 = self.spots.iter().map(|&p| Self::part(setting, state, p).1).sum();
        old / self.volume_m3
    }

    /// Volume between the dirtiest part (the reservoir's share included) and the bleeder, if any
    /// is dirtier than the threshold.
    fn behind_the_dirtiest(&self, setting: &Setting, state: &State, threshold: f64) -> f64 {
        let mut dirtiest = threshold;
        let (mut behind, mut between) = (0.0, 0.0);
        for &spot in self.spots.iter().rev() {
            let (volume, old) = Self::part(setting, state, spot);
            if old > dirtiest * volume * (1.0 + 1e-6) {
                (dirtiest, between) = (old / volume, behind);
            }
            behind += volume;
        }
        let mut held = vec![0.0; setting.species.len()];
        let volume = state.system.reservoir.held_for(self.outlet, &mut held);
        if setting.species.old(&held) > dirtiest * volume * (1.0 + 1e-6) {
            between = behind;
        }
        between
    }
}

/// Names the origins as seen from one bleeder, mL.
fn origins(setting: &Setting, bleeder: usize, row: &[f64], drained: f64) -> Origins {
    let c = &setting.circuit;
    let outlet = c.nodes[c.bleeders[bleeder].node].tag.outlet;
    let mut origins: Origins = Vec::new();
    if setting.options.origins {
        for (tag, amount) in setting.species.tags.iter().zip(row) {
            let own = tag.outlet.is_none() || tag.outlet == outlet;
            let name = if own { tag.group.name() } else { ANOTHER_CIRCUIT };
            match origins.iter_mut().find(|o| o.0 == name) {
                Some(o) => o.1 += 1e6 * amount,
                None => origins.push((name, 1e6 * amount)),
            }
        }
        origins.retain(|o| o.0 != ANOTHER_CIRCUIT || o.1 > 1e-9);
    }
    let old = setting.species.old(row);
    origins.push((NEW_FLUID, 1e6 * (drained - old)));
    origins
}
