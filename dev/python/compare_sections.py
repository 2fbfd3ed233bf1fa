"""The areas inside our outlines beside those of trimesh + shapely and of manifold3d (PyPI).

usage: compare_sections.py PARTS.txt SECTIONS.jsonl LEAST_SHARE

The same heights of the same files, read by trimesh. Everybody closes slits by 5 µm out and 5 µm in, with
sharp corners, as our outlines are. An area agrees within 1e-4 of itself.

- trimesh + shapely: trimesh cuts the triangles; shapely makes faces of the segments; a face is solid when
  the directed segments wind round it, in whichever sense (nonzero, as ours).
- manifold3d: its own slice, and its own offsets.

What has to be known: trimesh's own `section().to_2D().polygons_full` is even-odd: where bodies overlap it
leaves holes or counts twice. manifold3d merges what overlaps by its sign (positive winding).
"""
import collections
import json
import sys
import warnings

import manifold3d
import numpy as np
import shapely
import trimesh
from scipy.sparse import csr_array
from scipy.sparse.csgraph import connected_components
from scipy.spatial import cKDTree
from trimesh.intersections import mesh_plane
from watertight_parts import loaded

warnings.filterwarnings("ignore")

CLOSE_MM = 0.005
MITER = 2.0
AGREE = 1e-4
# Our outlines are whole numbers of this, mm.
GRID_MM = 1e-4
EVEN_ODD = "trimesh + shapely, even-odd (told only)"


def closed(shape):
    out = shape.buffer(CLOSE_MM, join_style="mitre", mitre_limit=MITER)
    return out.buffer(-CLOSE_MM, join_style="mitre", mitre_limit=MITER).area


def winding(points, a, b):
    """How often the directed segments a -> b wind round each point."""
    x, y = points[:, :1], points[:, 1:]
    up, down = (a[:, 1] <= y) & (b[:, 1] > y), (a[:, 1] > y) & (b[:, 1] <= y)
    side = (b[:, 0] - a[:, 0]) * (y - a[:, 1]) - (x - a[:, 0]) * (b[:, 1] - a[:, 1])
    return (up & (side > 0)).sum(1) - (down & (side < 0)).sum(1)


def joined(ends):
    """Two triangles work out their common corner each for itself: corners within 1e-6 mm become one."""
    flat = ends.reshape(-1, 2)
    pairs = cKDTree(flat).query_pairs(1e-6, output_type="ndarray")
    links = csr_array((np.ones(len(pairs)), pairs.T), shape=(len(flat), len(flat)))
    _, label = connected_components(links, directed=False)
    _, first = np.unique(label, return_index=True)
    ends = flat[first][label].reshape(-1, 2, 2)
    return ends[(ends[:, 0] != ends[:, 1]).any(1)]


def by_shapely(mesh, z):
    """(nonzero, even-odd) area after closing."""
    segments, faces = mesh_plane(mesh, [0, 0, 1], [0, 0, z], return_faces=True)
    if len(segments) == 0:
        return 0.0, 0.0
    ends = segments[:, :, :2]
    # The solid lies on the left when the outward normal is on the right.
    normal = mesh.face_normals[faces][:, :2]
    along = ends[:, 1] - ends[:, 0]
    turned = along[:, 0] * -normal[:, 1] + along[:, 1] * normal[:, 0] < 0
    ends[turned] = ends[turned][:, ::-1]
    ends = joined(ends)
    lines = shapely.union_all(shapely.linestrings(ends))
    cells = np.array(shapely.get_parts(shapely.polygonize(shapely.get_parts(lines))))
    if len(cells) == 0:
        return 0.0, 0.0
    inner = np.array([point.coords[0] for point in shapely.point_on_surface(cells)])
    wound = np.concatenate([winding(some, ends[:, 0], ends[:, 1]) for some in np.array_split(inner, 1 + len(inner) * len(ends) // 10_000_000)])
    return tuple(closed(shapely.union_all(cells[solid])) for solid in (wound != 0, wound % 2 != 0))


def by_manifold(mesh):
    """A function of the height, or None when the library takes the part for no solid."""
    body = manifold3d.Manifold(manifold3d.Mesh64(np.asarray(mesh.vertices), np.asarray(mesh.faces, dtype=np.uint64)))
    if body.status() != manifold3d.Error.NoError or body.is_empty():
        return None

    def area(z):
        cut = body.slice(z)
        for by in (CLOSE_MM, -CLOSE_MM):
            cut = cut.offset(by, manifold3d.JoinType.Miter, MITER)
        return cut.area()

    return area


def gap(a, b):
    return abs(a - b) / b if b else float(a != b)


def cause(ours, edge, z, mesh, truth, odd, theirs, others):
    """Why our area is not theirs, in words; `truth` and `odd` are nonzero and even-odd by shapely."""
    if np.abs(mesh.vertices[:, 2] - z).min() < 1e-6:
        return "corners lie exactly at this height: who is above and who below is a matter of taste"
    if abs(ours - theirs) <= GRID_MM * edge:
        return "tiny section: within the rounding of our grid along its edge"
    if gap(truth, odd) > AGREE and gap(theirs, truth) > AGREE and gap(ours, truth) <= AGREE:
        return "bodies overlap or are turned inside out: the library counts otherwise"
    if any(gap(ours, other) <= AGREE for other in others):
        return "the libraries differ from each other, and the other one agrees with us"
    return "ours differs from both"


def main(parts, sections, least):
    scales = {row[3]: float(row[0]) for row in (line.rstrip("\n").split("\t") for line in open(parts))}
    tally = {name: collections.Counter() for name in ("trimesh + shapely", "manifold3d", EVEN_ODD)}
    worst, causes, heights, refused, count, rows = collections.defaultdict(float), collections.Counter(), 0, [], 0, []
    for line in open(sections):
        ours = json.loads(line)
        count += 1
        mesh = loaded(ours["file"], scales[ours["file"]])
        slicer = by_manifold(mesh)
        if slicer is None:
            refused.append(ours["file"])
        for z, area, edge in zip(ours["heights"], ours["areas"], ours["edges"]):
            heights += 1
            truth, odd = by_shapely(mesh, z)
            answers = {"trimesh + shapely": truth, EVEN_ODD: odd}
            if slicer:
                answers["manifold3d"] = slicer(z)
            for name, theirs in answers.items():
                same = gap(area, theirs) <= AGREE
                tally[name][same] += 1
                worst[name] = max(worst[name], gap(area, theirs))
                if not same:
                    why = cause(area, edge, z, mesh, truth, odd, theirs, answers.values())
                    causes[name, why] += 1
                    rows.append((gap(area, theirs), name, why, ours["file"], z, area, theirs))
    if heights == 0:
        sys.exit("no section was compared")
    print(f"{count} parts, {heights} heights; manifold3d takes {len(refused)} parts for no solid")
    failed = []
    for name, found in tally.items():
        share = found[True] / max(1, found.total())
        print(f"  {name}: {found[True]} of {found.total()} areas within {AGREE:.0e} ({share:.2%}); worst {worst[name]:.2e}")
        for (who, why), times in causes.most_common():
            if who == name:
                print(f"    {times} times: {why}")
        if share < least and name != EVEN_ODD:
            failed.append(f"{name}: {share:.2%} is below {least:.0%}")
    for row in sorted((row for row in rows if row[1] != EVEN_ODD), reverse=True)[:5]:
        print("    %.1e %s: %s at %.2f mm, ours %.5f, theirs %.5f mm²" % (row[0], row[1], *row[3:]))
    if failed:
        sys.exit("; ".join(failed))


main(sys.argv[1], sys.argv[2], float(sys.argv[3]))
