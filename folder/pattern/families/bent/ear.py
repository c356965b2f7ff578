"""The ear: spare sheet between two halves of a wall that bends, folded in half and kinked once at every bend.

piece      a stretch of the line along which the spare sheet hangs on: straight between two bends
mirror     the plane between the two halves: the fold that halves the ear lies in it
angle      how far a piece's ear has swung from the outer half of the mirror toward its own side
flat       the angle at which it lies on its own side
kink       a crease from a bend to the fold that halves the ear; there the ear follows the bend

At a bend the sheet's line turns by `eps`, the line in space by `delta`. The directions of line, kink and mirror make a
spherical triangle with the sides a, b (a + b = pi + eps) and pi - delta; from its half-angle formulas (any textbook of
spherical trigonometry) the angles t, t' before and after the bend keep

    tan(t / 2) tan(t' / 2) = sin((delta - eps) / 2) / sin((delta + eps) / 2)

so that one angle fixes all. Derived for this program; each use is held against the closing of every vertex.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import cached_property
from itertools import pairwise

from msgspec import Struct

_TRIES, _HALVINGS = 200, 40
"""Places between the limits where a sound ear is looked for; then halvings between it and the next."""


class Kink(Struct, frozen=True):
    """One kink: its direction on the sheet from the line before the bend, and how far the ear turns there."""

    along_rad: float
    turn_rad: float


class Ear(Struct, frozen=True):
    """An ear that closes. `own_turns` and `other_turns` are of the line's pieces on the side it lies on, and opposite."""

    angles_rad: tuple[float, ...]
    own_turns: tuple[float, ...]
    other_turns: tuple[float, ...]
    fold_turn: float
    """The turn of the fold that halves it."""
    kinks: tuple[Kink, ...]


class Ears(Struct, frozen=True, dict=True):
    """All ears that close along one line: they differ by how far the last piece swings.

    sheet_rad, space_rad   direction of each piece on the sheet and in the mirror plane in space, turning left positive
    flat_rad               the angle at which each lies flat on its side
    inside                 the ear comes from the other side of its wall: there it swings no less than flat
    """

    sheet_rad: tuple[float, ...]
    space_rad: tuple[float, ...]
    flat_rad: tuple[float, ...]
    inside: bool = False

    @cached_property
    def bends(self) -> list[tuple[float, float]]:
        """By how much the line turns at each bend on the sheet, and in space."""
        lines = (self.sheet_rad, self.space_rad)
        eps, delta = ([after - before for before, after in pairwise(line)] for line in lines)
        return list(zip(eps, delta, strict=True))

    @cached_property
    def _laws(self) -> list[tuple[float, int]] | None:
        """For each piece the factor and the power that give its tan(t / 2) from the last one's; None where no ear passes."""
        laws = [(1.0, 1)]
        for eps, delta in reversed(self.bends):
            above, below = math.sin((delta - eps) / 2.0), math.sin((delta + eps) / 2.0)
            if above * below <= 0.0:
                return None
            factor, power = laws[0]
            laws.insert(0, (above / below / factor, -power))
        return laws

    def limits(self) -> tuple[float, float] | None:
        """The least and largest tan(t / 2) of the last piece at which all keep to their sides; None where there is none."""
        laws = self._laws
        if laws is None:
            return None
        highest, lowest = [math.inf], [0.0]
        for (factor, power), flat in zip(laws, self.flat_rad, strict=True):
            (highest if (power > 0) != self.inside else lowest).append((math.tan(flat / 2.0) / factor) ** power)
        low, high = max(lowest), min(highest)
        return (low, high) if low <= high else None

    def at(self, last: float) -> Ear:
        """The ear whose last piece has this tan(t / 2), which lies within the limits."""
        angles = [2.0 * math.atan(factor * last**power) for factor, power in self._laws or ()]
        half_turn = math.pi if self.inside else -math.pi
        return Ear(
            tuple(angles),
            tuple(flat - angle + half_turn for flat, angle in zip(self.flat_rad, angles, strict=True)),
            tuple(flat + angle - math.pi for flat, angle in zip(self.flat_rad, angles, strict=True)),
            -half_turn,
            tuple(_kink(eps, delta, angle) for (eps, delta), angle in zip(self.bends, angles, strict=False)),
        )

    def farthest(self, is_sound: Callable[[Ear], bool]) -> Ear | None:
        """The sound ear whose last piece swings as far to its side as it can; None where none is found."""
        limits = self.limits()
        if limits is None:
            return None
        low, high = (2.0 * math.atan(half) for half in limits)
        first, last = (high, low) if high < math.pi else (low, high)  # an inside ear that nothing stops comes down to its side

        def sound(angle: float) -> bool:
            return is_sound(self.at(math.tan(angle / 2.0)))

        before = first
        for k in range(_TRIES):
            here = first + (last - first) * k / _TRIES
            if sound(here):
                return self.at(math.tan(_last_sound(sound, here, before) / 2.0))
            before = here
        return None


def _last_sound(is_sound: Callable[[float], bool], sound: float, beyond: float) -> float:
    """As far from a sound value toward one beyond as it stays sound, by halving."""
    if is_sound(beyond):
        return beyond
    for _ in range(_HALVINGS):
        middle = (sound + beyond) / 2.0
        sound, beyond = (middle, beyond) if is_sound(middle) else (sound, middle)
    return sound


def _kink(eps: float, delta: float, angle: float) -> Kink:
    """The kink at a bend behind a piece whose ear stands at an angle."""
    near = math.atan2(math.cos(eps) - math.cos(delta), math.sin(delta) * math.cos(angle) - math.sin(eps)) % math.pi
    far = math.pi + eps - near
    cosine = (-math.cos(delta) - math.cos(near) * math.cos(far)) / (math.sin(near) * math.sin(far))
    return Kink(near, math.pi - math.acos(max(-1.0, min(1.0, cosine))))
