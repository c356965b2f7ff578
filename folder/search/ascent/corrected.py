"""The largest value of a function that takes long, climbed by one that is quick and much like it.

rough      the quick one: the load of one middling build
fine       the slow one: what many builds carry, or hold. It is the rough one times a factor that changes little from place to place
sample     a place at which both are known
model      the factor at any place, from those of the samples: cubic radial functions with a plane below, through every sample
           (Powell, in: Advances in Numerical Analysis II, 1992, ch. 3)
radius     how far from the best sample the model is trusted: rough times model is climbed that far, and the fine value is asked for at
           the top only. It grows where that was no worse than expected and shrinks where it was
           (Alexandrov & al., Struct. Optim. 15 (1998) 16: such a search ends where one of the fine function alone would)

What is rough and kinked (rims of two walls, limits) is in the rough function, which is asked for as often as one likes.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

import numpy as np
from msgspec import Struct

from folder.geometry.space import Floats
from folder.search.ascent.simplex import Value, nelder_mead

_RADIUS, _LEAST_RADIUS = 0.1, 0.005
_STEP = 0.03
"""So far beside the start the factor is asked for first."""
_ROUGH = 8
"""Rough values asked for in a round, for each number and one more."""

_FOOT = 0.5
"""A factor below this part of the best one's is a hull that goes over: the model is not to follow it down."""


class Sample(Struct, frozen=True, eq=False):
    """A place (d,) with its rough and its fine value; the latter 0 where the hull carries nothing. No rough value: nan."""

    place: Floats
    rough: float
    fine: float


Fine = Callable[[Floats, float], Sample | None]
"""Of a place (d,) and its rough value; None where there is no design after all."""


def climb(
    rough: Value, fine: Fine, samples: Sequence[Sample], start: Sample, *, most: int, relative: float
) -> tuple[Sample, ...]:
    """All samples when the search from one of them came to rest; at most so many were added."""
    known, best, radius = list(samples), start, _RADIUS
    d, before = len(start.place), len(known)

    def sample_around(step: float) -> None:
        """Samples a step beside the best: they give the model its slopes there."""
        nonlocal best
        around = [_beside(rough, best.place, k, step) for k in range(d)]
        found = [sample for at in around if at is not None and (sample := fine(*at)) is not None]
        known.extend(found)
        best = max((best, *found), key=_fine)

    sample_around(_STEP)
    is_sure = True
    while radius > _LEAST_RADIUS and len(known) - before < most:
        model = factors(known, best)
        centre, reach = best.place, radius

        def expected(place: Floats) -> float:
            if np.abs(place - centre).max() > reach:  # noqa: B023 (called in this round only)
                return -math.inf
            at = rough(place)
            return at * model(place) if at > -math.inf else at  # noqa: B023

        place, value = nelder_mead(expected, centre, np.full(d, radius / 3.0), most=_ROUGH * (d + 1), relative=relative / 4.0)
        gain = value - best.fine
        if gain <= relative * best.fine:
            if is_sure:
                break
            sample_around(radius / 4.0)
            is_sure, radius = True, radius / 2.0
            continue
        sample = fine(place, rough(place))
        if sample is None:
            radius /= 2.0
            continue
        known.append(sample)
        won = sample.fine - best.fine
        radius = min(_RADIUS, 1.5 * radius) if won > gain / 2.0 else radius / 2.0 if won < gain / 4.0 else radius
        if won > 0.0:
            best, is_sure = sample, False
    return tuple(known)


def factors(samples: Sequence[Sample], best: Sample) -> Callable[[Floats], float]:
    """The model of the factor at any place (d,)."""
    least = _FOOT * best.fine / best.rough
    places = np.array([sample.place for sample in samples])
    values = np.array([max(sample.fine / sample.rough, least) for sample in samples])
    n, d = places.shape
    apart = np.linalg.norm(places[:, None] - places, axis=2)
    plane = np.column_stack([np.ones(n), places - best.place])
    if n < d + 2:
        return lambda _: best.fine / best.rough
    system = np.block([[apart**3, plane], [plane.T, np.zeros((d + 1, d + 1))]])
    solved = np.linalg.lstsq(system, np.concatenate([values, np.zeros(d + 1)]), rcond=1e-12)[0]
    weights, slopes = solved[:n], solved[n:]

    def factor(place: Floats) -> float:
        far = places - place
        cubes = np.einsum("ij,ij->i", far, far) ** 1.5
        return float(weights @ cubes + slopes[0] + slopes[1:] @ (place - best.place))

    return factor


def _beside(rough: Value, place: Floats, k: int, by: float) -> tuple[Floats, float] | None:
    """A place a step beside another along number k where there is a design, with its rough value."""
    for step in (by, -by, by / 4.0, -by / 4.0):
        near = place.copy()
        near[k] += step
        at = rough(near)
        if at > -math.inf:
            return near, at
    return None


def _fine(sample: Sample) -> float:
    return sample.fine
