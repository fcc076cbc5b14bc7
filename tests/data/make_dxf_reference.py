"""Writes dxf_reference.json: DXF drawings with the area and bounds of each outline, as ezdxf and Shapely see them.

Run with: python3 make_dxf_reference.py > dxf_reference.json  (ezdxf 1.4.5, Shapely 2.2.0)

ezdxf writes each drawing, reads it back, takes blocks apart and cuts every curve to sides within 0.0005 of a unit;
Shapely joins loose lines into closed ones and combines those by even and odd depth. A row is [name, millimetres to a
unit or null when the drawing does not say, drawing, outlines], an outline [area, least x, least y, greatest x, greatest
y, holes] in the drawing's own units, sorted by area, the largest first.
"""

import io
import json
import math
import random

import ezdxf
from ezdxf import path
from ezdxf.disassemble import recursive_decompose
from shapely.geometry import LineString, Point, Polygon
from shapely.ops import polygonize, unary_union

SEED = 20260803
WITHIN = 0.0005


def text_of(document):
    stream = io.StringIO()
    document.write(stream)
    return trimmed(stream.getvalue())


def trimmed(text):
    """The drawing without the sections and tables that say nothing about outlines, to keep this file small."""
    lines = text.split("\n")
    pairs = [(lines[i].strip(), lines[i + 1].strip()) for i in range(0, len(lines) - 1, 2)]
    kept, section, record, variable = [], None, None, None
    for index, (code, value) in enumerate(pairs):
        if (code, value) == ("0", "SECTION"):
            section = pairs[index + 1][1]
        if code == "0":
            record = value
        if code == "9":
            variable = value
        is_wanted = section in ("BLOCKS", "ENTITIES")
        is_wanted |= section == "HEADER" and (code == "0" or code == "2" or variable in ("$INSUNITS", "$MEASUREMENT"))
        is_wanted |= section == "TABLES" and (record == "LAYER" or record in ("SECTION", "ENDSEC"))
        is_wanted |= (code, value) == ("0", "EOF")
        if is_wanted and code not in ("5", "330", "100", "102", "390", "347", "348", "360"):
            kept.append(f"{code}\n{value}\n")
        if (code, value) == ("0", "ENDSEC"):
            section = None
    return "".join(kept)


def outlines(document):
    hidden = {layer.dxf.name for layer in document.layers if layer.is_frozen() or layer.is_off()}
    loose, rings = [], []
    shown = [entity for entity in document.modelspace() if entity.dxf.layer not in hidden]
    for entity in recursive_decompose(shown):
        if entity.dxf.layer in hidden or entity.dxftype() in ("TEXT", "POINT", "MTEXT"):
            continue
        if entity.dxftype() == "SPLINE":
            curve = entity.construction_tool().flattening(WITHIN, segments=16)
        else:
            curve = path.make_path(entity).flattening(WITHIN, segments=16)
        flat = [(p.x, p.y) for p in curve]
        if math.dist(flat[0], flat[-1]) < 1e-6:
            rings.append(Polygon(flat))
        else:
            loose.append(LineString([(round(x, 3), round(y, 3)) for x, y in flat]))
    if loose:
        rings.extend(polygonize(unary_union(loose)))
    surface = Polygon()
    for ring in rings:
        surface = surface.symmetric_difference(ring.buffer(0))
    parts = surface.geoms if surface.geom_type == "MultiPolygon" else [surface]
    rows = [[part.area, *part.bounds, len(part.interiors)] for part in parts]
    return sorted(([round(value, 6) for value in row] for row in rows), reverse=True)


def new(units=4, version="R2010"):
    document = ezdxf.new(version, units=units)
    return document, document.modelspace()


