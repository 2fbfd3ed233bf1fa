"""Nesting on published sets and on 60 real footprints, beside a general nesting library (PyPI spyrrow).

usage: bench_nest.py BENCH FOOTPRINTS.jsonl REFERENCE|- OUT [--short]

BENCH is the program partpledge-bench. Every layout of ours is judged by shapely (nest_layouts.py). Both
sides get the same seconds on the same machine, one after the other, each with two threads; processor
time is told, since a shared machine gives less than it says. Exit code 1: a floor is not held.
"""
import json
import math
import os
import resource
import subprocess
import sys
import time

from nest_layouts import area, faults, pick_footprints, read_set

BED, GAP_MM, MANY, PLATES = (250.0, 210.0), 3.0, 60, 3.0
SECONDS, BIN_SECONDS, LIBRARY_SECONDS = 10, 5, 40


def run(bench, path, seconds, *options):
    """(answer of our program, its processor seconds, faults that shapely finds)."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN).ru_utime
    words = [bench, "nest", path, "--seconds", str(seconds), *map(str, options)]
    answer = json.loads(subprocess.run(words, check=True, capture_output=True, text=True).stdout)
    spent = resource.getrusage(resource.RUSAGE_CHILDREN).ru_utime - before
    gap = GAP_MM if "--gap" in options else 0.0
    edge = 0.0 if "--edge" in options else gap
    return answer, spent, faults(*read_set(path), answer["plates"], gap, edge)


LIBRARY = """
import json, resource, spyrrow, sys
data, seconds, gap = json.load(open(sys.argv[1])), int(sys.argv[2]), float(sys.argv[3])
items = [spyrrow.Item(str(i["id"]), [tuple(p) for p in i["shape"]["data"]], i["demand"], i["allowed_orientations"])
         for i in data["items"]]
config = spyrrow.StripPackingConfig(early_termination=False, total_computation_time=seconds, num_workers=2,
                                    seed=1, min_items_separation=gap or None)
