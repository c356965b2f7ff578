"""Better hulls: the parameters of a family that score most.

place       the free numbers of a design as parts of their ranges, (d,)
words       parameters that are words or counts: each combination of them is searched by itself
start       the family as it is, its ready patterns, and the best of a first spread over the ranges
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from itertools import islice, product

import numpy as np
from msgspec import Struct

from folder.errors import BadRequest
from folder.geometry.space import Floats
from folder.pattern.families.catalogue import find_family, make
from folder.pattern.families.parameter import Family, Parameter, Value
from folder.pattern.file import read_pattern, ready_patterns
from folder.pattern.pattern import Sheet
from folder.search.objective import Limits, Objective
from folder.search.simplex import evenly_spread, maximised
from folder.studies import study

_SPREAD = 5
"""Places of the first spread for each free number."""

_WIDTH = 0.08
"""How far the first simplex reaches, as a part of each range."""

_STARTS = 2
"""Searches for each combination of words, from its best starts."""

_VALUES = 100
"""Values a search from one start asks for, for each free number and one more."""

_COARSE = 3e-4
"""Searches rest when they differ by this part; the best of them goes on."""

_MOST_LOOKED_AT, _MOST_COMBINATIONS = 64, 2
"""Combinations of words that are looked at, and how many of them are searched even if no start has them."""
_FEW = 5
"""So many numbers are spread over, and rounded in all ways."""

_PARTS = (0.85, 0.7, 0.5, 0.3)
"""Of the lengths of what is known: where a search begins if no start keeps the limits."""

_NEAR = 0.3
"""A design that is refused when a number is moved on by so much (mm or deg) has run into a limit."""

Progress = Callable[[int, "DesignPoint"], None]
"""Told how many designs were tried and the best so far, whenever there is a better one. It may raise Stopped; Ctrl-C does the
same at any moment."""


class Stopped(Exception):
    """Raised by who watches the progress: the search ends with the best so far."""


class DesignPoint(Struct, frozen=True):
    """One set of parameters and what it scores."""

    values: Mapping[str, Value]
    score: float


class Improvement(Struct, frozen=True):
    """The best parameters found, where the search began, and how many designs it tried."""

    family: str
    best: DesignPoint
    start: DesignPoint | None
    tried: int
    whole: DesignPoint | None = None
    """The best in whole millimetres and degrees."""
    at_limit: tuple[str, ...] = ()
    """What keeps the best from being better."""


def improve(
    family: str,
    keep: Mapping[str, object] | None = None,
    *,
    sheet: Sheet | None = None,
    objective: Objective | None = None,
    start: Mapping[str, Value] | None = None,
    progress: Progress | None = None,
) -> Improvement:
    """The parameters of a family that score most, those in `keep` held fast.

    It never ends below the start, nor below a ready pattern of the family. BadRequest when no setting makes a hull.
    """
    search = _Search(find_family(family), dict(keep or {}), sheet or Sheet(), objective or Objective(), progress)
    best = search.searched(start)
    studied = best and search.checked(best)
    if best is not None and studied is None:  # what the quick score does not see is in its way
        search.is_careful, search.best = True, None
        best = studied = search.searched(start)
    if best is None:
        if search.objective.limits != Limits():
            raise BadRequest(
                "no hull of this family was found within these limits", where=family, remedy="Give wider ones, or another family"
            )
        raise BadRequest("no setting of this family makes a hull on this sheet", where=family, remedy="Keep fewer parameters")
    tried, search.progress = search.tried, None
    whole = search.in_whole(best)
    if search.objective.limits.whole_mm and whole is not None:
        best, studied = whole, search.checked(whole)
    best = studied or best
    whole = whole and (best if whole.values == best.values else search.checked(whole))
    return Improvement(family, best, search.first, tried, whole, tuple(search.limits_at(best)))


class _Search:
    """One search: what is free, what was tried, the best so far."""

    def __init__(
        self, family: Family, keep: dict[str, object], sheet: Sheet, objective: Objective, progress: Progress | None
    ) -> None:
        self.family, self.keep, self.sheet, self.objective, self.progress = family, keep, sheet, objective, progress
        self.base = family.values(keep)
        self.words = [p for p in family.parameters if p.name not in keep and (p.choices or p.whole)]
        self.tried = 0
        self.is_careful = False
        """Every design is studied whole."""
        self.is_stopped = False
        self.best: DesignPoint | None = None
        self.first: DesignPoint | None = None

    def searched(self, start: Mapping[str, Value] | None) -> DesignPoint | None:
        """The best of all combinations of words, or the best so far when the search is stopped."""
        try:
            self.first = self._looked_at(self.family.filled(self.sheet, {**self.base, **(start or {})}))
            starts = [point.values for point in map(self._looked_at, self._ready()) if point is not None]
            starts += [self.first.values] if self.first is not None else []
            for words, known in () if self.is_stopped else self._combinations(starts):
                self._search(words, known)
        except (Stopped, KeyboardInterrupt):
            if self.best is None:
                raise
            self.is_stopped = True
        return self.best

    def checked(self, point: DesignPoint) -> DesignPoint | None:
        """The design with its score by a whole study; None where something stops it."""
        try:
            trip = study(make(self.family.name, point.values, sheet=self.sheet), hand=self.objective.hand)
        except BadRequest:
            return None
        score = self.objective.score_of(trip)
        return None if score is None else DesignPoint(point.values, score)

    def _ready(self) -> Iterator[dict[str, Value]]:
        """The values of the family's ready patterns on such a sheet."""
        for path in ready_patterns().values():
            pattern = read_pattern(path)
            same_sheet = (pattern.sheet.width_mm, pattern.sheet.height_mm) == (self.sheet.width_mm, self.sheet.height_mm)
            if pattern.family is not None and pattern.family.name == self.family.name and same_sheet:
                values = {**self.family.values(pattern.family.parameters), **{name: self.base[name] for name in self.keep}}
                yield self.family.filled(self.sheet, values)

    def _combinations(self, starts: Sequence[Mapping[str, Value]]) -> list[tuple[dict[str, Value], list[Mapping[str, Value]]]]:
        """Combinations of words with the starts that have them; the best of them first, by one look at each."""
        ways: list[tuple[Value, ...]] = [p.choices or tuple(map(float, range(int(p.low), int(p.high) + 1))) for p in self.words]
        found: list[tuple[float, dict[str, Value], list[Mapping[str, Value]]]] = []
        for choice in islice(product(*ways), _MOST_LOOKED_AT):
            words = dict(zip((p.name for p in self.words), choice, strict=True))
            known = [values for values in starts if all(values[name] == word for name, word in words.items())]
            point = self._looked_at(self.family.filled(self.sheet, {**self.base, **words})) if self.words else None
            found.append((-math.inf if point is None else point.score, words, known))
        found.sort(key=lambda each: -each[0])
        kept = [each for k, each in enumerate(found) if k < _MOST_COMBINATIONS or each[2]]
        return [(words, known) for _, words, known in kept]

    def _search(self, words: Mapping[str, Value], known: Sequence[Mapping[str, Value]]) -> None:
        """From the best of what is known and, of few numbers, of a first spread."""
        base = self.family.filled(self.sheet, {**self.base, **words})
        space = _Space(self._free(base), self.sheet)

        def value(place: Floats) -> float:
            point = self._looked_at({**base, **space.numbers(place)})
            return -math.inf if point is None else point.score

        d = len(space.free)
        starts = [space.place(values) for values in (base, *known)]
        if d <= _FEW:
            starts += list(evenly_spread(_SPREAD * d, d))
        scored = sorted(((value(place), -k) for k, place in enumerate(starts)), reverse=True)
        if scored[0][0] == -math.inf:  # what is known passes a limit: the same with smaller parts may keep it
            starts = [space.place(_smaller(values, space.free, part)) for values in (base, *known) for part in _PARTS]
            scored = sorted(((value(place), -k) for k, place in enumerate(starts)), reverse=True)
        found = [
            maximised(value, starts[-k], np.full(d, _WIDTH), most=_VALUES * (d + 1), relative=_COARSE)
            for score, k in scored[:_STARTS]
            if d and score > -math.inf
        ]
        if found:
            best = max(found, key=lambda each: each[1])[0]
            maximised(value, best, np.full(d, _WIDTH / 4.0), most=_VALUES * (d + 1), relative=self.objective.resolution)

    def _score(self, values: Mapping[str, Value]) -> float | None:
        """What a design scores: in closed form where the family has one and that is enough."""
        objective, sheet = self.objective, self.sheet
        if self.is_careful:
            return objective.score_of(study(make(self.family.name, values, sheet=sheet), hand=objective.hand))
        if self.family.volume is not None and objective.needs_volume_alone:
            return objective.score_of_volume(self.family.volume(sheet, self.family.values(values)), sheet)
        return objective.score(make(self.family.name, values, sheet=sheet))

    def _free(self, values: Mapping[str, Value]) -> list[Parameter]:
        """The numbers that may change; one that is 0 because this design has no such part stays so."""
        numbers = [
            p for p in self.family.parameters if p.name not in self.keep and not isinstance(p.default, str) and not p.whole
        ]
        return [p for p in numbers if values[p.name] or p.default]

    def in_whole(self, best: DesignPoint) -> DesignPoint | None:
        """The best with whole numbers: all ways of rounding of a few, then one step on or back as long as that is better."""
        free = [p.name for p in self._free(best.values)]
        ways = [(math.floor(float(best.values[n])), math.ceil(float(best.values[n]))) for n in free]
        rounded = product(*ways) if len(free) <= _FEW else [tuple(round(float(best.values[n])) for n in free)]
        found = [
            self._looked_at({**best.values, **{n: float(v) for n, v in zip(free, values, strict=True)}}) for values in rounded
        ]
        whole = max((point for point in found if point is not None), key=lambda point: point.score, default=None)
        while whole is not None:
            steps = [{**whole.values, name: float(whole.values[name]) + by} for name in free for by in (1.0, -1.0)]
            near = [point for point in map(self._looked_at, steps) if point is not None and point.score > whole.score]
            if not near:
                break
            whole = max(near, key=lambda point: point.score)
        return whole

    def limits_at(self, best: DesignPoint) -> list[str]:
        """What one meets a little way on from the best, whichever number is moved."""
        found: dict[str, None] = {}
        for parameter in self._free(best.values):
            for by in (_NEAR, -_NEAR):
                values = {**best.values, parameter.name: float(best.values[parameter.name]) + by}
                try:
                    pattern = make(self.family.name, values, sheet=self.sheet)
                except BadRequest as refusal:
                    bound = (
                        f"{parameter.low:g} {parameter.unit} at least"
                        if by < 0.0
                        else f"{parameter.high:g} {parameter.unit} at most"
                    )
                    is_range = refusal.what == "the number is out of range"
                    found[f"{parameter.name} of {bound}" if is_range else refusal.what] = None
                    continue
                found.update(dict.fromkeys(self.objective.broken(pattern)))
        return list(found)

    def _looked_at(self, values: Mapping[str, Value]) -> DesignPoint | None:
        """What one design scores; None where it is none."""
        self.tried += 1
        try:
            score = self._score(values)
        except BadRequest:
            return None
        if score is None:
            return None
        point = DesignPoint(values, score)
        if self.best is None or score > self.best.score:
            self.best = point
            if self.progress is not None:
                self.progress(self.tried, point)
        return point


