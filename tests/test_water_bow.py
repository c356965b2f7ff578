import pytest

from folder.hull.weight import Weight
from folder.water.bow import Wall, bow, walls
from folder.water.capacity import brim
from folder.water.density import Water
from tests.boxes import folded_box, folded_frustum
from tests.skins import box, ring_hull

FRESH = Water.of(20.0)


def test_a_wall_of_100_mm_bows_0_77_mm_and_pulls_12_mpa() -> None:
    """bow^3 = 3 q L^4 (1 - nu^2) / (64 E t); 100 mm, 122.4 Pa (25 mm of water), 16 um: 0.77 mm, 12 MPa (from memory)."""
    found = bow(Wall(100.0, 25.0, 1, (0.0, 50.0)), 16.0, FRESH)
    assert found.bow_mm == pytest.approx(0.77, abs=5e-3)
    assert found.pull_mpa == pytest.approx(12.0, abs=0.5)
    assert not found.warns


def test_longer_higher_and_thinner_walls_bow_more() -> None:
    base = bow(Wall(100.0, 25.0, 1, (0.0, 0.0)), 16.0, FRESH).bow_mm
    assert bow(Wall(200.0, 25.0, 1, (0.0, 0.0)), 16.0, FRESH).bow_mm == pytest.approx(base * 2 ** (4 / 3), rel=1e-12)
    assert bow(Wall(100.0, 50.0, 1, (0.0, 0.0)), 16.0, FRESH).bow_mm == pytest.approx(base * 2 ** (1 / 3), rel=1e-12)
    for layers in (2, 3):
        doubled = bow(Wall(100.0, 25.0, layers, (0.0, 0.0)), 16.0, FRESH).bow_mm
        assert doubled == pytest.approx(base / layers ** (1 / 3), rel=1e-12)
        assert doubled == pytest.approx(bow(Wall(100.0, 25.0, 1, (0.0, 0.0)), 16.0 * layers, FRESH).bow_mm, rel=1e-12)


def test_what_a_bow_takes_from_the_load_is_what_a_tray_with_bowed_walls_holds_less() -> None:
    """The wall's top pushed in along a parabola, in a hundred straight pieces, against the estimate's closed form."""
    wall = Wall(100.0, 25.0, 1, (0.0, 50.0))
    found = bow(wall, 16.0, FRESH)
    pieces = 100
    x = [-1 + 2 * (i + 0.5) / pieces for i in range(pieces)]
    lost = sum(found.bow_mm * (1 - t * t) * 25.0 / 2 * 100.0 / pieces for t in x)
    assert found.lost_g == pytest.approx(lost * FRESH.density_g_per_mm3, rel=1e-3)
    assert found.lost_g < 0.01 * brim(box(100, 100, 25), Weight(1.0), FRESH).load_g


def test_long_high_single_walls_are_warned_of_and_doubled_ones_less_so() -> None:
    assert bow(Wall(250.0, 40.0, 1, (0.0, 0.0)), 16.0, FRESH).warns
    assert not bow(Wall(250.0, 40.0, 3, (0.0, 0.0)), 24.0, FRESH).warns
    assert bow(Wall(900.0, 80.0, 2, (0.0, 0.0)), 16.0, FRESH).warns


def test_the_walls_of_a_box_are_its_four_sides() -> None:
    found = walls(box(100, 60, 25))
    assert sorted(w.span_mm for w in found) == pytest.approx([60, 60, 100, 100])
    assert [w.height_mm for w in found] == pytest.approx([25.0] * 4)
    assert [w.layers for w in found] == [1, 1, 1, 1]


def test_a_hem_down_to_the_floor_makes_a_wall_of_two_layers() -> None:
    assert [w.layers for w in walls(ring_hull([(100, 100, 0), (100, 100, 25), (100, 100, 1)]))] == [2, 2, 2, 2]


@pytest.mark.parametrize("tray", [folded_box(100, 100, 25), folded_frustum(80, 117, 29)])
def test_a_folded_tray_has_single_walls_between_its_corner_folds(tray: object) -> None:
    found = walls(tray.skin)  # type: ignore[attr-defined]
    assert [w.layers for w in found] == [1, 1, 1, 1]


def test_a_flat_sheet_has_no_walls() -> None:
    assert walls(ring_hull([(100, 100, 0), (150, 150, 0)])) == ()
