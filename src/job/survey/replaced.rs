//! Parts that were replaced: they hold air until they are bled, and air is not simulated.

use crate::circuit::{Bleeder, Circuit};
use crate::job::record::{Warning, WarningKind, at_line};
use crate::job::state::Setting;
use crate::keys::Role;

/// Warns of the air in parts that were replaced, and says at which bleeders it comes out. That a new part holds air,
/// that it is bled until no bubbles come, and that a modulator may keep some in passages which open only when it is
/// worked, is common practice, no source.
pub(crate) fn warning(setting: &Setting) -> Option<Warning> {
    let (scenario, c) = (&setting.scenario, &setting.circuit);
    let parts = || scenario.parts.iter().filter(|p| p.kind.contents().is_some_and(|h| h.replaced));
    let master = scenario.master_cylinder.replaced;
    let of_master = master.then_some((&scenario.master_cylinder.written, "the master cylinder"));
    let replaced: Vec<_> =
        of_master.into_iter().chain(parts().map(|p| (&p.written, p.name.as_str()))).collect();
    let (first, _) = replaced.first()?;
    let names: Vec<&str> = replaced.iter().map(|(_, name)| *name).collect();
    let passed = |b: &&Bleeder| {
        parts().any(|p| passes(c, b, |_, part| part == p.name))
            || (master && passes(c, b, |role, _| role == Role::MasterCylinder))
    };
    let bleeders: Vec<&str> = c.bleeders.iter().filter(passed).map(|b| b.name.as_str()).collect();
    let at = match bleeders.len() {
        n if n == 0 || n == c.bleeders.len() => "every bleeder".to_owned(),
        _ => bleeders.join(", "),
    };
    let worked = match parts().any(|p| p.role() == Role::Modulator) {
        true => {
            ", working the new modulator by its service function, which frees what its closed passages keep,"
        }
        false => "",
    };
    Some(Warning::new(
        WarningKind::AirInAReplacedPart,
        format!(
            "{} air until bled, and air is not simulated: the figures hold only once it is out. First bleed at {at}{worked} until no bubbles come and the {} is firm, then flush{}",
            match names.as_slice() {
                [one] => format!("{one} was replaced and holds"),
                several => format!("{} were replaced and hold", several.join(", ")),
            },
            scenario.vehicle.spoken().pedal,
            at_line(first.line_of("replaced"))
        ),
    ))
}

/// Whether the way to a bleeder leads through what is asked for by its role and its part's name.
fn passes(c: &Circuit, bleeder: &Bleeder, is: impl Fn(Role, &str) -> bool) -> bool {
    let node = |i: usize| is(c.nodes[i].role, &c.nodes[i].part);
    let link = |i: &usize| {
        let l = &c.links[*i];
        is(Role::Joint, &l.name) || node(l.from) || node(l.to)
    };
    node(bleeder.node) || bleeder.path.iter().any(link)
}
