"""Writes geometry_reference.json: areas, widths, distances, overlaps, offsets and validity by another library.

Library   Shapely 2.2.0 (BSD-3-Clause) on GEOS 3.14.1 (LGPL-2.1-or-later), with NumPy 2.4.6 (BSD-3-Clause), from PyPI
Seed      20260801; the same versions give the same file
Run       python -m venv SOMEWHERE && SOMEWHERE/bin/pip install shapely==2.2.0 numpy==2.4.6
          SOMEWHERE/bin/python tests/data/make_geometry_reference.py

Lengths are millimetres, angles degrees counter-clockwise. A ring is a flat list x, y, x, y ... without the
repeated last corner; a polygon is a list of rings, the outer one first. Rows:

measures  one a polygon: area, perimeter, least width, greatest width
pairs     polygon, x, y, turn, polygon, x, y, turn, distance, 1 when they share surface else 0
extents   polygon, x, y, turn, least x, least y, greatest x, greatest y
places    polygon, x, y, turn, place x, place y, 1 when covered else 0
offsets   polygon, distance (negative shrinks), area, regions, holes
validity  [polygon as rings, 1 when valid else 0]

The least width is measured with Shapely's hull, rotation and bounds along each side of the hull, and compared
with its smallest rotated rectangle, whose narrower side can only be as wide or wider.
"""

import json
import math
import pathlib
import random

import numpy
import shapely
from shapely import affinity
from shapely.geometry import Point, Polygon

SEED = 20260801
SHARES_SURFACE = "T********"
QUARTER_STEPS = 512  # corners in a quarter of a rounded corner: 1.2e-6 of the radius


def rounded(polygon, digits=3):
    """The polygon as rings of rounded coordinates, and as the library's polygon of exactly those."""
    rings = [polygon.exterior, *polygon.interiors]
    rings = [[(round(x, digits), round(y, digits)) for x, y in ring.coords[:-1]] for ring in rings]
    return rings, Polygon(rings[0], rings[1:])


def convex(rng):
    n = rng.randint(3, 30)
    size = rng.uniform(5, 80)
    while True:
        points = [(rng.gauss(0, size), rng.gauss(0, size)) for _ in range(n)]
        hull = shapely.convex_hull(shapely.MultiPoint(points))
        if hull.geom_type == "Polygon" and hull.area > 20:
            return hull


def star(rng):
    n = rng.randint(5, 70)
    size = rng.uniform(8, 70)
    wobble = rng.uniform(0.1, 0.8)
    turns = sorted(rng.uniform(0, 2 * math.pi) for _ in range(n))
    radii = [size * (1 - wobble * rng.random()) for _ in range(n)]
    return Polygon([(r * math.cos(t), r * math.sin(t)) for r, t in zip(radii, turns)])


def blocks(rng):
    """A union of upright and turned rectangles: right angles, notches, sometimes holes."""
    pieces = []
    for _ in range(rng.randint(2, 6)):
        piece = shapely.box(0, 0, rng.uniform(5, 60), rng.uniform(5, 30))
        piece = affinity.rotate(piece, rng.choice([0, 0, 90, 30, 45]), origin=(0, 0))
        pieces.append(affinity.translate(piece, rng.uniform(-20, 20), rng.uniform(-20, 20)))
    union = shapely.union_all(pieces)
    return max(getattr(union, "geoms", [union]), key=lambda part: part.area)


def pierced(rng):
    """One of the others less some discs inside it."""
    polygon = rng.choice([convex, star, blocks])(rng)
    for _ in range(rng.randint(1, 4)):
        spot = polygon.representative_point()
        room = spot.distance(polygon.boundary)
        hole = spot.buffer(room * rng.uniform(0.3, 0.85), quad_segs=rng.randint(1, 5))
        polygon = polygon.difference(hole)
    return polygon


