//! What does not change while a job runs.

use super::hydraulics::Flowing;
use super::networks::Networks;
use super::parts::{self, Found};
use super::path::Path;
use crate::circuit::species::{Species, Water};
use crate::circuit::{Circuit, Filling, RESERVOIR, Scenario};
use crate::fluid::blend::Blend;
use crate::job::error::JobError;
use crate::job::options::Options;
use crate::job::record::joined::Joined;
use crate::keys::Place;
use crate::scenario::model::{self, Tables};
use crate::scenario::tables::Tasks;
use crate::supply::ENDLESS_M3;
use crate::transport::grain::Grain;
use crate::transport::lanes::Lanes;
use std::sync::Arc;
use std::sync::atomic::AtomicBool;

/// What does not change while a job runs.
#[derive(Debug, Clone)]
pub(crate) struct Setting {
    pub scenario: Arc<Tables>,
    pub circuit: Arc<Circuit>,
    /// The parts with a volume.
    pub parts: Arc<[Found]>,
    /// How they join.
    pub joined: Arc<Joined>,
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
    /// It gives up as soon as it has taken a small share of what a job may: then it is worth a sketch.
    pub only_if_small: bool,
    /// The job that this one is a sketch of, if it is one.
    pub sketched: Option<Sketched>,
    /// Nobody asks for the answer any more: the run that it was to stand beside has failed.
    pub not_wanted: Arc<AtomicBool>,
    /// The path to each bleeder.
    pub paths: Vec<Arc<Path>>,
    /// Flow networks for the next opening, put together by earlier ones.
    pub networks: Networks,
}

/// What a sketch stands for: the job as it was asked for.
#[derive(Debug, Clone)]
pub(crate) struct Sketched {
    pub grain: Grain,
    pub steps_per_path: f64,
    /// Whether it keeps curves.
    pub detail: bool,
    /// Whether it is filmed.
    pub film: bool,
}

/// Steps of a sketch in which a path's volume is drained, and how far viscosities may drift in it before flows are solved
/// for anew.
const STEPS_OF_A_SKETCH: f64 = 1.0;
const DRIFT_OF_A_SKETCH: f64 = 0.05;

/// Which step of the procedure this is; step 0 is done by hand, beside it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Position {
    pub pass: u32,
    pub step: usize,
}

impl Setting {
    pub(crate) fn new(scenario: &Scenario, options: &Options) -> Result<Self, JobError> {
        let (tables, circuit) = scenario.shared();
        let old = scenario.old_fluid.fluid();
        let new = scenario.new_fluid.fluid();
        let blend = Blend::new(old, new, scenario.vehicle.temperature.value);
        let lanes = options
            .lanes
            .unwrap_or_else(|| Lanes::count_for_threshold(strictest_threshold(scenario)));
        let species = if options.origins {
            Species { tags: circuit.tags(), water: Water::Carried }
        } else {
            Species::whole(mixed_water(&circuit, &blend).unwrap_or(Water::Carried))
        };
        let new_water = blend.water_g_per_ml(0.0, blend.new_fluid().water_percent);
        let new_fluid = species.composition(0, 0.0, new_water);
        let parts: Arc<[Found]> = parts::find(&circuit, &tables).into();
        let joined = Arc::new(parts::joined(&circuit, &parts));
        let paths = (0..circuit.bleeders.len()).map(|b| Arc::new(Path::new(&circuit, b))).collect();
        Ok(Self {
            scenario: tables,
            parts,
            joined,
            circuit,
            blend,
            species,
            lanes: Arc::new(Lanes::laminar(lanes)),
            options: options.clone(),
            new_fluid,
            endless: options.endless,
            more_loaded_m3: 0.0,
            only_if_small: false,
            sketched: None,
            not_wanted: Arc::default(),
            networks: Networks::default(),
            paths,
        })
    }

    /// What a step drains at a bleeder where nothing asks for less, m³.
    pub(crate) fn usual_step(&self, bleeder: usize) -> f64 {
        self.paths[bleeder].pace_m3 / self.options.steps_per_path
    }

