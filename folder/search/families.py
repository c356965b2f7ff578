"""Better hulls: the parameters of a family that score most.

words       parameters that are words or counts: each combination of them is a space of its own
start       the family as it is, its ready patterns, and the best of a first spread over the ranges of each space
climb       from the best two starts on, each by itself: on several cores at a time, with the same result
"""

from __future__ import annotations

import math
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import suppress
from itertools import islice, product

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from folder.errors import BadRequest
from folder.pattern.families.catalogue import find_family, make
from folder.pattern.families.parameter import Family, Value
from folder.pattern.file import read_pattern, ready_patterns
from folder.pattern.pattern import Sheet
from folder.search.ascent.corrected import Sample
from folder.search.family.climbs import Climb, FirstLook, KnownDesign
from folder.search.family.designs import DesignPoint, Designs, DesignSpace
from folder.search.family.neighbours import in_whole, limits_at
from folder.search.family.workers import Workers
from folder.search.objective import Limits, Objective
from folder.studies import study

_STARTS = 2
"""Climbs, from the best starts that lie apart."""
_LAST = {"brim": 1, "likely": 1, "count": 2}
"""So many of them are gone on with to the last digit; a count has steps, which hide what lies behind them."""
_PLAIN = 2
"""In a space of so few numbers the first spread has shown where the top is: it is climbed once."""
_APART = 0.15
"""Two starts of one space differ by so much of some number's range."""

_MOST_LOOKED_AT, _MOST_COMBINATIONS = 64, 2
"""Combinations of words that are looked at, and how many of them are searched even if no start has them."""

_LONG_S = 0.02
"""Where a look takes longer in the mean, other processes pay: each needs half a second to begin."""

Progress = Callable[[int, DesignPoint], None]
"""Called with how many designs were tried and the best so far whenever there is a better one. It may raise Stopped; Ctrl-C does the
same at any moment."""


class Stopped(Exception):
    """Raised by who watches the progress: the search ends with the best so far."""


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
    processes: int = 1,
) -> Improvement:
    """The parameters of a family that score most, those in `keep` held fast.

    It never ends below the start, nor below a ready pattern of the family. With more `processes`, where they pay, the same is
    found sooner; they are started afresh, so a script that asks for them keeps its own doings under `if __name__ ==
    "__main__"`. BadRequest when no setting makes a hull.
    """
    designs = Designs(find_family(family).name, sheet or Sheet(), objective or Objective())
    search = _Search(designs, keep or {}, progress)
    best = search.searched(start, processes)
    studied = best and search.checked(best)
    if best is not None and studied is None:  # what the quick score does not see is in its way
        search = _Search(replace(designs, is_careful=True), keep or {}, progress, search.tried)
        best = studied = search.searched(start, processes)
    if best is None:
        if designs.objective.limits != Limits():
            raise BadRequest(
                "no hull of this family was found within these limits", where=family, remedy="Give wider ones, or another family"
            )
        raise BadRequest("no setting of this family makes a hull on this sheet", where=family, remedy="Keep fewer parameters")
    whole = search.in_whole(best)
    if whole is not None and (designs.objective.limits.whole_mm or whole.score > best.score):
        best, studied = whole, search.checked(whole)
    best = studied or best
    whole = whole and (best if whole.values == best.values else search.checked(whole))
    return Improvement(family, best, search.first, search.tried, whole, search.limits_at(best))


