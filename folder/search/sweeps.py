"""One hull with another wall: how much it takes as one of its numbers is changed and all else kept.

variable  what may be changed of a pattern: a parameter of its family, or, of any drawing, how high all its walls are
variant   the pattern with another value of a variable
walls     every floor crease of the drawing is pushed in or out by the same, all lines staying parallel to themselves
          (`pattern.redrawing`); its value is the height the walls then have, on average
"""

from __future__ import annotations

from functools import cached_property

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from folder.errors import BadRequest
from folder.geometry.space import Floats
from folder.pattern.families.catalogue import find_family, make
from folder.pattern.families.parameter import Parameter
from folder.pattern.pattern import Pattern
from folder.pattern.redrawing import outward_normals, redrawing_rate, redrawing_room, redrawn
from folder.studies import Study, study

WALLS = "walls"
"""The variable that every drawing with walls has."""
POINTS = 15
"""So many variants make a curve."""
LEAST_WALL_MM = 3.0
"""A lower wall cannot be folded up by hand (common practice)."""
FLATTEST = 0.1
"""Walls that rise less than this for a mm they are made wider have no height to speak of."""


class Variable(Struct, frozen=True):
    """What may be changed of a pattern: from `low` to `high`; `now` is what it is."""

    name: str
    text: str
    unit: str
    low: float
    high: float
    now: float
    whole: bool = False

    @property
    def values(self) -> tuple[float, ...]:
        """The values of a curve: evenly from low to high, with what it is now among them."""
        if self.whole:
            return tuple(float(v) for v in range(round(self.low), round(self.high) + 1))
        spread = np.linspace(self.low, self.high, POINTS)
        nearest = int(np.abs(spread - self.now).argmin())
        spread[nearest] = self.now
        return tuple(float(v) for v in spread)


class Sweep(Struct, frozen=True, eq=False, dict=True):
    """A pattern whose numbers may be changed."""

    made: Study

    @cached_property
    def variables(self) -> tuple[Variable, ...]:
        """What may be changed: the numbers of its family, else the height of its walls."""
        pattern = self.made.pattern
        if pattern.family is not None:
            return tuple(v for p in find_family(pattern.family.name).parameters if (v := self._parameter(p)) is not None)
        walls = self._walls_variable
        return () if walls is None else (walls,)

    def variant(self, variable: Variable, value: float) -> Pattern | None:
        """The pattern with another value; None where there is none such, as where walls leave no floor."""
        pattern = self.made.pattern
        if variable.name == WALLS and pattern.family is None:
            return self._with_walls(value)
        family = pattern.family
        if family is None:
            return None
        name = pattern.name
        try:
            made = make(
                family.name, {**family.parameters, variable.name: value}, sheet=pattern.sheet, name=name, note=pattern.note
            )
        except BadRequest:
            return None
        return made

    def _parameter(self, parameter: Parameter) -> Variable | None:
        """A number of the family, between the limits within which it makes a hull with the other numbers as they are."""
        family = self.made.pattern.family
        if family is None or isinstance(parameter.default, str):
            return None
        now = float(family.parameters.get(parameter.name, parameter.default))
        sheet = self.made.pattern.sheet
        side = min(sheet.width_mm, sheet.height_mm)
        high = parameter.high if parameter.unit != "mm" else min(parameter.high, side / 2.0)
        whole = Variable(parameter.name, parameter.text, parameter.unit, parameter.low, max(high, now), now, parameter.whole)
        low, high = self._reach(whole, whole.low), self._reach(whole, whole.high)
        return None if high - low < 1e-6 else replace(whole, low=low, high=high)

    def _reach(self, variable: Variable, to: float) -> float:
        """How far from now toward a limit there is a pattern: halved eight times."""
        if self.variant(variable, to) is not None:
            return to
        good, bad = variable.now, to
        for _ in range(8):
            middle = (good + bad) / 2.0
            middle = float(round(middle)) if variable.whole else middle
            if middle in (good, bad):
                break
            if self.variant(variable, middle) is None:
                bad = middle
            else:
                good = middle
        return good

    @cached_property
    def _redrawing(self) -> tuple[Floats, float] | None:
        """How the drawing's vertices move as its walls get wider by a mm, and how much higher the walls then are."""
        hull = self.made.hull
        if hull is None or not self.made.folds or not len(hull.wall_edges):
            return None
        faces, edges = self.made.faces, hull.wall_edges
        # Toward the floor: that makes the walls wider.
        rate = redrawing_rate(faces, edges, -outward_normals(faces, edges, hull.floor_piece))
        if rate is None:
            return None
        step = 0.25
        tried = redrawn(self.made.pattern, faces, rate, step)
        wider = None if tried is None else study(tried).hull
        if wider is None:
            return None
        rise = (wider.mean_wall_mm - hull.mean_wall_mm) / step
        return (rate, rise) if rise > FLATTEST else None

    @cached_property
    def _walls_variable(self) -> Variable | None:
        if self._redrawing is None or self.made.hull is None:
            return None
        rate, rise = self._redrawing
        least, most = redrawing_room(self.made.faces, rate)
        now = self.made.hull.mean_wall_mm
        low, high = max(now + rise * least, min(LEAST_WALL_MM, now)), now + rise * most
        if not np.isfinite(low + high) or high - low < 0.5:
            return None
        return Variable(WALLS, "how high all its walls stand", "mm", low, high, now)

    def _with_walls(self, height_mm: float) -> Pattern | None:
        if self._redrawing is None or self.made.hull is None:
            return None
        rate, rise = self._redrawing
        by = (height_mm - self.made.hull.mean_wall_mm) / rise
        if abs(by) < 1e-9:
            return self.made.pattern
        return redrawn(self.made.pattern, self.made.faces, rate, by)
