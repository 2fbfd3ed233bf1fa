"""What pymeshlab's search for self-intersections counts, on pairs whose answer is known in fractions.

usage: what_counts.py

Pairs of triangles on a small whole-number grid, apart or with one or two common corners, a third of
them in one plane. The counts are quoted in golden/real-files/SOURCE.md.
"""
import collections
import random
from fractions import Fraction

import numpy as np

import exact
import judges

PAIRS = 6_000
SIDE = 7


def clipped(polygon, height):
    """The part of a flat polygon where `height` is not below zero."""
    out = []
    for p, q in zip(polygon, polygon[1:] + polygon[:1]):
        a, b = height(p), height(q)
        if a >= 0:
            out.append(p)
        if a * b < 0:
            share = Fraction(a) / (a - b)
            out.append(tuple(p[k] + share * (q[k] - p[k]) for k in range(3)))
    return out


def kind(a, b):
    """How two triangles with area lie: crossing, in one plane, touching or apart."""
    over = exact.normal(a)
    heights = [exact.dot(over, exact.minus(p, a[0])) for p in b]
    if exact.insides_meet(a, b):
        return "crossing"
    if any(heights):
        # What is left of the second triangle in the first one's plane, cut to the first: a point at least?
        polygon = clipped(clipped(list(b), lambda p: exact.dot(over, exact.minus(p, a[0]))), lambda p: -exact.dot(over, exact.minus(p, a[0])))
    else:
        polygon = list(b)
    for p, q in zip(a, a[1:] + a[:1]):
        inward = exact.cross(over, exact.minus(q, p))
        polygon = clipped(polygon, lambda x, p=p, inward=inward: exact.dot(inward, exact.minus(x, p)))
    if not any(heights):
        return "in one plane"
    return "touching" if polygon else "apart"


def pairs(dice, common, flat):
    """Random pairs with so many common corners and no other corner in both."""
    def corner():
        x, y, z = (dice.randrange(SIDE) for _ in range(3))
        return (x, y, 3 if flat else z)

    while True:
        a, b = [[corner() for _ in range(3)] for _ in range(2)]
        b[:common] = a[:common]
        if len({*a, *b}) == 6 - common and any(exact.normal(a)) and any(exact.normal(b)):
            yield a, b


def main():
    dice, seen = random.Random(5), []
    for common in range(3):
        for flat in (False, True):
            source = pairs(dice, common, flat)
            seen += [(common, *next(source)) for _ in range(PAIRS)]
    corners, faces = [], []
    for i, (common, a, b) in enumerate(seen):
        # Far from each other; whole numbers stay exact.
        at, first = np.array([i % 40, i // 40 % 40, i // 1600]) * 10, len(corners)
        corners += [np.array(p) + at for p in a + b[common:]]
        second = list(range(first, first + common)) + list(range(first + 3, first + 6 - common))
        faces += [[first, first + 1, first + 2], second if common < 2 else [second[1], second[0], second[2]]]
    picked = set(judges.crossing_faces(np.array(corners, float), np.array(faces)))
    table = collections.Counter()
    for i, (common, a, b) in enumerate(seen):
        table[common, kind(a, b), not picked.isdisjoint((2 * i, 2 * i + 1))] += 1
    for (common, what, is_picked), count in sorted(table.items()):
        print(f"{common} common corners, {what:<12} {'picked' if is_picked else 'left':<6} {count:>6}")


main()
