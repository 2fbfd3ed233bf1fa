"""Our facts beside those of trimesh, manifold3d and pymeshlab (PyPI), part by part.

usage: compare.py TABLE.csv PARTPLEDGE-BENCH GOLDEN.csv JOBS LIMIT_S LEAST_SHARE

Twice: `reading` is the file as trimesh reads it by itself, `triangles` is our reader's triangles,
welded by trimesh, so that what differs is not how a polygon is split. Corners are merged on a 1e-5 mm
grid on all sides. Volume is compared where both call the part closed and consistent, at 1e-6 of
itself or 1e-9 of its box; area always. Self-intersection is asked of pymeshlab about our welded
triangles, where the part is closed; where it differs from us, exact numbers decide who is right.

The table gets the libraries' columns; disagreements go to a file beside it and are explained from the
files; what is not explained is looked up in GOLDEN.csv and otherwise printed as such.
"""
import csv
import os
import sys
from itertools import groupby

import pool
import reasons

WHAT = ("watertight", "volume", "area", "shells", "self-intersection")


def close(ours, theirs, box):
    gap = abs(ours - theirs)
    return gap <= 1e-6 * max(abs(ours), abs(theirs)) or gap <= 1e-9 * box


class Tally:
    """Who agreed on what, how often; and on which file not."""

    def __init__(self):
        self.counts, self.rows = {}, []

    def note(self, where, what, library, agree, row, theirs, ours, reason):
        """One fact; `reason` gives a class and the evidence, or None. A library that changes the mesh
        before it measures is listed but not counted: it measured something else."""
        name, evidence = (None, None) if agree else reason() or ("not explained", "")
        if name != "mended-on-import":
            seen, same = self.counts.get((where, what, library), (0, 0))
            self.counts[where, what, library] = (seen + 1, same + bool(agree))
        if not agree:
            self.rows.append({"file": row["file"], "part": row["part"], "where": where, "what": what, "library": library,
                              "theirs": theirs, "ours": ours, "reason": name, "evidence": evidence})


def compare_facts(tally, where, library, row, ours, theirs, box, reason):
    """Watertight, volume, area, shells, as far as the library says."""
    def note(what, agree):
        tally.note(where, what, library, agree, row, theirs[what], ours[what], lambda: reason(what))

    if "watertight" in theirs:
        note("watertight", theirs["watertight"] == ours["watertight"])
    if ours["volume"] is not None and theirs["volume"] is not None:
        note("volume", close(ours["volume"], theirs["volume"], box))
    if theirs["area"] is not None:
        note("area", close(ours["area"], theirs["area"], 0.0))
    if "shells" in theirs:
        note("shells", theirs["shells"] == ours["shells"])


def facts_of(row):
    return {"watertight": row["watertight"] == "true", "area": float(row["area_mm2"]), "shells": int(row["shells"]),
            "volume": float(row["volume_mm3"]) if row["volume_mm3"] else None,
            "self-intersection": "self-crossing" in row["findings"].split()}


def whole_file(rows):
    facts = [facts_of(row) for row in rows]
    closed = all(fact["watertight"] for fact in facts)
    return {"watertight": closed, "area": sum(fact["area"] for fact in facts), "shells": sum(fact["shells"] for fact in facts),
            "volume": sum(fact["volume"] for fact in facts) if closed else None}


def compare_reading(tally, rows, own, skipped):
    row = {**rows[0], "part": "all"}
    if rows[0]["error"]:
        skipped["refused by us"] += 1
        if "error" not in own:
            tally.rows.append({"file": row["file"], "part": "all", "where": "reading", "what": "refused by us", "library": "trimesh",
                               "theirs": f"{own['triangles']} triangles", "ours": row["error"], "reason": "we-refuse",
                               "evidence": row["error"]})
        return
    read = sum(int(row["triangles"]) for row in rows)
    if own.get("triangles") != read:
        # Not the same triangles: the readers differ, so facts can't be compared.
        skipped["read differently by trimesh"] += 1
        name, evidence = reasons.of_reading(row["file"], "triangles") or (
            ("trimesh-refuses", own["error"]) if "error" in own else ("not explained", ""))
        tally.rows.append({"file": row["file"], "part": "all", "where": "reading", "what": "triangles", "library": "trimesh",
                           "theirs": own.get("triangles"), "ours": read, "reason": name, "evidence": evidence})
        return
    compare_facts(tally, "reading", "trimesh", row, whole_file(rows), own, own["box"],
                  lambda what: reasons.of_reading(row["file"], what))


def compare_part(tally, row, part):
    ours = facts_of(row)
    for library in ("trimesh", "manifold3d", "pymeshlab"):
        if library in part:
            theirs = part[library]
            compare_facts(tally, "triangles", library, row, ours, theirs, part["box"],
                          lambda what, theirs=theirs: reasons.of_triangles(what, library, ours, theirs))
    solid = part.get("manifold3d")
    if solid and ours["watertight"]:
        tally.note("triangles", "watertight", "manifold3d", solid["status"] == "NoError", row, solid["status"], True, lambda: None)
    theirs = part.get("pymeshlab", {})
    if "crossing" in theirs:
        what, said = "self-intersection", ours["self-intersection"]
        tally.note("triangles", what, "pymeshlab", theirs["crossing"] == said, row, theirs["crossing"], said,
                   lambda: reasons.of_triangles(what, "pymeshlab", said, theirs))
        if "exact" in theirs:  # asked only where pymeshlab and we differ
            tally.note("triangles", what, "fractions", theirs["exact"] == said, row, theirs["exact"], said, lambda: None)


