"""Layouts judged by shapely: every copy once, inside the bed, apart by the gap. Shares nothing with us.

A layout is what `partpledge-bench nest` prints; outlines come from the very file it was given.
"""
import json
import math

from shapely import STRtree
from shapely.affinity import affine_transform
from shapely.geometry import Polygon
from shapely.validation import make_valid

TOLERANCE_MM = 1e-3
DEPTH_MM = 1000.0


def read_set(path):
    """(outlines in mm as scaled, copies of each) of a strip set or of bins."""
    if path.endswith(".json"):
        data = json.load(open(path))
        scale = 1.0 if data.get("unit") == "mm" else DEPTH_MM / data["strip_height"]
        shapes = [[(x * scale, y * scale) for x, y in item["shape"]["data"]] for item in data["items"]]
        return shapes, [item["demand"] for item in data["items"]]
    words = iter(map(float, open(path).read().split()))
    pieces = sum(int(next(words)) for _ in range(int(next(words))))
    _, depth = next(words), next(words)
    shapes = []
    for _ in range(pieces):
        corners = [(next(words), next(words)) for _ in range(int(next(words)))]
        shapes.append([(x * DEPTH_MM / depth, y * DEPTH_MM / depth) for x, y in corners])
    return shapes, [1] * pieces


def faults(shapes, copies, plates, gap, edge=None):
    """What is wrong with a layout, as sentences; none when all is well. The gap to the edge is that between parts unless said."""
    edge = gap if edge is None else edge
    out = []
    seen = sorted((item, copy) for plate in plates for item, copy, *_ in plate["placements"])
    if seen != [(i, c) for i, n in enumerate(copies) for c in range(n)]:
        out.append("not every copy is there exactly once")
    for number, plate in enumerate(plates):
        width, depth = plate["bed_mm"]
        placed = []
        for item, _, x, y, degrees in plate["placements"]:
            cos, sin = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
            shape = make_valid(Polygon(shapes[item]))
            placed.append(affine_transform(shape, [cos, -sin, sin, cos, x, y]))
        for shape in placed:
            x0, y0, x1, y1 = shape.bounds
            if min(x0, y0, width - x1, depth - y1) < edge - TOLERANCE_MM:
                out.append(f"plate {number + 1}: a part is {min(x0, y0, width - x1, depth - y1):.4f} mm from the edge")
        tree = STRtree(placed)
        for i, shape in enumerate(placed):
            for j in tree.query(shape.buffer(gap + 1)):
                if j <= i:
                    continue
                if gap > 0 and shape.distance(placed[j]) < gap - TOLERANCE_MM:
                    out.append(f"plate {number + 1}: two parts are {shape.distance(placed[j]):.4f} mm apart")
                # Without a gap parts may touch; how deep they lie in each other is what counts.
                elif gap == 0 and shape.buffer(-TOLERANCE_MM).intersection(placed[j]).area > 1e-9:
                    out.append(f"plate {number + 1}: two parts overlap")
    return out


def area(points):
    """Bare area of a closed outline."""
    return abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(points, points[1:] + points[:1]))) / 2


def pick_footprints(lines, bed, many, plates):
    """So many footprints holding about so many plates of bare area: the first that fit the bed with
    room to spare, then swaps with later ones while one brings the sum closer."""
    rows = [json.loads(line) for line in lines]
    fits = [r for r in rows if max(max(v) - min(v) for v in zip(*r["data"])) <= 0.9 * min(bed)]
    want = plates * bed[0] * bed[1]
    inside, outside = fits[:many], fits[many:]
    areas = lambda list_: [area(r["data"]) for r in list_]
    while True:
        short = want - sum(areas(inside))
        pairs = [(abs(short - (b - a)), i, j) for i, a in enumerate(areas(inside)) for j, b in enumerate(areas(outside))]
        best = min(pairs, default=(abs(short), 0, 0))
        if best[0] >= abs(short) - 1e-9:
            return inside, sum(areas(inside)) / (bed[0] * bed[1])
        inside[best[1]], outside[best[2]] = outside[best[2]], inside[best[1]]
