//! Meshes of known solids, for the tests.

use std::f64::consts::TAU;

use super::solid::{Corner, Mesh};

/// Triangles between rows of corners that each close on themselves, and a fan at each end when asked.
pub(in crate::intake) fn turned(profile: &[(f64, f64)], n: u32, is_ring: bool) -> Mesh {
    let mut mesh = Mesh::default();
    for &(r, z) in profile {
        for step in 0..n {
            let (sin, cos) = libm::sincos(TAU * f64::from(step) / f64::from(n));
            mesh.corners.push([r * cos, r * sin, z]);
        }
    }
    let rows = u32::try_from(profile.len()).unwrap();
    let n_bands = if is_ring { rows } else { rows - 1 };
    for row in 0..n_bands {
        let (low, high) = (row * n, (row + 1) % rows * n);
        for step in 0..n {
            let next = (step + 1) % n;
            mesh.triangles.push([low + step, low + next, high + next]);
            mesh.triangles.push([low + step, high + next, high + step]);
        }
    }
    mesh
}

/// A solid of revolution: the profile goes from the axis at the bottom out and up to the axis at the top.
pub(in crate::intake) fn solid(profile: &[(f64, f64)], n: u32) -> Mesh {
    welded(&turned(profile, n, false))
}

/// A frustum of a pyramid or, with equal sizes, a block.
pub(in crate::intake) fn block(bottom: (f64, f64), top: (f64, f64), height: f64) -> Mesh {
    let ring = |(w, d): (f64, f64), z: f64| [[-w, -d, z], [w, -d, z], [w, d, z], [-w, d, z]];
    let corners =
        [ring((bottom.0 / 2.0, bottom.1 / 2.0), 0.0), ring((top.0 / 2.0, top.1 / 2.0), height)];
    let mut triangles = vec![[0, 2, 1], [0, 3, 2], [4, 5, 6], [4, 6, 7]];
    for step in 0..4 {
        let next = (step + 1) % 4;
        triangles.push([step, next, next + 4]);
        triangles.push([step, next + 4, step + 4]);
    }
    welded(&Mesh { corners: corners.concat(), triangles })
}

/// The mesh with equal corners made one and triangles without a surface left out.
fn welded(mesh: &Mesh) -> Mesh {
    let mut gather = super::solid::Gather::default();
    let mut problems = super::super::problem::Problems::default();
    for triangle in &mesh.triangles {
        let corners: [Corner; 3] = triangle.map(|index| mesh.corners[index as usize]);
        gather.add(corners, || super::super::Place::File, &mut problems);
    }
    gather.into_mesh()
}

/// The mesh as binary STL.
pub(in crate::intake) fn stl(mesh: &Mesh) -> Vec<u8> {
    let mut bytes = vec![b' '; 80];
    bytes.extend(u32::try_from(mesh.triangles.len()).unwrap().to_le_bytes());
    for triangle in &mesh.triangles {
        bytes.extend([0; 12]);
        for value in triangle.iter().flat_map(|&index| mesh.corners[index as usize]) {
            #[expect(clippy::cast_possible_truncation, reason = "the form holds single precision")]
            bytes.extend((value as f32).to_le_bytes());
        }
        bytes.extend([0; 2]);
    }
    bytes
}
