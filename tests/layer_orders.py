"""Every order of the layers of a sheet folded flat, by trying all: slow, plain, and with nothing of the fold's own.

Places by mirroring the plane's complex numbers, overlaps by shapely. Face `j` lies above face `i` or below it where they
overlap; what must hold is that of Justin (1997): a crease says which of its two faces lies above; no layer lies between the
faces of a crease that runs through it; two creases along each other, open to one side, do not interleave; and at any
one place above is transitive.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import combinations

import numpy as np
import shapely

from folder.pattern.faces.faces import Faces, faces_of
from folder.pattern.pattern import Pattern

_EPS = 1e-4

Pair = tuple[int, int]
Above = dict[Pair, bool]
"""For overlapping faces i < j: whether j lies above i."""
Rule = tuple[tuple[Pair, ...], Callable[[Above], bool]]


def orders(pattern: Pattern) -> Iterator[Above]:
    """All orders of the layers of a pattern whose creases are all folded flat."""
    faces = faces_of(pattern)
    turned, at = _placed(faces)
    joined = [e for e in range(len(faces.edges)) if faces.joined[e]]
    shapes = [shapely.Polygon(_corners(at(f, faces.vertices[faces.outer_ring(f)]))) for f in range(faces.count)]
    pairs = [p for p in combinations(range(faces.count), 2) if _shared(shapes[p[0]], shapes[p[1]]).area > _EPS]
    known: Above = {}
    for e in joined:
        left, right = faces.sides[e].tolist()
        # A valley puts the far face on the inside of the near one, which faces up unless it is turned over.
        up = (faces.turn[e] > 0.0) != turned[left]
        pair = (min(left, right), max(left, right))
        value = up if left < right else not up
        if known.setdefault(pair, value) != value:
            return
    yield from _completed(known, pairs, list(_rules(faces, at, shapes, joined, pairs)))


def possible(pattern: Pattern) -> bool:
    """Whether there is any order."""
    return next(orders(pattern), None) is not None


def _placed(faces: Faces) -> tuple[list[bool], Callable[[int, np.ndarray], np.ndarray]]:
    """Which faces lie upside down, and where a face takes points (n, 2), as complex numbers."""
    motion: dict[int, tuple[complex, complex, bool]] = {faces.root: (1.0 + 0.0j, 0.0j, False)}
    todo = [faces.root]
    for face in todo:
        turn, shift, over = motion[face]
        for e in np.nonzero((faces.sides == face).any(axis=1) & faces.joined)[0]:
            other = int(faces.sides[e].sum() - face)
            if other in motion:
                continue
            a, b = (complex(*faces.vertices[v]) for v in faces.edges[e])
            mirror = (b - a) / (b - a).conjugate()
            # z -> mirror * conj(z) + foot, then as the face goes.
            foot = a - mirror * a.conjugate()
            if over:
                motion[other] = (turn * mirror.conjugate(), turn * foot.conjugate() + shift, False)
            else:
                motion[other] = (turn * mirror, turn * foot + shift, True)
            todo.append(other)

    def at(face: int, points: np.ndarray) -> np.ndarray:
        turn, shift, over = motion[face]
        z = points[:, 0] + 1j * points[:, 1]
        return turn * (z.conj() if over else z) + shift

    return [motion[f][2] for f in range(faces.count)], at


def _corners(z: np.ndarray) -> np.ndarray:
    return np.stack([z.real, z.imag], axis=1)


def _rules(faces: Faces, at, shapes, joined: list[int], pairs: list[Pair]) -> Iterator[Rule]:
    overlapping = set(pairs)
    lines = {e: shapely.LineString(_corners(at(int(faces.sides[e, 0]), faces.vertices[faces.edges[e]]))) for e in joined}
    for e in joined:
        a, b = faces.sides[e].tolist()
        for c in range(faces.count):
            if c not in (a, b) and lines[e].intersection(shapes[c].buffer(-_EPS)).length > 10 * _EPS:
                yield _keys((a, c), (b, c)), lambda above, a=a, b=b, c=c: _is(above, a, c) == _is(above, b, c)
    for e, g in combinations(joined, 2):
        (a, b), (c, d) = faces.sides[e].tolist(), faces.sides[g].tolist()
        if len({a, b, c, d}) < 4 or lines[e].intersection(lines[g].buffer(_EPS, cap_style="flat")).length < 10 * _EPS:
            continue
        if all(_key(x, y) in overlapping for x in (a, b) for y in (c, d)) and _shared(shapes[a], shapes[c]).area > _EPS:
            keys = _keys((a, b), (c, d), (a, c), (a, d), (b, c), (b, d))
            yield keys, lambda above, q=(a, b, c, d): _nests(above, *q)
    for a, b, c in combinations(range(faces.count), 3):
        if overlapping >= {(a, b), (b, c), (a, c)} and _shared(_shared(shapes[a], shapes[b]), shapes[c]).area > _EPS:
            keys = ((a, b), (b, c), (a, c))
            yield keys, lambda above, k=keys: not above[k[0]] == above[k[1]] != above[k[2]]


def _shared(one: shapely.Polygon, other: shapely.Polygon) -> shapely.Polygon:
    """On a fine grid: without one shapely loses whole pieces where borders differ by rounding."""
    return shapely.intersection(one, other, grid_size=1e-7)


def _nests(above: Above, a: int, b: int, c: int, d: int) -> bool:
    """Of c and d both lie between a and b, or neither."""
    return (_is(above, a, c) == _is(above, c, b)) == (_is(above, a, d) == _is(above, d, b))


def _is(above: Above, lower: int, upper: int) -> bool:
    return above[(lower, upper)] if lower < upper else not above[(upper, lower)]


def _key(a: int, b: int) -> Pair:
    return (min(a, b), max(a, b))


def _keys(*pairs: Pair) -> tuple[Pair, ...]:
    return tuple(_key(*p) for p in pairs)


def _completed(known: Above, pairs: list[Pair], rules: list[Rule]) -> Iterator[Above]:
    """All ways to answer all pairs; each rule is asked as soon as all it speaks of is answered."""
    speaking: dict[Pair, list[Rule]] = {p: [] for p in pairs}
    for rule in rules:
        for pair in rule[0]:
            speaking.setdefault(pair, []).append(rule)
    if not all(holds(known) for keys, holds in rules if all(k in known for k in keys)):
        return
    above = dict(known)

    def answered() -> Iterator[Above]:
        left = [p for p in pairs if p not in above]
        if not left:
            yield dict(above)
            return
        # The pair of which most is said by what is known already.
        pair = max(left, key=lambda p: sum(all(k in above or k == p for k in keys) for keys, _ in speaking[p]))
        for value in (True, False):
            above[pair] = value
            if all(holds(above) for keys, holds in speaking[pair] if all(k in above for k in keys)):
                yield from answered()
            del above[pair]

    yield from answered()
