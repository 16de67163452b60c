//! Everything that changes while a job runs, and the books kept over it.

use super::cautions::Fast;
use super::error::JobError;
use super::film::Recorder;
use super::limits::{self, Taken};
use super::modulator::Work;
use super::options::Options;
use super::record::{Balance, Does, StepDone, SupplyPoint, Warning, WarningKind};
use super::strokes::Driven;
use crate::circuit::Scenario;
use crate::circuit::species::{Species, Tag};
use crate::circuit::{Circuit, Filling, RESERVOIR, reach};
use crate::fluid::blend::Blend;
use crate::measures::{ATMOSPHERE_PA, to_kpa, to_ml};
use crate::scenario::model::{self, Tables};
use crate::scenario::tables::Tasks;
use crate::supply::Supply;
use crate::transport::lanes::Lanes;
use crate::transport::system::System;
use std::sync::Arc;

/// What does not change while a job runs.
#[derive(Debug, Clone)]
pub(super) struct Setting {
    pub scenario: Tables,
    pub circuit: Circuit,
    /// The nodes and links that some bleeder draws through.
    pub reached: (Vec<bool>, Vec<bool>),
    pub blend: Blend,
    pub species: Species,
    pub lanes: Arc<Lanes>,
    pub options: Options,
    /// Composition of the new fluid.
    pub new_fluid: Vec<f64>,
    /// With an endless supply, to find out how much would have been needed.
    pub endless: bool,
    /// What is loaded beyond the scenario's load, m³; only with an endless supply.
    pub more_loaded_m3: f64,
}

/// What was moved across the system's border (amounts by species, m³ · composition; volumes in m³).
#[derive(Debug, Clone, Default)]
pub(super) struct Books {
    pub start: Vec<f64>,
    pub start_volume: f64,
    pub come: Vec<f64>,
    pub come_volume: f64,
    pub gone: Vec<f64>,
    pub gone_volume: f64,
    pub drained: f64,
    pub removed: f64,
    pub loaded: f64,
    pub by_hand: f64,
    pub hose: f64,
    pub start_reservoir: f64,
    pub worst: Balance,
}

/// A job under way. Cloning it lets two continuations part.
#[derive(Debug, Clone)]
pub(super) struct State {
    pub system: System,
    pub supply: Supply,
    pub books: Books,
    pub clock_s: f64,
    pub flow_s: f64,
    pub repumps: u32,
    /// Pressure times volume of the air under the reservoir's cap, Pa·m³; `None` while it is open.
    pub cap_air: Option<f64>,
    pub dry: bool,
    /// A modulator that works while bleeders are open.
    pub working: Option<Work>,
    /// If the supply ran dry: the least load that would have lasted, m³, if any does.
    pub least_load_m3: Option<f64>,
    /// When and where the supply ran dry, in words.
    pub dry_at: String,
    /// Chambers of the master cylinder while the pedal is down; empty while it is up.
    pub stroke: Vec<Driven>,
    /// Pedal strokes begun.
    pub strokes: u32,
    pub steps: Vec<StepDone>,
    pub warnings: Vec<Warning>,
    pub supply_curve: Vec<SupplyPoint>,
    /// Lines in which fluid flowed too fast for laminar lanes.
    pub fast: Vec<Fast>,
    /// Records a film, if one is asked for.
    pub film: Option<Recorder>,
    /// What it has taken of time and memory.
    pub taken: Taken,
}

