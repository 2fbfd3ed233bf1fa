"""Plates as 3MF read by lib3mf (PyPI) in strict mode: no warning, every object valid and used.

usage: strict_3mf.py COPIES FILE... ; COPIES is how many build items there are in all files together.
"""
import sys

import lib3mf


def judged(path):
    """(warnings, invalid objects, objects that no build item uses, build items) of a file."""
    model = lib3mf.Wrapper().CreateModel()
    reader = model.QueryReader("3mf")
    reader.SetStrictModeActive(True)
    reader.ReadFromFile(path)
    used, items = [], model.GetBuildItems()
    while items.MoveNext():
        used.append(items.GetCurrent().GetObjectResourceID())
    objects, ids, invalid = model.GetObjects(), [], 0
    while objects.MoveNext():
        found = objects.GetCurrentObject()
        ids.append(found.GetResourceID())
        invalid += not found.IsValid()
    return reader.GetWarningCount(), invalid, len(set(ids) - set(used)), len(used)


def main(copies, paths):
    rows = [judged(path) for path in paths]
    for path, row in zip(paths, rows):
        print(f"{path}: {row[0]} warnings, {row[1]} invalid and {row[2]} unused objects, {row[3]} items")
    good = paths and all(row[:3] == (0, 0, 0) for row in rows) and sum(row[3] for row in rows) == copies
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]), sys.argv[2:]))