def loose_plate():
    document, space = new()
    corners = [(0, 0), (80, 0), (80, 50), (40, 70), (0, 50)]
    sides = list(zip(corners, corners[1:] + corners[:1]))
    random.Random(5).shuffle(sides)
    for index, (a, b) in enumerate(sides):
        space.add_line(*((a, b) if index % 2 else (b, a)))
    space.add_circle((30, 25), 8)
    space.add_text("clam half")
    return document


def slot_of_arcs():
    document, space = new()
    space.add_arc((20, 0), 10, -90, 90)
    space.add_arc((-20, 0), 10, 90, 270)
    space.add_line((-20, 10), (20, 10))
    space.add_line((20, -10), (-20, -10))
    space.add_arc((100, 0), 15, 30, 250)
    space.add_line(*[(100 + 15 * math.cos(math.radians(a)), 15 * math.sin(math.radians(a))) for a in (250, 30)])
    return document


def bulges():
    document, space = new()
    points = [(0, 0, 0.5), (40, 0, -0.3), (40, 30, 1.0), (0, 30, 0)]
    space.add_lwpolyline(points, format="xyb", close=True)
    space.add_lwpolyline([(100, 0, 1), (120, 0, 1)], format="xyb", close=True)
    space.add_lwpolyline([(60, 60, 0), (90, 60, 0.2), (90, 90, 0), (60, 90, 0), (60, 60, 0)], format="xyb")
    return document


def old_polylines():
    document, space = new(version="R12")
    line = space.add_polyline2d([(0, 0, 0, 0, 0.4), (30, 0, 0, 0, 0), (30, 20, 0, 0, -0.6), (0, 20, 0, 0, 0)], format="xyseb")
    line.close(True)
    space.add_polyline3d([(50, 0, 1), (80, 0, 2), (80, 30, 3), (50, 0, 1)])
    space.add_circle((15, 4), 3)
    return document


def ellipses():
    document, space = new()
    space.add_ellipse((0, 0), (30, 10), 0.4)
    space.add_ellipse((100, 0), (20, 0), 0.5, 0.3, 2.8)
    ends = [(100 + 20 * math.cos(t), 10 * math.sin(t)) for t in (2.8, 0.3)]
    space.add_line(*ends)
    space.add_ellipse((0, 80), (20, 5), 0.3, dxfattribs={"extrusion": (0, 0, -1)})
    return document


def splines():
    document, space = new()
    space.add_open_spline([(0, 0), (60, -10), (70, 40), (30, 60), (-10, 30), (0, 0)], degree=4)
    space.add_rational_spline(
        [(100, 0), (130, 0), (130, 40), (100, 40), (100, 0)], [1, 2, 0.7, 3, 1], degree=3
    )
    space.add_open_spline([(200, 0), (230, 10), (240, 40), (210, 50), (190, 20), (200, 0)], degree=2)
    return document


def blocks():
    document, space = new()
    shell = document.blocks.new("SHELL", base_point=(5, 5))
    shell.add_lwpolyline([(0, 0, 0.3), (20, 0, 0), (10, 25, 0)], format="xyb", close=True)
    pair = document.blocks.new("PAIR")
    pair.add_blockref("SHELL", (0, 0))
    pair.add_blockref("SHELL", (40, 0), dxfattribs={"rotation": 35, "xscale": 1.5, "yscale": 1.5})
    pair.add_circle((100, 10), 6)
    space.add_blockref("PAIR", (10, 10))
    space.add_blockref("PAIR", (200, 50), dxfattribs={"rotation": -70, "xscale": -0.8, "yscale": 0.8})
    space.add_blockref("SHELL", (0, 200), dxfattribs={"column_count": 3, "row_count": 2, "column_spacing": 50, "row_spacing": 60, "rotation": 10})
    return document


