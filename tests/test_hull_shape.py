"""What a hull measures, and what its floor, walls and edge line have to say."""

from __future__ import annotations

import math
import re

import numpy as np
import pytest
import shapely
from hypothesis import given
from msgspec.structs import replace

from folder.findings import Finding, Point
from folder.hull.hull import Hull
from folder.hull.shape import WALLS_AWAY, Measures, sheet_place
from folder.pattern.pattern import Crease, Pattern, Sheet
from folder.studies import Study, study
from tests.drawings import drawn, hand_rounded, line, slit_tray, tray
from tests.hulls import regular
from tests.strategies import trays, tried


def across(y: float, sense: str, turn_deg: float, sheet_width: float = 150.0) -> Crease:
    """A crease from side to side."""
    return line((0.0, y), (sheet_width, y), sense, turn_deg)


def measured(pattern: Pattern) -> Measures:
    return study(pattern).measures


def hull_of(pattern: Pattern) -> Hull:
    hull = study(pattern).hull
    assert hull is not None
    return hull


def codes_of(result: Study) -> list[tuple[str, str]]:
    """What is found, loose flaps aside: most drawings here are not pinched."""
    return [(f.code, f.level) for f in result.report.findings if f.code != "loose-flap"]


def only(result: Study, code: str) -> Finding:
    (finding,) = result.report.having(code)
    return finding


def off_centre_tray(left: float, right: float, low: float = 25.0, high: float = 25.0) -> Pattern:
    """A square-walled tray whose walls are not of one width; every corner closes as in the plain tray."""
    x0, x1, y0, y1 = left, 150.0 - right, low, 150.0 - high
    corners = [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]
    lines = [line(corners[k], corners[(k + 1) % 4]) for k in range(4)]
    for (x, y), (sx, sy) in zip(corners, [(-1, -1), (1, -1), (1, 1), (-1, 1)], strict=True):
        to_x, to_y = (0.0 if sx < 0 else 150.0), (0.0 if sy < 0 else 150.0)
        reach = min(abs(x - to_x), abs(y - to_y))
        lines += [
            line((x, y), (x, to_y)),
            line((x, y), (x + sx * reach, y + sy * reach), "valley", 180.0),
            line((x, y), (to_x, y), "mountain", 180.0),
        ]
    return drawn(lines)


# The floor.


@given(trays())
@tried(30)
def test_the_floor_is_the_polygon_of_the_floor_creases(pattern: Pattern) -> None:
    corners = [c.start for c in pattern.creases[:4]]
    assert pytest.approx(shapely.Polygon(corners).area, rel=1e-9) == measured(pattern).floor_area_mm2
    hull = hull_of(pattern)
    assert pytest.approx((0.0, 0.0), abs=1e-9) == next(iter(shapely.Polygon(hull.cover.outline).centroid.coords))
    assert 4 == len(hull.cover.outline)


def test_a_part_folded_onto_the_floor_makes_two_layers_there() -> None:
    m = measured(drawn([across(120.0, "valley", 180.0)]))
    assert pytest.approx(150.0 * 120.0) == m.floor_area_mm2
    assert (1, 2) == (m.floor_layers, m.floor_layers_most)


def test_a_part_folded_under_the_floor_is_floor_too() -> None:
    m = measured(drawn([across(120.0, "mountain", 180.0)]))
    assert (pytest.approx(150.0 * 120.0), 1, 2) == (m.floor_area_mm2, m.floor_layers, m.floor_layers_most)


def test_a_pleat_makes_three_layers() -> None:
    """Two parallel half turns of opposite sense, 10 mm apart: 20 mm of sheet are taken in."""
    m = measured(drawn([across(60.0, "valley", 180.0), across(70.0, "mountain", 180.0)], floor_at=(75.0, 20.0)))
    assert pytest.approx(150.0 * 130.0) == m.floor_area_mm2
    assert (1, 3) == (m.floor_layers, m.floor_layers_most)


def test_a_sheet_folded_in_half_is_two_layers_everywhere() -> None:
    m = measured(drawn([across(75.0, "valley", 180.0)], floor_at=(75.0, 20.0)))
    assert (pytest.approx(150.0 * 75.0), 2, 2) == (m.floor_area_mm2, m.floor_layers, m.floor_layers_most)


