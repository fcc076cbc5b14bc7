//! Blanks of many sizes set into sheets one after the other, the largest first: what is left of a job when no pattern
//! repeats any more.

use super::cutting::micrometres;
use super::tree::{Axis, Cell, Part, Parting, Pattern};
use super::{Cutting, Wanted};
use crate::plan::Size;

/// By what the next blank and its place are chosen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Rule {
    /// Sorted by the longer side first, else by surface.
    is_by_side: bool,
    /// The first cut runs so that the larger rest stays whole, else the smaller.
    keeps_large: bool,
    /// A place is taken where the shorter rest is least, else where the surface left over is.
    is_by_rest: bool,
}

impl Rule {
    pub(super) const ALL: [Self; 8] = {
        const fn rule(bits: u8) -> Rule {
            Rule { is_by_side: bits & 1 > 0, keeps_large: bits & 2 > 0, is_by_rest: bits & 4 > 0 }
        }
        [rule(0), rule(1), rule(2), rule(3), rule(4), rule(5), rule(6), rule(7)]
    };
}

/// A rectangle under way; measures are grown by the kerf, so that cuts take nothing.
#[derive(Clone, Copy, Debug)]
enum Node {
    Free,
    Blank(usize, bool),
    Cut(Axis, i64, usize, usize),
}

struct Packer {
    cells: Vec<Cell>,
    nodes: Vec<Node>,
    /// The first rectangle of every sheet.
    roots: Vec<usize>,
    /// Rectangles that nothing was decided about.
    free: Vec<usize>,
    whole: (i64, i64),
    least: i64,
    rule: Rule,
}

/// Sheets for all that is left, or nothing when a blank finds no place even in an empty sheet.
pub(super) fn packed(
    sheet: Size,
    (wanted, left): (&[Wanted], &[u32]),
    cutting: &Cutting,
    rule: Rule,
) -> Option<Vec<Pattern>> {
    let kerf = micrometres(cutting.kerf);
    let grown = kerf + micrometres(cutting.wander);
    let least = if micrometres(cutting.least_strip) > 0 {
        micrometres(cutting.least_strip) + kerf
    } else {
        0
    };
    let whole = (micrometres(sheet.width), micrometres(sheet.depth));
    let mut packer = Packer {
        cells: Vec::new(),
        nodes: Vec::new(),
        roots: Vec::new(),
        free: Vec::new(),
        whole: (whole.0 + kerf, whole.1 + kerf),
        least,
        rule,
    };
    for size in order(wanted, left, rule) {
        let one = &wanted[size];
        let sides = [one.size.width, one.size.depth].map(|side| micrometres(side) + grown);
        for _ in 0..left[size] {
            packer.set(size, (sides[0], sides[1]), one.may_turn)?;
        }
    }
    let root = |&root: &usize| Pattern { sheet, root: packer.part(root, kerf), kerf, whole };
    Some(packer.roots.iter().map(root).collect())
}

/// The sizes that are left, the largest first.
fn order(wanted: &[Wanted], left: &[u32], rule: Rule) -> Vec<usize> {
    let key = |size: usize| {
        let [width, depth] = [wanted[size].size.width, wanted[size].size.depth].map(micrometres);
        if rule.is_by_side { (width.max(depth), width.min(depth)) } else { (width * depth, 0) }
    };
    let mut order: Vec<usize> = (0..wanted.len()).filter(|&size| left[size] > 0).collect();
    order.sort_by(|&a, &b| key(b).cmp(&key(a)).then(a.cmp(&b)));
    order
}

impl Packer {
    /// Finds the best free rectangle for a blank, on a new sheet if there is none.
    fn set(&mut self, size: usize, sides: (i64, i64), may_turn: bool) -> Option<()> {
        let ways = if may_turn { vec![false, true] } else { vec![false] };
        for _ in 0..2 {
            let mut best: Option<(i64, usize, bool)> = None;
            for (k, &node) in self.free.iter().enumerate() {
                for &is_turned in &ways {
                    let Some(score) = self.score(node, turned(sides, is_turned)) else { continue };
                    if best.is_none_or(|(least, _, _)| score < least) {
                        best = Some((score, k, is_turned));
                    }
                }
            }
            if let Some((_, k, is_turned)) = best {
                let node = self.free.swap_remove(k);
                self.place(node, turned(sides, is_turned), Node::Blank(size, is_turned));
                return Some(());
            }
            let root = self.add((0, 0, self.whole.0, self.whole.1));
            self.roots.push(root);
        }
        None
    }

    /// How well a blank fits a free rectangle, less being better; nothing when it does not.
    fn score(&self, node: usize, (width, depth): (i64, i64)) -> Option<i64> {
        let (_, _, w, d) = self.cells[node];
        let (right, back) = (w - width, d - depth);
        let may = |rest: i64| rest == 0 || (rest > 0 && rest >= self.least);
        (may(right) && may(back)).then(|| {
            if self.rule.is_by_rest { right.min(back) } else { (w * d - width * depth) / 1000 }
        })
    }

    fn add(&mut self, cell: Cell) -> usize {
        self.cells.push(cell);
        self.nodes.push(Node::Free);
        self.free.push(self.nodes.len() - 1);
        self.nodes.len() - 1
    }

    /// Cuts a blank out of the front left corner of a free rectangle.
    fn place(&mut self, node: usize, (width, depth): (i64, i64), blank: Node) {
        let (left, front, w, d) = self.cells[node];
        if (w, d) == (width, depth) {
            self.nodes[node] = blank;
            return;
        }
        // Cut across first, the rest beside is whole; along first, the rest behind.
        let beside = (w - width) * d;
        let behind = (d - depth) * w;
        let is_across = w > width && (d == depth || (beside > behind) == self.rule.keeps_large);
        let (axis, at, rest) = if is_across {
            (Axis::FrontToBack, width, (left + width, front, w - width, d))
        } else {
            (Axis::LeftToRight, depth, (left, front + depth, w, d - depth))
        };
        let kept = if is_across { (left, front, width, d) } else { (left, front, w, depth) };
        let first = self.add(kept);
        self.free.retain(|&free| free != first);
        let second = self.add(rest);
        self.nodes[node] = Node::Cut(axis, at, first, second);
        self.place(first, (width, depth), blank);
    }

    fn part(&self, node: usize, kerf: i64) -> Part {
        match self.nodes[node] {
            Node::Free => Part::Offcut,
            Node::Blank(size, is_turned) => Part::Blank(size, is_turned),
            Node::Cut(axis, at, first, second) => Part::Cut(Box::new(Parting {
                axis,
                at: at - kerf,
                first: self.part(first, kerf),
                second: self.part(second, kerf),
            })),
        }
    }
}

const fn turned((width, depth): (i64, i64), is_turned: bool) -> (i64, i64) {
    if is_turned { (depth, width) } else { (width, depth) }
}
