"""What lies beside the best: the best in whole numbers, and what is in the way of more."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from itertools import product

from folder.errors import BadRequest
from folder.pattern.families.catalogue import make
from folder.pattern.families.parameter import Value
from folder.search.ascent.corrected import Sample, factors
from folder.search.family.designs import DesignPoint, DesignSpace

_ALL_WAYS = 5
"""So many numbers are rounded in all ways."""

_LOOKED_AT = 3
"""Of a few whole designs so many are looked at in full, those first from which most is expected."""

_NEAR = 0.3
"""A design that is refused when a number is moved on by so much (mm or deg) has run into a limit."""


def in_whole(space: DesignSpace, best: DesignPoint, samples: Sequence[Sample]) -> DesignPoint | None:
    """The best with whole numbers: all ways of rounding of a few, then one step on or back as long as that is better."""
    free = [p.name for p in space.free]
    both = [sample for sample in samples if not math.isnan(sample.rough)]
    exact = space.designs.is_rough_enough or not both
    factor = None if exact else factors(both, max(both, key=lambda sample: sample.fine))
    tried: set[tuple[float, ...]] = set()

    def likeliest(ways: Sequence[tuple[float, ...]]) -> list[DesignPoint]:
        """Those of some ways that score most, or are expected to."""
        expected = []
        for way in ways:
            if way in tried:
                continue
            tried.add(way)
            values = {**best.values, **dict(zip(free, way, strict=True))}
            rough = space.designs.rough(values)
            if rough is not None:
                expected.append((-rough if factor is None else -rough * factor(space.place(values)), way, values))
        expected.sort(key=lambda each: each[:2])
        if space.designs.is_rough_enough:
            return [DesignPoint(values, -score) for score, _, values in expected[:1]]
        found = [space.designs.fine(values) for _, _, values in expected[:_LOOKED_AT]]
        return [each[0] for each in found if each is not None]

    start = [float(best.values[name]) for name in free]
    ways = product(*((float(math.floor(v)), float(math.ceil(v))) for v in start))
    points = likeliest(list(ways) if len(free) <= _ALL_WAYS else [tuple(float(round(v)) for v in start)])
    whole = max(points, key=_score, default=None)
    while whole is not None:
        at = [float(whole.values[name]) for name in free]
        steps = [tuple(v + by * (k == j) for j, v in enumerate(at)) for k in range(len(at)) for by in (1.0, -1.0)]
        nearer = max(likeliest(steps), key=_score, default=None)
        if nearer is None or nearer.score <= whole.score:
            break
        whole = nearer
    return whole


def limits_at(space: DesignSpace, best: Mapping[str, Value]) -> list[str]:
    """What one meets a little way on from a design, whichever number is moved."""
    found: dict[str, None] = {}
    designs = space.designs
    for parameter in space.free:
        for by in (_NEAR, -_NEAR):
            values = {**best, parameter.name: float(best[parameter.name]) + by}
            try:
                pattern = make(designs.family, values, sheet=designs.sheet)
            except BadRequest as refusal:
                low, high, unit = parameter.low, parameter.high, parameter.unit
                bound = f"{low:g} {unit} at least" if by < 0.0 else f"{high:g} {unit} at most"
                is_range = refusal.what == "the number is out of range"
                found[f"{parameter.name} of {bound}" if is_range else refusal.what] = None
                continue
            found.update(dict.fromkeys(designs.objective.broken(pattern)))
    return list(found)


def _score(point: DesignPoint) -> float:
    return point.score
