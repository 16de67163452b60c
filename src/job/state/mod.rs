//! A job under way: what changes while it runs, and its setting, which does not.

mod books;
mod drawing;
mod hydraulics;
pub mod limits;
mod mixing;
mod modulator;
mod networks;
pub(crate) mod parts;
pub(crate) mod path;
mod setting;
mod stroke;

use crate::flow::FlowError;
use crate::job::error::JobError;
use crate::job::record::over_time::Held;
use crate::job::record::{Does, Opening, StepDone, SupplyPoint, Warning, WarningKind, at_line};
use crate::measures::{to_kpa, to_ml};
use crate::supply::{Cap, ENDLESS_M3, Supply};
use crate::transport::system::System;
use books::Books;
use hydraulics::Joined;
pub(crate) use hydraulics::{Fast, Hydraulics, LAMINAR_TO, Lost, screw_viscous_resistance};
use limits::Taken;
pub(crate) use mixing::{DIFFUSION_M2_S, overturn_s, wet_density_kg_m3};
pub(crate) use modulator::Work;
pub(crate) use setting::{Position, Setting};
use std::sync::Arc;
use stroke::Stroke;
pub(crate) use stroke::{Driven, OVER};

/// A job under way. Cloning it lets two continuations part.
#[derive(Debug, Clone)]
pub(crate) struct Job {
    pub setting: Arc<Setting>,
    pub system: System,
    pub supply: Box<dyn Supply>,
    pub books: Books,
    /// What each part held at first.
    pub at_first: Arc<[Held]>,
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
    pub stroke: Stroke,
    /// Pedal strokes begun.
    pub strokes: u32,
    pub steps: Vec<StepDone>,
    /// Openings so far, in the order in which they were closed.
    pub openings: Vec<Opening>,
    pub warnings: Vec<Warning>,
    pub supply_curve: Vec<SupplyPoint>,
    /// Lines in which fluid flowed too fast for laminar lanes.
    pub fast: Vec<Fast>,
    /// What it has taken of time and memory.
    pub taken: Taken,
}

