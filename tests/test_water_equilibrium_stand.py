"""Loads put on from empty: from which on a hull stands, to which it goes on standing, and that all who tell of it agree."""

import json
import math
import random
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from scipy.optimize import brentq

from folder.cargo.vessel import vessel_of
from folder.cli import main
from folder.hull.skin import Skin
from folder.hull.weight import Weight, foil_weight
from folder.paper.sheets.card import count_rows
from folder.pattern.families.catalogue import FAMILIES, make
from folder.pattern.file import read_pattern, write_pattern
from folder.pattern.pattern import Pattern, Sheet
from folder.studies import Study, study
from folder.verdict import verdict_of
from folder.water.brim_load import brim_load
from folder.water.equilibrium.rest import rest
from folder.water.equilibrium.stand import stands_from
from folder.water.flooding.load import flooding_loads
from folder.water.fluid import Water
from folder.water.working_load import LOAD_HEIGHT_MM
from folder.window.compare.compared import measured
from tests.drawings import tray
from tests.skins import box, frustum, lopsided
from tests.test_fold_sequence_steps import random_member

FRESH = Water.of(20.0)
FLOORS = [20, 10, 25, 60, 15, 30, *(n for n in range(10, 61) if n not in (20, 10, 25, 60, 15, 30))]


def box_of(floor_mm: float, thickness_um: float = 16.0) -> Study:
    """The square sheet folded to a box of that floor: the smaller it is, the higher the walls."""
    sheet = Sheet(thickness_um=thickness_um)
    return study(make("square-tray", {"wall": (150.0 - floor_mm) / 2.0}, sheet=sheet))


def box_gm_mm(side_mm: float, own: Weight, load_g: float) -> float:
    """GM of a box: KB = d / 2, BM = B^2 / (12 d) (Derrett, rev. Barrass), the load's centre 5 mm over the floor."""
    total = own.mass_g + load_g
    draft = total / FRESH.density_g_per_mm3 / side_mm**2
    kg = (own.mass_g * own.centre_mm[2] + load_g * LOAD_HEIGHT_MM) / total
    return draft / 2.0 + side_mm**2 / (12.0 * draft) - kg


def state(skin: Skin, own: Weight, load_g: float, place: np.ndarray) -> str:
    x, y, z = place.tolist()
    return rest(skin, own + Weight(load_g, (x, y, z)), FRESH).state


def let_go(skin: Skin, own: Weight, place: np.ndarray, brim_g: float) -> float:
    """The last load before the first under which the hull no longer floats, each tried by itself: the slow way.

    From a gram on (less where the brim is near), a hundred-and-fiftieth of twice the brim at a time; a hull that turns over when empty
    counts from the first load under which it floats.
    """
    begun, last = state(skin, own, 0.0, place) == "floats", 0.0
    if not begun and state(skin, own, 0.0, place) == "floods":
        return 0.0
    for load in np.linspace(min(1.0, brim_g / 24.0), 2.0 * brim_g, 151).tolist():
        floats = state(skin, own, load, place) == "floats"
        if begun and not floats:
            for _ in range(12):
                middle = (last + load) / 2.0
                last, load = (middle, load) if state(skin, own, middle, place) == "floats" else (last, middle)
            return last
        if floats:
            begun, last = True, load
    return last


def test_a_box_stands_from_where_its_metacentre_comes_over_its_weight(many) -> None:
    for floor in FLOORS[: many(6, len(FLOORS))]:
        found = box_of(floor)
        own, top = found.hull.weight, found.brim.load_g
        if box_gm_mm(floor, own, 0.0) > 0.0:
            assert found.stands_from_g == 0.0
        else:
            expected = brentq(lambda g, own=own, floor=floor: box_gm_mm(floor, own, g), 0.0, top)
            assert expected == pytest.approx(found.stands_from_g, abs=2e-4 * top)


def test_a_box_of_20_mm_turns_over_with_up_to_5_g_and_stands_from_some_6_g_on() -> None:
    found = box_of(20)
    hull = found.hull
    states = [state(hull.skin, hull.weight, load, np.array([0.0, 0.0, 5.0])) for load in (0.0, 2.0, 5.0, 5.6, 6.0, 15.0, 24.9)]
    assert ["capsizes"] * 3 + ["floats"] * 4 == states
    (warning,) = found.report.having("tips-empty")
    assert ("warn", "Hold it with a hand until 5.6 g stand in it") == (warning.level, warning.text.split(". ")[1].split(":")[0])
    assert found.stands_from_g == found.load.stands_from_g == pytest.approx(5.56, abs=0.01)
    assert verdict_of(found).code == "hull"


