"""A file's triangles: as trimesh reads it by itself, and as our reader gives them."""
import subprocess

import numpy as np
import trimesh

import judges

UNITS = {"micron": 1e-3, "millimeter": 1.0, "mm": 1.0, "centimeter": 10.0, "inch": 25.4, "foot": 304.8, "meter": 1000.0}


def by_trimesh(path):
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
    return [judges.merged(np.asarray(part.vertices) * scale, part.faces) for part in parts], read


def by_us(bench, path, limit_s):
    """For each part the corners in mm and the triangles, as read and as welded: what
    `partpledge-bench triangles` writes."""
    done = subprocess.run([bench, "triangles", path], capture_output=True, timeout=limit_s, check=False)
    if done.returncode != 0:
        raise ValueError(done.stderr.decode(errors="replace").strip())
    data, at, parts = done.stdout, 0, []

    def numbers(kind, count):
        nonlocal at
        array = np.frombuffer(data, kind, 3 * count, at).reshape(-1, 3)
        at += array.nbytes
        return array

    while at < len(data):
        end = data.index(b"\n", at)
        many = [int(word) for word in data[at:end].split()]
        at = end + 1
        parts.append([numbers(kind, count) for kind, count in zip(("<f8", "<u4", "<f8", "<u4"), many)])
    return parts