impl Setting {
    pub(super) fn new(scenario: &Scenario, options: &Options) -> Result<Self, JobError> {
        let circuit = scenario.circuit().clone();
        let tags = if options.origins {
            circuit.tags()
        } else {
            vec![Tag { group: crate::circuit::species::Group::Reservoir, outlet: None }]
        };
        let species = Species { tags };
        let old = scenario.old_fluid.fluid();
        let new = scenario.new_fluid.fluid();
        let blend = Blend::new(old, new, scenario.vehicle.temperature.value);
        let lanes = options
            .lanes
            .unwrap_or_else(|| Lanes::count_for_threshold(strictest_threshold(scenario)));
        let mut new_fluid = vec![0.0; species.len()];
        new_fluid[species.water()] = blend.water_g_per_ml(0.0, blend.new_fluid().water_percent);
        Ok(Self {
            scenario: Tables::clone(scenario),
            reached: reach::reached(&circuit),
            circuit,
            blend,
            species,
            lanes: Arc::new(Lanes::laminar(lanes)),
            options: options.clone(),
            new_fluid,
            endless: options.endless,
            more_loaded_m3: 0.0,
        })
    }

    /// The same with every part filled with new fluid.
    pub(super) fn filled_with_new(self) -> Self {
        self.filled_with_new_but(|_| false)
    }

    /// The same with new fluid in every part but those that `keeps` names (the reservoir is called `reservoir`).
    pub(super) fn filled_with_new_but(mut self, keeps: impl Fn(&str) -> bool) -> Self {
        let water_share = 0.01 * self.blend.new_fluid().water_percent;
        let clean = Filling { old_fraction: 0.0, water_share };
        for (i, node) in self.circuit.nodes.iter_mut().enumerate() {
            let name = if i == RESERVOIR { "reservoir" } else { &node.name };
            if !keeps(name) {
                node.filling = clean;
            }
        }
        for link in self.circuit.links.iter_mut().filter(|l| !keeps(&l.name)) {
            link.filling = clean;
        }
        self
    }

    /// Composition of a filling under one tag.
    fn composition(&self, filling: &Filling, tag: usize) -> Vec<f64> {
        let mut row = vec![0.0; self.species.len()];
        row[tag] = filling.old_fraction;
        row[self.species.water()] =
            self.blend.water_g_per_ml(filling.old_fraction, 100.0 * filling.water_share);
        row
    }

    /// What an endless supply holds beyond what the scenario loads, m³.
    pub(super) fn extra_m3(&self) -> f64 {
        if self.endless { ENDLESS_M3 + self.more_loaded_m3 } else { 0.0 }
    }

    /// What `[procedure]` says beside its steps.
    pub(super) fn tasks(&self) -> &Tasks {
        &self.scenario.procedure.tasks
    }

    /// Line of the supply in use, 0 if unknown.
    pub(super) fn supply_line(&self) -> usize {
        self.described_supply().map_or(0, |s| s.written.line)
    }

    /// The supply in use, as the scenario describes it.
    pub(super) fn described_supply(&self) -> Result<&model::Supply, JobError> {
        let s = &self.scenario;
        s.supply(self.options.supply.as_deref()).map_err(|why| JobError::no_supply(s, why))
    }

    /// The supply in use.
    fn supply(&self) -> Result<Supply, JobError> {
        Ok(self.described_supply()?.kind.ready())
    }
}

/// Where in the scenario file something stands, to be put behind a warning; nothing if it was built in
/// code.
pub(super) fn at_line(line: usize) -> String {
    if line == 0 { String::new() } else { format!(" (line {line} of the scenario)") }
}

/// The lowest threshold that any stop rule or the clear hose asks for.
fn strictest_threshold(scenario: &Tables) -> f64 {
    use crate::scenario::procedure::Action;
    let hose = scenario.clear_hose.threshold.value;
    scenario
        .procedure
        .steps
        .iter()
        .filter_map(|s| match &s.action {
            Action::Open { until, .. } => until.threshold.map(|t| t.value),
            _ => None,
        })
        .fold(hose, f64::min)
}

