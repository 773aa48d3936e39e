//! Chance that can be thrown again.

/// Chance by counting: the same seed takes the same walk.
pub(crate) struct Dice(pub(crate) u64);

impl Dice {
    pub(crate) fn throw(&mut self, sides: usize) -> usize {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) % sides.max(1) as u64) as usize
    }

    pub(crate) fn one_of<'a, T>(&mut self, among: &'a [T]) -> Option<&'a T> {
        among.get(self.throw(among.len()))
    }
}
