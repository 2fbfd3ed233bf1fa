"""Which real files are watertight parts of usual size, by trimesh (PyPI): not by us.

usage: watertight_parts.py DIR OUT.txt MOST

The rule, fixed before anything was compared: STL and OBJ files; corners merged at 1e-5 mm, faces
without area and doubled faces dropped; then watertight and consistent, volume above zero, 20 to 60,000
faces, longest side 15 to 250 mm (metres where the longest side is below 3). Bodies may be several, and
may overlap. One file of each folder in turn, within a folder in the order of a hash of the name, until
there are MOST; no two of the same size and number of faces. Exit code 3: there was no file to look at.

A line a part: millimetres per unit, number of bodies, volume in mm³, path.
"""
import hashlib
import os
import sys
import warnings

import numpy as np
import trimesh

warnings.filterwarnings("ignore")


def loaded(path, scale):
    """The part in mm as the comparison has it."""
    mesh = trimesh.load(path, force="mesh", process=False)
    mesh = trimesh.Trimesh(np.asarray(mesh.vertices, dtype=np.float64) * scale, mesh.faces, process=False)
    mesh.merge_vertices(merge_tex=True, merge_norm=True, digits_vertex=5)
    mesh.update_faces(mesh.nondegenerate_faces(height=0) & mesh.unique_faces())
    return mesh


def judged(path):
    """(mm per unit, bodies, volume), or None when the file is no such part."""
    if os.path.getsize(path) > 12_000_000:
        return None
    try:
        raw = trimesh.load(path, force="mesh", process=False)
        if not 20 <= len(raw.faces) <= 60_000:
            return None
        scale = 1000.0 if max(raw.extents) < 3 else 1.0
        mesh = loaded(path, scale)
    except Exception:
        return None
    if mesh.extents is None or not 15 <= max(mesh.extents) <= 250 or not mesh.is_watertight or not mesh.is_winding_consistent or mesh.volume <= 0:
        return None
    return scale, int(mesh.body_count), float(mesh.volume), (len(mesh.faces), *np.round(sorted(mesh.extents), 2))


def main(folder, out, most):
    kinds = {}
    for root, dirs, names in os.walk(folder):
        dirs.sort()
        for name in names:
            if name.lower().endswith((".stl", ".obj")):
                kind = root if "random" not in root else os.path.dirname(root)
                kinds.setdefault(kind, []).append(os.path.join(root, name))
    if not kinds:
        sys.exit(3)  # no file at all: that is not a fault of ours
    queues = [sorted(files, key=lambda f: hashlib.sha256(os.path.relpath(f, folder).encode()).digest()) for _, files in sorted(kinds.items())]
    found, seen, looked = [], set(), 0
    while any(queues) and len(found) < most:
        for queue in queues:
            if len(found) == most:
                break
            while queue:
                path = queue.pop(0)
                looked += 1
                part = judged(path)
                if part and part[3] not in seen:
                    seen.add(part[3])
                    found.append((*part[:3], path))
                    break
    with open(out, "w") as f:
        f.writelines(f"{scale}\t{bodies}\t{volume!r}\t{path}\n" for scale, bodies, volume, path in found)
    print(f"{len(found)} watertight parts chosen, {looked} of {sum(map(len, kinds.values()))} files looked at")
    if len(found) < most:
        sys.exit(f"only {len(found)} of {most} watertight parts were found")


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2], int(sys.argv[3]))
