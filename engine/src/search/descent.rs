//! Goes downhill on a smooth function of many variables: the quasi-Newton method with limited memory.
//!
//! **Source:** J. Nocedal, Updating quasi-Newton matrices with limited storage, Mathematics of Computation 35(151),
//! 1980; the step is halved until it gains enough (L. Armijo, Pacific Journal of Mathematics 16(1), 1966). Both cited
//! from memory.

use std::collections::VecDeque;

/// Steps remembered.
const MEMORY: usize = 8;
/// The share of the gain promised by the slope that a step must make.
const GAIN: f64 = 1e-4;
/// Halvings of a step before it is given up.
const HALVINGS: u32 = 12;

/// A function with its slope.
pub(super) trait Slope {
    /// The value at a place; writes the derivative by every variable.
    fn cost(&self, at: &[f64], slope: &mut [f64]) -> f64;
}

/// A descent under way.
#[derive(Debug)]
pub(super) struct Descent {
    at: Vec<f64>,
    slope: Vec<f64>,
    cost: f64,
    n_looks: u64,
    memory: VecDeque<Remembered>,
}

/// A step taken and how the slope changed on it.
#[derive(Debug)]
struct Remembered {
    step: Vec<f64>,
    change: Vec<f64>,
    inverse: f64,
}

impl Descent {
    pub(super) fn new(at: Vec<f64>) -> Self {
        let slope = vec![0.0; at.len()];
        Self { at, slope, cost: f64::INFINITY, n_looks: 0, memory: VecDeque::new() }
    }

    /// Where it is.
    pub(super) fn at(&self) -> &[f64] {
        &self.at
    }

    /// The value there.
    pub(super) const fn cost(&self) -> f64 {
        self.cost
    }

    /// How often the function was asked.
    pub(super) const fn n_looks(&self) -> u64 {
        self.n_looks
    }

    /// Looks at the place where it begins.
    pub(super) fn begin(&mut self, function: &impl Slope) -> f64 {
        self.cost = function.cost(&self.at, &mut self.slope);
        self.n_looks += 1;
        self.cost
    }

    /// Takes a step downhill; false when none is found.
    pub(super) fn step(&mut self, function: &impl Slope) -> bool {
        let mut way = self.way();
        let mut promise = dot(&way, &self.slope);
        if promise >= 0.0 {
            self.memory.clear();
            way = self.way();
            promise = dot(&way, &self.slope);
        }
        let mut share = 1.0;
        for _ in 0..HALVINGS {
            let next: Vec<f64> =
                self.at.iter().zip(&way).map(|(at, way)| at + share * way).collect();
            let mut slope = vec![0.0; next.len()];
            let cost = function.cost(&next, &mut slope);
            self.n_looks += 1;
            if cost <= self.cost + GAIN * share * promise {
                self.remember(&next, &slope);
                (self.at, self.slope, self.cost) = (next, slope, cost);
                return true;
            }
            share *= 0.5;
        }
        false
    }

    /// The way to go: the slope, bent by the steps remembered.
    fn way(&self) -> Vec<f64> {
        let mut way: Vec<f64> = self.slope.iter().map(|slope| -slope).collect();
        let mut shares = Vec::with_capacity(self.memory.len());
        for one in self.memory.iter().rev() {
            let share = dot(&one.step, &way) * one.inverse;
            add(&mut way, &one.change, -share);
            shares.push(share);
        }
        // Half a step along the slope removes what is lacking between two items that nothing else holds, of which
        // each goes half of the way.
        let scale = self
            .memory
            .back()
            .map_or(0.25, |one| 1.0 / (one.inverse * dot(&one.change, &one.change)));
        for part in &mut way {
            *part *= scale;
        }
        for (one, share) in self.memory.iter().zip(shares.into_iter().rev()) {
            let back = dot(&one.change, &way) * one.inverse;
            add(&mut way, &one.step, share - back);
        }
        way
    }

    fn remember(&mut self, next: &[f64], slope: &[f64]) {
        let step: Vec<f64> = next.iter().zip(&self.at).map(|(a, b)| a - b).collect();
        let change: Vec<f64> = slope.iter().zip(&self.slope).map(|(a, b)| a - b).collect();
        let bend = dot(&step, &change);
        if bend <= 1e-12 * dot(&change, &change) {
            // The function bends the other way here, and what is remembered would only hold the descent back.
            self.memory.clear();
            return;
        }
        self.memory.push_back(Remembered { step, change, inverse: 1.0 / bend });
        if self.memory.len() > MEMORY {
            self.memory.pop_front();
        }
    }
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

fn add(to: &mut [f64], what: &[f64], times: f64) {
    for (to, what) in to.iter_mut().zip(what) {
        *to += times * what;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    struct Valley;

    /// The curved valley of H. H. Rosenbrock, The Computer Journal 3(3), 1960 (from memory): least at (1, 1).
    impl Slope for Valley {
        fn cost(&self, at: &[f64], slope: &mut [f64]) -> f64 {
            let (x, y) = (at[0], at[1]);
            let off = y - x * x;
            slope.copy_from_slice(&[-400.0 * x * off - 2.0 * (1.0 - x), 200.0 * off]);
            100.0 * off * off + (1.0 - x) * (1.0 - x)
        }
    }

    #[test]
    fn the_end_of_the_curved_valley_is_found() {
        let mut descent = Descent::new(vec![-1.2, 1.0]);
        let begin = descent.begin(&Valley);
        assert!((begin - 24.2).abs() < 1e-12);
        let n_steps =
            (0..200).take_while(|_| descent.cost() > 1e-20 && descent.step(&Valley)).count();
        assert!(n_steps < 100, "{n_steps}");
        assert!(descent.at().iter().all(|x| (x - 1.0).abs() < 1e-6), "{:?}", descent.at());
    }
}