class _Search:
    """One search: what is free, what was tried, the best so far."""

    def __init__(self, designs: Designs, keep: Mapping[str, object], progress: Progress | None = None, tried: int = 0) -> None:
        self.designs, self.keep, self.progress, self.tried = designs, keep, progress, tried
        self.family: Family = designs.kind
        self.base = self.family.values({**self.family.usual(designs.sheet), **keep})
        self.words = [p for p in self.family.parameters if p.name not in keep and (p.choices or p.whole)]
        self.is_stopped = False
        self.best: DesignPoint | None = None
        self.first: DesignPoint | None = None
        self.found: list[tuple[DesignSpace, tuple[Sample, ...]]] = []

    def searched(self, start: Mapping[str, Value] | None, processes: int) -> DesignPoint | None:
        """The best of all combinations of words, or the best so far when the search is stopped."""
        try:
            began = time.perf_counter()
            values = [self.family.filled(self.designs.sheet, {**self.base, **(start or {})})]
            values += [each for each in self._ready() if each not in values]
            scored = [self._evaluated(each) for each in values]
            self.first = scored[0] and scored[0][0]
            is_long = time.perf_counter() - began > _LONG_S * len(values)
            with Workers(processes if is_long else 1, self.tally) as workers:
                self._climb(workers, [each for each in scored if each is not None])
        except (Stopped, KeyboardInterrupt):
            if self.best is None:
                raise
            self.is_stopped = True
        return self.best

    def tally(self, more: int, point: DesignPoint | None) -> None:
        """Count so many designs more, one of them perhaps better than all."""
        self.tried += more
        if point is not None and (self.best is None or point.score > self.best.score):
            self.best = point
            if self.progress is not None:
                self.progress(self.tried, point)

    def checked(self, point: DesignPoint) -> DesignPoint | None:
        """The design with its score by a whole study; None where something stops it."""
        designs = self.designs
        try:
            trip = study(make(designs.family, point.values, sheet=designs.sheet), hand=designs.objective.hand)
        except BadRequest:
            return None
        score = designs.objective.score_of(trip)
        return None if score is None else DesignPoint(point.values, score)

    def in_whole(self, best: DesignPoint) -> DesignPoint | None:
        """The best in whole numbers; none after a search that was stopped, unless it is asked for."""
        if self.is_stopped and not self.designs.objective.limits.whole_mm:
            return None
        words = [p.name for p in self.words]
        samples = [s for space, found in self.found for s in found if all(space.base[w] == best.values[w] for w in words)]
        with suppress(KeyboardInterrupt):
            return in_whole(self._about(best), best, samples)
        return None

    def limits_at(self, best: DesignPoint) -> tuple[str, ...]:
        """What holds the best back; after a search that was stopped it is something else."""
        return () if self.is_stopped else tuple(limits_at(self._about(best), best.values))

    def _about(self, best: DesignPoint) -> DesignSpace:
        return DesignSpace(self.designs, best.values, frozenset(self.keep))

    def _climb(self, workers: Workers, known: Sequence[KnownDesign]) -> None:
        """First looks over all spaces, then climbs from the best starts."""
        spreads = self._spreads(known)
        self.found = list(zip((s.space for s in spreads), workers.results(spreads), strict=True))
        for count, is_last in ((_STARTS, False), (_LAST[self.designs.objective.aim], True)):
            climbs = [(k, Climb(*self.found[k], start, is_last)) for k, start in self._starts()[:count]]
            for (k, climb), samples in zip(climbs, workers.results([climb for _, climb in climbs]), strict=True):
                space, before = self.found[k]
                self.found[k] = space, (*before, *samples[len(climb.samples) :])

    def _starts(self) -> list[tuple[int, Sample]]:
        """The best samples that lie apart, with the number of their space."""
        ranked = sorted(((-sample.fine, k, n) for k, (_, samples) in enumerate(self.found) for n, sample in enumerate(samples)))
        starts: list[tuple[int, Sample]] = []
        for _, k, n in ranked:
            sample = self.found[k][1][n]
            near = [other for j, other in starts if j == k]
            if not near or (
                len(sample.place) > _PLAIN and all(np.abs(other.place - sample.place).max(initial=0.0) > _APART for other in near)
            ):
                starts.append((k, sample))
            if len(starts) == _STARTS:
                break
        return starts

    def _ready(self) -> Iterator[dict[str, Value]]:
        """The values of the family's ready patterns on such a sheet."""
        sheet = self.designs.sheet
        for path in ready_patterns().values():
            pattern = read_pattern(path)
            same_sheet = (pattern.sheet.width_mm, pattern.sheet.height_mm) == (sheet.width_mm, sheet.height_mm)
            if pattern.family is not None and pattern.family.name == self.family.name and same_sheet:
                values = {**self.family.values(pattern.family.parameters), **{name: self.base[name] for name in self.keep}}
                yield self.family.filled(sheet, values)

    def _spreads(self, known: Sequence[KnownDesign]) -> list[FirstLook]:
        """A spread for each combination of words that some start has, and for the best others, by one look at each."""
        ways: list[tuple[Value, ...]] = [p.choices or tuple(map(float, range(int(p.low), int(p.high) + 1))) for p in self.words]
        found: list[tuple[float, FirstLook]] = []
        for choice in islice(product(*ways), _MOST_LOOKED_AT):
            words = dict(zip((p.name for p in self.words), choice, strict=True))
            own = [each for each in known if all(each[0].values[name] == word for name, word in words.items())]
            values = self.family.filled(self.designs.sheet, {**self.base, **words})
            if self.words and values not in [point.values for point, _ in own]:
                first = self._evaluated(values)
                own = [*([first] if first is not None else []), *own]
            best = max((fine for point, fine in own if point.values == values), default=-math.inf)
            found.append((-best, FirstLook(DesignSpace(self.designs, values, frozenset(self.keep)), tuple(own))))
        found.sort(key=lambda each: each[0])
        starts = [point.values for point, _ in known]
        return [
            spread
            for k, (_, spread) in enumerate(found)
            if k < _MOST_COMBINATIONS or any(point.values in starts for point, _ in spread.known)
        ]

    def _evaluated(self, values: Mapping[str, Value]) -> KnownDesign | None:
        """What one design scores; None where it is none."""
        found = self.designs.fine(values)
        self.tally(1, None if found is None else found[0])
        return found