impl State {
    pub(super) fn new(setting: &Setting) -> Result<Self, JobError> {
        limits::before_filling(setting)?;
        let system = System::new(
            &setting.circuit,
            &setting.lanes,
            |filling, tag| setting.composition(filling, tag),
            |tag| setting.species.index(tag),
        );
        let mut supply = setting.supply()?;
        let loaded = supply.fluid_m3().unwrap_or(0.0);
        if let (true, Supply::PressureBleeder(p)) = (setting.endless, &mut supply) {
            // More fluid behind the same air cushion.
            p.fluid_m3 += ENDLESS_M3 + setting.more_loaded_m3;
            p.shell_m3 += ENDLESS_M3;
        }
        if let (true, Some(topping)) = (setting.endless, supply.topping_mut()) {
            topping.topped_up = true;
        }
        let mut start = vec![0.0; setting.species.len()];
        system.held(&mut start);
        let blank = vec![0.0; setting.species.len()];
        let books = Books {
            start,
            start_volume: system.volume(),
            come: blank.clone(),
            gone: blank,
            loaded,
            start_reservoir: system.reservoir.volume(),
            ..Books::default()
        };
        let setup = setting.tasks().setup.value;
        let mut state = Self {
            system,
            supply,
            books,
            clock_s: setup,
            flow_s: 0.0,
            repumps: 0,
            cap_air: None,
            dry: false,
            working: None,
            least_load_m3: None,
            dry_at: String::new(),
            stroke: Vec::new(),
            strokes: 0,
            steps: Vec::new(),
            warnings: Vec::new(),
            supply_curve: Vec::new(),
            fast: Vec::new(),
            film: Recorder::wanted(setting),
            taken: Taken::default(),
        };
        state.note_supply(setting);
        Ok(state)
    }

    /// Gauge pressure of the supply, kPa.
    pub(super) fn gauge_kpa(&self) -> f64 {
        to_kpa(self.supply.gauge_pa())
    }

    /// Air under the reservoir's cap, m³.
    pub(super) fn air_space(&self, setting: &Setting) -> f64 {
        (setting.circuit.reservoir.brim_m3 - self.system.reservoir.volume()).max(0.0)
    }

    /// Notes the supply and reservoir as they are now.
    pub(super) fn note_supply(&mut self, setting: &Setting) {
        if !setting.options.detail {
            return;
        }
        let s = &setting.species;
        let reservoir = &self.system.reservoir;
        let (volume, old) = (reservoir.volume(), reservoir.held_of(|row| s.old(row)));
        let extra = if setting.endless { ENDLESS_M3 } else { 0.0 };
        self.supply_curve.push(SupplyPoint {
            at_s: self.clock_s,
            gauge_kpa: self.gauge_kpa(),
            supply_ml: self.supply.fluid_m3().map(|v| to_ml(v - extra)),
            reservoir_ml: to_ml(volume),
            reservoir_old_fraction: if volume > 0.0 { old / volume } else { 0.0 },
        });
    }

    /// Notes a step that is not an opening.
    pub(super) fn note_step(&mut self, step: usize, does: Does, moved_m3: f64) {
        let cap_off =
            self.cap_air.is_none() && matches!(does, Does::Syringe | Does::TopUp | Does::SetLevel);
        let gauge_kpa = match self.supply {
            Supply::PressureBleeder(_) if cap_off => 0.0,
            _ => self.gauge_kpa(),
        };
        let at_s = self.clock_s;
        self.steps.push(StepDone { step, does, at_s, moved_ml: to_ml(moved_m3), gauge_kpa });
    }

    /// Adds a warning, once of each text.
    pub(super) fn warn(&mut self, kind: WarningKind, text: String) {
        let warning = Warning::new(kind, text);
        if !self.warnings.contains(&warning) {
            self.warnings.push(warning);
        }
    }

    /// Pours new fluid into the reservoir and books it.
    pub(super) fn pour(&mut self, setting: &Setting, volume: f64) {
        self.system.reservoir.pour(volume, &setting.new_fluid);
        self.books.come_volume += volume;
        for (b, c) in self.books.come.iter_mut().zip(&setting.new_fluid) {
            *b += volume * c;
        }
    }

