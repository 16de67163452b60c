//! Whether hydraulic modulators, and the steps that work them, name what there is.

use super::mistake::Diagnostics;
use super::parts::RawPart;
use super::sections::Named;
use super::suggest;
use crate::keys::Role;

fn is_modulator(p: &RawPart) -> bool {
    p.spec.role == Role::Modulator
}

/// The parts that start from a modulator.
fn channels_of<'p>(name: &str, parts: &'p [RawPart]) -> Vec<&'p str> {
    let starts = parts.iter().filter(|p| p.from.iter().any(|f| f.name == name));
    starts.map(|p| p.name.name.as_str()).collect()
}

fn no_such_channel(
    diagnostics: &mut Diagnostics<'_>,
    modulator: &str,
    channel: &Named,
    known: &[&str],
) {
    diagnostics.add(
        channel.span.clone(),
        format!("modulator `{modulator}` has no channel `{}`", channel.name),
        suggest::remedy(&channel.name, known.iter().copied(), "channels"),
    );
}

/// Inlets, channels and their circuits.
pub(crate) fn check(diagnostics: &mut Diagnostics<'_>, parts: &[RawPart]) {
    for m in parts.iter().filter(|p| is_modulator(p)) {
        let name = &m.name.name;
        let known = channels_of(name, parts);
        if known.is_empty() {
            // A misspelt `from` has been told already.
            if diagnostics.clean() {
                diagnostics.add(
                    m.name.span.clone(),
                    format!("nothing starts from modulator `{name}`"),
                    format!("let the line of each channel start from it, with `from = \"{name}\"`"),
                );
            }
            continue;
        }
        let first = m.placed.names.get("first_circuit").map_or(&[][..], Vec::as_slice);
        let unknown: Vec<&Named> =
            first.iter().filter(|c| !known.contains(&c.name.as_str())).collect();
        // A part that is missing, or starts from a misspelt modulator, has been told already.
        let told = |c: &Named| {
            let part = parts.iter().find(|p| p.name.name == c.name);
            let misspelt = |p: &RawPart| {
                p.from.iter().any(|f| suggest::nearest(&f.name, [name.as_str()]).is_some())
            };
            !diagnostics.clean() && part.is_none_or(misspelt)
        };
        let untold: Vec<&Named> = unknown.iter().copied().filter(|c| !told(c)).collect();
        for channel in untold {
            no_such_channel(diagnostics, name, channel, &known);
        }
        match m.from.as_slice() {
            [] | [_] if first.is_empty() => {}
            [] | [_] => diagnostics.add(
                m.placed.span("first_circuit"),
                format!("modulator `{name}` has one line in `from`, so one circuit"),
                "leave out `first_circuit`, or name the second circuit's line in `from` too",
            ),
            [_, _] => {
                let of_first = known.iter().filter(|k| first.iter().any(|c| c.name == **k)).count();
                // A misspelt key has been told already.
                let said = !m.placed.misspells("first_circuit");
                if said && unknown.is_empty() && (of_first == 0 || of_first == known.len()) {
                    diagnostics.add(
                        m.placed.span("first_circuit"),
                        format!("modulator `{name}` has two lines in `from`, but it is not said which channels each feeds"),
                        format!(
                            "let `first_circuit` name those that `{}` feeds; channels: {}",
                            m.from[0].name,
                            known.join(", ")
                        ),
                    );
                }
                if let Some(p) =
                    parts.iter().find(|p| p.to.as_ref().is_some_and(|t| t.name == *name))
                {
                    diagnostics.add(
                        p.placed.span("to"),
                        format!("`to` can't be `{name}`, which has two circuits"),
                        format!("name the line that feeds each circuit in `from` of `{name}`"),
                    );
                }
            }
            [_, _, third, ..] => diagnostics.add(
                third.span.clone(),
                format!("modulator `{name}` has {} lines in `from`", m.from.len()),
                "name one for each of its one or two circuits; join others with a tee before",
            ),
        }
    }
}

/// A step that works a modulator names one there is, and channels that it has.
pub(crate) fn check_step(
    diagnostics: &mut Diagnostics<'_>,
    m: &Named,
    channels: &[Named],
    parts: &[RawPart],
) {
    let modulators = || parts.iter().filter(|p| is_modulator(p));
    if !modulators().any(|p| p.name.name == m.name) {
        diagnostics.add(
            m.span.clone(),
            format!("there is no hydraulic modulator `{}`", m.name),
            suggest::remedy(
                &m.name,
                modulators().map(|p| p.name.name.as_str()),
                "hydraulic modulators",
            ),
        );
        return;
    }
    let known = channels_of(&m.name, parts);
    for c in channels.iter().filter(|c| !known.contains(&c.name.as_str())) {
        no_such_channel(diagnostics, &m.name, c, &known);
    }
}
