"""What makes one hull better than another, and what a coach or an event allows.

objective   brim: the brim load; likely: what a build by some hands carries; count: how many of an object it takes
limits      what no design may pass: they are looked at before anything that takes long
"""

from __future__ import annotations

import math
from typing import Literal

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from folder.cargo.item import Item
from folder.cargo.predict import predict
from folder.cargo.vessel import vessel_of
from folder.event.check import rule_findings
from folder.event.rules import Rules
from folder.fold.place import folded
from folder.hull.footprint import outline_of, over_by_mm
from folder.hull.hull import Hull, hull_of
from folder.hull.weight import foil_mass_g
from folder.pattern.faces.faces import faces_of
from folder.pattern.pattern import Pattern, Sheet
from folder.pattern.planar import close_parallels
from folder.studies import Study
from folder.water.brim_load import brim_load
from folder.water.fluid import Water
from folder.water.working_load import WorkingLoad, middling_load, working_load

Aim = Literal["brim", "likely", "count"]

_MEAN = 1e6
"""What many builds hold in the mean stands behind a count's point as a part of this; no hull holds as many."""
_MEASURED, _NO_MEASURE_MM = ("over-footprint", "over-wall"), 10.0
"""Rules of an event that are broken by so many mm; how much any other counts."""


class Limits(Struct, frozen=True):
    """What a coach asks of a design. What is None is not limited."""

    wall_most_mm: float | None = None
    floor_least_mm2: float | None = None
    fold_least_mm: float | None = None
    """The narrowest strip between two parallel folds that a child can make."""
    whole_mm: bool = False
    """Only whole millimetres and degrees."""
    rules: Rules | None = None
    """Of an event."""

    @property
    def are_none(self) -> bool:
        """Nothing of a hull is limited, only that its numbers be whole if that is asked."""
        return replace(self, whole_mm=False) == Limits()

    def broken(self, pattern: Pattern, hull: Hull) -> list[str]:
        """Which of them a folded hull passes, in words."""
        found = []
        if self.wall_most_mm is not None and float(hull.wall_heights.max(initial=0.0)) > self.wall_most_mm + 1e-6:
            found.append(f"walls of {self.wall_most_mm:g} mm at most")
        if self.floor_least_mm2 is not None and hull.cover.area_mm2 < self.floor_least_mm2 - 1e-6:
            found.append(f"a floor of {self.floor_least_mm2 / 100.0:g} cm2 at least")
        if self.fold_least_mm is not None and narrowest_mm(pattern, self.fold_least_mm) < self.fold_least_mm - 1e-6:
            found.append(f"folds {self.fold_least_mm:g} mm apart at least")
        if self.rules is not None:
            found += [f"the event's rule {finding.code}" for finding in rule_findings(self.rules, pattern, hull)]
        return found

    def excess_mm(self, pattern: Pattern, hull: Hull) -> float:
        """By how much a folded hull passes them, all in all, mm: 0 where it keeps them. A floor counts by the side of its square."""
        over = []
        highest = float(hull.wall_heights.max(initial=0.0))
        if self.wall_most_mm is not None:
            over.append(highest - self.wall_most_mm)
        if self.floor_least_mm2 is not None:
            over.append(math.sqrt(self.floor_least_mm2) - math.sqrt(hull.cover.area_mm2))
        if self.fold_least_mm is not None:
            over.append(self.fold_least_mm - narrowest_mm(pattern, self.fold_least_mm))
        rules = self.rules
        if rules is not None:
            over += [highest - rules.wall_most_mm] if rules.wall_most_mm is not None else []
            over += [over_by_mm(outline_of(hull), rules.footprint_mm)] if rules.footprint_mm is not None else []
            over += [_NO_MEASURE_MM for each in rule_findings(rules, pattern, hull) if each.code not in _MEASURED]
        return sum(mm for mm in over if mm > 0.0) if self.broken(pattern, hull) else 0.0


