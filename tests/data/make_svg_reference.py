"""Writes svg_reference.json: SVG drawings with the area and bounds of each outline, as svgelements and Shapely see them.

Run with: python3 make_svg_reference.py > svg_reference.json  (svgelements 1.9.6, Shapely 2.2.0)

The drawings are written here, by hand and by chance from a fixed seed. svgelements reads the XML, the units, view
boxes, transforms, uses and path data; every curve is cut into 4096 straight sides; Shapely combines the closed lines of a
drawing by even and odd depth. A row is [name, drawing, outlines], an outline [area, least x, least y, greatest x,
greatest y, holes] in square millimetres and millimetres, y upwards, sorted by area, the largest first. Of the random
paths, which cross themselves, the area is the absolute value of the signed one, by the shoelace formula.
"""

import io
import json
import math
import random

import numpy
import svgelements
from shapely.geometry import Polygon

SEED = 20260802
MM_PER_PIXEL = 25.4 / 96
STEPS = 4096


def rings(text):
    """The closed lines of a drawing in millimetres, y upwards."""
    drawing = svgelements.SVG.parse(io.StringIO(text), reify=True, ppi=96)
    found = []
    for element in drawing.elements():
        if not isinstance(element, svgelements.Shape) or element.values.get("visibility") == "hidden":
            continue
        path = svgelements.Path(element)
        path.reify()
        for subpath in path.as_subpaths():
            points = []
            for segment in svgelements.Path(subpath):
                if isinstance(segment, svgelements.Move):
                    continue
                if isinstance(segment, (svgelements.Line, svgelements.Close)):
                    ends = [segment.start, segment.end]
                    points.extend((p.x, p.y) for p in ends if p is not None)
                    continue
                points.extend(map(tuple, segment.npoint(numpy.linspace(0, 1, STEPS))))
            if len(points) > 2:
                found.append([(x * MM_PER_PIXEL, -y * MM_PER_PIXEL) for x, y in points])
    return found


def even_odd(text):
    """The outlines of a drawing whose closed lines do not cross."""
    surface = Polygon()
    for ring in rings(text):
        surface = surface.symmetric_difference(Polygon(ring).buffer(0))
    parts = surface.geoms if surface.geom_type == "MultiPolygon" else [surface]
    rows = [[part.area, *part.bounds, len(part.interiors)] for part in parts]
    return sorted(([round(value, 6) for value in row] for row in rows), reverse=True)


def signed(text):
    rows = []
    for ring in rings(text):
        x, y = numpy.array(ring).T
        area = abs(numpy.dot(x, numpy.roll(y, -1)) - numpy.dot(y, numpy.roll(x, -1))) / 2
        rows.append([round(v, 6) for v in (area, min(x), min(y), max(x), max(y))] + [0])
    return sorted(rows, reverse=True)


def drawing(body, head='width="200mm" height="150mm" viewBox="0 0 200 150"'):
    space = 'xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"'
    return f"<svg {space} {head}>{body}</svg>"


WRITTEN = {
    "plain shapes": drawing(
        '<rect x="10" y="10" width="40" height="30"/><circle cx="90" cy="40" r="22.5"/>'
        '<ellipse cx="150" cy="40" rx="30" ry="12"/><polygon points="20,70 60,75 40,120"/>'
        '<polyline points="100,80 140,80 140,120 100,120 100,80" fill="none" stroke="black"/>'
    ),
    "round corners": drawing(
        '<rect x="10" y="10" width="60" height="40" rx="8"/><rect x="80" y="10" width="60" height="40" rx="10" ry="4"/>'
        '<rect x="10" y="70" width="60" height="40" rx="50"/><rect x="80" y="70" width="30" height="40" ry="7"/>'
    ),
    "holes and islands": drawing(
        '<path d="M10 10h120v100h-120z M30 30h60v60h-60z M45 45v20h20v-20z"/>'
        '<circle cx="110" cy="60" r="9"/><circle cx="55" cy="55" r="4"/><circle cx="170" cy="60" r="20"/>'
    ),
    "groups turned, scaled, leant": drawing(
        '<g transform="translate(40 40) rotate(30)"><g transform="scale(1.5 0.75)"><rect width="30" height="20"/>'
        '<g transform="skewX(20) translate(40,10)"><path d="M0 0Q15 5 10 20T-5 10z"/></g></g></g>'
        '<g transform="matrix(0.5 0.2 -0.3 0.8 160 60)"><path d="M0 0 C 40 -20 60 40 20 50 S -30 30 0 0 z"/></g>'
        '<rect x="160" y="10" width="20" height="10" transform="rotate(25 170 15) skewY(12)"/>'
    ),
    "pixels without a unit": drawing(
        '<rect x="96" y="96" width="192" height="96"/>', 'width="600" height="400"'
    ),
    "inches": drawing(
        '<circle cx="2" cy="2" r="1.25"/><rect x="4" y="1" width="3.5" height="2"/>',
        'width="8.5in" height="11in" viewBox="0 0 8.5 11"',
    ),
    "units within": drawing(
        '<rect x="10mm" y="1cm" width="2in" height="30pt"/><circle cx="5in" cy="3pc" r="12mm"/>',
        'width="200mm" height="100mm"',
    ),
    "shares of the view": drawing(
        '<rect x="10%" y="10%" width="50%" height="25%"/><ellipse cx="75%" cy="75%" rx="10%" ry="5%"/>'
    ),
    "a view box with an offset and room to spare": drawing(
        '<rect x="-40" y="20" width="50" height="30"/>',
        'width="200mm" height="100mm" viewBox="-50 0 100 100"',
    ),
    "a view box that stretches": drawing(
        '<rect x="10" y="20" width="50" height="30"/><circle cx="80" cy="80" r="15"/>',
        'width="200mm" height="100mm" viewBox="0 0 100 100" preserveAspectRatio="none"',
    ),
    "a view box cut to fill": drawing(
        '<rect x="10" y="30" width="50" height="30"/>',
        'width="200mm" height="100mm" viewBox="0 0 100 100" preserveAspectRatio="xMaxYMin slice"',
    ),
    "used shapes": drawing(
        '<defs><g id="shell"><path d="M0 0 A 15 15 0 0 1 30 0 L 15 25 z"/></g></defs>'
        '<use xlink:href="#shell" x="20" y="40"/><use href="#shell" transform="translate(90,60) rotate(200)"/>'
        '<g transform="scale(2)"><use href="#shell" x="60" y="40"/></g>'
    ),
    "hidden and shown": drawing(
        '<g style="display:none"><rect width="50" height="50"/></g><g display="none"><circle r="30"/></g>'
        '<rect x="20" y="20" width="40" height="20" style="fill:none;stroke:black"/>'
    ),
    "every command": drawing(
        '<path d="M20 20 l30 -5 h20 H90 v20 V60 C 100 70 95 90 80 90 c -10 0 -20 5 -20 10 S 40 110 30 100 s -15 -10 -10 -20 '
        'Q 5 70 15 60 t 5 -15 T 15 35 q -5 -5 0 -10 z"/>'
        '<path d="M120 40 a 25 15 20 1 1 30 20 A 12 12 0 0 1 130 70 z"/>'
        '<path d="m120 90 20 0 10 20-30 5z m40 0 20 0 0 20-20 0z"/>'
    ),
    "arcs of every kind": drawing(
        '<path d="M30 40 A 20 12 0 0 0 60 40 L 60 60 L 30 60 z"/><path d="M90 40 A 20 30 45 1 0 110 40 z"/>'
        '<path d="M150 40 A 4 4 0 0 1 180 40 z"/><path d="M30 100 a20 20 0 1 1 0.001 0 z"/>'
        '<path d="M90 100a15 10-30 01 20 5v10h-30z"/>'
    ),
}


