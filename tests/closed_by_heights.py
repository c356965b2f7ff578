"""The way a sheet closes, settled by heights above the table: scipy's least squares over the turns that nobody knows.

Nothing of the program's own search is used: each free turn keeps to the side it is drawn for, what is said to be alike turns
alike, and some places of the sheet come to lie as high as is said.
"""

from __future__ import annotations

import math
from collections import deque
from collections.abc import Sequence

import numpy as np
from scipy.optimize import least_squares
from scipy.spatial.transform import Rotation

from folder.fold.place import Folded, folded
from folder.fold.vertex import fans_of, residual_and_jacobian
from folder.geometry.space import Floats, Ints
from folder.pattern.faces.faces import Faces

STARTS_RAD = (0.5, 1.0, 0.2, 1.6, 2.4)
ALIKE = 1e-6
MORE_STARTS = 20
OVER_RAD = 0.02
"""A turn of none at all, or of half a turn, is found from both sides."""
MM_AS_RAD = 0.02
STEP_RAD = 1e-6


class Way:
    """From the floor to a place (2,) on the sheet, over the edges (n,) on the way: how high it comes to lie by their turns."""

    def __init__(self, faces: Faces, place: Floats) -> None:
        self.place = place
        x, y = place + 1e-6 * (np.array(faces.floor_at) - place)
        goal, before = faces.face_at((float(x), float(y))), {faces.root: (-1, -1)}
        queue = deque([faces.root])
        while queue:
            here = queue.popleft()
            for edge in np.nonzero((faces.sides == here).any(axis=1) & faces.joined)[0].tolist():
                there = int(faces.sides[edge].sum()) - here
                if there not in before:
                    before[there] = (here, edge)
                    queue.append(there)
        crossed = []
        while goal != faces.root:
            here, edge = before[goal]
            # A valley lifts what lies on the left of an edge, seen from its right.
            crossed.append((edge, 1.0 if faces.sides[edge, 0] == goal else -1.0))
            goal = here
        self.edges = [edge for edge, _ in reversed(crossed)]
        self.signs = [sign for _, sign in reversed(crossed)]
        self.ends = faces.vertices[faces.edges[self.edges]]

    def height(self, turns: Floats) -> float:
        at = np.array([*self.place, 0.0])
        for (start, end), sign, turn in reversed(list(zip(self.ends, self.signs, turns, strict=True))):
            axis = np.append(end - start, 0.0) / np.linalg.norm(end - start)
            foot = np.append(start, 0.0)
            at = foot + Rotation.from_rotvec(sign * turn * axis).apply(at - foot)
        return float(at[2])


def by_heights(
    faces: Faces, known: Floats, side: Floats, alike: Sequence[Ints], heights: Sequence[tuple[Floats, float]]
) -> Folded:
    """The sheet folded so that it closes and each place (2,) comes to lie so high.

    known  (e,) rad: the turns that are known, nan for all others
    side   (e,) 1 or -1: to which side each of those turns
    alike  edges (n,) each that turn by as much
    """
    free = np.nonzero(np.isnan(known) & faces.joined)[0]
    # What turns alike is one variable, how far; its sign is the side's.
    group = {edge: k for k, edge in enumerate(free.tolist())}
    for edges in alike:
        group |= dict.fromkeys(edges.tolist(), group[int(edges[0])])
    numbers = {name: k for k, name in enumerate(sorted(set(group.values())))}
    column = np.full(len(known), -1)
    column[free] = [numbers[group[edge]] for edge in free.tolist()]
    fans, ways = fans_of(faces), [Way(faces, place) for place, _ in heights]
    sign = np.where(side < 0, -1.0, 1.0)
    row, slot = np.nonzero(fans.real & (column[fans.edge] >= 0))
    edge = fans.edge[row, slot]

    def turns(x: Floats) -> Floats:
        return np.where(column >= 0, sign * x[column], np.nan_to_num(known))

    def off(x: Floats) -> Floats:
        turn = turns(x)
        closing = residual_and_jacobian(fans.turns(turn), fans.sector)[0]
        high = [way.height(turn[way.edges]) - high_mm for way, (_, high_mm) in zip(ways, heights, strict=True)]
        return np.append(closing.ravel(), MM_AS_RAD * np.array(high))

    def jacobian(x: Floats) -> Floats:
        turn = turns(x)
        change = residual_and_jacobian(fans.turns(turn), fans.sector)[1]
        full = np.zeros((len(fans.sector), len(x), 3))
        np.add.at(full, (row, column[edge]), sign[edge, None] * change[row, :, slot])
        rows = [full.transpose(0, 2, 1).reshape(-1, len(x))]
        for way in ways:
            own, here = np.zeros(len(x)), turn[way.edges]
            for k, crossed in enumerate(way.edges):
                if column[crossed] >= 0:
                    there = here + STEP_RAD * (np.arange(len(here)) == k)
                    own[column[crossed]] += sign[crossed] * (way.height(there) - way.height(here)) / STEP_RAD
            rows.append(MM_AS_RAD * own[None])
        return np.concatenate(rows)

    best, least = np.zeros(len(numbers)), math.inf
    draw = np.random.default_rng(1)
    starts = [*(np.full(len(numbers), start) for start in STARTS_RAD), *draw.uniform(0.05, 2.5, (MORE_STARTS, len(numbers)))]
    for start in starts:
        found = least_squares(off, start, jacobian, bounds=(-OVER_RAD, math.pi + OVER_RAD), max_nfev=200)
        if found.cost < least:
            best, least = found.x, float(found.cost)
        if least < ALIKE:
            break
    return folded(faces, turns(best))
