//! Random streams keyed by what they are for, so that no number depends on order or threads.

use rand::SeedableRng;
use rand_distr::{Distribution, StandardNormal, StandardUniform};
use rand_pcg::Pcg64Mcg;

/// A seeded stream of random numbers.
#[derive(Clone, Debug)]
pub struct Stream(Pcg64Mcg);

/// The stream of `(seed, key, block)`; equal keys give equal streams, on every machine.
pub fn stream(seed: u64, key: &str, block: u64) -> Stream {
    // FNV-1a over the key, then two rounds of splitmix to spread seed and block.
    let mut h: u64 = 0xcbf2_9ce4_8422_2325;
    for b in key.bytes() {
        h = (h ^ u64::from(b)).wrapping_mul(0x0100_0000_01b3);
    }
    let a = mix(seed ^ mix(h));
    let b = mix(a ^ mix(block.wrapping_add(0x9e37_79b9_7f4a_7c15)));
    let mut bytes = [0_u8; 16];
    bytes[..8].copy_from_slice(&a.wrapping_add(b).to_le_bytes());
    bytes[8..].copy_from_slice(&b.to_le_bytes());
    Stream(Pcg64Mcg::from_seed(bytes))
}

/// The finaliser of splitmix64 (Steele, Lea, Flood 2014; constants from memory).
fn mix(z: u64) -> u64 {
    let z = z.wrapping_add(0x9e37_79b9_7f4a_7c15);
    let z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    let z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    z ^ (z >> 31)
}

impl Stream {
    /// A standard normal draw.
    #[inline]
    pub fn normal(&mut self) -> f64 {
        StandardNormal.sample(&mut self.0)
    }
    /// A uniform draw in [0, 1).
    pub fn uniform(&mut self) -> f64 {
        StandardUniform.sample(&mut self.0)
    }
    /// A standard exponential draw.
    pub fn exponential(&mut self) -> f64 {
        rand_distr::Exp1.sample(&mut self.0)
    }
    /// A draw from any distribution of the library.
    pub fn sample<T, D: Distribution<T>>(&mut self, d: &D) -> T {
        d.sample(&mut self.0)
    }
}
