"""Our thickness beside that of trimesh (PyPI), at the same points of the same triangles.

usage: compare_thickness.py POINTS.jsonl LEAST_SHARE

trimesh measures by its own rays (rtree, double precision), from the points inwards. A point agrees
within 2 %. Points where the ray runs within 1e-6 of a side of a triangle may differ: either side is
right.
"""
import json
import sys
import warnings

import numpy as np
import trimesh

warnings.filterwarnings("ignore")


def main(table, least):
    points = agree = 0
    worst = []
    for line in open(table):
        part = json.loads(line)
        mesh = trimesh.Trimesh(part["vertices"], part["triangles"], process=False)
        places, normals = np.array(part["points"]), np.array(part["normals"])
        theirs = trimesh.proximity.thickness(mesh, places, normals=normals, method="ray")
        ours = np.array(part["thickness"])
        same = np.abs(ours - theirs) <= 0.02 * np.maximum(theirs, 1e-9)
        points += len(ours)
        agree += int(same.sum())
        for i in np.flatnonzero(~same):
            worst.append((part["file"], float(theirs[i]), float(ours[i])))
    if points == 0:
        sys.exit("no point was compared")
    share = agree / points
    for row in worst[:10]:
        print("differs: %s: trimesh %.4f, ours %.4f mm" % row)
    print(f"thickness: {agree} of {points} points agree with trimesh within 2 % ({share:.2%})")
    if share < least:
        sys.exit(f"agreement {share:.2%} is below {least:.0%}")


main(sys.argv[1], float(sys.argv[2]))