def spiral(rng):
    n = rng.randint(30, 60)
    pitch = rng.uniform(4, 9)
    line = [(pitch * t / 6 * math.cos(t), pitch * t / 6 * math.sin(t)) for t in numpy.linspace(2, 14, n)]
    return shapely.LineString(line).buffer(pitch * rng.uniform(0.15, 0.35), quad_segs=2)


def polygons(rng):
    makers = [convex] * 30 + [star] * 40 + [blocks] * 30 + [pierced] * 40 + [spiral] * 8
    made = []
    for maker in makers:
        while True:
            polygon = maker(rng)
            if polygon.geom_type != "Polygon":
                continue
            rings, exact = rounded(polygon)
            if exact.is_valid and exact.area > 20:
                break
        made.append((rings, exact))
    return made


def pose(rng, spread):
    x, y = (round(rng.uniform(-spread, spread), 3) for _ in range(2))
    turn = rng.choice([0, 90, 180, 270]) if rng.random() < 0.1 else round(rng.uniform(-400, 400), 3)
    return x, y, turn


def placed(polygon, at):
    x, y, turn = at
    quarters = {0: (0, 1), 90: (1, 0), 180: (0, -1), 270: (-1, 0)}
    sin, cos = quarters.get(turn, (math.sin(math.radians(turn)), math.cos(math.radians(turn))))
    return affinity.affine_transform(polygon, [cos, -sin, sin, cos, x, y])


def widths(polygon):
    hull = polygon.convex_hull
    corners = list(hull.exterior.coords)
    least = math.inf
    for (ax, ay), (bx, by) in zip(corners, corners[1:]):
        level = affinity.rotate(hull, -math.degrees(math.atan2(by - ay, bx - ax)), origin=(ax, ay))
        least = min(least, level.bounds[3] - level.bounds[1])
    ring = shapely.minimum_rotated_rectangle(polygon).exterior.coords
    assert least <= min(math.dist(ring[0], ring[1]), math.dist(ring[1], ring[2])) + 1e-9
    greatest = max(math.dist(p, q) for p in corners for q in corners)
    return least, greatest


def pair(rng, made):
    first, second = rng.randrange(len(made)), rng.randrange(len(made))
    a, b = made[first][1], made[second][1]
    reach = math.sqrt(a.convex_hull.area) + math.sqrt(b.convex_hull.area)
    at_a, (x, y, turn) = pose(rng, 400), pose(rng, reach * rng.choice([0.3, 0.7, 1.5]))
    at_b = round(at_a[0] + x, 3), round(at_a[1] + y, 3), turn
    a, b = placed(a, at_a), placed(b, at_b)
    return [first, *at_a, second, *at_b, a.distance(b), int(a.relate_pattern(b, SHARES_SURFACE))]


def pairs(rng, made, n):
    """Rows of pairs, without those so near to touching that rounding decides."""
    rows = []
    while len(rows) < n:
        row = pair(rng, made)
        if row[-1] == 0 and row[-2] < 1e-5:
            continue
        rows.append(row)
    return rows


def extents(rng, made, n):
    rows = []
    for _ in range(n):
        index, at = rng.randrange(len(made)), pose(rng, 500)
        rows.append([index, *at, *placed(made[index][1], at).bounds])
    return rows


def places(rng, made, n):
    rows = []
    while len(rows) < n:
        index, at = rng.randrange(len(made)), pose(rng, 500)
        polygon = placed(made[index][1], at)
        left, front, right, back = polygon.bounds
        place = Point(round(rng.uniform(left, right), 3), round(rng.uniform(front, back), 3))
        if polygon.boundary.distance(place) > 1e-6:
            rows.append([index, *at, place.x, place.y, int(polygon.covers(place))])
    return rows


def parts(geometry):
    return [part for part in getattr(geometry, "geoms", [geometry]) if part.area > 1e-4]


def is_sound(polygon, by, grown):
    """False when a hole of the grown polygon is within reach of it: the library at times keeps a small hole
    turned inside out that should have closed. The place asked about is the hole's own."""
    holes = [Polygon(hole) for part in grown for hole in part.interiors]
    return by < 0 or all(polygon.distance(hole.representative_point()) >= by - 1e-3 for hole in holes)


