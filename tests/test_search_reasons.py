"""Why one hull carries more: named is what helped, in numbers that are those of the measures."""

from __future__ import annotations

import pytest

from folder.pattern.families.catalogue import make
from folder.search.reasons import cause
from folder.studies import study


@pytest.mark.parametrize(
    ("before", "after", "gain_g", "said"),
    [
        ({"wall": 22.0, "turn": 90.0}, {"wall": 25.0, "turn": 90.0}, 12.0, "Walls 3 mm higher"),
        ({"wall": 40.0, "turn": 90.0}, {"wall": 35.0, "turn": 90.0}, 8.4, "The floor 15 cm² larger"),
        ({"wall": 25.0, "turn": 90.0}, {"wall": 25.0, "turn": 80.0}, 9.0, "Walls lean out 10° more"),
        ({"wall": 25.0, "turn": 90.0}, {"wall": 20.0, "turn": 90.0}, -9.0, "Walls 5 mm lower"),
        ({"wall": 25.0, "turn": 90.0}, {"wall": 25.0, "turn": 90.0}, 0.2, ""),
    ],
)
def test_what_helped_is_named_and_not_what_it_cost(before, after, gain_g, said):
    """Floors (150 - 2 w)^2: 70 mm square at 40, 80 mm at 35: 49 and 64 cm2."""
    was, now = (study(make("leaning-tray", values)) for values in (before, after))
    assert said == cause(was, now, gain_g)


def test_a_narrower_hem_is_named_before_the_floor_that_grew_by_it():
    """Rims of 25 - 5 and 23 - 3 mm over floors of (150 - 2 x 25)^2 and (150 - 2 x 23)^2: 100 and 108.2 cm2."""
    was, now = (study(make("hemmed-tray", values)) for values in ({"hem": 5.0, "wall": 25.0}, {"hem": 3.0, "wall": 23.0}))
    assert "The hem 2 mm narrower and the floor 8 cm² larger" == cause(was, now, 16.0)
