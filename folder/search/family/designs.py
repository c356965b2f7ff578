"""The designs of a family as places: what each one scores, quickly and in full.

design   a set of parameters and what it scores
space    the free numbers of designs that are alike in all else, as parts of their ranges, (d,)
rough    what is like it and quick: the load of a middling build; a brim load itself, in closed form where that is enough
fine     what is asked for: it may take fifty times as long
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from contextlib import suppress

import numpy as np
from msgspec import Struct

from folder.errors import BadRequest
from folder.geometry.space import Floats
from folder.pattern.families.catalogue import find_family, make
from folder.pattern.families.parameter import Family, Parameter, Value
from folder.pattern.pattern import Sheet
from folder.search.ascent.corrected import Sample
from folder.search.objective import Objective
from folder.studies import study


class DesignPoint(Struct, frozen=True):
    """One set of parameters and what it scores."""

    values: Mapping[str, Value]
    score: float


Observer = Callable[[DesignPoint | None], None]
"""Called with every design that was looked at, once it has its score in full; with None for any other."""


class Designs(Struct, frozen=True):
    """Where designs of one family and sheet are looked at."""

    family: str
    sheet: Sheet
    objective: Objective
    is_careful: bool = False
    """Every design is studied whole."""

    @property
    def kind(self) -> Family:
        """The family."""
        return find_family(self.family)

    @property
    def is_rough_enough(self) -> bool:
        """What is rough is what is asked for."""
        return self.objective.aim == "brim"

    def rough(self, values: Mapping[str, Value]) -> float | None:
        """The rough value of a design, g; None where it is none."""
        objective, sheet = self.objective, self.sheet
        try:
            if self.is_careful and self.is_rough_enough:
                return objective.score_of(study(make(self.family, values, sheet=sheet), hand=objective.hand))
            if self.kind.volume is not None and objective.needs_volume_alone:
                return objective.score_of_volume(self.kind.volume(sheet, self.kind.values(values)), sheet)
            found = objective.rough(make(self.family, values, sheet=sheet))
        except BadRequest:
            return None
        return found if found is not None and found > 0.0 else None

    def fine(self, values: Mapping[str, Value]) -> tuple[DesignPoint, float] | None:
        """A design with its score, and the same without steps: of a count what many builds hold in the mean."""
        objective, sheet = self.objective, self.sheet
        if self.is_rough_enough:
            load_g = self.rough(values)
            return None if load_g is None else (DesignPoint(values, load_g), load_g)
        try:
            pattern = make(self.family, values, sheet=sheet)
            is_quick = not self.is_careful
            score = objective.score(pattern) if is_quick else objective.score_of(study(pattern, hand=objective.hand))
        except BadRequest:
            return None
        return None if score is None else (DesignPoint(values, score), objective.smooth(score))


class DesignSpace(Struct, frozen=True, dict=True):
    """The free numbers of designs as parts of their ranges; all else is as in `base`."""

    designs: Designs
    base: Mapping[str, Value]
    keep: frozenset[str] = frozenset()

    @property
    def free(self) -> list[Parameter]:
        """The numbers that may change; one that is 0 because this design has no such part stays so."""
        numbers = [
            p for p in self.designs.kind.parameters if p.name not in self.keep and not isinstance(p.default, str) and not p.whole
        ]
        return [p for p in numbers if self.base[p.name] or p.default]

    def values(self, place: Floats) -> dict[str, Value]:
        """The parameters at a place (d,), each kept within its range."""
        found = dict(self.base)
        for parameter, part in zip(self.free, np.clip(place, 0.0, 1.0).tolist(), strict=True):
            low, high = self._range(parameter)
            found[parameter.name] = low + part * (high - low)
        return found

    def place(self, values: Mapping[str, Value]) -> Floats:
        """(d,) where a set of values lies."""
        free = self.free
        ranges = [self._range(p) for p in free]
        return np.array([(float(values[p.name]) - low) / (high - low) for p, (low, high) in zip(free, ranges, strict=True)])

    def rough(self, place: Floats, observe: Observer) -> float:
        """The rough value at a place; -inf where no design is."""
        values = self.values(place)
        found = self.designs.rough(values)
        observe(DesignPoint(values, found) if found is not None and self.designs.is_rough_enough else None)
        return -math.inf if found is None else found

    def excess_mm(self, place: Floats, observe: Observer) -> float:
        """By how much the design at a place passes the limits, mm; inf where no design is."""
        designs, over = self.designs, None
        with suppress(BadRequest):
            over = designs.objective.excess_mm(make(designs.family, self.values(place), sheet=designs.sheet))
        observe(None)
        return math.inf if over is None else over

    def sample(self, place: Floats, rough: float, observe: Observer) -> Sample | None:
        """The place with its fine value."""
        found = self.designs.fine(self.values(place))
        observe(None if found is None else found[0])
        return None if found is None else Sample(place, rough, found[1])

    def _range(self, parameter: Parameter) -> tuple[float, float]:
        half = max(self.designs.sheet.width_mm, self.designs.sheet.height_mm) / 2.0
        return parameter.low, parameter.high if parameter.unit != "mm" else min(parameter.high, half)