    /// Takes fluid out of the reservoir and books it.
    pub(super) fn draw(&mut self, volume: f64) {
        self.system.reservoir.draw(volume, &mut self.books.gone);
        self.books.gone_volume += volume;
        self.books.removed += volume;
    }

    /// Whether air stands over an outlet of the reservoir.
    fn bare_outlets(&self, setting: &Setting) -> bool {
        let outlets = 0..setting.circuit.reservoir.outlets.len();
        outlets.into_iter().any(|o| self.system.reservoir.over_outlet_m3(o) < BARE_M3)
    }

    /// Warns of a reservoir that was drawn empty down to its outlets.
    pub(super) fn warn_of_bare_outlets(&mut self, setting: &Setting, at_line: &str) {
        if self.bare_outlets(setting) {
            self.warn(
                WarningKind::OutletsDrawnBare,
                format!(
                    "the reservoir is drawn empty, so that air stands over its outlets and may stay in them: leave enough to cover them, 5 to 10 mL in a small reservoir; else bleed until no bubble comes{at_line}"
                ),
            );
        }
    }

    /// Opens the feed valve, or lets pressures settle after pumping: fluid flows until vessel and
    /// air under the cap are at one pressure.
    pub(super) fn settle(&mut self, setting: &Setting) {
        let space = self.air_space(setting);
        let bare = self.cap_air.is_none() && self.bare_outlets(setting);
        let Supply::PressureBleeder(p) = &mut self.supply else { return };
        let air = *self.cap_air.get_or_insert_with(|| {
            let hose = if p.feed_hose_empty { p.feed_hose_m3 } else { 0.0 };
            ATMOSPHERE_PA * (space + hose)
        });
        let (hose, rise) = p.settles_by(space, air);
        // Fluid does not come back: the hose opens above the level.
        let rise = rise.clamp(0.0, (p.usable_m3() - hose).max(0.0));
        p.feed_hose_empty = false;
        p.send(hose + rise);
        self.books.hose += hose;
        self.pour(setting, rise);
        if bare {
            let line = at_line(setting.supply_line());
            self.warn(
                WarningKind::AirReachesAnOutlet,
                format!(
                    "air stands over the reservoir's outlets as the feed valve is opened and would be pressed into the circuit: fill the reservoir by hand first, with a step `top_up` before it{line}"
                ),
            );
        }
    }

    /// Compares what is held with what was there, came and went.
    pub(super) fn balance(&mut self, setting: &Setting) {
        self.books.compare(&setting.species, &self.system);
    }
}

impl Books {
    /// Compares what a system holds with what was there, came and went.
    pub(super) fn compare(&mut self, s: &Species, system: &System) {
        let mut held = vec![0.0; s.len()];
        system.held(&mut held);
        let b = self;
        let error = |k: usize| (held[k] - b.start[k] - b.come[k] + b.gone[k]).abs();
        let tags = 0..s.tags.len();
        let old = tags.clone().map(error).fold(0.0, f64::max);
        let sum: f64 =
            tags.map(|k| held[k] - b.start[k] - b.come[k] + b.gone[k]).sum::<f64>().abs();
        let water = error(s.water());
        let volume = (system.volume() - b.start_volume - b.come_volume + b.gone_volume).abs();
        b.worst.volume_error_ml = b.worst.volume_error_ml.max(to_ml(volume));
        b.worst.old_error_ml = b.worst.old_error_ml.max(to_ml(old.max(sum)));
        b.worst.water_error_g = b.worst.water_error_g.max(1e6 * water);
    }
}

/// Less than this over an outlet does not cover it, m³ (an estimate: four drops).
const BARE_M3: f64 = 0.2e-6;

/// Fluid added to a supply that stands for an endless one, m³.
pub(super) const ENDLESS_M3: f64 = 0.1;
