//! The joint at which a line or hose runs on from another: whether its key counts for anything.

use super::mistake::Diagnostics;
use super::parts::RawPart;

/// The key that says how far a joint mixes the cross-section.
const JOINT_REMIX: &str = "joint_remix";

/// Refuses the key where no two lanes could be mixed by it.
pub(crate) fn check(diagnostics: &mut Diagnostics<'_>, parts: &[RawPart]) {
    let is_tube = |p: &RawPart| p.kind.run().is_some();
    let is_plug = |p: &RawPart| p.placed.section.text("profile") == Some("plug");
    for p in parts.iter().filter(|p| p.placed.spans.contains_key(JOINT_REMIX)) {
        let (own, span) = (p.name.name.as_str(), p.placed.span(JOINT_REMIX));
        let [from] = p.from.as_slice() else { continue };
        let before = parts.iter().find(|q| q.name.name == from.name);
        match before {
            Some(before) if !is_tube(before) => diagnostics.add(
                span,
                format!(
                    "`{own}` begins at `{}`, a {}, where fluid is mixed anyway",
                    from.name, before.spec.name
                ),
                format!(
                    "leave out `{JOINT_REMIX}`: it is for a line or hose that runs on from another"
                ),
            ),
            None => diagnostics.add(
                span,
                format!(
                    "`{own}` begins at the chamber `{}`, where fluid is mixed anyway",
                    from.name
                ),
                format!(
                    "leave out `{JOINT_REMIX}`: it is for a line or hose that runs on from another"
                ),
            ),
            Some(before) if is_plug(before) || is_plug(p) => diagnostics.add(
                span,
                format!(
                    "fluid moves through `{}` as a plug, which has no lanes to mix",
                    if is_plug(p) { own } else { &from.name }
                ),
                format!("leave out `{JOINT_REMIX}`, or `profile = \"plug\"`"),
            ),
            Some(_) => {}
        }
    }
}