def test_unfolded_lines_on_the_floor_change_neither_its_area_nor_its_layers() -> None:
    marked = [
        *tray().creases,
        line((25.0, 75.0), (125.0, 75.0), "valley", 0.0),
        line((25.0, 25.0), (125.0, 125.0), "mountain", 0.0),
    ]
    m = measured(drawn(marked, floor_at=(70.0, 90.0)))
    assert (pytest.approx(10_000.0), 1, 1) == (m.floor_area_mm2, m.floor_layers, m.floor_layers_most)


def ring(sense: str) -> list[Crease]:
    corners = [(50.0, 50.0), (100.0, 50.0), (100.0, 100.0), (50.0, 100.0)]
    return [line(corners[k], corners[k - 1], sense, 0.0) for k in range(4)]


def test_a_ring_of_unfolded_lines_leaves_the_floor_one_layer() -> None:
    m = measured(drawn(ring("valley")))
    assert (pytest.approx(22_500.0), 1, 1) == (m.floor_area_mm2, m.floor_layers, m.floor_layers_most)


def test_a_hole_cut_in_the_floor_is_not_floor() -> None:
    m = measured(drawn(ring("cut"), floor_at=(10.0, 10.0)))
    assert pytest.approx(20_000.0) == m.floor_area_mm2


@pytest.mark.parametrize("at", [(175.0, 25.0), (-1.0, 75.0)])
def test_outside_the_sheet_there_is_no_floor(at: Point) -> None:
    result = study(drawn(tray().creases, floor_at=at))
    assert [("no-floor", "stop")] == codes_of(result)
    assert at == only(result, "no-floor").at
    assert None is result.load.brim_g
    m = result.measures
    assert (0.0, 0.0, 0.0, 0) == (m.floor_area_mm2, m.rim_height_mm, m.volume_mm3, m.floor_layers)
    assert pytest.approx(0.972) == m.foil_mass_g


def test_a_floor_smaller_than_a_button_is_none() -> None:
    assert 1 == len(study(tray(8.0, 90.0, Sheet(20.0, 20.0))).report.having("no-floor"))
    assert 0 == len(study(tray(7.0, 90.0, Sheet(20.0, 20.0))).report.having("no-floor"))


def test_a_floor_in_two_pieces_is_told() -> None:
    """Up 10 mm, across 20 mm and down again."""
    step = [
        across(50.0, "valley", 90.0),
        across(60.0, "mountain", 90.0),
        across(80.0, "mountain", 90.0),
        across(90.0, "valley", 90.0),
    ]
    result = study(drawn(step, floor_at=(75.0, 20.0)))
    assert "2 pieces" in only(result, "floor-breaks").detail
    assert pytest.approx(150.0 * 50.0 + 150.0 * 60.0) == result.measures.floor_area_mm2


@pytest.mark.parametrize("turn_deg", [2.0, 5.0, 14.0])
def test_a_part_beside_the_floor_that_is_not_level_is_told(turn_deg: float) -> None:
    finding = only(study(drawn([across(100.0, "valley", turn_deg)])), "floor-breaks")
    assert f"{turn_deg:.1f} deg from level" in finding.detail
    assert finding.at is not None
    assert pytest.approx((75.0, 125.0)) == finding.at


def test_a_wall_is_no_broken_floor() -> None:
    assert () == study(drawn([across(100.0, "valley", 30.0)])).report.having("floor-breaks")


# Walls and edge line.


@given(trays())
@tried(20)
def test_every_wall_is_as_high_as_its_width_times_the_sine_of_its_turn(pattern: Pattern) -> None:
    floor = pattern.creases[0]
    assert floor.turn_rad is not None
    m = measured(pattern)
    expected = floor.start[0] * math.sin(floor.turn_rad)
    assert pytest.approx((expected,) * 3) == (m.wall_height_mm, m.wall_height_most_mm, m.rim_height_mm)


