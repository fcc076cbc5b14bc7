//! Connected patches of the squares that a picture is looked through by.

/// The patch connected with a square, all of which is taken out of the marked.
pub(super) fn taken_out(is_marked: &mut [bool], columns: usize, start: usize) -> Vec<usize> {
    is_marked[start] = false;
    let mut patch = vec![start];
    let mut index = 0;
    while let Some(&at) = patch.get(index) {
        index += 1;
        let left = (at % columns > 0).then(|| at - 1);
        let right = (at % columns + 1 < columns).then(|| at + 1);
        let around = [left, right, at.checked_sub(columns), Some(at + columns)];
        for next in around.into_iter().flatten() {
            if is_marked.get(next) == Some(&true) {
                is_marked[next] = false;
                patch.push(next);
            }
        }
    }
    patch
}

/// The largest patch of marked squares; none of them is marked afterwards.
pub(super) fn largest_patch(is_marked: &mut [bool], columns: usize) -> Vec<usize> {
    let mut largest = Vec::new();
    for start in 0..is_marked.len() {
        if is_marked[start] {
            let patch = taken_out(is_marked, columns, start);
            if patch.len() > largest.len() {
                largest = patch;
            }
        }
    }
    largest
}