    /// What flows, for the flow network.
    pub(crate) fn flowing(&self) -> Flowing<'_> {
        let Self { circuit, blend, species, options, .. } = self;
        Flowing { circuit, blend, species, drift: options.flow_drift }
    }

    /// The same job with the fewest lanes, in few steps, origins not told apart: a sketch, by which can be counted
    /// beforehand what the job itself takes.
    pub(crate) fn sketch(&self) -> Self {
        let sketched = Sketched {
            grain: Grain { lanes: Arc::clone(&self.lanes), species: self.species.len() },
            steps_per_path: self.options.steps_per_path,
            detail: self.options.detail,
            film: self.is_filmed(),
        };
        let options = Options {
            steps_per_path: STEPS_OF_A_SKETCH,
            origins: false,
            check_every_step: false,
            detail: false,
            film: false,
            flow_drift: DRIFT_OF_A_SKETCH,
            ..self.options.clone()
        };
        Self {
            options,
            lanes: Arc::new(Lanes::laminar(0)),
            sketched: Some(sketched),
            ..self.clone()
        }
        .without_water()
    }

    /// The same with old fluid followed as a whole, and no water.
    pub(crate) fn without_water(self) -> Self {
        let species = Species::whole(Water::Unasked);
        Self { new_fluid: species.composition(0, 0.0, 0.0), species, ..self }
    }

    /// Whether it is filmed: runs that only find out how much was missing are not.
    pub(crate) fn is_filmed(&self) -> bool {
        self.options.film && (self.options.endless || !self.endless)
    }

    /// The same with every part filled with new fluid.
    pub(crate) fn filled_with_new(self) -> Self {
        self.filled_with_new_but(|_| false)
    }

    /// The same with new fluid in every part but those that `keeps` names (the reservoir is called `reservoir`).
    pub(crate) fn filled_with_new_but(mut self, keeps: impl Fn(&str) -> bool) -> Self {
        let water_share = 0.01 * self.blend.new_fluid().water_percent;
        let clean = Filling { old_fraction: 0.0, water_share };
        let circuit = Arc::make_mut(&mut self.circuit);
        for (i, node) in circuit.nodes.iter_mut().enumerate() {
            let name = if i == RESERVOIR { "reservoir" } else { &node.name };
            if !keeps(name) {
                node.filling = clean;
            }
        }
        for link in circuit.links.iter_mut().filter(|l| !keeps(&l.name)) {
            link.filling = clean;
        }
        self
    }

    /// Composition of a filling under one tag.
    pub(crate) fn composition(&self, filling: &Filling, tag: usize) -> Vec<f64> {
        let water = self.blend.water_g_per_ml(filling.old_fraction, 100.0 * filling.water_share);
        self.species.composition(tag, filling.old_fraction, water)
    }

    /// What an endless supply holds beyond what the scenario loads, m³.
    pub(crate) fn extra_m3(&self) -> f64 {
        if self.endless { ENDLESS_M3 + self.more_loaded_m3 } else { 0.0 }
    }

    /// What `[procedure]` says beside its steps.
    pub(crate) fn tasks(&self) -> &Tasks {
        &self.scenario.procedure.tasks
    }

    /// Where the supply in use stands.
    pub(crate) fn supply_line(&self) -> Place {
        self.described_supply().map_or(Place::Nowhere, |s| s.written.line)
    }

    /// The supply in use, as the scenario describes it.
    pub(crate) fn described_supply(&self) -> Result<&model::Supply, JobError> {
        let s = &self.scenario;
        s.supply(self.options.supply.as_deref()).map_err(|why| JobError::no_supply(s, why))
    }
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

/// Fillings are of one mixture of old and new fluid if water is what that makes it but for this share of all there could be:
/// rounding.
const SAME_MIXTURE: f64 = 1e-12;

/// Water by the old fraction, if every part is filled with old fluid of the same water, new fluid, or a mixture of both.
fn mixed_water(circuit: &Circuit, blend: &Blend) -> Option<Water> {
    let water = |old: f64, share: f64| blend.water_g_per_ml(old, 100.0 * share);
    let new = blend.water_g_per_ml(0.0, blend.new_fluid().water_percent);
    let fillings = || {
        let links = circuit.links.iter().filter(|l| l.tube.is_some()).map(|l| l.filling);
        links.chain(circuit.nodes.iter().map(|n| n.filling))
    };
    let oldest = fillings().max_by(|a, b| a.old_fraction.total_cmp(&b.old_fraction))?;
    let more = if oldest.old_fraction > 0.0 {
        (water(oldest.old_fraction, oldest.water_share) - new) / oldest.old_fraction
    } else {
        0.0
    };
    let of_it = |f: Filling| {
        let off = water(f.old_fraction, f.water_share) - new - more * f.old_fraction;
        off.abs() <= SAME_MIXTURE
    };
    fillings().all(of_it).then_some(Water::Mixed { new, more })
}
