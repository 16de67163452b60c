//! Elements joined at nodes.

use super::{FlowError, Law};

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
