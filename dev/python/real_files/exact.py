"""Whether triangles of a mesh cross, by whole numbers and fractions: the third judge.

Slow and plain. The coordinates are 64-bit floats, so each is a fraction exactly; nothing is rounded.
Two triangles cross when both have corners strictly on both sides of the other's plane and the two
stretches they cut from the common line overlap with some length. A side that lies in a face counts
when it runs through the face's inside and the mesh goes off on either side of it.
"""
from fractions import Fraction

import numpy as np

MOST_PAIRS = 200_000


def whole(vertices):
    """The corners as whole numbers, all scaled by one power of two."""
    ratios = [[float(x).as_integer_ratio() for x in v] for v in vertices]
    scale = max((under for v in ratios for _, under in v), default=1)
    return [tuple(over * (scale // under) for over, under in v) for v in ratios]


def minus(a, b):
    return (a[0] - b[0], a[1] - b[1], a[2] - b[2])


def cross(a, b):
    return (a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0])


def dot(a, b):
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def normal(t):
    return cross(minus(t[1], t[0]), minus(t[2], t[0]))


def straddles(heights):
    return any(h > 0 for h in heights) and any(h < 0 for h in heights)


def stretch(t, heights, line):
    """Where two sides of a triangle pass the other's plane, as distances along the common line."""
    ends = []
    for i in range(3):
        j = (i + 1) % 3
        if heights[i] == 0:
            ends.append(Fraction(dot(line, t[i])))
        elif heights[i] * heights[j] < 0:
            share = Fraction(heights[i], heights[i] - heights[j])
            ends.append(dot(line, t[i]) + share * (dot(line, t[j]) - dot(line, t[i])))
    return min(ends), max(ends)


def insides_meet(a, b):
    """Whether two triangles have inner points in common and don't lie in one plane."""
    over_a, over_b = normal(a), normal(b)
    heights_b = [dot(over_a, minus(p, a[0])) for p in b]
    if not straddles(heights_b):
        return False
    heights_a = [dot(over_b, minus(p, b[0])) for p in a]
    if not straddles(heights_a):
        return False
    line = cross(over_a, over_b)
    (from_a, to_a), (from_b, to_b) = stretch(a, heights_a, line), stretch(b, heights_b, line)
    return max(from_a, from_b) < min(to_a, to_b)


def passes_along(face, side, wings):
    """Whether a side runs through the inside of a face, with its two wings on either side of it."""
    over = normal(face)
    height = [dot(over, minus(p, face[0])) for p in (*side, *wings)]
    if height[0] or height[1] or height[2] * height[3] >= 0:
        return False
    start, end = Fraction(0), Fraction(1)
    for k in range(3):
        inward = cross(over, minus(face[(k + 1) % 3], face[k]))
        at = [dot(inward, minus(p, face[k])) for p in side]
        if at[0] <= 0 and at[1] <= 0:
            return False
        if at[0] < 0:
            start = max(start, Fraction(at[0], at[0] - at[1]))
        elif at[1] < 0:
            end = min(end, Fraction(at[0], at[0] - at[1]))
    return start < end


def close_pairs(vertices, faces, some):
    """Pairs of triangles with boxes that meet, the first of them one of `some`."""
    corners = vertices[faces]
    low, high = corners.min(axis=1), corners.max(axis=1)
    pairs = set()
    for a in some:
        near = np.nonzero(((low <= high[a]) & (high >= low[a])).all(axis=1))[0]
        pairs.update((min(a, b), max(a, b)) for b in near.tolist() if b != a)
        if len(pairs) > MOST_PAIRS:
            raise OverflowError("too many pairs for exact numbers")
    return sorted(pairs)


def crossing_pair(vertices, faces, some):
    """The first pair that crosses, of those with one of the triangles `some`; None without one."""
    exact = whole(vertices)
    wings = {}
    for i, (a, b, c) in enumerate(faces.tolist()):
        for p, q, r in ((a, b, c), (b, c, a), (c, a, b)):
            wings.setdefault((min(p, q), max(p, q)), []).append(r)
    for a, b in close_pairs(vertices, faces, some):
        first, second = faces[a].tolist(), faces[b].tolist()
        if len(set(first) & set(second)) > 1:
            continue
        t, u = [exact[i] for i in first], [exact[i] for i in second]
        if insides_meet(t, u):
            return a, b
        for face, other in ((t, second), (u, first)):
            for k in range(3):
                p, q = other[k], other[(k + 1) % 3]
                mine = exact[other[(k + 2) % 3]]
                for r in wings[(min(p, q), max(p, q))]:
                    if passes_along(face, (exact[p], exact[q]), (mine, exact[r])):
                        return a, b
    return None