def test_a_hull_that_never_stands_carries_nothing() -> None:
    """A floor of 8 mm under walls of 71, of heavy foil: most of what it displaces is its own weight, and that is high up."""
    found = box_of(8, thickness_um=60.0)
    assert box_gm_mm(8, found.hull.weight, found.brim.load_g) < 0.0 < found.brim.load_g
    assert found.stands_from_g is None
    assert (0.0, 0.0, 0.0, "stability") == (found.load.low_g, found.load.likely_g, found.load.high_g, found.load.limited_by)
    assert ["tips-over"] == [f.code for f in found.report.stops]
    assert ("tips-over", "stop") == (verdict_of(found).code, verdict_of(found).level)


@pytest.mark.parametrize(("wall", "sinks"), [(2.5, True), (2.85, True), (3.2, False), (25.0, False)])
def test_a_hull_whose_foil_outweighs_what_it_displaces_is_no_good(wall: float, sinks: bool) -> None:
    """Sheet metal of 1 mm, 60.75 g, on water of 0.99821 g/cm3 (Tanaka et al. 2001): walls of some 2.9 mm just float it."""
    found = study(tray(wall, sheet=Sheet(150.0, 150.0, 1000.0)))
    assert sinks == (0.99821e-3 * (150.0 - 2.0 * wall) ** 2 * wall < 150.0 * 150.0 * 2.70e-3)
    assert (["tips-over"] if sinks else []) == [f.code for f in found.report.stops]
    assert ("stop" if sinks else "good") == verdict_of(found).level
    assert sinks == ("It sinks with nothing in it" in verdict_of(found).text)


def test_one_that_stands_empty_is_not_spoken_of() -> None:
    found = box_of(100)
    assert found.stands_from_g == 0.0
    assert not found.report.having("tips-empty", "tips-over")


def test_the_loads_that_are_told_are_loads_under_which_the_hull_stands(many) -> None:
    """What check, card and cargo start from, asked of the water one by one; and what is told to hold it for."""
    for floor in FLOORS[: many(4, len(FLOORS))]:
        found = box_of(floor)
        hull, load, begins = found.hull, found.load, found.stands_from_g
        middle = np.array([*found.brim.level_at, LOAD_HEIGHT_MM])
        assert 0.0 <= load.low_g <= load.likely_g <= load.high_g <= load.brim_g
        for grams in (load.low_g, load.likely_g, load.high_g):
            if grams > 0.0:
                assert begins is not None
                assert grams >= begins
                assert state(hull.skin, hull.weight, grams, middle) == "floats"
        assert (state(hull.skin, hull.weight, 0.0, middle) == "floats") == (begins == 0.0)
        if begins:
            assert state(hull.skin, hull.weight, begins, middle) == "floats"
            assert state(hull.skin, hull.weight, 0.6 * begins, middle) == "capsizes"
        assert (load.low_g, load.likely_g, load.high_g) == vessel_of(hull, found.water, found.working).loads_g
        assert [int(load.likely_g / float(each)) for each, *_ in count_rows(found.working)] == [
            likely for _, _, likely, _ in count_rows(found.working)
        ]


def random_hull(chance: np.random.Generator) -> Skin:
    """Trays, high narrow boxes, walls that lean out or in, and lopsided ones."""
    kind, (b, w), o, high = chance.integers(4), chance.uniform(15, 60, 2), chance.uniform(0, 25), chance.uniform(10, 60)
    if kind == 0:
        return lopsided(chance)
    if kind == 1:
        return box(b, b * chance.uniform(1, 2), high)
    return frustum(b, w, b + o, w + o, high) if kind == 2 else frustum(b + 12, w + 12, b + 12 - o / 2, w + 12 - o / 2, high)


def test_the_flooding_load_is_where_a_hull_let_go_again_and_again_first_no_longer_floats(many) -> None:
    """Random hulls, four places each; 2 % where it turns over, which is looked for in steps."""
    chance = np.random.default_rng(7)
    asked = 0
    for _ in range(many(5, 200)):
        skin = random_hull(chance)
        own = foil_weight(skin, 16.0) if chance.random() < 0.5 else Weight(chance.uniform(0.5, 3), (0, 0, chance.uniform(3, 30)))
        top = brim_load(skin, own, FRESH).load_g
        half = 0.8 * np.abs(skin.vertices[:4, :2]).min(axis=0)
        places = np.column_stack([chance.uniform(-half, half, (4, 2)), chance.uniform(2, 20, 4)])
        if top <= 0.0:
            continue
        found = flooding_loads(skin, own, places, FRESH)
        for load, over, place in zip(found.load_g.tolist(), found.capsizes.tolist(), places, strict=True):
            expected = let_go(skin, own, place, top)
            assert expected == pytest.approx(load, rel=0.02 if over else 1e-3, abs=0.02 * top if over else 1e-3)
            asked += 1
    assert asked > 0


