"""The best order of a few objects: the water is asked about every set of them that can be placed, and no order is missed.

set    of objects placed: what the hull does then does not depend on the order in which they came (n objects: 2^n sets)
way    from the empty hull to all objects placed, one more in each set: an order
"""

from __future__ import annotations

import math

import numpy as np
from msgspec import Struct

from folder.cargo.order.arrange import Lie
from folder.geometry.space import Bools, Floats, Ints

MOST = 9
"""Of so few objects every set is asked about: 511 of nine."""


class Sets(Struct, frozen=True, eq=False):
    """What the hull does with every set of objects placed; set s holds object i where bit i of s is set."""

    count: int
    freeboard_mm: Floats
    """(2^n,) least freeboard; minus infinity where the hull does not float, or a higher layer was begun too soon."""
    tilt_rad: Floats
    """(2^n,)"""

    @classmethod
    def of(cls, places_mm: Floats, layer: Ints, mass_each_g: float, lie: Lie) -> Sets:
        """All sets of objects on these places (n, 3), each layer (n,) filled before the next."""
        n = len(places_mm)
        held = (np.arange(2**n)[:, None] >> np.arange(n) & 1).astype(bool)
        placed = held.sum(axis=1)
        lowest_open = np.where(held, np.iinfo(np.int64).max, layer).min(axis=1, initial=np.iinfo(np.int64).max)
        topmost = np.where(held, layer, -1).max(axis=1, initial=-1)
        allowed = np.nonzero((topmost <= lowest_open) & (placed > 0))[0]
        centres = held[allowed] @ places_mm / placed[allowed, None]
        poses = lie(mass_each_g * placed[allowed], centres)
        freeboard, tilt = np.full(2**n, -math.inf), np.zeros(2**n)
        freeboard[0] = math.inf
        freeboard[allowed], tilt[allowed] = np.where(poses.floats, poses.least_mm, -math.inf), poses.tilt_rad
        return cls(n, freeboard, tilt)

    def order(self, within_mm: float, within_rad: float, rolls_rad: float) -> Ints:
        """The order (n,): the most held; then the least freeboard under way; of those `within_mm` of it the least tilt.

        It tilts no farther than the plain greedy way and `within_rad`, and no farther than `rolls_rad` where that can be.
        """
        goal = self._farthest()
        if goal == 0:
            return np.arange(self.count)
        greedy = self._greedy(goal)
        lowest, cap = float(self.freeboard_mm[greedy].min()), float(self.tilt_rad[greedy].max()) + within_rad
        if lowest == -math.inf:  # it leads nowhere
            cap = math.inf
        fine = (self.freeboard_mm > -math.inf) & (self.freeboard_mm >= lowest - within_mm)
        if rolls_rad < cap:
            cap = min(cap, max(rolls_rad, self._bottleneck(self.tilt_rad, fine)[goal]))
        fine &= self.tilt_rad <= cap
        best = -self._bottleneck(-self.freeboard_mm, fine)[goal]
        fine &= self.freeboard_mm >= best - within_mm
        return self._way(self._bottleneck(self.tilt_rad, fine), goal)

    def _farthest(self) -> int:
        """The set with the most objects that a way leads to along which the hull floats; it keeps most freeboard."""
        reached = -self._bottleneck(-self.freeboard_mm, self.freeboard_mm > -math.inf)
        size = np.array([int(s).bit_count() for s in range(2**self.count)])
        return int(np.lexsort([reached, np.where(reached > -math.inf, size, -1)])[-1])

    def _bottleneck(self, bad: Floats, fine: Bools) -> Floats:
        """(2^n,) the least that the worst set can be along a way to each set, all along `fine` ones; infinite: no way."""
        worst = np.full(2**self.count, math.inf)
        worst[0] = -math.inf
        for s in range(1, 2**self.count):
            if fine[s]:
                before = min(worst[s ^ (1 << i)] for i in range(self.count) if s >> i & 1)
                worst[s] = max(bad[s], before)
        return worst

    def _way(self, worst: Floats, goal: int) -> Ints:
        """The order (n,) that leads to the goal; what is left over comes last. `worst` (2^n,) mm, by sets of places."""
        order: list[int] = []
        s = goal
        while s:
            last = min((i for i in range(self.count) if s >> i & 1), key=lambda i: worst[s ^ (1 << i)])
            order.append(last)
            s ^= 1 << last
        return np.array(order[::-1] + [i for i in range(self.count) if not goal >> i & 1], dtype=int)

    def _greedy(self, goal: int) -> list[int]:
        """The sets on the plain way to the goal: each object goes where the hull then keeps most freeboard."""
        way, s = [], 0
        while s != goal:
            open_ = [s | 1 << i for i in range(self.count) if goal >> i & 1 and not s >> i & 1]
            s = max(open_, key=lambda t: (self.freeboard_mm[t], -self.tilt_rad[t]))
            way.append(s)
        return way
