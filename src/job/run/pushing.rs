//! What the supply does while bleeders are open: feeding, re-pumping, topping up.

use crate::job::record::wording::at_line;
use crate::job::record::{Does, WarningKind};
use crate::job::state::{Setting, State};
use crate::supply::SetGauge;

/// What the supply sends into the reservoir while `drained` leaves; `lasts` is what the outlets in use can give without
/// it, m³.
pub(crate) fn feed(setting: &Setting, state: &mut State, drained: f64, lasts: f64) -> f64 {
    let cap = state.cap(setting);
    let (fed, air_reaches_an_outlet) = state.supply.feed(drained, lasts, cap);
    if air_reaches_an_outlet {
        let line = at_line(setting.supply_line());
        state.warn(
            WarningKind::AirReachesAnOutlet,
            format!(
                "the reservoir holds too little fluid for the air under its cap and out of the feed hose: as fluid leaves, that air reaches an outlet and would enter the circuit; fill the reservoir first, fill the feed hose before it is put on (`feed_hose_holds = \"new fluid\"`), take a shorter one, or keep the gauge up{line}"
            ),
        );
    }
    fed
}

/// Pumps the supply up if it has fallen below its low mark.
pub(crate) fn re_pump(setting: &Setting, state: &mut State) {
    let Some(SetGauge { pa, low_mark_pa: Some(mark) }) = state.supply.set_gauge() else { return };
    let gauge_pa = state.supply.gauge_pa();
    if gauge_pa < mark && gauge_pa < pa {
        pump_to(setting, state, pa, 0);
    }
}

/// Pumps the supply up and books the time; `step` is 0 where the technician does it of himself. Says whether there is
/// anything to pump.
pub(crate) fn pump_to(setting: &Setting, state: &mut State, gauge_pa: f64, step: usize) -> bool {
    // He pumps until the gauge reads it with the valve open, while fluid still rises under the cap.
    for _ in 0..20 {
        if !state.supply.pump_to(gauge_pa) {
            return false;
        }
        state.settle(setting);
        if (state.supply.gauge_pa() - gauge_pa).abs() < 1.0 {
            break;
        }
    }
    state.repumps += 1;
    state.clock_s += setting.tasks().per_re_pump.value;
    state.note_step(step, Does::RePump, 0.0);
    state.note_supply(setting);
    true
}

/// Tops the reservoir up by hand, where no supply feeds it. Fluid is taken not to run meanwhile, as while a supply is
/// pumped up: whoever pours does not watch the bleeder.
pub(crate) fn top_up(setting: &Setting, state: &mut State) {
    let Some(topping) = state.supply.topping() else { return };
    let Some((_, to)) = setting.circuit.reservoir.refill(topping) else { return };
    let volume = (to - state.system.reservoir.volume()).max(0.0);
    state.pour(setting, volume);
    state.books.by_hand += volume;
    state.clock_s += setting.tasks().per_top_up.value;
    state.note_step(0, Does::TopUp, volume);
    state.note_supply(setting);
}
