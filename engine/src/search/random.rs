//! Random numbers from a seed, the same on every target.

use super::Seed;

/// A generator of random numbers: xoshiro256++, begun by `SplitMix64`.
///
/// **Source:** D. Blackman and S. Vigna, Scrambled linear pseudorandom number generators, ACM Transactions on
/// Mathematical Software 47(4), 2021; the beginning is from G. L. Steele, D. Lea and C. H. Flood, Fast splittable
/// pseudorandom number generators, OOPSLA 2014 (both cited from memory).
#[derive(Clone, Debug)]
pub(crate) struct Random {
    state: [u64; 4],
}

impl Random {
    pub(crate) fn new(Seed(seed): Seed) -> Self {
        let mut at = seed;
        Self { state: std::array::from_fn(|_| split_mix(&mut at)) }
    }

    /// The next 64 bits.
    pub(crate) const fn next(&mut self) -> u64 {
        let s = &mut self.state;
        let result = s[0].wrapping_add(s[3]).rotate_left(23).wrapping_add(s[0]);
        let shifted = s[1] << 17;
        s[2] ^= s[0];
        s[3] ^= s[1];
        s[1] ^= s[2];
        s[0] ^= s[3];
        s[2] ^= shifted;
        s[3] = s[3].rotate_left(45);
        result
    }

    /// From zero (inclusive) to one (exclusive).
    pub(crate) fn share(&mut self) -> f64 {
        // The upper 52 bits as the digits of a number from 1 to 2: exact, without a conversion that could round.
        f64::from_bits((self.next() >> 12) | 1.0_f64.to_bits()) - 1.0
    }

    /// From `low` to `high`; `low` when there is nothing between.
    pub(crate) fn between(&mut self, low: f64, high: f64) -> f64 {
        low + self.share() * (high - low).max(0.0)
    }

    /// Below `n`; zero when `n` is.
    pub(crate) fn below(&mut self, n: usize) -> usize {
        let wide = u128::from(self.next()) * (n as u128);
        usize::try_from(wide >> 64).unwrap_or(0)
    }

    /// Puts a list into random order.
    pub(crate) fn shuffle<T>(&mut self, list: &mut [T]) {
        for at in (1..list.len()).rev() {
            let other = self.below(at + 1);
            list.swap(at, other);
        }
    }
}

/// The next number of `SplitMix64`.
const fn split_mix(at: &mut u64) -> u64 {
    *at = at.wrapping_add(0x9e37_79b9_7f4a_7c15);
    let z = (*at ^ (*at >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    let z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    z ^ (z >> 31)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The values of the authors' C code for the state 1, 2, 3, 4, as the crate `rand_xoshiro` tests them
    /// (from memory).
    #[test]
    fn the_numbers_are_those_of_the_reference() {
        let mut random = Random { state: [1, 2, 3, 4] };
        let expected = [
            41_943_041,
            58_720_359,
            3_588_806_011_781_223,
            3_591_011_842_654_386,
            9_228_616_714_210_784_205,
            9_973_669_472_204_895_162,
            14_011_001_112_246_962_877,
            12_406_186_145_184_390_807,
            15_849_039_046_786_891_736,
            10_450_023_813_501_588_000,
        ];
        assert_eq!(expected.map(|_| random.next()), expected);
    }

    /// The first values for the seed 1234567, as many ports of it test them (from memory).
    #[test]
    fn the_beginning_is_that_of_the_reference() {
        let mut at = 1_234_567;
        let expected =
            [6_457_827_717_110_365_317, 3_203_168_211_198_807_973, 9_817_491_932_198_370_423];
        assert_eq!(expected.map(|_| split_mix(&mut at)), expected);
    }

    #[test]
    fn shares_and_indices_stay_in_their_range_and_spread() {
        let mut random = Random::new(Seed(7));
        let mut counts = [0_u32; 5];
        let mut sum = 0.0;
        for _ in 0..10_000 {
            let share = random.share();
            assert!((0.0..1.0).contains(&share));
            sum += share;
            counts[random.below(5)] += 1;
        }
        assert!((sum / 10_000.0 - 0.5).abs() < 0.02);
        assert!(counts.iter().all(|count| (1800..2200).contains(count)), "{counts:?}");
        assert_eq!(random.below(0), 0);
        let mut list: Vec<u32> = (0..50).collect();
        random.shuffle(&mut list);
        assert_ne!(list, (0..50).collect::<Vec<_>>());
        list.sort_unstable();
        assert_eq!(list, (0..50).collect::<Vec<_>>());
    }
}
