"""A linear programme with a few numbers in each row, solved by a primal-dual interior point.

Mehrotra, SIAM J. Optimization 2 (1992) 575-601: predictor, centring, corrector, one matrix for both.
It starts from a point that is strictly inside and every later point is inside too.
"""

from __future__ import annotations

from functools import cached_property

import numpy as np
from msgspec import Struct

from folder.geometry.space import Floats, Ints

ROUNDS = 40
"""Interior points need 10 to 25 rounds whatever the size; at 40 what is reached is kept."""

PRECISION = 1e-13
"""Stop when slack times price has come down to this (the data are of order 1)."""

STRIDE = 0.995
"""The part of the way to the nearest limit that is taken, so that every slack stays positive."""


class Sparse(Struct, frozen=True, eq=False, dict=True):
    """A matrix (m, width) of which each row has the same few places filled: their columns (m, f) and values (m, f)."""

    columns: Ints
    values: Floats
    width: int

    def times(self, v: Floats) -> Floats:
        """The matrix times v (width,)."""
        product: Floats = (self.values * v[self.columns]).sum(axis=1)
        return product

    def back(self, y: Floats) -> Floats:
        """The transposed matrix times y (m,)."""
        return np.asarray(np.bincount(self.columns.ravel(), (self.values * y[:, None]).ravel(), self.width), np.float64)

    def square(self, weight: Floats) -> Floats:
        """Transposed matrix times weights (m,) times matrix: (width, width)."""
        parts = self._products * weight[:, None]
        cells = np.asarray(np.bincount(self._cells, parts.ravel(), self.width**2), np.float64)
        return cells.reshape(self.width, self.width)

    @cached_property
    def _cells(self) -> Ints:
        """(m w^2,) where the products of a row's columns lie in a matrix (width, width) laid out flat."""
        return (self.columns[:, :, None] * self.width + self.columns[:, None, :]).ravel()

    @cached_property
    def _products(self) -> Floats:
        """(m, w^2) the products of each row's values."""
        return (self.values[:, :, None] * self.values[:, None, :]).reshape(len(self.values), -1)


def maximise(gain: Floats, rows: Sparse, limits: Floats, start: Floats) -> Floats:
    """The v (k,) with the largest gain . v among those with rows . v <= limits (m,); start is strictly inside."""
    v = start
    slack = limits - rows.times(v)
    price = 1.0 / slack
    price /= max(1.0, price.max())
    for _ in range(ROUNDS):
        gap = slack @ price / len(slack)
        if gap < PRECISION:
            break
        weight = price / slack
        matrix = rows.square(weight)
        matrix.flat[:: len(v) + 1] *= 1.0 + PRECISION  # keeps it invertible when rounding makes rows alike
        # First aim at slack * price = 0, to see how far that goes; then at a centred value, mending the second order.
        ds = -rows.times(_solved(matrix, gain))
        dp = -price - weight * ds
        reached = (slack + _fraction(slack, ds) * ds) @ (price + _fraction(price, dp) * dp) / len(slack)
        excess = (ds * dp - gap * (reached / gap) ** 3) / slack
        dv = _solved(matrix, gain + rows.back(excess))
        ds = -rows.times(dv)
        dp = -price - weight * ds - excess
        stride, fall = STRIDE * _fraction(slack, ds), STRIDE * _fraction(price, dp)
        v, slack, price = v + stride * dv, slack + stride * ds, price + fall * dp
    return v


def _solved(matrix: Floats, right: Floats) -> Floats:
    """The x (k,) with matrix (k, k) . x = right (k,)."""
    return np.asarray(np.linalg.solve(matrix, right), np.float64)


def _fraction(value: Floats, change: Floats) -> float:
    """How much of a change (k,) keeps every value (k,) positive, at most all of it."""
    return float(1.0 / max(1.0, (-change / value).max()))