class Objective(Struct, frozen=True):
    """What is to be large."""

    aim: Aim = "brim"
    item: Item | None = None
    """For a count: of what."""
    hand: str = "usual"
    limits: Limits = Limits()

    @property
    def resolution(self) -> float:
        """Scores nearer than this part are alike: what hands make of a hull is known from some thousand draws, not to six digits."""
        return {"brim": 1e-6, "likely": 2e-5, "count": 5e-4}[self.aim]

    @property
    def needs_volume_alone(self) -> bool:
        """What a family knows in closed form is enough."""
        return self.aim == "brim" and self.limits.are_none

    def score_of_volume(self, volume_mm3: float, sheet: Sheet) -> float:
        """The brim load, g, of a hull that holds so much up to its rim."""
        return Water.of().density_g_per_mm3 * volume_mm3 - foil_mass_g(sheet.width_mm * sheet.height_mm, sheet.thickness_um)

    def score(self, pattern: Pattern) -> float | None:
        """Grams; or objects, with a millionth of what many builds hold in the mean behind the point.

        None where the pattern is no hull or passes a limit. Only what the score needs is worked out: of a pattern that a
        family made it is known that it folds.
        """
        hull = self._within(pattern)
        if hull is None:
            return None
        water = Water.of()
        top = brim_load(hull.skin, hull.weight, water)
        if self.aim == "brim":
            return top.load_g
        return self._carried(hull, water, working_load(hull.skin, hull.weight, water, self.hand, top=top))

    def rough(self, pattern: Pattern) -> float | None:
        """The brim load, g, if that is what is asked for, else what a middling build carries."""
        hull = self._within(pattern)
        if hull is None:
            return None
        water = Water.of()
        top = brim_load(hull.skin, hull.weight, water)
        return top.load_g if self.aim == "brim" else middling_load(hull.skin, hull.weight, water, self.hand, top)

    def smooth(self, score: float) -> float:
        """A score without the steps of whole objects: what many builds hold in the mean."""
        return score % 1.0 * _MEAN if self.aim == "count" else score

    def excess_mm(self, pattern: Pattern) -> float | None:
        """By how much a pattern passes the limits, all in all, mm; None where it is no hull."""
        hull = _hull_of(pattern)
        return None if hull is None else self.limits.excess_mm(pattern, hull)

    def _within(self, pattern: Pattern) -> Hull | None:
        """The hull that a pattern folds to; None where it is none or passes a limit."""
        hull = _hull_of(pattern)
        return None if hull is None or self.limits.broken(pattern, hull) else hull

    def broken(self, pattern: Pattern) -> list[str]:
        """Which limits a pattern passes, in words; it is folded only where there are any."""
        if self.limits.are_none:
            return []
        hull = hull_of(folded(faces_of(pattern)), pattern.sheet.thickness_um)
        return self.limits.broken(pattern, hull) if hull is not None else []

    def score_of(self, trip: Study) -> float | None:
        """The same of a study that is there; None where something stops the pattern."""
        if trip.report.stops or trip.brim is None or trip.hull is None or self.limits.broken(trip.pattern, trip.hull):
            return None
        if self.aim == "brim":
            return trip.brim.load_g
        return None if trip.working is None else self._carried(trip.hull, trip.water, trip.working)

    def _carried(self, hull: Hull, water: Water, working: WorkingLoad) -> float:
        """What the hands make of a hull: grams, or objects."""
        if self.aim == "likely" or self.item is None:
            return working.likely_g
        held = predict(vessel_of(hull, water, working), self.item, rounds=0)
        return held.count + float(held.counts.mean()) / _MEAN


def _hull_of(pattern: Pattern) -> Hull | None:
    """The hull that a pattern folds to; None where it is none, or one without a rim."""
    hull = hull_of(folded(faces_of(pattern)), pattern.sheet.thickness_um)
    return hull if hull is not None and 0.0 < hull.rim_height_mm < math.inf else None


def narrowest_mm(pattern: Pattern, below_mm: float) -> float:
    """The narrowest strip between two parallel folds, or a fold and the sheet's edge, mm, where it is below so much; else that."""
    width, height = pattern.sheet.width_mm, pattern.sheet.height_mm
    corners = ((0.0, 0.0), (width, 0.0), (width, height), (0.0, height))
    edges = list(zip(corners, (*corners[1:], corners[0]), strict=True))
    ends = np.array([*((c.start, c.end) for c in pattern.creases if c.sense != "guide"), *edges])
    return min((gap for _, _, gap in zip(*close_parallels(ends, below_mm), strict=True)), default=below_mm)
