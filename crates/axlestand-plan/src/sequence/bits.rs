//! A set of operations of fixed size, as a key of a state.

use std::hash::{BuildHasherDefault, Hasher};

/// A set of operations below `64 * W`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(crate) struct Bits<const W: usize>(pub(crate) [u64; W]);

impl<const W: usize> Bits<W> {
    pub(crate) const NONE: Self = Self([0; W]);

    /// From a row of bits of at most `W` words.
    pub(crate) fn from_row(row: &[u64]) -> Self {
        let mut bits = Self::NONE;
        for (to, from) in bits.0.iter_mut().zip(row) {
            *to = *from;
        }
        bits
    }

    pub(crate) fn add(&mut self, at: usize) {
        self.0[at / 64] |= 1 << (at % 64);
    }

    pub(crate) fn has(&self, at: usize) -> bool {
        self.0[at / 64] >> (at % 64) & 1 == 1
    }

    /// Whether everything in `self` is in `other` too.
    pub(crate) fn within(&self, other: &Self) -> bool {
        self.0.iter().zip(&other.0).all(|(a, b)| a & !b == 0)
    }

    /// Whether the two have anything in common.
    pub(crate) fn meets(&self, other: &Self) -> bool {
        self.0.iter().zip(&other.0).any(|(a, b)| a & b != 0)
    }

    /// What is in either.
    pub(crate) fn or(&self, other: &Self) -> Self {
        Self(std::array::from_fn(|word| self.0[word] | other.0[word]))
    }

    /// What is in both.
    pub(crate) fn both(&self, other: &Self) -> Self {
        Self(std::array::from_fn(|word| self.0[word] & other.0[word]))
    }

    /// What is in this and not in the other.
    pub(crate) fn without(&self, other: &Self) -> Self {
        Self(std::array::from_fn(|word| self.0[word] & !other.0[word]))
    }

    pub(crate) fn remove(&mut self, at: usize) {
        self.0[at / 64] &= !(1 << (at % 64));
    }

    /// The lowest.
    pub(crate) fn first(&self) -> Option<usize> {
        let word = self.0.iter().position(|word| *word != 0)?;
        Some(word * 64 + self.0[word].trailing_zeros() as usize)
    }

    pub(crate) fn count(&self) -> usize {
        self.0.iter().map(|word| word.count_ones() as usize).sum()
    }
}

/// A fast hasher for keys of whole words (multiply and rotate); not for keys from outside.
#[derive(Default, Clone)]
pub(crate) struct WordHasher(u64);

impl Hasher for WordHasher {
    fn finish(&self) -> u64 {
        self.0 ^ (self.0 >> 29)
    }

    fn write(&mut self, bytes: &[u8]) {
        for chunk in bytes.chunks(8) {
            let mut word = [0; 8];
            word[..chunk.len()].copy_from_slice(chunk);
            self.write_u64(u64::from_le_bytes(word));
        }
    }

    fn write_u64(&mut self, word: u64) {
        self.0 = (self.0.rotate_left(23) ^ word).wrapping_mul(0x9E37_79B9_7F4A_7C15);
    }

    fn write_u32(&mut self, word: u32) {
        self.write_u64(u64::from(word));
    }

    fn write_usize(&mut self, word: usize) {
        self.write_u64(word as u64);
    }
}

pub(crate) type Fast = BuildHasherDefault<WordHasher>;