impl Job {
    pub(crate) fn new(setting: Arc<Setting>) -> Result<Self, JobError> {
        limits::before_filling(&setting)?;
        let mut system = System::new(
            &setting.circuit,
            &setting.lanes,
            |filling, tag| setting.composition(filling, tag),
            |tag| setting.species.index(tag),
        );
        if let Some(sketched) = &setting.sketched {
            system.stand_for(&setting.circuit, sketched.grain.clone());
        }
        let mut supply = setting.described_supply()?.kind.ready();
        let loaded = supply.loaded().map_or(0.0, |l| l.fluid_m3);
        if setting.endless {
            supply.never_dry(setting.more_loaded_m3);
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
        let at_first = parts::held(&setting.parts, (&system, &setting.species)).into();
        let mut job = Self {
            at_first,
            system,
            supply,
            books,
            clock_s: setting.tasks().setup.value,
            flow_s: 0.0,
            repumps: 0,
            cap_air: None,
            dry: false,
            working: None,
            least_load_m3: None,
            dry_at: String::new(),
            stroke: Stroke::default(),
            strokes: 0,
            steps: Vec::new(),
            openings: Vec::new(),
            warnings: Vec::new(),
            supply_curve: Vec::new(),
            fast: Vec::new(),
            setting,
            taken: Taken::default(),
        };
        job.note_supply();
        Ok(job)
    }

    /// Gauge pressure of the supply, kPa.
    pub(crate) fn gauge_kpa(&self) -> f64 {
        to_kpa(self.supply.gauge_pa())
    }

    /// Air under the reservoir's cap.
    pub(crate) fn cap(&self) -> Cap {
        let brim_m3 = self.setting.circuit.reservoir.brim_m3;
        let space_m3 = (brim_m3 - self.system.reservoir.volume()).max(0.0);
        Cap { space_m3, air_pa_m3: self.cap_air }
    }

    /// Fluid in the reservoir at which it is topped up by hand and that after it, m³; `None` if it never is.
    pub(crate) fn refill(&self) -> Option<(f64, f64)> {
        self.setting.circuit.reservoir.refill(self.supply.topping()?)
    }

    /// Notes the supply and reservoir as they are now.
    pub(crate) fn note_supply(&mut self) {
        if self.setting.options.detail {
            let point = self.supply_point();
            self.supply_curve.push(point);
        }
    }

    /// The supply and reservoir as they are now.
    pub(crate) fn supply_point(&self) -> SupplyPoint {
        let s = &self.setting.species;
        let reservoir = &self.system.reservoir;
        let (volume, old) = (reservoir.volume(), reservoir.held_of(|row| s.old(row)));
        let extra = if self.setting.endless { ENDLESS_M3 } else { 0.0 };
        SupplyPoint {
            at_s: self.clock_s,
            gauge_kpa: self.gauge_kpa(),
            supply_ml: self.supply.loaded().map(|l| to_ml(l.fluid_m3 - extra)),
            reservoir_ml: to_ml(volume),
            reservoir_old_fraction: if volume > 0.0 { old / volume } else { 0.0 },
        }
    }

    /// Notes a step that is not an opening.
    pub(crate) fn note_step(&mut self, step: usize, does: Does, moved_m3: f64) {
        let cap_off =
            self.cap_air.is_none() && matches!(does, Does::Syringe | Does::TopUp | Does::SetLevel);
        let vented = cap_off && self.supply.feed_hose().is_some();
        let gauge_kpa = if vented { 0.0 } else { self.gauge_kpa() };
        let at_s = self.clock_s;
        self.steps.push(StepDone { step, does, at_s, moved_ml: to_ml(moved_m3), gauge_kpa });
    }

    /// Adds a warning, once of each text.
    pub(crate) fn warn(&mut self, kind: WarningKind, text: String) {
        let warning = Warning::new(kind, text);
        if !self.warnings.contains(&warning) {
            self.warnings.push(warning);
        }
    }

    /// Adds a warning, once of each kind.
    pub(crate) fn warn_of_kind(&mut self, warning: Warning) {
        if self.warnings.iter().all(|w| w.kind != warning.kind) {
            self.warnings.push(warning);
        }
    }

    /// Pours new fluid into the reservoir and books it.
    pub(crate) fn pour(&mut self, volume: f64) {
        self.system.reservoir.pour(volume, &self.setting.new_fluid);
        self.books.comes(volume, &self.setting.new_fluid);
    }

    /// Takes fluid out of the reservoir and books it.
    pub(crate) fn draw(&mut self, volume: f64) {
        self.system.reservoir.draw(volume, &mut self.books.gone);
        self.books.gone_volume += volume;
        self.books.removed += volume;
    }

    /// Whether air stands over an outlet of the reservoir.
    fn bare_outlets(&self) -> bool {
        let outlets = 0..self.setting.circuit.reservoir.outlets.len();
        outlets.into_iter().any(|o| self.system.reservoir.over_outlet_m3(o) < BARE_M3)
    }

    /// Warns of a reservoir that was drawn empty down to its outlets.
    pub(crate) fn warn_of_bare_outlets(&mut self, at_line: &str) {
        if self.bare_outlets() {
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
    pub(crate) fn settle(&mut self) {
        let mut cap = self.cap();
        let bare = self.cap_air.is_none() && self.bare_outlets();
        let Some((hose, rise)) = self.supply.settle(&mut cap) else { return };
        self.cap_air = cap.air_pa_m3;
        self.books.hose += hose;
        self.pour(rise);
        if bare {
            let line = at_line(self.setting.supply_line());
            self.warn(
                WarningKind::AirReachesAnOutlet,
                format!(
                    "air stands over the reservoir's outlets as the feed valve is opened and would be pressed into the circuit: fill the reservoir by hand first, with a step `top_up` before it{line}"
                ),
            );
        }
    }

    /// What the rounding of running sums over all steps so far, and over some thousand additions besides, may come to, m³:
    /// half the last digit each, of all fluid that they run over.
    pub(crate) fn rounding_m3(&self) -> f64 {
        let sums = 4096.0 + f64::from(self.taken.steps());
        f64::EPSILON * sums * (self.books.start_volume + self.books.come_volume)
    }

    /// Its fluid where it lies, and what that is made of.
    pub(crate) fn fluid(&self) -> path::Fluid<'_> {
        (&self.system, &self.setting.species)
    }

    /// The flow network of these open bleeders, pushed from where the supply does.
    pub(crate) fn network(&self, open: &[usize]) -> Result<Hydraulics, FlowError> {
        let Setting { circuit, networks, .. } = &*self.setting;
        let strokes = self.supply.strokes().is_some();
        let chambers = strokes.then(|| self.stroke.able(circuit, open));
        let drawings =
            self.working.as_ref().map_or_else(Vec::new, |work| work.drawings(&self.setting));
        let joined = Joined { chambers, open: open.to_vec(), drawings };
        let feed = self.supply.feed_hose();
        let mut h = match networks.take(&joined) {
            Some(h) => h,
            None => Hydraulics::new(circuit, feed, joined)?,
        };
        h.at_bleeder_pa = self.supply.at_bleeder_pa();
        Ok(h)
    }

    /// Counts a step with this many bleeders open.
    ///
    /// # Errors
    /// If the job has taken more than is allowed.
    pub(crate) fn count_step(&mut self, open: usize, place: Position) -> Result<(), JobError> {
        if self.taken.step(&self.setting, open) { self.within_limits(place) } else { Ok(()) }
    }

    /// Whether the job is within what is allowed.
    ///
    /// # Errors
    /// If it is not.
    pub(crate) fn within_limits(&mut self, place: Position) -> Result<(), JobError> {
        self.taken.look(&self.setting, &self.system, place)
    }

    /// Compares what is held with what was there, came and went.
    pub(crate) fn balance(&mut self) {
        self.books.compare(&self.setting.species, &self.system);
    }
}

/// Less than this over an outlet does not cover it, m³ (an estimate: four drops).
const BARE_M3: f64 = 0.2e-6;