def columns(row, own, part):
    """The libraries' cells of one part's row."""
    out = {"trimesh_reads": own.get("error") or own.get("triangles", "")}
    for library, keys in (("trimesh", ("watertight", "volume", "area", "shells")), ("manifold3d", ("status", "volume", "area")),
                          ("pymeshlab", ("watertight", "volume", "area", "shells", "crossing", "exact"))):
        facts = part.get(library, {})
        out |= {f"{library}_{key}": facts.get(key, "") for key in keys}
    return row | {key: "" if value is None else value for key, value in out.items()}


def write(path, rows):
    with open(path, "w", newline="", encoding="utf-8") as file:
        writer = csv.DictWriter(file, list(rows[0]) if rows else ["file"])
        writer.writeheader()
        writer.writerows(rows)


def known(golden):
    """Disagreements that people looked at; `file` there is the end of a path, from the package on."""
    if not os.path.exists(golden):
        return []
    with open(golden, newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def same(listed, row):
    keys = ("part", "where", "what", "library")
    return row["file"].endswith(listed["file"]) and all(str(row[key]) == listed[key] for key in keys)


def explain(rows, listed):
    """Fills in the reasons that people found; gives what stays unexplained."""
    for row in rows:
        if row["reason"] == "not explained":
            found = next((entry for entry in listed if same(entry, row)), {"reason": "not explained", "evidence": ""})
            row["reason"], row["evidence"] = found["reason"], found["evidence"]
    return [row for row in rows if row["reason"] == "not explained"]


def say_changes(rows, listed, files):
    """Disagreements of the packages' files that the list does not have, and listed ones that are gone."""
    mine = [entry for entry in listed if any(file.endswith(entry["file"]) for file in files)]
    gone = [entry for entry in mine if not any(same(entry, row) for row in rows)]
    new = [row for row in rows if not any(same(entry, row) for entry in mine)]
    print(f"listed in golden/real-files: {len(mine)} of these files, {len(gone)} of them agree now; {len(new)} are not listed")
    for entry in gone:
        print(f"  agrees now: {entry['file']} part {entry['part']}: {entry['what']}, {entry['library']}")


def report(tally, least):
    """A line a fact and library; gives those below the least share."""
    low = []
    for where, text in (("reading", "each file as trimesh reads it by itself"), ("triangles", "each part from our reader's triangles")):
        print(f"{text}:")
        for what in WHAT:
            for (place, fact, library), (seen, same) in sorted(tally.counts.items()):
                if (place, fact) == (where, what):
                    share = same / seen
                    print(f"  {what:<18} {library:<14} {same:>5} of {seen:>5} agree  {share:8.3%}")
                    # Against fractions, a single part is a fault of ours.
                    if share < (1.0 if library == "fractions" else least):
                        low.append(f"{what} with {library} ({text}): {share:.3%} is below {least:.0%}")
    return low


def main(table, bench, golden, jobs, limit_s, least):
    with open(table, newline="", encoding="utf-8") as file:
        files = [list(rows) for _, rows in groupby(csv.DictReader(file), lambda row: row["file"])]
    requests = [{"file": rows[0]["file"], "ours": [] if rows[0]["error"] else [
        {"watertight": row["watertight"] == "true", "crossing": facts_of(row)["self-intersection"]} for row in rows]}
        for rows in files]
    tally, skipped, out = Tally(), {"refused by us": 0, "read differently by trimesh": 0, "no answer": 0}, []
    for rows, answer in zip(files, pool.answers(bench, requests, jobs, limit_s)):
        if "failure" in answer:
            skipped["no answer"] += 1
            tally.rows.append({"file": rows[0]["file"], "part": "all", "where": "both", "what": "no answer", "library": "any",
                               "theirs": answer["failure"], "ours": "", "reason": "not explained", "evidence": ""})
            answer = {"own": {"error": answer["failure"]}, "parts": []}
        else:
            compare_reading(tally, rows, answer["own"], skipped)
        for i, row in enumerate(rows):
            part = answer["parts"][i] if i < len(answer["parts"]) else {}
            if part:
                compare_part(tally, row, part)
            out.append(columns(row, answer["own"], part))
    listed = known(golden)
    unexplained = explain(tally.rows, listed)
    write(table, out)
    beside = os.path.splitext(table)[0] + ".disagreements.csv"
    write(beside, tally.rows)
    low = report(tally, least)
    print("not compared: " + ", ".join(f"{count} {why}" for why, count in skipped.items()))
    print(f"{len(tally.rows)} disagreements are listed in {beside}; {len(unexplained)} are not explained")
    say_changes(tally.rows, listed, [rows[0]["file"] for rows in files])
    for row in unexplained:
        print(f"  not explained: {row['file']} part {row['part']}: {row['what']}, {row['library']} {row['theirs']}, ours {row['ours']}")
    if not tally.counts:
        sys.exit("no file was compared")
    if low:
        sys.exit("\n".join(low))


main(*sys.argv[1:4], int(sys.argv[4]), float(sys.argv[5]), float(sys.argv[6]))
