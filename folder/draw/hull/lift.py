"""How the layers of flat stacks lie over each other in a drawing.

layer   faces that hang together without a fold between them: they lie as one
stack   layers that lie on each other in one plane
lift    mm along a face's own inside normal: it tells which of two layers lies over the other
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import lru_cache
from graphlib import CycleError, TopologicalSorter

import numpy as np
from msgspec.structs import replace

from folder.fold.layers.clash import clash_tolerance_mm
from folder.fold.layers.contact import contacts_of
from folder.fold.layers.face_frames import holding
from folder.fold.layers.order import Layering, layering_of
from folder.fold.place import Folded
from folder.fold.sequence.flaps import parts_of
from folder.geometry.space import Bools, Floats, Ints, frozen
from folder.units import TOLERANCES

LAYER_MM = 0.15
"""Between two layers, besides twice what the drawing is off by: nothing at the size of a picture, far more than rounding."""
_MOST_MM = 0.6
"""From the lowest of a stack to the highest: thicker stacks would show through at corners."""
_LAP_MM2 = 0.1
"""Faces that share less than this only touch."""
MOST_PAIRS = 600
"""With more faces than this on each other only those on both sides of a fold are told apart: the rest takes seconds."""

_Over = dict[int, list[tuple[int, int]]]
"""For each layer the others it touches: 1 where that one lies on its inside, -1 on its outside."""


def layers_of(folded: Folded) -> Ints:
    """(f,) the layer each face belongs to, named by the lowest face of it."""
    return parts_of(folded.faces, folded.faces.joined & (np.abs(folded.turn) < TOLERANCES.flat_rad))


@lru_cache(maxsize=64)
def layer_lifts(folded: Folded, layering: Layering | None = None) -> Floats:
    """(f,) mm: a lift for every face, the same all over a layer; 0 for what lies alone or nearest to the floor.

    `layering` is the order of layers where it has been found already; it is worked out when not given.
    """
    layer = layers_of(folded)
    over: _Over = {}
    for a, b, b_over in _order(folded, layering):
        one, other = int(layer[a]), int(layer[b])
        same = 1 if folded.normals[one] @ folded.normals[other] > 0 else -1
        over.setdefault(one, []).append((other, b_over))
        over.setdefault(other, []).append((one, -b_over * same))
    lifts = np.zeros(folded.faces.count)
    slack_mm = min(folded.closure_gap_mm, TOLERANCES.take_up_mm)
    left = set(over)
    while left:
        base = min(left, key=lambda k: (int(folded.level[k]), k))
        stack = _stack(base, over)
        left -= set(stack)
        side = {k: 1 if folded.normals[k] @ folded.normals[base] > 0 else -1 for k in stack}
        places = _places(base, stack, over, side)
        apart_mm = min(LAYER_MM, _MOST_MM / max(1, *map(abs, places.values()))) + 2.0 * slack_mm
        for k, place in places.items():
            lifts[k] = place * apart_mm * side[k]
    return frozen(lifts[layer])


def _order(folded: Folded, found: Layering | None) -> Iterator[tuple[int, int, int]]:
    """Pairs of faces that lie on each other, and 1 where the second is on the inside of the first, -1 on its outside."""
    if found is not None:
        lap = _lapping(folded, found.pairs, found.at, found.area_mm2)
        yield from _ordered(found.pairs[lap], found.above[lap])
        return
    tolerance_mm = clash_tolerance_mm(folded)
    contacts = contacts_of(folded, tolerance_mm)
    lap = _lapping(folded, contacts.flat, contacts.flat_at, contacts.flat_mm2)
    if not lap.any():
        return
    contacts = replace(contacts, flat=contacts.flat[lap], flat_at=contacts.flat_at[lap], flat_mm2=contacts.flat_mm2[lap])
    if len(contacts.flat) <= MOST_PAIRS:
        layering = layering_of(folded, contacts, tolerance_mm)
        pairs, above = layering.pairs, layering.above
    else:
        edge = np.nonzero(folded.faces.joined & (np.abs(folded.turn) > math.pi / 2.0))[0]
        pairs, above = folded.faces.sides[edge], np.sign(folded.turn[edge]).astype(np.int64)
    yield from _ordered(pairs, above)


def _lapping(folded: Folded, pairs: Ints, at_mm: Floats, area_mm2: Floats) -> Bools:
    """(q,) which pairs (q, 2) of faces lie on each other at a place (q, 3): neighbours that only touch are no layers."""
    lap: Bools = holding(folded, pairs[:, 0], at_mm) & holding(folded, pairs[:, 1], at_mm) & (area_mm2 > _LAP_MM2)
    return lap


def _ordered(pairs: Ints, above: Ints) -> Iterator[tuple[int, int, int]]:
    """The pairs (q, 2) whose order (q,) is known."""
    for (a, b), b_over in zip(pairs.tolist(), above.tolist(), strict=True):
        if b_over:
            yield a, b, b_over


def _stack(base: int, over: _Over) -> list[int]:
    """The layers that hang together with one by touching."""
    found = [base]
    reached = {base}
    for k in found:
        new = {other for other, _ in over[k]} - reached
        reached |= new
        found += sorted(new)
    return found


def _places(base: int, stack: list[int], over: _Over, side: dict[int, int]) -> dict[int, int]:
    """The place of each layer in its stack, counted along the base's inside normal; the base has 0."""
    beneath: dict[int, set[int]] = {k: set() for k in stack}
    for k in stack:
        for other, other_over in over[k]:
            if other_over * side[k] > 0:
                beneath[other].add(k)
    try:
        order = list(TopologicalSorter(beneath).static_order())
    except CycleError:
        return dict.fromkeys(stack, 0)  # an order that cannot be is a finding; there is none to draw
    height: dict[int, int] = {}
    for k in order:
        height[k] = max((height[b] + 1 for b in beneath[k]), default=0)
    return {k: height[k] - height[base] for k in stack}
