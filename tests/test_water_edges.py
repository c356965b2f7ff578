"""The whole trip at the edges of what the families make: it ends, warns of nothing, and what it says holds together."""

import itertools
import math
import random
import time
from collections.abc import Iterator, Mapping

import pytest
from msgspec.structs import asdict

from folder.errors import BadRequest
from folder.pattern.families.catalogue import FAMILIES, make
from folder.pattern.families.parameter import Family, Value
from folder.studies import study

PATIENCE_S = 5.0
"""Processor time: what others do on the machine does not count."""

STRIPS = [(3, 3, 10.0), (4, 3, 6.0), (4, 3, 10.0), (4, 4, 6.0), (3, 3, 9.6)]
"""Strips across, strips along and wall: on their way down some poses of these have a waterplane of no area."""


def check(family: str, values: Mapping[str, object]) -> None:
    """An answer or a reason in time; every number finite, and the loads in order."""
    start = time.process_time()
    try:
        found = study(make(family, values))
    except BadRequest:
        return
    load, _ = found.load, found.report
    assert all(math.isfinite(b.bow_mm) and math.isfinite(b.pull_mpa) for b in found.bows)
    assert all(
        math.isfinite(n) for n in [*asdict(found.measures).values(), *found.measures.footprint_mm] if isinstance(n, float | int)
    )
    assert time.process_time() - start < PATIENCE_S
    if load.brim_g is not None:
        assert math.isfinite(load.brim_g)
    if load.likely_g is not None:
        assert 0.0 <= load.low_g <= load.likely_g <= load.high_g <= load.brim_g


def ends(family: Family) -> Iterator[dict[str, Value]]:
    """Every corner of the parameters' ranges, with the usual lengths among them: with the ends alone few make a hull."""
    ranges = []
    for p in family.parameters:
        if isinstance(p.default, str):
            ranges.append(p.choices or ("auto", "sides", "ends", "round"))
        else:
            ranges.append((p.low, p.default, p.high) if p.unit == "mm" else (p.low, p.high))
    for values in itertools.product(*ranges):
        yield {p.name: value for p, value in zip(family.parameters, values, strict=True)}


def anywhere(family: Family, chance: random.Random) -> dict[str, Value]:
    """A place in the parameters' ranges, lengths such that a school square has room for them."""
    values: dict[str, Value] = {}
    for p in family.parameters:
        if isinstance(p.default, str):
            values[p.name] = chance.choice(p.choices or ("auto", "sides", "ends", "round"))
        elif p.whole:
            values[p.name] = chance.randint(int(p.low), int(p.high))
        else:
            values[p.name] = chance.uniform(max(p.low, -40.0), min(p.high, 75.0) if p.unit == "mm" else p.high)
    if family.name == "long-barge":  # four widths that reach one height are found by chance only seldom
        values |= {name: float(values["height"]) * chance.uniform(1.0, 2.0) for name in ("left", "right", "bow", "stern")}
    return values


@pytest.mark.parametrize(("across", "along", "wall"), STRIPS)
def test_a_box_rolled_to_many_strips_is_answered(across: int, along: int, wall: float) -> None:
    check("tall-box", {"across": across, "along": along, "wall": wall})


@pytest.mark.parametrize("family", list(FAMILIES))
def test_every_corner_of_a_familys_ranges_and_any_place_in_them_is_answered(family: str, many) -> None:
    kind, chance = FAMILIES[family], random.Random(family)
    corners = list(ends(kind))
    chance.shuffle(corners)
    for values in corners[: many(6, len(corners))]:
        check(family, values)
    for _ in range(many(8, 300)):
        check(family, anywhere(kind, chance))
