"""Walls round any convex floor: each flap has its place on a wall, or the corner is refused."""

import math

import numpy as np
import pytest

from folder.errors import BadRequest
from folder.geometry.plane import convex_hull
from folder.pattern.faces.faces import faces_of
from folder.pattern.families.walls import walled
from folder.pattern.pattern import Pattern
from tests.hulls import OUTLINE

RNG = np.random.default_rng(5)


def test_a_flap_that_stands_out_over_the_rim_is_refused_by_its_corner() -> None:
    floor = [(10.0, 20.0), (48.6, 30.4), (40.0, 72.0)]
    with pytest.raises(BadRequest, match=r"floor corner 3: .*stands out over the rim.*a corner of 42 deg"):
        walled(OUTLINE, floor, [math.pi / 2.0] * 3, [True] * 3)


@pytest.mark.parametrize("sides", [3, 4, 5])
def test_every_crimp_lies_on_the_wall_or_the_floor_corner_is_refused(sides: int) -> None:
    """Any floor: a crimp has foil under it, and is no nearer to the sheet's edge than its rounding."""
    made = 0
    for _ in range(60):
        floor = [(x, y) for x, y in convex_hull(RNG.uniform(15.0, 135.0, (sides, 2))).tolist()]
        turns = RNG.choice(np.radians([60.0, 80.0, 90.0]), len(floor)).tolist()
        try:
            creases, crimps = walled(OUTLINE, floor, turns, RNG.choice([True, False], len(floor)).tolist())
        except BadRequest as refusal:
            if not all((refusal.where, refusal.found, refusal.remedy)):
                raise
            continue
        made += 1
        assert len(floor) == len(crimps)
        assert (faces_of(Pattern(creases=creases, floor_at=floor[0])).faces_at(np.array(crimps)) >= 0).all()
    assert made > 20