def _smaller(values: Mapping[str, Value], free: Sequence[Parameter], part: float) -> dict[str, Value]:
    """The values with all free lengths made smaller alike."""
    return {**values, **{p.name: part * float(values[p.name]) for p in free if p.unit == "mm"}}


class _Space(Struct, frozen=True):
    """The free numbers of a design as parts of their ranges."""

    free: list[Parameter]
    sheet: Sheet

    def _range(self, parameter: Parameter) -> tuple[float, float]:
        half = max(self.sheet.width_mm, self.sheet.height_mm) / 2.0
        return parameter.low, parameter.high if parameter.unit != "mm" else min(parameter.high, half)

    def numbers(self, place: Floats) -> dict[str, Value]:
        """The numbers at a place (d,), each kept within its range."""
        found: dict[str, Value] = {}
        for parameter, part in zip(self.free, np.clip(place, 0.0, 1.0).tolist(), strict=True):
            low, high = self._range(parameter)
            found[parameter.name] = low + part * (high - low)
        return found

    def place(self, values: Mapping[str, Value]) -> Floats:
        """(d,) where a set of values lies."""
        ranges = [self._range(p) for p in self.free]
        return np.array([(float(values[p.name]) - low) / (high - low) for p, (low, high) in zip(self.free, ranges, strict=True)])