def random_path(rng, commands):
    """A path; svgelements mirrors the control point of any curve, so smooth commands follow their own kind only."""
    parts = [f"M{rng.uniform(20, 80):.3f} {rng.uniform(20, 80):.3f}"]
    number = lambda: f"{rng.uniform(5, 95):.3f}"
    small = lambda: f"{rng.uniform(-30, 30):.3f}"
    for _ in range(rng.randint(2, 9)):
        kind = rng.choice(commands)
        before = parts[-1][0].upper()
        if kind in "Ss" and before not in "CS":
            kind = "C" if kind == "S" else "c"
        if kind in "Tt" and before not in "QT":
            kind = "Q" if kind == "T" else "q"
        value = number if kind.isupper() else small
        n_values = {"L": 2, "H": 1, "V": 1, "C": 6, "S": 4, "Q": 4, "T": 2, "A": 2}[kind.upper()]
        values = [value() for _ in range(n_values)]
        if kind in "Aa":
            flags = f"{rng.randint(0, 1)} {rng.randint(0, 1)}"
            values = [f"{rng.uniform(70, 120):.3f}", f"{rng.uniform(70, 120):.3f}", f"{rng.uniform(-90, 90):.2f}", flags] + values
        parts.append(kind + " ".join(values))
    return " ".join(parts) + "z"


def random_transform(rng, is_similar):
    """A transform; svgelements bends arcs wrongly under others than similarities, which closed forms check instead."""
    size = rng.uniform(0.3, 2)
    kept = [
        f"translate({rng.uniform(-50, 50):.3f} {rng.uniform(-50, 50):.3f})",
        f"rotate({rng.uniform(-180, 180):.3f})",
        f"scale({size:.3f} {-size:.3f})",
    ]
    return rng.choice(
        kept
        if is_similar
        else [
            f"translate({rng.uniform(-50, 50):.3f} {rng.uniform(-50, 50):.3f})",
            f"rotate({rng.uniform(-180, 180):.3f})",
            f"rotate({rng.uniform(-180, 180):.3f}, 40, 30)",
            f"scale({rng.uniform(0.2, 2):.3f} {rng.uniform(-2, -0.2):.3f})",
            f"skewX({rng.uniform(-50, 50):.3f})",
            f"skewY({rng.uniform(-50, 50):.3f})",
            f"matrix({' '.join(f'{rng.uniform(-1.5, 1.5):.3f}' for _ in range(6))})",
        ]
    )


def random_drawing(rng):
    has_arcs = rng.random() < 0.5
    body = f'<path d="{random_path(rng, "LlHhVvCcSsQqTtAaAa" if has_arcs else "LlHhVvCcSsQqTt")}"/>'
    for _ in range(rng.randint(0, 3)):
        body = f'<g transform="{random_transform(rng, has_arcs)}">{body}</g>'
    return drawing(body)


def main():
    rng = random.Random(SEED)
    rows = [[name, text, even_odd(text)] for name, text in WRITTEN.items()]
    rows += [[f"random {n}", text, signed(text)] for n, text in ((n, random_drawing(rng)) for n in range(150))]
    print("[\n" + ",\n".join(json.dumps(row) for row in rows) + "\n]")


if __name__ == "__main__":
    main()