def test_the_lowest_wall_sets_the_rim_and_is_told_with_what_it_costs() -> None:
    """Floor 100 x 100, walls 20, 25, 30 and 25: to 20 mm 200 cm3, with all walls alike, 25 mm, 250 cm3; 998.2 kg/m3."""
    result = study(off_centre_tray(20.0, 30.0))
    m = result.measures
    assert pytest.approx((20.0, 30.0, 20.0)) == (m.wall_height_mm, m.wall_height_most_mm, m.rim_height_mm)
    assert pytest.approx(200_000.0) == m.volume_mm3
    assert (True, False) == (result.folds, result.needs_tape)
    assert [("edge-dips", "note")] == codes_of(result)
    expected = "20.0 mm high here, the walls 25.0 mm on average. It costs 50 g of load."
    assert expected == only(result, "edge-dips").detail
    at = only(result, "edge-dips").at
    assert at is not None
    assert 0.0 == at[0]  # on the edge of the low wall


@pytest.mark.parametrize("turned_deg", [0.5, 2.0, 5.0])
def test_a_wall_is_as_high_as_its_lowest_place_along_the_whole_crease(turned_deg: float) -> None:
    """A square floor of 90 mm turned on the sheet: s along its side, straight out it is (75 - 45 cos t - s sin t) / cos t."""
    radius, t = 45.0 * math.sqrt(2.0), math.radians(turned_deg)
    m = measured(regular(4, 90.0, radius, 45.0 + turned_deg))
    low, high = ((75.0 - 45.0 * math.cos(t) + way * 45.0 * math.sin(t)) / math.cos(t) for way in (-1, 1))
    assert pytest.approx((low, high), abs=0.01) == (m.wall_height_mm, m.wall_height_most_mm)
    assert m.rim_height_mm <= low


def test_walls_within_half_a_millimetre_are_one_height() -> None:
    assert [] == codes_of(study(off_centre_tray(24.8, 25.2)))


def test_a_trough_is_open_at_its_ends() -> None:
    trough = drawn([line((25.0, 0.0), (25.0, 150.0)), line((125.0, 0.0), (125.0, 150.0))])
    result = study(trough)
    assert (True, False, 0.0) == (result.folds, result.needs_tape, result.measures.rim_height_mm)
    assert [("open-side", "stop")] == codes_of(result)
    assert {(75.0, 0.0), (75.0, 150.0)} == set(only(result, "open-side").places)
    assert 0.0 == result.load.brim_g


def test_a_tray_upside_down_has_no_wall() -> None:
    other = {"valley": "mountain", "mountain": "valley"}
    down = drawn([replace(c, sense=other[c.sense]) for c in tray().creases])
    finding = only(study(down), "open-side")
    assert {(75.0, 25.0), (125.0, 75.0), (75.0, 125.0), (25.0, 75.0)} == set(finding.places)
    assert WALLS_AWAY == finding.text


def test_the_sheet_of_a_hand_rounded_tray_dips_less_than_hands_see() -> None:
    assert () == study(hand_rounded(tray(34.86, 57.914))).report.having("edge-dips", "floor-breaks")


# Slits.


@pytest.mark.parametrize(
    ("cut", "rim", "below", "at"),
    [
        (line((60.0, 0.0), (60.0, 15.0), "cut"), 10.0, 15.0, (60.0, 15.0)),
        (line((60.0, 60.0), (90.0, 80.0), "cut"), 0.0, math.hypot(30.0, 20.0), (60.0, 60.0)),
        (line((60.0, 10.0), (60.0, 40.0), "cut"), 0.0, 30.0, (60.0, 25.0)),
    ],
)
def test_water_comes_in_at_the_lowest_place_of_a_slit(cut: Crease, rim: float, below: float, at: Point) -> None:
    result = study(drawn([*tray().creases, cut]))
    assert (True, True) == (result.folds, result.needs_tape)
    assert pytest.approx(rim) == result.measures.rim_height_mm
    assert pytest.approx(10_000.0 * rim) == result.measures.volume_mm3
    finding = only(result, "open-seam")
    assert (at, "stop") == (finding.at, finding.level)
    lost = 998.2067e-6 * 10_000.0 * (25.0 - rim) - (0.972 if rim == 0.0 else 0.0)
    seam = f"{below:.1f} mm of open edge lie below 25.0 mm; the rim is {rim:.1f} mm."
    assert f"{seam} It costs {lost:.0f} g of load." == finding.detail
    assert f"The cuts cost {lost:.0f} g of load." in only(result, "cut-drawn").detail