found = spyrrow.StripPackingInstance(data["name"], data["strip_height"], items).solve(config)
print(json.dumps([found.width, resource.getrusage(resource.RUSAGE_SELF).ru_utime]))
"""


def library(path, seconds, gap):
    """(strip length, processor seconds) of the library, in a process of its own."""
    words = [sys.executable, "-c", LIBRARY, path, str(seconds), str(gap)]
    return json.loads(subprocess.run(words, check=True, capture_output=True, text=True).stdout.splitlines()[-1])


def strips(bench, folder, names, seconds, beside):
    """Density of the published strip sets, and what is wrong with them."""
    best = json.load(open(os.path.join(folder, "best_known.json")))
    wrong, shares = [], []
    print("| set | best known % | ours % | of best | cpu s | spyrrow % | cpu s |\n|---|---|---|---|---|---|---|")
    for name in names:
        path = os.path.join(folder, name + ".json")
        answer, spent, bad = run(bench, path, seconds, "--seed", 1)
        wrong += [f"{name}: {fault}" for fault in bad]
        shares.append(answer["density_pct"] / best[name]["density_pct"])
        theirs = "| | |"
        if beside:
            length, cpu = library(path, seconds, 0)
            theirs = f"| {answer['density_pct'] * answer['length'] / length:.2f} | {cpu:.1f} |"
        print(f"| {name} | {best[name]['density_pct']:.2f} | {answer['density_pct']:.2f} | {shares[-1]:.3f} | {spent:.1f} {theirs}", flush=True)
    print(f"\nmean share of the best known density: {sum(shares) / len(shares):.3f}\n")
    return wrong


def bins(bench, folder, names, seconds):
    """Bins of the published sets beside the known least number."""
    wrong, extra = [], []
    print("| set | known least | ours | cpu s |\n|---|---|---|---|")
    for name in names:
        answer, spent, bad = run(bench, os.path.join(folder, name), seconds, "--seed", 1)
        wrong += [f"{name}: {fault}" for fault in bad]
        extra.append(answer["bins"] - answer["known_bins"])
        if extra[-1] > 0:
            wrong.append(f"{name}: {answer['bins']} bins, {answer['known_bins']} are known to do")
        print(f"| {name[:-4]} | {answer['known_bins']} | {answer['bins']} | {spent:.1f} |", flush=True)
    print(f"\nbins beyond the least: {sum(extra)} over {len(extra)} sets, {extra.count(0)} at the least\n")
    return wrong


def footprints(bench, lines, out, times, beside):
    """60 real footprints on plates; the library's strip sets the floor for the longer run."""
    chosen, share = pick_footprints(open(lines), BED, MANY, PLATES)
    shapes = [{"id": i, "demand": 1, "allowed_orientations": None, "shape": {"type": "simple_polygon", "data": r["data"]}} for i, r in enumerate(chosen)]
    path = os.path.join(out, "nest-footprints.json")
    json.dump({"name": "footprints", "unit": "mm", "strip_height": BED[1], "items": shapes}, open(path, "w"))
    print(f"{len(chosen)} footprints, {share:.3f} plates of bare area, {sum(len(s['shape']['data']) for s in shapes)} corners, gap {GAP_MM} mm")
    bare, wrong, most = sum(area(r["data"]) for r in chosen), [], 4
    if len(chosen) < MANY:
        return [f"only {len(chosen)} footprints could be had"]
    if beside:
        length, cpu = library(path, LIBRARY_SECONDS, GAP_MM)
        most = math.ceil(length / BED[0])
        print(f"spyrrow, {LIBRARY_SECONDS} s: a strip of {length:.1f} mm, {length / BED[0]:.2f} plates, density {bare / length / BED[1]:.3f}, {cpu:.1f} cpu s")
    # With the gap kept to the edge too, as the library does, the floor is 5 plates; parts that may lie at the edge
    # must reach the library's strip in plates.
    for seconds, edge in [(seconds, edge) for edge in ([], ["--edge", 0]) for seconds in times]:
        start = time.time()
        answer, spent, bad = run(bench, path, seconds, "--bed", "250x210", "--gap", GAP_MM, "--seed", 1, *edge)
        limit = most if edge and seconds > 1 else 5
        where = "up to the edge" if edge else "gap to the edge"
        print(f"ours, {seconds} s, {where}: {answer['bins']} plates (at most {limit}), {time.time() - start:.2f} s wall, {spent:.2f} cpu s", flush=True)
        wrong += [f"footprints, {seconds} s: {fault}" for fault in bad]
        if answer["bins"] > limit:
            wrong.append(f"{answer['bins']} plates in {seconds} s, at most {limit} asked for")
    if beside:
        answer, spent, bad = run(bench, path, SECONDS, "--gap", GAP_MM, "--seed", 1)
        print(f"ours as a strip, {SECONDS} s: {answer['length']:.1f} mm, {spent:.1f} cpu s")
        wrong += [f"strip of footprints: {fault}" for fault in bad]
    return wrong


def main(bench, lines, reference, out, short=False):
    wrong = footprints(bench, lines, out, [2] if short else [1, SECONDS], beside=not short)
    if reference == "-":
        print("SKIPPED: published nesting sets; PARTPLEDGE_REFERENCE names no folder")
    else:
        folder = os.path.join(reference, "planning", "nesting")
        names = sorted(json.load(open(os.path.join(folder, "best_known.json"))))
        wrong += strips(bench, folder, ["fu", "shapes1"] if short else names, 2 if short else SECONDS, not short)
        folder = os.path.join(reference, "planning", "esicup")
        names = sorted(name for name in os.listdir(folder) if name[:3] in ("t1_", "t2_"))
        wrong += bins(bench, folder, names[:2] if short else names, 2 if short else BIN_SECONDS)
    for fault in wrong:
        print("FAULT:", fault)
    return 1 if wrong else 0


if __name__ == "__main__":
    words = [word for word in sys.argv[1:] if word != "--short"]
    sys.exit(main(*words, short="--short" in sys.argv))
