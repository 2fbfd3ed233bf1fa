"""The mesh stage against trimesh (PyPI) in one run, and the time and memory of a whole judgement.

usage: bench_mesh.py PARTPLEDGE PARTPLEDGE-BENCH FOLDER

Parts are knurled rings of our own making, written as binary STL. Read + weld + topology + mass is
timed inside a process that is warm: imports and the start of a process are not counted, the reading
of the file is. Each side runs in turn, and the middle of its runs counts. Memory is the greatest
resident size of `partpledge judge` (VmHWM, as wait4 gives it) less that of the same on a part of
eight triangles, over the triangles.
"""
import os
import statistics
import subprocess
import sys
import time

import trimesh

# Corners round the ring; triangles are twice the square.
SIZES = (317, 461, 500, 635)
RUNS = 5
# Triangles from which on the ratio must be so much.
LEAST_RATIOS = ((150_000, 4.0), (480_000, 8.0))
JUDGED = 500
MOST_JUDGE_S = 2.0
MOST_BYTES = 250


def trimesh_s(path):
    start = time.perf_counter()
    mesh = trimesh.load(path)
    closed, volume = mesh.is_watertight, mesh.mass_properties.volume
    return time.perf_counter() - start, closed, volume


def ours_s(bench, path):
    """The middle of three runs in one process."""
    lines = subprocess.run([bench, "mesh", path, "3"], capture_output=True, text=True, check=True).stdout.splitlines()
    words = [line.split() for line in lines]
    middle = sorted(words, key=lambda line: float(line[0]))[1]
    volume = float(middle[-1].removeprefix("Some(").removesuffix(")"))
    return float(middle[0]), middle[middle.index("watertight") + 1] == "true", volume


# A child takes over the high-water mark of the process that started it, so a small one starts it.
STARTER = """
import os, sys, time
start = time.perf_counter()
pid = os.posix_spawn(sys.argv[1], sys.argv[1:], os.environ, file_actions=[(os.POSIX_SPAWN_OPEN, 1, os.devnull, os.O_WRONLY, 0)])
_, status, usage = os.wait4(pid, 0)
print(time.perf_counter() - start, usage.ru_maxrss * 1024, os.waitstatus_to_exitcode(status))
"""


def judged(program, path):
    """Wall time and greatest resident size in bytes."""
    command = [sys.executable, "-I", "-S", "-c", STARTER, program, "judge", path, "--unit", "mm", "--json", "--data", "/nonexistent/data"]
    wall, most, code = subprocess.run(command, capture_output=True, text=True, check=True).stdout.split()
    if code not in ("0", "1"):
        sys.exit(f"judge failed on {path}")
    return float(wall), int(most)


def main(program, bench, folder):
    failed = []

    def ring(n):
        path = os.path.join(folder, f"ring{n}.stl")
        subprocess.run([bench, "ring", str(n), path], check=True)
        return path

    trimesh_s(ring(20))  # imports done, caches warm
    print(f"read + weld + watertight + mass, middle of {RUNS} runs each, trimesh {trimesh.__version__}:")
    for n in SIZES:
        path, triangles = ring(n), 2 * n * n
        theirs, ours = [], []
        for _ in range(RUNS):
            theirs.append(trimesh_s(path))
            ours.append(ours_s(bench, path))
        if theirs[0][1] != ours[0][1] or abs(theirs[0][2] - ours[0][2]) > 1e-6 * abs(theirs[0][2]):
            sys.exit(f"other facts: {theirs[0]} and {ours[0]}")
        a, b = (statistics.median(run[0] for run in runs) for runs in (theirs, ours))
        least = max(ratio for size, ratio in LEAST_RATIOS if triangles >= size)
        print(f"  {triangles:>7} triangles: trimesh {a:.3f} s, ours {b:.3f} s: {a / b:5.1f} times as fast (at least {least:.0f})")
        if a / b < least:
            failed.append(f"{a / b:.1f} times at {triangles} triangles, not {least:.0f}")
    path, triangles = ring(JUDGED), 2 * JUDGED * JUDGED
    runs = [judged(program, path) for _ in range(3)]
    base = min(judged(program, ring(2))[1] for _ in range(3))
    wall, most = statistics.median(run[0] for run in runs), max(run[1] for run in runs)
    each = (most - base) / triangles
    print(f"judge with all findings, {triangles} triangles: {wall:.2f} s wall (at most {MOST_JUDGE_S:.0f}), "
          f"{each:.0f} bytes a triangle (at most {MOST_BYTES}; {most / 1e6:.0f} MB less {base / 1e6:.0f} MB)")
    if wall > MOST_JUDGE_S:
        failed.append(f"judge takes {wall:.2f} s")
    if each > MOST_BYTES:
        failed.append(f"judge takes {each:.0f} bytes a triangle")
    if failed:
        sys.exit("; ".join(failed))


main(*sys.argv[1:])
