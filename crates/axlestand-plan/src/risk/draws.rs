//! Pseudo-random numbers by counting: the numbers of one step of one sample depend on nothing else, so
//! that neither the number of threads nor a change elsewhere in the job moves them.

/// `SplitMix64` (G. L. Steele, D. Lea, C. H. Flood, "Fast splittable pseudorandom number generators",
/// OOPSLA 2014; the constants from memory, checked against published first outputs).
#[derive(Debug, Clone)]
pub struct Draws(u64);

const GOLDEN: u64 = 0x9E37_79B9_7F4A_7C15;

fn mixed(state: u64) -> u64 {
    let state = (state ^ (state >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    let state = (state ^ (state >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    state ^ (state >> 31)
}

impl Draws {
    /// The numbers of a seed.
    #[must_use]
    pub fn seeded(seed: u64) -> Self {
        Self(seed)
    }

    /// A stream of its own for part `number` of this one, which does not move.
    #[must_use]
    pub fn part(&self, number: u64) -> Self {
        Self(mixed(self.0 ^ mixed(number.wrapping_add(GOLDEN))))
    }

    /// 64 bits.
    pub fn bits(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(GOLDEN);
        mixed(self.0)
    }

    /// A number above 0, at most 1.
    pub fn fraction(&mut self) -> f64 {
        ((self.bits() >> 11) + 1) as f64 / (1u64 << 53) as f64
    }

    /// Two independent standard normal numbers (G. E. P. Box and M. E. Muller, Ann. Math. Statist. 29,
    /// 1958).
    pub fn normals(&mut self) -> (f64, f64) {
        let radius = (-2.0 * self.fraction().ln()).sqrt();
        let (sine, cosine) = (std::f64::consts::TAU * self.fraction()).sin_cos();
        (radius * cosine, radius * sine)
    }

    /// A gamma number of this shape (above 0) and scale 1 (G. Marsaglia and W. W. Tsang, "A simple method
    /// for generating gamma variables", ACM TOMS 26, 2000; from memory).
    fn gamma(&mut self, shape: f64) -> f64 {
        if shape < 1.0 {
            let boost = self.fraction().powf(1.0 / shape);
            return boost * self.gamma(shape + 1.0);
        }
        let d = shape - 1.0 / 3.0;
        let c = 1.0 / (9.0 * d).sqrt();
        loop {
            let (x, _) = self.normals();
            let v = (1.0 + c * x).powi(3);
            if v > 0.0 && self.fraction().ln() < 0.5 * x * x + d - d * v + d * v.ln() {
                return d * v;
            }
        }
    }

    /// A beta number, 0 to 1, as the share of one gamma number in two; both shapes above 0.
    pub fn beta(&mut self, a: f64, b: f64) -> f64 {
        let (x, y) = (self.gamma(a), self.gamma(b));
        if x + y > 0.0 { x / (x + y) } else { a / (a + b) }
    }
}
