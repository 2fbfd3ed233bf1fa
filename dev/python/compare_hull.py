"""Whether the widest faces of scipy's convex hull that a part stands on are among our ways up.

Reference only, no part of the product. Takes the path of `partpledge-bench` and STL files:

    python dev/python/compare_hull.py target/debug/partpledge-bench FILE...

Needs numpy, scipy and trimesh. A face counts when the centre of volume lies over it; hull triangles
within half a degree are one face; the widest five are looked for among our ways, to one degree and a
thousandth of the height. Files whose largest side is under 3 are taken to be in metres, as the bench
takes them. Files that trimesh can't read or doesn't call watertight are left out.
"""

import subprocess
import sys

import numpy as np
import trimesh
from scipy.spatial import ConvexHull

MERGE = np.cos(np.radians(0.5))
FACES = 5


def faces(points, centre):
    """Normals and areas of the hull's faces that the centre lies over, widest first."""
    hull = ConvexHull(points)
    found = []
    triangles = points[hull.simplices]
    cross = np.cross(triangles[:, 1] - triangles[:, 0], triangles[:, 2] - triangles[:, 0])
    areas = np.linalg.norm(cross, axis=1) / 2
    normals = hull.equations[:, :3]
    for i in np.argsort(-areas)[:1500]:
        if areas[i] <= 0:
            continue
        n, t = normals[i], triangles[i]
        if np.dot(np.cross(t[1] - t[0], t[2] - t[0]), n) < 0:
            t = t[::-1]
        inside = all(
            np.dot(np.cross(t[(k + 1) % 3] - t[k], centre - t[k]), n) >= 0 for k in range(3)
        )
        for face in found:
            if face[0] @ n > MERGE:
                face[1] += areas[i]
                face[2] |= inside
                break
        else:
            found.append([n, areas[i], inside])
    standing = [face for face in found if face[2]]
    return sorted(standing, key=lambda face: -face[1])[:FACES]


def main():
    bench, files = sys.argv[1], sys.argv[2:]
    looked, missed, parts = 0, [], 0
    for file in files:
        try:
            mesh = trimesh.load(file, force="mesh")
        except Exception:  # what trimesh can't read it can't judge
            continue
        if len(mesh.faces) == 0 or not mesh.is_watertight or mesh.volume <= 0:
            continue
        if max(mesh.extents) < 3:
            mesh.apply_scale(1000)
        answer = subprocess.run([bench, "standing", file], capture_output=True, text=True)
        lines = [line.split(maxsplit=4) for line in answer.stdout.splitlines()]
        if not lines:
            continue
        parts += 1
        ups = np.array([[float(x) for x in line[:3]] for line in lines])
        heights = np.array([float(line[3]) for line in lines])
        for normal, area, _ in faces(mesh.vertices, mesh.center_mass):
            looked += 1
            height = np.ptp(mesh.vertices @ normal)
            near = (ups @ -normal > np.cos(np.radians(1))) & (
                np.abs(heights - height) < 1e-3 * height + 0.02
            )
            if not near.any():
                missed.append(f"{file}: face of {area:.1f} facing {np.round(normal, 3)}")
    print(f"{parts} parts, {looked} faces of scipy's hull looked for, {len(missed)} missed")
    for line in missed:
        print(" ", line)
    if not looked:
        sys.exit("nothing was compared")


if __name__ == "__main__":
    main()
