"""Why one hull carries more: the sentence names what helped, in numbers that are those of the measures."""

from __future__ import annotations

import pytest

from folder.pattern.families.catalogue import make
from folder.search.reasons import reason
from folder.studies import study


@pytest.mark.parametrize(
    ("before", "after", "gain_g", "said"),
    [
        ({"wall": 22.0, "turn": 90.0}, {"wall": 25.0, "turn": 90.0}, 12.0, "Walls 3 mm higher: it carries 12 g more."),
        ({"wall": 40.0, "turn": 90.0}, {"wall": 35.0, "turn": 90.0}, 8.4, "The floor 15 cm² larger: it carries 8 g more."),
        ({"wall": 25.0, "turn": 90.0}, {"wall": 25.0, "turn": 80.0}, 9.0, "Walls lean out 10° more: it carries 9 g more."),
        ({"wall": 25.0, "turn": 90.0}, {"wall": 20.0, "turn": 90.0}, -9.0, "Walls 5 mm lower: it carries 9 g less."),
        ({"wall": 25.0, "turn": 90.0}, {"wall": 25.0, "turn": 90.0}, 0.2, "It carries a little more."),
    ],
)
def test_what_helped_is_named_and_not_what_it_cost(before, after, gain_g, said):
    """Floors (150 - 2 w)^2: 70 mm square at 40, 80 mm at 35: 49 and 64 cm2."""
    was, now = (study(make("leaning-tray", values)) for values in (before, after))
    assert said == reason(was, now, gain_g)
