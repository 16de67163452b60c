//! Brake fluid: grades and standard limits, viscosity, density, water, boiling point, composition.
//!
//! One law a file. [`blend::Fluid`] gathers the figures of one fluid, [`blend::Blend`] answers
//! for any mixture of the old fluid with the new at one temperature; [`grade`] and [`judge`] know
//! what the standards ask.
//!
//! ```
//! use farwheel::fluid::blend::{Blend, Fluid};
//! use farwheel::fluid::grade::grade;
//!
//! let old = Fluid::typical(grade("DOT 3").ok_or("no such grade")?);
//! let new = Fluid::typical(grade("DOT 4").ok_or("no such grade")?);
//! let blend = Blend::new(old, new, 293.15);
//!
//! // Half old, half new, 2 % water: boils below either dry fluid and above water.
//! let boiling_c = blend.boiling_c(0.5, 2.0);
//! assert!(boiling_c > 100.0 && boiling_c < 240.0);
//! # Ok::<(), &'static str>(())
//! ```

pub mod blend;
pub mod boiling;
pub mod declared;
pub mod density;
pub mod grade;
pub mod judge;
pub mod reading;
pub mod steam;
pub mod typical;
pub mod viscosity;
pub mod water;
