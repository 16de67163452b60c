//! What reaches the wheels if the hydraulic modulators work once on the road after the job.

use super::boiling::{self, judge};
use crate::circuit::modulator::Channel;
use crate::job::error::JobError;
use crate::job::record::{ChannelThen, IfModulatorWorks};
use crate::job::state::{Job, Setting, Work};
use crate::measures::to_ml;
use crate::transport::chamber::Stages;

/// How long a unit works in one hard stop, s (100 km/h at 0.8 g takes 3.5 s; rounded up for a
/// slippery road).
const STOP_S: f64 = 5.0;

/// Works every modulator once on a copy of the final state, all channels, pump on; `None` without a
/// modulator, or if details are not asked for.
pub(crate) fn once(job: &Job) -> Result<Option<IfModulatorWorks>, JobError> {
    let c = &job.setting.circuit;
    if c.modulators.is_empty() || !job.setting.options.detail {
        return Ok(None);
    }
    let s = &job.setting.species;
    let mut trapped = vec![0.0; s.len()];
    let (mut trapped_m3, mut trapped_boiling_c) = (0.0, f64::INFINITY);
    let mut held = vec![0.0; s.len()];
    let mut system = job.system.clone();
    let mut channels = Vec::new();
    let mut worked: Option<Work> = None;
    for (number, modulator) in c.modulators.iter().enumerate() {
        for node in modulator.circuits.iter().flat_map(|m| m.trapped()) {
            // An accumulator without room of its own is empty once the pump has emptied it.
            if let Some(chamber) = job.system.chamber(node).filter(|c| c.volume() > 0.0) {
                chamber.held(&mut held);
                trapped_m3 += chamber.volume();
                trapped_boiling_c = boils_from(&job.setting, chamber).min(trapped_boiling_c);
                trapped.iter_mut().zip(&held).for_each(|(t, h)| *t += h);
            }
        }
        let listed: Vec<&Channel> = modulator.circuits.iter().flat_map(|m| &m.channels).collect();
        // Of all that leaves each passage, the mix with the most water.
        let mut worst: Vec<Vec<f64>> =
            listed.iter().map(|ch| system.last(ch.passage).to_vec()).collect();
        for (w, ch) in worst.iter_mut().zip(&listed) {
            if let Some(passage) = system.chamber(ch.passage) {
                mean(passage, w);
            }
        }
        // What the pump sends back up the line matters to the next unit alone.
        if let Some(before) = worked.take() {
            before.shut_end(&job.setting, &mut system, STOP_S)?;
        }
        let work = worked.insert(Work::all(&job.setting, number));
        work.shut_begin(&job.setting, &mut system, STOP_S, |system| {
            for (w, ch) in worst.iter_mut().zip(&listed) {
                let now = system.last(ch.passage);
                if s.water(now, 1.0) > s.water(w, 1.0) {
                    w.copy_from_slice(now);
                }
            }
        })?;
        for (ch, row) in listed.iter().zip(&worst) {
            let sent = judge(&job.setting, row, 1.0);
            let wheels = ch.bleeders.iter().map(|b| c.bleeders[*b].node);
            let wheels = wheels.filter_map(|n| Some((n, job.system.chamber(n)?)));
            // The smallest brake is the one that its passage's fluid changes most.
            let Some((node, brake)) = wheels.min_by(|a, b| a.1.volume().total_cmp(&b.1.volume()))
            else {
                continue;
            };
            let arrives = system.chamber(ch.passage).map_or(0.0, Stages::volume);
            let share = (arrives / brake.volume()).min(1.0);
            let now_c = boils_from(&job.setting, brake);
            let places = brake.stages().chain(brake.pockets()).map(|now| {
                let then = now.iter().zip(row).map(|(n, r)| n + share * (r - n));
                judge(&job.setting, &then.collect::<Vec<f64>>(), 1.0).boiling_c
            });
            let then_c = places.fold(now_c, f64::min);
            channels.push(ChannelThen {
                modulator: modulator.name.clone(),
                channel: ch.name.clone(),
                sent_old_fraction: sent.old_fraction,
                sent_water_percent: sent.water_percent,
                sent_boiling_c: sent.boiling_c,
                wheel: c.nodes[node].name.clone(),
                wheel_boiling_now_c: now_c,
                wheel_boiling_then_c: then_c,
            });
        }
    }
    let trapped = judge(&job.setting, &trapped, trapped_m3);
    Ok(Some(IfModulatorWorks {
        seconds: STOP_S,
        trapped_ml: to_ml(trapped_m3),
        trapped_old_fraction: trapped.old_fraction,
        trapped_water_percent: trapped.water_percent,
        trapped_boiling_c,
        channels,
    }))
}

/// The lowest boiling point in a chamber, °C.
fn boils_from(setting: &Setting, chamber: &Stages) -> f64 {
    let mut held = vec![0.0; setting.species.len()];
    chamber.held(&mut held);
    let mean = judge(setting, &held, chamber.volume());
    boiling::of_chamber(setting, chamber, mean.boiling_c).0
}

/// Writes the mean composition of a chamber.
fn mean(chamber: &Stages, row: &mut [f64]) {
    chamber.held(row);
    let volume = chamber.volume();
    row.iter_mut().for_each(|r| *r /= volume);
}
