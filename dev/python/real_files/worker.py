"""Judges files one after the other: a line of JSON in, a line of JSON out.

usage: worker.py PARTPLEDGE-BENCH

In: {"file", "ours": [{"watertight", "crossing"} a part]}. Out: {"own": facts of the whole file as
trimesh reads it, "parts": [facts by each library of our triangles]}. It may crash or hang on a file
(the libraries are not ours): whoever asks has a time limit and starts another.
"""
import json
import math
import os
import sys
import warnings

import numpy as np

import exact
import judges
import readers

LIMIT_S = 60


def own(path):
    """The sums over the parts, as trimesh reads the file."""
    try:
        parts, read = readers.by_trimesh(path)
    except ImportError:
        raise  # a library is missing here: that is no fault of the file
    except Exception as error:  # trimesh refuses some files that we read
        return {"error": repr(error)[:160]}
    facts = [judges.by_trimesh(part) for part in parts]
    closed = all(fact["watertight"] for fact in facts)
    return {"triangles": read, "watertight": closed, "area": sum(fact["area"] for fact in facts),
            "volume": sum(fact["volume"] for fact in facts) if closed else None,
            "shells": sum(fact["shells"] for fact in facts), "box": sum(box(part.vertices) for part in parts)}


def box(vertices):
    return float(np.prod(np.ptp(vertices, axis=0))) if len(vertices) else 0.0


def crossing(vertices, faces, ours):
    """Yes or no by pymeshlab; where we say otherwise, by exact numbers too."""
    picked = judges.crossing_faces(vertices, faces)
    if picked is None:
        return {}
    out = {"crossing": bool(picked), "picked": len(picked)}
    if out["crossing"] != ours:
        try:
            pair = exact.crossing_pair(vertices, faces, picked or range(len(faces)))
            out["exact"] = pair is not None
            out["pair"] = pair and [int(i) for i in pair]
        except OverflowError as error:
            out["exact_error"] = str(error)
    return out


def part(raw_vertices, raw_faces, vertices, faces, ours):
    mesh = judges.merged(raw_vertices, raw_faces.astype(np.int64))
    out = {"trimesh": judges.by_trimesh(mesh), "box": box(vertices), "faces": len(faces)}
    if len(mesh.faces):
        out["manifold3d"] = judges.by_manifold3d(mesh)
        out["pymeshlab"] = judges.by_pymeshlab(mesh)
    if ours["watertight"]:
        out["pymeshlab"] |= crossing(vertices, faces.astype(np.int64), ours["crossing"])
    return out


def answer(bench, request):
    out = {"own": own(request["file"]), "parts": []}
    if request["ours"]:
        triangles = readers.by_us(bench, request["file"], LIMIT_S)
        out["parts"] = [part(*arrays, ours) for arrays, ours in zip(triangles, request["ours"], strict=True)]
    return out


def tidy(value):
    """JSON has no NaN."""
    if isinstance(value, dict):
        return {key: tidy(item) for key, item in value.items()}
    if isinstance(value, list):
        return [tidy(item) for item in value]
    return None if isinstance(value, float) and not math.isfinite(value) else value


def main(bench):
    warnings.filterwarnings("ignore")
    # The libraries print as they like: keep their words out of the answers.
    answers = os.fdopen(os.dup(1), "w")
    os.dup2(2, 1)
    for line in sys.stdin:
        answers.write(json.dumps(tidy(answer(bench, json.loads(line)))) + "\n")
        answers.flush()


main(sys.argv[1])
