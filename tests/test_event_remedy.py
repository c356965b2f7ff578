"""What makes a hull keep an event's rules: offered only where the changed hull keeps them."""

from __future__ import annotations

import pytest

from folder.event.check import rule_findings
from folder.event.rules import Rules
from folder.pattern.edit import apply_remedy
from folder.pattern.families.catalogue import make
from folder.pattern.file import ready_patterns
from folder.studies import study
from folder.verdict import verdict_of
from tests.studied import ready_study

PUBLISHED = Rules(footprint_mm=(75.0, 100.0), wall_most_mm=25.0)
SIZES = {"over-footprint", "over-wall"}


def remedied(pattern, rules):
    """The remedy of the first rule of size that is broken, and the study of what comes out."""
    remedy = next(f for f in study(pattern, rules=rules).report.stops if f.code in SIZES).remedy
    return remedy, None if remedy is None else study(apply_remedy(pattern, remedy), rules=rules)


@pytest.mark.parametrize("name", ["plain-tray", "shallow-tray"])
def test_the_best_hull_under_the_published_rules_is_reached_by_hemming_a_tray(name):
    """7.5 x 10 x 2.5 cm = 187.5 cm3 worked by hand: nothing within that footprint and height holds more than the box.

    Of a sheet of 150 mm, 37.5 mm are left beyond a floor of 75: 25 for the wall and 12.5 folded over as a hem.
    """
    remedy, made = remedied(ready_study(name).pattern, PUBLISHED)
    assert "hem of 12.5 mm" in remedy.text
    assert ("hull", 187.5) == (verdict_of(made).code, pytest.approx(made.measures.volume_mm3 / 1000.0))
    assert (100.0, 75.0) == pytest.approx(made.measures.footprint_mm)
    assert 25.0 == pytest.approx(made.measures.wall_height_mm)


def test_a_wall_that_is_too_high_is_lowered_to_what_is_allowed():
    remedy, made = remedied(make("square-tray", {"wall": 40}), Rules(wall_most_mm=25.0))
    assert "Lower the walls to 25 mm." == remedy.text
    assert 25.0 == pytest.approx(made.measures.wall_height_mm)


def test_walls_that_lean_are_measured_upright():
    _, made = remedied(make("leaning-tray", {"wall": 40, "turn": 60}), Rules(wall_most_mm=25.0))
    assert 25.0 == pytest.approx(float(made.hull.wall_heights.max()), abs=0.05)


@pytest.mark.parametrize("rules", [PUBLISHED, Rules(wall_most_mm=20.0), Rules(footprint_mm=(90.0, 90.0))], ids=str)
def test_of_every_ready_pattern_what_is_offered_mends_it(rules):
    offered = 0
    for name in ready_patterns():
        pattern = ready_study(name).pattern
        broken = [f for f in rule_findings(rules, pattern, ready_study(name).hull, remedies=True) if f.code in SIZES]
        if broken and broken[0].remedy is not None:
            offered += 1
            made = study(apply_remedy(pattern, broken[0].remedy), rules=rules)
            assert "hull" == verdict_of(made).code, name
    assert offered >= 3


def test_where_the_walls_are_no_ring_nothing_is_offered():
    remedy, _ = remedied(ready_study("eight-sided-bowl").pattern, PUBLISHED)
    assert remedy is None
