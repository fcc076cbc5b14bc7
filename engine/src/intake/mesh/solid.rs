//! A mesh as corners and triangles, gathered from loose triangles or from a list of corners.

use super::super::found::{Scale, SourceUnit};
use super::super::kind::Kind;
use super::super::problem::{Counted, Place, Problem, Problems, Trouble};
use super::{MOST_BYTES, MOST_TRIANGLES, obj, stl, threemf};

/// Slots looked at for one corner; a file made to collide is welded less, not slowly.
const MOST_PROBES: usize = 64;

/// A corner in the file's own units.
pub(super) type Corner = [f64; 3];

/// Triangles over shared corners, in the file's own units.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Mesh {
    /// Each place once, as far as equal coordinates tell.
    pub corners: Vec<[f64; 3]>,
    /// Three corners each, counter-clockwise as seen from outside when the file is well made.
    pub triangles: Vec<[u32; 3]>,
}

/// What was read of a mesh file.
#[derive(Clone, Debug, PartialEq)]
pub struct FoundMesh {
    /// All triangles that could be read.
    pub mesh: Mesh,
    /// What could not.
    pub problems: Vec<Problem>,
    /// The file's unit; STL and OBJ never say it.
    pub scale: Scale,
}

/// The triangles of a mesh file.
///
/// A unit that is given holds even when the file says another. Cost: linear in the file; 50 MB of binary STL, a
/// million triangles, take a few hundred milliseconds.
#[must_use]
pub fn read_mesh(bytes: &[u8], kind: Kind, unit: Option<SourceUnit>) -> FoundMesh {
    let mut problems = Problems::default();
    let mut gather = Gather::default();
    let mut told = None;
    if bytes.len() > MOST_BYTES {
        let trouble = Trouble::TooLarge { bytes: bytes.len(), most: MOST_BYTES };
        problems.push(Place::File, trouble);
    } else {
        match kind {
            Kind::Stl => stl::read(bytes, &mut gather, &mut problems),
            Kind::Obj => obj::read(bytes, &mut gather, &mut problems),
            Kind::ThreeMf => told = threemf::read(bytes, &mut gather, &mut problems),
            Kind::Svg | Kind::Dxf => {
                let what = "it is a drawing".to_owned();
                problems.push(Place::File, Trouble::Unreadable { kind: "a mesh", what });
            }
        }
    }
    let mesh = gather.finish(&mut problems);
    if mesh.triangles.is_empty() {
        problems.push(Place::File, Trouble::NoTriangle);
    }
    let asked = Scale::Asked(SourceUnit::Millimetre);
    let scale = unit.or(told).map_or(asked, Scale::Known);
    FoundMesh { mesh, problems: problems.into_list(), scale }
}

/// Triangles as they come, with equal corners made one.
#[derive(Debug, Default)]
pub(super) struct Gather {
    mesh: Mesh,
    slots: Vec<u32>,
    is_full: bool,
}

impl Gather {
    /// True when no more triangles are taken.
    pub(super) const fn is_full(&self) -> bool {
        self.is_full
    }

    /// How many triangles there are.
    pub(super) const fn len(&self) -> usize {
        self.mesh.triangles.len()
    }

    /// Takes a triangle; one with a coordinate that is no number is told, one with two equal corners left out.
    pub(super) fn add(
        &mut self,
        corners: [Corner; 3],
        at: impl Fn() -> Place,
        problems: &mut Problems,
    ) {
        if !corners.iter().flatten().all(|value| value.is_finite() && value.abs() < 1e9) {
            problems.count(Counted::Skipped, "triangles without finite corners", &at());
            return;
        }
        if self.len() >= MOST_TRIANGLES {
            self.is_full = true;
            return;
        }
        let triangle = corners.map(|corner| self.corner(corner));
        let [a, b, c] = triangle;
        if a != b && b != c && c != a {
            self.mesh.triangles.push(triangle);
        }
    }

    /// The index of a corner, the same for equal coordinates.
    fn corner(&mut self, corner: Corner) -> u32 {
        // Minus zero is zero.
        let corner = corner.map(|value| value + 0.0);
        if 2 * self.mesh.corners.len() >= self.slots.len() {
            self.grow();
        }
        let mask = self.slots.len() - 1;
        let mut slot = hash(corner) & mask;
        for _ in 0..MOST_PROBES {
            match self.slots[slot] {
                u32::MAX => break,
                index if is_same(self.mesh.corners[index as usize], corner) => return index,
                _ => slot = (slot + 1) & mask,
            }
        }
        let index = u32::try_from(self.mesh.corners.len()).unwrap_or(u32::MAX - 1);
        self.slots[slot] = index;
        self.mesh.corners.push(corner);
        index
    }

    fn grow(&mut self) {
        let n_slots = (4 * self.mesh.corners.len()).next_power_of_two().max(1 << 12);
        self.slots = vec![u32::MAX; n_slots];
        let mask = n_slots - 1;
        for (index, &corner) in (0..).zip(&self.mesh.corners) {
            let mut slot = hash(corner) & mask;
            for _ in 0..MOST_PROBES {
                if self.slots[slot] == u32::MAX {
                    break;
                }
                slot = (slot + 1) & mask;
            }
            self.slots[slot] = index;
        }
    }

    /// The mesh so far.
    #[cfg(test)]
    pub(super) fn into_mesh(self) -> Mesh {
        self.mesh
    }

    fn finish(self, problems: &mut Problems) -> Mesh {
        if self.is_full {
            let trouble = Trouble::TooMany { what: "triangles", most: MOST_TRIANGLES };
            problems.push(Place::File, trouble);
        }
        self.mesh
    }
}

fn is_same(a: Corner, b: Corner) -> bool {
    a.map(f64::to_bits) == b.map(f64::to_bits)
}

/// The bits of a corner mixed, the same on every machine (the finalizer of splitmix64; Steele and others, OOPSLA
/// 2014; from memory).
#[expect(clippy::cast_possible_truncation, reason = "the low bits of a hash are as good as any")]
fn hash(corner: Corner) -> usize {
    let mixed = corner.iter().fold(0_u64, |mixed, value| {
        let x = (mixed ^ value.to_bits()).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let x = (x ^ (x >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        x ^ (x >> 31)
    });
    mixed as usize
}
