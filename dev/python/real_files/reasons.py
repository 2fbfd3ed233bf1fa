"""Why we and a library may differ on a file, as far as the file itself shows it."""
import re
import zipfile

import numpy as np


def transforms(path):
    package = zipfile.ZipFile(path)
    model = b"".join(package.read(name) for name in package.namelist() if name.endswith(".model"))
    matrices = [np.array([float(number) for number in text.split()][:9]).reshape(3, 3)
                for text in re.findall(rb'transform="([^"]*)"', model)]
    return model, matrices + [inner @ outer for inner in matrices for outer in matrices]


def of_reading(path, what):
    """The library read the file by itself. A reason class and the evidence, or None."""
    if path.lower().endswith(".obj"):
        with open(path, "rb") as file:
            many = sum(line.startswith(b"f ") and len(line.split()) > 4 for line in file)
        if many and what != "shells":
            return "split-polygons", f"{many} faces have more than three corners: cut along other diagonals"
    if path.lower().endswith(".3mf"):
        try:
            model, chains = transforms(path)
        except (zipfile.BadZipFile, ValueError):
            return None
        if what == "triangles" and b'type="support"' in model:
            return "support-objects", "objects of type support: parts for trimesh, not for us"
        stretches = [np.abs(np.linalg.norm(matrix, axis=1) - 1) for matrix in chains]
        # trimesh takes a matrix that is a rotation within about 1e-5 for one, and rounds it.
        if what in ("area", "volume") and any(((s > 1e-9) & (s < 1e-5)).any() for s in stretches):
            return "rounded-transform", "a transform that is nearly a rotation: trimesh rounds it, we don't"
    return None


def of_triangles(what, library, ours, facts):
    """The library had our triangles. A reason class and the evidence, or None."""
    if what == "self-intersection":
        if "exact" not in facts:
            return None
        if facts["exact"] != ours:
            return None  # the third judge is against us: that must be mended, not explained
        if ours:
            return "exact-numbers-agree", f"triangles {facts['pair']} cross, by fractions"
        return "exact-numbers-agree", f"{facts['picked']} triangles picked, none crosses, by fractions"
    if library == "manifold3d" and facts.get("kept", [0, 0])[0] < facts.get("kept", [0, 0])[1]:
        still, given = facts["kept"]
        return "mended-on-import", f"manifold3d keeps {still} of the {given} triangles as they were and mends the rest"
    return None