def test_slit_corners_are_open_all_the_way_down() -> None:
    hull = hull_of(slit_tray())
    assert pytest.approx(4 * 25.0) == hull.seams.length_below_mm(25.0)
    assert pytest.approx(0.0) == hull.rim_height_mm


def test_a_seam_counts_as_far_as_it_lies_below_the_height() -> None:
    """A slit down a wall, from the rim at 25 mm to 10 mm."""
    hull = hull_of(drawn([*tray().creases, line((60.0, 0.0), (60.0, 15.0), "cut")]))
    lengths = [hull.seams.length_below_mm(below) for below in (5.0, 10.0, 13.0, 25.0, 99.0)]
    assert pytest.approx([0.0, 0.0, 3.0, 15.0, 15.0]) == lengths


def test_a_slit_along_a_wall_needs_tape_to_make_the_wall_count() -> None:
    """Level, 10 mm up: above it the wall still stands, and with the slit taped it would count."""
    result = study(drawn([*tray().creases, line((60.0, 15.0), (90.0, 15.0), "cut")]))
    assert pytest.approx((25.0, 10.0)) == (result.measures.wall_height_mm, result.measures.rim_height_mm)
    assert (True, True, False) == (result.folds, result.needs_tape, result.needs_cut)
    assert 1 == len(result.report.having("open-seam"))


def test_a_slit_along_the_rim_costs_nothing() -> None:
    result = study(drawn([*tray().creases, line((60.0, 0.0), (90.0, 0.0), "cut")]))
    assert (25.0, False, []) == (pytest.approx(result.measures.rim_height_mm), result.needs_tape, codes_of(result))


def test_both_lips_of_a_slit_are_edge_line() -> None:
    """The plain tray's skin, with the two ends of the slit split or not: the edge line grows by two lips."""
    plain, slit = hull_of(tray()), hull_of(drawn([*tray().creases, line((60.0, 0.0), (60.0, 15.0), "cut")]))

    def edge_mm(hull: Hull) -> float:
        places = [hull.skin.vertices[list(r)] for r in hull.skin.edge_lines]
        return sum(float(np.linalg.norm(np.roll(p, -1, axis=0) - p, axis=1).sum()) for p in places)

    assert pytest.approx(600.0) == edge_mm(plain)
    assert pytest.approx(600.0 + 2 * 15.0) == edge_mm(slit)


def test_every_vertex_of_the_skin_lies_where_the_sheet_says() -> None:
    hull = hull_of(tray(34.86, 57.914))
    for vertex in range(len(hull.skin.vertices)):
        x, y = sheet_place(hull, vertex)
        assert 0.0 <= x <= 150.0
        assert 0.0 <= y <= 150.0
    floor = {sheet_place(hull, v) for v in np.nonzero(hull.skin.on_floor)[0]}
    assert {(34.86, 34.86), (115.14, 34.86), (115.14, 115.14), (34.86, 115.14)} == floor


@pytest.mark.parametrize(("thickness_um", "mass_g"), [(16.0, 0.972), (24.0, 1.458)])
def test_foil_weighs_what_its_makers_say(thickness_um: float, mass_g: float) -> None:
    """CHECKS 2: a 15 cm square."""
    pattern = tray(25.0, 90.0, Sheet(150.0, 150.0, thickness_um))
    assert pytest.approx(mass_g) == measured(pattern).foil_mass_g
    assert pytest.approx(mass_g) == hull_of(pattern).weight.mass_g


def test_a_side_of_many_layers_is_as_long_as_it_is_seen() -> None:
    """A sheet of 150 mm pressed to a triangle of four layers: its sides are 150 mm and half a diagonal, 106.1 mm."""
    base = drawn(
        [
            line((0.0, 0.0), (150.0, 150.0), turn_deg=180.0),
            line((0.0, 150.0), (150.0, 0.0), turn_deg=180.0),
            line((0.0, 75.0), (150.0, 75.0), "mountain", turn_deg=180.0),
        ]
    )
    finding = only(study(replace(base, floor_at=(75.0, 20.0))), "open-side")
    assert {"106.1", "150.0"} == set(re.findall(r"side of ([\d.]+) mm", finding.detail))
