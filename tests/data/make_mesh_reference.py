"""Writes mesh_reference.json: meshes as binary STL with what trimesh and Shapely measure of them.

Run with: python3 make_mesh_reference.py > mesh_reference.json  (trimesh 5.2.0, Shapely 2.2.0, numpy 2.4.6)

A row is [name, STL in base64, height, silhouette area, least x, least y, greatest x, greatest y of the silhouette, holes,
steep, undercut, formed]: millimetres and square millimetres, z up. The silhouette is Shapely's union of all
projected triangles. Of convex bodies, `steep` sums the faces with 0 to 5 degrees of draft, `undercut` those that lean
out by more than half a degree and do not lie on the ground, and `formed` the faces that face up and, under each
edge between them and the others, a wall to the ground; of others they are null.
"""

import base64
import json
import math

import numpy
import shapely
import trimesh
from shapely.geometry import Polygon

SEED = 20260805


def row(name, mesh, is_convex):
    stl = mesh.export(file_type="stl")
    mesh = trimesh.load_mesh(trimesh.util.wrap_as_stream(stl), file_type="stl")
    low = mesh.bounds[0][2]
    flat = [Polygon(t[:, :2]) for t in mesh.triangles]
    surface = shapely.unary_union([p for p in flat if p.area > 1e-9])
    rings = surface.interiors if surface.geom_type == "Polygon" else []
    holes = sum(Polygon(ring).area > 1e-4 for ring in rings)  # less is rounding, or a speck to us
    steep = undercut = formed = None
    if is_convex:
        rise = mesh.face_normals[:, 2]
        on_ground = mesh.triangles[:, :, 2].max(axis=1) < low + 1e-6
        steep = mesh.area_faces[(rise < math.sin(math.radians(5))) & (rise > -math.sin(math.radians(0.5)))].sum()
        undercut = mesh.area_faces[(rise < -math.sin(math.radians(0.5))) & ~on_ground].sum()
        is_up = rise > 1e-3
        formed = mesh.area_faces[is_up].sum()
        for (one, other), edge in zip(mesh.face_adjacency, mesh.face_adjacency_edges):
            if is_up[one] != is_up[other]:
                a, b = mesh.vertices[edge]
                formed += math.dist(a[:2], b[:2]) * ((a[2] + b[2]) / 2 - low)
    figures = [mesh.extents[2], surface.area, *surface.bounds]
    figures = [round(float(v), 6) for v in figures] + [holes]
    figures += [None if v is None else round(float(v), 6) for v in (steep, undercut, formed)]
    return [name, base64.b64encode(stl).decode(), *figures]


def convex(rng):
    points = rng.normal(size=(60, 3)) * rng.uniform(10, 40, size=3)
    return trimesh.convex.convex_hull(points)


def lump(rng):
    """A sphere pushed in and out, with overhangs."""
    mesh = trimesh.creation.icosphere(subdivisions=2, radius=25)
    waves = [(rng.normal(size=3), rng.uniform(0, 6.28), rng.uniform(0.05, 0.2)) for _ in range(5)]
    unit = mesh.vertices / 25
    size = 1 + sum(a * numpy.sin(3 * unit @ w + p) for w, p, a in waves)
    mesh.vertices = mesh.vertices * size[:, None] * [1.3, 1, 0.7]
    return mesh


def main():
    rng = numpy.random.default_rng(SEED)
    rows = [row(f"convex {n}", convex(rng), True) for n in range(8)]
    rows += [row(f"lump {n}", lump(rng), False) for n in range(6)]
    tilted = trimesh.creation.torus(30, 9, major_sections=40, minor_sections=14)
    tilted.apply_transform(trimesh.transformations.rotation_matrix(0.5, [1, 0.3, 0]))
    rows.append(row("tilted ring", tilted, False))
    several = trimesh.util.concatenate([trimesh.creation.box((20, 10, 8)), trimesh.creation.cylinder(6, 15, sections=40).apply_translation((4, 6, 1))])
    rows.append(row("two bodies that overlap", several, False))
    rows.append(row("a tube", trimesh.creation.annulus(8, 15, 20, sections=60), False))
    print("[\n" + ",\n".join(json.dumps(one) for one in rows) + "\n]")


if __name__ == "__main__":
    main()
