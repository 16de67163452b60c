//! Symmetric positive matrices, as covariances are: stored by ndarray, computed by plain loops, whose sums come out the same
//! on every machine.

use crate::portable;
use ndarray::Array2;

/// Σ aᵢ bᵢ, in order.
pub(super) fn dot<'a>(
    a: impl IntoIterator<Item = &'a f64>,
    b: impl IntoIterator<Item = &'a f64>,
) -> f64 {
    a.into_iter().zip(b).map(|(a, b)| a * b).sum()
}

/// The Cholesky factor L of A = L Lᵀ.
#[derive(Debug, Clone)]
pub(super) struct Factor(Array2<f64>);

impl Factor {
    /// `None` if A is not positive definite.
    pub fn of(a: &Array2<f64>) -> Option<Self> {
        let n = a.nrows();
        let mut l = Array2::<f64>::zeros((n, n));
        for i in 0..n {
            for j in 0..=i {
                let left = a[[i, j]] - (0..j).map(|k| l[[i, k]] * l[[j, k]]).sum::<f64>();
                if i == j {
                    // What is no number is not positive either.
                    if left <= 0.0 || left.is_nan() {
                        return None;
                    }
                    l[[i, i]] = left.sqrt();
                } else {
                    l[[i, j]] = left / l[[j, j]];
                }
            }
        }
        Some(Self(l))
    }

    /// L⁻¹ b.
    pub fn whiten(&self, b: &[f64]) -> Vec<f64> {
        let l = &self.0;
        let mut x: Vec<f64> = Vec::with_capacity(b.len());
        for i in 0..b.len() {
            let known: f64 = x.iter().enumerate().map(|(k, x)| l[[i, k]] * x).sum();
            x.push((b[i] - known) / l[[i, i]]);
        }
        x
    }

    /// A⁻¹ b.
    pub fn solve(&self, b: &[f64]) -> Vec<f64> {
        let l = &self.0;
        let mut x = self.whiten(b);
        for i in (0..x.len()).rev() {
            let known: f64 = (i + 1..x.len()).map(|k| l[[k, i]] * x[k]).sum();
            x[i] = (x[i] - known) / l[[i, i]];
        }
        x
    }

    /// L z: of independent normal deviates, deviates of covariance A.
    pub fn colour(&self, z: &[f64]) -> Vec<f64> {
        (0..z.len()).map(|i| (0..=i).map(|k| self.0[[i, k]] * z[k]).sum()).collect()
    }

    /// A⁻¹.
    pub fn inverse(&self) -> Array2<f64> {
        let n = self.0.nrows();
        let mut inverse = Array2::zeros((n, n));
        for j in 0..n {
            let mut unit = vec![0.0; n];
            unit[j] = 1.0;
            for (i, x) in self.solve(&unit).into_iter().enumerate() {
                inverse[[i, j]] = x;
            }
        }
        inverse
    }

    /// ln |A|.
    pub fn ln_det(&self) -> f64 {
        2.0 * self.0.diag().iter().map(|l| portable::ln(*l)).sum::<f64>()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use nalgebra::DMatrix;
    use ndarray::array;

    /// Against another library's factor.
    #[test]
    fn a_factor_solves_inverts_and_colours() {
        let a = array![[4.0, 1.0, -0.5], [1.0, 3.0, 0.2], [-0.5, 0.2, 2.0]];
        let theirs = DMatrix::from_iterator(3, 3, a.iter().copied());
        let (ours, cholesky) =
            (Factor::of(&a).expect("positive"), theirs.clone().cholesky().expect("positive"));
        let b = [1.0, -2.0, 0.7];
        let x = cholesky.solve(&nalgebra::DVector::from_row_slice(&b));
        for (ours, theirs) in ours.solve(&b).iter().zip(x.iter()) {
            assert!((ours - theirs).abs() < 1e-14);
        }
        for (ours, theirs) in ours.inverse().iter().zip(cholesky.inverse().iter()) {
            assert!((ours - theirs).abs() < 1e-14);
        }
        assert!((ours.ln_det() - theirs.determinant().ln()).abs() < 1e-14);
        let coloured = ours.colour(&ours.whiten(&b));
        assert!(coloured.iter().zip(b).all(|(c, b)| (c - b).abs() < 1e-14));
        assert!(Factor::of(&array![[1.0, 2.0], [2.0, 1.0]]).is_none());
    }
}
