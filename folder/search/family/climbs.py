"""The parts of a search that need nothing of each other, so that each may be done by a process of its own.

FirstLook   what is known of a space of designs, and the first look all over it
Climb       from one of these on to the top near it
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import partial

import numpy as np
from msgspec import Struct

from folder.geometry.space import Floats
from folder.search.ascent.bracket import highest_between
from folder.search.ascent.corrected import Sample, climb
from folder.search.ascent.simplex import evenly_spread, nelder_mead
from folder.search.family.designs import DesignPoint, DesignSpace, Observer

_SPREAD = 5
"""Places of the first spread for each free number."""
_FEW = 5
"""So many numbers are spread over."""

_LOOKED_AT = 4
"""Of them so many, the roughly best, are looked at in full."""

_WIDTH = 0.08
"""How far the first simplex reaches, as a part of each range."""

_VALUES = 100
"""Values a search from one start asks for, for each free number and one more."""

_COARSE = 3e-4
"""Searches rest when they differ by this part; the best of them goes on."""

_REACH, _TRIED = 0.15, 3
"""Where nothing that is known keeps the limits: how far the simplex reaches that looks for what does, and from how many starts."""

_NEAR = 5e-4
"""One free number is found so near, as a part of its range."""
_LIKELY, _COUNT = 20, 8
"""Likely loads, or counts, that the last climb asks for, for each free number and one more."""

KnownDesign = tuple[DesignPoint, float]
"""A design that was looked at already, and its fine value."""


class FirstLook(Struct, frozen=True, eq=False):
    """What is known of a space, with the first look over it."""

    space: DesignSpace
    known: tuple[KnownDesign, ...] = ()

    def run(self, observe: Observer) -> tuple[Sample, ...]:
        """Samples, the ready ones first."""
        space = self.space
        rough = partial(space.rough, observe=observe)
        is_brim, d = space.designs.is_rough_enough, len(space.free)
        samples = []
        for point, fine in self.known:
            place = space.place(point.values)
            at = fine if is_brim else rough(place)
            samples += [Sample(place, at, fine)] if at > -math.inf else []
        places = list(evenly_spread(_SPREAD * d, d)) if 0 < d <= _FEW else []
        found = sorted(((at, -k) for k, place in enumerate(places) if (at := rough(place)) > -math.inf), reverse=True)
        if not found and not samples:
            starts = [space.place(space.base), *(space.place(point.values) for point, _ in self.known), *places]
            inside = self._within_limits(starts, observe) if d else None
            places, found = ([inside], [(rough(inside), 0)]) if inside is not None else ([], [])
        spread = [(places[-k], at) for at, k in found]
        if is_brim:
            return (*samples, *(Sample(place, at, at) for place, at in spread))
        looked = (space.sample(place, at, observe) for place, at in spread[:_LOOKED_AT])
        return (*samples, *(sample for sample in looked if sample is not None))

    def _within_limits(self, starts: Sequence[Floats], observe: Observer) -> Floats | None:
        """A place within the limits: from the starts that pass them least down to where nothing is passed."""

        def value(place: Floats) -> float:
            over = self.space.excess_mm(place, observe)
            if over == 0.0:
                raise _Inside(place)
            return -over

        d = len(self.space.free)
        try:
            ranked = sorted((-value(place), k) for k, place in enumerate(starts))
            for over, k in ranked[:_TRIED]:
                if over < math.inf:
                    nelder_mead(value, starts[k], np.full(d, _REACH), most=_VALUES * (d + 1), relative=_COARSE, at_start=-over)
        except _Inside as found:
            return found.place
        return None


class _Inside(Exception):
    """A place at which nothing is passed: there is no need to go on."""

    def __init__(self, place: Floats) -> None:
        super().__init__()
        self.place = place


class Climb(Struct, frozen=True, eq=False):
    """From one sample of a space to the top near it: roughly and coarsely first, then the best once more to the last digit."""

    space: DesignSpace
    samples: tuple[Sample, ...]
    start: Sample
    is_last: bool = False

    def run(self, observe: Observer) -> tuple[Sample, ...]:
        """All samples, those met on the way last."""
        space, start, d = self.space, self.start, len(self.start.place)
        designs, rough = space.designs, partial(space.rough, observe=observe)
        resolution = designs.objective.resolution
        if d < 2:
            return self._between(observe) if d and not self.is_last else self.samples
        if self.is_last and designs.objective.aim == "count":
            fine = partial(space.sample, observe=observe)
            return climb(rough, fine, self.samples, start, most=_COUNT * (d + 1), relative=resolution)
        if self.is_last and not designs.is_rough_enough:
            return self._by_fine_values(observe)
        width, relative = (_WIDTH / 4.0, resolution) if self.is_last else (_WIDTH, _COARSE)
        place, value = nelder_mead(
            rough, start.place, np.full(d, width), most=_VALUES * (d + 1), relative=relative, at_start=start.rough
        )
        sample = Sample(place, value, value) if designs.is_rough_enough else space.sample(place, value, observe)
        return self.samples if sample is None else (*self.samples, sample)

    def _by_fine_values(self, observe: Observer) -> tuple[Sample, ...]:
        """Asked for themselves: what many builds carry has small kinks that no model of them knows."""
        space, found, d = self.space, list(self.samples), len(self.start.place)

        def value(place: Floats) -> float:
            sample = space.sample(place, math.nan, observe)
            if sample is None:
                return -math.inf
            found.append(sample)
            return sample.fine

        most, resolution = _LIKELY * (d + 1), space.designs.objective.resolution
        nelder_mead(value, self.start.place, np.full(d, _WIDTH / 3.0), most=most, relative=resolution, at_start=self.start.fine)
        return tuple(found)

    def _between(self, observe: Observer) -> tuple[Sample, ...]:
        """One free number: between the samples on both sides."""
        space, x, found = self.space, float(self.start.place[0]), list(self.samples)

        def value(at: float) -> float:
            place = np.array([at])
            if space.designs.is_rough_enough:
                rough = space.rough(place, observe)
                sample = Sample(place, rough, rough) if rough > -math.inf else None
            else:
                sample = space.sample(place, math.nan, observe)
            if sample is None:
                return -math.inf
            found.append(sample)
            return sample.fine

        others = [float(sample.place[0]) for sample in self.samples]
        low, high = max((o for o in others if o < x), default=0.0), min((o for o in others if o > x), default=1.0)
        highest_between(value, low, high, (x, self.start.fine), within=_NEAR)
        return tuple(found)
