//! Jobs whose reservoir is not one mixed body: stages, dead corners, what runs straight to the outlets, drawn at random.

use super::cars::HATCHBACK;
use super::rules::{BLEEDER, Job, MOTORCYCLE, SYRINGED, with};

/// Numbers between 0 and 1, the same on every machine (splitmix64; Steele, Lea and Flood 2014, from memory).
pub struct Draw(pub u64);

impl Draw {
    /// The next one.
    pub fn share(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// One between these.
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.share()
    }

    /// Whether something of this chance is so.
    pub fn so(&mut self, chance: f64) -> bool {
        self.share() < chance
    }
}

/// Keys of `[reservoir]`: about half of them each time.
fn keys(draw: &mut Draw) -> String {
    let mut keys = format!("stages = {}\n", draw.between(1.0, 11.0) as u32);
    if draw.so(0.6) {
        let (pocket, trade) = (draw.between(0.05, 0.5), draw.between(0.02, 0.4));
        keys += &format!("pocket = {pocket:.3}\npocket_exchange = {trade:.3}\n");
        if draw.so(0.5) {
            keys += &format!("pocket_time = \"{:.0} s\"\n", draw.between(20.0, 400.0));
        }
    }
    if draw.so(0.6) {
        keys += &format!("bypass = {:.3}\n", draw.between(0.05, 0.5));
    }
    keys
}

/// The hatchback under pressure and by gravity, syringed before, and a motorcycle.
pub fn jobs() -> Vec<Job> {
    let mut draw = Draw(20);
    let plenty = with(HATCHBACK, "loaded = \"1 L\"", "loaded = \"3 L\", shell = \"9 L\"");
    let syringed = with(SYRINGED, "loaded = \"1 L\"", "loaded = \"3 L\", shell = \"9 L\"");
    let cars = [
        ("hatchback", plenty.as_str(), BLEEDER, 6),
        ("hatchback, syringed", syringed.as_str(), BLEEDER, 3),
        ("hatchback", HATCHBACK, "gravity", 3),
        ("motorcycle", MOTORCYCLE, "gravity", 2),
    ];
    let mut jobs = Vec::new();
    for (what, text, supply, count) in cars {
        for _ in 0..count {
            let keys = keys(&mut draw);
            let name = format!("{what}, {supply}, {}", keys.replace('\n', ", "));
            jobs.push((name, with(text, "[reservoir]\n", &format!("[reservoir]\n{keys}")), supply));
        }
    }
    jobs
}
