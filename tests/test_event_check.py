"""Hulls held against an event's rules."""

from __future__ import annotations

import json
import math

import pytest

from folder.event.rules import Rules, rules_json
from folder.pattern.families.catalogue import make
from folder.pattern.pattern import Crease, Pattern, Sheet
from folder.studies import study
from folder.verdict import verdict_of
from tests.test_cli import Cli

PUBLISHED = Rules(footprint_mm=(75.0, 100.0), wall_most_mm=25.0)
"""A published school rule: a hull of at most 7.5 x 10 cm; walls of at most 25 mm are ours."""


def codes(pattern: Pattern, rules: Rules) -> dict[str, str]:
    return {f.code: f.detail for f in study(pattern, rules=rules).report.stops}


def box(length: float, breadth: float, wall: float) -> Pattern:
    """A box whose floor is length by breadth, from the sheet that just makes it."""
    return make("square-tray", {"wall": wall}, sheet=Sheet(length + 2 * wall, breadth + 2 * wall))


def test_the_largest_hull_under_the_published_rule_is_the_box_of_187_and_a_half_cm3():
    """7.5 x 10 x 2.5 cm worked by hand: no hull within that footprint and height holds more than the box itself."""
    largest = box(100.0, 75.0, 25.0)
    assert {} == codes(largest, Rules(sheet_mm=(150.0, 125.0), footprint_mm=(75.0, 100.0), wall_most_mm=25.0))
    assert 7.5 * 10.0 * 2.5 == pytest.approx(study(largest).measures.volume_mm3 / 1000.0)
    assert (100.0, 75.0) == pytest.approx(study(largest).measures.footprint_mm)


def test_what_is_too_large_is_told_with_how_much():
    found = codes(box(100.0, 80.0, 30.0), Rules(sheet_mm=(160.0, 140.0), footprint_mm=(75.0, 100.0), wall_most_mm=25.0))
    assert {"over-footprint", "over-wall"} == set(found)
    assert "5.0 mm too far" in found["over-footprint"]
    assert "5.0 mm too high" in found["over-wall"]


@pytest.mark.parametrize(("over_mm", "expected"), [(0.04, set()), (0.06, {"over-footprint"})])
def test_a_hair_that_no_ruler_shows_is_within_the_rule(over_mm, expected):
    hull = box(100.0 + over_mm, 75.0, 25.0)
    assert expected == set(codes(hull, Rules(sheet_mm=(150.0 + over_mm, 125.0), footprint_mm=(75.0, 100.0))))


def test_a_sheet_of_another_size_is_told_and_one_laid_the_other_way_is_not():
    assert {"wrong-sheet"} == set(codes(box(100.0, 75.0, 25.0), PUBLISHED))
    assert {} == codes(box(100.0, 75.0, 25.0), Rules(sheet_mm=(125.0, 150.0)))


def test_the_verdict_names_the_rule_that_is_broken():
    found = verdict_of(study(box(100.0, 80.0, 25.0), rules=Rules(sheet_mm=(150.0, 130.0), footprint_mm=(75.0, 100.0))))
    assert ("over-footprint", "stop") == (found.code, found.level)
    assert "larger than your event allows" in found.text


def test_where_cuts_are_allowed_a_cut_is_a_warning_with_its_price():
    tray = box(100.0, 100.0, 25.0)
    slit = Crease((50.0, 0.0), (50.0, 10.0), "cut", 0.0)
    cut = Pattern(tray.name, tray.note, tray.sheet, tray.floor_at, (*tray.creases, slit), tray.crimps)
    assert {"cut-drawn"} <= set(codes(cut, Rules()))
    allowed = study(cut, rules=Rules(cuts="allowed")).report
    assert ["warn"] == [f.level for f in allowed.having("cut-drawn")]
    assert "cost" in allowed.having("cut-drawn")[0].detail


def test_a_hull_turned_on_its_sheet_has_the_same_footprint():
    tray = box(100.0, 75.0, 25.0)
    turned = [Crease((s.start[1], 150.0 - s.start[0]), (s.end[1], 150.0 - s.end[0]), s.sense, s.turn_rad) for s in tray.creases]
    other = Pattern("turned", "", Sheet(tray.sheet.height_mm, tray.sheet.width_mm), (62.5, 75.0), tuple(turned))
    assert study(tray).measures.footprint_mm == pytest.approx(study(other).measures.footprint_mm)
    assert math.isclose(187.5, study(other).measures.volume_mm3 / 1000.0, rel_tol=1e-9)


def test_the_command_line_takes_an_event_or_its_rules(cli: Cli, tmp_path):
    rules, day = tmp_path / "rules.json", str(tmp_path / "day.sqlite")
    rules.write_bytes(rules_json(PUBLISHED))
    cli("event", "new", day, "--rules", str(rules))
    for event in (day, str(rules)):
        code, out, _ = cli("check", "plain-tray", "--event", event, "--json")
        report = json.loads(out)
        assert 1 == code
        assert "over-footprint" == report["verdict"]["code"]
        assert [100.0, 100.0] == report["measures"]["footprint_mm"]
    assert 2 == cli("check", "plain-tray", "--event", str(tmp_path / "none.sqlite"))[0]
