import math

import numpy as np
import pytest

from folder.hull.weight import Weight
from folder.pattern.file import ready_patterns
from folder.studies import study
from folder.water.brim_load import brim_load
from folder.water.fluid import Water
from folder.water.wall_deflection import SHORT_MM, WallSpan, wall_deflection, wall_spans
from tests.boxes import folded_box, folded_frustum
from tests.hulls import regular
from tests.skins import box, frustum, ring_hull
from tests.studied import family_study, ready_study

FRESH = Water.of(20.0)


def test_a_wall_of_100_mm_bows_0_77_mm_and_pulls_12_mpa() -> None:
    """bow^3 = 3 q L^4 (1 - nu^2) / (64 E t); 100 mm, 122.4 Pa (25 mm of water), 16 um: 0.77 mm, 12 MPa (from memory)."""
    found = wall_deflection(WallSpan(100.0, 25.0, 1, (0.0, 50.0)), 16.0, FRESH)
    assert found.bow_mm == pytest.approx(0.77, abs=5e-3)
    assert found.pull_mpa == pytest.approx(12.0, abs=0.5)
    assert not found.warns


def test_longer_higher_and_thinner_walls_bow_more() -> None:
    base = wall_deflection(WallSpan(100.0, 25.0, 1, (0.0, 0.0)), 16.0, FRESH).bow_mm
    assert wall_deflection(WallSpan(200.0, 25.0, 1, (0.0, 0.0)), 16.0, FRESH).bow_mm == pytest.approx(
        base * 2 ** (4 / 3), rel=1e-12
    )
    assert wall_deflection(WallSpan(100.0, 50.0, 1, (0.0, 0.0)), 16.0, FRESH).bow_mm == pytest.approx(
        base * 2 ** (1 / 3), rel=1e-12
    )
    for layers in (2, 3):
        doubled = wall_deflection(WallSpan(100.0, 25.0, layers, (0.0, 0.0)), 16.0, FRESH).bow_mm
        assert doubled == pytest.approx(base / layers ** (1 / 3), rel=1e-12)
        assert doubled == pytest.approx(
            wall_deflection(WallSpan(100.0, 25.0, 1, (0.0, 0.0)), 16.0 * layers, FRESH).bow_mm, rel=1e-12
        )


def test_what_a_bow_takes_from_the_load_is_what_a_tray_with_bowed_walls_holds_less() -> None:
    """The wall's top pushed in along a parabola, in a hundred straight pieces, against the estimate's closed form."""
    wall = WallSpan(100.0, 25.0, 1, (0.0, 50.0))
    found = wall_deflection(wall, 16.0, FRESH)
    pieces = 100
    x = [-1 + 2 * (i + 0.5) / pieces for i in range(pieces)]
    lost = sum(found.bow_mm * (1 - t * t) * 25.0 / 2 * 100.0 / pieces for t in x)
    assert found.lost_g == pytest.approx(lost * FRESH.density_g_per_mm3, rel=1e-3)
    assert found.lost_g < 0.01 * brim_load(box(100, 100, 25), Weight(1.0), FRESH).load_g


def test_long_high_single_walls_are_warned_of_and_doubled_ones_less_so() -> None:
    assert wall_deflection(WallSpan(250.0, 40.0, 1, (0.0, 0.0)), 16.0, FRESH).warns
    assert not wall_deflection(WallSpan(250.0, 40.0, 3, (0.0, 0.0)), 24.0, FRESH).warns
    assert wall_deflection(WallSpan(900.0, 80.0, 2, (0.0, 0.0)), 16.0, FRESH).warns


def test_the_walls_of_a_box_are_its_four_sides() -> None:
    found = wall_spans(box(100, 60, 25))
    assert sorted(w.span_mm for w in found) == pytest.approx([60, 60, 100, 100])
    assert [w.height_mm for w in found] == pytest.approx([25.0] * 4)
    assert [w.layers for w in found] == [1, 1, 1, 1]


def test_a_hem_down_to_the_floor_makes_a_wall_of_two_layers() -> None:
    assert [w.layers for w in wall_spans(ring_hull([(100, 100, 0), (100, 100, 25), (100, 100, 1)]))] == [2, 2, 2, 2]


@pytest.mark.parametrize("tray", [folded_box(100, 100, 25), folded_frustum(80, 117, 29)])
def test_a_folded_tray_has_single_walls_between_its_corner_folds(tray: object) -> None:
    found = wall_spans(tray.skin)  # type: ignore[attr-defined]
    assert [w.layers for w in found] == [1, 1, 1, 1]


def test_a_flat_sheet_has_no_walls() -> None:
    assert wall_spans(ring_hull([(100, 100, 0), (150, 150, 0)])) == ()


def test_a_box_of_20_mm_has_walls_of_20_mm() -> None:
    """Its flaps reach past them, 65 mm along the floor's sides: they are no walls."""
    found = family_study("square-tray", wall=65).bows
    assert [b.wall.span_mm for b in found] == pytest.approx([20.0] * 4)
    assert [b.wall.height_mm for b in found] == pytest.approx([65.0] * 4)


@pytest.mark.parametrize("spun_deg", [45.0, 45.5, 48.0, 65.0])
def test_a_floor_that_lies_askew_on_the_sheet_has_as_many_walls_as_sides(spun_deg: float) -> None:
    """A square floor of 90 mm, turned on the sheet: the tops slope, and the rim has more corners than the floor."""
    found = study(regular(4, 90.0, 45.0 * math.sqrt(2.0), spun_deg)).bows
    assert [b.wall.span_mm for b in found] == pytest.approx([90.0] * 4)


@pytest.mark.parametrize("sides", [3, 5, 6, 8])
def test_a_floor_of_many_sides_has_a_wall_over_each(sides: int) -> None:
    """Upright ones, as long as the side: 2 r sin(180 deg / n)."""
    found = study(regular(sides, 90.0)).bows
    assert [b.wall.span_mm for b in found] == pytest.approx([90.0 * math.sin(math.pi / sides)] * sides)


def test_a_wall_broken_by_a_pleat_is_one_and_one_with_a_bend_goes_up_to_its_rim() -> None:
    pleated = family_study("pleated-floor-tray").bows
    assert 4 == len(pleated)
    assert sorted(b.wall.span_mm for b in pleated) == pytest.approx([84.0, 84.0, 100.0, 100.0])
    bent = family_study("two-bend-tray")
    assert {round(b.wall.height_mm, 6) for b in bent.bows} == {round(bent.hull.rim_height_mm, 6)}


def test_walls_that_lean_out_are_as_long_as_their_tops() -> None:
    found = wall_spans(frustum(80, 60, 117, 97, 29))
    assert sorted(w.span_mm for w in found) == pytest.approx([97.0, 97.0, 117.0, 117.0])


@pytest.mark.parametrize("name", ready_patterns())
def test_no_ready_hull_has_a_wall_longer_than_it_is_wide(name: str) -> None:
    found = ready_study(name)
    across = np.ptp(found.hull.skin.vertices[:, :2], axis=0)
    assert found.bows
    for b in found.bows:
        assert SHORT_MM <= b.wall.span_mm <= float(np.hypot(*across))
        assert 0.0 < b.wall.height_mm <= found.hull.skin.vertices[:, 2].max() + 1e-9
