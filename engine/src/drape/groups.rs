//! Which of many things hang together: numbers joined in pairs, each group named by its lowest number.

/// Numbers from 0 up, each in a group of its own at first.
pub(super) struct Groups(Vec<u32>);

impl Groups {
    /// So many numbers.
    pub(super) fn new(count: usize) -> Self {
        Self((0_u32..).take(count).collect())
    }

    /// The lowest number of a number's group.
    pub(super) fn first(&mut self, mut one: u32) -> u32 {
        while self.0[one as usize] != one {
            let next = self.0[one as usize];
            self.0[one as usize] = self.0[next as usize];
            one = self.0[one as usize];
        }
        one
    }

    /// Makes one group of two.
    pub(super) fn join(&mut self, a: u32, b: u32) {
        let (a, b) = (self.first(a), self.first(b));
        self.0[a.max(b) as usize] = a.min(b);
    }
}
