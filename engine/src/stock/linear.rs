//! The linear relaxation of covering a demand by patterns: the weights that prove a bound, and how often each pattern counts.

/// Below this a number is rounding, not a figure.
const EPSILON: f64 = 1e-9;
/// Pivots after which the smallest number goes first, so that no cycle is endless.
const PATIENT: u32 = 200;
/// Pivots at most; what stands then is a valid set of weights all the same.
const MOST_PIVOTS: u32 = 2000;

/// The optimum of the relaxation.
#[derive(Clone, Debug)]
pub(crate) struct Relaxed {
    /// What a part of each kind is worth at the optimum; no pattern is worth more than about 1.
    pub(crate) worth: Vec<f64>,
    /// How often each pattern is pulled.
    pub(crate) times: Vec<f64>,
    /// What it took, in entries of the tableau that were touched.
    pub(crate) steps: u64,
}

/// The least sum of real multiples of `columns` that covers `demand`.
///
/// Solved from its dual, `max demand * worth` where no column is worth more than 1: there the origin is feasible, so one
/// phase of the simplex method suffices. **Source:** Dantzig's rule with Bland's as the way out of cycles (both from
/// memory). Cost: columns times kinds for each of some twenty pivots.
pub(crate) fn relaxed(columns: &[&[u32]], demand: &[u32]) -> Relaxed {
    let mut tableau = Tableau::new(columns, demand);
    let mut pivots = 0;
    while pivots < MOST_PIVOTS
        && let Some((row, column)) = tableau.choice(pivots >= PATIENT)
    {
        tableau.pivot(row, column);
        pivots += 1;
    }
    tableau.read(pivots)
}

/// A condensed tableau: rows are what is in the basis, columns what is not; the last column is the right side.
struct Tableau {
    rows: Vec<Vec<f64>>,
    objective: Vec<f64>,
    /// Kinds are numbered first, then the slack of each column.
    basic: Vec<usize>,
    nonbasic: Vec<usize>,
}

impl Tableau {
    fn new(columns: &[&[u32]], demand: &[u32]) -> Self {
        let row = |column: &&[u32]| {
            // A column that gives more than is wanted gives what is wanted.
            let counts = column.iter().zip(demand).map(|(&n, &most)| f64::from(n.min(most)));
            counts.chain([1.0]).collect()
        };
        Self {
            rows: columns.iter().map(row).collect(),
            objective: demand.iter().map(|&n| f64::from(n)).chain([0.0]).collect(),
            basic: (demand.len()..demand.len() + columns.len()).collect(),
            nonbasic: (0..demand.len()).collect(),
        }
    }

    /// Which row leaves and which column enters; nothing at the optimum.
    fn choice(&self, is_careful: bool) -> Option<(usize, usize)> {
        let gains = || (0..self.nonbasic.len()).filter(|&c| self.objective[c] > EPSILON);
        let column = if is_careful {
            gains().min_by_key(|&c| self.nonbasic[c])
        } else {
            gains().max_by(|&a, &b| self.objective[a].total_cmp(&self.objective[b]).then(b.cmp(&a)))
        }?;
        let ratio = |r: usize| {
            let row = &self.rows[r];
            (row[column] > EPSILON).then(|| row[self.nonbasic.len()].max(0.0) / row[column])
        };
        let row = (0..self.rows.len())
            .filter_map(|r| Some((r, ratio(r)?)))
            .min_by(|a, b| a.1.total_cmp(&b.1).then(self.basic[a.0].cmp(&self.basic[b.0])))?
            .0;
        Some((row, column))
    }

    fn pivot(&mut self, row: usize, column: usize) {
        let by = 1.0 / self.rows[row][column];
        for (c, value) in self.rows[row].iter_mut().enumerate() {
            *value = if c == column { by } else { *value * by };
        }
        let pivoted = self.rows[row].clone();
        let others = self.rows.iter_mut().enumerate().filter(|(r, _)| *r != row);
        for line in others.map(|(_, line)| line).chain([&mut self.objective]) {
            let factor = line[column];
            if factor.abs() <= EPSILON * EPSILON {
                line[column] = 0.0;
                continue;
            }
            for (c, (value, along)) in line.iter_mut().zip(&pivoted).enumerate() {
                *value = if c == column { -factor * along } else { *value - factor * along };
            }
        }
        std::mem::swap(&mut self.basic[row], &mut self.nonbasic[column]);
    }

    fn read(&self, pivots: u32) -> Relaxed {
        let n_kinds = self.nonbasic.len();
        let (mut worth, mut times) = (vec![0.0; n_kinds], vec![0.0; self.rows.len()]);
        for (row, &name) in self.rows.iter().zip(&self.basic) {
            if name < n_kinds {
                worth[name] = row[n_kinds].max(0.0);
            }
        }
        for (&price, &name) in self.objective.iter().zip(&self.nonbasic) {
            if name >= n_kinds {
                times[name - n_kinds] = (-price).max(0.0);
            }
        }
        let touched = (self.rows.len() + 1) * (n_kinds + 1);
        let touched = u64::try_from(touched).unwrap_or(u64::MAX);
        Relaxed { worth, times, steps: touched.saturating_mul(u64::from(pivots) + 1) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sum(columns: &[&[u32]], demand: &[u32]) -> f64 {
        let found = relaxed(columns, demand);
        let primal: f64 = found.times.iter().sum();
        let dual: f64 = found.worth.iter().zip(demand).map(|(w, &d)| w * f64::from(d)).sum();
        assert!((primal - dual).abs() < 1e-6, "{primal} {dual}");
        for (k, &wanted) in demand.iter().enumerate() {
            let given: f64 = columns
                .iter()
                .zip(&found.times)
                .map(|(column, x)| f64::from(column[k].min(wanted)) * x)
                .sum();
            assert!(given >= f64::from(wanted) - 1e-6, "{k}: {given}");
        }
        primal
    }

    // Odd cycles need half of their corners more than whole sets do (from memory): three kinds, every two together.
    #[test]
    fn fractions_beat_whole_numbers_where_they_should() {
        let pairs: [&[u32]; 3] = [&[1, 1, 0], &[0, 1, 1], &[1, 0, 1]];
        assert!((sum(&pairs, &[1, 1, 1]) - 1.5).abs() < 1e-9);
        assert!((sum(&pairs, &[20, 20, 20]) - 30.0).abs() < 1e-6);
    }

    // The rolls of V. Chvatal, Linear Programming (1983), chapter 13: 100 in wide, cut into 97 of 45 in, 610 of 36, 395 of
    // 31 and 211 of 14; the relaxation is 452.25 (from memory).
    #[test]
    fn a_textbook_relaxation_has_its_value() {
        let patterns: Vec<Vec<u32>> = (0..=2)
            .flat_map(|a| (0..=2).map(move |b| (a, b)))
            .flat_map(|(a, b)| (0..=3).map(move |c| (a, b, c)))
            .flat_map(|(a, b, c)| (0..=7).map(move |d| vec![a, b, c, d]))
            .filter(|p| 45 * p[0] + 36 * p[1] + 31 * p[2] + 14 * p[3] <= 100)
            .collect();
        let columns: Vec<&[u32]> = patterns.iter().map(Vec::as_slice).collect();
        assert!((sum(&columns, &[97, 610, 395, 211]) - 452.25).abs() < 1e-6);
    }
}
