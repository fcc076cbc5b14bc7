//! What is left of the gauge over a patch of sheet: the figure that a finer net does not change.

use super::measure::Formed;
use super::net::Net;

/// The thickness of the patch round each node, this radius in millimetres: plastic over surface of the triangles around it, the nearer the more.
///
/// A patch is round on the flat sheet, so it is always the same plastic, however far it is drawn.
pub(super) fn patches(net: &Net, formed: &[Formed], radius: f64) -> Vec<f64> {
    let middles: Vec<[f64; 2]> = net.triangles.iter().map(|one| middle(net, one.nodes)).collect();
    let (first, stride) = (net.flat[0], net.columns + 2);
    let square =
        |at: [f64; 2]| [0, 1].map(|axis| whole((at[axis] - first[axis]) / net.square[axis]));
    let mut held: Vec<Vec<usize>> = vec![Vec::new(); stride * (net.rows + 2)];
    for (index, at) in middles.iter().enumerate() {
        let [column, row] = square(*at);
        held[row * stride + column].push(index);
    }
    // Of a net this coarse, what is next to the node.
    let radius = radius.max(1.5 * net.square[0].max(net.square[1]));
    let patch = |at: &[f64; 2]| {
        let low = square([at[0] - radius, at[1] - radius]);
        let high = square([at[0] + radius, at[1] + radius]);
        let (mut plastic, mut unfolded) = (0.0, 0.0);
        for row in low[1]..=high[1].min(net.rows) {
            let columns = row * stride + low[0]..=row * stride + high[0].min(net.columns);
            for index in held[columns].iter().flatten() {
                let away = [middles[*index][0] - at[0], middles[*index][1] - at[1]];
                let share = 1.0 - (away[0] * away[0] + away[1] * away[1]) / (radius * radius);
                if share > 0.0 {
                    let one = &formed[*index];
                    plastic += share * one.plastic;
                    unfolded += share * one.plastic / one.thickness.max(1e-9);
                }
            }
        }
        plastic / unfolded.max(1e-9)
    };
    net.flat.iter().map(patch).collect()
}

fn middle(net: &Net, nodes: [u32; 3]) -> [f64; 2] {
    let [a, b, c] = nodes.map(|node| net.flat[node as usize]);
    [(a[0] + b[0] + c[0]) / 3.0, (a[1] + b[1] + c[1]) / 3.0]
}

/// The square that so many squares from the first lies in.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "clamped to a few thousand"
)]
fn whole(squares: f64) -> usize {
    squares.clamp(0.0, 5000.0) as usize
}
