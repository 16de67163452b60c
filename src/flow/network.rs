//! Elements joined at nodes.

use super::{Contents, FlowError, Law};

/// Largest fixed pressure taken, Pa: far beyond any fluid, far within what numbers hold.
const MOST_PA: f64 = 1e12;

/// A part that joins two nodes.
#[derive(Debug, Clone, PartialEq)]
pub struct Element {
    /// Number of the node it comes from; flow is positive away from it.
    pub from: usize,
    /// Number of the node it leads to.
    pub to: usize,
    /// What it costs in pressure.
    pub law: Law,
    /// Its name, for messages.
    pub name: String,
}

/// Elements joined at nodes. Loops, and several elements between the same two nodes, are allowed.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Network {
    /// Names of the nodes, for messages.
    pub nodes: Vec<String>,
    /// The elements.
    pub elements: Vec<Element>,
}

impl Network {
    /// Whether the network can be solved once pressures are fixed.
    ///
    /// # Errors
    /// [`FlowError::NoSuchNode`], [`FlowError::SelfJoined`] or [`FlowError::BadLaw`] for the first
    /// element at fault.
    pub fn check(&self) -> Result<(), FlowError> {
        for Element { from, to, law, name } in &self.elements {
            for node in [*from, *to] {
                if node >= self.nodes.len() {
                    return Err(FlowError::NoSuchNode { part: name.clone(), node });
                }
            }
            if from == to {
                return Err(FlowError::SelfJoined { part: name.clone() });
            }
            law.check().map_err(|what| FlowError::BadLaw { part: name.clone(), what })?;
        }
        Ok(())
    }

    /// Whether there are as many pressures as nodes and as many contents as elements, all usable.
    pub(super) fn check_state(
        &self,
        boundary: &[Option<f64>],
        contents: &[Contents],
    ) -> Result<(), FlowError> {
        let (nodes, elements) = (&self.nodes, &self.elements);
        for (what, needed, given) in [
            ("fixed or free pressures", nodes.len(), boundary.len()),
            ("contents", elements.len(), contents.len()),
        ] {
            if needed != given {
                return Err(FlowError::WrongLength { what, needed, given });
            }
        }
        let beyond = |b: &Option<f64>| b.is_some_and(|p| p.is_nan() || p.abs() > MOST_PA);
        if let Some(n) = boundary.iter().position(beyond) {
            let what = "has a pressure that is not a number within 1e12 Pa";
            return Err(FlowError::BadNumber { part: nodes[n].clone(), what });
        }
        // Asked at each solve: without branches.
        let usable = |x: f64| (x > 0.0) & (x < f64::INFINITY);
        let good = |c: &Contents| usable(c.density_kg_m3) & usable(c.nu_m2_s);
        if contents.iter().fold(true, |all, c| all & good(c)) {
            return Ok(());
        }
        if let Some(e) = contents.iter().position(|c| !good(c)) {
            let what = "holds a fluid whose density or viscosity is not above zero";
            return Err(FlowError::BadNumber { part: elements[e].name.clone(), what });
        }
        Ok(())
    }

    /// Ends of every element.
    pub fn ends(&self) -> Vec<(usize, usize)> {
        self.elements.iter().map(|e| (e.from, e.to)).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn joined(from: usize, to: usize, law: Law) -> Network {
        Network {
            nodes: vec!["a".into(), "b".into()],
            elements: vec![Element { from, to, law, name: "pipe".into() }],
        }
    }

    #[test]
    fn faults_are_named() {
        let fine = Law::Quadratic { k_pa_s2_per_m6: 1.0 };
        assert_eq!(joined(0, 1, fine).check(), Ok(()));
        let part = || "pipe".to_string();
        assert_eq!(joined(1, 1, fine).check(), Err(FlowError::SelfJoined { part: part() }));
        assert_eq!(
            joined(0, 2, fine).check(),
            Err(FlowError::NoSuchNode { part: part(), node: 2 })
        );
        let nan = Law::Check { cracking_pa: f64::NAN, bore_m: 1e-3 };
        let err = joined(0, 1, nan).check().unwrap_err();
        assert_eq!(err.to_string(), "pipe needs a cracking pressure of zero or more");
    }
}
