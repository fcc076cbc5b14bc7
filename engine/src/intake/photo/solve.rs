//! Small systems of linear equations.

/// The solution of `a x = b` by elimination with the largest pivot; `None` when there is none.
pub(super) fn solve<const N: usize>(mut a: [[f64; N]; N], mut b: [f64; N]) -> Option<[f64; N]> {
    for column in 0..N {
        let largest =
            (column..N).max_by(|&i, &j| a[i][column].abs().total_cmp(&a[j][column].abs()))?;
        if a[largest][column].abs() < 1e-12 {
            return None;
        }
        a.swap(column, largest);
        b.swap(column, largest);
        let (pivot, value) = (a[column], b[column]);
        for row in column + 1..N {
            let share = a[row][column] / pivot[column];
            for (left, above) in a[row].iter_mut().zip(pivot) {
                *left -= share * above;
            }
            b[row] -= share * value;
        }
    }
    let mut x = [0.0; N];
    for row in (0..N).rev() {
        let known: f64 = (row + 1..N).map(|column| a[row][column] * x[column]).sum();
        x[row] = (b[row] - known) / a[row][row];
    }
    x.iter().all(|value| value.is_finite()).then_some(x)
}
