//! What the supply does while bleeders are open: feeding, re-pumping, topping up.

use crate::job::record::{Does, WarningKind, at_line};
use crate::job::state::Job;
use crate::supply::SetGauge;

/// What the supply sends into the reservoir while `drained` leaves; `lasts` is what the outlets in use can give without
/// it, m³.
pub(crate) fn feed(job: &mut Job, drained: f64, lasts: f64) -> f64 {
    let cap = job.cap();
    let fed = job.supply.feed(drained, lasts, cap);
    job.books.hose += fed.hose_m3;
    if fed.air_reaches_an_outlet {
        let line = at_line(job.setting.supply_line());
        job.warn(
            WarningKind::AirReachesAnOutlet,
            format!(
                "the reservoir holds too little fluid for the air under its cap and out of the feed hose: as fluid leaves, that air reaches an outlet and would enter the circuit; fill the reservoir first, fill the feed hose before it is put on (`feed_hose_holds = \"new fluid\"`), take a shorter one, or keep the gauge up{line}"
            ),
        );
    }
    fed.reservoir_m3
}

/// Pumps the supply up if it has fallen below its low mark.
pub(crate) fn re_pump(job: &mut Job) {
    let Some(SetGauge { pa, low_mark_pa: Some(mark) }) = job.supply.set_gauge() else { return };
    let gauge_pa = job.supply.gauge_pa();
    if gauge_pa < mark && gauge_pa < pa {
        pump_to(job, pa, 0);
    }
}

/// Pumps the supply up and books the time; `step` is 0 where the technician does it of himself. Says whether there is
/// anything to pump.
pub(crate) fn pump_to(job: &mut Job, gauge_pa: f64, step: usize) -> bool {
    // He pumps until the gauge reads it with the valve open, while fluid still rises under the cap.
    for _ in 0..20 {
        if !job.supply.pump_to(gauge_pa) {
            return false;
        }
        job.settle();
        if (job.supply.gauge_pa() - gauge_pa).abs() < 1.0 {
            break;
        }
    }
    job.repumps += 1;
    job.clock_s += job.setting.tasks().per_re_pump.value;
    job.note_step(step, Does::RePump, 0.0);
    job.note_supply();
    true
}

/// Tops the reservoir up by hand, where no supply feeds it. Fluid is taken not to run meanwhile, as while a supply is
/// pumped up: whoever pours does not watch the bleeder.
pub(crate) fn top_up(job: &mut Job) {
    let Some((_, to)) = job.refill() else { return };
    let volume = (to - job.system.reservoir.volume()).max(0.0);
    job.pour(volume);
    job.books.by_hand += volume;
    job.clock_s += job.setting.tasks().per_top_up.value;
    job.note_step(0, Does::TopUp, volume);
    job.note_supply();
}
