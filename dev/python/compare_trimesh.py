"""Our facts beside those of trimesh (PyPI), which reads the same files by itself.

usage: compare_trimesh.py TABLE.csv DISAGREEMENTS.csv LEAST_SHARE

Same welding on both sides: corners merged on a 1e-5 grid, faces with two equal corners and repeated
faces dropped. Slivers without area but with three corners stay on both sides: dropping them would
open a closed mesh (see docs of `weld`). Volume is compared where both call the mesh closed and
consistent, at 1e-6 relative; area always.
"""
import csv
import re
import sys
import warnings
import zipfile

import numpy as np
import trimesh

warnings.filterwarnings("ignore")
UNITS = {"micron": 1e-3, "millimeter": 1.0, "mm": 1.0, "centimeter": 10.0, "inch": 25.4, "foot": 304.8, "meter": 1000.0}


def merged(mesh, scale):
    """One part in mm: corners merged, faces with two equal corners and repeated faces dropped."""
    mesh = trimesh.Trimesh(np.asarray(mesh.vertices) * scale, mesh.faces, process=False)
    mesh.merge_vertices(merge_tex=True, merge_norm=True, digits_vertex=5)
    f = mesh.faces
    mesh.update_faces((f[:, 0] != f[:, 1]) & (f[:, 1] != f[:, 2]) & (f[:, 2] != f[:, 0]))
    mesh.update_faces(mesh.unique_faces())
    mesh.remove_unreferenced_vertices()
    return mesh


def load(path):
    """The file's parts, each merged by itself (as we judge them), and the triangles read."""
    loaded = trimesh.load(path, process=False)
    is_3mf = path.lower().endswith("3mf")
    scale = UNITS.get(getattr(loaded, "units", None) or "mm", 1.0) if is_3mf else 1.0
    if isinstance(loaded, trimesh.Scene):
        # Only a 3MF has parts of its own; the groups of an OBJ are one part.
        parts = list(loaded.dump()) if is_3mf else [loaded.to_mesh()]
    else:
        parts = [loaded]
    read = sum(len(part.faces) for part in parts)
    if read == 0:
        raise ValueError("no triangles")
    return [merged(part, scale) for part in parts], read


def close(a, b):
    return abs(a - b) <= 1e-6 * max(abs(a), abs(b), 1e-9)


def reason(path, what):
    """Why the two sides may differ, as far as the file itself shows it; else that it is not known."""
    if path.lower().endswith(".obj"):
        with open(path, "rb") as file:
            many = sum(line.startswith(b"f ") and len(line.split()) > 4 for line in file)
        if many and what in ("watertight", "area", "volume"):
            return f"{many} faces have more than three corners: cut along other diagonals"
    if path.lower().endswith(".3mf"):
        package = zipfile.ZipFile(path)
        model = b"".join(package.read(name) for name in package.namelist() if name.endswith(".model"))
        if what == "other triangles" and b'type="support"' in model:
            return "objects of type support: parts for trimesh, not for us"
        matrices = [np.array([float(number) for number in text.split()][:9]).reshape(3, 3)
                    for text in re.findall(rb'transform="([^"]*)"', model)]
        chains = matrices + [inner @ outer for inner in matrices for outer in matrices]
        stretches = [np.abs(np.linalg.norm(matrix, axis=1) - 1) for matrix in chains]
        # trimesh takes a matrix that is a rotation within about 1e-5 for one, and rounds it.
        if what in ("area", "volume") and any(((s > 1e-9) & (s < 1e-5)).any() for s in stretches):
            return "a transform that is nearly a rotation: trimesh rounds it, we don't"
    return "not explained"


def main(table, out, least):
    seen = agree = refused = unread = 0
    rows = []
    for row in csv.DictReader(open(table)):
        try:
            parts, read = load(row["file"])
        except ImportError:
            raise  # a library is missing here: that is no fault of the file
        except Exception as error:  # trimesh refuses some files that we read
            if row["error"]:
                refused += 1
                continue
            unread += 1
            rows.append((row["file"], "not read by trimesh", repr(error)[:120], "", "trimesh gives up"))
            continue
        if row["error"]:
            refused += 1
            rows.append((row["file"], "refused by us", f"{read} triangles", row["error"], "we refuse it"))
            continue
        if read != int(row["triangles"]):
            # Not the same triangles: the readers differ, so facts can't be compared.
            unread += 1
            rows.append((row["file"], "other triangles", read, row["triangles"], reason(row["file"], "other triangles")))
            continue
        seen += 1
        closed = all(bool(p.is_watertight and p.is_winding_consistent) for p in parts)
        area, volume = (float(sum(getattr(p, what) for p in parts)) for what in ("area", "volume"))
        why = None
        if closed != (row["watertight"] == "true"):
            why = ("watertight", closed, row["watertight"])
        elif not close(area, float(row["area_mm2"])):
            why = ("area", area, row["area_mm2"])
        elif closed and not close(volume, float(row["volume_mm3"])):
            # trimesh's volume is about the origin in f64: judge near zero volumes by size of the box.
            box = sum(float(np.prod(p.extents)) for p in parts)
            if abs(volume - float(row["volume_mm3"])) > 1e-9 * box:
                why = ("volume", volume, row["volume_mm3"])
        agree += why is None
        if why:
            rows.append((row["file"], *why, reason(row["file"], why[0])))
    with open(out, "w", newline="") as f:
        writer = csv.writer(f)
        writer.writerow(["file", "what", "trimesh", "ours", "reason"])
        writer.writerows(rows)
    share = agree / max(seen, 1)
    print(f"compared {seen} files with trimesh: {agree} agree on watertight, volume and area ({share:.2%})")
    print(f"not compared: {refused} that we refuse, {unread} that trimesh reads differently; all listed in {out}")
    if seen == 0:
        sys.exit("no file was compared")
    if share < least:
        sys.exit(f"agreement {share:.2%} is below {least:.0%}")


main(sys.argv[1], sys.argv[2], float(sys.argv[3]))
