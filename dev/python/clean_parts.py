"""Which real files are one clean closed body, by trimesh and pymeshlab (PyPI): not by us.

usage: clean_parts.py DIR OUT.txt [MOST_OF_A_KIND]

Clean: one file, one body, watertight and consistent, volume above zero, no duplicate faces, no
self-intersecting face by pymeshlab, at most 60,000 faces. Files that look alike (same folder) are
thinned out to MOST_OF_A_KIND, spread evenly. Exit code 3: there was no file to look at.
"""
import os
import sys
import warnings

import numpy as np
import pymeshlab
import trimesh

warnings.filterwarnings("ignore")


def clean(path):
    if os.path.getsize(path) > 6_000_000:
        return False
    try:
        mesh = trimesh.load(path, force="mesh", process=False)
    except Exception:
        return False
    if not 20 <= len(mesh.faces) <= 60_000:
        return False
    size = float(max(mesh.extents))
    scale = 1000.0 if size < 1 else 1.0
    mesh = trimesh.Trimesh(np.asarray(mesh.vertices) * scale, mesh.faces, process=False)
    mesh.merge_vertices(merge_tex=True, merge_norm=True, digits_vertex=5)
    before = len(mesh.faces)
    mesh.update_faces(mesh.unique_faces())
    if len(mesh.faces) != before or not mesh.is_watertight or not mesh.is_winding_consistent:
        return False
    if mesh.volume <= 0 or mesh.body_count != 1:
        return False
    ms = pymeshlab.MeshSet()
    ms.add_mesh(pymeshlab.Mesh(vertex_matrix=mesh.vertices, face_matrix=mesh.faces))
    ms.compute_selection_by_self_intersections_per_face()
    return ms.current_mesh().selected_face_number() == 0


def main(folder, out, most):
    kinds = {}
    for root, dirs, names in os.walk(folder):
        dirs.sort()
        for name in sorted(names):
            if name.lower().endswith((".stl", ".obj")):
                path = os.path.join(root, name)
                kind = root if "random" not in root else os.path.dirname(root)
                kinds.setdefault(kind, []).append(path)
    found = []
    for kind in sorted(kinds):
        files = kinds[kind]
        step = max(1, len(files) // most)
        found += [path for path in files[::step] if clean(path)]
    with open(out, "w") as f:
        f.writelines(path + "\n" for path in found)
    print(f"{len(found)} clean parts of {sum(map(len, kinds.values()))} files")
    if not kinds:
        sys.exit(3)  # no file at all: that is not a fault of ours
    if not found:
        sys.exit("no clean part was found")


main(sys.argv[1], sys.argv[2], int(sys.argv[3]) if len(sys.argv) > 3 else 60)