def offsets(rng, made):
    """Growth and shrinkage of each polygon, without cases where a little more or less changes the parts."""
    rows = []
    for index, (_, polygon) in enumerate(made):
        size = math.sqrt(polygon.area)
        for scale in (-0.3, -0.12, -0.04, 0.05, 0.2, 0.8):
            by = round(size * scale * rng.uniform(0.5, 1.5), 3)
            grown = [parts(polygon.buffer(by + d, quad_segs=QUARTER_STEPS)) for d in (-0.02, 0, 0.02)]
            counts = [(len(p), sum(len(part.interiors) for part in p)) for p in grown]
            if len(set(counts)) == 1 and is_sound(polygon, by, grown[1]):
                rows.append([index, by, sum(part.area for part in grown[1]), *counts[1]])
    return rows


def scribble(rng):
    """A ring on a coarse grid, whose corners often touch other sides exactly."""
    n, side = rng.randint(3, 9), rng.randint(3, 12)
    return [(rng.randrange(side), rng.randrange(side)) for _ in range(n)]


def nudged(rng, made):
    """A sound polygon with one corner somewhere else."""
    rings = [list(ring) for ring in rng.choice(made)[0]]
    ring = rng.choice(rings)
    corner = rng.randrange(len(ring))
    x, y = ring[corner]
    ring[corner] = round(x + rng.gauss(0, 15), 3), round(y + rng.gauss(0, 15), 3)
    return rings


def grid_holes(rng):
    """An upright or slanted block with holes on the same grid: inside, touching, crossing, outside."""
    outer = rng.choice([
        [(0, 0), (12, 0), (12, 12), (0, 12)],
        [(0, 0), (12, 3), (9, 12), (-2, 9)],
        [(0, 0), (12, 0), (12, 12), (6, 5), (0, 12)],
    ])
    holes = []
    for _ in range(rng.randint(1, 3)):
        x, y = rng.randrange(0, 11), rng.randrange(0, 11)
        w, d = rng.randint(1, 4), rng.randint(1, 4)
        holes.append([(x, y), (x + w, y), (x + w, y + d), (x, y + d)])
    return [outer, *holes]


def validity(rng, made):
    """Rings and whether they bound a surface; repeated corners next to each other are left to another check."""
    rows = []
    while len(rows) < 900:
        pick = rng.random()
        rings = [scribble(rng)] if pick < 0.45 else nudged(rng, made) if pick < 0.65 else grid_holes(rng)
        if any(ring[i] == ring[i - 1] for ring in rings for i in range(len(ring))):
            continue
        rows.append([[flat(ring) for ring in rings], int(Polygon(rings[0], rings[1:]).is_valid)])
    return rows


def flat(ring):
    return [value for point in ring for value in point]


def main():
    rng = random.Random(SEED)
    made = polygons(rng)
    reference = {
        "polygons": [[flat(ring) for ring in rings] for rings, _ in made],
        "measures": [[p.area, p.length, *widths(p)] for _, p in made],
        "pairs": pairs(rng, made, 4000),
        "extents": extents(rng, made, 300),
        "places": places(rng, made, 1500),
        "offsets": offsets(rng, made),
        "validity": validity(rng, made),
    }
    lines = []
    for name, rows in reference.items():
        body = ",\n".join(json.dumps(row, separators=(",", ":")) for row in rows)
        lines.append(f'"{name}": [\n{body}\n]')
    text = "{\n" + ",\n".join(lines) + "\n}\n"
    path = pathlib.Path(__file__).with_name("geometry_reference.json")
    path.write_text(text, encoding="ascii")
    sizes = {name: len(rows) for name, rows in reference.items()}
    overlaps = sum(row[-1] for row in reference["pairs"])
    valid = sum(row[-1] for row in reference["validity"])
    print(sizes, f"{overlaps} overlaps, {valid} valid, {len(text)} bytes")


if __name__ == "__main__":
    main()
