"""The complete estimate against trimesh's bare sections in one run; how it grows, and on two cores.

usage: bench_estimate.py PARTPLEDGE-BENCH FOLDER

Parts are knurled rings of our own making. Ours: layers, walls, skins, infill, motion, from the welded
mesh. trimesh (PyPI): only the sections, from the loaded mesh, at the same heights. Both warm: imports,
the start of a process and the reading of the file are not counted. Each side runs in turn; the middle
of its runs counts. On a machine that others use (load above 1 at the start) wall times say little about
two threads: then processor time is judged instead, as if two cores shared it evenly, and that is said.
"""
import math
import os
import statistics
import subprocess
import sys
import time

import numpy as np
import trimesh

RUNS = 2
# Corners round the ring (triangles are twice the square) and layers: each has twice the triangles of
# the one before, and twice as many layers times outline points.
SIZES = ((250, 126), (354, 178), (500, 251), (707, 355))
COMPARED = (500, 251)
# Ours may take so much of trimesh's time.
MOST_SHARE = 0.25
# Power of layers times points as cut; 1 is linear, the rest is the noise of a shared machine.
MOST_POWER = 1.1
# One thread by two, on two cores or more.
LEAST_SPEEDUP = 1.4
# Processor time of two threads by that of one: what sharing costs.
MOST_SHARING = 1.2


def ours(bench, path, layers, threads=None, runs=RUNS):
    """Middle run of one warm process: its words by name, `total` in seconds."""
    env = dict(os.environ, **({"RAYON_NUM_THREADS": str(threads)} if threads else {}))
    text = subprocess.run([bench, "estimate", path, str(layers), str(runs + 1)], capture_output=True, text=True, check=True, env=env).stdout
    rows = sorted((line.split() for line in text.splitlines()[1:]), key=lambda row: float(row[0]))
    row = rows[len(rows) // 2]
    return {"total": float(row[0]), **{name: float(value) for name, value in zip(row[1::2], row[2::2])}}


def main(bench, folder):
    failed, busy = [], os.getloadavg()[0] > 1

    def ring(n):
        path = os.path.join(folder, f"ring{n}.stl")
        subprocess.run([bench, "ring", str(n), path], check=True)
        return path

    n, layers = COMPARED
    path = ring(n)
    mesh = trimesh.load(path)
    low, high = mesh.bounds[:, 2]
    step = (high - low) / layers
    heights = low + (np.arange(layers) + 0.5) * step
    theirs, mine, processor = [], [], []
    mesh.section_multiplane([0, 0, 0], [0, 0, 1], heights[:3])  # imports done, caches warm
    for _ in range(3):
        start, spent = time.perf_counter(), time.process_time()
        sections = mesh.section_multiplane([0, 0, 0], [0, 0, 1], heights)
        theirs.append(time.perf_counter() - start)
        processor.append(time.process_time() - spent)
        mine.append(ours(bench, path, layers, runs=3))
    area = sum(section.area for section in sections if section)
    if abs(area - mine[0]["area"]) > 1e-4 * area or mine[0]["layers"] != layers:
        sys.exit(f"other sections: {area} mm² in {layers} layers, ours {mine[0]}")
    a, middle = statistics.median(theirs), sorted(mine, key=lambda run: run["total"])[1]
    b = middle["total"]
    print(f"{2 * n * n} triangles, {layers} layers, trimesh {trimesh.__version__}: bare sections {a:.3f} s, our complete estimate {b:.3f} s: "
          f"{b / a:.3f} of it (at most {MOST_SHARE}); cut {middle['cut']:.3f}, lines {middle['lines']:.3f}, motion {middle['time']:.3f} s")
    c, d = statistics.median(processor), statistics.median(run["processor"] for run in mine)
    print(f"  processor time: {c:.2f} s and {d:.2f} s on two threads: {d / c / 2:.3f} if two cores share it evenly")
    share = d / c / 2 if busy else b / a
    print(f"  judged by {'processor time, others use this machine' if busy else 'wall time'}: {share:.3f}")
    if share > MOST_SHARE:
        failed.append(f"the estimate takes {share:.2f} of trimesh's sections")
    work, clean, took = [], [], []
    for n, layers in SIZES:
        run = ours(bench, ring(n), layers, threads=1)
        work.append(math.log(run["as_cut"]))
        clean.append(math.log(run["points"]))
        took.append(math.log(run["processor"]))
        print(f"  {2 * n * n:>7} triangles, {layers} layers, {run['as_cut']:.0f} points as cut, {run['points']:.0f} cleaned: {run['processor']:.2f} s of one processor")
    for name, points in (("as cut", work), ("as cleaned", clean)):
        power = np.polyfit(points, took, 1)[0]
        print(f"grows with the points of all layers {name} to the power of {power:.2f} (at most {MOST_POWER})")
        if power > MOST_POWER:
            failed.append(f"grows with the power of {power:.2f} of the points {name}")
    n, layers = COMPARED
    pairs = [(ours(bench, path, layers, 1, 2), ours(bench, path, layers, 2, 2)) for _ in range(2)]
    speedup = statistics.median(one["total"] / two["total"] for one, two in pairs)
    sharing = statistics.median(two["processor"] / one["processor"] for one, two in pairs)
    print(f"two threads: {speedup:.2f} times as fast as one (at least {LEAST_SPEEDUP}{', not judged' if busy else ''}), for {sharing:.2f} times the "
          f"processor time (at most {MOST_SHARING}); {os.cpu_count()} cores, load {os.getloadavg()[0]:.1f}")
    if not busy and speedup < LEAST_SPEEDUP and os.cpu_count() >= 2:
        failed.append(f"two threads are only {speedup:.2f} times as fast")
    if sharing > MOST_SHARING:
        failed.append(f"two threads take {sharing:.2f} times the processor time of one")
    if failed:
        sys.exit("; ".join(failed))


main(*sys.argv[1:])