def test_a_hull_on_its_side_has_turned_over() -> None:
    """A high box whose load slides to a wall floats on, but leaning by more than 45 deg: nothing stays in it."""
    skin, own = box(70, 70, 40), Weight(1.0, (0.0, 0.0, 9.0))
    states = {}
    for off in np.arange(20.0, 34.0, 0.5):
        lying = rest(skin, own + Weight(20.0, (float(off), 0.0, 5.0)), FRESH)
        states[float(off)] = lying.state
        if lying.pose is not None:
            assert lying.pose.tilt_rad <= math.radians(45.0)
    assert ("floats", "capsizes") == (states[20.0], states[33.5])


def test_a_hull_that_stands_when_empty_has_its_limit_where_it_loses_its_stand() -> None:
    """Put on high up: the box loses its metacentre on the way to the brim, though at the brim it would have it back."""
    skin, own, height = box(40, 40, 60), Weight(1.0, (0.0, 0.0, 8.0)), 20.0

    def gm(load: float) -> float:
        draft = (1.0 + load) / FRESH.density_g_per_mm3 / 1600.0
        return draft / 2.0 + 1600.0 / 12.0 / draft - (8.0 + height * load) / (1.0 + load)

    assert gm(0.0) > 0.0
    assert gm(brim_load(skin, own, FRESH).load_g) > 0.0
    expected = brentq(gm, 0.1, 20.0)
    found = flooding_loads(skin, own, np.array([[0.0, 0.0, height]]), FRESH)
    assert expected == pytest.approx(found.load_g[0], rel=0.01)
    assert found.capsizes[0]


def test_from_which_load_it_stands_depends_on_how_high_the_load_is() -> None:
    hull = box_of(20).hull
    low, high = (stands_from(hull.skin, hull.weight, FRESH, (0.0, 0.0, z)) for z in (2.0, 8.0))
    assert 0.0 < low < high
    assert stands_from(hull.skin, hull.weight, FRESH, (0.0, 0.0, 60.0)) is None


def test_check_water_compare_cargo_and_the_window_tell_the_same(many, tmp_path, capsys) -> None:
    """By the command line, as a coach would ask them one after the other; the window by what it compares."""

    def cli(*argv: str) -> Any:
        assert main([*argv, "--json"]) in (0, 1)
        return json.loads(capsys.readouterr().out)

    boxes = [box_of(floor).pattern for floor in FLOORS[: many(2, len(FLOORS))]]
    for number, pattern in enumerate([*boxes, *random_members(many(2, 200))]):
        file = str(tmp_path / f"{number}.json")
        write_pattern(pattern, Path(file))
        load = cli("check", file)["load"]
        rows = cli("compare", file, "plain-tray")["designs"]
        assert any(row["load"] == {name: load[name] for name in row["load"]} for row in rows), pattern.name
        assert {"brim_g", "low_g", "likely_g", "high_g"} <= set(rows[0]["load"])
        begins, likely = load["stands_from_g"], load["likely_g"]
        at = f"{load['level_at_mm'][0]},{load['level_at_mm'][1]}"
        for grams, state in (
            (begins or 0.0, "floats"),
            (likely, "floats"),
            ((begins or 0.0) / 2.0, "capsizes" if begins else "floats"),
        ):
            assert state == cli("water", file, "--mass", f"{grams + 1e-6}", "--at", at)["state"], (pattern, grams)
        cargo = cli("cargo", file, "--item", "us-quarter")  # few heavy ones are counted sooner than many light ones
        assert cargo["hold_until"] >= math.ceil(begins / 5.67)
        assert cargo["count"] == 0 or cargo["count"] * 5.67 <= load["brim_g"]
        assert cargo["count"] > 0 or likely < 22.0 or not cargo["fits_per_layer"]
        shown = measured(study(read_pattern(Path(file)))).spread.low_likely_high
        assert (load["low_g"], likely, load["high_g"]) == pytest.approx(shown, abs=1e-8)


def random_members(count: int) -> Iterator[Pattern]:
    """Hulls of all families with numbers drawn at random, those that stand at some load."""
    draw = random.Random(11)
    while count:
        pattern = random_member(FAMILIES[draw.choice(list(FAMILIES))], draw)
        if pattern is not None and study(pattern).stands_from_g is not None and study(pattern).load.likely_g:
            count -= 1
            yield pattern


def test_a_hull_heavier_than_the_water_it_can_push_away_never_stands_and_nothing_is_divided_by_nothing():
    """A small tray of plate a millimetre thick."""
    sheet = Sheet(20.0, 20.0, 1000.0)
    trip = study(make("square-tray", {"wall": 3.0}, sheet=sheet))
    assert trip.brim is not None
    assert 0.0 == trip.brim.load_g
    assert trip.stands_from_g is None