def mirrored():
    document, space = new()
    space.add_circle((30, 10), 12, dxfattribs={"extrusion": (0, 0, -1)})
    space.add_lwpolyline([(0, 100, 0.5), (20, 100, 0), (20, 115, 0)], format="xyb", close=True, dxfattribs={"extrusion": (0, 0, -1)})
    space.add_arc((90, 0), 10, 20, 160, dxfattribs={"extrusion": (0, 0, -1)})
    space.add_line((-90 + 10 * math.cos(math.radians(20)), 10 * math.sin(math.radians(20))), (-90 - 10 * math.cos(math.radians(20)), 10 * math.sin(math.radians(20))))
    return document


def layers():
    document, space = new()
    document.layers.add("GUIDES").freeze()
    document.layers.add("NOTES").off()
    document.layers.add("MOLDS")
    space.add_circle((0, 0), 50, dxfattribs={"layer": "GUIDES"})
    space.add_circle((0, 0), 40, dxfattribs={"layer": "NOTES"})
    space.add_circle((0, 0), 20, dxfattribs={"layer": "MOLDS"})
    hidden = document.blocks.new("MARK")
    hidden.add_circle((0, 0), 5)
    space.add_blockref("MARK", (100, 0), dxfattribs={"layer": "GUIDES"})
    space.add_blockref("MARK", (200, 0), dxfattribs={"layer": "MOLDS"})
    return document


def of_units(units):
    document, space = new(units=units)
    space.add_lwpolyline([(0, 0), (3, 0), (3, 2), (0, 2)], close=True)
    space.add_circle((1.5, 1), 0.5)
    return document


def by_chance(rng):
    """Rings of lines, arcs and bulges, apart from each other, in blocks and out of them."""
    document, space = new()
    for index in range(rng.randint(1, 5)):
        n = rng.randint(3, 9)
        turns = sorted(rng.uniform(0, 2 * math.pi) for _ in range(n))
        if max(b - a for a, b in zip(turns, turns[1:] + [turns[0] + 2 * math.pi])) > 2.5:
            turns = [2 * math.pi * i / n for i in range(n)]
        radii = [rng.uniform(15, 30) for _ in turns]
        points = [(r * math.cos(t), r * math.sin(t)) for r, t in zip(radii, turns)]
        block = document.blocks.new(f"B{index}", base_point=(rng.uniform(-3, 3), rng.uniform(-3, 3)))
        if rng.random() < 0.5:
            bulged = [(x, y, rng.uniform(-0.1, 0.3)) for x, y in points]
            block.add_lwpolyline(bulged, format="xyb", close=True)
        else:
            for a, b in zip(points, points[1:] + points[:1]):
                block.add_line(a, b)
        if Polygon(points).contains(Point(0, 0).buffer(8)):
            block.add_circle((0, 0), 2)
        scale = rng.choice([0.5, 1, 1.25])
        attributes = {"rotation": rng.uniform(-180, 180), "xscale": scale * rng.choice([-1, 1]), "yscale": scale}
        space.add_blockref(f"B{index}", (100 * index, rng.uniform(-50, 50)), dxfattribs=attributes)
    return document


def main():
    written = [
        ("loose plate", 1, loose_plate()), ("slot of arcs", 1, slot_of_arcs()), ("bulges", 1, bulges()),
        ("old polylines", None, old_polylines()), ("ellipses", 1, ellipses()), ("splines", 1, splines()),
        ("blocks", 1, blocks()), ("mirrored", 1, mirrored()), ("layers", 1, layers()),
        ("inches", 25.4, of_units(1)), ("feet", 304.8, of_units(2)), ("centimetres", 10, of_units(5)),
        ("no unit", None, of_units(0)),
    ]
    rng = random.Random(SEED)
    written += [(f"random {n}", 1, by_chance(rng)) for n in range(40)]
    rows = []
    for name, unit, document in written:
        text = text_of(document)
        again = io.StringIO()
        document.write(again)
        rows.append([name, unit, text, outlines(ezdxf.read(io.StringIO(again.getvalue())))])
    print("[\n" + ",\n".join(json.dumps(row) for row in rows) + "\n]")


if __name__ == "__main__":
    main()
