"""Graphs as arrays of pairs: what hangs together, and how far along what lies.

node   a number below `count`
pair   two nodes with an edge between them, `(p, 2)`; which comes first does not matter, a pair may come twice
"""

from __future__ import annotations

import numpy as np

from folder.geometry.space import Bools, Ints


def components(pairs: Ints, count: int, start: Ints | None = None) -> Ints:
    """For each node the lowest-numbered one that pairs `(p, 2)` join it to: `(count,)`.

    With `start (count,)` from components found before, named in the same way. Each name takes the lowest one that a pair joins it to,
    then each node the name of its name: union-find on whole arrays (Shiloach & Vishkin, J. Algorithms 3 (1982) 57).
    """
    name = np.arange(count) if start is None else start.copy()
    while True:
        ends = name.take(pairs)
        lower = ends.min(axis=1)
        before = name.copy()
        for k in (0, 1):
            np.minimum.at(name, ends[:, k], lower)  # names alone are lowered: who bears one follows it in the next line
        name = name.take(name)
        if not np.count_nonzero(name != before):
            return name


def steps_from(seeds: Bools, pairs: Ints) -> Ints:
    """How many pairs `(p, 2)` lie between each node and the nearest of the seeds `(count,)`: `(count,)`, -1 where no way leads."""
    steps = np.where(seeds, 0, -1)
    one, other = np.concatenate([pairs, pairs[:, ::-1]]).T
    far = 0
    while True:
        new = other[(steps[one] == far) & (steps[other] < 0)]
        if not len(new):
            return steps
        far += 1
        steps[new] = far


def reached(seeds: Bools, pairs: Ints) -> Bools:
    """Which nodes hang together with the seeds `(count,)` over pairs `(p, 2)`: `(count,)`, the seeds among them."""
    return steps_from(seeds, pairs) >= 0
